//! What a check says: one headline, what to do in order, and what else was found.

use super::{
    length::{Lengths, listed},
    network, reading, slip,
};
use crate::survey::{
    Assessment, Decision, Finding, Geometry, MarkFinding, Suspect, TapedLayout, Todo, Verdict,
};

/// Lines of a list of readings name at most so many of one lay; the rest is the whole lay anyway.
const LAY_UNKNOWN: u32 = 0;

/// The sentences of a check.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckWords {
    /// The verdict in one sentence.
    pub headline: String,
    /// What to do, in order; empty where nothing is left to do.
    pub todo: Vec<String>,
    /// What else was found.
    pub findings: Vec<String>,
    /// What marks lie off from: "from the vehicle", "from the fixed points", or "within the grid" where nothing ties it.
    pub against: &'static str,
    /// For each suspect the usual cause of such a mistake, where it has one.
    pub causes: Vec<Option<String>>,
}

impl CheckWords {
    /// The words for an assessment of a layout; lengths have inches beside them where `inches` is true.
    #[must_use]
    pub fn of(layout: &TapedLayout, assessment: &Assessment, inches: bool) -> Self {
        let words = Words {
            layout,
            assessment,
            lengths: Lengths { inches },
        };
        let todo = match layout.prior {
            Some(_) => words.todo(),
            None => network::sentences(layout, assessment, inches),
        };
        let cause = |suspect: &Suspect| {
            suspect
                .cause
                .map(|cause| slip::slip(cause, |point| words.name(point)))
        };
        let causes = assessment.suspects.iter().map(cause).collect();
        Self {
            headline: words.headline(),
            todo,
            findings: words.findings(),
            against: words.against(),
            causes,
        }
    }
}

struct Words<'a> {
    layout: &'a TapedLayout,
    assessment: &'a Assessment,
    lengths: Lengths,
}

