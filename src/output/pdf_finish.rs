//! The finishing pass over a PDF: everything that decides how it is printed and what it says of
//! itself.

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary, text_string};
use sha2::{Digest, Sha256};

use super::OutputError;
use super::pdf::DocumentInfo;
use super::pdf_font::{PdfFonts, hexadecimal};
use super::pdf_page::{points, uses};
use crate::{
    drawing::{Drawing, Layer},
    stencil::Spot,
};

/// `PickTrayByPDFSize` and `Duplex` came with 1.7; printpdf writes 1.3.
const PDF_VERSION: &str = "1.7";

/// Bytes of a file identifier (ISO 32000-1, 14.4 recommends an MD5, which has as many).
const IDENTIFIER_BYTES: usize = 16;

/// Finishes a laid-out document and returns its bytes. `pages` are the drawings it was made from, a
/// unit of theirs is `unit` points.
pub(super) fn finish(
    mut document: Document,
    pages: &[Drawing],
    unit: f64,
    fonts: &PdfFonts,
    info: &DocumentInfo,
) -> Result<Vec<u8>, OutputError> {
    PDF_VERSION.clone_into(&mut document.version);
    let groups = add_groups(&mut document, pages);
    let fonts = fonts.add_to(&mut document);
    let spots = add_spots(&mut document, &groups, info);
    finish_pages(&mut document, pages, unit, &groups, fonts, &spots).map_err(failed)?;
    finish_catalog(&mut document, &groups).map_err(failed)?;
    let information = document.add_object(information(info)?);
    document.trailer.set("Info", information);
    document.trailer.remove(b"ID");
    document.prune_objects();
    document.renumber_objects();
    document.compress();
    identify(&mut document)?;
    save(&mut document)
}

/// One optional-content group for each layer that any page uses, in drawing order.
fn add_groups(document: &mut Document, pages: &[Drawing]) -> Vec<(Layer, ObjectId)> {
    let used = Layer::ALL.into_iter().filter(|&layer| pages.iter().any(|page| uses(page, layer)));
    used.map(|layer| {
        let group = dictionary! { "Type" => "OCG", "Name" => text_string(layer.name()), "Intent" => "View" };
        (layer, document.add_object(group))
    })
    .collect()
}

/// The spot colours of the cutter's layers in use: a `Separation` with its name, and what readers
/// show in its place, magenta for cuts and cyan for scores.
fn add_spots(document: &mut Document, groups: &[(Layer, ObjectId)], info: &DocumentInfo) -> Vec<(Layer, ObjectId)> {
    let cutter = groups.iter().map(|(layer, _)| *layer).filter(|layer| layer.is_for_cutter());
    let mut spot = |layer: Layer| {
        let (name, shown) = match layer {
            Layer::Cut => (info.spot.unwrap_or(layer.name()), [0, 1, 0, 0]),
            _ => (Spot::SCORE, [1, 0, 0, 0]),
        };
        // An exponential function of exponent 1: straight from white to the full tint.
        let tint = dictionary! {
            "FunctionType" => 2,
            "Domain" => vec![0.into(), 1.into()],
            "C0" => vec![0.into(), 0.into(), 0.into(), 0.into()],
            "C1" => shown.map(Object::from).to_vec(),
            "N" => 1,
        };
        let space: Vec<Object> = vec!["Separation".into(), name.into(), "DeviceCMYK".into(), tint.into()];
        (layer, document.add_object(space))
    };
    cutter.map(&mut spot).collect()
}

