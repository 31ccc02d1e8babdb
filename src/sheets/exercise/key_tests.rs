//! The key table of class sets of real exercises.

use std::collections::BTreeSet;

use super::{
    PracticePaper, key_table,
    tests::{clean, papers, texts},
};
use crate::{
    drawing::{Drawing, heights},
    practice::{AnswerKey, GENERATORS, Kind, Level, square::test_help::settings},
};

/// Thirty sheets of a kind. Every built-in vehicle gives one, and these come again under other numbers: what a table
/// has to hold is as long, and made in a sixth of the time.
fn class(kind: Kind, level: Level) -> Vec<AnswerKey> {
    let generator = GENERATORS.into_iter().find(|one| one.0 == kind).unwrap().1;
    let made: Vec<AnswerKey> =
        settings("perimeter-lines").iter().map(|setting| generator(setting, level, 1, 1).unwrap().key()).collect();
    (1..=30).map(|number| AnswerKey { number, ..made[number % made.len()].clone() }).collect()
}

fn words(page: &Drawing) -> BTreeSet<String> {
    texts(page).iter().flat_map(|text| text.content.split_whitespace()).map(str::to_owned).collect()
}

/// Questions that a page says are left out.
fn left_out(page: &Drawing) -> BTreeSet<usize> {
    let all: String = texts(page).iter().map(|text| format!("{} ", text.content)).collect();
    let said = all.match_indices(": see the answers of each sheet.");
    said.filter_map(|(end, _)| all[..end].rsplit(' ').next()?.parse().ok()).collect()
}

/// The number with the other sign, which may stand for a mark and its mirror image.
fn mirrored(word: &str) -> String {
    word.strip_prefix('\u{2212}').map_or_else(|| format!("\u{2212}{word}"), str::to_owned)
}

fn holds_what_it_promises(kind: Kind, level: Level) {
    let keys = class(kind, level);
    for paper in papers() {
        let name = format!("{} {} {}", kind.word(), level.number(), paper.name);
        let pages = key_table(&keys, &PracticePaper { paper: &paper, origin: "" });
        assert_eq!(pages.len(), 1, "{name}");
        clean(&pages[0], &paper, &name, heights::SMALL);
        let (words, left_out) = (words(&pages[0]), left_out(&pages[0]));
        for fact in keys.iter().flat_map(|key| &key.facts).filter(|fact| !left_out.contains(&fact.question)) {
            let units = ["mm", "mm/m", "%"];
            for word in fact.answer.split_whitespace().filter(|word| !units.contains(word)) {
                let word = word.trim_end_matches(['°', ',']);
                let stands = |word: &str| {
                    words
                        .iter()
                        .any(|there| there.trim_end_matches(['°', ',', ';', '.']).trim_start_matches('(') == word)
                };
                assert!(stands(word) || stands(&mirrored(word)), "{name}: {fact:?}");
            }
        }
        // One long list may go; which marks and readings are wrong may not.
        assert!(
            left_out.len() <= 1 && (kind != Kind::Square || left_out.iter().all(|question| *question == 1)),
            "{name}"
        );
    }
}

#[test]
fn thirty_short_sheets_of_a_kind_have_their_answers_on_one_page_at_every_level() {
    for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Square) {
        Level::ALL.into_iter().for_each(|level| holds_what_it_promises(kind, level));
    }
}

#[test]
fn thirty_sheets_of_taped_readings_have_their_mistakes_on_one_page_at_every_level() {
    Level::ALL.into_iter().for_each(|level| holds_what_it_promises(Kind::Square, level));
}

#[test]
fn a_kind_that_does_not_fit_below_another_begins_a_page() {
    let kinds = [Kind::Table, Kind::Units];
    let keys: Vec<AnswerKey> = kinds.into_iter().flat_map(|kind| class(kind, Level::ALL[3])).collect();
    for paper in papers() {
        let pages = key_table(&keys, &PracticePaper { paper: &paper, origin: "" });
        let has = |page: &Drawing, kind: Kind| texts(page).iter().any(|text| text.content.starts_with(kind.title()));
        assert_eq!(pages.len(), 2, "{}", paper.name);
        for (page, own) in pages.iter().zip(kinds) {
            assert!(kinds.into_iter().all(|kind| has(page, kind) == (kind == own)), "{}", paper.name);
        }
    }
}

#[test]
fn more_sheets_than_a_page_holds_go_on_with_their_headings() {
    let class = class(Kind::Levels, Level::ALL[3]);
    let keys: Vec<AnswerKey> =
        (1..=300).map(|number| AnswerKey { number, ..class[number % class.len()].clone() }).collect();
    for paper in papers() {
        let pages = key_table(&keys, &PracticePaper { paper: &paper, origin: "" });
        assert!(pages.len() > 1);
        let numbers: Vec<String> = pages.iter().flat_map(words).collect();
        assert!((1..=300).all(|number| numbers.contains(&number.to_string())));
        for page in &pages {
            clean(page, &paper, "long key table", heights::SMALL);
            assert!(texts(page).iter().any(|text| text.content == "Question"));
        }
    }
}
