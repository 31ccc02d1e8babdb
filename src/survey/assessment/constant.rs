//! A tape that reads all distances long or short by the same amount, as one hooked from a worn end does.

use super::model::TapedLayout;
use crate::survey::{DesignRow, Geometry};

/// Constants below this are not looked for, mm: they are lost in the readings' own errors.
const LEAST_MM: f64 = 1.5;

/// Fewer readings cannot tell a constant from marks that lie off.
const LEAST_READINGS: usize = 8;

/// A constant is believed when it leaves less than this part of the squared differences from the design.
const MUCH_BETTER: f64 = 0.35;

/// … and when a common scale does not do nearly as well: the squares that the constant leaves are at most this part of those
/// that the scale leaves.
const BETTER_THAN_SCALE: f64 = 0.6;

/// How much too long all readings of distances are, mm, where that explains most of their differences from the design.
pub(super) fn constant_error(layout: &TapedLayout) -> Option<f64> {
    let place = |point: usize| layout.designs[point].unwrap_or(layout.network.points[point].start);
    let difference = |observation: &crate::survey::Observation| {
        let Geometry::Distance { from, to } = observation.geometry else {
            return None;
        };
        let known =
            |point: usize| layout.designs[point].is_some() || layout.wheels.contains(&point);
        let row =
            DesignRow::at(observation.geometry, place).filter(|_| known(from) && known(to))?;
        Some((
            row.value,
            observation.value - row.value,
            observation.sd.powi(-2),
        ))
    };
    let observations = layout.network.observations.iter();
    let all: Vec<(f64, f64, f64)> = observations.filter_map(difference).collect();
    if all.len() < LEAST_READINGS {
        return None;
    }
    let left = |by: &dyn Fn(f64) -> f64| {
        all.iter()
            .map(|(length, off, weight)| weight * (off - by(*length)).powi(2))
            .sum::<f64>()
    };
    let weights: f64 = all.iter().map(|(_, _, weight)| weight).sum();
    let constant = all.iter().map(|(_, off, weight)| weight * off).sum::<f64>() / weights;
    let lengths: f64 = all
        .iter()
        .map(|(length, _, weight)| weight * length * length)
        .sum();
    let scale = all
        .iter()
        .map(|(length, off, weight)| weight * length * off)
        .sum::<f64>()
        / lengths;
    let rest = left(&|_| constant);
    (constant.abs() >= LEAST_MM
        && rest < MUCH_BETTER * left(&|_| 0.0)
        && rest < BETTER_THAN_SCALE * left(&|length| scale * length))
    .then_some(constant)
}
