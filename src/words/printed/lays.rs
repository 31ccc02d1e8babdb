//! What is said of lays and of what they prove: the one place for overview, steps, sheet 0 and the text of `plan`.

use super::NO_BREAK;
use crate::{
    plan::{FloorPlan, Lay, LayEnd, LayKind, LayReading, MarkProof, Proof, WouldTake},
    units::{ROUND_OFF, inch_text, mm_exact, mm_text},
};

/// A line that deviates less than this from the vehicle's axes runs along or across it, mm for each metre.
const SQUARE_PER_METRE: f64 = 2.0;

/// Marks that cannot be proven are named up to so many.
const MOST_NAMED: usize = 6;

/// What the pages of the check are called in a list of pages.
pub const BOOKMARK: &str = "check, lay by lay";

/// What stands above them.
pub const TITLE: &str = "Check, lay by lay";

/// What stands above those that follow the first.
pub const TITLE_CONTINUED: &str = "Check, lay by lay, continued";

/// What the limits mean.
pub const LIMITS: &str = "What differs by more than ± must be put right first; what is too close to decide is left to “baystencil check”.";

/// Said over the lays that run below the body.
pub const BELOW_BODY: &str = "Below the body, together at the end";

/// How those are taped.
pub const HOW_BELOW: &str = "Push tape or string through with a rod from one side to the other, and read it beside the vehicle. Nobody \
     reaches below it. Or tape these after it was driven off.";

/// What is read before the first lay: how many there are, in which unit, and what to do with them.
#[must_use]
pub fn how_to_check(plan: &FloorPlan, inches: bool) -> String {
    let efforts: Vec<String> = plan.proofs.iter().map(effort).collect();
    let unit = if inches {
        "inches beside the mm, limits in inches"
    } else {
        "mm"
    };
    format!(
        "When all marks lie: {}. Lengths in {unit}. {HOW} {LIMITS}",
        efforts.join("; ")
    )
}

/// What is laid where: "tape from 1L", "string over 1L and 4L".
#[must_use]
pub fn laid(plan: &FloorPlan, lay: &Lay) -> String {
    let from = lay.start_name(plan);
    match lay.kind {
        LayKind::Tape => format!("tape from {from}"),
        LayKind::String if lay.along_tyres() => {
            format!(
                "string along the tyres over {from} and {}, carried on",
                lay.to_name(plan)
            )
        }
        LayKind::String => format!("string over {from} and {}", lay.to_name(plan)),
    }
}

/// Where it runs: "along the left side", "across the front", "outward" where it keeps to one side; empty where it is slanted.
#[must_use]
pub fn runs(plan: &FloorPlan, lay: &Lay) -> &'static str {
    let (LayEnd::Mark(from), LayEnd::Mark(to)) = (lay.from, lay.to) else {
        return "";
    };
    let (from, to) = (plan.marks[from].at, plan.marks[to].at);
    let along = to - from;
    let square = along.hypot() / 1000.0 * SQUARE_PER_METRE;
    let (middle, body) = (from.midpoint(to), plan.vehicle.body());
    if along.y.abs() < square {
        return match middle.y {
            y if y.abs() < square => "along the centreline",
            y if y > 0.0 => "along the left side",
            _ => "along the right side",
        };
    }
    if along.x.abs() < square {
        let crosses = from.y.min(to.y) < -square && from.y.max(to.y) > square;
        if !crosses {
            return if to.y.abs() > from.y.abs() {
                "outward"
            } else {
                "inward"
            };
        }
        return match middle.x {
            x if x > body.x1 => "across the front",
            x if x < body.x0 => "across the rear",
            _ => "across the vehicle",
        };
    }
    ""
}

/// The whole lay as a heading: "tape from 1L along the left side".
#[must_use]
pub fn whole(plan: &FloorPlan, lay: &Lay) -> String {
    let runs = runs(plan, lay);
    let space = if runs.is_empty() { "" } else { " " };
    format!("{}{space}{runs}", laid(plan, lay))
}

/// What a reading should be, mm: a length, or that the mark lies on the string.
#[must_use]
pub fn should_be(lay: &Lay, reading: &LayReading) -> String {
    if on_string(lay) {
        "on it".to_owned()
    } else {
        mm_text(reading.should_be)
    }
}

/// True where the marks lie on the lay's string.
#[must_use]
pub fn on_string(lay: &Lay) -> bool {
    lay.kind == LayKind::String && !lay.along_tyres()
}

