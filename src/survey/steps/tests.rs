//! Steps that can be followed: every number gives back its mark, nothing is taped before it lies.

use std::collections::BTreeSet;

use kurbo::{Point, Vec2};

use super::{SettingOutSteps, Way, right_angle::RightAngle};
use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::{FloorPlan, join},
    source::Place,
    survey::{
        Precision,
        tests::{Laying, SAMPLING, sampled},
    },
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

fn plan(vehicle: &str, template: &str) -> FloorPlan {
    let find = |list: &[crate::job::BuiltIn], name: &str| {
        list.iter().find(|item| item.name == name).unwrap().source()
    };
    let vehicle = VehicleSpec::read(&find(&VEHICLES, vehicle)).unwrap();
    let template = TemplateSpec::read(&find(&TEMPLATES, template)).unwrap();
    FloorPlan::resolve(&vehicle, &template, &[], None).unwrap()
}

fn all_plans() -> Vec<FloorPlan> {
    let one = |vehicle: &'static str| {
        TEMPLATES
            .iter()
            .map(move |template| plan(vehicle, template.name))
    };
    VEHICLES
        .iter()
        .flat_map(|vehicle| one(vehicle.name))
        .collect()
}

fn steps(plan: &FloorPlan) -> SettingOutSteps {
    SettingOutSteps::of(plan, &Precision::default(), false)
}

#[test]
fn every_mark_is_set_once_by_each_way() {
    for plan in all_plans() {
        let steps = steps(&plan);
        for way in Way::ALL {
            let mut set: Vec<usize> = steps
                .way(way)
                .iter()
                .flat_map(|step| step.marks.clone())
                .collect();
            set.sort_unstable();
            assert_eq!(
                set,
                (0..plan.marks.len()).collect::<Vec<_>>(),
                "{} {way:?}",
                plan.template.name
            );
        }
    }
}

#[test]
fn nothing_is_taped_from_a_point_that_does_not_lie_yet() {
    for plan in all_plans() {
        let steps = steps(&plan);
        for way in Way::ALL {
            let mut lying: BTreeSet<String> = ["front", "rear", "zero"].map(str::to_owned).into();
            for step in steps.way(way) {
                for pull in &step.tape {
                    assert!(
                        lying.contains(&pull.from.name),
                        "{} {way:?} {}",
                        plan.template.name,
                        step.instruction
                    );
                    lying.insert(pull.to.name.clone());
                }
                lying.extend(step.marks.iter().map(|&mark| plan.marks[mark].id.clone()));
                for end in step.check.iter().flat_map(|pull| [&pull.from, &pull.to]) {
                    assert!(
                        lying.contains(&end.name),
                        "{} {way:?}: {}",
                        plan.template.name,
                        end.name
                    );
                }
            }
        }
    }
}

#[test]
fn every_step_that_sets_marks_off_the_line_is_checked_and_no_check_runs_through_a_wheel() {
    for plan in all_plans() {
        let steps = steps(&plan);
        for step in Way::ALL.into_iter().flat_map(|way| steps.way(way)) {
            let off_line = step.marks.iter().any(|&mark| plan.marks[mark].at.y != 0.0);
            assert!(
                !off_line || !step.check.is_empty(),
                "{}: {}",
                plan.template.name,
                step.instruction
            );
            assert!(step.check.iter().all(|pull| !pull.through_wheel));
            let taped = |a: &str, b: &str| {
                step.tape
                    .iter()
                    .any(|pull| pull.from.name == a && pull.to.name == b)
            };
            assert!(
                step.check
                    .iter()
                    .all(|pull| !taped(&pull.from.name, &pull.to.name))
            );
        }
    }
}

#[test]
fn perpendicular_numbers_are_never_taped_through_a_wheel() {
    for plan in all_plans() {
        assert!(
            steps(&plan)
                .perpendicular
                .iter()
                .flat_map(|step| &step.tape)
                .all(|pull| !pull.through_wheel)
        );
    }
}

