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
use nalgebra::{DMatrix, DVector};

use super::{
    DesignRow, Network, Observation,
    factor::Factor,
    normal::{Linearised, Sparse, Unknowns},
};
use crate::survey::{Covariance, RigidFit, non_centrality};

/// Steps after which an adjustment that still moves is given up.
const MOST_STEPS: usize = 100;

/// A step that moves no point by more than this part of the network's extent ends the adjustment.
pub(super) const SETTLED: f64 = 1e-10;

/// Where no step lessens the squares any more, the last digits decide: a further step of less than this part of the
/// extent still counts as settled.
const RESTING: f64 = 1e-7;

/// After a whole step of less than this part of the extent the next one is tried with the same factor.
const NEAR: f64 = 1e-3;

/// A step with an old factor must be shorter than the one before by this factor; else a new one is made.
const QUICKER: f64 = 0.1;

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
    pub(super) unknowns: Unknowns,
    pub(super) cofactors: DMatrix<f64>,
    pub(super) rows: Vec<Sparse>,
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
        let starts = self.starts();
        let settled = self.settled(&unknowns, starts.clone())?;
        self.concluded(unknowns, settled.places, &starts)
    }

    /// The places of the minimum that steps from `places` lead to.
    pub(super) fn settled(
        &self,
        unknowns: &Unknowns,
        places: Vec<Point>,
    ) -> Result<Settled, AdjustError> {
        let extent = extent(&places);
        let linear = Linearised::at(self, unknowns, &places)
            .map_err(|observation| AdjustError::Coincident { observation })?;
        let mut at = Iterate {
            places,
            linear,
            moved: f64::INFINITY,
            factor: None,
        };
        for _ in 0..MOST_STEPS {
            let Some(step) = self.next(unknowns, &mut at, extent) else {
                break;
            };
            at = step;
            if at.moved <= SETTLED * extent {
                return Ok(Settled {
                    squares: at.linear.squares(),
                    places: at.places,
                });
            }
        }
        // No step lessens the squares any more: either at the minimum to the last digit, or stuck.
        let loose = at.linear.loose(self, unknowns, &at.places);
        let factor = at.linear.factorised(&loose).ok_or(AdjustError::Loose)?;
        if factor.solve(&at.linear.right()).amax() > RESTING * extent {
            return Err(AdjustError::Unsettled);
        }
        Ok(Settled {
            squares: at.linear.squares(),
            places: at.places,
        })
    }

    /// One Gauss–Newton step; how far it moves any point along x or y at most, mm.
    pub(super) fn step(&self, unknowns: &Unknowns, places: &mut [Point]) -> Option<f64> {
        let linear = Linearised::at(self, unknowns, places).ok()?;
        let factor = linear.factorised(&linear.loose(self, unknowns, places))?;
        let step = factor.solve(&linear.right());
        moved_by(unknowns, &step, places);
        Some(step.amax())
    }

    /// The next places, with the squares lessened; `None` when no step lessens them.
    fn next(&self, unknowns: &Unknowns, at: &mut Iterate, extent: f64) -> Option<Iterate> {
        let settled = SETTLED * extent;
        // Near the minimum the equations hardly change from step to step, and their factor is most of the work.
        if let Some(factor) = at.factor.take().filter(|_| at.moved <= NEAR * extent) {
            let moved = at.moved;
            if let Some(step) = self
                .along(unknowns, at, factor, settled, 1)
                .filter(|step| step.moved <= QUICKER * moved)
            {
                return Some(step);
            }
        }
        let loose = at.linear.loose(self, unknowns, &at.places);
        let whole = at.linear.factorised(&loose);
        if let Some(step) =
            whole.and_then(|factor| self.along(unknowns, at, factor, settled, MOST_HALVINGS))
        {
            return Some(step);
        }
        DAMPINGS.into_iter().find_map(|damping| {
            let step = self.along(unknowns, at, at.linear.damped(damping)?, 0.0, MOST_HALVINGS)?;
            Some(Iterate {
                factor: None,
                ..step
            })
        })
    }

    /// The step that a factor gives, halved at most `halvings` times until the squares are lessened; one that moves no point by
    /// more than `settled` is taken as it is, for there rounding decides which squares are less.
    fn along(
        &self,
        unknowns: &Unknowns,
        at: &Iterate,
        factor: Factor,
        settled: f64,
        halvings: usize,
    ) -> Option<Iterate> {
        let full = factor.solve(&at.linear.right());
        let by = |column: usize| Vec2::new(full[column], full[column + 1]);
        let longest = (0..full.len())
            .step_by(2)
            .map(|column| by(column).hypot())
            .fold(0.0, f64::max);
        let squares = at.linear.squares();
        let mut part = 1.0;
        for _ in 0..halvings {
            let moved = |point: usize| match unknowns.column(point) {
                Some(column) => at.places[point] + part * by(column),
                None => at.places[point],
            };
            let places: Vec<Point> = (0..at.places.len()).map(moved).collect();
            let less = |found: f64| found <= squares || part * longest <= settled;
            if self.squares_at(&places).is_some_and(less) {
                let linear = Linearised::at(self, unknowns, &places).ok()?;
                return Some(Iterate {
                    places,
                    linear,
                    moved: part * longest,
                    factor: (part == 1.0).then_some(factor),
                });
            }
            part /= 2.0;
        }
        None
    }

    /// Weighted sum of squares of what the observations differ by at some places; `None` where points coincide.
    fn squares_at(&self, places: &[Point]) -> Option<f64> {
        let square = |one: &Observation| {
            let computed = one.geometry.linear_at(|point| places[point])?.value;
            Some(((one.value - computed) / one.sd).powi(2))
        };
        self.observations.iter().map(square).sum()
    }

    /// What follows from the places of the minimum. What nothing holds is first moved as a whole to where the squares of
    /// the distances to `given` places are least: that is what inner constraints mean, and without it the heading
    /// would depend on the way that the steps took.
    pub(super) fn concluded(
        &self,
        unknowns: Unknowns,
        mut places: Vec<Point>,
        given: &[Point],
    ) -> Result<Adjustment, AdjustError> {
        let linearised = |places: &[Point]| {
            Linearised::at(self, &unknowns, places)
                .map_err(|observation| AdjustError::Coincident { observation })
        };
        let mut linear = linearised(&places)?;
        let mut loose = linear.loose(self, &unknowns, &places);
        if let Some(motion) = free_motion(&unknowns, &loose, &places, given) {
            let moved = |(place, point): (&Point, &super::NetworkPoint)| {
                if point.fixed { *place } else { motion * *place }
            };
            places = places.iter().zip(&self.points).map(moved).collect();
            linear = linearised(&places)?;
            loose = linear.loose(self, &unknowns, &places);
        }
        let factor = linear.factorised(&loose).ok_or(AdjustError::Loose)?;
        let held = self.observations.len() + loose.ncols();
        let dof = held.checked_sub(unknowns.count).ok_or(AdjustError::Loose)?;
        let cofactors = linear.cofactors(factor, &loose);
        let datum = match loose.ncols() {
            0 => Datum::Held,
            3 => Datum::Free,
            _ => Datum::Partly,
        };
        Ok(Adjustment {
            datum,
            places,
            observations: self.adjusted(&linear, &cofactors),
            dof,
            squares: linear.squares(),
            unknowns,
            cofactors,
            rows: linear.rows,
        })
    }

    /// What became of the observations, linearised at the minimum.
    pub(super) fn adjusted(&self, linear: &Linearised, cofactors: &DMatrix<f64>) -> Vec<Adjusted> {
        let power = non_centrality();
        let adjusted = |(index, observation): (usize, &Observation)| {
            let row = &linear.rows[index];
            let redundancy = 1.0 - quadratic(row, cofactors, row) / observation.sd.powi(2);
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
        self.observations.iter().enumerate().map(adjusted).collect()
    }
}

