//! How probable it is that marks lie within their tolerances, over all that may explain the readings.

use kurbo::{Point, Vec2};
use nalgebra::DMatrix;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::believed::Believed;
use crate::{
    survey::{
        Covariance,
        belief::{Explanation, Fault},
    },
    units::ROUND_OFF,
};

/// Explanations less probable than this are passed over.
const NEGLIGIBLE: f64 = 1e-4;

/// With more marks the joint probability is bounded and not drawn.
const MOST_DRAWN: usize = 120;

/// Draws for the joint probability: its standard deviation at 90 % is below 0.5 %.
const DRAWS: usize = 4000;

/// What one explanation says of the marks.
pub(super) struct ExplainedMarks<'b> {
    /// The explanation.
    pub explanation: &'b Explanation,
    /// Its share, all shares adding up to 1.
    pub weight: f64,
    /// Displacement of each mark against the vehicle, mm, and its covariance.
    pub vehicle: Vec<(Vec2, Covariance)>,
    /// The same within the grid: against the best rigid fit of the marks.
    pub grid: Vec<(Vec2, Covariance)>,
}

/// All views of a layout.
pub(super) struct Conformance<'b> {
    /// The views, the most probable first.
    pub views: Vec<ExplainedMarks<'b>>,
    /// The grid's pose and the marks that it is fitted over.
    pub fit: Fit,
}

/// The linear fit of the grid as a rigid body.
pub(super) struct Fit {
    /// Rows that take marks' displacements to shift forward, to the left (mm) and turn (mm per metre), about the origin.
    pose: DMatrix<f64>,
    designs: Vec<Point>,
}

impl Fit {
    /// A fit over the marks that are not said to be wrong by themselves; over all where too few are left.
    fn of(believed: &Believed<'_>) -> Self {
        let marks = believed.marks();
        let designs: Vec<Point> = believed.layout.network.points[..marks]
            .iter()
            .map(|point| point.start)
            .collect();
        let wrong: Vec<usize> = believed
            .faults(&believed.explanations[0])
            .filter_map(|fault| {
                if let Fault::Mark(point) = fault {
                    Some(point)
                } else {
                    None
                }
            })
            .collect();
        let over: Vec<usize> = (0..marks).filter(|mark| !wrong.contains(mark)).collect();
        let over = if over.len() < 3 {
            (0..marks).collect()
        } else {
            over
        };
        let mut normal = DMatrix::<f64>::zeros(3, 3);
        let mut across = DMatrix::<f64>::zeros(3, 2 * marks);
        for &mark in &over {
            let by = crate::survey::belief::with_pose(designs[mark]);
            for i in 0..3 {
                for j in 0..3 {
                    normal[(i, j)] += by[i].dot(by[j]);
                }
                across[(i, 2 * mark)] = by[i].x;
                across[(i, 2 * mark + 1)] = by[i].y;
            }
        }
        // Marks at one place leave the turn loose: it is then nought.
        let inverse = normal
            .pseudo_inverse(ROUND_OFF)
            .unwrap_or_else(|_| DMatrix::zeros(3, 3));
        Self {
            pose: inverse * across,
            designs,
        }
    }

    /// A movement of the pose with its turn about the middle of the marks in place of the origin.
    pub(super) fn about_middle(&self, way: &[f64; 3]) -> [f64; 3] {
        let count = self.designs.len().max(1) as f64;
        let middle = self
            .designs
            .iter()
            .fold(Vec2::ZERO, |sum, at| sum + at.to_vec2() / count);
        let turn = way[2] / 1000.0;
        [way[0] + turn * middle.y, way[1] - turn * middle.x, way[2]]
    }

    /// How a movement of the pose moves a mark, mm.
    pub(super) fn moves(&self, mark: usize, way: &[f64; 3]) -> Vec2 {
        let by = crate::survey::belief::with_pose(self.designs[mark]);
        by[0] * way[0] + by[1] * way[1] + by[2] * way[2]
    }

    /// Rows that take displacements to how far a mark lies off in the grid itself.
    fn within(&self, mark: usize) -> DMatrix<f64> {
        let by = crate::survey::belief::with_pose(self.designs[mark]);
        let mut rows = DMatrix::from_fn(2, self.pose.ncols(), |axis, column| {
            -(0..3)
                .map(|i| (if axis == 0 { by[i].x } else { by[i].y }) * self.pose[(i, column)])
                .sum::<f64>()
        });
        rows[(0, 2 * mark)] += 1.0;
        rows[(1, 2 * mark + 1)] += 1.0;
        rows
    }
}

