//! PDFs read back.

use kurbo::{Point, Rect};

use super::*;
use crate::{
    drawing::{Layer, LineType, Stroke, Text, Tone, heights, widths},
    stencil::{Colour, Spot},
};

/// How far a page box may be from the paper's size, pt: the accuracy that the output contract asks for.
const BOX_TOLERANCE_PT: f64 = 0.005;

fn page(title: &str) -> Drawing {
    let mut drawing = Drawing::new(title, 210.0, 297.0);
    drawing.text(Text::new(
        (20.0, 30.0),
        heights::TEXT,
        "Mark 1R (±2 mm) → ok",
    ));
    drawing.line(
        Layer::Lines,
        (10.0, 10.0),
        (110.0, 10.0),
        Stroke::dashed(widths::WIDE),
    );
    drawing.rect(
        Layer::Panels,
        Rect::new(50.0, 60.0, 150.0, 160.0),
        Some(Tone::PANEL),
        None,
    );
    drawing
}

fn info() -> DocumentInfo {
    DocumentInfo {
        title: "Süd bay".into(),
        subject: "Stencils".into(),
        date: Some("2026-03-02".into()),
        ..DocumentInfo::default()
    }
}

fn read(bytes: &[u8]) -> Document {
    Document::load_mem(bytes).unwrap()
}

fn info_of(document: &Document) -> &Dictionary {
    let id = document
        .trailer
        .get(b"Info")
        .unwrap()
        .as_reference()
        .unwrap();
    document.get_dictionary(id).unwrap()
}

fn group_names(document: &Document) -> Vec<String> {
    let properties = document
        .catalog()
        .unwrap()
        .get(b"OCProperties")
        .unwrap()
        .as_dict()
        .unwrap();
    let default = properties.get(b"D").unwrap().as_dict().unwrap();
    assert_eq!(default.get(b"BaseState").unwrap().as_name().unwrap(), b"ON");
    assert_eq!(
        default.get(b"Order").unwrap(),
        properties.get(b"OCGs").unwrap()
    );
    let groups = properties.get(b"OCGs").unwrap().as_array().unwrap().iter();
    let groups = groups.map(|group| {
        document
            .get_dictionary(group.as_reference().unwrap())
            .unwrap()
    });
    groups
        .map(|group| lopdf::decode_text_string(group.get(b"Name").unwrap()).unwrap())
        .collect()
}

#[test]
fn all_boxes_of_an_a4_page_are_a4_and_it_is_not_turned() {
    let document = read(&pdf(&[page("one")], &info()).unwrap());
    assert_eq!(document.version, "1.7");
    let page = document
        .get_dictionary(document.page_iter().next().unwrap())
        .unwrap();
    for name in [b"MediaBox".as_slice(), b"CropBox", b"TrimBox"] {
        let sides = page
            .get(name)
            .unwrap()
            .as_array()
            .unwrap()
            .iter()
            .map(|side| side.as_float().unwrap());
        // A4 in points: 210 and 297 mm at 72 points to 25.4 mm (computed).
        for (side, expected) in sides.zip([0.0, 0.0, 595.2756, 841.8898]) {
            assert!(
                (f64::from(side) - expected).abs() < BOX_TOLERANCE_PT,
                "{side} for {expected}"
            );
        }
    }
    assert!(!page.has(b"Rotate") && !page.has(b"UserUnit"));
}

#[test]
fn the_reader_is_told_to_print_at_full_scale() {
    let document = read(&pdf(&[page("one")], &info()).unwrap());
    let catalog = document.catalog().unwrap();
    let preferences = catalog
        .get(b"ViewerPreferences")
        .unwrap()
        .as_dict()
        .unwrap();
    assert_eq!(
        preferences.get(b"PrintScaling").unwrap().as_name().unwrap(),
        b"None"
    );
    assert_eq!(
        preferences.get(b"Enforce").unwrap().as_array().unwrap(),
        &vec![Object::from("PrintScaling")]
    );
    assert_eq!(
        preferences.get(b"Duplex").unwrap().as_name().unwrap(),
        b"Simplex"
    );
    assert!(
        preferences
            .get(b"PickTrayByPDFSize")
            .unwrap()
            .as_bool()
            .unwrap()
    );
    assert!(
        preferences
            .get(b"DisplayDocTitle")
            .unwrap()
            .as_bool()
            .unwrap()
    );
    assert_eq!(
        catalog.get(b"PageMode").unwrap().as_name().unwrap(),
        b"UseOutlines"
    );
}

