//! Places of points relative to others: the same adjustment seen in another datum.

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, Matrix2, Matrix3, Vector3};

use super::Adjustment;
use crate::survey::Covariance;

impl Adjustment {
    /// Covariance of a rigid fit over the points of `datum`, by shift along x (mm), shift along y (mm) and turn
    /// (radians) about `pivot`. `None` where these points lie at one place.
    #[must_use]
    pub fn fit_covariance(&self, datum: &[usize], pivot: Point) -> Option<Matrix3<f64>> {
        let fit = Fit::over(self, datum, pivot)?;
        let mut sum = Matrix3::zeros();
        for (row, &one) in datum.iter().enumerate() {
            for (column, &other) in datum.iter().enumerate() {
                sum += fit.weight(row) * self.block(one, other) * fit.weight(column).transpose();
            }
        }
        Some(sum)
    }

    /// Covariance of how far each of `points` lies from where the points of `datum` would have it, after their best
    /// rigid fit: K Q Kᵀ with K = I − B W, where B is what the three parameters of the fit do to a point and W gets them
    /// from the datum's points (the S-transformation of Baarda 1973). `None` where the datum's points lie at one place.
    #[must_use]
    pub fn relative_covariances(
        &self,
        points: &[usize],
        datum: &[usize],
    ) -> Option<Vec<Covariance>> {
        let pivot = self.middle(datum);
        let fit = Fit::over(self, datum, pivot)?;
        let shared = self.fit_covariance(datum, pivot)?;
        let one = |&point: &usize| {
            let motion = motion(self.places[point] - pivot);
            let mut with_fit = nalgebra::Matrix2x3::zeros();
            for (row, &other) in datum.iter().enumerate() {
                with_fit += self.block(point, other) * fit.weight(row).transpose();
            }
            let mixed = with_fit * motion.transpose();
            let sum = self.block(point, point) - mixed - mixed.transpose()
                + motion * shared * motion.transpose();
            Covariance::new(sum[(0, 0)].max(0.0), sum[(0, 1)], sum[(1, 1)].max(0.0))
        };
        Some(points.iter().map(one).collect())
    }

    fn block(&self, one: usize, other: usize) -> Matrix2<f64> {
        let [[xx, xy], [yx, yy]] = self.cross_covariance(one, other);
        Matrix2::new(xx, xy, yx, yy)
    }

    fn middle(&self, points: &[usize]) -> Point {
        let count = points.len().max(1) as f64;
        points
            .iter()
            .fold(Vec2::ZERO, |sum, &point| {
                sum + self.places[point].to_vec2() / count
            })
            .to_point()
    }
}

/// What a shift along x, along y and a turn do to a point `arm` away from the pivot.
fn motion(arm: Vec2) -> nalgebra::Matrix2x3<f64> {
    nalgebra::Matrix2x3::new(1.0, 0.0, -arm.y, 0.0, 1.0, arm.x)
}

/// The least-squares weights that get the three parameters from points' movements: (BᵀB)⁻¹Bᵀ.
struct Fit {
    weights: DMatrix<f64>,
}

impl Fit {
    fn over(adjustment: &Adjustment, datum: &[usize], pivot: Point) -> Option<Self> {
        let motions: Vec<_> = datum
            .iter()
            .map(|&point| motion(adjustment.places[point] - pivot))
            .collect();
        let normal: Matrix3<f64> = motions
            .iter()
            .map(|motion| motion.transpose() * motion)
            .sum();
        // Shifts are of the order 1 and turns of an arm squared: scaled so that the inverse is safe.
        let arm = normal[(2, 2)].max(f64::MIN_POSITIVE).sqrt();
        let scale = Matrix3::from_diagonal(&Vector3::new(1.0, 1.0, 1.0 / arm));
        let inverse = scale * (scale * normal * scale).try_inverse()? * scale;
        let weights: Vec<_> = motions
            .iter()
            .map(|motion| inverse * motion.transpose())
            .collect();
        let weights = DMatrix::from_fn(3, 2 * datum.len(), |row, column| {
            weights[column / 2][(row, column % 2)]
        });
        Some(Self { weights })
    }

    fn weight(&self, index: usize) -> nalgebra::Matrix3x2<f64> {
        self.weights.fixed_view::<3, 2>(0, 2 * index).into_owned()
    }
}
