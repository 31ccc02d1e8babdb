//! Which marks, at which scale, on which part of the floor.

use kurbo::{Point, Rect, Size};

use crate::{
    plan::{FloorPlan, Mark},
    practice::{FIGURE_ROOM, Level, Ruling, Value, layout::beside},
    units::MM_PER_INCH,
};

/// Scales 1:n, the largest first: 1:20 and 1:50 are ISO 5455's, 1:25 and 1:40 common practice; in inches those at which a
/// foot is 3/4, 1/2, 3/8 and 1/4 in: common practice, no source.
const SCALES: [u32; 4] = [20, 25, 40, 50];
const INCH_SCALES: [u32; 4] = [16, 24, 32, 48];

/// Height of a figure that leaves a page to what is given and to the tables, mm.
const LOW_MM: f64 = 75.0;

/// Side of a square of the paper, mm, and of one in inches.
const SQUARE_MM: f64 = 5.0;
const SQUARE_INCH_MM: f64 = 0.25 * MM_PER_INCH;

/// Clear paper about the outermost mark, for its name, mm.
const MARGIN_MM: f64 = 2.0;

/// Least distance of two marks on paper, mm: two pencil crosses that can still be told apart.
const APART_MM: f64 = 2.0;

/// Scale and room of the figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sheet {
    /// n of 1:n.
    pub n: u32,
    /// The floor that is shown; its edges lie on lines of the squared paper, and so do zero point and centreline.
    pub extent: Rect,
    /// What its lengths are written in.
    pub ruling: Ruling,
}

/// The marks that a level asks for; none where the layout has no mark beside the centreline.
pub(super) fn marks_of_level(plan: &FloorPlan, level: Level) -> Vec<usize> {
    let all: Vec<usize> = (0..plan.marks.len()).collect();
    let beside = beside(plan);
    if beside.is_empty() {
        return beside;
    }
    match level.number() {
        1 => corners(plan, &beside),
        2 => {
            let (stations, free): (Vec<usize>, Vec<usize>) = all
                .into_iter()
                .partition(|&mark| plan.marks[mark].station.is_some());
            let half = free.len().div_ceil(4) * 2;
            let inner = stations
                .into_iter()
                .filter(|&mark| is_inner(&plan.marks[mark]));
            inner.chain(free.into_iter().take(half)).collect()
        }
        3 => all,
        _ => beside,
    }
}

/// True on the inner rail: one further out has its number behind the letter.
fn is_inner(mark: &Mark) -> bool {
    !mark.id.ends_with(|c: char| c.is_ascii_digit())
}

fn corners(plan: &FloorPlan, beside: &[usize]) -> Vec<usize> {
    let last = plan.marks.iter().filter_map(|mark| mark.station).max();
    let is_corner =
        |mark: &Mark| (mark.station == Some(1) || mark.station == last) && is_inner(mark);
    let mut ends = beside.to_vec();
    ends.retain(|&mark| is_corner(&plan.marks[mark]));
    if ends.len() == 4 {
        return ends;
    }
    let first = beside.iter().copied().take(2);
    let mut marks: Vec<usize> = plan.tape_base.into_iter().chain(first).collect();
    marks.sort_unstable();
    marks
}

impl Sheet {
    /// The largest scale at which vehicle and marks leave the page to the tables; where they do at none, the smallest.
    ///
    /// # Errors
    /// A reason when they fit at none, or when the scale is too small for them.
    pub fn new(plan: &FloorPlan, marks: &[usize], ruling: Ruling) -> Result<Self, String> {
        let base = plan.tape_base.iter();
        let taken = base
            .chain(marks)
            .fold(plan.vehicle.body().union_pt(Point::ZERO), |rect, mark| {
                rect.union_pt(plan.marks[*mark].at)
            });
        let wheels = plan.vehicle.wheels.iter();
        let taken = wheels.fold(taken, |rect, wheel| rect.union(wheel.footprint()));
        let fits = |n: u32, most_height: f64| {
            let extent = squared(taken, n, ruling);
            let [width, height] = [extent.width(), extent.height()].map(|mm| mm / f64::from(n));
            width <= FIGURE_ROOM.width && height <= most_height
        };
        let scales = ruling.pick(SCALES, INCH_SCALES);
        let [.., smallest] = scales;
        let low = scales.into_iter().find(|&n| fits(n, LOW_MM));
        let n = low.or_else(|| Some(smallest).filter(|&n| fits(n, FIGURE_ROOM.height)));
        let n = n.ok_or_else(|| {
            let metres = |size: Size| format!("{:.1} × {:.1} m", size.width, size.height);
            format!(
                "vehicle and layout take {}, and at 1:{smallest} a sheet has room for {}: set smaller distances",
                metres(taken.size() / 1000.0),
                metres(FIGURE_ROOM * f64::from(smallest) / 1000.0),
            )
        })?;
        refuse_crowded(plan, marks, n)?;
        Ok(Self {
            n,
            extent: squared(taken, n, ruling),
            ruling,
        })
    }

    /// On paper of mm on the floor: to the nearest half mm, or to the nearest 1/16 in.
    pub fn paper(&self, mm: f64) -> Value {
        let mm = mm / f64::from(self.n);
        match self.ruling {
            Ruling::Metric => Value::half(mm, "mm"),
            Ruling::Inches => self.ruling.answer(mm),
        }
    }
}

fn squared(taken: Rect, n: u32, ruling: Ruling) -> Rect {
    let side = ruling.pick(SQUARE_MM, SQUARE_INCH_MM);
    let (square, margin) = (side * f64::from(n), MARGIN_MM * f64::from(n));
    let wide = taken.inflate(margin, margin);
    let [x0, y0] = [wide.x0, wide.y0].map(|mm| (mm / square).floor() * square);
    let [x1, y1] = [wide.x1, wide.y1].map(|mm| (mm / square).ceil() * square);
    Rect::new(x0, y0, x1, y1)
}

fn refuse_crowded(plan: &FloorPlan, marks: &[usize], n: u32) -> Result<(), String> {
    for (at, &one) in marks.iter().enumerate() {
        for &other in &marks[at + 1..] {
            let (one, other) = (&plan.marks[one], &plan.marks[other]);
            let apart = one.at.distance(other.at) / f64::from(n);
            if apart < APART_MM {
                return Err(format!(
                    "at 1:{n} the marks {} and {} would be {apart:.1} mm apart on paper, and {APART_MM} mm are needed: the layout is too small for the scale",
                    one.id, other.id
                ));
            }
        }
    }
    Ok(())
}
