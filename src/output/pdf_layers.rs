//! Layers as optional content (ISO 32000-1, 8.11), and the spot colours of the cutter's layers.

use std::io::Write;

use pdf_writer::{Name, Ref, TextStr, writers::Catalog};

use super::OutputError;
use super::pdf_file::PdfFile;
use crate::{drawing::Layer, stencil::Spot};

/// The layers that pages have drawn on so far.
#[derive(Default)]
pub(super) struct PdfLayers {
    used: Vec<PdfLayer>,
}

/// A layer in a document.
#[derive(Clone, Copy)]
pub(super) struct PdfLayer {
    pub layer: Layer,
    /// Its optional-content group.
    pub group: Ref,
    /// Its colour space, where it is the cutter's.
    pub spot: Option<Ref>,
}

impl PdfLayers {
    /// The layer's objects, reserved when it is first drawn on.
    pub fn of<W: Write>(&mut self, file: &mut PdfFile<W>, layer: Layer) -> PdfLayer {
        if let Some(known) = self.used.iter().find(|known| known.layer == layer) {
            return *known;
        }
        let spot = layer.is_for_cutter().then(|| file.reserve());
        let new = PdfLayer { layer, group: file.reserve(), spot };
        self.used.push(new);
        new
    }

    /// Writes what was reserved: a group for each layer, and for the cutter's a `Separation` with its name and what
    /// readers show in its place, magenta for cuts and cyan for scores. `cut` is the name of the colour that is cut.
    pub fn write<W: Write>(&mut self, file: &mut PdfFile<W>, cut: Option<&'static str>) -> Result<(), OutputError> {
        self.used.sort_by_key(|used| Layer::ALL.iter().position(|layer| *layer == used.layer));
        for PdfLayer { layer, group, spot } in &self.used {
            file.write(*group, |chunk| {
                let mut dictionary = chunk.indirect(*group).dict();
                dictionary.pair(Name(b"Type"), Name(b"OCG"));
                dictionary.pair(Name(b"Name"), TextStr(layer.name()));
                dictionary.pair(Name(b"Intent"), Name(b"View"));
            })?;
            let Some(spot) = spot else { continue };
            let (name, shown) = match layer {
                Layer::Cut => (cut.unwrap_or(layer.name()), [0.0, 1.0, 0.0, 0.0]),
                _ => (Spot::SCORE, [1.0, 0.0, 0.0, 0.0]),
            };
            file.write(*spot, |chunk| {
                let mut separation = chunk.color_space(*spot).separation(Name(name.as_bytes()));
                separation.alternate_color_space().device_cmyk();
                // An exponential function of exponent 1: straight from white to the full tint.
                let mut tint = separation.tint_exponential();
                tint.domain([0.0, 1.0]).c0([0.0; 4]).c1(shown).n(1.0);
            })?;
        }
        Ok(())
    }

    /// Tells the catalog of the layers, in drawing order. Beside printed layers the cutter's are hidden.
    pub fn list(&self, catalog: &mut Catalog<'_>) {
        if self.used.is_empty() {
            return;
        }
        let groups = || self.used.iter().map(|used| used.group);
        let (cutter, printed): (Vec<&PdfLayer>, Vec<&PdfLayer>) =
            self.used.iter().partition(|used| used.layer.is_for_cutter());
        let mut properties = catalog.insert(Name(b"OCProperties")).dict();
        properties.insert(Name(b"OCGs")).array().items(groups());
        let mut default = properties.insert(Name(b"D")).dict();
        default.pair(Name(b"Name"), TextStr("Layers"));
        default.pair(Name(b"BaseState"), Name(b"ON"));
        default.insert(Name(b"Order")).array().items(groups());
        if !cutter.is_empty() && !printed.is_empty() {
            default.insert(Name(b"OFF")).array().items(cutter.iter().map(|used| used.group));
        }
    }
}
