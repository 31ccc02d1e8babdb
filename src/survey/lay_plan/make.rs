//! The plan of lays of a layout.

use kurbo::Point;

use super::{
    candidates::{Candidate, candidates, end},
    choose::{Chooser, Chosen},
    figures::{FINER_PLUMB_MM, PLUMB_MINUTES, QUICK_TIMES, SHIFT_FACTOR, TURN_FACTOR},
    ground::Ground,
    limits::limits,
    order::Round,
    radius::radius,
};
use crate::{
    plan::{FloorPlan, GridProof, Lay, LayEnd, LayKind, LayReading, MarkProof, Proof, WouldTake},
    survey::{LayingPrior, LongestPull, Method, Precision, TapeClass, wheel_marks},
};

/// Which tolerance the lays are to prove.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CheckChoice {
    /// Twice each mark's tolerance, and errors of 20 mm in readings: gross mistakes are found, tolerances are not proven.
    Quick,
    /// Each mark's tolerance.
    #[default]
    Full,
}

impl CheckChoice {
    /// Both with their words.
    pub const ALL: [(&'static str, Self); 2] = [("quick", Self::Quick), ("full", Self::Full)];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Quick => "quick",
            Self::Full => "full",
        }
    }

    /// How many times its tolerance a mark may lie off before the lays have to find it.
    const fn times(self) -> f64 {
        match self {
            Self::Quick => QUICK_TIMES,
            Self::Full => 1.0,
        }
    }
}

/// All that lays are chosen from beside the layout.
#[derive(Clone, Copy, Debug)]
pub struct LayPlanner<'a> {
    /// The layout of one vehicle.
    pub plan: &'a FloorPlan,
    /// What tape, hand and eye can do.
    pub precision: &'a Precision,
    /// How the marks are brought to the floor, and the longer side of what a sheet shows, mm.
    pub laid: (Method, f64),
    /// Longest distance that is taped, mm; `None` for any.
    pub longest: LongestPull,
    /// What printed limits are rounded up to, mm.
    pub step: f64,
}

