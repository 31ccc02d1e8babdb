//! What a layout takes, as it stands in `plan.json` and in the summary of a run. Lengths in mm, times in minutes.

use serde_json::{Value, json};

use super::write::round;
use crate::effort::Takes;

/// What a layout takes, for a machine; `paper` and `cut_mm` are null where nothing is printed or cut.
pub fn takes_json(takes: &Takes) -> Value {
    let minutes = takes.minutes;
    json!({
        "vehicle_stands": takes.vehicle_stands,
        "tape_class": takes.tape_class.word(),
        "longest_tape_mm": round(takes.longest_pull),
        "string_mm": round(takes.string),
        "strips": takes.strips.iter().map(|strip| json!({
            "width_mm": round(strip.width), "length_mm": round(strip.length),
        })).collect::<Value>(),
        "panels": takes.panels,
        "paper": takes.paper.as_ref().map(|paper| json!({
            "name": paper.name, "sheets": paper.sheets, "pages": paper.pages, "roll_mm": paper.roll,
        })),
        "cut_mm": takes.cut.map(round),
        "floor_mm": [round(takes.floor.width), round(takes.floor.height)],
        "people": takes.people,
        "minutes": {
            "print": round(minutes.print),
            "join": round(minutes.join),
            "cut": round(minutes.cut),
            "lay": round(minutes.lay),
            "strips": round(minutes.strips),
            "check": round(minutes.check),
            "total": round(minutes.total()),
        },
    })
}
