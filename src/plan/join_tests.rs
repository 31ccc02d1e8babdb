//! Joining layouts: what is shared, what is cut, and what is refused.

use super::*;
use crate::{plan::Setting, source::Source, template::TemplateSpec, vehicle::VehicleSpec};
use kurbo::Point;

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
meaning = "front wheels"
from = "front axle"
[[stations]]
name = "rear"
meaning = "rear end"
from = "rear bumper"
behind = "gap"
[[rails]]
name = "side"
from = "tyre outer face"
outward = "300 mm"
[[rails]]
name = "tip"
from = "side"
outward = "400 mm"
[[marks]]
stations = ["front", "rear"]
rails = ["centre", "side"]
tolerance = "4 mm"
[[marks]]
stations = ["axle"]
rails = ["side", "tip"]
tolerance = "2 mm"
[[lines]]
from = "front/side"
to = "rear/side"
sides = "both"
width = "50 mm"
[[lines]]
from = "axle/side"
to = "axle/tip"
sides = "both"
width = "50 mm"
[[panels]]
at = "front/centre"
shape = "square"
side = "100 mm"
"#;

/// Front overhang and front track in mm are what tells the test vehicles apart: with a tyre of 200 mm
/// the front end lies at x = overhang + 750, and the side rail at y = (track + 200) / 2 + 300.
fn vehicle(name: &str, overhang: f64, track: f64) -> VehicleSpec {
    let text = format!(
        "format = \"vehicle/1\"\nname = \"{name}\"\nsource = \"invented\"\nwheelbase = 2700\nfront_overhang = {overhang}\nrear_overhang = 810\nfront_track = {track}\nrear_track = {track}\ntyre_width = 200\noverall_width = 2200\nwidth_over_mirrors = 2300\n"
    );
    VehicleSpec::read(&Source::new("test.toml", &text)).unwrap_or_else(|faults| panic!("{faults}"))
}

fn joined(vehicles: &[(f64, f64)]) -> Result<JoinedPlans, String> {
    let template = TemplateSpec::read(&Source::new("template.toml", TEMPLATE))
        .unwrap_or_else(|f| panic!("{f}"));
    let settings: [Setting; 0] = [];
    let plans = vehicles
        .iter()
        .enumerate()
        .map(|(index, &(overhang, track))| {
            let vehicle = vehicle(&format!("test vehicle {}", index + 1), overhang, track);
            FloorPlan::resolve(&vehicle, &template, &settings, None)
                .unwrap_or_else(|faults| panic!("{faults}"))
        });
    join(plans.collect(), &Place::whole("job.toml")).map_err(|faults| faults.to_string())
}

fn mark<'p>(plan: &'p FloorPlan, id: &str) -> (usize, &'p Mark) {
    let found = plan
        .marks
        .iter()
        .enumerate()
        .find(|(_, mark)| mark.id == id);
    found.unwrap_or_else(|| {
        panic!(
            "no mark {id} in {:?}",
            plan.marks.iter().map(|m| &m.id).collect::<Vec<_>>()
        )
    })
}

/// Lines by the names of their ends, with the letters of their users.
fn lines(plan: &FloorPlan) -> Vec<String> {
    let mat = plan.mat.as_ref().unwrap();
    let name = |index: usize| plan.marks[index].id.as_str();
    let lines = plan.lines.iter().zip(&mat.lines);
    lines
        .map(|(line, users)| {
            format!(
                "{} {} {}",
                name(line.from),
                name(line.to),
                mat.letters(users)
            )
        })
        .collect()
}

#[test]
fn a_mark_in_one_place_is_one_mark_with_both_letters_and_the_tighter_tolerance() {
    let mat = joined(&[(900.0, 1500.0), (1000.0, 1500.0)]).unwrap().whole;
    // Same track and rear end, another front end.
    assert_eq!(mark(&mat, "AB:2L").1.at, Point::new(0.0, 1150.0));
    assert_eq!(mark(&mat, "A:1C").1.at, Point::new(1650.0, 0.0));
    assert_eq!(mark(&mat, "B:1C").1.at, Point::new(1750.0, 0.0));
    assert_eq!(mark(&mat, "AB:2L").1.tolerance, 2.0);
    let users = &mat.mat.as_ref().unwrap().marks;
    assert_eq!(users[mark(&mat, "AB:2L").0], [0, 1]);
    assert_eq!(users[mark(&mat, "B:1C").0], [1]);
    // Ten marks each; the front end's three are each vehicle's own.
    assert_eq!(mat.marks.len(), 7 + 3 + 3);
}

