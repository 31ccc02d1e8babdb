use super::*;
use crate::{
    drawing::Item,
    page::{proof::faults, text_box},
    vehicle::DIMENSIONS,
    words::NO_BREAK,
};

fn all() -> impl Iterator<Item = (Paper, bool)> {
    let papers = Paper::known().into_iter();
    papers.flat_map(|paper| [(paper.clone(), false), (paper, true)])
}

fn texts(page: &Drawing) -> Vec<&str> {
    let texts = page.texts().into_iter();
    texts.map(|text| text.content.as_str()).collect()
}

#[test]
fn nothing_overlaps_is_crossed_or_leaves_the_page_on_any_paper_in_any_unit() {
    for (paper, inches) in all() {
        let page = measuring_sheet(&paper, inches).unwrap();
        let none: [String; 0] = [];
        let found = faults(&page, drawing_space(&paper).inset(0.01));
        assert_eq!(found, none, "{} {inches}", paper.name);
    }
}

#[test]
fn every_row_has_a_blank_of_8_mm_for_each_number_of_it() {
    let wanted: usize = words::ROWS.iter().map(|row| row.blanks.len()).sum();
    for (paper, inches) in all() {
        let page = measuring_sheet(&paper, inches).unwrap();
        let sums = words::sums(inches);
        let wanted = wanted + sums.iter().map(|sum| sum.blanks.len()).sum::<usize>();
        let boxes: Vec<Rect> = page
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Path(path) if path.layer == Layer::Labels && path.fill.is_none() => {
                    Some(kurbo::Shape::bounding_box(&path.outline))
                }
                _ => None,
            })
            .filter(|place| place.height() >= rows::BLANK_MM - 1e-9 && place.width() > 10.0)
            .collect();
        let blanks = boxes.iter().filter(|place| place.y1 < paper.height - 30.0);
        assert_eq!(blanks.count(), wanted, "{} {inches}", paper.name);
    }
}

#[test]
fn every_dimension_of_a_vehicle_file_has_a_row_in_its_order_and_a_number_in_the_picture() {
    let place = |key: &str| words::ROWS.iter().position(|row| row.keys.contains(&key));
    let order: Vec<usize> = DIMENSIONS
        .iter()
        .map(|dimension| place(dimension.key).unwrap_or_else(|| panic!("{}", dimension.key)))
        .collect();
    assert!(order[1..].is_sorted(), "{order:?}");
    let views = measuring_views(None);
    let page = measuring_sheet(&Paper::usual(false), false).unwrap();
    for row in &words::ROWS {
        assert!(texts(&views).contains(&row.number), "{}", row.name);
        let on_page = texts(&page);
        let numbers = on_page.iter().filter(|text| **text == row.number);
        assert!(numbers.count() >= 2 && on_page.contains(&row.name));
        let known = |key: &str| key == "tyre" || DIMENSIONS.iter().any(|d| d.key == key);
        assert!(row.keys.iter().all(|key| known(key)), "{:?}", row.keys);
    }
}

#[test]
fn the_dimension_that_is_asked_for_is_drawn_heavy_and_no_other() {
    let heavy = |key: Option<&str>| -> Vec<String> {
        let page = measuring_views(key);
        let white = page.texts().into_iter().filter(|text| text.tone.0 > 0.5);
        let mut numbers: Vec<String> = white.map(|text| text.content.clone()).collect();
        numbers.sort();
        numbers
    };
    assert!(heavy(None).is_empty() && heavy(Some("colour")).is_empty());
    assert_eq!(heavy(Some("wheelbase_left")), ["1", "1"]);
    assert_eq!(heavy(Some("wheelbase")), ["1", "1", "2"]);
    for dimension in &DIMENSIONS {
        let numbers = heavy(Some(dimension.key));
        let row = |number: &str| words::ROWS.iter().find(|row| row.number == number).unwrap();
        assert!(!numbers.is_empty(), "{}", dimension.key);
        let of = |number: &String| row(number).keys.contains(&dimension.key);
        assert!(numbers.iter().all(of), "{numbers:?}");
    }
}

#[test]
fn lettering_of_the_picture_is_apart_and_inside_whatever_is_drawn_heavy() {
    let keys = DIMENSIONS.iter().map(|dimension| Some(dimension.key));
    for key in keys.chain([None, Some("tyre")]) {
        let page = measuring_views(key);
        let whole = Rect::from_origin_size((0.0, 0.0), views::PICTURE_MM);
        assert!((page.width - 170.0).abs() < 10.0);
        assert!(
            faults(&page, whole).is_empty(),
            "{:?}",
            faults(&page, whole)
        );
        assert!(
            page.texts()
                .iter()
                .all(|text| whole.contains_rect(text_box(text)))
        );
    }
}

#[test]
fn paper_without_room_is_refused_with_a_remedy() {
    let small = Paper::parse("148 mm x 210 mm").unwrap();
    let why = measuring_sheet(&small, false).unwrap_err();
    assert!(why.contains("take A4, Letter or larger"), "{why}");
}

#[test]
fn limits_are_those_that_a_vehicle_file_is_held_to() {
    let holds = |inches| {
        let all = words::sums(inches).into_iter();
        all.map(|sum| sum.holds.replace(NO_BREAK, " "))
            .collect::<Vec<_>>()
    };
    let with = |inches, limit: &str| {
        let all = holds(inches);
        all.iter().filter(|text| text.contains(limit)).count()
    };
    // 120 mm of wheelbase, and twice 60 mm of tyre beyond the body; 120 mm are 4.72 in,
    // and the next lower sixteenth is 4.69.
    assert_eq!((with(false, "120 mm"), with(true, "4 11/16 in")), (2, 2));
    assert_eq!(with(true, "mm"), 0);
}