#[test]
fn each_layer_in_use_is_one_group_shared_by_all_pages() {
    let mut second = Drawing::new("two", 210.0, 297.0);
    second.circle(
        Layer::Marks,
        (50.0, 50.0),
        3.0,
        None,
        Some(Stroke::solid(widths::THIN)),
    );
    let document = read(&pdf(&[page("one"), second, page("three")], &info()).unwrap());
    assert_eq!(
        group_names(&document),
        ["panels", "lines", "marks", "labels"]
    );
}

#[test]
fn fonts_are_embedded_as_small_subsets_and_only_when_used() {
    let document = read(&pdf(&[page("one")], &info()).unwrap());
    let dictionaries = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok());
    let descriptors: Vec<_> = dictionaries
        .filter(|d| {
            d.get(b"Type")
                .is_ok_and(|t| *t == Object::from("FontDescriptor"))
        })
        .collect();
    assert_eq!(descriptors.len(), 1, "the drawing has no bold text");
    let name = String::from_utf8(
        descriptors[0]
            .get(b"FontName")
            .unwrap()
            .as_name()
            .unwrap()
            .to_vec(),
    )
    .unwrap();
    assert_eq!(
        name.split_once('+').map(|(tag, face)| (tag.len(), face)),
        Some((6, "DejaVuSansCondensed"))
    );
    let file = descriptors[0]
        .get(b"FontFile2")
        .unwrap()
        .as_reference()
        .unwrap();
    let size = document
        .get_object(file)
        .unwrap()
        .as_stream()
        .unwrap()
        .content
        .len();
    assert!(size < 30_000, "{size} bytes");
}

#[test]
fn the_information_names_this_program_and_the_given_day_alone() {
    let document = read(&pdf(&[page("one")], &info()).unwrap());
    let information = info_of(&document);
    let text = |key: &[u8]| lopdf::decode_text_string(information.get(key).unwrap()).unwrap();
    let program = concat!("baystencil ", env!("CARGO_PKG_VERSION"));
    assert_eq!(
        (text(b"Producer").as_str(), text(b"Creator").as_str()),
        (program, program)
    );
    assert_eq!(
        (text(b"Title").as_str(), text(b"Subject").as_str()),
        ("Süd bay", "Stencils")
    );
    assert_eq!(text(b"CreationDate"), "D:20260302000000Z");
    assert!(!information.has(b"GTS_PDFXVersion") && !information.has(b"ModDate"));

    let undated = read(
        &pdf(
            &[page("one")],
            &DocumentInfo {
                date: None,
                ..info()
            },
        )
        .unwrap(),
    );
    assert!(!info_of(&undated).has(b"CreationDate"));
}

#[test]
fn what_is_no_day_is_refused() {
    for text in [
        "2026-13-02",
        "2026-3-2",
        "02.03.2026",
        "2026-03-02T10:00",
        "",
    ] {
        let outcome = pdf(
            &[page("one")],
            &DocumentInfo {
                date: Some(text.into()),
                ..info()
            },
        );
        assert!(matches!(outcome, Err(OutputError::Date { .. })), "{text}");
    }
}

#[test]
fn the_same_drawings_give_the_same_bytes_and_others_another_identifier() {
    let pages = [page("one"), page("two")];
    let first = pdf(&pages, &info()).unwrap();
    assert_eq!(first, pdf(&pages, &info()).unwrap());
    let identifier = |bytes: &[u8]| read(bytes).trailer.get(b"ID").unwrap().clone();
    assert_ne!(
        identifier(&first),
        identifier(&pdf(&pages[..1], &info()).unwrap())
    );
}

