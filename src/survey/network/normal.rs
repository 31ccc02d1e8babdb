//! Normal equations of a network, and which of its movements nothing holds.

use kurbo::{Point, Vec2};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::{Network, Row};

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
        Self { columns: columns.collect(), count }
    }

    /// Column of a point's x.
    pub(super) fn column(&self, point: usize) -> Option<usize> {
        self.columns[point]
    }

    /// A row's derivatives by column.
    pub(super) fn sparse(&self, row: &Row) -> Vec<(usize, f64)> {
        let by_point = row.derivatives.iter().filter_map(|&(point, by)| Some((self.column(point)?, by)));
        by_point.flat_map(|(column, by)| [(column, by.x), (column + 1, by.y)]).collect()
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

/// A network linearised at some places.
pub(super) struct Linearised {
    /// Derivatives of each observation by column.
    pub rows: Vec<Vec<(usize, f64)>>,
    /// Observed minus computed, mm.
    pub misclosures: Vec<f64>,
    /// AᵀPA in mm⁻².
    pub normal: DMatrix<f64>,
    /// AᵀP times the misclosures.
    pub right: DVector<f64>,
    /// Orthonormal movements of the whole that change no observation, by column: what a datum has to hold.
    pub loose: DMatrix<f64>,
}

impl Linearised {
    /// Linearises at places; `Err` with the index of an observation whose points coincide.
    pub(super) fn at(network: &Network, unknowns: &Unknowns, places: &[Point]) -> Result<Self, usize> {
        let mut rows = Vec::with_capacity(network.observations.len());
        let mut misclosures = Vec::with_capacity(network.observations.len());
        let mut normal = DMatrix::zeros(unknowns.count, unknowns.count);
        let mut right = DVector::zeros(unknowns.count);
        for (index, observation) in network.observations.iter().enumerate() {
            let row = Row::at(observation.geometry, |point| places[point]).ok_or(index)?;
            let (sparse, misclosure) = (unknowns.sparse(&row), observation.value - row.value);
            let weight = observation.sd.powi(-2);
            for &(i, a) in &sparse {
                right[i] += weight * a * misclosure;
                for &(j, b) in &sparse {
                    normal[(i, j)] += weight * a * b;
                }
            }
            rows.push(sparse);
            misclosures.push(misclosure);
        }
        let loose = loose_motions(network, unknowns, places, &rows);
        Ok(Self { rows, misclosures, normal, right, loose })
    }

    /// Weighted sum of squares of the misclosures.
    pub(super) fn squares(&self, network: &Network) -> f64 {
        self.misclosures.iter().zip(&network.observations).map(|(l, o)| (l / o.sd).powi(2)).sum()
    }

    /// Mean of the normal equations' diagonal: the size of what is added to them.
    pub(super) fn scale(&self) -> f64 {
        (self.normal.trace() / self.normal.nrows().max(1) as f64).max(f64::MIN_POSITIVE)
    }

    /// The normal equations with the datum's inner constraints, N + c·GGᵀ, factorised. `None` where
    /// more than the datum is not held.
    pub(super) fn factorised(&self) -> Option<Cholesky<f64, Dyn>> {
        let bordered = &self.normal + &self.loose * self.loose.transpose() * self.scale();
        let factor = Cholesky::new(bordered)?;
        let pivots = factor.l_dirty().diagonal().map(|pivot| pivot * pivot);
        (pivots.min() > LEAST_PIVOT * pivots.max()).then_some(factor)
    }

    /// The factor of equations damped so that they can always be solved (Levenberg's method).
    pub(super) fn damped(&self, damping: f64) -> Option<Cholesky<f64, Dyn>> {
        let count = self.normal.nrows();
        Cholesky::new(&self.normal + DMatrix::identity(count, count) * (damping * self.scale()))
    }

    /// Cofactors of the unknowns, mm²: the inverse of the bordered equations without the datum's part. For a free
    /// network these are those of inner constraints, with the least trace of all datums.
    pub(super) fn cofactors(&self, factor: &Cholesky<f64, Dyn>) -> DMatrix<f64> {
        factor.inverse() - &self.loose * self.loose.transpose() / self.scale()
    }
}

/// Movements of all points as one rigid body (two shifts and a turn, as far as fixed points allow) that change no observation,
/// orthonormal, one in each column.
fn loose_motions(network: &Network, unknowns: &Unknowns, places: &[Point], rows: &[Vec<(usize, f64)>]) -> DMatrix<f64> {
    let fixed: Vec<Point> = (0..places.len()).filter(|&p| network.points[p].fixed).map(|p| places[p]).collect();
    let count = places.len().max(1) as f64;
    let middle = places.iter().fold(Vec2::ZERO, |sum, place| sum + place.to_vec2() / count).to_point();
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
        rows[row].iter().map(|&(column, by)| by * motions[(column, motion)]).sum()
    });
    // Eigenvectors of the changes' squares: combinations of motions that change nothing have the value 0.
    let eigen = (changes.transpose() * &changes).symmetric_eigen();
    let kept = (0..motions.ncols()).filter(|&index| eigen.eigenvalues[index] < NO_CHANGE * NO_CHANGE);
    let kept: Vec<DVector<f64>> = kept.map(|index| &motions * eigen.eigenvectors.column(index)).collect();
    if kept.is_empty() { DMatrix::zeros(unknowns.count, 0) } else { DMatrix::from_columns(&kept) }
}
