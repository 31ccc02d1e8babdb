use super::{Hold, rows};
use crate::practice::{
    Block, Draw, Kind, Level,
    fixture::{a_class_differs, all, answer, in_inches, setting, settings, sheets, text},
};

#[test]
fn every_layout_has_a_form_whose_tapes_show_what_its_key_says() {
    for metric in settings() {
        for setting in [metric.clone(), in_inches(&metric)] {
            for level in Level::ALL {
                let mut draw = Draw::of_sheet(3, Kind::Form, level, 1);
                let rows = rows(&setting, level, &mut draw).unwrap();
                let ruling = setting.ruling();
                for row in &rows {
                    let mean = row.read.iter().sum::<f64>() / row.read.len() as f64;
                    let measured = mean - row.hold.too_much(ruling);
                    assert!((measured - row.plan - row.difference).abs() < 1e-6);
                    assert!(ruling.is_whole(row.plan) && ruling.is_whole(row.difference));
                    assert!((row.difference.abs() - row.limit).abs() > 0.4 * ruling.step());
                    assert!(row.read.iter().all(|mm| ruling.is_whole(*mm)));
                }
                let beyond = rows.iter().filter(|row| row.difference.abs() > row.limit);
                assert_eq!(beyond.count(), usize::from(level.of([1_u8, 1, 2, 2])));
            }
        }
    }
}

#[test]
fn sheets_of_a_level_hold_the_tape_in_the_same_ways() {
    let setting = setting("delivery-van", "perimeter-lines", &[]);
    let mut draw = Draw::of_sheet(3, Kind::Form, Level::ALL[3], 1);
    for _ in 0..20 {
        let rows = rows(&setting, Level::ALL[3], &mut draw).unwrap();
        let count = |hold: Hold| rows.iter().filter(|row| row.hold == hold).count();
        let all = [Hold::Hook, Hold::Line, Hold::Bent, Hold::TwoPeople].map(count);
        assert_eq!(all, [2, 2, 1, 1]);
    }
}

#[test]
fn the_key_names_the_rows_beyond_their_limits() {
    all(Kind::Form, |_, made| {
        assert!(matches!(made.given[1], Block::Tapes(_)));
        assert!(answer(made, "rows beyond the limit").is_some());
    });
}

#[test]
fn in_inches_no_mm_stands_on_the_sheet() {
    let setting = in_inches(&setting("delivery-van", "perimeter-lines", &[]));
    for level in 1..=4 {
        for made in sheets(Kind::Form, &setting, level, 5, 3) {
            assert!(!text(&made).contains("mm"), "{}", text(&made));
        }
    }
}

#[test]
fn the_sheets_of_a_class_differ() {
    for setting in settings() {
        a_class_differs(Kind::Form, &setting, 1, 30, 30);
    }
}
