//! Text that goes to paper: whatever a user can write is refused where sheets could not show it, with its place, the character and what
//! to write.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use baystencil::Readings;
use toml::Value;

mod inputs;
mod program;

use inputs::{KINDS, Kind};
use program::{baystencil, stderr};

/// What sheets cannot show: scripts that join or run from right to left, scripts that the face has not, marks that stand on no letter,
/// what acts on its neighbours, and what is no character.
const BAD: [char; 17] = [
    '\u{5e9}',
    '\u{639}',
    '\u{917}',
    '\u{e23}',
    '\u{8eca}',
    '\u{d55c}',
    '\u{34f}',
    '\u{20d7}',
    '\u{ad}',
    '\u{200d}',
    '\u{202e}',
    '\u{e000}',
    '\u{fffd}',
    '\u{fffe}',
    '\u{ffff}',
    '\u{1f600}',
    '\u{1}',
];

/// Keys whose value opens a file or finds a thing by its name, and stands on no sheet.
const REFERENCES: [&str; 5] = ["vehicle", "vehicles", "template", "printer", "job"];

/// A way from the top of a file to a value, by keys and by numbers of items.
type Way = Vec<String>;

/// Every value of a file, with the way to it.
fn values(value: &Value, way: &Way, found: &mut Vec<(Way, Value)>) {
    found.push((way.clone(), value.clone()));
    let step = |name: String| {
        let mut longer = way.clone();
        longer.push(name);
        longer
    };
    match value {
        Value::Table(table) => {
            for (key, value) in table {
                values(value, &step(key.clone()), found);
            }
        }
        Value::Array(items) => {
            for (index, value) in items.iter().enumerate() {
                values(value, &step(index.to_string()), found);
            }
        }
        _ => (),
    }
}

fn all_values(text: &str) -> Vec<(Way, Value)> {
    let mut found = Vec::new();
    values(
        &Value::Table(text.parse().unwrap()),
        &Vec::new(),
        &mut found,
    );
    found
}

fn at<'v>(value: &'v mut Value, way: &[String]) -> &'v mut Value {
    way.iter().fold(value, |value, step| match value {
        Value::Array(items) => &mut items[step.parse::<usize>().unwrap()],
        value => &mut value[step.as_str()],
    })
}

/// The file with another value at a place.
fn with(text: &str, way: &Way, new: Value) -> String {
    let mut whole = Value::Table(text.parse().unwrap());
    *at(&mut whole, way) = new;
    toml::to_string(&whole).unwrap()
}

/// Every text of every file, by its kind, the file, the way to it, and itself.
fn texts() -> Vec<(&'static Kind, &'static str, Way, String)> {
    let mut found = Vec::new();
    for kind in &KINDS {
        for text in kind.texts {
            for (way, value) in all_values(text) {
                if let Value::String(written) = value {
                    found.push((kind, *text, way, written));
                }
            }
        }
    }
    found
}

/// Values of a job are read when its template is known; a template's own are read here.
fn is_reference(kind: &Kind, way: &Way) -> bool {
    if kind.file == "job.toml" && way[0] == "values" {
        return true;
    }
    let is_path = REFERENCES.contains(&way[0].as_str()) && kind.file != "vehicle.toml";
    is_path && way.get(1).is_none_or(|step| step.parse::<usize>().is_ok())
}

fn has_place(message: &str, file: &str) -> bool {
    let file = format!("{file}:");
    let mut places = message.split(&file).skip(1);
    places.all(|rest| {
        let mut numbers = rest.split(':').take(2);
        numbers.all(|number| number.parse::<usize>().is_ok_and(|number| number > 0))
    })
}

#[test]
fn the_inputs_of_this_test_are_read_and_have_every_key_there_is() {
    for kind in &KINDS {
        let mut known: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let mut here: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for text in kind.texts {
            (kind.read)(kind.file, text).unwrap_or_else(|faults| panic!("{faults}"));
            for (way, value) in all_values(text) {
                let Value::Table(mut table) = value else {
                    continue;
                };
                let keys: BTreeSet<String> = table.keys().cloned().collect();
                table.insert("zzqq".to_owned(), Value::Boolean(true));
                let message = (kind.read)(kind.file, &with(text, &way, table.into()))
                    .map_or_else(|faults| faults.to_string(), |()| String::new());
                let Some((_, rest)) = message.split_once("`zzqq` is not a key of ") else {
                    // Names in there are the user's own, or those of dimensions.
                    assert!(
                        ["values", "sources"].contains(&way[0].as_str()),
                        "{message}"
                    );
                    continue;
                };
                let (name, rest) = rest.split_once("; known keys: ").unwrap();
                let listed = rest.lines().next().unwrap().split(", ").map(str::to_owned);
                known.entry(name.to_owned()).or_default().extend(listed);
                here.entry(name.to_owned()).or_default().extend(keys);
            }
        }
        assert!(!known.is_empty());
        for (table, keys) in known {
            let missing: Vec<&String> = keys.difference(&here[&table]).collect();
            assert!(missing.is_empty(), "{} {table}: {missing:?}", kind.file);
        }
    }
}

