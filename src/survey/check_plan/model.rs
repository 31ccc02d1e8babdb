//! What a check plan consists of.

use kurbo::Point;

use super::Detectable;
use crate::plan::Check;

/// The distances to tape once the marks lie, and what they find. Lengths in mm.
#[derive(Clone, Debug)]
pub struct CheckPlan {
    /// Distances between marks.
    pub pulls: Vec<PlannedPull>,
    /// What is found of each mark, in the order of the layout's marks.
    pub marks: Vec<Detectable>,
    /// Marks that no choice of reachable distances proves: indices into `marks`.
    pub unmet: Vec<usize>,
    /// Distances from the wheel marks.
    pub vehicle_checks: Vec<VehicleCheck>,
}

/// A distance of a check plan.
#[derive(Clone, Debug)]
pub struct PlannedPull {
    /// The distance.
    pub check: Check,
    /// Standard deviation of its reading.
    pub sd: f64,
    /// Part of an error of its reading that the others show, 0 to 1.
    pub redundancy: f64,
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
