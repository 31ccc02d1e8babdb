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
            format!("{} {way} ({})", lengths.tenths(value), known(sd))
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
