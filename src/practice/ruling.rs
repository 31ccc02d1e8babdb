//! What lengths on a sheet are written in: whole millimetres, or inches to a sixteenth.

use kurbo::Point;

use super::{Block, Value};
use crate::units::{MM_PER_INCH, SIXTEENTH_MM, inch_text, mm_exact, mm_text};

/// How rulers and tapes of a sheet are ruled. Lengths stay in mm inside; a ruling rounds and writes them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ruling {
    /// Whole mm.
    #[default]
    Metric,
    /// Inches to the nearest 1/16.
    Inches,
}

/// Decimals of an inch that spell out a half of a sixteenth, and of a mm that spell out a quarter of a tenth.
const INCH_DECIMALS: usize = 5;
const MM_DECIMALS: usize = 3;

/// Nearer to a graduation than this part of the step between two, a length lies on it.
const ON_GRADUATION: f64 = 1e-6;

impl Ruling {
    /// That of a job.
    pub(super) const fn of(inches: bool) -> Self {
        if inches { Self::Inches } else { Self::Metric }
    }

    /// One of two, by ruling: metric first.
    pub(super) fn pick<T>(self, metric: T, inches: T) -> T {
        match self {
            Self::Metric => metric,
            Self::Inches => inches,
        }
    }

    /// From one graduation to the next, mm.
    pub(super) fn step(self) -> f64 {
        self.pick(1.0, SIXTEENTH_MM)
    }

    /// The unit as it is written.
    pub(super) fn unit(self) -> &'static str {
        self.pick("mm", "in")
    }

    /// A column's heading with the unit: "Station mm".
    pub(super) fn column(self, what: &str) -> String {
        format!("{what} {}", self.unit())
    }

    /// How answers are rounded: "whole mm".
    pub(super) fn grain(self) -> &'static str {
        self.pick("whole mm", "inches to the nearest 1/16")
    }

    /// On the nearest graduation, mm, half a step away from zero. A half that binary numbers miss by a hair is a half.
    pub(super) fn round(self, mm: f64) -> f64 {
        hair_off(mm / self.step()).round() * self.step()
    }

    /// A place as it is printed, to calculate with: to a tenth of a mm, or to a hundredth of an inch.
    pub(super) fn place(self, at: Point) -> Point {
        let step = self.pick(0.1, 0.01 * MM_PER_INCH);
        let round = |mm: f64| (mm / step).round() * step;
        Point::new(round(at.x), round(at.y))
    }

    /// Up to a half of a mm, or to a graduation of inches: limits, as a kit rounds them.
    pub(super) fn up(self, mm: f64) -> f64 {
        let step = self.pick(0.5, SIXTEENTH_MM);
        (mm / step - ON_GRADUATION).ceil() * step
    }

    /// True when a length lies on a graduation.
    pub(super) fn is_whole(self, mm: f64) -> bool {
        let steps = mm / self.step();
        (steps - steps.round()).abs() < ON_GRADUATION
    }

    /// The nearest graduation without a unit: `1177`, `46 5/16`.
    pub(super) fn whole(self, mm: f64) -> String {
        match self {
            Self::Metric => mm_text(self.round(mm)),
            Self::Inches => inch_text(self.round(mm)),
        }
    }

    /// With the unit: `1177 mm`.
    pub(super) fn length(self, mm: f64) -> String {
        format!("{} {}", self.whole(mm), self.unit())
    }

    /// With its sign: `+3`, `\u{2212}1/16`, `0`.
    pub(super) fn signed(self, mm: f64) -> String {
        let text = self.whole(mm);
        if text == "0" || text.starts_with('\u{2212}') {
            text
        } else {
            format!("+{text}")
        }
    }

    /// A difference as an answer, with its sign.
    pub(super) fn difference(self, mm: f64) -> Value {
        Value::of(self.in_unit(self.round(mm)), self.unit(), self.signed(mm))
    }

    /// As it is typed into a calculator, not rounded further: `1176.5`, `46.3125`.
    pub(super) fn exact(self, mm: f64) -> String {
        match self {
            Self::Metric => mm_exact(mm, MM_DECIMALS),
            Self::Inches => mm_exact(mm / MM_PER_INCH, INCH_DECIMALS),
        }
    }

    /// To so many decimals of the unit at most.
    pub(super) fn decimals(self, mm: f64, decimals: usize) -> String {
        mm_exact(self.in_unit(mm), decimals)
    }

    /// A given number as it stands: on a graduation as a tape shows it, else in decimals.
    pub(super) fn given(self, mm: f64) -> String {
        if self.is_whole(mm) {
            self.whole(mm)
        } else {
            self.exact(mm)
        }
    }

    /// Sixteenths in decimals, for sheets that are worked out with a calculator; nothing in mm.
    pub(super) fn decimals_of_sixteenths(self) -> Option<Block> {
        (self == Self::Inches).then(|| in_decimals(16))
    }

    /// In the unit.
    pub(super) fn in_unit(self, mm: f64) -> f64 {
        self.pick(mm, mm / MM_PER_INCH)
    }

    /// An answer on the nearest graduation.
    pub(super) fn answer(self, mm: f64) -> Value {
        Value::of(self.in_unit(self.round(mm)), self.unit(), self.whole(mm))
    }

    /// The same with its sign.
    pub(super) fn signed_answer(self, mm: f64) -> Value {
        Value::of(self.in_unit(self.round(mm)), self.unit(), self.signed(mm))
    }
}

/// The odd parts of an inch in decimals.
pub(super) fn in_decimals(parts: u32) -> Block {
    let odd = (1..parts).step_by(2);
    let odd = odd.map(|top| format!("{top}/{parts} = {}", f64::from(top) / f64::from(parts)));
    Block::Text(format!(
        "For a calculator: {}.",
        odd.collect::<Vec<_>>().join(", ")
    ))
}

/// Rounded to a millionth.
pub(super) fn hair_off(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_is_rounded_away_from_zero_also_when_binary_numbers_miss_it() {
        let metric = Ruling::Metric;
        assert_eq!(metric.whole(876.499_999_999_9), "877");
        assert_eq!(metric.whole(-876.5), "\u{2212}877");
        // 9 1/32 in lies half-way between 9 and 9 1/16 in.
        assert_eq!(Ruling::Inches.whole(9.031_25 * MM_PER_INCH), "9 1/16");
    }

    #[test]
    fn a_length_on_a_graduation_is_given_as_a_tape_shows_it_and_another_one_in_decimals() {
        let inches = Ruling::Inches;
        assert_eq!(inches.given(46.3125 * MM_PER_INCH), "46 5/16");
        assert_eq!(inches.exact(46.3125 * MM_PER_INCH), "46.3125");
        assert_eq!(inches.given(750.0), "29.52756");
        assert_eq!(
            (inches.signed(SIXTEENTH_MM), inches.signed(0.2)),
            ("+1/16".into(), "0".into())
        );
        assert_eq!(inches.answer(1000.0).to_string(), "39 3/8 in");
        assert_eq!(inches.answer(1000.0).number(), Some(39.375));
    }
}
