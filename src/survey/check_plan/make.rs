//! Check plans of a layout.

use kurbo::Point;

use super::{
    Advice, CheckChoice, CheckPlan, Detectable, LEAST_REDUNDANCY, Pull,
    advice::advise,
    bound::lower_bound,
    candidates::{Candidates, LongestPull},
    cofactor::{Cofactors, Reading},
    limits::{expected, limits},
    power::non_centrality,
    select::Demand,
    vehicle::{pose, vehicle_checks},
};
use crate::{
    plan::{Check, CheckKind, FloorPlan},
    survey::{self, Geometry, Precision, setting_out::SettingOut},
};

/// A reading with less redundancy than this is checked by nothing.
const NO_REDUNDANCY: f64 = 1e-6;

/// Where all reachable distances cannot prove a mark, its smallest displacement may be this many times what they
/// find: the last percents would take nearly all of them.
const UNMET_SLACK: f64 = 1.1;

/// Longest pull of a job and its precision: all that check plans are made from beside the layout.
#[derive(Clone, Copy, Debug)]
pub struct CheckPlanner<'a> {
    /// The layout with the quick plan's checks, as it was resolved.
    pub plan: &'a FloorPlan,
    /// What tape, hand and eye can do.
    pub precision: &'a Precision,
    /// Longest distance that is taped, mm; `None` for any.
    pub longest: LongestPull,
}

