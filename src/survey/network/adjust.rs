//! Adjustment of a network by least squares.
//!
//! Observations l with weights P = σ⁻², places x: minimise vᵀPv with v = f(x) − l (adjusted minus
//! observed). Gauss–Newton steps N dx = AᵀP(l − f(x)), N = AᵀPA, are halved while they do not lessen the
//! sum of squares, and damped (Levenberg) where N cannot be solved on the way. What no observation
//! holds, shifts and turns of the whole, is held by inner constraints over all points that are not fixed:
//! the sum of all movements is nought, along x, along y and in turn. So the coordinates of a free
//! network lie as near to the given ones as they can (Krumm, *Geodetic Network Adjustment
//! Examples*, has the formulas for free and for fixed networks).

use kurbo::{Affine, Point, Vec2};
use nalgebra::DMatrix;

use super::{
    Network, Row,
    normal::{Linearised, Unknowns},
};
use crate::survey::{Covariance, RigidFit, non_centrality};

/// Steps after which an adjustment that still moves is given up.
const MOST_STEPS: usize = 100;

/// A step that moves no point by more than this part of the network's extent ends the adjustment.
const SETTLED: f64 = 1e-10;

/// Where no step lessens the squares any more, the last digits decide: a further step of less than this part of the
/// extent still counts as settled.
const RESTING: f64 = 1e-7;

/// A step is halved at most this often before it counts as none.
const MOST_HALVINGS: usize = 40;

/// Dampings tried in turn where the normal equations cannot be solved, as part of their mean diagonal.
const DAMPINGS: [f64; 4] = [1e-6, 1e-4, 1e-2, 1.0];

/// A reading with less redundancy than this cannot be checked at all: no other reading says anything of it.
const NO_REDUNDANCY: f64 = 1e-9;

/// What holds the network on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datum {
    /// Fixed points, or points whose places were observed, hold it altogether.
    Held,
    /// Inner constraints hold what fixed or observed points leave loose.
    Partly,
    /// Inner constraints over all points hold it: a free network.
    Free,
}

impl Datum {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Held => "fixed",
            Self::Partly => "partly fixed",
            Self::Free => "free",
        }
    }
}

/// An adjusted network. Lengths in mm; variances are a priori, those of the observations' own standard deviations.
#[derive(Clone, Debug)]
pub struct Adjustment {
    /// What holds the network.
    pub datum: Datum,
    /// Adjusted places, in the network's order.
    pub places: Vec<Point>,
    /// What became of the observations, in the network's order.
    pub observations: Vec<Adjusted>,
    /// Degrees of freedom: observations less unknowns, plus what inner constraints hold.
    pub dof: usize,
    /// Weighted sum of squares of the residuals, vᵀPv.
    pub squares: f64,
    unknowns: Unknowns,
    cofactors: DMatrix<f64>,
    rows: Vec<Vec<(usize, f64)>>,
}

/// An observation after the adjustment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adjusted {
    /// Adjusted minus observed, mm.
    pub residual: f64,
    /// Redundancy number: the part of an error of this observation that its residual shows, 0 to 1.
    pub redundancy: f64,
    /// Normalised residual w = v/(σ√r), of standard deviation 1; `None` for an observation that nothing checks.
    pub normalised: Option<f64>,
    /// Smallest error that the test on w finds with the usual power, mm: σ δ₀/√r; `None` as above.
    pub smallest_error: Option<f64>,
}

/// Why a network cannot be adjusted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AdjustError {
    /// The observations do not hold all points to each other.
    Loose,
    /// The steps did not come to an end: the readings contradict the given places too much.
    Unsettled,
    /// The points of this observation coincide.
    Coincident {
        /// Index of the observation.
        observation: usize,
    },
}

