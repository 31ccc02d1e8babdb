//! A job's floor as it stands: its form of taped readings, and what these say.

use std::sync::Arc;

use super::{
    form::OpenForm,
    row::{Group, groups},
    verdict::Found,
};
use crate::{
    job::Job,
    kit::{Form, JudgeError, Judged, Kit},
    serve::{app::App, jobs::JobFile, refusal::Refusal},
    shop::Name,
    words::Spelling,
};

/// A job with its form of taped readings, judged.
#[derive(Debug)]
pub struct Floor {
    /// The job's name.
    pub name: Name,
    /// The job.
    pub job: Arc<Job>,
    /// The job in its file.
    pub file: JobFile,
    /// The form.
    pub form: OpenForm,
    /// What its readings say; `None` where nothing is read.
    pub judged: Option<Result<Arc<Judged>, Vec<String>>>,
    /// The rows, lay by lay.
    pub groups: Vec<Group>,
}

impl Floor {
    /// Opens the floor of a job: on a thread for work.
    ///
    /// # Errors
    /// A job that is not there or has faults, or a form that cannot be read.
    pub fn open(app: &App, name: &Name) -> Result<Self, Refusal> {
        let file = JobFile::read(&app.shop, name)?;
        let job = app.resolved(&file)?;
        let form = OpenForm::open(app, &file, &Kit::of(Job::clone(&job)), Form::Readings)?;
        let rows = 0..form.table.rows().len();
        let is_read = rows
            .into_iter()
            .any(|row| !form.table.cell(row, "reading").is_empty());
        let judge = || {
            let judged = app.judged(&file, &job, form.kept.text.as_bytes());
            judged.map_err(|error| sentences(error, &job))
        };
        let judged = is_read.then(judge);
        let known = judged.as_ref().and_then(|judged| judged.as_deref().ok());
        let groups = groups(&job, &form.table, known);
        Ok(Self {
            name: name.clone(),
            groups,
            job,
            file,
            form,
            judged,
        })
    }

    /// What was found.
    #[must_use]
    pub fn found(&self) -> Found<'_> {
        match &self.judged {
            None => Found::Nothing,
            Some(Err(sentences)) => Found::Unfit(sentences),
            Some(Ok(judged)) => Found::Judged(judged),
        }
    }

    /// What was found, for what needs a judged layout.
    #[must_use]
    pub fn known(&self) -> Option<&Arc<Judged>> {
        self.judged.as_ref()?.as_ref().ok()
    }
}

fn sentences(error: JudgeError, job: &Job) -> Vec<String> {
    let spelling = Spelling::of(job);
    match error {
        JudgeError::Input(faults) => faults
            .list()
            .iter()
            .map(|fault| spelling.fault(&fault.to_string()))
            .collect(),
        JudgeError::Unfit(why) => vec![why],
    }
}
