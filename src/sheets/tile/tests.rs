//! Full-scale sheets of the hand-made layouts, from easy to crowded.

use std::sync::LazyLock;

use kurbo::{Affine, ParamCurve, Point, Rect, Shape};

use super::*;

use crate::{
    drawing::{Item, LineType, Path},
    job::Record,
    page::{clip::line_within, labels::overlap, text_box},
    plan::{FloorPlan, corners},
    sheets::shared::fixture,
    stencil::{CutBy, CutOptions, cut_by_hand},
};

/// What rounding in the clipping may move a point by, mm.
const ROUNDING_MM: f64 = 1e-3;

struct Case {
    name: String,
    plan: FloorPlan,
    sheets: SheetPlan,
    pages: Vec<Drawing>,
}

static CASES: LazyLock<Vec<Case>> = LazyLock::new(|| {
    let record = Record::default();
    let draw = |(name, plan, sheets): (String, FloorPlan, SheetPlan)| {
        let art = FloorArt::of(&plan);
        let context = fixture::context(&plan, &record, !name.contains("A4"));
        let of = sheets.sheets.len() + 1;
        // Four of nine sheets hold a corner, two edges and the middle.
        let shown = sheets.sheets.len().min(5);
        // What the printer makes of the pages: the correction undone.
        let printed = sheets.format.to_page().inverse();
        let page =
            |i| tile(&context, &art, &sheets, i, PageNumber { page: i + 2, of }).mapped(printed);
        let pages = (0..shown).map(page).collect();
        Case {
            name,
            plan,
            sheets,
            pages,
        }
    };
    fixture::cases().into_iter().map(draw).collect()
});

fn paths(page: &Drawing, layer: Layer) -> Vec<&Path> {
    let paths = page.items.iter().filter_map(|item| {
        if let Item::Path(path) = item {
            Some(path)
        } else {
            None
        }
    });
    paths.filter(|path| path.layer == layer).collect()
}

/// Every drawn page with its case and its index.
fn pages() -> impl Iterator<Item = (&'static Case, usize, &'static Drawing)> {
    CASES.iter().flat_map(|case| {
        case.pages
            .iter()
            .enumerate()
            .map(move |(index, page)| (case, index, page))
    })
}

/// Every line along which the page is cut or another sheet's edge lies.
fn lines(frame: &Frame) -> impl Iterator<Item = Line> {
    frame
        .cuts
        .iter()
        .map(|(_, line)| *line)
        .chain(frame.seams.iter().map(|seam| seam.line))
}

#[test]
fn nothing_lies_outside_the_window_and_no_lettering_is_too_small() {
    for (case, index, page) in pages() {
        let window = Frame::of(&case.sheets, index).window.inset(ROUNDING_MM);
        for text in page.texts() {
            assert!(
                window.contains_rect(text_box(text)),
                "{} {}: {text:?}",
                case.name,
                page.title
            );
            assert!(text.height >= heights::SMALL - ROUNDING_MM);
        }
        for layer in Layer::ALL {
            for path in paths(page, layer) {
                let extent = path.outline.bounding_box();
                assert!(
                    window.contains_rect(extent),
                    "{} {}: {layer:?} {extent:?}",
                    case.name,
                    page.title
                );
            }
        }
    }
}

