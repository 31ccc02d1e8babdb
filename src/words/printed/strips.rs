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
                "The strips are in stencils.pdf: roll {} wide, {} in all, pages of their own length up to {}.",
                lengths.tenths(width),
                long(roll.length, lengths.inches),
                lengths.whole(longest)
            ),
            "Print at 100 % or “actual size”, cut after each page. No “fit”, no “save paper”, no turning.".to_owned(),
            format!(
                "Measure on every strip: the square 100 ± 0.5 mm both ways, the long bar by a steel rule to {} mm in a metre. \
                 Further off: the strip was scaled; never use it.",
                mm_exact(STRIP_BAR_MM_PER_METRE, 1)
            ),
            "This page is for office paper; its own square and bars must be true as well.".to_owned(),
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
        "Hold each strip with its FRONT arrows towards the vehicle’s front. {lie} They are numbered in the order of laying."
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
