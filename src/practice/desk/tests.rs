use super::*;
use crate::{
    job::TEMPLATES,
    practice::{
        Kind,
        fixture::{a_class_differs, answer, refusal, setting, sheet, sheets, text},
    },
};

const KIND: Kind = Kind::Desk;

#[test]
fn every_layout_goes_on_a_desk_in_one_piece_or_says_why_not() {
    let mut made = 0;
    // The shortest and the longest built-in vehicle.
    for (vehicle, template) in ["city-car", "delivery-van"]
        .iter()
        .flat_map(|v| TEMPLATES.iter().map(move |t| (v, t.name)))
    {
        let setting = setting(vehicle, template, &[]);
        for level in [Level::ALL[0], Level::ALL[2]] {
            match KIND.exercise(&setting, level, 1, 1) {
                Ok(exercise) => {
                    let model = exercise.model.as_ref().unwrap();
                    assert_eq!(model.sheets.groups().len(), 1, "{}", exercise.subject);
                    assert!(!model.sheets.joints.is_empty());
                    let mut marks = model.plan.marks.iter();
                    let shown = marks.all(|mark| model.sheets.sheet_at(mark.at).is_some());
                    assert!(shown, "{}", exercise.subject);
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
    let model = sheet(KIND, &setting, 1, 1).model.unwrap();
    let level = Level::ALL[0];
    let desk = Desk::drawn(&model, level, &mut Draw::of_sheet(1, KIND, level, 1));
    // 6244.9 mm is printed as 6245, and 6245 / 20 is 312.25; from 6244.9 it would be 312.0.
    let (floor, on_desk) = desk.floor(6244.9 / 20.0);
    assert_eq!((floor.as_str(), on_desk.as_str()), ("6245", "312.5"));
    assert_eq!(halves(231.26), "231.5");
}

#[test]
fn two_crossed_diagonals_of_one_length_are_always_among_the_checks() {
    let mut made = 0;
    for template in TEMPLATES {
        let setting = setting("delivery-van", template.name, &[]);
        for (level, number) in [(0, 1), (0, 2), (2, 1), (2, 2)] {
            let Ok(exercise) = KIND.exercise(&setting, Level::ALL[level], 5, number) else {
                continue;
            };
            let model = exercise.model.as_ref().unwrap();
            let pair: Vec<&Check> = model
                .diagonals()
                .iter()
                .map(|check| &model.plan.checks[*check])
                .collect();
            let off = (pair[0].distance - pair[1].distance).abs();
            assert!(off < 0.5, "{}", exercise.subject);
            for check in pair {
                let of = format!("{} on the desk", check.id);
                assert!(answer(&exercise, &of).is_some(), "{}", exercise.subject);
            }
            made += 1;
        }
    }
    assert!(made > 0);
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
fn what_is_too_small_or_too_large_for_the_scale_is_named_with_its_size() {
    let refused = |template, level, values: &[_]| {
        refusal(KIND, &setting("delivery-van", template, values), level)
    };
    let thin = refused("perimeter-lines", 1, &[("strip", "10 mm")]);
    assert!(
        thin.contains("at 1:20 a tape strip is 0.5 mm wide"),
        "{thin}"
    );
    let near = refused("perimeter-lines", 1, &[("cross_length", "100 mm")]);
    assert!(
        near.contains("at 1:20 marks") && near.contains("mm apart"),
        "{near}"
    );
    let gaps = [
        ("front_gap", "4 m"),
        ("rear_gap", "4 m"),
        ("side_gap", "2500 mm"),
    ];
    let large = refused("side-and-end-panels", 4, &gaps);
    assert!(large.contains("at 1:5 the layout takes"), "{large}");
}

#[test]
fn the_answer_to_a_wrong_cut_names_size_and_way() {
    let setting = setting("city-car", "perimeter-lines", &[]);
    for exercise in sheets(KIND, &setting, 3, 3, 8) {
        let outside = text(&exercise).contains("mm outside its dashed line");
        let way = if outside {
            "mm too far apart"
        } else {
            "mm too near"
        };
        let answer = answer(&exercise, "off on the floor").unwrap();
        assert!(answer.ends_with(way), "{answer}");
    }
}
