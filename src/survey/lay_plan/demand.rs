//! What a set of lays proves, and how much of what is asked for is missing.

use kurbo::Point;
use nalgebra::{DMatrix, Matrix2, Matrix3, Vector3};

use super::{
    figures::{LARGEST_HIDDEN_ERROR_MM, MARK_FACTOR, RADIUS_FACTOR, SHIFT_FACTOR, TURN_FACTOR},
    ground::Ground,
    radius::{eigenvalues, radius},
    state::{Change, State},
};
use crate::survey::{TURN_THAT_NEVER_PASSES_DEG, non_centrality};

/// Variance of the grid's pose where nothing moved it is far below that of any reading, so what the readings say of it
/// is what it loses; less than this part of it is rounding.
const LEAST_INFORMATION: f64 = 1e-10;

/// The grid's middle, and how far its marks lie from it, m.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    middle: Point,
    reach: Vec<f64>,
}

/// Standard deviations of a shift forward, one to the left, and a turn about the middle, the latter per metre of
/// distance, mm; infinite where nothing tells.
#[derive(Clone, Copy, Debug)]
pub(super) struct GridSd {
    pub forward: f64,
    pub left: f64,
    pub turn: f64,
}

impl Grid {
    /// Of a layout's marks. A mark counts as far enough out for a turn of half of what never passes to move it by its
    /// tolerance, mm.
    pub(super) fn of(places: &[Point], tolerances: &[f64]) -> Self {
        let sum = places
            .iter()
            .fold(kurbo::Vec2::ZERO, |sum, at| sum + at.to_vec2());
        let middle = (sum / places.len().max(1) as f64).to_point();
        let turn = (TURN_THAT_NEVER_PASSES_DEG / 2.0).to_radians() * 1000.0;
        let reach =
            |(at, tolerance): (&Point, &f64)| (at.distance(middle) / 1000.0).max(tolerance / turn);
        Self {
            middle,
            reach: places.iter().zip(tolerances).map(reach).collect(),
        }
    }

    /// What the readings alone say of the grid's pose at its middle, (mm)⁻² and with the turn in mm per metre:
    /// M = P − P C P for its promise P and covariance C (the information that a free pose would have).
    fn information(&self, state: &State, change: Option<&Change>, ground: &Ground) -> Matrix3<f64> {
        let rest = ground.pose_at_rest();
        let posterior = state.pose(change, ground);
        let own = (Matrix3::identity() * rest - posterior) / (rest * rest);
        // A shift at the middle is one at the origin and what the turn adds on the way.
        let (x, y) = (self.middle.x / 1000.0, self.middle.y / 1000.0);
        let back = Matrix3::new(1.0, 0.0, y, 0.0, 1.0, -x, 0.0, 0.0, 1.0);
        back.transpose() * own * back
    }

    /// Standard deviations of the grid's mistake.
    pub(super) fn sd(&self, state: &State, change: Option<&Change>, ground: &Ground) -> GridSd {
        let information = self.information(state, change, ground);
        let nothing = GridSd {
            forward: f64::INFINITY,
            left: f64::INFINITY,
            turn: f64::INFINITY,
        };
        if information.symmetric_eigenvalues().min() < LEAST_INFORMATION / ground.pose_at_rest() {
            return nothing;
        }
        let Some(inverse) = information.try_inverse() else {
            return nothing;
        };
        let [forward, left, turn] = [0, 1, 2].map(|index| inverse[(index, index)].max(0.0).sqrt());
        GridSd {
            forward,
            left,
            turn,
        }
    }

    /// How far the mark lies from the middle, m.
    pub(super) fn reach(&self, mark: usize) -> f64 {
        self.reach[mark]
    }

    /// What is missing of a grid that marks of these tolerances need: for each of three directions the part that
    /// the readings do not tell, 0 to 3.
    fn missing(
        &self,
        state: &State,
        change: Option<&Change>,
        ground: &Ground,
        goals: &[f64],
    ) -> f64 {
        let shift = goals.iter().copied().fold(f64::INFINITY, f64::min) / SHIFT_FACTOR;
        let goals = goals.iter();
        let turns = goals.zip(&self.reach).filter(|(_, reach)| **reach > 0.0);
        let turn = turns
            .map(|(goal, reach)| goal / reach)
            .fold(f64::INFINITY, f64::min)
            / TURN_FACTOR;
        let turn = if turn.is_finite() { turn } else { shift };
        let scale = Matrix3::from_diagonal(&Vector3::new(shift, shift, turn));
        let scaled = scale * self.information(state, change, ground) * scale;
        scaled
            .symmetric_eigenvalues()
            .iter()
            .map(|value| (1.0 - value).max(0.0))
            .sum()
    }
}

