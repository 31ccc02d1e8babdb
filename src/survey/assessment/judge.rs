//! The judgement on a layout that was laid by a known method: one mechanism for marks, readings, tape and grid.
//!
//! Verdicts are probabilities over all explanations (`conformance.rs`) together with the consumer's
//! risk of what was taped (`risk.rs`); a grid that may be turned never passes.

use kurbo::Vec2;
use nalgebra::DMatrix;

use super::{
    assess::AssessError,
    believed::Believed,
    conformance::Conformance,
    model::{
        Assessment, Decision, Finding, GlobalTest, MarkFinding, PartVerdict, Pose, ReadingFinding,
        Suspect, TapedLayout, Todo,
    },
    risk::{CONSUMERS_RISK, GRIDS_RISK, Risks},
    slip::Slip,
    todo::{PROBABLE, Standing},
};
use crate::{
    survey::{
        CONFORMANCE, Covariance, Datum, Geometry, LayingPrior, Verdict,
        belief::{Fault, Weighing},
        chi_squared_quantile, non_centrality,
    },
    units::ROUND_OFF,
};

/// Least probability that all marks lie inside at once.
const JOINTLY: f64 = 0.90;

/// Probability of the two-sided test on the sum of squares that right readings pass it.
const GLOBAL_CONFIDENCE: f64 = 0.95;

/// A sum of squares that real readings would have once in so many layouts is too good: somebody filled in what was expected.
const TOO_GOOD: f64 = 1e-4;

/// The risk of a grid of which readings know anything at all is at most one half; where nothing is known it is 1. An estimate that is
/// taken as it is needs no more.
const KNOWN: f64 = 0.75;

/// A mark is outside only where explanations that put it inside have less probability than this altogether.
const SIGNIFICANT: f64 = 0.05;

/// From this size on a tape's error is told, in its class's standard deviations.
const TAPE_TOLD: f64 = 3.0;

/// Judges a layout.
///
/// # Errors
/// Points of one reading that lie at one place.
pub(super) fn judge(layout: &TapedLayout, prior: &LayingPrior) -> Result<Assessment, AssessError> {
    let believed = Believed::of(layout, prior).map_err(|observation| {
        let points = layout.network.observations[observation].geometry.points();
        AssessError::Coincident {
            points: points
                .into_iter()
                .map(|point| layout.network.points[point].id.clone())
                .collect(),
        }
    })?;
    Ok(Judge::of(&believed).assessment())
}

/// Probability that the grid as a whole is off.
fn believed_off(believed: &Believed<'_>) -> f64 {
    believed.probability(Fault::Grid)
}

/// Everything that the judgement is put together from.
struct Judge<'a> {
    believed: &'a Believed<'a>,
    conformance: Conformance<'a>,
    tied: bool,
    /// See [`Standing::grid`].
    grid_block: DMatrix<f64>,
    /// Probability of a grid twice its tolerance off having passed.
    grid_risk: f64,
    /// By mark: probability of lying inside against the vehicle and in the grid, and the consumer's risk.
    marks: Vec<Option<MarkChances>>,
    /// Probability that all marks lie inside against the vehicle.
    jointly: f64,
}

#[derive(Clone, Copy)]
struct MarkChances {
    vehicle: f64,
    grid: f64,
    risk: f64,
}

impl<'a> Judge<'a> {
    fn of(believed: &'a Believed<'a>) -> Self {
        let conformance = Conformance::of(believed);
        let risks = Risks::of(believed);
        let tolerances = &believed.layout.tolerances;
        let grid_risk = risks.grid(&conformance, tolerances);
        let chances = |mark: usize| {
            let tolerance = tolerances[mark]?;
            Some(MarkChances {
                vehicle: conformance.inside(mark, tolerance, true),
                grid: conformance.inside(mark, tolerance, false),
                risk: risks.mark(mark, tolerance),
            })
        };
        let marks: Vec<Option<MarkChances>> = (0..believed.marks()).map(chances).collect();
        let each: Vec<f64> = marks
            .iter()
            .flatten()
            .map(|chances| chances.vehicle)
            .collect();
        let jointly = conformance.all_inside(believed, tolerances, &each, JOINTLY);
        let simple = believed.layout.decision == Decision::Simple;
        Self {
            grid_block: risks.grid_block(),
            tied: grid_risk <= if simple { KNOWN } else { GRIDS_RISK },
            grid_risk,
            marks,
            jointly,
            conformance,
            believed,
        }
    }

