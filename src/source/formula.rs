//! Text in a table that a spreadsheet would take for a formula.
//!
//! A cell that begins with `=`, `+`, `-` or `@` is calculated by a spreadsheet, whatever it was meant as. Such a text is written with an
//! apostrophe before it, which makes it text there; one that has apostrophes before such a sign gets one more, so that reading takes
//! off what writing put on.

use std::borrow::Cow;

/// Signs that begin a formula.
const BEGINS_FORMULA: [char; 4] = ['=', '+', '-', '@'];

/// What makes a cell text.
const TEXT: char = '\'';

/// A text as it is written into a table.
#[must_use]
pub fn as_text(text: &str) -> Cow<'_, str> {
    if is_like_formula(text) {
        Cow::Owned(format!("{TEXT}{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// A cell as it was meant.
pub(super) fn meant(cell: &str) -> &str {
    match cell.strip_prefix(TEXT) {
        Some(text) if is_like_formula(text) => text,
        _ => cell,
    }
}

/// True for a text that is a formula, behind any number of apostrophes.
fn is_like_formula(text: &str) -> bool {
    text.trim_start_matches(TEXT).starts_with(BEGINS_FORMULA)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_as_text_is_read_as_it_was() {
        for text in [
            "=1+1", "+1L", "-1L", "@a", "'=1", "''@", "1L", "", "'a", "5'-3\"",
        ] {
            let written = as_text(text);
            assert!(!written.starts_with(BEGINS_FORMULA), "{written}");
            assert_eq!(meant(&written), text);
        }
        assert_eq!(as_text("1L..4L"), "1L..4L");
    }
}
