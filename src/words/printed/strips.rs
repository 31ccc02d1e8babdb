//! What the assembly page says of strips of a roll.

use super::Section;
use crate::{
    cover::{Heading, RollUse, SheetPlan},
    survey::STRIP_BAR_MM_PER_METRE,
    units::mm_exact,
    words::{Lengths, long},
};

/// How to print strips, and which way they lie; goes into the check square.
#[must_use]
pub fn printing(sheets: &SheetPlan, roll: RollUse, lengths: Lengths) -> [Section; 2] {
    let longest = sheets
        .sheets
        .iter()
        .map(|sheet| sheet.paper.height)
        .fold(0.0, f64::max);
    let width = sheets.sheets.first().map_or(0.0, |sheet| sheet.paper.width);
    let print = Section {
        heading: "Print".to_owned(),
        paragraphs: vec![
            format!(
                "Load a roll {} wide. The strips in stencils.pdf take {} of it; the longest page is {}.",
                lengths.tenths(width),
                long(roll.length, lengths.inches),
                lengths.whole(longest)
            ),
            "Print at 100 % or “actual size” and cut after each page. Switch “fit”, “save paper” and “rotate” off.".to_owned(),
            format!(
                "Measure every strip before you lay it: the square 100 ± 0.5 mm both ways, the long bar right to {} mm in a \
                 metre. Throw a strip away that is further off: it was scaled.",
                mm_exact(STRIP_BAR_MM_PER_METRE, 1)
            ),
            "Print this page on office paper. Its own square and bars must be right as well.".to_owned(),
        ],
        numbered: true,
    };
    [print, holding(sheets)]
}

fn holding(sheets: &SheetPlan) -> Section {
    let along = sheets
        .sheets
        .first()
        .is_none_or(|sheet| sheet.heading == Heading::FrontUp);
    let lie = if along {
        "Strips run along the vehicle."
    } else {
        "Strips run across the vehicle."
    };
    let paragraph = format!(
        "Point the FRONT arrows of each strip to the front of the vehicle. {lie} Lay the strips in the order of their numbers."
    );
    Section {
        heading: "Hold".to_owned(),
        paragraphs: vec![paragraph],
        numbered: false,
    }
}

/// How many strips there are and what they take.
#[must_use]
pub fn summary(sheets: &SheetPlan, roll: RollUse, lengths: Lengths) -> String {
    let count = sheets.sheets.len();
    let noun = if count == 1 { "strip" } else { "strips" };
    let width = sheets.sheets.first().map_or(0.0, |sheet| sheet.paper.width);
    format!(
        "{count} {noun} from a roll {} wide · {} of paper (by its bare area at least {})",
        lengths.tenths(width),
        long(roll.length, lengths.inches),
        long(roll.least, lengths.inches)
    )
}
