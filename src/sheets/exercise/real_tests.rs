//! Real exercises on real paper: how many pages they take, and that nothing on them overlaps.

use super::*;

use super::tests::{clean, papers};
use crate::{
    drawing::heights,
    job::{TEMPLATES, VEHICLES},
    practice::{Kind, Level, PracticeError, Request, Vehicle, make},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// The exercises of all kinds but `desk`; a kind that a layout is not fit for says so and is left out.
fn exercises(vehicle: &str, template: &str, level: Level) -> Vec<Exercise> {
    let source = |built_in: &[crate::job::BuiltIn], name: &str| {
        built_in
            .iter()
            .find(|known| known.name == name)
            .map(crate::job::BuiltIn::source)
            .unwrap()
    };
    let request = Request {
        seed: 4711,
        first: 1,
        count: 1,
        level,
        kinds: Vec::new(),
        vehicle: Vehicle::Given(Box::new(
            VehicleSpec::read(&source(&VEHICLES, vehicle)).unwrap(),
        )),
        template: TemplateSpec::read(&source(&TEMPLATES, template)).unwrap(),
        values: Vec::new(),
        precision: Precision::default(),
        paper: papers()[0].clone(),
        inches: false,
    };
    let kinds = Kind::ALL.into_iter().filter(|kind| *kind != Kind::Desk);
    let mut made = Vec::new();
    for kind in kinds {
        let take = |exercise| -> Result<(), PracticeError> {
            made.push(exercise);
            Ok(())
        };
        if let Err(error) = make(
            &Request {
                kinds: vec![kind],
                ..request.clone()
            },
            take,
        ) {
            assert!(
                error.to_string().contains("has no rectangle"),
                "{vehicle} on {template}: {error}"
            );
        }
    }
    made
}

/// Layouts of all shapes, the demonstration job's first.
const LAYOUTS: [(&str, &str); 6] = [
    ("compact-hatchback", "perimeter-lines"),
    ("city-car", "perimeter-lines"),
    ("delivery-van", "perimeter-lines"),
    ("estate", "side-and-end-panels"),
    ("crew-cab-pickup", "target-line"),
    ("compact-hatchback", "rear-corner-arcs"),
];

/// What takes two pages: fourteen marks of which six do not mirror each other, and arcs that reach far out to the sides,
/// so that the figure at the smallest scale takes half of the page.
fn takes_two(exercise: &Exercise, template: &str, vehicle: &str, paper: &Paper) -> bool {
    let is_setting_out = exercise.kind == Kind::SetOut;
    match (exercise.level.number(), template) {
        (2, "rear-corner-arcs") => is_setting_out && paper.name == "Letter",
        (3, "rear-corner-arcs") => is_setting_out,
        (3, "perimeter-lines") => is_setting_out && paper.name == "Letter" && vehicle == "city-car",
        _ => false,
    }
}

#[test]
fn every_exercise_is_one_page_where_its_marks_let_it_and_nothing_on_it_overlaps() {
    for (vehicle, template) in LAYOUTS {
        for level in Level::ALL {
            for exercise in exercises(vehicle, template, level) {
                for paper in papers() {
                    let on = PracticePaper {
                        paper: &paper,
                        origin: "--vehicle random",
                    };
                    let (sheet, key) =
                        (exercise_sheet(&exercise, &on), answer_sheet(&exercise, &on));
                    let (kind, level) = (exercise.kind.word(), level.number());
                    let name = format!("{kind} {level}, {vehicle} on {template}, {}", paper.name);
                    let two = takes_two(&exercise, template, vehicle, &paper);
                    assert_eq!(sheet.len(), if two { 2 } else { 1 }, "{name}");
                    assert!(
                        key.len() <= 2,
                        "{name}: the answers take {} pages",
                        key.len()
                    );
                    for page in sheet.iter().chain(&key) {
                        clean(page, &paper, &name, heights::TEXT);
                    }
                }
            }
        }
    }
}
