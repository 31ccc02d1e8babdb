//! Finding free room on a sheet.
//!
//! Full-scale sheets show whatever of the layout falls on them, so lettering has no fixed place.
//! A [`Ground`] holds what the sheet shows as a price per square millimetre; a [`Room`] above it
//! holds what may not be touched. Each thing to be placed comes with alternatives, and gets the
//! cheapest free place, the first found among equals, so that the same sheet always looks the same.

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::clip::Contour;

/// Side of a cell of the ground, mm: about the clearance that small lettering needs.
const CELL_MM: f64 = 1.0;

/// Step in mm of the positions that are tried. Coarser than a cell because free room comes in
/// pieces of centimetres, and four times fewer positions make a kit of 400 sheets quick.
const STEP_MM: f64 = 2.0;

/// Step for small pages of small things, such as a map's cells.
const FINE_STEP_MM: f64 = 0.5;

/// What the ground costs to cover, cell by cell.
#[derive(Clone, Debug)]
pub struct Ground {
    area: Rect,
    columns: usize,
    rows: usize,
    cost: Vec<u32>,
}

impl Ground {
    /// Free ground over a part of a page, mm.
    #[must_use]
    pub fn new(area: Rect) -> Self {
        let cells = |length: f64| (length / CELL_MM).ceil().max(1.0) as usize;
        let (columns, rows) = (cells(area.width()), cells(area.height()));
        Self {
            area,
            columns,
            rows,
            cost: vec![0; columns * rows],
        }
    }

    /// Raises the price of every cell that a line runs through to at least `cost`.
    pub fn line(&mut self, line: Line, cost: u32) {
        let along = line.p1 - line.p0;
        // Half a cell per step misses no cell that the line crosses by more than a corner.
        let steps = (along.hypot() / (CELL_MM / 2.0)).ceil().max(1.0) as usize;
        for step in 0..=steps {
            let at = line.p0 + along * (step as f64 / steps as f64);
            let column = ((at.x - self.area.x0) / CELL_MM).floor();
            let row = ((at.y - self.area.y0) / CELL_MM).floor();
            if column >= 0.0
                && row >= 0.0
                && (column as usize) < self.columns
                && (row as usize) < self.rows
            {
                let cell = &mut self.cost[row as usize * self.columns + column as usize];
                *cell = cost.max(*cell);
            }
        }
    }

    /// Adds `cost` to the price of every cell whose middle lies within closed contours (even-odd).
    pub fn area(&mut self, contours: &[Contour], cost: u32) {
        for row in 0..self.rows {
            let y = self.area.y0 + (row as f64 + 0.5) * CELL_MM;
            let mut crossings: Vec<f64> = contours
                .iter()
                .flat_map(|contour| {
                    contour
                        .iter()
                        .zip(contour.iter().skip(1).chain(contour.first()))
                })
                .filter(|(p, q)| (p.y <= y) != (q.y <= y))
                .map(|(p, q)| p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x))
                .collect();
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let column = |x: f64| {
                    ((x - self.area.x0) / CELL_MM - 0.5)
                        .ceil()
                        .clamp(0.0, self.columns as f64) as usize
                };
                for cell in &mut self.cost[row * self.columns..][column(pair[0])..column(pair[1])] {
                    *cell += cost;
                }
            }
        }
    }
}

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
    area: Rect,
    columns: usize,
    rows: usize,
    step: f64,
    /// Sums of the price over all cells below and left, with one more row and column than cells.
    sums: Vec<u64>,
    blocked: Vec<Rect>,
    guarded: Vec<Rect>,
    veiled: Vec<Rect>,
}

