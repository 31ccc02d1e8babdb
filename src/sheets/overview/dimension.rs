//! Dimension chains after ISO 129: extension lines, a dimension line with oblique strokes, the
//! number above it. A number wider than its step stands further out,
//! at the end of a leader.

use kurbo::{Line, Point, Rect};

use crate::drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, text_width, widths};

/// Clear distance between the dimension line and its numbers, mm.
const NUMBER_GAP: f64 = 0.7;
/// Half of an oblique stroke's extent along each axis, mm.
const OBLIQUE: f64 = 0.8;
/// How far extension lines run past the dimension line, mm.
const OVERRUN: f64 = 1.2;
/// Clear length that a number leaves at both ends of its step together, mm.
const STEP_CLEAR: f64 = 1.6;
/// Clear distance between two numbers that stand further out, mm.
const BETWEEN: f64 = 1.4;
/// Length over which a leader runs aslant, mm.
const LEADER: f64 = 2.0;

/// Where a chain stands against what it measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left of it, running upward, numbers read from the right.
    Left,
    /// Above it.
    Above,
    /// Below it.
    Below,
}

/// A point that a chain measures to, in paper mm.
#[derive(Clone, Copy, Debug)]
pub struct Stop {
    /// Place along the chain.
    pub along: f64,
    /// Place across the chain from where the extension line starts.
    pub from: f64,
}

/// Length of a number, mm.
fn length(number: &str) -> f64 {
    text_width(number, heights::NUMBER, Weight::Regular)
}

/// True where a number has room on its step.
fn fits(number: &str, step: f64) -> bool {
    length(number) + STEP_CLEAR <= step
}

/// A chain of dimensions.
#[derive(Clone, Debug)]
pub struct Chain {
    /// Side on which it stands.
    pub side: Side,
    /// Stops in rising order.
    pub stops: Vec<Stop>,
    /// Numbers between them, one fewer.
    pub numbers: Vec<String>,
}

/// What a chain takes up, for what has to keep clear of it.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// Boxes of the numbers.
    pub boxes: Vec<Rect>,
    /// Its lines.
    pub lines: Vec<Line>,
    /// Place across of the chain's outermost part.
    pub outer: f64,
}

impl Chain {
    /// How far the numbers reach from the dimension line towards what is measured, mm.
    #[must_use]
    pub fn reach_inward(&self) -> f64 {
        match self.side {
            Side::Below => NUMBER_GAP + heights::NUMBER,
            Side::Left | Side::Above => OBLIQUE,
        }
    }

    /// True when all numbers find room side by side along the chain.
    #[must_use]
    pub fn has_room(&self) -> bool {
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else {
            return true;
        };
        let outside: f64 = self
            .strayed()
            .map(|index| length(&self.numbers[index]) + BETWEEN)
            .sum();
        outside <= last.along - first.along || self.numbers.len() < 2
    }

