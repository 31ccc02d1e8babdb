//! The fault that the last question is about: a joint that gapes, or a sheet cut beside its line.

use super::Model;
use crate::{
    practice::{Draw, Level, Question, WrongAnswer},
    units::mm_exact,
};

/// Steps of the fault's size, mm on the desk, and the most of a gap and of a wrong cut: what scissors and tape do.
const STEP_MM: f64 = 0.5;
const WIDEST_GAP_MM: f64 = 2.5;
const WORST_CUT_MM: f64 = 4.0;

/// What went wrong at one joint.
pub(super) struct Fault<'a> {
    /// Labels of the upper and of the lower sheet.
    sheets: [&'a str; 2],
    /// Size on the desk, mm.
    size: f64,
    kind: FaultKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum FaultKind {
    /// Joined this far apart.
    Gap,
    /// Cut outside of the dashed line, so that paper is left over.
    Outside,
    /// Cut inside of it, so that paper is missing.
    Inside,
}

impl<'a> Fault<'a> {
    pub fn drawn(model: &'a Model, level: Level, draw: &mut Draw) -> Self {
        let joint = draw
            .choose(&model.sheets.joints)
            .expect("sheets that hang together have joints");
        let sheets =
            [joint.over, joint.under].map(|sheet| model.sheets.sheets[sheet].label.as_str());
        let (kind, least, most) = match level.number() {
            1 | 2 => (FaultKind::Gap, STEP_MM, WIDEST_GAP_MM),
            _ if draw.coin() => (FaultKind::Outside, 2.0 * STEP_MM, WORST_CUT_MM),
            _ => (FaultKind::Inside, 2.0 * STEP_MM, WORST_CUT_MM),
        };
        Self {
            sheets,
            size: draw.stepped(least, most, STEP_MM),
            kind,
        }
    }

    /// The question about it.
    pub fn question(&self, model: &Model) -> Question {
        let ([over, under], size) = (self.sheets, mm_exact(self.size, 1));
        let n = model.denominator;
        let off = mm_exact(self.size * f64::from(n), 1);
        let cut = |done: &str, why: &str, way: &str| {
            (
                format!(
                    "Sheet {over} was cut {size} mm {done} its dashed line, and its cut edge still laid on the line of sheet {under}. By how \
                     much are marks of the two sheets too near or too far apart on the floor?"
                ),
                format!(" {way}: {why}"),
                format!("{off} mm {way}"),
            )
        };
        let (text, why, answer) = match self.kind {
            FaultKind::Gap => (
                format!(
                    "Sheet {over} is taped {size} mm too far from sheet {under}. How far off is that on the floor?"
                ),
                String::new(),
                format!("{off} mm"),
            ),
            FaultKind::Outside => cut(
                "outside",
                "paper is left over, and pushes the sheet away",
                "too far apart",
            ),
            FaultKind::Inside => cut(
                "inside",
                "paper is missing, and the sheet moves up",
                "too near",
            ),
        };
        Question::new(text, 2)
            .lines(1)
            .worked([format!("{size} mm × {n} = {off} mm{why}")])
            .answer("off on the floor", answer)
    }

    /// Wrong answers that are often given.
    pub fn wrong(&self, model: &Model) -> Vec<WrongAnswer> {
        let n = f64::from(model.denominator);
        let mut all = vec![WrongAnswer::new(
            format!("{} mm off on the floor", mm_exact(self.size, 1)),
            format!("Taken on the desk, not multiplied by {n}."),
        )];
        let other = match self.kind {
            FaultKind::Gap => return all,
            FaultKind::Outside => "too near",
            FaultKind::Inside => "too far apart",
        };
        all.push(WrongAnswer::new(
            format!("{} mm {other}", mm_exact(self.size * n, 1)),
            "The wrong way round: outside the line is paper too much.",
        ));
        all
    }
}
