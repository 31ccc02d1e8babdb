//! Sound sheets for all vehicles and templates, and what is planted in them.

use std::collections::BTreeSet;

use super::proof::judged;
use crate::{
    practice::{
        Exercise, Kind, Setting,
        fixture::{a_class_differs, number, refusal, rows, settings_on, sheets, text, word},
    },
    survey::Verdict,
};

const KIND: Kind = Kind::Square;

/// Templates with the levels that they go with: the others have no rectangle.
const LAYOUTS: [(&str, &[i64]); 4] = [
    ("perimeter-lines", &[1, 2, 3, 4]),
    ("side-and-end-panels", &[1, 2, 3, 4]),
    ("target-line", &[3]),
    ("rear-corner-arcs", &[3, 4]),
];

/// What the key says: marks that lie off, readings that are wrong, and whether the grid is turned.
fn planted(setting: &Setting, exercise: &Exercise) -> (BTreeSet<String>, BTreeSet<String>, bool) {
    let (mut marks, mut readings, mut turned) = (BTreeSet::new(), BTreeSet::new(), false);
    for fact in exercise
        .facts()
        .iter()
        .filter(|fact| fact.of.ends_with(": which"))
    {
        let which = fact.answer.bare();
        if let Some(station) = which.strip_prefix("station ") {
            let on = setting
                .plan
                .marks
                .iter()
                .filter(|mark| mark.station == station.parse().ok());
            marks.extend(on.map(|mark| mark.id.clone()));
        } else if which == "grid" {
            turned = true;
        } else if which.contains(" \u{2013} ") {
            readings.insert(which.to_owned());
        } else if which != "\u{2013}" {
            marks.insert(which.to_owned());
        }
    }
    (marks, readings, turned)
}

/// Holds what the key says against the judgement of the `check` command on the readings as printed, with the whole layout.
fn is_found(setting: &Setting, exercise: &Exercise) {
    let printed = || rows(&exercise.questions[0].blocks[0]).iter();
    let ends = |row: &[_]| [0, 1].map(|end: usize| word(&row[end]).to_owned());
    let taped = printed().map(|row| (ends(row), number(word(&row[3]))));
    let found = judged(&setting.plan, taped, &setting.precision).unwrap();
    let names: Vec<String> = printed().map(|row| ends(row).join(" \u{2013} ")).collect();
    let (marks, readings, turned) = planted(setting, exercise);
    let displaced = found.marks.iter().filter(|mark| mark.displaced);
    let displaced: BTreeSet<String> = displaced.map(|mark| mark.id.clone()).collect();
    let suspects = found.suspects.iter();
    let suspects: BTreeSet<String> = suspects.map(|one| names[one.observation].clone()).collect();
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

#[test]
fn what_is_planted_is_found_by_the_check_of_the_readings_as_printed() {
    for (template, levels) in LAYOUTS {
        for setting in settings_on(template) {
            for &level in levels {
                let count = if level < 3 { 10 } else { 1 };
                for made in sheets(KIND, &setting, level, 99, count) {
                    is_found(&setting, &made);
                }
            }
        }
    }
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_another_number_another_one() {
    let setting = &settings_on("side-and-end-panels")[1];
    for (level, count) in (1..).zip([30, 30, 5, 5]) {
        a_class_differs(KIND, setting, level, count, count);
    }
}

#[test]
fn short_answers_are_the_same_quantities_on_all_sheets_and_say_what_to_do() {
    let setting = &settings_on("side-and-end-panels")[1];
    for (level, slots) in (1..).zip([1, 1, 1, 2]) {
        let made = sheets(KIND, setting, level, 3, 6);
        let asked = |made: &Exercise| -> Vec<String> {
            let facts = made.facts().into_iter().filter(|fact| fact.question > 1);
            facts.map(|fact| fact.of).collect()
        };
        assert!(made.iter().all(|one| asked(one) == asked(&made[0])));
        for one in &made {
            let answers = |of: &str| -> Vec<String> {
                let facts = one.facts().into_iter().filter(|fact| fact.of.ends_with(of));
                facts.map(|fact| fact.answer.to_string()).collect()
            };
            let [which, far, actions] = [": which", ": how far", ": action"].map(answers);
            assert_eq!([which.len(), far.len(), actions.len()], [slots; 3]);
            for ((which, far), action) in which.iter().zip(far).zip(actions) {
                let back = action.starts_with("move ") && action.contains(&far);
                let again = action == format!("tape {which} again");
                assert!(
                    back || again || action == "lay the grid again" || which == "\u{2013}",
                    "{which} {action}"
                );
            }
        }
    }
}

#[test]
fn every_usual_mistake_comes_up() {
    let setting = &settings_on("side-and-end-panels")[3];
    let made = [3, 4].map(|level| sheets(KIND, setting, level, 1, 12));
    let facts = made.iter().flatten().flat_map(Exercise::facts);
    let wrong = facts.filter(|fact| fact.of == "what is wrong");
    let kinds: BTreeSet<String> = wrong.map(|fact| fact.answer.to_string()).collect();
    assert!(kinds.len() >= 5, "{kinds:?}");
}

#[test]
fn a_layout_without_a_rectangle_says_so() {
    let error = refusal(KIND, &settings_on("target-line")[0], 1);
    assert!(
        error.contains("no rectangle of four marks") && error.contains("level 1"),
        "{error}"
    );
}
