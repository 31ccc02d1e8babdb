//! Which points the observations hold to each other, and what would hold the others.

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector};

use super::{
    DesignRow, Geometry, Network,
    normal::{Linearised, Unknowns},
};

/// Eigenvalues of the normal equations below this part of the largest belong to movements that no observation hinders. See
/// `LEAST_PIVOT` in `normal.rs` for the reason.
const UNHINDERED: f64 = 1e-10;

/// A point that moves by less than this in movements of length 1 does not move.
const STILL: f64 = 1e-5;

/// Most pulls that are named in one go: more than that is "tape the form", not advice.
const MOST_PULLS: usize = 12;

/// A network that is held in itself, taken out of a larger one.
#[derive(Clone, Debug)]
pub struct HeldPart {
    /// The part as a network of its own.
    pub network: Network,
    /// Index in the larger network of each of its points.
    pub points: Vec<usize>,
    /// Index in the larger network of each of its observations.
    pub observations: Vec<usize>,
}

impl Network {
    /// The largest part of the network whose points are held to each other, or to fixed points; the whole where all
    /// are. The places are the starting ones. A part has at least three points, or is empty.
    #[must_use]
    pub fn held_part(&self) -> HeldPart {
        let all: Vec<usize> = (0..self.points.len()).collect();
        if self.is_held() {
            return self.part(&all);
        }
        let Some(free) =
            Freedom::of(self).filter(|freedom| freedom.unhindered.ncols() > freedom.rigid)
        else {
            return self.part(&all);
        };
        let mut best = free.still(&free.lifted);
        let mut seen: Vec<Vec<usize>> = vec![best.clone()];
        for observation in &self.observations {
            let Geometry::Distance { from, to } = observation.geometry else {
                continue;
            };
            if seen
                .iter()
                .any(|part| part.contains(&from) && part.contains(&to))
            {
                continue;
            }
            let part = free.still(&free.pinned(from, to));
            if part.len() > best.len() {
                best.clone_from(&part);
            }
            seen.push(part);
        }
        if best.len() < 3 {
            self.part(&[])
        } else {
            self.part(&best)
        }
    }

    /// True where the observations surely hold all points to each other, as the pivots of the normal equations show; most
    /// networks are, and this is much quicker than to look for movements that nothing hinders.
    fn is_held(&self) -> bool {
        let (unknowns, places) = (Unknowns::of(self), self.starts());
        if unknowns.count == 0 {
            return true;
        }
        let Ok(linear) = Linearised::at(self, &unknowns, &places) else {
            return false;
        };
        let factor = linear.factorised(&linear.loose(self, &unknowns, &places));
        factor.is_some_and(|factor| {
            let [least, most] = factor.pivots();
            least > UNHINDERED * most
        })
    }

    /// Distances out of `candidates` that would hold all points to each other, in the order in which they
    /// help most; at most a dozen, and fewer where candidates cannot do it.
    #[must_use]
    pub fn pulls_to_hold(&self, candidates: &[[usize; 2]]) -> Vec<[usize; 2]> {
        let Some(freedom) = Freedom::of(self) else {
            return Vec::new();
        };
        let places = self.starts();
        let mut loose = freedom.without_rigid();
        let mut pulls = Vec::new();
        while loose.ncols() > 0 && pulls.len() < MOST_PULLS {
            let effect = |&[from, to]: &[usize; 2]| {
                let row = DesignRow::at(Geometry::Distance { from, to }, |point| places[point])?;
                let sparse = freedom.unknowns.sparse(&row.derivatives);
                let by = |column: usize| {
                    sparse
                        .iter()
                        .map(|&(i, a)| a * loose[(i, column)])
                        .sum::<f64>()
                };
                Some(DVector::from_fn(loose.ncols(), |column, _| by(column)))
            };
            let effects = candidates
                .iter()
                .map(|pair| effect(pair).map_or((0.0, None), |e| (e.norm(), Some(e))));
            // The first of equals, so that the order of the candidates decides.
            let best = effects.enumerate().reduce(|best, one| {
                if one.1.0 > best.1.0 * (1.0 + STILL) {
                    one
                } else {
                    best
                }
            });
            let Some((index, (norm, Some(effect)))) = best else {
                break;
            };
            if norm < STILL {
                break;
            }
            pulls.push(candidates[index]);
            loose = &loose * complement(&(effect / norm));
        }
        pulls
    }

