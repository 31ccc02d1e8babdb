//! How a printer's lengths differ from true ones, and what undoes it.
//!
//! A printer that is told 200 mm lays down 199.2 mm one way, 200.3 mm the other, and feeds the paper
//! at a slightly wrong angle. As long as it does so evenly, that is an affine map from the page that
//! was asked for to the paper that comes out, and pages drawn through its inverse come out true.
//!
//! `cover` and `sheets` know true mm alone, as the printed sheet has them. `SheetFormat::printable`
//! is the true rectangle that a page can show, `PlacedSheet::floor_to_page` is rigid, and a
//! finished page goes through `Drawing::mapped(format.to_page())` as a whole, so that content,
//! registration and check square cannot be corrected differently; a new full-scale sheet ends with
//! the same call. `sheets.json` has both maps in one. Known are two lengths and the lean of upright
//! lines, about the lower left corner within the margins; a turn of the whole page cannot be
//! measured and does no harm.
//!
//! `printer set` on a stored correction asks whether the page that was measured had been printed
//! through it: taken for the other, the error is either lost or doubled. Errors compose as
//! matrices, the latest on the left. The 3 % beyond which a correction is refused are counted from
//! the printed length and from its inverse, whichever is more, so that a page fitted to 97 % is
//! refused; beyond 50 % nothing helps.

use std::ops::RangeInclusive;

use kurbo::{Affine, Point, Vec2};

use crate::{
    source::{Entry, Table},
    survey::TapeClass,
    units::{ROUND_OFF, mm_exact},
};

/// Sides in mm of the rectangle on the scale test whose diagonals show skew: 3 : 4 : 5, so that both
/// diagonals should be 250 mm.
pub const DIAGONALS_MM: (f64, f64) = (150.0, 200.0);

/// Greatest part of a length that a correction may add or take away unless it is forced. Printers'
/// own errors are some tenths of a per cent; a page fitted to other paper or margins is off by three
/// and more (common practice, no source).
pub(crate) const MOST: f64 = 0.03;

/// Greatest factor that even a forced correction may have: beyond, the number is a slip.
const MOST_FORCED: f64 = 1.5;

/// Lengths that a test bar may have, mm: shorter ones cannot be read well enough.
pub const BAR_MM: RangeInclusive<f64> = 50.0..=1000.0;

/// How far, in mm, the two diagonals may stray from what the bars say before a reading is doubted:
/// four readings of a steel rule to half a millimetre.
const DIAGONALS_MISFIT_MM: f64 = 1.5;

/// Length in mm of the bars that a profile states its correction for when none were measured.
const KEPT_BAR_MM: f64 = 200.0;

/// How far, in mm either way, each end of a bar may be misread: the scale test asks to measure "to 0.2 mm or better".
const END_MM: f64 = 0.2;

/// Class of the steel rule that bars are measured with: the usual one of steel rules (common practice, no source).
const RULE: TapeClass = TapeClass::I;

/// Decimals of the numbers that a profile keeps: a millionth of a mm or of a degree.
const KEPT_DECIMALS: i32 = 6;

/// What was measured on a scale test: a printer's error, even over the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    /// Printed length of what should be 1, across the upright page (x).
    x: f64,
    /// The same along the upright page (y).
    y: f64,
    /// Degrees by which a printed upright line leans to the right of the perpendicular to a printed
    /// lying line; to the left is negative.
    skew: f64,
    /// What the bars that were measured last should have measured, mm; `None` when none were.
    bar: Option<f64>,
}

/// How [`Excess`] names the skew.
pub(crate) const SKEW: &str = "skew";

/// A length that is further off than a printer is by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Excess {
    which: &'static str,
    part: f64,
    forcible: bool,
}

impl Excess {
    /// True when it may be a scale that somebody means.
    #[must_use]
    pub const fn can_be_forced(&self) -> bool {
        self.forcible
    }

    /// What the length is of what it should be; of the skew, 1 and what upright lines lean by.
    pub(crate) const fn part(&self) -> f64 {
        self.part
    }

    /// Which scale it is, by its key in a profile: `x`, `y` or `skew`.
    #[must_use]
    pub const fn which(&self) -> &'static str {
        self.which
    }
}

impl Default for Correction {
    fn default() -> Self {
        Self {
            x: 1.0,
            y: 1.0,
            skew: 0.0,
            bar: None,
        }
    }
}

impl Correction {
    /// From a bar across and one along the page, in mm, that should both have been `of` mm, and the
    /// skew in degrees (upright lines leaning to the right are positive).
    #[must_use]
    pub fn measured(x: f64, y: f64, of: f64, skew: f64) -> Self {
        Self {
            x: x / of,
            y: y / of,
            skew,
            bar: Some(of),
        }
    }