/// Where steps have led.
struct Iterate {
    places: Vec<Point>,
    linear: Linearised,
    /// How far the last step moved the point that it moved farthest, mm.
    moved: f64,
    /// The factor of a whole step, made where it began.
    factor: Option<Factor>,
}

/// The places of a minimum, and the weighted squares there.
pub(super) struct Settled {
    pub squares: f64,
    pub places: Vec<Point>,
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
            (Some(i), Some(j)) => {
                [0, 1].map(|row| [0, 1].map(|column| self.cofactors[(i + row, j + column)]))
            }
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
    pub fn variance_of(&self, row: &DesignRow) -> f64 {
        let sparse = self.unknowns.sparse(&row.derivatives);
        quadratic(&sparse, &self.cofactors, &sparse)
    }

    /// Covariance a priori in mm² of an adjusted observation with one that was not made.
    #[must_use]
    pub fn covariance_with(&self, observation: usize, row: &DesignRow) -> f64 {
        quadratic(
            &self.rows[observation],
            &self.cofactors,
            &self.unknowns.sparse(&row.derivatives),
        )
    }
}

/// The rigid motion of `places` nearest to `given` ones, by what is loose: any motion, or a turn about the point that a single
/// loose movement leaves where it is. `None` where nothing is loose.
fn free_motion(
    unknowns: &Unknowns,
    loose: &DMatrix<f64>,
    places: &[Point],
    given: &[Point],
) -> Option<Affine> {
    let free: Vec<usize> = (0..given.len())
        .filter(|&point| unknowns.column(point).is_some())
        .collect();
    if loose.ncols() == 3 {
        let pairs: Vec<_> = free
            .iter()
            .map(|&point| (places[point], given[point]))
            .collect();
        return RigidFit::of(&pairs)
            .map(|fit| Affine::translate(fit.shift) * Affine::rotate(fit.turn));
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
    let other = free.iter().copied().reduce(|a, b| {
        if away(b).hypot() > away(a).hypot() {
            b
        } else {
            a
        }
    })?;
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

/// Moves places by a step.
pub(super) fn moved_by(unknowns: &Unknowns, step: &DVector<f64>, places: &mut [Point]) {
    for (point, place) in places.iter_mut().enumerate() {
        if let Some(column) = unknowns.column(point) {
            *place += Vec2::new(step[column], step[column + 1]);
        }
    }
}

/// aᵀQb for sparse a and b.
fn quadratic(a: &[(usize, f64)], matrix: &DMatrix<f64>, b: &[(usize, f64)]) -> f64 {
    a.iter()
        .flat_map(|&(i, by)| b.iter().map(move |&(j, and)| by * and * matrix[(i, j)]))
        .sum()
}

/// Largest distance of a point from the first one, at least 1 mm.
pub(super) fn extent(places: &[Point]) -> f64 {
    places
        .iter()
        .map(|place| place.distance(places[0]))
        .fold(1.0, f64::max)
}
