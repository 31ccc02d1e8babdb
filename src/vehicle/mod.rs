//! The vehicle spec: the dimensions of one vehicle, as typed and as checked.

mod spec;
#[cfg(feature = "serve")]
mod sums;
mod tyre;

#[cfg(any(test, feature = "serve"))]
pub use spec::DIMENSIONS;
pub use spec::{TYRE_STANDS_OUT_MM, VehicleSpec, WHEELBASE_DIFFERENCE_MM};
#[cfg(feature = "serve")]
pub use sums::Taken;
pub use tyre::{Tyre, TyreCode};
