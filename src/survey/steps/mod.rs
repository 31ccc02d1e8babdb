//! Setting a layout out by hand, step by step, with the check that follows each step at once.
//!
//! Two ways lead to every mark. *Perpendicular*: with the vehicle standing there, along strings beside it, square to them and
//! to the centreline; nothing is taped below it or through a wheel. Where the layout lies below the vehicle (see
//! [`LayingFloor`]) stations along a snapped line and square offsets from it. *Two-tape*: where two distances from the
//! two base marks meet, on the empty floor; the vehicle is driven on afterwards. All stations are taped from one place, so
//! that errors do not add up.
//!
//! Points that are no marks are named in small letters (`zero`, `foot 2`, `h1`), so that no mark,
//! check or sheet has the same name; plumbed wheel centres have the names of the check list. Errors of what is set from
//! other points (a string, two arcs) take those points' influences over with their sensitivities,
//! common causes by index, so that a plumbed end never counts twice as independent; tested against
//! arcs and strings drawn at random. `Method::TapeOnly` in the error budget stays the direct offset
//! for every mark.

mod course;
mod datum;
mod errors;
mod instruction;
mod perpendicular;
#[cfg(test)]
mod random_tests;
mod right_angle;
mod sections;
mod standing;
mod strings;
#[cfg(test)]
mod tests;
mod two_tape;

use kurbo::Point;

pub use errors::MarkErrors;
pub use instruction::Instruction;
pub use right_angle::{Arcs, RightAngle};

use self::strings::Strings;
use super::{LayingFloor, Precision};
use crate::plan::FloorPlan;

/// A distance from the centreline below this is none, mm.
const ON_LINE_MM: f64 = 1e-3;

/// A way of setting out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Stations along strings or the chalk line, and square offsets.
    Perpendicular,
    /// Two taped distances from the base marks.
    TwoTape,
}

impl Way {
    /// Both, in the order of the pages.
    pub const ALL: [Self; 2] = [Self::Perpendicular, Self::TwoTape];
}

/// A named floor point: a mark, or a point that only helps to set out.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// The mark's id, or a name in small letters: `front`, `rear`, `zero`, `foot 2`, `h1`.
    pub name: String,
    /// Where it lies, mm.
    pub at: Point,
}

/// A distance to be taped.
#[derive(Clone, Debug, PartialEq)]
pub struct TapedLength {
    /// Where the tape is held.
    pub from: Spot,
    /// Where it is read.
    pub to: Spot,
}

impl TapedLength {
    /// What the tape reads, mm.
    #[must_use]
    pub fn distance(&self) -> f64 {
        self.from.at.distance(self.to.at)
    }
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Number on the page, from 1.
    pub number: usize,
    /// What to do.
    pub instruction: Instruction,
    /// Indices of the marks that it makes.
    pub marks: Vec<usize>,
    /// What to tape.
    pub tape: Vec<TapedLength>,
    /// What to tape at once as a check, with what it should read.
    pub check: Vec<TapedLength>,
    /// Strings that are stretched, by their ends. One may run below the body: it is drawn through from end to end, and nobody
    /// reaches below.
    pub strings: Vec<[Spot; 2]>,
    /// Triangles whose sides are taped for right angles, on the floor, mm.
    pub triangles: Vec<[Point; 3]>,
}

/// The steps of both ways, with what to expect of them.
#[derive(Clone, Debug)]
pub struct SettingOutSteps {
    /// What stands on the floor in the perpendicular way; in the other one it is empty.
    pub floor: LayingFloor,
    /// Points that are no marks, in the order in which they are set, by way.
    pub help: [Vec<Spot>; 2],
    /// Steps of the perpendicular way.
    pub perpendicular: Vec<Step>,
    /// Steps of the two-tape way.
    pub two_tape: Vec<Step>,
    /// Expected errors of the plan's marks, in their order.
    pub errors: Vec<MarkErrors>,
    /// Radius in mm about its place that holds each of the plan's marks with 95 % after the check list was taped and
    /// marks were moved as asked; `None` as long as no check plan says it.
    pub after: Option<Vec<f64>>,
}

impl SettingOutSteps {
    /// The steps for a layout. With `inches`, right angles come in whole inches, and instructions
    /// ask for inches beside the millimetres.
    #[must_use]
    pub fn of(plan: &FloorPlan, precision: &Precision, inches: bool) -> Self {
        let floor = LayingFloor::of(plan);
        let strings = Strings::of(plan, inches);
        let beside = (floor == LayingFloor::VehicleStands).then_some(&strings);
        let errors = errors::errors(plan, precision, beside);
        let (perpendicular, help) = match beside {
            Some(strings) => standing::steps(plan, strings, inches),
            None => perpendicular::steps(plan, inches),
        };
        let (two_tape, other) = two_tape::steps(plan, &errors, inches);
        Self {
            floor,
            help: [help, other],
            perpendicular,
            two_tape,
            errors,
            after: None,
        }
    }

    /// What stands on the floor in one way.
    #[must_use]
    pub const fn floor_of(&self, way: Way) -> LayingFloor {
        match way {
            Way::Perpendicular => self.floor,
            Way::TwoTape => LayingFloor::Empty,
        }
    }

    /// Points of one way that are no marks.
    #[must_use]
    pub fn help_of(&self, way: Way) -> &[Spot] {
        &self.help[way as usize]
    }

    /// The same with what checks and moves bring the marks to, see [`SettingOutSteps::after`].
    #[must_use]
    pub fn after_checks(self, after: Option<Vec<f64>>) -> Self {
        Self { after, ..self }
    }

    /// The steps of one way.
    #[must_use]
    pub fn way(&self, way: Way) -> &[Step] {
        match way {
            Way::Perpendicular => &self.perpendicular,
            Way::TwoTape => &self.two_tape,
        }
    }

    /// The worst mark of a step, and how far in mm it lies from its place at most in 95 % of cases, as set; `None`
    /// where the step makes no mark.
    #[must_use]
    pub fn worst(&self, way: Way, step: &Step) -> Option<(usize, f64)> {
        let errors = step
            .marks
            .iter()
            .map(|&mark| (mark, self.errors[mark].radius_95(way)));
        errors.reduce(|worst, next| if next.1 > worst.1 { next } else { worst })
    }

    /// Radius in mm that holds the worst mark of a step after checks and moves, where that is known.
    #[must_use]
    pub fn worst_after(&self, step: &Step) -> Option<f64> {
        let after = self.after.as_ref()?;
        step.marks.iter().map(|&mark| after[mark]).reduce(f64::max)
    }
}
