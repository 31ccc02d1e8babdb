//! Linear least squares.

use nalgebra::{DMatrix, DVector};

/// A column that keeps less than this part of its length beside the columns before it adds nothing to them: about
/// the square root of the rounding error of f64, so that half of the digits remain in what is accepted.
const RANK_TOLERANCE: f64 = 1e-8;

/// Parameters p that bring A p nearest to the observations, all of one precision.
#[derive(Clone, Debug)]
pub struct LinearFit {
    /// The parameters, one per column of A.
    pub parameters: DVector<f64>,
    /// Adjusted less observed, one per row of A.
    pub residuals: DVector<f64>,
    /// (AᵀA)⁻¹: the parameters' covariance for observations with a standard deviation of 1.
    pub cofactors: DMatrix<f64>,
    /// Redundancy number of each observation, 0 (nothing checks it) to 1; their sum is the degrees of freedom.
    pub redundancy: Vec<f64>,
}

impl LinearFit {
    /// Solves by Householder QR of the design matrix A (rows: observations, columns: parameters), so that its
    /// condition is not squared as in normal equations. `None` when there are fewer rows than columns, or when the
    /// columns depend on each other.
    #[must_use]
    pub fn solve(design: &DMatrix<f64>, observed: &DVector<f64>) -> Option<Self> {
        if design.nrows() < design.ncols() {
            return None;
        }
        let (q, r) = design.clone().qr().unpack();
        let hangs = |column: usize| {
            r[(column, column)].abs() <= RANK_TOLERANCE * design.column(column).norm()
        };
        if (0..design.ncols()).any(hangs) {
            return None;
        }
        let parameters = r.solve_upper_triangular(&(q.transpose() * observed))?;
        let inverse =
            r.solve_upper_triangular(&DMatrix::identity(design.ncols(), design.ncols()))?;
        Some(Self {
            residuals: design * &parameters - observed,
            cofactors: &inverse * inverse.transpose(),
            redundancy: q
                .row_iter()
                .map(|row| (1.0 - row.norm_squared()).max(0.0))
                .collect(),
            parameters,
        })
    }

    /// Degrees of freedom: observations beyond those that are needed.
    #[must_use]
    pub fn dof(&self) -> usize {
        self.residuals.len() - self.parameters.len()
    }

    /// Standard deviation of one observation as the residuals show it; `None` without degrees of freedom.
    #[must_use]
    pub fn sigma0(&self) -> Option<f64> {
        (self.dof() > 0).then(|| (self.residuals.norm_squared() / self.dof() as f64).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/ITL StRD, dataset Norris (Norris.dat): response and predictor of the 36 observations.
    #[rustfmt::skip]
    const NORRIS: [[f64; 2]; 36] = [
        [0.1, 0.2], [338.8, 337.4], [118.1, 118.2], [888.0, 884.6],
        [9.2, 10.1], [228.1, 226.5], [668.5, 666.3], [998.5, 996.3],
        [449.1, 448.6], [778.9, 777.0], [559.2, 558.2], [0.3, 0.4],
        [0.1, 0.6], [778.1, 775.5], [668.8, 666.9], [339.3, 338.0],
        [448.9, 447.5], [10.8, 11.6], [557.7, 556.0], [228.3, 228.1],
        [998.0, 995.8], [888.8, 887.6], [119.6, 120.2], [0.3, 0.3],
        [0.6, 0.3], [557.6, 556.8], [339.3, 339.1], [888.0, 887.2],
        [998.5, 999.0], [778.9, 779.0], [10.2, 11.1], [117.6, 118.3],
        [228.9, 229.2], [668.4, 669.1], [449.2, 448.9], [0.2, 0.5],
    ];

    fn norris() -> LinearFit {
        let design = DMatrix::from_fn(NORRIS.len(), 2, |row, column| {
            if column == 0 { 1.0 } else { NORRIS[row][1] }
        });
        LinearFit::solve(
            &design,
            &DVector::from_iterator(NORRIS.len(), NORRIS.iter().map(|row| row[0])),
        )
        .unwrap()
    }

    /// Digits that agree, the log relative error of the StRD.
    fn digits(found: f64, certified: f64) -> f64 {
        -((found - certified).abs() / certified.abs())
            .max(1e-15)
            .log10()
    }

    #[test]
    fn the_norris_data_give_the_certified_parameters_to_nine_digits() {
        let fit = norris();
        let sigma0 = fit.sigma0().unwrap();
        let sd = |k: usize| sigma0 * fit.cofactors[(k, k)].sqrt();
        // NIST/ITL StRD, Norris: certified B0, B1, residual standard deviation, and deviations of both estimates.
        for (found, certified) in [
            (fit.parameters[0], -0.262323073774029),
            (fit.parameters[1], 1.00211681802045),
            (sigma0, 0.884796396144373),
            (sd(0), 0.232818234301152),
            (sd(1), 0.429796848199937E-03),
        ] {
            assert!(digits(found, certified) >= 9.0, "{found} for {certified}");
        }
        assert_eq!(fit.dof(), 34);
    }

    #[test]
    fn redundancy_numbers_add_up_to_the_degrees_of_freedom() {
        let fit = norris();
        assert!((fit.redundancy.iter().sum::<f64>() - 34.0).abs() < 1e-10);
        assert!(fit.redundancy.iter().all(|r| (0.0..=1.0).contains(r)));
    }

    #[test]
    fn dependent_columns_and_too_few_rows_have_no_solution() {
        let two = DMatrix::from_row_slice(3, 2, &[1.0, 2.0, 2.0, 4.0, 3.0, 6.0]);
        assert!(LinearFit::solve(&two, &DVector::from_element(3, 1.0)).is_none());
        assert!(LinearFit::solve(&DMatrix::identity(2, 3), &DVector::zeros(2)).is_none());
        assert!(LinearFit::solve(&DMatrix::zeros(3, 1), &DVector::zeros(3)).is_none());
        let exact =
            LinearFit::solve(&DMatrix::identity(2, 2), &DVector::from_element(2, 3.0)).unwrap();
        assert_eq!((exact.dof(), exact.sigma0()), (0, None));
    }
}