    /// The skew in degrees from the measured diagonals of the rectangle [`DIAGONALS_MM`]: `up` from
    /// the lower left corner to the upper right, `down` from the upper left to the lower right, mm.
    ///
    /// The printed rectangle is a parallelogram of sides a and b; by the law of cosines
    /// up² − down² = 4 a b sin(skew), and by the parallelogram law up² + down² = 2 a² + 2 b².
    ///
    /// # Errors
    /// A sentence when the diagonals do not go with the bars: a reading is wrong.
    pub fn skew_of(&self, up: f64, down: f64) -> Result<f64, String> {
        let (a, b) = (DIAGONALS_MM.0 * self.x, DIAGONALS_MM.1 * self.y);
        let mean = f64::midpoint(up * up, down * down).sqrt();
        let expected = a.hypot(b);
        let off = (mean - expected).abs();
        if off.is_nan() || off > DIAGONALS_MISFIT_MM {
            return Err(format!(
                "diagonals of {} and {} mm do not go with the bars, which make them {} mm on the average; measure bars and diagonals again",
                mm_exact(up, 2),
                mm_exact(down, 2),
                mm_exact(expected, 1)
            ));
        }
        Ok(((up * up - down * down) / (4.0 * a * b))
            .clamp(-1.0, 1.0)
            .asin()
            .to_degrees())
    }

    /// The correction whose residual error was measured as `self` on a page that was printed with
    /// `former`: what the printer does without any. It is as well known as `self` was measured.
    #[must_use]
    pub fn on_top_of(&self, former: &Self) -> Self {
        let [a, _, c, d, ..] = (self.error() * former.error()).as_coeffs();
        Self {
            x: a,
            y: c.hypot(d),
            skew: c.atan2(d).to_degrees(),
            bar: self.bar.or(former.bar),
        }
    }

    /// Printed length of what should be 1, across (x) and along (y) the upright page, and the skew in
    /// degrees, positive where upright lines lean to the right.
    #[must_use]
    pub const fn parts(&self) -> (f64, f64, f64) {
        (self.x, self.y, self.skew)
    }

    /// The same, rounded to what a profile keeps.
    #[must_use]
    pub fn kept(&self) -> Self {
        let of = self.bar.unwrap_or(KEPT_BAR_MM);
        let part = |part: f64| kept(part * of) / of;
        Self {
            x: part(self.x),
            y: part(self.y),
            skew: kept(self.skew),
            bar: self.bar,
        }
    }

    /// What the bars that were measured should have measured, mm; `None` when no scale test was.
    #[must_use]
    pub const fn bar(&self) -> Option<f64> {
        self.bar
    }

    /// Standard deviation in mm per metre, in each direction of the page, of what the corrected printer still does to a
    /// length; `None` when no scale test was measured.
    ///
    /// What is left is how well the test was measured: both ends of a bar read within ± 0.2 mm and the rule's own
    /// permissible error (MI-008), all rectangular (JCGM 100:2008, 4.3.7), over the bar's length, and `paper`, mm per
    /// metre, for what the air had done to the test page on its day. A printer's own drift from day to day is taken as
    /// none (no source).
    #[must_use]
    pub fn scale_sd(&self, paper: f64) -> Option<f64> {
        let bar = self.bar?;
        let ends = (2.0 * END_MM * END_MM / 3.0).sqrt();
        let length = ends.hypot(RULE.standard_deviation(bar));
        Some((length / bar * 1000.0).hypot(paper))
    }

    /// True when pages come out as they are asked for.
    #[must_use]
    pub fn is_none(&self) -> bool {
        (self.x, self.y, self.skew) == (1.0, 1.0, 0.0)
    }

    /// The printer's error about a fixed point at the origin: page mm to paper mm. A lying line keeps
    /// its direction: a turn of the whole page does no harm and cannot be measured on it.
    fn error(&self) -> Affine {
        let (sin, cos) = self.skew.to_radians().sin_cos();
        Affine::new([self.x, 0.0, self.y * sin, self.y * cos, 0.0, 0.0])
    }

    /// True paper mm to page mm: where a thing has to be written into a page so that this printer
    /// lays it down at its true place. `anchor` is the point that stays where it is.
    #[must_use]
    pub fn to_page(self, anchor: Point) -> Affine {
        let anchor = anchor.to_vec2();
        Affine::translate(anchor) * self.error().inverse() * Affine::translate(-anchor)
    }

    /// How far the top of a sheet `height` page mm high leans to the right, true mm.
    #[must_use]
    pub fn lean(&self, height: f64) -> Vec2 {
        let [_, _, c, d, ..] = self.error().as_coeffs();
        Vec2::new(c * height, d * height)
    }

