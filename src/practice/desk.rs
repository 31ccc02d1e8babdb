//! The floor on a desk: the whole tiling job at a small scale.
//!
//! | level | scale | sheets | asked |
//! |---|---|---|---|
//! | 1 | 1:20, in inches 1:24 | every sheet of a regular grid, a whole mat | how many sheets; three checks measured; a distance from the vehicle's outline; a joint that gapes |
//! | 2 | 1:10, in inches 1:12 | every sheet of a regular grid | the same, and which sheet carries a mark |
//! | 3 | as 2 | the fewest that hang together | the same with five checks; two distances, from a tyre where a mark lies beside one; a sheet cut beside its line instead of the gap, and the way that it is off |
//! | 4 | as 2 | the fewest that hang together | the same with seven checks; a joint with two faults at once; a check on a mat printed at a wrong size |
//!
//! Seed and number draw the layout's gaps, the half of the vehicle, the checks beside two diagonals, the mark to be found, the distances
//! and the faults. The layout is made small as a whole ([`FloorPlan::scaled`](crate::plan::FloorPlan::scaled)) and goes through the
//! real cover, so sheets, registration marks and joints are those of the real work.
//!
//! **Paper.** A trainee gets 16 pages at most, of every shipped vehicle and layout at every level. 1:5 was tried at level 4 and
//! takes 17 to 50; what makes it harder is what is asked. Scales are ISO 5455's, in inches those at which a foot is 1/2 and 1 in
//! (common practice, no source); a layout that does not suit the first one is tried at the next.
//!
//! A drawn layout goes through `FloorPlan::scaled`, the real cover and the real tiles; the exercise
//! carries them as data, and nothing else knows of scales. All sheets of a desk hang together:
//! there nothing else says where a loose piece belongs. Crosses are shortened to less than half the
//! distance to the nearest mark, with a leader to the name; full-scale sheets keep theirs. The
//! longest mirrored pair of checks is always measured. Answers are worked out from the printed
//! whole numbers of the floor, so that a trainee who rounds gets the key's number.

mod fault;
mod gap;
mod model;
mod outline;
#[cfg(test)]
mod tests;

use super::{
    Block, Cell, Draw, Exercise, Level, PracticeError, Question, Ruling, Value, WrongAnswer,
    asked::Asked, layout::Drawn, lot::Lot,
};
use crate::{plan::Check, units::SIXTEENTH_MM};
use fault::Fault;
use gap::Gaps;
pub use model::Model;
use model::Wanted;
pub use outline::OutlinePart;

/// Layouts that are drawn until one goes on a desk at a scale.
const ATTEMPTS: usize = 8;

/// Scales 1:n of levels 1 and of the others, the first one that suits; metric and inches.
const SCALES: [[u32; 2]; 2] = [[20, 10], [10, 20]];
const INCH_SCALES: [[u32; 2]; 2] = [[24, 16], [12, 24]];

/// The vehicle's end lies at a mark when it is no farther from it than this, mm on the desk: less than a ruler shows.
const AT_MARK_MM: f64 = 0.25;

/// How far a measured length may be off, mm on the desk: half a mm of reading, and as much of cutting and joining; in inches a
/// graduation.
const MEASURED_MM: f64 = 1.0;

/// Widths that a check square of 100 mm comes out with on a wrongly set printer, mm, and lengths of a line of 4 in, sixteenths short.
const WRONG_SQUARE_MM: [i64; 2] = [94, 98];
const WRONG_LINE_SHORT: [i64; 2] = [1, 3];

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] for a vehicle or a layout too small or too large for the scale.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let model = fitting(&mut lot)?;
    let desk = Desk::drawn(&model, lot.level, &mut lot.draw);
    let exercise = lot.exercise(desk.given(), desk.questions(), desk.wrong());
    Ok(Exercise {
        model: Some(Box::new(model)),
        ..exercise
    })
}

/// A drawn layout that goes on a desk.
fn fitting(lot: &mut Lot<'_>) -> Result<Model, PracticeError> {
    let ruling = lot.ruling();
    let first = usize::from(lot.level.number() > 1);
    let scales = ruling.pick(SCALES, INCH_SCALES)[first];
    let left = lot.draw.coin();
    let mut reasons = Vec::new();
    for denominator in scales {
        let mut reason = String::new();
        for _ in 0..ATTEMPTS {
            let plan = Drawn::new(lot.setting, &mut lot.draw)?.plan;
            let wanted = Wanted {
                denominator,
                level: lot.level,
                number: lot.number,
                paper: &lot.setting.paper,
                ruling,
                left,
            };
            match Model::of(plan, &wanted) {
                Ok(model) => return Ok(model),
                Err(fault) => reason = fault,
            }
            if lot.setting.as_is {
                break;
            }
        }
        reasons.push(reason);
    }
    Err(reasons.join("; ").into())
}

