//! What a set of readings tells of every mark, kept up to date while readings come and go.
//!
//! Readings with weights p and derivatives a give N = Σ p a aᵀ over the coordinates of all marks. Shifts and a turn of
//! the whole change no distance; they are held by GGᵀ, and whatever else is loose by [`LOOSE_WEIGHT`], so that
//! Q = (N + GGᵀ + εI)⁻¹ always exists. How far a mark lies off the best rigid fit of all other marks is
//! d = B x (an S-transformation with the others as datum, after Baarda); it does not see G, so its covariance B Q Bᵀ
//! is that of any datum. Taking a reading out, or putting one in, changes Q by a product of one vector with
//! itself (Sherman and Morrison), which changes B Q and B Q Bᵀ the same way.

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector, Matrix3, Vector3};

use crate::survey::{Covariance, DesignRow, Geometry};

/// Weight in mm⁻² of every coordinate by itself: as if each mark were known beforehand to 10 m. It makes what no
/// reading holds come out as metres instead of a fault, and adds less than 1e-7 to what one holds.
const LOOSE_WEIGHT: f64 = 1e-8;

/// A reading of the network: derivatives by the places of its points, mm per mm, and weight, mm⁻².
#[derive(Clone, Debug)]
pub(super) struct PlannedReading {
    pub row: Vec<(usize, Vec2)>,
    pub weight: f64,
}

impl PlannedReading {
    /// A reading at the designed places; `None` where its points coincide.
    pub(super) fn of(geometry: Geometry, sd: f64, places: &[Point]) -> Option<Self> {
        let row = DesignRow::at(geometry, |index| places[index])?.derivatives;
        Some(Self {
            row,
            weight: sd.powi(-2),
        })
    }

    /// The product of its derivatives with a vector over all coordinates.
    pub(super) fn dot(&self, vector: &DVector<f64>) -> f64 {
        self.row
            .iter()
            .map(|(point, by)| by.x * vector[2 * point] + by.y * vector[2 * point + 1])
            .sum()
    }

    /// A matrix over all coordinates times its derivatives.
    fn times(&self, matrix: &DMatrix<f64>) -> DVector<f64> {
        let mut product = DVector::zeros(matrix.nrows());
        for (point, by) in &self.row {
            product.axpy(by.x, &matrix.column(2 * point), 1.0);
            product.axpy(by.y, &matrix.column(2 * point + 1), 1.0);
        }
        product
    }
}

/// Cofactors of a network of readings.
#[derive(Clone, Debug)]
pub(super) struct Cofactors {
    /// Q, mm².
    q: DMatrix<f64>,
    /// B Q: how every mark's displacement goes with every coordinate.
    displaced: DMatrix<f64>,
    /// Covariance of every mark's displacement against the others, mm².
    pub marks: Vec<Covariance>,
}

/// What a single reading does to the network, worked out once and used for all marks.
#[derive(Clone, Debug)]
pub(super) struct Effect {
    /// Q a.
    pub q: DVector<f64>,
    /// B Q a.
    displaced: DVector<f64>,
    /// p aᵀQa: above 0; for a reading that is in, 1 less its redundancy.
    pub leverage: f64,
    weight: f64,
}

impl Effect {
    /// Factor of the change of Q when the reading is taken out.
    pub(super) fn out(&self) -> f64 {
        self.weight / (1.0 - self.leverage)
    }

    /// Factor of the change of Q when it is put in.
    pub(super) fn put_in(&self) -> f64 {
        -self.weight / (1.0 + self.leverage)
    }

    /// A mark's covariance after a change by `factor`.
    pub(super) fn covariance(&self, mark: usize, before: Covariance, factor: f64) -> Covariance {
        let (x, y) = (self.displaced[2 * mark], self.displaced[2 * mark + 1]);
        Covariance::new(
            factor.mul_add(x * x, before.xx),
            factor.mul_add(x * y, before.xy),
            factor.mul_add(y * y, before.yy),
        )
    }
}

