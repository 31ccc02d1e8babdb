//! Check plans of a layout.

use kurbo::Point;

use super::{
    CheckPlan, Detectable, LEAST_REDUNDANCY, PlannedPull,
    candidates::{Candidates, LongestPull},
    cofactor::{Cofactors, PlannedReading},
    power::non_centrality,
    select::Demand,
    vehicle::vehicle_checks,
};
use crate::{
    plan::{Check, CheckKind, FloorPlan},
    survey::{Geometry, Precision},
};

/// Where all reachable distances cannot prove a mark, its smallest displacement may be this many times what they
/// find: the last percents would take nearly all of them.
const UNMET_SLACK: f64 = 1.1;

/// Longest pull of a job and its precision: all that check plans are made from beside the layout.
#[derive(Clone, Copy, Debug)]
pub struct CheckPlanner<'a> {
    /// The layout as it was resolved.
    pub plan: &'a FloorPlan,
    /// What tape, hand and eye can do.
    pub precision: &'a Precision,
    /// Longest distance that is taped, mm; `None` for any.
    pub longest: LongestPull,
}

impl CheckPlanner<'_> {
    /// The fewest reachable distances found that find every displacement of a mark as large as its tolerance, and
    /// leave no reading unchecked; where distances cannot do that, nearly as much as all of them together do.
    #[must_use]
    pub fn full(&self) -> CheckPlan {
        let places = self.places();
        let candidates = Candidates::of(self.plan, self.longest);
        let readings: Vec<PlannedReading> = candidates
            .pairs
            .iter()
            .filter_map(|&[from, to]| self.reading(from, to, &places))
            .collect();
        let all = Cofactors::of(&places, readings.iter());
        let freedom = non_centrality(2.0);
        let best: Vec<Detectable> = self.detectable(&all, freedom);
        let goal = |mark: &Detectable| {
            if mark.proven() {
                mark.tolerance
            } else {
                mark.worst * UNMET_SLACK
            }
        };
        let allowed: Vec<f64> = best
            .iter()
            .map(|mark| goal(mark).powi(2) / freedom)
            .collect();
        // What nothing can check even with all readings in cannot be asked to be checked.
        let least = |reading| {
            if all.redundancy(reading) < LEAST_REDUNDANCY {
                0.0
            } else {
                LEAST_REDUNDANCY
            }
        };
        let redundancy: Vec<f64> = readings.iter().map(least).collect();
        let pairs = candidates.pairs.iter();
        let dislike = pairs.map(|&[from, to]| self.dislike(from, to)).collect();
        let chosen = Demand {
            readings: &readings,
            allowed,
            redundancy,
            dislike,
        }
        .fewest(&all);
        let unmet = (0..best.len())
            .filter(|&mark| !best[mark].proven())
            .collect();
        let cofactors = Cofactors::of(&places, chosen.iter().map(|&index| &readings[index]));
        let checks = self.checks(chosen.iter().map(|&index| candidates.pairs[index]));
        let pulls = checks.into_iter().map(|check| {
            let sd = self.precision.distance(check.distance);
            let reading = self.reading(check.from, check.to, &places);
            PlannedPull {
                check,
                sd,
                redundancy: reading.map_or(0.0, |reading| cofactors.redundancy(&reading).max(0.0)),
            }
        });
        CheckPlan {
            pulls: pulls.collect(),
            marks: self.detectable(&cofactors, freedom),
            unmet,
            vehicle_checks: vehicle_checks(self.plan, self.precision, self.longest),
        }
    }

    fn detectable(&self, cofactors: &Cofactors, freedom: f64) -> Vec<Detectable> {
        let marks = cofactors.marks.iter().zip(&self.plan.marks);
        marks
            .map(|(covariance, mark)| Detectable::of(*covariance, mark.tolerance, freedom))
            .collect()
    }

    fn places(&self) -> Vec<Point> {
        self.plan.marks.iter().map(|mark| mark.at).collect()
    }

    fn reading(&self, from: usize, to: usize, places: &[Point]) -> Option<PlannedReading> {
        let sd = self.precision.distance(places[from].distance(places[to]));
        PlannedReading::of(Geometry::Distance { from, to }, sd, places)
    }

    fn known(&self, from: usize, to: usize) -> Option<&Check> {
        let joins = |check: &&Check| {
            [check.from, check.to] == [from, to] || [check.to, check.from] == [from, to]
        };
        self.plan.checks.iter().find(joins)
    }

    /// Among equals, what people know and what is short is liked.
    fn dislike(&self, from: usize, to: usize) -> f64 {
        /// Metres of tape that a distance of a new kind weighs.
        const NEW: f64 = 10.0;
        let metres = self.plan.marks[from].at.distance(self.plan.marks[to].at) / 1000.0;
        (metres
            + if self.known(from, to).is_some() {
                0.0
            } else {
                NEW
            })
            / 20.0
    }

    /// Distances as checks: known ones keep their names, new ones are numbered on as ties.
    fn checks(&self, pairs: impl Iterator<Item = [usize; 2]>) -> Vec<Check> {
        let mut ties = self
            .plan
            .checks
            .iter()
            .filter(|check| check.kind == CheckKind::Tie)
            .count();
        let mut checks: Vec<Check> = pairs
            .map(|[from, to]| {
                self.known(from, to).cloned().unwrap_or_else(|| {
                    ties += 1;
                    self.tie(ties, from, to)
                })
            })
            .collect();
        let place = |check: &Check| {
            self.plan
                .checks
                .iter()
                .position(|known| known.id == check.id)
        };
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
            tolerance: a.tolerance.max(b.tolerance),
            through_wheel: false,
        }
    }
}
