//! Drawings as the pages of a PDF.

use std::io::Write;

use lopdf::{
    Bookmark, Dictionary, Document, Object, ObjectId, StringFormat, dictionary, text_string,
};

use super::OutputError;
use super::pdf_file::{compressed, empty, save};
use super::pdf_font::PdfFonts;
use super::pdf_layers::{PdfLayer, PdfLayers};
use super::pdf_page::{layers_of, made, points, resource};
use crate::{
    drawing::{Drawing, Item},
    paper::LONGEST_PAGE_UNITS,
};

/// Smallest and largest side of a plain page in points (ISO 32000, page limits).
const PAGE_LIMITS: (f32, f32) = (3.0, LONGEST_PAGE_UNITS as f32);

/// Points in a page's unit, where nothing is said of it, and on a page too large for that.
const PLAIN_UNIT: f64 = 1.0;
const LARGE_UNIT: f64 = 10.0;

/// How a reader sets a bookmark's title.
const BLACK: [f32; 3] = [0.0; 3];
const UPRIGHT: u32 = 0;

/// What a PDF says about itself.
#[derive(Clone, Debug, Default)]
pub struct DocumentInfo {
    /// Title, shown in the reader's window.
    pub title: String,
    /// Subject; empty for none.
    pub subject: String,
    /// Day on which the document was made, as in `2026-03-02` (ISO 8601). No other clock is read:
    /// without it the document bears no date.
    pub date: Option<String>,
    /// Name of the spot colour of [`Layer::Cut`](crate::drawing::Layer::Cut); without it the layer's
    /// own name.
    pub spot: Option<&'static str>,
}

/// Writes one page per drawing, each exactly as large as its drawing and to be printed at full scale, as
/// [`PdfWriter`] does.
///
/// # Errors
/// No pages at all, a page outside 3 to 14 400 points (1.06 to 5080 mm), a coordinate that is not
/// finite, or a date of another form.
pub fn pdf(pages: &[Drawing], info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    write(pages, info, PLAIN_UNIT)
}

/// Writes one drawing on a page of its own size, however large. Beyond 5080 mm the page's unit is ten points
/// (`UserUnit`, ISO 32000): readers that ignore it show the page at a tenth of its size, which nobody takes for
/// the real one.
///
/// # Errors
/// As [`pdf`], but for a page up to 50.8 m.
pub fn large_pdf(page: &Drawing, info: &DocumentInfo) -> Result<Vec<u8>, OutputError> {
    let unit = if fits(page, PLAIN_UNIT) {
        PLAIN_UNIT
    } else {
        LARGE_UNIT
    };
    write(std::slice::from_ref(page), info, unit)
}

/// Writes pages on which one unit is `unit` points.
fn write(pages: &[Drawing], info: &DocumentInfo, unit: f64) -> Result<Vec<u8>, OutputError> {
    let mut writer = PdfWriter::with_unit(Vec::new(), info, unit)?;
    pages.iter().try_for_each(|page| writer.add(page))?;
    writer.finish()
}

/// A PDF that is made page by page: of a page only its compressed content is kept until the end, when all is written.
///
/// Strokes on the cutter's layers are in spot colours (`Separation`, ISO 32000-1, 8.6.6.4) that a
/// cutter's software finds by name. Beside printed layers the cutter's are hidden until a reader
/// switches them on, so that a plain print does not show them.
///
/// Every page has a bookmark with the drawing's title, and every layer that is drawn on is an
/// optional-content group named as [`Layer::name`](crate::drawing::Layer::name). The same input
/// gives the same bytes.
pub struct PdfWriter<'i, W> {
    out: W,
    info: &'i DocumentInfo,
    unit: f64,
    document: Document,
    fonts: PdfFonts,
    layers: PdfLayers,
    tree: ObjectId,
    font_dictionary: ObjectId,
    information: ObjectId,
    pages: Vec<Entry>,
}

/// A page that has been made.
struct Entry {
    id: ObjectId,
    title: String,
}

impl<'i, W: Write> PdfWriter<'i, W> {
    /// Begins a document.
    ///
    /// # Errors
    /// A date of another form than `2026-03-02`.
    pub fn new(out: W, info: &'i DocumentInfo) -> Result<Self, OutputError> {
        Self::with_unit(out, info, PLAIN_UNIT)
    }

    fn with_unit(out: W, info: &'i DocumentInfo, unit: f64) -> Result<Self, OutputError> {
        let mut document = empty();
        let (tree, font_dictionary) = (document.new_object_id(), document.new_object_id());
        let information = document.add_object(information(info)?);
        let (fonts, layers) = (PdfFonts::default(), PdfLayers::default());
        Ok(Self {
            out,
            info,
            unit,
            document,
            fonts,
            layers,
            tree,
            font_dictionary,
            information,
            pages: Vec::new(),
        })
    }

    /// Writes a page after all others.
    ///
    /// # Errors
    /// A page outside 3 to 14 400 points (1.06 to 5080 mm), or a coordinate that is not finite.
    pub fn add(&mut self, drawing: &Drawing) -> Result<(), OutputError> {
        self.insert(self.pages.len(), drawing)
    }

