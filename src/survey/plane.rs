//! The plane that lies best in a floor's heights.

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector};

use super::{LinearFit, propagate};

/// Points whose places are this near to one line, root mean square in mm, hold no slope across it: about what
/// a staff's foot may stand beside its mark.
const LEAST_BREADTH_MM: f64 = 10.0;

/// Fewest points that a plane goes through.
const FEWEST_POINTS: usize = 3;

/// Slopes below this, mm per metre, fall in no direction: a micrometre on ten metres.
const LEVEL_PER_METRE: f64 = 1e-4;

const MM_PER_METRE: f64 = 1000.0;

/// A height on the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelPoint {
    /// Name of the mark, wheel or point.
    pub name: String,
    /// Place on the floor, mm, x forward and y left.
    pub at: Point,
    /// Height in mm, upwards, over any level.
    pub height: f64,
}

/// Where a floor falls to, in the order of angles from forward to the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fall {
    Front,
    FrontLeft,
    Left,
    RearLeft,
    Rear,
    RearRight,
    Right,
    FrontRight,
}

impl Fall {
    /// All of them, an eighth of a turn from one to the next.
    const ALL: [Self; 8] = [
        Self::Front,
        Self::FrontLeft,
        Self::Left,
        Self::RearLeft,
        Self::Rear,
        Self::RearRight,
        Self::Right,
        Self::FrontRight,
    ];
}

/// Why heights make no plane.
#[derive(Clone, Debug, PartialEq)]
pub enum PlaneError {
    /// Fewer than three points.
    TooFew {
        /// How many there are.
        count: usize,
    },
    /// All points lie on one line, or nearly.
    InLine {
        /// Root mean square distance from the best line, mm.
        breadth: f64,
    },
}

impl std::error::Error for PlaneError {}

/// The plane z = a + b·x + c·y with the least sum of squared height differences from the points. Heights have one
/// precision; places are taken as free of error.
#[derive(Clone, Debug)]
pub struct Plane {
    /// Middle of the points, mm.
    pub middle: Point,
    /// Height of the plane there, mm: the mean of the heights.
    pub height: f64,
    /// The plane's slopes.
    pub slope: Slope,
    /// Height of each point over the plane, mm, in their order.
    pub deviations: Vec<f64>,
    /// Redundancy number of each height.
    pub redundancy: Vec<f64>,
    /// Points beyond three.
    pub dof: usize,
    /// Standard deviation in mm of one height as the deviations show it; `None` with three points.
    pub sigma0: Option<f64>,
}

impl Plane {
    /// Fits the plane.
    ///
    /// # Errors
    /// With fewer than three points, or with points on one line.
    pub fn fit(points: &[LevelPoint]) -> Result<Self, PlaneError> {
        let count = points.len();
        if count < FEWEST_POINTS {
            return Err(PlaneError::TooFew { count });
        }
        let middle =
            (points.iter().map(|point| point.at.to_vec2()).sum::<Vec2>() / count as f64).to_point();
        let breadth = breadth(points, middle);
        let in_line = PlaneError::InLine { breadth };
        if breadth < LEAST_BREADTH_MM {
            return Err(in_line);
        }
        // Places in metres about their middle: the slopes then come out in mm per metre, and the columns are alike.
        let design = DMatrix::from_fn(count, 3, |row, column| {
            let place = (points[row].at - middle) / MM_PER_METRE;
            [1.0, place.x, place.y][column]
        });
        let mean = points.iter().map(|point| point.height).sum::<f64>() / count as f64;
        let heights = DVector::from_iterator(count, points.iter().map(|point| point.height - mean));
        let fit = LinearFit::solve(&design, &heights).ok_or(in_line)?;
        Ok(Self {
            middle,
            height: mean + fit.parameters[0],
            slope: Slope {
                along: fit.parameters[1],
                across: fit.parameters[2],
                cofactors: fit.cofactors.view((1, 1), (2, 2)).into_owned(),
            },
            deviations: fit.residuals.iter().map(|residual| -residual).collect(),
            dof: fit.dof(),
            sigma0: fit.sigma0(),
            redundancy: fit.redundancy,
        })
    }

    /// Height of the plane at a place, mm.
    #[must_use]
    pub fn height_at(&self, place: Point) -> f64 {
        let arm = (place - self.middle) / MM_PER_METRE;
        self.height + self.slope.along * arm.x + self.slope.across * arm.y
    }

    /// The point that lies farthest from the plane, as index, with its deviation in mm.
    #[must_use]
    pub fn largest_deviation(&self) -> (usize, f64) {
        let by_size = |a: &(usize, f64), b: &(usize, f64)| {
            a.1.abs().total_cmp(&b.1.abs()).then(b.0.cmp(&a.0))
        };
        self.deviations
            .iter()
            .copied()
            .enumerate()
            .max_by(by_size)
            .expect("a plane has points")
    }
}

