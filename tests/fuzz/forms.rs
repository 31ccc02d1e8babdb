//! Forms in CSV, as spreadsheets save them, and what is judged from them.

use std::{collections::BTreeMap, path::Path};

use baystencil::{
    Assessment, CheckWords, Folders, Job, JobSpec, Kit, Readings, Source, Wanted, assess,
    inside::{
        FloorAssessment, Form, LevelReadings, TapedLayout, as_text, check_json, level_places,
        levels_json,
    },
};

use crate::{
    drive::{Judged, Outcome, Target},
    edited::{edited, saved, text_of},
    messages::{refused, said},
};

/// The job of the forms: the smallest layout, so that a case is judged in milliseconds.
const JOB: &str =
    "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\nmode = \"keys\"\n";

/// Edits of one form.
const MOST_EDITS: usize = 6;

/// Readings and marks of a file that are judged; larger ones are read alone.
const MOST_JUDGED: usize = 60;

/// A form's work: what is judged costs most, and grows with the readings.
const WORK: [u64; 2] = [4_000_000_000, 100_000];

/// A job and its blank forms.
struct Bay {
    job: Job,
    blank: BTreeMap<&'static str, String>,
}

impl Bay {
    fn new() -> Self {
        let spec = JobSpec::read(&Source::new("job.toml", JOB)).unwrap();
        let job = Job::resolve(spec, &Folders::default(), true).unwrap();
        let kit = Kit::of(job.clone()).files(&Wanted::default()).unwrap();
        let blank = Form::ALL.map(|form| {
            let bytes = kit.files.bytes(form.file()).unwrap().to_vec();
            (form.file(), String::from_utf8(bytes).unwrap())
        });
        Self {
            job,
            blank: blank.into(),
        }
    }

    fn play(&self, target: &Target, form: Form, judge: impl Fn(&Self, &[u8]) -> Judged + Sync) {
        let blank = &self.blank[form.file()];
        let seeds = |pool: &[String]| [pool, std::slice::from_ref(blank)].concat();
        target.play(
            |_| (edited(MOST_EDITS), saved()),
            |pool, (case, saved)| saved.bytes(&text_of(&seeds(pool), case)),
            |input| {
                let judged = judge(self, input)?;
                self.carried(form, input)?;
                Ok(judged)
            },
        );
    }

    /// Nothing that somebody wrote is lost on its way into a new form without being named.
    fn carried(&self, form: Form, old: &[u8]) -> Result<(), String> {
        let (blank, plan) = (&self.blank[form.file()], &self.job.plan);
        let carry = |old: &[u8]| form.carry(old, blank, plan);
        let carried = match carry(old) {
            Ok(Some(carried)) if carried.rows > 0 => carried,
            Ok(_) => return Ok(()),
            Err(faults) => return refused(&[(form.file(), &decoded(old))], &faults).map(drop),
        };
        let again = carry(carried.text.as_bytes())
            .map_err(|faults| {
                format!(
                    "a carried form cannot be carried: {faults}\n{}",
                    carried.text
                )
            })?
            .ok_or("nothing is left of what was carried")?;
        if again.rows < carried.rows || !again.lost.is_empty() || again.text != carried.text {
            return Err(format!(
                "carried once:\n{}\nand twice:\n{}",
                carried.text, again.text
            ));
        }
        let before = written(form, old);
        let after = written(form, carried.text.as_bytes());
        match (before, after) {
            (Some(before), Some(after)) if carried.lost.is_empty() && before != after => {
                Err(format!("{before:?} became {after:?}:\n{}", carried.text))
            }
            (Some(before), None) if carried.lost.is_empty() && !before.is_empty() => Err(format!(
                "{before:?} can no longer be read:\n{}",
                carried.text
            )),
            _ => Ok(()),
        }
    }
}