#[test]
fn after_the_rear_end_of_the_van_the_ends_and_sides_are_checked() {
    let plan = plan("delivery-van", "perimeter-lines");
    let steps = steps(&plan);
    let set = |id: &str| {
        let mark = plan.marks.iter().position(|mark| mark.id == id).unwrap();
        steps
            .perpendicular
            .iter()
            .find(|step| step.marks.contains(&mark))
            .unwrap()
    };
    let names = |id: &str| {
        set(id)
            .check
            .iter()
            .map(|p| format!("{}-{}", p.from.name, p.to.name))
            .collect::<Vec<_>>()
    };
    assert!(names("1L").contains(&"1L-1R".to_owned()));
    for pair in ["4L-4R", "1L-4L", "1R-4R"] {
        assert!(names("4L").contains(&pair.to_owned()), "{pair}");
    }
    // Both long diagonals run through front wheels; the marks beside the wheels bring others.
    assert!(names("2L").contains(&"2L-4R".to_owned()));
}

#[test]
fn a_mark_with_flat_arcs_is_sent_to_the_perpendicular_way_with_angle_and_error() {
    let plan = plan("city-car", "rear-corner-arcs");
    let steps = steps(&plan);
    let mark = plan.marks.iter().position(|mark| mark.id == "P1L").unwrap();
    let crossing = steps.errors[mark].crossing.unwrap();
    // By the law of cosines: 3547.5² = 5140.4² + 1830.3² − 2 · 5140.4 · 1830.3 · cos γ, γ = 24.05°.
    assert!(
        (crossing.angle - 24.05).abs() < 0.02 && crossing.is_flat(),
        "{}",
        crossing.angle
    );
    let step = steps
        .two_tape
        .iter()
        .find(|step| step.marks.contains(&mark))
        .unwrap();
    let set = steps
        .perpendicular
        .iter()
        .find(|step| step.marks.contains(&mark))
        .unwrap();
    assert!(
        step.tape.is_empty() && step.instruction.to_string().contains("24°"),
        "{}",
        step.instruction
    );
    assert!(
        step.instruction
            .to_string()
            .ends_with(&format!("way 1, step {}.", set.number)),
        "{}",
        step.instruction
    );
    assert!(
        steps.errors[mark].radius_95(Way::TwoTape)
            > steps.errors[mark].radius_95(Way::Perpendicular)
    );
}

