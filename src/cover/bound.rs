//! A quick number that no placement of sheets goes below, to refuse what nobody could lay before any
//! search begins. `free` proves a better one.
//!
//! If a set of floor points all have to be shown and no sheet can show two of them, then at least
//! as many sheets are needed as the set has points, wherever sheets lie. Whether two points fit on
//! one sheet depends on their distances along and across alone, so the bound holds for sheets at
//! any position, on a grid or off it, as long as their edges run along and across the vehicle. The
//! set is picked greedily, so the bound is true but not the best of its kind.

use kurbo::Point;

use super::{Content, SheetFormat};

/// Distance in mm between the points that are tried along a region: fine against a sheet, so that
/// little is lost by trying no others.
const STEP_MM: f64 = 5.0;

/// Points must lie this much further apart than a window to be called apart, mm; keeps rounding
/// from making the bound a false one.
const CLEARANCE_MM: f64 = 1e-6;

/// A number of sheets that no placement with edges along and across the vehicle can go below.
pub(super) fn lower_bound(content: &Content, format: &SheetFormat) -> usize {
    let window = format.printable();
    let long = window.width().max(window.height());
    let short = window.width().min(window.height());
    let share_a_sheet = |a: Point, b: Point| {
        let (along, across) = ((a.x - b.x).abs(), (a.y - b.y).abs());
        along.max(across) <= long + CLEARANCE_MM && along.min(across) <= short + CLEARANCE_MM
    };
    let mut apart: Vec<Point> = Vec::new();
    for region in &content.regions {
        for point in along_diameter(region) {
            if !apart.iter().any(|other| share_a_sheet(*other, point)) {
                apart.push(point);
            }
        }
    }
    apart.len()
}

/// Points of a convex region along the straight line between its two corners farthest apart.
fn along_diameter(region: &[Point]) -> impl Iterator<Item = Point> {
    let pairs = region
        .iter()
        .enumerate()
        .flat_map(|(i, a)| region[i..].iter().map(move |b| (*a, *b)));
    let (from, to) = pairs
        .max_by(|(a, b), (c, d)| a.distance_squared(*b).total_cmp(&c.distance_squared(*d)))
        .unwrap_or((Point::ZERO, Point::ZERO));
    let steps = (from.distance(to) / STEP_MM).ceil() as usize;
    (0..=steps).map(move |step| {
        from.lerp(
            to,
            if steps == 0 {
                0.0
            } else {
                step as f64 / steps as f64
            },
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::{Correction, Margins, Paper};

    #[test]
    fn a_straight_line_needs_its_length_over_the_longer_window_side() {
        let format = SheetFormat {
            paper: Paper {
                name: "test".into(),
                width: 220.0,
                height: 325.0,
            },
            margins: Margins::default(),
            overlap: 10.0,
            correction: Correction::default(),
        };
        // Windows of 200 × 300 mm over a line of 1 m: at least 1000 / 300 → 4.
        let line = [(0.0, 0.0), (0.0, 1.0), (1000.0, 1.0), (1000.0, 0.0)]
            .into_iter()
            .map(Point::from)
            .collect();
        let content = Content {
            regions: vec![line],
            ..Content::default()
        };
        assert_eq!(lower_bound(&content, &format), 4);
    }
}
