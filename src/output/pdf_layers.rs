//! Layers as optional content (ISO 32000-1, 8.11), and the spot colours of the cutter's layers.
//!
//! Pages name a layer through `printpdf`; its own groups claim another creator and its spot colours are plain CMYK, so
//! the objects behind the names are made here.
//!
//! Cutter's layers are stroked in `Separation` in every PDF,
//! and are off by default (`/OFF`) in one that has printed layers.

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary, text_string};

use crate::{
    drawing::Layer,
    stencil::{Ink, Inks},
};

/// Name under which a page asks for the graphics state of the cutter's strokes.
pub(super) const OVERPRINT: &str = "overprint";

/// The layers that pages have drawn on so far.
#[derive(Default)]
pub(super) struct PdfLayers {
    used: Vec<PdfLayer>,
    overprint: Option<ObjectId>,
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

    /// The graphics state of the cutter's strokes, made when it is first asked for: they leave standing what is printed
    /// below them (ISO 32000-1, 8.6.7).
    pub fn overprint(&mut self, document: &mut Document) -> ObjectId {
        *self.overprint.get_or_insert_with(|| {
            document.add_object(dictionary! { "Type" => "ExtGState", "OP" => true, "OPM" => 1 })
        })
    }

    /// Adds what was reserved: a group for each layer, and for the cutter's a `Separation` with its name and what
    /// readers show in its place.
    pub fn complete(&mut self, document: &mut Document, inks: &Inks) {
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
                    Layer::Cut => separation(&inks.cut),
                    _ => separation(&inks.score),
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

/// A spot colour (ISO 32000-1, 8.6.6.4) that readers without it show in its colour, straight from white to the full
/// tint: an exponential function of exponent 1. The colour is given as screens have it, because that is what a
/// cutter's software compares.
fn separation(ink: &Ink) -> Object {
    let full = ink
        .colour
        .0
        .map(|part| Object::Real(f32::from(part) / f32::from(u8::MAX)));
    let tint = dictionary! {
        "FunctionType" => 2,
        "Domain" => vec![0.into(), 1.into()],
        "C0" => vec![1.into(); 3],
        "C1" => full.to_vec(),
        "N" => 1,
    };
    Object::Array(vec![
        "Separation".into(),
        ink.spot.name().into(),
        "DeviceRGB".into(),
        tint.into(),
    ])
}
