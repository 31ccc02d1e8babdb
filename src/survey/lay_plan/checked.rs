//! How well the readings of a chosen lay are checked by all others.

use nalgebra::{DMatrix, DVector};

use super::{
    candidates::Candidate,
    choose::Chosen,
    demand::redundancies,
    ground::Term,
    state::{Change, State, seen_by},
};

/// A chosen lay with what its readings' checks are worked out from.
#[derive(Clone, Copy)]
pub(super) struct Checked<'a> {
    pub candidate: &'a Candidate,
    /// Rows of all its readings.
    pub rows: &'a [Vec<Term>],
    pub chosen: &'a Chosen,
}

impl Checked<'_> {
    /// Redundancies from the beginning.
    pub(super) fn anew(&self, state: &State) -> Vec<f64> {
        redundancies(
            &self.candidate.weight(&self.chosen.kept),
            &state.fitted(self.rows),
            self.candidate.sd,
        )
    }

    /// Redundancies after a change of other lays: as F becomes F − B G K (B G)ᵀ, r = sd² (W − W F W) gains sd² W B G K (W B G)ᵀ.
    pub(super) fn after(&self, change: &Change) -> Vec<f64> {
        let mut after = self.chosen.redundancies.clone();
        for (by, left) in change.columns() {
            let [by, left] = [by, left].map(|column| {
                self.candidate
                    .weighted(&self.chosen.kept, &seen_by(self.rows, &column))
            });
            for (index, found) in after.iter_mut().enumerate() {
                *found += self.candidate.sd.powi(2) * by[index] * left[index];
            }
        }
        after
    }

    /// Redundancies after [`Self::without`] a reading of its own. With its column m of W − W F W, which is the inverse of
    /// the covariance of all readings, that matrix becomes the inverse of a part: m mᵀ/m_rr less.
    pub(super) fn after_own(&self, change: &Change, reading: usize) -> Vec<f64> {
        let mut after = self.chosen.redundancies.clone();
        for (by, _) in change.columns() {
            let seen = self
                .candidate
                .weighted(&self.chosen.kept, &seen_by(self.rows, &by));
            let column = self.weight_of(reading) - seen;
            for (index, found) in after.iter_mut().enumerate() {
                *found -= self.candidate.sd.powi(2) * column[index].powi(2) / column[reading];
            }
        }
        after
    }

    /// A reading's column of W.
    fn weight_of(&self, reading: usize) -> DVector<f64> {
        let single = DVector::from_fn(self.rows.len(), |index, _| f64::from(index == reading));
        self.candidate.weighted(&self.chosen.kept, &single)
    }

    /// A reading's row of W B, by which it is checked: Σ over the lay's rows by their weight with this reading.
    pub(super) fn weighted_row(&self, reading: usize) -> Vec<Term> {
        let weight = self.weight_of(reading);
        let rows = self
            .rows
            .iter()
            .zip(&weight)
            .filter(|(_, weight)| **weight != 0.0);
        rows.flat_map(|(row, weight)| row.iter().map(move |&(at, by)| (at, by * weight)))
            .collect()
    }

    /// What leaving out one kept reading does. The precision that remains of the others is W − w wᵀ/W_rr with its column w
    /// of W (the inverse of a part of a matrix), which is a change of the single row wᵀB.
    pub(super) fn without(&self, state: &State, reading: usize) -> Option<Change> {
        let own = self.weight_of(reading)[reading];
        state.change(
            &[self.weighted_row(reading)],
            &DMatrix::from_element(1, 1, -1.0 / own),
        )
    }
}
