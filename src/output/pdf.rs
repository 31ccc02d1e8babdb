//! Drawings as the pages of a PDF.

use std::io::Write;

use lopdf::{Bookmark, Dictionary, Document, Object, ObjectId, StringFormat, dictionary, text_string};

use super::OutputError;
use super::pdf_file::{compressed, empty, save};
use super::pdf_font::PdfFonts;
use super::pdf_layers::{PdfLayer, PdfLayers};
use super::pdf_page::{layers_of, made, points, resource};
use crate::drawing::{Drawing, Item};

/// Smallest and largest side of a plain page in points (ISO 32000, page limits).
const PAGE_LIMITS: (f32, f32) = (3.0, 14_400.0);

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
    let unit = if fits(page, PLAIN_UNIT) { PLAIN_UNIT } else { LARGE_UNIT };
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
        Ok(Self { out, info, unit, document, fonts, layers, tree, font_dictionary, information, pages: Vec::new() })
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
        page.set("Contents", self.document.add_object(compressed(&content, Dictionary::new())));
        page.set("Resources", self.resources(drawing));
        if self.unit != PLAIN_UNIT {
            page.set("UserUnit", self.unit);
        }
        let id = self.document.add_object(page);
        let title = if drawing.title.is_empty() { (before + 1).to_string() } else { drawing.title.clone() };
        self.pages.insert(before, Entry { id, title });
        Ok(())
    }

    /// What a page's content names: the fonts of all pages, and the layers and colours that it uses itself.
    fn resources(&mut self, drawing: &Drawing) -> Dictionary {
        let layers: Vec<PdfLayer> = layers_of(drawing).map(|layer| self.layers.of(&mut self.document, layer)).collect();
        let groups: Dictionary = layers.iter().map(|used| (resource(used.layer), used.group.into())).collect();
        let spots: Dictionary =
            layers.iter().filter_map(|used| Some((resource(used.layer), used.spot?.into()))).collect();
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
        let count = i64::try_from(self.pages.len()).expect("a document has far fewer than 2⁶³ pages");
        let kids: Vec<Object> = self.pages.iter().map(|page| page.id.into()).collect();
        self.document.set_object(self.tree, dictionary! { "Type" => "Pages", "Kids" => kids, "Count" => count });
        for Entry { id, title } in self.pages {
            self.document.add_bookmark(Bookmark::new(title, BLACK, UPRIGHT, id), None);
        }
        let bookmarks = self.document.build_outline().expect("every page has a bookmark");
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
        information.set("CreationDate", Object::String(format!("D:{day}000000Z").into(), StringFormat::Literal));
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

fn check(drawing: &Drawing, unit: f64) -> Result<(), OutputError> {
    let finite = drawing.items.iter().all(|item| match item {
        Item::Path(path) => path.outline.is_finite() && path.stroke.is_none_or(|stroke| stroke.width.is_finite()),
        Item::Text(text) => text.at.is_finite() && text.height.is_finite() && text.turn.is_finite(),
    });
    if !(finite && drawing.width.is_finite() && drawing.height.is_finite()) {
        return Err(OutputError::NotFinite { title: drawing.title.clone() });
    }
    if fits(drawing, unit) {
        Ok(())
    } else {
        Err(OutputError::PageSize { title: drawing.title.clone(), width: drawing.width, height: drawing.height })
    }
}

/// Judged as written: 5080 mm come out a rounding error above the limit.
fn fits(drawing: &Drawing, unit: f64) -> bool {
    [drawing.width, drawing.height].iter().all(|mm| (PAGE_LIMITS.0..=PAGE_LIMITS.1).contains(&points(mm / unit)))
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Rect};

    use super::*;
    use crate::drawing::{Layer, LineType, Stroke, Text, Tone, heights, widths};

    /// How far a page box may be from the paper's size, pt: the accuracy that the output contract asks for.
    const BOX_TOLERANCE_PT: f64 = 0.005;

    fn page(title: &str) -> Drawing {
        let mut drawing = Drawing::new(title, 210.0, 297.0);
        drawing.text(Text::new((20.0, 30.0), heights::TEXT, "Mark 1R (±2 mm) → ok"));
        drawing.line(Layer::Lines, (10.0, 10.0), (110.0, 10.0), Stroke::dashed(widths::WIDE));
        drawing.rect(Layer::Panels, Rect::new(50.0, 60.0, 150.0, 160.0), Some(Tone::PANEL), None);
        drawing
    }

    fn info() -> DocumentInfo {
        DocumentInfo {
            title: "Süd bay".into(),
            subject: "Stencils".into(),
            date: Some("2026-03-02".into()),
            spot: None,
        }
    }

    fn read(bytes: &[u8]) -> Document {
        Document::load_mem(bytes).unwrap()
    }

    fn info_of(document: &Document) -> &Dictionary {
        let id = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
        document.get_dictionary(id).unwrap()
    }

    fn group_names(document: &Document) -> Vec<String> {
        let properties = document.catalog().unwrap().get(b"OCProperties").unwrap().as_dict().unwrap();
        let default = properties.get(b"D").unwrap().as_dict().unwrap();
        assert_eq!(default.get(b"BaseState").unwrap().as_name().unwrap(), b"ON");
        assert_eq!(default.get(b"Order").unwrap(), properties.get(b"OCGs").unwrap());
        let groups = properties.get(b"OCGs").unwrap().as_array().unwrap().iter();
        let groups = groups.map(|group| document.get_dictionary(group.as_reference().unwrap()).unwrap());
        groups.map(|group| lopdf::decode_text_string(group.get(b"Name").unwrap()).unwrap()).collect()
    }

    #[test]
    fn all_boxes_of_an_a4_page_are_a4_and_it_is_not_turned() {
        let document = read(&pdf(&[page("one")], &info()).unwrap());
        assert_eq!(document.version, "1.7");
        let page = document.get_dictionary(document.page_iter().next().unwrap()).unwrap();
        for name in [b"MediaBox".as_slice(), b"CropBox", b"TrimBox"] {
            let sides = page.get(name).unwrap().as_array().unwrap().iter().map(|side| side.as_float().unwrap());
            // A4 in points: 210 and 297 mm at 72 points to 25.4 mm (computed).
            for (side, expected) in sides.zip([0.0, 0.0, 595.2756, 841.8898]) {
                assert!((f64::from(side) - expected).abs() < BOX_TOLERANCE_PT, "{side} for {expected}");
            }
        }
        assert!(!page.has(b"Rotate") && !page.has(b"UserUnit"));
    }

    #[test]
    fn the_reader_is_told_to_print_at_full_scale() {
        let document = read(&pdf(&[page("one")], &info()).unwrap());
        let catalog = document.catalog().unwrap();
        let preferences = catalog.get(b"ViewerPreferences").unwrap().as_dict().unwrap();
        assert_eq!(preferences.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
        assert_eq!(preferences.get(b"Enforce").unwrap().as_array().unwrap(), &vec![Object::from("PrintScaling")]);
        assert_eq!(preferences.get(b"Duplex").unwrap().as_name().unwrap(), b"Simplex");
        assert!(preferences.get(b"PickTrayByPDFSize").unwrap().as_bool().unwrap());
        assert!(preferences.get(b"DisplayDocTitle").unwrap().as_bool().unwrap());
        assert_eq!(catalog.get(b"PageMode").unwrap().as_name().unwrap(), b"UseOutlines");
    }

    #[test]
    fn each_layer_in_use_is_one_group_shared_by_all_pages() {
        let mut second = Drawing::new("two", 210.0, 297.0);
        second.circle(Layer::Marks, (50.0, 50.0), 3.0, None, Some(Stroke::solid(widths::THIN)));
        let document = read(&pdf(&[page("one"), second, page("three")], &info()).unwrap());
        assert_eq!(group_names(&document), ["panels", "lines", "marks", "labels"]);
    }

    #[test]
    fn fonts_are_embedded_as_small_subsets_and_only_when_used() {
        let document = read(&pdf(&[page("one")], &info()).unwrap());
        let dictionaries = document.objects.values().filter_map(|object| object.as_dict().ok());
        let descriptors: Vec<_> =
            dictionaries.filter(|d| d.get(b"Type").is_ok_and(|t| *t == Object::from("FontDescriptor"))).collect();
        assert_eq!(descriptors.len(), 1, "the drawing has no bold text");
        let name = String::from_utf8(descriptors[0].get(b"FontName").unwrap().as_name().unwrap().to_vec()).unwrap();
        assert_eq!(name.split_once('+').map(|(tag, face)| (tag.len(), face)), Some((6, "DejaVuSansCondensed")));
        let file = descriptors[0].get(b"FontFile2").unwrap().as_reference().unwrap();
        let size = document.get_object(file).unwrap().as_stream().unwrap().content.len();
        assert!(size < 30_000, "{size} bytes");
    }

    #[test]
    fn the_information_names_this_program_and_the_given_day_alone() {
        let document = read(&pdf(&[page("one")], &info()).unwrap());
        let information = info_of(&document);
        let text = |key: &[u8]| lopdf::decode_text_string(information.get(key).unwrap()).unwrap();
        let program = concat!("baystencil ", env!("CARGO_PKG_VERSION"));
        assert_eq!((text(b"Producer").as_str(), text(b"Creator").as_str()), (program, program));
        assert_eq!((text(b"Title").as_str(), text(b"Subject").as_str()), ("Süd bay", "Stencils"));
        assert_eq!(text(b"CreationDate"), "D:20260302000000Z");
        assert!(!information.has(b"GTS_PDFXVersion") && !information.has(b"ModDate"));

        let undated = read(&pdf(&[page("one")], &DocumentInfo { date: None, ..info() }).unwrap());
        assert!(!info_of(&undated).has(b"CreationDate"));
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in ["2026-13-02", "2026-3-2", "02.03.2026", "2026-03-02T10:00", ""] {
            let outcome = pdf(&[page("one")], &DocumentInfo { date: Some(text.into()), ..info() });
            assert!(matches!(outcome, Err(OutputError::Date { .. })), "{text}");
        }
    }

    #[test]
    fn the_same_drawings_give_the_same_bytes_and_others_another_identifier() {
        let pages = [page("one"), page("two")];
        let first = pdf(&pages, &info()).unwrap();
        assert_eq!(first, pdf(&pages, &info()).unwrap());
        let identifier = |bytes: &[u8]| read(bytes).trailer.get(b"ID").unwrap().clone();
        assert_ne!(identifier(&first), identifier(&pdf(&pages[..1], &info()).unwrap()));
    }

    #[test]
    fn a_stroke_keeps_its_width_its_dashes_and_its_place() {
        let mut drawing = Drawing::new("one", 210.0, 297.0);
        let stroke = Stroke { width: 0.35, line_type: LineType::Dashed, tone: Tone::QUIET };
        drawing.line(Layer::Lines, (25.4, 50.8), (76.2, 50.8), stroke);
        let document = read(&pdf(&[drawing], &info()).unwrap());
        let content = document.get_page_content(document.page_iter().next().unwrap());
        let content = String::from_utf8(content).unwrap();
        let content: Vec<&str> = content.split_whitespace().collect();
        let content = content.join(" ");
        // 25.4 mm are 72 pt; 0.35 mm = 0.9921 pt; dashes 12 × 0.35 and 3 × 0.35 mm (computed).
        for part in ["0.45 G", "0.9921 w", "[11.9055 2.9764] 0 d", "72 144 m 216 144 l S", "/OC /lines BDC"] {
            assert!(content.contains(part), "{part} not in {content}");
        }
    }

    #[test]
    fn text_comes_back_out_as_it_went_in_even_where_characters_share_a_glyph() {
        // Ohm sign and omega, micro sign and mu look alike; the last sign is not in the face at all.
        let content = "Ω\u{2126}µμ ffi ±⌀☐→ (1\\2) 日";
        let mut drawing = Drawing::new("one", 210.0, 297.0);
        drawing.text(Text::new((20.0, 30.0), heights::TEXT, content));
        let document = read(&pdf(&[drawing], &info()).unwrap());
        assert_eq!(document.extract_text(&[1]).unwrap().trim_end(), content);
    }

    #[test]
    fn a_centred_text_turned_upwards_begins_half_its_width_below_its_point() {
        let mut drawing = Drawing::new("one", 210.0, 297.0);
        let text = Text::new((100.0, 100.0), heights::TITLE, "12345").centred().turned(90.0);
        let start = (100.0 - text.width() / 2.0) * 72.0 / 25.4;
        drawing.text(text);
        let document = read(&pdf(&[drawing], &info()).unwrap());
        let content = document.get_and_decode_page_content(document.page_iter().next().unwrap()).unwrap();
        let placed = content.operations.iter().find(|operation| operation.operator == "Tm").unwrap();
        let matrix: Vec<f32> = placed.operands.iter().map(|operand| operand.as_float().unwrap()).collect();
        assert_eq!(matrix[..4], [0.0, 1.0, -1.0, 0.0]);
        // 100 mm are 283.4646 pt (computed).
        assert!((f64::from(matrix[4]) - 283.4646).abs() < 1e-4 && (f64::from(matrix[5]) - start).abs() < 1e-4);
    }

    #[test]
    fn every_page_has_a_bookmark_with_its_title() {
        let document = read(&pdf(&[page("Map ⌀"), page("A1")], &info()).unwrap());
        let titles = document.get_toc().unwrap().toc.into_iter().map(|entry| (entry.title, entry.page));
        assert_eq!(titles.collect::<Vec<_>>(), [("Map ⌀".to_owned(), 1), ("A1".to_owned(), 2)]);
    }

    #[test]
    fn pages_beyond_the_limits_of_the_format_are_refused_by_name() {
        assert!(pdf(&[Drawing::new("roll", 5080.0, 914.4)], &info()).is_ok());
        let long = Drawing::new("roll", 5081.0, 900.0);
        let message = pdf(&[long], &info()).unwrap_err().to_string();
        assert!(message.contains("roll") && message.contains("5081") && message.contains("strips"), "{message}");
        assert!(matches!(pdf(&[], &info()), Err(OutputError::NoPages)));
    }

    #[test]
    fn a_page_beyond_5080_mm_has_units_of_ten_points_and_its_content_is_scaled_to_them() {
        let mut drawing = Drawing::new("floor", 8128.0, 2540.0);
        drawing.line(Layer::Lines, (0.0, 0.0), (7620.0, 2540.0), Stroke::solid(widths::THIN));
        let document = read(&large_pdf(&drawing, &info()).unwrap());
        let page = document.page_iter().next().unwrap();
        let dictionary = document.get_dictionary(page).unwrap();
        assert_eq!(dictionary.get(b"UserUnit").unwrap().as_float().unwrap(), 10.0);
        let number = |object: &Object| object.as_float().unwrap();
        let area: Vec<f32> = dictionary.get(b"MediaBox").unwrap().as_array().unwrap().iter().map(number).collect();
        // 8128 × 2540 mm are 23 040 × 7200 pt (1 in = 25.4 mm = 72 pt).
        assert_eq!(area, [0.0, 0.0, 2304.0, 720.0]);
        let content = document.get_and_decode_page_content(page).unwrap();
        let operators: Vec<&str> = content.operations.iter().map(|operation| operation.operator.as_str()).collect();
        let scale = content.operations.iter().find(|operation| operation.operator == "cm").unwrap();
        assert_eq!(scale.operands.iter().map(number).collect::<Vec<_>>(), [0.1, 0.0, 0.0, 0.1, 0.0, 0.0]);
        assert_eq!((operators[0], operators[1], *operators.last().unwrap()), ("q", "cm", "Q"));
        let end = content.operations.iter().find(|operation| operation.operator == "l").unwrap();
        assert_eq!(end.operands.iter().map(number).collect::<Vec<_>>(), [21_600.0, 7200.0]);

        let plain = read(&large_pdf(&Drawing::new("floor", 5080.0, 900.0), &info()).unwrap());
        let page = plain.page_iter().next().unwrap();
        assert!(!plain.get_dictionary(page).unwrap().has(b"UserUnit"));
        assert!(large_pdf(&Drawing::new("floor", 50_900.0, 900.0), &info()).is_err());
    }

    #[test]
    fn a_coordinate_that_is_no_number_is_refused() {
        let mut drawing = page("odd");
        drawing.polyline(Layer::Lines, &[Point::ORIGIN, Point::new(f64::NAN, 1.0)], Stroke::solid(widths::THIN));
        assert!(matches!(pdf(&[drawing], &info()), Err(OutputError::NotFinite { .. })));
    }
}
