//! `baystencil check`.

use std::path::Path;

use super::{
    args::{CheckArgs, JobArgs, PullFlags, SheetFlags},
    check_report::report,
    data::{data, message},
    failure::Failure,
    levels::summary,
    load::{job_of_form, load},
    paperwork::{dated, spare_inputs},
    progress::working,
};
use crate::{
    job::Job,
    kit::{JudgeError, Judged},
    output::{Origin, OutputFolder, check_json},
    source::{Faults, Place, read_bounded},
    survey::{Assessment, Readings, Verdict},
    words::Spelling,
};

pub(super) fn check(args: &CheckArgs) -> Result<(), Failure> {
    let shown = args.readings.display().to_string();
    let bytes = read(&args.readings)?;
    let readings = Readings::read(&shown, &bytes)?;
    let job = job_of(args, &readings)?;
    let judged = working("judging the readings", || {
        Judged::of(&readings, job.as_ref(), !args.no_prior)
    });
    let judged = judged.map_err(|error| match error {
        JudgeError::Input(faults) => Failure::Input(faults),
        JudgeError::Unfit(why) => Failure::Assess { file: shown, why },
    })?;
    let text = if args.json {
        check_json(&judged.layout, &judged.assessment, &judged.words)
    } else {
        let spelling = job.as_ref().map_or_else(Spelling::default, Spelling::of);
        spelling.text(&report(&judged, args.details))
    };
    let mut recorded = Ok(());
    if let Some(out) = &args.out {
        let job = job.ok_or(Failure::RecordWithoutJob)?;
        let levels = match &args.levels {
            Some(path) => summary(path, &job)?,
            None => Vec::new(),
        };
        let file = (args.readings.as_path(), bytes.as_slice());
        recorded = record(job, file, &judged, &levels, (out, args.replace));
    }
    // The verdict is given also where its record cannot be written.
    data(&text)?;
    recorded?;
    conclude(&judged.assessment)
}

/// Writes the record of readings, a file with its bytes, into a folder.
fn record(
    mut job: Job,
    (file, readings): (&Path, &[u8]),
    judged: &Judged,
    levels: &[String],
    (out, replace): (&Path, bool),
) -> Result<(), Failure> {
    job.inputs.push(file.to_owned());
    let kit = dated(job)?;
    let files = kit.record(readings, judged, levels)?;
    let words = kit.job_in_words();
    let origin = Origin {
        job: Some(&words),
        listed: true,
        ..Origin::default()
    };
    let folder = OutputFolder::open(out, replace)?;
    spare_inputs(&kit, &files, out)?;
    let put = folder.put(&files, &origin, replace)?;
    message(&format!("{}: {} files", out.display(), put.paths.len()));
    Ok(())
}

/// Reads a file of readings; no more of it than a file of readings may have.
fn read(path: &Path) -> Result<Vec<u8>, Faults> {
    let shown = path.display().to_string();
    let bytes = read_bounded(path, "readings").map_err(|why| Place::whole(&shown).fault(why))?;
    Ok(bytes)
}

/// The job of the readings; where they have none and bring no marks of their own, the demonstration job.
fn job_of(args: &CheckArgs, readings: &Readings) -> Result<Option<Job>, Failure> {
    let named = readings.job.as_ref().map(|job| job.value.as_str());
    // A network with marks of its own is no kit's form, wherever it lies, and flags may name another layout.
    let kits = readings.marks.is_empty() && !args.layout.name_a_layout();
    let job = job_of_form(args.job.as_deref(), named, &args.readings, kits)?;
    let layout = args.layout.clone();
    let flags = layout.name_a_layout();
    if job.is_none() && !readings.marks.is_empty() && !flags {
        return Ok(None);
    }
    if job.is_none() && !flags {
        message(
            "no job given: judged against the built-in demonstration job (name yours with --job FILE)",
        );
    }
    let sheets = SheetFlags::on(args.paper.clone());
    let job = JobArgs {
        job,
        layout,
        sheets,
        pulls: PullFlags::default(),
    };
    load(&job, None, true).map(Some)
}

/// Success is what is proven: all inside, or, where nothing has a tolerance, readings that check each other and agree.
fn conclude(assessment: &Assessment) -> Result<(), Failure> {
    let sound =
        || assessment.suspects.is_empty() && assessment.global_test.is_some_and(|test| test.passed);
    match assessment.verdict {
        Some(Verdict::Inside) => Ok(()),
        None if sound() => Ok(()),
        verdict => Err(Failure::Layout(verdict)),
    }
}
