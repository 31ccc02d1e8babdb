//! What holds of every length, however it is written.

use proptest::prelude::*;

use super::*;
use crate::property_tests::seeded;

const GRADUATIONS: [i64; 5] = [2, 8, 16, 32, 64];

/// Half a graduation, mm, with what f64 may add at a kilometre.
fn half(per_inch: i64) -> f64 {
    MM_PER_INCH / per_inch as f64 / 2.0 + ROUND_OFF_MM
}

fn read(text: &str) -> f64 {
    parse_length(text).unwrap_or_else(|error| panic!("{error}"))
}

/// Feet, inches below twelve, and a fraction of an inch, each as it is taped.
fn taped() -> impl Strategy<Value = (u32, u32, u32, u32)> {
    let bottom = prop::sample::select(vec![2_u32, 4, 8, 16, 32, 64]);
    (0..400_u32, 0..12_u32, bottom)
        .prop_flat_map(|(feet, inches, bottom)| (Just(feet), Just(inches), 1..bottom, Just(bottom)))
}

proptest! {
    #![proptest_config(seeded(2_000))]

    #[test]
    fn a_number_with_a_unit_is_that_many_times_its_defined_size(
        thousandths in 0..9_000_000_u64,
        unit in prop::sample::select(vec![("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("ft", 304.8)]),
        blank in prop::sample::select(vec!["", " ", "  "]),
        minus in prop::sample::select(vec!["", "-", "\u{2212}", "- "]),
    ) {
        let number = thousandths as f64 / 1000.0;
        let mm = if minus.is_empty() { number } else { -number } * unit.1;
        let found = read(&format!("{minus}{number}{blank}{}", unit.0));
        prop_assert!((found - mm).abs() <= 1e-12 * mm.abs(), "{found} is not {mm}");
    }

    #[test]
    fn feet_inches_and_a_fraction_are_their_sum_in_every_way_of_writing((feet, inches, top, bottom) in taped()) {
        let mm = (f64::from(feet) * 12.0 + f64::from(inches) + f64::from(top) / f64::from(bottom)) * MM_PER_INCH;
        for text in [
            format!("{feet} ft {inches} {top}/{bottom} in"),
            format!("{feet}' {inches} {top}/{bottom}\""),
            format!("{feet}'{inches}-{top}/{bottom}\""),
            format!("{feet}\u{2032} {inches} {top}\u{2044}{bottom}\u{2033}"),
            format!("{feet}FT{inches} {top}/{bottom}"),
            format!("{} {top}/{bottom} in", feet * 12 + inches),
        ] {
            let found = read(&text);
            prop_assert!((found - mm).abs() < ROUND_OFF_MM, "{text}: {found} is not {mm}");
            prop_assert_eq!(read(&format!("-{text}")), -found);
        }
    }

    #[test]
    fn what_is_shown_in_inches_is_read_back_to_half_of_its_graduation(mm in -1e6..1e6_f64) {
        for per_inch in GRADUATIONS {
            let found = [
                format!("{} in", inch_text_to(mm, per_inch)),
                feet_text_to(mm, per_inch),
            ].map(|text| read(&text));
            prop_assert!(found.iter().all(|found| (found - mm).abs() <= half(per_inch)), "{mm}: {found:?}");
        }
        prop_assert_eq!(read(&format!("{} in", inch_cell(mm))), read(&format!("{} in", inch_text(mm))));
    }

    #[test]
    fn what_is_shown_once_is_shown_the_same_again(mm in -1e6..1e6_f64, decimals in 0..4_usize) {
        let inches = inch_text(mm);
        prop_assert_eq!(inch_text(read(&format!("{inches} in"))), inches);
        let exact = mm_exact(mm, decimals);
        let found = read(&exact);
        prop_assert!((found - mm).abs() <= 0.5 * 10_f64.powi(-(decimals as i32)) + ROUND_OFF_MM);
        prop_assert_eq!(mm_exact(found, decimals), exact);
        prop_assert_eq!(read(&mm_text(mm)), mm.round());
    }

    #[test]
    fn rounding_keeps_the_order_of_lengths_and_knows_no_side(one in -1e5..1e5_f64, by in 0.0..60.0_f64) {
        let other = one + by;
        for per_inch in GRADUATIONS {
            let [low, high] = [one, other].map(|mm| read(&format!("{} in", inch_text_to(mm, per_inch))));
            prop_assert!(low <= high, "{one} {other}: {low} {high}");
            let turned = read(&format!("{} in", inch_text_to(-one, per_inch)));
            prop_assert_eq!(turned, -low);
        }
        let [low, high] = [one, other].map(|mm| read(&mm_exact(mm, 1)));
        prop_assert!(low <= high);
    }

    #[test]
    fn an_angle_is_read_as_it_is_printed(degrees in -360.0..=360.0_f64) {
        for text in [format!("{degrees}"), format!("{degrees} deg"), format!(" {degrees}°")] {
            prop_assert_eq!(parse_angle(&text), Ok(degrees));
        }
    }
}
