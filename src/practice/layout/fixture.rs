//! Settings for the tests: every built-in vehicle on every built-in template.

use std::sync::OnceLock;

use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::{FloorPlan, Setting as Value},
    practice::{Block, Cell, Exercise, Generator, Level, Setting},
    source::Place,
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// A setting of built-in names, with values set as `name=text`.
pub(in crate::practice) fn setting(vehicle: &str, template: &str, values: &[(&str, &str)]) -> Setting {
    let vehicle = VEHICLES.iter().find(|known| known.name == vehicle).unwrap();
    let template = TEMPLATES.iter().find(|known| known.name == template).unwrap();
    let vehicle = VehicleSpec::read(&vehicle.source()).unwrap();
    let template = TemplateSpec::read(&template.source()).unwrap();
    let values: Vec<Value> = values
        .iter()
        .map(|(name, text)| Value { name: (*name).into(), text: (*text).into(), place: Place::whole("test") })
        .collect();
    let plan = FloorPlan::resolve(&vehicle, &template, &values, None).unwrap();
    Setting {
        plan,
        vehicle,
        template,
        values,
        precision: Precision::default(),
        paper: crate::paper::Paper::parse("A4").unwrap(),
        inches: false,
        full_checks: OnceLock::new(),
        few_checks: OnceLock::new(),
    }
}

/// Every vehicle on every template.
pub(in crate::practice) fn settings() -> Vec<Setting> {
    let pairs = VEHICLES.iter().flat_map(|vehicle| TEMPLATES.iter().map(move |template| (vehicle, template)));
    pairs.map(|(vehicle, template)| setting(vehicle.name, template.name, &[])).collect()
}

/// Seeds, levels and settings through a generator.
pub(in crate::practice) fn all(generator: Generator, mut each: impl FnMut(&Setting, &Exercise)) {
    for setting in settings() {
        for level in Level::ALL {
            for seed in 1..6 {
                let exercise = generator(&setting, level, seed, 3).unwrap_or_else(|error| panic!("{error}"));
                each(&setting, &exercise);
            }
        }
    }
}

/// An exercise's sheets of a class, as text, without the number.
pub(in crate::practice) fn class(generator: Generator, setting: &Setting, level: Level) -> Vec<String> {
    (1..=30).map(|number| text(&generator(setting, level, 7, number).unwrap())).collect()
}

/// Everything on sheet and key, a line for each row of a table.
pub(in crate::practice) fn text(exercise: &Exercise) -> String {
    let mut text = format!("{}\n", exercise.subject);
    write_blocks(&mut text, &exercise.given);
    for (index, question) in exercise.questions.iter().enumerate() {
        text += &format!("{}. {} ({} points)\n", index + 1, question.text, question.points);
        write_blocks(&mut text, &question.blocks);
    }
    for worked in &exercise.worked {
        text += &format!("Worked {}:\n  {}\n", worked.question, worked.lines.join("\n  "));
    }
    for wrong in &exercise.wrong {
        text += &format!("Wrong: {}: {}\n", wrong.answer, wrong.meaning);
    }
    text
}

fn write_blocks(text: &mut String, blocks: &[Block]) {
    for block in blocks {
        match block {
            Block::Text(words) => *text += &format!("{words}\n"),
            Block::Table { columns, rows } => {
                *text += &format!("| {} |\n", columns.join(" | "));
                for row in rows {
                    let cells = row.iter().map(|cell| match cell {
                        Cell::Given(given) => given.clone(),
                        Cell::Blank(blank) => format!("[{blank}]"),
                    });
                    *text += &format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "));
                }
            }
            Block::Figure(figure) => *text += &format!("{figure:?}\n"),
            Block::Lines(_) => {}
            Block::Choices { options, right } => *text += &format!("{options:?} {right:?}\n"),
        }
    }
}
