//! What tests of several kinds need: settings of what is built in, a class of sheets, a sheet as text.

use std::{collections::BTreeSet, sync::OnceLock};

use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::{FloorPlan, Setting as Value},
    practice::{Block, Cell, Exercise, Kind, Level, Setting},
    source::Place,
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// A setting of built-in names, with values set as `name=text`.
pub fn setting(vehicle: &str, template: &str, values: &[(&str, &str)]) -> Setting {
    let vehicle = VEHICLES.iter().find(|known| known.name == vehicle).unwrap();
    let template = TEMPLATES
        .iter()
        .find(|known| known.name == template)
        .unwrap();
    let vehicle = VehicleSpec::read(&vehicle.source()).unwrap();
    let template = TemplateSpec::read(&template.source()).unwrap();
    let values: Vec<Value> = values
        .iter()
        .map(|(name, text)| Value {
            name: (*name).into(),
            text: (*text).into(),
            place: Place::whole("test"),
        })
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
pub fn settings() -> Vec<Setting> {
    TEMPLATES
        .iter()
        .flat_map(|template| settings_on(template.name))
        .collect()
}

/// Every vehicle on one template.
pub fn settings_on(template: &str) -> Vec<Setting> {
    VEHICLES
        .iter()
        .map(|vehicle| setting(vehicle.name, template, &[]))
        .collect()
}

/// Seeds, levels and settings of a kind.
pub fn all(kind: Kind, mut each: impl FnMut(&Setting, &Exercise)) {
    for setting in settings() {
        for level in Level::ALL {
            for seed in 1..6 {
                let exercise = kind
                    .exercise(&setting, level, seed, 3)
                    .unwrap_or_else(|error| panic!("{error}"));
                each(&setting, &exercise);
            }
        }
    }
}

/// The sheets of a class of thirty are the same each time, and at least `least` of them are different.
pub fn a_class_differs(kind: Kind, setting: &Setting, level: Level, least: usize) {
    let sheet = |number| text(&kind.exercise(setting, level, 7, number).unwrap());
    let sheets: Vec<String> = (1..=30).map(sheet).collect();
    assert_eq!(sheets, (1..=30).map(sheet).collect::<Vec<_>>());
    let different: BTreeSet<&String> = sheets.iter().collect();
    assert!(
        different.len() >= least,
        "{} level {}: {}",
        kind.word(),
        level.number(),
        different.len()
    );
}

/// Everything on sheet and key, a line for each row of a table.
pub fn text(exercise: &Exercise) -> String {
    let mut text = format!("{}\n", exercise.subject);
    write_blocks(&mut text, &exercise.given);
    for (index, question) in exercise.questions.iter().enumerate() {
        text += &format!(
            "{}. {} ({} points)\n",
            index + 1,
            question.text,
            question.points
        );
        write_blocks(&mut text, &question.blocks);
    }
    for (index, question) in exercise.questions.iter().enumerate() {
        text += &format!(
            "Worked {}:\n  {}\n",
            index + 1,
            question.worked.join("\n  ")
        );
    }
    for wrong in &exercise.wrong {
        text += &format!("Wrong: {}: {}\n", wrong.answer, wrong.meaning);
    }
    for fact in exercise.facts() {
        text += &format!("Fact {} {}: {}\n", fact.question, fact.of, fact.answer);
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
