//! The strings beside a vehicle that stands there, and what stations count from along them.
//!
//! The vehicle's middle is plumbed at its ends, and the line through both is known ahead of the vehicle and behind it; a string
//! below the body holds it together. From there one distance is set off square to both sides, and strings run past the
//! wheels, parallel to the line. A small error of those right angles hardly moves a string sideways, so they may be
//! short. Along the strings stations count from the plumbed centres of two wheels, or from the plumbed bumper, whichever
//! the layout's origin lies below.

use kurbo::Point;

use super::{ON_LINE_MM, Spot, right_angle::working_floor, sections::middles};
use crate::{
    plan::{FloorPlan, VehicleOnFloor},
    survey::wheel_marks,
    template::Datum,
    units::{MM_PER_INCH, SAME_WRITTEN_MM},
};

/// Least clear distance of a string from the body and the tyres' outer faces, mm: a tyre bulges, and a string that
/// touches it is pushed off its line.
const CLEAR_MM: f64 = 20.0;

/// How far the ends of the strings lie beyond the outermost station or the body, mm, where there is room: a mark at the end
/// of a string hides its knot.
const BEYOND_MM: f64 = 200.0;

/// Lengths that can be chosen freely come in steps of this, mm, or inches.
const STEP_MM: f64 = 50.0;
const STEP_INCHES: f64 = 2.0;

/// The strings beside a vehicle. Pairs of sides have the left one first.
#[derive(Clone, Debug)]
pub(super) struct Strings {
    /// Distance of both from the line, mm.
    pub offset: f64,
    /// Points of the line ahead of the vehicle and behind it, square to which the strings' ends lie.
    pub feet: [Spot; 2],
    /// For each side the front end and the rear end.
    pub ends: [[Spot; 2]; 2],
    /// What stations count from, on each string.
    pub starts: [Spot; 2],
    /// Where that is known from.
    pub datum: Start,
}

/// What the starts on the strings are set from.
#[derive(Clone, Debug)]
pub(super) enum Start {
    /// Plumbed wheel centres, the left one first.
    Wheels {
        /// True for those of the front wheels.
        front: bool,
        /// Below the tyres' outer faces.
        plumbed: [Spot; 2],
    },
    /// The plumbed middle of the front or the rear.
    Bumper(Spot),
}

impl Strings {
    /// The strings for a layout; with `inches`, lengths that can be chosen are whole inches.
    pub(super) fn of(plan: &FloorPlan, inches: bool) -> Self {
        let step = if inches {
            STEP_INCHES * MM_PER_INCH
        } else {
            STEP_MM
        };
        let offset = offset(plan, step);
        let feet = feet(plan, step);
        let names = [["h1", "h2"], ["h3", "h4"]];
        let sides = [offset, -offset];
        let ends = [0, 1].map(|side| {
            [0, 1].map(|end| Spot {
                name: names[side][end].to_owned(),
                at: Point::new(feet[end].at.x, sides[side]),
            })
        });
        let (datum, x, word) = start(plan);
        let starts = [0, 1].map(|side| {
            let at = Point::new(x[side], sides[side]);
            let name = format!("{word} {}", ["l", "r"][side]);
            mark_at(plan, at).unwrap_or(Spot { name, at })
        });
        Self {
            offset,
            feet,
            ends,
            starts,
            datum,
        }
    }

    /// The side of a place: 0 left of the line, 1 right of it.
    pub(super) fn side(y: f64) -> usize {
        usize::from(y < 0.0)
    }

    /// The place on a side's string at a station.
    pub(super) fn at(&self, x: f64, side: usize) -> Point {
        Point::new(x, [self.offset, -self.offset][side])
    }

    /// True for a place on one of the strings.
    pub(super) fn carry(&self, at: Point) -> bool {
        (at.y.abs() - self.offset).abs() < ON_LINE_MM
    }
}

impl Strings {
    /// True for a place beyond the vehicle's ends and on no string: it lies on a string stretched across.
    pub(super) fn cross(&self, vehicle: &VehicleOnFloor, at: Point) -> bool {
        !self.carry(at) && !vehicle.runs_below(self.at(at.x, 0), self.at(at.x, 1))
    }
}

/// The mark at a place, if any.
pub(super) fn mark_at(plan: &FloorPlan, at: Point) -> Option<Spot> {
    let mark = plan
        .marks
        .iter()
        .find(|mark| mark.at.distance(at) < SAME_WRITTEN_MM)?;
    Some(Spot {
        name: mark.id.clone(),
        at: mark.at,
    })
}

/// Through the nearest marks beside the body, if a string there is clear of body and tyres; else through the nearest
/// marks that are; else as near as may be.
fn offset(plan: &FloorPlan, step: f64) -> f64 {
    let vehicle = &plan.vehicle;
    let faces = wheel_marks(vehicle).map(|(_, at)| at.y.abs());
    let clear = faces.into_iter().fold(vehicle.half_width, f64::max) + CLEAR_MM;
    let offsets = |beside: bool| {
        let marks = plan.marks.iter().map(|mark| mark.at);
        marks
            .filter(move |at| !beside || (vehicle.rear_x..=vehicle.front_x).contains(&at.x))
            .map(|at| at.y.abs())
            .filter(|offset| *offset >= clear)
            .reduce(f64::min)
    };
    let chosen = offsets(true).or_else(|| offsets(false));
    chosen.unwrap_or_else(|| (clear / step).ceil() * step)
}

/// Points of the line beyond all stations and the body, at a round distance from the plumbed middles where there is room.
fn feet(plan: &FloorPlan, step: f64) -> [Spot; 2] {
    let ends = middles(plan);
    let floor = working_floor(plan);
    [(0, "foot a", 1.0, floor.x1), (1, "foot b", -1.0, floor.x0)].map(|(end, name, way, limit)| {
        let from = ends[end].at.x;
        let stations = plan.marks.iter().map(|mark| way * (mark.at.x - from));
        let out = stations.fold(0.0, f64::max) + BEYOND_MM;
        let round = (out / step).ceil() * step;
        // Where the floor ends before, the outermost station will do.
        let room = (way * (limit - from)).max(out - BEYOND_MM);
        Spot {
            name: name.to_owned(),
            at: Point::new(from + way * round.min(room), 0.0),
        }
    })
}

/// What stations count from, its x left and right, and the word for it.
fn start(plan: &FloorPlan) -> (Start, [f64; 2], &'static str) {
    let marks = wheel_marks(&plan.vehicle);
    let wheels = |front: bool| {
        let first = if front { 0 } else { 2 };
        let plumbed = [first, first + 1].map(|wheel| Spot {
            name: marks[wheel].0.to_owned(),
            at: marks[wheel].1,
        });
        let x = plumbed.each_ref().map(|spot| spot.at.x);
        (Start::Wheels { front, plumbed }, x, "axle")
    };
    let bumper = |end: usize| {
        let [front, rear] = middles(plan);
        let spot = if end == 0 { front } else { rear };
        let x = spot.at.x;
        (Start::Bumper(spot), [x; 2], "bumper")
    };
    match plan.template.origin {
        Datum::FrontAxle => wheels(true),
        Datum::RearAxle => wheels(false),
        Datum::FrontBumper => bumper(0),
        Datum::RearBumper => bumper(1),
    }
}
