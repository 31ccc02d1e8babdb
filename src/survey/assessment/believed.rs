//! A taped layout with its laying prior, believed: mistakes weighed, places settled.

use kurbo::{Point, Vec2};

use super::model::TapedLayout;
use crate::survey::{
    Covariance, Geometry, LayingPrior,
    belief::{Explanation, Fault, Model, Posterior, Setup, Taped, Weighing},
    chi_squared_quantile,
};

/// Times that the model is made anew at the places that it gave: displacements of centimetres bend distances by
/// tenths of a millimetre, and each time leaves a hundredth of the bend.
const MOST_ROUNDS: usize = 6;

/// Places that move by less than this, mm, are settled.
const SETTLED_MM: f64 = 0.05;

/// Readings that scatter so much that right ones would do so once in a thousand layouts are taken as coarser than promised.
const SCATTER_CONFIDENCE: f64 = 0.999;

/// What is known of a taped layout.
pub(super) struct Believed<'a> {
    /// The layout.
    pub layout: &'a TapedLayout,
    /// How it was laid.
    pub prior: &'a LayingPrior,
    /// Index of the observation of each of the model's readings; repeated ones are left out.
    pub readings: Vec<usize>,
    /// The readings.
    pub taped: Vec<Taped>,
    /// The model at the settled places.
    pub model: Model,
    /// Its solution without any mistake.
    pub posterior: Posterior,
    /// What may explain the readings, the most probable first.
    pub explanations: Vec<Explanation>,
    /// Sum of squares that the best explanation leaves, χ² with as many degrees of freedom as there are readings.
    pub squares: f64,
    /// Degrees of freedom of it.
    pub dof: usize,
    /// Factor on the standard deviations of the readings, 1 where they scatter as promised.
    pub scatter: f64,
}

impl<'a> Believed<'a> {
    /// Believes a layout; `Err` with an observation whose points coincide.
    pub(super) fn of(layout: &'a TapedLayout, prior: &'a LayingPrior) -> Result<Self, usize> {
        let first = Self::with_scatter(layout, prior, 1.0)?;
        let bound = chi_squared_quantile(first.dof, SCATTER_CONFIDENCE);
        if first.dof == 0 || first.squares <= bound {
            return Ok(first);
        }
        let scatter = (first.squares / first.dof as f64).sqrt();
        Self::with_scatter(layout, prior, scatter)
    }

    fn with_scatter(
        layout: &'a TapedLayout,
        prior: &'a LayingPrior,
        scatter: f64,
    ) -> Result<Self, usize> {
        let points = layout.network.points.iter();
        let designs: Vec<Point> = points.map(|point| point.start).collect();
        let points = layout.network.points.iter();
        let fixed: Vec<bool> = points.map(|point| point.fixed).collect();
        let (readings, taped, lays) = taped(layout, scatter);
        let setup = Setup {
            designs: &designs,
            fixed: &fixed,
            prior: Some(prior),
            wheels: &layout.wheels,
            precision: &layout.precision,
            lays,
        };
        let mut moved = vec![Vec2::ZERO; designs.len()];
        let mut round = 0;
        loop {
            let model = Model::at(&setup, &taped, &moved).map_err(|index| readings[index])?;
            let posterior = Posterior::of(&model);
            let explanations = Weighing::of(&model, &posterior).explanations();
            let next: Vec<Vec2> = (0..designs.len())
                .map(|point| mean(&posterior, &explanations[0], 2 * point))
                .collect();
            let step = next
                .iter()
                .zip(&moved)
                .map(|(next, moved)| (*next - *moved).hypot())
                .fold(0.0, f64::max);
            round += 1;
            if step < SETTLED_MM || round == MOST_ROUNDS {
                let squares = squares_left(&model, &posterior, &explanations[0]);
                let widened = explanations[0].sizes.len();
                let dof = taped.len().saturating_sub(widened);
                return Ok(Self {
                    layout,
                    prior,
                    readings,
                    taped,
                    model,
                    posterior,
                    explanations,
                    squares,
                    dof,
                    scatter,
                });
            }
            moved = next;
        }
    }

    /// The setup that the model was made from holds for further readings as well.
    pub(super) fn marks(&self) -> usize {
        self.prior.own.len()
    }

    /// The mistakes of an explanation.
    pub(super) fn faults(&self, explanation: &Explanation) -> impl Iterator<Item = Fault> {
        explanation
            .faults
            .iter()
            .map(|&fault| self.model.faults[fault].0)
    }

    /// Probability that something is wrong.
    pub(super) fn probability(&self, fault: Fault) -> f64 {
        let with = |explanation: &&Explanation| self.faults(explanation).any(|one| one == fault);
        self.explanations
            .iter()
            .filter(with)
            .map(|explanation| explanation.weight)
            .sum()
    }

