//! Distances that prove a layout: sides, ends, all diagonals, and ties for what those leave loose.

use kurbo::{Point, Rect};

use super::{
    marks::FoundMark,
    model::{Check, CheckKind},
    vehicle::{VehicleOnFloor, Wheel},
};
use crate::{template::Side, units::SAME_WRITTEN_MM};

/// Length of floor that a tyre stands on, mm, and how far it stands in from the tyre's sides (common practice, no source).
const CONTACT_LENGTH_MM: f64 = 200.0;
const SHOULDER_MM: f64 = 15.0;

/// The check distances of a layout, numbered within their kind.
///
/// Sides run along each rail and the centreline from the foremost to the rearmost mark and from
/// each mark to the next; ends run from a mark to the one mirrored across; diagonals join all left
/// and right marks of a rail pair on different stations, and, where a rail has a single station,
/// its marks with the centreline marks of the other stations. Ties hold what these leave loose: see
/// [`ties`]. The tolerance is the larger one of the two marks.
pub(super) fn checks(
    marks: &[FoundMark],
    tape_base: [usize; 2],
    vehicle: &VehicleOnFloor,
) -> Vec<Check> {
    let mut pairs = sides(marks);
    pairs.extend(ends(marks));
    pairs.extend(diagonals(marks));
    for (from, to) in ties(marks, tape_base) {
        let known = |(_, a, b): &Pair| [*a, *b] == [from, to] || [*b, *a] == [from, to];
        if from != to && !pairs.iter().any(known) {
            pairs.push((CheckKind::Tie, from, to));
        }
    }
    let mut counts = [0; 4];
    pairs
        .into_iter()
        .map(|(kind, from, to)| {
            let (a, b) = (&marks[from], &marks[to]);
            counts[kind as usize] += 1;
            Check {
                id: format!(
                    "{}{}",
                    kind.word()[..1].to_uppercase(),
                    counts[kind as usize]
                ),
                kind,
                from,
                to,
                distance: a.at.distance(b.at),
                tolerance: a.tolerance.max(b.tolerance),
                through_wheel: vehicle.through_wheel(a.at, b.at),
            }
        })
        .collect()
}

type Pair = (CheckKind, usize, usize);

/// The part of a mark's name that tells its rail, and its side.
fn rail(mark: &FoundMark) -> Option<(&str, Side)> {
    mark.station
        .and_then(|_| mark.name.split_once('/'))
        .map(|(_, rail)| (rail, mark.side))
}

fn rails(marks: &[FoundMark]) -> Vec<(&str, Side)> {
    let mut rails: Vec<_> = marks.iter().filter_map(rail).collect();
    rails.sort();
    rails.dedup();
    rails
}

fn on_rail(marks: &[FoundMark], wanted: (&str, Side)) -> Vec<usize> {
    (0..marks.len())
        .filter(|index| rail(&marks[*index]) == Some(wanted))
        .collect()
}

fn sides(marks: &[FoundMark]) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for wanted in rails(marks) {
        let along = on_rail(marks, wanted);
        if let [first, .., last] = along[..] {
            pairs.push((CheckKind::Side, first, last));
        }
        if along.len() > 2 {
            pairs.extend(
                along
                    .windows(2)
                    .map(|step| (CheckKind::Side, step[0], step[1])),
            );
        }
    }
    pairs
}

fn ends(marks: &[FoundMark]) -> Vec<Pair> {
    let mirrored = |left: &FoundMark| {
        marks.iter().position(|mark| {
            mark.name == left.name && mark.side == Side::Right && mark.station == left.station
        })
    };
    (0..marks.len())
        .filter(|index| marks[*index].side == Side::Left)
        .filter_map(|left| mirrored(&marks[left]).map(|right| (CheckKind::End, left, right)))
        .collect()
}

fn diagonals(marks: &[FoundMark]) -> Vec<Pair> {
    let centre = on_rail(marks, ("centre", Side::Centre));
    let mut pairs = Vec::new();
    for (name, _) in rails(marks)
        .into_iter()
        .filter(|(_, side)| *side == Side::Left)
    {
        let (left, right) = (
            on_rail(marks, (name, Side::Left)),
            on_rail(marks, (name, Side::Right)),
        );
        if left.len() == 1 {
            pairs.extend(between_stations(marks, &left, &centre));
            pairs.extend(between_stations(marks, &right, &centre));
        } else {
            pairs.extend(between_stations(marks, &left, &right));
        }
    }
    // A pair of diagonals that should be equal stands together: same stations, mirrored.
    pairs.sort_by_key(|(_, from, to)| {
        let (a, b) = (marks[*from].station, marks[*to].station);
        (
            marks[*from].name.split('/').next_back().map(str::to_owned),
            a.min(b),
            a.max(b),
        )
    });
    pairs
}

fn between_stations(marks: &[FoundMark], from: &[usize], to: &[usize]) -> Vec<Pair> {
    let pairs = from
        .iter()
        .flat_map(|&from| to.iter().map(move |&to| (from, to)));
    pairs
        .filter(|&(from, to)| marks[from].station != marks[to].station)
        .map(|(from, to)| (CheckKind::Diagonal, from, to))
        .collect()
}

