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
    let mut known = TEMPLATES.iter();
    let template = known.find(|known| known.name == template).unwrap();
    let vehicle = VehicleSpec::read(&vehicle.source()).unwrap();
    let template = TemplateSpec::read(&template.source()).unwrap();
    let value = |(name, text): &(&str, &str)| Value {
        name: (*name).into(),
        text: (*text).into(),
        place: Place::whole("test"),
    };
    let values: Vec<Value> = values.iter().map(value).collect();
    Setting {
        plan: FloorPlan::resolve(&vehicle, &template, &values, None).unwrap(),
        vehicle,
        template,
        values,
        precision: Precision::default(),
        paper: crate::paper::Paper::parse("A4").unwrap(),
        inches: false,
        as_is: false,
        full_checks: OnceLock::new(),
        few_checks: OnceLock::new(),
        short_plan: OnceLock::new(),
        full_plan: OnceLock::new(),
        laying: OnceLock::new(),
    }
}

/// The same setting in inches, with nothing asked of it yet.
pub fn in_inches(setting: &Setting) -> Setting {
    Setting {
        inches: true,
        short_plan: OnceLock::new(),
        full_plan: OnceLock::new(),
        ..setting.clone()
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

/// Sheet 1 of a seed, at a level from 1.
pub fn sheet(kind: Kind, setting: &Setting, level: i64, seed: u64) -> Exercise {
    sheets(kind, setting, level, seed, 1).remove(0)
}

/// The first sheets of a seed, at a level from 1.
pub fn sheets(kind: Kind, setting: &Setting, level: i64, seed: u64, count: usize) -> Vec<Exercise> {
    let level = Level::new(level).unwrap();
    let made = |number| kind.exercise(setting, level, seed, number);
    let made: Result<_, _> = (1..=count).map(made).collect();
    made.unwrap_or_else(|error| panic!("{error}"))
}

/// Why there is no sheet.
pub fn refusal(kind: Kind, setting: &Setting, level: i64) -> String {
    let made = kind.exercise(setting, Level::new(level).unwrap(), 1, 1);
    made.unwrap_err().to_string()
}

/// Seeds, levels and settings of a kind.
pub fn all(kind: Kind, mut each: impl FnMut(&Setting, &Exercise)) {
    for setting in settings() {
        for level in 1..=4 {
            for seed in 1..6 {
                each(&setting, &sheets(kind, &setting, level, seed, 3)[2]);
            }
        }
    }
}

/// The sheets of a class are the same each time, and at least `least` of them are different.
pub fn a_class_differs(kind: Kind, setting: &Setting, level: i64, size: usize, least: usize) {
    let class = || -> Vec<String> {
        sheets(kind, setting, level, 7, size)
            .iter()
            .map(text)
            .collect()
    };
    let sheets = class();
    assert_eq!(sheets, class());
    let different = sheets.iter().collect::<BTreeSet<_>>().len();
    assert!(
        different >= least,
        "{} level {level}: {different}",
        kind.word()
    );
}

/// An answer by what it is of.
pub fn answer(made: &Exercise, of: &str) -> Option<String> {
    let mut facts = made.facts().into_iter();
    facts
        .find(|fact| fact.of == of)
        .map(|fact| fact.answer.to_string())
}

/// Rows of a table.
pub fn rows(block: &Block) -> &[Vec<Cell>] {
    match block {
        Block::Table { rows, .. } => rows,
        other => panic!("no table: {other:?}"),
    }
}

/// What stands in a cell, on the sheet or in the key.
pub fn word(cell: &Cell) -> &str {
    match cell {
        Cell::Given(text) | Cell::Blank(text) => text,
    }
}

/// The number that a text begins with.
pub fn number(text: &str) -> f64 {
    let number = text.replace('±', "").replace('\u{2212}', "-");
    number.split(' ').next().unwrap().parse().unwrap()
}

/// Everything on sheet and key, a line for each row of a table.
pub fn text(exercise: &Exercise) -> String {
    let mut text = format!("{}\n", exercise.subject);
    write_blocks(&mut text, &exercise.given);
    for (index, question) in (1..).zip(&exercise.questions) {
        text += &format!("{index}. {} ({} points)\n", question.text, question.points);
        write_blocks(&mut text, &question.blocks);
    }
    for (index, question) in (1..).zip(&exercise.questions) {
        text += &format!("Worked {index}:\n  {}\n", question.worked.join("\n  "));
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
            Block::Tapes(tapes) => *text += &format!("{tapes:?}\n"),
            Block::Figure(figure) => *text += &format!("{figure:?}\n"),
            Block::Lines(_) => {}
            Block::Choices { options, right } => *text += &format!("{options:?} {right:?}\n"),
        }
    }
}
