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
        sheets: Vec::new(),
        names: Vec::new(),
        vehicle: Vehicle::Given(Box::new(
            VehicleSpec::read(&source(&VEHICLES, vehicle)).unwrap(),
        )),
        template: TemplateSpec::read(&source(&TEMPLATES, template)).unwrap(),
        values: Vec::new(),
        precision: Precision::default(),
        paper: papers()[0].clone(),
        inches: false,
        as_is: false,
    };
    let kinds = Kind::ALL.into_iter().filter(|kind| *kind != Kind::Desk);
    let mut made = Vec::new();
    let request = Request {
        sheets: kinds.map(|kind| (kind, level)).collect(),
        ..request
    };
    let take = |_, exercise| -> Result<(), PracticeError> {
        made.push(exercise);
        Ok(())
    };
    for missing in make(&request, Clone::clone, take).unwrap() {
        let cause = missing.cause.to_string();
        assert!(
            cause.contains("has no rectangle"),
            "{vehicle} on {template}: {cause}"
        );
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

/// What takes two pages: fourteen marks of which six do not mirror each other, arcs that reach far out to the sides, so that
/// the figure at the smallest scale takes half of the page, and what asks as much as a real floor does.
fn takes_two(exercise: &Exercise, template: &str, paper: &Paper) -> bool {
    match (exercise.kind, exercise.level.number()) {
        (Kind::SetOut, 2) => template == "rear-corner-arcs" && paper.name == "Letter",
        (Kind::SetOut, 3) | (Kind::Table | Kind::Square | Kind::Order, 4) => true,
        (Kind::Bay, level) => level > 1,
        _ => false,
    }
}

#[test]
fn every_exercise_is_one_page_where_its_marks_let_it_and_nothing_on_it_overlaps() {
    let mut otherwise = Vec::new();
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
                    let two = takes_two(&exercise, template, &paper);
                    let most = if two { [2, 3] } else { [1, 2] };
                    let pages = [sheet.len(), key.len()];
                    if pages[0] > most[0] || pages[1] > most[1] {
                        otherwise.push(format!("{name}: {pages:?} pages, not {most:?}"));
                    }
                    for page in sheet.iter().chain(&key) {
                        clean(page, &paper, &name, heights::TEXT);
                    }
                }
            }
        }
    }
    assert!(otherwise.is_empty(), "{otherwise:#?}");
}
