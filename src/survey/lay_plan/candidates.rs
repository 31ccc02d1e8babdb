//! Lays that can be made: what a tape and a string reach, and what each is worth.

use kurbo::Point;
use nalgebra::{DMatrix, DVector};

use super::{
    figures::{
        BODY_EDGE_MM, CRAWL_MINUTES, LAY_MINUTES, LEAST_SD_MM, LONGEST_SQUARE_MM, READING_MINUTES,
        SHORTEST_MM,
    },
    runs::runs,
};
use crate::{
    plan::{FloorPlan, LayEnd, LayKind},
    survey::{Geometry, LongestPull, Precision, wheel_marks},
};

/// More pairs of marks than this, and only some are chosen from: see [`thinned`].
const MOST_PAIRS: usize = 1200;

/// Directions in which each mark keeps its nearest and its farthest neighbour.
const SECTORS: usize = 8;

/// A lay that can be made. Points: the marks, then the four wheel marks.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// Tape or string.
    pub kind: LayKind,
    /// Point where it begins.
    pub from: usize,
    /// Point where it ends.
    pub to: usize,
    /// Marks at which it is read, in order.
    pub marks: Vec<usize>,
    /// The same for each: what is read.
    pub geometry: Vec<Geometry>,
    /// What the tape should read, mm.
    pub should_be: Vec<f64>,
    /// For each reading, true where the lay runs below the body on its way there.
    pub below: Vec<bool>,
    /// Standard deviation of each reading by itself, mm.
    pub sd: f64,
    /// Standard deviation of the zero that its readings share, mm; 0 for a string.
    pub zero: f64,
    /// True where a tape is read.
    pub by_tape: bool,
}

impl Candidate {
    /// Precision matrix (mm⁻²) of the readings that are kept: covariance sd²·I + zero²·11ᵀ, inverted by the formula of
    /// Sherman and Morrison. Rows of readings that are left out are nought.
    pub(super) fn weight(&self, kept: &[bool]) -> DMatrix<f64> {
        let count = kept.iter().filter(|kept| **kept).count() as f64;
        let (own, zero) = (self.sd.powi(2), self.zero.powi(2));
        let common = zero / (own + count * zero);
        DMatrix::from_fn(kept.len(), kept.len(), |i, j| {
            if kept[i] && kept[j] {
                (f64::from(i == j) - common) / own
            } else {
                0.0
            }
        })
    }

    /// That matrix times a vector.
    pub(super) fn weighted(&self, kept: &[bool], values: &DVector<f64>) -> DVector<f64> {
        let count = kept.iter().filter(|kept| **kept).count() as f64;
        let (own, zero) = (self.sd.powi(2), self.zero.powi(2));
        let of_kept = |(kept, value): (&bool, &f64)| if *kept { *value } else { 0.0 };
        let mean = kept.iter().zip(values).map(of_kept).sum::<f64>() * zero / (own + count * zero);
        let one = |index: usize, _| {
            if kept[index] {
                (values[index] - mean) / own
            } else {
                0.0
            }
        };
        DVector::from_fn(values.len(), one)
    }

    /// The wheels that it begins and ends at, by their places among the vehicle's.
    pub(super) fn wheels(&self, marks: usize) -> impl Iterator<Item = usize> + use<> {
        [self.from, self.to]
            .into_iter()
            .filter_map(move |point| point.checked_sub(marks))
    }

    /// True where its kept readings take it below the body.
    pub(super) fn below_body(&self, kept: &[bool]) -> bool {
        self.below
            .iter()
            .zip(kept)
            .any(|(below, kept)| *below && *kept)
    }

    /// Minutes of two people for the kept readings; plumbing of a wheel comes on top.
    pub(super) fn minutes(&self, kept: &[bool]) -> f64 {
        let count = kept.iter().filter(|kept| **kept).count();
        let crawl = if self.below_body(kept) {
            CRAWL_MINUTES
        } else {
            0.0
        };
        LAY_MINUTES + READING_MINUTES * count.saturating_sub(1) as f64 + crawl
    }
}

/// What lays are made from.
struct Floor<'a> {
    plan: &'a FloorPlan,
    points: Vec<Point>,
    longest: LongestPull,
    at_mark: f64,
    inline: f64,
    beside: f64,
}

