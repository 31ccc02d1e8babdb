//! What is said of lays and of what they prove: the one place for overview, steps, sheet 0 and the text of `plan`.

use crate::{
    plan::{FloorPlan, Lay, LayEnd, LayKind, LayReading, MarkProof, Proof, WouldTake},
    sheets::wrap::NO_BREAK,
    units::{inch_text, mm_exact, mm_text},
};

/// A line that deviates less than this from the vehicle's axes runs along or across it, mm for each metre.
const SQUARE_PER_METRE: f64 = 2.0;

/// Marks that cannot be proven are named up to so many.
const MOST_NAMED: usize = 6;

/// What the limits mean.
pub const LIMITS: &str =
    "What differs by more than ± must be put right first; what is too close to tell is left to “baystencil check”.";

/// Said over the lays that run below the body.
pub const BELOW_BODY: &str = "Below the body, together at the end";

/// What is laid where: "tape from 1L", "string over 1L and 4L".
#[must_use]
pub fn laid(plan: &FloorPlan, lay: &Lay) -> String {
    let from = lay.from_name(plan);
    match lay.kind {
        LayKind::Tape => format!("tape from {from}"),
        LayKind::String if lay.along_tyres() => {
            format!("string along the tyres over {from} and {}, carried on", lay.to_name(plan))
        }
        LayKind::String => format!("string over {from} and {}", lay.to_name(plan)),
    }
}

/// Where it runs: "along the left side", "across the front", "outward" where it keeps to one side; empty where it is slanted.
#[must_use]
pub fn runs(plan: &FloorPlan, lay: &Lay) -> &'static str {
    let (LayEnd::Mark(from), LayEnd::Mark(to)) = (lay.from, lay.to) else { return "" };
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
            return if to.y.abs() > from.y.abs() { "outward" } else { "inward" };
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
    if on_string(lay) { "on it".to_owned() } else { mm_text(reading.should_be) }
}

/// True where the marks lie on the lay's string.
fn on_string(lay: &Lay) -> bool {
    lay.kind == LayKind::String && !lay.along_tyres()
}

/// The same in inches.
#[must_use]
pub fn should_be_inches(lay: &Lay, reading: &LayReading) -> String {
    if on_string(lay) { String::new() } else { inch_text(reading.should_be) }
}

/// The lay in a few words for a narrow column: "tape from 1L, left side".
#[must_use]
pub fn short(plan: &FloorPlan, lay: &Lay) -> String {
    let from = lay.from_name(plan);
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
        let also = if inches && !inch.is_empty() { format!(" ({inch} in)") } else { String::new() };
        let words = format!("{mark} {}{also} ± {}", should_be(lay, reading), limit(reading.limit, inches));
        words.replace(' ', NO_BREAK.encode_utf8(&mut [0; 2]))
    };
    let readings: Vec<String> = lay.readings.iter().map(one).collect();
    format!("{}: {}", whole(plan, lay), readings.join(", "))
}

/// A limit: in mm, or in inches where the job is.
#[must_use]
pub fn limit(mm: f64, inches: bool) -> String {
    if inches { inch_text(mm) } else { mm_exact(mm, 1) }
}

/// How lays are read, and what the wheels' names mean.
pub const HOW: &str = "Tape: zero on the first mark, read at each further one. String: the mark lies on it, or is taped square \
     from it. WFL, WFR, WRL, WRR: plumbed below the tyres' outer faces, front and rear, left and right.";

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
        let up = (mm * 10.0 - 1e-6).ceil() / 10.0;
        let inch = if inches { format!(" ({} in)", inch_text(up)) } else { String::new() };
        format!("{} mm{inch}", mm_exact(up, 1))
    };
    let name = |mark: &&MarkProof| plan.marks[mark.mark].id.clone();
    let what = match open.len() {
        all if all == proof.marks.len() => "No mark’s tolerance can be proven".to_owned(),
        many if many > MOST_NAMED => format!("The tolerances of {many} marks cannot be proven"),
        _ => {
            let (s, names) = (if open.len() == 1 { "" } else { "s" }, open.iter().map(name).collect::<Vec<_>>());
            format!("The tolerance{s} of {} cannot be proven", names.join(", "))
        }
    };
    let worst = open.iter().map(|mark| mark.provable).fold(0.0, f64::max);
    let tightest = if worst.is_finite() {
        format!("the tightest that these lays, this tape and this plumbing prove is ± {}", length(worst))
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
        WouldTake::ClassIAndFinerPlumbing => "a tape of class I with wheels and centreline plumbed to 0.5 mm",
        WouldTake::OtherInstrument => "another instrument than a tape",
        WouldTake::SimpleDecision => "decision = \"simple\" in the job, which accepts the risk",
    };
    if ways.is_empty() {
        return String::new();
    }
    format!(" It would take {}.", ways.iter().map(words).collect::<Vec<_>>().join(", or "))
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