/// The same in inches.
#[must_use]
pub fn should_be_inches(lay: &Lay, reading: &LayReading) -> String {
    if on_string(lay) {
        String::new()
    } else {
        inch_text(reading.should_be)
    }
}

/// The lay in a few words for a narrow column: "tape from 1L, left side".
#[must_use]
pub fn short(plan: &FloorPlan, lay: &Lay) -> String {
    let from = lay.start_name(plan);
    let laid = match lay.kind {
        LayKind::Tape => format!("tape from {from}"),
        LayKind::String => format!("string {from}–{}", lay.to_name(plan)),
    };
    let place = match runs(plan, lay) {
        _ if lay.along_tyres() => ", along the tyres",
        "along the left side" => ", left side",
        "along the right side" => ", right side",
        "along the centreline" => ", centreline",
        "across the front" => ", front",
        "across the rear" => ", rear",
        "across the vehicle" => ", across",
        "outward" => ", outward",
        "inward" => ", inward",
        _ => "",
    };
    format!("{laid}{place}")
}

/// The lay and its readings in one line, limits beside: "tape from 1L along the left side: 2L 1760 ± 8, 3L 5210 ± 8.5". A mark and
/// its number hold together where the line is broken.
#[must_use]
pub fn line(plan: &FloorPlan, lay: &Lay, inches: bool) -> String {
    let one = |reading: &LayReading| {
        let mark = &plan.marks[reading.mark].id;
        let inch = should_be_inches(lay, reading);
        let also = if inches && !inch.is_empty() {
            format!(" ({inch} in)")
        } else {
            String::new()
        };
        held_together(&format!(
            "{mark} {}{also} ± {}",
            should_be(lay, reading),
            limit(reading.limit, inches)
        ))
    };
    let readings: Vec<String> = lay.readings.iter().map(one).collect();
    format!("{}: {}", whole(plan, lay), readings.join(", "))
}

/// Words that no line is broken between.
#[must_use]
pub fn held_together(words: &str) -> String {
    words.replace(' ', NO_BREAK.encode_utf8(&mut [0; 2]))
}

/// A limit: in mm, or in inches where the job is.
#[must_use]
pub fn limit(mm: f64, inches: bool) -> String {
    if inches {
        inch_text(mm)
    } else {
        mm_exact(mm, 1)
    }
}

/// How lays are read, and what the wheels' names mean.
pub const HOW: &str = "Tape: zero on the first mark, read at each further one. String: the mark lies on it, or is taped square \
     from it. WFL, WFR, WRL, WRR: plumbed below the tyres' outer faces, front and rear, left and right.";

/// How to read the picture of both check plans.
pub const CHECK_PICTURE: &str = "Solid line: tape, ring at its zero. Dashed line: string. Dot: a mark is read here. Bold number: the lay in the check list of \
     its plan; a job takes the full plan unless it asks for the quick one.";

/// How much work it is.
#[must_use]
pub fn effort(proof: &Proof) -> String {
    format!(
        "{} lays, {} readings, about {} minutes for two",
        proof.lays,
        proof.readings,
        mm_exact(proof.minutes.ceil(), 0)
    )
}

/// What the lays prove, where that is not each mark's tolerance; `None` where it is.
#[must_use]
pub fn not_proven(plan: &FloorPlan, proof: &Proof, inches: bool) -> Option<String> {
    let open: Vec<&MarkProof> = proof.marks.iter().filter(|mark| !mark.proven()).collect();
    if open.is_empty() {
        return None;
    }
    let length = |mm: f64| {
        let up = (mm * 10.0 - ROUND_OFF).ceil() / 10.0;
        let inch = if inches {
            format!(" ({} in)", inch_text(up))
        } else {
            String::new()
        };
        format!("{} mm{inch}", mm_exact(up, 1))
    };
    let name = |mark: &&MarkProof| plan.marks[mark.mark].id.clone();
    let what = match open.len() {
        all if all == proof.marks.len() => {
            "The tolerances of the marks cannot be proven".to_owned()
        }
        many if many > MOST_NAMED => format!("The tolerances of {many} marks cannot be proven"),
        _ => {
            let (s, names) = (
                if open.len() == 1 { "" } else { "s" },
                open.iter().map(name).collect::<Vec<_>>(),
            );
            format!("The tolerance{s} of {} cannot be proven", names.join(", "))
        }
    };
    let worst = open.iter().map(|mark| mark.provable).fold(0.0, f64::max);
    let tightest = if worst.is_finite() {
        format!(
            "the tightest that these lays, this tape and this plumbing prove is ± {}",
            length(worst)
        )
    } else {
        "nothing that a tape reaches holds them".to_owned()
    };
    let take = would_take(&proof.would_take);
    Some(format!("{what}: {tightest}.{take}"))
}

