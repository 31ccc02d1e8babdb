//! The centreline: readings that mirror each other, and lines through a badge as similar triangles say.

use crate::practice::{Exercise, Kind, Setting, fixture, fixture::number};

const KIND: Kind = Kind::Centreline;

fn all(mut each: impl FnMut(&Setting, &Exercise)) {
    fixture::all(KIND, |setting, made| each(setting, made));
}

/// Rows of the readings as words.
fn readings(made: &Exercise) -> Vec<Vec<String>> {
    let mut blocks = made.given.iter();
    let table = blocks.find(|block| matches!(block, crate::practice::Block::Table { .. }));
    let rows = fixture::rows(table.unwrap()).iter();
    rows.map(|row| {
        row.iter()
            .map(|cell| fixture::word(cell).to_owned())
            .collect()
    })
    .collect()
}

#[test]
fn the_middle_is_half_of_both_readings_and_the_badges_way_goes_by_the_zero() {
    all(|_, made| {
        let level = made.level.number();
        let rows = readings(made);
        assert_eq!(rows.len(), [1, 2, 2, 3][usize::from(level) - 1]);
        for end in ["front", "rear"] {
            let sound = |row: &&Vec<String>| {
                let middles: Vec<f64> = row[2..row.len() - 1]
                    .chunks(2)
                    .map(|pair| (number(&pair[0]) + number(&pair[1])) / 2.0)
                    .collect();
                let apart = middles
                    .iter()
                    .fold(0.0_f64, |most, one| most.max((one - middles[0]).abs()));
                row[0].starts_with(end) && apart <= 4.0
            };
            let good: Vec<_> = rows.iter().filter(sound).collect();
            let Some(row) = good.first() else {
                assert!(level == 1 && end == "rear");
                continue;
            };
            assert_eq!(good.len(), 1, "{rows:?}");
            let all: Vec<f64> = row[2..row.len() - 1]
                .iter()
                .map(|text| number(text))
                .collect();
            let middle = all.iter().sum::<f64>() / all.len() as f64;
            let answer = |of: &str| fixture::answer(made, &format!("{end} {of}")).unwrap();
            assert_eq!(number(&answer("middle")), middle, "{row:?}");
            let off = number(row.last().unwrap()) - middle;
            assert_eq!(number(&answer("badge off")), off.abs());
            let right = (off > 0.0) == (row[1] == "left");
            assert_eq!(answer("badge way"), if right { "right" } else { "left" });
        }
    });
}

#[test]
fn one_taping_of_three_is_taped_again_at_the_highest_level() {
    all(|_, made| {
        let again = (1..=3).filter(|taping| {
            let what = fixture::answer(made, &format!("taping {taping} what now"));
            what.is_some_and(|what| what == "tape again")
        });
        let again: Vec<i32> = again.collect();
        assert_eq!(again.len(), usize::from(made.level.number() == 4));
        assert!(!again.contains(&3));
    });
}

#[test]
fn behind_the_rear_bumper_the_line_lies_on_the_other_side() {
    let setting = fixture::setting("compact-hatchback", "perimeter-lines", &[]);
    for seed in 1..30 {
        let made = fixture::sheet(KIND, &setting, 3, seed);
        let answer = |of: &str| fixture::answer(&made, of).unwrap();
        assert_eq!(answer("line ahead way"), answer("front badge way"));
        assert_ne!(answer("line behind way"), answer("front badge way"));
        let (badge, ahead) = (
            number(&answer("front badge off")),
            number(&answer("line ahead")),
        );
        assert!(ahead >= badge && number(&answer("line behind")) < badge);
    }
}

#[test]
fn a_vehicle_taken_as_it_is_keeps_its_own_badge() {
    let mut setting = fixture::setting("delivery-van", "perimeter-lines", &[]);
    setting.as_is = true;
    for level in 1..=4 {
        let made = fixture::sheet(KIND, &setting, level, 8);
        // The van's badge sits 12 mm left.
        assert_eq!(fixture::answer(&made, "front badge off").unwrap(), "12 mm");
        assert_eq!(fixture::answer(&made, "front badge way").unwrap(), "left");
    }
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line", "rear-corner-arcs"] {
        let setting = fixture::setting("delivery-van", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 28));
    }
}
