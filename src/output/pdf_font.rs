//! The two weights as embedded PDF fonts.
//!
//! printpdf without its text feature embeds whole faces, so the fonts are written here: a Type 0
//! font with Identity-H over a TrueType subset (ISO 32000-1, 9.7). A code stands for a character
//! and not for a glyph, and a `CIDToGIDMap` leads from one to the other. Two characters drawn by
//! the same glyph, or missing from the face, are therefore still told apart when text is copied.

use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary};
use sha2::{Digest, Sha256};

use super::font::{Subset, characters_in};
use crate::drawing::{Drawing, Face, Weight};

/// Most pairs that one `bfchar` block of a character map may hold (Adobe technical note 5014).
const PAIRS_PER_BLOCK: usize = 100;

/// Font descriptor flag "symbolic" (ISO 32000-1, table 123): the font brings its own encoding.
const SYMBOLIC: i64 = 1 << 2;

/// Stem widths in thousandths of the em, regular and bold. The face does not state them; readers
/// use them only to imitate a font that is missing, which an embedded one never is.
const STEM_WIDTHS: (i64, i64) = (80, 140);

/// Name under which pages ask for the font of a weight. printpdf reserves F1 to F14.
pub(super) const fn resource_name(weight: Weight) -> &'static str {
    match weight {
        Weight::Regular => "Regular",
        Weight::Bold => "Bold",
    }
}

/// The fonts of a document, each with the characters that its pages use.
pub(super) struct PdfFonts {
    subsets: Vec<(Weight, Subset)>,
}

impl PdfFonts {
    /// The fonts that the pages need.
    pub fn for_pages(pages: &[Drawing]) -> Self {
        let weights = [Weight::Regular, Weight::Bold].into_iter();
        let subsets =
            weights.filter_map(|weight| Some((weight, Subset::of(weight, &characters_in(pages, weight))?))).collect();
        Self { subsets }
    }

    /// A text as the bytes of a PDF string in the font of a weight: two bytes to a character.
    pub fn encode(&self, weight: Weight, text: &str) -> Vec<u8> {
        let subset = self.subsets.iter().find(|(of, _)| *of == weight).map(|(_, subset)| subset);
        let subset = subset.expect("the fonts were made for the pages that now use them");
        text.chars().flat_map(|character| code(subset, character).to_be_bytes()).collect()
    }

    /// Adds the fonts to a document and returns the font dictionary for its pages.
    pub fn add_to(&self, document: &mut Document) -> Dictionary {
        let mut fonts = Dictionary::new();
        for (weight, subset) in &self.subsets {
            fonts.set(resource_name(*weight), add_font(document, *weight, subset));
        }
        fonts
    }
}

/// Codes count from 1 in the order of the characters; 0 stays the missing character.
fn code(subset: &Subset, character: char) -> u16 {
    subset.characters.binary_search(&character).ok().and_then(|index| u16::try_from(index + 1).ok()).unwrap_or(0)
}

fn add_font(document: &mut Document, weight: Weight, subset: &Subset) -> ObjectId {
    let name = font_name(weight, &subset.data);
    let descriptor = add_descriptor(document, weight, subset, &name);
    let map = document.add_object(Stream::new(Dictionary::new(), glyph_map(subset)));
    let descendant = document.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "CIDFontType2",
        "BaseFont" => name.as_str(),
        "CIDSystemInfo" => dictionary! {
            "Registry" => Object::string_literal("Adobe"),
            "Ordering" => Object::string_literal("Identity"),
            "Supplement" => 0,
        },
        "FontDescriptor" => descriptor,
        "CIDToGIDMap" => map,
        "W" => widths(weight, subset),
    });
    let to_unicode = document.add_object(Stream::new(Dictionary::new(), unicode_map(&subset.characters)));
    document.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "Type0",
        "BaseFont" => name.as_str(),
        "Encoding" => "Identity-H",
        "DescendantFonts" => vec![descendant.into()],
        "ToUnicode" => to_unicode,
    })
}

