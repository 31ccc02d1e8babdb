//! What is known once some lays are taped, kept up to date as lays come and go.

use nalgebra::{DMatrix, DVector, DVectorView, Matrix2, Matrix3};

use super::ground::{Ground, Term};
use crate::survey::network::Factor;

/// Covariances that a set of lays leaves.
#[derive(Clone, Debug)]
pub(super) struct State {
    /// Of all unknowns.
    pub covariance: DMatrix<f64>,
    /// Of each mark's place against the vehicle, mm².
    pub places: Vec<Matrix2<f64>>,
    /// Of what the rows of laying of each mark come to, mm².
    pub laid: Vec<Matrix2<f64>>,
    /// Of the grid's pose.
    pub pose: Matrix3<f64>,
}

/// What a change of the readings' weights does: the covariance becomes Q − (G K) Gᵀ. Whoever asks for a part of it
/// multiplies rows of both, and never the middle again.
#[derive(Clone, Debug)]
pub(super) struct Change {
    /// G = Q Bᵀ with the rows B of the readings.
    by: DMatrix<f64>,
    /// G K with K = ΔW (I + B Q Bᵀ ΔW)⁻¹ for a change ΔW of their weight.
    left: DMatrix<f64>,
}

impl State {
    /// Nothing taped yet.
    pub(super) fn of(ground: &Ground) -> Self {
        let mut state = Self {
            covariance: ground.covariance.clone(),
            places: Vec::new(),
            laid: Vec::new(),
            pose: Matrix3::zeros(),
        };
        state.refresh(ground);
        state
    }

    /// The state after readings whose weights sum up to `normal` in the normal matrix: solved anew.
    pub(super) fn with_all<'r>(
        ground: &Ground,
        lays: impl Iterator<Item = (&'r [Vec<Term>], DMatrix<f64>)>,
    ) -> Self {
        let count = ground.columns.count();
        let mut normal = DMatrix::zeros(count, count);
        for row in &ground.promises {
            let weight = DMatrix::from_element(1, 1, row.sd.powi(-2));
            add(&mut normal, std::slice::from_ref(&row.terms), &weight);
        }
        for (rows, weight) in lays {
            add(&mut normal, rows, &weight);
        }
        let factor =
            Factor::of(normal).expect("every unknown has a row that says what it is by itself");
        let mut state = Self {
            covariance: factor.inverse(),
            places: Vec::new(),
            laid: Vec::new(),
            pose: Matrix3::zeros(),
        };
        state.refresh(ground);
        state
    }

    fn refresh(&mut self, ground: &Ground) {
        let q = &self.covariance;
        let marks = 0..ground.marks();
        self.places = marks
            .clone()
            .map(|mark| q.fixed_view::<2, 2>(2 * mark, 2 * mark).into_owned())
            .collect();
        let laid = |mark: usize| {
            let [x, y] = &ground.laid[mark];
            let (xx, xy, yy) = (product(q, x, x), product(q, x, y), product(q, y, y));
            Matrix2::new(xx, xy, xy, yy)
        };
        self.laid = marks.map(laid).collect();
        let pose = ground.columns.pose();
        self.pose = q.fixed_view::<3, 3>(pose, pose).into_owned();
    }

    /// What a change of weights of some readings does; `None` where it would leave nothing known.
    ///
    /// From (Q⁻¹ + BᵀΔW B)⁻¹ by the matrix inversion lemma in the form that needs no inverse of ΔW.
    pub(super) fn change(&self, rows: &[Vec<Term>], weight: &DMatrix<f64>) -> Option<Change> {
        let mut by = DMatrix::zeros(self.covariance.nrows(), rows.len());
        for (index, row) in rows.iter().enumerate() {
            by.set_column(index, &self.times(row));
        }
        let fitted = DMatrix::from_fn(rows.len(), rows.len(), |i, j| dot(&rows[i], &by.column(j)));
        let left = &by * middle(&fitted, weight)?;
        Some(Change { by, left })
    }

    /// K of a change, without what it does to each unknown.
    pub(super) fn middle(&self, rows: &[Vec<Term>], weight: &DMatrix<f64>) -> Option<DMatrix<f64>> {
        middle(&self.fitted(rows), weight)
    }

