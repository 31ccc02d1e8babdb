//! A right angle on the floor with a tape alone.
//!
//! Its sides open away from a vehicle that stands there: no leg runs below the body or through a wheel.

use kurbo::{Point, Rect, Vec2};

use crate::{plan::FloorPlan, survey::LayingFloor, units::MM_PER_INCH};

/// Sides of the triangle come in steps of this, mm: 3-4-5 times 50 mm, or times 2 in.
const STEP_MM: f64 = 50.0;
const STEP_INCHES: f64 = 2.0;

/// The side square to the line is at most this much longer than the longest offset: a direction is not carried
/// further than it was set, and no floor is wasted.
const BEYOND_OFFSET: f64 = 1.25;

/// A triangle that opens towards the vehicle is taken where none that opens away from it is at least this part of the offset
/// long: a direction is carried to twice the length that it was set over, not more.
const LEAST_PART: f64 = 0.5;

/// A triangle may be this large where offsets are short, mm across.
const LEAST_ACROSS_MM: f64 = 900.0;

/// Longest side along the line, mm: what one person lays and another reads without sag.
const LONGEST_ALONG_MM: f64 = 3000.0;

/// Whoever plumbs a vehicle kneels ahead of it, behind it and beside it: so much floor is clear there whatever the layout
/// needs, mm (common practice, no source).
const PASSAGE_MM: f64 = 600.0;

/// The floor that hands have: what the layout needs, and a passage about the vehicle.
pub fn working_floor(plan: &FloorPlan) -> Rect {
    let passage = plan.vehicle.body().inflate(PASSAGE_MM, PASSAGE_MM);
    plan.floor.needed.union(passage)
}

/// A point of a line along the vehicle at which something is set off square.
#[derive(Clone, Copy, Debug)]
pub struct Foot {
    /// The point.
    pub at: Point,
    /// True where something lies to the left of the line.
    pub left: bool,
    /// True where something lies to the right of it.
    pub right: bool,
}

/// A 3-4-5 triangle with its right angle at a foot on a line. Lengths in mm.
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

impl Foot {
    /// A foot of which both sides are wanted.
    #[must_use]
    pub const fn both(at: Point) -> Self {
        Self {
            at,
            left: true,
            right: true,
        }
    }

    fn sides(self) -> impl Iterator<Item = f64> {
        let sides = [(self.left, 1.0), (self.right, -1.0)];
        sides.into_iter().filter(|side| side.0).map(|side| side.1)
    }

    /// The triangle's three corners on each wanted side: the foot, the end on the line, the end square to it.
    fn corners(self, across: f64, along: f64) -> impl Iterator<Item = [Point; 3]> {
        let Self { at, .. } = self;
        self.sides().map(move |side| {
            [
                at,
                at + Vec2::new(along, 0.0),
                at + Vec2::new(0.0, side * across),
            ]
        })
    }
}

impl RightAngle {
    /// The largest sensible triangle that serves all feet, for offsets up to `offset` mm; `None` where floor, wheels and body
    /// leave no room.
    pub fn at(
        plan: &FloorPlan,
        floor: LayingFloor,
        feet: &[Foot],
        offset: f64,
        inches: bool,
    ) -> Option<Self> {
        // Away from the vehicle first.
        let middle = (plan.vehicle.front_x + plan.vehicle.rear_x) / 2.0;
        let ahead = feet.first().is_none_or(|foot| foot.at.x >= middle);
        let outward = if ahead { 1.0 } else { -1.0 };
        let largest = |direction: f64| {
            let fits = |[along, across, _]: &[f64; 3]| {
                feet.iter()
                    .all(|foot| has_room(plan, floor, *foot, *across, direction * along))
            };
            let fitting = sizes(plan, offset, inches).filter(fits);
            let best = fitting.max_by(|a, b| a[1].total_cmp(&b[1]));
            best.map(|[along, across, diagonal]| Self {
                along,
                across,
                diagonal,
                direction,
            })
        };
        let away = largest(outward);
        if away.is_some_and(|away| away.across >= LEAST_PART * offset) {
            return away;
        }
        let towards = largest(-outward);
        let across = |angle: Option<Self>| angle.map_or(0.0, |angle| angle.across);
        if across(towards) > across(away) {
            towards
        } else {
            away
        }
    }

    /// What is taped of it on the floor, as triangles.
    #[must_use]
    pub fn triangles(&self, feet: &[Foot]) -> Vec<[Point; 3]> {
        let of = |foot: &Foot| foot.corners(self.across, self.direction * self.along);
        feet.iter().flat_map(of).collect()
    }
}

impl Arcs {
    /// The largest sensible arcs at a foot, see [`RightAngle::at`].
    pub fn at(
        plan: &FloorPlan,
        floor: LayingFloor,
        foot: Foot,
        offset: f64,
        inches: bool,
    ) -> Option<Self> {
        let fits = |[along, across, _]: &[f64; 3]| {
            [1.0, -1.0]
                .into_iter()
                .all(|way| has_room(plan, floor, foot, *across, way * along))
        };
        let fitting = sizes(plan, offset, inches).filter(fits);
        let best = fitting.max_by(|a, b| a[1].total_cmp(&b[1]));
        best.map(|[along, across, radius]| Self {
            along,
            radius,
            across,
        })
    }

    /// What is taped of them on the floor, as triangles.
    #[must_use]
    pub fn triangles(&self, foot: Foot) -> Vec<[Point; 3]> {
        let ways = [1.0, -1.0].into_iter();
        ways.flat_map(|way| foot.corners(self.across, way * self.along))
            .collect()
    }
}

/// Triangles to choose from, small ones first: along the line, square to it, between.
fn sizes(plan: &FloorPlan, offset: f64, inches: bool) -> impl Iterator<Item = [f64; 3]> {
    let step = if inches {
        STEP_INCHES * MM_PER_INCH
    } else {
        STEP_MM
    };
    let widest = (BEYOND_OFFSET * offset)
        .max(LEAST_ACROSS_MM)
        .min(working_floor(plan).height());
    let count = (widest / (3.0 * step)).floor().max(0.0) as usize;
    let scales = (1..=count).map(move |number| step * number as f64);
    let triangles = scales.flat_map(|k| [[3.0 * k, 4.0 * k, 5.0 * k], [4.0 * k, 3.0 * k, 5.0 * k]]);
    triangles.filter(move |[along, across, _]| *across <= widest && *along <= LONGEST_ALONG_MM)
}

/// True where floor, wheels and body leave room for a triangle on all sides that are wanted, its side on the line
/// running `along` mm forward of the foot (negative: rearward).
fn has_room(plan: &FloorPlan, floor: LayingFloor, foot: Foot, across: f64, along: f64) -> bool {
    let room = working_floor(plan);
    let within =
        |at: Point| (room.x0..=room.x1).contains(&at.x) && (room.y0..=room.y1).contains(&at.y);
    foot.corners(across, along).all(|[foot, end, top]| {
        [(foot, end), (foot, top), (end, top)]
            .into_iter()
            .all(|(a, b)| floor.tape_lies(plan, a, b))
            && within(end)
            && within(top)
    })
}
