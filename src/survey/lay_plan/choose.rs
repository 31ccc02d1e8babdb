//! Which lays to make: the fewest minutes found that meet all demands.
//!
//! Lays are taken one after the other, each time the one that relieves most of what is missing for its minutes; then what
//! the later ones made needless is left out again, whole lays first, then single readings. Neither step looks
//! back far, so the plan is not the least there is; but it is made in no time, the same on every machine, and never
//! proves less than it says.

use nalgebra::DMatrix;

use super::{
    candidates::Candidate,
    demand::{Grid, ROUNDING, least_redundancy, missing, provable, provable_of_grid, redundancies},
    figures::{FEWEST_WHEEL_READINGS, HELD_BY_NOTHING_MM, PLUMB_MINUTES, UNMET_SLACK},
    ground::{Ground, Term},
    state::{Change, State},
};

/// Up to so many candidates all are weighed at every step; beyond, what they relieved when they were weighed last is
/// taken for what they can relieve at most.
const WEIGHED_ANEW: usize = 400;

/// Relief below this is none.
const LEAST_RELIEF: f64 = 1e-6;

/// Passes of leaving out; each opens little for the next.
const PASSES: usize = 3;

/// A lay that was taken.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    /// Index of the candidate.
    pub candidate: usize,
    /// Which of its readings are taken.
    pub kept: Vec<bool>,
}

/// What is asked for, mm: the tightest tolerance to be proven of each mark by itself, and by the grid.
#[derive(Clone, Debug)]
pub(super) struct Goals {
    marks: Vec<f64>,
    grid: Vec<f64>,
    /// How many times the usual error of a reading may stay hidden.
    times: f64,
}

/// Chooses lays for one layout.
pub(super) struct Chooser<'a> {
    ground: &'a Ground,
    grid: Grid,
    candidates: &'a [Candidate],
    rows: Vec<Vec<Vec<Term>>>,
    goals: Goals,
    state: State,
    chosen: Vec<Chosen>,
}

impl<'a> Chooser<'a> {
    /// A chooser that has everything taped, to see what can be proven at all.
    pub(super) fn all(ground: &'a Ground, candidates: &'a [Candidate]) -> Self {
        let rows: Vec<Vec<Vec<Term>>> = candidates.iter().map(|candidate| ground.rows(candidate)).collect();
        let every = candidates.iter().zip(&rows).map(|(one, rows)| (&rows[..], one.weight(&vec![true; rows.len()])));
        let state = State::with_all(ground, every);
        let none = Goals { marks: Vec::new(), grid: Vec::new(), times: 1.0 };
        let grid = Grid::of(&ground.places, &ground.tolerances);
        Self { ground, grid, candidates, rows, goals: none, state, chosen: Vec::new() }
    }

    /// Tightest tolerance that is proven of each mark by itself and by the grid, mm.
    pub(super) fn proven(&self) -> Vec<[f64; 2]> {
        let sd = self.grid.sd(&self.state, None, self.ground);
        let mark =
            |mark| [provable(&self.state, None, self.ground, mark), provable_of_grid(&sd, self.grid.reach(mark))];
        (0..self.ground.marks()).map(mark).collect()
    }

