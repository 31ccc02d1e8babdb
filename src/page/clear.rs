//! Finding a place for a name among what is drawn already.

use kurbo::{Line, Point, Rect, Vec2};

/// Cost of a name that runs over another piece of lettering, a mark or a leader, or whose own leader
/// does: never accepted.
pub const FORBIDDEN: f64 = 1000.0;
/// Cost per mm of distance between a mark and its name, so that a near place wins.
const PER_MM: f64 = 1.2;
/// Cost of widening the drawing.
const OUT_OF_BOUNDS: f64 = 7.0;
/// Clear space kept round lettering, mm.
const MARGIN: f64 = 0.5;
/// Distances in mm at which a name is tried round its mark, nearest first.
const DISTANCES: [f64; 8] = [1.5, 2.2, 3.0, 4.0, 5.5, 7.5, 10.0, 14.0];
/// From this distance on, mm, a leader joins a mark and its name.
const LEADER_FROM: f64 = 3.5;
/// Clear distance from a mark's middle to its leader, mm.
const LEADER_START: f64 = 1.7;
/// Clear distance from a leader to its name, mm.
const LEADER_END: f64 = 0.4;

/// A place found for a name.
#[derive(Clone, Copy, Debug)]
pub struct Place {
    /// Box of the lettering.
    pub space: Rect,
    /// Leader from the mark to the name, where it stands too far off to be clear without.
    pub leader: Option<Line>,
}

/// What is drawn already.
#[derive(Clone, Debug, Default)]
pub struct Obstacles {
    /// What lettering must never run over.
    pub hard: Vec<Rect>,
    /// Lines that lettering should keep off, each with its cost.
    pub lines: Vec<(Line, f64)>,
    /// Left and right bound that names had better keep, so that they do not widen the drawing.
    pub bounds: Option<(f64, f64)>,
}

impl Obstacles {
    /// Adds the sides of a rectangle as lines.
    pub fn add_outline(&mut self, r: Rect, cost: f64) {
        let corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)].map(Point::from);
        self.add_polygon(&corners, cost);
    }

    /// Adds the sides of a polygon as lines.
    pub fn add_polygon(&mut self, corners: &[Point], cost: f64) {
        for (index, &corner) in corners.iter().enumerate() {
            self.lines.push((
                Line::new(corner, corners[(index + 1) % corners.len()]),
                cost,
            ));
        }
    }

    /// True when nothing at all lies in `space`.
    #[must_use]
    pub fn leaves_free(&self, space: Rect) -> bool {
        self.cost(space) == 0.0
    }

    /// The best place for lettering of `size` near `anchor`; `None` when every place tried runs over
    /// something that it must not.
    #[must_use]
    pub fn place(&self, anchor: Point, size: (f64, f64)) -> Option<Place> {
        let mut best: Option<(f64, Place)> = None;
        for distance in DISTANCES {
            for (rank, direction) in DIRECTIONS.iter().enumerate() {
                let space = beside(anchor, size, *direction, distance);
                let near = PER_MM * distance + 0.05 * rank as f64;
                let least = best.map_or(FORBIDDEN, |(least, _)| least);
                // The cheap part first: most places are too far to win, whatever lies there.
                if near >= least {
                    continue;
                }
                let leader = (distance > LEADER_FROM).then(|| leader(anchor, space));
                let cost = near
                    + self.cost(space)
                    + leader.map_or(0.0, |line| self.leader_cost(anchor, line));
                if cost < least {
                    best = Some((cost, Place { space, leader }));
                }
            }
        }
        best.map(|(_, place)| place)
    }

    fn leader_cost(&self, anchor: Point, leader: Line) -> f64 {
        let own = |r: &Rect| r.contains(anchor);
        if self.hard.iter().any(|r| !own(r) && crosses(leader, *r)) {
            FORBIDDEN
        } else {
            0.0
        }
    }

    fn cost(&self, space: Rect) -> f64 {
        let padded = space.inflate(MARGIN, MARGIN);
        let hard = self.hard.iter().any(|r| padded.intersect(*r).area() > 0.0);
        let lines: f64 = self
            .lines
            .iter()
            .filter(|(line, _)| crosses(*line, padded))
            .map(|(_, cost)| cost)
            .sum();
        let strays = self
            .bounds
            .is_some_and(|(left, right)| space.x0 < left || space.x1 > right);
        lines + if hard { FORBIDDEN } else { 0.0 } + if strays { OUT_OF_BOUNDS } else { 0.0 }
    }
}

