//! Readings that nothing checks: which marks rest on them, and what to tape besides.

use super::{model::TapedLayout, snooping::Snooped};
use crate::survey::{Geometry, HeldPart};

/// A reading with less redundancy is not checked by the others: an error has to be 18 times its standard deviation
/// (δ₀/√0.05) before it is found.
const UNCHECKED: f64 = 0.05;

/// With more readings that nothing checks, no mark counts as checked, without a closer look.
const MOST_UNCHECKED: usize = 40;

/// Points that would be loose, or known no better than to their tolerance, without some reading that nothing checks: if that
/// reading is wrong, nobody notices.
pub(super) fn unchecked(snooped: &Snooped, tolerances: &[Option<f64>]) -> Vec<bool> {
    let adjustment = &snooped.adjustment;
    let doubtful: Vec<usize> = (0..adjustment.observations.len())
        .filter(|&index| is_unchecked(snooped, index))
        .collect();
    if adjustment.dof == 0 || doubtful.len() > MOST_UNCHECKED {
        return vec![true; tolerances.len()];
    }
    let mut found = vec![false; tolerances.len()];
    for index in doubtful {
        let mut without = snooped.network.clone();
        without.observations.remove(index);
        let part = without.held_part();
        let held = part.network.adjust().ok();
        let all: Vec<usize> = (0..part.points.len()).collect();
        let covariances = held
            .and_then(|held| held.relative_covariances(&all, &all))
            .unwrap_or_default();
        for (point, tolerance) in tolerances.iter().enumerate() {
            let own = part
                .points
                .iter()
                .position(|&kept| kept == point)
                .and_then(|own| covariances.get(own));
            let well = own.is_some_and(|covariance| {
                tolerance.is_none_or(|tolerance| covariance.position() <= tolerance)
            });
            found[point] |= !well;
        }
    }
    found
}

fn is_unchecked(snooped: &Snooped, index: usize) -> bool {
    let taped = matches!(
        snooped.network.observations[index].geometry,
        Geometry::Distance { .. } | Geometry::Offset { .. }
    );
    taped && snooped.adjustment.observations[index].redundancy < UNCHECKED
}

/// Distances to tape besides: those that hold what is loose, else those that check what nothing checks.
pub(super) fn pulls_to_add(
    layout: &TapedLayout,
    part: &HeldPart,
    snooped: &Snooped,
) -> Vec<[usize; 2]> {
    if part.points.len() < layout.network.points.len() {
        return layout.network.pulls_to_hold(&layout.further);
    }
    let mut pulls: Vec<[usize; 2]> = Vec::new();
    for index in
        (0..snooped.adjustment.observations.len()).filter(|&index| is_unchecked(snooped, index))
    {
        if !pulls
            .iter()
            .any(|&pull| snooped.checks(index, pull) > UNCHECKED)
        {
            let own = |pair: &&[usize; 2]| {
                part.points.contains(&pair[0]) && part.points.contains(&pair[1])
            };
            let gain = |pair: &[usize; 2]| snooped.checks(index, *pair);
            let best = layout
                .further
                .iter()
                .filter(own)
                .reduce(|a, b| if gain(b) > gain(a) * 1.05 { b } else { a });
            pulls.extend(best.filter(|pair| gain(pair) > UNCHECKED));
        }
    }
    pulls
}