/// All lays that a tape or a string can make of a layout: nothing runs through a wheel, no pull is longer than
/// the longest, none shorter than 100 mm.
pub(super) fn candidates(
    plan: &FloorPlan,
    precision: &Precision,
    longest: LongestPull,
) -> Vec<Candidate> {
    let marks: Vec<Point> = plan.marks.iter().map(|mark| mark.at).collect();
    let count = marks.len();
    let runs = runs(&marks);
    let points: Vec<Point> = marks
        .into_iter()
        .chain(wheel_marks(&plan.vehicle).map(|(_, at)| at))
        .collect();
    let floor = Floor {
        plan,
        points,
        longest,
        at_mark: precision.at_mark().max(LEAST_SD_MM),
        inline: precision.inline().max(LEAST_SD_MM),
        beside: precision.offset_from_string().max(LEAST_SD_MM),
    };
    let mut all: Vec<Candidate> = Vec::new();
    for run in runs {
        all.extend(
            floor
                .split(&run, true)
                .iter()
                .filter_map(|part| floor.tape(part[0], &part[1..])),
        );
        all.extend(
            floor
                .split(&run, false)
                .iter()
                .filter_map(|part| floor.string(part)),
        );
    }
    all.extend((count..count + 4).flat_map(|wheel| {
        let floor = &floor;
        (0..count).filter_map(move |mark| {
            floor
                .reaches_from_wheel(wheel - count, mark)
                .then(|| floor.tape(wheel, &[mark]))
                .flatten()
        })
    }));
    all.extend(floor.along_tyres());
    thinned(&floor.points, all)
}

impl Floor<'_> {
    fn through_wheel(&self, from: usize, to: usize) -> bool {
        self.plan
            .vehicle
            .through_wheel(self.points[from], self.points[to])
    }

    fn length(&self, from: usize, to: usize) -> f64 {
        self.points[from].distance(self.points[to])
    }

    fn too_long(&self, from: usize, to: usize) -> bool {
        self.longest
            .is_some_and(|longest| self.length(from, to) > longest)
    }

    fn reaches(&self, from: usize, to: usize) -> bool {
        !self.through_wheel(from, to) && !self.too_long(from, to)
    }

    fn reaches_from_wheel(&self, wheel: usize, mark: usize) -> bool {
        let from = self.plan.marks.len() + wheel;
        let blocked =
            self.plan
                .vehicle
                .through_wheel_from(wheel, self.points[from], self.points[mark]);
        !blocked && !self.too_long(from, mark)
    }

    /// A run in parts of two marks and more, broken where it goes through a wheel and, for a tape, where it becomes too
    /// long; there the next part begins at the last mark.
    fn split(&self, run: &[usize], tape: bool) -> Vec<Vec<usize>> {
        let mut parts: Vec<Vec<usize>> = vec![vec![run[0]]];
        for pair in run.windows(2) {
            let [last, next] = [pair[0], pair[1]];
            let part = parts
                .last_mut()
                .expect("there is a part from the beginning on");
            if self.through_wheel(part[0], next) {
                parts.push(vec![next]);
            } else if tape && self.too_long(part[0], next) {
                parts.push(if self.reaches(last, next) {
                    vec![last, next]
                } else {
                    vec![next]
                });
            } else {
                part.push(next);
            }
        }
        parts.retain(|part| part.len() > 1);
        parts
    }

    fn below(&self, from: usize, to: usize) -> bool {
        self.plan
            .vehicle
            .below_body(self.points[from], self.points[to], BODY_EDGE_MM)
    }

    fn tape(&self, from: usize, to: &[usize]) -> Option<Candidate> {
        let marks: Vec<usize> = to
            .iter()
            .copied()
            .filter(|&mark| self.length(from, mark) >= SHORTEST_MM)
            .collect();
        Some(Candidate {
            kind: LayKind::Tape,
            from,
            to: *marks.last()?,
            geometry: marks
                .iter()
                .map(|&to| Geometry::Distance { from, to })
                .collect(),
            should_be: marks.iter().map(|&mark| self.length(from, mark)).collect(),
            below: marks.iter().map(|&mark| self.below(from, mark)).collect(),
            marks,
            sd: self.at_mark,
            zero: self.at_mark,
            by_tape: true,
        })
    }

    fn string(&self, part: &[usize]) -> Option<Candidate> {
        let [from, between @ .., to] = part else {
            return None;
        };
        if between.is_empty() || self.length(*from, *to) < SHORTEST_MM {
            return None;
        }
        let below = self.below(*from, *to);
        Some(Candidate {
            kind: LayKind::String,
            from: *from,
            to: *to,
            marks: between.to_vec(),
            geometry: between
                .iter()
                .map(|&mark| Geometry::Offset {
                    mark,
                    line: [*from, *to],
                })
                .collect(),
            should_be: vec![0.0; between.len()],
            below: vec![below; between.len()],
            sd: self.inline,
            zero: 0.0,
            by_tape: false,
        })
    }

    /// Strings along the tyres' outer faces, over the plumbed marks of front and rear wheel and carried on past them, from which
    /// marks are taped square. What lies ahead of the vehicle or behind it is tied to it sideways by nothing else,
    /// for every line from a wheel mark inwards goes through the wheel. Each string is named so that its marks lie to the left
    /// of it and readings are positive.
    fn along_tyres(&self) -> Vec<Candidate> {
        let count = self.plan.marks.len();
        // The outside of the left tyres, of the right ones; then what lies inside, ahead of the vehicle or behind it.
        let sides =
            [[2, 0], [1, 3], [0, 2], [3, 1]].map(|side| side.map(|wheel: usize| count + wheel));
        sides
            .into_iter()
            .filter_map(|[from, to]| self.along([from, to], count))
            .collect()
    }

    fn along(&self, [from, to]: [usize; 2], count: usize) -> Option<Candidate> {
        let (start, along) = (
            self.points[from],
            (self.points[to] - self.points[from]).normalize(),
        );
        let (mut marks, mut should_be) = (Vec::new(), Vec::new());
        for mark in 0..count {
            let reach = self.points[mark] - start;
            let (foot, offset) = (start + along * along.dot(reach), along.cross(reach));
            let vehicle = &self.plan.vehicle;
            let blocked = vehicle.through_wheel(foot, self.points[mark])
                || vehicle.below_body(foot, self.points[mark], BODY_EDGE_MM);
            if (SHORTEST_MM..=LONGEST_SQUARE_MM).contains(&offset) && !blocked {
                marks.push(mark);
                should_be.push(offset);
            }
        }
        (!marks.is_empty()).then(|| Candidate {
            kind: LayKind::String,
            from,
            to,
            geometry: marks
                .iter()
                .map(|&mark| Geometry::Offset {
                    mark,
                    line: [from, to],
                })
                .collect(),
            below: vec![false; marks.len()],
            should_be,
            marks,
            sd: self.beside,
            zero: 0.0,
            by_tape: true,
        })
    }
}

