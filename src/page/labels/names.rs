//! Names beside the points that they name.

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::room::{Room, overlap};

/// Cost of a name that runs over another piece of lettering, a mark or a leader, or whose own leader
/// does: accepted only where a name may not be missing.
pub const FORBIDDEN: u64 = 20_000;
/// Cost per mm of distance between a mark and its name, so that a near place wins.
const PER_MM: f64 = 24.0;
/// Clear space kept round lettering, mm.
const MARGIN: f64 = 0.5;
/// Distances in mm at which a name is tried round its mark, nearest first.
const DISTANCES: [f64; 9] = [1.5, 2.2, 3.0, 4.0, 5.5, 7.5, 10.0, 14.0, 20.0];
/// The last of them.
const FARTHEST: f64 = DISTANCES[DISTANCES.len() - 1];
/// From this distance on, mm, a leader joins a mark and its name.
const LEADER_FROM: f64 = 3.5;
/// Clear distance from a mark's middle to its leader, mm.
const LEADER_START: f64 = 1.7;
/// Clear distance from a leader to its name, mm.
const LEADER_END: f64 = 0.4;

/// Directions in which a name is tried, the preferred ones first; each costs one more than the one
/// before it.
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

/// A name that is to stand beside a point.
#[derive(Clone, Copy, Debug)]
pub struct NameWish {
    /// The point.
    pub at: Point,
    /// Extent of the lettering, mm.
    pub size: Size,
    /// True where the places below the point are better than those above it.
    pub below: bool,
    /// True where the name may not be missing: without a free place it gets that with the least in
    /// its way.
    pub anyway: bool,
    /// What it may cost at most: less than a line's price, and no such line runs through it.
    pub most: u64,
}

impl NameWish {
    /// A name that may be missing, better above its point.
    #[must_use]
    pub const fn new(at: Point, size: Size) -> Self {
        Self {
            at,
            size,
            below: false,
            anyway: false,
            most: FORBIDDEN,
        }
    }
}

/// A place found for a name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Named {
    /// Box of the lettering.
    pub space: Rect,
    /// Leader from the point to the name, where it stands too far off to be clear without.
    pub leader: Option<Line>,
}

impl Room {
    /// Finds the best place for a name near its point and takes it, and its leader with it; `None`
    /// when every place tried runs over something that it must not.
    pub fn name(&mut self, wish: NameWish) -> Option<Named> {
        let mut best: Option<(u64, Named)> = None;
        // Room for the name at its farthest, on any side of the point.
        let around = Rect::from_center_size(wish.at, wish.size * 2.0);
        let near_by = self.near(around.inflate(FARTHEST + MARGIN, FARTHEST + MARGIN));
        let most = if wish.anyway { u64::MAX } else { wish.most };
        for distance in DISTANCES {
            for (rank, &(x, y)) in (0..).zip(&DIRECTIONS) {
                let direction = Vec2::new(x, if wish.below { -y } else { y });
                let near = (PER_MM * distance).round() as u64 + rank;
                let least = best.map_or(most, |(least, _)| least);
                // The cheap part first: most places are too far to win, whatever lies there.
                if near >= least {
                    continue;
                }
                let place = beside(wish.at, wish.size, direction, distance);
                let cost = near + near_by.cost(wish.at, place);
                if cost < least {
                    best = Some((cost, place));
                }
            }
        }
        let (_, place) = best?;
        self.block(place.space);
        if let Some(leader) = place.leader {
            self.line(leader, FORBIDDEN);
        }
        Some(place)
    }

    /// True when nothing at all lies where a name would.
    #[must_use]
    pub fn is_clear(&self, space: Rect) -> bool {
        let alone = Named {
            space,
            leader: None,
        };
        self.near(space.inflate(MARGIN, MARGIN))
            .cost(space.center(), alone)
            == 0
    }

    /// What lies in a part of the room.
    fn near(&self, part: Rect) -> NearBy {
        NearBy {
            blocked: self
                .blocked
                .iter()
                .copied()
                .filter(|&r| overlap(part, r))
                .collect(),
            lines: self
                .lines
                .iter()
                .copied()
                .filter(|(line, _)| crosses(*line, part))
                .collect(),
            bounds: self.bounds,
        }
    }
}

