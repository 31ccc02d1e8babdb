//! Sound sheets for all vehicles and templates, and what is planted in them.

use super::exercise;
use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::FloorPlan,
    practice::{Block, Cell, Exercise, Level, Setting},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

fn settings(template: &str) -> Vec<Setting> {
    let template = TEMPLATES.iter().find(|one| one.name == template).unwrap();
    let template = TemplateSpec::read(&template.source()).unwrap();
    let setting = |vehicle: VehicleSpec| Setting {
        plan: FloorPlan::resolve(&vehicle, &template, &[], None).unwrap(),
        vehicle,
        template: template.clone(),
        values: Vec::new(),
        precision: Precision::default(),
        inches: false,
    };
    VEHICLES.iter().map(|vehicle| setting(VehicleSpec::read(&vehicle.source()).unwrap())).collect()
}

pub(in crate::practice) fn text(exercise: &Exercise) -> String {
    let mut lines = vec![format!("{} level {}", exercise.subject, exercise.level.number())];
    let mut block = |block: &Block| match block {
        Block::Text(text) => lines.push(text.clone()),
        Block::Table { columns, rows } => {
            lines.push(columns.join(" | "));
            lines.extend(rows.iter().map(|row| {
                let cells = row.iter().map(|cell| match cell {
                    Cell::Given(text) => text.clone(),
                    Cell::Blank(text) => format!("[{text}]"),
                });
                cells.collect::<Vec<_>>().join(" | ")
            }));
        }
        Block::Figure(figure) => lines.push(format!("figure: {}", figure.caption)),
        Block::Lines(count) => lines.push(format!("lines {count}")),
        Block::Choices { options, right } => lines.push(format!("{options:?} {right:?}")),
    };
    exercise.given.iter().for_each(&mut block);
    for question in &exercise.questions {
        block(&Block::Text(question.text.clone()));
        question.blocks.iter().for_each(&mut block);
    }
    lines.extend(
        exercise
            .worked
            .iter()
            .flat_map(|worked| worked.lines.iter().map(|line| format!("  {}: {line}", worked.question))),
    );
    lines.extend(exercise.wrong.iter().map(|wrong| format!("  wrong: {} ({})", wrong.answer, wrong.meaning)));
    lines.extend(exercise.facts.iter().map(|fact| format!("  fact {} {}: {}", fact.question, fact.of, fact.answer)));
    lines.join("\n")
}

#[test]
#[ignore = "to look at"]
fn print() {
    for (template, vehicle) in [("perimeter-lines", 4), ("side-and-end-panels", 0)] {
        let setting = &settings(template)[vehicle];
        for level in Level::ALL {
            for number in 1..4 {
                let start = std::time::Instant::now();
                match exercise(setting, level, 7, number) {
                    Ok(exercise) => println!("{:?}\n{}\n", start.elapsed(), text(&exercise)),
                    Err(error) => println!("{error}"),
                }
            }
        }
    }
}

#[test]
#[ignore = "counts draws"]
fn rates() {
    for template in &TEMPLATES {
        for setting in settings(template.name) {
            for level in Level::ALL {
                let start = std::time::Instant::now();
                let made: Vec<_> = (1..=10).map(|number| exercise(&setting, level, 3, number)).collect();
                let sound = made.iter().filter(|made| made.is_ok()).count();
                let error = made.iter().find_map(|made| made.as_ref().err()).map(ToString::to_string);
                println!(
                    "{} level {}: {sound}/10 in {:?} {error:?}",
                    setting.subject(),
                    level.number(),
                    start.elapsed()
                );
            }
        }
    }
}
