//! Hand-made layouts of the shapes that the overview has to serve.

use kurbo::{Point, Rect};

use crate::{
    job::Record,
    plan::{
        BayVerdict, Check, CheckKind, FloorNeed, FloorPlan, Line, Mark, Panel, PanelShape,
        TemplateEcho, ValueEcho, VehicleOnFloor, Wheel,
    },
    survey::{CheckChoice, LayPlanner, Method, Precision},
};

/// Fixture vehicles, mm: the shortest and the longest that a sheet must hold.
pub const SHORTEST: f64 = 3500.0;
pub const LONGEST: f64 = 6200.0;

/// A layout for a vehicle of a length in mm.
type Shape = fn(f64) -> FloorPlan;

/// The shapes by name.
pub const SHAPES: [(&str, Shape); 4] = [
    ("perimeter", perimeter),
    ("panels", panels),
    ("forward", forward_target),
    ("arcs", rear_arcs),
];

fn vehicle(length: f64) -> VehicleOnFloor {
    let (front, wheelbase) = (length * 0.19, length * 0.585);
    let wheel = |x: f64, y: f64| Wheel {
        centre: Point::new(x, y),
        width: 205.0,
        diameter: 632.0,
    };
    VehicleOnFloor {
        name: if length > 5000.0 {
            "delivery van (demo)"
        } else {
            "compact hatchback (demo)"
        }
        .to_owned(),
        source: "invented for demonstration".to_owned(),
        sources: Vec::new(),
        demonstration: true,
        front_x: front,
        rear_x: front - length,
        half_width: if length > 5000.0 { 1020.0 } else { 830.0 },
        half_width_over_mirrors: if length > 5000.0 { 1260.0 } else { 960.0 },
        wheels: [
            wheel(0.0, 740.0),
            wheel(0.0, -740.0),
            wheel(-wheelbase, 730.0),
            wheel(-wheelbase, -730.0),
        ],
        badge_offset: 0.0,
        dimensions: vec![("wheelbase".to_owned(), wheelbase)],
        tyre_code: None,
    }
}

fn mark(id: &str, x: f64, y: f64, meaning: &str, station: Option<usize>) -> Mark {
    Mark {
        id: id.to_owned(),
        at: Point::new(x, y),
        tolerance: 3.0,
        meaning: meaning.to_owned(),
        station,
        two_tape: [0.0; 2],
    }
}

/// Marks of stations (x, meaning, offsets from left to right), named after station and rail.
fn stations(list: &[(f64, &str, &[f64])]) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (index, &(x, meaning, offsets)) in list.iter().enumerate() {
        for &y in offsets {
            let rail = if y > 0.0 {
                "L"
            } else if y < 0.0 {
                "R"
            } else {
                "C"
            };
            marks.push(mark(
                &format!("{}{rail}", index + 1),
                x,
                y,
                meaning,
                Some(index + 1),
            ));
        }
    }
    marks
}

fn check(marks: &[Mark], kind: CheckKind, number: usize, from: &str, to: &str) -> Check {
    let index = |id: &str| marks.iter().position(|m| m.id == id).unwrap();
    let (from, to) = (index(from), index(to));
    let letter = kind.word()[..1].to_uppercase();
    Check {
        id: format!("{letter}{number}"),
        kind,
        from,
        to,
        distance: (marks[from].at - marks[to].at).hypot(),
        tolerance: 3.0,
        through_wheel: false,
    }
}

fn checks(marks: &[Mark], list: &[(CheckKind, &[(&str, &str)])]) -> Vec<Check> {
    list.iter()
        .flat_map(|(kind, pairs)| {
            pairs
                .iter()
                .enumerate()
                .map(|(i, (from, to))| check(marks, *kind, i + 1, from, to))
                .collect::<Vec<_>>()
        })
        .collect()
}

