//! An adjustment with one observation less or more, without adjusting from the beginning.

use kurbo::Point;
use nalgebra::{DMatrix, DVector};

use super::{
    Adjustment, Network, Observation,
    adjust::{SETTLED, extent, moved_by},
    normal::Linearised,
};

/// An observation whose redundancy is less than this is not left out by bringing cofactors up to date: rounding would be all that is
/// left of them.
const LEAST_LEFT: f64 = 1e-6;

/// Steps with cofactors that were brought up to date must shrink by this factor at least.
const SLOWER: f64 = 0.5;

/// What became of an observation between two adjustments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Change {
    Left,
    Added,
}

impl Adjustment {
    /// The adjustment of `network`, which is this one's without `observation`. The cofactors are brought up to date, not made anew
    /// (Sherman and Morrison's formula), and the places stepped to the minimum with them. `None` where that does not come to rest, or
    /// the observation holds the network.
    #[must_use]
    pub fn without(&self, network: &Network, observation: Observation) -> Option<Self> {
        self.updated(network, observation, Change::Left)
    }

    /// The adjustment of `network`, which is this one's with `observation` besides; made as [`Adjustment::without`] does.
    #[must_use]
    pub fn with(&self, network: &Network, observation: Observation) -> Option<Self> {
        self.updated(network, observation, Change::Added)
    }

    fn updated(&self, network: &Network, observation: Observation, change: Change) -> Option<Self> {
        let linear = observation.geometry.linear_at(|point| self.places[point])?;
        let row = self.unknowns.sparse(linear.derivatives());
        let mut through = DVector::zeros(self.unknowns.count);
        row.iter()
            .for_each(|&(column, by)| through.axpy(by, &self.cofactors.column(column), 1.0));
        let known = row
            .iter()
            .map(|&(column, by)| by * through[column])
            .sum::<f64>();
        let variance = observation.sd.powi(2);
        let (dof, divisor) = match change {
            Change::Left => (self.dof.checked_sub(1)?, variance - known),
            Change::Added => (self.dof + 1, -(variance + known)),
        };
        if divisor.abs() < LEAST_LEFT * variance {
            return None;
        }
        let mut cofactors = self.cofactors.clone();
        cofactors.ger(1.0 / divisor, &through, &through, 1.0);
        let (places, linear) = self.rested(network, &cofactors)?;
        Some(Self {
            datum: self.datum,
            places,
            observations: network.adjusted(&linear, &cofactors),
            dof,
            squares: linear.squares(),
            unknowns: self.unknowns.clone(),
            cofactors,
            rows: linear.rows,
        })
    }

    /// The minimum of `network` near these places, by steps with cofactors that are nearly its own.
    fn rested(
        &self,
        network: &Network,
        cofactors: &DMatrix<f64>,
    ) -> Option<(Vec<Point>, Linearised)> {
        let settled = SETTLED * extent(&self.places);
        let (mut places, mut before) = (self.places.clone(), f64::INFINITY);
        loop {
            let linear = Linearised::at(network, &self.unknowns, &places).ok()?;
            let step = cofactors * linear.right();
            let longest = step.amax();
            if longest <= settled {
                return Some((places, linear));
            }
            if !longest.is_finite() || longest > SLOWER * before {
                return None;
            }
            before = longest;
            moved_by(&self.unknowns, &step, &mut places);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{
        dice::Dice,
        fixture::{network, pairs},
    };

    /// A dozen points with all distances between them, mm, each off by chance.
    fn scattered() -> Network {
        let place = |index: usize| {
            let (column, row) = ((index % 4) as f64, (index / 4) as f64);
            (1100.0 * column, 1300.0 * row + 70.0 * (index % 3) as f64)
        };
        let places: Vec<(f64, f64)> = (0..12).map(place).collect();
        let (mut dice, mut network) = (Dice(7), network(&places, &pairs(places.len())));
        network
            .observations
            .iter_mut()
            .for_each(|taped| taped.value += dice.normal(1.0));
        network
    }

    /// Agreement of what is brought up to date with what is made anew: places in mm, all else in its own unit. Cofactors are those of
    /// the places before, which moved by tenths of a mm over metres.
    const SAME: f64 = 1e-3;

    fn alike(found: &Adjustment, expected: &Adjustment) {
        assert_eq!((found.dof, found.datum), (expected.dof, expected.datum));
        assert!((found.squares - expected.squares).abs() < SAME);
        for (one, other) in found.places.iter().zip(&expected.places) {
            assert!(one.distance(*other) < SAME, "{one:?} {other:?}");
        }
        for (one, other) in found.observations.iter().zip(&expected.observations) {
            assert!(
                (one.residual - other.residual).abs() < SAME
                    && (one.redundancy - other.redundancy).abs() < SAME
            );
        }
    }

    #[test]
    fn an_observation_left_out_and_put_back_gives_what_adjusting_anew_gives() {
        let network = scattered();
        let whole = network.adjust().unwrap();
        for index in [0, 17, 40, 65] {
            let mut without = network.clone();
            let removed = without.observations.remove(index);
            let found = whole.without(&without, removed).unwrap();
            alike(&found, &without.adjust().unwrap());
            let mut again = without.clone();
            again.observations.push(removed);
            alike(
                &found.with(&again, removed).unwrap(),
                &again.adjust().unwrap(),
            );
        }
    }

    #[test]
    fn what_holds_the_network_is_not_left_out() {
        let mut network = scattered();
        // Point 11 on two distances alone.
        let of = |one: &Observation| one.geometry.points().contains(&11);
        let observations = network.observations.iter();
        let held: Vec<Observation> = observations.copied().filter(of).take(2).collect();
        network.observations.retain(|one| !of(one));
        network.observations.extend(held);
        let whole = network.adjust().unwrap();
        let mut without = network.clone();
        let removed = without.observations.pop().unwrap();
        assert!(whole.without(&without, removed).is_none());
    }
}
