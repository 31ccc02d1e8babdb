use std::sync::LazyLock;

use kurbo::{Shape, Size};

use super::*;

use crate::{
    cover::{Content, Mode, cover},
    drawing::{Item, LineType, Path, Text},
    job::Record,
    page::{labels::overlap, text_box},
    plan::{FloorPlan, Mark},
    sheets::shared::fixture,
    survey::LayingFloor,
    words::floor_place,
};

/// What is left of a difference of places once rounded, mm.
const ROUNDING_MM: f64 = 1e-6;

/// Little more to print on than a cover asks for at least, 125 mm each way.
const SMALLEST: (&str, f64, f64) = ("148 × 153 mm", 148.0, 153.0);

struct Case {
    name: String,
    plan: FloorPlan,
    sheets: SheetPlan,
    pages: Vec<Drawing>,
}

fn pages(plan: &FloorPlan, paper: (&str, f64, f64), inches: bool) -> (SheetPlan, Vec<Drawing>) {
    let sheets = cover(&Content::of(plan), &fixture::format(paper), Mode::Keys).unwrap();
    let record = Record::default();
    let context = fixture::context(plan, &record, inches);
    let art = FloorArt::of(plan);
    let of = sheets.pages + 1;
    let pages = (0..sheets.pages)
        .map(|i| key_page(&context, &art, &sheets, i, PageNumber { page: i + 2, of }));
    let pages = pages.collect();
    (sheets, pages)
}

/// Plain and awkward layouts on every paper, with inches and without; made once for all tests.
static CASES: LazyLock<Vec<Case>> = LazyLock::new(|| {
    let mut named = fixture::grid_plan();
    named.marks[3].id = "rear left target, inner".to_owned();
    named.marks[3].meaning = "the middle of the outermost of all panels that stand beside the vehicle, told at length, and on and on until no key has room for it".to_owned();
    named.marks[9].id = "rearmost".to_owned();
    let plans = [
        fixture::grid_plan(),
        named,
        fixture::panelled((0.0, 0.0), 100.0),
    ];
    let papers = [fixture::A4, fixture::LETTER, fixture::A5, SMALLEST];
    let mut cases = Vec::new();
    for plan in plans {
        for paper in papers {
            for inches in [false, true] {
                let (sheets, pages) = pages(&plan, paper, inches);
                cases.push(Case {
                    name: format!("{} inches {inches}", paper.0),
                    plan: plan.clone(),
                    sheets,
                    pages,
                });
            }
        }
    }
    cases
});

fn paths(page: &Drawing, layer: Layer) -> Vec<&Path> {
    let items = page.items.iter();
    let paths = items.filter_map(|item| {
        if let Item::Path(path) = item {
            Some(path)
        } else {
            None
        }
    });
    paths.filter(|path| path.layer == layer).collect()
}

#[test]
fn nothing_leaves_the_printable_part_and_no_lettering_lies_on_other_lettering() {
    for Case {
        name,
        sheets,
        pages,
        ..
    } in CASES.iter()
    {
        let printable = sheets.format.printable().inset(ROUNDING_MM);
        for page in pages {
            let boxes: Vec<(Rect, &Text)> = page
                .texts()
                .into_iter()
                .map(|text| (text_box(text), text))
                .collect();
            for (index, (one, text)) in boxes.iter().enumerate() {
                assert!(printable.contains_rect(*one), "{name}: {text:?}");
                assert!(text.height >= heights::SMALL, "{name}: {text:?}");
                for (other, second) in &boxes[index + 1..] {
                    assert!(
                        !overlap(one.inset(-ROUNDING_MM), *other),
                        "{name}: {text:?} on {second:?}"
                    );
                }
            }
            for item in &page.items {
                if let Item::Path(path) = item {
                    let extent = path.outline.bounding_box();
                    assert!(
                        printable.contains_rect(extent),
                        "{name}: {:?} {extent:?}",
                        path.layer
                    );
                }
            }
        }
    }
}

#[test]
fn no_lettering_of_a_key_touches_its_outline_its_arms_or_its_window() {
    for Case {
        name,
        sheets,
        pages,
        ..
    } in CASES.iter()
    {
        for (index, page) in pages.iter().enumerate() {
            let boxes: Vec<Rect> = page.texts().into_iter().map(text_box).collect();
            for window in sheets
                .sheets
                .iter()
                .filter(|s| s.page == index)
                .map(PlacedSheet::page_window)
            {
                assert!(
                    boxes.iter().all(|text| !overlap(*text, window)),
                    "{name}: lettering in a window"
                );
                let arm = Rect::new(
                    window.x1,
                    window.center().y,
                    window.x1 + 32.0,
                    window.center().y,
                )
                .inset(0.3);
                assert!(
                    boxes.iter().all(|text| !overlap(*text, arm)),
                    "{name}: lettering on an arm"
                );
            }
        }
    }
}

