//! The cheapest free place in a room.
//!
//! All places cost at least their distance from the wished one, so they are tried from there
//! outwards, row by row, until none that is left can win; a row jumps over what stands in its way.

use kurbo::{Point, Rect, Vec2};

use super::room::{Footprint, Part, Place, Room, Wish, overlap};

/// What is added to a distance within which places are tried, mm: more than rounding takes from
/// it. A place beyond is only looked at in vain.
const SLACK_MM: f64 = 1e-6;

/// Alternative, row and column, in the order in which equals are preferred.
type Rank = (usize, usize, usize);

/// A search for one thing.
pub(super) struct Search<'r> {
    room: &'r Room,
    wish: Wish,
    best: Option<(u64, Rank, Place)>,
    /// What may stand in the way of the alternative that is tried, and whether only of lettering.
    near: Vec<(Rect, bool)>,
}

impl<'r> Search<'r> {
    pub const fn new(room: &'r Room, wish: Wish) -> Self {
        Self {
            room,
            wish,
            best: None,
            near: Vec::new(),
        }
    }

    /// The best place of all that were tried.
    pub fn found(self) -> Option<Place> {
        self.best.map(|(_, _, place)| place)
    }

    /// Tries an alternative at one place, unless it leaves what was wished there.
    pub fn at(&mut self, order: usize, footprint: &Footprint, place: Place) {
        let all = Rect::from_origin_size(place.origin, footprint.size);
        let within = self.wish.within;
        // Not `contains_rect`, which leaves out the upper and right edges.
        if within.x0 <= all.x0 && all.x1 <= within.x1 && within.y0 <= all.y0 && all.y1 <= within.y1
        {
            self.look_around(all, footprint);
            self.consider(footprint, place, (order, 0, 0));
        }
    }

    /// Tries an alternative all over what was wished.
    pub fn everywhere(&mut self, option: usize, footprint: &Footprint) {
        let Wish { within, near, .. } = self.wish;
        let last = within.size().to_vec2() - footprint.size.to_vec2();
        if last.x < 0.0 || last.y < 0.0 {
            return;
        }
        let corner = near - footprint.size.to_vec2() / 2.0 - within.origin();
        let first = Vec2::new(corner.x.clamp(0.0, last.x), corner.y.clamp(0.0, last.y));
        if self.reach(footprint, (first - corner).hypot()).is_none() {
            return;
        }
        self.look_around(within, footprint);
        let origin = within.origin();
        let place = |offset: Vec2| Place {
            option,
            origin: origin + offset,
        };
        self.consider(footprint, place(first), (option, 0, 0));
        let step = self.room.step;
        let (columns, rows) = (Offsets::new(last.x, step), Offsets::new(last.y, step));
        let (mut up, mut down) = (rows.from(first.y), rows.from(first.y));
        loop {
            let above = (up < rows.count).then(|| rows.at(up));
            let below = (down > 0).then(|| rows.at(down - 1));
            let row = match (above, below) {
                (Some(a), Some(b)) if corner.y - b < a - corner.y => down - 1,
                (Some(_), _) => up,
                (None, Some(_)) => down - 1,
                (None, None) => return,
            };
            if row == up {
                up += 1;
            } else {
                down -= 1;
            }
            let y = rows.at(row);
            let Some(reach) = self.reach(footprint, y - corner.y) else {
                return;
            };
            self.consider(
                footprint,
                place(Vec2::new(first.x, y)),
                (option, row + 1, 0),
            );
            let mut column = columns.from(first.x);
            while column < columns.count && columns.at(column) - corner.x <= reach {
                let at = place(Vec2::new(columns.at(column), y));
                let taken = self.consider(footprint, at, (option, row + 1, column + 1));
                column += 1;
                if let Some((_, end)) = taken {
                    column = column.max(columns.below(end - origin.x));
                }
            }
            let mut column = columns.from(first.x);
            while column > 0 && corner.x - columns.at(column - 1) <= reach {
                column -= 1;
                let at = place(Vec2::new(columns.at(column), y));
                let taken = self.consider(footprint, at, (option, row + 1, column + 1));
                if let Some((start, _)) = taken {
                    column = column.min(columns.below(start - origin.x) + 2);
                }
            }
        }
    }