fn plan(vehicle: VehicleOnFloor, mut marks: Vec<Mark>, base: [&str; 2], name: &str) -> FloorPlan {
    let tape_base = base.map(|id| marks.iter().position(|m| m.id == id).unwrap());
    let zero = tape_base.map(|index| marks[index].at);
    for mark in &mut marks {
        mark.two_tape = zero.map(|point| (mark.at - point).hypot());
    }
    let body = Rect::new(
        vehicle.rear_x,
        -vehicle.half_width,
        vehicle.front_x,
        vehicle.half_width,
    );
    let extent = marks.iter().fold(body, |r, m| r.union_pt(m.at));
    FloorPlan {
        vehicle,
        template: TemplateEcho {
            name: name.to_owned(),
            purpose: "cameras that look at the ground around the vehicle".to_owned(),
            demonstration: true,
            origin: crate::template::Datum::FrontAxle,
            values: values(),
        },
        marks,
        lines: Vec::new(),
        panels: Vec::new(),
        tape_base,
        checks: Vec::new(),
        lays: Vec::new(),
        proofs: Vec::new(),
        floor: FloorNeed {
            needed: extent.inflate(1000.0, 800.0),
            bay: Some(BayVerdict {
                size: (9000.0, 4500.0),
                short: (0.0, 312.4),
                hit: vec!["lift post, left".to_owned()],
            }),
            limits: None,
        },
        preparation: lines(&[
            "Read and save the fault codes before anything is touched.",
            "Level floor, even light, no reflective clutter on the needed floor.",
            "Tyres at pressure, no extra load, tank as the service information says.",
            "Wheels straight ahead, wheels chocked, parking brake on.",
            "Plumb the middle of the front and of the rear; snap the centreline.",
            "Measure the vehicle's dimensions and compare them with this sheet.",
        ]),
        closing: lines(&[
            "Check the picture in reverse gear while the layout still lies there.",
            "Read the fault codes again and save them.",
            "Save the records of before and after for the customer.",
            "Take up strips and strings; nothing stays on the floor.",
        ]),
        mat: None,
    }
}

fn lines(list: &[&str]) -> Vec<String> {
    list.iter().map(|line| (*line).to_owned()).collect()
}

fn values() -> Vec<ValueEcho> {
    let value = |name: &str, meaning: &str, value: f64, unit: &'static str, demonstration: bool| {
        ValueEcho {
            name: name.to_owned(),
            meaning: meaning.to_owned(),
            value,
            unit,
            demonstration,
        }
    };
    vec![
        value(
            "end_gap_front",
            "from the front bumper to the front end line",
            750.0,
            "mm",
            true,
        ),
        value(
            "end_gap_rear",
            "from the rear bumper to the rear end line",
            750.0,
            "mm",
            true,
        ),
        value(
            "side_gap",
            "from the tyres' outer faces to the rails",
            420.0,
            "mm",
            false,
        ),
        value("strip", "width of the tape strips", 50.0, "mm", true),
        value("turn", "angle of the corner panels", 12.5, "deg", true),
    ]
}

