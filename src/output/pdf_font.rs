//! The two weights as embedded PDF fonts.
//!
//! Each is a Type 0 font with Identity-H over a TrueType subset (ISO 32000-1, 9.7). A code stands for a character and
//! not for a glyph, and a `CIDToGIDMap` leads from one to the other. Two characters drawn by the same glyph, or missing
//! from the face, are therefore still told apart when text is copied. Codes count from 1 in the order in which
//! characters are first used, so that a page can be written before the next one is known.

use std::collections::BTreeMap;
use std::io::Write;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Finish as _, Name, Rect, Ref, Str};
use sha2::{Digest, Sha256};

use super::OutputError;
use super::font::Subset;
use super::pdf_file::PdfFile;
use crate::drawing::{Face, Weight};

/// Stem widths in thousandths of the em, regular and bold. The face does not state them; readers
/// use them only to imitate a font that is missing, which an embedded one never is.
const STEM_WIDTHS: (f32, f32) = (80.0, 140.0);

/// Codes are their own identifiers (ISO 32000-1, 9.7.5.2).
const IDENTITY: SystemInfo<'_> = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
const UNICODE: SystemInfo<'_> = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"UCS"), supplement: 0 };

/// Name under which pages ask for the font of a weight.
pub(super) const fn resource_name(weight: Weight) -> Name<'static> {
    match weight {
        Weight::Regular => Name(b"Regular"),
        Weight::Bold => Name(b"Bold"),
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
    fn code(&mut self, character: char) -> u16 {
        *self.codes.entry(character).or_insert_with(|| {
            self.in_order.push(character);
            u16::try_from(self.in_order.len()).unwrap_or(0)
        })
    }
}

impl PdfFonts {
    /// A text as the bytes of a PDF string in the font of a weight: two bytes to a character.
    pub fn encode(&mut self, weight: Weight, text: &str) -> Vec<u8> {
        let characters = match weight {
            Weight::Regular => &mut self.regular,
            Weight::Bold => &mut self.bold,
        };
        text.chars().flat_map(|character| characters.code(character).to_be_bytes()).collect()
    }

    /// Writes the fonts and the font dictionary of all pages, whose number was reserved.
    pub fn write<W: Write>(self, file: &mut PdfFile<W>, dictionary: Ref) -> Result<(), OutputError> {
        let mut fonts = Vec::new();
        for (weight, characters) in [(Weight::Regular, self.regular), (Weight::Bold, self.bold)] {
            if let Some(subset) = Subset::of(weight, characters.in_order) {
                fonts.push((weight, add_font(file, weight, &subset)?));
            }
        }
        file.write(dictionary, |chunk| {
            chunk.indirect(dictionary).dict().pairs(fonts.iter().map(|(weight, font)| (resource_name(*weight), *font)));
        })
    }
}

fn add_font<W: Write>(file: &mut PdfFile<W>, weight: Weight, subset: &Subset) -> Result<Ref, OutputError> {
    let name = font_name(weight, &subset.data);
    let name = Name(name.as_bytes());
    let descriptor = add_descriptor(file, weight, subset, name)?;
    let map = file.add_stream(&glyph_map(subset), |_| ())?;
    let descendant = file.add(|chunk, id| {
        let mut font = chunk.cid_font(id);
        font.subtype(CidFontType::Type2).base_font(name).system_info(IDENTITY).font_descriptor(descriptor);
        font.widths().consecutive(1, widths(weight, subset));
        font.cid_to_gid_map_stream(map);
    })?;
    let unicode = file.add_stream(&unicode_map(&subset.characters), |_| ())?;
    file.add(|chunk, id| {
        let mut font = chunk.type0_font(id);
        font.base_font(name).encoding_predefined(Name(b"Identity-H")).descendant_font(descendant).to_unicode(unicode);
    })
}

fn add_descriptor<W: Write>(
    file: &mut PdfFile<W>,
    weight: Weight,
    subset: &Subset,
    name: Name<'_>,
) -> Result<Ref, OutputError> {
    let face = Face::of(weight);
    let parsed = ttf_parser::Face::parse(&subset.data, 0).expect("the subset was just built");
    let thousandths = |units: i16| (f32::from(units) * 1000.0 / f32::from(parsed.units_per_em())).round();
    let bounds = parsed.global_bounding_box();
    let [x0, y0, x1, y1] = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max].map(thousandths);
    let length = i32::try_from(subset.data.len()).expect("a subset is far smaller than 2 GiB");
    let data = file.add_stream(&subset.data, |stream| {
        stream.pair(Name(b"Length1"), length);
    })?;
    file.add(|chunk, id| {
        let mut descriptor = chunk.font_descriptor(id);
        // "Symbolic" (ISO 32000-1, table 123): the font brings its own encoding.
        descriptor.name(name).flags(FontFlags::SYMBOLIC).bbox(Rect::new(x0, y0, x1, y1)).italic_angle(0.0);
        descriptor.ascent(thousandths(parsed.ascender())).descent(thousandths(parsed.descender()));
        descriptor.cap_height((face.cap_height * 1000.0).round() as f32);
        descriptor.stem_v(if weight == Weight::Bold { STEM_WIDTHS.1 } else { STEM_WIDTHS.0 });
        descriptor.font_file2(data).finish();
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
fn widths(weight: Weight, subset: &Subset) -> impl Iterator<Item = f32> {
    let face = Face::of(weight);
    subset.characters.iter().map(move |&character| (face.advance(face.glyph(character)) * 1000.0) as f32)
}

/// The ToUnicode map (ISO 32000-1, 9.10.3).
fn unicode_map(characters: &[char]) -> Vec<u8> {
    let mut map = UnicodeCmap::<u16>::new(Name(b"Adobe-Identity-UCS"), UNICODE);
    for (code, &character) in (1..).zip(characters) {
        map.pair(code, character);
    }
    map.finish().into_vec()
}