    /// How far to the side of its wished place a thing may lie that is `aside` mm off the other
    /// way, and still cost no more than the best; `None` for not at all.
    fn reach(&self, footprint: &Footprint, aside: f64) -> Option<f64> {
        let Some((least, ..)) = self.best else {
            return Some(f64::INFINITY);
        };
        // Costs are rounded to whole numbers.
        let spare = least as f64 + 0.5 - footprint.penalty as f64;
        let radius = spare / self.wish.pull + SLACK_MM;
        let square = radius * radius - aside * aside;
        (radius >= 0.0 && square >= 0.0).then(|| square.sqrt())
    }

    /// Collects what a thing within a rectangle can touch at all.
    fn look_around(&mut self, within: Rect, footprint: &Footprint) {
        let size = Rect::from_origin_size(Point::ZERO, footprint.size);
        // Half of a stroke may stand out of a figure's size.
        let parts = footprint.parts.iter();
        let all = parts.fold(size, |all, (_, part)| all.union(*part));
        let reach = Rect::new(
            within.x0 + all.x0,
            within.y0 + all.y0,
            within.x1 + all.x1 - size.x1,
            within.y1 + all.y1 - size.y1,
        );
        let Room {
            blocked,
            guarded,
            veiled,
            ..
        } = self.room;
        let of = |taken: &'r [Rect], only_lettering: bool| {
            let near = taken.iter().filter(move |other| overlap(reach, **other));
            near.map(move |&other| (other, only_lettering))
        };
        self.near.clear();
        self.near.extend(
            of(blocked, false)
                .chain(of(veiled, false))
                .chain(of(guarded, true)),
        );
    }

    /// Takes a place as the best one if it is. Where something stands in its way, says from where
    /// to where along the row: corners strictly between the two are no better.
    fn consider(&mut self, footprint: &Footprint, place: Place, rank: Rank) -> Option<(f64, f64)> {
        let wins = |cost: u64| {
            self.best
                .is_none_or(|(least, first, _)| (cost, rank) < (least, first))
        };
        let away = (place.origin + footprint.size.to_vec2() / 2.0 - self.wish.near).hypot2();
        let mut cost = footprint.penalty + (away.sqrt() * self.wish.pull + 0.5) as u64;
        if !wins(cost) {
            return None;
        }
        let offset = place.origin.to_vec2();
        let parts = footprint.parts.iter();
        cost += parts
            .map(|&(_, rect)| self.room.prices.over(rect + offset))
            .sum::<u64>();
        if !wins(cost) {
            return None;
        }
        let taken = self.in_the_way(footprint, offset);
        if taken.is_none() {
            self.best = Some((cost, rank, place));
        }
        taken
    }

    fn in_the_way(&self, footprint: &Footprint, offset: Vec2) -> Option<(f64, f64)> {
        footprint.parts.iter().find_map(|&(part, rect)| {
            let lies = rect + offset;
            let other = self.near.iter().find(|&&(other, only_lettering)| {
                overlap(lies, other) && !(only_lettering && part == Part::Outline)
            });
            other.map(|(other, _)| (other.x0 - rect.x1, other.x1 - rect.x0))
        })
    }
}

/// Positions from 0 to `last` in steps, `last` itself among them.
struct Offsets {
    last: f64,
    step: f64,
    count: usize,
}

impl Offsets {
    fn new(last: f64, step: f64) -> Self {
        let whole = (last / step) as usize;
        let count = whole + 1 + usize::from((whole as f64 * step) < last);
        Self { last, step, count }
    }

    fn at(&self, index: usize) -> f64 {
        (index as f64 * self.step).min(self.last)
    }

    /// Index of the first position that is not before `offset`, which is one from 0 to `last`.
    fn from(&self, offset: f64) -> usize {
        let below = self.below(offset);
        below + usize::from(self.at(below) < offset)
    }

    /// Index of the last step that is not beyond `offset`, or of the first.
    fn below(&self, offset: f64) -> usize {
        (offset / self.step) as usize
    }
}

#[cfg(test)]
mod tests {
    use super::super::Ground;
    use super::*;
    use crate::practice::{Draw, Kind, Level};
    use kurbo::{Line, Size};

