use kurbo::Rect;

use super::*;

use crate::{
    job::Record,
    page::{drawing_space, text_box},
    plan::FloorPlan,
    sheets::shared::overview_fixture,
    survey::{LayingFloor, Precision},
};

fn papers() -> [Paper; 2] {
    let [a4, letter, ..] = Paper::known();
    [a4, letter]
}

fn pages(plan: &FloorPlan, inches: bool, paper: &Paper) -> Vec<Drawing> {
    let record = overview_fixture::long_record();
    let context = Context {
        plan,
        record: &record,
        inches,
        printer: "",
    };
    drawn(&context, paper)
}

fn drawn(context: &Context<'_>, paper: &Paper) -> Vec<Drawing> {
    let precision = Precision::default();
    let all = SettingOutSteps::of(context.plan, &precision, context.inches);
    let takes = Takes::by_hand(context.plan, &precision, &all);
    steps(context, &all, &takes, paper)
}

fn clean(page: &Drawing, paper: &Paper, name: &str) {
    let space = drawing_space(paper).inflate(0.01, 0.01);
    let texts = page.texts();
    let boxes: Vec<Rect> = texts.iter().map(|text| text_box(text)).collect();
    for (index, text) in texts.iter().enumerate() {
        let one = boxes[index];
        assert!(
            space.contains_rect(one),
            "{name}: {text:?} leaves the frame"
        );
        assert!(text.height >= heights::SMALL - 1e-9, "{name}: {text:?}");
        for (other, under) in boxes.iter().zip(&texts).skip(index + 1) {
            // Descenders and accents of stacked lines may touch; letters may not.
            let (one, other) = (one.inset(-0.3), other.inset(-0.3));
            assert!(
                one.intersect(other).is_zero_area(),
                "{name}: {text:?} on {under:?}"
            );
        }
    }
}

#[test]
fn nothing_overlaps_or_leaves_the_frame_on_any_shape_and_paper() {
    for (name, shape) in overview_fixture::SHAPES {
        for length in [overview_fixture::SHORTEST, overview_fixture::LONGEST] {
            let plan = shape(length);
            for (paper, inches) in papers()
                .iter()
                .flat_map(|paper| [(paper, false), (paper, true)])
            {
                for page in pages(&plan, inches, paper) {
                    clean(
                        &page,
                        paper,
                        &format!("{name} {length} {} {inches}", paper.name),
                    );
                }
            }
        }
    }
}

#[test]
fn each_way_has_pages_of_its_own_with_every_mark_and_its_small_pictures_on_them() {
    let mut shown = 0;
    for (name, shape) in overview_fixture::SHAPES {
        let plan = shape(overview_fixture::LONGEST);
        let pages = pages(&plan, false, &papers()[0]);
        for way in ["Way 1: ", "Way 2: "] {
            let own: Vec<String> = pages
                .iter()
                .map(|page| {
                    let words = page.texts().into_iter().map(|text| text.content.as_str());
                    words.collect::<Vec<_>>().join(" ")
                })
                .filter(|words| words.contains(way))
                .collect();
            assert!((1..=2).contains(&own.len()), "{name}: {}", own.len());
            let words = own.join(" ");
            for mark in &plan.marks {
                assert!(words.contains(&mark.id), "{name}: {}", mark.id);
            }
            let pictures = [
                ": middle, plumbed",
                ": strings past",
                ": wheel centre, plumbed",
            ];
            for picture in pictures {
                let stands = LayingFloor::of(&plan) == LayingFloor::VehicleStands;
                assert_eq!(
                    words.contains(picture),
                    stands && way == "Way 1: ",
                    "{name} {way} {picture}"
                );
                shown += usize::from(stands);
            }
        }
    }
    assert!(shown > 0, "some layout is laid with the vehicle there");
}

#[test]
fn very_many_marks_go_over_several_pages_and_none_is_lost() {
    let mut plan = overview_fixture::perimeter(overview_fixture::LONGEST);
    let first = plan.marks[0].clone();
    plan.marks.retain(|mark| mark.at.y == 0.0);
    plan.tape_base = [0, plan.marks.len() - 1];
    plan.checks.clear();
    plan.lines.clear();
    for station in 0..30 {
        for rail in 0..10 {
            let mut mark = first.clone();
            let side = if rail < 5 { 1.0 } else { -1.0 };
            mark.id = format!(
                "{}{}{}",
                station + 3,
                if rail < 5 { "L" } else { "R" },
                rail % 5 + 1
            );
            mark.at = kurbo::Point::new(
                1900.0 - 230.0 * f64::from(station),
                side * (1300.0 + 110.0 * f64::from(rail % 5)),
            );
            plan.marks.push(mark);
        }
    }
    let record = Record::default();
    let context = Context {
        plan: &plan,
        record: &record,
        inches: false,
        printer: "",
    };
    let paper = &papers()[0];
    let pages = drawn(&context, paper);
    assert!(pages.len() > 2);
    let words: Vec<&str> = pages
        .iter()
        .flat_map(|page| page.texts())
        .map(|text| text.content.as_str())
        .collect();
    let words = words.join(" ");
    assert!(plan.marks.iter().all(|mark| words.contains(&mark.id)));
    for page in &pages {
        clean(page, paper, "many");
    }
}
