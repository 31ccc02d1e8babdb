//! Floors by numbers, and what is planted in them.

use crate::{
    practice::{
        Block, Exercise, Kind, Setting,
        fixture::{a_class_differs, answer, number, rows, settings_on, sheets, text, word},
    },
    survey::{LevelPoint, Plane},
};

const KIND: Kind = Kind::Levels;

fn all() -> Vec<Setting> {
    ["perimeter-lines", "target-line", "rear-corner-arcs"]
        .into_iter()
        .flat_map(settings_on)
        .collect()
}

/// The points of the sheet's table, heights upwards.
fn printed(exercise: &Exercise) -> Vec<LevelPoint> {
    let mut given = exercise.given.iter();
    let table = given
        .find(|block| matches!(block, Block::Table { .. }))
        .unwrap();
    let up = if exercise.level.number() == 3 {
        -1.0
    } else {
        1.0
    };
    let points = rows(table).iter().map(|row| {
        let [x, y, height] = [1, 2, 3].map(|column: usize| number(word(&row[column])));
        LevelPoint {
            name: word(&row[0]).to_owned(),
            at: (x, y).into(),
            height: up * height,
        }
    });
    points.collect()
}

#[test]
fn every_sheet_is_answered_by_the_plane_through_the_heights_as_printed() {
    for setting in all() {
        for exercise in (1..=4).flat_map(|level| sheets(KIND, &setting, level, 11, 200)) {
            let mut points = printed(&exercise);
            if let Some(beside) = answer(&exercise, "point beside the plane") {
                points.retain(|point| point.name != beside);
                let rest = Plane::fit(&points).unwrap();
                assert!(rest.deviations.iter().all(|mm| mm.abs() < 1e-6));
            }
            let slope = Plane::fit(&points).unwrap().slope;
            for (of, found) in [
                ("slope along, positive when it rises forward", slope.along),
                (
                    "slope across, positive when it rises to the left",
                    slope.across,
                ),
                ("greatest slope", slope.steepest()),
                ("greatest slope in percent", slope.percent()),
            ] {
                let said = number(&answer(&exercise, of).unwrap());
                assert!(
                    (said - found).abs() <= 0.005,
                    "{} {of}: {said} {found}",
                    text(&exercise)
                );
            }
        }
    }
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_another_number_another_one() {
    for level in 1..=4 {
        a_class_differs(KIND, &all()[0], level, 30, 30);
    }
}

#[test]
fn limits_are_kept_on_some_sheets_and_not_on_others() {
    let made = sheets(KIND, &all()[0], 3, 5, 60);
    let within = made
        .iter()
        .filter(|made| answer(made, "slope").unwrap() == "within the limit");
    let count = within.count();
    assert!((10..=50).contains(&count), "{count}");
}
