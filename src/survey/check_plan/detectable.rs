//! The smallest displacement of a mark that readings find.

use kurbo::Vec2;

use crate::survey::Covariance;

/// The smallest displacements of a mark that are found, by direction.
///
/// With Q the covariance of the mark's place against the best rigid fit of the other marks, a displacement δ in the
/// direction u is found at α = 0.001 with 80 % when δ² uᵀQ⁻¹u reaches λ₀, the non-centrality with
/// two degrees of freedom: the ellipse with half axes `worst` and `least`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Detectable {
    /// Tolerance of the mark, mm.
    pub tolerance: f64,
    /// Covariance of the mark's place against the others, mm².
    pub covariance: Covariance,
    /// The size that is found in every direction, mm: √(λ₀ · larger eigenvalue).
    pub worst: f64,
    /// The direction in which only that is found, degrees from x (forward) counter-clockwise, above −90 up to 90.
    pub direction: f64,
    /// The size that is found in the best direction, at a right angle to it, mm.
    pub least: f64,
}

impl Detectable {
    pub(super) fn of(covariance: Covariance, tolerance: f64, non_centrality: f64) -> Self {
        let [major, minor] = covariance.principal();
        let turn = 0.5 * (2.0 * covariance.xy).atan2(covariance.xx - covariance.yy);
        Self {
            tolerance,
            covariance,
            worst: (non_centrality * major).sqrt(),
            direction: turn.to_degrees(),
            least: (non_centrality * minor.max(0.0)).sqrt(),
        }
    }

    /// True when every displacement as large as the tolerance is found.
    #[must_use]
    pub fn proven(&self) -> bool {
        self.worst <= self.tolerance
    }

    /// The worst direction as a unit vector.
    #[must_use]
    pub fn worst_direction(&self) -> Vec2 {
        Vec2::from_angle(self.direction.to_radians())
    }
}
