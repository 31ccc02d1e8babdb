//! A stretch of a tape as an exercise shows it.

use super::{Block, Ruling};

/// Graduations that a picture shows: mm, or sixteenths of an inch. Two pictures stand side by side on a page, each larger than
/// life, so that a copy of a copy is still read.
const SHOWN_MM: i64 = 56;
const SHOWN_SIXTEENTHS: i64 = 40;

/// The arrow stands at least this part of the stretch away from its ends.
const KEPT_CLEAR: f64 = 0.2;

/// A stretch of a tape rule with an arrow at what is read. Graduations are counted from the end of the tape, in mm or in
/// sixteenths of an inch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TapePicture {
    /// What it is of, above it.
    pub title: String,
    /// What the tape is ruled in.
    pub ruling: Ruling,
    /// First graduation that is shown.
    pub first: i64,
    /// Last one.
    pub last: i64,
    /// The graduation at the arrow.
    pub reading: i64,
}

impl TapePicture {
    /// A picture of a reading in mm, which lies on a graduation; `place` from 0 to 1 says where in the picture the arrow stands.
    pub(super) fn of(title: impl Into<String>, ruling: Ruling, reading: f64, place: f64) -> Self {
        let reading = (reading / ruling.step()).round() as i64;
        let shown = ruling.pick(SHOWN_MM, SHOWN_SIXTEENTHS);
        let part = KEPT_CLEAR + place.clamp(0.0, 1.0) * (1.0 - 2.0 * KEPT_CLEAR);
        let first = (reading - (part * shown as f64).round() as i64).max(0);
        Self {
            title: title.into(),
            ruling,
            first,
            last: first + shown,
            reading,
        }
    }

    /// Graduations from one numeral to the next: a cm or an inch.
    #[must_use]
    pub fn per_numeral(&self) -> i64 {
        self.ruling.pick(10, 16)
    }

    /// What stands at a graduation, large and below it small; both empty where nothing does. Centimetres are counted within
    /// their metre; inches from the end of the tape, and below within their foot.
    #[must_use]
    pub fn numeral(&self, graduation: i64) -> [String; 2] {
        let count = graduation / self.per_numeral();
        if graduation % self.per_numeral() != 0 || count == 0 {
            return [String::new(), String::new()];
        }
        let (whole, part) = match self.ruling {
            Ruling::Metric => (count / 100, count % 100),
            Ruling::Inches => (count / 12, count % 12),
        };
        match self.ruling {
            Ruling::Metric if part == 0 => [format!("{whole} m"), String::new()],
            Ruling::Metric if whole == 0 => [part.to_string(), String::new()],
            Ruling::Metric => [part.to_string(), format!("{whole} m")],
            Ruling::Inches if whole == 0 => [count.to_string(), String::new()],
            Ruling::Inches if part == 0 => [count.to_string(), format!("{whole} ft")],
            Ruling::Inches => [count.to_string(), format!("{whole} ft {part}")],
        }
    }

    /// How long the tick at a graduation is, as part of the longest one.
    #[must_use]
    pub fn tick(&self, graduation: i64) -> f64 {
        let every = |count: i64| graduation % count == 0;
        match self.ruling {
            Ruling::Metric if every(10) => 1.0,
            Ruling::Metric if every(5) => 0.75,
            Ruling::Metric => 0.5,
            Ruling::Inches if every(16) => 1.0,
            Ruling::Inches if every(8) => 0.85,
            Ruling::Inches if every(4) => 0.7,
            Ruling::Inches if every(2) => 0.55,
            Ruling::Inches => 0.4,
        }
    }

    /// Pictures as a part of a page.
    pub(super) fn block(pictures: Vec<Self>) -> Block {
        Block::Tapes(pictures)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::MM_PER_INCH;

    #[test]
    fn a_reading_stands_clear_of_the_ends_and_its_numerals_say_metre_and_foot() {
        for (ruling, mm) in [
            (Ruling::Metric, 4317.0),
            (Ruling::Inches, 183.3125 * MM_PER_INCH),
        ] {
            for place in [0.0, 0.37, 1.0] {
                let tape = TapePicture::of("1", ruling, mm, place);
                let clear = (0.15 * (tape.last - tape.first) as f64) as i64;
                assert!(tape.first + clear < tape.reading && tape.reading < tape.last - clear);
                assert!((tape.reading as f64 * ruling.step() - mm).abs() < 1e-6);
                let numerals =
                    (tape.first..=tape.last).filter(|at| !tape.numeral(*at)[0].is_empty());
                assert!(numerals.count() >= 2);
            }
        }
        let [metric, inches] = [Ruling::Metric, Ruling::Inches]
            .map(|ruling| TapePicture::of("1", ruling, 4317.0, 0.5));
        assert_eq!(metric.numeral(4320), ["32", "4 m"]);
        assert_eq!(metric.numeral(5000), ["5 m", ""]);
        assert_eq!(metric.numeral(320), ["32", ""]);
        assert_eq!(metric.numeral(4321), ["", ""]);
        assert_eq!(inches.numeral(183 * 16), ["183", "15 ft 3"]);
        assert_eq!(inches.numeral(180 * 16), ["180", "15 ft"]);
    }
}
