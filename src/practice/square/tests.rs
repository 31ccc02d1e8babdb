//! Sound sheets for all vehicles and templates, and what is planted in them.

use std::collections::BTreeSet;

use crate::{
    practice::{
        Block, Cell, Exercise, Kind, Level, Setting,
        fixture::{settings_on, text},
    },
    source::Place,
    survey::{Assessment, Reading, ReadingKind, Readings, Verdict, assess},
};

const KIND: Kind = Kind::Square;

/// Templates with the levels that they go with: the others have no rectangle.
const LAYOUTS: [(&str, &[i64]); 4] = [
    ("perimeter-lines", &[1, 2, 3, 4]),
    ("side-and-end-panels", &[1, 2, 3, 4]),
    ("target-line", &[3]),
    ("rear-corner-arcs", &[3, 4]),
];

/// The readings as they stand on the sheet: from, to, should be, reading.
fn printed(exercise: &Exercise) -> Vec<(String, String, f64, f64)> {
    let Some(Block::Table { columns, rows }) = exercise.questions[0].blocks.first() else {
        panic!("no table")
    };
    let word = |cell: &Cell| match cell {
        Cell::Given(text) => text.clone(),
        Cell::Blank(_) => String::new(),
    };
    let groups = rows
        .iter()
        .flat_map(|row| row.chunks(columns.iter().position(|c| c == "diff.").unwrap() + 1));
    let reading = |group: &[Cell]| {
        let mm = |cell: &Cell| word(cell).parse::<f64>().ok();
        Some((
            word(&group[0]),
            word(&group[1]),
            mm(&group[2])?,
            mm(&group[3])?,
        ))
    };
    groups.filter_map(reading).collect()
}

/// The judgement of the `check` command on the readings as printed, with the whole layout.
fn checked(setting: &Setting, exercise: &Exercise) -> (Vec<String>, Assessment) {
    let printed = printed(exercise);
    let names = printed
        .iter()
        .map(|(from, to, ..)| format!("{from} – {to}"))
        .collect();
    let readings = printed.into_iter().map(|(from, to, _, value)| Reading {
        should_be: None,
        lay: None,
        label: None,
        kind: ReadingKind::Distance { from, to },
        value,
        sd: None,
        place: Place::whole("sheet"),
    });
    let readings = Readings {
        job: None,
        marks: Vec::new(),
        readings: readings.collect(),
        blank: 0,
        precision: None,
    };
    let survey = readings
        .resolve(Some(&setting.plan), &setting.precision)
        .unwrap();
    (names, assess(&survey.taped).unwrap())
}

/// What the key says: marks that lie off, readings that are wrong, and whether the grid is turned.
fn planted(setting: &Setting, exercise: &Exercise) -> (BTreeSet<String>, BTreeSet<String>, bool) {
    let (mut marks, mut readings, mut turned) = (BTreeSet::new(), BTreeSet::new(), false);
    for which in exercise
        .facts()
        .iter()
        .filter(|fact| fact.of.ends_with(": which"))
        .map(|fact| fact.answer.as_str())
    {
        match which.strip_prefix("station ") {
            _ if which == "\u{2013}" => {}
            _ if which == "grid" => turned = true,
            _ if which.contains(" \u{2013} ") => {
                readings.insert(which.to_owned());
            }
            Some(station) => {
                let on = |mark: &&crate::plan::Mark| mark.station == station.parse().ok();
                marks.extend(
                    setting
                        .plan
                        .marks
                        .iter()
                        .filter(on)
                        .map(|mark| mark.id.clone()),
                );
            }
            None => {
                marks.insert(which.to_owned());
            }
        }
    }
    (marks, readings, turned)
}

