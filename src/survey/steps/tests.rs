//! Steps that can be followed: every number gives back its mark, nothing is taped before it lies.

use std::collections::BTreeSet;

use kurbo::{Point, Rect};

use super::{Instruction, SettingOutSteps, Way};
use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::{FloorPlan, join},
    source::Place,
    survey::{LayingFloor, Precision},
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

pub(super) fn plan(vehicle: &str, template: &str) -> FloorPlan {
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

pub(super) fn steps(plan: &FloorPlan) -> SettingOutSteps {
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

/// Points that nothing but the vehicle or a line gives.
fn given(name: &str) -> bool {
    ["front", "rear", "zero", "WFL", "WFR", "WRL", "WRR"].contains(&name)
}

#[test]
fn nothing_is_taped_from_a_point_that_does_not_lie_yet() {
    for plan in all_plans() {
        let steps = steps(&plan);
        for way in Way::ALL {
            let mut lying: BTreeSet<String> = BTreeSet::new();
            for step in steps.way(way) {
                let words = format!("{} {way:?} {}", plan.template.name, step.instruction);
                if let Instruction::Across { foot, .. } = &step.instruction {
                    lying.insert(foot.clone());
                }
                for pull in &step.tape {
                    assert!(
                        given(&pull.from.name) || lying.contains(&pull.from.name),
                        "{words}"
                    );
                    lying.insert(pull.to.name.clone());
                }
                lying.extend(step.marks.iter().map(|&mark| plan.marks[mark].id.clone()));
                let checked = step.check.iter().flat_map(|pull| [&pull.from, &pull.to]);
                for end in checked.chain(step.strings.iter().flatten()) {
                    assert!(
                        given(&end.name) || lying.contains(&end.name),
                        "{words}: {}",
                        end.name
                    );
                }
            }
        }
    }
}

/// True where a segment has a point within a rectangle, found by walking along it.
fn walks_into(rect: Rect, from: Point, to: Point) -> bool {
    let rect = rect.inset(-0.1);
    (0..=2000).any(|part| rect.contains(from.lerp(to, f64::from(part) / 2000.0)))
}

/// What a vehicle that stands there does not let through, as straight segments: all that is taped, and strings.
fn assert_nothing_below(plan: &FloorPlan, step: &super::Step) {
    let vehicle = &plan.vehicle;
    let wheels = vehicle.wheels.map(|wheel| wheel.footprint());
    let pulls = step.tape.iter().chain(&step.check);
    let pulls = pulls.map(|pull| [pull.from.at, pull.to.at]);
    let sides = step
        .triangles
        .iter()
        .flat_map(|[a, b, c]| [[*a, *b], [*b, *c], [*c, *a]]);
    let carried = matches!(step.instruction, Instruction::CarryWheels { .. });
    for [from, to] in pulls.chain(sides) {
        let words = format!(
            "{} {}: {from:?} {to:?}",
            plan.template.name, step.instruction
        );
        // A plumbed wheel centre is carried outward from the tyre's face, which may stand a hand's breadth below the body.
        let start = if carried {
            from.lerp(to, 1.0 - 1e-9)
        } else {
            from
        };
        assert!(!walks_into(vehicle.body(), start, to), "{words}");
        assert!(
            wheels.iter().all(|wheel| !walks_into(*wheel, from, to)),
            "{words}"
        );
    }
    for [from, to] in &step.strings {
        let below = matches!(step.instruction, Instruction::StringBelow);
        let free = !walks_into(vehicle.body(), from.at, to.at);
        assert!(free || below, "{} {}", plan.template.name, step.instruction);
        assert!(
            wheels
                .iter()
                .all(|wheel| !walks_into(*wheel, from.at, to.at))
        );
    }
}

#[test]
fn no_tape_runs_below_a_vehicle_that_stands_there_or_through_its_wheels() {
    for plan in all_plans() {
        for inches in [false, true] {
            let steps = SettingOutSteps::of(&plan, &Precision::default(), inches);
            assert_eq!(
                steps.floor,
                LayingFloor::VehicleStands,
                "{}",
                plan.template.name
            );
            for step in &steps.perpendicular {
                assert_nothing_below(&plan, step);
            }
        }
    }
}

#[test]
fn the_other_way_and_a_mat_are_laid_on_the_empty_floor_and_the_vehicle_comes_last() {
    let empty = |steps: &[super::Step]| {
        assert!(matches!(
            steps[0].instruction,
            Instruction::LineOnFloor { .. }
        ));
        let last = &steps.last().unwrap().instruction;
        assert!(matches!(last, Instruction::DriveOn { .. }));
        let words = steps[0].instruction.to_string();
        assert!(words.starts_with("No vehicle stands here."), "{words}");
    };
    for plan in all_plans() {
        empty(&steps(&plan).two_tape);
    }
    let vehicles = ["city-car", "estate", "delivery-van"];
    for template in &TEMPLATES {
        let plans = vehicles
            .map(|vehicle| plan(vehicle, template.name))
            .to_vec();
        let whole = join(plans, &Place::whole("job")).unwrap().whole;
        let steps = steps(&whole);
        assert_eq!(steps.floor, LayingFloor::Empty);
        empty(&steps.perpendicular);
        empty(&steps.two_tape);
    }
}

#[test]
fn every_step_that_sets_marks_off_the_line_is_checked_by_what_was_not_just_taped() {
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
fn along_the_strings_of_the_van_ends_and_sides_are_checked() {
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
    // The wheel marks lie where the plumbed front wheels are carried to; stations count from them.
    assert!(
        matches!(&set("2L").instruction, Instruction::CarryWheels { starts, .. } if *starts == ["2L", "2R"])
    );
    assert!(names("1L").contains(&"1L-1R".to_owned()));
    for pair in ["4L-4R", "1L-4L", "1R-4R"] {
        assert!(names("4L").contains(&pair.to_owned()), "{pair}");
    }
    assert!(
        names("1C").contains(&"front-1C".to_owned()),
        "{:?}",
        names("1C")
    );
}

#[test]
fn a_mark_with_flat_arcs_is_set_square_to_the_line_and_its_angle_is_said() {
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
    let words = step.instruction.to_string();
    assert!(
        words.starts_with("Two tapes cross too flat here (24°)."),
        "{words}"
    );
    let errors = steps.errors[mark];
    assert_eq!(errors.covariance(Way::TwoTape), errors.from_line);
    assert!(crossing.covariance.radius_95() > errors.radius_95(Way::TwoTape));
}

#[test]
fn right_angles_are_3_4_5_lie_on_the_needed_floor_and_suit_the_offset() {
    let mut found = 0;
    for (plan, inches) in all_plans()
        .iter()
        .flat_map(|plan| [(plan, false), (plan, true)])
    {
        let steps = SettingOutSteps::of(plan, &Precision::default(), inches);
        for step in Way::ALL.into_iter().flat_map(|way| steps.way(way)) {
            let angle = match &step.instruction {
                Instruction::SquareOff { angle, .. } | Instruction::SquareOut { angle, .. } => {
                    angle
                }
                _ => continue,
            };
            let words = format!("{} {}", plan.template.name, step.instruction);
            let angle = angle.unwrap_or_else(|| panic!("no room: {words}"));
            assert!((angle.along.hypot(angle.across) - angle.diagonal).abs() < 1e-9);
            let longest = step
                .tape
                .iter()
                .map(|pull| pull.distance())
                .fold(0.0, f64::max);
            // What only holds a string may be set off by a short triangle: its station does not matter.
            let least = if step.marks.is_empty() { 0.2 } else { 0.4 };
            assert!(
                angle.across >= least * longest,
                "{angle:?} for {longest}: {words}"
            );
            let whole = angle.diagonal / if inches { 25.4 } else { 50.0 };
            assert!((whole - whole.round()).abs() < 1e-9);
            let passage = plan.vehicle.body().inflate(600.0, 600.0);
            let floor = plan.floor.needed.union(passage).inflate(1e-6, 1e-6);
            let corners = step.triangles.iter().flatten();
            assert!(corners.into_iter().all(|at| floor.contains(*at)), "{words}");
            found += 1;
        }
    }
    // At both ends of every vehicle, in both units.
    assert!(found >= 2 * 2 * all_plans().len(), "{found}");
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
        .filter(|step| matches!(step.instruction, Instruction::Swing { .. }))
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

#[test]
fn no_station_is_taped_to_the_end_of_a_string() {
    for plan in all_plans() {
        for step in &steps(&plan).perpendicular {
            if let Instruction::AlongStrings { .. } = step.instruction {
                let names = step.tape.iter().map(|pull| pull.to.name.as_str());
                assert!(
                    names.clone().all(|name| !name.starts_with('h')),
                    "{}",
                    plan.template.name
                );
            }
        }
    }
}
