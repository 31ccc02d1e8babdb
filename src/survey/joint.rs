//! Two pieces laid on each other by two marks.

use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

use kurbo::{Point, Vec2};

/// Two marks nearer than this hold no direction, mm: they are one place.
const LEAST_BASELINE_MM: f64 = 10.0;

/// A joint between two sheets: both show the same two marks, and the second sheet is laid so that its
/// marks fall on those of the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    marks: [Point; 2],
}

impl Joint {
    /// A joint from the floor places of its two marks, mm; `None` when they are less than 10 mm apart.
    #[must_use]
    pub fn between(first: Point, second: Point) -> Option<Self> {
        (first.distance(second) >= LEAST_BASELINE_MM).then_some(Self {
            marks: [first, second],
        })
    }

    /// The point half-way between the marks.
    #[must_use]
    pub fn middle(&self) -> Point {
        self.marks[0].midpoint(self.marks[1])
    }

    /// Distance of the marks, mm.
    #[must_use]
    pub fn baseline(&self) -> f64 {
        self.marks[0].distance(self.marks[1])
    }

    /// What laying both marks with `sd` mm in each direction does to `point` on the second sheet: its
    /// shift along x, its shift along y, and its turn, three independent effects in mm.
    ///
    /// A sheet is stiff, so it comes to lie as the best fit to both marks. Its middle takes the mean of
    /// the two errors, σ/√2 in each direction; its turn is the difference of the two errors across the
    /// baseline over the baseline's length, √2 σ/b, and acts on the lever arm from the middle of the
    /// joint to the point. Mean and difference of two equal independent errors are uncorrelated.
    #[must_use]
    pub fn effects(&self, sd: f64, point: Point) -> [Vec2; 3] {
        let shift = sd * FRAC_1_SQRT_2;
        let turn = sd * SQRT_2 / self.baseline();
        let arm = point - self.middle();
        [
            Vec2::new(shift, 0.0),
            Vec2::new(0.0, shift),
            Vec2::new(-arm.y, arm.x) * turn,
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_one_of_its_marks_a_joint_is_as_good_as_that_mark_was_laid() {
        let joint = Joint::between(Point::new(100.0, -70.0), Point::new(100.0, 70.0)).unwrap();
        let effects = joint.effects(0.3, Point::new(100.0, 70.0));
        // Across the baseline: σ²/2 + (√2 σ/b · b/2)² = σ²; along it both marks share the error: σ²/2.
        let variance =
            |part: fn(&Vec2) -> f64| effects.iter().map(part).map(|e| e * e).sum::<f64>();
        assert!((variance(|e| e.x) - 0.09).abs() < 1e-12);
        assert!((variance(|e| e.y) - 0.045).abs() < 1e-12);
    }

    #[test]
    fn marks_at_one_place_are_no_joint() {
        assert!(Joint::between(Point::ORIGIN, Point::new(0.0, 5.0)).is_none());
        assert!(Joint::between(Point::ORIGIN, Point::new(0.0, 15.0)).is_some());
    }
}
