//! Drawings as the pages of a PDF.
//!
//! `printpdf` 0.12.8 gives only the page (`pdf_page.rs`); `lopdf` holds the document, because of
//! what `printpdf` does to one: header 1.3, an empty `GTS_PDFXVersion`, the page mode as a string,
//! layers that claim another creator, /ID from a counter, spot colours as CMYK, whole-number widths
//! of characters, errors of writing dropped. Boxes are corner and size, which is the same from the
//! origin. Operators that it has no word for go through `Op::Unknown`: `SCN`, `Tj` in our own
//! codes, outlines of several parts. The document is written at the end, into memory or, for class
//! sets, into a file without a name ([`spool`](super::spool)), which becomes the real one when all
//! is well.
//!
//! Cost against writing the objects directly, as `pdf-writer` did: 500 exercise sheets with their
//! answers (`--kinds set-out --level 2`) take 57 MB instead of 39 and 30 % more time (4.8 s of CPU
//! for 3.7, `opt-level` 1), 3000 of all kinds (`--count 500`) 146 MB instead of 86 and 16.2 s of
//! CPU for 12.3, the demonstration kit 41 MB and no more time either way; files are 4 % smaller;
//! 187 crates are linked in place of 142.
//!
//! [`large_pdf`] writes `UserUnit` 10 and one `cm` around the content, so that widths, dashes and
//! numbers in the content stay those of the drawing.

use std::io::Write;

use lopdf::{
    Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary, text_string,
};
use rayon::prelude::*;

use super::OutputError;
use super::pdf_entry::{PdfEntry, bookmarks, link_up, page_labels};
use super::pdf_file::{compressed, empty, save};
use super::pdf_font::PdfFonts;
use super::pdf_layers::{OVERPRINT, PdfLayer, PdfLayers};
use super::pdf_page::{layers_of, learn, made, points, resource};
use crate::{
    drawing::{Drawing, Item},
    paper::LONGEST_PAGE_UNITS,
    stencil::Inks,
};

/// Smallest and largest side of a plain page in points (ISO 32000, page limits).
const PAGE_LIMITS: (f32, f32) = (3.0, LONGEST_PAGE_UNITS as f32);

/// Points in a page's unit, where nothing is said of it, and on a page too large for that.
const PLAIN_UNIT: f64 = 1.0;
const LARGE_UNIT: f64 = 10.0;

/// Pages that are drawn at a time: enough to keep many cores busy, few enough to weigh little beside what stays of all.
const BATCH: usize = 64;

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
    /// What the pages are written in.
    pub language: Language,
    /// What the cutter's layers are drawn in.
    pub inks: Inks,
}

/// What a document is written in, for readers that speak it aloud or hyphenate it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Language {
    /// British English.
    #[default]
    British,
    /// American English.
    American,
}

impl Language {
    /// That of a job: American where lengths are in inches.
    #[must_use]
    pub const fn of(inches: bool) -> Self {
        if inches {
            Self::American
        } else {
            Self::British
        }
    }

    /// Its tag after BCP 47, as the catalog's `Lang` wants it.
    const fn tag(self) -> &'static str {
        match self {
            Self::British => "en-GB",
            Self::American => "en-US",
        }
    }
}

/// Writes one page per drawing, each exactly as large as its drawing and to be printed at full scale, as
/// `PdfWriter` does.
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
    writer.add(pages)?;
    writer.finish()
}

/// A PDF that is made page by page: of a page only its compressed content is kept until the end, when all is written.
///
/// Strokes on the cutter's layers are in spot colours (`Separation`, ISO 32000-1, 8.6.6.4) that a
/// cutter's software finds by name. Beside printed layers the cutter's are hidden until a reader
/// switches them on, so that a plain print does not show them.
///
/// Every page has a bookmark with the drawing's title, and a label where drawings have numbers; links lead to the page
/// that has their target. Every layer that is drawn on is an
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
    pages: Vec<PdfEntry>,
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

    /// Writes pages after all others.
    ///
    /// # Errors
    /// A page outside 3 to 14 400 points (1.06 to 5080 mm), or a coordinate that is not finite.
    pub fn add(&mut self, drawings: &[Drawing]) -> Result<(), OutputError> {
        self.insert(self.pages.len(), drawings)
    }

    /// Writes `count` pages after all others, drawn by their index from 0 on all cores, a batch at a time.
    ///
    /// # Errors
    /// As [`add`](Self::add).
    pub fn add_drawn(
        &mut self,
        count: usize,
        draw: impl Fn(usize) -> Drawing + Sync,
    ) -> Result<(), OutputError> {
        (0..count).step_by(BATCH).try_for_each(|start| {
            let batch = start..count.min(start + BATCH);
            let drawings: Vec<Drawing> = batch.into_par_iter().map(&draw).collect();
            self.add(&drawings)
        })
    }

    /// Writes pages that readers find after `before` others. They are translated and compressed on all cores; what the
    /// document says does not depend on how many these are.
    ///
    /// # Errors
    /// As [`add`](Self::add).
    ///
    /// # Panics
    /// When there are fewer than `before` pages.
    pub fn insert(&mut self, before: usize, drawings: &[Drawing]) -> Result<(), OutputError> {
        for drawing in drawings {
            check(drawing, self.unit)?;
            learn(drawing, &mut self.fonts);
        }
        let (fonts, unit) = (&self.fonts, self.unit);
        let pages: Vec<(Dictionary, Stream)> = drawings
            .par_iter()
            .map(|drawing| {
                let (page, content) = made(drawing, fonts, unit);
                (page, compressed(&content, Dictionary::new()))
            })
            .collect();
        for ((number, drawing), page) in (before..).zip(drawings).zip(pages) {
            self.take(number, drawing, page);
        }
        Ok(())
    }

    fn take(
        &mut self,
        before: usize,
        drawing: &Drawing,
        (mut page, content): (Dictionary, Stream),
    ) {
        page.set("Parent", self.tree);
        page.set("Contents", self.document.add_object(content));
        page.set("Resources", self.resources(drawing));
        if self.unit != PLAIN_UNIT {
            page.set("UserUnit", self.unit);
        }
        let id = self.document.add_object(page);
        self.pages.insert(before, PdfEntry::of(drawing, id));
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
            let overprint = self.layers.overprint(&mut self.document);
            resources.set("ExtGState", dictionary! { OVERPRINT => overprint });
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
        self.layers.complete(&mut self.document, &self.info.inks);
        let count =
            i64::try_from(self.pages.len()).expect("a document has far fewer than 2⁶³ pages");
        let kids: Vec<Object> = self.pages.iter().map(|page| page.id.into()).collect();
        self.document.set_object(
            self.tree,
            dictionary! { "Type" => "Pages", "Kids" => kids, "Count" => count },
        );
        link_up(&mut self.document, &self.pages, self.unit);
        let outline = bookmarks(&mut self.document, &self.pages);
        let mut catalog = dictionary! {
            "Type" => "Catalog",
            "Pages" => self.tree,
            "Outlines" => outline,
            "Lang" => text_string(self.info.language.tag()),
            "PageMode" => "UseOutlines",
            "PageLayout" => "SinglePage",
            "ViewerPreferences" => preferences(),
        };
        if let Some(labels) = page_labels(&self.pages) {
            catalog.set("PageLabels", labels);
        }
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
