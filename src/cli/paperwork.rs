//! A kit on its way to a folder: what is refused, and what is said of it.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use super::{
    args::OutArgs,
    data::{data, message},
    failure::Failure,
    report::{laid_in_words, left_over, missing_signs, summary},
};
use crate::{
    cover::{Mode, SheetPlan},
    effort::Takes,
    job::{Job, is_as_written},
    kit::Kit,
    output::OutputSet,
    words::{self, Spelling, demonstration},
};

/// More sheets than this want a second thought.
pub(super) const SHEETS_WITHOUT_ASKING: usize = 400;

/// The form that a whole kit has.
const FORM: &str = "readings.csv";

/// The kit of a job, with the date that its documents carry.
pub(super) fn dated(job: Job) -> Result<Kit, Failure> {
    if let Some(missing) = missing_signs(&job) {
        message(&format!(
            "no sign in the typeface for {missing}; the sheets show a box in its place"
        ));
    }
    let date = document_date(&job.record.date)?;
    Ok(Kit { job, date })
}

/// Refuses to write over a file that the job was read from, unless it stays as it is, and over a job or a copy that a person
/// wrote or changed.
pub(super) fn spare_inputs(kit: &Kit, files: &OutputSet, folder: &Path) -> Result<(), Failure> {
    let inputs: Vec<PathBuf> = kit
        .job
        .inputs
        .iter()
        .filter_map(|input| input.canonicalize().ok())
        .collect();
    let mut targets = files.names().map(|name| (name, folder.join(name)));
    let clash = targets.find(|(name, target)| {
        let same = || fs::read(target).is_ok_and(|bytes| files.holds(name, &bytes));
        let read = target
            .canonicalize()
            .is_ok_and(|target| inputs.contains(&target));
        read && !same()
    });
    if let Some((_, path)) = clash {
        return Err(Failure::Overwrites { path });
    }
    let own = kit
        .job
        .files
        .iter()
        .map(|(name, text)| (folder.join(name), text));
    let mut own = own.filter(|(path, _)| files.names().any(|name| path.ends_with(name)));
    let changed = own.find(|(path, text)| {
        fs::read(path).is_ok_and(|there| there != text.as_bytes() && !is_as_written(&there))
    });
    changed.map_or(Ok(()), |(path, _)| Err(Failure::Changed { path }))
}

/// A message about a kit in the units and the spelling of its job.
pub(super) fn say(kit: &Kit, text: &str) {
    message(&Spelling::of(&kit.job).message(text));
}

/// Writes the files and says what they are.
pub(super) fn finish(
    kit: &Kit,
    files: &OutputSet,
    to: &OutArgs,
    laid: Option<(&SheetPlan, &Takes)>,
) -> Result<(), Failure> {
    let (sheets, takes) = (laid.map(|laid| laid.0), laid.map(|laid| laid.1));
    spare_inputs(kit, files, &to.out)?;
    let written = files.write(&to.out)?;
    let words = sheets.map_or_else(String::new, |plan| laid_in_words(plan, kit.job.inches));
    message(&format!(
        "{}: {} files{words}",
        to.out.display(),
        written.len()
    ));
    let left = left_over(&to.out, files);
    if !left.is_empty() {
        message(&format!(
            "{}: {} left from an earlier run; not part of this kit",
            to.out.display(),
            left.join(", ")
        ));
    }
    if sheets.is_some_and(|plan| plan.mode == Mode::Keys) && !kit.job.plan.panels.is_empty() {
        message(
            "keys are stencils for marks; of a panel they show what lies on the card, the rest is measured from its mark",
        );
    }
    let floor = &kit.job.plan.floor;
    if let Some(bay) = floor.bay.as_ref().filter(|bay| !bay.fits()) {
        say(kit, &format!("the bay: {bay}"));
    }
    if let Some(sentence) = demonstration(&kit.job.plan) {
        say(kit, &sentence);
    }
    if let Some(takes) = takes {
        say(kit, &words::takes::line(takes, kit.job.inches));
        // Sheets alone come without steps and without a form.
        if files.names().any(|name| name == FORM) {
            let folder = to.out.display().to_string();
            words::takes::next(takes, &folder)
                .iter()
                .for_each(|line| say(kit, line));
        }
    }
    if to.json {
        data(&summary(&written, sheets, takes))
    } else {
        Ok(())
    }
}

/// The date that documents carry: the job's, else that of `SOURCE_DATE_EPOCH`, else none. The
/// clock is never asked, so that the same input gives the same bytes.
pub(super) fn document_date(record: &str) -> Result<Option<String>, Failure> {
    if !record.is_empty() {
        return Ok(Some(record.to_owned()));
    }
    let Some(text) = env::var_os("SOURCE_DATE_EPOCH") else {
        return Ok(None);
    };
    let text = text.to_string_lossy().into_owned();
    let date = text
        .parse()
        .ok()
        .and_then(|seconds| time::OffsetDateTime::from_unix_timestamp(seconds).ok());
    match date.filter(|date| (0..=9999).contains(&date.year())) {
        Some(date) => Ok(Some(format!(
            "{:04}-{:02}-{:02}",
            date.year(),
            u8::from(date.month()),
            date.day()
        ))),
        None => Err(Failure::Epoch { text }),
    }
}