impl Cofactors {
    /// The cofactors of some readings between marks at their designed places, at least three marks.
    pub(super) fn of<'r>(
        places: &[Point],
        readings: impl Iterator<Item = &'r PlannedReading>,
    ) -> Self {
        let size = 2 * places.len();
        let mut normal = DMatrix::identity(size, size) * LOOSE_WEIGHT;
        for reading in readings {
            for (i, a) in &reading.row {
                for (j, b) in &reading.row {
                    for (row, left) in [(2 * i, a.x), (2 * i + 1, a.y)] {
                        normal[(row, 2 * j)] += reading.weight * left * b.x;
                        normal[(row, 2 * j + 1)] += reading.weight * left * b.y;
                    }
                }
            }
        }
        let rigid = rigid(places);
        let held = rigid.clone().qr().q();
        normal += &held * held.transpose();
        let q = normal
            .cholesky()
            .expect("a positive diagonal was added to a semidefinite matrix")
            .inverse();
        let against_others = against_others(&rigid);
        let displaced = &against_others * &q;
        let marks = (0..places.len())
            .map(|mark| {
                let entry = |row: usize, column: usize| {
                    displaced
                        .row(2 * mark + row)
                        .dot(&against_others.row(2 * mark + column))
                };
                Covariance::new(entry(0, 0), entry(0, 1), entry(1, 1))
            })
            .collect();
        Self {
            q,
            displaced,
            marks,
        }
    }

    /// What a reading does.
    pub(super) fn effect(&self, reading: &PlannedReading) -> Effect {
        let q = reading.times(&self.q);
        let leverage = reading.weight * reading.dot(&q);
        Effect {
            displaced: reading.times(&self.displaced),
            leverage,
            weight: reading.weight,
            q,
        }
    }

    /// Changes the network by a reading, by the factor of [`Effect::out`] or [`Effect::put_in`].
    pub(super) fn change(&mut self, effect: &Effect, factor: f64) {
        self.q.ger(factor, &effect.q, &effect.q, 1.0);
        self.displaced
            .ger(factor, &effect.displaced, &effect.q, 1.0);
        for mark in 0..self.marks.len() {
            self.marks[mark] = effect.covariance(mark, self.marks[mark], factor);
        }
    }

    /// Redundancy of a reading that is in: the part of its error that the others show.
    pub(super) fn redundancy(&self, reading: &PlannedReading) -> f64 {
        1.0 - reading.weight * reading.dot(&reading.times(&self.q))
    }
}

/// Movements of the whole as a rigid body, in metres and radians times metres about the middle, so that all three
/// columns are of one size.
fn rigid(places: &[Point]) -> DMatrix<f64> {
    let count = places.len() as f64;
    let middle = places
        .iter()
        .fold(Vec2::ZERO, |sum, place| sum + place.to_vec2() / count)
        .to_point();
    DMatrix::from_fn(2 * places.len(), 3, |row, column| {
        let from_middle = (places[row / 2] - middle) / 1000.0;
        match (column, row % 2) {
            (0, 0) | (1, 1) => 1.0,
            (2, 0) => -from_middle.y,
            (2, _) => from_middle.x,
            _ => 0.0,
        }
    })
}

/// B: for each mark, its own movement less that of the best rigid fit of all others at its place.
fn against_others(rigid: &DMatrix<f64>) -> DMatrix<f64> {
    let size = rigid.nrows();
    let whole = rigid.transpose() * rigid;
    let mut rows = DMatrix::zeros(size, size);
    for mark in 0..size / 2 {
        let own = rigid.rows(2 * mark, 2).into_owned();
        let others = &whole - own.transpose() * &own;
        let others = Matrix3::from_iterator(others.iter().copied());
        // Others that all lie on one place hold no turn; the pseudo-inverse then takes none.
        let inverse = others.try_inverse().unwrap_or_else(|| {
            others
                .pseudo_inverse(f64::EPSILON)
                .unwrap_or_else(|_| Matrix3::zeros())
        });
        for axis in 0..2 {
            let fit = inverse * Vector3::new(own[(axis, 0)], own[(axis, 1)], own[(axis, 2)]);
            for column in 0..size {
                let part: f64 = (0..3).map(|k| fit[k] * rigid[(column, k)]).sum();
                rows[(2 * mark + axis, column)] = if column / 2 == mark { 0.0 } else { -part };
            }
            rows[(2 * mark + axis, 2 * mark + axis)] = 1.0;
        }
    }
    rows
}