impl Network {
    /// Adjusts the network, starting at the points' given places.
    ///
    /// # Errors
    /// [`AdjustError`]; a network without unknowns or with points that nothing holds is
    /// [`AdjustError::Loose`].
    pub fn adjust(&self) -> Result<Adjustment, AdjustError> {
        let unknowns = Unknowns::of(self);
        let mut places = self.starts();
        let extent = extent(&places);
        let coincident = |observation| AdjustError::Coincident { observation };
        let mut linear = Linearised::at(self, &unknowns, &places).map_err(coincident)?;
        for _ in 0..MOST_STEPS {
            let Some(step) = self.step(&unknowns, &linear, &places) else { break };
            let moved = step.places.iter().zip(&places).map(|(new, old)| new.distance(*old)).fold(0.0, f64::max);
            (places, linear) = (step.places, step.linear);
            if moved <= SETTLED * extent {
                return self.concluded(unknowns, places, &self.starts());
            }
        }
        // No step lessens the squares any more: either at the minimum to the last digit, or stuck.
        let factor = linear.factorised().ok_or(AdjustError::Loose)?;
        if factor.solve(&linear.right).amax() > RESTING * extent {
            return Err(AdjustError::Unsettled);
        }
        self.concluded(unknowns, places, &self.starts())
    }

    /// The next places, with the squares lessened; `None` when no step lessens them.
    fn step(&self, unknowns: &Unknowns, linear: &Linearised, places: &[Point]) -> Option<Step> {
        let squares = linear.squares(self);
        let whole = std::iter::once_with(|| linear.factorised());
        let damped = DAMPINGS.into_iter().map(|damping| linear.damped(damping));
        for factor in whole.chain(damped).flatten() {
            let full = factor.solve(&linear.right);
            let mut part = 1.0;
            for _ in 0..MOST_HALVINGS {
                let moved = |point: usize| match unknowns.column(point) {
                    Some(column) => places[point] + part * Vec2::new(full[column], full[column + 1]),
                    None => places[point],
                };
                let tried: Vec<Point> = (0..places.len()).map(moved).collect();
                if let Ok(next) = Linearised::at(self, unknowns, &tried)
                    && next.squares(self) <= squares
                {
                    return Some(Step { places: tried, linear: next });
                }
                part /= 2.0;
            }
        }
        None
    }

    /// What follows from the places of the minimum. What nothing holds is first moved as a whole to where the squares of
    /// the distances to `given` places are least: that is what inner constraints mean, and without it the heading
    /// would depend on the way that the steps took.
    fn concluded(
        &self,
        unknowns: Unknowns,
        mut places: Vec<Point>,
        given: &[Point],
    ) -> Result<Adjustment, AdjustError> {
        let linearised = |places: &[Point]| {
            Linearised::at(self, &unknowns, places).map_err(|observation| AdjustError::Coincident { observation })
        };
        let mut linear = linearised(&places)?;
        if let Some(motion) = free_motion(&unknowns, &linear.loose, &places, given) {
            let moved =
                |(place, point): (&Point, &super::NetworkPoint)| if point.fixed { *place } else { motion * *place };
            places = places.iter().zip(&self.points).map(moved).collect();
            linear = linearised(&places)?;
        }
        let factor = linear.factorised().ok_or(AdjustError::Loose)?;
        let held = self.observations.len() + linear.loose.ncols();
        let dof = held.checked_sub(unknowns.count).ok_or(AdjustError::Loose)?;
        let cofactors = linear.cofactors(&factor);
        let datum = match linear.loose.ncols() {
            0 => Datum::Held,
            3 => Datum::Free,
            _ => Datum::Partly,
        };
        let (power, squares) = (non_centrality(), linear.squares(self));
        let adjusted = |(index, observation): (usize, &super::Observation)| {
            let row = &linear.rows[index];
            let redundancy = 1.0 - quadratic(row, &cofactors, row) / observation.sd.powi(2);
            let redundancy = redundancy.clamp(0.0, 1.0);
            let residual = -linear.misclosures[index];
            let visible = (redundancy > NO_REDUNDANCY).then(|| redundancy.sqrt());
            Adjusted {
                residual,
                redundancy,
                normalised: visible.map(|root| residual / (observation.sd * root)),
                smallest_error: visible.map(|root| observation.sd * power / root),
            }
        };
        let observations = self.observations.iter().enumerate().map(adjusted).collect();
        Ok(Adjustment { datum, places, observations, dof, squares, unknowns, cofactors, rows: linear.rows })
    }
}

struct Step {
    places: Vec<Point>,
    linear: Linearised,
}

impl Adjustment {
    /// The adjustment of `network` moved as a whole, as far as nothing holds it, so that the squares of the distances to
    /// `given` places are least. The residuals stay as they are.
    ///
    /// # Errors
    /// As [`Network::adjust`].
    pub fn laid_near(self, network: &Network, given: &[Point]) -> Result<Self, AdjustError> {
        network.concluded(self.unknowns, self.places, given)
    }

