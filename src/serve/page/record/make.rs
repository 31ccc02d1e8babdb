//! A record on its way into a folder of its own: the page for the file, the readings, and the job with all that it names and its kit.

use crate::{
    job::{JOB_FILE, Job},
    kit::{Form, Kit},
    output::OutputSet,
    serve::{
        app::App,
        page::floor::{Floor, Heights},
        refusal::Refusal,
    },
    shop::{Name, name_from},
};

/// Letters of a date and the space behind it.
const DATE_LENGTH: usize = 11;

/// Longest name of a record, letters; a number still goes behind it.
const LONGEST: usize = 54;

/// What came of a wish for a record.
#[derive(Debug)]
pub enum Made {
    /// The record.
    Record(Name),
    /// Nothing was read that one could be made of.
    NothingRead,
}

/// Today by the clock of this machine, in UTC: "2026-03-02".
#[must_use]
pub fn today() -> String {
    let now = time::OffsetDateTime::now_utc().date();
    format!(
        "{:04}-{:02}-{:02}",
        now.year(),
        u8::from(now.month()),
        now.day()
    )
}

/// Makes the record of a job as it stands; on a thread for work.
///
/// # Errors
/// A job with faults, readings that cannot be judged, heights that cannot be, or what the file system refuses.
pub fn make(app: &App, name: &Name) -> Result<Made, Refusal> {
    let floor = Floor::open(app, name)?;
    if floor.judged.is_none() {
        return Ok(Made::NothingRead);
    }
    let heights = Heights::open(app, name)?;
    let mut files = pages(&floor, &heights)?;
    files.add(Form::Readings.file(), floor.form.kept.text.as_str());
    files.add(Form::Levels.file(), heights.text());
    for (file, text) in &floor.job.files {
        if file != JOB_FILE {
            files.add(file.clone(), text.as_str());
        }
    }
    let job = floor.job.files.iter().find(|(file, _)| file == JOB_FILE);
    if let Some((file, text)) = job {
        files.add(file.clone(), text.as_str());
    }
    add_kit(app, &floor, &mut files)?;
    let date = match floor.job.record.date.as_str() {
        "" => today(),
        date => date.to_owned(),
    };
    let wish = record_name(&date, name)?;
    let made = app.shop.create_folder(super::SHELF, &wish, &files)?;
    Ok(Made::Record(made))
}

/// Adds the kit that the floor was laid by. Forms stay the filled ones, and the job stays as it is. A layout that no sheets cover was
/// laid by tape: its record has no kit.
fn add_kit(app: &App, floor: &Floor, files: &mut OutputSet) -> Result<(), Refusal> {
    let Ok(kit) = app.kit_of(&floor.file) else {
        return Ok(());
    };
    let missing: Vec<&str> = kit
        .files
        .names()
        .filter(|name| !files.names().any(|own| own == *name))
        .collect();
    for name in missing {
        let content = kit.files.content(name);
        let content = content.map_err(|error| {
            Refusal::input(format!(
                "The kit's file {name} cannot be read ({error}). Make the record again."
            ))
        })?;
        files.add(name, content);
    }
    Ok(())
}

/// The record as it would be made, its page as SVG; on a thread for work.
///
/// # Errors
/// As [`make`].
pub fn preview(app: &App, name: &Name) -> Result<String, Refusal> {
    let files = pages(&Floor::open(app, name)?, &Heights::open(app, name)?)?;
    let svg = files.bytes("record.svg").ok_or_else(Refusal::missing)?;
    Ok(String::from_utf8_lossy(svg).into_owned())
}

fn pages(floor: &Floor, heights: &Heights) -> Result<OutputSet, Refusal> {
    let judged = match &floor.judged {
        Some(Ok(judged)) => judged,
        Some(Err(sentences)) => return Err(Refusal::input(sentences.join(" "))),
        None => return Err(Refusal::missing()),
    };
    let levels = match &heights.said {
        None => &[][..],
        Some(Ok(sentences)) => sentences,
        Some(Err(sentences)) => {
            return Err(Refusal::input(format!(
                "The heights of the floor cannot be judged: {}",
                sentences.join(" ")
            )));
        }
    };
    let kit = Kit::of(Job::clone(&floor.job));
    let readings = floor.form.kept.text.as_bytes();
    Ok(kit.record(readings, judged, levels)?)
}

/// The name of a record, before a number goes behind it: "2026-03-02 order 17".
fn record_name(date: &str, job: &Name) -> Result<Name, Refusal> {
    let whole: String = format!("{date} {job}").chars().take(LONGEST).collect();
    Ok(name_from(&whole)?)
}

/// True for the name of a record of a job: the date before it, and behind it nothing or a number.
#[must_use]
pub fn is_of(record: &str, job: &Name) -> bool {
    let Some(rest) = record.get(DATE_LENGTH..) else {
        return false;
    };
    let job: String = job.as_str().chars().take(LONGEST - DATE_LENGTH).collect();
    let behind = rest.strip_prefix(job.trim_end_matches(['.', ' ', '-']));
    behind.is_some_and(|behind| {
        behind.is_empty()
            || behind.strip_prefix(' ').is_some_and(|number| {
                !number.is_empty() && number.bytes().all(|digit| digit.is_ascii_digit())
            })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_is_known_by_its_job() {
        let job = Name::parse("order 17").expect("a name");
        let name = record_name("2026-03-02", &job).expect("a name");
        assert_eq!(name.as_str(), "2026-03-02 order 17");
        for (record, expected) in [
            ("2026-03-02 order 17", true),
            ("2026-03-02 order 17 2", true),
            ("2026-03-02 order 170", false),
            ("2026-03-02 order 17 copy", false),
            ("order 17", false),
        ] {
            assert_eq!(is_of(record, &job), expected, "{record}");
        }
        let long = Name::parse(&"long ".repeat(11)).expect("a name");
        let name = record_name("2026-03-02", &long).expect("a name");
        assert!(is_of(name.as_str(), &long) && name.as_str().len() <= LONGEST);
    }

    #[test]
    fn today_is_a_date() {
        let today = today();
        assert!(
            today.len() == 10 && today.as_str() > "2026-01-01",
            "{today}"
        );
    }
}
