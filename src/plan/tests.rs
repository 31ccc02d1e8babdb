//! Resolving as a whole: hand arithmetic, and what is refused.

use kurbo::Rect;

use super::{Bay, FloorLimits, FloorPlan, Obstacle, Setting};
use crate::{
    source::{Place, Source},
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

const VEHICLE: &str = r#"format = "vehicle/1"
name = "test vehicle"
source = "invented"
wheelbase_left = 2700
wheelbase_right = 2680
front_overhang = 900
rear_overhang = 810
front_track = 1500
rear_track = 1560
tyre_width = 200
overall_width = 1800
width_over_mirrors = 2000
"#;

const TEMPLATE: &str = r#"format = "template/1"
name = "test layout"
purpose = "tests"
[values.gap]
meaning = "bumper to end line"
default = "750 mm"
least = "100 mm"
most = "2 m"
[[stations]]
name = "front"
meaning = "front end"
from = "front bumper"
ahead = "gap"
[[stations]]
name = "axle"
meaning = "rear wheels"
from = "rear axle"
[[stations]]
name = "rear"
meaning = "rear end"
from = "rear bumper"
behind = "gap"
[[rails]]
name = "side"
from = "tyre outer face"
outward = "300 mm"
[[marks]]
stations = ["front", "rear"]
rails = ["centre", "side"]
tolerance = "4 mm"
[[marks]]
stations = ["axle"]
rails = ["side"]
tolerance = "2 mm"
[[lines]]
from = "front/side"
to = "rear/side"
sides = "both"
width = "50 mm"
"#;

fn resolve(template: &str, settings: &[Setting], bay: Option<&Bay>) -> Result<FloorPlan, String> {
    let vehicle = VehicleSpec::read(&Source::new("v.toml", VEHICLE)).unwrap();
    let template = TemplateSpec::read(&Source::new("t.toml", template))
        .map_err(|faults| faults.to_string())?;
    FloorPlan::resolve(&vehicle, &template, settings, bay).map_err(|faults| faults.to_string())
}

fn refused(change: impl Fn(&str) -> String) -> String {
    resolve(&change(TEMPLATE), &[], None)
        .map(|_| panic!("was resolved"))
        .unwrap_err()
}

fn at(plan: &FloorPlan, id: &str) -> (f64, f64) {
    let mark = plan
        .marks
        .iter()
        .find(|mark| mark.id == id)
        .unwrap_or_else(|| panic!("no mark {id}"));
    (mark.at.x, mark.at.y)
}

#[test]
fn marks_lie_where_hand_arithmetic_puts_them() {
    // 750 mm beyond the bumpers and 300 mm outside the tyres: one usual arrangement (common practice, no source).
    let plan = resolve(TEMPLATE, &[], None).unwrap();
    let half = (1560.0 + 200.0) / 2.0 + 300.0;
    assert_eq!(at(&plan, "1L"), (900.0 + 750.0, half));
    assert_eq!(at(&plan, "1C"), (1650.0, 0.0));
    assert_eq!(at(&plan, "2L"), (-2700.0, half));
    assert_eq!(at(&plan, "2R"), (-2680.0, -half));
    assert_eq!(at(&plan, "3R"), (-2690.0 - 810.0 - 750.0, -half));
    let ids: Vec<&str> = plan.marks.iter().map(|mark| mark.id.as_str()).collect();
    assert_eq!(ids, ["1L", "1C", "1R", "2L", "2R", "3L", "3C", "3R"]);
}

#[test]
fn both_diagonals_of_a_rectangle_are_the_root_of_its_squared_sides() {
    let plan = resolve(TEMPLATE, &[], None).unwrap();
    let expected = 5900.0_f64.hypot(2.0 * 1180.0);
    let station = |mark: usize| plan.marks[mark].station.unwrap_or(0);
    let found: Vec<f64> = plan
        .checks
        .iter()
        .filter(|check| [(1, 3), (3, 1)].contains(&(station(check.from), station(check.to))))
        .filter(|check| check.kind == super::CheckKind::Diagonal)
        .map(|check| check.distance)
        .collect();
    // √(a² + b²), elementary geometry.
    assert!(
        found
            .iter()
            .all(|distance| (distance - expected).abs() < 1e-9)
            && found.len() == 2,
        "{found:?}"
    );
}

#[test]
fn a_check_is_limited_by_the_larger_tolerance_of_its_marks() {
    let plan = resolve(TEMPLATE, &[], None).unwrap();
    let limit = |from: &str, to: &str| {
        plan.checks
            .iter()
            .find(|c| plan.marks[c.from].id == from && plan.marks[c.to].id == to)
            .map(|c| c.tolerance)
    };
    assert_eq!(
        (limit("1L", "2L"), limit("2L", "2R")),
        (Some(4.0), Some(2.0))
    );
}

#[test]
fn settings_win_over_defaults_and_are_held_to_the_range() {
    let set = |text: &str| Setting {
        name: "gap".into(),
        text: text.into(),
        place: Place::whole("--set"),
    };
    let plan = resolve(TEMPLATE, &[set("20 in")], None).unwrap();
    assert_eq!(at(&plan, "1C"), (900.0 + 508.0, 0.0));
    assert!(!plan.template.values[0].demonstration);
    assert!(
        resolve(TEMPLATE, &[set("5 m")], None)
            .unwrap_err()
            .contains("expected 100 to 2000 mm")
    );
}

#[test]
fn the_origin_is_where_the_template_puts_it_and_obstacles_stay_where_they_stand() {
    let template = TEMPLATE.replace(
        "purpose = \"tests\"",
        "purpose = \"tests\"\norigin = \"rear axle\"",
    );
    let post = Obstacle {
        name: "post".into(),
        footprint: Rect::from_center_size((1600.0, 0.0), (50.0, 50.0)),
    };
    let bay = Bay {
        length: 9000.0,
        width: 9000.0,
        obstacles: vec![post],
    };
    let plan = resolve(&template, &[], Some(&bay)).unwrap();
    assert_eq!(at(&plan, "1C"), (1650.0 + 2690.0, 0.0));
    assert_eq!(plan.vehicle.wheels[0].centre.x, 2690.0);
    assert_eq!(plan.floor.bay.unwrap().hit, ["post"]);
    assert_eq!(plan.template.origin, crate::template::Datum::RearAxle);
}

#[test]
fn circles_are_refused_at_the_relation_that_closes_them() {
    let stations = refused(|t| {
        t.replace("from = \"rear axle\"", "from = \"rear\"")
            .replace("from = \"rear bumper\"", "from = \"axle\"")
    });
    assert!(
        stations.contains("in a circle") && stations.starts_with("t.toml:"),
        "{stations}"
    );
    let rails = refused(|t| t.replace("from = \"tyre outer face\"", "from = \"side\""));
    assert!(
        rails.contains("rail `side` is defined by itself in a circle"),
        "{rails}"
    );
}

#[test]
fn unknown_names_are_refused_with_what_there_is() {
    for (from, to, expected) in [
        (
            "from = \"rear axle\"",
            "from = \"middle axle\"",
            "there is no station `middle axle`; expected one of: front bumper, front axle, rear axle, rear bumper, front, axle, rear",
        ),
        (
            "stations = [\"axle\"]",
            "stations = [\"axel\"]",
            "there is no station `axel`",
        ),
        (
            "ahead = \"gap\"",
            "ahead = \"gab\"",
            "there is no value `gab`",
        ),
        (
            "to = \"rear/side\"",
            "to = \"rear/edge\"",
            "there is no mark `rear/edge`",
        ),
    ] {
        let message = refused(|t| t.replace(from, to));
        assert!(
            message.contains(expected) && message.contains("t.toml:"),
            "{message}"
        );
    }
}

#[test]
fn mirrored_and_sizeless_layouts_are_refused() {
    assert!(
        refused(|t| t.replace("outward = \"300 mm\"", "outward = \"-2 m\"")).contains("mirrored")
    );
    assert!(
        refused(|t| t.replace("behind = \"gap\"", "ahead = \"6 m\""))
            .contains("mirrored or of no size")
    );
    assert!(
        refused(|t| t.replace("to = \"rear/side\"", "to = \"front/side\""))
            .contains("has no length")
    );
    assert!(
        refused(|t| t.replace("\"centre\", ", ""))
            .contains("fewer than two marks on the centreline")
    );
}

#[test]
fn the_bay_is_held_against_layout_vehicle_and_clear_floor() {
    let template = format!("{TEMPLATE}[clear_floor]\nfront = \"1 m\"\nsides = \"500 mm\"\n");
    let bay = Bay {
        length: 6000.0,
        width: 4000.0,
        obstacles: vec![],
    };
    let plan = resolve(&template, &[], Some(&bay)).unwrap();
    // Length 1650 + 4250 + 1000; width 2 × (1180 + 25 + 500).
    assert_eq!(
        (plan.floor.needed.width(), plan.floor.needed.height()),
        (6900.0, 3410.0)
    );
    assert_eq!(plan.floor.bay.unwrap().to_string(), "900 mm too short");
}

#[test]
fn floor_limits_are_amounts_that_a_job_may_set() {
    let limits = |table: &str, settings: &[Setting]| {
        resolve(&format!("{TEMPLATE}{table}"), settings, None).map(|plan| plan.floor.limits)
    };
    let both = "[floor]\nslope_per_metre = \"3 mm\"\nflatness = \"1/4 in\"\n";
    assert_eq!(
        limits(both, &[]),
        Ok(Some(FloorLimits {
            slope: Some(3.0),
            flatness: Some(6.35),
            demonstration: false
        }))
    );
    assert_eq!(limits("", &[]), Ok(None));
    assert_eq!(limits("[floor]\n", &[]), Ok(None));
    let message = limits("[floor]\nslope_per_metre = \"gap\"\nflatnes = 1\n", &[]).unwrap_err();
    assert!(
        message.contains("`flatnes` is not a key of [floor]; did you mean `flatness`?"),
        "{message}"
    );
    let set = Setting {
        name: "gap".into(),
        text: "100 mm".into(),
        place: Place::whole("--set"),
    };
    let by_value = "[floor]\nslope_per_metre = \"gap\"\n";
    let slope = limits(by_value, &[set])
        .unwrap()
        .and_then(|limits| limits.slope);
    assert_eq!(slope, Some(100.0));
    assert!(
        limits(by_value, &[])
            .unwrap_err()
            .contains("the floor's slope per metre is 750 mm")
    );
}

#[test]
fn points_by_bearing_are_mirrored_and_counted_outwards() {
    let point = "[[points]]\nname = \"P\"\nmeaning = \"arc\"\nfrom = \"rear corner\"\nbearing_from = \"rearward\"\nbearing = \"30 deg\"\ndistance = \"1 m\"\ntolerance = \"5 mm\"\n";
    let plan = resolve(&format!("{TEMPLATE}{point}"), &[], None).unwrap();
    let (x, y) = at(&plan, "PL");
    // From the corner (−3500, 900): 1000·cos 30° rearward, 1000·sin 30° outward.
    assert!(
        (x + 3500.0 + 866.025_403_784).abs() < 1e-6 && (y - 1400.0).abs() < 1e-9,
        "{x} {y}"
    );
    assert_eq!(at(&plan, "PR"), (x, -y));
    let ties = plan
        .checks
        .iter()
        .filter(|check| check.kind == super::CheckKind::Tie)
        .count();
    assert_eq!(
        ties,
        3 + 4,
        "three hold the rails, and each of the two points is tied to both base marks"
    );
    let across = point.replace("30 deg", "-89 deg");
    assert!(
        resolve(&format!("{TEMPLATE}{across}"), &[], None)
            .unwrap_err()
            .contains("across the centreline")
    );
}

#[test]
fn a_one_sided_point_needs_no_side_to_be_named_and_exists_on_its_side_alone() {
    let one = "[[points]]\nname = \"P\"\nmeaning = \"stand\"\nfrom = \"rear/side\"\nbearing_from = \"rearward\"\nbearing = 10\ndistance = \"1 m\"\nsides = \"left\"\ntolerance = \"5 mm\"\n";
    let line = "[[lines]]\nfrom = \"rear/side/left\"\nto = \"P\"\nwidth = \"25 mm\"\n";
    let plan = resolve(&format!("{TEMPLATE}{one}{line}"), &[], None).unwrap();
    assert_eq!(plan.marks[plan.lines[2].to].id, "P");
    let hanging = one
        .replace("\"P\"", "\"Q\"")
        .replace("rear/side", "P")
        .replace("\"left\"", "\"right\"");
    let message = resolve(&format!("{TEMPLATE}{one}{hanging}"), &[], None)
        .map(|_| panic!("was resolved"))
        .unwrap_err();
    assert!(message.contains("there is no mark `P`"), "{message}");
    let clash = one.replace("\"P\"", "\"PL\"").replace("1 m", "2 m");
    let both = one.replace("\"left\"", "\"both\"");
    let message = resolve(&format!("{TEMPLATE}{both}{clash}"), &[], None)
        .map(|_| panic!("was resolved"))
        .unwrap_err();
    assert!(
        message.contains("two marks would be called PL"),
        "{message}"
    );
}
