//! What to do about a network of which nothing is known but its readings: no way of laying promises where its marks are.

use kurbo::Vec2;

use super::{
    length::{Lengths, listed},
    reading, slip,
};
use crate::survey::{
    Assessment, Finding, Geometry, Impossible, MarkFinding, Misread, Suspect, TapedLayout, Verdict,
    WholeFault,
};

/// A turn or shift of the grid is spoken of when it is this many times its own standard deviation.
const CERTAIN: f64 = 3.0;

/// Displacements that differ by less than this, mm, are one and the same in words.
const ONE_MOVE_MM: f64 = 1.5;

/// Readings that scatter this many times as much as expected, with none set aside for it, are no matter of care.
const CONTRADICTORY: f64 = 5.0;

/// Most other readings that are named where one may as well be the wrong one.
const MOST_OTHERS: usize = 4;

/// Most sentences of one kind; the rest is counted.
const MOST_OF_A_KIND: usize = 8;

/// All sentences, the most urgent first.
pub(super) fn sentences(
    layout: &TapedLayout,
    assessment: &Assessment,
    inches: bool,
) -> Vec<String> {
    let words = Words {
        layout,
        assessment,
        lengths: Lengths { inches },
    };
    let mut all = Vec::new();
    let kinds = match words.constant() {
        Some(constant) => vec![vec![constant], words.missing()],
        None => vec![
            words.scatter(),
            words.triangles(),
            words.suspects(),
            words.whole(),
            words.marks(),
            words.pose(),
            words.missing(),
        ],
    };
    for kind in kinds {
        let more = kind.len().saturating_sub(MOST_OF_A_KIND);
        all.extend(kind.into_iter().take(MOST_OF_A_KIND));
        if more > 0 {
            all.push(format!("… and {more} more of this kind."));
        }
    }
    all
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

    fn reading(&self, observation: usize) -> String {
        reading::line(
            self.layout,
            self.layout.network.observations[observation].geometry,
        )
    }

    fn scatter(&self) -> Vec<String> {
        if self.assessment.findings.contains(&Finding::Unsettled) {
            return vec![
                "These readings hold the marks too weakly to say where they lie: distances along a line say next to nothing of what lies \
                 across it. Tape also to marks beside the line, or sight the marks on a string."
                    .to_owned(),
            ];
        }
        let Some(sigma0) = self.assessment.sigma0 else {
            let counted = "There are just enough readings to place the marks and none to check them: tape more.";
            return vec![counted.to_owned()];
        };
        let passed = self.assessment.global_test.is_none_or(|test| test.passed);
        if self.assessment.scattered {
            return vec![format!(
                "Too many readings contradict each other to name single ones (they scatter {sigma0:.1} times as much as \
                 expected): check the tape, its unit and the marks' names, and tape the whole layout again."
            )];
        }
        if passed {
            return Vec::new();
        }
        if self.contradictory() {
            return vec![format!(
                "The readings contradict each other (they scatter {sigma0:.1} times as much as expected), and they are too few \
                 to show which is wrong: hold each against what it should be, and tape again those that differ most. Move no \
                 mark before the readings agree."
            )];
        }
        vec![reading::scatter(sigma0)]
    }

    /// True where no mark can be told from these readings, because they contradict each other.
    fn contradictory(&self) -> bool {
        let failed = self.assessment.global_test.is_some_and(|test| !test.passed);
        self.assessment.scattered
            || failed
                && self
                    .assessment
                    .sigma0
                    .is_some_and(|sigma0| sigma0 > CONTRADICTORY)
    }

    /// Triangles that cannot be, of readings that are not suspected anyway.
    fn triangles(&self) -> Vec<String> {
        let found = self.assessment.findings.iter();
        found
            .filter_map(|one| {
                if let Finding::Impossible(one) = one {
                    Some(self.triangle(*one))
                } else {
                    None
                }
            })
            .collect()
    }

    fn triangle(
        &self,
        Impossible {
            long,
            others: [a, b],
        }: Impossible,
    ) -> String {
        let value = |index: usize| self.layout.network.observations[index].value;
        format!(
            "No triangle has these sides: {} with {} is longer than {} and {} together, {}: one of the three is wrong; tape them \
             again.",
            self.reading(long),
            self.lengths.whole(value(long)),
            self.reading(a),
            self.reading(b),
            self.lengths.whole(value(a) + value(b))
        )
    }

    fn suspects(&self) -> Vec<String> {
        self.assessment
            .suspects
            .iter()
            .map(|suspect| self.suspect(suspect))
            .collect()
    }

    /// The same distance taped twice, and the two readings alone disagree.
    fn twice(&self, suspect: &Suspect) -> Option<String> {
        let observations = &self.layout.network.observations;
        let Geometry::Distance { from, to } = observations[suspect.observation].geometry else {
            return None;
        };
        let same = |other: usize| match observations[other].geometry {
            Geometry::Distance { from: a, to: b } => [a, b] == [from, to] || [b, a] == [from, to],
            _ => false,
        };
        (!suspect.or.is_empty() && suspect.or.iter().all(|&other| same(other))).then(|| {
            let mut both: Vec<usize> = [suspect.observation].into_iter().chain(suspect.or.iter().copied()).collect();
            both.sort_unstable();
            let values: Vec<String> =
                both.into_iter().map(|index| self.lengths.whole(observations[index].value)).collect();
            format!(
                "Tape {} again: its readings {} contradict each other, and nothing else shows which is wrong.",
                self.reading(suspect.observation),
                values.join(" and ")
            )
        })
    }

    fn suspect(&self, suspect: &Suspect) -> String {
        if let Some(text) = self.twice(suspect) {
            return text;
        }
        let (reading, error) = (
            self.reading(suspect.observation),
            self.lengths.whole(suspect.error),
        );
        let long = if suspect.error > 0.0 { "long" } else { "short" };
        let mut text = match self.layout.network.observations[suspect.observation].geometry {
            Geometry::Distance { .. } => {
                format!("Tape {reading} again: it is about {error} {long}")
            }
            Geometry::Offset { .. } => {
                let side = if suspect.error > 0.0 { "left" } else { "right" };
                format!("Take {reading} again: it is about {error} too far to the {side}")
            }
            Geometry::X { point } | Geometry::Y { point } => format!(
                "Plumb {} again: by the readings it is about {error} from where the vehicle's dimensions put it; or wheelbase \
                 or track are not as given",
                self.name(point)
            ),
        };
        if let Some(fixed) = self.fixed_ends(suspect) {
            text.push_str(&fixed);
        }
        if let Some(cause) = suspect.cause {
            text.push_str(&format!(
                " ({})",
                slip::slip(cause, |point| self.name(point))
            ));
        }
        if !suspect.or.is_empty() {
            let others: Vec<String> = suspect
                .or
                .iter()
                .take(MOST_OTHERS)
                .map(|&other| self.reading(other))
                .collect();
            let more = suspect.or.len() - others.len();
            let more = if more > 0 {
                format!(" or one of {more} more")
            } else {
                String::new()
            };
            text.push_str(&format!(
                "; it may as well be {}{more}: tape them again too",
                others.join(" or ")
            ));
        }
        text + "."
    }

    /// A reading between fixed marks may be right, and their places wrong.
    fn fixed_ends(&self, suspect: &Suspect) -> Option<String> {
        let network = &self.layout.network;
        let points = network.observations[suspect.observation].geometry.points();
        let all_fixed = points.iter().all(|&point| network.points[point].fixed);
        let names: Vec<&str> = points.iter().map(|&point| self.name(point)).collect();
        all_fixed.then(|| {
            format!(
                ", or the places at which {} are fixed are wrong",
                listed(&names)
            )
        })
    }

    fn constant(&self) -> Option<String> {
        let off = self.assessment.constant_error?;
        let long = if off > 0.0 { "long" } else { "short" };
        Some(format!(
            "All readings are about {} too {long}, the short ones as much as the long ones: a tape hooked from a worn or bent \
             end, or started from a wrong mark of its own. Tape again from a graduation; move no mark before.",
            self.lengths.tenths(off)
        ))
    }

    fn whole(&self) -> Vec<String> {
        if self.contradictory() {
            return Vec::new();
        }
        match self.whole_fault() {
            Some(WholeFault::Unlike(off)) => vec![format!(
                "These readings do not give this layout: most marks would lie {} off or more. Check that the readings stand in \
                 their rows, their unit, and that this is the job that was laid. Move no mark before.",
                self.lengths.whole(off)
            )],
            Some(WholeFault::Mirrored) => {
                vec![
                    "The layout is mirrored against the design: left and right are exchanged."
                        .to_owned(),
                ]
            }
            Some(WholeFault::Scaled(scale)) => vec![format!(
                "The whole layout has {:.2} % of its size: sheets printed with \"fit to page\", or a tape that is not true.",
                scale * 100.0
            )],
            None => Vec::new(),
        }
    }

    fn whole_fault(&self) -> Option<WholeFault> {
        let mut found = self.assessment.findings.iter();
        found.find_map(|one| {
            if let Finding::Whole(fault) = one {
                Some(*fault)
            } else {
                None
            }
        })
    }

    /// Marks to move, those that lie off alike in one sentence; then those that cannot be told.
    fn marks(&self) -> Vec<String> {
        if self.whole_fault().is_some() || self.contradictory() {
            return Vec::new();
        }
        let with = |verdict: Verdict| {
            self.assessment
                .marks
                .iter()
                .filter(move |mark| mark.verdict == Some(verdict) && mark.place.is_some())
        };
        let mut groups: Vec<(Vec2, Vec<&MarkFinding>)> = Vec::new();
        for mark in with(Verdict::Outside) {
            let Some(moved) = mark.moved else { continue };
            match groups
                .iter_mut()
                .find(|(first, _)| (*first - moved).hypot() < ONE_MOVE_MM)
            {
                Some((_, group)) => group.push(mark),
                None => groups.push((moved, vec![mark])),
            }
        }
        let mut all: Vec<String> = self.exchanged().into_iter().collect();
        all.extend(
            groups
                .iter()
                .map(|(moved, group)| self.to_move(*moved, group)),
        );
        let doubtful: Vec<&str> = with(Verdict::Undecided)
            .filter(|mark| !mark.unchecked)
            .map(|mark| mark.id.as_str())
            .collect();
        if !doubtful.is_empty() {
            let it = if doubtful.len() > 1 { "them" } else { "it" };
            all.push(format!(
                "{} cannot be judged: so near to the tolerance, or so weakly held, that these readings do not decide. \
                 Tape more distances to {it}, sight {it} on one string with two other marks (a reading of the kind inline), or \
                 set {it} again.",
                listed(&doubtful),
            ));
        }
        all
    }

    fn to_move(&self, moved: Vec2, group: &[&MarkFinding]) -> String {
        let names: Vec<&str> = group.iter().map(|mark| mark.id.as_str()).collect();
        let directions = [(moved.x, "rearward", "forward"), (moved.y, "right", "left")];
        let parts = directions.iter().filter(|(along, ..)| along.abs() >= 0.5);
        let parts: Vec<String> = parts
            .map(|&(along, when_more, when_less)| {
                format!(
                    "{} {}",
                    self.lengths.whole(along),
                    if along > 0.0 { when_more } else { when_less }
                )
            })
            .collect();
        let sd = group
            .iter()
            .map(|mark| mark.moved_covariance.position())
            .fold(0.0, f64::max);
        let cause = directions
            .iter()
            .find_map(|&(along, ..)| Misread::of(along, sd));
        let cause = cause.map_or_else(String::new, |cause| {
            format!(" ({} when it was set?)", slip::misread(cause))
        });
        let unsure = if group.iter().any(|mark| mark.unchecked) {
            "But first tape what is named below: nothing checks the readings that say so, and one of them may be wrong."
        } else {
            ""
        };
        format!(
            "Move {} {}{cause}. {unsure}",
            listed(&names),
            parts.join(" and ")
        )
        .trim_end()
        .to_owned()
    }

    /// Two marks that lie where each other should.
    fn exchanged(&self) -> Option<String> {
        let off: Vec<&MarkFinding> = self
            .assessment
            .marks
            .iter()
            .filter(|mark| mark.displaced)
            .collect();
        let lies_at = |one: &MarkFinding, other: &MarkFinding| {
            let place = one
                .design
                .zip(one.moved)
                .map(|(design, moved)| design + moved);
            place.zip(other.design).is_some_and(|(place, design)| {
                place.distance(design) < other.tolerance.unwrap_or(0.0).max(ONE_MOVE_MM) * 3.0
            })
        };
        let pairs = off
            .iter()
            .flat_map(|one| off.iter().map(move |other| (one, other)));
        let (one, other) = pairs
            .filter(|(one, other)| one.id < other.id)
            .find(|(a, b)| lies_at(a, b) && lies_at(b, a))?;
        Some(format!(
            "{} and {} lie where each other should: their names are exchanged.",
            one.id, other.id
        ))
    }

    fn pose(&self) -> Vec<String> {
        let Some(pose) = self.assessment.pose.filter(|_| !self.contradictory()) else {
            return Vec::new();
        };
        let against = if self.layout.wheels.is_empty() {
            "the fixed points"
        } else {
            "the vehicle"
        };
        let mut parts = Vec::new();
        if pose.turned.abs() > CERTAIN * pose.sd[2] {
            let way = if pose.turned > 0.0 {
                "counter-clockwise"
            } else {
                "clockwise"
            };
            parts.push(format!(
                "turned {:.2}° {way} seen from above",
                pose.turned.abs()
            ));
        }
        for (off, sd, more, less) in [
            (pose.forward, pose.sd[0], "forward", "rearward"),
            (pose.left, pose.sd[1], "left", "right"),
        ] {
            if off.abs() > CERTAIN * sd && off.abs() >= 0.5 {
                parts.push(format!(
                    "{} too far {}",
                    self.lengths.whole(off),
                    if off > 0.0 { more } else { less }
                ));
            }
        }
        let in_itself = self
            .assessment
            .marks
            .iter()
            .filter_map(|mark| mark.verdict)
            .max();
        let good = in_itself == Some(Verdict::Inside);
        match pose.verdict {
            Some(Verdict::Outside) => {
                let itself = if good {
                    format!(": good in itself, but not to {against}")
                } else {
                    String::new()
                };
                let how = if parts.is_empty() {
                    "off".to_owned()
                } else {
                    parts.join(", ")
                };
                let remedy = if self.layout.wheels.is_empty() {
                    ""
                } else {
                    ", or move the vehicle"
                };
                vec![format!(
                    "The grid is {how} against {against}{itself}. Lay it again as a whole{remedy}."
                )]
            }
            Some(Verdict::Undecided) if good => vec![format!(
                "How the grid lies to {against} is near its tolerance or known too coarsely: plumb the wheels again and tape \
                 more distances to them."
            )],
            _ => Vec::new(),
        }
    }

    /// What is not held, not checked, or not used.
    fn missing(&self) -> Vec<String> {
        let marks = &self.assessment.marks;
        let named = |of: &dyn Fn(&MarkFinding) -> bool| -> Vec<&str> {
            marks
                .iter()
                .filter(|mark| of(mark))
                .map(|mark| mark.id.as_str())
                .collect()
        };
        let pulls: Vec<String> = self
            .assessment
            .pulls_to_add
            .iter()
            .map(|&[from, to]| format!("{}–{}", self.name(from), self.name(to)))
            .collect();
        let add = if pulls.is_empty() {
            "tape more distances to them".to_owned()
        } else {
            format!("tape {}", pulls.join(", "))
        };
        let loose = named(&|mark| mark.place.is_none());
        if !loose.is_empty() {
            return vec![format!(
                "The readings do not fix {}: {add}.",
                listed(&loose)
            )];
        }
        let unchecked = named(&|mark| mark.unchecked);
        if unchecked.is_empty() {
            return Vec::new();
        }
        vec![format!(
            "Nothing checks the readings that hold {}: {add}.",
            listed(&unchecked)
        )]
    }
}