#[test]
fn sheets_to_cut_by_hand_have_each_knife_line_once_and_no_hatch_or_band_under_lettering() {
    for case in CASES.iter() {
        let cut = cut_by_hand(&case.plan, &CutOptions::usual(CutBy::Hand), &case.sheets).unwrap();
        let art = FloorArt::of(&case.plan).with_knife(&cut);
        let record = Record::default();
        let context = fixture::context(&case.plan, &record, false);
        let of = case.sheets.sheets.len();
        let mut seen = 0;
        for index in 0..of {
            let number = PageNumber {
                page: index + 1,
                of,
            };
            let printed = case.sheets.format.to_page().inverse();
            let page = tile(&context, &art, &case.sheets, index, number).mapped(printed);
            let boxes: Vec<Rect> = page.texts().iter().map(|text| text_box(text)).collect();
            for layer in [Layer::Waste, Layer::Knife] {
                for path in paths(&page, layer) {
                    seen += 1;
                    for segment in path.outline.segments() {
                        let line = Line::new(segment.start(), segment.end());
                        let covered = boxes.iter().any(|text| {
                            !line_within(line, &[corners(text.inset(-ROUNDING_MM)).to_vec()])
                                .is_empty()
                        });
                        assert!(!covered, "{} {}: {layer:?} {line:?}", case.name, page.title);
                    }
                }
            }
            assert!(
                paths(&page, Layer::Lines)
                    .iter()
                    .all(|path| path.fill.is_none())
            );
        }
        assert!(seen > 0, "{}", case.name);
    }
}

#[test]
fn no_lettering_lies_on_other_lettering_on_a_seam_or_on_a_mark() {
    for (case, index, page) in pages() {
        let boxes: Vec<(Rect, &str)> = page
            .texts()
            .iter()
            .map(|t| (text_box(t), t.content.as_str()))
            .collect();
        let frame = Frame::of(&case.sheets, index);
        let to_page = case.sheets.sheets[index].floor_to_page;
        for (i, (one, text)) in boxes.iter().enumerate() {
            let one = one.inset(-ROUNDING_MM);
            for (other, second) in &boxes[i + 1..] {
                assert!(
                    !overlap(one, *other),
                    "{} {}: {text} on {second}",
                    case.name,
                    page.title
                );
            }
            for seam in lines(&frame) {
                assert!(
                    !overlap(one, around(seam)),
                    "{} {}: {text} on a seam",
                    case.name,
                    page.title
                );
            }
            for mark in &case.plan.marks {
                for arm in [Vec2::new(15.0, 0.0), Vec2::new(0.0, 15.0)] {
                    let arm = to_page * Line::new(mark.at - arm, mark.at + arm);
                    let arm = Rect::from_points(arm.p0, arm.p1).inset(0.1);
                    assert!(
                        !overlap(one, arm),
                        "{} {}: {text} on {}",
                        case.name,
                        page.title,
                        mark.id
                    );
                }
            }
        }
    }
}

#[test]
fn every_sheet_says_what_it_is_where_it_lies_and_how_to_print_it() {
    for (case, index, page) in pages() {
        let words: Vec<&str> = page
            .texts()
            .iter()
            .map(|text| text.content.as_str())
            .collect();
        let sheet = &case.sheets.sheets[index];
        let number = format!("page {} of {}", index + 2, case.sheets.sheets.len() + 1);
        let mut wanted = vec![
            sheet.label.as_str(),
            "FRONT",
            "Print at 100 %",
            "4 in",
            number.as_str(),
            "printer: office laser",
        ];
        let shown = case.plan.marks.iter().filter(|mark| {
            Frame::of(&case.sheets, index)
                .window
                .inset(-ROUNDING_MM)
                .contains(sheet.floor_to_page * mark.at)
        });
        wanted.extend(shown.map(|mark| mark.id.as_str()));
        wanted.extend(
            sheet
                .registration
                .iter()
                .map(|&mark| case.sheets.registration[mark].id.as_str()),
        );
        for word in wanted {
            assert!(
                words.contains(&word),
                "{} {}: {word} is missing in {words:?}",
                case.name,
                page.title
            );
        }
        assert_eq!(
            words.iter().filter(|word| **word == "100 mm").count(),
            2,
            "{} {}",
            case.name,
            page.title
        );
        // A mark's place is said beside its name.
        let places = words.iter().filter(|word| is_place(word)).count();
        let marks = case
            .plan
            .marks
            .iter()
            .filter(|mark| words.contains(&mark.id.as_str()));
        // Between the edges of fine fields no words have room.
        let crowded = case.name.ends_with("fine panel");
        assert!(
            crowded || places > marks.count(),
            "{} {}: no coordinate tick",
            case.name,
            page.title
        );
    }
}

