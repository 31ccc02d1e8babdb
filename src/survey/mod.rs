//! What can be expected of a layout on a real floor: pure numbers, no drawing.
//!
//! [`Precision`] is the one table of a-priori standard deviations, which a job may override. From it
//! [`ErrorBudget`] tells, for each mark and each way of bringing it to the floor, how far the mark may
//! lie off, by the law of propagation of uncertainty (JCGM 100:2008, 5.1.2 and 5.2.2).
//!
//! Correlations are kept by taking every error apart into causes that are independent of each other
//! (JCGM 100, F.1.2.4): what one cause does to a mark is one [`Influence`], a vector. A cause that acts
//! on several lengths, such as the scale of the printer, is a single influence whose effects were added
//! with their signs; the covariance of a mark is then the sum of all influences' outer products.
//!
//! The budget has one setting-out method throughout, station and square offset: two-tape distances
//! hold a mark on the base line along it only. A position error is the radius of the circle that
//! holds the mark with just 95 % (`Covariance::radius_95`: 1.96 to 2.45 of the larger standard
//! deviation), as laid. It is set against no tolerance, for it says nothing about the floor once
//! that is checked; what checks and moves bring the marks to comes from a check plan
//! (`after_checks`) and hardly depends on the way.
//!
//! Sheets are those of the job's paper, strips have their own length, so that a way has one number
//! in all kits; strips have no row for joined sheets, and rings of sheets are taken as open chains.
//! Along a strip the scale is what its own long bar lets pass (`Precision::strip_scale`), not that
//! of a square of 100 mm. A measured printer is as well known as its test bars were read, ± 0.2 mm
//! at both ends, with the rule's class and the paper's movement on that day; a profile keeps its
//! `[correction]` also where nothing was to be corrected. `Precision::scale_source` says on the
//! sheet which number was used; a job's own goes first.

mod assessment;
mod belief;
mod budget;
mod chain;
mod check_plan;
mod covariance;
#[cfg(test)]
mod dice;
#[cfg(test)]
mod fixture;
mod halving;
mod influence;
mod joint;
mod lay_plan;
#[cfg(test)]
mod laying_fixture;
mod laying_floor;
mod least_squares;
mod levels;
mod method;
mod network;
mod plane;
mod precision;
mod prior;
mod propagate;
mod readings;
mod reliability;
mod rigid_fit;
mod roll;
mod setting_out;
mod steps;
mod tape;
#[cfg(test)]
mod tests;
mod verdict;
mod wheel_marks;
mod wheel_stance;

#[cfg(test)]
pub use assessment::GlobalTest;
pub use assessment::{
    AssessError, Assessment, Decision, Finding, Impossible, MarkFinding, Misread, PartVerdict,
    Pose, Slip, Spare, Suspect, TURN_THAT_NEVER_PASSES_DEG, TapedLayout, Todo, UnitSlip,
    WholeFault, assess,
};
pub use budget::{ErrorBudget, MethodBudget};
pub use check_plan::{CheckPlan, CheckPlanner, LongestPull, out_of_square};
pub use covariance::{COVERAGE_FACTOR, Covariance};
pub use influence::{Cause, Influence};
pub use joint::Joint;
pub use lay_plan::{CheckChoice, LayPlanner, spare};
pub use laying_floor::LayingFloor;
pub use least_squares::LinearFit;
pub(crate) use levels::LevelFault;
pub use levels::{
    FloorAssessment, FloorQuantity, FloorSurface, Judgement, LevelPlace, LevelReadings,
    PlaceMeaning, level_places,
};
pub use method::Method;
pub use network::{
    AdjustError, Adjusted, Adjustment, Datum, DesignRow, Geometry, HeldPart, Network, NetworkPoint,
    Observation,
};
pub use plane::{Fall, LevelPoint, Plane, PlaneError};
pub use precision::{Precision, STRIP_BAR_MM_PER_METRE, ScaleSource};
pub use prior::LayingPrior;
pub use propagate::propagate;
pub(crate) use readings::{Absurd, FormRow, ReadingFault};
pub use readings::{FormRows, Reading, ReadingKind, Readings};
pub(crate) use readings::{PRINTED_COLUMNS, READING_COLUMNS};
pub use reliability::{
    POWER, SIGNIFICANCE, chi_squared_quantile, critical_displacement, critical_value,
    critical_value_among, non_centrality,
};
pub use rigid_fit::RigidFit;
pub use steps::{
    Arcs, Instruction, MarkErrors, RightAngle, SettingOutSteps, Spot, Step, TapedLength, Way,
};
pub use tape::TapeClass;
pub use verdict::{CONFORMANCE, Verdict, guard_factor};
pub use wheel_marks::wheel_marks;
pub use wheel_stance::WheelStance;
