//! The one type family that measures and draws in every format.
//!
//! DejaVu Sans Condensed: its digits are all of one width, so columns of numbers align, and it has
//! the signs that the sheets need (± × ⌀ ☐ → −).

use std::sync::LazyLock;

use super::style::Weight;

/// A font face with its metrics.
pub struct Face {
    /// The whole TrueType file.
    pub data: &'static [u8],
    /// Name under which SVG text asks for it.
    pub family: &'static str,
    /// Height of the capitals as a fraction of the em.
    pub cap_height: f64,
    parsed: ttf_parser::Face<'static>,
    /// Advance of each character below [`LOOKED_UP`] as a fraction of the em: text is measured over and over while it
    /// is fitted to a page, and a look-up in the face takes far longer than one here.
    advances: Vec<f64>,
}

/// Characters below this are measured once: Latin, Greek, punctuation, arrows and the signs on the sheets.
const LOOKED_UP: u32 = 0x2800;

impl Face {
    /// The face of a weight.
    #[must_use]
    pub fn of(weight: Weight) -> &'static Self {
        static REGULAR: LazyLock<Face> =
            LazyLock::new(|| Face::load(dejavu::sans_condensed::regular()));
        static BOLD: LazyLock<Face> = LazyLock::new(|| Face::load(dejavu::sans_condensed::bold()));
        match weight {
            Weight::Regular => &REGULAR,
            Weight::Bold => &BOLD,
        }
    }

    fn load(data: &'static [u8]) -> Self {
        let parsed = ttf_parser::Face::parse(data, 0)
            .expect("the face compiled into the program is well formed");
        let em = f64::from(parsed.units_per_em());
        let cap_height = f64::from(parsed.capital_height().unwrap_or(1493)) / em;
        let mut face = Self {
            data,
            family: "DejaVu Sans",
            cap_height,
            parsed,
            advances: Vec::new(),
        };
        let one = |code: u32| {
            char::from_u32(code).map_or(0.0, |character| face.advance(face.glyph(character)))
        };
        face.advances = (0..LOOKED_UP).map(one).collect();
        face
    }

    /// Glyph index of a character; 0 (the missing glyph) where the face has none.
    #[must_use]
    pub fn glyph(&self, character: char) -> u16 {
        self.parsed
            .glyph_index(character)
            .map_or(0, |glyph| glyph.0)
    }

    /// Advance of a glyph as a fraction of the em.
    #[must_use]
    pub fn advance(&self, glyph: u16) -> f64 {
        let units = self
            .parsed
            .glyph_hor_advance(ttf_parser::GlyphId(glyph))
            .unwrap_or(0);
        f64::from(units) / f64::from(self.parsed.units_per_em())
    }

    /// Advance of a character as a fraction of the em.
    fn width(&self, character: char) -> f64 {
        let known = self.advances.get(u32::from(character) as usize);
        known
            .copied()
            .unwrap_or_else(|| self.advance(self.glyph(character)))
    }

    /// Size of the em in mm for lettering whose capitals are `cap_height` mm high.
    #[must_use]
    pub fn em(&self, cap_height: f64) -> f64 {
        cap_height / self.cap_height
    }
}

/// Width in mm of one line of text whose capitals are `cap_height` mm high. No kerning: the
/// writers place text without it.
#[must_use]
pub fn text_width(text: &str, cap_height: f64, weight: Weight) -> f64 {
    let face = Face::of(weight);
    let advances: f64 = text.chars().map(|character| face.width(character)).sum();
    advances * face.em(cap_height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::printed_characters;

    #[test]
    fn digits_share_one_width_so_that_columns_align() {
        for weight in [Weight::Regular, Weight::Bold] {
            let one = text_width("1", 2.5, weight);
            assert!(
                "0123456789"
                    .chars()
                    .all(|c| (text_width(&c.to_string(), 2.5, weight) - one).abs() < 1e-12)
            );
        }
    }

    #[test]
    fn a_looked_up_advance_is_the_faces_own() {
        for weight in [Weight::Regular, Weight::Bold] {
            let face = Face::of(weight);
            for character in "AaÄ1 ½→☐✂−\u{2800}\u{fffd}".chars() {
                assert_eq!(
                    face.width(character),
                    face.advance(face.glyph(character)),
                    "{character}"
                );
            }
        }
    }

    #[test]
    fn every_character_that_may_be_read_for_paper_has_a_glyph_that_advances() {
        let mut count = 0;
        for character in printed_characters() {
            for weight in [Weight::Regular, Weight::Bold] {
                let face = Face::of(weight);
                let glyph = face.glyph(character);
                assert_ne!(glyph, 0, "{:04X}", u32::from(character));
                assert!(face.advance(glyph) > 0.0, "{:04X}", u32::from(character));
            }
            count += 1;
        }
        assert!(count > 2_000, "{count}");
    }

    #[test]
    fn the_face_has_every_sign_the_sheets_use() {
        for sign in "±×⌀☐→←↑↓−·–—…°½▲◂▸✂≤≥Δ".chars() {
            for weight in [Weight::Regular, Weight::Bold] {
                assert_ne!(Face::of(weight).glyph(sign), 0, "{sign} missing");
            }
        }
    }
}