#[test]
fn right_angles_are_3_4_5_lie_on_the_needed_floor_and_suit_the_offset() {
    for plan in all_plans() {
        for mark in plan.marks.iter().filter(|mark| mark.at.y > 0.0) {
            for inches in [false, true] {
                let foot = Point::new(mark.at.x, 0.0);
                if plan.vehicle.through_wheel(foot, mark.at) {
                    continue;
                }
                let Some(angle) = RightAngle::at(&plan, foot, mark.at.y, inches) else {
                    continue;
                };
                assert!((angle.along.hypot(angle.across) - angle.diagonal).abs() < 1e-9);
                let end = foot.x + angle.direction * angle.along;
                let floor = plan.floor.needed;
                assert!(floor.x0 <= end && end <= floor.x1 && angle.across <= floor.y1);
                assert!(
                    angle.across >= 0.4 * mark.at.y,
                    "{angle:?} for {}",
                    mark.at.y
                );
                let unit = if inches { 25.4 } else { 50.0 };
                let whole = angle.diagonal / unit;
                assert!((whole - whole.round()).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn a_mat_is_set_out_from_its_own_base_marks() {
    let plans = vec![
        plan("city-car", "perimeter-lines"),
        plan("delivery-van", "perimeter-lines"),
    ];
    let whole = join(plans, &Place::whole("job")).unwrap().whole;
    let steps = steps(&whole);
    let bases = whole.tape_base.map(|base| whole.marks[base].id.clone());
    let swung: Vec<_> = steps
        .two_tape
        .iter()
        .filter(|step| matches!(step.instruction, super::Instruction::Swing { .. }))
        .collect();
    assert!(!swung.is_empty());
    assert!(
        swung
            .iter()
            .flat_map(|step| &step.tape)
            .all(|pull| bases.contains(&pull.from.name))
    );
    let set: usize = steps.two_tape.iter().map(|step| step.marks.len()).sum();
    assert_eq!(set, whole.marks.len());
}

/// A base mark taped along the chalk line, as hands do it.
fn base(laying: &mut Laying<'_>, at: Point) -> Point {
    let place = laying.set_out(at);
    laying.line * place
}

/// A distance taped from a mark: zero held on it and read at the other end.
fn swung(laying: &mut Laying<'_>, length: f64) -> f64 {
    laying.taped(length) + laying.dice.normal(laying.precision.reading)
}

/// Where two circles meet, on the side of the line through their middles where `near` lies.
fn meet(a: Point, b: Point, (from_a, from_b): (f64, f64), near: Point) -> Point {
    let apart = a.distance(b);
    let along = (apart * apart + from_a * from_a - from_b * from_b) / (2.0 * apart);
    let height = (from_a * from_a - along * along).sqrt();
    let direction = (b - a) / apart;
    let side = direction.cross(near - a).signum();
    a + direction * along + Vec2::new(-direction.y, direction.x) * (side * height)
}

#[test]
fn arcs_swung_with_random_errors_cross_as_propagated() {
    let precision = Precision::default();
    for (vehicle, template, id) in [
        ("delivery-van", "perimeter-lines", "1L"),
        ("delivery-van", "perimeter-lines", "3R"),
        ("city-car", "rear-corner-arcs", "P1L"),
        ("city-car", "rear-corner-arcs", "P3R"),
    ] {
        let plan = plan(vehicle, template);
        let mark = plan.marks.iter().position(|mark| mark.id == id).unwrap();
        let (at, [a, b]) = (
            plan.marks[mark].at,
            plan.tape_base.map(|base| plan.marks[base].at),
        );
        let found = steps(&plan).errors[mark].crossing.unwrap().covariance;
        let sample = sampled(&plan, precision, at, |laying| {
            let (from, to) = (base(laying, a), base(laying, b));
            let lengths = (swung(laying, a.distance(at)), swung(laying, b.distance(at)));
            meet(from, to, lengths, at) + laying.drawn() + laying.dice.normal2(precision.strip)
        });
        compare(id, found, sample);
    }
}

#[test]
fn marks_taped_along_a_string_with_random_errors_scatter_as_propagated() {
    let precision = Precision::default();
    let plan = plan("delivery-van", "perimeter-lines");
    for id in ["2L", "3R2"] {
        let mark = plan.marks.iter().position(|mark| mark.id == id).unwrap();
        let at = plan.marks[mark].at;
        let carried = super::sections::carried(&plan)
            .into_iter()
            .find(|carried| carried.mark == mark)
            .unwrap();
        let found = steps(&plan).errors[mark].perpendicular;
        let sample = sampled(&plan, precision, at, |laying| {
            let [front, rear] = carried.ends.map(|end| base(laying, end));
            let length = swung(laying, carried.ends[0].distance(at));
            let along = (rear - front).normalize();
            let string = Vec2::new(-along.y, along.x) * laying.dice.normal(precision.centreline);
            front + along * length + string + laying.drawn() + laying.dice.normal2(precision.strip)
        });
        compare(id, found, sample);
    }
}

fn compare(id: &str, found: crate::survey::Covariance, [sd_x, sd_y, correlation]: [f64; 3]) {
    let words = format!(
        "{id}: {} {} against {sd_x} {sd_y}",
        found.sd_x(),
        found.sd_y()
    );
    assert!(
        (found.sd_x() / sd_x - 1.0).abs() < SAMPLING
            && (found.sd_y() / sd_y - 1.0).abs() < SAMPLING,
        "{words}"
    );
    let expected = found.xy / (found.sd_x() * found.sd_y());
    assert!(
        (expected - correlation).abs() < SAMPLING,
        "{words}: correlation {expected} against {correlation}"
    );
}
