//! `baystencil practice`.

use serde_json::json;

use super::{
    data::{data, message},
    failure::Failure,
    load::load_practice,
    paperwork::document_date,
    practice_args::PracticeArgs,
};
use crate::{
    drawing::Drawing,
    output::{DocumentInfo, OutputSet, answers_json, pdf, pretty},
    practice::{AnswerKey, Exercise, Request, make},
    sheets::{PracticePaper, answer_sheet, desk_pages, exercise_sheet, key_table},
};

/// Writes the exercises and their answers.
pub(super) fn practice(args: &PracticeArgs) -> Result<(), Failure> {
    let job = load_practice(args)?;
    let request = Request {
        seed: args.seed,
        first: args.first as usize,
        count: args.count as usize,
        level: args.level,
        kinds: args.generators(),
        vehicle: job.vehicle,
        template: job.template,
        values: job.values,
        precision: job.precision,
        paper: job.paper.clone(),
        inches: job.inches,
    };
    let date = document_date("")?;
    let exercises = make(&request)?;
    let origin = args.origin();
    let on = PracticePaper { paper: &job.paper, origin: &origin };
    let info = |title: &str| DocumentInfo {
        title: title.to_owned(),
        subject: format!("seed {}, level {}", args.seed, args.level.number()),
        date: date.clone(),
        spot: None,
    };
    let mut files = OutputSet::new();
    let handed_out = |exercise: &Exercise| {
        let model = exercise.model.iter().flat_map(|model| desk_pages(model, &job.paper));
        exercise_sheet(exercise, &on).into_iter().chain(model).collect::<Vec<_>>()
    };
    let pages: Vec<Drawing> = exercises.iter().flat_map(handed_out).collect();
    let sheet_pages = pages.len();
    files.add("exercises.pdf", pdf(&pages, &info("Exercises"))?);
    drop(pages);
    let keys: Vec<AnswerKey> = exercises.iter().map(Exercise::key).collect();
    let mut pages = if request.count > 1 { key_table(&keys, &on) } else { Vec::new() };
    pages.extend(exercises.iter().flat_map(|exercise| answer_sheet(exercise, &on)));
    files.add("answers.pdf", pdf(&pages, &info("Answers"))?);
    drop(pages);
    files.add("answers.json", answers_json(args.seed, args.level, &exercises));
    let written = files.write(&args.out)?;
    message(&format!(
        "{}: {} files, exercises: {}, pages to hand out: {sheet_pages} on {}",
        args.out.display(),
        written.len(),
        exercises.len(),
        job.paper.name
    ));
    if !args.json {
        return Ok(());
    }
    data(&pretty(&json!({
        "files": written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
        "paper": job.paper.name,
        "exercises": exercises.len(),
        "pages": sheet_pages,
    })))
}
