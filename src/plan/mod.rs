//! The resolved floor layout. Whatever comes after it sees absolute millimetres and never asks a
//! template or a vehicle again.
//!
//! Marks are named by station number, counted from the front, and rail letter (`1L`, `4C`); a
//! second rail on a side, as declared outwards, adds its number (`2L2`). Stations are declared from
//! front to rear, and a layout in which one overtakes another is refused: that is how a mirrored
//! layout is noticed. Left and right wheelbase may differ, so a station on the rear axle has an x
//! for each side, and their mean on the centreline.
//!
//! Tape strips run from mark to mark, and past them to the outer edge of a strip that they end on, unless the template
//! ends them at the mark: as strips of tape that are torn off there, they leave no corner open. [`FloorPlan::checks`] are distances between marks, whatever is taped of them:
//! sides, ends and diagonals make each pair of rails stiff, ties join the pairs and the points to
//! the two base marks, so every mark is held (the rank of their Jacobian is tested from outside).
//! Setting-out steps and exercises choose from them.

mod bay;
mod checks;
mod ends;
mod farthest;
mod fault;
mod join;
mod lay;
mod limits;
mod mark_shape;
mod marks;
mod mat;
mod model;
#[cfg(test)]
mod property_tests;
mod rectangle;
mod relations;
mod resolve;
mod scaled;
mod setting;
mod stations;
#[cfg(test)]
mod tests;
mod vehicle;

pub use bay::{Bay, Obstacle};
pub(crate) use fault::{Length, MarkFault, OrderFault, PlanFault};
pub use join::{JoinedPlans, MOST_VEHICLES, join};
pub use lay::{
    GridProof, Lay, LayEnd, LayKind, LayReading, MarkProof, Proof, WHEEL_NAMES, WouldTake,
};
pub(crate) use limits::MOST_MARKS;
pub use mark_shape::MarkShape;
pub use mat::{Mat, MatVehicle};
pub use model::{
    BayVerdict, Check, CheckKind, FloorLimits, FloorPlan, Line, Mark, Panel, ValueEcho,
};
pub use rectangle::{bounds, corners};
pub use setting::Setting;
pub use vehicle::{VehicleOnFloor, Wheel};

pub use crate::template::{Field, PanelShape};
#[cfg(test)]
pub use model::{FloorNeed, TemplateEcho};
