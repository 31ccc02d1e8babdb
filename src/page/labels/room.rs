//! Ground with what already stands on it.

use kurbo::{Line, Point, Rect, Size};

use crate::page::clip::line_outside;

use super::{
    ground::{Ground, Prices},
    search::Search,
};

/// Step in mm of the positions that are tried. Coarser than a cell because free room comes in
/// pieces of centimetres, and four times fewer positions make a kit of 400 sheets quick.
const STEP_MM: f64 = 2.0;

/// Distance that lettering keeps from the middle of a drawn line, mm: half of the widest line, and a hair.
const LINE_CLEARANCE_MM: f64 = 0.4;

/// Step for small pages of small things, such as a map's cells.
const FINE_STEP_MM: f64 = 0.5;

/// How a part of a thing treats what lies under it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Lettering and the like: keeps clear of everything blocked or guarded.
    Solid,
    /// Drawn lines: may cross what is guarded at the ground's price, never what is blocked.
    Outline,
}

/// One way of placing a thing: the rectangles that it takes, from its own lower left corner.
#[derive(Clone, Debug)]
pub struct Footprint {
    /// Extent of the whole thing, mm.
    pub size: Size,
    /// What it covers of that extent.
    pub parts: Vec<(Part, Rect)>,
    /// What this way costs more than the best one, in the ground's unit.
    pub penalty: u64,
}

impl Footprint {
    /// A thing that takes all of its rectangle.
    #[must_use]
    pub fn solid(size: Size, penalty: u64) -> Self {
        Self {
            size,
            parts: vec![(Part::Solid, Rect::from_origin_size(Point::ZERO, size))],
            penalty,
        }
    }
}

/// Where a thing would like to lie.
#[derive(Clone, Copy, Debug)]
pub struct Wish {
    /// The rectangle that it must not leave.
    pub within: Rect,
    /// Where its middle would best be.
    pub near: Point,
    /// What a millimetre away from there costs, in the ground's unit.
    pub pull: f64,
}

/// The place that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Which of the alternatives was taken.
    pub option: usize,
    /// Its lower left corner.
    pub origin: Point,
}

/// Ground with what already stands on it.
#[derive(Clone, Debug)]
pub struct Room {
    pub(super) step: f64,
    pub(super) prices: Prices,
    pub(super) blocked: Vec<Rect>,
    pub(super) guarded: Vec<Rect>,
    pub(super) veiled: Vec<Rect>,
    /// Lines that names keep off, each with what it costs to cross.
    pub(super) lines: Vec<(Line, u64)>,
    /// What names had better not leave, with what it costs to do so.
    pub(super) bounds: Option<(Rect, u64)>,
}

impl Default for Room {
    fn default() -> Self {
        Self::with(Prices::none())
    }
}

impl Room {
    /// A room over prepared ground.
    #[must_use]
    pub fn over(ground: &Ground) -> Self {
        Self::with(Prices::of(ground))
    }

    const fn with(prices: Prices) -> Self {
        Self {
            step: STEP_MM,
            prices,
            blocked: Vec::new(),
            guarded: Vec::new(),
            veiled: Vec::new(),
            lines: Vec::new(),
            bounds: None,
        }
    }

    /// The same room with positions tried at a quarter of the usual step, for maps.
    #[must_use]
    pub const fn finely(mut self) -> Self {
        self.step = FINE_STEP_MM;
        self
    }

    /// Nothing placed from now on touches this rectangle.
    pub fn block(&mut self, rect: Rect) {
        self.blocked.push(rect);
    }

    /// No lettering placed from now on touches this rectangle; outlines may cross it.
    pub fn guard(&mut self, rect: Rect) {
        self.guarded.push(rect);
    }

    /// No lettering placed from now on touches this line.
    pub fn guard_line(&mut self, line: Line) {
        let along = line.p1 - line.p0;
        let upright = along.x == 0.0 || along.y == 0.0;
        // A slanting line in short stretches, so that its corners' rectangle is not guarded as a whole.
        let stretches = if upright {
            1.0
        } else {
            (along.hypot() / STEP_MM).ceil()
        };
        for stretch in 0..stretches as usize {
            let at = |n: usize| line.p0 + along * (n as f64 / stretches);
            self.guard(Rect::from_points(at(stretch), at(stretch + 1)).inset(LINE_CLEARANCE_MM));
        }
    }

    /// The parts of a line that run over nothing that was placed or blocked.
    #[must_use]
    pub fn clear_parts(&self, line: Line) -> Vec<Line> {
        self.blocked.iter().fold(vec![line], |parts, rect| {
            let corners = [
                (rect.x0, rect.y0),
                (rect.x1, rect.y0),
                (rect.x1, rect.y1),
                (rect.x0, rect.y1),
            ];
            let rect = [corners.map(Point::from).to_vec()];
            parts
                .into_iter()
                .flat_map(|part| line_outside(part, &rect))
                .collect()
        })
    }

    /// Nothing is placed here that has to be seen once all sheets lie.
    pub fn veil(&mut self, rect: Rect) {
        self.veiled.push(rect);
    }

    /// Takes all veils off and returns them.
    pub fn unveil(&mut self) -> Vec<Rect> {
        std::mem::take(&mut self.veiled)
    }

