//! The fewest readings that still do what is asked.
//!
//! Two things only get worse when a reading is taken out: what is found of a mark, and how well the other readings
//! are checked. So from all readings one after the other is taken out, the one that does least harm first, and one that
//! cannot be spared once never can later. Then exchanges: a reading is put back where two others can go for it.
//! The harm is Σ (λ/λ_allowed)^k over all marks, λ the larger eigenvalue of a mark's covariance; several k are
//! tried, since a small one keeps the mean low and a large one the worst. This is a heuristic; how far it can be from
//! the fewest is not told.

use super::cofactor::{Cofactors, Effect, PlannedReading};

/// Powers of the harm that are tried.
const POWERS: [i32; 3] = [1, 3, 8];

/// Part of the readings that are taken out between two rankings; at least one. Rankings cost as much as there are
/// readings times marks, so from [`MANY`] on they are spared, and the
/// middle power alone is tried.
const BETWEEN_RANKINGS: usize = 60;
const MANY: usize = 1500;
const BETWEEN_RANKINGS_OF_MANY: usize = 12;

/// Effort in multiplications after which exchanges end: less than a second. Counted, since a limit by time
/// would make the choice depend on the machine.
const EXCHANGE_EFFORT: usize = 200_000_000;

/// What a choice has to keep.
pub(super) struct Demand<'a> {
    /// All readings that can be chosen.
    pub readings: &'a [PlannedReading],
    /// Largest eigenvalue allowed of each mark's covariance, mm².
    pub allowed: Vec<f64>,
    /// Least redundancy of each reading.
    pub redundancy: Vec<f64>,
    /// What a reading costs beside being one, small against 1: what decides among equals.
    pub dislike: Vec<f64>,
}

/// A choice and its network.
#[derive(Clone)]
struct Selection {
    taken: Vec<bool>,
    cofactors: Cofactors,
    /// 1 − p aᵀQa of each reading: its redundancy while it is in.
    redundancies: Vec<f64>,
}