/// 14 marks in six stations, 21 checks; 7.5 m × 3.4 m for a vehicle of 6 m.
pub fn perimeter(length: f64) -> FloorPlan {
    let vehicle = vehicle(length);
    let (front, rear, axle) = (
        vehicle.front_x + 750.0,
        vehicle.rear_x - 750.0,
        vehicle.wheels[2].centre.x,
    );
    let (y, pair): (f64, [f64; 2]) = (1700.0, [1700.0, -1700.0]);
    let triple = [y, 0.0, -y];
    let marks = stations(&[
        (front, "front end line", &triple),
        (0.0, "front wheel centres", &pair),
        (axle / 2.0, "half-way between the axles", &pair),
        (axle, "rear wheel centres", &pair),
        (axle - 450.0, "rear cross line", &pair),
        (rear, "rear end line", &triple),
    ]);
    let list: &[(CheckKind, &[(&str, &str)])] = &[
        (
            CheckKind::Side,
            &[
                ("1L", "6L"),
                ("1R", "6R"),
                ("1C", "6C"),
                ("2L", "4L"),
                ("2R", "4R"),
            ],
        ),
        (
            CheckKind::End,
            &[
                ("1L", "1R"),
                ("2L", "2R"),
                ("3L", "3R"),
                ("4L", "4R"),
                ("5L", "5R"),
                ("6L", "6R"),
            ],
        ),
        (
            CheckKind::Diagonal,
            &[
                ("1L", "6R"),
                ("1R", "6L"),
                ("2L", "4R"),
                ("2R", "4L"),
                ("1L", "2R"),
                ("1R", "2L"),
                ("4L", "6R"),
            ],
        ),
        (CheckKind::Tie, &[("1C", "3L"), ("1C", "3R"), ("6C", "5L")]),
    ];
    let mut plan = plan(
        vehicle,
        marks,
        ["1C", "6C"],
        "perimeter grid for surround-view cameras",
    );
    plan.checks = checks(&plan.marks, list);
    for check in &mut plan.checks {
        check.through_wheel = ["D3", "D4", "E2", "E4"].contains(&check.id.as_str());
    }
    let index = |id: &str| plan.marks.iter().position(|m| m.id == id).unwrap();
    let strips = [
        ("1L", "6L"),
        ("1R", "6R"),
        ("1L", "1R"),
        ("2L", "2R"),
        ("3L", "3R"),
        ("4L", "4R"),
        ("5L", "5R"),
    ];
    plan.lines = strips
        .iter()
        .chain(&[("6L", "6R")])
        .map(|(from, to)| Line::new(index(from), index(to), 50.0))
        .collect();
    plan
}

/// 10 marks, 8 panels beside the vehicle, 16 checks.
pub fn panels(length: f64) -> FloorPlan {
    let vehicle = vehicle(length);
    let axle = vehicle.wheels[2].centre.x;
    let y = 1750.0;
    let marks = stations(&[
        (vehicle.front_x + 1200.0, "front panels", &[y, 0.0, -y]),
        (0.0, "front wheel centres", &[y, -y]),
        (axle, "rear wheel centres", &[y, -y]),
        (vehicle.rear_x - 1200.0, "rear panels", &[y, 0.0, -y]),
    ]);
    let list: &[(CheckKind, &[(&str, &str)])] = &[
        (
            CheckKind::Side,
            &[
                ("1L", "4L"),
                ("1R", "4R"),
                ("1C", "4C"),
                ("2L", "3L"),
                ("2R", "3R"),
            ],
        ),
        (
            CheckKind::End,
            &[("1L", "1R"), ("2L", "2R"), ("3L", "3R"), ("4L", "4R")],
        ),
        (
            CheckKind::Diagonal,
            &[
                ("1L", "4R"),
                ("1R", "4L"),
                ("1L", "2R"),
                ("1R", "2L"),
                ("3L", "4R"),
                ("3R", "4L"),
            ],
        ),
        (CheckKind::Tie, &[("1C", "2L")]),
    ];
    let mut plan = plan(vehicle, marks, ["1C", "4C"], "panels beside the vehicle");
    plan.vehicle.badge_offset = 12.0;
    plan.checks = checks(&plan.marks, list);
    plan.panels = (0..plan.marks.len())
        .filter(|index| !plan.tape_base.contains(index))
        .map(|mark| {
            let shape = match mark % 3 {
                0 => PanelShape::of("chequer", &[6, 4], &[150.0]),
                1 => PanelShape::of("square", &[], &[600.0]),
                _ => PanelShape::of("disc", &[], &[700.0]),
            };
            let turn = if mark % 2 == 0 { 0.0 } else { 15.0 };
            Panel {
                mark,
                shape,
                turn,
                shift: (0.0, 0.0),
            }
        })
        .collect();
    plan
}

