//! What to do next on the floor.
//!
//! A mark is moved only where explanations of less than 3 % put it elsewhere, and where readings
//! differ new ones are asked for, never the same again. While readings contradict each other, or
//! something is asked for that tells explanations apart, that is taped first: what is only better
//! waits, also until nothing must be moved any more, and of the moves that must be made those stay
//! that have nothing to do with it. Readings of a moved mark are all asked for again: the program
//! knows no history, and an old one would contradict.

use kurbo::Vec2;
use nalgebra::{DMatrix, DVector};

use super::{
    believed::Believed,
    conformance::{Conformance, ExplainedMarks},
    model::Todo,
};
use crate::{
    survey::{
        DesignRow, Geometry, Observation,
        belief::{AT_REST_MM, Fault, Taped},
    },
    units::ROUND_OFF,
};

/// A mark is moved when its estimate lies beyond this part of its tolerance …
const BEYOND: f64 = 0.5;

/// … and beyond this many of its standard deviations: then the move is expected to bring it nearer. Of n standard deviations it does
/// with a probability of Φ(n/2): 77 % at 1.5.
const BEYOND_SD: f64 = 1.5;

/// While explanations of together more than this probability put a mark elsewhere, it is not moved.
const WITHIN_REACH: f64 = 0.03;

/// A mistake is taken for certain from this probability on.
const CERTAIN: f64 = 1.0 - WITHIN_REACH;

/// A mistake that is more probable than not.
pub(super) const PROBABLE: f64 = 0.5;

/// Most pulls that are asked for to tell explanations apart, and most that are asked for to prove marks.
const MOST_TELLING: usize = 4;
const MOST_PROVING: usize = 10;

/// Pulls that are asked for to tell whether the grid as a whole lies off.
const MOST_FOR_GRID: usize = 3;

/// Further pulls are asked for while each is worth this part of the first.
const WORTH: f64 = 0.15;

/// Information of a grid of which nothing is known: it lies within decimetres and degrees, mm⁻².
const UNKNOWN_GRID: [f64; 3] = [1e-4, 1e-4, 1e-3];

/// What tying the grid to the vehicle is worth against proving a mark.
const TIE: f64 = 1.0;

/// What a further pull costs beside its own minutes: taking up the tape.
const TAKING_UP: f64 = 1.0;

/// What is known of the marks' standing.
pub(super) struct Standing<'a> {
    pub believed: &'a Believed<'a>,
    pub conformance: &'a Conformance<'a>,
    /// True where the grid is tied to the vehicle: moves are then against the vehicle, else within the grid.
    pub tied: bool,
    /// Probability of lying inside in that frame, by mark; `None` without a tolerance.
    pub inside: Vec<Option<f64>>,
    /// Marks that are not proven by the rows that were taped.
    pub unproven: Vec<usize>,
    /// Least probability that counts as inside.
    pub enough: f64,
    /// What the readings say of a mistake of the grid as a whole, as information: mm⁻² along its three movements.
    pub grid: DMatrix<f64>,
    /// True where all marks together are not surely inside though each is.
    pub jointly_short: bool,
}

/// A pull that may be asked for.
struct FurtherPull {
    what: Todo,
    terms: Vec<(usize, f64)>,
    variance: f64,
    minutes: f64,
}

