//! A layout made small, with the sheets that it goes on.

use super::outline::HalfOutline;
use crate::{
    cover::{Content, Mode, SheetFormat, SheetPlan, cover},
    job::DEFAULT_OVERLAP_MM,
    paper::{Paper, Printer},
    plan::{Check, FloorPlan},
    practice::{Level, Ruling, layout::mirrors},
};

/// The vehicle's outline is to be cut out and laid by hand: it is no shorter than this, mm.
const LEAST_OUTLINE_MM: f64 = 140.0;

/// Tape strips narrower than this are two edges in one line, mm.
const LEAST_STRIP_MM: f64 = 1.0;

/// Marks nearer to each other than this, mm, have no room for two crosses that can be told apart and measured from.
const LEAST_APART_MM: f64 = 8.0;

/// A check shorter than this, mm, says little on a desk: half a millimetre is more than a hundredth of it.
const LEAST_CHECK_MM: f64 = 40.0;

/// Fewer sheets than this have nothing to join.
const LEAST_SHEETS: usize = 2;

/// Pages that one trainee gets, all in: what is cut and joined in a lesson, and what a class may cost in paper.
pub(super) const MOST_PAGES: usize = 16;

/// Pages of them beside the sheets and the outline: the exercise itself, which may take two, how the sheets go together, and
/// the blank grid.
const OTHER_PAGES: usize = 4;

/// Two points are mirrored at the centreline when they are no farther apart than this, mm on the desk: what a ruler shows.
const MIRRORED_MM: f64 = 0.25;

/// How a model is to be.
pub(super) struct Wanted<'a> {
    /// n of the scale 1:n.
    pub denominator: u32,
    pub level: Level,
    /// Number of the exercise.
    pub number: usize,
    pub paper: &'a Paper,
    pub ruling: Ruling,
    /// True when the left half of the vehicle is handed out.
    pub left: bool,
}

/// A layout made small, with the sheets that it goes on.
#[derive(Clone, Debug)]
pub struct Model {
    /// The layout in mm on the desk.
    pub plan: FloorPlan,
    /// The sheets, which all hang together.
    pub sheets: SheetPlan,
    /// n of the scale 1:n.
    pub denominator: u32,
    /// Half of the vehicle's outline, to cut out.
    pub half: HalfOutline,
    /// What lengths are written in on all its pages.
    pub ruling: Ruling,
    /// Number of the exercise that the sheets belong to, so that a class can sort its paper.
    pub number: usize,
}

impl Model {
    /// Makes a layout small at 1:`denominator` and covers it.
    ///
    /// # Errors
    /// What is too small or too large at that scale, in words.
    pub(super) fn of(plan: FloorPlan, wanted: &Wanted) -> Result<Self, String> {
        let n = wanted.denominator;
        let at_scale = |reason: String| format!("at 1:{n} {reason}");
        let mut plan = plan.scaled(f64::from(n));
        plan.template.name = format!(
            "exercise {}, 1:{n} model, not for a floor: {}",
            wanted.number, plan.template.name
        );
        refuse_small(&plan, wanted.ruling).map_err(at_scale)?;
        let printer = Printer::default();
        let format = SheetFormat {
            paper: wanted.paper.clone(),
            margins: printer.margins,
            overlap: DEFAULT_OVERLAP_MM,
            correction: printer.correction,
        };
        let half = HalfOutline::of(&plan.vehicle, wanted.left, wanted.paper)
            .ok_or_else(|| at_scale("the vehicle is too large to be cut out".to_owned()))?;
        let modes: &[Mode] = match wanted.level.number() {
            1 | 2 => &[Mode::Full],
            _ => &[Mode::Lines, Mode::Full],
        };
        let most = MOST_PAGES.saturating_sub(OTHER_PAGES + half.pages);
        let sheets = in_one_piece(&plan, &format, modes, most).map_err(at_scale)?;
        Ok(Self {
            plan,
            sheets,
            denominator: n,
            half,
            ruling: wanted.ruling,
            number: wanted.number,
        })
    }

    /// The longest pair of checks that are each other's mirror image, running from side to side where there are such: equal
    /// diagonals make the layout square. Where there is no pair, the two longest checks.
    pub(super) fn diagonals(&self) -> Vec<usize> {
        let checks = &self.plan.checks;
        let all = 0..checks.len();
        let mut order: Vec<usize> = all.filter(|&check| self.is_measured(check)).collect();
        order.sort_by(|&a, &b| checks[b].distance.total_cmp(&checks[a].distance));
        let pairs = order.iter().enumerate().flat_map(|(rank, &one)| {
            let rest = order[rank + 1..].iter().map(move |&other| [one, other]);
            rest.filter(|[one, other]| self.are_mirrored(&checks[*one], &checks[*other]))
        });
        let crosses = |[one, _]: &[usize; 2]| self.crosses_centreline(&checks[*one]);
        let found = pairs.clone().find(crosses).or_else(|| pairs.clone().next());
        found.map_or_else(
            || order[..order.len().min(2)].to_vec(),
            |pair| pair.to_vec(),
        )
    }