    /// Printed length of `width` page mm across the page, true mm.
    #[must_use]
    pub fn across(&self, width: f64) -> f64 {
        self.x * width
    }

    /// Refuses what is no printer's own error.
    ///
    /// # Errors
    /// The first length that is off by more than 3 % (that needs a correction of more than 3 %), with
    /// the likely cause; with `forced` only what nobody could mean.
    pub fn refuse_excess(&self, forced: bool) -> Result<(), Excess> {
        let lean = 1.0 + self.skew.to_radians().tan().abs();
        for (which, part) in [("x", self.x), ("y", self.y), (SKEW, lean)] {
            let off = part.max(part.recip());
            if !(part > 0.0 && off <= MOST_FORCED) {
                return Err(Excess {
                    which,
                    part,
                    forcible: false,
                });
            }
            if off > 1.0 + MOST + ROUND_OFF && !forced {
                return Err(Excess {
                    which,
                    part,
                    forcible: true,
                });
            }
        }
        Ok(())
    }

    /// For people: `x 99.6 % y 100.15 % skew 0.05°`, or `no correction` where nothing was measured.
    #[must_use]
    pub fn text(&self) -> String {
        if self.is_none() && self.bar.is_none() {
            return "no correction".to_owned();
        }
        let percent = |part: f64| mm_exact(part * 100.0, 2);
        let skew = if self.skew == 0.0 {
            String::new()
        } else {
            format!(" skew {}°", mm_exact(self.skew, 3))
        };
        format!("x {} % y {} %{skew}", percent(self.x), percent(self.y))
    }

    /// The body of a profile's `[correction]` table.
    pub(super) fn written(&self) -> String {
        let of = self.bar.unwrap_or(KEPT_BAR_MM);
        format!(
            "of = {of}\nx = {}\ny = {}\nskew = {}\n",
            kept(self.x * of),
            kept(self.y * of),
            kept(self.skew)
        )
    }

    /// Reads the `[correction]` table of a profile; the second value says whether it was forced.
    pub(super) fn from_entry(entry: &Entry<'_>) -> Option<(Self, bool)> {
        let table = entry.table()?;
        let read = Self::from_table(&table);
        table.refuse_unknown();
        read
    }

    fn from_table(table: &Table<'_>) -> Option<(Self, bool)> {
        let bar = |key: &'static str, expected: &str| {
            let entry = table.required(key, expected)?;
            let length = entry.length_within(BAR_MM, "a bar of the scale test")?;
            Some((entry, length))
        };
        let of = bar("of", "what the bars should measure, as in of = 200");
        let x = bar(
            "x",
            "what the bar across the page measures, as in x = 199.2",
        );
        let y = bar("y", "what the bar along the page measures, as in y = 200.3");
        let skew = table.entry("skew");
        let angle = skew.as_ref().map_or(Some(0.0), Entry::angle);
        let forced = table
            .entry("forced")
            .map_or(Some(false), |entry| entry.flag());
        let ((_, of), (x_entry, x), (y_entry, y), angle, forced) = (of?, x?, y?, angle?, forced?);
        let correction = Self::measured(x, y, of, angle);
        if let Err(excess) = correction.refuse_excess(forced) {
            let entry = match excess.which {
                "x" => Some(&x_entry),
                "y" => Some(&y_entry),
                _ => skew.as_ref(),
            };
            let remedy = if excess.forcible {
                ", or add `forced = true` if it is meant"
            } else {
                ""
            };
            entry.unwrap_or(&x_entry).fault(format!("{excess}{remedy}"));
            return None;
        }
        Some((correction, forced))
    }
}

