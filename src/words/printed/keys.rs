//! What sheet 0 and the pages of keys say: how to cut keys out, and how to lay them by tape.

use super::{Section, pieces};
use crate::{cover::SheetPlan, plan::FloorPlan, survey::LayingFloor};

/// Which way to hold a key.
#[must_use]
pub fn holding() -> Section {
    let paragraph = "Each key is a small stencil for one mark, and carries the mark’s name. Hold it with its FRONT \
                     arrow towards the vehicle’s front: the lettering then reads from behind, looking forward. The \
                     long arms lie along the vehicle and across it.";
    Section {
        heading: "Hold".to_owned(),
        paragraphs: vec![paragraph.to_owned()],
        numbered: false,
    }
}

/// How to cut keys out and to lay them.
#[must_use]
pub fn working(plan: &FloorPlan) -> [Section; 2] {
    let [front, rear] = base_names(plan);
    let origin = plan.template.origin;
    let cutting = [
        "Cut every key out along its dashed outline and punch its centre hole, 6 mm.".to_owned(),
        "Stick them to thin card if they are to lie flat and to be used again.".to_owned(),
    ];
    let by_tape = match LayingFloor::of(plan) {
        LayingFloor::VehicleStands => format!(
            "Set out the centreline first, {front} and {rear} on it, and the strings beside the vehicle: steps.pdf, way 1. Then lay the other keys in their order: tape forward or rearward along a string from 0, the floor point {origin}, and left or right from the centreline."
        ),
        LayingFloor::Empty => format!(
            "Snap the centreline. Lay {front} on it first, then {rear}, then the other marks on the centreline: tape forward or rearward along it from 0, the floor point {origin}. Lay every other key where both distances on it meet, left or right of the centreline as it says."
        ),
    };
    let laying = [
        pieces::floor(plan).to_owned(),
        by_tape,
        "Check by the distances “from …” on the key: those marks lie already.".to_owned(),
        "Turn the key until its arms, which run to its edges, lie along the string or chalk line, or parallel and square to the centreline.".to_owned(),
        "Hold it still, mark through the hole, and mark the ends of the arms. Lift it, go on with the next.".to_owned(),
        "Grey on a key shows where tape strips and panels lie: join the marks by string, then lay them.".to_owned(),
        "Tape the check list of the overview last.".to_owned(),
    ];
    [
        Section {
            heading: "Cut out".to_owned(),
            paragraphs: cutting.to_vec(),
            numbered: true,
        },
        Section {
            heading: "Lay by tape from the centreline".to_owned(),
            paragraphs: laying.to_vec(),
            numbered: true,
        },
    ]
}

/// The same in short, for every page of keys.
#[must_use]
pub fn in_short(plan: &FloorPlan) -> [String; 3] {
    let [front, rear] = base_names(plan);
    let floor = match LayingFloor::of(plan) {
        LayingFloor::VehicleStands => {
            "The vehicle stands there: no tape below it or through a wheel (steps.pdf, way 1)."
        }
        LayingFloor::Empty => "No vehicle stands there yet.",
    };
    [
        format!(
            "Cut out along the dashed outlines, punch the holes. Lay {front} and {rear} on the centreline first, then the others row by row, FRONT to the vehicle’s front. Mark through the hole."
        ),
        format!(
            "Forward and rearward count from 0, the floor point {}; left and right from the centreline.",
            plan.template.origin
        ),
        floor.to_owned(),
    ]
}

/// How many keys there are on how many pages, and why not on fewer.
#[must_use]
pub fn summary(sheets: &SheetPlan, pages: usize) -> String {
    let (keys, carriers) = (sheets.sheets.len(), sheets.pages);
    let plural =
        |count: usize, noun: &str| format!("{count} {noun}{}", if count == 1 { "" } else { "s" });
    format!(
        "{} on {} (fewest possible for keys of this size) · {pages} pages {}",
        plural(keys, "key"),
        plural(carriers, "page"),
        sheets.format.paper.name
    )
}

fn base_names(plan: &FloorPlan) -> [&str; 2] {
    plan.tape_base.map(|index| plan.marks[index].id.as_str())
}
