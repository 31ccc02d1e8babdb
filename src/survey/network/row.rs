//! An observation's value at given places, and how it changes when its points move.

use kurbo::{Point, Vec2};

use super::Geometry;

/// Value in mm of what an observation measures, and its derivatives by the places of its points
/// (mm per mm), at most three points.
#[derive(Clone, Debug)]
pub struct DesignRow {
    /// The value at the given places.
    pub value: f64,
    /// Point index and derivative by its x and y.
    pub derivatives: Vec<(usize, Vec2)>,
}

/// As a [`DesignRow`], without a list of its own: a network has thousands, made anew at every step.
pub(super) struct Linear {
    /// The value at the given places.
    pub value: f64,
    derivatives: [(usize, Vec2); 3],
    count: usize,
}

impl Linear {
    fn of<const N: usize>(value: f64, by: [(usize, Vec2); N]) -> Self {
        let mut derivatives = [(0, Vec2::ZERO); 3];
        derivatives[..N].copy_from_slice(&by);
        Self {
            value,
            derivatives,
            count: N,
        }
    }

    /// Point index and derivative by its x and y.
    pub(super) fn derivatives(&self) -> &[(usize, Vec2)] {
        &self.derivatives[..self.count]
    }
}

impl Geometry {
    /// See [`DesignRow::at`].
    pub(super) fn linear_at(self, at: impl Fn(usize) -> Point) -> Option<Linear> {
        let direction = |from: usize, to: usize| {
            let across = at(to) - at(from);
            let length = across.hypot2().sqrt();
            (length > 0.0).then(|| (length, across / length))
        };
        Some(match self {
            Self::Distance { from, to } => {
                let (value, along) = direction(from, to)?;
                Linear::of(value, [(from, -along), (to, along)])
            }
            Self::Offset {
                mark,
                line: [start, end],
            } => {
                let (length, along) = direction(start, end)?;
                let (left, reach) = (Vec2::new(-along.y, along.x), at(mark) - at(start));
                let part = reach.dot(along) / length;
                Linear::of(
                    reach.dot(left),
                    [
                        (mark, left),
                        (start, left * (part - 1.0)),
                        (end, left * -part),
                    ],
                )
            }
            Self::X { point } => Linear::of(at(point).x, [(point, Vec2::new(1.0, 0.0))]),
            Self::Y { point } => Linear::of(at(point).y, [(point, Vec2::new(0.0, 1.0))]),
        })
    }
}

impl DesignRow {
    /// Linearises an observation at the places that `at` tells. `None` where points coincide that must
    /// not: a distance of nothing has no direction, a line through one point neither.
    ///
    /// Distance: d = |q − p|, ∂d/∂q = (q − p)/d. Offset of m from the line a → b: h = (b − a) × (m − a)/|b − a|;
    /// with the unit vector n to the left of the line and t = ((m − a)·(b − a))/|b − a|², the part of the way from a to
    /// the foot of the perpendicular, ∂h/∂m = n, ∂h/∂a = −(1 − t) n, ∂h/∂b = −t n (elementary geometry).
    #[must_use]
    pub fn at(geometry: Geometry, at: impl Fn(usize) -> Point) -> Option<Self> {
        let linear = geometry.linear_at(at)?;
        Some(Self {
            value: linear.value,
            derivatives: linear.derivatives().to_vec(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLACES: [Point; 3] = [
        Point::new(100.0, -40.0),
        Point::new(-900.0, 700.0),
        Point::new(350.0, 420.0),
    ];
    const KINDS: [Geometry; 4] = [
        Geometry::Distance { from: 0, to: 1 },
        Geometry::Offset {
            mark: 2,
            line: [0, 1],
        },
        Geometry::X { point: 1 },
        Geometry::Y { point: 1 },
    ];

    #[test]
    fn derivatives_are_what_small_movements_do() {
        const STEP: f64 = 1e-3;
        for geometry in KINDS {
            let row = DesignRow::at(geometry, |index| PLACES[index]).unwrap();
            for moved in 0..3 {
                let given = row
                    .derivatives
                    .iter()
                    .find(|(index, _)| *index == moved)
                    .map_or(Vec2::ZERO, |(_, d)| *d);
                for (axis, expected) in [
                    (Vec2::new(STEP, 0.0), given.x),
                    (Vec2::new(0.0, STEP), given.y),
                ] {
                    let value = |sign: f64| {
                        let place = |index| {
                            PLACES[index]
                                + if index == moved {
                                    axis * sign
                                } else {
                                    Vec2::ZERO
                                }
                        };
                        DesignRow::at(geometry, place).unwrap().value
                    };
                    let found = (value(1.0) - value(-1.0)) / (2.0 * STEP);
                    assert!(
                        (found - expected).abs() < 1e-6,
                        "{geometry:?} by {moved}: {found} not {expected}"
                    );
                }
            }
        }
    }

    #[test]
    fn an_offset_is_positive_to_the_left_of_its_line() {
        let places = [
            Point::ORIGIN,
            Point::new(3000.0, 0.0),
            Point::new(1000.0, 250.0),
        ];
        let row = DesignRow::at(
            Geometry::Offset {
                mark: 2,
                line: [0, 1],
            },
            |index| places[index],
        )
        .unwrap();
        assert_eq!(row.value, 250.0);
        let row = DesignRow::at(
            Geometry::Offset {
                mark: 2,
                line: [1, 0],
            },
            |index| places[index],
        )
        .unwrap();
        assert_eq!(row.value, -250.0);
    }

    #[test]
    fn points_at_one_place_have_no_distance_to_work_with() {
        assert!(DesignRow::at(Geometry::Distance { from: 0, to: 1 }, |_| Point::ORIGIN).is_none());
        assert!(
            DesignRow::at(
                Geometry::Offset {
                    mark: 2,
                    line: [0, 1]
                },
                |_| Point::ORIGIN
            )
            .is_none()
        );
    }
}
