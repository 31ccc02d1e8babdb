//! The judgement in plain words.

use crate::{
    survey::{Assessment, COVERAGE_FACTOR, Pose, Verdict},
    units::mm_exact,
    words::{CheckWords, Lengths},
};

/// Sentences of advice that the page shows at most; the report of `check` has all.
const MOST_ADVICE: usize = 3;
/// A grid that lies less than this off, mm, or is turned less, degrees, lies as designed to the last figure shown.
const NO_SHIFT_MM: f64 = 0.05;
const NO_TURN_DEG: f64 = 0.005;

/// What is said whatever the verdict.
pub const NOT_SAID: &str = "This sheet records where marks lie on a floor. It does not say that a camera, a sensor or any \
    system is calibrated: that is for the vehicle maker's procedure to show.";

/// What the page is.
pub const TITLE: &str = "Record of a floor layout";
/// Before what the check asked for.
pub const STILL_TO_DO: &str = "Still to do";
/// What lengths are written in where inches have mm beside them.
pub const INCHES_AND_MM: &str = "in, what is off also in (mm)";
/// What the signs of readings that are off mean.
pub const LONGER: &str = "off: + longer, − shorter";
/// In place of the table of marks.
pub const NO_MARKS: &str = "No mark has a designed place or a tolerance.";

/// What the signs of readings mean, and how those that find no room are counted.
pub const SET_ASIDE: &str = "!! contradicts the others, set aside";
/// A reading beyond its limit.
pub const OFF: &str = "off: beyond its limit";
/// A reading that decides nothing.
pub const UNDECIDED: &str = "? too near to its limit to decide";
/// Several that were set aside.
pub const CONTRADICTING: &str = "contradicting the others";
/// Several that are off.
pub const BEYOND: &str = "beyond their limits";
/// Several that decide nothing.
pub const NEAR: &str = "too near to their limits to decide";
/// Several that are right.
pub const WITHIN: &str = "within their limits";

/// Signs of marks in the picture: inside, undecided, outside, not fixed.
pub const SIGNS: [&str; 4] = [
    "○ inside",
    "□ ? undecided",
    "● outside",
    "× not fixed by the readings",
];
/// A line of the picture.
pub const DASHED: &str = "dashed: reading that contradicts the others";

/// Over what is ticked before the work.
pub const BEFORE_WORK: &str = "Before the work";
/// Over what is ticked after it.
pub const AFTER_WORK: &str = "After it";
/// What is written in by hand of the vehicle maker's procedure.
pub const PROCEDURE: [&str; 3] = [
    "vehicle maker’s procedure carried out by",
    "document and page",
    "result saved as",
];
/// What is written in by hand of the layout.
pub const SIGNATURE: [&str; 3] = ["laid out and taped by", "date", "signature"];

/// What is ticked before the work.
pub const BEFORE: [&str; 2] = [
    "Fault codes read and saved before anything was touched",
    "Tyres, load and floor as the service information says",
];
/// What is ticked after it.
pub const AFTER: [&str; 2] = [
    "Picture checked in reverse gear while the strips still lay",
    "Fault codes read again and saved",
];

/// What a record does not say.
pub const CAUTION: &str = "The vehicle maker's service information for this very vehicle goes first; this record is only as \
    good as the numbers and the readings put in. It holds for the moment of taping: marks that were moved or trodden on \
    since are no longer these. Work for trained staff, under local rules.";

/// The tool, and the inputs by their hash.
#[must_use]
pub fn made_with(version: &str, hash: &str) -> String {
    format!("baystencil {version}; SHA-256 of the inputs begins with {hash}.")
}

/// Marks that find no room in the table.
#[must_use]
pub fn more_marks(count: usize, standings: &str) -> String {
    format!("and {count} more marks: {standings}")
}