    fn simple(&self) -> bool {
        self.believed.layout.decision == Decision::Simple
    }

    fn assessment(self) -> Assessment {
        let (grid, vehicle) = (self.part(false), self.part(true));
        let verdict = match (grid, vehicle) {
            (None, _) => None,
            (Some(_), Some(vehicle)) if self.tied => Some(vehicle),
            (Some(grid), _) => Some(grid.max(Verdict::Undecided)),
        };
        let todo = if verdict == Some(Verdict::Inside) {
            Vec::new()
        } else {
            self.todo()
        };
        // Whatever is left to be put right keeps a layout from being inside.
        let suspects = self.suspects();
        let layout = self.believed.layout;
        let marks = (0..layout.network.points.len())
            .map(|point| self.mark(point))
            .collect();
        Assessment {
            datum: Datum::Held,
            dof: self.believed.dof,
            sigma0: (self.believed.dof > 0)
                .then(|| (self.believed.squares / self.believed.dof as f64).sqrt()),
            global_test: self.global_test(),
            marks,
            readings: self.readings(),
            scattered: false,
            constant_error: None,
            pose: Some(self.pose(vehicle)),
            pulls_to_add: Vec::new(),
            findings: self.findings(&suspects),
            suspects,
            grid: grid.map(|verdict| PartVerdict {
                verdict,
                tied: true,
                risk: None,
            }),
            vehicle: vehicle.map(|verdict| PartVerdict {
                verdict: if self.tied {
                    verdict
                } else {
                    Verdict::Undecided
                },
                tied: self.tied,
                risk: Some(self.grid_risk),
            }),
            jointly_inside: Some(self.jointly),
            todo,
            verdict,
        }
    }

    /// Verdict on all marks, against the vehicle or in the grid itself; `None` where none has a tolerance.
    fn part(&self, against_vehicle: bool) -> Option<Verdict> {
        let worst = (0..self.marks.len())
            .filter_map(|mark| self.verdict(mark, against_vehicle))
            .max()?;
        let probable = |fault: &Fault| self.believed.probability(*fault) >= PROBABLE;
        let told = |(fault, _): &(Fault, Vec<usize>)| {
            matches!(fault, Fault::Reading(_) | Fault::Lay(_) | Fault::Wheel(_))
        };
        let unsound = self
            .believed
            .model
            .faults
            .iter()
            .filter(|fault| told(fault))
            .any(|(fault, _)| probable(fault));
        let jointly = against_vehicle && !self.simple() && self.jointly < JOINTLY;
        // A grid that may be turned is not inside, even where the turn leaves every mark within its tolerance.
        let turned =
            against_vehicle && self.tied && believed_off(self.believed) > 1.0 - CONFORMANCE;
        Some(if unsound || jointly || turned {
            worst.max(Verdict::Undecided)
        } else {
            worst
        })
    }

    /// Verdict on one mark.
    fn verdict(&self, mark: usize, against_vehicle: bool) -> Option<Verdict> {
        let chances = (*self.marks.get(mark)?)?;
        let inside = if against_vehicle {
            chances.vehicle
        } else {
            chances.grid
        };
        let tolerance = self.believed.layout.tolerances[mark]?;
        let (mean, _) = self.conformance.mean(mark, against_vehicle);
        if self.simple() {
            return Some(if mean.hypot() <= tolerance && inside > 1.0 - PROBABLE {
                Verdict::Inside
            } else if inside < PROBABLE {
                Verdict::Outside
            } else {
                Verdict::Undecided
            });
        }
        let against: f64 = self
            .conformance
            .views
            .iter()
            .filter(|view| {
                let (d, covariance) = if against_vehicle {
                    view.vehicle[mark]
                } else {
                    view.grid[mark]
                };
                covariance.within(tolerance, d) > 0.5
            })
            .map(|view| view.weight)
            .sum();
        Some(if inside >= CONFORMANCE && chances.risk <= CONSUMERS_RISK {
            Verdict::Inside
        } else if inside <= 1.0 - CONFORMANCE && against < SIGNIFICANT {
            Verdict::Outside
        } else {
            Verdict::Undecided
        })
    }

