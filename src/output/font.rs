//! The parts of a face that a file needs: only the glyphs that are drawn, or the whole face
//! without its shaping rules.
//!
//! Sheets measure text as the sum of its glyphs' advances. Ligatures and kerning would break that
//! sum, and not every reader can be told to leave them alone, so the faces that SVG readers get
//! carry no shaping tables at all.
//!
//! DejaVu Sans Condensed, two weights. A PDF's fonts are subset when its pages are known, with a
//! `ToUnicode` of one code to a character; the SVG carries a subset with a rebuilt `cmap` as
//! `@font-face`, and `textLength` on each text for readers that ignore web fonts.

use std::collections::BTreeSet;

use subsetter::GlyphRemapper;
use write_fonts::FontBuilder;
use write_fonts::read::FontRef;
use write_fonts::tables::cmap::Cmap;
use write_fonts::types::{GlyphId, Tag};

use crate::drawing::{Drawing, Face, Item, Weight};

/// Tables that an SVG reader needs from the whole face: those that hold outlines, metrics, names
/// and the mapping from characters to glyphs. Left out are GSUB, GPOS and kern.
const UNSHAPED_TABLES: [&[u8; 4]; 14] = [
    b"OS/2", b"cmap", b"cvt ", b"fpgm", b"gasp", b"glyf", b"head", b"hhea", b"hmtx", b"loca",
    b"maxp", b"name", b"post", b"prep",
];

/// A face reduced to the glyphs of some characters.
pub(super) struct Subset {
    /// TrueType file without a character map.
    pub data: Vec<u8>,
    /// The characters in the order in which they were given.
    pub characters: Vec<char>,
    /// Glyph index within `data` of each of `characters`.
    pub glyphs: Vec<u16>,
}

impl Subset {
    /// Reduces the face of a weight to `characters`, each given once; `None` when there are none.
    pub fn of(weight: Weight, characters: Vec<char>) -> Option<Self> {
        if characters.is_empty() {
            return None;
        }
        let face = Face::of(weight);
        let mut remapper = GlyphRemapper::new();
        let glyphs = characters
            .iter()
            .map(|&character| remapper.remap(face.glyph(character)))
            .collect();
        let data = subsetter::subset(face.data, 0, &remapper)
            .expect("every glyph of the face compiled into the program can be taken out of it");
        Some(Self {
            data,
            characters,
            glyphs,
        })
    }

    /// The subset as a file of its own that a browser accepts: with a character map and the
    /// general metrics, which the subset for PDF leaves out.
    pub fn standalone(&self, weight: Weight) -> Vec<u8> {
        // Characters that the face lacks share glyph 0, which a character map must not name.
        let mapped = self
            .characters
            .iter()
            .zip(&self.glyphs)
            .filter(|&(_, &glyph)| glyph != 0);
        let map = Cmap::from_mappings(
            mapped.map(|(&character, &glyph)| (character, GlyphId::new(glyph.into()))),
        )
        .expect("each character is mapped once");
        let subset = FontRef::new(&self.data).expect("the subset was just built");
        let mut builder = FontBuilder::new();
        builder
            .add_table(&map)
            .expect("a character map of a subset is far below the format's limits");
        copy_tables(&mut builder, &whole(weight), &[b"OS/2"]);
        builder.copy_missing_tables(subset);
        builder.build()
    }
}

/// The whole face of a weight without ligatures and kerning, as a TrueType file.
pub(super) fn unshaped(weight: Weight) -> Vec<u8> {
    let mut builder = FontBuilder::new();
    copy_tables(&mut builder, &whole(weight), &UNSHAPED_TABLES);
    builder.build()
}

/// The characters that a drawing sets in a weight, in ascending order.
pub(super) fn characters_in(drawing: &Drawing, weight: Weight) -> Vec<char> {
    let texts = drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) if text.weight == weight => Some(&text.content),
        _ => None,
    });
    let characters: BTreeSet<char> = texts.flat_map(|content| content.chars()).collect();
    characters.into_iter().collect()
}

fn whole(weight: Weight) -> FontRef<'static> {
    FontRef::new(Face::of(weight).data).expect("the face compiled into the program is well formed")
}

fn copy_tables(builder: &mut FontBuilder<'_>, font: &FontRef<'static>, tags: &[&[u8; 4]]) {
    for &tag in tags {
        let tag = Tag::new(tag);
        if let Some(table) = font.table_data(tag) {
            builder.add_raw(tag, table.as_bytes().to_vec());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_subset_is_a_small_part_of_the_face() {
        let subset = Subset::of(Weight::Regular, "1R 2450m".chars().collect()).unwrap();
        assert!(subset.data.len() < 20_000, "{} bytes", subset.data.len());
    }

    #[test]
    fn a_standalone_subset_maps_its_characters_to_glyphs_of_unchanged_width() {
        let subset = Subset::of(Weight::Bold, "aÄ±☐".chars().collect()).unwrap();
        let file = subset.standalone(Weight::Bold);
        let parsed = ttf_parser::Face::parse(&file, 0).unwrap();
        let face = Face::of(Weight::Bold);
        for character in "aÄ±☐".chars() {
            let glyph = parsed.glyph_index(character).unwrap();
            let advance = f64::from(parsed.glyph_hor_advance(glyph).unwrap())
                / f64::from(parsed.units_per_em());
            assert!(
                (advance - face.advance(face.glyph(character))).abs() < 1e-12,
                "{character}"
            );
        }
        assert_eq!(parsed.glyph_index('b'), None);
    }

    #[test]
    fn an_unshaped_face_keeps_every_character_and_loses_its_shaping_tables() {
        let file = unshaped(Weight::Regular);
        let parsed = ttf_parser::Face::parse(&file, 0).unwrap();
        assert!("Aé⌀☐→".chars().all(|c| parsed.glyph_index(c).is_some()));
        assert!(
            parsed.tables().gsub.is_none()
                && parsed.tables().gpos.is_none()
                && parsed.tables().kern.is_none()
        );
    }
}