/// True for words that say in mm where a floor point lies across the vehicle.
pub(super) fn is_place(words: &str) -> bool {
    let across = [" left", " right", "on centreline"];
    !words.contains(" in ") && across.iter().any(|word| words.ends_with(word))
}

#[test]
fn every_neighbour_is_named_and_only_right_and_bottom_edges_are_trimmed() {
    for (case, index, page) in pages() {
        let seams = case.sheets.seams(index);
        let words: Vec<&str> = page
            .texts()
            .iter()
            .map(|text| text.content.as_str())
            .collect();
        for (edge, sign) in Edge::ALL.into_iter().zip(["◂", "▸", "▴", "▾"]) {
            let named = words
                .iter()
                .find(|word| word.contains(sign))
                .map(|word| word.replace(sign, ""));
            let seam = seams.iter().find(|seam| seam.edge == edge);
            let expected = seam.map(|seam| case.sheets.sheets[seam.other].label.clone());
            assert_eq!(
                named.map(|name| name.trim().to_owned()),
                expected,
                "{} {} {edge:?}",
                case.name,
                page.title
            );
        }
        let trims: Vec<Rect> = paths(page, Layer::Registration)
            .into_iter()
            .filter(|path| {
                path.stroke
                    .is_some_and(|stroke| stroke.line_type == LineType::Dashed)
            })
            .map(|path| path.outline.bounding_box())
            .collect();
        let trimmed = seams
            .iter()
            .filter(|seam| matches!(seam.edge, Edge::Right | Edge::Bottom))
            .count();
        assert_eq!(trims.len(), trimmed, "{} {}", case.name, page.title);
        let middle = Frame::of(&case.sheets, index).window.center();
        assert!(
            trims
                .iter()
                .all(|trim| trim.x0 > middle.x || trim.y1 < middle.y)
        );
    }
}

#[test]
fn the_check_square_measures_100_mm_after_the_printers_error() {
    for (case, _, page) in pages() {
        let found = paths(page, Layer::Labels).into_iter().any(|path| {
            let size = path.outline.bounding_box().size();
            path.fill.is_none()
                && (size.width - 100.0).abs() < 1e-9
                && (size.height - 100.0).abs() < 1e-9
        });
        assert!(found, "{} {}", case.name, page.title);
    }
    let corrected = CASES
        .iter()
        .find(|case| case.name == "A4 corrected")
        .unwrap();
    let [a, _, _, d, ..] = corrected.sheets.format.to_page().as_coeffs();
    assert!(a > 1.01 && d < 0.986, "its pages are stretched: {a} {d}");
}

#[test]
fn a_marks_cross_lies_where_the_affine_puts_the_floor_point() {
    let case = CASES.iter().find(|case| case.name == "A4 alone").unwrap();
    // One sheet with its front to the right and the mark in the middle of its printable part:
    // x (10 + 200) / 2, y (15 + 287) / 2.
    let expected = Affine::translate((105.0, 151.0)) * case.plan.marks[0].at;
    let found = paths(&case.pages[0], Layer::Marks).into_iter().any(|path| {
        let extent = path.outline.bounding_box();
        (extent.size() - kurbo::Size::new(30.0, 30.0))
            .to_vec2()
            .hypot()
            < ROUNDING_MM
            && extent.center().distance(expected) < ROUNDING_MM
    });
    assert!(found);
}

#[test]
fn halves_of_registration_marks_lie_on_both_sides_of_the_seam() {
    for (case, index, _) in pages() {
        let sheet = &case.sheets.sheets[index];
        let frame = Frame::of(&case.sheets, index);
        for &mark in &sheet.registration {
            let at: Point = sheet.floor_to_page * case.sheets.registration[mark].at;
            let on_seam = lines(&frame).any(|seam| {
                let along = (seam.p1 - seam.p0).normalize();
                along.cross(at - seam.p0).abs() < 1e-6
            });
            assert!(on_seam, "{} {}", case.name, sheet.label);
        }
    }
}
