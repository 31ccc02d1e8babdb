//! The judgement in plain words.

use super::{input::RecordInput, symbols::Standing};
use crate::{
    drawing::{Weight, text_width},
    survey::{Assessment, COVERAGE_FACTOR, Pose, Verdict},
    units::mm_exact,
};

/// Sentences of advice that the page shows at most; the report of `check` has all.
const MOST_ADVICE: usize = 3;
/// A grid that lies less than this off, mm, or is turned less, degrees, lies as designed to the last figure shown.
const NO_SHIFT_MM: f64 = 0.05;
const NO_TURN_DEG: f64 = 0.005;

/// What is said whatever the verdict.
pub const NOT_SAID: &str = "This sheet records where marks lie on a floor. It does not say that a camera, a sensor or any \
    system is calibrated: that is for the vehicle maker's procedure to show.";

/// The verdict in large letters, as long as `width` mm in bold capitals of `height` mm allow.
#[must_use]
pub fn headline(assessment: &Assessment, width: f64, height: f64) -> String {
    let outside = named(assessment, &[Standing::Outside]);
    let open = named(assessment, &[Standing::Undecided, Standing::Loose]);
    let fits = |text: &String| text_width(text, height, Weight::Bold) <= width;
    let listed_after = |word: &str, names: &[&str]| {
        let mut tries = (0..=names.len()).rev().map(|most| format!("{word}: {}", listed(names, most)));
        tries.find(fits).unwrap_or_else(|| word.to_owned())
    };
    match assessment.verdict {
        None => "Not judged: nothing has a tolerance".to_owned(),
        Some(Verdict::Inside) => "Every mark is inside its tolerance".to_owned(),
        Some(Verdict::Outside) if outside.is_empty() => "Outside the tolerance".to_owned(),
        Some(Verdict::Outside) => listed_after("Outside", &outside),
        Some(Verdict::Undecided) if open.is_empty() => "Undecided: too little is known".to_owned(),
        Some(Verdict::Undecided) => listed_after("Undecided", &open),
    }
}

/// What the verdict means, whole sentences.
#[must_use]
pub fn meaning(input: &RecordInput<'_>) -> String {
    let assessment = input.assessment;
    let judged = assessment.marks.iter().filter(|mark| Standing::of(mark) != Standing::Unjudged).count();
    let inside = named(assessment, &[Standing::Inside]).len();
    let outside = named(assessment, &[Standing::Outside]).len();
    let open = named(assessment, &[Standing::Undecided, Standing::Loose]);
    let mut text = match assessment.verdict {
        None => "Distances were taped and adjusted, but no mark has a tolerance to be judged by.".to_owned(),
        Some(Verdict::Inside) => format!(
            "{} where the layout asks, each with a probability of 95 % or more, as taped and adjusted.",
            if judged == 1 { "The mark lies".to_owned() } else { format!("All {judged} marks lie") }
        ),
        Some(Verdict::Outside) => format!(
            "With a probability of 95 % or more {} further off than allowed; {} to be moved and taped again before the \
             layout is used. Inside: {inside} of {judged}.",
            ["the layout lies", "this mark lies", "these marks lie"][outside.min(2)],
            ["it has", "it has", "they have"][outside.min(2)],
        ),
        Some(Verdict::Undecided) => format!(
            "The readings cannot tell {} inside or outside: tape more lines, or again, before the layout is used. Inside: \
             {inside} of {judged}.",
            match open.len() {
                0 => "whether every mark is",
                1 => "whether this mark is",
                _ => "of each of these marks whether it is",
            }
        ),
    };
    if assessment.verdict == Some(Verdict::Outside) && !open.is_empty() {
        text.push_str(&format!(" Undecided besides: {}.", listed(&open, 6)));
    }
    text
}