/// Distances that join what would else be loose parts, each stiff in itself, to the tape base.
///
/// A rail pair with its sides, ends and diagonals can slide along the centreline as a whole, or turn
/// against it; three distances hold it: from the foremost left mark to both base marks, and from the
/// foremost right mark to the rear one (to the front one it would add nothing where all three lie on
/// one line). Points hang on nothing else, so each gets both.
fn ties(marks: &[FoundMark], [front, rear]: [usize; 2]) -> Vec<(usize, usize)> {
    let mut ties = Vec::new();
    for wanted in rails(marks)
        .into_iter()
        .filter(|(_, side)| *side != Side::Centre)
    {
        let along = on_rail(marks, wanted);
        let mirrored = on_rail(marks, (wanted.0, Side::Left));
        let stiff = wanted.1 == Side::Right && !mirrored.is_empty();
        // A rail without its mirror image has no ends and diagonals: all of its marks are loose.
        let loose = if on_rail(marks, (wanted.0, Side::Right)).is_empty() || mirrored.is_empty() {
            &along[..]
        } else {
            &along[..1]
        };
        for &mark in loose {
            ties.push((rear, mark));
            if !stiff {
                ties.push((front, mark));
            }
        }
    }
    let points = (0..marks.len()).filter(|index| marks[*index].station.is_none());
    ties.extend(points.flat_map(|point| [(front, point), (rear, point)]));
    ties
}

impl VehicleOnFloor {
    /// True when the straight line between two floor points runs through a wheel: no tape lies there while
    /// the vehicle stands on the layout. A line along a wheel's edge does not.
    #[must_use]
    pub fn through_wheel(&self, from: Point, to: Point) -> bool {
        self.wheels
            .iter()
            .any(|wheel| crosses(from, to, wheel.footprint()))
    }

    /// As [`Self::through_wheel`] for a tape that lies on the floor and begins at the outer face of one of the wheels: of
    /// that wheel only what stands on the floor is in its way.
    #[must_use]
    pub fn through_wheel_from(&self, own: usize, from: Point, to: Point) -> bool {
        self.wheels.iter().enumerate().any(|(index, wheel)| {
            let size = (
                CONTACT_LENGTH_MM,
                (wheel.width - 2.0 * SHOULDER_MM).max(0.0),
            );
            let patch = Rect::from_center_size(wheel.centre, size);
            crosses(
                from,
                to,
                if index == own {
                    patch
                } else {
                    wheel.footprint()
                },
            )
        })
    }

    /// True where the straight line between two floor points runs below the body at all; along its edge it does not.
    #[must_use]
    pub fn runs_below(&self, from: Point, to: Point) -> bool {
        crosses(from, to, self.body().inset(-SAME_WRITTEN_MM))
    }

    /// True where the straight line between two floor points runs so far below the body that one has to crawl: more than
    /// `edge` mm in from its ends and its sides, and further in than the tyres' outer faces, which a hand reaches.
    #[must_use]
    pub fn below_body(&self, from: Point, to: Point, edge: f64) -> bool {
        let outer_face = |wheel: &Wheel| wheel.centre.y.abs() + wheel.width / 2.0;
        let half = self
            .wheels
            .iter()
            .map(outer_face)
            .fold(self.half_width - edge, f64::min);
        crosses(
            from,
            to,
            Rect::new(self.rear_x + edge, -half, self.front_x - edge, half),
        )
    }
}

/// True when the straight line between two points enters the inside of a rectangle (slab method).
fn crosses(from: Point, to: Point, rect: Rect) -> bool {
    let mut part = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in [
        (from.x, to.x - from.x, rect.x0, rect.x1),
        (from.y, to.y - from.y, rect.y0, rect.y1),
    ] {
        if step == 0.0 {
            if start <= low || start >= high {
                return false;
            }
            continue;
        }
        let (a, b) = ((low - start) / step, (high - start) / step);
        part = (part.0.max(a.min(b)), part.1.min(a.max(b)));
    }
    part.0 < part.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_line_is_seen_to_run_through_a_wheel() {
        let wheel = Rect::new(-300.0, 600.0, 300.0, 800.0);
        assert!(crosses(
            Point::new(0.0, 1000.0),
            Point::new(0.0, -1000.0),
            wheel
        ));
        assert!(crosses(
            Point::new(-1000.0, 0.0),
            Point::new(1000.0, 1400.0),
            wheel
        ));
        assert!(!crosses(
            Point::new(-1000.0, 900.0),
            Point::new(1000.0, 900.0),
            wheel
        ));
        assert!(!crosses(
            Point::new(-1000.0, 0.0),
            Point::new(1000.0, 0.0),
            wheel
        ));
        assert!(!crosses(
            Point::new(400.0, 1000.0),
            Point::new(400.0, -1000.0),
            wheel
        ));
    }
}
