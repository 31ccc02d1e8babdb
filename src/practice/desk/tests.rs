use super::{model::MOST_PAGES, *};
use crate::{
    job::TEMPLATES,
    paper::Paper,
    practice::{
        Kind, Setting,
        fixture::{
            a_class_differs, answer, number, refusal, rows, setting, settings, sheet, sheets, text,
        },
    },
};

const KIND: Kind = Kind::Desk;

fn on(setting: &Setting, paper: &str, inches: bool) -> Setting {
    Setting {
        paper: Paper::parse(paper).unwrap(),
        inches,
        ..setting.clone()
    }
}

fn model(exercise: &Exercise) -> &Model {
    exercise.model.as_deref().unwrap()
}

/// Pages beside the sheets and the outline: exercise, map, blank grid.
fn pages(exercise: &Exercise) -> usize {
    3 + model(exercise).sheets.pages + model(exercise).half.pages
}

#[test]
fn every_layout_goes_on_a_desk_in_one_piece_on_no_more_pages_than_a_lesson_has() {
    for (setting, level) in settings()
        .iter()
        .flat_map(|setting| Level::ALL.map(|level| (setting, level)))
    {
        for (paper, inches) in [("A4", false), ("Letter", true), ("Letter", false)] {
            let setting = on(setting, paper, inches);
            let exercise = KIND.exercise(&setting, level, 1, 1);
            let exercise =
                exercise.unwrap_or_else(|error| panic!("{}: {error}", setting.subject()));
            let model = model(&exercise);
            let what = format!("{} level {} {paper}", exercise.subject, level.number());
            assert_eq!(model.sheets.groups().len(), 1, "{what}");
            assert!(!model.sheets.joints.is_empty(), "{what}");
            let mut marks = model.plan.marks.iter();
            let shown = marks.all(|mark| model.sheets.sheet_at(mark.at).is_some());
            assert!(shown, "{what}");
            // The exercise itself may take a second page.
            assert!(
                pages(&exercise) < MOST_PAGES,
                "{what}: {}",
                pages(&exercise)
            );
        }
    }
}

#[test]
fn what_is_asked_grows_with_the_level() {
    let setting = setting("estate", "perimeter-lines", &[]);
    let asked = [1, 2, 3, 4].map(|level| {
        let exercise = sheet(KIND, &setting, level, 3);
        (exercise.questions.len(), exercise.points())
    });
    assert!(
        asked.is_sorted_by(|one, next| one.0 <= next.0 && one.1 < next.1),
        "{asked:?}"
    );
    assert_eq!(asked.map(|(questions, _)| questions), [4, 5, 5, 6]);
}

#[test]
fn lengths_on_the_desk_are_worked_out_from_the_number_that_is_printed() {
    let setting = setting("city-car", "perimeter-lines", &[]);
    let exercise = sheet(KIND, &setting, 1, 1);
    let level = Level::ALL[0];
    let desk = Desk::drawn(
        model(&exercise),
        level,
        &mut Draw::of_sheet(1, KIND, level, 1),
    );
    // 6244.9 mm is printed as 6245, and 6245 / 20 is 312.25; from 6244.9 it would be 312.0.
    let (floor, on_desk) = desk.floor(6244.9 / 20.0);
    assert_eq!((floor, on_desk.to_string()), (6245.0, "312.5 mm".into()));
    assert_eq!(ruler(231.26, Ruling::Metric).number(), Some(231.5));
    // 9 1/32 in.
    assert_eq!(ruler(9.03125 * 25.4, Ruling::Inches).bare(), "9 1/16");
}

#[test]
fn two_crossed_diagonals_of_one_length_are_always_among_the_checks() {
    for setting in settings() {
        for level in [1, 4] {
            let exercise = sheet(KIND, &setting, level, 5);
            let model = model(&exercise);
            let desk = Desk::drawn(
                model,
                exercise.level,
                &mut Draw::of_sheet(5, KIND, exercise.level, 1),
            );
            let pair = model.diagonals();
            let [one, other] = [pair[0], pair[1]].map(|check| &model.plan.checks[check]);
            assert!(
                (one.distance - other.distance).abs() < 0.5,
                "{}",
                exercise.subject
            );
            for check in [one, other] {
                let asked = desk.checks.iter().any(|asked| std::ptr::eq(*asked, check));
                assert!(asked, "{}", exercise.subject);
            }
        }
    }
}

