//! Layers as optional content (ISO 32000-1, 8.11), and the spot colours of the cutter's layers.
//!
//! Pages name a layer through `printpdf`; its own groups claim another creator and its spot colours are plain CMYK, so
//! the objects behind the names are made here.
//!
//! Spot colours are our own plain words. Cutter's layers are stroked in `Separation` in every PDF,
//! and are off by default (`/OFF`) in one that has printed layers.

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary, text_string};

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
    pub group: ObjectId,
    /// Its colour space, where it is the cutter's.
    pub spot: Option<ObjectId>,
}

impl PdfLayers {
    /// The layer's objects, reserved when it is first drawn on.
    pub fn of(&mut self, document: &mut Document, layer: Layer) -> PdfLayer {
        if let Some(known) = self.used.iter().find(|known| known.layer == layer) {
            return *known;
        }
        let spot = layer.is_for_cutter().then(|| document.new_object_id());
        let new = PdfLayer {
            layer,
            group: document.new_object_id(),
            spot,
        };
        self.used.push(new);
        new
    }

    /// Adds what was reserved: a group for each layer, and for the cutter's a `Separation` with its name and what
    /// readers show in its place, magenta for cuts and cyan for scores. `cut` is the name of the colour that is cut.
    pub fn complete(&mut self, document: &mut Document, cut: Option<&'static str>) {
        self.used
            .sort_by_key(|used| Layer::ALL.iter().position(|layer| *layer == used.layer));
        for PdfLayer { layer, group, spot } in &self.used {
            document.set_object(
                *group,
                dictionary! { "Type" => "OCG", "Name" => text_string(layer.name()), "Intent" => "View" },
            );
            let Some(spot) = spot else { continue };
            document.set_object(
                *spot,
                match layer {
                    Layer::Cut => separation(cut.unwrap_or(layer.name()), [0, 1, 0, 0]),
                    _ => separation(Spot::SCORE, [1, 0, 0, 0]),
                },
            );
        }
    }

    /// What the catalog says of the layers, in drawing order; `None` without any. Beside printed layers the cutter's
    /// are hidden.
    pub fn properties(&self) -> Option<Dictionary> {
        if self.used.is_empty() {
            return None;
        }
        let groups = |used: &[&PdfLayer]| -> Vec<Object> {
            used.iter().map(|used| used.group.into()).collect()
        };
        let all: Vec<&PdfLayer> = self.used.iter().collect();
        let (cutter, printed): (Vec<&PdfLayer>, Vec<&PdfLayer>) = self
            .used
            .iter()
            .partition(|used| used.layer.is_for_cutter());
        let mut default = dictionary! {
            "Name" => text_string("Layers"),
            "BaseState" => "ON",
            "Order" => groups(&all),
        };
        if !cutter.is_empty() && !printed.is_empty() {
            default.set("OFF", groups(&cutter));
        }
        Some(dictionary! { "OCGs" => groups(&all), "D" => default })
    }
}

/// A spot colour (ISO 32000-1, 8.6.6.4) that readers without it show in `cmyk`, straight from white to the full tint:
/// an exponential function of exponent 1.
fn separation(name: &str, cmyk: [i64; 4]) -> Object {
    let numbers =
        |values: &[i64]| -> Vec<Object> { values.iter().map(|&value| value.into()).collect() };
    let tint = dictionary! {
        "FunctionType" => 2,
        "Domain" => numbers(&[0, 1]),
        "C0" => numbers(&[0; 4]),
        "C1" => numbers(&cmyk),
        "N" => 1,
    };
    Object::Array(vec![
        "Separation".into(),
        name.into(),
        "DeviceCMYK".into(),
        tint.into(),
    ])
}
