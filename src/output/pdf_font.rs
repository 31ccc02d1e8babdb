//! The two weights as embedded PDF fonts.
//!
//! Each is a Type 0 font with Identity-H over a TrueType subset (ISO 32000-1, 9.7). A code stands for a character and
//! not for a glyph, and a `CIDToGIDMap` leads from one to the other. Two characters drawn by the same glyph, or missing
//! from the face, are therefore still told apart when text is copied. Codes count from 1 in the order in which
//! characters are first used, so that a page can be written before the next one is known. They are learned page after page; then pages
//! are made in any order.

use std::collections::BTreeMap;

use lopdf::{Dictionary, Document, Object, ObjectId, StringFormat, dictionary};
use printpdf::ToUnicodeCMap;
use sha2::{Digest, Sha256};

use super::font::Subset;
use super::pdf_file::compressed;
use crate::drawing::{Face, Weight};

/// Stem widths in thousandths of the em, regular and bold. The face does not state them; readers
/// use them only to imitate a font that is missing, which an embedded one never is.
const STEM_WIDTHS: (i64, i64) = (80, 140);

/// "Symbolic" (ISO 32000-1, table 123): the font brings its own encoding.
const SYMBOLIC: i64 = 1 << 2;

/// Name under which pages ask for the font of a weight.
pub(super) const fn resource_name(weight: Weight) -> &'static str {
    match weight {
        Weight::Regular => "Regular",
        Weight::Bold => "Bold",
    }
}

/// The fonts of a document, each with the characters that its pages have used so far.
#[derive(Default)]
pub(super) struct PdfFonts {
    regular: Characters,
    bold: Characters,
}

/// Characters with their codes.
#[derive(Default)]
struct Characters {
    codes: BTreeMap<char, u16>,
    in_order: Vec<char>,
}

impl Characters {
    fn learn(&mut self, character: char) {
        self.codes.entry(character).or_insert_with(|| {
            self.in_order.push(character);
            u16::try_from(self.in_order.len()).unwrap_or(0)
        });
    }
}

impl PdfFonts {
    /// Gives codes to the characters of a text that have none.
    pub fn learn(&mut self, weight: Weight, text: &str) {
        let characters = match weight {
            Weight::Regular => &mut self.regular,
            Weight::Bold => &mut self.bold,
        };
        text.chars()
            .for_each(|character| characters.learn(character));
    }

    /// A text that was learned as the bytes of a PDF string in the font of a weight: two bytes to a character.
    pub fn encode(&self, weight: Weight, text: &str) -> Vec<u8> {
        let Characters { codes, .. } = match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        };
        let code = |character| codes.get(&character).copied().unwrap_or(0);
        text.chars()
            .flat_map(|character| code(character).to_be_bytes())
            .collect()
    }

    /// Adds the fonts, and gives back the font dictionary of all pages.
    pub fn complete(self, document: &mut Document) -> Dictionary {
        let mut fonts = Dictionary::new();
        for (weight, characters) in [(Weight::Regular, self.regular), (Weight::Bold, self.bold)] {
            if let Some(subset) = Subset::of(weight, characters.in_order) {
                fonts.set(resource_name(weight), add_font(document, weight, &subset));
            }
        }
        fonts
    }
}

fn add_font(document: &mut Document, weight: Weight, subset: &Subset) -> ObjectId {
    let name = font_name(weight, &subset.data);
    let descriptor = add_descriptor(document, weight, subset, &name);
    let map = document.add_object(compressed(&glyph_map(subset), Dictionary::new()));
    let text = |text: &str| Object::String(text.into(), StringFormat::Literal);
    // Codes are their own identifiers (ISO 32000-1, 9.7.5.2).
    let identity = dictionary! { "Registry" => text("Adobe"), "Ordering" => text("Identity"), "Supplement" => 0 };
    let descendant = document.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "CIDFontType2",
        "BaseFont" => name.as_str(),
        "CIDSystemInfo" => identity,
        "FontDescriptor" => descriptor,
        "W" => vec![1.into(), Object::Array(widths(weight, subset))],
        "CIDToGIDMap" => map,
    });
    let unicode = unicode_map(weight, &subset.characters);
    let unicode = document.add_object(compressed(unicode.as_bytes(), Dictionary::new()));
    document.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "Type0",
        "BaseFont" => name.as_str(),
        "Encoding" => "Identity-H",
        "DescendantFonts" => vec![descendant.into()],
        "ToUnicode" => unicode,
    })
}

fn add_descriptor(
    document: &mut Document,
    weight: Weight,
    subset: &Subset,
    name: &str,
) -> ObjectId {
    let face = Face::of(weight);
    let parsed = ttf_parser::Face::parse(&subset.data, 0).expect("the subset was just built");
    let thousandths =
        |units: i16| (f32::from(units) * 1000.0 / f32::from(parsed.units_per_em())).round();
    let bounds = parsed.global_bounding_box();
    let bounds = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max];
    let length = i64::try_from(subset.data.len()).expect("a subset is far smaller than 2 GiB");
    let data = document.add_object(compressed(
        &subset.data,
        dictionary! { "Length1" => length },
    ));
    document.add_object(dictionary! {
        "Type" => "FontDescriptor",
        "FontName" => name,
        "Flags" => SYMBOLIC,
        "FontBBox" => bounds.map(|units| thousandths(units).into()).to_vec(),
        "ItalicAngle" => 0,
        "Ascent" => thousandths(parsed.ascender()),
        "Descent" => thousandths(parsed.descender()),
        "CapHeight" => (face.cap_height * 1000.0).round(),
        "StemV" => if weight == Weight::Bold { STEM_WIDTHS.1 } else { STEM_WIDTHS.0 },
        "FontFile2" => data,
    })
}

/// PostScript name with the tag of six capitals that marks a subset (ISO 32000-1, 9.6.4), taken
/// from a hash so that the same glyphs always bear the same tag.
fn font_name(weight: Weight, data: &[u8]) -> String {
    let tag: String = Sha256::digest(data)
        .iter()
        .take(6)
        .map(|byte| char::from(b'A' + byte % 26))
        .collect();
    let style = if weight == Weight::Bold { "-Bold" } else { "" };
    format!("{tag}+DejaVuSansCondensed{style}")
}

/// Glyph index of each code, two bytes each, from code 0.
fn glyph_map(subset: &Subset) -> Vec<u8> {
    std::iter::once(&0)
        .chain(&subset.glyphs)
        .flat_map(|glyph| glyph.to_be_bytes())
        .collect()
}

/// Widths in thousandths of the em for the codes from 1. They are not whole numbers, so that
/// readers advance by exactly what the sheets measured.
fn widths(weight: Weight, subset: &Subset) -> Vec<Object> {
    let face = Face::of(weight);
    let widths = subset
        .characters
        .iter()
        .map(|&character| face.advance(face.glyph(character)) * 1000.0);
    widths.map(Object::from).collect()
}

/// The ToUnicode map (ISO 32000-1, 9.10.3).
fn unicode_map(weight: Weight, characters: &[char]) -> String {
    let mappings = (1..)
        .zip(characters)
        .map(|(code, &character)| (code, vec![u32::from(character)]))
        .collect();
    ToUnicodeCMap { mappings }.to_cmap_string(resource_name(weight))
}
