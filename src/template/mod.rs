//! Layout templates: marks, lines and panels as relations to a vehicle's datums, without a single
//! formula. A template is read and checked here as far as it can be without a vehicle; the `plan`
//! room gives it one.

mod amount;
mod model;
mod panel;
mod read;
mod refs;
mod value;

pub use amount::Amount;
pub use model::{
    AxleChoice, BearingFrom, ClearFloor, CrossingMarks, FloorSpec, LineSpec, PanelSpec,
    PointOrigin, PointSpec, Rail, RailFrom, Sides, Station, StationFrom, StripEnds, TemplateSpec,
};
pub use panel::{Field, PanelShape, PanelSpecShape};
pub use refs::{Datum, MarkRef, Side};
pub use value::{NamedValue, ValueKind};
