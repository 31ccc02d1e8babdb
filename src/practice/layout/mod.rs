//! A layout as an exercise needs it: with drawn values, and with every number spelled out as a sum of what was given.

mod drawn;
mod given;
mod pair;
mod rectangle;
mod relations;
mod sum;

pub(super) use drawn::Drawn;
pub(super) use given::{exact, frame, given};
pub(super) use pair::{Slant, longest_pair};
pub(super) use rectangle::{mirrors, rectangles};
pub(super) use relations::{Relations, WorkedOut};
pub(super) use sum::Sum;

use kurbo::Point;

use crate::{
    plan::FloorPlan,
    units::{mm_exact, mm_text},
};

/// Said of a layout whose [`Relations`] do not come out.
pub(super) const NO_SUMS: &str =
    "the layout's stations and offsets cannot be written as sums of its dimensions";

/// Offsets below this are on the centreline, mm.
pub(super) const ON_CENTRELINE_MM: f64 = 1e-6;

/// The marks beside the centreline.
pub(super) fn beside(plan: &FloorPlan) -> Vec<usize> {
    (0..plan.marks.len())
        .filter(|&mark| plan.marks[mark].at.y.abs() > ON_CENTRELINE_MM)
        .collect()
}

/// A place as it is printed, to a tenth of a mm.
pub(super) fn tenths(at: Point) -> Point {
    Point::new((at.x * 10.0).round() / 10.0, (at.y * 10.0).round() / 10.0)
}

/// Whole mm, half a millimetre away from zero. Rounded to a millionth first, so that a half that binary numbers miss by
/// a hair is a half.
pub(super) fn whole(mm: f64) -> String {
    mm_text(hair_off(mm))
}

/// To the nearest half mm, a quarter away from zero.
pub(super) fn half(mm: f64) -> String {
    mm_exact(hair_off(mm * 2.0).round() / 2.0, 1)
}

/// Rounded to a millionth of a mm.
pub(super) fn hair_off(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_is_rounded_away_from_zero_also_when_binary_numbers_miss_it() {
        assert_eq!(
            (whole(876.499_999_999_9), whole(-876.5)),
            ("877".to_owned(), "\u{2212}877".to_owned())
        );
        assert_eq!(
            (half(21.75), half(-21.75), half(3.2)),
            ("22".into(), "\u{2212}22".into(), "3".into())
        );
    }
}