/// What the picture's lines mean: displacements against what is given, or within the grid, and how many mm off are drawn how
/// many mm long.
#[must_use]
pub fn meaning_of_lines(against: Option<&str>, (off, drawn): (f64, f64)) -> String {
    let against = against.map_or_else(
        || "within the grid".to_owned(),
        |against| format!("against {against}"),
    );
    let verb = if off > 1.0 { "are" } else { "is" };
    format!(
        "Arrow: from where a mark should be to where it lies {against}; {} mm off {verb} drawn {} mm long. Circle: tolerance. \
         Ellipse: holds the mark with 95 %. Both are as much enlarged.",
        mm_exact(off, 0),
        mm_exact(drawn, 1)
    )
}

/// What the verdict means, whole sentences.
#[must_use]
pub fn meaning(assessment: &Assessment, words: &CheckWords) -> String {
    let against = words.against;
    match assessment.verdict {
        None => "Distances were taped and calculated, but no mark has a tolerance to be judged by."
            .to_owned(),
        Some(Verdict::Inside) => {
            format!("With a probability of 95 % or more for each mark, measured {against}.")
        }
        Some(Verdict::Outside) => {
            format!(
                "To be put right and taped again before the layout is used. Marks are shown as they lie {against}."
            )
        }
        Some(Verdict::Undecided) => {
            format!(
                "To be done before the layout is used: see below. Marks are shown as they lie {against}."
            )
        }
    }
}

/// How the grid lies as a whole, or that this was not measured.
#[must_use]
pub fn pose(assessment: &Assessment, against: &str, lengths: Lengths) -> String {
    let tied = assessment.vehicle.is_none_or(|vehicle| vehicle.tied);
    let Some(Pose {
        forward,
        left,
        turned,
        sd,
        verdict,
    }) = assessment.pose.filter(|_| tied)
    else {
        return format!(
            "How the grid as a whole lies against {} was not measured; the marks are judged against each other.",
            against
        );
    };
    // In mm alone: a few mm in sixteenths of an inch would all be the same.
    let known = |sd: f64| format!("± {} mm", mm_exact(COVERAGE_FACTOR * sd, 1));
    let shift = |value: f64, sd: f64, words: [&str; 2], rest: &str| match value {
        value if value.abs() < NO_SHIFT_MM => format!("0 mm {rest} ({})", known(sd)),
        value => {
            let way = words[usize::from(value < 0.0)];
            format!("{} {way} ({})", lengths.inches_first(value), known(sd))
        }
    };
    let sure = format!("± {}°", mm_exact(COVERAGE_FACTOR * sd[2], 2));
    let turn = match turned {
        turned if turned.abs() < NO_TURN_DEG => format!("not turned ({sure})"),
        turned => format!(
            "turned {}° {} seen from above ({sure})",
            mm_exact(turned.abs(), 2),
            if turned > 0.0 {
                "counter-clockwise"
            } else {
                "clockwise"
            }
        ),
    };
    let verdict = verdict.map_or_else(String::new, |verdict| {
        format!(" So placed, the marks are {}.", words_of(verdict))
    });
    format!(
        "Against {} the grid as a whole lies {}, {} and is {turn}; ± is {COVERAGE_FACTOR} standard deviations.{verdict}",
        against,
        shift(forward, sd[0], ["forward", "rearward"], "forward"),
        shift(left, sd[1], ["to the left", "to the right"], "sideways"),
    )
}

const fn words_of(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Inside => "inside their tolerances",
        Verdict::Undecided => "not all known to be inside their tolerances",
        Verdict::Outside => "not all inside their tolerances",
    }
}

/// What is still to be done, most urgent first; empty where the check asked for nothing.
#[must_use]
pub fn advice(words: &CheckWords) -> String {
    let all: Vec<&str> = words
        .todo
        .iter()
        .chain(&words.findings)
        .map(String::as_str)
        .collect();
    let mut text = all
        .iter()
        .take(MOST_ADVICE)
        .copied()
        .collect::<Vec<_>>()
        .join(" ");
    if let more @ 1.. = all.len().saturating_sub(MOST_ADVICE) {
        text.push_str(&format!(" And {more} more in the report of the check."));
    }
    text
}
