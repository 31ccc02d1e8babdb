//! What tests of several kinds need: settings of what is built in, and a sheet as text.

use std::sync::OnceLock;

use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::FloorPlan,
    practice::{Block, Cell, Exercise, Setting},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// Every built-in vehicle on a built-in template.
pub fn settings(template: &str) -> Vec<Setting> {
    let template = TEMPLATES.iter().find(|one| one.name == template).unwrap();
    let template = TemplateSpec::read(&template.source()).unwrap();
    let setting = |vehicle: VehicleSpec| Setting {
        paper: crate::paper::Paper::parse("A4").unwrap(),
        plan: FloorPlan::resolve(&vehicle, &template, &[], None).unwrap(),
        vehicle,
        template: template.clone(),
        values: Vec::new(),
        precision: Precision::default(),
        inches: false,
        full_checks: OnceLock::new(),
        few_checks: OnceLock::new(),
    };
    VEHICLES.iter().map(|vehicle| setting(VehicleSpec::read(&vehicle.source()).unwrap())).collect()
}

/// Everything of a sheet and its key, line by line.
pub fn text(exercise: &Exercise) -> String {
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
