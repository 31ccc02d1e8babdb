//! The proof that a piece stays one piece.

use i_overlay::{
    core::{fill_rule::FillRule, overlay_rule::OverlayRule},
    float::single::SingleFloatOverlay,
};
use kurbo::Point;

use super::{CutError, piece::Piece};

/// Fails unless what remains of a piece hangs together.
///
/// # Errors
/// [`CutError::Loose`] when the piece less its openings is not exactly one shape.
pub(super) fn check(piece: &Piece) -> Result<(), CutError> {
    let openings: Vec<Vec<Point>> = piece.openings.iter().map(super::Opening::polygon).collect();
    let parts = remaining(&piece.outline, &openings);
    if parts.len() == 1 {
        return Ok(());
    }
    let smallest = parts
        .iter()
        .min_by_key(|part| part.len())
        .and_then(|part| part.first());
    let near = smallest.copied().unwrap_or(piece.area.center());
    Err(CutError::Loose {
        label: piece.label.clone(),
        parts: parts.len(),
        near,
    })
}

/// The outer outlines of what remains of a polygon when openings are taken away.
pub(super) fn remaining(outline: &[Point], openings: &[Vec<Point>]) -> Vec<Vec<Point>> {
    let raw = |contour: &[Point]| contour.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
    let openings: Vec<Vec<[f64; 2]>> = openings.iter().map(|opening| raw(opening)).collect();
    let shapes =
        vec![raw(outline)].overlay_as::<i64>(&openings, OverlayRule::Difference, FillRule::NonZero);
    shapes
        .into_iter()
        .filter_map(|contours| contours.into_iter().next())
        .map(|outer| outer.into_iter().map(|[x, y]| Point::new(x, y)).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::*;
    use crate::plan::corners;

    fn square(x: f64, y: f64, side: f64) -> Vec<Point> {
        corners(Rect::new(x, y, x + side, y + side)).to_vec()
    }

    #[test]
    fn a_sheet_with_a_hole_is_one_part_and_one_cut_across_is_two() {
        let sheet = square(0.0, 0.0, 100.0);
        assert_eq!(remaining(&sheet, &[square(20.0, 20.0, 30.0)]).len(), 1);
        let across = corners(Rect::new(-10.0, 40.0, 110.0, 50.0)).to_vec();
        assert_eq!(remaining(&sheet, &[across]).len(), 2);
    }

    #[test]
    fn the_inside_of_a_frame_of_four_slots_that_meet_falls_out_and_is_told() {
        let bars = [
            (20.0, 20.0, 80.0, 30.0),
            (20.0, 70.0, 80.0, 80.0),
            (20.0, 30.0, 30.0, 70.0),
            (70.0, 30.0, 80.0, 70.0),
        ];
        let slot = |(x0, y0, x1, y1): (f64, f64, f64, f64)| {
            let middle = f64::midpoint(y0, y1);
            super::super::Opening::Slot {
                from: Point::new(x0, middle),
                to: Point::new(x1, middle),
                width: y1 - y0,
                corner: 0.0,
            }
        };
        let piece = Piece {
            label: "1".to_owned(),
            cell: (0, 0),
            area: Rect::new(0.0, 0.0, 100.0, 100.0),
            outline: square(0.0, 0.0, 100.0),
            openings: bars.into_iter().map(slot).collect(),
            scores: vec![],
        };
        let error = check(&piece).unwrap_err();
        assert!(matches!(error, CutError::Loose { parts: 2, .. }), "{error}");
    }
}