fn finish_pages(
    document: &mut Document,
    pages: &[Drawing],
    unit: f64,
    groups: &[(Layer, ObjectId)],
    fonts: Dictionary,
    spots: &[(Layer, ObjectId)],
) -> lopdf::Result<()> {
    let fonts = document.add_object(fonts);
    let page_ids: Vec<ObjectId> = document.page_iter().collect();
    for (id, drawing) in page_ids.into_iter().zip(pages) {
        let mut properties = Dictionary::new();
        for (layer, group) in groups.iter().filter(|(layer, _)| uses(drawing, *layer)) {
            properties.set(layer.name(), *group);
        }
        let mut resources = dictionary! { "Font" => fonts, "Properties" => properties };
        let mut colours = Dictionary::new();
        for (layer, spot) in spots.iter().filter(|(layer, _)| uses(drawing, *layer)) {
            colours.set(layer.name(), *spot);
        }
        if !colours.is_empty() {
            resources.set("ColorSpace", colours);
        }
        let [width, height] = [drawing.width, drawing.height].map(|mm| points(mm / unit).into());
        let area = vec![0.into(), 0.into(), width, height];
        let page = document.get_dictionary_mut(id)?;
        if unit != 1.0 {
            page.set("UserUnit", unit as f32);
        }
        for name in ["MediaBox", "CropBox", "TrimBox"] {
            page.set(name, area.clone());
        }
        page.set("Resources", resources);
        page.remove(b"Annots");
    }
    Ok(())
}

fn finish_catalog(document: &mut Document, groups: &[(Layer, ObjectId)]) -> lopdf::Result<()> {
    let references: Vec<Object> = groups.iter().map(|&(_, id)| id.into()).collect();
    let catalog = document.catalog_mut()?;
    catalog.set("PageMode", "UseOutlines");
    catalog.set("PageLayout", "SinglePage");
    catalog.set(
        "ViewerPreferences",
        dictionary! {
            "PrintScaling" => "None",
            "Enforce" => vec!["PrintScaling".into()],
            "PickTrayByPDFSize" => true,
            "Duplex" => "Simplex",
            "DisplayDocTitle" => true,
        },
    );
    if !references.is_empty() {
        let mut default = dictionary! {
            "Name" => text_string("Layers"),
            "BaseState" => "ON",
            "Order" => references.clone(),
        };
        let (cutter, printed): (Vec<_>, Vec<_>) = groups.iter().partition(|(layer, _)| layer.is_for_cutter());
        if !cutter.is_empty() && !printed.is_empty() {
            default.set("OFF", cutter.iter().map(|(_, id)| Object::from(*id)).collect::<Vec<_>>());
        }
        catalog.set("OCProperties", dictionary! { "OCGs" => references, "D" => default });
    }
    Ok(())
}

fn information(info: &DocumentInfo) -> Result<Dictionary, OutputError> {
    let program = concat!("baystencil ", env!("CARGO_PKG_VERSION"));
    let mut information = dictionary! {
        "Title" => text_string(&info.title),
        "Creator" => text_string(program),
        "Producer" => text_string(program),
    };
    if !info.subject.is_empty() {
        information.set("Subject", text_string(&info.subject));
    }
    if let Some(date) = &info.date {
        let day = compact_day(date).ok_or_else(|| OutputError::Date { text: date.clone() })?;
        information.set("CreationDate", Object::string_literal(format!("D:{day}000000Z")));
    }
    Ok(information)
}

/// `2026-03-02` as `20260302`; `None` for anything else.
fn compact_day(date: &str) -> Option<String> {
    let parts: Vec<&str> = date.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return None };
    let number = |text: &str, digits: usize| {
        (text.len() == digits && text.bytes().all(|byte| byte.is_ascii_digit())).then(|| text.parse::<u32>().ok())?
    };
    number(year, 4)?;
    let fits = (1..=12).contains(&number(month, 2)?) && (1..=31).contains(&number(day, 2)?);
    fits.then(|| parts.concat())
}

/// Sets the file identifier to a hash of the document as it stands.
fn identify(document: &mut Document) -> Result<(), OutputError> {
    let digest = Sha256::digest(save(document)?);
    let identifier = hexadecimal(&digest[..IDENTIFIER_BYTES]);
    document.trailer.set("ID", vec![identifier.clone(), identifier]);
    Ok(())
}

fn save(document: &mut Document) -> Result<Vec<u8>, OutputError> {
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).map_err(|error| OutputError::Pdf { reason: error.to_string() })?;
    Ok(bytes)
}

fn failed(error: lopdf::Error) -> OutputError {
    OutputError::Pdf { reason: error.to_string() }
}