impl Room {
    /// A room over prepared ground.
    #[must_use]
    pub fn over(ground: &Ground) -> Self {
        let width = ground.columns + 1;
        let mut sums = vec![0; width * (ground.rows + 1)];
        for row in 0..ground.rows {
            let mut run = 0;
            for column in 0..ground.columns {
                run += u64::from(ground.cost[row * ground.columns + column]);
                sums[(row + 1) * width + column + 1] = sums[row * width + column + 1] + run;
            }
        }
        let (area, columns, rows) = (ground.area, ground.columns, ground.rows);
        Self {
            area,
            columns,
            rows,
            step: STEP_MM,
            sums,
            blocked: Vec::new(),
            guarded: Vec::new(),
            veiled: Vec::new(),
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

    /// Nothing is placed here that has to be seen once all sheets lie.
    pub fn veil(&mut self, rect: Rect) {
        self.veiled.push(rect);
    }

    /// Takes all veils off and returns them.
    pub fn unveil(&mut self) -> Vec<Rect> {
        std::mem::take(&mut self.veiled)
    }

    /// Finds the cheapest free place among all alternatives and takes it. `None` when there is no
    /// free place at all.
    pub fn place(&mut self, options: &[Footprint], wish: Wish) -> Option<Place> {
        let mut best: Option<(u64, Place)> = None;
        for (option, footprint) in options.iter().enumerate() {
            let last = Vec2::new(
                wish.within.width() - footprint.size.width,
                wish.within.height() - footprint.size.height,
            );
            if last.x < 0.0 || last.y < 0.0 {
                continue;
            }
            // The wished place first: once something is found, what costs more by its distance
            // alone is passed over without a look at the ground.
            let corner = wish.near - footprint.size.to_vec2() / 2.0 - wish.within.origin();
            let first = Vec2::new(corner.x.clamp(0.0, last.x), corner.y.clamp(0.0, last.y));
            let mut consider = |offset: Vec2| {
                let origin = wish.within.origin() + offset;
                self.consider(&mut best, footprint, Place { option, origin }, wish)
            };
            consider(first);
            for dy in offsets(last.y, self.step) {
                let limit = consider(Vec2::new(first.x, dy));
                let row_cost = (dy - corner.y).abs() * wish.pull + footprint.penalty as f64;
                if limit.is_some_and(|limit| row_cost > limit as f64) {
                    continue;
                }
                for dx in offsets(last.x, self.step) {
                    consider(Vec2::new(dx, dy));
                }
            }
        }
        self.take(options, best.map(|(_, place)| place))
    }

    /// The same with positions named one by one: alternative and lower left corner. Positions
    /// that leave `wish.within` are passed over.
    pub fn place_among(
        &mut self,
        options: &[Footprint],
        places: &[Place],
        wish: Wish,
    ) -> Option<Place> {
        let mut best = None;
        for &place in places {
            let footprint = &options[place.option];
            if contains(
                wish.within,
                Rect::from_origin_size(place.origin, footprint.size),
            ) {
                self.consider(&mut best, footprint, place, wish);
            }
        }
        self.take(options, best.map(|(_, place)| place))
    }

    /// Takes a place as the best one if it is, and says what the best one costs.
    fn consider(
        &self,
        best: &mut Option<(u64, Place)>,
        footprint: &Footprint,
        place: Place,
        wish: Wish,
    ) -> Option<u64> {
        let limit = best.map_or(u64::MAX, |(cost, _)| cost);
        let away = (place.origin + footprint.size.to_vec2() / 2.0).distance(wish.near);
        let mut cost = footprint.penalty + (away * wish.pull).round() as u64;
        if cost >= limit {
            return Some(limit);
        }
        let offset = place.origin.to_vec2();
        cost += footprint
            .parts
            .iter()
            .map(|&(_, rect)| self.price(rect + offset))
            .sum::<u64>();
        if cost < limit
            && footprint
                .parts
                .iter()
                .all(|&(part, rect)| self.is_free(part, rect + offset))
        {
            *best = Some((cost, place));
        }
        best.map(|(cost, _)| cost)
    }

    fn take(&mut self, options: &[Footprint], place: Option<Place>) -> Option<Place> {
        if let Some(place) = place {
            for &(_, rect) in &options[place.option].parts {
                self.block(rect + place.origin.to_vec2());
            }
        }
        place
    }

    fn is_free(&self, part: Part, rect: Rect) -> bool {
        let clear = |taken: &[Rect]| !taken.iter().any(|&other| overlap(rect, other));
        clear(&self.blocked)
            && clear(&self.veiled)
            && (part == Part::Outline || clear(&self.guarded))
    }

    /// Price of all cells that a rectangle touches.
    fn price(&self, rect: Rect) -> u64 {
        let low = |value: f64, most: usize| ((value / CELL_MM).floor().max(0.0) as usize).min(most);
        let high = |value: f64, most: usize| ((value / CELL_MM).ceil().max(0.0) as usize).min(most);
        let (x0, x1) = (
            low(rect.x0 - self.area.x0, self.columns),
            high(rect.x1 - self.area.x0, self.columns),
        );
        let (y0, y1) = (
            low(rect.y0 - self.area.y0, self.rows),
            high(rect.y1 - self.area.y0, self.rows),
        );
        let sum = |x: usize, y: usize| self.sums[y * (self.columns + 1) + x];
        sum(x1, y1) + sum(x0, y0) - sum(x0, y1) - sum(x1, y0)
    }
}

/// Positions from 0 to `last` in steps, `last` itself among them.
fn offsets(last: f64, step: f64) -> impl Iterator<Item = f64> {
    let whole = (last / step).floor() as usize;
    (0..=whole)
        .map(move |index| index as f64 * step)
        .chain((whole as f64 * step < last).then_some(last))
}

/// True when two rectangles share more than their edges.
#[must_use]
pub fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

fn contains(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && inner.x1 <= outer.x1 && outer.y0 <= inner.y0 && inner.y1 <= outer.y1
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn a_filled_area_costs_by_its_cells_and_a_hole_is_free() {
        let square = |x: f64, side: f64| {
            [(x, x), (x + side, x), (x + side, x + side), (x, x + side)]
                .map(Point::from)
                .to_vec()
        };
        let mut ground = Ground::new(AREA);
        ground.area(&[square(10.0, 30.0), square(20.0, 10.0)], 3);
        assert_eq!(Room::over(&ground).price(AREA), 3 * (900 - 100));
    }
}