impl<'b> Conformance<'b> {
    /// The views of what is believed.
    pub(super) fn of(believed: &'b Believed<'_>) -> Self {
        let marks = believed.marks();
        let fit = Fit::of(believed);
        let within: Vec<DMatrix<f64>> = (0..marks).map(|mark| fit.within(mark)).collect();
        let covariance = believed
            .posterior
            .covariance
            .view((0, 0), (2 * marks, 2 * marks));
        let base: Vec<DMatrix<f64>> = within
            .iter()
            .map(|rows| rows * covariance * rows.transpose())
            .collect();
        let total: f64 = believed
            .explanations
            .iter()
            .map(|one| one.weight)
            .filter(|weight| *weight > NEGLIGIBLE)
            .sum();
        let view = |explanation: &'b Explanation| {
            let vehicle: Vec<(Vec2, Covariance)> = (0..marks)
                .map(|mark| believed.displacement(explanation, mark))
                .collect();
            let means = DMatrix::from_fn(2 * marks, 1, |row, _| {
                let (mean, _) = vehicle[row / 2];
                if row % 2 == 0 { mean.x } else { mean.y }
            });
            let growth = explanation.growth.rows(0, 2 * marks);
            let grid = (0..marks).map(|mark| {
                let (mean, grown) = (&within[mark] * &means, &within[mark] * growth);
                let all = &base[mark] + &grown * grown.transpose();
                let covariance = Covariance::new(all[(0, 0)], all[(0, 1)], all[(1, 1)]);
                (Vec2::new(mean[0], mean[1]), covariance)
            });
            ExplainedMarks {
                explanation,
                weight: explanation.weight / total,
                grid: grid.collect(),
                vehicle,
            }
        };
        let explanations = believed.explanations.iter();
        let kept = explanations.filter(|one| one.weight > NEGLIGIBLE);
        Self {
            views: kept.map(view).collect(),
            fit,
        }
    }

    /// Probability that a mark lies within `tolerance` mm of its place, against the vehicle or in the grid itself.
    pub(super) fn inside(&self, mark: usize, tolerance: f64, against_vehicle: bool) -> f64 {
        let of = |view: &ExplainedMarks<'_>| {
            let (d, covariance) = if against_vehicle {
                view.vehicle[mark]
            } else {
                view.grid[mark]
            };
            view.weight * covariance.within(tolerance, d)
        };
        self.views.iter().map(of).sum()
    }

    /// Mean displacement over all views, mm, and its covariance, the spread between the views included.
    pub(super) fn mean(&self, mark: usize, against_vehicle: bool) -> (Vec2, Covariance) {
        let of = |view: &ExplainedMarks<'_>| {
            if against_vehicle {
                view.vehicle[mark]
            } else {
                view.grid[mark]
            }
        };
        let mean = self
            .views
            .iter()
            .fold(Vec2::ZERO, |sum, view| sum + of(view).0 * view.weight);
        let covariance = self.views.iter().fold(Covariance::default(), |sum, view| {
            let (d, own) = of(view);
            let (away, weight) = (d - mean, view.weight);
            Covariance::new(
                sum.xx + weight * (own.xx + away.x * away.x),
                sum.xy + weight * (own.xy + away.x * away.y),
                sum.yy + weight * (own.yy + away.y * away.y),
            )
        });
        (mean, covariance)
    }

    /// Probability that all marks lie within their tolerances against the vehicle at once, given each mark's own probability.
    /// Never less than what is left when all their risks are added up (Boole's inequality); drawn where that is too rough.
    pub(super) fn all_inside(
        &self,
        believed: &Believed<'_>,
        tolerances: &[Option<f64>],
        each: &[f64],
        enough: f64,
    ) -> f64 {
        let bound = 1.0 - each.iter().map(|inside| 1.0 - inside).sum::<f64>();
        let marks = believed.marks();
        if bound >= enough || marks > MOST_DRAWN {
            return bound.max(0.0);
        }
        let mut dice = ChaCha8Rng::seed_from_u64(0);
        let drawn = |view: &ExplainedMarks<'_>, dice: &mut ChaCha8Rng| {
            let growth = view.explanation.growth.rows(0, 2 * marks);
            let all = believed
                .posterior
                .covariance
                .view((0, 0), (2 * marks, 2 * marks))
                + growth * growth.transpose();
            let Some(factor) = all.cholesky() else {
                return 0.0;
            };
            let (root, count) = (factor.l(), (DRAWS as f64 * view.weight).ceil() as usize);
            let inside = (0..count).filter(|_| {
                let lots = nalgebra::DVector::from_fn(2 * marks, |_, _| normal(dice));
                let off = &root * lots;
                (0..marks).all(|mark| {
                    let at = view.vehicle[mark].0 + Vec2::new(off[2 * mark], off[2 * mark + 1]);
                    tolerances[mark].is_none_or(|tolerance| at.hypot() <= tolerance)
                })
            });
            inside.count() as f64 / count as f64
        };
        self.views
            .iter()
            .map(|view| view.weight * drawn(view, &mut dice))
            .sum()
    }

    /// The grid's pose by all views: shift forward and to the left, mm, turn counter-clockwise, mm per metre, and their
    /// standard deviations.
    pub(super) fn pose(&self, believed: &Believed<'_>) -> ([f64; 3], [f64; 3]) {
        let marks = believed.marks();
        let covariance = believed
            .posterior
            .covariance
            .view((0, 0), (2 * marks, 2 * marks));
        let base = &self.fit.pose * covariance * self.fit.pose.transpose();
        let (mut mean, mut squares) = ([0.0; 3], [0.0; 3]);
        for view in &self.views {
            let means = DMatrix::from_fn(2 * marks, 1, |row, _| {
                let d = view.vehicle[row / 2].0;
                if row % 2 == 0 { d.x } else { d.y }
            });
            let (at, grown) = (
                &self.fit.pose * means,
                &self.fit.pose * view.explanation.growth.rows(0, 2 * marks),
            );
            let own = &base + &grown * grown.transpose();
            for i in 0..3 {
                mean[i] += view.weight * at[i];
                squares[i] += view.weight * (own[(i, i)] + at[i] * at[i]);
            }
        }
        let sd = [0, 1, 2].map(|i| (squares[i] - mean[i] * mean[i]).max(0.0).sqrt());
        (mean, sd)
    }
}

/// A standard normal lot (Box and Muller 1958).
fn normal(dice: &mut ChaCha8Rng) -> f64 {
    let (a, b): (f64, f64) = (dice.random(), dice.random());
    (-2.0 * (1.0 - a).ln()).sqrt() * (std::f64::consts::TAU * b).cos()
}
