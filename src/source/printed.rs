//! Text that goes to paper, looked at where it is read.
//!
//! Sheets are set letter by letter from one face, without a shaper: each character has a glyph of its own, which stands to the right of
//! the one before. So a script whose letters join, stack or run from right to left would print as something else than was written, and
//! one that the face does not have as boxes. Such text is refused where it is read. A shaper and the faces of all scripts were weighed
//! against that: some 20 MB, for pages whose own words are English.

use std::{borrow::Cow, fmt};

use unicode_normalization::{IsNormalized, UnicodeNormalization as _, is_nfc_quick};

/// What can be printed: characters that both weights of the face have, that advance, and that need no neighbour. Without the marks that
/// are put onto a letter before them, and without those that only act on others.
const PRINTED: [(char, char); 62] = [
    // Latin, with its signs.
    (' ', '~'),
    ('\u{a0}', '\u{ac}'),
    ('\u{ae}', '\u{2e9}'),
    ('\u{1e00}', '\u{1efb}'),
    // Greek, with the signs of its older spelling.
    ('\u{370}', '\u{377}'),
    ('\u{37a}', '\u{37f}'),
    ('\u{384}', '\u{38a}'),
    ('\u{38c}', '\u{38c}'),
    ('\u{38e}', '\u{3a1}'),
    ('\u{3a3}', '\u{482}'),
    ('\u{1f00}', '\u{1f15}'),
    ('\u{1f18}', '\u{1f1d}'),
    ('\u{1f20}', '\u{1f45}'),
    ('\u{1f48}', '\u{1f4d}'),
    ('\u{1f50}', '\u{1f57}'),
    ('\u{1f59}', '\u{1f59}'),
    ('\u{1f5b}', '\u{1f5b}'),
    ('\u{1f5d}', '\u{1f5d}'),
    ('\u{1f5f}', '\u{1f7d}'),
    ('\u{1f80}', '\u{1fb4}'),
    ('\u{1fb6}', '\u{1fc4}'),
    ('\u{1fc6}', '\u{1fd3}'),
    ('\u{1fd6}', '\u{1fdb}'),
    ('\u{1fdd}', '\u{1fef}'),
    ('\u{1ff2}', '\u{1ff4}'),
    ('\u{1ff6}', '\u{1ffe}'),
    // Cyrillic (its first signs follow the Greek ones), Armenian and Georgian.
    ('\u{48a}', '\u{525}'),
    ('\u{531}', '\u{556}'),
    ('\u{559}', '\u{55f}'),
    ('\u{561}', '\u{587}'),
    ('\u{589}', '\u{58a}'),
    ('\u{10a0}', '\u{10c5}'),
    ('\u{10d0}', '\u{10fc}'),
    // Spaces, dashes, quotation marks, raised and lowered figures, currencies.
    ('\u{2002}', '\u{200a}'),
    ('\u{2010}', '\u{2027}'),
    ('\u{202f}', '\u{205e}'),
    ('\u{2070}', '\u{2071}'),
    ('\u{2074}', '\u{208e}'),
    ('\u{20a0}', '\u{20b5}'),
    ('\u{20b8}', '\u{20ba}'),
    ('\u{20bd}', '\u{20bd}'),
    // Letters as signs, fractions, arrows, signs of calculation and of drawings.
    ('\u{2100}', '\u{2109}'),
    ('\u{210b}', '\u{2149}'),
    ('\u{2150}', '\u{2185}'),
    ('\u{2189}', '\u{2189}'),
    ('\u{2190}', '\u{2311}'),
    ('\u{2318}', '\u{2319}'),
    ('\u{2324}', '\u{2328}'),
    // Lines, shapes, pictures.
    ('\u{2500}', '\u{269c}'),
    ('\u{269e}', '\u{26b8}'),
    ('\u{26c0}', '\u{26c3}'),
    ('\u{2701}', '\u{2704}'),
    ('\u{2706}', '\u{2709}'),
    ('\u{270c}', '\u{2727}'),
    ('\u{2729}', '\u{274b}'),
    ('\u{2756}', '\u{2756}'),
    ('\u{2758}', '\u{275e}'),
    ('\u{2761}', '\u{2794}'),
    ('\u{2798}', '\u{27af}'),
    ('\u{27b1}', '\u{27be}'),
    // Letters that are drawn joined.
    ('\u{fb00}', '\u{fb04}'),
    ('\u{fb06}', '\u{fb06}'),
];

