//! Consumer's risk: would a mark that lies twice its tolerance off have passed with the rows that were taped?
//!
//! JCGM 106:2012, 9.3.2, gives the risk of accepting what is not conforming. Here it is taken for one mark at a time, at
//! twice its tolerance, in the direction in which the readings see it worst. What the readings say of such a mark is normal
//! about its true displacement, with the covariance M⁻¹ of an estimate that does not use the mark's own promise; how far along that
//! direction the estimate may lie and still pass is found by halving.

use kurbo::Vec2;
use nalgebra::{DMatrix, DVector};
use statrs::distribution::{ContinuousCDF, Normal};

use super::{believed::Believed, conformance::Conformance};
use crate::survey::{
    CONFORMANCE, Covariance,
    belief::{Explanation, Fault, RARER, log_likelihood},
    halving::halved,
};

/// Greatest probability with which a mark twice its tolerance off may pass.
pub(super) const CONSUMERS_RISK: f64 = 0.05;

/// The same for the grid as a whole: all marks go with it, and nothing within it shows.
pub(super) const GRIDS_RISK: f64 = 0.06;

/// A grid that is turned by this against the vehicle must not pass, whatever the tolerances, degrees.
pub const TURN_THAT_NEVER_PASSES_DEG: f64 = 0.2;

/// How far off the mark is taken, in tolerances.
const OFF: f64 = 2.0;

/// Directions looked at, over half a turn: the risk is the same either way.
const DIRECTIONS: usize = 8;

/// A mistake that is known no better than to a hundred times its tolerance is not known at all (variance in tolerances).
const UNKNOWN: f64 = 1e4;

/// Halvings of the distance that still passes.
const HALVINGS: usize = 8;

/// What the readings know of the mistakes that are asked about.
pub(super) struct Risks<'b> {
    believed: &'b Believed<'b>,
    best: &'b Explanation,
    /// M⁻¹-to-be of each fault under the best explanation, by fault.
    blocks: Vec<Option<DMatrix<f64>>>,
}

impl<'b> Risks<'b> {
    /// Risks under the best explanation.
    pub(super) fn of(believed: &'b Believed<'_>) -> Self {
        let best = &believed.explanations[0];
        let weighing = crate::survey::belief::Weighing::of(&believed.model, &believed.posterior);
        let asked = |fault: Fault| matches!(fault, Fault::Mark(_) | Fault::Grid);
        let block = |index: usize| {
            asked(believed.model.faults[index].0).then(|| weighing.block_under(index, best))
        };
        let blocks = (0..believed.model.faults.len()).map(block).collect();
        Self {
            believed,
            best,
            blocks,
        }
    }

    /// What the readings say of a mistake of the grid: its block of M, all nought where nothing does.
    pub(super) fn grid_block(&self) -> DMatrix<f64> {
        let mut faults = self.believed.model.faults.iter();
        let index = faults.position(|(fault, _)| *fault == Fault::Grid);
        index
            .and_then(|index| self.blocks[index].clone())
            .unwrap_or_else(|| DMatrix::zeros(3, 3))
    }

    /// Probability that a mark twice its tolerance off would have passed, in its worst direction.
    pub(super) fn mark(&self, mark: usize, tolerance: f64) -> f64 {
        let faults = &self.believed.model.faults;
        let Some(index) = faults
            .iter()
            .position(|(fault, _)| *fault == Fault::Mark(mark))
        else {
            return 1.0;
        };
        let Some(m) = &self.blocks[index] else {
            return 1.0;
        };
        let seen = Seen::of(self.believed, self.best, index, m, tolerance);
        (0..DIRECTIONS)
            .map(|step| {
                seen.passes(Vec2::from_angle(
                    std::f64::consts::PI * step as f64 / DIRECTIONS as f64,
                ))
            })
            .fold(0.0, f64::max)
    }

    /// Probability that a grid would have passed that is shifted or turned so that a mark lies twice its tolerance off.
    pub(super) fn grid(&self, conformance: &Conformance<'_>, tolerances: &[Option<f64>]) -> f64 {
        let faults = &self.believed.model.faults;
        let Some(index) = faults.iter().position(|(fault, _)| *fault == Fault::Grid) else {
            return 1.0;
        };
        let Some(m) = &self.blocks[index] else {
            return 1.0;
        };
        // A turn is about the middle of the marks, a shift that of the middle.
        let ways = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
            .map(|way| conformance.fit.about_middle(&way));
        let by_middle = DMatrix::from_fn(3, 3, |row, way| ways[way][row]);
        let m = by_middle.transpose() * m * by_middle;
        (0..3)
            .map(|way| self.grid_way(conformance, tolerances, &m, (way, &ways[way])))
            .fold(0.0, f64::max)
    }