fn is_found(setting: &Setting, exercise: &Exercise) {
    let (names, found) = checked(setting, exercise);
    let (marks, readings, turned) = planted(setting, exercise);
    let displaced: BTreeSet<String> = found
        .marks
        .iter()
        .filter(|mark| mark.displaced)
        .map(|mark| mark.id.clone())
        .collect();
    let suspects: BTreeSet<String> = found
        .suspects
        .iter()
        .map(|one| names[one.observation].clone())
        .collect();
    assert_eq!(
        (displaced, suspects),
        (marks, readings),
        "{}",
        text(exercise)
    );
    let pose = found.pose.and_then(|pose| pose.verdict);
    if turned {
        assert_eq!(pose, Some(Verdict::Outside), "{}", text(exercise));
    } else if exercise.facts().iter().any(|fact| fact.answer == "nothing") {
        assert_ne!(pose, Some(Verdict::Outside), "{}", text(exercise));
    }
}

fn all_are_found(sheets: [usize; 4]) {
    for (template, levels) in LAYOUTS {
        for setting in settings_on(template) {
            for level in levels.iter().map(|&level| Level::new(level).unwrap()) {
                for number in 1..=level.of(sheets) {
                    let made = KIND
                        .exercise(&setting, level, 99, number)
                        .unwrap_or_else(|error| panic!("{error}"));
                    is_found(&setting, &made);
                }
            }
        }
    }
}

#[test]
fn what_is_planted_is_found_by_the_check_of_the_readings_as_printed() {
    all_are_found([10, 10, 1, 1]);
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_another_number_another_one() {
    let setting = &settings_on("side-and-end-panels")[1];
    for (level, count) in Level::ALL.into_iter().zip([30, 30, 5, 5]) {
        let sheet = |number| text(&KIND.exercise(setting, level, 5, number).unwrap());
        assert_eq!(sheet(3), sheet(3));
        let different: BTreeSet<String> = (1..=count).map(sheet).collect();
        assert!(different.len() == count, "level {}", level.number());
    }
}

#[test]
fn short_answers_are_the_same_quantities_on_all_sheets_and_say_what_to_do() {
    let setting = &settings_on("side-and-end-panels")[1];
    for (level, slots) in Level::ALL.into_iter().zip([1, 1, 1, 2]) {
        let made: Vec<Exercise> = (1..=6)
            .map(|number| KIND.exercise(setting, level, 3, number).unwrap())
            .collect();
        let asked = |made: &Exercise| -> Vec<String> {
            made.facts()
                .iter()
                .filter(|fact| fact.question > 1)
                .map(|fact| fact.of.clone())
                .collect()
        };
        assert!(made.iter().all(|one| asked(one) == asked(&made[0])));
        for one in &made {
            let facts = one.facts();
            let answers = |of: &str| -> Vec<&str> {
                facts
                    .iter()
                    .filter(|fact| fact.of.ends_with(of))
                    .map(|fact| fact.answer.as_str())
                    .collect()
            };
            let (which, far, actions) = (
                answers(": which"),
                answers(": how far"),
                answers(": action"),
            );
            assert_eq!([which.len(), far.len(), actions.len()], [slots; 3]);
            for ((which, far), action) in which.into_iter().zip(far).zip(actions) {
                let back = action.starts_with("move ") && action.contains(far);
                let again = action == format!("tape {which} again");
                assert!(
                    back || again || action == "lay the grid anew" || which == "\u{2013}",
                    "{which} {action}"
                );
            }
        }
    }
}

#[test]
fn every_usual_mistake_comes_up() {
    let setting = &settings_on("side-and-end-panels")[3];
    let made = |level: i64, number| {
        KIND.exercise(setting, Level::new(level).unwrap(), 1, number)
            .unwrap()
    };
    let kinds: BTreeSet<String> = (1..=12)
        .flat_map(|number| [made(3, number), made(4, number)])
        .flat_map(|made| made.facts())
        .filter(|fact| fact.of == "what is wrong")
        .map(|fact| fact.answer)
        .collect();
    assert!(kinds.len() >= 5, "{kinds:?}");
}

#[test]
fn a_layout_without_a_rectangle_says_so() {
    let setting = &settings_on("target-line")[0];
    let error = KIND
        .exercise(setting, Level::new(1).unwrap(), 1, 1)
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("no rectangle of four marks") && error.contains("level 1"),
        "{error}"
    );
}
