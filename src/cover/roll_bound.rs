//! How little roll paper any strips could take.
//!
//! A page of length ℓ with blank ends e prints at most (ℓ − e) × printable width of the floor, and all
//! pages together show every bit of the layout. So the sum of the lengths is at least the layout's area
//! over the printable width, plus e for each page; and of pages there are at least as many as
//! [`lower_bound`](super::bound::lower_bound) proves for the longest page a strip may have. The bound is
//! a trivial one: it is reached only where strips are dark from edge to edge.

use i_overlay::{
    core::{fill_rule::FillRule, overlay_rule::OverlayRule},
    float::single::SingleFloatOverlay,
};
use kurbo::Point;

use super::{Content, SheetFormat};

/// What the union may gain or lose by its grid of coordinates, as a part of the area.
const ROUNDING: f64 = 1e-6;

/// A length of roll in mm that no strips square to the vehicle go below; `pages` is the least number of pages.
pub(super) fn least_length(content: &Content, format: &SheetFormat, pages: usize) -> f64 {
    let ends = format.margins.top + format.margins.bottom;
    area(&content.regions) * (1.0 - ROUNDING) / format.printable().width() + pages as f64 * ends
}

/// Area of the union of convex polygons, mm².
fn area(regions: &[Vec<Point>]) -> f64 {
    // All the one way round, so that none takes away from another.
    let upright: Vec<Vec<[f64; 2]>> = regions
        .iter()
        .map(|region| {
            let points = region.iter().map(|p| [p.x, p.y]);
            if doubled_area(region) < 0.0 {
                points.rev().collect()
            } else {
                points.collect()
            }
        })
        .collect();
    let nothing: Vec<Vec<[f64; 2]>> = Vec::new();
    let union = upright.overlay_as::<i64>(&nothing, OverlayRule::Union, FillRule::NonZero);
    let contours = union.into_iter().flatten();
    // Holes run the other way round and count as less.
    let point = |[x, y]: [f64; 2]| Point::new(x, y);
    contours
        .map(|c| doubled_area(&c.into_iter().map(point).collect::<Vec<_>>()))
        .sum::<f64>()
        .abs()
        / 2.0
}

fn doubled_area(contour: &[Point]) -> f64 {
    let next = contour.iter().skip(1).chain(contour.first());
    contour
        .iter()
        .zip(next)
        .map(|(p, q)| p.to_vec2().cross(q.to_vec2()))
        .sum()
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::*;
    use crate::plan::corners;

    #[test]
    fn floor_that_several_parts_cover_counts_once() {
        let across: Vec<Point> = corners(Rect::new(40.0, -10.0, 60.0, 100.0))
            .into_iter()
            .rev()
            .collect();
        let regions = [corners(Rect::new(0.0, 0.0, 100.0, 20.0)).to_vec(), across];
        // 100 × 20 and 20 × 110 with 20 × 20 in common.
        assert!((area(&regions) - 3800.0).abs() < 1e-3, "{}", area(&regions));
    }
}
