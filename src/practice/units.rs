//! Millimetres and inches: distances of the job, to and fro, and a slip to be found.
//!
//! | level | mm to inches | inches to mm | the slip |
//! |---|---|---|---|
//! | 1 | 4, to the nearest 1/8 in | 4, from eighths | inches taken for centimetres |
//! | 2 | 5, to the nearest 1/16 in | 5, from sixteenths | that, or the fraction dropped |
//! | 3 | 6, to 1/16 as feet and inches | 6, from feet and inches | that, or the fraction read as a decimal |
//! | 4 | 6, to 1/32 as feet and inches | 6, from thirty-seconds | any of four |

mod slip;
#[cfg(test)]
mod tests;

use slip::{Reading, Slip, SlipQuestion};

use super::{
    Block, Cell, Exercise, Level, PracticeError, Question, Ruling, Scoring, Value, WrongAnswer,
    layout::Drawn, lot::Lot,
};
use crate::units::{MM_PER_INCH, feet_text_to, inch_text_to, mm_exact};

/// How near a number may come to the middle between two answers, as part of the step between them: nearer, and a
/// calculator's rounding decides.
const CLEAR_OF_THE_MIDDLE: f64 = 0.05;

/// Shortest distance that is asked, mm.
const LEAST_MM: f64 = 100.0;

/// What a level asks.
#[derive(Clone, Copy)]
struct Measure {
    /// Graduations of an inch.
    per_inch: i64,
    /// Feet and inches rather than inches alone.
    feet: bool,
    /// How many numbers each way.
    count: usize,
}

impl Measure {
    fn of(level: Level) -> Self {
        let (per_inch, feet, count) =
            level.of([(8, false, 4), (16, false, 5), (16, true, 6), (32, true, 6)]);
        Self {
            per_inch,
            feet,
            count,
        }
    }

    /// How its answers are written, in words.
    fn form(self) -> &'static str {
        if self.feet {
            "feet and inches"
        } else {
            "inches"
        }
    }

    fn text(self, mm: f64) -> String {
        if self.feet {
            feet_text_to(mm, self.per_inch)
        } else {
            format!("{} in", inch_text_to(mm, self.per_inch))
        }
    }

    /// An answer in inches; of feet and inches the number is the inches in all.
    fn answer(self, mm: f64) -> Value {
        let inches = self.nearest(mm) / MM_PER_INCH;
        if self.feet {
            return Value::written(inches, "in", self.text(mm));
        }
        Value::of(inches, "in", inch_text_to(mm, self.per_inch))
    }

    fn graduations(self, mm: f64) -> f64 {
        mm / MM_PER_INCH * self.per_inch as f64
    }

    /// The length on the nearest graduation, mm.
    fn nearest(self, mm: f64) -> f64 {
        self.graduations(mm).round() / self.per_inch as f64 * MM_PER_INCH
    }
}

/// A distance of the job.
struct Distance {
    name: String,
    mm: f64,
}

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout has too few different distances.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let drawn = Drawn::new(lot.setting, &mut lot.draw)?;
    let measure = Measure::of(lot.level);
    let mut distances = distances(&drawn, measure);
    lot.draw.shuffle(&mut distances);
    if distances.len() < 2 {
        return Err("the layout has fewer than two different distances".into());
    }
    // A small layout asks fewer each way, and never the same number to and fro.
    let count = measure.count.min(distances.len() / 2);
    let (forth, back) = distances[..2 * count].split_at(count);
    // A tape reading is one of the distances, or some graduations beside it where that one tells too little.
    let spare = distances[2 * count..].iter().chain(&distances[..2 * count]);
    let beside = |distance: &Distance| {
        let (mm, step) = (distance.mm, MM_PER_INCH / measure.per_inch as f64);
        (0..2 * measure.per_inch).map(move |beside| mm + beside as f64 * step)
    };
    let reading = spare.flat_map(beside);
    let slips = Slip::of_level(lot.level);
    let slip = SlipQuestion::find(reading, measure.per_inch, slips, &mut lot.draw)
        .ok_or("no distance of the layout shows clearly which slip was made")?;
    let given = Block::text(
        "1 in = 25.4 mm exactly; 1 ft = 12 in. The distances are some of the layout's own.",
    );
    let mut questions = vec![
        to_inches(forth, measure),
        to_mm(back, measure),
        slip.question(),
    ];
    // What a shop reads every day comes first.
    if lot.ruling() == Ruling::Inches {
        questions.swap(0, 1);
    }
    let wrong = [
        wrong_forth(&forth[0], measure),
        wrong_back(&back[0], measure),
    ]
    .concat();
    Ok(lot.exercise(vec![given], questions, wrong))
}