#[test]
fn a_stroke_keeps_its_width_its_dashes_and_its_place() {
    let mut drawing = Drawing::new("one", 210.0, 297.0);
    let stroke = Stroke {
        width: 0.35,
        line_type: LineType::Dashed,
        tone: Tone::QUIET,
    };
    drawing.line(Layer::Lines, (25.4, 50.8), (76.2, 50.8), stroke);
    let document = read(&pdf(&[drawing], &info()).unwrap());
    let content = document.get_page_content(document.page_iter().next().unwrap());
    let content = String::from_utf8(content).unwrap();
    let content: Vec<&str> = content.split_whitespace().collect();
    let content = content.join(" ");
    // 25.4 mm are 72 pt; 0.35 mm = 0.9921 pt; dashes 12 × 0.35 and 3 × 0.35 mm (computed).
    for part in [
        "0.45 G",
        "0.9921 w",
        "[11.9055 2.9764] 0 d",
        "72 144 m 216 144 l S",
        "/OC /lines BDC",
    ] {
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
    let text = Text::new((100.0, 100.0), heights::TITLE, "12345")
        .centred()
        .turned(90.0);
    let start = (100.0 - text.width() / 2.0) * 72.0 / 25.4;
    drawing.text(text);
    let document = read(&pdf(&[drawing], &info()).unwrap());
    let content = document
        .get_and_decode_page_content(document.page_iter().next().unwrap())
        .unwrap();
    let placed = content
        .operations
        .iter()
        .find(|operation| operation.operator == "Tm")
        .unwrap();
    let matrix: Vec<f32> = placed
        .operands
        .iter()
        .map(|operand| operand.as_float().unwrap())
        .collect();
    assert_eq!(matrix[..4], [0.0, 1.0, -1.0, 0.0]);
    // 100 mm are 283.4646 pt (computed).
    assert!(
        (f64::from(matrix[4]) - 283.4646).abs() < 1e-4
            && (f64::from(matrix[5]) - start).abs() < 1e-4
    );
}

#[test]
fn every_page_has_a_bookmark_with_its_title() {
    let document = read(&pdf(&[page("Map ⌀"), page("A1")], &info()).unwrap());
    let titles = document
        .get_toc()
        .unwrap()
        .toc
        .into_iter()
        .map(|entry| (entry.title, entry.page));
    assert_eq!(
        titles.collect::<Vec<_>>(),
        [("Map ⌀".to_owned(), 1), ("A1".to_owned(), 2)]
    );
}

#[test]
fn pages_beyond_the_limits_of_the_format_are_refused_by_name() {
    assert!(pdf(&[Drawing::new("roll", 5080.0, 914.4)], &info()).is_ok());
    let long = Drawing::new("roll", 5081.0, 900.0);
    let message = pdf(&[long], &info()).unwrap_err().to_string();
    assert!(
        message.contains("roll") && message.contains("5081") && message.contains("strips"),
        "{message}"
    );
    assert!(matches!(pdf(&[], &info()), Err(OutputError::NoPages)));
}

#[test]
fn a_page_beyond_5080_mm_has_units_of_ten_points_and_its_content_is_scaled_to_them() {
    let mut drawing = Drawing::new("floor", 8128.0, 2540.0);
    drawing.line(
        Layer::Lines,
        (0.0, 0.0),
        (7620.0, 2540.0),
        Stroke::solid(widths::THIN),
    );
    let document = read(&large_pdf(&drawing, &info()).unwrap());
    let page = document.page_iter().next().unwrap();
    let dictionary = document.get_dictionary(page).unwrap();
    assert_eq!(
        dictionary.get(b"UserUnit").unwrap().as_float().unwrap(),
        10.0
    );
    let number = |object: &Object| object.as_float().unwrap();
    let area: Vec<f32> = dictionary
        .get(b"MediaBox")
        .unwrap()
        .as_array()
        .unwrap()
        .iter()
        .map(number)
        .collect();
    // 8128 × 2540 mm are 23 040 × 7200 pt (1 in = 25.4 mm = 72 pt).
    assert_eq!(area, [0.0, 0.0, 2304.0, 720.0]);
    let content = document.get_and_decode_page_content(page).unwrap();
    let operators: Vec<&str> = content
        .operations
        .iter()
        .map(|operation| operation.operator.as_str())
        .collect();
    let scale = content
        .operations
        .iter()
        .find(|operation| operation.operator == "cm")
        .unwrap();
    assert_eq!(
        scale.operands.iter().map(number).collect::<Vec<_>>(),
        [0.1, 0.0, 0.0, 0.1, 0.0, 0.0]
    );
    assert_eq!(
        (operators[0], operators[1], *operators.last().unwrap()),
        ("q", "cm", "Q")
    );
    let end = content
        .operations
        .iter()
        .find(|operation| operation.operator == "l")
        .unwrap();
    assert_eq!(
        end.operands.iter().map(number).collect::<Vec<_>>(),
        [21_600.0, 7200.0]
    );

    let plain = read(&large_pdf(&Drawing::new("floor", 5080.0, 900.0), &info()).unwrap());
    let page = plain.page_iter().next().unwrap();
    assert!(!plain.get_dictionary(page).unwrap().has(b"UserUnit"));
    assert!(large_pdf(&Drawing::new("floor", 50_900.0, 900.0), &info()).is_err());
}

#[test]
fn a_coordinate_that_is_no_number_is_refused() {
    let mut drawing = page("odd");
    drawing.polyline(
        Layer::Lines,
        &[Point::ORIGIN, Point::new(f64::NAN, 1.0)],
        Stroke::solid(widths::THIN),
    );
    assert!(matches!(
        pdf(&[drawing], &info()),
        Err(OutputError::NotFinite { .. })
    ));
}

#[test]
fn pages_are_found_by_bookmarks_labels_and_links() {
    let mut pages = ["map", "map", "one", ""].map(page);
    for (page, number) in pages.iter_mut().zip(["0-1", "0-2", "7", "8"]) {
        page.number = number.to_owned();
    }
    let area = Rect::new(10.0, 20.0, 30.0, 40.0);
    pages[0].link(area, "sheet 8");
    pages[0].link(area, "nowhere");
    pages[3].targets.push("sheet 8".to_owned());
    let american = DocumentInfo {
        language: Language::American,
        ..info()
    };
    let document = read(&pdf(&pages, &american).unwrap());
    let catalog = document.catalog().unwrap();
    let text = |object: &Object| lopdf::decode_text_string(object).unwrap();
    assert_eq!(text(catalog.get(b"Lang").unwrap()), "en-US");
    let bookmarks = document.get_toc().unwrap().toc;
    let titles: Vec<&str> = bookmarks.iter().map(|mark| mark.title.as_str()).collect();
    assert_eq!(titles, ["map", "map (2)", "one", "4"]);

    let labels = catalog.get(b"PageLabels").unwrap().as_dict().unwrap();
    let ranges = labels.get(b"Nums").unwrap().as_array().unwrap();
    let starts: Vec<i64> = ranges
        .iter()
        .step_by(2)
        .map(|at| at.as_i64().unwrap())
        .collect();
    assert_eq!(starts, [0, 1, 2]);
    let range = |index: usize| ranges[2 * index + 1].as_dict().unwrap();
    assert_eq!(text(range(1).get(b"P").unwrap()), "0-2");
    assert_eq!(range(2).get(b"St").unwrap().as_i64().unwrap(), 7);

    let ids: Vec<ObjectId> = document.page_iter().collect();
    let links = |index: usize| document.get_page_annotations(ids[index]).unwrap();
    let [link] = links(0)[..] else {
        panic!("a link that leads nowhere is left out, and the other is there")
    };
    let place = link.get(b"Dest").unwrap().as_array().unwrap();
    assert_eq!(place[0].as_reference().unwrap(), ids[3]);
    let sides = link.get(b"Rect").unwrap().as_array().unwrap();
    // 10 mm in points, at 72 to the inch.
    assert!((sides[0].as_float().unwrap() - 28.3465).abs() < 1e-3);
    assert!(links(3).is_empty());
    let plain = read(&pdf(&[page("one")], &info()).unwrap());
    assert!(!plain.catalog().unwrap().has(b"PageLabels"));
}

#[test]
fn strokes_for_a_cutter_are_overprinted_and_all_others_are_not() {
    let mut cut = page("cut");
    cut.line(
        Layer::Cut,
        (10.0, 20.0),
        (90.0, 20.0),
        Stroke::solid(widths::THIN),
    );
    let document = read(&pdf(&[page("plain"), cut], &info()).unwrap());
    let states: Vec<Vec<bool>> = document
        .page_iter()
        .map(|page| {
            let content =
                lopdf::content::Content::decode(&document.get_page_content(page)).unwrap();
            let mut overprinted = false;
            let mut of_strokes = Vec::new();
            for operation in &content.operations {
                match operation.operator.as_str() {
                    "gs" => overprinted = true,
                    "Q" => overprinted = false,
                    "S" => of_strokes.push(overprinted),
                    _ => {}
                }
            }
            of_strokes
        })
        .collect();
    assert_eq!(states, [vec![false], vec![false, true]]);
    let state = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .find(|dictionary| dictionary.has_type(b"ExtGState"))
        .unwrap();
    assert!(state.get(b"OP").unwrap().as_bool().unwrap());
    assert_eq!(state.get(b"OPM").unwrap().as_i64().unwrap(), 1);
}

#[test]
fn a_page_larger_than_its_sheet_says_where_it_is_trimmed() {
    let mut sheet = page("sheet");
    sheet.trim = Some(Rect::new(5.0, 6.0, 205.0, 291.0));
    let document = read(&pdf(&[sheet], &info()).unwrap());
    let page = document
        .get_dictionary(document.page_iter().next().unwrap())
        .unwrap();
    let trim = page.get(b"TrimBox").unwrap().as_array().unwrap();
    for (side, mm) in trim.iter().zip([5.0, 6.0, 205.0, 291.0]) {
        let expected = mm / 25.4 * 72.0;
        assert!((f64::from(side.as_float().unwrap()) - expected).abs() < BOX_TOLERANCE_PT);
    }
}

#[test]
fn a_name_of_a_spot_colour_comes_back_as_it_was_given() {
    let mut cut = page("cut");
    cut.line(
        Layer::Cut,
        (10.0, 20.0),
        (90.0, 20.0),
        Stroke::solid(widths::THIN),
    );
    let mut info = info();
    let name = "Büro (100 %) /#1 <a>";
    info.inks.cut.spot = Spot::named(name).unwrap();
    info.inks.cut.colour = Colour([0xff, 0x33, 0]);
    let document = read(&pdf(&[cut], &info).unwrap());
    let arrays = document.objects.values();
    let space = arrays
        .filter_map(|object| object.as_array().ok())
        .find(|array| {
            array
                .first()
                .is_some_and(|kind| kind.as_name().is_ok_and(|name| name == b"Separation"))
        })
        .unwrap();
    assert_eq!(space[1].as_name().unwrap(), name.as_bytes());
    let full = space[3]
        .as_dict()
        .unwrap()
        .get(b"C1")
        .unwrap()
        .as_array()
        .unwrap();
    let full: Vec<f32> = full.iter().map(|part| part.as_float().unwrap()).collect();
    assert!(
        (full[0] - 1.0).abs() < 1e-5 && (full[1] - 0.2).abs() < 1e-5 && full[2].abs() < 1e-5,
        "{full:?}"
    );
}
