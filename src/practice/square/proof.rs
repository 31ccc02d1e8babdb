//! Whether the adjustment of the printed readings names what was planted, and nothing else.

use kurbo::Vec2;

use super::{ground::Ground, mistake::Mistake};
use crate::{
    plan::FloorPlan,
    source::Place,
    survey::{
        Assessment, MarkFinding, Precision, Reading, ReadingKind, Readings, Verdict, assess,
        critical_displacement, critical_value,
    },
};

/// What is planted stands out by this many times what the tests need to suspect it.
const MARGIN: f64 = 1.5;

/// How far the adjustment's sizes may be from the planted ones, mm: what a trainee's answer may be off as well.
pub(super) const NEAR_MM: f64 = 2.0;

/// A misread distance has the noise of its own reading beside that of what the others say of it, mm.
const READING_NEAR_MM: f64 = 3.0;

/// The same for the turn of a grid, degrees.
pub(super) const NEAR_DEGREES: f64 = 0.05;

/// Judges distances between two names as the `check` command does; `None` where there is nothing to judge.
pub(super) fn judged(
    plan: &FloorPlan,
    taped: impl Iterator<Item = ([String; 2], f64)>,
    precision: &Precision,
) -> Option<Assessment> {
    let reading = |([from, to], value): ([String; 2], f64)| Reading {
        lay: None,
        label: None,
        should_be: None,
        kind: ReadingKind::Distance { from, to },
        value,
        sd: None,
        place: Place::whole("the sheet"),
    };
    let readings = Readings {
        job: None,
        marks: Vec::new(),
        readings: taped.map(reading).collect(),
        blank: 0,
        precision: None,
    };
    assess(&readings.resolve(Some(plan), precision).ok()?.taped).ok()
}

/// A ground that planted mistakes are proven on.
pub(super) struct Proof<'a> {
    pub ground: Ground,
    precision: &'a Precision,
    /// The judgement on readings without any error.
    faultless: Assessment,
}

/// Mistakes and the readings that come of them.
#[derive(Clone, Copy)]
pub(super) struct Planted<'a> {
    pub mistakes: &'a [Mistake],
    pub readings: &'a [f64],
}

impl<'a> Proof<'a> {
    /// `None` where the ground's own readings do not hold it.
    pub fn on(ground: Ground, precision: &'a Precision) -> Option<Self> {
        let exact: Vec<f64> = ground.pulls.iter().map(|pull| pull.should).collect();
        let faultless = taped(&ground, &exact, precision)?;
        Some(Self {
            ground,
            precision,
            faultless,
        })
    }

    /// True when the judgement names exactly what was planted, with margin.
    pub fn holds(&self, planted: Planted<'_>) -> bool {
        let found = taped(&self.ground, planted.readings, self.precision);
        found.is_some_and(|found| {
            !found.scattered
                && self.suspects(planted, &found)
                && self.marks(planted, &found)
                && self.pose(planted, &found)
        })
    }

    /// True when the readings between the marks alone tell the same as all together: nobody has to trust the wheel marks
    /// to see what is wrong with the grid.
    pub fn holds_in_itself(&self, planted: Planted<'_>) -> bool {
        let of_marks = |one: &&Mistake| !matches!(one, Mistake::Turned { .. });
        let mistakes: Vec<Mistake> = planted.mistakes.iter().filter(of_marks).cloned().collect();
        self.holds(Planted {
            mistakes: &mistakes,
            readings: &planted.readings[..self.ground.pulls.len()],
        })
    }

    fn suspects(&self, planted: Planted<'_>, found: &Assessment) -> bool {
        let misread = planted.mistakes.iter().filter_map(|mistake| match mistake {
            Mistake::Misread { pull, .. } => Some(*pull),
            _ => None,
        });
        found.suspects.len() == misread.clone().count()
            && misread.into_iter().all(|pull| {
                let difference = planted.readings[pull] - self.ground.pulls[pull].should;
                found.suspects.iter().any(|suspect| {
                    suspect.observation == pull
                        && suspect.or.is_empty()
                        && suspect.error.abs() >= MARGIN * critical_value() * suspect.error_sd
                        && (suspect.error - difference).abs() <= READING_NEAR_MM
                })
            })
    }

    fn marks(&self, planted: Planted<'_>, found: &Assessment) -> bool {
        let moves: Vec<(usize, Vec2)> = planted.mistakes.iter().flat_map(Mistake::moves).collect();
        let marks = found.marks.iter().zip(&self.faultless.marks);
        let mut marks = marks.take(self.ground.plan.marks.len()).enumerate();
        marks.all(|(index, (mark, faultless))| {
            match moves.iter().find(|(moved, _)| *moved == index) {
                Some((_, by)) => named(mark, *by),
                None => !mark.displaced && mark.verdict <= faultless.verdict,
            }
        })
    }

    fn pose(&self, planted: Planted<'_>, found: &Assessment) -> bool {
        let turned = planted.mistakes.iter().find_map(|mistake| match mistake {
            Mistake::Turned { degrees } => Some(*degrees),
            _ => None,
        });
        match (turned, &found.pose, &self.faultless.pose) {
            (None, Some(pose), Some(faultless)) => {
                pose.verdict <= faultless.verdict
                    && pose.turned.abs() < critical_value() * pose.sd[2]
            }
            (None, pose, _) => pose.is_none(),
            (Some(degrees), Some(pose), _) => {
                pose.verdict == Some(Verdict::Outside)
                    && (pose.turned - degrees).abs() <= NEAR_DEGREES
                    && pose.turned.abs() >= MARGIN * critical_value() * pose.sd[2]
            }
            (Some(_), None, _) => false,
        }
    }
}

fn taped(ground: &Ground, readings: &[f64], precision: &Precision) -> Option<Assessment> {
    let names = ground
        .pulls
        .iter()
        .map(|pull| pull.ends.each_ref().map(|end| end.name.clone()));
    judged(&ground.plan, names.zip(readings.iter().copied()), precision)
}

/// True when a mark is found where it was moved to.
fn named(mark: &MarkFinding, by: Vec2) -> bool {
    let Some(moved) = mark.moved else {
        return false;
    };
    let least = MARGIN * MARGIN * critical_displacement();
    mark.displaced
        && mark.verdict == Some(Verdict::Outside)
        && (moved - by).hypot() <= NEAR_MM
        && mark.moved_covariance.squared_distance(moved) >= least
}
