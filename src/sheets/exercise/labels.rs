//! Names in a figure, each where nothing else is.

use kurbo::{Line, Point, Rect, Size};

use crate::drawing::{Drawing, Layer, Stroke, Text, Tone, widths};

/// Clear distances at which a name is tried about its mark, mm.
const REACHES: [f64; 7] = [0.7, 2.0, 4.0, 6.5, 9.5, 13.0, 17.0];
/// Beyond this distance a thin line leads from the mark to its name, mm.
const LEADER_FROM: f64 = 3.0;
/// Step along a line that is to be kept clear, and half of the width that is, mm.
const LINE_STEP: f64 = 1.5;
const LINE_HALF: f64 = 0.5;
/// Room of lettering below its baseline and in all, as a part of the height of the capitals.
const DEPTH: f64 = 0.32;
const RISE: f64 = 1.4;

/// What is taken in a figure.
pub struct Labels {
    /// Where names may stand.
    pub space: Rect,
    taken: Vec<Rect>,
    lines: Vec<Rect>,
    leaders: Vec<Line>,
}

impl Labels {
    /// Nothing is taken of `space`.
    pub const fn new(space: Rect) -> Self {
        Self {
            space,
            taken: Vec::new(),
            lines: Vec::new(),
            leaders: Vec::new(),
        }
    }

    /// Keeps names off a rectangle.
    pub fn keep_off(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Keeps names off a line as long as they find room elsewhere.
    pub fn keep_off_line(&mut self, from: Point, to: Point) {
        let steps = ((to - from).hypot() / LINE_STEP).ceil().max(1.0);
        let square = (2.0 * LINE_HALF, 2.0 * LINE_HALF);
        let at = |step: usize| Rect::from_center_size(from.lerp(to, step as f64 / steps), square);
        self.lines.extend((0..=steps as usize).map(at));
    }

    /// Writes a name near its point. Where no place is free, the one with the least in its way is taken: a mark without
    /// a name would be no exercise.
    pub fn write(
        &mut self,
        canvas: &mut Drawing,
        at: Point,
        text: Text,
        clear: f64,
        on_squares: bool,
    ) {
        let size = Size::new(text.width() + 0.6, text.height * RISE);
        let (reach, place) = self.place(at, size, clear);
        self.taken.push(place);
        if on_squares {
            canvas.rect(Layer::Marks, place, Some(Tone::WHITE), None);
        }
        if reach > LEADER_FROM {
            let end = Point::new(
                at.x.clamp(place.x0, place.x1),
                at.y.clamp(place.y0, place.y1),
            );
            let leader = Line::new(at + (end - at).normalize() * clear, end);
            canvas.line(
                Layer::Labels,
                leader.p0,
                leader.p1,
                Stroke::solid(widths::FINE),
            );
            self.keep_off_line(leader.p0, leader.p1);
            self.leaders.push(leader);
        }
        let baseline = Point::new(place.x0 + 0.3, place.y0 + DEPTH * text.height);
        canvas.text(Text {
            at: baseline,
            ..text
        });
    }

    /// Reach and place of a name: the cheapest of all, the nearest of several.
    fn place(&self, at: Point, size: Size, clear: f64) -> (f64, Rect) {
        let (w, h) = (size.width / 2.0 + clear, size.height / 2.0 + clear);
        let away = [
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 1.0),
            (-1.0, 1.0),
            (1.0, -1.0),
            (-1.0, -1.0),
            (1.0, 0.0),
            (-1.0, 0.0),
        ];
        // A point below the middle is named below, so that names keep off what lies between.
        let side = if at.y < self.space.center().y {
            -1.0
        } else {
            1.0
        };
        let mut best: Option<(f64, f64, Rect)> = None;
        for reach in REACHES {
            // Every place further out costs at least its reach.
            if best.is_some_and(|(least, ..)| least <= reach) {
                break;
            }
            for (x, y) in away {
                let centre = Point::new(at.x + x * (w + reach), at.y + side * y * (h + reach));
                let rect = Rect::from_center_size(centre, size);
                let least = best.map_or(f64::INFINITY, |(least, ..)| least);
                best = self
                    .cost(rect, reach, least)
                    .map(|cost| (cost, reach, rect))
                    .or(best);
            }
        }
        best.map_or(
            (0.0, Rect::from_center_size(at, size)),
            |(_, reach, rect)| (reach, rect),
        )
    }

    /// What a place costs, where that is less than `most`: counting ends as soon as it is not.
    fn cost(&self, rect: Rect, reach: f64, most: f64) -> Option<f64> {
        let hits = |taken: &&Rect| !taken.intersect(rect).is_zero_area();
        let outside = usize::from(!self.space.contains_rect(rect));
        let base = outside * 1000 + self.taken.iter().filter(hits).count() * 100;
        let of = |lines: usize| base as f64 + lines as f64 * 3.0 + reach;
        if of(0) >= most {
            return None;
        }
        let mut lines = 0;
        for _ in self.lines.iter().filter(hits) {
            lines += 1;
            if of(lines) >= most {
                return None;
            }
        }
        Some(of(lines))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::practice::{Draw, Kind, Level};

    /// All places, each with its whole cost: what the search that stops early must find as well.
    fn exhaustive(labels: &Labels, at: Point, size: Size, clear: f64) -> (f64, Rect) {
        let side = if at.y < labels.space.center().y {
            -1.0
        } else {
            1.0
        };
        let ways = [
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 1.0),
            (-1.0, 1.0),
            (1.0, -1.0),
            (-1.0, -1.0),
            (1.0, 0.0),
            (-1.0, 0.0),
        ];
        let mut all = Vec::new();
        for reach in REACHES {
            for (x, y) in ways {
                let step = (
                    size.width / 2.0 + clear + reach,
                    size.height / 2.0 + clear + reach,
                );
                let rect =
                    Rect::from_center_size((at.x + x * step.0, at.y + side * y * step.1), size);
                let hits = |among: &[Rect]| {
                    among
                        .iter()
                        .filter(|taken| !taken.intersect(rect).is_zero_area())
                        .count()
                };
                let outside = usize::from(!labels.space.contains_rect(rect));
                let blocked = (outside * 1000 + hits(&labels.taken) * 100) as f64;
                all.push((
                    blocked + hits(&labels.lines) as f64 * 3.0 + reach,
                    reach,
                    rect,
                ));
            }
        }
        let (_, reach, rect) = all.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
        (reach, rect)
    }

    #[test]
    fn the_search_that_stops_early_finds_the_place_of_the_exhaustive_one() {
        let mut draw = Draw::of_sheet(1, Kind::SetOut, Level::ALL[0], 1);
        let mut far = 0;
        for _ in 0..60 {
            let mut labels = Labels::new(Rect::new(0.0, -60.0, 120.0, 0.0));
            let mut point = || Point::new(draw.whole(0, 120) as f64, -draw.whole(0, 60) as f64);
            for _ in 0..6 {
                labels.keep_off_line(point(), point());
            }
            for index in 0..40 {
                let (at, size) = (point(), Size::new(6.0 + f64::from(index % 5), 3.5));
                let found = labels.place(at, size, 0.9);
                assert_eq!(found, exhaustive(&labels, at, size, 0.9));
                far += usize::from(found.0 > LEADER_FROM);
                labels.taken.push(found.1);
            }
        }
        assert!(
            far > 50,
            "only {far} of 2400 names needed a longer reach: the figures were too empty to tell"
        );
    }
}