#[test]
fn every_text_of_every_file_is_refused_where_it_stands_if_it_cannot_be_printed() {
    let (mut refused, mut named, mut passed) = (0, 0, BTreeSet::new());
    for (kind, text, way, written) in texts() {
        for bad in BAD {
            let bad_text = with(text, &way, format!("{written}{bad}").into());
            match (kind.read)(kind.file, &bad_text) {
                Ok(()) => {
                    assert!(
                        is_reference(kind, &way),
                        "{way:?} takes U+{:04X}",
                        u32::from(bad)
                    );
                    passed.insert(way[0].clone());
                }
                Err(faults) => {
                    let message = faults.to_string();
                    assert!(
                        message.contains(kind.file) && has_place(&message, kind.file),
                        "{message}"
                    );
                    refused += 1;
                    named += usize::from(message.contains(&format!("U+{:04X}", u32::from(bad))));
                }
            }
        }
    }
    // What is named is text for paper; lengths, choices and relations are refused as such.
    assert!(
        refused > 2_500 && named > 600,
        "{refused} refused, {named} by their character"
    );
    assert_eq!(passed.len(), REFERENCES.len() + 1, "{passed:?}");
}

#[test]
fn what_is_said_names_the_character_its_place_and_what_can_be_written() {
    let vehicle = KINDS[0].texts[0].replace("\"test vehicle\"", "\"van \u{5e9}\u{5dc}\"");
    let message = (KINDS[0].read)("v.toml", &vehicle).unwrap_err().to_string();
    assert_eq!(
        message,
        "v.toml:2:13: `name` has U+05E9 (\u{5e9}) in it, which cannot be printed; write it with Latin, Greek, Cyrillic, Armenian or Georgian letters, digits and common signs"
    );
    // Escaped, it stands where its text begins.
    let escaped = KINDS[0].texts[0].replace("\"test vehicle\"", "\"van \\u05e9\"");
    let message = (KINDS[0].read)("v.toml", &escaped).unwrap_err().to_string();
    assert!(
        message.starts_with("v.toml:2:8: `name` has U+05E9"),
        "{message}"
    );
    for half in ["\\uD800", "\\udfff", "\\ud83d\\ude00"] {
        let half = KINDS[0].texts[0].replace("\"test vehicle\"", &format!("\"van {half}\""));
        let message = (KINDS[0].read)("v.toml", &half).unwrap_err().to_string();
        assert!(
            message.starts_with("v.toml:2:") && message.contains("half of a character"),
            "{message}"
        );
    }
}

#[test]
fn comments_hold_anything_and_names_of_files_what_a_system_takes() {
    for kind in &KINDS {
        for text in kind.texts {
            let comment: String = BAD[..BAD.len() - 1].iter().collect();
            let commented = format!("# {comment}\n{text}# {comment}\n");
            assert!((kind.read)(kind.file, &commented).is_ok(), "{}", kind.file);
        }
    }
}

/// A form of readings and one of heights, with a row whose cells are all filled.
const READINGS_FORM: (&str, [&str; 9]) = (
    "lay,check,kind,from,to,should_be_mm,limit_mm,reading_mm,sigma_mm",
    ["1", "D1", "distance", "1L", "1R", "2000", "5", "2001", "1"],
);
const LEVELS_FORM: (&str, [&str; 5]) = (
    "at,what,x_mm,y_mm,height_mm",
    ["1L", "mark", "1000", "1000", "3"],
);

#[test]
fn every_cell_that_goes_to_paper_is_refused_where_it_stands() {
    let forms = [
        ("readings.csv", READINGS_FORM.0, &READINGS_FORM.1[..]),
        ("levels.csv", LEVELS_FORM.0, &LEVELS_FORM.1[..]),
    ];
    for (file, heading, cells) in forms {
        let read = |text: &str| match file {
            "readings.csv" => Readings::read(file, text.as_bytes()).map(|_| ()),
            _ => {
                baystencil::inside::LevelReadings::read(file.as_ref(), text.as_bytes()).map(|_| ())
            }
        };
        assert!(read(&format!("{heading}\n{}\n", cells.join(","))).is_ok());
        for (column, name) in heading.split(',').enumerate() {
            for bad in BAD {
                let mut cells: Vec<String> = cells.iter().map(|cell| (*cell).to_owned()).collect();
                cells[column].push(bad);
                let result = read(&format!("{heading}\n{}\n", cells.join(",")));
                let Err(faults) = result else {
                    // Nobody reads these but people, and a spreadsheet.
                    assert!(
                        ["kind", "limit_mm", "what"].contains(&name),
                        "{name} takes {bad:?}"
                    );
                    continue;
                };
                let message = faults.to_string();
                if bad == '\u{1}' {
                    // A table with controls in it is no text.
                    assert!(message.contains("bytes that are not text"), "{message}");
                    continue;
                }
                assert!(message.starts_with(&format!("{file}:2:")), "{message}");
                let is_name = ["check", "from", "to", "at"].contains(&name);
                assert!(
                    !is_name || message.contains(&format!("U+{:04X}", u32::from(bad))),
                    "{message}"
                );
            }
        }
    }
}