    /// All places, each with its whole cost: what the search must find as well.
    fn exhaustive(room: &Room, options: &[Footprint], wish: Wish) -> Option<(u64, Place)> {
        let mut best: Option<(u64, Place)> = None;
        for (option, footprint) in options.iter().enumerate() {
            let last = wish.within.size() - footprint.size;
            let corner = wish.near - footprint.size.to_vec2() / 2.0 - wish.within.origin();
            let first = Vec2::new(
                corner.x.clamp(0.0, last.width),
                corner.y.clamp(0.0, last.height),
            );
            let (xs, ys) = (
                Offsets::new(last.width, room.step),
                Offsets::new(last.height, room.step),
            );
            let mut offsets = vec![first];
            for y in (0..ys.count).map(|row| ys.at(row)) {
                offsets.push(Vec2::new(first.x, y));
                offsets.extend((0..xs.count).map(|column| Vec2::new(xs.at(column), y)));
            }
            for offset in offsets {
                let origin = wish.within.origin() + offset;
                let away = (origin + footprint.size.to_vec2() / 2.0).distance(wish.near);
                let mut cost = footprint.penalty + (away * wish.pull).round() as u64;
                let parts = || {
                    let moved = |&(part, rect): &(Part, Rect)| (part, rect + origin.to_vec2());
                    footprint.parts.iter().map(moved)
                };
                cost += parts().map(|(_, r)| room.prices.over(r)).sum::<u64>();
                let hits = |taken: &[Rect], r: Rect| taken.iter().any(|o| overlap(r, *o));
                let free = parts().all(|(part, r)| {
                    !hits(&room.blocked, r)
                        && !hits(&room.veiled, r)
                        && (part == Part::Outline || !hits(&room.guarded, r))
                });
                if free && best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, Place { option, origin }));
                }
            }
        }
        best
    }

    fn random_room(draw: &mut Draw, area: Rect) -> Room {
        let mut point = || {
            let (x, y) = (draw.whole(0, 1200), draw.whole(0, 800));
            Point::new(x as f64 / 10.0, y as f64 / 10.0)
        };
        let mut ground = Ground::new(area);
        for _ in 0..4 {
            ground.line(Line::new(point(), point()), 60);
        }
        ground.area(&[vec![point(), point(), point()]], 2);
        let mut room = Room::over(&ground);
        for _ in 0..8 {
            let (at, other) = (point(), point());
            room.block(Rect::from_center_size(at, (9.0, other.y / 4.0)));
            room.guard(Rect::from_center_size(other, (at.x / 4.0, 3.0)));
        }
        room.veil(Rect::from_center_size(point(), (20.0, 20.0)));
        room
    }

    #[test]
    fn the_search_that_leaves_places_out_finds_the_place_of_the_exhaustive_one() {
        let mut draw = Draw::of_sheet(1, Kind::SetOut, Level::ALL[0], 1);
        let area = Rect::new(0.0, 0.0, 120.0, 80.0);
        let (mut far, mut none) = (0, 0);
        for round in 0..60 {
            let mut room = random_room(&mut draw, area);
            for _ in 0..12 {
                let size = Size::new(draw.whole(4, 40) as f64 + 0.3, draw.whole(3, 25) as f64);
                let mut frame = Footprint::solid(size, 30);
                frame.parts = vec![
                    (Part::Outline, Rect::new(-0.2, -0.2, size.width + 0.2, 2.0)),
                    (Part::Solid, Rect::new(1.0, 2.5, size.width / 2.0, 3.0)),
                ];
                let turned = Size::new(size.height, size.width);
                let options = [
                    Footprint::solid(size, 0),
                    Footprint::solid(turned, 7),
                    frame,
                ];
                let near = Point::new(draw.whole(-9, 130) as f64, draw.whole(-9, 90) as f64);
                let pull = [0.0, 1.0, 4.0, 12.0][round % 4];
                let wish = Wish {
                    within: area.inset(-1.5),
                    near,
                    pull,
                };
                let expected = exhaustive(&room, &options, wish).map(|(_, place)| place);
                let found = room.place(&options, wish);
                assert_eq!(found, expected, "{options:?} {wish:?}");
                none += usize::from(found.is_none());
                far += usize::from(found.is_some_and(|place| place.origin.distance(near) > 30.0));
            }
        }
        assert!(
            far > 50 && none < 300,
            "{far} far off, {none} without a place: the rooms were too empty or too full to tell"
        );
    }
}
