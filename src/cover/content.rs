//! What has to be on paper.

use kurbo::{Line, Point, Rect};

use crate::plan::{FloorPlan, bounds, corners};

/// Half side in mm of the square about a mark that one sheet or its neighbours must show: the 6 mm
/// centre hole with a little of the cross.
pub(super) const MARK_HALF_MM: f64 = 5.0;

/// Distance in mm that marks keep from the edges of cells where that costs no sheet: half the cross and
/// its name. A mark nearer to a seam is cut in two by it.
pub(super) const MARK_CLEARANCE_MM: f64 = 20.0;

/// A mark nearer to the centreline than this, mm, lies on it: nobody plumbs finer.
const ON_CENTRELINE_MM: f64 = 0.5;

/// Floor that sheets have to show, as convex polygons, in mm.
#[derive(Clone, Debug, Default)]
pub struct Content {
    /// Convex polygons: tape-strip bands, parts of panels, squares about marks.
    pub regions: Vec<Vec<Point>>,
    /// Marks, which had better not lie on a seam.
    pub marks: Vec<Point>,
    /// Tape strips.
    pub strips: Vec<Strip>,
    /// Convex parts of panels.
    pub patches: Vec<Vec<Point>>,
    /// The marks again with their names, in the order of setting out.
    pub keys: Vec<Key>,
}

/// A tape strip as content.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Its middle, mm.
    pub axis: Line,
    /// Its width, mm.
    pub width: f64,
}

/// A mark that is to get a stencil of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Key {
    /// The mark's name.
    pub name: String,
    /// Its place on the floor, mm.
    pub at: Point,
}

impl Content {
    /// Everything a floor plan puts on the floor.
    #[must_use]
    pub fn of(plan: &FloorPlan) -> Self {
        let strips: Vec<Strip> = plan
            .lines
            .iter()
            .map(|line| Strip {
                axis: plan.middle_line(line),
                width: line.width,
            })
            .collect();
        let bands = plan.lines.iter().map(|line| plan.band(line).to_vec());
        let patches: Vec<Vec<Point>> = plan
            .panels
            .iter()
            .flat_map(|panel| plan.panel_parts(panel))
            .collect();
        let marks: Vec<Point> = plan.marks.iter().map(|mark| mark.at).collect();
        let squares = marks.iter().map(|at| {
            corners(Rect::from_center_size(
                *at,
                (2.0 * MARK_HALF_MM, 2.0 * MARK_HALF_MM),
            ))
            .to_vec()
        });
        let keys = setting_out(plan)
            .into_iter()
            .map(|index| &plan.marks[index]);
        let keys = keys
            .map(|mark| Key {
                name: mark.id.clone(),
                at: mark.at,
            })
            .collect();
        Self {
            regions: bands.chain(patches.clone()).chain(squares).collect(),
            marks,
            strips,
            patches,
            keys,
        }
    }

    /// The two marks that the tapes start from.
    pub(super) fn base(&self) -> Vec<Point> {
        self.keys.iter().take(2).map(|key| key.at).collect()
    }

    /// The outermost marks beside the centreline, front ones first: the corners of the layout.
    pub(super) fn corners(&self) -> Vec<Point> {
        let beside = || self.marks.iter().filter(|at| at.y.abs() > ON_CENTRELINE_MM);
        let outermost = |(x, y): (f64, f64)| {
            let out = |at: &Point| x * at.x + y * at.y;
            beside().max_by(|a, b| out(a).total_cmp(&out(b))).copied()
        };
        [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)]
            .into_iter()
            .filter_map(outermost)
            .collect()
    }

    /// Width of a floor plan's widest tape strip, mm; 0 without any.
    #[must_use]
    pub fn widest_line(plan: &FloorPlan) -> f64 {
        plan.lines.iter().map(|line| line.width).fold(0.0, f64::max)
    }
}

/// The marks in the order of setting out: the two that the tapes start from, the others on the
/// centreline, then the rest, each lot in the plan's order.
fn setting_out(plan: &FloorPlan) -> Vec<usize> {
    let lot = |index: usize| match plan.tape_base.iter().position(|base| *base == index) {
        Some(base) => base,
        None if plan.marks[index].at.y.abs() < ON_CENTRELINE_MM => 2,
        None => 3,
    };
    let mut order: Vec<usize> = (0..plan.marks.len()).collect();
    order.sort_by_key(|index| lot(*index));
    order
}

/// True when a convex polygon and a rectangle share more than a boundary (separating axes: the
/// rectangle's sides and the polygon's edges). The corners may run either way round.
pub(super) fn meets(polygon: &[Point], rect: Rect) -> bool {
    let around = bounds(polygon);
    if around.x1 <= rect.x0 || around.x0 >= rect.x1 || around.y1 <= rect.y0 || around.y0 >= rect.y1
    {
        return false;
    }
    let rect = corners(rect);
    let edges =
        || (0..polygon.len()).map(|index| (polygon[index], polygon[(index + 1) % polygon.len()]));
    let turn: f64 = edges().map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum();
    edges().all(|(a, b)| {
        rect.iter()
            .any(|corner| (b - a).cross(*corner - a) * turn > 0.0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slanting_band_does_not_meet_a_cell_that_only_its_bounds_meet() {
        let band: Vec<Point> = [(0.0, 0.0), (1.0, -1.0), (101.0, 99.0), (100.0, 100.0)]
            .into_iter()
            .map(Point::from)
            .collect();
        assert!(meets(&band, Rect::new(40.0, 40.0, 60.0, 60.0)));
        assert!(!meets(&band, Rect::new(60.0, 0.0, 100.0, 40.0)));
        assert!(!meets(&band, Rect::new(101.0, 0.0, 200.0, 200.0)));
    }
}
