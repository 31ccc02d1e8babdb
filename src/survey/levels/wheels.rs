//! Which of the readings are of four wheels.

use super::super::{LevelPoint, WheelStance};
use crate::plan::WHEEL_NAMES;

/// The stances of the vehicles all four wheels of which were read, each with its prefix in names: empty, or the
/// letter of a vehicle on a mat with its colon. Wheels that make no plane are left to the floor's judgement.
pub(super) fn stances(points: &[LevelPoint]) -> Vec<(String, WheelStance)> {
    let prefixes = points
        .iter()
        .filter_map(|point| point.name.strip_suffix(WHEEL_NAMES[0]));
    prefixes
        .filter_map(|prefix| {
            let wheel = |name: &str| {
                points
                    .iter()
                    .find(|point| point.name == format!("{prefix}{name}"))
                    .cloned()
            };
            let [a, b, c, d] = WHEEL_NAMES.map(wheel);
            let stance = WheelStance::of([a?, b?, c?, d?]).ok()?;
            Some((prefix.to_owned(), stance))
        })
        .collect()
}
