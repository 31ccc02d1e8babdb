//! The resolved floor layout. Whatever comes after it sees absolute millimetres and never asks a
//! template or a vehicle again.

mod bay;
mod checks;
mod join;
mod lay;
mod mark_shape;
mod marks;
mod mat;
mod model;
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
pub use join::{JoinedPlans, MOST_VEHICLES, join};
pub use lay::{
    GridProof, Lay, LayEnd, LayKind, LayReading, MarkProof, Proof, WHEEL_NAMES, WouldTake,
};
pub use mark_shape::MarkShape;
pub use mat::{Mat, MatVehicle};
pub use model::{Check, CheckKind, FloorLimits, FloorPlan, Line, Mark, Panel, ValueEcho};
pub use rectangle::{bounds, corners};
pub use setting::Setting;
pub use vehicle::{VehicleOnFloor, Wheel};

pub use crate::template::Field;
#[cfg(test)]
pub use crate::template::PanelShape;
#[cfg(test)]
pub use model::{BayVerdict, FloorNeed, TemplateEcho};
