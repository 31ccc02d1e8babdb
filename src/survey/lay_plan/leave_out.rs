//! What later lays made needless is left out again.

use nalgebra::DMatrix;

use super::{
    choose::{Chooser, Chosen},
    demand::{least_redundancy, provable, provable_of_grid},
    figures::FEWEST_WHEEL_READINGS,
    state::Change,
};
use crate::units::ROUND_OFF;

/// Passes of leaving out; each opens little for the next.
const PASSES: usize = 3;

impl Chooser<'_> {
    /// Leaves out what is not needed: whole lays, those of most minutes first, then single readings.
    pub(super) fn leave_out(&mut self) {
        // What is not met now does not have to be met later, but must not become worse.
        let proven = self.proven();
        for (mark, [own, grid]) in proven.into_iter().enumerate() {
            self.goals.marks[mark] = self.goals.marks[mark].max(own);
            self.goals.grid[mark] = self.goals.grid[mark].max(grid);
        }
        for _ in 0..PASSES {
            let before = self.count();
            self.leave_out_lays();
            self.leave_out_readings();
            if self.count() == before {
                break;
            }
        }
    }

    fn count(&self) -> usize {
        self.chosen
            .iter()
            .flat_map(|one| &one.kept)
            .filter(|kept| **kept)
            .count()
    }

    fn leave_out_lays(&mut self) {
        let effort = |one: &Chosen| self.candidates[one.candidate].minutes(&one.kept);
        let chosen = self.chosen.iter();
        let mut order: Vec<(f64, usize)> = chosen.map(|one| (effort(one), one.candidate)).collect();
        // Of equals the one taken last goes first: it relieved least.
        order.reverse();
        order.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (_, candidate) in order {
            let Some(index) = self
                .chosen
                .iter()
                .position(|one| one.candidate == candidate)
            else {
                continue;
            };
            let checked = self.checked(index);
            let weight: DMatrix<f64> = -checked.candidate.weight(&checked.chosen.kept);
            let change = self.state.change(checked.rows, &weight);
            self.try_without(index, None, change);
        }
    }

    fn leave_out_readings(&mut self) {
        for index in (0..self.chosen.len()).rev() {
            for reading in 0..self.chosen[index].kept.len() {
                let now = &self.chosen[index].kept;
                if !now[reading] || now.iter().filter(|kept| **kept).count() < 2 {
                    continue;
                }
                let change = self.checked(index).without(&self.state, reading);
                self.try_without(index, Some(reading), change);
            }
        }
    }

    /// Leaves out a reading of a chosen lay, or the whole lay, where all demands are still met after this change.
    fn try_without(&mut self, index: usize, reading: Option<usize>, change: Option<Change>) {
        if self.needs_wheel(&self.chosen[index], reading.is_none()) {
            return;
        }
        let Some(change) = change.filter(|change| self.holds(change, index)) else {
            return;
        };
        let Some(redundancies) = self.all_checked(&change, index, reading) else {
            return;
        };
        for (chosen, after) in self.chosen.iter_mut().zip(redundancies) {
            chosen.redundancies = after;
        }
        self.state.apply(&change, self.ground);
        match reading {
            Some(reading) => self.chosen[index].kept[reading] = false,
            None => self.give_back(index),
        }
    }

    /// True for a lay from wheels that is the last one of a wheel, or which the fewest readings from wheels cannot do
    /// without: a reading of it, or where it is `gone` all that it has.
    fn needs_wheel(&self, chosen: &Chosen, gone: bool) -> bool {
        let fewer = if gone {
            chosen.kept.iter().filter(|kept| **kept).count()
        } else {
            1
        };
        let last = |wheel: usize| {
            self.chosen
                .iter()
                .filter(|one| self.wheels(one.candidate).any(|used| used == wheel))
                .count()
                < 2
        };
        let mut wheels = self.wheels(chosen.candidate).peekable();
        wheels.peek().is_some()
            && (self.readings_of_wheels() < FEWEST_WHEEL_READINGS + fewer
                || (gone && wheels.any(last)))
    }

    /// True where marks and grid meet all goals after a change of the lay `index`; its own marks, which are the first to
    /// fail, first.
    fn holds(&self, change: &Change, index: usize) -> bool {
        let met = |found: f64, goal: f64| found <= goal * (1.0 + ROUND_OFF);
        let own = &self.candidates[self.chosen[index].candidate].marks;
        let mark = |mark: usize| {
            met(
                provable(&self.state, Some(change), self.ground, mark),
                self.goals.marks[mark],
            )
        };
        if !own.iter().all(|&one| mark(one)) {
            return false;
        }
        let sd = self.grid.sd(&self.state, Some(change), self.ground);
        let grid = |mark: usize| {
            met(
                provable_of_grid(&sd, self.grid.reach(mark)),
                self.goals.grid[mark],
            )
        };
        (0..self.ground.marks()).all(|one| grid(one) && mark(one))
    }

    /// Redundancies of all chosen lays after a change by which the lay `index` loses a reading, or everything; `None` where a
    /// reading would be checked less than it has to be and than it is now.
    fn all_checked(
        &self,
        change: &Change,
        index: usize,
        reading: Option<usize>,
    ) -> Option<Vec<Vec<f64>>> {
        let after = |at: usize| {
            let (checked, now) = (self.checked(at), &self.chosen[at]);
            let gone = if at == index { reading } else { None };
            let after = match (at == index, reading) {
                (true, None) => return Some(Vec::new()),
                (true, Some(reading)) => checked.after_own(change, reading),
                (false, _) => checked.after(change),
            };
            let least = least_redundancy(checked.candidate.sd, self.goals.times);
            let enough =
                |one: usize| after[one] >= least.min(now.redundancies[one]) * (1.0 - ROUND_OFF);
            let all = (0..after.len())
                .filter(|&one| now.kept[one] && Some(one) != gone)
                .all(enough);
            all.then_some(after)
        };
        (0..self.chosen.len()).map(after).collect()
    }
}