    /// Displacement of a point from its design by an explanation, mm, with its covariance.
    pub(super) fn displacement(
        &self,
        explanation: &Explanation,
        point: usize,
    ) -> (Vec2, Covariance) {
        let column = self.model.columns.point(point);
        let Covariance {
            mut xx,
            mut xy,
            mut yy,
        } = self.posterior.moved_covariance(column);
        for growth in explanation.growth.column_iter() {
            let (x, y) = (growth[column], growth[column + 1]);
            (xx, xy, yy) = (xx + x * x, xy + x * y, yy + y * y);
        }
        (
            mean(&self.posterior, explanation, column),
            Covariance { xx, xy, yy },
        )
    }

    /// The row of a reading that was not made, at the settled places.
    pub(super) fn row_of(&self, taped: &Taped) -> Option<Vec<(usize, f64)>> {
        let points = self.layout.network.points.iter();
        let places: Vec<Point> = points.map(|point| point.start).collect();
        let fixed = vec![false; places.len()];
        let setup = Setup {
            designs: &places,
            fixed: &fixed,
            prior: Some(self.prior),
            wheels: &self.layout.wheels,
            precision: &self.layout.precision,
            lays: self.model.columns.lays,
        };
        self.model
            .reading(&setup, taped, &vec![Vec2::ZERO; places.len()])
            .map(|row| row.terms)
    }
}

/// Mean displacement of a point by an explanation.
fn mean(posterior: &Posterior, explanation: &Explanation, column: usize) -> Vec2 {
    posterior.moved(column) + Vec2::new(explanation.change[column], explanation.change[column + 1])
}

/// The observations that were taped, as the model wants them, with the number of lays that gave more than one.
fn taped(layout: &TapedLayout, scatter: f64) -> (Vec<usize>, Vec<Taped>, usize) {
    let precision = &layout.precision;
    let observations = &layout.network.observations;
    let is_taped = |index: &usize| {
        !matches!(
            observations[*index].geometry,
            Geometry::X { .. } | Geometry::Y { .. }
        )
    };
    let mut kept: Vec<usize> = Vec::new();
    for index in (0..observations.len()).filter(is_taped) {
        let same = |&other: &usize| {
            observations[other].value == observations[index].value
                && alike(observations[other].geometry, observations[index].geometry)
        };
        if !kept.iter().any(same) {
            kept.push(index);
        }
    }
    let is_distance =
        |index: usize| matches!(observations[index].geometry, Geometry::Distance { .. });
    let shares = |index: usize| layout.by_default[index] && is_distance(index);
    let by_tape = |index: usize| layout.by_default[index] && observations[index].read_on_tape();
    let mut lays: Vec<u32> = kept
        .iter()
        .filter(|&&index| shares(index))
        .filter_map(|&index| layout.lays[index])
        .collect();
    lays.sort_unstable();
    let several: Vec<u32> = lays
        .windows(2)
        .filter(|pair| pair[0] == pair[1])
        .map(|pair| pair[0])
        .collect();
    let mut several = several;
    several.dedup();
    let one = |&index: &usize| {
        let observation = observations[index];
        let lay = layout.lays[index]
            .filter(|_| shares(index))
            .and_then(|lay| several.binary_search(&lay).ok());
        let sd = match (shares(index), lay) {
            (true, Some(_)) => precision.at_mark(),
            (true, None) => precision.at_mark() * std::f64::consts::SQRT_2,
            (false, _) if by_tape(index) => precision.offset_from_string(),
            (false, _) => observation.sd,
        };
        let sd = sd.max(LEAST_SD_MM) * scatter;
        Taped {
            geometry: observation.geometry,
            value: observation.value,
            sd,
            lay,
            by_tape: by_tape(index),
        }
    };
    let taped = kept.iter().map(one).collect();
    (kept, taped, several.len())
}

/// Least standard deviation of a reading, mm: a `[precision]` of nothing would weigh infinitely.
const LEAST_SD_MM: f64 = 0.05;

/// Whether two observations are of the same distance.
fn alike(one: Geometry, other: Geometry) -> bool {
    match (one, other) {
        (Geometry::Distance { from, to }, Geometry::Distance { from: a, to: b }) => {
            [from, to] == [a, b] || [to, from] == [a, b]
        }
        (one, other) => one == other,
    }
}

/// lᵀ M l of the model less what the explanation's mistakes account for.
fn squares_left(model: &Model, posterior: &Posterior, explanation: &Explanation) -> f64 {
    let unknowns = &posterior.mean + &explanation.change;
    let mut mistakes = vec![0.0; model.rows.len()];
    let rows = explanation
        .faults
        .iter()
        .flat_map(|&fault| model.faults[fault].1.iter().copied());
    for (slot, row) in rows.enumerate() {
        mistakes[row] = explanation.sizes[slot];
    }
    let misfit = |(row, mistake): (&crate::survey::belief::ModelRow, &f64)| {
        let terms = row.terms.iter();
        let fitted: f64 = terms.map(|&(column, by)| by * unknowns[column]).sum();
        ((row.value - fitted - mistake) / row.sd).powi(2)
    };
    model.rows.iter().zip(&mistakes).map(misfit).sum()
}
