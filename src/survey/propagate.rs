//! The law of propagation of uncertainty.

use nalgebra::DMatrix;

/// Covariance of quantities whose derivatives by the inputs are the rows of `jacobian`, from the inputs'
/// `covariance`: J C Jᵀ (JCGM 100:2008, 5.2.2, for several outputs at once H.2.3). Units follow from those put in.
///
/// # Panics
/// When the number of the Jacobian's columns is not the covariance's order.
#[must_use]
pub fn propagate(jacobian: &DMatrix<f64>, covariance: &DMatrix<f64>) -> DMatrix<f64> {
    jacobian * covariance * jacobian.transpose()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five simultaneous readings of voltage (V), current (A) and phase (rad): JCGM 100:2008, Table H.2, written
    /// down from memory; the means, deviations and correlations below, which were read, hold them.
    const READINGS: [[f64; 3]; 5] = [
        [5.007, 19.663e-3, 1.0456],
        [4.994, 19.639e-3, 1.0438],
        [5.005, 19.640e-3, 1.0468],
        [4.990, 19.685e-3, 1.0428],
        [4.999, 19.678e-3, 1.0433],
    ];

    fn means() -> [f64; 3] {
        std::array::from_fn(|k| READINGS.iter().map(|row| row[k]).sum::<f64>() / 5.0)
    }

    /// Covariance of the means (JCGM 100, 5.2.3).
    fn covariance_of_means() -> DMatrix<f64> {
        let mean = means();
        DMatrix::from_fn(3, 3, |i, j| {
            READINGS
                .iter()
                .map(|row| (row[i] - mean[i]) * (row[j] - mean[j]))
                .sum::<f64>()
                / (5.0 * 4.0)
        })
    }

    fn correlation(covariance: &DMatrix<f64>, i: usize, j: usize) -> f64 {
        covariance[(i, j)] / (covariance[(i, i)] * covariance[(j, j)]).sqrt()
    }

    fn printed(value: f64, decimals: i32) -> f64 {
        (value * 10_f64.powi(decimals)).round() / 10_f64.powi(decimals)
    }

    #[test]
    fn the_readings_give_the_published_means_deviations_and_correlations() {
        let (mean, covariance) = (means(), covariance_of_means());
        let sd = |k: usize| covariance[(k, k)].sqrt();
        // JCGM 100:2008, H.2, Table H.2 (read).
        assert_eq!(
            [
                printed(mean[0], 3),
                printed(mean[1], 6),
                printed(mean[2], 5)
            ],
            [4.999, 0.019_661, 1.044_46]
        );
        assert_eq!(
            [printed(sd(0), 4), printed(sd(1), 7), printed(sd(2), 5)],
            [0.0032, 9.5e-6, 7.5e-4]
        );
        let correlations =
            [(0, 1), (0, 2), (1, 2)].map(|(i, j)| printed(correlation(&covariance, i, j), 2));
        assert_eq!(correlations, [-0.36, 0.86, -0.65]);
    }

    #[test]
    fn resistance_reactance_and_impedance_come_out_with_the_published_uncertainties() {
        let ([v, i, phase], covariance) = (means(), covariance_of_means());
        let (sin, cos) = phase.sin_cos();
        #[rustfmt::skip]
        let jacobian = DMatrix::from_row_slice(3, 3, &[
            cos / i, -v * cos / (i * i), -v * sin / i,
            sin / i, -v * sin / (i * i), v * cos / i,
            1.0 / i, -v / (i * i), 0.0,
        ]);
        let result = propagate(&jacobian, &covariance);
        let sd = |k: usize| result[(k, k)].sqrt();
        // JCGM 100:2008, H.2 (read): R = 127.732 (0.070), X = 219.85 (0.30), Z = 254.26 (0.24) ohm.
        assert_eq!(printed(v / i * cos, 3), 127.732);
        assert_eq!(printed(v / i * sin, 2), 219.85);
        assert_eq!(printed(v / i, 2), 254.26);
        // The table prints 0.070 or 0.071 for R, by how the inputs were rounded before.
        assert!((sd(0) - 0.070).abs() < 0.0015, "{}", sd(0));
        assert_eq!([printed(sd(1), 2), printed(sd(2), 2)], [0.30, 0.24]);
        // JCGM 100:2008, Table H.4 (from memory): r(R, X) = −0.588, r(R, Z) = −0.485, r(X, Z) = 0.993.
        let correlations =
            [(0, 1), (0, 2), (1, 2)].map(|(i, j)| printed(correlation(&result, i, j), 3));
        assert_eq!(correlations, [-0.588, -0.485, 0.993]);
    }
}
