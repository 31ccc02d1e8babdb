use super::rows::{diagonals, rows};
use crate::practice::{
    Kind, Level,
    fixture::{in_inches, refusal, setting, settings, sheet, text},
};

#[test]
fn every_layout_has_rows_and_the_ranges_are_plan_and_limit() {
    for metric in settings() {
        for setting in [metric.clone(), in_inches(&metric)] {
            let ruling = setting.ruling();
            for level in Level::ALL.into_iter().skip(1) {
                let rows = rows(&setting, level).unwrap();
                for row in rows.iter().filter(|row| !row.on_string) {
                    let [range, _] = row.ranges(ruling);
                    let most = (row.limit / ruling.step() + 1e-6).floor() * ruling.step();
                    let ends = [row.plan - most, row.plan + most].map(|mm| ruling.whole(mm));
                    assert_eq!(range, ends.join(" to "));
                    assert!(ruling.is_whole(row.plan));
                }
            }
        }
    }
}

#[test]
fn both_diagonals_are_alike() {
    for setting in settings() {
        for level in Level::ALL {
            if let Some([one, other]) = diagonals(&setting, level) {
                assert!((one.plan - other.plan).abs() < 1.5, "{}", setting.subject());
            }
        }
    }
}

#[test]
fn a_layout_without_a_rectangle_says_so_at_level_1() {
    let setting = setting("city-car", "target-line", &[]);
    assert!(refusal(Kind::Bay, &setting, 1).contains("no rectangle of four marks"));
}

#[test]
fn in_inches_no_mm_stands_on_the_sheet() {
    let setting = in_inches(&setting("delivery-van", "perimeter-lines", &[]));
    for level in 1..=4 {
        let made = sheet(Kind::Bay, &setting, level, 1);
        assert!(!text(&made).contains("mm"), "{}", text(&made));
    }
}
