//! Readings held against the design, one by one, as the checklist does it.

use super::model::TapedLayout;
use crate::survey::{DesignRow, Geometry, Verdict};

/// A reading against what it should be, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compared {
    /// What it should be; `None` where a point of it has no designed place.
    pub design: Option<f64>,
    /// Within the tolerance, beyond it, or not to be told; `None` without a design or a tolerance.
    pub verdict: Option<Verdict>,
}

impl TapedLayout {
    /// One of the taped readings against the design: the larger tolerance of its marks counts. A wheel mark is where the
    /// vehicle's dimensions put it. `None` for what was not taped: a wheel mark's own place.
    #[must_use]
    pub fn compared(&self, observation: usize) -> Option<Compared> {
        let one = self.network.observations.get(observation)?;
        if matches!(one.geometry, Geometry::X { .. } | Geometry::Y { .. }) {
            return None;
        }
        let points = one.geometry.points();
        let designed = |point: usize| match self.designs[point] {
            None if self.wheels.contains(&point) || self.network.points[point].fixed => {
                Some(self.network.points[point].start)
            }
            design => design,
        };
        let known = points.iter().all(|&point| designed(point).is_some());
        let place = |point: usize| designed(point).unwrap_or(self.network.points[point].start);
        let design = DesignRow::at(one.geometry, place)
            .filter(|_| known)
            .map(|row| row.value);
        let tolerance = points
            .iter()
            .filter_map(|&point| self.tolerances[point])
            .reduce(f64::max);
        let judged = design.zip(tolerance);
        Some(Compared {
            design,
            verdict: judged
                .map(|(design, tolerance)| Verdict::of(one.value - design, tolerance, one.sd)),
        })
    }
}