impl Standing<'_> {
    /// What to do, in order. Empty where nothing is left to do.
    ///
    /// While readings contradict each other, or something is to be taped that tells explanations apart, that comes first: of the
    /// moves only those stay that must be made and that nothing which is taped again or besides has to do with. What is only better
    /// waits for what must be.
    pub(super) fn todo(&self) -> Vec<Todo> {
        let wheels = self.probable(|fault| {
            if let Fault::Wheel(point) = fault {
                Some(point)
            } else {
                None
            }
        });
        let plumb = wheels.iter().map(|&wheel| Todo::Plumb { wheel });
        let grid = self.grid();
        if !grid.is_empty() {
            // Every mark lies elsewhere then.
            return grid
                .into_iter()
                .chain(plumb)
                .chain(self.again(0..self.believed.taped.len()))
                .collect();
        }
        let (mut moves, doubtful) = self.moves();
        let wrong = self.contradicting();
        let mut telling = Vec::new();
        self.tell_apart(&doubtful, &mut telling);
        self.tell_grid(&mut telling);
        if !(wrong.is_empty() && telling.is_empty() && wheels.is_empty()) {
            let doubted: Vec<usize> = self
                .points_of(&wrong, &telling)
                .into_iter()
                .chain(wheels.iter().copied())
                .collect();
            moves.retain(|todo| matches!(todo, Todo::Move { mark, must: true, .. } if !doubted.contains(mark)));
        }
        // An estimate hangs on the marks beside it: what is only better waits until these lie and are taped again.
        if moves
            .iter()
            .any(|todo| matches!(todo, Todo::Move { must: true, .. }))
        {
            moves.retain(|todo| matches!(todo, Todo::Move { must: true, .. }));
        }
        let touched = self
            .touched(&moves, &wheels)
            .into_iter()
            .filter(|index| !wrong.contains(index));
        let taped_first = self.again(wrong.iter().copied()).chain(telling);
        let all: Vec<Todo> = taped_first
            .chain(moves.iter().copied())
            .chain(plumb)
            .chain(self.again(touched))
            .collect();
        if all.is_empty() { self.prove() } else { all }
    }

    /// Readings that are more probably wrong than right, by themselves or with their whole lay.
    fn contradicting(&self) -> Vec<usize> {
        let readings = self.probable(|fault| {
            if let Fault::Reading(index) = fault {
                Some(index)
            } else {
                None
            }
        });
        let lays = self.probable(|fault| {
            if let Fault::Lay(lay) = fault {
                Some(lay)
            } else {
                None
            }
        });
        let of_lay = |index: usize| {
            self.believed.taped[index]
                .lay
                .is_some_and(|lay| lays.contains(&lay))
        };
        (0..self.believed.taped.len())
            .filter(|&index| readings.contains(&index) || of_lay(index))
            .collect()
    }

    /// Points of readings and of what is to be taped besides.
    fn points_of(&self, readings: &[usize], besides: &[Todo]) -> Vec<usize> {
        let taped = readings
            .iter()
            .map(|&index| self.believed.taped[index].geometry);
        let besides = besides.iter().filter_map(|todo| match *todo {
            Todo::Tape { geometry } => Some(geometry),
            _ => None,
        });
        taped
            .chain(besides)
            .flat_map(|geometry| geometry.points())
            .collect()
    }

    /// Readings of marks that are moved and of wheels that are plumbed again.
    fn touched(&self, moves: &[Todo], wheels: &[usize]) -> Vec<usize> {
        let marks = moves.iter().filter_map(|todo| {
            if let Todo::Move { mark, .. } = todo {
                Some(*mark)
            } else {
                None
            }
        });
        let points: Vec<usize> = marks.chain(wheels.iter().copied()).collect();
        let touched = |index: &usize| {
            self.believed.taped[*index]
                .geometry
                .points()
                .iter()
                .any(|point| points.contains(point))
        };
        (0..self.believed.taped.len()).filter(touched).collect()
    }

    /// Readings to take again.
    fn again(&self, readings: impl Iterator<Item = usize>) -> impl Iterator<Item = Todo> {
        readings.map(|index| Todo::Retape {
            observation: self.believed.readings[index],
        })
    }

    /// Mistakes that are probable and that `of` picks.
    fn probable(&self, of: impl Fn(Fault) -> Option<usize>) -> Vec<usize> {
        let faults = self.believed.model.faults.iter();
        faults
            .filter(|(fault, _)| self.believed.probability(*fault) >= PROBABLE)
            .filter_map(|(fault, _)| of(*fault))
            .collect()
    }

    /// The whole grid, where it is certain that it lies off against the vehicle.
    fn grid(&self) -> Vec<Todo> {
        if !self.tied || self.believed.probability(Fault::Grid) < CERTAIN {
            return Vec::new();
        }
        let ([forward, left, turn], _) = self.conformance.pose(self.believed);
        vec![Todo::TurnGrid {
            by: Vec2::new(-forward, -left),
            turned: -(turn / 1000.0).to_degrees(),
        }]
    }

    /// Where a view puts a mark.
    fn at(&self, view: &ExplainedMarks<'_>, mark: usize) -> Vec2 {
        if self.tied {
            view.vehicle[mark].0
        } else {
            view.grid[mark].0
        }
    }

    /// Marks to move, and marks of which it cannot be told yet whether they lie off.
    fn moves(&self) -> (Vec<Todo>, Vec<usize>) {
        let (mut moves, mut doubtful) = (Vec::new(), Vec::new());
        for (mark, inside) in self.inside.iter().enumerate() {
            let (Some(inside), Some(tolerance)) = (inside, self.believed.layout.tolerances[mark])
            else {
                continue;
            };
            let (mean, covariance) = self.conformance.mean(mark, self.tied);
            let elsewhere: f64 = self
                .conformance
                .views
                .iter()
                .filter(|view| (self.at(view, mark) - mean).hypot() > BEYOND * tolerance)
                .map(|view| view.weight)
                .sum();
            let away = mean.hypot();
            let must = *inside < self.enough;
            let off = away > BEYOND * tolerance
                && away > BEYOND_SD * covariance.along(mean / away).sqrt();
            if off && elsewhere < WITHIN_REACH {
                moves.push(Todo::Move {
                    mark,
                    by: -mean,
                    must,
                });
            } else if elsewhere >= WITHIN_REACH && must {
                doubtful.push(mark);
            }
        }
        (moves, doubtful)
    }

    /// Asks for the readings that tell explanations apart which put the same mark at different places.
    fn tell_apart(&self, doubtful: &[usize], asked: &mut Vec<Todo>) {
        let pulls = self.pulls();
        let before = asked.len();
        for &mark in doubtful {
            let views = &self.conformance.views;
            let Some(first) = views.first() else { return };
            let tolerance = self.believed.layout.tolerances[mark].unwrap_or(0.0);
            let away = |view: &&ExplainedMarks<'_>| {
                (self.at(view, mark) - self.at(first, mark)).hypot() > BEYOND * tolerance
            };
            let Some(other) = views.iter().find(away) else {
                continue;
            };
            let score = |pull: &FurtherPull| {
                self.difference(pull, first, other) / (TAKING_UP + pull.minutes)
            };
            let best = pulls
                .iter()
                .map(|pull| (score(pull), pull))
                .reduce(|a, b| if b.0 > a.0 { b } else { a });
            if let Some((_, pull)) = best.filter(|(score, _)| *score > 0.0)
                && !asked.contains(&pull.what)
                && asked.len() - before < MOST_TELLING
            {
                asked.push(pull.what);
            }
        }
    }

    /// Asks for the readings that tell whether the grid as a whole lies off, where that is in doubt.
    fn tell_grid(&self, asked: &mut Vec<Todo>) {
        let off = self.believed.probability(Fault::Grid);
        if !self.tied || off < 1.0 - self.enough || off >= CERTAIN {
            return;
        }
        let views = &self.conformance.views;
        let has = |view: &ExplainedMarks<'_>| {
            self.believed
                .faults(view.explanation)
                .any(|fault| fault == Fault::Grid)
        };
        let (Some(with), Some(without)) = (
            views.iter().find(|view| has(view)),
            views.iter().find(|view| !has(view)),
        ) else {
            return;
        };
        let mut pulls = self.pulls();
        let score =
            |pull: &FurtherPull| self.difference(pull, with, without) / (TAKING_UP + pull.minutes);
        pulls.sort_by(|a, b| score(b).total_cmp(&score(a)));
        for pull in pulls.iter().take(MOST_FOR_GRID) {
            if !asked.contains(&pull.what) {
                asked.push(pull.what);
            }
        }
    }

    /// By how many standard deviations two views differ in what a pull would read.
    fn difference(
        &self,
        pull: &FurtherPull,
        one: &ExplainedMarks<'_>,
        other: &ExplainedMarks<'_>,
    ) -> f64 {
        let predicted = |view: &ExplainedMarks<'_>| {
            let mean: f64 = pull
                .terms
                .iter()
                .map(|&(column, by)| {
                    by * (self.believed.posterior.mean[column] + view.explanation.change[column])
                })
                .sum();
            let grown: f64 = view
                .explanation
                .growth
                .column_iter()
                .map(|growth| {
                    pull.terms
                        .iter()
                        .map(|&(column, by)| by * growth[column])
                        .sum::<f64>()
                        .powi(2)
                })
                .sum();
            (mean, self.believed.posterior.variance(&pull.terms) + grown)
        };
        let ((a, va), (b, vb)) = (predicted(one), predicted(other));
        (a - b).abs() / (pull.variance + va + vb).sqrt()
    }

    /// Pulls that hold best what is not proven or not surely inside.
    fn prove(&self) -> Vec<Todo> {
        let short: Vec<usize> = (0..self.inside.len())
            .filter(|mark| {
                self.jointly_short
                    || self.unproven.contains(mark)
                    || self.inside[*mark].is_some_and(|inside| inside < self.enough)
            })
            .collect();
        let mut pulls = self.pulls();
        let mut covariance = self.believed.posterior.covariance.clone();
        let mut grid =
            self.grid.clone() + DMatrix::from_diagonal(&DVector::from_row_slice(&UNKNOWN_GRID));
        let (mut asked, mut first) = (Vec::new(), None);
        while asked.len() < MOST_PROVING {
            let score = |pull: &FurtherPull| {
                let gain = times(&covariance, &pull.terms);
                let spread = pull.variance + dot(&gain, &pull.terms);
                let by_mark = short.iter().map(|&mark| {
                    let tolerance = self.believed.layout.tolerances[mark].unwrap_or(f64::INFINITY);
                    (gain[2 * mark].powi(2) + gain[2 * mark + 1].powi(2))
                        / (spread * tolerance * tolerance)
                });
                let tie = if self.tied {
                    0.0
                } else {
                    TIE * worth_for(&grid, &self.of_grid(&gain, spread))
                };
                (by_mark.sum::<f64>() + tie) / (TAKING_UP + pull.minutes)
            };
            let best = pulls
                .iter()
                .enumerate()
                .map(|(index, pull)| (score(pull), index));
            let Some((worth, index)) = best.reduce(|a, b| if b.0 > a.0 { b } else { a }) else {
                break;
            };
            if worth <= ROUND_OFF || worth < WORTH * *first.get_or_insert(worth) {
                break;
            }
            let pull = pulls.swap_remove(index);
            let gain = times(&covariance, &pull.terms);
            let spread = pull.variance + dot(&gain, &pull.terms);
            let of_grid = self.of_grid(&gain, spread);
            grid.ger(1.0, &of_grid, &of_grid, 1.0);
            covariance.ger(-1.0 / spread, &gain, &gain, 1.0);
            asked.push(pull.what);
        }
        asked
    }

    /// The root of what a pull adds to the information on a mistake of the grid: its three promises with their weight times the
    /// pull's gain.
    fn of_grid(&self, gain: &DVector<f64>, spread: f64) -> DVector<f64> {
        let pose = self.believed.model.columns.pose();
        DVector::from_fn(3, |i, _| {
            gain[pose + i] * AT_REST_MM.powi(-2) / spread.sqrt()
        })
    }

    /// What could be taped besides. What was taped already is no such thing: the same reading read again says the same of the
    /// same mark.
    fn pulls(&self) -> Vec<FurtherPull> {
        let layout = self.believed.layout;
        let mut all = Vec::new();
        let known = |geometry: Geometry| {
            self.believed
                .taped
                .iter()
                .any(|taped| same_points(taped.geometry, geometry))
        };
        let further = layout.spare.iter().filter(|spare| !known(spare.geometry));
        all.extend(further.filter_map(|spare| {
            let geometry = spare.geometry;
            let value = DesignRow::at(geometry, |point| layout.network.points[point].start)?.value;
            let by_tape = Observation::new(geometry, value, 0.0).read_on_tape();
            let sd = match geometry {
                Geometry::Distance { .. } => layout.precision.at_mark() * std::f64::consts::SQRT_2,
                _ if by_tape => layout.precision.offset_from_string(),
                _ => layout.precision.inline(),
            };
            let taped = Taped {
                geometry,
                value,
                sd,
                lay: None,
                by_tape,
            };
            self.pull(
                Todo::Tape {
                    geometry: spare.geometry,
                },
                taped,
                spare.minutes,
            )
        }));
        all
    }

    fn pull(&self, what: Todo, taped: Taped, minutes: f64) -> Option<FurtherPull> {
        Some(FurtherPull {
            what,
            terms: self.believed.row_of(&taped)?,
            variance: taped.sd * taped.sd,
            minutes,
        })
    }
}

/// How much a pull adds to the logarithm of the information's determinant: vᵀ J⁻¹ v for a small one.
fn worth_for(grid: &DMatrix<f64>, pull: &DVector<f64>) -> f64 {
    grid.clone()
        .cholesky()
        .map_or(0.0, |factor| (1.0 + pull.dot(&factor.solve(pull))).ln())
}

fn same_points(one: Geometry, other: Geometry) -> bool {
    let sorted = |geometry: Geometry| {
        let mut points = geometry.points();
        points.sort_unstable();
        points
    };
    sorted(one) == sorted(other)
}

fn times(matrix: &DMatrix<f64>, terms: &[(usize, f64)]) -> DVector<f64> {
    let mut product = DVector::zeros(matrix.nrows());
    for &(column, by) in terms {
        product.axpy(by, &matrix.column(column), 1.0);
    }
    product
}

fn dot(vector: &DVector<f64>, terms: &[(usize, f64)]) -> f64 {
    terms.iter().map(|&(column, by)| by * vector[column]).sum()
}