/// Text and numbers of the exercise.
struct Desk<'a> {
    model: &'a Model,
    checks: Vec<&'a Check>,
    /// The mark to be found with its sheet's label, where that is asked.
    asked: Option<(&'a str, &'a str)>,
    gaps: Gaps<'a>,
    fault: Fault<'a>,
    /// What a check square (mm) or a line of 4 in (sixteenths) measures on a wrong print, where that is asked.
    wrong_print: Option<i64>,
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
        let marks = 0..model.plan.marks.len();
        let alone = |mark| Some((model.name(mark), model.only_sheet_of(mark)?));
        let marks: Vec<(&str, &str)> = marks.filter_map(alone).collect();
        let asked = (level.number() > 1).then(|| draw.choose(&marks).copied());
        let checks = chosen.into_iter().map(|check| &model.plan.checks[check]);
        let [least, most] = WRONG_SQUARE_MM;
        let wrong_print = match (level.number(), model.ruling) {
            (4, Ruling::Metric) => Some(draw.whole(least, most)),
            (4, Ruling::Inches) => {
                let [least, most] = WRONG_LINE_SHORT;
                Some(64 - draw.whole(least, most))
            }
            _ => None,
        };
        Self {
            model,
            checks: checks.collect(),
            asked: asked.flatten(),
            gaps: Gaps::drawn(model, level, draw),
            fault: Fault::drawn(model, level, draw),
            wrong_print,
        }
    }

    fn n(&self) -> f64 {
        f64::from(self.model.denominator)
    }

    fn ruling(&self) -> Ruling {
        self.model.ruling
    }

    fn ends(&self, check: &Check) -> String {
        let [from, to] = [check.from, check.to].map(|mark| self.model.name(mark));
        format!("{from}\u{a0}–\u{a0}{to}")
    }

    /// A distance on the floor as it is printed, mm, and what it should be on the desk, worked out from that number.
    fn floor(&self, mm: f64) -> (f64, Value) {
        let floor = self.ruling().round(mm * self.n());
        (floor, ruler(floor / self.n(), self.ruling()))
    }

    fn given(&self) -> Vec<Block> {
        let (n, ruling) = (self.model.denominator, self.ruling());
        let side = self.model.half.side();
        let proof = ruling.pick(
            "the check square on the sheets has to measure 100 mm",
            "the line of 4 in on the sheets has to measure 4 in",
        );
        let read = ruling.pick("half a millimetre", "1/16 in");
        let one = ruling.pick("1 mm", "1 in");
        let steps = [
            format!(
                "The next pages: a blank grid, how the sheets go together, the sheets at 1:{n}, the {side} half of the vehicle. Print at \
                 100 %, one-sided; {proof}."
            ),
            "Cut each sheet along its dashed lines (trim), no other edge. In the order of the map lay its cut edge on the \
                 thin line that names it, registration mark on registration mark, and tape."
                .to_owned(),
            format!(
                "Measure the checks with a ruler or tape to {read}. {one} on the desk is {n} {} on the floor.",
                ruling.unit()
            ),
            self.laying(),
        ];
        let text = |(index, step)| Block::Text(format!("{}. {step}", index + 1));
        steps
            .into_iter()
            .enumerate()
            .map(text)
            .chain(ruling.decimals_of_sixteenths())
            .collect()
    }

    /// Where the half outline belongs, from the marks on the centreline.
    fn laying(&self) -> String {
        let plan = &self.model.plan;
        let [front, rear] = plan
            .tape_base
            .map(|mark| (plan.marks[mark].at.x, self.model.name(mark)));
        let end = |end: &str, ahead: f64, name: &str| {
            let way = if ahead > 0.0 { "ahead of" } else { "behind" };
            match ahead.abs() < AT_MARK_MM {
                true => format!("its {end} end at {name}"),
                false => format!(
                    "its {end} end {} {way} {name}",
                    unbroken(&ruler(ahead.abs(), self.ruling()).to_string())
                ),
            }
        };
        let side = self.model.half.side();
        let tape = match self.model.half.parts.len() {
            1 => "",
            _ => " and tape its parts",
        };
        format!(
            "Draw a line on the mat from {} to {}: the centreline. Cut out the {side} half of the vehicle{tape}. Lay its straight inner \
             edge along the line, on the {side}: {}, {}.",
            front.1,
            rear.1,
            end("front", plan.vehicle.front_x - front.0, front.1),
            end("rear", plan.vehicle.rear_x - rear.0, rear.1)
        )
    }

    fn questions(&self) -> Vec<Question> {
        let pages = self.model.sheets.pages;
        let sheets = Question::new("How many sheets make the mat, the vehicle not counted?", 1)
            .lines(1)
            .worked([format!(
                "{pages} sheets: count the labels on the assembly map or on the mat"
            )])
            .answer("sheets", Value::count(pages));
        let which = self.asked.map(|(mark, sheet)| {
            let label = sheet.parse().map_or_else(|_| sheet.into(), Value::count);
            Question::new(format!("Which sheet carries mark {mark}?"), 1)
                .lines(1)
                .worked([format!("{mark} on sheet {sheet}")])
                .answer("sheet of the mark", label)
        });
        let measured = [self.measuring()].into_iter().chain(self.gaps.question());
        let faults = [self.fault.question(self.model)];
        [sheets]
            .into_iter()
            .chain(which)
            .chain(measured)
            .chain(faults)
            .chain(self.misprint())
            .collect()
    }

    fn measuring(&self) -> Question {
        let (n, ruling) = (self.model.denominator, self.ruling());
        let rounded = ruling.pick(
            "half a millimetre (a quarter is rounded up)",
            "the nearest 1/16 in (half a step is rounded up)",
        );
        let text = format!(
            "What should each check be on the desk, to {rounded}? Measure it. By how much is your mat off on the floor?"
        );
        let mut asked = Asked::default();
        asked.worked.push(format!(
            "should be = floor / {n}; measured: right when it is near enough to what it should be; off on the floor = {n} × (measured − \
                 should be), right when it follows from the trainee's own two numbers"
        ));
        for (number, check) in (1..).zip(&self.checks) {
            let (floor, desk) = self.floor(check.distance);
            asked.worked.push(format!(
                "{number}, {}: {} / {n}, rounded {desk}",
                self.ends(check),
                ruling.exact(floor)
            ));
            let cells = [
                Cell::given(number.to_string()),
                Cell::Given(self.ends(check)),
                Cell::Given(unbroken(&ruling.whole(floor))),
            ];
            let should = asked.blank(format!("check {number} should be"), desk.clone());
            asked
                .answers
                .push((format!("check {number} measured"), desk));
            let own = [
                Cell::blank("as measured"),
                Cell::Blank(format!("{n} × difference")),
            ];
            asked.row(cells.into_iter().chain([should]).chain(own));
        }
        let unit = ruling.unit();
        let columns = [
            "check".to_owned(),
            "from – to".to_owned(),
            format!("floor, {unit}"),
            format!("desk: should be, {unit}"),
            format!("desk: measured, {unit}"),
            format!("off on the floor, {unit}"),
        ];
        let question = asked.question(text, columns);
        let step = reading(ruling);
        match ruling {
            Ruling::Metric => question
                .right_within_each([(" measured", self.model.bounds().0), (" should be", step)]),
            Ruling::Inches => question.right_within(step),
        }
    }

    /// A check on a mat that was printed at a wrong size, where that is asked.
    fn misprint(&self) -> Option<Question> {
        let (measured, ruling) = (self.wrong_print?, self.ruling());
        let longest = (1..)
            .zip(&self.checks)
            .max_by(|a, b| a.1.distance.total_cmp(&b.1.distance));
        let (number, check) = longest?;
        let (floor, should) = self.floor(check.distance);
        let (whole, part) = match ruling {
            Ruling::Metric => (100.0, measured as f64),
            Ruling::Inches => (64.0 * SIXTEENTH_MM, measured as f64 * SIXTEENTH_MM),
        };
        let wrong = ruler(floor / self.n() * part / whole, ruling);
        let square = format!(
            "{} {} measures {}",
            ruling.pick("check square of", "line of"),
            unbroken(&ruling.length(whole)),
            unbroken(&ruling.length(part))
        );
        let text = format!(
            "On another desk the sheets were printed with \"fit to page\": the {square}. What does check {number} measure on that mat, cut and \
                 joined without a fault?"
        );
        Some(
            Question::new(text, 2)
                .lines(1)
                .right_within(reading(ruling))
                .worked([format!(
                    "{should} on a true mat; {} × {} / {}, rounded {wrong}",
                    ruling.exact(floor / self.n()),
                    ruling.exact(part),
                    ruling.exact(whole)
                )])
                .answer("check on the wrong print", wrong),
        )
    }

    fn wrong(&self) -> Vec<WrongAnswer> {
        let not = self
            .ruling()
            .pick("the square is not 100 mm", "the line is not 4 in");
        let mut all = vec![
            WrongAnswer::new(
                "all checks short or long in the same proportion",
                format!("The sheets were printed with \"fit to page\": {not}."),
            ),
            WrongAnswer::new(
                "one diagonal long, the other short",
                "Sheets were joined askew, by their edges and not by the registration marks.",
            ),
        ];
        all.extend(self.gaps.wrong());
        all.extend(self.fault.wrong(self.model));
        all
    }
}

impl Model {
    /// How far off a measured length may be on the desk, and on the floor.
    fn bounds(&self) -> (Value, Value) {
        let desk = self.ruling.pick(MEASURED_MM, SIXTEENTH_MM);
        let floor = desk * f64::from(self.denominator);
        [desk, floor].map(|mm| self.ruling.answer(mm)).into()
    }
}

/// What a ruler is read to: half a millimetre, or 1/16 in.
fn reading(ruling: Ruling) -> Value {
    match ruling {
        Ruling::Metric => Value::half(0.5, ruling.unit()),
        Ruling::Inches => ruling.answer(SIXTEENTH_MM),
    }
}

/// A length that no end of a line tears apart: `3 13/16 in`.
fn unbroken(length: &str) -> String {
    length.replace(' ', "\u{a0}")
}

/// A length on the desk as a ruler is read.
fn ruler(mm: f64, ruling: Ruling) -> Value {
    match ruling {
        Ruling::Metric => Value::half(mm, ruling.unit()),
        Ruling::Inches => ruling.answer(mm),
    }
}
