//! Lays that are taken so that every reading is checked by others.

use nalgebra::{DMatrix, DVector};

use super::{
    choose::{Chooser, LEAST_RELIEF, WEIGHED_ANEW},
    demand::least_redundancy,
};
use crate::units::ROUND_OFF;

/// A reading that the others do not check enough, with what a further lay does for it worked out as far as it does not
/// depend on the lay.
struct Unchecked {
    /// The mark that it is read at.
    mark: usize,
    /// Its redundancy, and the least that it should have.
    found: f64,
    least: f64,
    /// Its own standard deviation, mm.
    sd: f64,
    /// Q (W B)ᵀ of its row.
    by: DVector<f64>,
}

impl Unchecked {
    /// The part of the least that is missing.
    fn missing(&self, found: f64) -> f64 {
        (1.0 - found / self.least).max(0.0)
    }
}

impl Chooser<'_> {
    /// Takes lays until every reading is checked by the others, or nothing helps.
    pub(super) fn have_all_checked(&mut self) {
        for index in 0..self.chosen.len() {
            self.chosen[index].redundancies = self.checked(index).anew(&self.state);
        }
        loop {
            let unchecked = self.unchecked();
            let now: f64 = unchecked.iter().map(|one| one.missing(one.found)).sum();
            if now <= ROUND_OFF {
                break;
            }
            let open = self.beside(&unchecked);
            let rated = open
                .into_iter()
                .map(|(minutes, one)| (one, self.relief(one, &unchecked) / minutes));
            let Some((best, most)) =
                rated.reduce(|a, b| if b.1 > a.1 * (1.0 + ROUND_OFF) { b } else { a })
            else {
                break;
            };
            if most < LEAST_RELIEF {
                break;
            }
            let Some(change) = self.take(best) else { break };
            let last = self.chosen.len() - 1;
            for index in 0..last {
                self.chosen[index].redundancies = self.checked(index).after(&change);
            }
            self.chosen[last].redundancies = self.checked(last).anew(&self.state);
        }
    }

    /// All readings whose redundancy is below the least.
    fn unchecked(&self) -> Vec<Unchecked> {
        let of = |index: usize| {
            let (checked, chosen) = (self.checked(index), &self.chosen[index]);
            let sd = checked.candidate.sd;
            let least = least_redundancy(sd, self.goals.times);
            let open = (0..chosen.kept.len())
                .filter(move |&one| chosen.kept[one] && chosen.redundancies[one] < least);
            open.map(move |reading| Unchecked {
                mark: checked.candidate.marks[reading],
                found: chosen.redundancies[reading],
                least,
                sd,
                by: self.state.times(&checked.weighted_row(reading)),
            })
        };
        (0..self.chosen.len()).flat_map(of).collect()
    }

    /// Lays not taken yet that are read at a mark of a reading which is not checked enough, with their minutes; of very
    /// many the first ones, those of fewest minutes.
    fn beside(&self, unchecked: &[Unchecked]) -> Vec<(f64, usize)> {
        let mut marks = vec![false; self.ground.marks()];
        unchecked
            .iter()
            .for_each(|reading| marks[reading.mark] = true);
        let touches = |one: usize| self.candidates[one].marks.iter().any(|&mark| marks[mark]);
        let mut open: Vec<(f64, usize)> = (0..self.candidates.len())
            .filter(|&one| touches(one) && !self.is_taken(one))
            .map(|one| (self.minutes(one), one))
            .collect();
        open.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        open.truncate(WEIGHED_ANEW);
        open
    }

    /// What a lay relieves of what is missing. Where a reading is checked enough a further lay only adds to it, so that the
    /// others need not be looked at: one that is not gains sd² (W B G) K (W B G)ᵀ.
    fn relief(&self, candidate: usize, unchecked: &[Unchecked]) -> f64 {
        let rows = self.rows(candidate);
        let weight: DMatrix<f64> = self.candidates[candidate].weight(&vec![true; rows.len()]);
        let Some(middle) = self.state.middle(rows, &weight) else {
            return 0.0;
        };
        let of = |one: &Unchecked| {
            let seen = DVector::from_iterator(
                rows.len(),
                rows.iter()
                    .map(|row| row.iter().map(|&(at, by)| by * one.by[at]).sum()),
            );
            let gained = one.sd.powi(2) * seen.dot(&(&middle * &seen));
            one.missing(one.found) - one.missing(one.found + gained)
        };
        unchecked.iter().map(of).sum()
    }
}
