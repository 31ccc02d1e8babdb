//! How a stencil's pieces are laid, and on which load each is cut.

use super::CAUTIONS;
use crate::{plan::FloorPlan, stencil::CutPlan, units::mm_exact};

/// What the map is.
pub const TITLE: &str = "Stencil map";

/// Beside the arrow to the front.
pub const FRONT: &str = "FRONT";

/// Side of the square that is measured on scrap, mm.
const TEST_SQUARE_MM: f64 = 100.0;

/// What to do, in order. Lengths are in mm alone: they are compared with a rule, and a sixteenth of an inch is too coarse.
#[must_use]
pub fn how_to_lay(plan: &FloorPlan, stencil: &CutPlan) -> Vec<String> {
    let below = stencil
        .pieces
        .iter()
        .any(|piece| piece.shape.bounds().overlaps(plan.vehicle.body()));
    let floor = if below {
        "Lay the pieces on the empty floor as on the map; the vehicle is driven on when all is marked."
    } else {
        "Lay the pieces as on the map."
    };
    let join = if stencil.joints.is_empty() {
        "Names up, edge to edge, notches opposite each other. Tape the joints."
    } else {
        "Lettering up, every arrow to the front. Press each tab into the piece that is named beside it (TO 7). Only matching ends fit. Tape the joints."
    };
    let mut steps = vec![
        format!(
            "Cut a square of {} mm from scrap and measure it. If it is not true, put the cutter's scale or the kerf right first.",
            mm_exact(TEST_SQUARE_MM, 0)
        ),
        format!("{floor} {join}"),
    ];
    if let Some(distance) = stencil.register_distance() {
        steps.push(format!(
            "Check each joint: the small holes on its two sides are {} mm apart, at both ends of the joint. If the two ends differ, straighten the joint.",
            mm_exact(distance, 0)
        ));
    }
    steps.push(
        "Line up the V notches with the centreline and the axle lines on the floor.".to_owned(),
    );
    let ways: Vec<String> = plan
        .farthest_pairs()
        .into_iter()
        .map(|(one, other)| {
            let [one, other] = [one, other].map(|mark| &plan.marks[mark]);
            let distance = one.at.distance(other.at);
            format!("{} to {} {} mm", one.id, other.id, mm_exact(distance, 0))
        })
        .collect();
    if !ways.is_empty() {
        steps.push(format!(
            "Before you mark, tape from hole to hole: {}. If one is off, the frame is bent at a joint.",
            ways.join(", ")
        ));
    }
    steps.push("Mark through the holes and windows, tape or paint in the slots. Ticks beside slots: mm from the strip's first mark. Then check the layout by a kit's check list.".to_owned());
    let numbered = steps.iter().enumerate();
    let mut texts: Vec<String> = numbered
        .map(|(index, step)| format!("{}. {step}", index + 1))
        .collect();
    texts.push([CAUTIONS[0], CAUTIONS[1], CAUTIONS[2], CAUTIONS[5]].join(" "));
    texts
}

/// The pieces of each load, and how much of it they take.
#[must_use]
pub fn loads(stencil: &CutPlan) -> Vec<String> {
    let load = |(index, load): (usize, &crate::stencil::Load)| {
        let mut pieces: Vec<usize> = load.pieces.iter().map(|laid| laid.piece).collect();
        pieces.sort_unstable();
        let names: Vec<&str> = pieces
            .iter()
            .map(|&piece| stencil.pieces[piece].label.as_str())
            .collect();
        format!(
            "Load {} (cut-{:02}), {} × {} mm, {:.0} % used: {} {}",
            index + 1,
            index + 1,
            mm_exact(load.size.0, 0),
            mm_exact(load.size.1, 0),
            stencil.used(load) * 100.0,
            if names.len() == 1 { "piece" } else { "pieces" },
            names.join(", ")
        )
    };
    stencil.loads.iter().enumerate().map(load).collect()
}