#[test]
fn lines_that_run_over_each_other_are_there_once_and_cut_where_the_users_change() {
    let mat = joined(&[(900.0, 1500.0), (1000.0, 1500.0)]).unwrap().whole;
    let lines = lines(&mat);
    // B's side line begins 100 mm ahead of A's and ends with it; the cross lines are the same.
    for expected in [
        "A:1L AB:3L AB",
        "B:1L A:1L B",
        "AB:2L AB:2L2 AB",
        "A:1R AB:3R AB",
        "B:1R A:1R B",
    ] {
        assert!(
            lines.iter().any(|line| line == expected),
            "{expected} not in {lines:?}"
        );
    }
    assert_eq!(lines.len(), 6);
}

#[test]
fn lines_that_overlap_in_part_become_three_stretches() {
    // Side rails at 1150 and 1250 mm, so the cross lines run from 1150 to 1550 and from 1250 to 1650 mm.
    let mat = joined(&[(900.0, 1500.0), (1000.0, 1700.0)]).unwrap().whole;
    let lines = lines(&mat);
    for expected in [
        "A:2L B:2L A",
        "B:2L A:2L2 AB",
        "A:2L2 B:2L2 B",
        "A:1L A:3L A",
        "B:1L B:3L B",
    ] {
        assert!(
            lines.iter().any(|line| line == expected),
            "{expected} not in {lines:?}"
        );
    }
    assert_eq!(lines.len(), 10);
}

#[test]
fn what_lies_on_the_floor_is_what_each_layout_has_and_nothing_twice() {
    let JoinedPlans { whole, each } =
        joined(&[(900.0, 1500.0), (1000.0, 1700.0), (1100.0, 1500.0)]).unwrap();
    let users = &whole.mat.as_ref().unwrap().lines;
    for (v, plan) in each.iter().enumerate() {
        let length = |plan: &FloorPlan, keep: &dyn Fn(usize) -> bool| -> f64 {
            let lines = plan
                .lines
                .iter()
                .enumerate()
                .filter(|(index, _)| keep(*index));
            lines
                .map(|(_, line)| plan.marks[line.from].at.distance(plan.marks[line.to].at))
                .sum()
        };
        let (own, on_mat) = (
            length(plan, &|_| true),
            length(&whole, &|index| users[index].contains(&v)),
        );
        assert!(
            (own - on_mat).abs() < 1e-9,
            "vehicle {v}: {own} mm alone, {on_mat} mm on the mat"
        );
    }
}

#[test]
fn panels_in_one_place_lie_once() {
    let mat = joined(&[(900.0, 1500.0), (900.0, 1700.0), (1200.0, 1900.0)])
        .unwrap()
        .whole;
    let users = &mat.mat.as_ref().unwrap().panels;
    assert_eq!((mat.panels.len(), users), (2, &vec![vec![0, 1], vec![2]]));
}

#[test]
fn checks_are_kept_apart_by_vehicle_and_measure_between_the_mats_marks() {
    let JoinedPlans { whole, each } = joined(&[(900.0, 1500.0), (1000.0, 1500.0)]).unwrap();
    assert_eq!(
        whole.checks.len(),
        each[0].checks.len() + each[1].checks.len()
    );
    assert!(
        whole.checks[0].id.starts_with("A:") && whole.checks.last().unwrap().id.starts_with("B:")
    );
    for check in &whole.checks {
        let taped = whole.marks[check.from]
            .at
            .distance(whole.marks[check.to].at);
        assert!((taped - check.distance).abs() < 1e-9, "{}", check.id);
    }
    // Each vehicle's own page uses the names of the mat.
    assert_eq!(mark(&each[1], "AB:2L").1.at, Point::new(0.0, 1150.0));
    assert_eq!(each[1].own_letter(), Some('B'));
}

#[test]
fn marks_too_near_to_be_told_apart_are_refused_by_name_with_their_distance() {
    let list = joined(&[(900.0, 1500.0), (912.0, 1700.0)]).unwrap_err();
    for expected in [
        "job.toml",
        "A:1C and B:1C lie 12 mm apart",
        "test vehicle 1",
        "test vehicle 2",
        "22 mm",
    ] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
    assert!(
        !list.contains("1L"),
        "marks far enough apart are not accused: {list}"
    );
    assert!(joined(&[(900.0, 1500.0), (922.0, 1700.0)]).is_ok());
    // Less than half a millimetre is one place, not two places that are too near.
    let mat = joined(&[(900.0, 1500.0), (900.4, 1700.0)]).unwrap().whole;
    assert_eq!(mark(&mat, "AB:1C").1.at.x, 1650.0);
}

#[test]
fn every_pair_of_vehicles_that_cannot_share_a_mat_is_named() {
    let list = joined(&[(900.0, 1500.0), (910.0, 1700.0), (920.0, 1900.0)]).unwrap_err();
    for expected in [
        "A:1C and B:1C lie 10 mm",
        "A:1C and C:1C lie 20 mm",
        "B:1C and C:1C lie 10 mm",
    ] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
}