    /// The network of some of the points, with the observations that need no other.
    fn part(&self, points: &[usize]) -> HeldPart {
        let mut news = vec![None; self.points.len()];
        points
            .iter()
            .enumerate()
            .for_each(|(new, &old)| news[old] = Some(new));
        let new = |old: usize| news[old];
        let kept = |geometry: Geometry| {
            Some(match geometry {
                Geometry::Distance { from, to } => Geometry::Distance {
                    from: new(from)?,
                    to: new(to)?,
                },
                Geometry::Offset {
                    mark,
                    line: [start, end],
                } => Geometry::Offset {
                    mark: new(mark)?,
                    line: [new(start)?, new(end)?],
                },
                Geometry::X { point } => Geometry::X { point: new(point)? },
                Geometry::Y { point } => Geometry::Y { point: new(point)? },
            })
        };
        let (mut observations, mut from) = (Vec::new(), Vec::new());
        for (index, observation) in self.observations.iter().enumerate() {
            if let Some(geometry) = kept(observation.geometry) {
                observations.push(super::Observation {
                    geometry,
                    ..*observation
                });
                from.push(index);
            }
        }
        let network = Self {
            points: points
                .iter()
                .map(|&point| self.points[point].clone())
                .collect(),
            observations,
        };
        HeldPart {
            network,
            points: points.to_vec(),
            observations: from,
        }
    }

    /// Where the points are said to be.
    pub(super) fn starts(&self) -> Vec<Point> {
        self.points.iter().map(|point| point.start).collect()
    }
}

/// Movements that no observation hinders.
struct Freedom {
    unknowns: Unknowns,
    places: Vec<Point>,
    /// Orthonormal movements, one in each column.
    unhindered: DMatrix<f64>,
    /// How many of them move the whole as one body.
    rigid: usize,
    loose: DMatrix<f64>,
    /// The unhindered movements over the x and y of all points, those that are fixed too.
    lifted: DMatrix<f64>,
    /// The same and the motions of all points as one body: whatever the points may do as seen from any of them.
    relative: DMatrix<f64>,
}

impl Freedom {
    /// `None` where points of one observation coincide, and where no point can move.
    fn of(network: &Network) -> Option<Self> {
        let (unknowns, places) = (Unknowns::of(network), network.starts());
        if unknowns.count == 0 {
            return None;
        }
        let linear = Linearised::at(network, &unknowns, &places).ok()?;
        let loose = linear.loose(network, &unknowns, &places);
        let eigen = linear.normal().symmetric_eigen();
        let most = eigen
            .eigenvalues
            .iter()
            .fold(f64::MIN_POSITIVE, |most, value| most.max(*value));
        let free =
            (0..unknowns.count).filter(|&index| eigen.eigenvalues[index] < UNHINDERED * most);
        let free: Vec<_> = free
            .map(|index| eigen.eigenvectors.column(index).into_owned())
            .collect();
        let unhindered = if free.is_empty() {
            DMatrix::zeros(unknowns.count, 0)
        } else {
            DMatrix::from_columns(&free)
        };
        let lifted = lifted(&unknowns, &unhindered, places.len());
        let relative = with_rigid(&lifted, &places);
        Some(Self {
            rigid: loose.ncols(),
            loose,
            unknowns,
            places,
            unhindered,
            lifted,
            relative,
        })
    }

