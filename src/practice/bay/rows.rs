//! What is taped on the real grid.

use crate::{
    plan::{Check, FloorPlan, Lay, LayEnd, LayKind, LayReading},
    practice::{
        Level, PracticeError, Ruling, Setting,
        layout::{from_name, longest_pair, rectangles},
    },
};

/// A row to be taped. Lengths in mm.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Where the tape is held, or the string with its ends.
    pub from: String,
    /// Where it is read.
    pub to: String,
    /// What it should read, on a graduation.
    pub plan: f64,
    /// How far it may differ.
    pub limit: f64,
    /// True where the mark should lie on the string.
    pub on_string: bool,
}

impl Row {
    fn of_lay(plan: &FloorPlan, lay: &Lay, reading: &LayReading, ruling: Ruling) -> Self {
        Self {
            from: from_name(plan, lay),
            to: plan.marks[reading.mark].id.clone(),
            plan: ruling.round(reading.should_be),
            limit: reading.limit,
            on_string: lay.kind == LayKind::String && !lay.along_tyres(),
        }
    }

    fn of_marks(plan: &FloorPlan, [from, to]: [usize; 2], ruling: Ruling) -> Self {
        let [a, b] = [from, to].map(|mark| &plan.marks[mark]);
        Self {
            from: a.id.clone(),
            to: b.id.clone(),
            plan: ruling.round(a.at.distance(b.at)),
            limit: ruling.up(a.tolerance.max(b.tolerance)),
            on_string: false,
        }
    }

    fn of_check(plan: &FloorPlan, check: &Check, ruling: Ruling) -> Self {
        Self::of_marks(plan, [check.from, check.to], ruling)
    }

    /// What the form says that it should read.
    pub fn plan_text(&self, ruling: Ruling) -> String {
        if self.on_string {
            "on it".to_owned()
        } else {
            ruling.whole(self.plan)
        }
    }

    /// Readings and differences that are within the limit, without a unit.
    pub fn ranges(&self, ruling: Ruling) -> [String; 2] {
        let most = (self.limit / ruling.step() + 1e-6).floor() * ruling.step();
        let difference = format!("{} to {}", ruling.signed(-most), ruling.signed(most));
        if self.on_string {
            return [difference.clone(), difference];
        }
        let [low, high] = [self.plan - most, self.plan + most].map(|mm| ruling.whole(mm));
        [format!("{low} to {high}"), difference]
    }
}

/// The rows of a level.
///
/// # Errors
/// Why the layout has none.
pub(super) fn rows(setting: &Setting, level: Level) -> Result<Vec<Row>, PracticeError> {
    let ruling = setting.ruling();
    let rows: Vec<Row> = match level.number() {
        1 => return corners(setting),
        2 => of_plan(setting.short_plan(), ruling, |lay| {
            matches!(lay.from, LayEnd::Mark(_))
        }),
        3 => of_plan(setting.short_plan(), ruling, |_| true),
        _ => of_plan(setting.full_plan(), ruling, |_| true),
    };
    if rows.is_empty() {
        return Err("the check plan of this layout has no reading between its marks".into());
    }
    Ok(rows)
}

fn of_plan(plan: &FloorPlan, ruling: Ruling, wanted: impl Fn(&Lay) -> bool) -> Vec<Row> {
    let lays = plan.lays.iter().filter(|lay| wanted(lay));
    lays.flat_map(|lay| {
        let of = |reading| Row::of_lay(plan, lay, reading, ruling);
        lay.readings.iter().map(of).collect::<Vec<_>>()
    })
    .collect()
}

/// The four marks of the largest rectangle: front left, front right, rear left, rear right.
fn largest(setting: &Setting) -> Option<[usize; 4]> {
    let plan = &setting.plan;
    let size = |corners: &[usize; 4]| {
        let [a, _, _, d] = corners.map(|mark| plan.marks[mark].at);
        (a - d).hypot()
    };
    let all = rectangles(&plan.marks).into_iter();
    all.reduce(|a, b| if size(&b) > size(&a) { b } else { a })
}

fn corners(setting: &Setting) -> Result<Vec<Row>, PracticeError> {
    let [a, b, c, d] = largest(setting).ok_or("the layout has no rectangle of four marks")?;
    let of = |pair| Row::of_marks(&setting.plan, pair, setting.ruling());
    Ok([[a, b], [a, c], [b, d], [c, d]].map(of).to_vec())
}

/// Both long diagonals: of the corners at level 1, else the longest two that mirror each other.
pub(super) fn diagonals(setting: &Setting, level: Level) -> Option<[Row; 2]> {
    let (plan, ruling) = (&setting.plan, setting.ruling());
    if level.number() == 1 {
        let [a, b, c, d] = largest(setting)?;
        return Some([[a, d], [b, c]].map(|pair| Row::of_marks(plan, pair, ruling)));
    }
    let all: Vec<usize> = (0..plan.marks.len()).collect();
    let pair = longest_pair(plan, &all)?;
    Some(pair.map(|check| Row::of_check(plan, check, ruling)))
}
