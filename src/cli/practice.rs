//! `baystencil practice`.

use std::{fs::File, io::BufWriter};

use rayon::prelude::*;
use serde_json::json;

use super::{
    data::{data, message},
    failure::Failure,
    load::load_practice,
    paperwork::{document_date, put_alone},
    practice_args::PracticeArgs,
    progress::working,
};
use crate::{
    drawing::Drawing,
    output::{
        DocumentInfo, Language, OutputError, OutputSet, PdfWriter, answers_json, pretty, spool,
    },
    practice::{AnswerKey, Exercise, Request, make},
    sheets::{PracticePaper, answer_sheet, desk_pages, exercise_sheet, key_table},
    words::Spelling,
};

/// Writes the exercises and their answers.
pub(super) fn practice(args: &PracticeArgs) -> Result<(), Failure> {
    args.refuse_many()?;
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
        language: Language::of(job.inches),
        ..DocumentInfo::default()
    };
    let date = document_date("")?;
    let (sheets_info, answers_info) = (info("Exercises", date.clone()), info("Answers", date));
    let origin = args.origin()?;
    let on = PracticePaper {
        paper: &job.paper,
        origin: &origin,
    };
    let mut set = ClassSet {
        on: &on,
        spelling: &job.spelling,
        waiting: Vec::new(),
        sheets: PdfWriter::new(BufWriter::new(spool()?), &sheets_info)?,
        answers: PdfWriter::new(BufWriter::new(spool()?), &answers_info)?,
        keys: Vec::new(),
    };
    working("making and drawing exercises", || {
        make(&request, |exercise| -> Result<(), Failure> {
            Ok(set.take(exercise)?)
        })?;
        Ok::<(), Failure>(set.draw()?)
    })?;
    let ClassSet {
        sheets,
        mut answers,
        keys,
        ..
    } = set;
    if request.count > 1 {
        let table = key_table(&keys, &on);
        let table: Vec<Drawing> = table
            .into_iter()
            .map(|page| page.reworded(|text| job.spelling.text(text)))
            .collect();
        answers.insert(0, &table)?;
    }
    let sheet_pages = sheets.pages();
    let mut files = OutputSet::new();
    files.add_spooled("exercises.pdf", finish(sheets)?);
    files.add_spooled("answers.pdf", finish(answers)?);
    files.add("answers.json", answers_json(args.seed, args.level, &keys));
    let written = put_alone(&files, &args.out, args.replace)?;
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

/// Exercises that are drawn at a time: enough to keep many cores busy, few enough to weigh little.
const BATCH: usize = 32;

/// The two documents of a class set on their way.
struct ClassSet<'a> {
    on: &'a PracticePaper<'a>,
    spelling: &'a Spelling,
    /// Exercises that are made and not yet drawn.
    waiting: Vec<Exercise>,
    sheets: PdfWriter<'a, BufWriter<File>>,
    answers: PdfWriter<'a, BufWriter<File>>,
    keys: Vec<AnswerKey>,
}

impl ClassSet<'_> {
    fn take(&mut self, exercise: Exercise) -> Result<(), OutputError> {
        self.waiting.push(exercise);
        if self.waiting.len() < BATCH {
            return Ok(());
        }
        self.draw()
    }

    /// Draws what waits, on all cores.
    fn draw(&mut self) -> Result<(), OutputError> {
        let (on, spelling) = (self.on, self.spelling);
        let spelled = |pages: Vec<Drawing>| -> Vec<Drawing> {
            let pages = pages.into_iter();
            pages
                .map(|page| page.reworded(|text| spelling.text(text)))
                .collect()
        };
        let pages = |exercise: &Exercise| {
            let mut sheets = exercise_sheet(exercise, on);
            let models = exercise.model.iter();
            sheets.extend(models.flat_map(|model| desk_pages(model, on.paper)));
            (spelled(sheets), spelled(answer_sheet(exercise, on)))
        };
        let drawn: (Vec<Vec<Drawing>>, Vec<Vec<Drawing>>) =
            self.waiting.par_iter().map(pages).unzip();
        self.sheets.add(&drawn.0.concat())?;
        self.answers.add(&drawn.1.concat())?;
        self.keys
            .extend(self.waiting.drain(..).map(|made| made.key()));
        Ok(())
    }
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
