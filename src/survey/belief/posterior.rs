//! Unknowns and their covariance from all rows of a model.

use kurbo::Vec2;
use nalgebra::{DMatrix, DVector};

use super::Model;
use crate::survey::{Covariance, network::Factor};

/// The solution of a model as its rows stand: x = Q Aᵀ P l with Q = (AᵀPA)⁻¹, the mean and covariance of the unknowns for
/// normal errors (least squares; the promises make Q exist whatever was read).
#[derive(Clone, Debug)]
pub(in crate::survey) struct Posterior {
    /// Mean of the unknowns.
    pub mean: DVector<f64>,
    /// Their covariance.
    pub covariance: DMatrix<f64>,
}

impl Posterior {
    /// The posterior of a model.
    pub(in crate::survey) fn of(model: &Model) -> Self {
        let count = model.columns.count();
        let (mut normal, mut right) = (DMatrix::zeros(count, count), DVector::zeros(count));
        for row in &model.rows {
            let weight = row.sd.powi(-2);
            for &(i, a) in &row.terms {
                right[i] += weight * a * row.value;
                for &(j, b) in &row.terms {
                    normal[(i, j)] += weight * a * b;
                }
            }
        }
        let factor =
            Factor::of(normal).expect("every unknown has a row that says what it is by itself");
        Self {
            mean: factor.solve(&right),
            covariance: factor.inverse(),
        }
    }

    /// Q a for a row.
    pub(in crate::survey) fn times(&self, terms: &[(usize, f64)]) -> DVector<f64> {
        let mut product = DVector::zeros(self.mean.len());
        for &(column, by) in terms {
            product.axpy(by, &self.covariance.column(column), 1.0);
        }
        product
    }

    /// Variance of a combination of unknowns.
    pub(in crate::survey) fn variance(&self, terms: &[(usize, f64)]) -> f64 {
        let with = |&(i, a): &(usize, f64)| {
            terms
                .iter()
                .map(|&(j, b)| a * b * self.covariance[(i, j)])
                .sum::<f64>()
        };
        terms.iter().map(with).sum()
    }

    /// Mean displacement of the point whose first column is given, mm.
    pub(in crate::survey) fn moved(&self, column: usize) -> Vec2 {
        Vec2::new(self.mean[column], self.mean[column + 1])
    }

    /// Covariance of that displacement, mm².
    pub(in crate::survey) fn moved_covariance(&self, column: usize) -> Covariance {
        let at = |row: usize, other: usize| self.covariance[(column + row, column + other)];
        Covariance::new(at(0, 0), at(0, 1), at(1, 1))
    }
}
