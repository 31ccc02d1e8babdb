//! From a layout to a stencil.

use kurbo::{Point, Rect};

use super::{
    CutError, CutOptions, CutPlan, Piece,
    bed::Bed,
    joints::Joints,
    marks::cut_marks,
    opening::Opening,
    outline::Notches,
    pens::cut_panels,
    score::{scores, within},
    strips::{cut_strips, strips},
    whole,
};
use crate::plan::FloorPlan;

/// Material beyond everything that is cut, mm.
const RIM_MM: f64 = 50.0;

/// Material beyond everything that is cut, besides a bridge, mm: alignment notches and a mark's pad
/// find room in it.
const RIM_BESIDE_BRIDGE_MM: f64 = 30.0;

/// Makes the stencil of a layout: a mat over its extent and a rim, divided into pieces where the
/// material is smaller (or the mat larger than [`super::LARGEST_PIECE_MM`]).
///
/// Slots have the tape strips' width and stop before marks and crossings, where the pad between
/// them holds the mark's centre hole. Bridges divide slots evenly, never further apart than asked.
/// What cannot be cut as wanted is told in [`CutPlan::notes`]; nothing is left out silently.
///
/// # Errors
/// [`CutError`] when options are out of range or do not go with the strips, when no joints can be
/// found, or when a piece would not be one piece (which the placing of openings excludes).
pub fn cut(plan: &FloorPlan, options: &CutOptions) -> Result<CutPlan, CutError> {
    let widths = plan.lines.iter().map(|line| line.width);
    options.check(widths.reduce(f64::min))?;
    let Some(first) = plan.marks.first() else {
        return Err(CutError::Nothing);
    };
    let rim = RIM_MM.max(options.bridge + RIM_BESIDE_BRIDGE_MM);
    let extent = plan.extent_with(Rect::from_points(first.at, first.at));
    // The centreline is always on the mat: two marks lie on it.
    let mat = extent.inflate(rim, rim);
    let strips = strips(plan);
    let joints = Joints::divide(mat, plan, &strips, options)?;
    let mut bed = Bed::new(options);
    let mut notes = cut_marks(&mut bed, plan, options);
    notes.extend(cut_strips(&mut bed, &strips, plan, &joints, options));
    notes.extend(cut_panels(&mut bed, plan, &joints, options));
    let scores = scores(mat, plan, &bed);
    let notches = Notches::set(mat, plan, &joints, &bed, &scores);
    notes.extend(notches.notes.iter().cloned());
    let openings = bed.into_openings();
    let grid = (joints.ys.len() - 1, joints.xs.len() - 1);
    let piece = |(row, column): (usize, usize)| {
        let y = grid.0 - 1 - row;
        let area = Rect::new(
            joints.xs[column],
            joints.ys[y],
            joints.xs[column + 1],
            joints.ys[y + 1],
        );
        Piece {
            label: (row * grid.1 + column + 1).to_string(),
            cell: (row, column),
            area,
            outline: notches.outline(area),
            openings: openings
                .iter()
                .filter(|opening| holds(area, opening))
                .cloned()
                .collect(),
            scores: scores
                .iter()
                .filter_map(|line| within(*line, area))
                .collect(),
        }
    };
    let cells = (0..grid.0).flat_map(|row| (0..grid.1).map(move |column| (row, column)));
    let pieces: Vec<Piece> = cells.map(piece).collect();
    pieces.iter().try_for_each(whole::check)?;
    Ok(CutPlan {
        mat,
        pieces,
        grid,
        options: options.clone(),
        notes,
    })
}

fn holds(area: Rect, opening: &Opening) -> bool {
    let Point { x, y } = opening.middle();
    (area.x0..area.x1).contains(&x) && (area.y0..area.y1).contains(&y)
}