/// Each `from … mm` of a key is its mark's distance from a mark that is laid before it, where a tape can lie; on the empty
/// floor both base marks are among them.
fn distances_lead_to(plan: &FloorPlan, mark: &Mark, words: &[&str], name: &str) {
    let floor = LayingFloor::of(plan);
    let mut from = Vec::new();
    let in_mm = |text: &&str| {
        text.strip_prefix("from ")
            .and_then(|text| text.strip_suffix(" mm").map(str::to_owned))
    };
    for text in words.iter().filter_map(in_mm) {
        let (other, distance) = text.rsplit_once(' ').unwrap();
        let other = plan.marks.iter().find(|mark| mark.id == other).unwrap();
        assert_eq!(
            distance,
            mm_text(other.at.distance(mark.at)),
            "{name} {}",
            mark.id
        );
        assert!(
            floor.tape_lies(plan, other.at, mark.at),
            "{name} {}",
            mark.id
        );
        from.push(other.id.as_str());
    }
    let bases = plan.tape_base.map(|base| plan.marks[base].id.as_str());
    if floor == LayingFloor::Empty && !bases.contains(&mark.id.as_str()) {
        assert_eq!(from, bases, "{name} {}", mark.id);
    }
}

#[test]
fn every_mark_has_one_key_that_says_where_it_belongs() {
    for Case {
        name,
        plan,
        sheets,
        pages,
    } in CASES.iter()
    {
        assert_eq!(sheets.sheets.len(), plan.marks.len(), "{name}");
        for sheet in &sheets.sheets {
            let mark = plan
                .marks
                .iter()
                .find(|mark| mark.id == sheet.label)
                .unwrap();
            let window = sheet.page_window();
            let card = Rect {
                x1: window.x1 + 32.0,
                ..window
            };
            let page = &pages[sheet.page];
            let inside = page
                .texts()
                .into_iter()
                .filter(|text| card.contains(text.at));
            let words: Vec<&str> = inside.map(|text| text.content.as_str()).collect();
            let [along, across] = floor_place(mark.at, |mm| format!("{} mm", mm_text(mm)));
            for wanted in [along, across, "FRONT".into()] {
                assert!(
                    words.contains(&wanted.as_str()),
                    "{name} {}: {wanted} is missing in {words:?}",
                    mark.id
                );
            }
            assert!(
                words.contains(&mark.id.as_str()),
                "{name}: {} is not named in {words:?}",
                mark.id
            );
            distances_lead_to(plan, mark, &words, name);
            let cross = paths(page, Layer::Marks).into_iter().any(|path| {
                let extent = path.outline.bounding_box();
                (extent.size() - Size::new(30.0, 30.0)).to_vec2().hypot() < ROUNDING_MM
                    && extent.center().distance(sheet.floor_to_page * mark.at) < ROUNDING_MM
            });
            assert!(cross, "{name} {}: no cross", mark.id);
        }
    }
}

#[test]
fn keys_come_in_the_order_of_setting_out_base_marks_first() {
    let (sheets, _) = pages(&fixture::grid_plan(), fixture::A4, false);
    let labels: Vec<&str> = sheets
        .sheets
        .iter()
        .map(|sheet| sheet.label.as_str())
        .collect();
    assert_eq!(
        labels,
        ["1C", "4C", "1L", "1R", "2L", "2R", "3L", "3R", "4L", "4R"]
    );
}

#[test]
fn every_page_proves_its_scale_and_says_how_to_print_it() {
    for Case {
        name,
        plan,
        sheets,
        pages,
    } in CASES.iter()
    {
        for (index, page) in pages.iter().enumerate() {
            let side = KeyRaster::of(&sheets.format).square;
            let square = paths(page, Layer::Labels).into_iter().any(|path| {
                path.fill.is_none()
                    && (path.outline.bounding_box().size() - Size::new(side, side))
                        .to_vec2()
                        .hypot()
                        < 1e-9
            });
            assert!(square, "{name}");
            let words: Vec<&str> = page
                .texts()
                .into_iter()
                .map(|text| text.content.as_str())
                .collect();
            let number = format!("page {} of {}", index + 2, pages.len() + 1);
            for wanted in [
                "Print at 100 %",
                "4 in",
                "printer: office laser",
                number.as_str(),
                plan.vehicle.name.as_str(),
            ] {
                assert!(
                    words.contains(&wanted),
                    "{name}: {wanted} is missing in {words:?}"
                );
            }
        }
    }
}

#[test]
fn a_key_is_cut_out_along_a_dashed_outline_to_which_its_arms_run() {
    let (sheets, pages) = pages(&fixture::grid_plan(), fixture::A4, false);
    for sheet in &sheets.sheets {
        let window = sheet.page_window();
        let paths = paths(&pages[sheet.page], Layer::Registration);
        let card = Rect {
            x1: window.x1 + 32.0,
            ..window
        };
        let same = |path: &&&Path| {
            let extent = path.outline.bounding_box();
            (extent.origin() - card.origin()).hypot()
                + (extent.size() - card.size()).to_vec2().hypot()
                < ROUNDING_MM
        };
        let line_types: Vec<LineType> = paths
            .iter()
            .filter(same)
            .filter_map(|p| p.stroke)
            .map(|s| s.line_type)
            .collect();
        // The outline; arms and their ends reach from edge to edge as well.
        assert_eq!(
            line_types
                .iter()
                .filter(|kind| **kind == LineType::Dashed)
                .count(),
            1
        );
        assert_eq!(
            line_types
                .iter()
                .filter(|kind| **kind == LineType::Continuous)
                .count(),
            2
        );
    }
}
