//! How a cutter's software knows a cut from a score: by the name of a spot colour, or by the colour shown.

use std::fmt;

use super::CutError;
use crate::source::printed;

/// Most characters in the name of a spot colour: what dialogs of machines show whole (common practice, no source).
const LONGEST_NAME: usize = 60;

/// Most bytes in a name that every PDF reader takes (ISO 32000-1, annex C).
const LONGEST_NAME_BYTES: usize = 127;

/// Names that PDF keeps for every ink at once and for none (ISO 32000-1, 8.6.6.4).
const KEPT_NAMES: [&str; 2] = ["All", "None"];

/// The name of a spot colour: whatever the cutter's software wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spot(String);

impl Spot {
    /// A spot colour of that name, without blanks around it.
    ///
    /// # Errors
    /// [`CutError::Spot`] when the name is blank, longer than 60 characters or has some that cannot be printed, or is
    /// one that PDF keeps for itself.
    pub fn named(text: &str) -> Result<Self, CutError> {
        let refused = || CutError::Spot {
            text: text.to_owned(),
            most: LONGEST_NAME,
        };
        let name = printed(text.trim()).map_err(|_| refused())?;
        let fits = (1..=LONGEST_NAME).contains(&name.chars().count())
            && name.len() <= LONGEST_NAME_BYTES
            && !KEPT_NAMES.contains(&name.as_ref());
        if fits {
            Ok(Self(name.into_owned()))
        } else {
            Err(refused())
        }
    }

    /// The name as it is written into files.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.0
    }
}

/// A colour as screens show it: red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour(pub [u8; 3]);

impl Colour {
    /// Magenta, the usual colour of through cuts.
    pub const MAGENTA: Self = Self([0xff, 0, 0xff]);
    /// Cyan, as far from magenta as from black.
    pub const CYAN: Self = Self([0, 0xff, 0xff]);

    /// A colour from `#rrggbb`.
    ///
    /// # Errors
    /// [`CutError::Colour`] when the text is anything else.
    pub fn read(text: &str) -> Result<Self, CutError> {
        let digits = text.trim().strip_prefix('#');
        let digits = digits.filter(|digits| {
            digits.len() == 6 && digits.bytes().all(|byte| byte.is_ascii_hexdigit())
        });
        let number = digits.and_then(|digits| u32::from_str_radix(digits, 16).ok());
        number
            .map(|number| Self([16, 8, 0].map(|shift| (number >> shift) as u8)))
            .ok_or_else(|| CutError::Colour {
                text: text.to_owned(),
            })
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [red, green, blue] = self.0;
        write!(f, "#{red:02x}{green:02x}{blue:02x}")
    }
}

/// What one kind of path is drawn in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ink {
    /// Its spot colour in PDF and SVG.
    pub spot: Spot,
    /// What is shown in its place.
    pub colour: Colour,
}

/// What cuts and scores are drawn in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inks {
    /// Paths that go through the material.
    pub cut: Ink,
    /// Lines that are scored on it.
    pub score: Ink,
}

impl Default for Inks {
    fn default() -> Self {
        let ink = |name: &str, colour: Colour| Ink {
            spot: Spot(name.to_owned()),
            colour,
        };
        Self {
            cut: ink("Through", Colour::MAGENTA),
            score: ink("Score", Colour::CYAN),
        }
    }
}

impl Inks {
    /// Refuses inks that a cutter cannot tell apart: it would cut through where it should score.
    pub(super) fn check(&self) -> Result<(), CutError> {
        let names = [&self.cut, &self.score].map(|ink| ink.spot.name().to_lowercase());
        if names[0] == names[1] {
            return Err(CutError::SameSpot {
                name: self.cut.spot.name().to_owned(),
            });
        }
        if self.cut.colour == self.score.colour {
            return Err(CutError::SameColour {
                colour: self.cut.colour,
            });
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spot_is_named_by_any_text_that_fits_a_name_of_pdf() {
        for (text, name) in [
            (" laser ", "laser"),
            ("Cut Contour (100 %) /#1", "Cut Contour (100 %) /#1"),
            ("Bu\u{308}ro <&\">", "Büro <&\">"),
        ] {
            assert_eq!(Spot::named(text).unwrap().name(), name);
        }
        let longest = "x".repeat(60);
        assert!(Spot::named(&longest).is_ok());
        let wide = "€".repeat(43);
        for bad in [
            "",
            "  ",
            "a\nb",
            "\u{1b}[1m",
            "車",
            "All",
            "None",
            &wide,
            &format!("{longest}x"),
        ] {
            let message = Spot::named(bad).unwrap_err().to_string();
            assert!(message.contains("expected 1 to 60 characters"), "{message}");
        }
    }

    #[test]
    fn a_colour_is_six_hexadecimal_digits_and_is_written_as_it_was() {
        assert_eq!(Colour::read(" #0Fa07F ").unwrap().to_string(), "#0fa07f");
        assert_eq!(Colour::MAGENTA.to_string(), "#ff00ff");
        for bad in [
            "", "red", "#fff", "#ff00f", "#ff00ff0", "ff00ff", "#ff00fg", "#+f00ff", "#€€",
        ] {
            let message = Colour::read(bad).unwrap_err().to_string();
            assert!(message.contains(&format!("\"{bad}\"")) && message.contains("#ff00ff"));
        }
    }

    #[test]
    fn inks_that_a_cutter_cannot_tell_apart_are_refused() {
        assert_eq!(Inks::default().check(), Ok(()));
        let mut same = Inks::default();
        same.cut.spot = Spot::named("SCORE").unwrap();
        assert!(matches!(same.check(), Err(CutError::SameSpot { .. })));
        let mut same = Inks::default();
        same.cut.colour = Colour::CYAN;
        assert!(matches!(same.check(), Err(CutError::SameColour { .. })));
    }
}
