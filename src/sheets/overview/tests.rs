//! The overview over all shapes, papers, units and records that it has to serve.

use super::overviews;
use crate::{
    drawing::{Drawing, Item, Weight, heights},
    job::Record,
    page::{drawing_space, proof::faults},
    paper::Paper,
    plan::{FloorPlan, LayEnd, WHEEL_NAMES},
    sheets::shared::{
        Context,
        overview_fixture::{LONGEST, SHAPES, SHORTEST, long_record, perimeter, with_lays},
    },
    units::{inch_text, mm_text},
};

fn papers() -> [Paper; 3] {
    // ISO 216 and ANSI/ASME Y14.1 sizes.
    [
        ("A4", 210.0, 297.0),
        ("Letter", 215.9, 279.4),
        ("A3", 297.0, 420.0),
    ]
    .map(|(name, width, height)| Paper {
        name: name.to_owned(),
        width,
        height,
    })
}

fn pages(plan: &FloorPlan, record: &Record, inches: bool, paper: &Paper) -> Vec<Drawing> {
    let context = Context {
        plan,
        record,
        inches,
        printer: "demo",
    };
    overviews(&[context], paper).concat()
}

/// The first page.
fn page(plan: &FloorPlan, record: &Record, inches: bool, paper: &Paper) -> Drawing {
    pages(plan, record, inches, paper).swap_remove(0)
}

fn contents(page: &Drawing) -> Vec<&str> {
    page.items
        .iter()
        .filter_map(|item| {
            if let Item::Text(text) = item {
                Some(text.content.as_str())
            } else {
                None
            }
        })
        .collect()
}

fn each_page(papers: &[Paper], mut look: impl FnMut(&str, &FloorPlan, &Paper, &[Drawing])) {
    for (name, shape) in SHAPES {
        for length in [SHORTEST, LONGEST] {
            let plan = with_lays(&shape(length));
            for paper in papers {
                for inches in [false, true] {
                    for (kind, record) in [("empty", Record::default()), ("long", long_record())] {
                        let name = format!("{name}-{length}-{}-{inches}-{kind}", paper.name);
                        let pages = pages(&plan, &record, inches, paper);
                        look(&name, &plan, paper, &pages);
                    }
                }
            }
        }
    }
}

#[test]
fn nothing_overlaps_is_cut_off_or_too_small_on_any_shape_paper_unit_or_record() {
    let mut all = Vec::new();
    each_page(&papers(), |name, _, paper, pages| {
        let faults = pages
            .iter()
            .flat_map(|page| faults(page, drawing_space(paper)));
        all.extend(faults.map(|fault| format!("{name}: {fault}")));
    });
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
}

#[test]
fn every_mark_stands_in_the_plan_and_in_the_table_and_every_lay_with_its_readings_in_the_list() {
    each_page(&papers()[..1], |name, plan, _, pages| {
        let contents: Vec<&str> = pages.iter().flat_map(contents).collect();
        for (index, mark) in plan.marks.iter().enumerate() {
            let is_named = |text: &&&str| text.split_whitespace().any(|word| word == mark.id);
            let named = contents.iter().filter(is_named).count();
            assert!(
                named >= 2,
                "{name}: mark {index} {} stands {named} times",
                mark.id
            );
        }
        let inches = name.contains("true");
        for lay in &plan.lays {
            let number = lay.number.to_string();
            assert!(
                contents.contains(&number.as_str()),
                "{name}: lay {number} is missing"
            );
            for reading in lay
                .readings
                .iter()
                .filter(|reading| reading.should_be > 0.0)
            {
                let write = if inches { inch_text } else { mm_text };
                let length = write(reading.should_be);
                assert!(
                    contents.contains(&length.as_str()),
                    "{name}: {length} of lay {number} is missing"
                );
            }
        }
    });
}

#[test]
fn what_is_read_at_the_bay_is_9_points_and_numbers_to_tape_are_11() {
    // Capitals of the face are 0.729 of its size; a point is 25.4/72 mm.
    let points = |mm: f64| mm / 0.729 / 25.4 * 72.0;
    let is_number = |text: &str| {
        let mut words = text.split(&[' ', '/']);
        words.all(|word| word.chars().all(|c| c.is_ascii_digit())) && text.len() >= 3
    };
    each_page(&papers(), |name, _, paper, pages| {
        let page = &pages[0];
        let frame = drawing_space(paper);
        let top = page.items.iter().find_map(|item| match item {
            Item::Text(text) if text.content == "title" => Some(text.at.y),
            _ => None,
        });
        for item in &page.items {
            let Item::Text(text) = item else { continue };
            // Captions of the title block.
            if Some(text.at.y) <= top && text.height < heights::TEXT {
                assert!(
                    text.height >= heights::SMALL && frame.contains(text.at),
                    "{name}: {text:?}"
                );
                continue;
            }
            // Beside a title block of several lines the plan is too small for all names.
            let crowded = name.ends_with("long") && text.weight == Weight::Bold;
            assert!(crowded || points(text.height) >= 9.0, "{name}: {text:?}");
            // A bound below an inch is compared, not taped.
            let is_fraction = text.content.contains('/') && !text.content.contains(' ');
            if Some(text.at.y) > top && is_number(&text.content) && !is_fraction {
                assert!(points(text.height) >= 11.0, "{name}: {text:?}");
            }
        }
    });
}