    /// Writes a page that readers find after `before` others.
    ///
    /// # Errors
    /// As [`add`](Self::add).
    ///
    /// # Panics
    /// When there are fewer than `before` pages.
    pub fn insert(&mut self, before: usize, drawing: &Drawing) -> Result<(), OutputError> {
        check(drawing, self.unit)?;
        let (mut page, content) = made(drawing, &mut self.fonts, self.unit);
        page.set("Parent", self.tree);
        page.set(
            "Contents",
            self.document
                .add_object(compressed(&content, Dictionary::new())),
        );
        page.set("Resources", self.resources(drawing));
        if self.unit != PLAIN_UNIT {
            page.set("UserUnit", self.unit);
        }
        let id = self.document.add_object(page);
        let title = if drawing.title.is_empty() {
            (before + 1).to_string()
        } else {
            drawing.title.clone()
        };
        self.pages.insert(before, Entry { id, title });
        Ok(())
    }

    /// What a page's content names: the fonts of all pages, and the layers and colours that it uses itself.
    fn resources(&mut self, drawing: &Drawing) -> Dictionary {
        let layers: Vec<PdfLayer> = layers_of(drawing)
            .map(|layer| self.layers.of(&mut self.document, layer))
            .collect();
        let groups: Dictionary = layers
            .iter()
            .map(|used| (resource(used.layer), used.group.into()))
            .collect();
        let spots: Dictionary = layers
            .iter()
            .filter_map(|used| Some((resource(used.layer), used.spot?.into())))
            .collect();
        let mut resources = dictionary! { "Font" => self.font_dictionary, "Properties" => groups };
        if !spots.is_empty() {
            resources.set("ColorSpace", spots);
        }
        resources
    }

    /// How many pages there are so far.
    #[must_use]
    pub fn pages(&self) -> usize {
        self.pages.len()
    }

    /// Ends the document and gives back what it was written into.
    ///
    /// # Errors
    /// No pages at all, or whatever the file refuses.
    pub fn finish(mut self) -> Result<W, OutputError> {
        if self.pages.is_empty() {
            return Err(OutputError::NoPages);
        }
        let fonts = self.fonts.complete(&mut self.document);
        self.document.set_object(self.font_dictionary, fonts);
        self.layers.complete(&mut self.document, self.info.spot);
        let count =
            i64::try_from(self.pages.len()).expect("a document has far fewer than 2⁶³ pages");
        let kids: Vec<Object> = self.pages.iter().map(|page| page.id.into()).collect();
        self.document.set_object(
            self.tree,
            dictionary! { "Type" => "Pages", "Kids" => kids, "Count" => count },
        );
        for Entry { id, title } in self.pages {
            self.document
                .add_bookmark(Bookmark::new(title, BLACK, UPRIGHT, id), None);
        }
        let bookmarks = self
            .document
            .build_outline()
            .expect("every page has a bookmark");
        let mut catalog = dictionary! {
            "Type" => "Catalog",
            "Pages" => self.tree,
            "Outlines" => bookmarks,
            "PageMode" => "UseOutlines",
            "PageLayout" => "SinglePage",
            "ViewerPreferences" => preferences(),
        };
        if let Some(layers) = self.layers.properties() {
            catalog.set("OCProperties", layers);
        }
        let catalog = self.document.add_object(catalog);
        save(self.document, catalog, self.information, self.out)
    }
}

/// Full scale, from the tray of the paper's size, on one side (ISO 32000-1, 12.2).
fn preferences() -> Dictionary {
    dictionary! {
        "PrintScaling" => "None",
        "Enforce" => vec!["PrintScaling".into()],
        "PickTrayByPDFSize" => true,
        "Duplex" => "Simplex",
        "DisplayDocTitle" => true,
    }
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
        information.set(
            "CreationDate",
            Object::String(format!("D:{day}000000Z").into(), StringFormat::Literal),
        );
    }
    Ok(information)
}

/// `2026-03-02` as `20260302`; `None` for anything else.
fn compact_day(date: &str) -> Option<String> {
    let parts: Vec<&str> = date.split('-').collect();
    let [year, month, day] = parts.as_slice() else {
        return None;
    };
    let number = |text: &str, digits: usize| {
        (text.len() == digits && text.bytes().all(|byte| byte.is_ascii_digit()))
            .then(|| text.parse::<u32>().ok())?
    };
    number(year, 4)?;
    let fits = (1..=12).contains(&number(month, 2)?) && (1..=31).contains(&number(day, 2)?);
    fits.then(|| parts.concat())
}

fn check(drawing: &Drawing, unit: f64) -> Result<(), OutputError> {
    let finite = drawing.items.iter().all(|item| match item {
        Item::Path(path) => {
            path.outline.is_finite() && path.stroke.is_none_or(|stroke| stroke.width.is_finite())
        }
        Item::Text(text) => text.at.is_finite() && text.height.is_finite() && text.turn.is_finite(),
    });
    if !(finite && drawing.width.is_finite() && drawing.height.is_finite()) {
        return Err(OutputError::NotFinite {
            title: drawing.title.clone(),
        });
    }
    if fits(drawing, unit) {
        Ok(())
    } else {
        Err(OutputError::PageSize {
            title: drawing.title.clone(),
            width: drawing.width,
            height: drawing.height,
        })
    }
}

/// Judged as written: 5080 mm come out a rounding error above the limit.
fn fits(drawing: &Drawing, unit: f64) -> bool {
    [drawing.width, drawing.height]
        .iter()
        .all(|mm| (PAGE_LIMITS.0..=PAGE_LIMITS.1).contains(&points(mm / unit)))
}

#[cfg(test)]
mod tests;