/// Directions in which a name is tried, the preferred ones first.
const DIRECTIONS: [(f64, f64); 16] = [
    (1.0, 1.0),
    (-1.0, 1.0),
    (1.0, -1.0),
    (-1.0, -1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (0.5, 1.0),
    (-0.5, 1.0),
    (0.5, -1.0),
    (-0.5, -1.0),
    (1.0, 0.5),
    (-1.0, 0.5),
    (1.0, -0.5),
    (-1.0, -0.5),
];

/// A straight line from beside a mark to the nearest point of its name.
fn leader(anchor: Point, space: Rect) -> Line {
    let padded = space.inflate(LEADER_END, LEADER_END);
    let end = Point::new(
        anchor.x.clamp(padded.x0, padded.x1),
        anchor.y.clamp(padded.y0, padded.y1),
    );
    Line::new(anchor + (end - anchor).normalize() * LEADER_START, end)
}

/// A box of `size` beside `anchor` in a direction, its near side or corner `distance` mm away.
fn beside(anchor: Point, size: (f64, f64), direction: (f64, f64), distance: f64) -> Rect {
    let half = Vec2::new(size.0 / 2.0, size.1 / 2.0);
    let middle = anchor
        + Vec2::new(
            direction.0 * (half.x + distance),
            direction.1 * (half.y + distance),
        );
    Rect::from_center_size(middle, size)
}

/// True when a straight line passes through a rectangle (Liang and Barsky's clipping).
#[must_use]
pub fn crosses(line: Line, r: Rect) -> bool {
    let d = line.p1 - line.p0;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let sides = [
        (-d.x, line.p0.x - r.x0),
        (d.x, r.x1 - line.p0.x),
        (-d.y, line.p0.y - r.y0),
        (d.y, r.y1 - line.p0.y),
    ];
    for (p, q) in sides {
        if p == 0.0 {
            if q <= 0.0 {
                return false;
            }
        } else if p < 0.0 {
            enter = enter.max(q / p);
        } else {
            leave = leave.min(q / p);
        }
    }
    enter < leave
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_box_is_seen_and_one_beside_it_is_not() {
        let space = Rect::new(0.0, 0.0, 10.0, 5.0);
        assert!(crosses(Line::new((-5.0, 2.0), (15.0, 3.0)), space));
        assert!(crosses(Line::new((2.0, 2.0), (3.0, 3.0)), space));
        assert!(!crosses(Line::new((-5.0, 6.0), (15.0, 6.0)), space));
        assert!(!crosses(Line::new((11.0, 0.0), (15.0, 3.0)), space));
        assert!(!crosses(Line::new((0.0, 5.0), (10.0, 5.0)), space));
    }

    #[test]
    fn a_name_keeps_off_other_lettering_and_prefers_the_near_place() {
        let mut obstacles = Obstacles::default();
        let free = obstacles.place(Point::ZERO, (5.0, 2.5)).unwrap();
        assert!((free.space.x0 - DISTANCES[0]).abs() < 1e-9 && free.leader.is_none());
        obstacles.hard.push(free.space);
        let other = obstacles.place(Point::ZERO, (5.0, 2.5)).unwrap();
        assert_eq!(other.space.intersect(free.space).area(), 0.0);
    }

    #[test]
    fn a_name_that_has_to_stand_far_off_gets_a_leader_that_crosses_no_other_lettering() {
        let around =
            [(-3.0, 0.0), (3.0, 0.0), (0.0, -3.0)].map(|at| Rect::from_center_size(at, (5.5, 5.5)));
        let obstacles = Obstacles {
            hard: around.to_vec(),
            ..Obstacles::default()
        };
        let place = obstacles.place(Point::ZERO, (9.0, 2.5)).unwrap();
        let leader = place.leader.unwrap();
        let foreign = around.iter().filter(|r| !r.contains(Point::ZERO));
        assert!(
            foreign
                .clone()
                .all(|r| !crosses(leader, *r) && place.space.intersect(*r).area() == 0.0)
        );
    }

    #[test]
    fn no_place_is_given_where_there_is_none() {
        let everywhere = Obstacles {
            hard: vec![Rect::new(-99.0, -99.0, 99.0, 99.0)],
            ..Obstacles::default()
        };
        assert!(everywhere.place(Point::ZERO, (5.0, 2.5)).is_none());
    }
}