#[test]
fn the_front_is_named_on_every_plan() {
    each_page(&papers(), |name, _, _, pages| {
        let named = contents(&pages[0])
            .iter()
            .filter(|text| **text == "↑ front")
            .count();
        assert_eq!(named, 1, "{name}");
    });
}

#[test]
fn what_is_too_much_for_a_page_goes_on_to_its_back_whole() {
    let mut plan = with_lays(&perimeter(LONGEST));
    let extra: Vec<_> = (0..70)
        .map(|index| {
            let mut mark = plan.marks[0].clone();
            mark.id = format!("F{index}");
            mark.station = None;
            mark.at.x -= 97.0 * f64::from(index);
            mark.at.y += 13.0 * f64::from(index % 7);
            mark
        })
        .collect();
    plan.marks.extend(extra);
    for paper in papers().iter().take(2) {
        let pages = pages(&plan, &long_record(), true, paper);
        assert!(pages.len() > 1);
        for page in &pages {
            let faults = faults(page, drawing_space(paper));
            assert!(faults.is_empty(), "{}", faults.join("\n"));
        }
        let numbers = |index: usize| format!("{}/{}", index + 1, pages.len());
        let mut all: Vec<&str> = Vec::new();
        for (index, page) in pages.iter().enumerate() {
            assert!(contents(page).contains(&numbers(index).as_str()));
            all.extend(contents(page));
        }
        let row = |id: &str| {
            all.iter()
                .any(|text| text.split(' ').any(|word| word == id))
        };
        assert!(plan.marks.iter().all(|mark| row(&mark.id)));
        let last = plan.lays.last().map(|lay| lay.number.to_string());
        assert!(last.is_some_and(|last| all.contains(&last.as_str())));
    }
}

#[test]
fn a_badge_off_the_centre_is_warned_about() {
    let mut plan = perimeter(SHORTEST);
    plan.vehicle.badge_offset = -12.0;
    let page = page(&plan, &Record::default(), false, &papers()[0]);
    let text = contents(&page).join(" ");
    assert!(text.contains("12 mm right of the true centre"), "{text}");
}

#[test]
fn the_same_input_gives_the_same_drawing() {
    let plan = perimeter(LONGEST);
    let [first, second] =
        [0, 1].map(|_| format!("{:?}", page(&plan, &long_record(), true, &papers()[1])));
    assert!(first == second);
}

#[test]
fn each_wheel_mark_that_the_list_uses_stands_beside_its_wheel() {
    each_page(&papers(), |name, plan, _, pages| {
        let page = &pages[0];
        let wheels = plan
            .lays
            .iter()
            .any(|lay| matches!(lay.from, LayEnd::Wheel(_)));
        // The list's own words are not in bold.
        let bold = |item: &&Item| matches!(item, Item::Text(text) if text.weight == Weight::Bold && WHEEL_NAMES.contains(&text.content.as_str()));
        let named = page.items.iter().filter(bold).count();
        assert_eq!(named, if wheels { WHEEL_NAMES.len() } else { 0 }, "{name}");
    });
}

#[test]
fn an_inch_job_has_inches_and_the_dimensions_it_rests_on() {
    let mut plan = with_lays(&perimeter(LONGEST));
    plan.marks.iter_mut().for_each(|mark| mark.tolerance = 7.3);
    plan.vehicle.tyre_code = Some("215/65R16".to_owned());
    plan.vehicle.dimensions = vec![
        ("wheelbase".to_owned(), 3450.0),
        ("tyre_width".to_owned(), 215.0),
    ];
    for inches in [false, true] {
        let page = page(&plan, &Record::default(), inches, &papers()[1]);
        // 7.3 mm are 4.6 sixteenths.
        let tolerance = if inches { "5/16" } else { "7.3" };
        let stands = contents(&page)
            .iter()
            .filter(|text| **text == tolerance)
            .count();
        assert!(stands >= plan.marks.len() / 2, "{stands}");
        let text = contents(&page).join(" ");
        let (wheelbase, tyre) = if inches {
            ("135 13/16", "8 7/16")
        } else {
            ("3450", "215")
        };
        assert!(text.contains(&format!("wheelbase {wheelbase}")), "{text}");
        assert!(
            text.contains(&format!("tyre width {tyre} (worked out from 215/65R16)")),
            "{text}"
        );
    }
}
