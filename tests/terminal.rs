//! What leaves for a terminal, and what is read from anywhere: no sign that acts on a terminal, no end of messages, no file without end.

use std::{
    fs,
    path::Path,
    process::{Command, Output},
    time::{Duration, Instant},
};

fn baystencil(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .env("XDG_CONFIG_HOME", folder.join("config"))
        .output()
        .expect("the program starts")
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Signs that clear a screen, colour it, turn letters about or hide them.
const ACTING: &str = "\u{1b}[2J\u{1b}]0;x\u{7}\u{9b}31m\u{202e}\u{2066}\u{200b}\u{7f}\r";

/// The same as TOML writes them inside quotation marks.
const IN_TOML: &str = "\\u001b[2J\\u001b]0;x\\u0007\\u009b31m\\u202e\\u2066\\u200b\\u007f\\r";

/// Holds what a run said to be without such signs; true where it quotes them.
fn holds_no_acting_sign(output: &Output, what: &str) -> bool {
    for stream in [&output.stdout, &output.stderr] {
        let text = String::from_utf8_lossy(stream);
        let found = text.chars().find(|sign| {
            *sign != '\n'
                && (sign.is_control() || ACTING.contains(*sign) && !"[2J]0;x31m".contains(*sign))
        });
        assert_eq!(found, None, "{what}: {text:?}");
    }
    let said = [output.stdout.clone(), output.stderr.clone()].concat();
    String::from_utf8_lossy(&said).contains("202e")
}

#[test]
fn acting_signs_of_every_input_are_written_out() {
    let place = tempfile::tempdir().unwrap();
    let at = place.path();
    let job = |more: &str| {
        format!("format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n{more}")
    };
    let vehicle = include_str!("../vehicle-specs/city-car.toml");
    let named = vehicle.lines().map(|line| {
        if line.starts_with("name") {
            "name = \"car \\u202e\\u2066\\u200b\"".to_owned()
        } else {
            line.to_owned()
        }
    });
    fs::write(at.join("van.toml"), named.collect::<Vec<_>>().join("\n")).unwrap();
    for (name, text) in [
        ("key.toml", job(&format!("\"{IN_TOML}\" = 1\n"))),
        ("value.toml", job(&format!("mode = \"{IN_TOML}\"\n"))),
        (
            "setting.toml",
            job(&format!("[values]\n\"{IN_TOML}\" = \"1 mm\"\n")),
        ),
        (
            "length.toml",
            job(&format!("[values]\ntarget_distance = \"{IN_TOML}\"\n")),
        ),
        ("vehicle.toml", job("").replace("city-car", IN_TOML)),
        (
            "form.csv",
            format!("from,to,reading_mm\n1L,\"{ACTING}\",100\n"),
        ),
        (
            "heading.csv",
            format!("\"fr{ACTING}om\",to,reading_mm\n1L,1R,100\n"),
        ),
        (
            "number.csv",
            format!("from,to,reading_mm\n1L,1R,\"1{ACTING}\"\n"),
        ),
        ("heights.csv", format!("at,height_mm\n\"W{ACTING}\",100\n")),
        ("format.toml", format!("format = \"{IN_TOML}\"\n")),
    ] {
        fs::write(at.join(name), text).unwrap();
    }
    let flag = |flag: &str| format!("{flag}{ACTING}");
    let own = ["--vehicle", "city-car", "--template", "target-line"];
    let runs: Vec<Vec<String>> = [
        vec!["plan", "key.toml"],
        vec!["plan", "value.toml"],
        vec!["plan", "setting.toml"],
        vec!["plan", "length.toml"],
        vec!["plan", "vehicle.toml"],
        vec!["plan", "format.toml"],
        vec!["plan", "--template", "target-line", "--vehicle", "van.toml"],
        vec![
            "plan",
            "--json",
            "--template",
            "target-line",
            "--vehicle",
            "van.toml",
        ],
        vec!["check", "form.csv"],
        vec!["check", "heading.csv"],
        vec!["check", "number.csv"],
        vec![
            "levels",
            "heights.csv",
            "--vehicle",
            "city-car",
            "--template",
            "target-line",
        ],
        vec!["plan", &flag("no")],
        vec!["check", &flag("no.csv")],
        vec!["levels", &flag("no.csv")],
        vec![&flag("command")],
        vec!["plan", &flag("--flag")],
        vec!["plan", "--mode", &flag("m")],
        vec!["plan", "--paper", &flag("p")],
        vec!["plan", "--set", &flag("a=")],
        vec!["plan", "--vehicle", &flag("v")],
        vec!["plan", "--printer", &flag("p")],
        vec!["printer", "set", &flag("n"), "--x", "200", "--y", "200"],
        vec!["practice", "--kinds", &flag("k")],
        [&["overview", "-o", &flag("out")], &own[..]].concat(),
    ]
    .into_iter()
    .map(|words| words.into_iter().map(str::to_owned).collect())
    .collect();
    let mut quoted = 0;
    for run in runs {
        let words: Vec<&str> = run.iter().map(String::as_str).collect();
        let output = baystencil(at, &words);
        quoted += usize::from(holds_no_acting_sign(&output, &format!("{words:?}")));
    }
    assert!(quoted >= 16, "{quoted} runs quote what they were given");
    let van = [&["plan", "--json", "--vehicle", "van.toml"][..], &own[2..]].concat();
    let van = baystencil(at, &van);
    assert_eq!(van.status.code(), Some(3));
    assert!(
        stderr(&van).contains("`name` has U+202E in it"),
        "{}",
        stderr(&van)
    );
    let out = [&["overview", "--json", "-o", "out\u{202e}"][..], &own[..]].concat();
    let json = baystencil(at, &out);
    let written: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(written["files"][0].as_str().unwrap().contains('\u{202e}'));
}

#[test]
fn help_and_what_is_wrong_with_arguments_have_their_exit_codes() {
    let place = tempfile::tempdir().unwrap();
    for (words, code, on_stdout) in [
        (&["--help"][..], 0, true),
        (&["--version"], 0, true),
        (&["plan", "--nothing"], 2, false),
        (&[], 2, false),
    ] {
        let output = baystencil(place.path(), words);
        assert_eq!(output.status.code(), Some(code), "{words:?}");
        assert_eq!(output.stdout.is_empty(), !on_stdout, "{words:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn files_without_an_end_are_refused_at_once() {
    let place = tempfile::tempdir().unwrap();
    std::os::unix::fs::symlink("/dev/zero", place.path().join("zero.csv")).unwrap();
    std::os::unix::fs::symlink("/dev/zero", place.path().join("zero.toml")).unwrap();
    for words in [
        &["plan", "zero.toml"][..],
        &[
            "plan",
            "--template",
            "target-line",
            "--vehicle",
            "zero.toml",
        ],
        &["plan", "--template", "zero.toml"],
        &["plan", "--printer", "zero.toml"],
        &["check", "zero.csv"],
        &["check", "zero.toml"],
        &["levels", "zero.csv"],
        &["levels", "zero.toml"],
        &["check", "zero.csv", "--job", "zero.toml"],
    ] {
        let begun = Instant::now();
        // In less memory than a file without an end would take.
        let limited = format!("ulimit -v 1000000; exec \"$0\" {}", words.join(" "));
        let output = Command::new("sh")
            .args(["-c", &limited, env!("CARGO_BIN_EXE_baystencil")])
            .current_dir(place.path())
            .output()
            .unwrap();
        assert_eq!(
            output.status.code(),
            Some(3),
            "{words:?}: {}",
            stderr(&output)
        );
        assert!(
            stderr(&output).contains("larger than 10 MB"),
            "{words:?}: {}",
            stderr(&output)
        );
        assert!(begun.elapsed() < Duration::from_secs(5), "{words:?}");
    }
}

#[test]
fn at_most_fifty_faults_are_listed_and_the_others_counted() {
    let place = tempfile::tempdir().unwrap();
    let faults = |count: usize| {
        let rows: String = (0..count).map(|row| format!("1L,1R,no{row}\n")).collect();
        fs::write(
            place.path().join("form.csv"),
            format!("from,to,reading_mm\n{rows}"),
        )
        .unwrap();
        stderr(&baystencil(place.path(), &["check", "form.csv"]))
    };
    let fifty = faults(50);
    assert_eq!(fifty.lines().count(), 51, "{fifty}");
    assert!(
        fifty.ends_with("50 faults in the input; nothing was written\n"),
        "{fifty}"
    );
    for count in [70, 1_234] {
        let more = faults(count);
        assert_eq!(more.lines().count(), 52, "{more}");
        let said = format!(
            "and {} more of them\n{count} faults in the input",
            count - 50
        );
        assert!(more.contains(&said), "{more}");
    }
    // Of a file of TOML, whose reader keeps fewer sentences than there are faults.
    for (count, keys) in [(99, 99), (101, 101), (4_000, 4_000)] {
        let keys: String = (0..keys).map(|key| format!("zz{key} = 1\n")).collect();
        let job = format!(
            "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n{keys}"
        );
        fs::write(place.path().join("job.toml"), job).unwrap();
        let said = stderr(&baystencil(place.path(), &["plan", "job.toml"]));
        assert_eq!(said.lines().count(), 52, "{said}");
        let counted = format!(
            "and {} more of them\n{count} faults in the input",
            count - 50
        );
        assert!(said.contains(&counted), "{said}");
        assert!(
            said.contains("job.toml:4:1: ") && said.contains("job.toml:53:1: "),
            "{said}"
        );
    }
}

#[test]
fn a_line_break_in_what_is_quoted_does_not_break_a_message() {
    let place = tempfile::tempdir().unwrap();
    let at = place.path();
    let job = |more: &str| {
        format!("format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n{more}")
    };
    for (name, text) in [
        (
            "length.toml",
            job("[values]\ntarget_distance = \"1\\n2\"\n"),
        ),
        ("choice.toml", job("mode = \"a\\nb\"\n")),
        ("key.toml", job("\"a\\nb\" = 1\n")),
        ("value.toml", job("[values]\n\"a\\nb\" = 1\n")),
        ("format.toml", "format = \"a\\nb\"\n".to_owned()),
        ("paper.toml", job("paper = \"a\\nb\"\n")),
        ("note.toml", job("[record]\nnote = \"a\\nb\"\n")),
        (
            "cell.csv",
            "from,to,reading_mm\n1L,1R,\"1\n2\"\n".to_owned(),
        ),
    ] {
        fs::write(at.join(name), text).unwrap();
        let command = if name.ends_with("csv") {
            "check"
        } else {
            "plan"
        };
        let said = stderr(&baystencil(at, &[command, name]));
        let faults: Vec<&str> = said
            .lines()
            .filter(|line| !line.starts_with("no job given"))
            .collect();
        assert_eq!(faults.len(), 2, "{said}");
        assert!(faults[0].starts_with(name), "{said}");
        assert_eq!(faults[1], "1 fault in the input; nothing was written");
    }
    for words in [
        &["plan", "no\nfile.toml"][..],
        &["plan", "--vehicle", "a\nb", "--template", "target-line"],
        &["plan", "--paper", "a\nb"],
        &["plan", "--set", "a\nb=1"],
        &["plan", "--longest-pull", "1\n2"],
        &["check", "no\nfile.csv"],
        &["printer", "set", "a\nb", "--x", "200", "--y", "200"],
    ] {
        let said = stderr(&baystencil(at, words));
        assert_eq!(said.lines().count(), 2, "{words:?}: {said}");
        assert!(said.contains("\\n"), "{words:?}: {said}");
    }
    // What is wrong with arguments comes with the usage.
    for words in [
        &["plan", "--mode", "a\nb"][..],
        &["plan", "--mode=a\nb"],
        &["a\nb"],
    ] {
        let output = baystencil(at, words);
        assert_eq!(output.status.code(), Some(2));
        assert!(stderr(&output).contains("a\\nb"), "{}", stderr(&output));
    }
    // A file of that name that is written into.
    fs::write(at.join("f\nf"), "mine").unwrap();
    let own = ["--vehicle", "city-car", "--template", "target-line"];
    let output = baystencil(at, &[&["overview", "-o", "f\nf"], &own[..]].concat());
    assert_eq!(output.status.code(), Some(3));
    assert_eq!(stderr(&output).lines().count(), 1, "{}", stderr(&output));
    let output = baystencil(at, &[&["overview", "-o", "g\ng"], &own[..]].concat());
    assert!(output.status.success());
    assert!(stderr(&output).contains("g\\ng"), "{}", stderr(&output));
}

#[test]
fn a_bad_text_is_quoted_in_at_most_two_hundred_characters() {
    let place = tempfile::tempdir().unwrap();
    let long = "x".repeat(100_000);
    let job = format!(
        "format = \"job/1\"\nvehicle = \"{long}\"\ntemplate = \"target-line\"\n{long} = 1\n[values]\ntarget_distance = \"{long}\"\n{long} = \"{long}\"\n"
    );
    fs::write(place.path().join("job.toml"), job).unwrap();
    let said = stderr(&baystencil(place.path(), &["plan", "job.toml"]));
    assert!(said.contains(&format!("`{}…`", "x".repeat(200))), "{said}");
    for line in said.lines() {
        let longest = line.split(|sign| sign != 'x').map(str::len).max();
        assert!(longest <= Some(200), "{line}");
    }
}

#[test]
fn a_negative_length_reaches_a_message_of_its_own() {
    let place = tempfile::tempdir().unwrap();
    for (flag, command) in [
        ("--overlap", "kit"),
        ("--longest-pull", "plan"),
        ("--roll", "kit"),
        ("--bridge", "cut"),
        ("--kerf", "cut"),
        ("--corner", "cut"),
        ("--hairline", "cut"),
        ("--bridge-every", "cut"),
        ("--bed", "cut"),
        ("--border", "cut"),
        ("--paper", "kit"),
        ("--paper", "practice"),
        ("--paper", "printer test"),
        ("--paper", "measure"),
        ("--x", "printer set office --y 200mm"),
        ("--y", "printer set office --x 200mm"),
        ("--of", "printer set office --x 200mm --y 200mm"),
        ("--margin-left", "printer set office"),
    ] {
        let command: Vec<&str> = command.split(' ').collect();
        let output = baystencil(place.path(), &[&command, &[flag, "-5mm"][..]].concat());
        assert_eq!(output.status.code(), Some(3), "{flag}: {}", stderr(&output));
        assert!(
            stderr(&output).contains(flag) || stderr(&output).contains("-5"),
            "{}",
            stderr(&output)
        );
        assert!(!place.path().join("kit").exists());
    }
}

#[cfg(target_os = "linux")]
#[test]
fn too_many_open_files_are_said_in_words() {
    let place = tempfile::tempdir().unwrap();
    let output = Command::new("sh")
        .args([
            "-c",
            "ulimit -n 4; exec \"$0\" overview --vehicle city-car --template target-line",
            env!("CARGO_BIN_EXE_baystencil"),
        ])
        .current_dir(place.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3), "{}", stderr(&output));
    assert!(stderr(&output).contains("ulimit -n"), "{}", stderr(&output));
    assert!(!place.path().join("kit").exists());
}

#[test]
fn words_that_look_like_formulas_are_written_as_text_and_read_as_they_were() {
    let place = tempfile::tempdir().unwrap();
    let template = include_str!("../templates/target-line.toml");
    let meaning = "meaning = \"=1+1\"";
    let (before, stations) = template.split_once("[[stations]]").unwrap();
    let stations = stations.lines().map(|line| {
        if line.starts_with("meaning") {
            meaning
        } else {
            line
        }
    });
    let stations = stations.collect::<Vec<_>>().join("\n");
    fs::write(
        place.path().join("own.toml"),
        format!("{before}[[stations]]{stations}\n"),
    )
    .unwrap();
    let own = ["--vehicle", "city-car", "--template", "own.toml"];
    let csv = baystencil(place.path(), &[&["plan", "--csv"], &own[..]].concat());
    let csv = String::from_utf8_lossy(&csv.stdout).into_owned();
    assert!(csv.contains(",'=1+1,") && !csv.contains(",=1+1"), "{csv}");
    let kit = baystencil(
        place.path(),
        &[&["kit", "--mode", "keys"], &own[..]].concat(),
    );
    assert!(kit.status.success(), "{}", stderr(&kit));
    let form = fs::read_to_string(place.path().join("kit/levels.csv")).unwrap();
    assert!(form.contains(",'=1+1,"), "{form}");
    // Typed into and carried over, it is still the same.
    let filled = form.replace(",\n", ",3\n");
    fs::write(place.path().join("kit/levels.csv"), &filled).unwrap();
    let again = baystencil(
        place.path(),
        &[&["kit", "--mode", "keys"], &own[..]].concat(),
    );
    assert!(again.status.success(), "{}", stderr(&again));
    assert_eq!(
        fs::read_to_string(place.path().join("kit/levels.csv")).unwrap(),
        filled
    );
}
