//! Breaking and shortening text to a width.

use unicode_linebreak::linebreaks;

use crate::drawing::{Weight, text_width};
use crate::words::NO_BREAK;

/// Rounding allowed when text is set into a column that was made just as wide as the text, mm.
const ROUNDING: f64 = 1e-6;
/// What stands for the part that was left out.
const ELLIPSIS: char = '…';

/// What a line may end between: runs of text that the line breaking rules of Unicode (UAX #14) let part at a space. Spaces
/// that hold together are written as spaces.
pub fn words(text: &str) -> impl Iterator<Item = String> {
    let mut start = 0;
    linebreaks(text)
        .filter(|&(end, _)| end == text.len() || text[..end].ends_with(char::is_whitespace))
        .map(move |(end, _)| {
            text[std::mem::replace(&mut start, end)..end]
                .trim()
                .to_owned()
        })
        .filter(|word| !word.is_empty())
}

/// Breaks text into lines no wider than `width` mm in capitals of `height` mm. A word that is wider than the line is broken
/// where Unicode's rules allow it within a word, behind a hyphen, and else where the line ends. Empty text gives no line.
#[must_use]
pub fn wrap(text: &str, width: f64, height: f64, weight: Weight) -> Vec<String> {
    let wide = |text: &str| text_width(text, height, weight);
    let fits = |mm: f64| mm <= width + ROUNDING;
    // Widths add up: a line is not measured anew for each of its words.
    let space = wide(" ");
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut used) = (String::new(), 0.0);
    let mut put = |part: &str, joint: &str| {
        let own = wide(part);
        let gap = if joint.is_empty() { 0.0 } else { space };
        if !line.is_empty() && fits(used + gap + own) {
            line.push_str(joint);
            line.push_str(part);
            used += gap + own;
            return;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = if fits(own) {
            part.to_owned()
        } else {
            torn(part, fits, wide, &mut lines)
        };
        used = wide(&line);
    };
    for word in words(text) {
        let word = word.replace(NO_BREAK, " ");
        if fits(wide(&word)) {
            put(&word, " ");
            continue;
        }
        // What is held together and yet wider than a line is broken where it may not be.
        let (mut start, mut joint) = (0, " ");
        for (end, _) in linebreaks(&word) {
            let part = &word[start..end];
            put(part.trim_end(), joint);
            joint = if part.ends_with(' ') { " " } else { "" };
            start = end;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Breaks a word that is wider than a line; gives what is left for the last one.
fn torn(
    word: &str,
    fits: impl Fn(f64) -> bool,
    wide: impl Fn(&str) -> f64,
    lines: &mut Vec<String>,
) -> String {
    let mut line = String::new();
    for character in word.chars() {
        line.push(character);
        if !fits(wide(&line)) && line.chars().count() > 1 {
            line.pop();
            lines.push(std::mem::replace(&mut line, character.to_string()));
        }
    }
    line
}

/// As [`wrap`], with at most `most` lines; what does not fit is cut off with an ellipsis.
#[must_use]
pub fn wrap_to(text: &str, width: f64, height: f64, weight: Weight, most: usize) -> Vec<String> {
    let mut lines = wrap(text, width, height, weight);
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        if most > 0 {
            lines.push(shorten(&rest, width, height, weight));
        }
    }
    lines
}

/// One line no wider than `width` mm, cut with an ellipsis when the text is wider.
#[must_use]
pub fn shorten(text: &str, width: f64, height: f64, weight: Weight) -> String {
    if text_width(text, height, weight) <= width + ROUNDING {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let mut cut: String = kept.iter().collect::<String>().trim_end().to_owned();
        cut.push(ELLIPSIS);
        if text_width(&cut, height, weight) <= width {
            return cut;
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str =
        "park the vehicle on level floor and save the fault codes before anything is touched";

    #[test]
    fn wrapped_lines_fit_and_lose_no_word() {
        for width in [12.0, 25.0, 60.0, 300.0] {
            let lines = wrap(TEXT, width, 2.5, Weight::Regular);
            assert!(
                lines
                    .iter()
                    .all(|line| text_width(line, 2.5, Weight::Regular) <= width),
                "{lines:?}"
            );
            assert_eq!(lines.concat().replace(' ', ""), TEXT.replace(' ', ""));
        }
    }

    #[test]
    fn a_word_wider_than_the_line_is_broken() {
        let lines = wrap("WWWWWWWWWWWWWWWWWWWWWWWW", 15.0, 2.5, Weight::Bold);
        assert!(lines.len() > 1);
        assert!(
            lines
                .iter()
                .all(|line| text_width(line, 2.5, Weight::Bold) <= 15.0)
        );
    }

    #[test]
    fn a_word_wider_than_the_line_is_broken_behind_its_hyphens_first() {
        let lines = wrap("rear-corner-arcs-and-more", 22.0, 2.5, Weight::Regular);
        assert!(lines.len() > 1, "{lines:?}");
        let (last, others) = lines.split_last().unwrap();
        assert!(others.iter().all(|line| line.ends_with('-')), "{lines:?}");
        assert_eq!(last, "more");
    }

    #[test]
    fn what_is_held_together_goes_to_the_next_line_as_a_whole_where_it_fits_one() {
        let text = "the sides are 4\u{a0}·\u{a0}a\u{a0}·\u{a0}b apart";
        let lines = wrap(text, 30.0, 2.5, Weight::Regular);
        assert!(
            lines.iter().any(|line| line.contains("4 · a · b")),
            "{lines:?}"
        );
        assert_eq!(
            wrap(text, 8.0, 2.5, Weight::Regular)
                .concat()
                .replace(' ', ""),
            "thesidesare4·a·bapart"
        );
    }

    #[test]
    fn what_does_not_fit_ends_in_an_ellipsis() {
        let lines = wrap_to(TEXT, 30.0, 2.5, Weight::Regular, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
        assert!(text_width(&lines[1], 2.5, Weight::Regular) <= 30.0);
        assert_eq!(shorten("short", 30.0, 2.5, Weight::Regular), "short");
    }

    #[test]
    fn empty_text_has_no_lines() {
        assert!(wrap("  ", 30.0, 2.5, Weight::Regular).is_empty());
        assert_eq!(shorten("anything", 0.1, 2.5, Weight::Regular), "");
    }
}
