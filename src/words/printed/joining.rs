//! How sheets are held and joined.

use super::Section;
use crate::cover::{Heading, SheetPlan};

/// Which way to hold a sheet.
#[must_use]
pub fn holding(sheets: &SheetPlan) -> Section {
    let has = |heading| sheets.sheets.iter().any(|sheet| sheet.heading == heading);
    let which = match (has(Heading::FrontUp), has(Heading::FrontRight)) {
        (true, true) => "The arrow points up some pages and to the right of others.",
        (false, true) => {
            "The arrow points to the right of the page: stand on the right of the vehicle and look left to read it."
        }
        _ => "Stand behind the vehicle and look forward to read it.",
    };
    let paragraph = format!(
        "Point the FRONT arrow of each sheet to the front of the vehicle. {which} Lay the sheets in the order of their numbers."
    );
    Section {
        heading: "Hold".to_owned(),
        paragraphs: vec![paragraph],
        numbered: false,
    }
}

/// How to trim sheets and to join them.
#[must_use]
pub fn joining(sheets: &SheetPlan) -> Section {
    if sheets.joints.is_empty() {
        let paragraph =
            "Trim nothing: no sheet joins another. Lay each sheet by itself.".to_owned();
        return Section {
            heading: "Trim and join".to_owned(),
            paragraphs: vec![paragraph],
            numbered: false,
        };
    }
    let paragraphs = [
        "Trim each sheet along every dashed line, from edge to edge. Leave all other edges.",
        "Lay the trimmed edge on top of the sheet laid before it, along the thin line “lay … edge here”. Move it until the two halves of each registration mark meet; both halves have the same name.",
        "Fix the joint with tape strip, from above or below. Do not pull the paper.",
    ];
    let paragraphs = paragraphs.map(str::to_owned).to_vec();
    Section {
        heading: "Trim and join".to_owned(),
        paragraphs,
        numbered: true,
    }
}