#[test]
fn a_blank_is_a_point_and_what_is_measured_is_right_within_a_millimetre() {
    for inches in [false, true] {
        let setting = on(
            &setting("estate", "side-and-end-panels", &[]),
            "Letter",
            inches,
        );
        for level in 1..=4 {
            let exercise = sheet(KIND, &setting, level, 2);
            for question in &exercise.questions {
                let tables = question
                    .blocks
                    .iter()
                    .filter(|block| matches!(block, Block::Table { .. }));
                let blanks = tables
                    .flat_map(rows)
                    .flatten()
                    .filter(|cell| matches!(cell, Cell::Blank(_)))
                    .count();
                assert!(
                    blanks == 0 || blanks as u32 == question.points,
                    "{}",
                    question.text
                );
            }
            let facts = exercise.facts();
            let of = |name: &str| facts.iter().find(|fact| fact.of == name).unwrap();
            let near = |bound: Option<f64>, expected: f64| {
                assert!((bound.unwrap() - expected).abs() < 1e-9, "{bound:?}");
            };
            let expected = if inches { 1.0 / 16.0 } else { 1.0 };
            near(of("check 1 measured").within, expected);
            near(of("distance 1 on the desk").within, expected);
            let n = f64::from(model(&exercise).denominator);
            near(of("distance 1 on the floor").within, n * expected);
            let unit = if inches { "in" } else { "mm" };
            assert!(of("sheets").answer.number().is_some());
            assert_eq!(of("off on the floor").answer.unit(), Some(unit));
        }
    }
}

#[test]
fn no_word_of_a_sheet_in_inches_is_in_mm() {
    for setting in settings() {
        for level in 1..=4 {
            let exercise = sheet(KIND, &on(&setting, "Letter", true), level, 4);
            let words = text(&exercise);
            assert!(
                !words.contains(" mm") && !words.contains("millimetre"),
                "{words}"
            );
            assert!(words.contains("4 in"), "{words}");
        }
    }
}

#[test]
fn distances_from_the_outline_are_those_of_the_plan() {
    for setting in settings() {
        for (level, seed) in [(1, 1), (3, 1), (3, 2), (4, 3)] {
            let exercise = sheet(KIND, &setting, level, seed);
            let model = model(&exercise);
            let question = exercise
                .questions
                .iter()
                .find(|question| question.text.contains("half outline"))
                .unwrap();
            let vehicle = &model.plan.vehicle;
            let side = if model.half.left { 1.0 } else { -1.0 };
            for row in rows(&question.blocks[0]) {
                let [
                    _,
                    Cell::Given(from),
                    Cell::Given(mark),
                    Cell::Blank(desk),
                    Cell::Blank(floor),
                ] = &row[..]
                else {
                    panic!("{row:?}")
                };
                let at = model
                    .plan
                    .marks
                    .iter()
                    .find(|one| one.id == *mark)
                    .unwrap()
                    .at;
                let x = if from.contains("front") { 0 } else { 2 } + usize::from(side < 0.0);
                let wheel = vehicle.wheels[x];
                let true_distance = if from.contains("side") {
                    at.y * side - vehicle.half_width
                } else if from.contains("tyre") {
                    at.y * side - (wheel.centre.y * side + wheel.width / 2.0)
                } else {
                    let x = if from.contains("front") {
                        vehicle.front_x
                    } else {
                        vehicle.rear_x
                    };
                    at.distance((x, side * vehicle.half_width).into())
                };
                let n = f64::from(model.denominator);
                assert!(
                    (number(desk) - true_distance).abs() < 0.5,
                    "{row:?} {true_distance}"
                );
                assert!((number(floor) - n * true_distance).abs() <= 1.5, "{row:?}");
            }
        }
    }
}

