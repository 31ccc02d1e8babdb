//! Inches beside the mm of a sentence that was made by a room that does not know a job's units.

use crate::units::{SIXTEENTH_MM, inch_text, mm_exact};

/// Signs that may stand before a number and behind a unit.
const BEFORE: [char; 2] = ['(', '±'];
const BEHIND: [char; 5] = [')', ',', ';', ':', '.'];

/// Words that join two numbers of one unit, as in "300 to 400 mm".
const JOINING: [&str; 3] = ["to", "×", "by"];

/// The sentence with inches behind every length in mm that has none: "120 mm (4 3/4 in)". What stands in quotation marks is
/// text of the user's, or an example of it, and stays; so do slopes ("5 mm per metre", "mm/m").
pub(super) fn inches_beside(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut all: Vec<String> = Vec::new();
    for (index, word) in words.iter().enumerate() {
        let bare = word.trim_end_matches(BEHIND);
        let next = words.get(index + 1).copied().unwrap_or("");
        let has_inches =
            next.starts_with('(') && next[1..].starts_with(|c: char| c.is_ascii_digit());
        if bare != "mm" || next == "per" || has_inches {
            all.push((*word).to_owned());
            continue;
        }
        let inches = inches_of(&words[..index]);
        let behind = &word[bare.len()..];
        all.push(inches.map_or_else(
            || (*word).to_owned(),
            |inches| format!("mm ({inches} in){behind}"),
        ));
    }
    all.join(" ")
}

/// The numbers that end a run of words, in inches: one, or two with what joins them.
fn inches_of(words: &[&str]) -> Option<String> {
    let (last, before) = words.split_last()?;
    let last = inches(number(last)?);
    let first = match before {
        [.., first, joining] if JOINING.contains(joining) => {
            number(first).map(|mm| (inches(mm), *joining))
        }
        _ => None,
    };
    Some(first.map_or_else(
        || last.clone(),
        |(first, joining)| format!("{first} {joining} {last}"),
    ))
}

fn number(word: &str) -> Option<f64> {
    word.trim_start_matches(BEFORE)
        .replace('\u{2212}', "-")
        .parse()
        .ok()
}

/// To 1/16; what is smaller than that as a decimal, since it would be 0.
fn inches(mm: f64) -> String {
    if mm.abs() < SIXTEENTH_MM {
        mm_exact(mm / crate::units::MM_PER_INCH, 3)
    } else {
        inch_text(mm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_have_inches_behind_them_and_ranges_have_both() {
        // 120 mm = 4.724 in, 300 = 11.811, 400 = 15.748; 0.5 = 0.0197 (1 in = 25.4 mm exactly).
        for (mm, both) in [
            ("short by 120 mm.", "short by 120 mm (4 3/4 in)."),
            (
                "expected 300 to 400 mm (a gap)",
                "expected 300 to 400 mm (11 13/16 to 15 3/4 in) (a gap)",
            ),
            (
                "leave 300 × 400 mm to print on",
                "leave 300 × 400 mm (11 13/16 × 15 3/4 in) to print on",
            ),
            ("(± 0.5 mm)", "(± 0.5 mm (0.02 in))"),
            (
                "\u{2212}300 mm off",
                "\u{2212}300 mm (\u{2212}11 13/16 in) off",
            ),
        ] {
            assert_eq!(inches_beside(mm), both);
        }
    }

    #[test]
    fn quoted_text_slopes_and_lengths_with_inches_stay() {
        for text in [
            "write text such as \"900 mm\" or `900 mm`",
            "5 mm per metre, 2 mm/m",
            "120 mm (4 3/4 in)",
            "a number of mm",
            "",
        ] {
            assert_eq!(inches_beside(text), text);
        }
    }
}
