//! In which order one walks from lay to lay.

use std::f64::consts::TAU;

use kurbo::Point;

use crate::plan::{FloorPlan, LayKind};

/// Place in the round: tape and string on open floor first, what one crawls for last; in both from the vehicle's front left
/// corner along its left side, behind it, along its right side and back across its front, by where the lay begins; at one
/// place the tape before the string.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(super) struct Round {
    below_body: bool,
    turn: f64,
    is_string: bool,
    length: f64,
}

impl Round {
    /// The place of a lay from one floor point to another.
    pub(super) fn of(
        plan: &FloorPlan,
        kind: LayKind,
        [from, to]: [Point; 2],
        below_body: bool,
    ) -> Self {
        let body = plan.vehicle.body();
        let (middle, from_middle) = (body.center(), from - body.center());
        // With length and width made alike, each corner is at an eighth of the turn whatever the vehicle.
        let across = from_middle.y / (body.y1 - middle.y);
        let along = from_middle.x / (body.x1 - middle.x);
        /// Just before the front left corner, so that marks a little in front of it come first.
        const START: f64 = 0.06;
        let turn = (across.atan2(along) / TAU - START).rem_euclid(1.0);
        // Rounding must not part lays that begin at one mark.
        let turn = (turn * 1e6).round() / 1e6;
        Self {
            below_body,
            turn,
            is_string: kind == LayKind::String,
            length: from.distance(to),
        }
    }

    /// Which of two comes first.
    pub(super) fn compare(&self, other: &Self) -> std::cmp::Ordering {
        self.partial_cmp(other).unwrap_or(std::cmp::Ordering::Equal)
    }
}
