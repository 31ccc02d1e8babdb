//! The vehicle spec: the dimensions of one vehicle, as typed and as checked.

mod spec;
mod tyre;

pub use spec::VehicleSpec;
pub use tyre::{Tyre, TyreCode};
