//! The floor on a desk: the whole tiling job at a small scale.
//!
//! | level | scale | sheets | asked |
//! |---|---|---|---|
//! | 1 | 1:20 | every sheet of a regular grid, a whole mat | how many sheets, three checks on the desk, a joint that gapes |
//! | 2 | 1:10 | every sheet of a regular grid | the same, which sheet carries a mark |
//! | 3 | 1:10 | the fewest along the lines | the same, five checks; a sheet cut beside its line instead of the gap |
//! | 4 | 1:5 | the fewest along the lines | the same, seven checks |
//!
//! Seed and number draw the layout's gaps, the checks beside two diagonals, the mark to be found and the fault. The layout is
//! made small as a whole ([`FloorPlan::scaled`](crate::plan::FloorPlan::scaled)) and goes through the real cover, so sheets,
//! registration marks and joints are those of the real work. Where the fewest sheets would not hang together, all sheets of
//! the grid are handed out.
//!
//! A drawn layout goes through `FloorPlan::scaled`, the real cover and the real tiles; the exercise
//! carries them as data, and nothing else knows of scales. All sheets of a desk hang together:
//! there nothing else says where a loose piece belongs. Crosses are shortened to less than half the
//! distance to the nearest mark, with a leader to the name; full-scale sheets keep theirs. The
//! longest mirrored pair of checks is always measured. Answers are worked out from the printed
//! whole mm of the floor, so that a trainee who rounds gets the key's number.

mod fault;
mod model;
#[cfg(test)]
mod tests;

use super::{
    Block, Cell, Draw, Exercise, Level, Question, WrongAnswer,
    layout::Drawn,
    lot::{Lot, Refusal},
};
use crate::{plan::Check, units::mm_exact};
use fault::Fault;
pub use model::Model;

/// Layouts that are drawn until one goes on a desk.
const ATTEMPTS: usize = 8;

/// The vehicle's end lies at a mark when it is no farther from it than this, mm on the desk: less than a ruler shows.
const AT_MARK_MM: f64 = 0.25;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`Refusal::Unsound`] for a vehicle or a layout too small or too large for the scale.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, Refusal> {
    let model = fitting(&mut lot)?;
    let desk = Desk::drawn(&model, lot.level, &mut lot.draw);
    let exercise = lot.exercise(desk.given(), desk.questions(), desk.wrong());
    Ok(Exercise {
        model: Some(Box::new(model)),
        ..exercise
    })
}

/// A drawn layout that goes on a desk.
fn fitting(lot: &mut Lot<'_>) -> Result<Model, Refusal> {
    let mut reason = String::new();
    for _ in 0..ATTEMPTS {
        let plan = Drawn::new(lot.setting, &mut lot.draw)?.plan;
        match Model::of(plan, &lot.setting.paper, lot.level, lot.number) {
            Ok(model) => return Ok(model),
            Err(fault) => reason = fault,
        }
    }
    Err(reason.into())
}

/// Text and numbers of the exercise.
struct Desk<'a> {
    model: &'a Model,
    checks: Vec<&'a Check>,
    /// The mark to be found with its sheet's label, where that is asked.
    asked: Option<(&'a str, &'a str)>,
    fault: Fault<'a>,
}

impl<'a> Desk<'a> {
    fn drawn(model: &'a Model, level: Level, draw: &mut Draw) -> Self {
        let mut chosen = model.diagonals();
        let mut others: Vec<usize> = (0..model.plan.checks.len())
            .filter(|check| model.is_measured(*check) && !chosen.contains(check))
            .collect();
        draw.shuffle(&mut others);
        chosen.extend(others);
        chosen.truncate(level.of([3, 3, 5, 7]));
        chosen.sort_unstable();
        let marks = (0..model.plan.marks.len())
            .filter_map(|mark| Some((model.name(mark), model.only_sheet_of(mark)?)));
        let marks: Vec<(&str, &str)> = marks.collect();
        let asked = if level.number() == 1 {
            None
        } else {
            draw.choose(&marks).copied()
        };
        let checks = chosen
            .into_iter()
            .map(|check| &model.plan.checks[check])
            .collect();
        Self {
            model,
            checks,
            asked,
            fault: Fault::drawn(model, level, draw),
        }
    }

    fn n(&self) -> f64 {
        f64::from(self.model.denominator)
    }

    fn ends(&self, check: &Check) -> String {
        format!(
            "{} – {}",
            self.model.name(check.from),
            self.model.name(check.to)
        )
    }

    /// A distance on the floor as it is printed, and what is worked out from that number, mm.
    fn floor(&self, mm: f64) -> (String, String) {
        let floor = (mm * self.n()).round();
        (mm_exact(floor, 0), halves(floor / self.n()))
    }

