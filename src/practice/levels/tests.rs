//! Floors by numbers, and what is planted in them.

use std::collections::BTreeSet;

use crate::{
    practice::{
        Exercise, Kind, Level, Setting,
        fixture::{settings_on, text},
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

fn answer(exercise: &Exercise, of: &str) -> Option<String> {
    exercise
        .facts()
        .iter()
        .find(|fact| fact.of.starts_with(of))
        .map(|fact| fact.answer.clone())
}

fn number(text: &str) -> f64 {
    text.replace('\u{2212}', "-")
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap()
}

/// The points of the sheet's table, heights upwards.
fn printed(exercise: &Exercise) -> Vec<LevelPoint> {
    use crate::practice::{Block, Cell};
    let rows = exercise.given.iter().find_map(|block| match block {
        Block::Table { rows, .. } => Some(rows),
        _ => None,
    });
    let cell = |cell: &Cell| match cell {
        Cell::Given(text) | Cell::Blank(text) => text.clone(),
    };
    let up = if exercise.level.number() == 3 {
        -1.0
    } else {
        1.0
    };
    let point = |row: &Vec<Cell>| {
        let row: Vec<String> = row.iter().map(cell).collect();
        LevelPoint {
            name: row[0].clone(),
            at: (number(&row[1]), number(&row[2])).into(),
            height: up * number(&row[3]),
        }
    };
    rows.unwrap().iter().map(point).collect()
}

#[test]
fn every_sheet_is_answered_by_the_plane_through_the_heights_as_printed() {
    for setting in all() {
        for level in Level::ALL {
            for sheet in 1..=200 {
                let exercise = KIND
                    .exercise(&setting, level, 11, sheet)
                    .unwrap_or_else(|error| panic!("{error}"));
                let mut points = printed(&exercise);
                if let Some(beside) = answer(&exercise, "point beside") {
                    points.retain(|point| point.name != beside);
                    assert!(
                        Plane::fit(&points)
                            .unwrap()
                            .deviations
                            .iter()
                            .all(|mm| mm.abs() < 1e-6)
                    );
                }
                let slope = Plane::fit(&points).unwrap().slope;
                for (of, found) in [
                    ("slope along", slope.along),
                    ("slope across", slope.across),
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
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_another_number_another_one() {
    let setting = &all()[0];
    for level in Level::ALL {
        let sheet = |number| text(&KIND.exercise(setting, level, 5, number).unwrap());
        assert_eq!(sheet(3), sheet(3));
        let different: BTreeSet<String> = (1..=30).map(sheet).collect();
        assert_eq!(different.len(), 30, "level {}", level.number());
    }
}

#[test]
fn limits_are_kept_on_some_sheets_and_not_on_others() {
    let setting = &all()[0];
    let level = Level::new(3).unwrap();
    let within = |sheet: &usize| {
        let made = KIND.exercise(setting, level, 5, *sheet).unwrap();
        made.facts()
            .iter()
            .any(|fact| fact.answer == "within the limit")
    };
    let count = (1..=60).filter(within).count();
    assert!((10..=50).contains(&count), "{count}");
}
