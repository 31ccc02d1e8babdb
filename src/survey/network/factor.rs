//! Cholesky factors of large matrices.
//!
//! nalgebra's own factorisation goes column by column and takes seconds on two thousand unknowns; its products of matrices run at
//! the processor's full speed. So the matrix is halved until a block is small enough for nalgebra, and all else
//! is products (recursive block algorithms: Golub and Van Loan, *Matrix Computations*, 4th ed., 4.2.9).

use nalgebra::{Cholesky, DMatrix, DMatrixView, DMatrixViewMut, DVector};

/// Blocks of so many rows and fewer are not halved any more: below, the products cost more than they save.
const BLOCK: usize = 48;

/// The lower triangular L of A = LLᵀ.
pub(in crate::survey) struct Factor {
    lower: DMatrix<f64>,
}

impl Factor {
    /// Factorises a symmetric matrix, of which the lower triangle is read. `None` where it is not positive definite.
    pub(in crate::survey) fn of(mut matrix: DMatrix<f64>) -> Option<Self> {
        factorise(&mut matrix.as_view_mut())?;
        matrix.fill_upper_triangle(0.0, 1);
        Some(Self { lower: matrix })
    }

    /// The smallest and the largest pivot: squares of the factor's diagonal.
    pub(super) fn pivots(&self) -> [f64; 2] {
        let pivots = self.lower.diagonal().map(|root| root * root);
        [pivots.min(), pivots.max()]
    }

    /// x of Ax = b.
    pub(in crate::survey) fn solve(&self, right: &DVector<f64>) -> DVector<f64> {
        let mut solution = right.clone();
        self.lower
            .solve_lower_triangular_unchecked_mut(&mut solution);
        self.lower
            .tr_solve_lower_triangular_unchecked_mut(&mut solution);
        solution
    }

    /// A⁻¹ = MᵀM with M = L⁻¹.
    pub(in crate::survey) fn inverse(mut self) -> DMatrix<f64> {
        invert(&mut self.lower.as_view_mut());
        let mut inverse = DMatrix::zeros(self.lower.nrows(), self.lower.ncols());
        square(&self.lower.as_view(), &mut inverse.as_view_mut());
        inverse.fill_upper_triangle_with_lower_triangle();
        inverse
    }
}

/// A by its factor, in the lower triangle; what is above it is of no meaning.
fn factorise(matrix: &mut DMatrixViewMut<'_, f64>) -> Option<()> {
    let count = matrix.nrows();
    if count <= BLOCK {
        let factor = Cholesky::new(matrix.clone_owned())?;
        matrix.copy_from(factor.l_dirty());
        return Some(());
    }
    let half = count / 2;
    factorise(&mut matrix.view_mut((0, 0), (half, half)))?;
    let mut across = matrix.view((half, 0), (count - half, half)).transpose();
    solve_lower(
        &matrix.view((0, 0), (half, half)).as_view(),
        &mut across.as_view_mut(),
    );
    let below = across.transpose();
    matrix
        .view_mut((half, 0), (count - half, half))
        .copy_from(&below);
    let mut rest = matrix.view_mut((half, half), (count - half, count - half));
    add_symmetric(
        &mut rest.as_view_mut(),
        -1.0,
        &below.as_view(),
        &across.as_view(),
    );
    factorise(&mut rest.as_view_mut())
}

/// A + c·BC in the lower triangle of A, for a product that is symmetric.
fn add_symmetric(
    matrix: &mut DMatrixViewMut<'_, f64>,
    by: f64,
    left: &DMatrixView<'_, f64>,
    right: &DMatrixView<'_, f64>,
) {
    let count = matrix.nrows();
    if count <= 4 * BLOCK {
        matrix.gemm(by, left, right, 1.0);
        return;
    }
    let (half, rest) = (count / 2, count - count / 2);
    let (above, below) = (left.rows(0, half), left.rows(half, rest));
    let (first, second) = (right.columns(0, half), right.columns(half, rest));
    add_symmetric(
        &mut matrix.view_mut((0, 0), (half, half)),
        by,
        &above,
        &first,
    );
    matrix
        .view_mut((half, 0), (rest, half))
        .gemm(by, &below, &first, 1.0);
    add_symmetric(
        &mut matrix.view_mut((half, half), (rest, rest)),
        by,
        &below,
        &second,
    );
}