/// What stands in a form, as numbers, sorted: thousandths of a mm.
fn written(form: Form, bytes: &[u8]) -> Option<Vec<i64>> {
    let values: Vec<f64> = match form {
        Form::Readings => {
            let readings = Readings::read(form.file(), bytes).ok()?.readings;
            readings.iter().map(|reading| reading.value).collect()
        }
        Form::Levels => {
            let levels = LevelReadings::read(Path::new(form.file()), bytes)
                .ok()?
                .levels;
            levels.iter().map(|level| level.value.height).collect()
        }
    };
    let mut values: Vec<i64> = values
        .iter()
        .map(|mm| (mm * 1000.0).round() as i64)
        .collect();
    values.sort_unstable();
    Some(values)
}

#[test]
fn a_form_of_readings_is_read_judged_and_carried_or_refused_at_its_cells() {
    let target = Target {
        name: "readings-csv",
        cases: 700,
        work: WORK,
    };
    Bay::new().play(&target, Form::Readings, |bay, input| {
        let file = Form::Readings.file();
        let text = decoded(input);
        let readings = match Readings::read(file, input) {
            Ok(readings) => readings,
            Err(faults) => return refused(&[(file, &text)], &faults),
        };
        let again = Readings::read(file, &form_of(&readings))
            .map_err(|faults| format!("the same readings are refused: {faults}"))?;
        if plain(&again) != plain(&readings) {
            return Err(format!(
                "{:?} and not {:?}",
                plain(&again),
                plain(&readings)
            ));
        }
        let job = &bay.job;
        match readings.resolve_laid(&job.plan, &job.precision, job.prior()) {
            Ok(survey) => judged(&survey.taped),
            Err(faults) => refused(&[(file, &text)], &faults),
        }
    });
}

#[test]
fn a_form_of_heights_is_read_judged_and_carried_or_refused_at_its_cells() {
    let target = Target {
        name: "levels-csv",
        cases: 1_500,
        work: WORK,
    };
    Bay::new().play(&target, Form::Levels, |bay, input| {
        let file = Form::Levels.file();
        let text = decoded(input);
        let levels = match LevelReadings::read(Path::new(file), input) {
            Ok(levels) => levels,
            Err(faults) => return refused(&[(file, &text)], &faults),
        };
        let known = level_places(&bay.job.plan);
        match levels.placed(&known) {
            Ok(points) => heights(points, &bay.job),
            Err(faults) => refused(&[(file, &text)], &faults),
        }
    });
}

fn heights(points: Vec<baystencil::inside::LevelPoint>, job: &Job) -> Judged {
    let limits = job.plan.floor.limits;
    match FloorAssessment::of(points, job.precision.level, limits) {
        Ok(floor) => sound_floor(&floor),
        Err(error) => {
            said(&error.to_string())?;
            Ok(Outcome::Refused(vec![error.to_string()]))
        }
    }
}

fn sound_floor(floor: &FloorAssessment) -> Judged {
    let sound = |value: f64| value.is_finite() && value >= 0.0;
    let wrong = floor
        .judgements
        .iter()
        .find(|one| !sound(one.value) || !sound(one.sd) || !sound(one.limit));
    if let Some(wrong) = wrong {
        return Err(format!("{wrong:?}"));
    }
    readable(&levels_json(floor))?;
    Ok(Outcome::Taken)
}

/// Heights from TOML that have places of their own, or are refused for want of a job.
pub fn heights_judged(levels: &LevelReadings, text: &str, file: &str) -> Judged {
    match levels.placed(&[]) {
        Ok(points) => match FloorAssessment::of(points, levels.sigma.unwrap_or(1.0), None) {
            Ok(floor) => sound_floor(&floor),
            Err(error) => {
                said(&error.to_string())?;
                Ok(Outcome::Refused(vec![error.to_string()]))
            }
        },
        Err(faults) => refused(&[(file, text)], &faults),
    }
}

/// Readings with marks of their own.
pub fn judged_without_a_job(readings: &Readings, text: &str, file: &str) -> Judged {
    let precision = readings.precision.unwrap_or_default();
    match readings.resolve(None, &precision) {
        Ok(survey) => judged(&survey.taped),
        Err(faults) => refused(&[(file, text)], &faults),
    }
}