/// The first character of a text that cannot be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotPrinted(pub char);

impl fmt::Display for NotPrinted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(character) = *self;
        let code = u32::from(character);
        match character {
            '\t' | '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                return write!(
                    f,
                    "a line break or tab in it (U+{code:04X}); write it on one line"
                );
            }
            _ if character.is_control() => {
                return write!(
                    f,
                    "the control character U+{code:04X} in it, which cannot be printed; take it out"
                );
            }
            _ => (),
        }
        write!(f, "U+{code:04X}")?;
        // Letters alone: what acts on others would act on the message.
        if character.is_alphanumeric() {
            write!(f, " ({character})")?;
        }
        f.write_str(" in it, which cannot be printed; write it with Latin, Greek, Cyrillic, Armenian or Georgian letters, digits and common signs")
    }
}

/// A text as it is printed: letters and the marks that follow them are made one character where there is one (Unicode's NFC).
///
/// # Errors
/// The first character that cannot be printed.
pub fn printed(text: &str) -> Result<Cow<'_, str>, NotPrinted> {
    let composed = match is_nfc_quick(text.chars()) {
        IsNormalized::Yes => Cow::Borrowed(text),
        _ => Cow::Owned(text.nfc().collect()),
    };
    match composed.chars().find(|character| !is_printed(*character)) {
        Some(character) => Err(NotPrinted(character)),
        None => Ok(composed),
    }
}

/// All characters that can be printed.
#[cfg(test)]
pub fn printed_characters() -> impl Iterator<Item = char> {
    PRINTED.into_iter().flat_map(|(first, last)| first..=last)
}

fn is_printed(character: char) -> bool {
    PRINTED
        .iter()
        .any(|(first, last)| (*first..=*last).contains(&character))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_with_marks_behind_them_are_made_one() {
        for (written, composed) in [
            ("Bu\u{308}ro", "Büro"),
            ("Kova\u{301}cs \u{41}\u{30a}", "Kovács Å"),
            ("\u{3b1}\u{301}\u{438}\u{306}", "άй"),
            ("\u{212b}ngstr\u{f6}m \u{2126}", "Ångström Ω"),
            ("Việt Nam", "Việt Nam"),
            ("plain – ½ ⌀ ☐ €", "plain – ½ ⌀ ☐ €"),
        ] {
            assert_eq!(printed(written).as_deref(), Ok(composed));
        }
    }

    #[test]
    fn the_first_character_that_cannot_be_printed_is_named() {
        for (text, named) in [
            ("car \u{5e9}\u{5dc}", "U+05E9 (\u{5e9})"),
            ("عربة", "U+0639 (ع)"),
            ("गाड़ी", "U+0917 (ग)"),
            ("รถ", "U+0E23 (ร)"),
            ("ok 車", "U+8ECA (車)"),
            ("한", "U+D55C (한)"),
            ("x\u{302}", "U+0302 in it"),
            ("a\u{fffe}", "U+FFFE in it"),
            ("a\u{ffff}", "U+FFFF in it"),
            ("a\u{fffd}", "U+FFFD in it"),
            ("a\u{e000}", "U+E000 in it"),
            ("a\u{10ffff}", "U+10FFFF in it"),
            ("a\u{202e}b", "U+202E in it"),
            ("a\u{ad}b", "U+00AD in it"),
            ("a\u{200b}b", "U+200B in it"),
            ("😀", "U+1F600 in it"),
            ("a\nb", "a line break or tab in it (U+000A)"),
            ("a\u{2028}b", "(U+2028)"),
            ("a\u{1b}b", "the control character U+001B"),
        ] {
            let said = printed(text).unwrap_err().to_string();
            assert!(said.contains(named), "{text:?}: {said}");
        }
    }
}