/// How the grid lies as a whole, or that this was not measured.
#[must_use]
pub fn pose(input: &RecordInput<'_>) -> String {
    let Some(Pose { forward, left, turned, sd, verdict }) = input.assessment.pose else {
        return format!(
            "How the grid as a whole lies against {} was not measured; the marks are judged against each other.",
            input.against
        );
    };
    let known = |sd: f64, decimals: usize, unit: &str| format!("± {}{unit}", mm_exact(COVERAGE_FACTOR * sd, decimals));
    let shift = |value: f64, sd: f64, words: [&str; 2], rest: &str| match value {
        value if value.abs() < NO_SHIFT_MM => format!("0 mm {rest} ({})", known(sd, 1, " mm")),
        value => {
            format!("{} mm {} ({})", mm_exact(value.abs(), 1), words[usize::from(value < 0.0)], known(sd, 1, " mm"))
        }
    };
    let turn = match turned {
        turned if turned.abs() < NO_TURN_DEG => format!("not turned ({})", known(sd[2], 2, "°")),
        turned => format!(
            "turned {}° {} seen from above ({})",
            mm_exact(turned.abs(), 2),
            if turned > 0.0 { "counter-clockwise" } else { "clockwise" },
            known(sd[2], 2, "°")
        ),
    };
    let verdict =
        verdict.map_or_else(String::new, |verdict| format!(" So placed, the marks are {}.", words_of(verdict)));
    format!(
        "Against {} the grid as a whole lies {}, {} and is {turn}; ± is {COVERAGE_FACTOR} standard deviations.{verdict}",
        input.against,
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
pub fn advice(assessment: &Assessment) -> String {
    let mut text = assessment.advice.iter().take(MOST_ADVICE).cloned().collect::<Vec<_>>().join(" ");
    if let more @ 1.. = assessment.advice.len().saturating_sub(MOST_ADVICE) {
        text.push_str(&format!(" And {more} more in the report of the check."));
    }
    text
}

/// The statistics in one line.
#[must_use]
pub fn statistics(assessment: &Assessment) -> String {
    let mut parts = vec![
        format!("least squares, {} datum", assessment.datum.word()),
        match assessment.dof {
            1 => "1 degree of freedom".to_owned(),
            dof => format!("{dof} degrees of freedom"),
        },
    ];
    parts.extend(assessment.sigma0.map(|sigma0| format!("σ₀ {sigma0:.2}")));
    parts.push(match assessment.global_test {
        None => "nothing checks the readings against each other".to_owned(),
        Some(test) => format!(
            "χ² {:.1}, 95 % between {:.1} and {:.1}: the readings {} as their precision promises",
            test.statistic,
            test.bounds[0],
            test.bounds[1],
            if test.passed { "agree" } else { "do not agree" },
        ),
    });
    match assessment.suspects.len() {
        0 => {}
        1 => parts.push("1 reading set aside".to_owned()),
        more => parts.push(format!("{more} readings set aside")),
    }
    format!("{}.", parts.join("; "))
}

/// Names of the marks that stand as asked, in the network's order.
fn named<'a>(assessment: &'a Assessment, standings: &[Standing]) -> Vec<&'a str> {
    let marks = assessment.marks.iter().filter(|mark| standings.contains(&Standing::of(mark)));
    marks.map(|mark| mark.id.as_str()).collect()
}

/// At most `most` names, the rest counted: `4R, 5L and 3 more`; the number alone for none.
fn listed(names: &[&str], most: usize) -> String {
    match names.len().saturating_sub(most) {
        0 => names.join(", "),
        _ if most == 0 => format!("{} marks", names.len()),
        more => format!("{} and {more} more", names[..most].join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_listed_as_far_as_there_is_room_and_the_rest_is_counted() {
        let names = ["1L", "1R", "2L"];
        assert_eq!(listed(&names, 5), "1L, 1R, 2L");
        assert_eq!(listed(&names, 2), "1L, 1R and 1 more");
        assert_eq!(listed(&names, 0), "3 marks");
    }
}
