//! What sheet 0 says: how to print, trim, join and lay the sheets.

use super::{
    Section, caution,
    joining::{holding, joining},
    keys, lays, pieces, strips,
};
use crate::{
    cover::{Mode, SheetPlan},
    plan::{FloorPlan, Lay, LayEnd, LayReading},
    survey::LayingFloor,
    units::{inch_text, mm_text},
    words::Lengths,
};

/// How many check distances are named: two sides and two diagonals of a usual layout.
const NAMED_CHECKS: usize = 4;

/// What the pages of sheet 0 are called in a list of pages, by what stands on them.
pub mod outline {
    /// The first page.
    pub const PRINT: &str = "How to print and join";
    /// Added where the map stands on the first page too.
    pub const AND_MAP: &str = ", and what lies where";
    /// The text's further pages.
    pub const LAY: &str = "How to lay and tape-check";
    /// The map.
    pub const MAP: &str = "What lies where (assembly map)";
    /// The table of errors on a page of its own.
    pub const ERRORS: &str = "What errors to expect";
    /// Added where the table of errors stands below other things.
    pub const AND_ERRORS: &str = ", and what errors to expect";
}

/// How many sheets there are, how few could do, and what they take.
#[must_use]
pub fn summary(sheets: &SheetPlan, pages: usize) -> String {
    let count = sheets.sheets.len();
    let bound = if sheets.lower_bound >= count {
        "fewest possible square to the vehicle".to_owned()
    } else {
        format!("square to the vehicle at least {}", sheets.lower_bound)
    };
    let noun = if count == 1 { "sheet" } else { "sheets" };
    let paper = &sheets.format.paper.name;
    format!("{count} {noun} ({bound}) · {pages} pages {paper}")
}

/// How to print and to measure the scale test, and which way to hold a sheet; goes into the check
/// square.
#[must_use]
pub fn printing(sheets: &SheetPlan, inches: bool) -> [Section; 2] {
    if let Some(roll) = sheets.roll {
        return strips::printing(sheets, roll, Lengths { inches });
    }
    let paper = &sheets.format.paper.name;
    let print = Section {
        heading: "Print".to_owned(),
        paragraphs: vec![
            format!("{paper} paper, upright, one side only, at 100 % or “actual size”. No “fit”, no “shrink”, one page per sheet."),
            "Print this page first and measure with a steel rule: the square 100 ± 0.5 mm both ways, the bars 4 in and 150 mm.".to_owned(),
            "Further off: the page was scaled; set 100 % and print again. Never use scaled sheets.".to_owned(),
            "Every sheet carries its own square and bar. Measure a few from the beginning, the middle and the end.".to_owned(),
        ],
        numbered: true,
    };
    [
        print,
        if sheets.mode == Mode::Keys {
            keys::holding()
        } else {
            holding(sheets)
        },
    ]
}

/// How to trim, lay and join the sheets.
#[must_use]
pub fn working(plan: &FloorPlan, inches: bool, sheets: &SheetPlan) -> [Section; 2] {
    match sheets.mode {
        Mode::Keys => keys::working(plan),
        _ => [joining(sheets), laying(plan, inches, sheets)],
    }
}

/// The cautions.
#[must_use]
pub fn care(plan: &FloorPlan) -> [Section; 1] {
    let first = format!(
        "{} A wrongly aligned camera or radar can hurt someone; the numbers here are only as good as those put in.",
        caution(plan)
    );
    let rest = "For trained staff under local rules; the final test follows the maker’s procedure. Wheels chocked, \
                ignition as the procedure says, nobody between a vehicle that can move and a wall, the vehicle’s keys with \
                one person. Paper, strings and tape strips trip; never look into a laser level.";
    let paragraphs = vec![first, rest.to_owned()];
    [Section {
        heading: "Take care".to_owned(),
        paragraphs,
        numbered: false,
    }]
}

fn laying(plan: &FloorPlan, inches: bool, sheets: &SheetPlan) -> Section {
    let [front, rear] = plan.tape_base.map(|mark| plan.marks[mark].id.as_str());
    let noun = pieces::noun(sheets);
    let by_tape = sheets.laid_by_tape();
    let mut paragraphs = vec![
        pieces::floor(plan).to_owned(),
        format!(
            "Set out the centreline, and {front} and {rear} on it, as steps.pdf shows. Tape every place from there, never from {noun} to {noun}: errors of joints add up."
        ),
        pieces::how(plan, sheets),
    ];
    if by_tape.len() < sheets.sheets.len() {
        paragraphs.push(format!("Then lay the other {noun}s in the order of their numbers, so that every trimmed edge lies on top. Lay each to a long tape: the ticks on a strip give the running distance from the mark named there. Where tape and registration marks disagree, the tape is right; the seam takes the difference."));
    }
    let checks = long_checks(plan, inches);
    if !checks.is_empty() {
        paragraphs.push(format!("When all lie, tape-check: {checks}."));
    }
    Section {
        heading: "Lay on the floor".to_owned(),
        paragraphs,
        numbered: true,
    }
}

/// The longest readings between marks, from the list of lays, a lay once; none below a vehicle that stands there.
fn long_checks(plan: &FloorPlan, inches: bool) -> String {
    let floor = LayingFloor::of(plan);
    let lies =
        |from: usize, to: usize| floor.tape_lies(plan, plan.marks[from].at, plan.marks[to].at);
    let farthest = |lay: &Lay| {
        let LayEnd::Mark(from) = lay.from else {
            return None;
        };
        let mut readings = lay.readings.iter().rev();
        let reading = readings.find(|reading| lies(from, reading.mark))?;
        Some((lay.start_name(plan), reading.clone()))
    };
    let between = plan
        .lays
        .iter()
        .filter(|lay| lay.reading_kind() == "distance");
    let mut checks: Vec<(String, LayReading)> = between.filter_map(farthest).collect();
    checks.sort_by(|a, b| b.1.should_be.total_cmp(&a.1.should_be));
    let texts = checks.iter().take(NAMED_CHECKS).map(|(from, reading)| {
        let (to, mm, limit) = (
            &plan.marks[reading.mark].id,
            mm_text(reading.should_be),
            lays::limit(reading.limit, inches),
        );
        let words = if inches {
            format!(
                "{from}–{to} {} ± {limit} in ({mm} mm)",
                inch_text(reading.should_be)
            )
        } else {
            format!("{from}–{to} {mm} ± {limit} mm")
        };
        lays::held_together(&words)
    });
    texts.collect::<Vec<_>>().join(", ")
}