/// Flags of a command that take a value, by its help.
fn flags(command: &[&str], folder: &std::path::Path) -> Vec<String> {
    let help = baystencil(folder, &[command, &["--help"]].concat());
    let help = String::from_utf8(help.stdout).unwrap();
    let words = help.split_whitespace().collect::<Vec<_>>();
    let pairs = words
        .windows(2)
        .filter(|pair| pair[0].starts_with("--") && pair[1].starts_with('<'));
    let flags: BTreeSet<String> = pairs.map(|pair| pair[0].to_owned()).collect();
    flags.into_iter().collect()
}

#[test]
fn every_flag_is_refused_or_shows_nothing() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    fs::write(
        folder.join("readings.csv"),
        "from,to,reading_mm\n1L,1R,100\n",
    )
    .unwrap();
    let mut seen = BTreeSet::new();
    for command in [
        &["kit"][..],
        &["plan"],
        &["stencils"],
        &["cut"],
        &["overview"],
        &["levels", "readings.csv"],
        &["check", "readings.csv"],
        &["practice"],
        &["printer", "test"],
        &["printer", "set", "office"],
    ] {
        for flag in flags(command, folder) {
            for bad in ["\u{5e9}", "\u{ffff}"] {
                let value = match flag.as_str() {
                    "--set" => format!("target_distance=2 m{bad}"),
                    _ => format!("2{bad}"),
                };
                let run = [command, &[&flag, &value]].concat();
                // A folder may be called anything.
                if ["--out", "--file"].contains(&flag.as_str()) {
                    continue;
                }
                let output = baystencil(folder, &run);
                assert!(
                    matches!(output.status.code(), Some(2 | 3)),
                    "{run:?}: {}",
                    stderr(&output)
                );
                seen.insert(flag.clone());
            }
        }
    }
    assert!(seen.len() >= 30, "{seen:?}");
    let output = baystencil(
        folder,
        &[
            "printer", "set", "B\u{5e9}", "--x", "200", "--y", "200", "--file", "p.toml",
        ],
    );
    assert_eq!(output.status.code(), Some(3));
    assert!(
        stderr(&output).contains("NAME: \"B\u{5e9}\" has U+05E9"),
        "{}",
        stderr(&output)
    );
    assert!(!folder.join("p.toml").exists());
}

#[test]
fn names_of_files_that_sheets_show_are_refused_and_all_others_are_opened() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let job =
        "format = \"job/1\"\nvehicle = \"\u{8eca}/\u{8eca}.toml\"\ntemplate = \"target-line\"\n";
    fs::create_dir(folder.join("\u{8eca}")).unwrap();
    fs::write(folder.join("\u{8eca}/\u{8eca}.toml"), KINDS[0].texts[0]).unwrap();
    fs::write(folder.join("\u{8eca}.toml"), job).unwrap();
    fs::write(folder.join("van.toml"), job).unwrap();
    fs::write(folder.join("printer\u{8eca}.toml"), KINDS[3].texts[0]).unwrap();
    let overview = baystencil(folder, &["overview", "\u{8eca}.toml"]);
    assert!(overview.status.success(), "{}", stderr(&overview));
    let practice = ["practice", "--kinds", "table"];
    for (words, place) in [
        (&["\u{8eca}.toml"][..], "JOB: the file's name has U+8ECA"),
        (
            &["--vehicle", "\u{8eca}/\u{8eca}.toml"],
            "--vehicle: the file's name has U+8ECA",
        ),
    ] {
        let output = baystencil(folder, &[&practice[..], words].concat());
        assert_eq!(output.status.code(), Some(3), "{}", stderr(&output));
        assert!(stderr(&output).contains(place), "{}", stderr(&output));
        assert!(!folder.join("practice").exists());
    }
    let output = baystencil(folder, &[&practice[..], &["van.toml"]].concat());
    assert!(output.status.success(), "{}", stderr(&output));
    let test = baystencil(
        folder,
        &["printer", "test", "--printer", "printer\u{8eca}.toml"],
    );
    assert_eq!(test.status.code(), Some(3));
    assert!(
        stderr(&test).contains("--printer: the path has U+8ECA"),
        "{}",
        stderr(&test)
    );
}
