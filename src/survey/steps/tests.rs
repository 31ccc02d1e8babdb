//! Steps that can be followed: every number gives back its mark, nothing is taped before it lies.

use std::collections::BTreeSet;

use kurbo::{Point, Rect, Vec2};

use super::{Instruction, SettingOutSteps, Way};
use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::{FloorPlan, join},
    source::Place,
    survey::{
        LayingFloor, Precision,
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

/// The plumbed line, and the strings beside it, as hands make them. Pairs of sides have the left one first.
struct Beside {
    /// Plumbed rear middle, and the direction forward.
    line: (Point, Vec2),
    /// Rear end of each string and its direction forward.
    strings: [(Point, Vec2); 2],
}

fn turned(by: f64, direction: Vec2) -> Vec2 {
    direction + Vec2::new(-direction.y, direction.x) * by
}

fn to_the_left(direction: Vec2) -> Vec2 {
    Vec2::new(-direction.y, direction.x)
}

impl Beside {
    fn made(laying: &mut Laying<'_>, plan: &FloorPlan, strings: &super::Strings) -> Self {
        let precision = laying.precision;
        let [front, rear] = [plan.vehicle.front_x, plan.vehicle.rear_x]
            .map(|x| Point::new(x, laying.dice.normal(precision.plumb)));
        let forward = (front - rear).normalize();
        let mut end = |end: usize| {
            let foot = rear + forward * (strings.feet[end].at.x - rear.x);
            let turn = laying.dice.normal(precision.perpendicular / 1000.0);
            [1.0, -1.0].map(|side| {
                let wave = to_the_left(forward) * laying.dice.normal(precision.centreline);
                let off =
                    turned(turn, to_the_left(forward)) * (side * laying.taped(strings.offset));
                foot + wave + off + laying.drawn()
            })
        };
        let (fronts, rears) = (end(0), end(1));
        let string = |side: usize| (rears[side], (fronts[side] - rears[side]).normalize());
        Self {
            line: (rear, forward),
            strings: [string(0), string(1)],
        }
    }

    /// A point of a side's string, counted from its plumbed wheel, and whether anything is set from it.
    fn point(
        &self,
        laying: &mut Laying<'_>,
        strings: &super::Strings,
        (side, x): (usize, f64),
        goes_on: bool,
    ) -> Point {
        let precision = laying.precision;
        let super::strings::Start::Wheels { plumbed, .. } = &strings.datum else {
            panic!("these layouts count from wheels");
        };
        let (rear, forward) = self.strings[side];
        let wheel = plumbed[side].at + Vec2::new(laying.dice.normal(precision.plumb), 0.0);
        let turn = laying.dice.normal(precision.perpendicular / 1000.0);
        let start = strings.starts[side].at;
        let mut along = (wheel - rear).dot(forward) + turn * plumbed[side].at.distance(start);
        let taped = x - start.x;
        if taped != 0.0 || goes_on {
            along += laying.drawn().x;
        }
        if taped != 0.0 {
            along += swung(laying, taped);
        }
        if taped != 0.0 && goes_on {
            along += laying.drawn().x;
        }
        rear + forward * along
    }
}

/// A mark set by the strings.
fn by_strings(
    laying: &mut Laying<'_>,
    plan: &FloorPlan,
    strings: &super::Strings,
    at: Point,
) -> Point {
    let precision = laying.precision;
    let beside = Beside::made(laying, plan, strings);
    let found = if strings.cross(&plan.vehicle, at) {
        let [left, right] = [0, 1].map(|side| beside.point(laying, strings, (side, at.x), true));
        let (rear, forward) = beside.line;
        let off = if at.y == 0.0 { 0.0 } else { laying.taped(at.y) };
        let off = off + laying.dice.normal(precision.centreline);
        let share = (at.y / strings.offset + 1.0) / 2.0;
        let x = right.lerp(left, share).x + laying.dice.normal(precision.centreline);
        let on_line = rear + forward * ((x - rear.x) / forward.x);
        Point::new(x, (on_line + to_the_left(forward) * off).y)
    } else {
        let side = super::Strings::side(at.y);
        let beyond = at.y.abs() - strings.offset;
        let goes_on = beyond.abs() > 1e-3;
        let point = beside.point(laying, strings, (side, at.x), goes_on);
        let (_, forward) = beside.strings[side];
        let wave = to_the_left(forward) * laying.dice.normal(precision.centreline);
        if goes_on {
            let turn = laying.dice.normal(precision.perpendicular / 1000.0);
            let out = turned(turn, to_the_left(forward)) * at.y.signum();
            point + wave + out * laying.taped(beyond)
        } else {
            point + wave
        }
    };
    found + laying.drawn() + laying.dice.normal2(precision.strip)
}

#[test]
fn marks_set_by_strings_with_random_errors_scatter_as_propagated() {
    let precision = Precision::default();
    for (vehicle, template, id) in [
        ("delivery-van", "perimeter-lines", "2L"),
        ("delivery-van", "perimeter-lines", "1R"),
        ("delivery-van", "perimeter-lines", "3R2"),
        ("delivery-van", "perimeter-lines", "4C"),
        ("city-car", "rear-corner-arcs", "P2R"),
        ("city-car", "target-line", "1L"),
    ] {
        let plan = plan(vehicle, template);
        let mark = plan.marks.iter().position(|mark| mark.id == id).unwrap();
        let at = plan.marks[mark].at;
        let strings = super::Strings::of(&plan, false);
        let found = steps(&plan).errors[mark].perpendicular;
        let sample = sampled(&plan, precision, at, |laying| {
            by_strings(laying, &plan, &strings, at)
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