/// Root mean square distance in mm of the places from the line that fits them best: the smaller singular value of
/// their differences from the middle.
fn breadth(points: &[LevelPoint], middle: Point) -> f64 {
    let places = DMatrix::from_fn(points.len(), 2, |row, column| {
        let arm = points[row].at - middle;
        if column == 0 { arm.x } else { arm.y }
    });
    places.singular_values().min() / (points.len() as f64).sqrt()
}

/// How a plane slopes, mm per metre.
#[derive(Clone, Debug)]
pub struct Slope {
    /// Along x: positive when the floor rises forward.
    pub along: f64,
    /// Along y: positive when the floor rises to the left.
    pub across: f64,
    /// Covariance of both for heights with a standard deviation of 1 mm, 2 × 2, per square metre.
    cofactors: DMatrix<f64>,
}

/// Standard deviations of a [`Slope`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlopeDeviation {
    /// Of the slope along, mm per metre.
    pub along: f64,
    /// Of the slope across, mm per metre.
    pub across: f64,
    /// Of the greatest slope, mm per metre.
    pub steepest: f64,
    /// Of the direction in degrees; `None` where the slope is so small that its direction is not known.
    pub direction: Option<f64>,
}

impl Slope {
    /// The greatest slope in any direction, mm per metre, not negative.
    #[must_use]
    pub fn steepest(&self) -> f64 {
        self.along.hypot(self.across)
    }

    /// The greatest slope in percent.
    #[must_use]
    pub fn percent(&self) -> f64 {
        self.steepest() / MM_PER_METRE * 100.0
    }

    /// The direction in which the floor falls: degrees from forward, counter-clockwise seen from above (ISO 8855), so
    /// 90 is to the left, −90 to the right; `None` on a level floor.
    #[must_use]
    pub fn falls_towards(&self) -> Option<f64> {
        (self.steepest() > LEVEL_PER_METRE)
            .then(|| (0.0 - self.across).atan2(0.0 - self.along).to_degrees())
    }

    /// The direction in which the floor falls, to the nearest eighth of a turn.
    #[must_use]
    pub fn falls(&self) -> Option<Fall> {
        let eighth = (self.falls_towards()? / 45.0).round().rem_euclid(8.0);
        Some(Fall::ALL[eighth as usize % Fall::ALL.len()])
    }

