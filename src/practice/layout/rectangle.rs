//! Marks left and right that mirror each other, and the rectangles that two such pairs make.

use kurbo::Point;

use crate::{plan::Mark, units::SAME_DRAWN_MM};

/// Sides of a rectangle are at least this long, mm: shorter ones show nothing of an angle, and little of a slope.
const LEAST_SIDE_MM: f64 = 1000.0;

/// True for two places that are each other's image in the centreline, within `near` mm along and across.
pub(in crate::practice) fn mirrors(one: Point, other: Point, near: f64) -> bool {
    (one.x - other.x).abs() < near && (one.y + other.y).abs() < near
}

/// All rectangles of four marks that lie square to the centreline: front left, front right, rear left and rear right mark; the
/// foremost first.
pub(in crate::practice) fn rectangles(marks: &[Mark]) -> Vec<[usize; 4]> {
    let at = |mark: usize| marks[mark].at;
    let all = (0..marks.len()).flat_map(|left| (0..marks.len()).map(move |right| [left, right]));
    let mut pairs: Vec<[usize; 2]> = all
        .filter(|&[left, right]| {
            2.0 * at(left).y >= LEAST_SIDE_MM && mirrors(at(left), at(right), SAME_DRAWN_MM)
        })
        .collect();
    pairs.sort_by(|a, b| at(b[0]).x.total_cmp(&at(a[0]).x).then(a.cmp(b)));
    let mut found = Vec::new();
    for (index, &[front, right]) in pairs.iter().enumerate() {
        let behind = |rear: usize| {
            let side = at(front) - at(rear);
            side.y.abs() < SAME_DRAWN_MM && side.x >= LEAST_SIDE_MM
        };
        let rear = pairs[index + 1..].iter().filter(|pair| behind(pair[0]));
        found.extend(rear.map(|pair| [front, right, pair[0], pair[1]]));
    }
    found
}
