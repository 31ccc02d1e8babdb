//! Where tape strips end on one another.

use kurbo::{Point, Vec2};

use super::model::Line;
use crate::{template::StripEnds, units::SAME_TAPED_MM};

/// Sine of the least angle at which a strip ends on another, 30°: at a sharper one it goes on beside it.
const LEAST_SINE: f64 = 0.5;

/// Lets strips with square ends run through to the outer edge of the strips that they end on. `marks` are their places
/// on the floor.
pub(super) fn run_through(lines: &mut [Line], marks: &[Point]) {
    let axes: Vec<Axis> = lines.iter().map(|line| Axis::of(line, marks)).collect();
    for (index, line) in lines.iter_mut().enumerate() {
        if line.ends == StripEnds::AtMark {
            continue;
        }
        let along = axes[index].along;
        for (end, (mark, outward)) in [(line.from, -along), (line.to, along)]
            .into_iter()
            .enumerate()
        {
            line.past[end] = axes
                .iter()
                .filter_map(|other| other.to_outer_edge(marks[mark], outward))
                .fold(line.past[end], f64::max);
        }
    }
}

/// A strip between its marks.
struct Axis {
    from: Point,
    /// Unit vector towards its end.
    along: Vec2,
    length: f64,
    width: f64,
}

impl Axis {
    fn of(line: &Line, marks: &[Point]) -> Self {
        let (from, to) = (marks[line.from], marks[line.to]);
        Self {
            from,
            along: (to - from).normalize(),
            length: from.distance(to),
            width: line.width,
        }
    }

    /// Distance in mm from a point on this strip to the edge where it is left in the direction of a unit vector; `None`
    /// off the strip, and where the direction runs along it.
    fn to_outer_edge(&self, end: Point, outward: Vec2) -> Option<f64> {
        let left = Vec2::new(-self.along.y, self.along.x);
        let sine = left.dot(outward);
        let across = left.dot(end - self.from) * sine.signum();
        let on = across.abs() <= self.width / 2.0 + SAME_TAPED_MM
            && (-SAME_TAPED_MM..=self.length + SAME_TAPED_MM)
                .contains(&self.along.dot(end - self.from));
        (on && sine.abs() >= LEAST_SINE).then(|| (self.width / 2.0 - across).max(0.0) / sine.abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(from: usize, to: usize, width: f64, ends: StripEnds) -> Line {
        Line {
            ends,
            ..Line::new(from, to, width)
        }
    }

    /// What two strips run past their marks by.
    fn past(marks: &[(f64, f64)], mut lines: [Line; 2]) -> [[f64; 2]; 2] {
        let marks: Vec<Point> = marks.iter().copied().map(Point::from).collect();
        run_through(&mut lines, &marks);
        lines.map(|line| line.past)
    }

    const CORNER: [(f64, f64); 3] = [(1000.0, 0.0), (0.0, 0.0), (0.0, 1000.0)];

    #[test]
    fn two_strips_of_a_corner_run_to_each_others_outer_edge() {
        let (square, at_mark) = (StripEnds::Square, StripEnds::AtMark);
        let lines = |one, other| [line(0, 1, 50.0, one), line(1, 2, 30.0, other)];
        assert_eq!(
            past(&CORNER, lines(square, square)),
            [[0.0, 15.0], [25.0, 0.0]]
        );
        assert_eq!(
            past(&CORNER, lines(at_mark, square)),
            [[0.0, 0.0], [25.0, 0.0]]
        );
        assert_eq!(past(&CORNER, lines(at_mark, at_mark)), [[0.0; 2]; 2]);
    }

    #[test]
    fn a_strip_that_ends_on_the_run_of_another_crosses_its_width_and_the_other_keeps_its_ends() {
        let marks = [(-500.0, 0.0), (500.0, 0.0), (0.0, 0.0), (0.0, 400.0)];
        let lines = [
            line(0, 1, 50.0, StripEnds::Square),
            line(2, 3, 30.0, StripEnds::Square),
        ];
        assert_eq!(past(&marks, lines), [[0.0; 2], [25.0, 0.0]]);
    }

    #[test]
    fn a_strip_that_goes_on_in_the_direction_of_another_ends_at_their_mark() {
        let marks = [(0.0, 0.0), (500.0, 0.0), (1000.0, 100.0)];
        let lines = [
            line(0, 1, 50.0, StripEnds::Square),
            line(1, 2, 50.0, StripEnds::Square),
        ];
        assert_eq!(past(&marks, lines), [[0.0; 2]; 2]);
    }

    #[test]
    fn at_a_slant_the_middle_of_the_end_lies_on_the_outer_edge() {
        // 45°: half of 50 mm over sin 45°.
        let marks = [(-500.0, 0.0), (500.0, 0.0), (0.0, 0.0), (300.0, 300.0)];
        let lines = [
            line(0, 1, 50.0, StripEnds::Square),
            line(2, 3, 20.0, StripEnds::Square),
        ];
        let [_, [start, end]] = past(&marks, lines);
        assert!((start - 25.0 * 2_f64.sqrt()).abs() < 1e-9 && end == 0.0);
    }
}
