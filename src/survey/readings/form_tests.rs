//! Forms as they are filled in, in mm and in inches.

use super::{Reading, ReadingKind, Readings, ShouldBe, tests::*};
use crate::{
    source::Place,
    survey::Precision,
    units::{SIXTEENTH_MM, inch_cell},
};

#[test]
fn a_filled_form_gives_its_readings_and_counts_what_is_not_taped() {
    let readings = form(
        "E1,end,1L,1R,1500.0,3.0,1501\nD1,diagonal,1L,4R,5210.0,3.0,\nD2,diagonal,1R,4L,5210.0,3.0,-\nS1,side,1L,4L,4990.0,3.0,\"17' 3 1/4\"\"\"\n",
    );
    assert_eq!(readings.blank, 2);
    let place = |line| Place {
        file: "readings.csv".into(),
        line,
        column: 1,
    };
    let reading = |label: &str, kind, value, line| Reading {
        should_be: Some(ShouldBe {
            mm: if label == "E1" { 1500.0 } else { 4990.0 },
            inches: false,
        }),
        lay: None,
        label: Some(label.into()),
        kind,
        value,
        sd: None,
        place: place(line),
    };
    assert_eq!(
        readings.readings,
        [
            reading("E1", distance("1L", "1R"), 1501.0, 2),
            reading("S1", distance("1L", "4L"), 207.25 * 25.4, 5)
        ]
    );
}

#[test]
fn offsets_and_strings_have_rows_with_a_line_and_inches_a_column() {
    let text = "kind;from;to;reading_in;sigma_mm;remark\noffset;2L;1C..4C;-35 7/16;1,5;\nInline;2C;1C – 4C;0;;dusty\n;1L;1R;59 1/16;;\n;1L;1R;1500 mm;;\n";
    let readings = Readings::read("FORM.CSV", text.as_bytes())
        .unwrap()
        .readings;
    let line = || ["1C".to_owned(), "4C".to_owned()];
    assert_eq!(
        readings[0].kind,
        ReadingKind::Offset {
            mark: "2L".into(),
            line: line()
        }
    );
    assert_eq!(
        (readings[0].value, readings[0].sd),
        (-35.4375 * 25.4, Some(1.5))
    );
    assert_eq!(
        (&readings[1].kind, readings[1].value),
        (
            &ReadingKind::Inline {
                mark: "2C".into(),
                line: line()
            },
            0.0
        )
    );
    assert_eq!(
        (readings[2].value, readings[3].value),
        (59.0625 * 25.4, 1500.0)
    );
}

#[test]
fn an_inch_form_takes_fractions_with_a_blank_or_a_dash_decimals_and_a_sign_for_inches() {
    const INCHES: &str = "check,kind,from,to,should_be_in,limit_in,reading_in\n";
    for written in [
        "239 1/2",
        "239-1/2",
        "239.5",
        "\"239 1/2\"\"\"",
        "239 1/2 in",
        "239.5\"",
        "19' 11 1/2\"",
        "239½",
    ] {
        let text = format!("{INCHES}D1,diagonal,1L,4R,239 9/16,0 1/8,{written}\n");
        let reading = Readings::read("readings.csv", text.as_bytes())
            .unwrap()
            .readings
            .remove(0);
        assert_eq!(reading.value, 239.5 * 25.4, "{written}");
        assert_eq!(
            reading.should_be,
            Some(ShouldBe {
                mm: 239.5625 * 25.4,
                inches: true
            })
        );
    }
}

#[test]
fn a_form_rounded_to_sixteenths_is_of_its_layout_and_one_that_is_a_sixteenth_off_is_not() {
    let plan = plan();
    let inches = |by: f64| {
        let row = |check: &crate::plan::Check| {
            let [from, to] = [check.from, check.to].map(|index| &plan.marks[index].id);
            let should_be = inch_cell(check.distance + by * SIXTEENTH_MM);
            format!(
                "{},{},{from},{to},{should_be},,{}\n",
                check.id,
                check.kind.word(),
                inch_cell(check.distance)
            )
        };
        let rows: String = plan.checks.iter().map(row).collect();
        let text = format!("check,kind,from,to,should_be_in,limit_in,reading_in\n{rows}");
        Readings::read("readings.csv", text.as_bytes())
            .unwrap()
            .resolve(Some(&plan), &Precision::default())
    };
    assert!(inches(0.0).is_ok());
    let message = inches(2.0).unwrap_err().to_string();
    assert!(
        message.contains("another layout") && message.contains(" in in should_be_in"),
        "{message}"
    );
}

#[test]
fn millimetres_written_into_a_column_of_inches_are_told() {
    let plan = plan();
    let row = |check: &crate::plan::Check| {
        format!(
            "{},{},{:.0}\n",
            plan.marks[check.from].id, plan.marks[check.to].id, check.distance
        )
    };
    let rows: String = plan.checks.iter().map(row).collect();
    let readings =
        Readings::read("r.csv", format!("from,to,reading_in\n{rows}").as_bytes()).unwrap();
    let message = readings
        .resolve(Some(&plan), &Precision::default())
        .unwrap_err()
        .to_string();
    assert!(
        message.contains("seem to be in mm, but are read as in") && message.contains("reading_mm"),
        "{message}"
    );
}

#[test]
fn an_empty_form_and_rows_that_are_wrong_are_told_where_they_stand() {
    let empty = refused("readings.csv", &format!("{FORM}E1,end,1L,1R,1500.0,3.0,\n"));
    assert!(
        empty.contains("nothing is filled in") && empty.contains("`reading_mm`"),
        "{empty}"
    );
    for (row, place, words) in [
        ("E1,end,1L,1R,1500,3,0", "2:21", "a distance of 0 mm"),
        ("E1,end,1L,1R,1500,3,-1500", "2:21", "\u{2212}1500 mm"),
        ("E1,end,1L,1R,1500,3,nan", "2:21", "\"nan\" is not a length"),
        (
            "E1,end,1L,,1500,3,1500",
            "2:1",
            "no mark in the column `to`",
        ),
        ("E1,offset,1L,2C,1500,3,1500", "2:1", "\"2C\" is no line"),
        ("E1,end,1L,1R,1500,3,1500,5", "2:1", "decimal comma"),
    ] {
        let message = refused("readings.csv", &format!("{FORM}{row}\n"));
        assert!(
            message.contains(&format!("readings.csv:{place}: ")) && message.contains(words),
            "{message}"
        );
    }
    let both = refused("r.csv", "from,to,reading_mm,reading_in\n1L,1R,1500,59\n");
    assert!(both.contains("two readings"), "{both}");
    let columns = refused("r.csv", "von,nach,mm\n1L,1R,1500\n");
    assert!(
        columns.contains("`from`") && columns.contains("`to`") && columns.contains("`reading_mm`"),
        "{columns}"
    );
    let sigma = refused("r.csv", "from,to,reading_mm,sigma_mm\n1L,1R,1500,0\n");
    assert!(sigma.contains("standard deviation of 0 mm"), "{sigma}");
}
