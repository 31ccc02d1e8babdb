//! What the readings say of a layout.

use kurbo::{Point, Vec2};

use super::{slip::Slip, triangles::Impossible, whole::WholeFault};

use crate::survey::{Covariance, Datum, Geometry, LayingPrior, Network, Precision, Verdict};

/// A layout with what was taped on it. The lists of points run as the network's.
#[derive(Clone, Debug, Default)]
pub struct TapedLayout {
    /// Points, started at their designed places, and readings.
    pub network: Network,
    /// What was taken off every place, mm, so that little is lost where coordinates are large: added to show a place.
    /// Nothing for a vehicle's layout.
    pub origin: Vec2,
    /// Where each point should be, mm; `None` for points that only help, such as wheel marks.
    pub designs: Vec<Option<Point>>,
    /// How far each point may be off, mm.
    pub tolerances: Vec<Option<f64>>,
    /// The vehicle's plumbed wheel marks.
    pub wheels: Vec<usize>,
    /// Distances that could be taped besides, best first: what advice on further pulls chooses from.
    pub further: Vec<[usize; 2]>,
    /// Readings that could be taken besides, where the layout was laid by a known method.
    pub spare: Vec<Spare>,
    /// For each observation the lay of the tape or the string that it belongs to, where that was said.
    pub lays: Vec<Option<u32>>,
    /// For each observation whether its standard deviation is that of the precision, and not its own.
    pub by_default: Vec<bool>,
    /// Tools and hands.
    pub precision: Precision,
    /// How the layout was laid, which says where its marks, the network's first points, should be; `None` where nothing is
    /// promised of them.
    pub prior: Option<LayingPrior>,
    /// How a verdict is come to.
    pub decision: Decision,
}

/// A reading that could be taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spare {
    /// What would be read.
    pub geometry: Geometry,
    /// Minutes that it takes.
    pub minutes: f64,
}

/// How a verdict is come to from an estimate and its uncertainty.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Decision {
    /// With 95 %, as far as the readings go; undecided where they do not go far enough (JCGM 106:2012, 8.3).
    #[default]
    Guarded,
    /// The estimate as it is, with the risk told beside it (simple acceptance, JCGM 106:2012, 8.2).
    Simple,
}

impl Decision {
    /// Both with their words.
    pub const ALL: [(&'static str, Self); 2] =
        [("guarded", Self::Guarded), ("simple", Self::Simple)];
}

/// Something to do on the floor. Points and observations by the network's indices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Todo {
    /// Move a mark, mm forward and to the left.
    Move {
        /// The mark.
        mark: usize,
        /// How far.
        by: Vec2,
        /// True where the layout does not pass without it.
        must: bool,
    },
    /// Move the whole grid: shift it, mm, and turn it about the layout's origin.
    TurnGrid {
        /// How far forward and to the left.
        by: Vec2,
        /// Degrees counter-clockwise seen from above.
        turned: f64,
    },
    /// Plumb a wheel mark again.
    Plumb {
        /// The wheel mark.
        wheel: usize,
    },
    /// Take a reading that was not taken yet.
    Tape {
        /// Of what.
        geometry: Geometry,
    },
    /// Take a reading again; it replaces the old one.
    Retape {
        /// Which.
        observation: usize,
    },
}

/// Something that was found, beside suspects and marks. Words for it are made elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// The readings do not tie the grid to the vehicle.
    Untied {
        /// Probability that a grid off by twice the tolerance would have passed.
        risk: f64,
    },
    /// The grid as a whole lies off against the vehicle.
    GridOff,
    /// All readings are too long by as much, mm: a worn or bent hook, or a wrong zero.
    TapeZero {
        /// How much.
        mm: f64,
    },
    /// All readings are too long in proportion.
    TapeScale {
        /// How much, mm per metre.
        mm_per_metre: f64,
    },
    /// Readings scatter more than tape and hands promise.
    Scatter {
        /// How many times as much.
        factor: f64,
    },
    /// The readings hold the marks so weakly, or contradict their places so much, that no places stand out.
    Unsettled,
    /// Distances that no three points can have.
    Impossible(Impossible),
    /// What is wrong with the layout as a whole.
    Whole(WholeFault),
    /// Readings agree better with what they should be than any tape reads.
    TooGood {
        /// How many.
        readings: usize,
    },
    /// The rows that were taped would not show these marks twice their tolerance off.
    Unproven {
        /// The marks.
        marks: Vec<usize>,
    },
}

/// The verdict on one side of the layout: the grid in itself, or how it lies to the vehicle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartVerdict {
    /// Inside, outside or undecided.
    pub verdict: Verdict,
    /// False where the readings do not tie the grid to the vehicle.
    pub tied: bool,
    /// Probability that a grid twice its tolerance off against the vehicle would have passed.
    pub risk: Option<f64>,
}

