use std::{collections::BTreeSet, sync::OnceLock};

use super::{fault::Fault, lines::Paper};
use crate::practice::{
    Draw, Kind, Level, Setting,
    fixture::{a_class_differs, all, answer, setting, settings, sheets, text},
};

const ALL: [Fault; 11] = [
    Fault::NoServiceInformation,
    Fault::NoCodesAfter,
    Fault::NoTechnician,
    Fault::NoPicture,
    Fault::DateBeforeOrder,
    Fault::BeyondLimit,
    Fault::WrongDifference,
    Fault::CodesLate,
    Fault::OtherVehicle,
    Fault::PictureLate,
    Fault::SaysCalibrated,
];

#[test]
fn a_fault_changes_the_record_and_stands_on_a_line_of_it() {
    let setting = setting("delivery-van", "perimeter-lines", &[]);
    let mut draw = Draw::of_sheet(1, Kind::Record, Level::ALL[0], 1);
    for fault in ALL {
        let before = Paper::draw(&setting, &mut draw).unwrap();
        let mut after = before.clone();
        let line = fault.plant(&mut after, &mut draw);
        let number = after.number(line);
        assert!((1..=after.lines().len()).contains(&number));
        assert_ne!(before.lines(), after.lines(), "{fault:?}");
        assert!(fault.why(&after, number).contains("Remedy"));
    }
}

#[test]
fn a_sheet_has_as_many_faults_as_its_level_says_each_on_its_own_line() {
    let setting = setting("delivery-van", "perimeter-lines", &[]);
    for (level, count) in [(1, 1), (2, 2), (3, 3), (4, 4)] {
        for made in sheets(Kind::Record, &setting, level, 2, 40) {
            for of in ["lines", "to be done"] {
                let answer = answer(&made, of).unwrap();
                assert_eq!(answer.split(", ").collect::<BTreeSet<_>>().len(), count);
            }
        }
    }
}

#[test]
fn every_layout_has_a_record_at_every_level_and_in_inches_no_mm_on_it() {
    all(Kind::Record, |_, made| assert_eq!(made.questions.len(), 2));
    for metric in settings() {
        let setting = Setting {
            inches: true,
            short_plan: OnceLock::new(),
            ..metric
        };
        let made = &sheets(Kind::Record, &setting, 4, 1, 1)[0];
        assert!(!text(made).contains("mm"));
    }
}

#[test]
fn the_sheets_of_a_class_differ() {
    let setting = setting("city-car", "target-line", &[]);
    a_class_differs(Kind::Record, &setting, 1, 30, 30);
}
