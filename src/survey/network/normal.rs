//! Normal equations of a network, and which of its movements nothing holds.

use std::ops::Deref;

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector};

use super::{Network, factor::Factor};

/// Smallest pivot of the normal equations, as part of the largest, that counts as held. With doubles, pivots of what is not
/// held come out near 1e-16 times the number of unknowns; what is held by a distance across a
/// thousandth of a right angle still has 1e-6.
const LEAST_PIVOT: f64 = 1e-11;

/// A movement changes no observation when it changes all of them by less than this part of what it moves the points.
const NO_CHANGE: f64 = 1e-7;

/// The places of a network's unknowns: two for each point that is not fixed.
#[derive(Clone, Debug)]
pub(super) struct Unknowns {
    /// Column of each point's x; its y is the next one. `None` for a fixed point.
    columns: Vec<Option<usize>>,
    /// Number of unknowns.
    pub count: usize,
}

impl Unknowns {
    pub(super) fn of(network: &Network) -> Self {
        let mut count = 0;
        let columns = network.points.iter().map(|point| {
            (!point.fixed).then(|| {
                count += 2;
                count - 2
            })
        });
        Self {
            columns: columns.collect(),
            count,
        }
    }

    /// Column of a point's x.
    pub(super) fn column(&self, point: usize) -> Option<usize> {
        self.columns[point]
    }

    /// A row's derivatives by column, from those by point.
    pub(super) fn sparse(&self, derivatives: &[(usize, Vec2)]) -> Sparse {
        let mut sparse = Sparse {
            entries: [(0, 0.0); 6],
            count: 0,
        };
        for &(point, by) in derivatives {
            if let Some(column) = self.column(point) {
                sparse.entries[sparse.count] = (column, by.x);
                sparse.entries[sparse.count + 1] = (column + 1, by.y);
                sparse.count += 2;
            }
        }
        sparse
    }

    /// A movement of all points as a vector of the unknowns.
    fn movement(&self, of: impl Fn(usize) -> Vec2) -> DVector<f64> {
        let mut vector = DVector::zeros(self.count);
        for (point, column) in self.columns.iter().enumerate() {
            if let Some(column) = *column {
                let by = of(point);
                (vector[column], vector[column + 1]) = (by.x, by.y);
            }
        }
        vector
    }
}

/// A row's derivatives by column: at most three points, two columns each.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sparse {
    entries: [(usize, f64); 6],
    count: usize,
}

impl Deref for Sparse {
    type Target = [(usize, f64)];

    fn deref(&self) -> &Self::Target {
        &self.entries[..self.count]
    }
}

/// A network linearised at some places.
pub(super) struct Linearised {
    /// Derivatives of each observation by column.
    pub rows: Vec<Sparse>,
    /// Observed minus computed, mm.
    pub misclosures: Vec<f64>,
    /// Weights of the observations, mm⁻².
    weights: Vec<f64>,
    /// Number of unknowns.
    count: usize,
}

impl Linearised {
    /// Linearises at places; `Err` with the index of an observation whose points coincide.
    pub(super) fn at(
        network: &Network,
        unknowns: &Unknowns,
        places: &[Point],
    ) -> Result<Self, usize> {
        let mut rows = Vec::with_capacity(network.observations.len());
        let mut misclosures = Vec::with_capacity(network.observations.len());
        for (index, observation) in network.observations.iter().enumerate() {
            let linear = observation
                .geometry
                .linear_at(|point| places[point])
                .ok_or(index)?;
            rows.push(unknowns.sparse(linear.derivatives()));
            misclosures.push(observation.value - linear.value);
        }
        let weights = network
            .observations
            .iter()
            .map(|observation| observation.sd.powi(-2))
            .collect();
        Ok(Self {
            rows,
            misclosures,
            weights,
            count: unknowns.count,
        })
    }

    /// Weighted sum of squares of the misclosures.
    pub(super) fn squares(&self) -> f64 {
        self.misclosures
            .iter()
            .zip(&self.weights)
            .map(|(misclosure, weight)| weight * misclosure * misclosure)
            .sum()
    }

    /// AᵀPA in mm⁻².
    pub(super) fn normal(&self) -> DMatrix<f64> {
        let mut normal = DMatrix::zeros(self.count, self.count);
        for (row, weight) in self.rows.iter().zip(&self.weights) {
            for &(i, a) in row.iter() {
                for &(j, b) in row.iter() {
                    normal[(i, j)] += weight * a * b;
                }
            }
        }
        normal
    }