    fn given(&self) -> Vec<Block> {
        let n = self.model.denominator;
        let steps = [
            format!(
                "The next pages: how the sheets go together, the sheets at 1:{n}, the vehicle's outline. Print at 100 %, \
                 one-sided; the check square has to measure 100 mm."
            ),
            "Cut each sheet along its dashed lines (trim), no other edge. In the order of the map lay its cut edge on the \
             thin line that names it, registration mark on registration mark, and tape."
                .to_owned(),
            format!("Measure the checks with a ruler or tape to half a millimetre. 1 mm on the desk is {n} mm on the floor."),
            format!("Cut out the vehicle's outline, tape its parts, and lay it on the mat: {}.", self.laying()),
        ];
        steps
            .into_iter()
            .enumerate()
            .map(|(index, step)| Block::Text(format!("{}. {step}", index + 1)))
            .collect()
    }

    /// Where the outline belongs, from the marks on the centreline that it does not hide.
    fn laying(&self) -> String {
        let plan = &self.model.plan;
        let [front, rear] = plan
            .tape_base
            .map(|mark| (plan.marks[mark].at.x, self.model.name(mark)));
        let end = |ahead: f64, at: &str, name: &str, words: [&str; 2]| {
            if ahead.abs() < AT_MARK_MM {
                format!("{at} at {name}")
            } else {
                let word = if ahead > 0.0 { words[0] } else { words[1] };
                format!("{at} {} mm {word} {name}", mm_exact(ahead.abs(), 1))
            }
        };
        let first = end(
            front.0 - plan.vehicle.front_x,
            "its front end",
            front.1,
            ["behind", "ahead of"],
        );
        let last = end(
            plan.vehicle.rear_x - rear.0,
            "its rear end",
            rear.1,
            ["ahead of", "behind"],
        );
        let line = format!(
            "its centreline on the straight line {} – {}",
            front.1, rear.1
        );
        format!("{line}, {first}, {last}")
    }

    fn questions(&self) -> Vec<Question> {
        let pages = self.model.sheets.pages;
        let sheets = Question::new(
            "How many sheets make the mat, the vehicle's outline not counted?",
            1,
        )
        .lines(1)
        .worked([format!(
            "{pages} sheets: count the labels on the assembly map or on the mat"
        )])
        .answer("sheets", pages.to_string());
        let which = self.asked.map(|(mark, sheet)| {
            Question::new(format!("Which sheet carries mark {mark}?"), 1)
                .lines(1)
                .worked([format!("{mark} on sheet {sheet}")])
                .answer(format!("sheet of {mark}"), sheet)
        });
        [sheets]
            .into_iter()
            .chain(which)
            .chain([self.measuring(), self.fault.question(self.model)])
            .collect()
    }

    fn measuring(&self) -> Question {
        let n = self.model.denominator;
        let text = "What should each check be on the desk, to half a millimetre (half a step is rounded up)? Measure it, and \
                    say what the difference is on the floor.";
        let mut question = Question::new(text, 2 * self.checks.len()).worked([format!(
            "desk = floor / {n}, to half a millimetre; off on the floor = {n} × (measured − should be)"
        )]);
        let mut rows = Vec::new();
        for check in &self.checks {
            let (floor, desk) = self.floor(check.distance);
            question = question
                .worked([format!("{}: {floor} / {n} = {desk} mm", self.ends(check))])
                .answer(format!("{} on the desk", check.id), desk.as_str());
            rows.push(vec![
                Cell::given(&check.id),
                Cell::Given(self.ends(check)),
                Cell::Given(floor),
                Cell::Blank(desk),
                Cell::blank("as measured"),
                Cell::Blank(format!("({n} × difference)")),
            ]);
        }
        let columns = [
            "check",
            "from – to",
            "floor, mm",
            "desk: should be, mm",
            "desk: measured, mm",
            "off on the floor, mm",
        ];
        question.block(Block::table(columns, rows))
    }

    fn wrong(&self) -> Vec<WrongAnswer> {
        let mut all = vec![
            WrongAnswer::new(
                "all checks short or long in the same proportion",
                "The sheets were printed with \"fit to page\": the square is not 100 mm.",
            ),
            WrongAnswer::new(
                "one diagonal long, the other short",
                "Sheets were joined askew, by their edges and not by the registration marks.",
            ),
        ];
        all.extend(self.fault.wrong(self.model));
        all
    }
}

/// A length to half a millimetre, what a ruler is read to.
fn halves(mm: f64) -> String {
    format!("{:.1}", (mm * 2.0).round() / 2.0)
}