/// B by L⁻¹B.
fn solve_lower(lower: &DMatrixView<'_, f64>, right: &mut DMatrixViewMut<'_, f64>) {
    let count = lower.nrows();
    if count <= BLOCK {
        lower.solve_lower_triangular_unchecked_mut(right);
        return;
    }
    let half = count / 2;
    let (mut first, mut second) = right.rows_range_pair_mut(0..half, half..);
    solve_lower(&lower.view((0, 0), (half, half)), &mut first.as_view_mut());
    second.gemm(
        -1.0,
        &lower.view((half, 0), (count - half, half)),
        &first,
        1.0,
    );
    solve_lower(
        &lower.view((half, half), (count - half, count - half)),
        &mut second.as_view_mut(),
    );
}

/// L by L⁻¹, with nought above the diagonal before and after.
fn invert(lower: &mut DMatrixViewMut<'_, f64>) {
    let count = lower.nrows();
    if count <= BLOCK {
        let mut inverse = DMatrix::identity(count, count);
        lower.solve_lower_triangular_unchecked_mut(&mut inverse);
        lower.copy_from(&inverse);
        return;
    }
    let half = count / 2;
    invert(&mut lower.view_mut((0, 0), (half, half)));
    invert(&mut lower.view_mut((half, half), (count - half, count - half)));
    let below = lower.view((half, half), (count - half, count - half))
        * lower.view((half, 0), (count - half, half));
    let below = &below * lower.view((0, 0), (half, half));
    lower
        .view_mut((half, 0), (count - half, half))
        .copy_from(&-below);
}

/// MᵀM of a lower triangular M, in the lower triangle.
fn square(lower: &DMatrixView<'_, f64>, into: &mut DMatrixViewMut<'_, f64>) {
    let count = lower.nrows();
    if count <= BLOCK {
        into.copy_from(&(lower.transpose() * lower));
        return;
    }
    let half = count / 2;
    let corner = lower.view((half, half), (count - half, count - half));
    let below = lower.view((half, 0), (count - half, half));
    square(
        &lower.view((0, 0), (half, half)),
        &mut into.view_mut((0, 0), (half, half)),
    );
    add_symmetric(
        &mut into.view_mut((0, 0), (half, half)),
        1.0,
        &below.transpose().as_view(),
        &below,
    );
    square(
        &corner,
        &mut into.view_mut((half, half), (count - half, count - half)),
    );
    into.view_mut((half, 0), (count - half, half))
        .copy_from(&(corner.transpose() * below));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Symmetric, with eigenvalues between 1 and 1 + the number of rows, from a congruential sequence.
    fn matrix(count: usize) -> DMatrix<f64> {
        let mut state = 1_u32;
        let root = DMatrix::from_fn(count, count, |_, _| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24) - 0.5
        });
        &root * root.transpose() + DMatrix::identity(count, count)
    }

    #[test]
    fn blocks_give_what_the_whole_gives() {
        for count in [1, 2, BLOCK, BLOCK + 1, 2 * BLOCK + 3, 5 * BLOCK - 1] {
            let matrix = matrix(count);
            let expected = Cholesky::new(matrix.clone()).unwrap();
            let factor = Factor::of(matrix.clone()).unwrap();
            assert!((&factor.lower - expected.l()).amax() < 1e-12);
            let right = DVector::from_fn(count, |row, _| row as f64 - 3.0);
            assert!((&matrix * factor.solve(&right) - &right).amax() < 1e-9);
            let inverse = factor.inverse();
            assert!((&matrix * &inverse - DMatrix::identity(count, count)).amax() < 1e-11);
            assert_eq!(inverse, inverse.transpose());
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_has_no_factor() {
        for count in [3, 3 * BLOCK] {
            let mut matrix = matrix(count);
            matrix[(count - 2, count - 2)] = -1.0;
            assert!(Factor::of(matrix).is_none());
        }
    }
}