/// Judges a layout: every number in the judgement is one.
fn judged(layout: &TapedLayout) -> Judged {
    let network = &layout.network;
    if network.observations.len() > MOST_JUDGED || network.points.len() > MOST_JUDGED {
        return Ok(Outcome::Taken);
    }
    match assess(layout) {
        Ok(assessment) => {
            sound_assessment(&assessment)?;
            for inches in [false, true] {
                let words = CheckWords::of(layout, &assessment, inches);
                readable(&check_json(layout, &assessment, &words))?;
                let said = [&words.headline].into_iter().chain(&words.todo);
                if let Some(odd) = said
                    .into_iter()
                    .find(|text| text.contains("NaN") || text.contains("inf "))
                {
                    return Err(odd.clone());
                }
            }
            Ok(Outcome::Taken)
        }
        Err(error) => Ok(Outcome::Refused(vec![error.to_string()])),
    }
}

fn sound_assessment(assessment: &Assessment) -> Result<(), String> {
    let wrong = assessment.marks.iter().find(|mark| {
        mark.place
            .is_some_and(|place| !place.x.is_finite() || !place.y.is_finite())
    });
    if let Some(wrong) = wrong {
        return Err(format!("{wrong:?}"));
    }
    let wrong = assessment
        .jointly_inside
        .filter(|part| !(0.0..=1.0).contains(part));
    wrong.map_or(Ok(()), |part| Err(format!("a probability of {part}")))
}

fn readable(json: &str) -> Result<(), String> {
    let read: Result<serde_json::Value, _> = serde_json::from_str(json);
    read.map(drop).map_err(|error| format!("{error} in {json}"))
}

/// A form with the same readings.
fn form_of(readings: &Readings) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heading = [
        "lay",
        "check",
        "kind",
        "from",
        "to",
        "reading_mm",
        "sigma_mm",
    ];
    writer.write_record(heading).unwrap();
    for reading in &readings.readings {
        let (kind, from, to) = ends(reading);
        let cells = [
            reading.lay.map_or_else(String::new, |lay| lay.to_string()),
            as_text(reading.label.as_deref().unwrap_or_default()).into_owned(),
            kind.to_owned(),
            as_text(&from).into_owned(),
            as_text(&to).into_owned(),
            reading.value.to_string(),
            reading.sd.map_or_else(String::new, |sd| sd.to_string()),
        ];
        writer.write_record(cells).unwrap();
    }
    writer.into_inner().unwrap()
}

fn ends(reading: &baystencil::inside::Reading) -> (&'static str, String, String) {
    use baystencil::inside::ReadingKind::{Distance, Inline, Offset};
    match &reading.kind {
        Distance { from, to } => ("distance", from.clone(), to.clone()),
        Offset { mark, line } => ("offset", mark.clone(), joined(line)),
        Inline { mark, line } => ("inline", mark.clone(), joined(line)),
    }
}

/// A line as it is written; a name that ends in a point needs another sign behind it than two of them.
fn joined(line: &[String; 2]) -> String {
    let has_point = line[0].ends_with('.') || line[1].starts_with('.');
    line.join(if has_point { "…" } else { ".." })
}

/// Readings without where they stood.
fn plain(readings: &Readings) -> Vec<String> {
    let one = |reading: &baystencil::inside::Reading| {
        format!(
            "{:?} {:?} {:?} {:?} {:?}",
            reading.lay, reading.label, reading.kind, reading.value, reading.sd
        )
    };
    readings.readings.iter().map(one).collect()
}

/// The text of a form, its lines ended alike.
fn decoded(bytes: &[u8]) -> String {
    let pairs = |unit: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..]
            .chunks_exact(2)
            .map(|pair| unit([pair[0], pair[1]]))
            .collect();
        String::from_utf16_lossy(&units)
    };
    let text = match bytes {
        [0xff, 0xfe, ..] => pairs(u16::from_le_bytes),
        [0xfe, 0xff, ..] => pairs(u16::from_be_bytes),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
            Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
        },
    };
    text.replace("\r\n", "\n").replace('\r', "\n")
}