    /// Draws the chain with its dimension line at `line`, a place across.
    pub fn draw(&self, canvas: &mut Drawing, line: f64) -> Taken {
        let mut taken = Taken {
            outer: self.out(line, OVERRUN),
            ..Taken::default()
        };
        let thin = Stroke::solid(widths::FINE);
        for stop in &self.stops {
            let (inner, outer) = (
                self.at(stop.along, stop.from),
                self.at(stop.along, self.out(line, OVERRUN)),
            );
            canvas.line(Layer::Labels, inner, outer, thin.toned(Tone::QUIET));
            taken.lines.push(Line::new(inner, outer));
            let middle = self.at(stop.along, line);
            let (a, b) = (middle + (-OBLIQUE, -OBLIQUE), middle + (OBLIQUE, OBLIQUE));
            canvas.line(Layer::Labels, a, b, Stroke::solid(widths::MEDIUM));
        }
        if let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) {
            let whole = Line::new(self.at(first.along, line), self.at(last.along, line));
            canvas.line(Layer::Labels, whole.p0, whole.p1, thin);
            taken.lines.push(whole);
        }
        for (number, pair) in self.numbers.iter().zip(self.stops.windows(2)) {
            if fits(number, pair[1].along - pair[0].along) {
                let along = f64::midpoint(pair[0].along, pair[1].along);
                self.write(canvas, number, along, self.up(line, NUMBER_GAP), &mut taken);
            }
        }
        self.numbers_further_out(canvas, line, &mut taken);
        taken
    }

    /// The numbers that are wider than their step.
    fn strayed(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.numbers.len()).filter(|&index| {
            !fits(
                &self.numbers[index],
                self.stops[index + 1].along - self.stops[index].along,
            )
        })
    }

    fn numbers_further_out(&self, canvas: &mut Drawing, line: f64, taken: &mut Taken) {
        let strayed: Vec<usize> = self.strayed().collect();
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else {
            return;
        };
        let wanted: Vec<(f64, f64)> = strayed
            .iter()
            .map(|&i| {
                (
                    f64::midpoint(self.stops[i].along, self.stops[i + 1].along),
                    length(&self.numbers[i]),
                )
            })
            .collect();
        let places = spread(&wanted, first.along, last.along);
        // Beyond the numbers that stand on the line: a leader never runs through one of them.
        let row = 2.0 * NUMBER_GAP + heights::NUMBER;
        for (&index, (&(middle, _), &along)) in strayed.iter().zip(wanted.iter().zip(&places)) {
            let leader = [
                self.at(middle, line),
                self.at(middle, self.out(line, row)),
                self.at(along, self.out(line, row + LEADER)),
            ];
            canvas.polyline(Layer::Labels, &leader, Stroke::solid(widths::FINE));
            taken.lines.extend([
                Line::new(leader[0], leader[1]),
                Line::new(leader[1], leader[2]),
            ]);
            let near = self.out(line, row + LEADER + NUMBER_GAP);
            let lower = match self.side {
                Side::Left | Side::Above => near,
                Side::Below => self.out(near, heights::NUMBER),
            };
            self.write(canvas, &self.numbers[index], along, lower, taken);
        }
    }

    fn write(
        &self,
        canvas: &mut Drawing,
        text: &str,
        along: f64,
        baseline: f64,
        taken: &mut Taken,
    ) {
        let height = heights::NUMBER;
        let turn = if self.side == Side::Left { 90.0 } else { 0.0 };
        let text = Text::new(self.at(along, baseline), height, text)
            .centred()
            .turned(turn);
        let half = text.width() / 2.0;
        let (a, b) = (
            self.at(along - half, baseline),
            self.at(along + half, self.up(baseline, height)),
        );
        let space = Rect::from_points(a, b);
        taken.boxes.push(space);
        taken.outer = match self.side {
            Side::Left => taken.outer.min(space.x0),
            Side::Above => taken.outer.max(space.y1),
            Side::Below => taken.outer.min(space.y0),
        };
        canvas.text(text);
    }

    /// A place across, `by` mm further away from what is measured.
    fn out(&self, across: f64, by: f64) -> f64 {
        match self.side {
            Side::Left | Side::Below => across - by,
            Side::Above => across + by,
        }
    }

    /// A place across, `by` mm in the direction in which the numbers stand upright.
    fn up(&self, across: f64, by: f64) -> f64 {
        match self.side {
            Side::Left => across - by,
            Side::Above | Side::Below => across + by,
        }
    }

    fn at(&self, along: f64, across: f64) -> Point {
        match self.side {
            Side::Left => Point::new(across, along),
            Side::Above | Side::Below => Point::new(along, across),
        }
    }
}

/// Middles for things of given (wanted middle, length) in rising order, moved apart as little as a
/// sweep up and a sweep down need, within `low..high`.
fn spread(wanted: &[(f64, f64)], low: f64, high: f64) -> Vec<f64> {
    let mut starts: Vec<f64> = Vec::with_capacity(wanted.len());
    let mut free = low;
    for &(middle, length) in wanted {
        let start = (middle - length / 2.0).max(free);
        free = start + length + BETWEEN;
        starts.push(start);
    }
    let mut limit = high;
    for (start, &(_, length)) in starts.iter_mut().zip(wanted).rev() {
        *start = start.min(limit - length);
        limit = *start - BETWEEN;
    }
    starts
        .iter()
        .zip(wanted)
        .map(|(start, &(_, length))| start + length / 2.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_too_close_are_moved_apart_and_stay_in_order() {
        let wanted = [(10.0, 8.0), (12.0, 8.0), (14.0, 8.0), (40.0, 8.0)];
        let places = spread(&wanted, 0.0, 60.0);
        assert!(
            places
                .windows(2)
                .all(|pair| pair[1] - pair[0] >= 8.0 + BETWEEN - 1e-9),
            "{places:?}"
        );
        assert!((places[3] - 40.0).abs() < 1e-9);
    }

    #[test]
    fn numbers_stay_within_the_chain() {
        let places = spread(&[(1.0, 8.0), (59.0, 8.0)], 0.0, 60.0);
        assert!(places[0] >= 4.0 && places[1] <= 56.0, "{places:?}");
    }

    fn chain(side: Side) -> Chain {
        let stops = [0.0, 30.0, 33.0, 36.0, 80.0]
            .map(|along| Stop { along, from: 0.0 })
            .to_vec();
        let numbers = ["1500", "150 15/16", "150", "2200"]
            .map(str::to_owned)
            .to_vec();
        Chain {
            side,
            stops,
            numbers,
        }
    }

    #[test]
    fn no_two_numbers_of_a_chain_overlap_and_none_lies_on_its_lines() {
        for side in [Side::Left, Side::Above, Side::Below] {
            let mut canvas = Drawing::new("", 100.0, 100.0);
            let taken = chain(side).draw(&mut canvas, 0.0);
            assert_eq!(taken.boxes.len(), 4);
            for (index, a) in taken.boxes.iter().enumerate() {
                assert!(
                    taken.boxes[index + 1..]
                        .iter()
                        .all(|b| a.intersect(*b).area() == 0.0),
                    "{side:?}"
                );
                let crossed = taken
                    .lines
                    .iter()
                    .any(|line| crate::page::labels::crosses(*line, *a));
                assert!(!crossed, "{side:?} {a:?}");
            }
        }
    }
}
