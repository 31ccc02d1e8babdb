//! Whether the adjustment of the printed readings names what was planted, and nothing else.

use kurbo::Vec2;

use super::{ground::Ground, mistake::Mistake};
use crate::{
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

/// Judges readings of a ground as the `check` command does; `None` where there is nothing to judge.
pub(super) fn judged(
    ground: &Ground,
    readings: &[f64],
    precision: &Precision,
) -> Option<Assessment> {
    let reading = |(pull, value): (&super::ground::Pull, &f64)| Reading {
        lay: None,
        label: None,
        should_be: None,
        kind: ReadingKind::Distance {
            from: pull.ends[0].name.clone(),
            to: pull.ends[1].name.clone(),
        },
        value: *value,
        sd: None,
        place: Place::whole("the sheet"),
    };
    let readings = ground.pulls.iter().zip(readings).map(reading).collect();
    let readings = Readings {
        job: None,
        marks: Vec::new(),
        readings,
        blank: 0,
        precision: None,
    };
    assess(&readings.resolve(Some(&ground.plan), precision).ok()?.taped).ok()
}

/// Held against what was planted.
pub(super) struct Proof<'a> {
    pub ground: &'a Ground,
    pub mistakes: &'a [Mistake],
    pub readings: &'a [f64],
    /// The judgement on readings without any error.
    pub faultless: &'a Assessment,
}

impl Proof<'_> {
    /// True when the judgement names exactly what was planted, with margin.
    pub fn holds(&self, found: &Assessment) -> bool {
        !found.scattered && self.suspects(found) && self.marks(found) && self.pose(found)
    }

    fn suspects(&self, found: &Assessment) -> bool {
        let misread: Vec<usize> = self.misread().collect();
        found.suspects.len() == misread.len()
            && misread.iter().all(|&pull| {
                let difference = self.readings[pull] - self.ground.pulls[pull].should;
                found.suspects.iter().any(|suspect| {
                    suspect.observation == pull
                        && suspect.or.is_empty()
                        && suspect.error.abs() >= MARGIN * critical_value() * suspect.error_sd
                        && (suspect.error - difference).abs() <= READING_NEAR_MM
                })
            })
    }

    fn misread(&self) -> impl Iterator<Item = usize> {
        self.mistakes.iter().filter_map(|mistake| match mistake {
            Mistake::Misread { pull, .. } => Some(*pull),
            _ => None,
        })
    }

    fn marks(&self, found: &Assessment) -> bool {
        let moves: Vec<(usize, Vec2)> = self.mistakes.iter().flat_map(Mistake::moves).collect();
        let marks = found
            .marks
            .iter()
            .zip(&self.faultless.marks)
            .take(self.ground.plan.marks.len());
        marks.enumerate().all(|(index, (mark, faultless))| {
            match moves.iter().find(|(moved, _)| *moved == index) {
                Some((_, by)) => named(mark, *by),
                None => !mark.displaced && mark.verdict <= faultless.verdict,
            }
        })
    }

    fn pose(&self, found: &Assessment) -> bool {
        let turned = self.mistakes.iter().find_map(|mistake| match mistake {
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
