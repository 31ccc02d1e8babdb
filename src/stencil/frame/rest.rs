//! Pieces that are no bars: divided straight across their long side.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Line, Vec2};

use super::pieces::left;
use crate::stencil::{
    load_size::{LoadSize, smallest_rectangle},
    shape::Shape,
};

/// Directions in which a piece is tried to be divided.
const TURNS: i32 = 9;

/// Step in which a place for a joint is looked for, mm.
const SEARCH_MM: f64 = 5.0;

/// The joints of a straight cut that divides a piece, as near to where it makes pieces of like size as can be; across its long
/// side, or along it where that has no place. `None` where neither has.
pub(super) fn crossing(
    piece: &Shape,
    bed: &LoadSize,
    is_good: impl Fn(Line) -> bool,
) -> Option<Vec<Line>> {
    let (angle, rect) = smallest_rectangle(&piece.outer);
    let long = if rect.width() >= rect.height() {
        angle
    } else {
        angle + FRAC_PI_2
    };
    let ways = (0..TURNS).map(|turn| {
        // Across the long side first, then more and more aslant to it.
        let by = FRAC_PI_2 / f64::from(TURNS - 1) * f64::from((turn + 1) / 2) * 2.0;
        if turn % 2 == 0 { long + by } else { long - by }
    });
    ways.into_iter().find_map(|angle| {
        let along = Vec2::from_angle(angle);
        let stations = piece.outer.iter().map(|point| along.dot(point.to_vec2()));
        let (from, to) = stations.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), at| {
            (a.min(at), b.max(at))
        });
        let count = ((to - from) / bed.longest()).ceil().max(2.0);
        let wanted = from + (to - from) * (count / 2.0).floor() / count;
        let steps = ((to - from) / SEARCH_MM).ceil() as i32;
        let places = (0..=steps)
            .flat_map(|step| [f64::from(step), -f64::from(step)])
            .map(|step| wanted + step * SEARCH_MM)
            .filter(|at| (from + SEARCH_MM..=to - SEARCH_MM).contains(at));
        places
            .map(|at| across(piece, along, at))
            .find(|lines| !lines.is_empty() && lines.iter().all(|line| is_good(*line)))
    })
}

/// What of the line across `along` at a station lies in the piece.
fn across(piece: &Shape, along: Vec2, station: f64) -> Vec<Line> {
    let start = (along * station).to_point();
    let line = Line::new(start, start + left(along));
    let at = |distance: f64| start + left(along) * distance;
    piece
        .stretches_on(line)
        .into_iter()
        .map(|(from, to)| Line::new(at(from), at(to)))
        .collect()
}
