//! Real exercises on real paper: how many pages they take, and that nothing on them overlaps.

use super::{
    tests::{clean, papers},
    *,
};
use crate::{
    drawing::heights,
    job::{TEMPLATES, VEHICLES},
    practice::{GENERATORS, Kind, Level, Request, Vehicle, make},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// The exercises of all kinds but `desk`; a kind that a layout is not fit for says so and is left out.
fn exercises(vehicle: &str, template: &str, level: Level) -> Vec<Exercise> {
    let source = |built_in: &[crate::job::BuiltIn], name: &str| {
        built_in.iter().find(|known| known.name == name).map(crate::job::BuiltIn::source).unwrap()
    };
    let request = Request {
        seed: 4711,
        first: 1,
        count: 2,
        level,
        kinds: Vec::new(),
        vehicle: Vehicle::Given(Box::new(VehicleSpec::read(&source(&VEHICLES, vehicle)).unwrap())),
        template: TemplateSpec::read(&source(&TEMPLATES, template)).unwrap(),
        values: Vec::new(),
        precision: Precision::default(),
        paper: papers()[0].clone(),
        inches: false,
    };
    let kinds = GENERATORS.into_iter().filter(|(kind, _)| *kind != Kind::Desk);
    kinds.filter_map(|kind| make(&Request { kinds: vec![kind], ..request.clone() }).ok()).flatten().collect()
}

#[test]
fn print_all() {
    for vehicle in VEHICLES {
        for template in TEMPLATES {
            for level in Level::ALL {
                for exercise in exercises(vehicle.name, template.name, level) {
                    for paper in papers() {
                        let on = PracticePaper { paper: &paper, origin: "--vehicle random" };
                        let (sheet, key) = (exercise_sheet(&exercise, &on), answer_sheet(&exercise, &on));
                        let name = format!(
                            "{} {} {} {} {} {}",
                            exercise.kind.word(),
                            level.number(),
                            vehicle.name,
                            template.name,
                            paper.name,
                            exercise.number
                        );
                        if sheet.len() > 1 || key.len() > 2 {
                            println!("PAGES {name}: {} {}", sheet.len(), key.len());
                        }
                        for page in sheet.iter().chain(&key) {
                            if let Err(error) = std::panic::catch_unwind(|| clean(page, &paper, &name, heights::TEXT)) {
                                println!("UNCLEAN {}", error.downcast_ref::<String>().unwrap());
                            }
                        }
                    }
                }
            }
        }
    }
}
