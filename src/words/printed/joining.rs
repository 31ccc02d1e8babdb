//! How sheets are held and joined.

use super::Section;
use crate::cover::{Heading, SheetPlan};

/// Which way to hold a sheet.
#[must_use]
pub fn holding(sheets: &SheetPlan) -> Section {
    let has = |heading| sheets.sheets.iter().any(|sheet| sheet.heading == heading);
    let which = match (has(Heading::FrontUp), has(Heading::FrontRight)) {
        (true, true) => "On some sheets it points up the paper, on others to the right.",
        (false, true) => {
            "It points to the right on the paper: the lettering reads from the vehicle’s right side, looking left."
        }
        _ => "The lettering then reads from behind, looking forward.",
    };
    let paragraph = format!(
        "Hold each sheet with its FRONT arrow towards the vehicle’s front. {which} Sheets are numbered in the order of laying."
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
            "No sheet is trimmed, and none joins another: each is laid by itself.".to_owned();
        return Section {
            heading: "Trim and join".to_owned(),
            paragraphs: vec![paragraph],
            numbered: false,
        };
    }
    let paragraphs = [
        "Trim each sheet along every dashed line, from edge to edge. Other edges stay as they are.",
        "A trimmed edge lies on top of the sheet laid before it: bring it to the thin line “lay … edge here” until the halves of the registration marks, with the same name on both sheets, complete each other.",
        "Join with tape strips, from below or above, without pulling the paper.",
    ];
    let paragraphs = paragraphs.map(str::to_owned).to_vec();
    Section {
        heading: "Trim and join".to_owned(),
        paragraphs,
        numbered: true,
    }
}