fn add_descriptor(document: &mut Document, weight: Weight, subset: &Subset, name: &str) -> ObjectId {
    let face = Face::of(weight);
    let parsed = ttf_parser::Face::parse(face.data, 0).expect("the face compiled into the program is well formed");
    let thousandths = |units: i16| (f64::from(units) * 1000.0 / f64::from(parsed.units_per_em())).round() as i64;
    let bounds = parsed.global_bounding_box();
    let corners = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max];
    let length = i64::try_from(subset.data.len()).expect("a font is smaller than the address space");
    let file = document.add_object(Stream::new(dictionary! { "Length1" => length }, subset.data.clone()));
    document.add_object(dictionary! {
        "Type" => "FontDescriptor",
        "FontName" => name,
        "Flags" => SYMBOLIC,
        "FontBBox" => corners.map(|units| thousandths(units).into()).to_vec(),
        "ItalicAngle" => 0,
        "Ascent" => thousandths(parsed.ascender()),
        "Descent" => thousandths(parsed.descender()),
        "CapHeight" => (face.cap_height * 1000.0).round() as i64,
        "StemV" => if weight == Weight::Bold { STEM_WIDTHS.1 } else { STEM_WIDTHS.0 },
        "FontFile2" => file,
    })
}

/// PostScript name with the tag of six capitals that marks a subset (ISO 32000-1, 9.6.4), taken
/// from a hash so that the same glyphs always bear the same tag.
fn font_name(weight: Weight, data: &[u8]) -> String {
    let tag: String = Sha256::digest(data).iter().take(6).map(|byte| char::from(b'A' + byte % 26)).collect();
    let style = if weight == Weight::Bold { "-Bold" } else { "" };
    format!("{tag}+DejaVuSansCondensed{style}")
}

/// Glyph index of each code, two bytes each, from code 0.
fn glyph_map(subset: &Subset) -> Vec<u8> {
    std::iter::once(&0).chain(&subset.glyphs).flat_map(|glyph| glyph.to_be_bytes()).collect()
}

/// Widths in thousandths of the em for the codes from 1. They are not whole numbers, so that
/// readers advance by exactly what the sheets measured.
fn widths(weight: Weight, subset: &Subset) -> Vec<Object> {
    let face = Face::of(weight);
    let advance = |&character: &char| Object::Real((face.advance(face.glyph(character)) * 1000.0) as f32);
    vec![1.into(), subset.characters.iter().map(advance).collect::<Vec<_>>().into()]
}

/// The ToUnicode map (ISO 32000-1, 9.10.3).
fn unicode_map(characters: &[char]) -> Vec<u8> {
    let mut map = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
         /CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n\
         /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
         1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
    );
    let pairs: Vec<String> = (1..).zip(characters).map(|(code, c)| format!("<{code:04X}> <{}>\n", utf16(*c))).collect();
    for block in pairs.chunks(PAIRS_PER_BLOCK) {
        map.push_str(&format!("{} beginbfchar\n{}endbfchar\n", block.len(), block.concat()));
    }
    map.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    map.into_bytes()
}

fn utf16(character: char) -> String {
    character.encode_utf16(&mut [0; 2]).iter().map(|unit| format!("{unit:04X}")).collect()
}

/// A byte string as PDF writes it in hexadecimal.
pub(super) fn hexadecimal(bytes: &[u8]) -> Object {
    Object::String(bytes.to_vec(), StringFormat::Hexadecimal)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unicode_map_writes_signs_beyond_sixteen_bits_as_surrogates() {
        // U+1F4D0 is D83D DCD0 in UTF-16 (computed by the rule of RFC 2781, 2.1).
        assert_eq!(utf16('\u{1F4D0}'), "D83DDCD0");
        assert_eq!(utf16('±'), "00B1");
    }

    #[test]
    fn a_unicode_map_is_cut_into_blocks_of_at_most_a_hundred_pairs() {
        let characters: Vec<char> = ('\u{100}'..).take(250).collect();
        let map = String::from_utf8(unicode_map(&characters)).unwrap();
        assert_eq!(map.matches("100 beginbfchar").count(), 2);
        assert_eq!(map.matches("\n50 beginbfchar").count(), 1);
    }
}