    /// Standard deviation of an observation of weight 1 as the residuals show it, √(vᵀPv/f): 1 where the a-priori
    /// deviations are right. `None` without degrees of freedom.
    #[must_use]
    pub fn sigma0(&self) -> Option<f64> {
        (self.dof > 0).then(|| (self.squares / self.dof as f64).sqrt())
    }

    /// Covariance of a point's place, mm², a priori.
    #[must_use]
    pub fn covariance(&self, point: usize) -> Covariance {
        let [[xx, xy], [_, yy]] = self.cross_covariance(point, point);
        Covariance { xx, xy, yy }
    }

    /// Covariances of the x and y of one point (rows) with the x and y of another (columns), mm².
    #[must_use]
    pub fn cross_covariance(&self, one: usize, other: usize) -> [[f64; 2]; 2] {
        match (self.unknowns.column(one), self.unknowns.column(other)) {
            (Some(i), Some(j)) => [0, 1].map(|row| [0, 1].map(|column| self.cofactors[(i + row, j + column)])),
            _ => [[0.0; 2]; 2],
        }
    }

    /// Covariance a priori of two observations' residuals, mm²; `sd` are those of the observations.
    #[must_use]
    pub fn residual_covariance(&self, (one, sd): (usize, f64), other: usize) -> f64 {
        let own = if one == other { sd * sd } else { 0.0 };
        own - quadratic(&self.rows[one], &self.cofactors, &self.rows[other])
    }

    /// Variance a priori in mm² of the value of an observation that was not made, from its linearisation.
    #[must_use]
    pub fn variance_of(&self, row: &Row) -> f64 {
        let sparse = self.unknowns.sparse(row);
        quadratic(&sparse, &self.cofactors, &sparse)
    }

    /// Covariance a priori in mm² of an adjusted observation with one that was not made.
    #[must_use]
    pub fn covariance_with(&self, observation: usize, row: &Row) -> f64 {
        quadratic(&self.rows[observation], &self.cofactors, &self.unknowns.sparse(row))
    }
}

/// The rigid motion of `places` nearest to `given` ones, by what is loose: any motion, or a turn about the point that a single
/// loose movement leaves where it is. `None` where nothing is loose.
fn free_motion(unknowns: &Unknowns, loose: &DMatrix<f64>, places: &[Point], given: &[Point]) -> Option<Affine> {
    let free: Vec<usize> = (0..given.len()).filter(|&point| unknowns.column(point).is_some()).collect();
    if loose.ncols() == 3 {
        let pairs: Vec<_> = free.iter().map(|&point| (places[point], given[point])).collect();
        return RigidFit::of(&pairs).map(|fit| Affine::translate(fit.shift) * Affine::rotate(fit.turn));
    }
    if loose.ncols() != 1 {
        return None;
    }
    let movement = |point: usize| {
        let column = unknowns.column(point)?;
        Some(Vec2::new(loose[(column, 0)], loose[(column + 1, 0)]))
    };
    let first = *free.first()?;
    let away = |point: usize| places[point] - places[first];
    let other = free.iter().copied().reduce(|a, b| if away(b).hypot() > away(a).hypot() { b } else { a })?;
    // A turn at the rate ω about c moves p by ω (p − c) turned by 90°.
    let (shift, arm) = (movement(first)?, away(other));
    let rate = arm.turn_90().dot(movement(other)? - shift) / arm.hypot2();
    let pivot = places[first] + shift.turn_90() / rate;
    if !pivot.is_finite() {
        return None;
    }
    let (dot, cross) = free.iter().fold((0.0, 0.0), |(dot, cross), &point| {
        let (p, q) = (places[point] - pivot, given[point] - pivot);
        (dot + p.dot(q), cross + p.cross(q))
    });
    Some(Affine::rotate_about(cross.atan2(dot), pivot))
}

/// aᵀQb for sparse a and b.
fn quadratic(a: &[(usize, f64)], matrix: &DMatrix<f64>, b: &[(usize, f64)]) -> f64 {
    a.iter().flat_map(|&(i, by)| b.iter().map(move |&(j, and)| by * and * matrix[(i, j)])).sum()
}

/// Largest distance of a point from the first one, at least 1 mm.
fn extent(places: &[Point]) -> f64 {
    places.iter().map(|place| place.distance(places[0])).fold(1.0, f64::max)
}