    fn todo(&self) -> Vec<Todo> {
        let inside = self.marks.iter().map(|chances| {
            chances.map(|chances| {
                if self.tied {
                    chances.vehicle
                } else {
                    chances.grid
                }
            })
        });
        let unproven = (0..self.marks.len())
            .filter(|&mark| self.marks[mark].is_some_and(|chances| chances.risk > CONSUMERS_RISK));
        let standing = Standing {
            believed: self.believed,
            conformance: &self.conformance,
            tied: self.tied,
            inside: inside.collect(),
            unproven: unproven.collect(),
            enough: if self.simple() { PROBABLE } else { CONFORMANCE },
            grid: self.grid_block.clone(),
            jointly_short: self.tied && self.jointly < JOINTLY && !self.simple(),
        };
        standing.todo()
    }

    fn mark(&self, point: usize) -> MarkFinding {
        let (believed, layout) = (self.believed, self.believed.layout);
        let start = layout.network.points[point].start;
        let (moved, covariance) = self.displacement(point);
        let chances = self.marks.get(point).copied().flatten();
        let in_grid = (point < believed.marks()).then(|| self.conformance.mean(point, false));
        MarkFinding {
            id: layout.network.points[point].id.clone(),
            design: layout.designs[point],
            tolerance: layout.tolerances[point],
            place: Some(start + moved),
            covariance,
            moved: in_grid.map(|(d, _)| d),
            moved_covariance: in_grid
                .map_or_else(Covariance::default, |(_, covariance)| covariance),
            to_datum: (point < believed.marks() && self.tied).then_some(moved),
            displaced: believed.probability(Fault::Mark(point)) >= PROBABLE,
            unchecked: chances.is_some_and(|chances| chances.risk > CONSUMERS_RISK),
            verdict: self.verdict(point, false),
            datum_verdict: self.verdict(point, true).filter(|_| self.tied),
            inside: chances.map(|chances| {
                if self.tied {
                    chances.vehicle
                } else {
                    chances.grid
                }
            }),
        }
    }

    /// Mean displacement of any point, mm, over all views.
    fn displacement(&self, point: usize) -> (Vec2, Covariance) {
        if point < self.believed.marks() {
            return self.conformance.mean(point, true);
        }
        self.believed
            .displacement(&self.believed.explanations[0], point)
    }

    /// Findings on all observations, the repeated ones as their first.
    fn readings(&self) -> Vec<ReadingFinding> {
        let (believed, network) = (self.believed, &self.believed.layout.network);
        let weighing = Weighing::of(&believed.model, &believed.posterior);
        let best = &believed.explanations[0];
        let of = |row: usize, fault: Option<usize>| {
            let model_row = &believed.model.rows[row];
            let fitted: f64 = model_row
                .terms
                .iter()
                .map(|&(column, by)| by * (believed.posterior.mean[column] + best.change[column]))
                .sum();
            let residual = fitted - model_row.value;
            let (redundancy, m) = weighing.redundancy(row);
            let suspect = fault.is_some_and(|fault| {
                believed.probability(believed.model.faults[fault].0) >= PROBABLE
            });
            let checked = redundancy > ROUND_OFF;
            ReadingFinding {
                residual,
                redundancy,
                normalised: checked.then(|| residual / (model_row.sd * redundancy.sqrt())),
                smallest_error: checked.then(|| non_centrality() / m.sqrt()),
                suspect,
                used: true,
            }
        };
        let first_of = |index: usize| believed.readings.iter().position(|&kept| kept == index);
        (0..network.observations.len())
            .map(
                |index| match (network.observations[index].geometry, first_of(index)) {
                    (_, Some(row)) => of(row, Some(row)),
                    (Geometry::X { point } | Geometry::Y { point }, None) => {
                        let axis = usize::from(matches!(
                            network.observations[index].geometry,
                            Geometry::Y { .. }
                        ));
                        of(believed.taped.len() + 2 * point + axis, None)
                    }
                    _ => ReadingFinding::UNUSED,
                },
            )
            .collect()
    }

