//! A kit on its way to a folder: what is refused, and what is said of it.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use super::{
    args::OutArgs,
    data::{data, message},
    failure::Failure,
    report::{left_over, summary},
};
use crate::{
    cover::{Mode, SheetPlan},
    effort::Takes,
    job::Job,
    kit::{Carried, Form, FormRefused, Kept, Kit},
    output::{Origin, OutputError, OutputFolder, OutputSet},
    source::MOST_BYTES,
    words::{self, Spelling, demonstration},
};

/// Most rows that a message names.
const ROWS_NAMED: usize = 12;

/// The form that a whole kit has.
const FORM: &str = "readings.csv";

/// The kit of a job, with the date that its documents carry.
pub(super) fn dated(job: Job) -> Result<Kit, Failure> {
    let date = document_date(&job.record.date)?;
    Ok(Kit { job, date })
}

/// Refuses to write over a file that the job was read from, unless it stays as it is.
pub(super) fn spare_inputs(kit: &Kit, files: &OutputSet, folder: &Path) -> Result<(), Failure> {
    let inputs: Vec<PathBuf> = kit
        .job
        .inputs
        .iter()
        .filter_map(|input| input.canonicalize().ok())
        .collect();
    let mut targets = files.names().map(|name| (name, folder.join(name)));
    let clash = targets.find(|(name, target)| {
        let same = || fs::read(target).ok().as_deref() == files.bytes(name);
        let read = target
            .canonicalize()
            .is_ok_and(|target| inputs.contains(&target));
        read && !same()
    });
    clash.map_or(Ok(()), |(_, path)| Err(Failure::Overwrites { path }))
}

/// Puts into the forms of a kit what somebody wrote into those that lie in the folder, and says so.
fn keep_readings(
    kit: &Kit,
    files: &mut OutputSet,
    folder: &OutputFolder<'_>,
    of_another_job: bool,
    to: &OutArgs,
) -> Result<(), Failure> {
    let say = |form: Form, kept: Kept<'_>| {
        let what = match kept {
            Kept::OfAnotherJob => {
                "the form of another job, replaced with whatever was in it".to_owned()
            }
            Kept::Carried(carried) => in_words(carried),
        };
        message(&format!("{}: {what}", to.out.join(form.file()).display()));
    };
    let old = |form: Form| folder.read(form.file(), MOST_BYTES + 1);
    let kept = kit.keep_forms(files, old, of_another_job, to.replace, say);
    kept.map_err(|(form, refused)| {
        let path = to.out.join(form.file());
        match refused {
            FormRefused::Unread(faults) => Failure::FormUnread { path, faults },
            FormRefused::RowsLost(carried) => Failure::RowsLost { path, carried },
        }
    })
}

/// How many rows.
pub(super) fn rows(count: usize) -> String {
    format!("{count} {}", if count == 1 { "row" } else { "rows" })
}

/// What was carried over from a form, and what was not.
fn in_words(carried: &Carried) -> String {
    let over = format!("{} with readings carried over", rows(carried.rows));
    if carried.lost.is_empty() {
        return over;
    }
    let lost = rows(carried.lost.len());
    format!(
        "{over}; {lost} dropped that no longer stand: {}",
        named(&carried.lost)
    )
}

/// The first of some rows by their names.
pub(super) fn named(lost: &[String]) -> String {
    let shown = lost[..lost.len().min(ROWS_NAMED)].join(", ");
    let more = if lost.len() > ROWS_NAMED { ", …" } else { "" };
    format!("{shown}{more}")
}

/// A message about a kit in the units and the spelling of its job.
pub(super) fn say(kit: &Kit, text: &str) {
    message(&Spelling::of(&kit.job).message(text));
}

/// Puts the files into their folder, the readings that somebody wrote into its forms with them. `replaces` says which files have no
/// place beside these when they were made from another job.
fn put(
    kit: &Kit,
    files: &mut OutputSet,
    to: &OutArgs,
    replaces: fn(&str) -> bool,
) -> Result<Vec<PathBuf>, Failure> {
    let job = kit.job_in_words();
    let origin = Origin {
        job: Some(&job),
        input: Some(&kit.job.made_from.input),
        replaces: Some(replaces),
        listed: true,
    };
    let folder = OutputFolder::open(&to.out, to.replace)?;
    if folder.recovered {
        message(&format!(
            "{}: an earlier run was stopped while it replaced files; the old ones are put back first",
            to.out.display()
        ));
    }
    spare_inputs(kit, files, &to.out)?;
    let of_another_job = folder.is_of_another_job(&origin);
    if of_another_job && !to.replace {
        let kept = folder.kept(files, &origin);
        return kept.map_or(Ok(Vec::new()), |kept| Err(OutputError::Kept(kept).into()));
    }
    keep_readings(kit, files, &folder, of_another_job, to)?;
    let put = folder.put(files, &origin, to.replace)?;
    if !put.gone.is_empty() {
        message(&format!(
            "{}: {} of the earlier run removed",
            to.out.display(),
            put.gone.join(", ")
        ));
    }
    Ok(put.paths)
}

/// Writes files that are of no job and go with no others.
pub(super) fn put_alone(
    files: &OutputSet,
    out: &Path,
    replace: bool,
) -> Result<Vec<PathBuf>, Failure> {
    let origin = Origin {
        listed: true,
        ..Origin::default()
    };
    let put = OutputFolder::open(out, replace)?.put(files, &origin, replace)?;
    Ok(put.paths)
}

/// Writes the files and says what they are.
pub(super) fn finish(
    kit: &Kit,
    files: &mut OutputSet,
    (to, replaces): (&OutArgs, fn(&str) -> bool),
    laid: Option<(&SheetPlan, &Takes)>,
) -> Result<(), Failure> {
    let (sheets, takes) = (laid.map(|laid| laid.0), laid.map(|laid| laid.1));
    let written = put(kit, files, to, replaces)?;
    let words = sheets.map_or_else(String::new, |plan| {
        format!(", {}", words::laid_in_words(plan, kit.job.inches))
    });
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
            let [first, rest @ ..] = words::takes::next(takes, &folder);
            say(kit, &format!("next: {first}"));
            rest.iter().for_each(|line| say(kit, line));
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
