//! Lengths as people read them on paper.

use super::length::MM_PER_INCH;

/// Sixteenths in an inch: the finest graduation that inches are shown to.
const GRADUATIONS_PER_INCH: i64 = 16;

/// A sixteenth of an inch in mm: what [`inch_text`] and [`inch_cell`] round to.
pub const SIXTEENTH_MM: f64 = MM_PER_INCH / GRADUATIONS_PER_INCH as f64;

/// Whole millimetres with a true minus sign: `4350`, `−850`. What a tape is read to.
#[must_use]
pub fn mm_text(mm: f64) -> String {
    signed(mm.round() as i64, |magnitude| magnitude.to_string())
}

/// Millimetres to at most `decimals` places, trailing zeros left off, with a true minus sign.
#[must_use]
pub fn mm_exact(mm: f64, decimals: usize) -> String {
    let text = format!("{mm:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.replace('-', "\u{2212}")
    }
}

/// Inches to the nearest 1/16, as a tape shows them, without a unit sign: `35 7/16`, `−9/16`, `12`.
#[must_use]
pub fn inch_text(mm: f64) -> String {
    inch_text_to(mm, GRADUATIONS_PER_INCH)
}

/// Inches to the nearest 1/16 with a whole number before the fraction and an ASCII minus, for tables: `239 1/2`, `0 9/16`,
/// `-0 9/16`, `12`. A spreadsheet takes `9/16` alone for a date.
#[must_use]
pub fn inch_cell(mm: f64) -> String {
    let sixteenths = graduations(mm, GRADUATIONS_PER_INCH);
    let (magnitude, sign) = (sixteenths.abs(), if sixteenths < 0 { "-" } else { "" });
    let whole = if magnitude < GRADUATIONS_PER_INCH && magnitude > 0 {
        "0 "
    } else {
        ""
    };
    format!("{sign}{whole}{}", mixed(magnitude, GRADUATIONS_PER_INCH))
}

/// Inches to the nearest of `per_inch` graduations (a power of two), in lowest terms, without a unit sign.
#[must_use]
pub fn inch_text_to(mm: f64, per_inch: i64) -> String {
    signed(graduations(mm, per_inch), |magnitude| {
        mixed(magnitude, per_inch)
    })
}

/// Feet and inches to the nearest of `per_inch` graduations, with their unit signs: `6 ft 3 7/8 in`, `0 ft 11 in`.
#[must_use]
pub fn feet_text_to(mm: f64, per_inch: i64) -> String {
    let per_foot = 12 * per_inch;
    signed(graduations(mm, per_inch), |magnitude| {
        format!(
            "{} ft {} in",
            magnitude / per_foot,
            mixed(magnitude % per_foot, per_inch)
        )
    })
}

fn graduations(mm: f64, per_inch: i64) -> i64 {
    (mm / MM_PER_INCH * per_inch as f64).round() as i64
}

fn mixed(graduations: i64, per_inch: i64) -> String {
    let (whole, rest) = (graduations / per_inch, graduations % per_inch);
    let (top, bottom) = reduce(rest, per_inch);
    match (whole, rest) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{top}/{bottom}"),
        _ => format!("{whole} {top}/{bottom}"),
    }
}

fn signed(value: i64, magnitude: impl Fn(i64) -> String) -> String {
    let text = magnitude(value.abs());
    if value < 0 {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

fn reduce(mut top: i64, mut bottom: i64) -> (i64, i64) {
    while top != 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    (top, bottom)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_are_shown_to_the_nearest_sixteenth_in_lowest_terms() {
        // 1000 mm = 39 3/8 in to the nearest 1/16; 13/16 in = 20.6375 mm (shared reference, from 25.4 mm exactly).
        assert_eq!(inch_text(1000.0), "39 3/8");
        assert_eq!(inch_text(20.6375), "13/16");
        assert_eq!(inch_text(-14.2875), "\u{2212}9/16");
        assert_eq!(inch_text(304.8), "12");
        assert_eq!(inch_text(0.2), "0");
        assert_eq!(inch_text(-0.2), "0");
    }

    #[test]
    fn inches_for_a_table_have_a_whole_number_before_the_fraction() {
        // 239 1/2 in = 6083.3 mm, 9/16 in = 14.2875 mm (arithmetic on 25.4 mm exactly).
        for (mm, cell) in [
            (6083.3, "239 1/2"),
            (14.2875, "0 9/16"),
            (-14.2875, "-0 9/16"),
            (-304.8, "-12"),
            (-0.2, "0"),
        ] {
            assert_eq!(inch_cell(mm), cell);
        }
    }

    #[test]
    fn other_graduations_and_feet_are_shown_in_lowest_terms() {
        // 1/32 in = 0.79375 mm, 1 ft = 304.8 mm (arithmetic on 25.4 mm exactly).
        assert_eq!(inch_text_to(1000.0, 8), "39 3/8");
        assert_eq!(inch_text_to(0.793_75, 32), "1/32");
        assert_eq!(feet_text_to(1000.0, 16), "3 ft 3 3/8 in");
        assert_eq!(feet_text_to(304.7, 16), "1 ft 0 in");
        assert_eq!(feet_text_to(-279.4, 32), "\u{2212}0 ft 11 in");
    }

    #[test]
    fn millimetres_are_rounded_and_never_show_a_negative_zero() {
        assert_eq!(mm_text(-0.4), "0");
        assert_eq!(mm_text(-849.6), "\u{2212}850");
        assert_eq!(mm_exact(1250.0, 1), "1250");
        assert_eq!(mm_exact(0.25, 2), "0.25");
        assert_eq!(mm_exact(-0.04, 1), "0");
    }
}
