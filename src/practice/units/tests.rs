//! Inches and mm: read back by the room that reads tapes.

use std::collections::BTreeSet;

use super::{CLEAR_OF_THE_MIDDLE, Measure};
use crate::{
    practice::{Block, Cell, Kind, fixture},
    units::{MM_PER_INCH, parse_length},
};

const KIND: Kind = Kind::Units;

#[test]
fn every_answer_reads_back_to_what_was_given_within_half_a_graduation() {
    fixture::all(KIND, |_, made| {
        let measure = Measure::of(made.level);
        let step = MM_PER_INCH / measure.per_inch as f64;
        for (question, half) in [(0, step / 2.0), (1, 0.5)] {
            let rows = fixture::rows(&made.questions[question].blocks[0]);
            assert!(!rows.is_empty() && rows.len() <= measure.count);
            for row in rows {
                let [Cell::Given(_), Cell::Given(given), Cell::Blank(answer)] = &row[..] else {
                    panic!("{row:?}")
                };
                let off = (parse_length(given).unwrap() - parse_length(answer).unwrap()).abs();
                // A rounded answer that lies near the middle would hang on a calculator's last digit.
                assert!(
                    off <= half * (1.0 - CLEAR_OF_THE_MIDDLE),
                    "{row:?} is {off} off"
                );
            }
        }
    });
}

#[test]
fn the_slip_is_told_by_the_number_written_and_no_other_slip_gives_it() {
    fixture::all(KIND, |_, made| {
        let [table, Block::Choices { right, .. }] = &made.questions[2].blocks[..] else {
            panic!("no choices")
        };
        let row = &fixture::rows(table)[0];
        let [read, written, should] =
            [0, 1, 2].map(|at: usize| parse_length(fixture::word(&row[at])).unwrap());
        assert!((read - should).abs() <= 0.5);
        let inches = read / MM_PER_INCH;
        let top = fixture::word(&row[0]).split([' ', '/']).nth(1).unwrap();
        let decimal: f64 = format!("{}.{top}", inches.floor()).parse().unwrap();
        let all = [
            inches * 10.0,
            inches.floor() * 25.4,
            decimal * 25.4,
            inches * 25.0,
        ];
        let fits: Vec<usize> = (0..4)
            .filter(|slip| (all[*slip] - written).abs() <= 0.5 + 1e-6)
            .collect();
        assert_eq!(&fits, right, "{row:?}");
    });
}

#[test]
fn a_level_has_more_slips_than_the_one_before_and_never_one_alone() {
    let setting = fixture::setting("estate", "perimeter-lines", &[]);
    for (level, count) in (1..).zip([2, 3, 4, 4]) {
        let made = fixture::sheets(KIND, &setting, level, 1, 40);
        let slips = made
            .iter()
            .map(|made| fixture::answer(made, "slip").unwrap());
        assert_eq!(slips.collect::<BTreeSet<_>>().len(), count, "level {level}");
    }
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line", "rear-corner-arcs"] {
        let setting = fixture::setting("city-car", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 30));
    }
}
