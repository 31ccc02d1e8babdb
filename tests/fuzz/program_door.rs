//! The program itself, given edited files: its exit codes, its messages, and an untouched folder where it refuses.

use std::{collections::BTreeMap, fs, path::Path};

use baystencil::inside::{DEMONSTRATION, TEMPLATES, VEHICLES};

use crate::{
    drive::{Judged, Outcome, Target, corpus},
    edited::{Saved, edited, saved, text_of},
    messages::said,
    program::{baystencil, stderr},
};

/// Commands by what they read. Those that write are asked only for what is small.
const COMMANDS: [(&str, &[&str]); 7] = [
    (
        "vehicle.toml",
        &[
            "plan",
            "--json",
            "--vehicle",
            "vehicle.toml",
            "--template",
            "target-line",
        ],
    ),
    (
        "template.toml",
        &[
            "plan",
            "--json",
            "--template",
            "template.toml",
            "--vehicle",
            "city-car",
        ],
    ),
    ("job.toml", &["overview", "job.toml", "-o", "out"]),
    (
        "readings.csv",
        &[
            "check",
            "readings.csv",
            "--vehicle",
            "city-car",
            "--template",
            "target-line",
            "-o",
            "out",
        ],
    ),
    (
        "levels.csv",
        &[
            "levels",
            "levels.csv",
            "--vehicle",
            "city-car",
            "--template",
            "target-line",
        ],
    ),
    ("readings.toml", &["check", "readings.toml", "--json"]),
    ("levels.toml", &["levels", "levels.toml", "--json"]),
];

/// The program's own work is not counted here.
const TARGET: Target = Target {
    name: "program",
    cases: 150,
    work: [50_000_000, 10_000],
};

fn seeds(command: usize) -> Vec<String> {
    let texts = |name: &str| -> Vec<String> {
        let inputs = corpus(name).into_iter();
        inputs
            .filter_map(|(_, input)| String::from_utf8(input).ok())
            .collect()
    };
    let shipped = |items: &[baystencil::inside::BuiltIn]| -> Vec<String> {
        items
            .iter()
            .map(|item| item.source().text.to_string())
            .collect()
    };
    match COMMANDS[command].0 {
        "vehicle.toml" => shipped(&VEHICLES),
        "template.toml" => shipped(&TEMPLATES),
        "job.toml" => [texts("job"), vec![DEMONSTRATION.source().text.to_string()]].concat(),
        "readings.csv" => texts("readings-csv"),
        "levels.csv" => texts("levels-csv"),
        "readings.toml" => texts("readings-toml"),
        _ => texts("levels-toml"),
    }
}

#[test]
fn the_program_ends_with_its_own_codes_and_writes_nothing_where_it_refuses() {
    let pools: Vec<Vec<String>> = (0..COMMANDS.len()).map(seeds).collect();
    let case = |_: &[String]| (0..COMMANDS.len(), edited(3), saved());
    let written = |_: &[String], (command, case, saved): &(usize, _, Saved)| {
        let bytes = saved.bytes(&text_of(&pools[*command], case));
        // The file's name first, so that an input says which command it is for.
        [COMMANDS[*command].0.as_bytes(), b"\n", &bytes].concat()
    };
    TARGET.play(case, written, judge);
}

fn judge(input: &[u8]) -> Judged {
    let end = input
        .iter()
        .position(|byte| *byte == b'\n')
        .unwrap_or(input.len());
    let name = String::from_utf8_lossy(&input[..end]);
    let Some((file, arguments)) = COMMANDS.iter().find(|(file, _)| *file == name) else {
        return Err(format!("no command reads {name}"));
    };
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join(file),
        input.get(end + 1..).unwrap_or_default(),
    )
    .unwrap();
    let before = entries(folder.path());
    let output = baystencil(folder.path(), arguments);
    let messages = stderr(&output);
    for stream in [&messages, &*String::from_utf8_lossy(&output.stdout)] {
        if let Some(sign) = stream
            .chars()
            .find(|sign| sign.is_control() && *sign != '\n' && *sign != '\r')
        {
            return Err(format!("{sign:?} reaches the terminal: {stream:?}"));
        }
    }
    match output.status.code() {
        Some(0 | 1) => Ok(Outcome::Taken),
        Some(3) => {
            if !output.stdout.is_empty() || entries(folder.path()) != before {
                return Err(format!(
                    "refused, and yet something was written: {messages}"
                ));
            }
            let lines = messages.lines().filter(|line| line.contains(": "));
            let lines: Vec<String> = lines.map(str::to_owned).collect();
            lines.iter().try_for_each(|line| said(line))?;
            Ok(Outcome::Refused(lines))
        }
        code => Err(format!("{code:?}: {messages}")),
    }
}

fn entries(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
    entries
        .map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, fs::read(entry.path()).unwrap_or_default())
        })
        .collect()
}