    /// AᵀP times the misclosures.
    pub(super) fn right(&self) -> DVector<f64> {
        let mut right = DVector::zeros(self.count);
        for ((row, weight), misclosure) in
            self.rows.iter().zip(&self.weights).zip(&self.misclosures)
        {
            for &(i, a) in row.iter() {
                right[i] += weight * a * misclosure;
            }
        }
        right
    }

    /// Mean of the normal equations' diagonal: the size of what is added to them.
    fn scale(&self) -> f64 {
        let squares =
            |(row, weight): (&Sparse, &f64)| weight * row.iter().map(|(_, a)| a * a).sum::<f64>();
        let trace: f64 = self.rows.iter().zip(&self.weights).map(squares).sum();
        (trace / self.count.max(1) as f64).max(f64::MIN_POSITIVE)
    }

    /// The normal equations with the datum's inner constraints, N + c·GGᵀ, factorised; G are the `loose` movements. `None`
    /// where more than the datum is not held: where a pivot is below [`LEAST_PIVOT`] of the largest.
    pub(super) fn factorised(&self, loose: &DMatrix<f64>) -> Option<Factor> {
        let mut bordered = self.normal();
        bordered.gemm(self.scale(), loose, &loose.transpose(), 1.0);
        let factor = Factor::of(bordered)?;
        let [least, most] = factor.pivots();
        (least > LEAST_PIVOT * most).then_some(factor)
    }

    /// The factor of equations damped so that they can always be solved (Levenberg's method).
    pub(super) fn damped(&self, damping: f64) -> Option<Factor> {
        let mut normal = self.normal();
        let by = damping * self.scale();
        (0..self.count).for_each(|index| normal[(index, index)] += by);
        Factor::of(normal)
    }

    /// Cofactors of the unknowns, mm²: the inverse of the bordered equations without the datum's part. For a free
    /// network these are those of inner constraints, with the least trace of all datums.
    pub(super) fn cofactors(&self, factor: Factor, loose: &DMatrix<f64>) -> DMatrix<f64> {
        let mut cofactors = factor.inverse();
        cofactors.gemm(-1.0 / self.scale(), loose, &loose.transpose(), 1.0);
        cofactors
    }

    /// Orthonormal movements of the whole that change no observation, by column: what a datum has to hold.
    pub(super) fn loose(
        &self,
        network: &Network,
        unknowns: &Unknowns,
        places: &[Point],
    ) -> DMatrix<f64> {
        loose_motions(network, unknowns, places, &self.rows)
    }
}

/// Movements of all points as one rigid body (two shifts and a turn, as far as fixed points allow) that change no observation,
/// orthonormal, one in each column.
fn loose_motions(
    network: &Network,
    unknowns: &Unknowns,
    places: &[Point],
    rows: &[Sparse],
) -> DMatrix<f64> {
    let fixed: Vec<Point> = (0..places.len())
        .filter(|&p| network.points[p].fixed)
        .map(|p| places[p])
        .collect();
    let count = places.len().max(1) as f64;
    let middle = places
        .iter()
        .fold(Vec2::ZERO, |sum, place| sum + place.to_vec2() / count)
        .to_point();
    let turn = |pivot: Point| move |point: usize| (places[point] - pivot).turn_90();
    let shift = |by: Vec2| move |_: usize| by;
    let mut motions: Vec<DVector<f64>> = match fixed[..] {
        [] => vec![
            unknowns.movement(shift(Vec2::new(1.0, 0.0))),
            unknowns.movement(shift(Vec2::new(0.0, 1.0))),
            unknowns.movement(turn(middle)),
        ],
        [pivot] => vec![unknowns.movement(turn(pivot))],
        _ => Vec::new(),
    };
    motions.retain_mut(|motion| motion.try_normalize_mut(0.0).is_some());
    if motions.is_empty() {
        return DMatrix::zeros(unknowns.count, 0);
    }
    let motions = DMatrix::from_columns(&motions).qr().q();
    let changes = DMatrix::from_fn(rows.len(), motions.ncols(), |row, motion| {
        rows[row]
            .iter()
            .map(|&(column, by)| by * motions[(column, motion)])
            .sum()
    });
    // Eigenvectors of the changes' squares: combinations of motions that change nothing have the value 0.
    let eigen = (changes.transpose() * &changes).symmetric_eigen();
    let kept =
        (0..motions.ncols()).filter(|&index| eigen.eigenvalues[index] < NO_CHANGE * NO_CHANGE);
    let kept: Vec<DVector<f64>> = kept
        .map(|index| &motions * eigen.eigenvectors.column(index))
        .collect();
    if kept.is_empty() {
        DMatrix::zeros(unknowns.count, 0)
    } else {
        DMatrix::from_columns(&kept)
    }
}