/// A baseline ahead of the vehicle: 5 marks, 8 checks, about 10 m × 3 m.
pub fn forward_target(length: f64) -> FloorPlan {
    let vehicle = vehicle(length);
    let marks = stations(&[
        (
            vehicle.front_x + 4000.0,
            "target baseline, 4 m ahead of the bumper",
            &[1500.0, 0.0, -1500.0],
        ),
        (vehicle.front_x, "plumbed middle of the front", &[0.0]),
        (vehicle.rear_x, "plumbed middle of the rear", &[0.0]),
    ]);
    let list: &[(CheckKind, &[(&str, &str)])] = &[
        (CheckKind::Side, &[("1C", "2C"), ("1C", "3C")]),
        (CheckKind::End, &[("1L", "1C"), ("1C", "1R"), ("1L", "1R")]),
        (CheckKind::Diagonal, &[("1L", "2C"), ("1R", "2C")]),
        (CheckKind::Tie, &[("3C", "1L")]),
    ];
    let mut plan = plan(
        vehicle,
        marks,
        ["1C", "3C"],
        "baseline for a forward target",
    );
    plan.checks = checks(&plan.marks, list);
    plan.lines = vec![Line::new(0, 2, 25.0)];
    plan.floor.bay = None;
    plan
}

/// Free marks on arcs about the rear corners.
pub fn rear_arcs(length: f64) -> FloorPlan {
    let vehicle = vehicle(length);
    let corner = Point::new(vehicle.rear_x, vehicle.half_width);
    let mut marks = vec![mark(
        "RC0",
        vehicle.rear_x,
        0.0,
        "plumbed middle of the rear",
        None,
    )];
    for (side, name) in [(1.0, "RL"), (-1.0, "RR")] {
        for (index, degrees) in [100.0_f64, 135.0, 170.0].into_iter().enumerate() {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let at = Point::new(corner.x + 1500.0 * cos, side * (corner.y + 1500.0 * sin));
            let meaning = format!("radar arc 1.5 m about the corner, {degrees} deg");
            marks.push(mark(
                &format!("{name}{}", index + 1),
                at.x,
                at.y,
                &meaning,
                None,
            ));
        }
    }
    marks.push(mark(
        "RC1",
        vehicle.rear_x - 2500.0,
        0.0,
        "rearmost point of the centreline",
        None,
    ));
    let list: &[(CheckKind, &[(&str, &str)])] = &[
        (
            CheckKind::Side,
            &[("RC0", "RC1"), ("RL1", "RL3"), ("RR1", "RR3")],
        ),
        (
            CheckKind::End,
            &[("RL1", "RR1"), ("RL2", "RR2"), ("RL3", "RR3")],
        ),
        (CheckKind::Diagonal, &[("RL1", "RR3"), ("RR1", "RL3")]),
        (CheckKind::Tie, &[("RC1", "RL2"), ("RC1", "RR2")]),
    ];
    let mut plan = plan(
        vehicle,
        marks,
        ["RC0", "RC1"],
        "arcs for the rear corner radars",
    );
    plan.checks = checks(&plan.marks, list);
    plan
}

/// The same with the lays to check it by.
pub fn with_lays(plan: &FloorPlan) -> FloorPlan {
    let laid = (Method::TapedSheets, 280.0);
    LayPlanner {
        plan,
        precision: &Precision::default(),
        laid,
        longest: None,
        step: 0.5,
    }
    .apply(CheckChoice::Full)
}

/// A record with every field as long as people make them.
pub fn long_record() -> Record {
    let long = "Municipal workshop of the northern district, hall 3, lane B12".to_owned();
    Record {
        workshop: long.clone(),
        order: long.clone(),
        vehicle_id: long.clone(),
        technician: long.clone(),
        date: "2026-03-02".to_owned(),
        service_information: long.clone(),
        note: long,
    }
}
