//! Marks on one straight line.

use std::collections::BTreeSet;

use kurbo::Point;

use super::figures::ON_LINE_MM;
use crate::units::ROUND_OFF;

/// All maximal sets of marks on one straight line, two marks included: each from its foremost mark on, of marks side by side
/// the leftmost first.
pub(super) fn runs(places: &[Point]) -> Vec<Vec<usize>> {
    let mut known = BTreeSet::new();
    let mut runs = Vec::new();
    for second in 0..places.len() {
        for first in 0..second {
            if places[first] == places[second] || known.contains(&(first, second)) {
                continue;
            }
            let run = on_line(places, [first, second]);
            for (index, &b) in run.iter().enumerate() {
                known.extend(run[..index].iter().map(|&a| (a.min(b), a.max(b))));
            }
            runs.push(run);
        }
    }
    runs
}

fn on_line(places: &[Point], [first, second]: [usize; 2]) -> Vec<usize> {
    let along = (places[second] - places[first]).normalize();
    let beside = |mark: &usize| along.cross(places[*mark] - places[first]).abs();
    let mut run: Vec<usize> = (0..places.len())
        .filter(|mark| beside(mark) <= ON_LINE_MM)
        .collect();
    // Foremost first; across the vehicle x is the same for all but for rounding, and the left counts.
    let backward = if along.x.abs() < ROUND_OFF {
        along * -along.y.signum()
    } else {
        along * -along.x.signum()
    };
    run.sort_by(|&a, &b| {
        backward
            .dot(places[a].to_vec2())
            .total_cmp(&backward.dot(places[b].to_vec2()))
    });
    run
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_of_a_grid_make_runs_along_across_and_obliquely() {
        // Three rows of three, 1 m apart: 3 rows, 3 columns, 2 long diagonals, and the 12 pairs that share no run of
        // three: 36 pairs in all = 8 runs of 3 pairs + 12.
        let places: Vec<Point> = (0..9)
            .map(|mark| {
                Point::new(
                    -1000.0 * f64::from(mark / 3),
                    1000.0 - 1000.0 * f64::from(mark % 3),
                )
            })
            .collect();
        let found = runs(&places);
        let long: Vec<&Vec<usize>> = found.iter().filter(|run| run.len() == 3).collect();
        assert_eq!((found.len(), long.len()), (20, 8));
        // From the foremost, across from the left.
        for run in [[0, 1, 2], [0, 3, 6], [0, 4, 8], [2, 4, 6]] {
            assert!(
                found.iter().any(|one| one[..] == run),
                "{run:?} in {found:?}"
            );
        }
    }
}
