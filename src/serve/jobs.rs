//! Jobs of the shop, opened as the commands open them, and kept while nothing that they rest on changes.

use std::{
    path::{Path, PathBuf},
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use super::{app::App, refusal::Refusal};
use crate::{
    job::{Folders, Job, JobSpec},
    kit::{JudgeError, Judged, Kit, KitFiles, SHEETS_WITHOUT_ASKING, Wanted},
    shop::{Document, Kept, Name, Shelf, Shop, Version},
    source::{Faults, Source},
    survey::Readings,
};

/// Jobs, and kits, that are kept at a time; the oldest goes.
const MOST_KEPT: usize = 6;

/// A job of the shop as it stands in its file.
#[derive(Clone, Debug)]
pub struct JobFile {
    /// Its name.
    pub name: Name,
    /// Its `job.toml`.
    pub path: PathBuf,
    /// The text with its version.
    pub kept: Kept,
    /// The same text, value by value.
    pub document: Document,
}

impl JobFile {
    /// Reads a job of the shop.
    ///
    /// # Errors
    /// One that is not there, or is no TOML.
    pub fn read(shop: &Shop, name: &Name) -> Result<Self, Refusal> {
        let kept = shop.read(Shelf::Jobs, name)?;
        let path = shop.main_file(Shelf::Jobs, name);
        let document = Document::read(&kept.text).map_err(|why| {
            Refusal::input(format!(
                "The job's file {} is no TOML: {why}.",
                path.display()
            ))
        })?;
        Ok(Self {
            name: name.clone(),
            path,
            kept,
            document,
        })
    }

    /// A file beside the job: its readings, its levels.
    #[must_use]
    pub fn beside(&self, file: &str) -> PathBuf {
        self.path.with_file_name(file)
    }
}

/// Jobs and kits that were worked out.
#[derive(Debug, Default)]
pub struct Jobs {
    resolved: Mutex<Recent<Job>>,
    kits: Mutex<Recent<KitFiles>>,
    judged: Mutex<Recent<Judged>>,
}

/// What was worked out last, each from a state of its files.
#[derive(Debug)]
struct Recent<T>(Vec<(Version, Arc<T>)>);

impl<T> Default for Recent<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Recent<T> {
    fn get(&mut self, key: &Version) -> Option<Arc<T>> {
        let at = self.0.iter().position(|(known, _)| known == key)?;
        let found = self.0.remove(at);
        self.0.push(found.clone());
        Some(found.1)
    }

    fn put(&mut self, key: Version, made: Arc<T>) {
        self.0.push((key, made));
        if self.0.len() > MOST_KEPT {
            self.0.remove(0);
        }
    }
}

/// Resolves the text of a job that lies, or will lie, at `path`; with the lays that its layout is checked by, or, faster, without.
///
/// # Errors
/// All faults of the job and of what it names.
pub fn resolve(text: &str, path: &Path, lays: bool) -> Result<Job, Faults> {
    let source = Source::new(&path.display().to_string(), text);
    let mut job = Job::resolve(JobSpec::read_on(&source)?, &Folders::beside(path), lays)?;
    job.inputs.push(path.to_owned());
    Ok(job)
}

impl App {
    /// A job of the shop with its lays, worked out or as it was kept.
    ///
    /// # Errors
    /// A job that is not there, all its faults, or too much time.
    pub async fn job(self: &Arc<Self>, file: &JobFile) -> Result<Arc<Job>, Refusal> {
        let (app, file) = (self.clone(), file.clone());
        self.work.run(move || app.resolved(&file)).await
    }

    /// The kit of a job, worked out or as it was kept.
    ///
    /// # Errors
    /// As [`App::job`], and what no sheets cover.
    pub async fn kit(self: &Arc<Self>, file: &JobFile) -> Result<Arc<KitFiles>, Refusal> {
        let (app, file) = (self.clone(), file.clone());
        self.work.run(move || app.kit_of(&file)).await
    }

    /// As [`App::job`], on the thread that asks: for work that goes on with it.
    ///
    /// # Errors
    /// As [`App::job`].
    pub fn resolved(&self, file: &JobFile) -> Result<Arc<Job>, Refusal> {
        let key = state_of(file);
        if let Some(found) = locked(&self.jobs.resolved).get(&key) {
            return Ok(found);
        }
        let job = Arc::new(resolve(&file.kept.text, &file.path, true)?);
        locked(&self.jobs.resolved).put(key, job.clone());
        Ok(job)
    }

    /// As [`App::kit`], on the thread that asks.
    ///
    /// # Errors
    /// As [`App::kit`].
    pub fn kit_of(&self, file: &JobFile) -> Result<Arc<KitFiles>, Refusal> {
        let key = state_of(file);
        if let Some(found) = locked(&self.jobs.kits).get(&key) {
            return Ok(found);
        }
        let kit = Kit::of(Job::clone(&*self.resolved(file)?));
        kit.refuse_large()?;
        let wanted = Wanted {
            most_sheets: Some(SHEETS_WITHOUT_ASKING),
        };
        let made = Arc::new(kit.files(&wanted)?);
        locked(&self.jobs.kits).put(key, made.clone());
        Ok(made)
    }
}

impl App {
    /// What the filled form of a job's readings says of its layout, worked out or as it was kept; on the thread that asks.
    ///
    /// # Errors
    /// A form that cannot be read, or readings that do not go with the layout or with each other.
    pub fn judged(
        &self,
        file: &JobFile,
        job: &Job,
        readings: &[u8],
    ) -> Result<Arc<Judged>, JudgeError> {
        let state = [state_of(file).as_str().as_bytes(), readings].concat();
        let key = Version::of(&state);
        if let Some(found) = locked(&self.jobs.judged).get(&key) {
            return Ok(found);
        }
        let read = Readings::read_csv("readings.csv", readings).map_err(JudgeError::Input)?;
        let made = Arc::new(Judged::of(&read, Some(job), true)?);
        locked(&self.jobs.judged).put(key, made.clone());
        Ok(made)
    }
}

/// What a job rests on, as one version: its text, and those of the files that it names.
fn state_of(file: &JobFile) -> Version {
    let mut all = file.kept.text.clone().into_bytes();
    all.extend(file.path.display().to_string().into_bytes());
    for key in ["vehicle", "template", "printer"] {
        let named = file
            .document
            .get(&[key])
            .filter(|name| name.ends_with(".toml"));
        let bytes = named.and_then(|name| std::fs::read(file.beside(&name)).ok());
        all.extend(bytes.unwrap_or_default());
        all.push(0);
    }
    Version::of(&all)
}

fn locked<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}
