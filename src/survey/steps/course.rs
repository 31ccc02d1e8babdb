//! Steps in the making: what is on the floor so far, and which checks it allows.

use std::collections::BTreeSet;

use kurbo::Point;

use super::{Instruction, Spot, Step, TapedLength, sections::spot};
use crate::{
    plan::{CheckKind, FloorPlan},
    survey::LayingFloor,
};

/// Most checks after one step: what is done at once, the rest is on the checklist.
const MOST_CHECKS: usize = 4;

/// Checks that each new mark gets where there are so many.
const CHECKS_PER_MARK: usize = 2;

/// A run of steps.
pub(super) struct Course<'p> {
    pub plan: &'p FloorPlan,
    /// What stands on the floor meanwhile.
    pub floor: LayingFloor,
    pub steps: Vec<Step>,
    placed: BTreeSet<usize>,
    used: BTreeSet<usize>,
}

impl<'p> Course<'p> {
    pub fn new(plan: &'p FloorPlan, floor: LayingFloor) -> Self {
        Self {
            plan,
            floor,
            steps: Vec::new(),
            placed: BTreeSet::new(),
            used: BTreeSet::new(),
        }
    }

    /// A distance between two spots.
    pub fn pull(&self, from: &Spot, to: &Spot) -> TapedLength {
        TapedLength {
            from: from.clone(),
            to: to.clone(),
        }
    }

    /// Marks that the last step makes as well.
    pub fn set(&mut self, marks: Vec<usize>) {
        self.placed.extend(&marks);
        if let Some(step) = self.steps.last_mut() {
            step.marks.extend(marks);
        }
    }

    /// A check of the last step beside its others.
    pub fn check(&mut self, pull: TapedLength) {
        if let Some(step) = self.steps.last_mut() {
            step.check.push(pull);
        }
    }

    /// What the last step stretches and tapes beside its distances.
    pub fn show(&mut self, strings: Vec<[Spot; 2]>, triangles: Vec<[Point; 3]>) {
        if let Some(step) = self.steps.last_mut() {
            step.strings = strings;
            step.triangles = triangles;
        }
    }

    /// Adds a step with the checks given.
    pub fn add_checked(
        &mut self,
        instruction: Instruction,
        marks: Vec<usize>,
        tape: Vec<TapedLength>,
        check: Vec<TapedLength>,
    ) {
        self.placed.extend(&marks);
        let number = self.steps.len() + 1;
        self.steps.push(Step {
            number,
            instruction,
            marks,
            tape,
            check,
            strings: Vec::new(),
            triangles: Vec::new(),
        });
    }

    /// Adds a step with the checks that it makes possible.
    pub fn add(&mut self, instruction: Instruction, marks: Vec<usize>, tape: Vec<TapedLength>) {
        self.placed.extend(&marks);
        let check = self.checks(&marks, &tape);
        self.add_checked(instruction, marks, tape, check);
    }

    /// Checks between a step's marks and what lies already: ends, diagonals, sides, ties, the long ones first,
    /// none that was just taped and none where no tape can lie.
    fn checks(&mut self, marks: &[usize], tape: &[TapedLength]) -> Vec<TapedLength> {
        let mut order: Vec<usize> = (0..self.plan.checks.len())
            .filter(|&check| self.offers(check, marks, tape))
            .collect();
        let rank = |kind: CheckKind| match kind {
            CheckKind::End => 0,
            CheckKind::Diagonal => 1,
            CheckKind::Side => 2,
            CheckKind::Tie => 3,
        };
        order.sort_by(|&a, &b| {
            let (a, b) = (&self.plan.checks[a], &self.plan.checks[b]);
            rank(a.kind)
                .cmp(&rank(b.kind))
                .then(b.distance.total_cmp(&a.distance))
        });
        let mut counts = vec![0; self.plan.marks.len()];
        let mut chosen = Vec::new();
        for check in order {
            let ends = [self.plan.checks[check].from, self.plan.checks[check].to];
            let wanted = |mark: &usize| marks.contains(mark) && counts[*mark] < CHECKS_PER_MARK;
            if chosen.len() < MOST_CHECKS && ends.iter().any(wanted) {
                ends.iter().for_each(|&mark| counts[mark] += 1);
                chosen.push(check);
            }
        }
        self.used.extend(&chosen);
        if chosen.is_empty() {
            return self.longest(marks, tape).into_iter().collect();
        }
        let pulls = chosen.into_iter().map(|index| {
            let check = &self.plan.checks[index];
            self.pull(&spot(self.plan, check.from), &spot(self.plan, check.to))
        });
        pulls.collect()
    }

    fn lies(&self, from: Point, to: Point) -> bool {
        self.floor.tape_lies(self.plan, from, to)
    }

    fn offers(&self, check: usize, marks: &[usize], tape: &[TapedLength]) -> bool {
        let found = &self.plan.checks[check];
        let ends = [found.from, found.to];
        let names = ends.map(|mark| self.plan.marks[mark].id.as_str());
        !self.used.contains(&check)
            && self.lies(self.plan.marks[found.from].at, self.plan.marks[found.to].at)
            && ends.iter().all(|mark| self.placed.contains(mark))
            && ends.iter().any(|mark| marks.contains(mark))
            && !taped(tape, names)
    }

    /// Where the plan has no check to offer: the longest free distance from a new mark to one that lies.
    fn longest(&self, marks: &[usize], tape: &[TapedLength]) -> Option<TapedLength> {
        let spots = |mark: &usize| spot(self.plan, *mark);
        let pairs = marks
            .iter()
            .flat_map(|new| self.placed.iter().map(move |old| (old, new)));
        let free = pairs
            .filter(|(old, new)| old != new)
            .map(|(old, new)| self.pull(&spots(old), &spots(new)));
        let free = free
            .filter(|pull| self.lies(pull.from.at, pull.to.at))
            .filter(|pull| !taped(tape, [&pull.from.name, &pull.to.name]));
        free.max_by(|a, b| a.distance().total_cmp(&b.distance()))
    }
}

/// True where a distance is one of those that were taped to set the marks: it would check nothing.
fn taped(tape: &[TapedLength], [a, b]: [&str; 2]) -> bool {
    tape.iter().any(|pull| {
        let names = [pull.from.name.as_str(), pull.to.name.as_str()];
        names == [a, b] || names == [b, a]
    })
}
