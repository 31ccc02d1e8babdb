//! True to scale: what is ticked follows from the readings alone.

use crate::{
    practice::{Exercise, Kind, Ruling, fixture, fixture::number},
    units::parse_length,
};

const KIND: Kind = Kind::TrueScale;

/// What should be and what was measured, in one unit.
fn readings(made: &Exercise) -> Vec<[f64; 2]> {
    let unit = if fixture::text(made).contains("Should be in") {
        " in"
    } else {
        " mm"
    };
    let rows = fixture::rows(&made.questions[0].blocks[0]).iter();
    rows.map(|row| {
        [1, 2].map(|cell| parse_length(&format!("{}{unit}", fixture::word(&row[cell]))).unwrap())
    })
    .collect()
}

fn check(made: &Exercise) {
    let readings = readings(made);
    assert_eq!(readings.len(), if made.level.number() < 3 { 1 } else { 2 });
    let off: Vec<f64> = readings
        .iter()
        .map(|[should, is]| (is / should - 1.0).abs())
        .collect();
    let most = off.iter().copied().fold(0.0, f64::max);
    let expected = match most {
        off if off <= 0.005 => "lay the sheets",
        off if off <= 0.03 => "printer's profile",
        _ => "print again at 100 %",
    };
    assert_eq!(
        fixture::answer(made, "what now").unwrap(),
        expected,
        "{readings:?}"
    );
    // Far enough from both limits to be sure.
    for off in off {
        assert!(
            (off - 0.005).abs() > 0.0004 && (off - 0.03).abs() > 0.001,
            "{readings:?}"
        );
    }
}

#[test]
fn what_is_to_be_done_follows_from_the_readings_in_both_units() {
    fixture::all(KIND, |_, made| check(made));
    for mut setting in fixture::settings_on("perimeter-lines") {
        setting.inches = true;
        for level in 1..=4 {
            for made in fixture::sheets(KIND, &setting, level, 9, 20) {
                check(&made);
                assert!(
                    !fixture::text(&made).contains(" mm"),
                    "{}",
                    fixture::text(&made)
                );
            }
        }
    }
}

#[test]
fn what_comes_out_is_what_should_be_and_what_it_is_off() {
    fixture::all(KIND, |_, made| {
        let answer = |of: &str| fixture::answer(made, of).map(|text| number(&text));
        let names = ["length", "width", "diagonal"];
        let rows = fixture::rows(&made.questions[1].blocks[0]);
        assert_eq!(
            rows.len(),
            [1, 2, 2, 3][usize::from(made.level.number()) - 1]
        );
        for (name, row) in names.iter().zip(rows) {
            let should = number(fixture::word(&row[1]));
            let printed = answer(&format!("{name} printed")).unwrap();
            let off = answer(&format!("{name} off")).unwrap();
            assert!(((printed - should).abs() - off).abs() <= 1.0, "{row:?}");
        }
    });
}

#[test]
fn each_thing_to_do_is_right_on_some_sheet() {
    let setting = fixture::setting("estate", "target-line", &[]);
    for level in 2..=4 {
        let sheets = fixture::sheets(KIND, &setting, level, 2, 40);
        let mut deeds: Vec<String> = sheets
            .iter()
            .map(|made| fixture::answer(made, "what now").unwrap())
            .collect();
        deeds.sort();
        deeds.dedup();
        assert_eq!(deeds.len(), 3, "{deeds:?}");
    }
    assert_eq!(setting.ruling(), Ruling::Metric);
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line", "rear-corner-arcs"] {
        let setting = fixture::setting("delivery-van", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 28));
    }
}
