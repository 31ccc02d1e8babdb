//! Lengths as they are typed into a form: with a unit, or in the unit that the form is in.

use crate::units::{inch_text, mm_exact, parse_length};

/// True for a number, or a number with a fraction, that has no unit.
fn is_bare(text: &str) -> bool {
    let is_of_number = |sign: char| {
        sign.is_numeric() || matches!(sign, ' ' | '.' | '/' | '\u{2044}' | '-' | '+' | '\u{2212}')
    };
    text.contains(char::is_numeric) && text.chars().all(is_of_number)
}

/// The text to keep for one that was typed: a number alone is mm in every file, so that one meant as inches gets its unit.
#[must_use]
pub fn with_unit(text: &str, inches: bool) -> String {
    if inches && is_bare(text) {
        format!("{text} in")
    } else {
        text.to_owned()
    }
}

/// As [`with_unit`], for a text that stands in a file already as `kept`: one that nobody changed keeps its meaning when the form changes
/// its unit.
#[must_use]
pub fn with_unit_unless_kept(text: &str, kept: Option<&str>, inches: bool) -> String {
    if kept == Some(text) {
        text.to_owned()
    } else {
        with_unit(text, inches)
    }
}

/// A length in both units, that of the form first: "3450 mm = 135 13/16 in".
#[must_use]
pub fn both(mm: f64, inches: bool) -> String {
    let (mm_words, inch_words) = (
        format!("{} mm", mm_exact(mm, 1)),
        format!("{} in", inch_text(mm)),
    );
    if inches {
        format!("{inch_words} = {mm_words}")
    } else {
        format!("{mm_words} = {inch_words}")
    }
}

/// A range in both units, that of the form first: "1200 to 7000 mm (47 1/4 to 275 9/16 in)".
#[must_use]
pub fn range(least: f64, most: f64, inches: bool) -> String {
    let mm = format!("{} to {} mm", mm_exact(least, 1), mm_exact(most, 1));
    let inch = format!("{} to {} in", inch_text(least), inch_text(most));
    if inches {
        format!("{inch} ({mm})")
    } else {
        format!("{mm} ({inch})")
    }
}

/// What a text is understood as, in both units; `None` where it is no length.
#[must_use]
pub fn understood(text: &str, inches: bool) -> Option<String> {
    parse_length(text).ok().map(|mm| both(mm, inches))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_alone_is_in_the_unit_of_the_form_and_others_stay_as_typed() {
        assert_eq!(with_unit("135 13/16", true), "135 13/16 in");
        assert_eq!(with_unit("135 13/16", false), "135 13/16");
        assert_eq!(with_unit("3.45 m", true), "3.45 m");
        assert_eq!(with_unit("11 ft 3 3/4 in", true), "11 ft 3 3/4 in");
        assert_eq!(with_unit("", true), "");
        assert_eq!(with_unit("wide", true), "wide");
    }

    #[test]
    fn what_nobody_changed_means_the_same_in_a_form_of_the_other_unit() {
        assert_eq!(with_unit_unless_kept("750", Some("750"), true), "750");
        assert_eq!(with_unit_unless_kept("30", Some("750"), true), "30 in");
    }

    #[test]
    fn what_was_understood_stands_in_both_units() {
        // 135 13/16 in = 3449.6375 mm (25.4 mm to the inch).
        assert_eq!(
            understood("135 13/16 in", true).as_deref(),
            Some("135 13/16 in = 3449.6 mm")
        );
        assert_eq!(
            understood("3.45 m", false).as_deref(),
            Some("3450 mm = 135 13/16 in")
        );
        assert_eq!(
            understood("-12", false).as_deref(),
            Some("\u{2212}12 mm = \u{2212}1/2 in")
        );
        assert_eq!(understood("wide", false), None);
    }
}