impl CheckPlanner<'_> {
    /// The plan of a choice.
    #[must_use]
    pub fn make(&self, choice: CheckChoice) -> CheckPlan {
        match choice {
            CheckChoice::Quick => self.quick(),
            CheckChoice::Full => self.full(),
        }
    }

    /// What people do: the layout's sides, ends, diagonals and ties, as far as a tape can reach.
    #[must_use]
    pub fn quick(&self) -> CheckPlan {
        let reachable =
            |check: &Check| self.longest.is_none_or(|longest| check.distance <= longest) && !check.through_wheel;
        let checks = self.plan.checks.clone();
        let taped: Vec<bool> = checks.iter().map(reachable).collect();
        self.plan_of(CheckChoice::Quick, checks, &taped)
    }

    /// The fewest reachable distances found that find every displacement of a mark as large as its tolerance, and
    /// leave no reading unchecked; where distances cannot do that, nearly as much as all of them together do.
    #[must_use]
    pub fn full(&self) -> CheckPlan {
        let places = self.places();
        let candidates = Candidates::of(self.plan, self.longest);
        let readings: Vec<Reading> =
            candidates.pairs.iter().filter_map(|&[from, to]| self.reading(from, to, &places)).collect();
        let all = Cofactors::of(&places, readings.iter());
        let freedom = non_centrality(2.0);
        let best: Vec<Detectable> = self.detectable(&all, freedom);
        let goal = |mark: &Detectable| {
            if mark.proven() { mark.tolerance } else { mark.worst * UNMET_SLACK }
        };
        let allowed: Vec<f64> = best.iter().map(|mark| goal(mark).powi(2) / freedom).collect();
        // What nothing can check even with all readings in cannot be asked to be checked.
        let least = |reading| if all.redundancy(reading) < LEAST_REDUNDANCY { 0.0 } else { LEAST_REDUNDANCY };
        let redundancy: Vec<f64> = readings.iter().map(least).collect();
        let all_checked = redundancy.iter().all(|least| *least > 0.0);
        let bound = lower_bound(&readings, &allowed, if all_checked { LEAST_REDUNDANCY } else { 0.0 });
        let dislike = candidates.pairs.iter().map(|&[from, to]| self.dislike(from, to)).collect();
        let chosen = Demand { readings: &readings, allowed, redundancy, dislike }.fewest(&all);
        let checks = self.checks(chosen.iter().map(|&index| candidates.pairs[index]));
        let taped = vec![true; checks.len()];
        let unmet: Vec<(usize, f64)> = best
            .iter()
            .enumerate()
            .filter(|(_, mark)| !mark.proven())
            .map(|(index, mark)| (index, mark.worst))
            .collect();
        let found = self.plan_of(CheckChoice::Full, checks, &taped);
        let with_chosen = Cofactors::of(&places, chosen.iter().map(|&index| &readings[index]));
        let advice: Vec<Advice> = advise(self.plan, self.precision, with_chosen, &unmet, freedom);
        CheckPlan { unmet, advice, lower_bound: Some(bound), candidates: candidates.reachable, ..found }
    }

    fn plan_of(&self, choice: CheckChoice, checks: Vec<Check>, taped: &[bool]) -> CheckPlan {
        let places = self.places();
        let reading = |check: &Check| self.reading(check.from, check.to, &places);
        let used = checks.iter().zip(taped).filter(|(_, taped)| **taped).filter_map(|(check, _)| reading(check));
        let used: Vec<Reading> = used.collect();
        let cofactors = Cofactors::of(&places, used.iter());
        let short = |check: &&Check| self.longest.is_none_or(|longest| check.distance <= longest);
        let with_all: Vec<Reading> = checks.iter().filter(short).filter_map(reading).collect();
        let bay_empty = Cofactors::of(&places, with_all.iter());
        let pulls = checks.into_iter().zip(taped).map(|(check, taped)| {
            let redundancy = reading(&check).filter(|_| *taped).map(|reading| cofactors.redundancy(&reading).max(0.0));
            self.pull(check, redundancy)
        });
        let pulls = pulls.collect();
        let freedom = non_centrality(2.0);
        let marks = self.detectable(&cofactors, freedom);
        let vehicle_checks = vehicle_checks(self.plan, self.precision, self.longest);
        CheckPlan {
            choice,
            pulls,
            marks,
            marks_bay_empty: self.detectable(&bay_empty, freedom),
            unmet: Vec::new(),
            advice: Vec::new(),
            candidates: Candidates::of(self.plan, self.longest).reachable,
            lower_bound: None,
            pose: pose(self.plan, self.precision, &vehicle_checks),
            vehicle_checks,
        }
    }

    fn pull(&self, check: Check, redundancy: Option<f64>) -> Pull {
        let ends = [check.from, check.to].map(|mark| self.plan.marks[mark].at);
        let sd = self.precision.distance(check.distance);
        let setting_out = SettingOut { vehicle: &self.plan.vehicle, precision: self.precision };
        let rated = limits(check.limits.tolerance, sd, expected(setting_out, ends, sd));
        let checked = redundancy.filter(|redundancy| *redundancy > NO_REDUNDANCY);
        Pull {
            check: Check { limits: rated, ..check },
            sd,
            redundancy,
            smallest_error: checked.map(|redundancy| sd * survey::non_centrality() / redundancy.sqrt()),
        }
    }

    fn detectable(&self, cofactors: &Cofactors, freedom: f64) -> Vec<Detectable> {
        let marks = cofactors.marks.iter().zip(&self.plan.marks);
        marks.map(|(covariance, mark)| Detectable::of(*covariance, mark.tolerance, freedom)).collect()
    }

    fn places(&self) -> Vec<Point> {
        self.plan.marks.iter().map(|mark| mark.at).collect()
    }

    fn reading(&self, from: usize, to: usize, places: &[Point]) -> Option<Reading> {
        let sd = self.precision.distance(places[from].distance(places[to]));
        Reading::of(Geometry::Distance { from, to }, sd, places)
    }

    fn known(&self, from: usize, to: usize) -> Option<&Check> {
        let joins = |check: &&Check| [check.from, check.to] == [from, to] || [check.to, check.from] == [from, to];
        self.plan.checks.iter().find(joins)
    }

    /// Among equals, what people know and what is short is liked.
    fn dislike(&self, from: usize, to: usize) -> f64 {
        /// Metres of tape that a distance of a new kind weighs.
        const NEW: f64 = 10.0;
        let metres = self.plan.marks[from].at.distance(self.plan.marks[to].at) / 1000.0;
        (metres + if self.known(from, to).is_some() { 0.0 } else { NEW }) / 20.0
    }

    /// Distances as checks: known ones keep their names, new ones are numbered on as ties.
    fn checks(&self, pairs: impl Iterator<Item = [usize; 2]>) -> Vec<Check> {
        let mut ties = self.plan.checks.iter().filter(|check| check.kind == CheckKind::Tie).count();
        let mut checks: Vec<Check> = pairs
            .map(|[from, to]| {
                self.known(from, to).cloned().unwrap_or_else(|| {
                    ties += 1;
                    self.tie(ties, from, to)
                })
            })
            .collect();
        let place = |check: &Check| self.plan.checks.iter().position(|known| known.id == check.id);
        checks.sort_by_key(|check| (check.kind, place(check).unwrap_or(usize::MAX)));
        checks
    }

    fn tie(&self, number: usize, from: usize, to: usize) -> Check {
        let (a, b) = (&self.plan.marks[from], &self.plan.marks[to]);
        Check {
            id: format!("T{number}"),
            kind: CheckKind::Tie,
            from,
            to,
            distance: a.at.distance(b.at),
            limits: crate::plan::Limits::exact(a.tolerance.max(b.tolerance)),
            through_wheel: false,
        }
    }
}