/// What is known of a mark's mistake of laying without its own promise, mm⁻²: M = W − W C W with the weights W of its
/// rows and the covariance C of what they come to.
fn mistake(ground: &Ground, mark: usize, laid: &Matrix2<f64>) -> Matrix2<f64> {
    let own = ground.prior.own[mark];
    let weight = Matrix2::new(own.x.powi(-2), 0.0, 0.0, own.y.powi(-2));
    weight - weight * laid * weight
}

/// What a state proves of a mark by itself, mm: the tightest tolerance for which the mark is found where it lies, and a
/// mistake in laying it is found.
pub(super) fn provable(
    state: &State,
    change: Option<&Change>,
    ground: &Ground,
    mark: usize,
) -> f64 {
    let by_radius = RADIUS_FACTOR * radius(&state.place(mark, change));
    let [_, least] = eigenvalues(&mistake(ground, mark, &state.laid(mark, change, ground)));
    let own = ground.prior.own[mark];
    if least < LEAST_INFORMATION / own.x.max(own.y).powi(2) {
        return f64::INFINITY;
    }
    by_radius.max(MARK_FACTOR / least.sqrt())
}

/// What a grid's standard deviations leave provable of a mark, mm.
pub(super) fn provable_of_grid(sd: &GridSd, reach: f64) -> f64 {
    let turn = if reach > 0.0 {
        TURN_FACTOR * sd.turn * reach
    } else {
        0.0
    };
    (SHIFT_FACTOR * sd.forward.max(sd.left)).max(turn)
}

/// What is missing of a mark's demand: the part by which its circle is too large, and for each of two directions the
/// part that readings do not tell of its mistake; 0 where it is met, at most 3.
fn missing_of_mark(
    state: &State,
    change: Option<&Change>,
    ground: &Ground,
    mark: usize,
    goal: f64,
) -> f64 {
    let by_radius = RADIUS_FACTOR * radius(&state.place(mark, change));
    let needed = (goal / MARK_FACTOR).powi(2);
    let told = eigenvalues(&mistake(ground, mark, &state.laid(mark, change, ground)));
    let untold: f64 = told
        .iter()
        .map(|value| (1.0 - value * needed).max(0.0))
        .sum();
    untold + (1.0 - goal / by_radius).max(0.0)
}

/// What is missing of all marks and the grid, which counts as much as a quarter of the marks.
pub(super) fn missing(
    state: &State,
    change: Option<&Change>,
    ground: &Ground,
    grid: &Grid,
    [of_marks, of_grid]: [&[f64]; 2],
) -> f64 {
    const GRID_WEIGHT: f64 = 0.25;
    let marks: f64 = of_marks
        .iter()
        .enumerate()
        .map(|(mark, &goal)| missing_of_mark(state, change, ground, mark, goal))
        .sum();
    marks + GRID_WEIGHT * of_marks.len() as f64 * grid.missing(state, change, ground, of_grid)
}

/// Redundancies of a lay's readings: of the noise that each has by itself, the part that the others show. With the lay's
/// weight W and the covariance F of what its rows come to: r = sd² (W − W F W) (the lay's zero is in W).
pub(super) fn redundancies(weight: &DMatrix<f64>, fitted: &DMatrix<f64>, sd: f64) -> Vec<f64> {
    let told = weight - weight * fitted * weight;
    told.diagonal()
        .iter()
        .map(|value| sd * sd * value)
        .collect()
}

/// Least redundancy with which an error of `times` [`LARGEST_HIDDEN_ERROR_MM`] in a reading is found (Baarda).
pub(super) fn least_redundancy(sd: f64, times: f64) -> f64 {
    (sd * non_centrality() / (times * LARGEST_HIDDEN_ERROR_MM)).powi(2)
}