fn would_take(ways: &[WouldTake]) -> String {
    let words = |way: &WouldTake| match way {
        WouldTake::TapeClassI => "a tape of class I",
        WouldTake::FinerPlumbing => "wheels and centreline plumbed to 0.5 mm",
        WouldTake::ClassIAndFinerPlumbing => {
            "a tape of class I with wheels and centreline plumbed to 0.5 mm"
        }
        WouldTake::OtherInstrument => "another instrument than a tape",
        WouldTake::SimpleDecision => "decision = \"simple\" in the job, which accepts the risk",
    };
    if ways.is_empty() {
        return String::new();
    }
    format!(
        " It would take {}.",
        ways.iter().map(words).collect::<Vec<_>>().join(", or ")
    )
}

/// What the quick lays are worth; `None` for the full ones.
#[must_use]
pub fn quick(proof: &Proof) -> Option<String> {
    (proof.times_tolerance > 1.0).then(|| {
        format!(
            "Quick: finds a mark that is {} times its tolerance off, and does not prove the tolerance itself.",
            mm_exact(proof.times_tolerance, 1)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::{plan::GridProof, sheets::fixture};

    /// A lay of the tape from the first mark of (y at the same station) to the second.
    fn runs_between(from: f64, to: f64) -> (String, String) {
        let plan = fixture::plan(&[("3A", -1000.0, from), ("3B", -1000.0, to)], &[]);
        let reading = LayReading {
            id: "1".to_owned(),
            mark: 1,
            should_be: (to - from).abs(),
            limit: 7.9,
            sd: 1.0,
        };
        let lay = Lay {
            number: 1,
            letter: None,
            kind: LayKind::Tape,
            from: LayEnd::Mark(0),
            to: LayEnd::Mark(1),
            below_body: false,
            readings: vec![reading],
        };
        (whole(&plan, &lay), line(&plan, &lay, true))
    }

    #[test]
    fn only_a_tape_that_crosses_the_centreline_runs_across_the_vehicle() {
        for (from, to, expected) in [
            (-1200.0, -1600.0, "tape from 3A outward"),
            (1600.0, 1200.0, "tape from 3A inward"),
            (0.0, 1200.0, "tape from 3A outward"),
            (-1200.0, 0.0, "tape from 3A inward"),
            (-1200.0, 1200.0, "tape from 3A across the vehicle"),
        ] {
            assert_eq!(runs_between(from, to).0, expected);
        }
    }

    #[test]
    fn a_mark_its_number_and_its_limit_hold_together() {
        let (_, line) = runs_between(-1200.0, -1500.0);
        assert_eq!(
            line,
            "tape from 3A outward: 3B\u{a0}300\u{a0}(11\u{a0}13/16\u{a0}in)\u{a0}±\u{a0}5/16"
                .to_owned()
        );
    }

    #[test]
    fn what_cannot_be_proven_is_said_of_no_mark_of_one_or_of_some() {
        let plan = fixture::grid_plan();
        let said = |open: usize| {
            let mark = |mark| MarkProof {
                mark,
                tolerance: 8.0,
                radius: 4.0,
                provable: if mark < open { 9.0 } else { 7.0 },
            };
            let proof = Proof {
                letter: None,
                minutes: 10.0,
                lays: 1,
                readings: 1,
                times_tolerance: 1.0,
                marks: (0..3).map(mark).collect(),
                grid: GridProof {
                    forward: 1.0,
                    left: 1.0,
                    turn: 1.0,
                },
                would_take: Vec::new(),
            };
            not_proven(&plan, &proof, false)
        };
        let names: Vec<&str> = plan.marks.iter().map(|mark| mark.id.as_str()).collect();
        assert_eq!(said(0), None);
        assert!(
            said(1)
                .unwrap()
                .starts_with(&format!("The tolerance of {} cannot be proven: ", names[0]))
        );
        assert!(said(2).unwrap().starts_with(&format!(
            "The tolerances of {}, {} cannot be proven: ",
            names[0], names[1]
        )));
        assert!(
            said(3)
                .unwrap()
                .starts_with("The tolerances of the marks cannot be proven: the tightest")
        );
    }
}
