//! A right angle on the floor with a tape alone.

use kurbo::Point;

use crate::{plan::FloorPlan, units::MM_PER_INCH};

/// Sides of the triangle come in steps of this, mm: 3-4-5 times 50 mm, or times 2 in.
const STEP_MM: f64 = 50.0;
const STEP_INCHES: f64 = 2.0;

/// The side square to the line is at most this much longer than the longest offset: a direction is not carried
/// further than it was set, and no floor is wasted.
const BEYOND_OFFSET: f64 = 1.25;

/// A triangle may be this large where offsets are short, mm across.
const LEAST_ACROSS_MM: f64 = 900.0;

/// Longest side along the line, mm: what one person lays and another reads without sag.
const LONGEST_ALONG_MM: f64 = 3000.0;

/// A 3-4-5 triangle with its right angle at a foot on the line. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RightAngle {
    /// Along the line.
    pub along: f64,
    /// Square to it.
    pub across: f64,
    /// Between their ends.
    pub diagonal: f64,
    /// +1 where the side along the line runs forward, −1 rearward.
    pub direction: f64,
}

/// Equal arcs swung from two points of the line, as far ahead of a foot as behind it, that cross square to the
/// foot. Lengths in mm, two 3-4-5 triangles back to back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arcs {
    /// From the foot to each of the two points.
    pub along: f64,
    /// Radius of both arcs.
    pub radius: f64,
    /// From the foot to where they cross.
    pub across: f64,
}

impl RightAngle {
    /// The largest sensible triangle at `foot` for offsets up to `offset` mm, to the left and to the right;
    /// `None` where floor and wheels leave no room.
    pub fn at(plan: &FloorPlan, foot: Point, offset: f64, inches: bool) -> Option<Self> {
        // Away from the vehicle's middle first: there the floor is free.
        let outward = if foot.x >= 0.0 { 1.0 } else { -1.0 };
        let mut best: Option<Self> = None;
        for [along, across, diagonal] in sizes(plan, offset, inches) {
            let direction = [outward, -outward]
                .into_iter()
                .find(|&way| has_room(plan, foot, across, way * along));
            if let Some(direction) =
                direction.filter(|_| best.is_none_or(|best| across >= best.across))
            {
                best = Some(Self {
                    along,
                    across,
                    diagonal,
                    direction,
                });
            }
        }
        best
    }
}

impl Arcs {
    /// The largest sensible arcs at `foot`, see [`RightAngle::at`].
    pub fn at(plan: &FloorPlan, foot: Point, offset: f64, inches: bool) -> Option<Self> {
        let mut best: Option<Self> = None;
        for [along, across, radius] in sizes(plan, offset, inches) {
            let room = [1.0, -1.0]
                .into_iter()
                .all(|way| has_room(plan, foot, across, way * along));
            if room && best.is_none_or(|best| across >= best.across) {
                best = Some(Self {
                    along,
                    radius,
                    across,
                });
            }
        }
        best
    }
}

/// Triangles to choose from, small ones first: along the line, square to it, between.
fn sizes(plan: &FloorPlan, offset: f64, inches: bool) -> impl Iterator<Item = [f64; 3]> {
    let step = if inches {
        STEP_INCHES * MM_PER_INCH
    } else {
        STEP_MM
    };
    let floor = plan.floor.needed;
    let widest = (BEYOND_OFFSET * offset)
        .max(LEAST_ACROSS_MM)
        .min(floor.y1.min(-floor.y0));
    let count = (widest / (3.0 * step)).floor().max(0.0) as usize;
    let scales = (1..=count).map(move |number| step * number as f64);
    let triangles = scales.flat_map(|k| [[3.0 * k, 4.0 * k, 5.0 * k], [4.0 * k, 3.0 * k, 5.0 * k]]);
    triangles.filter(move |[along, across, _]| *across <= widest && *along <= LONGEST_ALONG_MM)
}

/// True where the needed floor and the wheels leave room for a triangle to both sides, its side on the line
/// running `along` mm forward of the foot (negative: rearward).
fn has_room(plan: &FloorPlan, foot: Point, across: f64, along: f64) -> bool {
    let floor = plan.floor.needed;
    let end = Point::new(foot.x + along, 0.0);
    let free = |side: f64| {
        let top = Point::new(foot.x, side * across);
        !plan.vehicle.through_wheel(foot, top) && !plan.vehicle.through_wheel(end, top)
    };
    (floor.x0..=floor.x1).contains(&end.x) && free(1.0) && free(-1.0)
}
