//! How far a check reading may differ.

use kurbo::Point;

/// Limits of a check distance, mm, either way. Where a reading's difference lies up to `accept` the
/// distance is proven within its tolerance, from `reject` on it is proven outside, and between them the
/// tape cannot tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// How far the distance itself may be off: the larger tolerance of its two ends.
    pub tolerance: f64,
    /// Largest difference that proves the distance within its tolerance; `None` where the tape is too
    /// coarse to prove it.
    pub accept: Option<f64>,
    /// Smallest difference that proves the distance outside its tolerance.
    pub reject: f64,
    /// Difference that careful setting out and taping stay within in 95 %.
    pub expected: f64,
}

impl Limits {
    /// Limits of a reading without error: what a layout has before it is known how its checks are taped.
    #[must_use]
    pub const fn exact(tolerance: f64) -> Self {
        Self {
            tolerance,
            accept: Some(tolerance),
            reject: tolerance,
            expected: 0.0,
        }
    }
}

/// A distance from a plumbed wheel mark to a mark of the layout: it shows whether the layout lies right
/// against the vehicle.
#[derive(Clone, Debug)]
pub struct VehicleCheck {
    /// Running name: `V1`, `V2` …
    pub id: String,
    /// Name of the wheel mark.
    pub wheel: String,
    /// Place of the wheel mark on the floor, mm.
    pub wheel_at: Point,
    /// Index of the mark.
    pub mark: usize,
    /// What the tape should read, mm.
    pub distance: f64,
}
