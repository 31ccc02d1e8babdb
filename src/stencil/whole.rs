//! The proof that a piece stays one piece.

use kurbo::Point;

use super::{CutError, opening::Opening, piece::Piece, shape::remaining};

/// Fails unless what remains of a piece hangs together.
///
/// # Errors
/// [`CutError::Loose`] when the piece less its openings is not exactly one shape.
pub(super) fn check(piece: &Piece) -> Result<(), CutError> {
    let openings: Vec<Vec<Point>> = piece.openings.iter().map(Opening::polygon).collect();
    let parts = remaining(&piece.shape, &openings);
    if parts.len() == 1 {
        return Ok(());
    }
    let smallest = parts.iter().min_by(|a, b| a.area().total_cmp(&b.area()));
    let near = smallest
        .and_then(|part| part.outer.first().copied())
        .unwrap_or_else(|| piece.shape.bounds().center());
    Err(CutError::Loose {
        label: piece.label.clone(),
        parts: parts.len(),
        near,
    })
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::*;
    use crate::{plan::corners, stencil::shape::united};

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
            Opening::Slot {
                from: Point::new(x0, middle),
                to: Point::new(x1, middle),
                width: y1 - y0,
                corner: 0.0,
            }
        };
        let sheet = corners(Rect::new(0.0, 0.0, 100.0, 100.0)).to_vec();
        let piece = Piece {
            label: "1".to_owned(),
            shape: united(&[sheet]).remove(0),
            openings: bars.into_iter().map(slot).collect(),
            scores: vec![],
            lettering: vec![],
        };
        let error = check(&piece).unwrap_err();
        assert!(matches!(error, CutError::Loose { parts: 2, .. }), "{error}");
    }
}
