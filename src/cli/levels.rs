//! `baystencil levels`.

use std::path::Path;

use super::{
    args::{JobArgs, LevelsArgs},
    data::{data, message},
    failure::Failure,
    levels_report::report,
    load::{job_of_form, load},
};
use crate::{
    job::Job,
    kit::{FloorError, JudgedFloor},
    output::levels_json,
    source::{Faults, Place, read_bounded},
    survey::{LevelReadings, Verdict},
    units::parse_length,
    words::{Lengths, Spelling},
};

pub(super) fn levels(args: &LevelsArgs) -> Result<(), Failure> {
    let readings = read(&args.readings)?;
    let job = job_of(args, &readings)?;
    let job = job.as_ref();
    let spelling = job.map_or_else(Spelling::default, Spelling::of);
    let sigma = args.sigma.as_deref().map(sigma).transpose();
    let judged = JudgedFloor::of(&readings, job, sigma.as_ref().ok().copied().flatten());
    let shown = args.readings.display().to_string();
    let faults = |error: FloorError| error.faults(&shown, &spelling);
    let judged = match judged {
        // Points without a place are corrected before a flag.
        Err(error @ FloorError::Places(_)) => return Err(faults(error).into()),
        judged => sigma.and(judged.map_err(faults))?,
    };
    let floor = &judged.floor;
    data(&if args.json {
        levels_json(floor)
    } else {
        let inches = judged.inches;
        spelling.text(&report(floor, Lengths { inches }))
    })?;
    match floor.limits {
        None if job.is_none() => {
            message("no limits: name the job whose template has them (--job FILE)")
        }
        None => message("no limits: the job's template has no [floor] table"),
        Some(limits) if limits.demonstration => message(
            "the floor limits are demonstration values; the vehicle maker's service information goes first (the job's [values])",
        ),
        Some(_) => (),
    }
    match floor.verdict() {
        None | Some(Verdict::Inside) => Ok(()),
        Some(verdict) => Err(Failure::Floor(verdict)),
    }
}

/// What heights say of a job's floor, in sentences for its record.
pub(super) fn summary(path: &Path, job: &Job) -> Result<Vec<String>, Faults> {
    let readings = read(path)?;
    let judged = JudgedFloor::of(&readings, Some(job), None);
    // A record's faults are in mm alone.
    let in_mm = Spelling::default();
    let judged = judged.map_err(|error| error.faults(&path.display().to_string(), &in_mm));
    judged.map(|judged| judged.sentences())
}

fn read(path: &Path) -> Result<LevelReadings, Faults> {
    let shown = path.display().to_string();
    let bytes = read_bounded(path, "levels").map_err(|why| Place::whole(&shown).fault(why))?;
    LevelReadings::read(path, &bytes)
}

/// The job of the heights, if they have one.
fn job_of(args: &LevelsArgs, readings: &LevelReadings) -> Result<Option<Job>, Failure> {
    // Heights that all have places of their own need no job, and flags may name another layout.
    let mut levels = readings.levels.iter();
    let all_placed = levels.all(|level| level.value.place.is_some());
    let kits = (readings.of_a_kit || !all_placed) && !args.layout.name_a_layout();
    let named = readings.job.as_ref().map(|job| job.value.as_str());
    let job = job_of_form(args.job.as_deref(), named, &args.readings, kits)?;
    let layout = args.layout.clone();
    if job.is_none() && !layout.name_a_layout() {
        return Ok(None);
    }
    let job = JobArgs {
        job,
        layout,
        ..JobArgs::default()
    };
    load(&job, None, false).map(Some)
}

fn sigma(text: &str) -> Result<f64, Faults> {
    let place = Place::whole("--sigma");
    let sigma = parse_length(text).map_err(|error| Faults::from(place.fault(error.to_string())))?;
    if LevelReadings::SIGMA_MM.contains(&sigma) {
        return Ok(sigma);
    }
    let message = format!(
        "\"{text}\" is out of range; expected 0.001 to 50 mm for the standard deviation of one height"
    );
    Err(place.fault(message).into())
}
