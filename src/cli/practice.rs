//! `baystencil practice`.

use std::{fs::File, io::BufWriter};

use serde_json::json;

use super::{
    data::{data, message},
    failure::Failure,
    load::load_practice,
    paperwork::document_date,
    practice_args::PracticeArgs,
};
use crate::{
    output::{DocumentInfo, OutputError, OutputSet, PdfWriter, answers_json, pretty, spool},
    practice::{AnswerKey, Request, make},
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
        kinds: args.kinds(),
        vehicle: job.vehicle,
        template: job.template,
        values: job.values,
        precision: job.precision,
        paper: job.paper.clone(),
        inches: job.inches,
    };
    let info = |title: &str, date: Option<String>| DocumentInfo {
        title: title.to_owned(),
        subject: format!("seed {}, level {}", args.seed, args.level.number()),
        date,
        spot: None,
    };
    let date = document_date("")?;
    let (sheets_info, answers_info) = (info("Exercises", date.clone()), info("Answers", date));
    let origin = args.origin();
    let on = PracticePaper {
        paper: &job.paper,
        origin: &origin,
    };
    let mut sheets = PdfWriter::new(BufWriter::new(spool()?), &sheets_info)?;
    let mut answers = PdfWriter::new(BufWriter::new(spool()?), &answers_info)?;
    let mut keys: Vec<AnswerKey> = Vec::new();
    make(&request, |exercise| -> Result<(), Failure> {
        let model = exercise
            .model
            .iter()
            .flat_map(|model| desk_pages(model, &job.paper));
        exercise_sheet(&exercise, &on)
            .iter()
            .chain(&model.collect::<Vec<_>>())
            .try_for_each(|page| sheets.add(page))?;
        answer_sheet(&exercise, &on)
            .iter()
            .try_for_each(|page| answers.add(page))?;
        keys.push(exercise.key());
        Ok(())
    })?;
    if request.count > 1 {
        key_table(&keys, &on)
            .iter()
            .enumerate()
            .try_for_each(|(place, page)| answers.insert(place, page))?;
    }
    let sheet_pages = sheets.pages();
    let mut files = OutputSet::new();
    files.add_spooled("exercises.pdf", finish(sheets)?);
    files.add_spooled("answers.pdf", finish(answers)?);
    files.add("answers.json", answers_json(args.seed, args.level, &keys));
    let written = files.write(&args.out)?;
    message(&format!(
        "{}: {} files, exercises: {}, pages to hand out: {sheet_pages} on {}",
        args.out.display(),
        written.len(),
        keys.len(),
        job.paper.name
    ));
    if !args.json {
        return Ok(());
    }
    data(&pretty(&json!({
        "files": written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
        "paper": job.paper.name,
        "exercises": keys.len(),
        "pages": sheet_pages,
    })))
}

/// Ends a document in its spool.
fn finish(document: PdfWriter<'_, BufWriter<File>>) -> Result<File, OutputError> {
    document
        .finish()?
        .into_inner()
        .map_err(|error| OutputError::Spool {
            source: error.into_error(),
        })
}