impl Words<'_> {
    fn name(&self, point: usize) -> &str {
        &self.layout.network.points[point].id
    }

    fn line(&self, geometry: Geometry) -> String {
        reading::line(self.layout, geometry)
    }

    fn untied(&self) -> bool {
        self.assessment
            .findings
            .iter()
            .any(|finding| matches!(finding, Finding::Untied { .. }))
    }

    fn against(&self) -> &'static str {
        let marks = &self.assessment.marks;
        let judged = |mark: &&MarkFinding| mark.tolerance.is_some();
        let tied = marks
            .iter()
            .filter(judged)
            .any(|mark| mark.to_datum.is_some());
        match (tied, self.layout.wheels.is_empty()) {
            (false, _) => "within the grid",
            (true, false) => "from the vehicle",
            (true, true) => "from the fixed points",
        }
    }

    fn contradicted(&self) -> bool {
        !self.assessment.suspects.is_empty() || self.assessment.scattered
    }

    fn headline(&self) -> String {
        let marks = &self.assessment.marks;
        let judged = marks.iter().filter(|mark| mark.tolerance.is_some()).count();
        let outside: Vec<&str> = marks
            .iter()
            .filter(|mark| mark.verdict.max(mark.datum_verdict) == Some(Verdict::Outside))
            .map(|mark| mark.id.as_str())
            .collect();
        let whole = self.assessment.findings.contains(&Finding::GridOff);
        let moves = self
            .assessment
            .todo
            .iter()
            .filter(|todo| matches!(todo, Todo::Move { .. }))
            .count();
        match self.assessment.verdict {
            None => "Calculated. No mark has a tolerance, so nothing is judged.".to_owned(),
            Some(Verdict::Inside) => format!(
                "Inside: all {judged} marks lie within their tolerances{}.",
                if self.assessment.vehicle.is_some() { ", measured from the vehicle" } else { "" }
            ),
            Some(Verdict::Outside) if whole => {
                "Outside: the grid as a whole does not lie to the vehicle as it should.".to_owned()
            }
            Some(Verdict::Outside) if self.contradicted() => {
                "Outside, and some readings contradict each other: tape these again first.".to_owned()
            }
            Some(Verdict::Outside) => match outside.len() {
                0 => "Outside: the grid does not lie to the vehicle as it should.".to_owned(),
                1 => format!("Outside: {} lies beyond its tolerance.", outside[0]),
                _ => format!("Outside: {} lie beyond their tolerances.", listed(&outside)),
            },
            Some(Verdict::Undecided) if self.contradicted() => {
                "Undecided: some readings contradict each other. Tape these again.".to_owned()
            }
            Some(Verdict::Undecided) if moves > 0 => format!(
                "Not inside yet: {} to be moved.",
                if moves == 1 { "one mark is".to_owned() } else { format!("{moves} marks are") }
            ),
            Some(Verdict::Undecided) if self.untied() && self.square() => {
                "Undecided: square in itself, not yet tied to the vehicle. Tape the lines from the wheels.".to_owned()
            }
            Some(Verdict::Undecided) => "Undecided: these readings do not prove the layout yet.".to_owned(),
        }
    }

    fn square(&self) -> bool {
        self.assessment
            .grid
            .is_some_and(|grid| grid.verdict == Verdict::Inside)
    }

    fn todo(&self) -> Vec<String> {
        let todo = &self.assessment.todo;
        let hands = todo
            .iter()
            .position(|one| self.by_hand(one).is_some())
            .unwrap_or(todo.len());
        let (first, after) = todo.split_at(hands);
        let mut all = self.by_tape(first, "Tape again");
        all.extend(after.iter().filter_map(|one| self.by_hand(one)));
        all.extend(self.by_tape(after, "Then tape again"));
        all
    }

    /// What is taped: readings that are wrong, each with its error, then others again, then what was not taped yet.
    fn by_tape(&self, todo: &[Todo], lead: &str) -> Vec<String> {
        let retaped = |one: &Todo| {
            if let Todo::Retape { observation } = one {
                Some(*observation)
            } else {
                None
            }
        };
        let again: Vec<usize> = todo.iter().filter_map(retaped).collect();
        let (wrong, again): (Vec<usize>, Vec<usize>) =
            again.into_iter().partition(|index| self.suspected(*index));
        let suspects = self
            .assessment
            .suspects
            .iter()
            .filter(|suspect| wrong.contains(&suspect.observation));
        let mut all: Vec<String> = suspects.map(|suspect| self.suspect(suspect)).collect();
        if !again.is_empty() {
            all.push(format!(
                "{lead}, and write the new readings over the old ones: {}.",
                self.by_lay(&again)
            ));
        }
        let besides: Vec<String> = todo
            .iter()
            .filter_map(|one| {
                if let Todo::Tape { geometry } = one {
                    Some(self.line(*geometry))
                } else {
                    None
                }
            })
            .collect();
        if !besides.is_empty() {
            all.push(format!("Tape also: {}.", besides.join(", ")));
        }
        all
    }

    fn suspected(&self, observation: usize) -> bool {
        self.assessment
            .suspects
            .iter()
            .any(|suspect| suspect.observation == observation)
    }

    /// What is done by hand.
    fn by_hand(&self, todo: &Todo) -> Option<String> {
        match *todo {
            Todo::Move { mark, by, must } => {
                let way = self.lengths.movement(by);
                Some(if must {
                    format!("Move {} {way}.", self.name(mark))
                } else {
                    format!("Better: move {} {way}.", self.name(mark))
                })
            }
            Todo::TurnGrid { by, turned } => {
                let way = if turned > 0.0 {
                    "counter-clockwise"
                } else {
                    "clockwise"
                };
                Some(format!(
                    "Lay the whole grid again from the vehicle, or move every mark with it: {}, and turned {:.2}° {way} seen from \
                     above, about the layout's origin.",
                    self.lengths.movement(by),
                    turned.abs()
                ))
            }
            Todo::Plumb { wheel } => Some(format!(
                "Plumb {} again: it is not where the vehicle's dimensions put it. Check wheelbase and track too.",
                self.name(wheel)
            )),
            Todo::Tape { .. } | Todo::Retape { .. } => None,
        }
    }

    fn suspect(&self, suspect: &Suspect) -> String {
        let observation = self.layout.network.observations[suspect.observation];
        let (line, off) = (
            self.line(observation.geometry),
            self.lengths.whole(suspect.error),
        );
        let name = |point: usize| self.name(point);
        let cause = suspect.cause.map_or_else(String::new, |cause| {
            format!(" ({}?)", slip::slip(cause, name))
        });
        let how = match observation.geometry {
            Geometry::Distance { .. } if suspect.error > 0.0 => {
                format!("reads about {off} too long")
            }
            Geometry::Distance { .. } => format!("reads about {off} too short"),
            _ if suspect.error > 0.0 => format!("is about {off} too far to the left"),
            _ => format!("is about {off} too far to the right"),
        };
        format!("Tape {line} again: it {how}{cause}.")
    }

    /// Readings by the lay that they belong to.
    fn by_lay(&self, readings: &[usize]) -> String {
        let lay = |index: usize| {
            self.layout
                .lays
                .get(index)
                .copied()
                .flatten()
                .unwrap_or(LAY_UNKNOWN)
        };
        let mut lays: Vec<u32> = readings.iter().map(|&index| lay(index)).collect();
        lays.sort_unstable();
        lays.dedup();
        let of = |number: u32| {
            let lines = readings.iter().filter(|&&index| lay(index) == number);
            let lines: Vec<String> = lines
                .map(|&index| self.line(self.layout.network.observations[index].geometry))
                .collect();
            if number == LAY_UNKNOWN {
                lines.join(", ")
            } else {
                format!("lay {number}: {}", lines.join(", "))
            }
        };
        lays.into_iter().map(of).collect::<Vec<_>>().join("; ")
    }

    fn findings(&self) -> Vec<String> {
        let mut all: Vec<String> = self
            .assessment
            .findings
            .iter()
            .filter_map(|finding| self.finding(finding))
            .collect();
        if self.layout.decision == Decision::Simple
            && let Some(inside) = self.assessment.jointly_inside
        {
            all.push(format!(
                "Decided by the estimates as they are (decision = \"simple\"): with a probability of {:.0} % some mark lies beyond \
                 its tolerance.",
                (1.0 - inside) * 100.0
            ));
        }
        all
    }

    fn finding(&self, finding: &Finding) -> Option<String> {
        Some(match finding {
            // The headline says it, or what is to be done.
            Finding::GridOff | Finding::Unsettled | Finding::Impossible(_) | Finding::Whole(_) => return None,
            Finding::Untied { .. } => {
                "The readings from the wheels are missing or too few: nothing says yet how the grid lies to \
                                       the vehicle."
                    .to_owned()
            }
            Finding::TapeZero { mm } => format!(
                "The tape reads about {} too {} everywhere: a worn or bent hook, or not held at its zero. This is allowed for.",
                self.lengths.tenths(*mm),
                if *mm > 0.0 { "long" } else { "short" }
            ),
            Finding::TapeScale { mm_per_metre } => format!(
                "The tape, or the printed sheets, are {} too {}. This is allowed for; check the tape against another one.",
                self.lengths.per_metre(mm_per_metre.abs(), "mm per metre", 1),
                if *mm_per_metre > 0.0 { "short" } else { "long" }
            ),
            Finding::Scatter { factor } => reading::scatter(*factor),
            Finding::TooGood { readings } => format!(
                "All {readings} readings agree with the plan better than a tape can read. Were they copied from the form?"
            ),
            Finding::Unproven { marks } => {
                let names: Vec<&str> = marks.iter().map(|&mark| self.name(mark)).collect();
                format!("The lines taped so far do not show whether {} may lie far off.", listed(&names))
            }
        })
    }
}
