//! The overview: answers from the printed table, pairs that are equal on the plan, what lies below the vehicle.

use kurbo::{Line, ParamCurve};

use crate::{
    plan::FloorPlan,
    practice::{Block, Draw, Exercise, Kind, Setting, fixture, layout::Drawn},
};

const KIND: Kind = Kind::Overview;

fn plan(setting: &Setting, made: &Exercise) -> FloorPlan {
    let mut draw = Draw::of_sheet(made.seed, KIND, made.level, made.number);
    Drawn::new(setting, &mut draw).unwrap().plan
}

/// Both marks of "1L – 4R".
fn ends(plan: &FloorPlan, name: &str) -> Line {
    let mark = |id: &str| plan.marks.iter().find(|mark| mark.id == id).unwrap().at;
    let (one, other) = name.split_once(" \u{2013} ").unwrap();
    Line::new(mark(one), mark(other))
}

/// The options of the question with this answer, and which are right.
fn choices<'a>(made: &'a Exercise, of: &str) -> Option<(&'a [String], &'a [usize])> {
    let mut questions = made.questions.iter();
    let question =
        questions.find(|question| question.answers.iter().any(|(known, _)| known == of))?;
    question.blocks.iter().find_map(|block| match block {
        Block::Choices { options, right } => Some((&options[..], &right[..])),
        _ => None,
    })
}

#[test]
fn of_the_pairs_to_tick_one_alone_is_equal_on_the_plan() {
    fixture::all(KIND, |setting, made| {
        let Some((options, right)) = choices(made, "equal") else {
            assert!(made.level.number() < 3);
            return;
        };
        let plan = plan(setting, made);
        let equal = |option: &String| {
            let (one, other) = option.split_once(" and ").unwrap();
            let [one, other] = [one, other].map(|name| {
                let line = ends(&plan, name);
                line.p0.distance(line.p1)
            });
            (one - other).abs() < 20.0
        };
        let found: Vec<usize> = (0..options.len())
            .filter(|&at| equal(&options[at]))
            .collect();
        assert_eq!(found, right, "{options:?}");
    });
}

#[test]
fn what_is_ticked_crosses_the_vehicles_outline_and_the_rest_keeps_clear_of_it() {
    fixture::all(KIND, |setting, made| {
        let Some((options, right)) = choices(made, "below the vehicle") else {
            return;
        };
        assert!(
            !right.is_empty() && right.len() < options.len() && options.len() >= 3,
            "{options:?}"
        );
        let plan = plan(setting, made);
        let body = plan.vehicle.body();
        for (at, option) in options.iter().enumerate() {
            let line = ends(&plan, option);
            let inside = (0..=1000).any(|step| body.contains(line.eval(f64::from(step) / 1000.0)));
            assert_eq!(inside, right.contains(&at), "{option}");
        }
    });
}

#[test]
fn a_mark_by_its_numbers_is_the_only_one_there() {
    fixture::all(KIND, |setting, made| {
        if made.level.number() != 2 {
            return;
        }
        let plan = plan(setting, made);
        for row in fixture::rows(&made.questions[0].blocks[0]) {
            let place = fixture::word(&row[0]);
            let across = place.split(", ").nth(1).unwrap();
            let sign = if across.contains("left") { 1.0 } else { -1.0 };
            let along = match place.starts_with("level") {
                true => 0.0,
                false => fixture::number(place) * if place.contains("ahead") { 1.0 } else { -1.0 },
            };
            let there = plan.marks.iter().filter(|mark| {
                (mark.at.x - along).abs() <= 0.51
                    && (mark.at.y - sign * fixture::number(across)).abs() <= 0.51
            });
            let names: Vec<&str> = there.map(|mark| mark.id.as_str()).collect();
            assert_eq!(names, [fixture::word(&row[1])], "{place}");
        }
    });
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line", "rear-corner-arcs"] {
        let setting = fixture::setting("delivery-van", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 28));
    }
}
