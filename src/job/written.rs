//! A job as files that it can be made again from: the job itself, and copies of the user's own files that it names.

use std::path::Path;

use sha2::{Digest as _, Sha256};
use toml::{Table, Value};

use super::{JobSpec, Record, cut::written_cut, files::is_path};
use crate::{
    cover::Mode,
    paper::{Paper, Printer},
    source::{Placed, Source},
    stencil::CutBy,
    survey::CheckChoice,
};

/// Plain name of the job beside what was made from it.
pub const JOB_FILE: &str = "job.toml";

/// Keys that no flag touches; they are written as they stood.
const AS_THEY_STOOD: [&str; 5] = ["laid_by", "decision", "precision", "bay", "record"];

/// A file of text, by its plain name.
pub type TextFile = (String, String);

/// The job with its flags, defaults and printer, and what it names: built-in things by their names, the user's own as
/// copies beside it.
pub(super) fn written(
    spec: &JobSpec,
    vehicles: &[Source],
    template: &Source,
    printer: &Printer,
) -> (Vec<TextFile>, MadeFrom) {
    let mut copies = Vec::new();
    let names = spec.vehicles.names.iter().zip(vehicles);
    let mut names: Vec<Value> = names
        .map(|(name, source)| named(name, source, "vehicle", &mut copies))
        .collect();
    let template = spec
        .template
        .as_ref()
        .map(|name| named(name, template, "template", &mut copies));
    let mut job = Table::new();
    let mut set = |key: &str, value: Value| job.insert(key.to_owned(), value);
    set("format", "job/1".into());
    match names.len() {
        1 => set("vehicle", names.remove(0)),
        _ => set("vehicles", names.into()),
    };
    if let Some(template) = template {
        set("template", template);
    }
    set("paper", paper(&spec.paper));
    if let Some(roll) = &spec.roll {
        set("roll", roll.value.width.into());
    }
    set("overlap", spec.overlap.into());
    set("mode", word(&Mode::ALL, &spec.mode).into());
    set("units", if spec.inches { "inch" } else { "mm" }.into());
    set("checks", word(&CheckChoice::ALL, &spec.checks).into());
    if let Some(longest) = spec.longest_pull {
        set("longest_pull", longest.into());
    }
    let values = spec.settings.iter();
    let values = values.map(|setting| (setting.name.clone(), Value::from(setting.text.clone())));
    set("values", Value::Table(values.collect()));
    if *printer != Printer::default() {
        set("printer", Value::Table(profile(printer)));
    }
    if spec.single_page {
        set("single_page", true.into());
    }
    if spec.cut_by != CutBy::default() {
        set("cut_by", spec.cut_by.word().into());
    }
    let cut = written_cut(&spec.cut, spec.cut_by);
    if !cut.is_empty() {
        set("cut", Value::Table(cut));
    }
    for key in AS_THEY_STOOD {
        let dropped = match key {
            "bay" => spec.bay.is_none(),
            "record" => spec.record == Record::default(),
            _ => false,
        };
        if let Some(value) = spec.as_read.get(key).filter(|_| !dropped) {
            set(key, value.clone());
        }
    }
    // So that the job's own hash stands for all that it names.
    let hashes: String = copies
        .iter()
        .map(|(name, text)| format!("# {name} {}\n", hash(text)))
        .collect();
    let job = format!("{hashes}{job}");
    let made_from = MadeFrom { input: hash(&job) };
    let files = std::iter::once((JOB_FILE.to_owned(), job))
        .chain(copies)
        .map(|(name, text)| (name, stamped(&text)))
        .collect();
    (files, made_from)
}

/// What something was made from and with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MadeFrom {
    /// The short hash in the first line of the job that was written beside it: the same job, with the same files that it
    /// names, has the same.
    pub input: String,
}

impl MadeFrom {
    /// The program's version.
    pub const VERSION: &'static str = env!("CARGO_PKG_VERSION");
}

/// First words of a file that goes with a kit; a short hash of the rest follows on the same line.
const STAMP: &str =
    "# Written with this kit, its flags included. To change it, work on a copy in another folder. ";

/// A text with the line that tells later whether anyone changed it.
fn stamped(text: &str) -> String {
    format!("{STAMP}{}\n{text}", hash(text))
}

/// The first eight bytes of a text's SHA-256, in hexadecimal digits.
fn hash(text: &str) -> String {
    let hash = Sha256::digest(text);
    hash[..8].iter().map(|byte| format!("{byte:02x}")).collect()
}

/// What stands below the stamp of a text that is as a kit's maker wrote it; `None` where a person wrote or changed it.
fn unchanged(text: &str) -> Option<&str> {
    let (_, body) = text.split_once('\n')?;
    (text.starts_with(STAMP) && stamped(body) == text).then_some(body)
}

/// What the job calls a thing: a built-in one by its name, a file by that of its copy.
fn named(name: &Placed<String>, source: &Source, kind: &str, copies: &mut Vec<TextFile>) -> Value {
    if !is_path(&name.value) {
        return name.value.clone().into();
    }
    let stem = Path::new(&name.value).file_stem();
    let stem = stem.map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    // A copy that is copied again keeps its name.
    let stem = stem.strip_prefix(&format!("{kind}-")).unwrap_or(&stem);
    let taken = |copy: &str| {
        copies
            .iter()
            .any(|(other, _)| other.eq_ignore_ascii_case(copy))
    };
    let plain = format!("{kind}-{stem}.toml");
    let copy = std::iter::once(plain)
        .chain((2..).map(|count| format!("{kind}-{stem}-{count}.toml")))
        .find(|copy| !taken(copy))
        .unwrap_or_default();
    // A copy that is copied again keeps its one stamp.
    let text = unchanged(&source.text).unwrap_or(&source.text);
    copies.push((copy.clone(), text.to_owned()));
    copy.into()
}

/// A known paper by its name, another by its sides, mm.
fn paper(paper: &Paper) -> Value {
    if Paper::known().contains(paper) {
        return paper.name.clone().into();
    }
    let sides = [("width", paper.width), ("height", paper.height)];
    let sides = sides.map(|(key, side)| (key.to_owned(), side.into()));
    Value::Table(sides.into_iter().collect())
}

/// A profile as a table of a job: as its file, but for the format.
fn profile(printer: &Printer) -> Table {
    let mut table: Table = printer
        .written()
        .parse()
        .expect("a written profile is TOML");
    table.remove("format");
    table
}

fn word<T: PartialEq>(words: &[(&'static str, T)], value: &T) -> &'static str {
    let found = words.iter().find(|(_, other)| other == value);
    found.map_or("", |(word, _)| word)
}
