//! What is known once some lays are taped, kept up to date as lays come and go.

use nalgebra::{DMatrix, Matrix2, Matrix3};

use super::ground::{Ground, Term};

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

/// What a change of the readings' weights does: the covariance becomes Q − G K Gᵀ.
#[derive(Clone, Debug)]
pub(super) struct Change {
    /// Q Bᵀ with the rows B of the readings.
    pub by: DMatrix<f64>,
    /// K = ΔW (I + B Q Bᵀ ΔW)⁻¹ for a change ΔW of their weight.
    pub middle: DMatrix<f64>,
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
    pub(super) fn with_all<'r>(ground: &Ground, lays: impl Iterator<Item = (&'r [Vec<Term>], DMatrix<f64>)>) -> Self {
        let count = ground.columns.count();
        let mut normal = DMatrix::zeros(count, count);
        for row in &ground.promises {
            let weight = DMatrix::from_element(1, 1, row.sd.powi(-2));
            add(&mut normal, std::slice::from_ref(&row.terms), &weight);
        }
        for (rows, weight) in lays {
            add(&mut normal, rows, &weight);
        }
        let factor = normal.cholesky().expect("every unknown has a row that says what it is by itself");
        let mut state =
            Self { covariance: factor.inverse(), places: Vec::new(), laid: Vec::new(), pose: Matrix3::zeros() };
        state.refresh(ground);
        state
    }

    fn refresh(&mut self, ground: &Ground) {
        let q = &self.covariance;
        let marks = 0..ground.marks();
        self.places = marks.clone().map(|mark| q.fixed_view::<2, 2>(2 * mark, 2 * mark).into_owned()).collect();
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
            let mut column = by.column_mut(index);
            for &(at, factor) in row {
                column.axpy(factor, &self.covariance.column(at), 1.0);
            }
        }
        let fitted = DMatrix::from_fn(rows.len(), rows.len(), |i, j| dot(&rows[i], &by, j));
        let inner = DMatrix::identity(rows.len(), rows.len()) + fitted * weight;
        let middle = weight * inner.try_inverse()?;
        Some(Change { by, middle })
    }

    /// Takes a change over.
    pub(super) fn apply(&mut self, change: &Change, ground: &Ground) {
        let left = &change.by * &change.middle;
        self.covariance.gemm(-1.0, &left, &change.by.transpose(), 1.0);
        self.refresh(ground);
    }

    /// A mark's covariance against the vehicle after a change.
    pub(super) fn place(&self, mark: usize, change: Option<&Change>) -> Matrix2<f64> {
        let Some(change) = change else { return self.places[mark] };
        let part = change.by.rows(2 * mark, 2);
        self.places[mark] - pair(&(part * &change.middle * part.transpose()))
    }

    /// The covariance of a mark's rows of laying after a change.
    pub(super) fn laid(&self, mark: usize, change: Option<&Change>, ground: &Ground) -> Matrix2<f64> {
        let Some(change) = change else { return self.laid[mark] };
        let part = change.seen_by(&ground.laid[mark]);
        self.laid[mark] - pair(&(&part * &change.middle * part.transpose()))
    }

    /// The covariance of the grid's pose after a change.
    pub(super) fn pose(&self, change: Option<&Change>, ground: &Ground) -> Matrix3<f64> {
        let Some(change) = change else { return self.pose };
        let part = change.by.rows(ground.columns.pose(), 3);
        self.pose - (part * &change.middle * part.transpose()).fixed_view::<3, 3>(0, 0)
    }

    /// The covariance of what a lay's rows come to after a change.
    pub(super) fn fitted(&self, rows: &[Vec<Term>], change: Option<&Change>) -> DMatrix<f64> {
        let q = &self.covariance;
        let mut fitted = DMatrix::from_fn(rows.len(), rows.len(), |i, j| product(q, &rows[i], &rows[j]));
        if let Some(change) = change {
            let part = change.seen_by(rows);
            fitted -= &part * &change.middle * part.transpose();
        }
        fitted
    }
}

impl Change {
    /// Rows times G.
    fn seen_by(&self, rows: &[Vec<Term>]) -> DMatrix<f64> {
        DMatrix::from_fn(rows.len(), self.by.ncols(), |i, j| dot(&rows[i], &self.by, j))
    }
}

fn dot(row: &[Term], by: &DMatrix<f64>, column: usize) -> f64 {
    row.iter().map(|&(at, factor)| factor * by[(at, column)]).sum()
}

fn product(q: &DMatrix<f64>, left: &[Term], right: &[Term]) -> f64 {
    left.iter().map(|&(i, a)| a * right.iter().map(|&(j, b)| b * q[(i, j)]).sum::<f64>()).sum()
}

fn pair(matrix: &DMatrix<f64>) -> Matrix2<f64> {
    matrix.fixed_view::<2, 2>(0, 0).into_owned()
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
