use super::*;
use crate::{
    job::TEMPLATES,
    practice::{
        Kind,
        fixture::{a_class_differs, setting, text},
    },
};

const KIND: Kind = Kind::Desk;

#[test]
fn every_layout_goes_on_a_desk_in_one_piece_or_says_why_not() {
    let mut made = 0;
    // The shortest and the longest built-in vehicle.
    let pairs = ["city-car", "delivery-van"]
        .into_iter()
        .flat_map(|vehicle| TEMPLATES.iter().map(move |of| (vehicle, of.name)));
    for (vehicle, template) in pairs {
        let setting = setting(vehicle, template, &[]);
        for level in [Level::ALL[0], Level::ALL[2]] {
            match KIND.exercise(&setting, level, 1, 1) {
                Ok(exercise) => {
                    let model = exercise.model.as_ref().unwrap();
                    assert_eq!(model.sheets.groups().len(), 1, "{}", exercise.subject);
                    assert!(!model.sheets.joints.is_empty());
                    let shown =
                        |mark: usize| model.sheets.sheet_at(model.plan.marks[mark].at).is_some();
                    assert!(
                        (0..model.plan.marks.len()).all(shown),
                        "{}",
                        exercise.subject
                    );
                    made += 1;
                }
                Err(error) => assert!(error.to_string().contains("1:"), "{error}"),
            }
        }
    }
    // A city car between panels at 1:20 goes on one sheet.
    assert!(made >= 15, "{made}");
}

#[test]
fn lengths_on_the_desk_are_worked_out_from_the_number_that_is_printed() {
    let setting = setting("city-car", "perimeter-lines", &[]);
    let exercise = KIND.exercise(&setting, Level::ALL[0], 1, 1).unwrap();
    let model = exercise.model.unwrap();
    let desk = Desk::drawn(
        &model,
        Level::ALL[0],
        &mut Draw::of_sheet(1, KIND, Level::ALL[0], 1),
    );
    // 6244.9 mm is printed as 6245, and 6245 / 20 is 312.25; from 6244.9 it would be 312.0.
    assert_eq!(
        desk.floor(6244.9 / 20.0),
        ("6245".to_owned(), "312.5".to_owned())
    );
    assert_eq!(halves(231.26), "231.5");
}

#[test]
fn two_crossed_diagonals_of_one_length_are_always_among_the_checks() {
    for template in TEMPLATES {
        let setting = setting("delivery-van", template.name, &[]);
        for level in [Level::ALL[0], Level::ALL[2]] {
            for number in 1..3 {
                let Ok(exercise) = KIND.exercise(&setting, level, 5, number) else {
                    continue;
                };
                let model = exercise.model.as_ref().unwrap();
                let pair = model.diagonals();
                let [one, other] = [pair[0], pair[1]].map(|check| &model.plan.checks[check]);
                assert!(
                    (one.distance - other.distance).abs() < 0.5,
                    "{}",
                    exercise.subject
                );
                let on_sheet = |id: &str| {
                    exercise
                        .facts()
                        .iter()
                        .any(|fact| fact.of == format!("{id} on the desk"))
                };
                assert!(
                    on_sheet(&one.id) && on_sheet(&other.id),
                    "{}",
                    exercise.subject
                );
            }
        }
    }
}

#[test]
fn a_class_of_thirty_gets_thirty_different_sheets() {
    a_class_differs(
        KIND,
        &setting("city-car", "perimeter-lines", &[]),
        Level::ALL[0],
        30,
    );
}

#[test]
fn what_is_too_small_or_too_large_for_the_scale_is_named_with_its_size() {
    let refused = |values: &[(&str, &str)], level: usize, template: &str| {
        KIND.exercise(
            &setting("delivery-van", template, values),
            Level::ALL[level],
            1,
            1,
        )
        .unwrap_err()
        .to_string()
    };
    let thin = refused(&[("strip", "10 mm")], 0, "perimeter-lines");
    assert!(
        thin.contains("at 1:20 a tape strip is 0.5 mm wide"),
        "{thin}"
    );
    let near = refused(&[("cross_length", "100 mm")], 0, "perimeter-lines");
    assert!(
        near.contains("at 1:20 marks") && near.contains("mm apart"),
        "{near}"
    );
    let large = refused(
        &[
            ("front_gap", "4 m"),
            ("rear_gap", "4 m"),
            ("side_gap", "2500 mm"),
        ],
        3,
        "side-and-end-panels",
    );
    assert!(large.contains("at 1:5 the layout takes"), "{large}");
}

#[test]
fn the_answer_to_a_wrong_cut_names_size_and_way() {
    let setting = setting("city-car", "perimeter-lines", &[]);
    for number in 1..9 {
        let exercise = KIND.exercise(&setting, Level::ALL[2], 3, number).unwrap();
        let last = exercise.facts().pop().unwrap();
        let outside = text(&exercise).contains("mm outside its dashed line");
        assert_eq!(
            last.answer.ends_with("mm too far apart"),
            outside,
            "{}",
            last.answer
        );
        assert_eq!(
            last.answer.ends_with("mm too near"),
            !outside,
            "{}",
            last.answer
        );
    }
}