    /// The lays that prove tolerances, mm, as far as all of them together could, and in which errors of `times` the usual size
    /// show; then [`Chooser::state`] is theirs.
    pub(super) fn choose(mut self, tolerances: &[f64], times: f64) -> Self {
        let reach = |best: f64, tolerance: f64| {
            if best > tolerance { best.min(HELD_BY_NOTHING_MM) * UNMET_SLACK } else { tolerance }
        };
        let best = self.proven();
        let goals = |part: usize| best.iter().zip(tolerances).map(|(best, goal)| reach(best[part], *goal)).collect();
        self.goals = Goals { marks: goals(0), grid: goals(1), times };
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

    fn is_taken(&self, candidate: usize) -> bool {
        self.chosen.iter().any(|chosen| chosen.candidate == candidate)
    }

    fn wheels(&self, candidate: usize) -> impl Iterator<Item = usize> + use<> {
        self.candidates[candidate].wheels(self.ground.marks())
    }

    fn uses(&self, wheel: usize) -> bool {
        self.chosen.iter().any(|one| self.wheels(one.candidate).any(|used| used == wheel))
    }

    /// Kept readings that tie the marks to wheels.
    fn readings_of_wheels(&self) -> usize {
        let of_wheels = self.chosen.iter().filter(|one| self.wheels(one.candidate).next().is_some());
        of_wheels.flat_map(|one| &one.kept).filter(|kept| **kept).count()
    }

    /// Minutes for a candidate as a whole, plumbing of a wheel that is not used yet included.
    fn minutes(&self, candidate: usize) -> f64 {
        let one = &self.candidates[candidate];
        let plumbed = self.wheels(candidate).filter(|wheel| !self.uses(*wheel)).count();
        one.minutes(&vec![true; one.marks.len()]) + PLUMB_MINUTES * plumbed as f64
    }

    fn full_change(&self, candidate: usize) -> Option<Change> {
        let rows = &self.rows[candidate];
        self.state.change(rows, &self.candidates[candidate].weight(&vec![true; rows.len()]))
    }

    fn take(&mut self, candidate: usize) {
        let Some(change) = self.full_change(candidate) else { return };
        self.state.apply(&change, self.ground);
        self.chosen.push(Chosen { candidate, kept: vec![true; self.rows[candidate].len()] });
    }

    /// What is missing of the marks and the grid.
    fn missing(&self, change: Option<&Change>) -> f64 {
        missing(&self.state, change, self.ground, &self.grid, [&self.goals.marks, &self.goals.grid])
    }

    /// Takes lays until nothing is missing, or nothing relieves it.
    fn take_all_needed(&mut self) {
        let mut relief = vec![f64::INFINITY; self.candidates.len()];
        let mut now = self.missing(None);
        let weighed_anew = self.candidates.len() <= WEIGHED_ANEW;
        while now > ROUNDING {
            if weighed_anew {
                relief.fill(f64::INFINITY);
            }
            let Some(best) = self.best(&mut relief, now) else { break };
            self.take(best);
            now = self.missing(None);
        }
    }

    /// The candidate that relieves most for its minutes. `relief` holds what each relieves at most, infinite where that
    /// is not known, and is brought up to date for those that are weighed.
    fn best(&self, relief: &mut [f64], now: f64) -> Option<usize> {
        let mut best: Option<(usize, f64)> = None;
        let mut order: Vec<usize> = (0..relief.len()).filter(|&one| !self.is_taken(one)).collect();
        let rate = |relief: &[f64], one: usize| relief[one] / self.minutes(one);
        order.sort_by(|&a, &b| rate(relief, b).total_cmp(&rate(relief, a)).then(a.cmp(&b)));
        for one in order {
            if best.is_some_and(|(_, most)| rate(relief, one) <= most) {
                break;
            }
            let left = self.full_change(one).map_or(now, |change| self.missing(Some(&change)));
            relief[one] = now - left;
            let found = rate(relief, one);
            if relief[one] > LEAST_RELIEF && best.is_none_or(|(_, most)| found > most * (1.0 + ROUNDING)) {
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
            .filter(|&one| self.wheels(one).any(|at| wheel.is_none_or(|wheel| wheel == at)))
            .filter(|&one| !self.is_taken(one))
            .collect();
        let length = |one: usize| self.candidates[one].should_be[0];
        open.sort_by(|&a, &b| {
            self.minutes(a).total_cmp(&self.minutes(b)).then(length(a).total_cmp(&length(b))).then(a.cmp(&b))
        });
        open.first().is_some_and(|&one| {
            self.take(one);
            true
        })
    }

    /// Redundancies of a chosen lay's kept readings, others as in the state.
    fn redundancy(&self, candidate: usize, kept: &[bool], change: Option<&Change>) -> Vec<f64> {
        let one = &self.candidates[candidate];
        redundancies(&one.weight(kept), &self.state.fitted(&self.rows[candidate], change), one.sd)
    }

    /// What is missing of the readings' checks by each other: for each the part below the least.
    fn unchecked(&self, change: Option<&Change>) -> f64 {
        let of = |chosen: &Chosen| {
            let least = least_redundancy(self.candidates[chosen.candidate].sd, self.goals.times);
            let found = self.redundancy(chosen.candidate, &chosen.kept, change);
            let kept = found.iter().zip(&chosen.kept).filter(|(_, kept)| **kept);
            kept.map(|(found, _)| (1.0 - found / least).max(0.0)).sum::<f64>()
        };
        self.chosen.iter().map(of).sum()
    }

    /// Lays not taken yet that are read at a mark of a reading which is not checked enough; of very many the first ones,
    /// those of fewest minutes.
    fn beside_unchecked(&self) -> Vec<usize> {
        let mut marks = vec![false; self.ground.marks()];
        for chosen in &self.chosen {
            let one = &self.candidates[chosen.candidate];
            let least = least_redundancy(one.sd, self.goals.times);
            let found = self.redundancy(chosen.candidate, &chosen.kept, None);
            let open = (0..found.len()).filter(|&reading| chosen.kept[reading] && found[reading] < least);
            open.for_each(|reading| marks[one.marks[reading]] = true);
        }
        let touches = |one: usize| self.candidates[one].marks.iter().any(|&mark| marks[mark]);
        let mut open: Vec<usize> =
            (0..self.candidates.len()).filter(|&one| !self.is_taken(one) && touches(one)).collect();
        open.sort_by(|&a, &b| self.minutes(a).total_cmp(&self.minutes(b)).then(a.cmp(&b)));
        open.truncate(WEIGHED_ANEW);
        open
    }

    /// Takes lays until every reading is checked by the others, or nothing helps.
    fn have_all_checked(&mut self) {
        let mut now = self.unchecked(None);
        while now > ROUNDING {
            let relief = |one: usize| {
                let left = self.full_change(one).map_or(now, |change| self.unchecked(Some(&change)));
                (now - left) / self.minutes(one)
            };
            let open = self.beside_unchecked();
            let rated = open.into_iter().map(|one| (one, relief(one)));
            let Some((best, most)) = rated.reduce(|a, b| if b.1 > a.1 * (1.0 + ROUNDING) { b } else { a }) else {
                break;
            };
            if most < LEAST_RELIEF {
                break;
            }
            self.take(best);
            now = self.unchecked(None);
        }
    }

    /// Leaves out what is not needed: whole lays, those of most minutes first, then single readings.
    fn leave_out(&mut self) {
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
        self.chosen.iter().flat_map(|one| &one.kept).filter(|kept| **kept).count()
    }

    fn leave_out_lays(&mut self) {
        let effort = |one: &Chosen| self.candidates[one.candidate].minutes(&one.kept);
        let mut order: Vec<(f64, usize)> = self.chosen.iter().map(|one| (effort(one), one.candidate)).collect();
        // Of equals the one taken last goes first: it relieved least.
        order.reverse();
        order.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (_, candidate) in order {
            let Some(index) = self.chosen.iter().position(|one| one.candidate == candidate) else { continue };
            let kept = vec![false; self.chosen[index].kept.len()];
            self.try_keeping(index, kept);
        }
    }

    fn leave_out_readings(&mut self) {
        for index in (0..self.chosen.len()).rev() {
            for reading in 0..self.chosen[index].kept.len() {
                let now = &self.chosen[index].kept;
                if !now[reading] || now.iter().filter(|kept| **kept).count() < 2 {
                    continue;
                }
                let mut kept = now.clone();
                kept[reading] = false;
                self.try_keeping(index, kept);
            }
        }
    }

    /// Keeps these readings alone of a chosen lay, where all demands are then still met.
    fn try_keeping(&mut self, index: usize, kept: Vec<bool>) {
        let Chosen { candidate, kept: before } = &self.chosen[index];
        let (candidate, one) = (*candidate, &self.candidates[*candidate]);
        let gone = !kept.contains(&true);
        let fewer = before.iter().zip(&kept).filter(|(before, kept)| **before && !**kept).count();
        if self.needs_wheel(candidate, gone, fewer) {
            return;
        }
        let weight: DMatrix<f64> = one.weight(&kept) - one.weight(before);
        let Some(change) = self.state.change(&self.rows[candidate], &weight) else { return };
        if !self.holds(&change, index, &kept) {
            return;
        }
        self.state.apply(&change, self.ground);
        if gone {
            self.chosen.remove(index);
        } else {
            self.chosen[index].kept = kept;
        }
    }

    /// True for a lay from wheels that is the last one of a wheel, or whose `fewer` readings the fewest from wheels cannot do
    /// without.
    fn needs_wheel(&self, candidate: usize, gone: bool, fewer: usize) -> bool {
        let last = |wheel: usize| {
            self.chosen.iter().filter(|one| self.wheels(one.candidate).any(|used| used == wheel)).count() < 2
        };
        let mut wheels = self.wheels(candidate).peekable();
        wheels.peek().is_some()
            && (self.readings_of_wheels() < FEWEST_WHEEL_READINGS + fewer || (gone && wheels.any(last)))
    }

    /// True where all goals are met after a change by which the lay `index` keeps `kept`; those of its own marks, which
    /// are the first to fail, first.
    fn holds(&self, change: &Change, index: usize, kept: &[bool]) -> bool {
        let met = |found: f64, goal: f64| found <= goal * (1.0 + ROUNDING);
        let own = &self.candidates[self.chosen[index].candidate].marks;
        let mark = |mark: usize| met(provable(&self.state, Some(change), self.ground, mark), self.goals.marks[mark]);
        if !own.iter().all(|&one| mark(one)) {
            return false;
        }
        let sd = self.grid.sd(&self.state, Some(change), self.ground);
        let grid = |mark: usize| met(provable_of_grid(&sd, self.grid.reach(mark)), self.goals.grid[mark]);
        (0..self.ground.marks()).all(|one| grid(one) && mark(one)) && self.all_checked(change, index, kept)
    }

    /// True where no reading is checked less than it has to be, or than it is now.
    fn all_checked(&self, change: &Change, index: usize, kept: &[bool]) -> bool {
        self.chosen.iter().enumerate().all(|(at, chosen)| {
            let kept = if at == index { kept } else { &chosen.kept[..] };
            let least = least_redundancy(self.candidates[chosen.candidate].sd, self.goals.times);
            let after = self.redundancy(chosen.candidate, kept, Some(change));
            let enough = |reading: usize| {
                after[reading] >= least * (1.0 - ROUNDING)
                    || after[reading]
                        >= self.redundancy(chosen.candidate, &chosen.kept, None)[reading] * (1.0 - ROUNDING)
            };
            (0..kept.len()).filter(|&reading| kept[reading]).all(enough)
        })
    }
}
