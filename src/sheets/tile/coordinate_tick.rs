//! A small cross at a round floor point with its place in words, so that a sheet is laid by the long tape.

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::{Tile, lettering::NARROW_PRICE};
use crate::{
    drawing::{Layer, Stroke, heights, widths},
    page::{
        Block,
        labels::{Footprint, Part, Place, Wish},
    },
};

/// Spacing in mm of the floor points that a coordinate tick may name: round numbers on a tape.
/// The second is for a window so crowded that no point of the first has room.
const TICK_SPACING_MM: [f64; 2] = [50.0, 10.0];

/// Length in mm of each arm of a coordinate tick.
const TICK_ARM_MM: f64 = 3.0;

impl Tile<'_> {
    /// A small cross at a round floor point, with its coordinates.
    pub(super) fn coordinate_tick(&mut self) {
        self.here_or_below(|tile, page| {
            tile.coordinate_tick_near(page, page.center(), heights::TEXT)
        });
    }

    /// A tick as near to a point of the page as there is room, its numbers of a height.
    pub(super) fn coordinate_tick_near(
        &mut self,
        within: Rect,
        near: Point,
        height: f64,
    ) -> Option<()> {
        let ticks = TICK_SPACING_MM.map(|spacing| self.round_points(spacing, within));
        for points in ticks {
            let candidates: Vec<Tick> = points
                .into_iter()
                .flat_map(|at| self.tick_candidates(at, height))
                .collect();
            let footprints: Vec<Footprint> = candidates
                .iter()
                .map(|tick| tick.footprint.clone())
                .collect();
            let places: Vec<Place> = candidates
                .iter()
                .enumerate()
                .map(|(option, tick)| Place {
                    option,
                    origin: tick.origin,
                })
                .collect();
            let wish = Wish {
                within,
                near,
                pull: 1.0,
            };
            if let Some(place) = self.room.place_among(&footprints, &places, wish) {
                self.draw_tick(&candidates[place.option]);
                return Some(());
            }
        }
        None
    }

    /// Floor points at multiples of `spacing` in a part of the page, floor and page place.
    fn round_points(&self, spacing: f64, within: Rect) -> Vec<(Point, Point)> {
        let floor = self
            .sheet()
            .floor_to_page
            .inverse()
            .transform_rect_bbox(within);
        let range =
            |low: f64, high: f64| (low / spacing).ceil() as i64..=(high / spacing).floor() as i64;
        range(floor.x0, floor.x1)
            .flat_map(|i| {
                range(floor.y0, floor.y1)
                    .map(move |j| Point::new(i as f64 * spacing, j as f64 * spacing))
            })
            .map(|at| (at, self.sheet().floor_to_page * at))
            .filter(|(_, on_page)| within.contains(*on_page))
            .collect()
    }

    fn tick_candidates(&self, at: (Point, Point), height: f64) -> Vec<Tick> {
        let words = self.place_lines(at.0, height);
        let priced = words.iter().zip([0, NARROW_PRICE]);
        priced
            .flat_map(|(lines, price)| Self::ticks_with(at, &Block::new(lines), price))
            .collect()
    }

    /// A tick with its words on each side of it.
    fn ticks_with((floor, page): (Point, Point), block: &Block, price: u64) -> Vec<Tick> {
        let arm = TICK_ARM_MM + 0.3;
        let aside = TICK_ARM_MM / 2.0;
        let Size { width, height } = block.size;
        let corners = [
            Vec2::new(arm + 0.4, -height / 2.0),
            Vec2::new(-arm - 0.4 - width, -height / 2.0),
            Vec2::new(-width / 2.0, -arm - height),
            Vec2::new(-width / 2.0, arm),
            // Slantwise, for a round point that is the corner of a panel's field.
            Vec2::new(aside, aside),
            Vec2::new(-aside - width, aside),
            Vec2::new(aside, -aside - height),
            Vec2::new(-aside - width, -aside - height),
        ];
        let cross = Rect::from_center_size(page, (2.0 * arm, 2.0 * arm));
        corners
            .into_iter()
            .enumerate()
            .map(|(side, corner)| {
                let words = Rect::from_origin_size(page + corner, block.size);
                let all = cross.union(words);
                let part = |rect: Rect| (Part::Solid, rect - all.origin().to_vec2());
                let arms = [Size::new(2.0 * arm, 1.0), Size::new(1.0, 2.0 * arm)];
                let mut parts: Vec<_> = arms
                    .map(|size| part(Rect::from_center_size(page, size)))
                    .to_vec();
                parts.push(part(words));
                let footprint = Footprint {
                    size: all.size(),
                    parts,
                    penalty: price + side as u64,
                };
                Tick {
                    floor,
                    origin: all.origin(),
                    words_at: words.origin(),
                    footprint,
                    block: block.clone(),
                }
            })
            .collect()
    }

    fn draw_tick(&mut self, tick: &Tick) {
        let to_page = self.sheet().floor_to_page;
        for arm in [Vec2::new(TICK_ARM_MM, 0.0), Vec2::new(0.0, TICK_ARM_MM)] {
            let Line { p0, p1 } = to_page * Line::new(tick.floor - arm, tick.floor + arm);
            self.drawing
                .line(Layer::Labels, p0, p1, Stroke::solid(widths::THIN));
        }
        tick.block
            .draw(&mut self.drawing, Layer::Labels, tick.words_at, false);
    }
}

/// A way to draw a coordinate tick.
struct Tick {
    floor: Point,
    origin: Point,
    words_at: Point,
    footprint: Footprint,
    block: Block,
}
