//! Every number that the choice of lays is made by, in one place.

/// A mark's tolerance is proven where it is at least this many times the 95 % radius of its estimated place. A mark that is
/// kept may lie up to half its tolerance off by its estimate, and all marks must lie within theirs together, not each by
/// itself: what is left beside that half has to hold more than 95 % for each. Tried by simulated floors.
pub(super) const RADIUS_FACTOR: f64 = 2.0;

/// And where it is at least this many standard deviations of the mark's mistake of laying, estimated without what its own
/// laying promises: a mark that lies twice its tolerance off then passes in at most 5 % in whichever direction
/// (consumer's risk, JCGM 106:2012, 9.5). Tried by simulated floors.
pub(super) const MARK_FACTOR: f64 = 2.4;

/// The same for a shift or a turn of the whole grid. It moves all marks at once and nobody sees it, so one that lies twice the
/// tolerance off passes in less than one of forty. Tried by simulated floors.
pub(super) const SHIFT_FACTOR: f64 = 3.1;

/// The same for its turn. What the plumbed wheels of a short vehicle tell of a turn is little more than this.
pub(super) const TURN_FACTOR: f64 = 2.45;

/// Every reading is checked by the others so well that an error of this size in it is found with 80 %, mm: a finger's
/// breadth on a tape, the misread that is made most.
pub(super) const LARGEST_HIDDEN_ERROR_MM: f64 = 10.0;

/// Part of floors laid to the budget that keep all limits of the list.
pub(super) const KEEP_ALL_LIMITS: f64 = 0.90;

/// That part is found by drawing floors; this much above it covers the scatter of the draw (√(0.9 · 0.1/4000) = 0.5 %).
pub(super) const DRAWN_MARGIN: f64 = 0.01;

/// Floors drawn for the limits.
pub(super) const DRAWN_FLOORS: usize = 4000;

/// Fewest readings from wheel marks: three hold the grid, the fourth checks them.
pub(super) const FEWEST_WHEEL_READINGS: usize = 4;

/// What nothing holds counts as held to this, mm: arithmetic goes on, and it is never proven.
pub(super) const HELD_BY_NOTHING_MM: f64 = 1e4;

/// Where all lays together do not prove a mark's tolerance, the plan comes this near to what they do prove. The last fifth
/// would take nearly all of them.
pub(super) const UNMET_SLACK: f64 = 1.2;

/// How many times its tolerance a mark may lie off before the quick plan has to find it.
pub(super) const QUICK_TIMES: f64 = 2.0;

/// Minutes of two people (common practice, no source): a lay of the tape or string with its first reading, each further
/// reading of it, what crawling below the body adds, and plumbing a wheel.
pub(super) const LAY_MINUTES: f64 = 0.6;
pub(super) const READING_MINUTES: f64 = 0.1;
pub(super) const CRAWL_MINUTES: f64 = 1.0;
pub(super) const PLUMB_MINUTES: f64 = 0.5;

/// Shortest length that is taped, mm: below, a tape says next to nothing of the direction.
pub(super) const SHORTEST_MM: f64 = 100.0;

/// Longest length taped square from a string, mm: farther out the eye does not find the square (common practice, no source).
pub(super) const LONGEST_SQUARE_MM: f64 = 2000.0;

/// Marks within this of a straight line lie on it, mm: a string or a tape cannot tell more.
pub(super) const ON_LINE_MM: f64 = 0.5;

/// A line may run below the edge of the body to this depth, mm, before one crawls for it: a hand reaches in this far (common
/// practice, no source).
pub(super) const BODY_EDGE_MM: f64 = 50.0;

/// Least standard deviation that is calculated with, mm: a `[precision]` of nothing would be an infinite weight.
pub(super) const LEAST_SD_MM: f64 = 0.01;

/// Plumbing several times each and taking the middle, mm in each direction (estimate, no source).
pub(super) const FINER_PLUMB_MM: f64 = 0.5;