    /// Standard deviations for heights of standard deviation `sd` mm.
    ///
    /// A slope smaller than its uncertainty has no direction along which to linearise; there the greatest deviation
    /// in any direction stands for that of the greatest slope.
    #[must_use]
    pub fn deviation(&self, sd: f64) -> SlopeDeviation {
        let covariance = &self.cofactors * (sd * sd);
        let worst = covariance.symmetric_eigenvalues().max().max(0.0).sqrt();
        let steepest = self.steepest();
        let (steepest_sd, direction) = if steepest > worst.max(LEVEL_PER_METRE) {
            let (b, c) = (self.along / steepest, self.across / steepest);
            let polar = DMatrix::from_row_slice(2, 2, &[b, c, -c / steepest, b / steepest]);
            let polar = propagate(&polar, &covariance);
            (
                polar[(0, 0)].sqrt(),
                Some(polar[(1, 1)].sqrt().to_degrees()),
            )
        } else {
            (worst, None)
        };
        SlopeDeviation {
            along: covariance[(0, 0)].sqrt(),
            across: covariance[(1, 1)].sqrt(),
            steepest: steepest_sd,
            direction,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(name: &str, x: f64, y: f64, height: f64) -> LevelPoint {
        LevelPoint {
            name: name.to_owned(),
            at: Point::new(x, y),
            height,
        }
    }

    /// A rectangle 4 m × 2 m whose middle is far from the origin, on the plane 100 + 2 mm/m · x − 1 mm/m · y.
    fn corners() -> Vec<LevelPoint> {
        let places = [
            ("1L", 7000.0, 1000.0),
            ("1R", 7000.0, -1000.0),
            ("2L", 3000.0, 1000.0),
            ("2R", 3000.0, -1000.0),
        ];
        places
            .map(|(name, x, y)| point(name, x, y, 100.0 + 0.002 * x - 0.001 * y))
            .to_vec()
    }

    #[test]
    fn heights_on_a_plane_give_its_slopes_and_no_deviation() {
        let plane = Plane::fit(&corners()).unwrap();
        assert!(
            (plane.slope.along - 2.0).abs() < 1e-12 && (plane.slope.across + 1.0).abs() < 1e-12
        );
        assert!((plane.slope.steepest() - 5.0_f64.sqrt()).abs() < 1e-12);
        assert!((plane.slope.percent() - 5.0_f64.sqrt() / 10.0).abs() < 1e-12);
        assert!(
            plane
                .deviations
                .iter()
                .all(|deviation| deviation.abs() < 1e-12)
        );
        assert_eq!((plane.middle, plane.dof), (Point::new(5000.0, 0.0), 1));
        assert!((plane.height_at(Point::ORIGIN) - 100.0).abs() < 1e-10);
    }

    #[test]
    fn a_corner_that_stands_out_shares_its_height_with_all_four() {
        let mut points = corners();
        points[0].height += 8.0;
        let plane = Plane::fit(&points).unwrap();
        // By symmetry the residuals of a rectangle's corners are a quarter of the height, with alternating signs.
        let expected = [2.0, -2.0, -2.0, 2.0];
        assert!(
            plane
                .deviations
                .iter()
                .zip(expected)
                .all(|(found, expected)| (found - expected).abs() < 1e-10)
        );
        assert!((plane.sigma0.unwrap() - 4.0).abs() < 1e-10);
        assert!(plane.redundancy.iter().all(|r| (r - 0.25).abs() < 1e-12));
    }

    #[test]
    fn the_slopes_deviations_are_those_of_a_rectangles_levers() {
        let plane = Plane::fit(&corners()).unwrap();
        let sd = plane.slope.deviation(0.5);
        // Σx² = 4 · 2² m², Σy² = 4 · 1² m²: sd over the root of each (elementary).
        assert!((sd.along - 0.5 / 4.0).abs() < 1e-12 && (sd.across - 0.5 / 2.0).abs() < 1e-12);
        // Along the unit vector (2, −1)/√5 and across it.
        let (cos, sin) = (2.0 / 5.0_f64.sqrt(), 1.0 / 5.0_f64.sqrt());
        assert!((sd.steepest - (cos * 0.125).hypot(sin * 0.25)).abs() < 1e-12);
        let turn = (sin * 0.125).hypot(cos * 0.25) / 5.0_f64.sqrt();
        assert!((sd.direction.unwrap() - turn.to_degrees()).abs() < 1e-10);
        let coarse = plane.slope.deviation(20.0);
        assert_eq!((coarse.steepest, coarse.direction), (coarse.across, None));
    }

    #[test]
    fn the_direction_of_fall_is_counted_from_forward_to_the_left() {
        let falls = |along, across| {
            let slope = Slope {
                along,
                across,
                cofactors: DMatrix::identity(2, 2),
            };
            (slope.falls_towards(), slope.falls())
        };
        for (along, across, degrees, way) in [
            (-1.0, 0.0, 0.0, Fall::Front),
            (0.0, -1.0, 90.0, Fall::Left),
            (0.0, 1.0, -90.0, Fall::Right),
            (1.0, 0.0, 180.0, Fall::Rear),
            (1.0, 1.0, -135.0, Fall::RearRight),
            (-1.0, 1.0, -45.0, Fall::FrontRight),
            (1.0, -1.0, 135.0, Fall::RearLeft),
            (1.0, 0.1, -174.289_406_862, Fall::Rear),
        ] {
            let (found, said) = falls(along, across);
            assert!(
                (found.unwrap() - degrees).abs() < 1e-6,
                "{along} {across}: {found:?}"
            );
            assert_eq!(said, Some(way));
        }
        assert_eq!(falls(0.0, 0.0), (None, None));
    }

    #[test]
    fn three_points_make_a_plane_without_a_check() {
        let plane = Plane::fit(&corners()[..3]).unwrap();
        assert_eq!((plane.dof, plane.sigma0), (0, None));
        assert!(
            plane
                .deviations
                .iter()
                .chain(&plane.redundancy)
                .all(|value| value.abs() < 1e-10)
        );
    }

    #[test]
    fn too_few_points_and_points_in_line_are_refused() {
        assert_eq!(
            Plane::fit(&corners()[..2]).unwrap_err(),
            PlaneError::TooFew { count: 2 }
        );
        let line: Vec<LevelPoint> = (0..6)
            .map(|k| point("", 900.0 * f64::from(k), 300.0 * f64::from(k), 1.0))
            .collect();
        assert!(matches!(Plane::fit(&line), Err(PlaneError::InLine { breadth }) if breadth < 1e-6));
        let same = vec![point("", 5.0, 5.0, 0.0); 4];
        assert!(matches!(Plane::fit(&same), Err(PlaneError::InLine { .. })));
        let mut nearly = line;
        nearly[0].at.y += 100.0;
        assert!(Plane::fit(&nearly).is_ok());
    }
}
