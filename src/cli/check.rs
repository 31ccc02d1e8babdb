//! `baystencil check`.

use std::path::Path;

use super::{
    args::{CheckArgs, JobArgs, PullFlags, SheetFlags},
    check_record::{Judged, record},
    check_report::report,
    data::{data, message},
    failure::Failure,
    levels::summary,
    load::{job_of_form, load},
    progress::working,
};
use crate::{
    job::Job,
    output::check_json,
    plan::FloorPlan,
    source::{Faults, Place, read_bounded},
    survey::{
        Assessment, Decision, LayingPrior, Precision, Readings, TapedLayout, Verdict, assess, spare,
    },
    words::{CheckWords, Lengths, Spelling},
};

/// Pairs of points that advice on further pulls may choose from, beyond the layout's own checks.
const MOST_FURTHER: usize = 2_000;

pub(super) fn check(args: &CheckArgs) -> Result<(), Failure> {
    let shown = args.readings.display().to_string();
    let bytes = read(&args.readings)?;
    let readings = Readings::read(&shown, &bytes)?;
    let job = job_of(args, &readings)?;
    let plan = job.as_ref().map(|job| &job.plan);
    let precision = readings
        .precision
        .or(job.as_ref().map(|job| job.precision))
        .unwrap_or_default();
    let prior = job.as_ref().filter(|_| !args.no_prior).map(Job::prior);
    let spelling = job.as_ref().map_or_else(Spelling::default, Spelling::of);
    let in_units = |faults: Faults| faults.reworded(|text| spelling.fault(text));
    let mut layout = taped(&readings, plan, &precision, prior).map_err(in_units)?;
    layout.decision = job.as_ref().map_or(Decision::default(), |job| job.decision);
    let inches = job.as_ref().is_some_and(|job| job.inches);
    let assessment = working("judging the readings", || assess(&layout));
    let assessment = assessment.map_err(|error| Failure::Assess {
        file: shown,
        why: spelling.fault(&error.to_string()),
    })?;
    let words = spelling.check(CheckWords::of(&layout, &assessment, inches));
    let text = if args.json {
        check_json(&layout, &assessment, &words)
    } else {
        let lengths = Lengths { inches };
        let blank = readings.blank;
        spelling.text(&report(
            &layout,
            &assessment,
            &words,
            blank,
            args.details,
            lengths,
        ))
    };
    let mut recorded = Ok(());
    if let Some(out) = &args.out {
        let job = job.ok_or(Failure::RecordWithoutJob)?;
        let levels = match &args.levels {
            Some(path) => summary(path, &job)?,
            None => Vec::new(),
        };
        let judged = Judged {
            layout: &layout,
            assessment: &assessment,
            words: &words,
            levels: &levels,
        };
        recorded = record(job, &args.readings, &bytes, &judged, (out, args.replace));
    }
    // The verdict is given also where its record cannot be written.
    data(&text)?;
    recorded?;
    conclude(&assessment)
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

/// The readings as a network, with what could be taped besides.
fn taped(
    readings: &Readings,
    plan: Option<&FloorPlan>,
    precision: &Precision,
    prior: Option<LayingPrior>,
) -> Result<TapedLayout, Faults> {
    let mut layout = match (plan, prior) {
        (Some(plan), Some(prior)) => readings.resolve_laid(plan, precision, prior)?.taped,
        _ => readings.resolve(plan, precision)?.taped,
    };
    if let Some(plan) = plan {
        layout.spare = spare(plan, &layout);
    }
    let checks = plan
        .iter()
        .flat_map(|plan| &plan.checks)
        .filter(|check| !check.through_wheel);
    layout.further = checks.map(|check| [check.from, check.to]).collect();
    let count = layout.network.points.len();
    let all = (0..count).flat_map(|to| (0..to).map(move |from| [from, to]));
    layout.further.extend(all.take(MOST_FURTHER));
    Ok(layout)
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
