//! How sheets are cut by hand.

use super::Section;
use crate::{
    cover::{Mode, SheetPlan},
    stencil::{CutNote, HandCut},
    words::Lengths,
};

/// On every sheet.
pub const ON_SHEET: &str = "Cut round what is hatched: it falls out.";

/// What to print on, in what order to cut, and what holds the stencil together.
#[must_use]
pub fn section(cut: &HandCut, sheets: &SheetPlan, lengths: Lengths) -> Section {
    let (keys, joined) = (sheets.mode == Mode::Keys, !sheets.joints.is_empty());
    let mut paragraphs = vec![
        "Print on card of 200–300 g/m² or on film. Check first that the printer takes it: one sheet, by its straight paper path.".to_owned(),
    ];
    if joined {
        paragraphs.push("Where sheets join, glue the whole lap instead of fixing it with tape strip, and let it dry before you cut a slot that runs across it. Next to each such seam a bridge runs through both sheets and holds them. Glue where the whole layout has room to lie flat.".to_owned());
    }
    paragraphs.push("Put a cutting mat below, take a fresh blade and a steel rule, and cut away from your fingers. Go over a line twice rather than press hard.".to_owned());
    let bridge = lengths.tenths(cut.bridge);
    paragraphs.push(if keys {
        "Cut round what is hatched, the hole and the windows of each mark, before you cut the key out: while it hangs in its sheet it lies still.".to_owned()
    } else {
        format!("Cut round what is hatched: it falls out. First the holes and windows of marks, then the short ends of slots, then their long sides. Leave every bridge, {bridge} wide: across it, tape strip or paint is continued by eye.")
    });
    let (mut along, mut bare) = (Vec::new(), Vec::new());
    for note in &cut.notes {
        match note {
            CutNote::SeamAlong(strip) => along.push(strip.as_str()),
            CutNote::SeamWithoutLap(strip) => bare.push(strip.as_str()),
            _ => {}
        }
    }
    if !along.is_empty() {
        let strips = along.join(", ");
        paragraphs.push(format!("A seam runs along inside the slots of {strips}: glue a strip of card over each bridge there before you cut."));
    }
    if !bare.is_empty() {
        let strips = bare.join(", ");
        paragraphs.push(format!("At {strips} two sheets meet with no paper to glue below the seam: glue a strip of card under it before you cut."));
    }
    Section {
        heading: "Cut by hand".to_owned(),
        paragraphs,
        numbered: true,
    }
}
