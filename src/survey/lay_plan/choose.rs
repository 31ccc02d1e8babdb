//! Which lays to make: the fewest minutes found that meet all demands.
//!
//! Lays are taken one after the other, each time the one that relieves most of what is missing for its minutes; then what
//! the later ones made needless is left out again, whole lays first, then single readings. Neither step looks
//! back far, so the plan is not the least there is; but it is made in no time, the same on every machine, and never
//! proves less than it says.

use super::{
    candidates::Candidate,
    checked::Checked,
    demand::{Grid, missing, provable, provable_of_grid},
    figures::{FEWEST_WHEEL_READINGS, HELD_BY_NOTHING_MM, PLUMB_MINUTES, UNMET_SLACK},
    ground::{Ground, Term},
    state::{Change, State},
};
use crate::units::ROUND_OFF;

/// Up to so many candidates all are weighed at every step; beyond, what they relieved when they were weighed last is
/// taken for what they can relieve at most.
pub(super) const WEIGHED_ANEW: usize = 400;

/// Relief below this is none.
pub(super) const LEAST_RELIEF: f64 = 1e-6;

/// A lay that was taken.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    /// Index of the candidate.
    pub candidate: usize,
    /// Which of its readings are taken.
    pub kept: Vec<bool>,
    /// Redundancies of its readings, from [`Chooser::have_all_checked`] on kept up to date; what one is that is not taken is of no
    /// meaning.
    pub redundancies: Vec<f64>,
}

/// What is asked for, mm: the tightest tolerance to be proven of each mark by itself, and by the grid.
#[derive(Clone, Debug)]
pub(super) struct Goals {
    pub marks: Vec<f64>,
    pub grid: Vec<f64>,
    /// How many times the usual error of a reading may stay hidden.
    pub times: f64,
}

/// Chooses lays for one layout.
pub(super) struct Chooser<'a> {
    pub(super) ground: &'a Ground,
    pub(super) grid: Grid,
    pub(super) candidates: &'a [Candidate],
    rows: Vec<Vec<Vec<Term>>>,
    pub(super) goals: Goals,
    pub(super) state: State,
    pub(super) chosen: Vec<Chosen>,
    /// By candidate: whether it is chosen.
    taken: Vec<bool>,
    /// By candidate: minutes for all of it where its wheels are plumbed.
    whole: Vec<f64>,
}

impl<'a> Chooser<'a> {
    /// A chooser that has everything taped, to see what can be proven at all.
    pub(super) fn all(ground: &'a Ground, candidates: &'a [Candidate]) -> Self {
        let rows: Vec<Vec<Vec<Term>>> = candidates
            .iter()
            .map(|candidate| ground.rows(candidate))
            .collect();
        let every = candidates
            .iter()
            .zip(&rows)
            .map(|(one, rows)| (&rows[..], one.weight(&vec![true; rows.len()])));
        let state = State::with_all(ground, every);
        let none = Goals {
            marks: Vec::new(),
            grid: Vec::new(),
            times: 1.0,
        };
        let grid = Grid::of(&ground.places, &ground.tolerances);
        let whole = candidates
            .iter()
            .map(|one| one.minutes(&vec![true; one.marks.len()]))
            .collect();
        let taken = vec![false; candidates.len()];
        Self {
            ground,
            grid,
            candidates,
            rows,
            goals: none,
            state,
            chosen: Vec::new(),
            taken,
            whole,
        }
    }

    /// Tightest tolerance that is proven of each mark by itself and by the grid, mm.
    pub(super) fn proven(&self) -> Vec<[f64; 2]> {
        let sd = self.grid.sd(&self.state, None, self.ground);
        let mark = |mark| {
            [
                provable(&self.state, None, self.ground, mark),
                provable_of_grid(&sd, self.grid.reach(mark)),
            ]
        };
        (0..self.ground.marks()).map(mark).collect()
    }

    /// The lays that prove tolerances, mm, as far as all of them together could, and in which errors of `times` the usual size
    /// show; then [`Chooser::state`] is theirs.
    pub(super) fn choose(mut self, tolerances: &[f64], times: f64) -> Self {
        let reach = |best: f64, tolerance: f64| {
            if best > tolerance {
                best.min(HELD_BY_NOTHING_MM) * UNMET_SLACK
            } else {
                tolerance
            }
        };
        let best = self.proven();
        let goals = |part: usize| {
            best.iter()
                .zip(tolerances)
                .map(|(best, goal)| reach(best[part], *goal))
                .collect()
        };
        self.goals = Goals {
            marks: goals(0),
            grid: goals(1),
            times,
        };
        self.state = State::of(self.ground);
        self.take_all_needed();
        self.take_wheels();
        self.have_all_checked();
        self.leave_out();
        self
    }

    /// What was chosen.
    pub(super) fn chosen(&self) -> &[Chosen] {
        &self.chosen
    }

    /// What is known after it.
    pub(super) fn state(&self) -> &State {
        &self.state
    }

    /// The grid.
    pub(super) fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Rows of a candidate.
    pub(super) fn rows(&self, candidate: usize) -> &[Vec<Term>] {
        &self.rows[candidate]
    }

    pub(super) fn is_taken(&self, candidate: usize) -> bool {
        self.taken[candidate]
    }

    pub(super) fn wheels(&self, candidate: usize) -> impl Iterator<Item = usize> + use<> {
        self.candidates[candidate].wheels(self.ground.marks())
    }

