//! The key table of class sets of real exercises.

use std::collections::BTreeSet;

use super::{
    PracticePaper, key_table,
    tests::{clean, papers},
};
use crate::{
    drawing::{Drawing, Text, Weight, heights},
    practice::{AnswerKey, Kind, Level, fixture::settings_on},
};

/// Thirty sheets of a kind. Every built-in vehicle gives one, and these come again under other numbers: what a table
/// has to hold is as long, and made in a sixth of the time.
fn class(kind: Kind, level: Level) -> Vec<AnswerKey> {
    let settings = settings_on("perimeter-lines");
    let made: Vec<AnswerKey> = settings
        .iter()
        .map(|setting| kind.exercise(setting, level, 1, 1).unwrap().key())
        .collect();
    (1..=30)
        .map(|number| AnswerKey {
            number,
            ..made[number % made.len()].clone()
        })
        .collect()
}

/// The words of texts, sorted, without units and without what stands for no answer.
fn answer_words<'a>(texts: impl Iterator<Item = &'a str>) -> Vec<String> {
    let units = ["mm", "mm/m", "%", "\u{2013}"];
    let words = texts
        .flat_map(str::split_whitespace)
        .filter(|word| !units.contains(word));
    let mut words: Vec<String> = words
        .map(|word| word.trim_end_matches('°').to_owned())
        .collect();
    words.sort();
    words
}

#[test]
fn every_answer_of_every_sheet_of_a_class_stands_in_the_table_and_nothing_else() {
    for kind in Kind::ALL {
        for level in Level::ALL {
            let keys = class(kind, level);
            let answers: Vec<String> = keys
                .iter()
                .flat_map(|key| &key.facts)
                .map(|fact| fact.answer.to_string())
                .collect();
            let expected = answer_words(answers.iter().map(String::as_str));
            for paper in papers() {
                let name = format!("{} {} {}", kind.word(), level.number(), paper.name);
                let pages = key_table(
                    &keys,
                    &PracticePaper {
                        paper: &paper,
                        origin: "",
                    },
                    "--seed 1",
                );
                pages
                    .iter()
                    .for_each(|page| clean(page, &paper, &name, heights::TEXT));
                // Head, foot and number of a page are regular as well.
                let others = [
                    "Sheets 1 to 30 ",
                    "baystencil practice ",
                    "Practice numbers, not ",
                    "page ",
                ];
                let is_answer = |text: &&Text| {
                    text.weight == Weight::Regular
                        && !others.iter().any(|other| text.content.starts_with(other))
                };
                let answers = pages
                    .iter()
                    .flat_map(Drawing::texts)
                    .filter(is_answer)
                    .map(|text| text.content.as_str());
                assert_eq!(answer_words(answers), expected, "{name}");
            }
        }
    }
}

#[test]
fn a_kind_follows_another_under_its_own_heading() {
    let kinds = [Kind::Table, Kind::Units];
    let keys: Vec<AnswerKey> = kinds
        .into_iter()
        .flat_map(|kind| class(kind, Level::ALL[3]))
        .collect();
    for paper in papers() {
        let pages = key_table(
            &keys,
            &PracticePaper {
                paper: &paper,
                origin: "",
            },
            "--seed 1",
        );
        let all: Vec<String> = pages
            .iter()
            .flat_map(Drawing::texts)
            .map(|text| text.content.clone())
            .collect();
        let title = |kind: Kind| all.iter().position(|text| text == kind.title()).unwrap();
        assert!(title(kinds[0]) < title(kinds[1]), "{}", paper.name);
        assert!(all[title(kinds[1])..].iter().any(|text| text == "Sheet"));
    }
}

#[test]
fn every_page_has_its_number_and_the_headings_of_the_table_that_goes_on() {
    let class = class(Kind::Levels, Level::ALL[3]);
    let keys: Vec<AnswerKey> = (1..=300)
        .map(|number| AnswerKey {
            number,
            ..class[number % class.len()].clone()
        })
        .collect();
    for paper in papers() {
        let pages = key_table(
            &keys,
            &PracticePaper {
                paper: &paper,
                origin: "",
            },
            "--seed 1",
        );
        assert!(pages.len() > 1);
        for (number, page) in (1..).zip(&pages) {
            clean(page, &paper, "long key table", heights::TEXT);
            let has = |words: &str| page.texts().iter().any(|text| text.content == words);
            assert!(
                has(&format!("page {number} of {}", pages.len())) && has("Sheet"),
                "page {number}"
            );
        }
        let bold = |text: &&Text| text.weight == Weight::Bold;
        let numbers: BTreeSet<usize> = pages
            .iter()
            .flat_map(Drawing::texts)
            .filter(bold)
            .filter_map(|text| text.content.parse().ok())
            .collect();
        assert_eq!(numbers, (1..=300).collect());
    }
}
