//! The rigid motion that lays one set of points best onto another.

use kurbo::{Affine, Point, Vec2};

/// A turn and a shift: no scale, no reflection.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RigidFit {
    /// Turn counter-clockwise, radians.
    pub turn: f64,
    /// Where the origin goes, mm.
    pub shift: Vec2,
}

impl RigidFit {
    /// The motion that takes the first points of the pairs nearest to the second ones, by the sum of squared
    /// distances. With both sets about their middles, the turn is the angle of Σ p·q and Σ p×q (the planar case of the
    /// orthogonal Procrustes problem without reflection; Umeyama 1991 gives the general one). `None` without pairs; a
    /// single pair, or pairs at one place, only shift.
    #[must_use]
    pub fn of(pairs: &[(Point, Point)]) -> Option<Self> {
        let count = pairs.len() as f64;
        let middle = |of: fn(&(Point, Point)) -> Point| {
            pairs
                .iter()
                .fold(Vec2::ZERO, |sum, pair| sum + of(pair).to_vec2() / count)
                .to_point()
        };
        if pairs.is_empty() {
            return None;
        }
        let (from, to) = (middle(|pair| pair.0), middle(|pair| pair.1));
        let (dot, cross) = pairs.iter().fold((0.0, 0.0), |(dot, cross), (p, q)| {
            let (p, q) = (*p - from, *q - to);
            (dot + p.dot(q), cross + p.cross(q))
        });
        let turn = cross.atan2(dot);
        let shift = to - Affine::rotate(turn) * from;
        Some(Self { turn, shift })
    }

    /// Where a point goes.
    #[must_use]
    pub fn apply(&self, point: Point) -> Point {
        self.affine() * point
    }

    /// Where a point came from.
    #[must_use]
    pub fn undo(&self, point: Point) -> Point {
        self.affine().inverse() * point
    }

    fn affine(&self) -> Affine {
        Affine::translate(self.shift) * Affine::rotate(self.turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reflection_that_would_fit_exactly_is_not_chosen() {
        // Points from Umeyama 1991; turn, shift and sum of squares of the fit without scale computed with numpy.
        let pairs = [
            ((0.0, 0.0), (0.0, 0.0)),
            ((1.0, 0.0), (-1.0, 0.0)),
            ((0.0, 2.0), (0.0, 2.0)),
        ];
        let pairs = pairs.map(|(p, q)| (Point::from(p), Point::from(q)));
        let fit = RigidFit::of(&pairs).unwrap();
        assert!((fit.turn.to_degrees() + 33.690_068).abs() < 1e-6);
        assert!((fit.shift - Vec2::new(-0.980_484, 0.296_866)).hypot() < 1e-6);
        let squares: f64 = pairs
            .iter()
            .map(|(p, q)| fit.apply(*p).distance_squared(*q))
            .sum();
        assert!((squares - 1.859_265).abs() < 1e-6);
        assert!(
            pairs
                .iter()
                .all(|(p, _)| fit.undo(fit.apply(*p)).distance(*p) < 1e-12)
        );
    }
}