/// Of very many single pulls, those to the nearest and the farthest neighbour of each point in each of eight directions
/// stay: what holds a mark is the variety of directions, what holds the whole are long pulls. Of longer runs those
/// along and across the vehicle stay as well.
fn thinned(points: &[Point], all: Vec<Candidate>) -> Vec<Candidate> {
    if all.len() <= MOST_PAIRS {
        return all;
    }
    let mut around: Vec<[Reach; SECTORS]> = vec![[None; SECTORS]; points.len()];
    for (index, one) in all.iter().enumerate() {
        for (at, other) in [(one.from, one.to), (one.to, one.from)] {
            let length = points[at].distance(points[other]);
            let place = &mut around[at][sector(points[at], points[other])];
            let [near, far] = place.get_or_insert([(length, index); 2]);
            if length < near.0 {
                *near = (length, index);
            }
            if length > far.0 {
                *far = (length, index);
            }
        }
    }
    let mut kept = vec![false; all.len()];
    around
        .iter()
        .flatten()
        .flatten()
        .flatten()
        .for_each(|(_, index)| kept[*index] = true);
    let square = |one: &Candidate| {
        let along = points[one.to] - points[one.from];
        one.marks.len() + usize::from(one.kind == LayKind::String) > 1
            && along.x.abs().min(along.y.abs()) < 1.0
    };
    all.into_iter()
        .zip(kept)
        .filter(|(one, kept)| *kept || square(one))
        .map(|(one, _)| one)
        .collect()
}

/// The nearest and the farthest neighbour in one direction, each by its distance, mm, and its index.
type Reach = Option<[(f64, usize); 2]>;

fn sector(from: Point, to: Point) -> usize {
    let turn = (to - from).atan2() / std::f64::consts::TAU + 0.5;
    (turn * SECTORS as f64) as usize % SECTORS
}

/// A lay's beginning as a plan names it.
pub(super) const fn end(point: usize, marks: usize) -> LayEnd {
    if point < marks {
        LayEnd::Mark(point)
    } else {
        LayEnd::Wheel(point - marks)
    }
}
