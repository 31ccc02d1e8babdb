//! Files of readings as a whole, and the networks that they make.

use kurbo::Point;

use super::{
    Reading, ReadingKind, Readings, ShouldBe,
    model::MOST_READINGS,
    resolve::{Origin, Survey},
};
use crate::{
    plan::{FloorPlan, join},
    source::{Place, Source},
    survey::{Geometry, Observation, Precision, wheel_marks},
    template::TemplateSpec,
    units::{SIXTEENTH_MM, inch_cell},
    vehicle::VehicleSpec,
};

const FORM: &str = "check,kind,from,to,should_be_mm,limit_mm,reading_mm\n";

fn plan_of(vehicle: &str) -> FloorPlan {
    let template = Source::new(
        "lines",
        include_str!("../../../templates/perimeter-lines.toml"),
    );
    let vehicle = VehicleSpec::read(&Source::new("vehicle", vehicle)).unwrap();
    FloorPlan::resolve(&vehicle, &TemplateSpec::read(&template).unwrap(), &[], None).unwrap()
}

fn plan() -> FloorPlan {
    plan_of(include_str!("../../../vehicle-specs/delivery-van.toml"))
}

fn form(rows: &str) -> Readings {
    Readings::read("readings.csv", format!("{FORM}{rows}").as_bytes()).unwrap()
}

fn toml(text: &str) -> Readings {
    Readings::read(
        "readings.toml",
        format!("format = \"readings/1\"\n{text}").as_bytes(),
    )
    .unwrap()
}

fn refused(file: &str, text: &str) -> String {
    Readings::read(file, text.as_bytes())
        .unwrap_err()
        .to_string()
}

fn resolved(readings: &Readings, plan: Option<&FloorPlan>) -> Survey {
    readings.resolve(plan, &Precision::default()).unwrap()
}

fn unresolved(text: &str, plan: Option<&FloorPlan>) -> String {
    toml(text)
        .resolve(plan, &Precision::default())
        .unwrap_err()
        .to_string()
}