    /// Names cross this line at a cost only.
    pub fn line(&mut self, line: Line, cost: u64) {
        self.lines.push((line, cost));
    }

    /// The same of all sides of a polygon.
    pub fn polygon(&mut self, corners: &[Point], cost: u64) {
        let ends = corners.iter().cycle().skip(1);
        for (&from, &to) in corners.iter().zip(ends) {
            self.line(Line::new(from, to), cost);
        }
    }

    /// The same of all sides of a rectangle.
    pub fn outline(&mut self, r: Rect, cost: u64) {
        let corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)];
        self.polygon(&corners.map(Point::from), cost);
    }

    /// Names leave this rectangle at a cost only.
    pub const fn bound(&mut self, bounds: Rect, cost: u64) {
        self.bounds = Some((bounds, cost));
    }

    /// The same of its left and right sides alone.
    pub const fn bound_sides(&mut self, Rect { x0, x1, .. }: Rect, cost: u64) {
        self.bound(Rect::new(x0, f64::NEG_INFINITY, x1, f64::INFINITY), cost);
    }

    /// Finds the cheapest free place among all alternatives and takes it. `None` when there is no
    /// free place at all.
    pub fn place(&mut self, options: &[Footprint], wish: Wish) -> Option<Place> {
        let mut search = Search::new(self, wish);
        for (option, footprint) in options.iter().enumerate() {
            search.everywhere(option, footprint);
        }
        let place = search.found();
        self.take(options, place)
    }

    /// The same with positions named one by one: alternative and lower left corner. Positions
    /// that leave `wish.within` are passed over.
    pub fn place_among(
        &mut self,
        options: &[Footprint],
        places: &[Place],
        wish: Wish,
    ) -> Option<Place> {
        let mut search = Search::new(self, wish);
        for (index, &place) in places.iter().enumerate() {
            search.at(index, &options[place.option], place);
        }
        let place = search.found();
        self.take(options, place)
    }

    fn take(&mut self, options: &[Footprint], place: Option<Place>) -> Option<Place> {
        if let Some(place) = place {
            for &(_, rect) in &options[place.option].parts {
                self.block(rect + place.origin.to_vec2());
            }
        }
        place
    }
}

/// True when two rectangles share more than their edges.
#[must_use]
pub fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Line;

    const AREA: Rect = Rect::new(0.0, 0.0, 100.0, 60.0);

    fn wish(near: (f64, f64)) -> Wish {
        Wish {
            within: AREA,
            near: near.into(),
            pull: 1.0,
        }
    }

    fn taken(options: &[Footprint], place: Place) -> Rect {
        Rect::from_origin_size(place.origin, options[place.option].size)
    }

    #[test]
    fn a_thing_gets_the_place_that_it_wishes_when_that_is_free() {
        let mut room = Room::over(&Ground::new(AREA));
        let options = [Footprint::solid(Size::new(20.0, 10.0), 0)];
        let place = room.place(&options, wish((50.0, 25.0))).unwrap();
        assert_eq!(taken(&options, place).center(), Point::new(50.0, 25.0));
    }

    #[test]
    fn two_things_with_one_wish_do_not_overlap() {
        let mut room = Room::over(&Ground::new(AREA));
        let options = [Footprint::solid(Size::new(20.0, 10.0), 0)];
        let first = room.place(&options, wish((50.0, 25.0))).unwrap();
        let second = room.place(&options, wish((50.0, 25.0))).unwrap();
        assert!(!overlap(taken(&options, first), taken(&options, second)));
    }

    #[test]
    fn lettering_moves_off_a_line_when_there_is_room_beside_it() {
        let mut ground = Ground::new(AREA);
        ground.line(Line::new((0.0, 30.0), (100.0, 30.0)), 100);
        let options = [Footprint::solid(Size::new(20.0, 10.0), 0)];
        let place = Room::over(&ground)
            .place(&options, wish((50.0, 30.0)))
            .unwrap();
        let rect = taken(&options, place);
        assert!(rect.y1 <= 30.0 || rect.y0 >= 31.0, "{rect:?}");
    }

    #[test]
    fn a_smaller_alternative_is_taken_when_the_first_does_not_fit() {
        let mut room = Room::over(&Ground::new(AREA));
        room.block(Rect::new(0.0, 20.0, 100.0, 60.0));
        let options = [
            Footprint::solid(Size::new(20.0, 30.0), 0),
            Footprint::solid(Size::new(30.0, 20.0), 50),
        ];
        assert_eq!(room.place(&options, wish((50.0, 25.0))).unwrap().option, 1);
        assert_eq!(room.place(&options[..1], wish((50.0, 25.0))), None);
    }

    #[test]
    fn outlines_may_cross_what_lettering_may_not() {
        let mut room = Room::over(&Ground::new(AREA));
        room.guard(AREA);
        let size = Size::new(40.0, 40.0);
        let solid = [Footprint::solid(size, 0)];
        assert_eq!(room.place(&solid, wish((50.0, 30.0))), None);
        let frame = [Footprint {
            size,
            parts: vec![(Part::Outline, Rect::new(0.0, 0.0, 40.0, 1.0))],
            penalty: 0,
        }];
        assert!(room.place(&frame, wish((50.0, 30.0))).is_some());
    }
}