    /// Movements in which `from` rests and `to` does not go round it. They are looked for among those that move the whole as
    /// well: points that are held to each other need not be held to what is fixed.
    fn pinned(&self, from: usize, to: usize) -> DMatrix<f64> {
        let across = (self.places[to] - self.places[from]).turn_90();
        let across = across / across.hypot().max(f64::MIN_POSITIVE);
        let count = self.relative.ncols();
        let mut pins = DMatrix::zeros(3, count);
        for column in 0..count {
            let movement = |point: usize| {
                Vec2::new(
                    self.relative[(2 * point, column)],
                    self.relative[(2 * point + 1, column)],
                )
            };
            let (first, second) = (movement(from), movement(to));
            pins.set_column(
                column,
                &nalgebra::Vector3::new(first.x, first.y, across.dot(second)),
            );
        }
        let eigen = (pins.transpose() * &pins).symmetric_eigen();
        let kept = (0..count).filter(|&index| eigen.eigenvalues[index] < STILL * STILL);
        let kept: Vec<_> = kept
            .map(|index| &self.relative * eigen.eigenvectors.column(index))
            .collect();
        if kept.is_empty() {
            DMatrix::zeros(2 * self.places.len(), 0)
        } else {
            DMatrix::from_columns(&kept)
        }
    }

    /// Points that rest in all of the given movements.
    fn still(&self, movements: &DMatrix<f64>) -> Vec<usize> {
        let rests = |point: &usize| {
            movements
                .rows(2 * point, 2)
                .iter()
                .all(|by| by.abs() < STILL)
        };
        (0..self.places.len()).filter(rests).collect()
    }

    /// The movements without those of the whole as one body.
    fn without_rigid(&self) -> DMatrix<f64> {
        let projected =
            &self.unhindered - &self.loose * (self.loose.transpose() * &self.unhindered);
        let eigen = (projected.transpose() * &projected).symmetric_eigen();
        let kept = (0..projected.ncols()).filter(|&index| eigen.eigenvalues[index] > 0.5);
        let kept: Vec<_> = kept
            .map(|index| &projected * eigen.eigenvectors.column(index))
            .collect();
        if kept.is_empty() {
            DMatrix::zeros(self.unknowns.count, 0)
        } else {
            DMatrix::from_columns(&kept)
        }
    }
}

/// Movements of the unknowns as movements of all points, two rows each; fixed points rest.
fn lifted(unknowns: &Unknowns, movements: &DMatrix<f64>, points: usize) -> DMatrix<f64> {
    DMatrix::from_fn(2 * points, movements.ncols(), |row, column| {
        unknowns
            .column(row / 2)
            .map_or(0.0, |first| movements[(first + row % 2, column)])
    })
}

/// Movements of all points with the two shifts and the turn of all points as one body, each of length 1.
fn with_rigid(movements: &DMatrix<f64>, places: &[Point]) -> DMatrix<f64> {
    let count = places.len().max(1) as f64;
    let middle = places
        .iter()
        .fold(Vec2::ZERO, |sum, place| sum + place.to_vec2() / count)
        .to_point();
    let motion = |of: &dyn Fn(Point) -> Vec2| {
        let all: Vec<f64> = places
            .iter()
            .flat_map(|&place| [of(place).x, of(place).y])
            .collect();
        let all = DVector::from_vec(all);
        let length = all.norm().max(f64::MIN_POSITIVE);
        all / length
    };
    let mut columns: Vec<DVector<f64>> = movements
        .column_iter()
        .map(|column| column.into_owned())
        .collect();
    columns.push(motion(&|_| Vec2::new(1.0, 0.0)));
    columns.push(motion(&|_| Vec2::new(0.0, 1.0)));
    columns.push(motion(&|place| (place - middle).turn_90()));
    DMatrix::from_columns(&columns)
}

/// Orthonormal columns that are all square to a unit vector.
fn complement(unit: &DVector<f64>) -> DMatrix<f64> {
    let eigen = (unit * unit.transpose()).symmetric_eigen();
    let kept: Vec<_> = (0..unit.len())
        .filter(|&index| eigen.eigenvalues[index] < 0.5)
        .map(|index| eigen.eigenvectors.column(index).into_owned())
        .collect();
    if kept.is_empty() {
        DMatrix::zeros(unit.len(), 0)
    } else {
        DMatrix::from_columns(&kept)
    }
}