    fn global_test(&self) -> Option<GlobalTest> {
        let tail = (1.0 - GLOBAL_CONFIDENCE) / 2.0;
        let dof = self.believed.dof;
        let bounds = [tail, 1.0 - tail].map(|probability| chi_squared_quantile(dof, probability));
        let statistic = self.believed.squares;
        (dof > 0).then_some(GlobalTest {
            statistic,
            bounds,
            passed: statistic <= bounds[1],
        })
    }

    /// Readings that are more probably wrong than right, the surest first.
    fn suspects(&self) -> Vec<Suspect> {
        let believed = self.believed;
        let mut all: Vec<(f64, Suspect)> = Vec::new();
        for (index, taped) in believed.taped.iter().enumerate() {
            let probability = believed.probability(Fault::Reading(index));
            if probability < PROBABLE {
                continue;
            }
            let Some((error, error_sd)) = self.size(Fault::Reading(index)) else {
                continue;
            };
            let read = believed.layout.network.observations[believed.readings[index]];
            let cause = if read.read_on_tape() {
                Slip::of_reading(taped.value, error, error_sd)
            } else {
                None
            };
            all.push((
                probability,
                Suspect {
                    observation: believed.readings[index],
                    error,
                    error_sd,
                    cause,
                    or: Vec::new(),
                },
            ));
        }
        all.sort_by(|a, b| {
            b.0.total_cmp(&a.0)
                .then(a.1.observation.cmp(&b.1.observation))
        });
        all.into_iter().map(|(_, suspect)| suspect).collect()
    }

    /// Estimated size of a mistake of one row by the most probable explanation that has it, and its standard deviation.
    fn size(&self, fault: Fault) -> Option<(f64, f64)> {
        let believed = self.believed;
        let has = |one: &&crate::survey::belief::Explanation| {
            believed.faults(one).any(|known| known == fault)
        };
        let explanation = believed.explanations.iter().find(has)?;
        let mut slot = 0;
        for &index in &explanation.faults {
            if believed.model.faults[index].0 == fault {
                return Some((
                    explanation.sizes[slot],
                    explanation.sizes_covariance[(slot, slot)].sqrt(),
                ));
            }
            slot += believed.model.faults[index].1.len();
        }
        None
    }

    fn pose(&self, vehicle: Option<Verdict>) -> Pose {
        let ([forward, left, turn], sd) = self.conformance.pose(self.believed);
        Pose {
            forward,
            left,
            turned: (turn / 1000.0).to_degrees(),
            sd: [sd[0], sd[1], (sd[2] / 1000.0).to_degrees()],
            verdict: vehicle.filter(|_| self.tied),
        }
    }

    fn findings(&self, suspects: &[Suspect]) -> Vec<Finding> {
        let (believed, mut all) = (self.believed, Vec::new());
        if !self.tied {
            all.push(Finding::Untied {
                risk: self.grid_risk,
            });
        }
        let tape = believed.layout.precision.tape_class.model();
        let column = &believed.model.columns;
        let best = &believed.explanations[0];
        let at = |index: usize| believed.posterior.mean[index] + best.change[index];
        let (zero, scale) = (at(column.zero()), at(column.scale()));
        if believed.probability(Fault::TapeZero) >= PROBABLE || zero.abs() > TAPE_TOLD * tape.zero {
            all.push(Finding::TapeZero { mm: zero });
        }
        if believed.probability(Fault::TapeScale) >= PROBABLE
            || scale.abs() > TAPE_TOLD * tape.scale
        {
            all.push(Finding::TapeScale {
                mm_per_metre: scale,
            });
        }
        if believed.scatter > 1.0 {
            all.push(Finding::Scatter {
                factor: believed.scatter,
            });
        }
        if believed.dof > 0
            && suspects.is_empty()
            && believed.squares < chi_squared_quantile(believed.dof, TOO_GOOD)
        {
            all.push(Finding::TooGood {
                readings: believed.dof,
            });
        }
        let undecided: Vec<usize> = (0..self.marks.len())
            .filter(|&mark| self.marks[mark].is_some_and(|chances| chances.risk > CONSUMERS_RISK))
            .collect();
        if !undecided.is_empty() {
            all.push(Finding::Unproven { marks: undecided });
        }
        if self.tied && believed.probability(Fault::Grid) >= PROBABLE {
            all.push(Finding::GridOff);
        }
        all
    }
}
