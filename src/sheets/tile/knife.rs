//! Scissors beside the knife lines of a sheet that is cut by hand.

use kurbo::{Line, Rect, Size};

use super::Tile;
use crate::{
    page::labels::{Footprint, Wish},
    sheets::shared::{SCISSORS_MM, scissors},
};

/// Most signs on a sheet.
const MOST: usize = 3;

/// Knife lines shorter than this, mm, have no sign.
const LEAST_LINE_MM: f64 = 30.0;

/// Distance in mm between two signs, along or across.
const APART_MM: f64 = 60.0;

/// How far from its line, mm, a sign's middle may stand.
const REACH_MM: f64 = 6.0;

/// Distance in mm that a sign keeps from other things.
const PADDING_MM: f64 = 0.6;

impl Tile<'_> {
    /// Puts scissors beside some of the longest knife lines along the page's edges.
    pub(super) fn scissors(&mut self) {
        let Some(knife) = &self.art.knife else {
            return;
        };
        let length = |line: &Line| (line.p1 - line.p0).hypot();
        let mut lines: Vec<Line> = knife
            .edges
            .iter()
            .copied()
            .filter(|line| length(line) >= LEAST_LINE_MM)
            .filter(|line| is_upright(*line) || is_level(*line))
            .collect();
        lines.sort_by(|a, b| length(b).total_cmp(&length(a)));
        let mut placed: Vec<Rect> = Vec::new();
        for line in lines {
            if placed.len() == MOST {
                return;
            }
            let around = Rect::from_points(line.p0, line.p1);
            let level = is_level(line);
            let (within, size) = if level {
                (
                    around.inflate(0.0, REACH_MM + SCISSORS_MM.height / 2.0),
                    SCISSORS_MM,
                )
            } else {
                (
                    around.inflate(REACH_MM + SCISSORS_MM.height / 2.0, 0.0),
                    Size::new(SCISSORS_MM.height, SCISSORS_MM.width),
                )
            };
            let size = size + Size::new(2.0 * PADDING_MM, 2.0 * PADDING_MM);
            let near = around.center();
            if placed
                .iter()
                .any(|sign| sign.inflate(APART_MM, APART_MM).contains(near))
            {
                continue;
            }
            let wish = Wish {
                within: within.intersect(self.frame.inner),
                near,
                pull: 3.0,
            };
            if let Some(place) = self.room.place(&[Footprint::solid(size, 0)], wish) {
                let sign = Rect::from_origin_size(place.origin, size);
                let along = if level { (1.0, 0.0) } else { (0.0, 1.0) };
                scissors(&mut self.drawing, sign.center(), along.into());
                placed.push(sign);
            }
        }
    }
}

fn is_level(line: Line) -> bool {
    (line.p1.y - line.p0.y).abs() < crate::units::SAME_DRAWN_MM
}

fn is_upright(line: Line) -> bool {
    (line.p1.x - line.p0.x).abs() < crate::units::SAME_DRAWN_MM
}