fn distance(from: &str, to: &str) -> ReadingKind {
    ReadingKind::Distance {
        from: from.into(),
        to: to.into(),
    }
}

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
fn marks_of_a_national_grid_are_adjusted_about_their_middle_and_no_digit_is_lost() {
    let text = |x: f64, y: f64| {
        format!(
            "[[mark]]\nid = \"A\"\nx = {}\ny = {}\nfixed = true\n[[mark]]\nid = \"B\"\nx = {}\ny = {}\ntolerance = 2\n[[reading]]\nfrom = \"A\"\nto = \"B\"\ndistance = 9\n",
            x + 0.5,
            y,
            x + 3000.25,
            y - 1000.5
        )
    };
    let plain = resolved(&toml(&text(0.0, 0.0)), None).taped;
    let far = resolved(&toml(&text(-9.9e9, 5.2e9)), None).taped;
    assert_eq!(plain.network.points, far.network.points);
    assert_eq!(
        (plain.designs, plain.origin - far.origin),
        (far.designs, kurbo::Vec2::new(9.9e9, -5.2e9))
    );
    let refused = refused(
        "r.toml",
        &format!("format = \"readings/1\"\n{}", text(1.1e10, 0.0)),
    );
    assert!(
        refused.contains("a coordinate of at most 10 000 km"),
        "{refused}"
    );
    let beside = unresolved(&text(5e9, 0.0), Some(&plan()));
    assert!(
        beside.contains("`A` lies more than 100 km from the vehicle"),
        "{beside}"
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

#[test]
fn every_key_of_the_file_is_read() {
    let readings = toml(
        r#"job = "van.toml"
sigma = "2 mm"
[precision]
tape_class = "I"
[[mark]]
id = "A"
x = "3000 m"
y = 0
fixed = true
[[mark]]
id = "B"
x = 1
y = 2
tolerance = 3
[[reading]]
check = "D3"
from = "A"
to = "B"
distance = "5.21 m"
sigma = 0.7
[[inline]]
marks = ["A", "B", "C"]
[[offset]]
mark = "B"
line = ["A", "C"]
distance = "-10 in"
"#,
    );
    assert_eq!(
        readings.job.map(|job| job.value).as_deref(),
        Some("van.toml")
    );
    assert_eq!(
        readings.precision.unwrap().tape_class,
        crate::survey::TapeClass::I
    );
    let [a, b] = &readings.marks[..] else {
        panic!("two marks")
    };
    assert_eq!(
        (a.at, a.fixed, a.tolerance),
        (Some(Point::new(3e6, 0.0)), true, None)
    );
    assert_eq!(
        (b.at, b.fixed, b.tolerance),
        (Some(Point::new(1.0, 2.0)), false, Some(3.0))
    );
    let [d, i, o] = &readings.readings[..] else {
        panic!("three readings")
    };
    assert_eq!(
        (d.label.as_deref(), d.value, d.sd),
        (Some("D3"), 5210.0, Some(0.7))
    );
    let line = || ["A".to_owned(), "C".to_owned()];
    assert_eq!(
        (&i.kind, i.sd),
        (
            &ReadingKind::Inline {
                mark: "B".into(),
                line: line()
            },
            Some(2.0)
        )
    );
    assert_eq!(
        (&o.kind, o.value),
        (
            &ReadingKind::Offset {
                mark: "B".into(),
                line: line()
            },
            -254.0
        )
    );
}

#[test]
fn all_faults_of_a_file_are_told_at_once() {
    let message = refused(
        "r.toml",
        "format = \"readings/1\"\ncolour = 1\n[[mark]]\nid = \"A\"\nx = 1\n[[reading]]\nfrom = \"A\"\ndistance = 0\n[[reading]]\nfrom = \"A\"\nto = \"B\"\ndistance = nan\nsigma = -1\n[[offset]]\nmark = \"A\"\nline = [\"B\"]\ndistance = 1\n[[inline]]\nmarks = [\"A\", \"B\"]\n",
    );
    for words in [
        "`colour` is not a key",
        "one of them is missing",
        "`to` is missing",
        "a distance of 0 mm",
        "`distance` is NaN",
        "`sigma` is -1 mm",
        "`line` names 1 marks",
        "`marks` names 2 marks",
    ] {
        assert!(message.contains(words), "{words} not in {message}");
    }
    assert!(refused("r.toml", "format = \"readings/1\"\n").contains("there is no reading"));
    assert!(refused("r.toml", "format = \"readings/2\"\n").contains("readings/2"));
    let twice = "format = \"readings/1\"\n[[mark]]\nid = \"A\"\nx = 1\ny = 1\n[[mark]]\nid = \"A\"\nx = 1\ny = 1\n[[reading]]\nfrom = \"A\"\nto = \"B\"\ndistance = 1\n";
    assert!(refused("r.toml", twice).contains("r.toml:6:1: the mark `A` is given twice"));
}

#[test]
fn a_layouts_marks_come_first_and_are_what_they_should_be() {
    let plan = plan();
    let survey = resolved(
        &form("E1,end,1L,1R,,3.0,1501\nE1,end,1L,1R,,3.0,1502\n"),
        Some(&plan),
    );
    assert_eq!(survey.taped.network.points.len(), plan.marks.len());
    for (index, mark) in plan.marks.iter().enumerate() {
        assert_eq!(
            (
                survey.taped.network.points[index].id.as_str(),
                survey.taped.network.points[index].start
            ),
            (&*mark.id, mark.at)
        );
        assert_eq!(
            (survey.taped.designs[index], survey.taped.tolerances[index]),
            (Some(mark.at), Some(mark.tolerance))
        );
    }
    let at = |id: &str| plan.marks.iter().position(|mark| mark.id == id).unwrap();
    let geometry = Geometry::Distance {
        from: at("1L"),
        to: at("1R"),
    };
    let sd = |value| Precision::default().distance(value);
    assert_eq!(
        survey.taped.network.observations,
        [1501.0, 1502.0].map(|value| Observation {
            geometry,
            value,
            sd: sd(value)
        })
    );
    assert_eq!(
        (survey.origins, survey.taped.wheels),
        (vec![Origin::Reading(0), Origin::Reading(1)], vec![])
    );
}

#[test]
fn only_wheel_marks_that_were_taped_join_with_their_own_places() {
    let plan = plan();
    let survey = resolved(&form("V1,vehicle,wrr,1L,,,4000\n"), Some(&plan));
    let wheel = plan.marks.len();
    let at = wheel_marks(&plan.vehicle)[3].1;
    assert_eq!(
        (survey.taped.wheels, survey.taped.network.points.len()),
        (vec![wheel], wheel + 1)
    );
    assert_eq!(
        (
            survey.taped.network.points[wheel].id.as_str(),
            survey.taped.network.points[wheel].start
        ),
        ("WRR", at)
    );
    assert_eq!(
        (survey.taped.designs[wheel], survey.taped.tolerances[wheel]),
        (None, None)
    );
    let plumb = Precision::default().plumb;
    assert_eq!(
        survey.taped.network.observations[1..],
        [
            Observation {
                geometry: Geometry::X { point: wheel },
                value: at.x,
                sd: plumb
            },
            Observation {
                geometry: Geometry::Y { point: wheel },
                value: at.y,
                sd: plumb
            },
        ]
    );
    assert_eq!(
        survey.origins,
        [Origin::Reading(0), Origin::Vehicle, Origin::Vehicle]
    );
    assert!(
        matches!(survey.taped.network.observations[0].geometry, Geometry::Distance { from, .. } if from == wheel)
    );
}

#[test]
fn wheel_marks_of_a_mat_have_their_vehicles_letter() {
    let plans = vec![
        plan_of(include_str!("../../../vehicle-specs/city-car.toml")),
        plan(),
    ];
    let mat = join(plans, &Place::whole("job")).unwrap().whole;
    let first = mat.marks[0].id.clone();
    let readings = toml(&format!(
        "[[reading]]\nfrom = \"B:WFL\"\nto = \"{first}\"\ndistance = 1000\n"
    ));
    let survey = resolved(&readings, Some(&mat));
    let wheel = &survey.taped.network.points[survey.taped.wheels[0]];
    assert_eq!(
        wheel.start,
        wheel_marks(&mat.mat.as_ref().unwrap().vehicles[1].vehicle)[0].1
    );
}

#[test]
fn a_given_mark_may_hold_a_mark_of_the_layout_and_others_stand_beside_it() {
    let plan = plan();
    let readings = toml(
        "[[mark]]\nid = \"1l\"\nfixed = true\n[[mark]]\nid = \"post\"\nx = 10\ny = 20\n[[reading]]\nfrom = \"post\"\nto = \"1L\"\ndistance = 9\n",
    );
    let survey = resolved(&readings, Some(&plan));
    let held = plan.marks.iter().position(|mark| mark.id == "1L").unwrap();
    assert!(
        survey.taped.network.points[held].fixed
            && survey.taped.network.points[held].start == plan.marks[held].at
    );
    let post = plan.marks.len();
    assert_eq!(
        (
            survey.taped.network.points[post].start,
            survey.taped.designs[post]
        ),
        (Point::new(10.0, 20.0), None)
    );
}

#[test]
fn a_network_of_any_kind_needs_no_layout() {
    let readings = toml(
        "[[mark]]\nid = \"A\"\nx = 0\ny = 0\nfixed = true\n[[mark]]\nid = \"B\"\nx = 100\ny = 0\ntolerance = 2\n[[mark]]\nid = \"C\"\nx = 50\ny = 1\n[[reading]]\nfrom = \"A\"\nto = \"B\"\ndistance = 101\nsigma = 0.5\n[[inline]]\nmarks = [\"A\", \"C\", \"B\"]\n",
    );
    let survey = resolved(&readings, None);
    assert_eq!(
        survey.taped.designs,
        [
            None,
            Some(Point::new(100.0, 0.0) - survey.taped.origin),
            None
        ]
    );
    assert_eq!(survey.taped.network.observations[0].sd, 0.5);
    let inline = Observation {
        geometry: Geometry::Offset {
            mark: 2,
            line: [0, 1],
        },
        value: 0.0,
        sd: Precision::default().inline(),
    };
    assert_eq!(survey.taped.network.observations[1], inline);
}

#[test]
fn marks_that_cannot_be_what_was_meant_are_refused_with_what_is_known() {
    let plan = plan();
    let reading = |from: &str, to: &str| {
        format!("[[reading]]\nfrom = \"{from}\"\nto = \"{to}\"\ndistance = 1000\n")
    };
    for (text, words) in [
        (
            reading("1L", "9Q"),
            "there is no mark `9Q`; The marks are: 1L",
        ),
        (reading("1L", "1l"), "from `1L` to itself"),
        (
            "[[offset]]\nmark = \"1L\"\nline = [\"1R\", \"1R\"]\ndistance = 1\n".into(),
            "`1R` is named twice",
        ),
        (
            "[[inline]]\nmarks = [\"1L\", \"1R\", \"1R\"]\n".into(),
            "`1R` is named twice",
        ),
        (
            format!("[[mark]]\nid = \"peg\"\n{}", reading("1L", "1R")),
            "or add `x` and `y`",
        ),
    ] {
        let message = unresolved(&text, Some(&plan));
        assert!(
            message.contains(words) && message.starts_with("readings.toml:2:"),
            "{message}"
        );
    }
    assert!(unresolved(&reading("1L", "1R"), None).contains("name the job"));
}

#[test]
fn capitals_and_blanks_matter_only_where_two_names_differ_by_them() {
    let marks = "[[mark]]\nid = \"ab\"\nx = 0\ny = 0\n[[mark]]\nid = \"AB\"\nx = 9\ny = 0\n[[mark]]\nid = \"post 1\"\nx = 9\ny = 9\n";
    let reading = |from: &str| {
        format!("{marks}[[reading]]\nfrom = \"{from}\"\nto = \"Post1\"\ndistance = 9\n")
    };
    let survey = resolved(&toml(&reading("AB")), None);
    assert_eq!(
        survey.taped.network.observations[0].geometry,
        Geometry::Distance { from: 1, to: 2 }
    );
    let message = unresolved(&reading("Ab"), None);
    assert!(message.contains("`Ab` may be `ab` or `AB`"), "{message}");
}

#[test]
fn a_precision_of_nothing_still_has_a_weight_that_can_be_calculated_with() {
    let nothing = Precision {
        centreline: 0.0,
        mark_width: 0.0,
        plumb: 0.0,
        ..Precision::default()
    };
    let readings = toml("[[inline]]\nmarks = [\"1L\", \"2L\", \"WFL\"]\n");
    let survey = readings.resolve(Some(&plan()), &nothing).unwrap();
    assert!(
        survey
            .taped
            .network
            .observations
            .iter()
            .all(|observation| observation.sd > 0.0)
    );
}

#[test]
fn twenty_thousand_readings_are_read_and_resolved_and_one_more_is_refused() {
    let many =
        |count: usize| "[[reading]]\nfrom = \"1L\"\nto = \"1R\"\ndistance = 1500\n".repeat(count);
    let readings = toml(&many(MOST_READINGS));
    assert_eq!(
        readings.readings.last().map(|reading| reading.place.line),
        Some(4 * MOST_READINGS - 2)
    );
    assert_eq!(
        resolved(&readings, Some(&plan()))
            .taped
            .network
            .observations
            .len(),
        MOST_READINGS
    );
    let more = refused(
        "r.toml",
        &format!("format = \"readings/1\"\n{}", many(MOST_READINGS + 1)),
    );
    assert!(more.contains("at most 20000"), "{more}");
}

#[test]
fn no_form_made_of_scraps_makes_it_stumble() {
    const SCRAPS: [&str; 20] = [
        "1L", "1R", "4C", "1C..4C", "offset", "inline", ",", ",", ",", ";", "\n", "\n", "\"",
        "5210", "-1", "0", "½", "'", "1e9", "\u{202e}",
    ];
    let (plan, mut state, mut read) = (plan(), 7_u64, 0);
    let mut random = |below: usize| {
        // Constants of Knuth's MMIX generator.
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    };
    for _ in 0..5000 {
        let mut text = "kind,from,to,reading_mm\n,1L,1R,1500\n".to_owned();
        for _ in 0..random(30) {
            text.push_str(SCRAPS[random(SCRAPS.len())]);
        }
        let Ok(readings) = Readings::read("form.csv", text.as_bytes()) else {
            continue;
        };
        read += 1;
        if let Ok(survey) = readings.resolve(Some(&plan), &Precision::default()) {
            let sound =
                |one: &Observation| one.value.is_finite() && one.sd.is_finite() && one.sd > 0.0;
            assert!(
                survey.taped.network.observations.iter().all(sound),
                "{text}"
            );
        }
    }
    assert!(read > 500, "only {read} were read");
}
