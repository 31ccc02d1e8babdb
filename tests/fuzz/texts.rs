//! Files in TOML, a target for each kind.

use std::{fmt::Debug, path::Path};

use baystencil::{
    Faults, FloorPlan, Folders, Job, JobSpec, Readings, Source,
    inside::{BuiltIn, LevelReadings, Printer, TEMPLATES, TemplateSpec, VEHICLES, VehicleSpec},
};

use kurbo::Point;

use crate::{
    drive::{Judged, Outcome, Target},
    edited::{edited, text_of},
    kits::sound_plan,
    messages::{placeless, refused},
};

/// Plain name of the file that is edited. What it names begins in a folder that is not there.
const FILE: &str = "edited.toml";

/// Lengths of bars are kept to a ten-thousandth of a mm; what was kept once stays.
const KEPT: f64 = 1e-5;

/// Edits of one case.
const MOST_EDITS: usize = 4;

/// A file's work: a tree of its values, and a few times as much for each fault.
const WORK: [u64; 2] = [40_000_000, 40_000];

fn play(
    name: &'static str,
    cases: u32,
    shipped: &[BuiltIn],
    judge: impl Fn(&str) -> Judged + Sync,
) {
    let target = Target {
        name,
        cases,
        work: WORK,
    };
    let shipped: Vec<String> = shipped
        .iter()
        .map(|item| item.source().text.to_string())
        .collect();
    let with_shipped = |pool: &[String]| [&shipped[..], pool].concat();
    target.play(
        |_| edited(MOST_EDITS),
        |pool, case| text_of(&with_shipped(pool), case).into_bytes(),
        |input| judge(&String::from_utf8_lossy(input)),
    );
}

/// Reads a text; what was read has to be the same once it is written again by another hand.
fn read<T: Debug>(text: &str, read: impl Fn(&Source) -> Result<T, Faults>) -> Result<T, Judged> {
    let faults = match read(&Source::new(FILE, text)) {
        Ok(value) => {
            again(text, &value, &read).map_err(Err)?;
            return Ok(value);
        }
        Err(faults) => faults,
    };
    Err(refused(&[(FILE, text)], &faults))
}

fn again<T: Debug>(
    text: &str,
    value: &T,
    read: impl Fn(&Source) -> Result<T, Faults>,
) -> Result<(), String> {
    let tree: toml::Table = text
        .parse()
        .map_err(|error| format!("read, but no TOML: {error}"))?;
    let windows = text.replace("\r\n", "\n").replace('\n', "\r\n");
    for (hand, text) in [("by toml", tree.to_string()), ("by Windows", windows)] {
        match read(&Source::new(FILE, text.as_str())) {
            Ok(other) if placeless(&other) == placeless(value) => {}
            Ok(other) => {
                return Err(format!(
                    "written again {hand}, it is {} and not {}",
                    placeless(&other),
                    placeless(value)
                ));
            }
            Err(faults) => return Err(format!("written again {hand}: {faults}\n{text}")),
        }
    }
    Ok(())
}

fn vehicle(index: usize) -> VehicleSpec {
    VehicleSpec::read(&VEHICLES[index % VEHICLES.len()].source()).unwrap()
}

#[test]
fn a_vehicle_is_read_whole_or_refused_at_its_places() {
    let template = TemplateSpec::read(&TEMPLATES[0].source()).unwrap();
    play("vehicle", 4_000, &VEHICLES, |text| {
        let vehicle = match read(text, VehicleSpec::read) {
            Ok(vehicle) => vehicle,
            Err(judged) => return judged,
        };
        match FloorPlan::resolve(&vehicle, &template, &[], None) {
            Ok(plan) => sound_plan(&plan).map(|()| Outcome::Taken),
            Err(faults) => Err(format!(
                "a sound vehicle that a shipped template refuses: {faults}"
            )),
        }
    });
}

#[test]
fn a_template_is_read_and_laid_for_every_vehicle_or_refused_at_its_places() {
    play("template", 4_000, &TEMPLATES, |text| {
        let template = match read(text, TemplateSpec::read) {
            Ok(template) => template,
            Err(judged) => return judged,
        };
        let mut judged = Ok(Outcome::Taken);
        for index in [0, 3] {
            match FloorPlan::resolve(&vehicle(index), &template, &[], None) {
                Ok(plan) => sound_plan(&plan)?,
                Err(faults) => judged = refused(&[(FILE, text)], &faults),
            }
        }
        judged
    });
}

#[test]
fn a_job_is_resolved_and_written_as_the_same_job_or_refused_at_its_places() {
    play("job", 4_000, &[], |text| {
        let resolved = |text: &str| {
            let spec = JobSpec::read_on(&Source::new(FILE, text))?;
            let nowhere = Path::new("/no/such/folder/job.toml");
            Job::resolve(spec, &Folders::beside(nowhere), false)
        };
        let job = match resolved(text) {
            Ok(job) => job,
            Err(faults) => return refused(&[(FILE, text)], &faults),
        };
        sound_plan(&job.plan)?;
        let tree: toml::Table = text
            .parse()
            .map_err(|error| format!("read, but no TOML: {error}"))?;
        for written in [&job.files[0].1, &tree.to_string()] {
            let again = resolved(written)
                .map_err(|faults| format!("written again: {faults}\n{written}"))?;
            if placeless(&again.plan) != placeless(&job.plan) || again.made_from != job.made_from {
                return Err(format!("another job once it is written:\n{written}"));
            }
        }
        Ok(Outcome::Taken)
    });
}

#[test]
fn a_printers_profile_is_read_and_written_as_the_same_or_refused_at_its_places() {
    play("printer", 4_000, &[], |text| {
        let printer = match read(text, Printer::read) {
            Ok(printer) => printer,
            Err(judged) => return judged,
        };
        let written = printer.written();
        let source = Source::new(FILE, written.as_str());
        let again = Printer::read(&source)
            .map_err(|faults| format!("its own file is refused: {faults}\n{written}"))?;
        let pages = [&printer, &again].map(|printer| printer.correction.to_page(Point::ORIGIN));
        let off = (0..6)
            .map(|at| (pages[0].as_coeffs()[at] - pages[1].as_coeffs()[at]).abs())
            .fold(0.0, f64::max);
        if again.written() != written || again.margins != printer.margins || off > KEPT {
            return Err(format!("{again:?} and not {printer:?}"));
        }
        Ok(Outcome::Taken)
    });
}

#[test]
fn readings_in_toml_are_read_or_refused_at_their_places() {
    play("readings-toml", 4_000, &[], |text| {
        let from = |source: &Source| Readings::read(FILE, source.text.as_bytes());
        match read(text, from) {
            Ok(readings) => crate::forms::judged_without_a_job(&readings, text, FILE),
            Err(judged) => judged,
        }
    });
}

#[test]
fn levels_in_toml_are_read_or_refused_at_their_places() {
    play("levels-toml", 4_000, &[], |text| {
        let from = |source: &Source| LevelReadings::read(Path::new(FILE), source.text.as_bytes());
        match read(text, from) {
            Ok(levels) => crate::forms::heights_judged(&levels, text, FILE),
            Err(judged) => judged,
        }
    });
}