    /// The same for a movement of the grid in one way, given by its index and what it does to the pose. `m` is the information on
    /// the three ways.
    fn grid_way(
        &self,
        conformance: &Conformance<'_>,
        tolerances: &[Option<f64>],
        m: &DMatrix<f64>,
        (index, way): (usize, &[f64; 3]),
    ) -> f64 {
        let each = (0..self.believed.marks()).filter_map(|mark| {
            let tolerance = tolerances[mark]?;
            Some(conformance.fit.moves(mark, way).hypot() / tolerance)
        });
        let never = (TURN_THAT_NEVER_PASSES_DEG / OFF).to_radians() * 1000.0;
        let worst = each.fold(way[2].abs() / never, f64::max);
        if worst <= 0.0 {
            return 0.0;
        }
        // In units of the movement that takes the worst mark to its tolerance.
        let unit = DVector::from_fn(3, |i, _| if i == index { 1.0 / worst } else { 0.0 });
        let Some(known) = variance(m, &unit) else {
            return 1.0;
        };
        let gain = |size: f64| {
            let u = m * &unit * size;
            let kinds = Fault::Grid.sizes().iter().enumerate();
            kinds
                .map(|(rank, &sd)| log_likelihood(m, &u, Fault::Grid, sd) - RARER * rank as f64)
                .fold(f64::NEG_INFINITY, f64::max)
                + Fault::Grid.log_probability()
        };
        // It passes while the mistake is improbable, or moves no mark out.
        let accepted = largest(|size| size <= 1.0 || odds(gain(size)) < 1.0 - CONFORMANCE);
        Normal::standard().cdf((accepted - OFF) / known.sqrt())
    }
}

/// What is seen of one mark.
struct Seen<'m> {
    fault: Fault,
    m: &'m DMatrix<f64>,
    tolerance: f64,
    /// How much of a true displacement the estimate shows while nothing is thought wrong.
    shown: DMatrix<f64>,
    /// Covariance of that estimate, and of the one that thinks the mark wrong.
    covariances: [Covariance; 2],
}

impl<'m> Seen<'m> {
    fn of(
        believed: &Believed<'_>,
        best: &Explanation,
        index: usize,
        m: &'m DMatrix<f64>,
        tolerance: f64,
    ) -> Self {
        let (fault, rows) = (
            believed.model.faults[index].0,
            &believed.model.faults[index].1,
        );
        let Fault::Mark(mark) = fault else {
            unreachable!("asked for marks alone")
        };
        let (_, covariance) = believed.displacement(best, mark);
        let q = [
            [covariance.xx, covariance.xy],
            [covariance.xy, covariance.yy],
        ];
        let weights: Vec<f64> = rows
            .iter()
            .map(|&row| believed.model.rows[row].sd.powi(-2))
            .collect();
        // The mark's own promise pulls the estimate back by Q W.
        let shown = DMatrix::from_fn(
            2,
            2,
            |i, j| if i == j { 1.0 } else { 0.0 } - q[i][j] * weights[j],
        );
        let free = m.clone().try_inverse().map_or(covariance, |inverse| {
            let own = |axis: usize| 1.0 / weights[axis];
            Covariance::new(
                (inverse[(0, 0)] - own(0)).max(covariance.xx),
                inverse[(0, 1)],
                (inverse[(1, 1)] - own(1)).max(covariance.yy),
            )
        });
        Self {
            fault,
            m,
            tolerance,
            shown,
            covariances: [covariance, free],
        }
    }

    /// Probability that a mark off by twice its tolerance this way passes.
    fn passes(&self, way: Vec2) -> f64 {
        let unit = DVector::from_vec(vec![way.x * self.tolerance, way.y * self.tolerance]);
        let Some(known) = variance(self.m, &unit) else {
            return 1.0;
        };
        let accepted = largest(|size| self.inside(way * (size * self.tolerance)) >= CONFORMANCE);
        Normal::standard().cdf((accepted - OFF) / known.sqrt())
    }

    /// Probability, as it would be told, that the mark lies inside when the readings say that it lies at `d`.
    fn inside(&self, d: Vec2) -> f64 {
        let u = self.m * DVector::from_vec(vec![d.x, d.y]);
        let kinds = self.fault.sizes().iter().enumerate();
        let gain = kinds
            .map(|(rank, &sd)| log_likelihood(self.m, &u, self.fault, sd) - RARER * rank as f64)
            .fold(f64::NEG_INFINITY, f64::max);
        let wrong = odds(gain + self.fault.log_probability());
        let s = &self.shown;
        let kept = Vec2::new(
            s[(0, 0)] * d.x + s[(0, 1)] * d.y,
            s[(1, 0)] * d.x + s[(1, 1)] * d.y,
        );
        (1.0 - wrong) * self.covariances[0].within(self.tolerance, kept)
            + wrong * self.covariances[1].within(self.tolerance, d)
    }
}

/// The probability that belongs to a difference of logarithms.
fn odds(gain: f64) -> f64 {
    1.0 / (1.0 + (-gain).exp())
}

/// Largest size up to twice the tolerance that still passes, by halving; what passes is taken to end but once.
fn largest(passes: impl Fn(f64) -> bool) -> f64 {
    if passes(OFF) {
        return OFF;
    }
    halved([0.0, OFF], HALVINGS, passes)[0]
}

/// Variance of an estimate along a movement, in units of that movement: 1/(eᵀ M e) is too good where others go with it, so
/// eᵀ M⁻¹ e over (eᵀe)² is taken. `None` where nothing is known.
fn variance(m: &DMatrix<f64>, unit: &DVector<f64>) -> Option<f64> {
    let inverse = m.clone().try_inverse()?;
    let squared = unit.dot(unit);
    let variance = unit.dot(&(inverse * unit)) / (squared * squared);
    (variance.is_finite() && variance > 0.0 && variance < UNKNOWN).then_some(variance)
}