    fn uses(&self, wheel: usize) -> bool {
        self.chosen
            .iter()
            .any(|one| self.wheels(one.candidate).any(|used| used == wheel))
    }

    /// Kept readings that tie the marks to wheels.
    pub(super) fn readings_of_wheels(&self) -> usize {
        let of_wheels = self
            .chosen
            .iter()
            .filter(|one| self.wheels(one.candidate).next().is_some());
        of_wheels
            .flat_map(|one| &one.kept)
            .filter(|kept| **kept)
            .count()
    }

    /// Minutes for a candidate as a whole, plumbing of a wheel that is not used yet included.
    pub(super) fn minutes(&self, candidate: usize) -> f64 {
        let plumbed = self
            .wheels(candidate)
            .filter(|wheel| !self.uses(*wheel))
            .count();
        self.whole[candidate] + PLUMB_MINUTES * plumbed as f64
    }

    pub(super) fn full_change(&self, candidate: usize) -> Option<Change> {
        let rows = &self.rows[candidate];
        self.state.change(
            rows,
            &self.candidates[candidate].weight(&vec![true; rows.len()]),
        )
    }

    /// Takes a lay, and says what that changes; `None` where it cannot be taken.
    pub(super) fn take(&mut self, candidate: usize) -> Option<Change> {
        let change = self.full_change(candidate)?;
        self.state.apply(&change, self.ground);
        let kept = vec![true; self.rows[candidate].len()];
        self.chosen.push(Chosen {
            candidate,
            kept,
            redundancies: Vec::new(),
        });
        self.taken[candidate] = true;
        Some(change)
    }

    /// Takes a chosen lay off the list, by its index there.
    pub(super) fn give_back(&mut self, index: usize) {
        let gone = self.chosen.remove(index);
        self.taken[gone.candidate] = false;
    }

    /// A chosen lay, by its index among them.
    pub(super) fn checked(&self, index: usize) -> Checked<'_> {
        let chosen = &self.chosen[index];
        Checked {
            candidate: &self.candidates[chosen.candidate],
            rows: &self.rows[chosen.candidate],
            chosen,
        }
    }

    /// What is missing of the marks and the grid.
    fn missing(&self, change: Option<&Change>) -> f64 {
        missing(
            &self.state,
            change,
            self.ground,
            &self.grid,
            [&self.goals.marks, &self.goals.grid],
        )
    }

    /// Takes lays until nothing is missing, or nothing relieves it.
    fn take_all_needed(&mut self) {
        let mut relief = vec![f64::INFINITY; self.candidates.len()];
        let mut now = self.missing(None);
        let weighed_anew = self.candidates.len() <= WEIGHED_ANEW;
        while now > ROUND_OFF {
            if weighed_anew {
                relief.fill(f64::INFINITY);
            }
            let Some(best) = self.best(&mut relief, now) else {
                break;
            };
            if self.take(best).is_none() {
                break;
            }
            now = self.missing(None);
        }
    }

    /// The candidate that relieves most for its minutes. `relief` holds what each relieves at most, infinite where that
    /// is not known, and is brought up to date for those that are weighed.
    fn best(&self, relief: &mut [f64], now: f64) -> Option<usize> {
        let mut best: Option<(usize, f64)> = None;
        let mut order: Vec<usize> = (0..relief.len())
            .filter(|&one| !self.is_taken(one))
            .collect();
        let minutes: Vec<f64> = (0..relief.len()).map(|one| self.minutes(one)).collect();
        let rate = |relief: &[f64], one: usize| relief[one] / minutes[one];
        order.sort_by(|&a, &b| rate(relief, b).total_cmp(&rate(relief, a)).then(a.cmp(&b)));
        for one in order {
            if best.is_some_and(|(_, most)| rate(relief, one) <= most) {
                break;
            }
            let left = self
                .full_change(one)
                .map_or(now, |change| self.missing(Some(&change)));
            relief[one] = now - left;
            let found = rate(relief, one);
            if relief[one] > LEAST_RELIEF
                && best.is_none_or(|(_, most)| found > most * (1.0 + ROUND_OFF))
            {
                best = Some((one, found));
            }
        }
        best.map(|(one, _)| one)
    }

    /// At least four readings from wheels, and from each wheel one where a tape can reach it from there.
    fn take_wheels(&mut self) {
        for wheel in 0..4 {
            if !self.uses(wheel) {
                self.take_nearest(Some(wheel));
            }
        }
        while self.readings_of_wheels() < FEWEST_WHEEL_READINGS && self.take_nearest(None) {}
    }

    /// Takes the pull from a wheel that asks for least effort, of equals the one to the nearest mark; false where
    /// there is none left.
    fn take_nearest(&mut self, wheel: Option<usize>) -> bool {
        let mut open: Vec<usize> = (0..self.candidates.len())
            .filter(|&one| {
                self.wheels(one)
                    .any(|at| wheel.is_none_or(|wheel| wheel == at))
            })
            .filter(|&one| !self.is_taken(one))
            .collect();
        let length = |one: usize| self.candidates[one].should_be[0];
        open.sort_by(|&a, &b| {
            self.minutes(a)
                .total_cmp(&self.minutes(b))
                .then(length(a).total_cmp(&length(b)))
                .then(a.cmp(&b))
        });
        open.first().is_some_and(|&one| self.take(one).is_some())
    }
}
