//! The overview over all shapes, papers, units and records that it has to serve.

use super::overview;
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

fn page(plan: &FloorPlan, record: &Record, inches: bool, paper: &Paper) -> Drawing {
    overview(
        &Context {
            plan,
            record,
            inches,
            printer: "demo",
        },
        paper,
    )
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

fn each_page(papers: &[Paper], mut look: impl FnMut(&str, &FloorPlan, &Paper, &Drawing)) {
    for (name, shape) in SHAPES {
        for length in [SHORTEST, LONGEST] {
            let plan = with_lays(&shape(length));
            for paper in papers {
                for inches in [false, true] {
                    for (kind, record) in [("empty", Record::default()), ("long", long_record())] {
                        let name = format!("{name}-{length}-{}-{inches}-{kind}", paper.name);
                        look(&name, &plan, paper, &page(&plan, &record, inches, paper));
                    }
                }
            }
        }
    }
}

#[test]
fn nothing_overlaps_is_cut_off_or_too_small_on_any_shape_paper_unit_or_record() {
    let mut all = Vec::new();
    each_page(&papers(), |name, _, paper, page| {
        all.extend(
            faults(page, drawing_space(paper))
                .into_iter()
                .map(|fault| format!("{name}: {fault}")),
        );
    });
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
}

#[test]
fn every_mark_stands_in_the_plan_and_in_the_table_and_every_lay_with_its_readings_in_the_list() {
    each_page(&papers()[..1], |name, plan, _, page| {
        let contents = contents(page);
        for (index, mark) in plan.marks.iter().enumerate() {
            let named = contents
                .iter()
                .filter(|text| **text == mark.id || text.starts_with(&format!("{}=", mark.id)))
                .count();
            assert!(
                named >= 2,
                "{name}: mark {index} {} stands {named} times",
                mark.id
            );
        }
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
                let length = crate::units::mm_text(reading.should_be);
                assert!(
                    contents.contains(&length.as_str()),
                    "{name}: {length} of lay {number} is missing"
                );
            }
        }
    });
}

#[test]
fn a_page_of_very_many_marks_still_comes_out_clean_and_says_what_is_left_out() {
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
        let page = page(&plan, &long_record(), true, paper);
        let faults = faults(&page, drawing_space(paper));
        assert!(faults.is_empty(), "{}", faults.join("\n"));
        assert!(
            contents(&page)
                .iter()
                .any(|text| text.contains("more in plan.json"))
        );
        assert!(
            contents(&page)
                .iter()
                .any(|text| text.contains("more in readings.csv"))
        );
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
fn numbers_keep_the_table_height_where_the_content_is_small() {
    let plan = crate::sheets::shared::overview_fixture::forward_target(SHORTEST);
    let page = page(&plan, &Record::default(), false, &papers()[0]);
    // 1500 mm: the offset of the baseline's left end in the table.
    let number = page.items.iter().find_map(|item| match item {
        Item::Text(text) if text.content == "1500" && text.turn == 0.0 => Some(text.height),
        _ => None,
    });
    assert_eq!(number, Some(heights::TEXT));
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
    each_page(&papers(), |name, plan, _, page| {
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
fn an_inch_job_has_tolerances_in_inches_beside_mm() {
    let mut plan = with_lays(&perimeter(LONGEST));
    plan.marks.iter_mut().for_each(|mark| mark.tolerance = 7.3);
    for inches in [false, true] {
        let page = page(&plan, &Record::default(), inches, &papers()[1]);
        // 7.3 mm are 4.6 sixteenths.
        let stands = contents(&page)
            .iter()
            .filter(|text| **text == "5/16")
            .count();
        assert_eq!(stands >= plan.marks.len(), inches, "{stands}");
        assert!(contents(&page).contains(&"7.3"));
    }
}