/// Distances of the drawn layout in whole mm, each once, with a sure answer both ways.
fn distances(drawn: &Drawn, measure: Measure) -> Vec<Distance> {
    let plan = &drawn.plan;
    let id = |mark: usize| plan.marks[mark].id.as_str();
    let checks = plan
        .checks
        .iter()
        .map(|check| (id(check.from), id(check.to), check.distance));
    let taped = plan.marks.iter().flat_map(|mark| {
        let bases = plan.tape_base.into_iter().zip(mark.two_tape);
        bases.map(|(base, distance)| (id(base), mark.id.as_str(), distance))
    });
    let mut found: Vec<Distance> = Vec::new();
    for (from, to, mm) in checks.chain(taped) {
        let (mm, name) = (mm.round(), format!("{from} \u{2013} {to}"));
        let sure = off_middle(measure.graduations(mm)) && off_middle(measure.nearest(mm));
        if mm >= LEAST_MM && sure && found.iter().all(|known| known.mm != mm) {
            found.push(Distance { name, mm });
        }
    }
    found
}

fn off_middle(steps: f64) -> bool {
    (steps.fract() - 0.5).abs() >= CLEAR_OF_THE_MIDDLE
}

/// A question with a row for each distance: what is given, and the answer without and with its unit.
fn asked(
    text: String,
    [given, asked]: [&str; 2],
    distances: &[Distance],
    row: impl Fn(&Distance) -> (String, String, Value, String),
) -> Question {
    let question = Question::new(text, distances.len()).scored(Scoring::BLANKS);
    let (mut rows, mut question) = (Vec::new(), question);
    for distance in distances {
        let (given, blank, answer, line) = row(distance);
        let of = format!("{} {given}", distance.name);
        question = question
            .answer(of, answer)
            .worked([format!("{}: {line}", distance.name)]);
        rows.push(vec![
            Cell::given(&distance.name),
            Cell::Given(given),
            Cell::Blank(blank),
        ]);
    }
    question.block(Block::table(["Distance", given, asked], rows))
}

fn to_inches(distances: &[Distance], measure: Measure) -> Question {
    let form = measure.form();
    let text = format!(
        "Write in {form}, to the nearest 1/{} in, in lowest terms.",
        measure.per_inch
    );
    asked(text, ["mm", form], distances, |&Distance { mm, .. }| {
        let (answer, metric) = (measure.text(mm), Ruling::Metric);
        let line = format!(
            "{} / 25.4 = {} in; × {} = {}, nearest {}: {answer}",
            metric.exact(mm),
            mm_exact(mm / MM_PER_INCH, 4),
            measure.per_inch,
            mm_exact(measure.graduations(mm), 2),
            measure.graduations(mm).round()
        );
        (
            format!("{} mm", metric.exact(mm)),
            answer,
            measure.answer(mm),
            line,
        )
    })
}

fn to_mm(distances: &[Distance], measure: Measure) -> Question {
    let form = measure.form();
    let text = "Write in mm, to the nearest whole mm.".to_owned();
    asked(text, [form, "mm"], distances, |&Distance { mm, .. }| {
        let (given, exactly) = (measure.text(mm), measure.nearest(mm));
        let answer = Ruling::Metric.answer(exactly);
        let inches = mm_exact(exactly / MM_PER_INCH, 5);
        let feet = if measure.feet {
            format!("{given} = ")
        } else {
            String::new()
        };
        let line = format!(
            "{feet}{inches} in × 25.4 = {}, rounded {answer}",
            mm_exact(exactly, 2)
        );
        (given, answer.bare().to_owned(), answer, line)
    })
}

fn wrong_forth(distance: &Distance, measure: Measure) -> Vec<WrongAnswer> {
    let right = measure.text(distance.mm);
    let inches = distance.mm / MM_PER_INCH;
    // 39.37 in read as 39 and 3.7 graduations: the decimals taken for graduations.
    let read_as =
        (inches.floor() + (inches.fract() * 10.0).round() / measure.per_inch as f64) * MM_PER_INCH;
    let tenths = format!(
        "took tenths of an inch for graduations of 1/{}",
        measure.per_inch
    );
    let slips = [
        (read_as, tenths.as_str()),
        (distance.mm * MM_PER_INCH / 25.0, "took 1 in as 25 mm"),
        (
            distance.mm / 10.0 * MM_PER_INCH,
            "took centimetres for inches",
        ),
    ];
    let answers = slips
        .into_iter()
        .map(|(mm, meaning)| (measure.text(mm), meaning));
    wrong(&Ruling::Metric.length(distance.mm), &right, answers)
}

fn wrong_back(distance: &Distance, measure: Measure) -> Vec<WrongAnswer> {
    let exactly = measure.nearest(distance.mm);
    let reading = Reading::new(exactly, measure.per_inch);
    let answers =
        Slip::ALL.map(|slip| (Ruling::Metric.length(slip.written(&reading)), slip.words()));
    let right = Ruling::Metric.length(exactly);
    wrong(&measure.text(distance.mm), &right, answers)
}

/// Wrong answers to what is given, with what was done; those that give the right one are left out.
fn wrong<'a>(
    given: &str,
    right: &str,
    answers: impl IntoIterator<Item = (String, &'a str)>,
) -> Vec<WrongAnswer> {
    let wrong = answers.into_iter().filter(|(answer, _)| answer != right);
    wrong
        .map(|(answer, meaning)| WrongAnswer::new(format!("{given}: {answer}"), meaning))
        .collect()
}