    /// Q bᵀ of a row.
    pub(super) fn times(&self, row: &[Term]) -> DVector<f64> {
        let mut product = DVector::zeros(self.covariance.nrows());
        for &(at, factor) in row {
            product.axpy(factor, &self.covariance.column(at), 1.0);
        }
        product
    }

    /// Takes a change over.
    pub(super) fn apply(&mut self, change: &Change, ground: &Ground) {
        self.covariance
            .gemm(-1.0, &change.left, &change.by.transpose(), 1.0);
        self.refresh(ground);
    }

    /// A mark's covariance against the vehicle after a change.
    pub(super) fn place(&self, mark: usize, change: Option<&Change>) -> Matrix2<f64> {
        let Some(change) = change else {
            return self.places[mark];
        };
        self.places[mark] - change.taken(|column| [column[2 * mark], column[2 * mark + 1]])
    }

    /// The covariance of a mark's rows of laying after a change.
    pub(super) fn laid(
        &self,
        mark: usize,
        change: Option<&Change>,
        ground: &Ground,
    ) -> Matrix2<f64> {
        let Some(change) = change else {
            return self.laid[mark];
        };
        let [x, y] = &ground.laid[mark];
        self.laid[mark] - change.taken(|column| [dot(x, column), dot(y, column)])
    }

    /// The covariance of the grid's pose after a change.
    pub(super) fn pose(&self, change: Option<&Change>, ground: &Ground) -> Matrix3<f64> {
        let Some(change) = change else {
            return self.pose;
        };
        let pose = ground.columns.pose();
        self.pose - change.left.fixed_rows::<3>(pose) * change.by.fixed_rows::<3>(pose).transpose()
    }

    /// The covariance of what a lay's rows come to.
    pub(super) fn fitted(&self, rows: &[Vec<Term>]) -> DMatrix<f64> {
        DMatrix::from_fn(rows.len(), rows.len(), |i, j| {
            product(&self.covariance, &rows[i], &rows[j])
        })
    }
}

impl Change {
    /// Columns of G with those of G K.
    pub(super) fn columns(
        &self,
    ) -> impl Iterator<Item = (DVectorView<'_, f64>, DVectorView<'_, f64>)> {
        self.by.column_iter().zip(self.left.column_iter())
    }

    /// What the covariance of two combinations of unknowns loses; `of` has both for a column of unknowns.
    fn taken(&self, of: impl Fn(&DVectorView<'_, f64>) -> [f64; 2]) -> Matrix2<f64> {
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for (by, left) in self.columns() {
            let ([by_x, by_y], [left_x, left_y]) = (of(&by), of(&left));
            (xx, xy, yy) = (xx + left_x * by_x, xy + left_x * by_y, yy + left_y * by_y);
        }
        Matrix2::new(xx, xy, xy, yy)
    }
}

/// K = ΔW (I + F ΔW)⁻¹ with F, the covariance of what the readings' rows come to.
fn middle(fitted: &DMatrix<f64>, weight: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    let inner = DMatrix::identity(weight.nrows(), weight.ncols()) + fitted * weight;
    Some(weight * inner.try_inverse()?)
}

/// Rows times a column.
pub(super) fn seen_by(rows: &[Vec<Term>], column: &DVectorView<'_, f64>) -> DVector<f64> {
    DVector::from_iterator(rows.len(), rows.iter().map(|row| dot(row, column)))
}

fn dot(row: &[Term], column: &DVectorView<'_, f64>) -> f64 {
    row.iter().map(|&(at, factor)| factor * column[at]).sum()
}

fn product(q: &DMatrix<f64>, left: &[Term], right: &[Term]) -> f64 {
    left.iter()
        .map(|&(i, a)| a * right.iter().map(|&(j, b)| b * q[(i, j)]).sum::<f64>())
        .sum()
}

fn add(normal: &mut DMatrix<f64>, rows: &[Vec<Term>], weight: &DMatrix<f64>) {
    for (index, left) in rows.iter().enumerate() {
        for (other, right) in rows.iter().enumerate() {
            let weight = weight[(index, other)];
            for &(i, a) in left {
                for &(j, b) in right {
                    normal[(i, j)] += weight * a * b;
                }
            }
        }
    }
}
