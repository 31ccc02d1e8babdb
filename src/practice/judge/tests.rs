use std::collections::BTreeSet;

use super::sound;
use crate::{
    practice::{
        Draw, Kind, Level,
        fixture::{a_class_differs, answer, in_inches, setting, settings, sheets, text},
    },
    survey::Verdict,
};

#[test]
fn every_layout_has_sheets_at_every_level_in_both_units() {
    for metric in settings() {
        for setting in [metric.clone(), in_inches(&metric)] {
            for level in Level::ALL {
                let mut draw = Draw::of_sheet(3, Kind::Judge, level, 1);
                let case = sound(&setting, level, &mut draw);
                let case = case.unwrap_or_else(|| panic!("{}", setting.subject()));
                assert!(case.is_real());
                let near = case.rows_that_are(Verdict::Undecided).len();
                assert_eq!(near, level.of([0, 1, 1, 2]));
            }
        }
    }
}

#[test]
fn a_class_gets_every_sort_of_next_step() {
    let setting = setting("delivery-van", "perimeter-lines", &[]);
    for (level, least) in [(1, 4), (2, 3), (3, 3), (4, 3)] {
        let made = sheets(Kind::Judge, &setting, level, 4, 24);
        let sort = |next: String| match next.split_once(|c: char| c.is_ascii_digit()) {
            Some((before, after)) if before.starts_with("tape") => {
                format!(
                    "tape{}",
                    after.trim_start_matches(|c: char| c.is_ascii_digit())
                )
            }
            Some((before, _)) => before.to_owned(),
            None => next,
        };
        let sorts: BTreeSet<String> = made
            .iter()
            .map(|one| sort(answer(one, "next").unwrap()))
            .collect();
        assert!(sorts.len() >= least, "level {level}: {sorts:?}");
    }
}

#[test]
fn in_inches_no_mm_stands_on_the_sheet() {
    let setting = in_inches(&setting("delivery-van", "perimeter-lines", &[]));
    for level in 1..=4 {
        for made in sheets(Kind::Judge, &setting, level, 5, 2) {
            assert!(!text(&made).contains("mm"), "{}", text(&made));
        }
    }
}

#[test]
fn the_sheets_of_a_class_differ() {
    let setting = setting("city-car", "target-line", &[]);
    a_class_differs(Kind::Judge, &setting, 1, 30, 28);
}
