use super::*;

use crate::{
    drawing::Item,
    page::{labels::overlap, text_box},
    paper::Correction,
};

fn profile(x: f64, y: f64, skew: f64) -> Printer {
    let correction = Correction::measured(x, y, 200.0, skew);
    Printer {
        name: "a rather long name of an office printer".to_owned(),
        correction,
        ..Printer::default()
    }
}

#[test]
fn no_lettering_overlaps_or_is_cut_off_on_any_paper_with_or_without_a_profile() {
    let corrected = profile(199.2, 200.8, 0.1);
    let target = "\"a rather long name of an office printer\" --file \"profiles/of the office/printer.toml\" --on-top";
    for paper in Paper::known() {
        for (profile, inches) in [None, Some((&corrected, target))]
            .into_iter()
            .flat_map(|profile| [(profile, false), (profile, true)])
        {
            let page = printer_test(&paper, profile, inches).unwrap();
            let within = Rect::new(0.0, 0.0, paper.width, paper.height);
            let boxes: Vec<_> = page
                .texts()
                .into_iter()
                .map(|text| (text_box(text), text))
                .collect();
            for (index, (one, text)) in boxes.iter().enumerate() {
                assert!(within.contains_rect(*one), "{}: {text:?}", paper.name);
                assert!(text.height >= heights::SMALL - 0.02);
                for (other, second) in &boxes[index + 1..] {
                    assert!(
                        !overlap(one.inset(-1e-6), *other),
                        "{}: {text:?} on {second:?}",
                        paper.name
                    );
                }
            }
            let foot = text_part(rectangle(&paper)).y0;
            let last = boxes
                .iter()
                .filter(|(_, text)| text.content.contains("--margin-bottom …"));
            assert_eq!(
                last.filter(|(place, _)| place.y0 > foot).count(),
                1,
                "the command stands in its part"
            );
        }
    }
}

#[test]
fn bars_across_are_those_the_paper_has_room_for() {
    let [a4, letter, a3, tabloid] =
        Paper::known().map(|paper| bars_across(&paper).collect::<Vec<_>>());
    assert_eq!((a4, letter), (vec![200.0], vec![200.0]));
    assert_eq!((a3, tabloid), (vec![200.0, 250.0], vec![200.0, 250.0]));
}

#[test]
fn paper_that_cannot_hold_the_bars_is_refused() {
    let small = Paper::parse("148 mm x 210 mm").unwrap();
    assert!(
        printer_test(&small, None, false)
            .unwrap_err()
            .contains("209 × 276 mm")
    );
}

#[test]
fn bars_are_printed_through_the_correction_and_rulers_are_not() {
    let [a4, ..] = Paper::known();
    let plain = printer_test(&a4, None, false).unwrap();
    let corrected = profile(199.2, 200.8, 0.0);
    let through = printer_test(&a4, Some((&corrected, "office")), false).unwrap();
    let longest = |page: &Drawing| {
        let paths = page.items.iter().filter_map(|item| match item {
            Item::Path(path) => Some(kurbo::Shape::bounding_box(&path.outline).width()),
            Item::Text(_) => None,
        });
        paths.fold(0.0, f64::max)
    };
    assert!((longest(&plain) - 200.0).abs() < 1e-9);
    assert!((longest(&through) - 200.0 * 200.0 / 199.2).abs() < 1e-9);
    let ruler = |page: &Drawing| format!("{:?}", &page.items[page.items.len() - 2..]);
    assert_eq!(ruler(&plain), ruler(&through));
}