/// The judgement on a taped layout. Lengths in mm, x forward and y left.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// What holds the adjusted network.
    pub datum: Datum,
    /// Degrees of freedom after suspected readings were set aside.
    pub dof: usize,
    /// Standard deviation a posteriori of an observation of weight 1; 1 where readings scatter as expected.
    pub sigma0: Option<f64>,
    /// Do the readings scatter as their a-priori deviations say? `None` without degrees of freedom.
    pub global_test: Option<GlobalTest>,
    /// The marks and other points, in the network's order.
    pub marks: Vec<MarkFinding>,
    /// The observations, in the network's order.
    pub readings: Vec<ReadingFinding>,
    /// True when more readings contradict each other than single mistakes explain.
    pub scattered: bool,
    /// How much too long all distances are by the same amount, mm, where that explains most of their differences from the
    /// design: then the tape is in doubt, and no mark is outside.
    pub constant_error: Option<f64>,
    /// Readings that contradict the others, worst first.
    pub suspects: Vec<Suspect>,
    /// How the grid as a whole lies: against the vehicle, or against fixed points.
    pub pose: Option<Pose>,
    /// Pairs of points to tape besides, so that everything is held and checked.
    pub pulls_to_add: Vec<[usize; 2]>,
    /// What was found beside suspects and marks.
    pub findings: Vec<Finding>,
    /// The grid in itself; `None` where nothing has a tolerance.
    pub grid: Option<PartVerdict>,
    /// The grid against the vehicle; `None` where the layout knows of none.
    pub vehicle: Option<PartVerdict>,
    /// Probability that all marks lie inside against the vehicle at once.
    pub jointly_inside: Option<f64>,
    /// What to do next, in order; empty where nothing is left.
    pub todo: Vec<Todo>,
    /// The whole layout; `None` where nothing has a tolerance to be judged by.
    pub verdict: Option<Verdict>,
}

/// The χ² test of the sum of squared residuals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlobalTest {
    /// vᵀPv.
    pub statistic: f64,
    /// Lower and upper bound that hold with 95 % where the a-priori deviations are right.
    pub bounds: [f64; 2],
    /// True while the statistic is not above the upper bound. Below the lower one the readings agree better than
    /// expected, which is no fault of the layout.
    pub passed: bool,
}

/// What was found of a point.
#[derive(Clone, Debug)]
pub struct MarkFinding {
    /// Its name.
    pub id: String,
    /// Where it should be.
    pub design: Option<Point>,
    /// How far it may be off.
    pub tolerance: Option<f64>,
    /// Adjusted place in the network's datum; `None` for a point that the readings do not fix.
    pub place: Option<Point>,
    /// Covariance a priori of that place, in that datum.
    pub covariance: Covariance,
    /// How far it lies from its designed place in the grid itself: after the best rigid fit of the marks that are not
    /// displaced to the design.
    pub moved: Option<Vec2>,
    /// Covariance a priori of `moved`.
    pub moved_covariance: Covariance,
    /// How far it lies from its designed place against the vehicle (or fixed points), where the readings tie it to them.
    pub to_datum: Option<Vec2>,
    /// True when the two-parameter test says that it is not where the other marks are.
    pub displaced: bool,
    /// True when a wrong reading could have moved it beyond its tolerance without being noticed.
    pub unchecked: bool,
    /// Inside, outside or undecided in the grid itself; `None` without a tolerance.
    pub verdict: Option<Verdict>,
    /// The same against the vehicle or fixed points, where the readings tie it to them.
    pub datum_verdict: Option<Verdict>,
    /// Probability that it lies inside, against the vehicle where the readings tie it to it, else in the grid.
    pub inside: Option<f64>,
}

impl ReadingFinding {
    /// What is found of an observation that is not used.
    pub(super) const UNUSED: Self = Self {
        residual: 0.0,
        redundancy: 0.0,
        normalised: None,
        smallest_error: None,
        suspect: false,
        used: false,
    };
}

/// What was found of an observation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingFinding {
    /// Adjusted minus observed, mm; for one that was set aside, as the others predict it.
    pub residual: f64,
    /// Redundancy number with all readings in.
    pub redundancy: f64,
    /// Normalised residual; `None` where nothing checks it.
    pub normalised: Option<f64>,
    /// Smallest detectable error, mm; `None` as above.
    pub smallest_error: Option<f64>,
    /// True for a reading that was set aside.
    pub suspect: bool,
    /// False for a reading of points that are not fixed, which could not be used.
    pub used: bool,
}

/// A reading that contradicts the others.
#[derive(Clone, Debug)]
pub struct Suspect {
    /// Index of the observation.
    pub observation: usize,
    /// How much too long it is, mm (negative: too short), as the others say.
    pub error: f64,
    /// Standard deviation of that estimate, mm.
    pub error_sd: f64,
    /// What usually makes such an error.
    pub cause: Option<Slip>,
    /// Other readings that could as well be the wrong one.
    pub or: Vec<usize>,
}

/// How the grid lies as a rigid body, at the layout's origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// How far it lies forward, mm.
    pub forward: f64,
    /// How far it lies to the left, mm.
    pub left: f64,
    /// How far it is turned counter-clockwise seen from above, degrees.
    pub turned: f64,
    /// Standard deviations a priori of the three, mm and degrees.
    pub sd: [f64; 3],
    /// Worst verdict of the marks against the vehicle.
    pub verdict: Option<Verdict>,
}