    /// True for a check that is long enough for a ruler.
    pub(super) fn is_measured(&self, check: usize) -> bool {
        self.plan.checks[check].distance >= LEAST_CHECK_MM
    }

    fn crosses_centreline(&self, check: &Check) -> bool {
        let side = |mark: usize| self.plan.marks[mark].at.y;
        side(check.from) * side(check.to) < -MIRRORED_MM * MIRRORED_MM
    }

    /// True for two slanting checks that are each other's image in the centreline.
    fn are_mirrored(&self, one: &Check, other: &Check) -> bool {
        let at = |mark: usize| self.plan.marks[mark].at;
        let mirrored = |a: usize, b: usize| mirrors(at(a), at(b), MIRRORED_MM);
        let way = at(one.from) - at(one.to);
        way.x.abs().min(way.y.abs()) > MIRRORED_MM
            && ((mirrored(one.from, other.from) && mirrored(one.to, other.to))
                || (mirrored(one.from, other.to) && mirrored(one.to, other.from)))
    }

    pub(super) fn name(&self, mark: usize) -> &str {
        &self.plan.marks[mark].id
    }

    /// Label of the one sheet that shows a mark at all; `None` where a neighbour shows it, too.
    pub(super) fn only_sheet_of(&self, mark: usize) -> Option<&str> {
        let at = self.plan.marks[mark].at;
        let sheets = self.sheets.sheets.iter();
        let mut shown = sheets.filter(|sheet| sheet.floor_window().contains(at));
        let sheet = shown.next()?;
        shown.next().is_none().then_some(sheet.label.as_str())
    }
}

fn refuse_small(plan: &FloorPlan, ruling: Ruling) -> Result<(), String> {
    let size = |mm: f64| {
        format!(
            "{} {}",
            ruling.decimals(mm, ruling.pick(1, 2)),
            ruling.unit()
        )
    };
    let length = plan.vehicle.front_x - plan.vehicle.rear_x;
    if length < LEAST_OUTLINE_MM {
        return Err(format!(
            "the vehicle is {} long, too small to lay by hand; {} are needed",
            size(length),
            size(LEAST_OUTLINE_MM)
        ));
    }
    let lines = plan.lines.iter();
    let strip = lines.map(|line| line.width).fold(f64::INFINITY, f64::min);
    if strip < LEAST_STRIP_MM {
        return Err(format!(
            "a tape strip is {} wide, too thin to see; {} is needed",
            size(strip),
            size(LEAST_STRIP_MM)
        ));
    }
    let pairs = plan.marks.iter().enumerate().flat_map(|(index, one)| {
        let rest = plan.marks[index + 1..].iter();
        rest.map(move |other| (one, other, one.at.distance(other.at)))
    });
    match pairs.min_by(|a, b| a.2.total_cmp(&b.2)) {
        Some((one, other, apart)) if apart < LEAST_APART_MM => Err(format!(
            "marks {} and {} are {} apart, so near that their crosses run together; {} are needed",
            one.id,
            other.id,
            size(apart),
            size(LEAST_APART_MM)
        )),
        _ => Ok(()),
    }
}

/// The fewest sheets of some ways to cover that all hang together: a trainee makes one mat, and nothing on a desk says where a
/// loose piece belongs.
fn in_one_piece(
    plan: &FloorPlan,
    format: &SheetFormat,
    modes: &[Mode],
    most: usize,
) -> Result<SheetPlan, String> {
    let content = Content::of(plan);
    let mut best: Option<SheetPlan> = None;
    for mode in modes {
        let sheets = cover(&content, format, *mode).map_err(|error| error.to_string())?;
        let fewer = best.as_ref().is_none_or(|best| sheets.pages < best.pages);
        if fewer && sheets.groups().len() == 1 {
            best = Some(sheets);
        }
    }
    let sheets = best.ok_or("the sheets do not hang together")?;
    match sheets.pages {
        pages if pages < LEAST_SHEETS => {
            Err("the layout goes on one sheet, and there is nothing to join".to_owned())
        }
        pages if pages > most => Err(format!(
            "the layout takes {pages} sheets, more than anyone joins in a lesson ({most})"
        )),
        _ => Ok(sheets),
    }
}