/// What a name may run over: all of the room's that lies near it.
struct NearBy {
    blocked: Vec<Rect>,
    lines: Vec<(Line, u64)>,
    bounds: Option<(Rect, u64)>,
}

impl NearBy {
    fn cost(&self, at: Point, Named { space, leader }: Named) -> u64 {
        let padded = space.inflate(MARGIN, MARGIN);
        let hard = self.blocked.iter().filter(|&&r| overlap(padded, r)).count();
        // A leader starts within what stands for its own mark.
        let in_its_way = leader.map_or(0, |leader| {
            let foreign = self.blocked.iter().filter(|r| !r.contains(at));
            foreign.filter(|r| crosses(leader, **r)).count()
        });
        let crossed = self.lines.iter().filter(|(line, _)| crosses(*line, padded));
        let strays = self
            .bounds
            .filter(|(bounds, _)| bounds.union(space) != *bounds);
        FORBIDDEN * (hard + in_its_way) as u64
            + crossed.map(|(_, cost)| cost).sum::<u64>()
            + strays.map_or(0, |(_, cost)| cost)
    }
}

/// A place beside a point in a direction, its near side or corner `distance` mm away.
fn beside(at: Point, size: Size, direction: Vec2, distance: f64) -> Named {
    let half = size.to_vec2() / 2.0;
    let aside = Vec2::new(
        direction.x * (half.x + distance),
        direction.y * (half.y + distance),
    );
    let space = Rect::from_center_size(at + aside, size);
    let leader = (distance > LEADER_FROM).then(|| {
        let padded = space.inflate(LEADER_END, LEADER_END);
        let end = Point::new(
            at.x.clamp(padded.x0, padded.x1),
            at.y.clamp(padded.y0, padded.y1),
        );
        Line::new(at + (end - at).normalize() * LEADER_START, end)
    });
    Named { space, leader }
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

    fn wish(width: f64) -> NameWish {
        NameWish::new(Point::ZERO, Size::new(width, 2.5))
    }

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
        let mut room = Room::default();
        let first = room.name(wish(5.0)).unwrap();
        assert!((first.space.x0 - DISTANCES[0]).abs() < 1e-9 && first.leader.is_none());
        let second = room.name(wish(5.0)).unwrap();
        assert_eq!(second.space.intersect(first.space).area(), 0.0);
        let below = NameWish {
            below: true,
            ..wish(5.0)
        };
        assert!(Room::default().name(below).unwrap().space.y1 < 0.0);
    }

    #[test]
    fn a_name_that_has_to_stand_far_off_gets_a_leader_that_crosses_no_other_lettering() {
        let around =
            [(-3.0, 0.0), (3.0, 0.0), (0.0, -3.0)].map(|at| Rect::from_center_size(at, (5.5, 5.5)));
        let mut room = Room::default();
        around.into_iter().for_each(|taken| room.block(taken));
        let place = room.name(wish(9.0)).unwrap();
        let leader = place.leader.unwrap();
        let foreign = around.iter().filter(|r| !r.contains(Point::ZERO));
        assert!(
            foreign
                .clone()
                .all(|r| !crosses(leader, *r) && place.space.intersect(*r).area() == 0.0)
        );
    }

    #[test]
    fn where_no_place_is_free_only_a_name_that_may_not_be_missing_gets_one() {
        let mut room = Room::default();
        room.block(Rect::new(-99.0, -99.0, 99.0, 99.0));
        room.block(Rect::new(-99.0, -99.0, 0.0, 99.0));
        room.block(Rect::new(-99.0, 0.0, 99.0, 99.0));
        assert_eq!(room.name(wish(5.0)), None);
        let anyway = NameWish {
            anyway: true,
            ..wish(5.0)
        };
        let space = room.name(anyway).unwrap().space;
        assert!(
            space.x0 > 0.0 && space.y1 < 0.0,
            "{space:?} has most in its way"
        );
    }

    #[test]
    fn a_name_crosses_a_line_only_when_that_costs_less_than_going_further() {
        let height = |cost: u64| {
            let mut room = Room::default();
            room.block(Rect::new(-99.0, -99.0, 99.0, 0.5));
            room.line(Line::new((-99.0, 2.0), (99.0, 2.0)), cost);
            room.name(wish(5.0)).unwrap().space.y0
        };
        assert_eq!([height(10), height(400)], [1.5, 3.0]);
    }
}