impl Demand<'_> {
    /// Indices of the chosen readings, rising.
    pub(super) fn fewest(&self, all: &Cofactors) -> Vec<usize> {
        let readings = self.readings.iter();
        let redundancies: Vec<f64> = readings.map(|reading| all.redundancy(reading)).collect();
        let taken = vec![true; self.readings.len()];
        let start = || Selection {
            taken: taken.clone(),
            cofactors: all.clone(),
            redundancies: redundancies.clone(),
        };
        let powers = if self.readings.len() > MANY {
            &POWERS[1..2]
        } else {
            &POWERS[..]
        };
        let choices = powers.iter().map(|&power| {
            let mut choice = start();
            self.take_out(&mut choice, power);
            choice
        });
        let best = choices.reduce(|a, b| if self.cost(&b) < self.cost(&a) { b } else { a });
        let mut best = best.expect("there are powers to try");
        self.exchange(&mut best);
        (0..self.readings.len())
            .filter(|&index| best.taken[index])
            .collect()
    }

    /// Number of readings, dislikes in the decimals.
    fn cost(&self, choice: &Selection) -> f64 {
        /// All dislikes together weigh less than one reading.
        const DISLIKED: f64 = 1e-3;
        let taken = choice
            .taken
            .iter()
            .zip(&self.dislike)
            .filter(|(taken, _)| **taken);
        taken.map(|(_, dislike)| 1.0 + DISLIKED * dislike).sum()
    }

    fn taken(choice: &Selection) -> impl Iterator<Item = usize> {
        (0..choice.taken.len()).filter(|&index| choice.taken[index])
    }

    /// Takes out readings until none can be spared.
    fn take_out(&self, choice: &mut Selection, power: i32) {
        let mut needed = vec![false; self.readings.len()];
        loop {
            let mut ranked: Vec<(usize, f64)> = Vec::new();
            for index in Self::taken(choice)
                .filter(|&index| !needed[index])
                .collect::<Vec<_>>()
            {
                let effect = choice.cofactors.effect(&self.readings[index]);
                match self.harm(choice, &effect, power) {
                    Some(harm) => ranked.push((index, harm - 0.01 * self.dislike[index])),
                    None => needed[index] = true,
                }
            }
            if ranked.is_empty() {
                return;
            }
            ranked.sort_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
            let parts = if ranked.len() > MANY {
                BETWEEN_RANKINGS_OF_MANY
            } else {
                BETWEEN_RANKINGS
            };
            let mut left = (ranked.len() / parts).max(1);
            for (index, _) in ranked {
                let spared = self.spare(choice, index);
                needed[index] = !spared;
                left -= usize::from(spared);
                if left == 0 {
                    break;
                }
            }
        }
    }

    /// Takes a reading out if what is asked still holds.
    fn spare(&self, choice: &mut Selection, index: usize) -> bool {
        let effect = choice.cofactors.effect(&self.readings[index]);
        if self.harm(choice, &effect, 1).is_none() || !self.all_checked(choice, index, &effect) {
            return false;
        }
        self.change(choice, index, &effect, effect.out());
        true
    }

    /// Sum of what the marks have used of what is allowed, after a reading is taken out; `None` where it
    /// is more than that.
    fn harm(&self, choice: &Selection, effect: &Effect, power: i32) -> Option<f64> {
        /// A reading checked by less than this holds something alone.
        const ALONE: f64 = 1e-6;
        if effect.leverage > 1.0 - ALONE {
            return None;
        }
        let factor = effect.out();
        let mut harm = 0.0;
        for (mark, (before, allowed)) in
            choice.cofactors.marks.iter().zip(&self.allowed).enumerate()
        {
            let used = effect.covariance(mark, *before, factor).principal()[0] / allowed;
            if used > 1.0 {
                return None;
            }
            harm += used.powi(power);
        }
        Some(harm)
    }

    /// True when all other readings keep their redundancy after one is taken out.
    fn all_checked(&self, choice: &Selection, index: usize, effect: &Effect) -> bool {
        let factor = effect.out();
        Self::taken(choice)
            .filter(|&other| other != index)
            .all(|other| {
                let least = self.redundancy[other];
                least <= 0.0
                    || choice.redundancies[other] - factor * self.shared(other, effect) >= least
            })
    }

    /// How much a change by one unit of `effect` takes off a reading's redundancy.
    fn shared(&self, other: usize, effect: &Effect) -> f64 {
        let reading = &self.readings[other];
        reading.weight * reading.dot(&effect.q).powi(2)
    }

    /// Puts a reading in or takes it out.
    fn change(&self, choice: &mut Selection, index: usize, effect: &Effect, factor: f64) {
        for other in 0..self.readings.len() {
            choice.redundancies[other] -= factor * self.shared(other, effect);
        }
        choice.cofactors.change(effect, factor);
        choice.taken[index] = factor < 0.0;
    }

    /// Puts readings back for which two others can go, until that helps no more or the effort is spent.
    fn exchange(&self, choice: &mut Selection) {
        let marks = self.allowed.len();
        let mut effort = 0;
        let mut improved = true;
        while improved {
            improved = false;
            for new in 0..self.readings.len() {
                if choice.taken[new] {
                    continue;
                }
                let count = Self::taken(choice).count();
                effort += 8 * marks * (marks + 20 * count);
                if effort > EXCHANGE_EFFORT {
                    return;
                }
                if let Some(better) = self.two_for(choice, new) {
                    *choice = better;
                    improved = true;
                }
            }
        }
    }

    /// The choice with a reading put in and two or more taken out, if there is one.
    fn two_for(&self, choice: &Selection, new: usize) -> Option<Selection> {
        let mut with = choice.clone();
        let effect = with.cofactors.effect(&self.readings[new]);
        self.change(&mut with, new, &effect, effect.put_in());
        // What cannot be spared alone cannot be spared beside another.
        let alone: Vec<usize> = Self::taken(choice)
            .filter(|&index| {
                self.harm(&with, &with.cofactors.effect(&self.readings[index]), 1)
                    .is_some()
            })
            .collect();
        for (place, &first) in alone.iter().enumerate() {
            let mut less = with.clone();
            if !self.spare(&mut less, first) {
                continue;
            }
            if alone[place + 1..]
                .iter()
                .any(|&second| self.spare(&mut less, second))
            {
                return Some(less);
            }
        }
        None
    }
}
