//! Files of readings as a whole, and the networks that they make.

use kurbo::Point;

use super::{
    ReadingKind, Readings,
    model::MOST_READINGS,
    resolve::{Origin, Survey},
};
use crate::{
    plan::{FloorPlan, join},
    source::{Place, Source},
    survey::{Geometry, Observation, Precision, wheel_marks},
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

pub(super) const FORM: &str = "check,kind,from,to,should_be_mm,limit_mm,reading_mm\n";

pub(super) fn plan_of(vehicle: &str) -> FloorPlan {
    let template = Source::new(
        "lines",
        include_str!("../../../templates/perimeter-lines.toml"),
    );
    let vehicle = VehicleSpec::read(&Source::new("vehicle", vehicle)).unwrap();
    FloorPlan::resolve(&vehicle, &TemplateSpec::read(&template).unwrap(), &[], None).unwrap()
}

pub(super) fn plan() -> FloorPlan {
    plan_of(include_str!("../../../vehicle-specs/delivery-van.toml"))
}

pub(super) fn form(rows: &str) -> Readings {
    Readings::read("readings.csv", format!("{FORM}{rows}").as_bytes()).unwrap()
}

pub(super) fn toml(text: &str) -> Readings {
    Readings::read(
        "readings.toml",
        format!("format = \"readings/1\"\n{text}").as_bytes(),
    )
    .unwrap()
}

pub(super) fn refused(file: &str, text: &str) -> String {
    Readings::read(file, text.as_bytes())
        .unwrap_err()
        .to_string()
}

pub(super) fn resolved(readings: &Readings, plan: Option<&FloorPlan>) -> Survey {
    readings.resolve(plan, &Precision::default()).unwrap()
}

pub(super) fn unresolved(text: &str, plan: Option<&FloorPlan>) -> String {
    toml(text)
        .resolve(plan, &Precision::default())
        .unwrap_err()
        .to_string()
}

pub(super) fn distance(from: &str, to: &str) -> ReadingKind {
    ReadingKind::Distance {
        from: from.into(),
        to: to.into(),
    }
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
            "there is no mark `9Q`; the marks are: 1L",
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
fn five_thousand_readings_are_read_and_resolved_and_one_more_is_refused() {
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
    assert!(more.contains("at most 5000"), "{more}");
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