impl LayPlanner<'_> {
    /// The layout with its lays in the order of walking and what they prove.
    #[must_use]
    pub fn apply(&self, choice: CheckChoice) -> FloorPlan {
        let ground = self.ground(self.precision);
        let candidates = candidates(self.plan, self.precision, self.longest);
        let tolerances: Vec<f64> = ground
            .tolerances
            .iter()
            .map(|tolerance| choice.times() * tolerance)
            .collect();
        let chooser = Chooser::all(&ground, &candidates).choose(&tolerances, choice.times());
        let mut proof = self.proof(&ground, &candidates, &chooser, choice);
        if !proof.complete() {
            proof.would_take = self.would_take(&tolerances);
        }
        FloorPlan {
            lays: self.lays(&ground, &candidates, &chooser),
            proofs: vec![proof],
            ..self.plan.clone()
        }
    }

    fn ground(&self, precision: &Precision) -> Ground {
        let (method, sheet_length) = self.laid;
        Ground::of(
            self.plan,
            precision,
            &LayingPrior::of(self.plan, precision, method, sheet_length),
        )
    }

    fn lays(&self, ground: &Ground, candidates: &[Candidate], chooser: &Chooser<'_>) -> Vec<Lay> {
        let rows: Vec<_> = chooser
            .chosen()
            .iter()
            .map(|one| chooser.rows(one.candidate))
            .collect();
        let limits = limits(ground, candidates, &rows, chooser.chosen(), self.step);
        let points: Vec<Point> = ground
            .places
            .iter()
            .copied()
            .chain(wheel_marks(&self.plan.vehicle).map(|(_, at)| at))
            .collect();
        let mut lays: Vec<(Round, Lay)> = chooser
            .chosen()
            .iter()
            .zip(limits)
            .map(|(one, limits)| {
                let lay = lay(&candidates[one.candidate], one, &limits, ground.marks());
                let to = match lay.to {
                    LayEnd::Mark(mark) => points[mark],
                    LayEnd::Wheel(wheel) => points[ground.marks() + wheel],
                };
                let ends = [points[candidates[one.candidate].from], to];
                (Round::of(self.plan, lay.kind, ends, lay.below_body), lay)
            })
            .collect();
        lays.sort_by(|a, b| a.0.compare(&b.0));
        let mut check = 0;
        for (index, (_, lay)) in lays.iter_mut().enumerate() {
            lay.number = index + 1;
            for reading in &mut lay.readings {
                check += 1;
                reading.id = check.to_string();
            }
        }
        lays.into_iter().map(|(_, lay)| lay).collect()
    }

    fn proof(
        &self,
        ground: &Ground,
        candidates: &[Candidate],
        chooser: &Chooser<'_>,
        choice: CheckChoice,
    ) -> Proof {
        let mark = |(mark, proven): (usize, [f64; 2])| MarkProof {
            mark,
            tolerance: ground.tolerances[mark],
            radius: radius(&chooser.state().place(mark, None)),
            provable: proven[0].max(proven[1]),
        };
        let sd = chooser.grid().sd(chooser.state(), None, ground);
        let reach = (0..ground.marks())
            .map(|mark| chooser.grid().reach(mark))
            .fold(0.0, f64::max);
        let chosen = chooser.chosen();
        let minutes: f64 = chosen
            .iter()
            .map(|one| candidates[one.candidate].minutes(&one.kept))
            .sum();
        let wheel = |wheel: usize| {
            chosen.iter().any(|one| {
                candidates[one.candidate]
                    .wheels(ground.marks())
                    .any(|used| used == wheel)
            })
        };
        Proof {
            letter: None,
            minutes: minutes + PLUMB_MINUTES * (0..4).filter(|at| wheel(*at)).count() as f64,
            lays: chosen.len(),
            readings: chosen
                .iter()
                .flat_map(|one| &one.kept)
                .filter(|kept| **kept)
                .count(),
            times_tolerance: choice.times(),
            marks: chooser.proven().into_iter().enumerate().map(mark).collect(),
            grid: GridProof {
                forward: SHIFT_FACTOR * sd.forward,
                left: SHIFT_FACTOR * sd.left,
                turn: TURN_FACTOR * sd.turn * reach,
            },
            would_take: Vec::new(),
        }
    }

    /// What would prove tolerances that these tools do not: tried with everything taped that can be. To accept the risk is
    /// always left.
    fn would_take(&self, tolerances: &[f64]) -> Vec<WouldTake> {
        let tape = Precision {
            tape_class: TapeClass::I,
            ..*self.precision
        };
        let plumb = FINER_PLUMB_MM.min(self.precision.plumb);
        let finer = |precision: Precision| Precision {
            plumb,
            centreline: plumb.min(precision.centreline),
            ..precision
        };
        let ways = [
            (WouldTake::TapeClassI, tape),
            (WouldTake::FinerPlumbing, finer(*self.precision)),
            (WouldTake::ClassIAndFinerPlumbing, finer(tape)),
        ];
        let proves = |precision: &Precision| {
            let (ground, candidates) = (
                self.ground(precision),
                candidates(self.plan, precision, self.longest),
            );
            let best = Chooser::all(&ground, &candidates).proven();
            best.iter()
                .zip(tolerances)
                .all(|([own, grid], goal)| own.max(*grid) <= *goal)
        };
        let mut found: Vec<WouldTake> = ways
            .into_iter()
            .filter(|(_, precision)| proves(precision))
            .map(|(way, _)| way)
            .collect();
        if found.len() > 1 {
            // One of them is enough.
            found.retain(|way| *way != WouldTake::ClassIAndFinerPlumbing);
        }
        if found.is_empty() {
            found.push(WouldTake::OtherInstrument);
        }
        found.push(WouldTake::SimpleDecision);
        found
    }
}

fn lay(candidate: &Candidate, chosen: &Chosen, limits: &[f64], marks: usize) -> Lay {
    let kept = (0..chosen.kept.len()).filter(|&index| chosen.kept[index]);
    let readings: Vec<LayReading> = kept
        .zip(limits)
        .map(|(index, &limit)| LayReading {
            id: String::new(),
            mark: candidate.marks[index],
            should_be: candidate.should_be[index],
            limit,
            sd: candidate.sd.hypot(candidate.zero),
        })
        .collect();
    let last = readings.last().map_or(candidate.to, |reading| reading.mark);
    Lay {
        number: 0,
        letter: None,
        kind: candidate.kind,
        from: end(candidate.from, marks),
        to: end(
            if candidate.kind == LayKind::String {
                candidate.to
            } else {
                last
            },
            marks,
        ),
        below_body: candidate.below_body(&chosen.kept),
        readings,
    }
}