/// Rounds to [`KEPT_DECIMALS`].
fn kept(value: f64) -> f64 {
    let scale = 10_f64.powi(KEPT_DECIMALS);
    // Adding 0 turns −0 into 0.
    (value * scale).round() / scale + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const ANCHOR: Point = Point::new(10.0, 15.0);

    #[test]
    fn what_is_written_through_the_correction_comes_out_true() {
        // The printer, built from what was measured and nothing else: a page mm across becomes 0.996 mm, one along
        // becomes 1.0015 mm in a direction 0.2° right of up.
        let correction = Correction::measured(199.2, 200.3, 200.0, 0.2);
        let (sin, cos) = 0.2_f64.to_radians().sin_cos();
        let print = |page: Point| {
            let v = page - ANCHOR;
            ANCHOR + Vec2::new(0.996 * v.x + 1.0015 * sin * v.y, 1.0015 * cos * v.y)
        };
        for wanted in [(10.0, 15.0), (110.0, 15.0), (10.0, 115.0), (203.0, 280.0)].map(Point::from)
        {
            assert!((print(correction.to_page(ANCHOR) * wanted) - wanted).hypot() < 1e-12);
        }
        assert_eq!(correction.to_page(ANCHOR) * ANCHOR, ANCHOR);
    }

    #[test]
    fn without_an_error_the_page_is_the_paper_to_the_last_bit() {
        assert_eq!(
            Correction::default().to_page(ANCHOR).as_coeffs(),
            [1.0, 0.0, 0.0, 1.0, 0.0, 0.0]
        );
    }

    #[test]
    fn diagonals_tell_the_skew_with_its_sign() {
        // A rectangle of 150 × 200 mm whose top edge is shifted by 1 mm: diagonals √(151² + 200²) and √(149² + 200²),
        // its upright side √(200² + 1²), its lean atan(1/200) = 0.286477°.
        let correction =
            Correction::measured(200.0, 200.0 * 200.0_f64.hypot(1.0) / 200.0, 200.0, 0.0);
        let (long, short) = (151.0_f64.hypot(200.0), 149.0_f64.hypot(200.0));
        assert!((correction.skew_of(long, short).unwrap() - 0.286_476_51).abs() < 1e-8);
        assert!((correction.skew_of(short, long).unwrap() + 0.286_476_51).abs() < 1e-8);
        assert!(correction.skew_of(250.0, 250.0).unwrap().abs() < 1e-12);
        for wrong in [(260.0, 250.0), (250.0, 25.0), (f64::NAN, 250.0)] {
            assert!(
                correction
                    .skew_of(wrong.0, wrong.1)
                    .unwrap_err()
                    .contains("measure")
            );
        }
    }

    #[test]
    fn what_is_left_on_a_corrected_page_adds_to_the_correction_it_was_printed_with() {
        let former = Correction::measured(199.2, 200.3, 200.0, 0.2);
        let left = Correction::measured(200.2, 199.9, 200.0, -0.05);
        let whole = left.on_top_of(&former);
        // A page corrected with the whole, seen through printer and former correction, leaves just what was measured.
        let seen = whole.error() * former.to_page(Point::ZERO);
        let expected = left.error();
        for (one, other) in seen.as_coeffs().into_iter().zip(expected.as_coeffs()) {
            assert!((one - other).abs() < 1e-12, "{seen:?} {expected:?}");
        }
        assert_eq!(
            Correction::default().on_top_of(&former).text(),
            former.text()
        );
    }

    #[test]
    fn what_is_left_after_a_correction_is_how_well_it_was_measured() {
        // Bars of 200 mm: ends 2 · 0.2²/3 = 0.026667 mm²; rule of class I below a metre ± 0.2 mm, 0.013333 mm²; together
        // 0.2 mm, 1 mm per metre; the paper's 0.6: √1.36.
        let correction = Correction::measured(199.2, 200.3, 200.0, 0.0);
        assert!((correction.scale_sd(0.6).unwrap() - 1.36_f64.sqrt()).abs() < 1e-12);
        // A bar of a metre is five times as long and read no worse.
        assert!(
            (Correction::measured(1001.0, 999.0, 1000.0, 0.0)
                .scale_sd(0.0)
                .unwrap()
                - 0.2)
                .abs()
                < 1e-12
        );
        assert_eq!(Correction::default().scale_sd(0.6), None);
        // What is measured last counts, and a margin measured afterwards takes nothing away.
        let later = Correction::measured(250.5, 249.9, 250.0, 0.0).on_top_of(&correction);
        assert_eq!(
            (later.bar(), Correction::default().on_top_of(&later).bar()),
            (Some(250.0), Some(250.0))
        );
        // A printer that was measured and is true has been measured all the same.
        let true_one = Correction::measured(200.0, 200.0, 200.0, 0.0);
        assert!(true_one.is_none() && true_one.scale_sd(0.6).is_some());
        assert_eq!(
            (
                true_one.text().as_str(),
                Correction::default().text().as_str()
            ),
            ("x 100 % y 100 %", "no correction")
        );
    }

    #[test]
    fn more_than_three_per_cent_either_way_is_refused_with_its_likely_cause() {
        let refused = |x: f64, y: f64, skew, forced| {
            Correction::measured(x, y, 200.0, skew).refuse_excess(forced)
        };
        for (x, y, skew) in [
            (194.0, 200.0, 0.0),
            (200.0, 206.1, 0.0),
            (200.0, 200.0, -1.8),
        ] {
            assert!(
                refused(x, y, skew, false)
                    .unwrap_err()
                    .to_string()
                    .contains("fit to page")
            );
            assert!(refused(x, y, skew, true).is_ok());
        }
        assert!(refused(194.2, 206.0, 1.7, false).is_ok());
        for x in [0.0, -200.0, f64::NAN, f64::INFINITY, 20.0] {
            assert!(refused(x, 200.0, 0.0, true).is_err(), "{x}");
        }
    }
}