#[cfg(test)]
mod tests {
    use crate::survey::fixture::network;

    const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 2000.0)];

    #[test]
    fn a_rectangle_without_diagonals_holds_nothing_and_one_diagonal_is_named() {
        let sides = network(&SQUARE, &[[0, 1], [1, 2], [2, 3], [3, 0]]);
        assert!(sides.held_part().points.is_empty());
        assert_eq!(sides.pulls_to_hold(&[[0, 1], [0, 2], [1, 3]]), [[0, 2]]);
    }

    #[test]
    fn a_point_on_one_distance_alone_is_left_out_of_the_part_that_is_held() {
        let mut points = SQUARE.to_vec();
        points.push((5000.0, 500.0));
        let hanging = network(&points, &[[0, 1], [1, 2], [2, 3], [3, 0], [0, 2], [2, 4]]);
        let part = hanging.held_part();
        assert_eq!(
            (part.points.as_slice(), part.observations.len()),
            (&[0, 1, 2, 3][..], 5)
        );
        assert!(part.network.adjust().is_ok());
        assert_eq!(hanging.pulls_to_hold(&[[2, 4], [1, 4]]), [[1, 4]]);
    }

    #[test]
    fn a_point_between_two_others_on_one_line_is_not_held_sideways() {
        let line = network(
            &[(0.0, 0.0), (2000.0, 0.0), (5000.0, 0.0), (1000.0, 900.0)],
            &[[0, 1], [1, 2], [0, 2], [0, 3], [2, 3]],
        );
        assert_eq!(line.held_part().points, [0, 2, 3]);
        assert_eq!(line.pulls_to_hold(&[[0, 1], [1, 3]]), [[1, 3]]);
    }

    #[test]
    fn a_stiff_grid_that_fixed_points_do_not_hold_is_a_part_without_them() {
        let mut points = SQUARE.to_vec();
        points.extend([(500.0, -900.0), (2500.0, -900.0)]);
        let grid = [[0, 1], [1, 2], [2, 3], [3, 0], [0, 2], [1, 3]];
        let mut tied = network(&points, &[grid.as_slice(), &[[4, 0], [5, 1]]].concat());
        for point in [4, 5] {
            tied.points[point].fixed = true;
        }
        let part = tied.held_part();
        assert_eq!(
            (part.points.as_slice(), part.observations.len()),
            (&[0, 1, 2, 3][..], 6)
        );
        assert!(part.network.adjust().is_ok());
        assert_eq!(tied.pulls_to_hold(&[[4, 0], [4, 1]]), [[4, 1]]);
    }

    #[test]
    fn two_stiff_parts_on_a_hinge_are_two_parts() {
        let points = [
            (0.0, 0.0),
            (1000.0, 100.0),
            (500.0, 900.0),
            (-900.0, 100.0),
            (-400.0, 800.0),
            (-800.0, 700.0),
        ];
        let hinged = network(
            &points,
            &[
                [0, 1],
                [1, 2],
                [2, 0],
                [0, 3],
                [3, 4],
                [4, 0],
                [5, 3],
                [5, 4],
            ],
        );
        assert_eq!(hinged.held_part().points, [0, 3, 4, 5]);
        assert_eq!(hinged.pulls_to_hold(&[[3, 5], [2, 4], [1, 3]]).len(), 1);
    }

    #[test]
    fn a_network_that_is_held_altogether_is_its_own_part() {
        let whole = network(&SQUARE, &[[0, 1], [1, 2], [2, 3], [3, 0], [0, 2], [1, 3]]);
        assert_eq!(whole.held_part().points, [0, 1, 2, 3]);
        assert!(whole.pulls_to_hold(&[[0, 1]]).is_empty());
    }
}