#[test]
fn the_parts_of_the_half_make_it_up_and_lie_apart_on_their_pages() {
    for setting in settings() {
        for paper in ["A4", "Letter"] {
            let setting = on(&setting, paper, false);
            for level in [1, 2] {
                let exercise = sheet(KIND, &setting, level, 1);
                let (half, plan) = (&model(&exercise).half, &model(&exercise).plan);
                let area: f64 = half.parts.iter().map(|part| part.place.area()).sum();
                assert!((area - plan.vehicle.body().area() / 2.0).abs() < 1e-6);
                let printed = kurbo::Rect::new(
                    10.0,
                    25.0,
                    setting.paper.width - 10.0 + 1e-6,
                    setting.paper.height - 10.0 + 1e-6,
                );
                for (index, part) in half.parts.iter().enumerate() {
                    let shown = part.to_page.transform_rect_bbox(part.place);
                    assert!(printed.contains_rect(shown), "{shown}");
                    for other in &half.parts[index + 1..] {
                        let there = other.to_page.transform_rect_bbox(other.place);
                        assert!(part.page != other.page || !there.overlaps(shown));
                    }
                }
            }
        }
    }
}

#[test]
fn a_class_of_thirty_gets_thirty_different_sheets() {
    a_class_differs(
        KIND,
        &setting("city-car", "perimeter-lines", &[]),
        1,
        30,
        30,
    );
}

#[test]
fn what_is_too_small_or_too_large_for_the_scales_is_named_with_its_size() {
    let refused = |template, level, values: &[_]| {
        refusal(KIND, &setting("delivery-van", template, values), level)
    };
    let gaps = [
        ("front_gap", "4 m"),
        ("rear_gap", "4 m"),
        ("side_gap", "2500 mm"),
    ];
    let [front, rear, side] = gaps;
    let refused = refused(
        "perimeter-lines",
        4,
        &[front, rear, side, ("strip", "10 mm")],
    );
    assert!(refused.contains("at 1:10 the layout takes"), "{refused}");
    assert!(
        refused.contains("at 1:20 a tape strip is 0.5 mm wide"),
        "{refused}"
    );
    let large = sheet(
        KIND,
        &setting("delivery-van", "side-and-end-panels", &gaps),
        4,
        1,
    );
    assert_eq!(model(&large).denominator, 20);
}

#[test]
fn a_layout_that_fits_one_sheet_at_the_first_scale_is_made_at_the_next() {
    let panels = [
        ("front_gap", "200 mm"),
        ("rear_gap", "200 mm"),
        ("side_gap", "200 mm"),
    ];
    let small = sheet(
        KIND,
        &setting("city-car", "side-and-end-panels", &panels),
        1,
        1,
    );
    assert_eq!(model(&small).denominator, 10);
}

#[test]
fn the_answer_to_a_fault_names_size_and_way() {
    for template in TEMPLATES {
        let setting = setting("city-car", template.name, &[]);
        for (level, exercise) in [3, 4].into_iter().flat_map(|level| {
            let made = sheets(KIND, &setting, level, 3, 8).into_iter();
            made.map(move |exercise| (level, exercise))
        }) {
            let words = text(&exercise).replace('\u{a0}', " ");
            let after = |words: &str, what: &str| {
                let at = words.find(what).unwrap() + what.len();
                number(&words[at..])
            };
            let mut apart = after(&words, "was cut ");
            if words.contains("mm inside its dashed line") {
                apart = -apart;
            }
            if level == 4 {
                apart -= after(&words, "Its cut edge was laid ");
            }
            let way = if apart > 0.0 {
                "too far apart"
            } else {
                "too near"
            };
            assert_eq!(answer(&exercise, "which way").unwrap(), way);
            let off = answer(&exercise, "off on the floor").unwrap();
            let n = f64::from(model(&exercise).denominator);
            assert_eq!(number(&off), apart.abs() * n);
        }
    }
}
