//! Words that people read: plain English by the style list of `DEVELOPERS.md`, spelled as the job's units are, and no word of a
//! demonstration where the numbers are the user's own.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::Command,
    sync::LazyLock,
};

mod shown;
mod sources;

use shown::shown;
use sources::{project, sentences, sources};

/// Pages of text that people read as they are.
const GUIDES: [&str; 4] = [
    "README.md",
    "output-samples/README.md",
    "templates/README.md",
    "vehicle-specs/README.md",
];

/// Words that are British where American ones are meant, and the other way round.
const BRITISH: [&str; 20] = [
    "tyre",
    "tyres",
    "centre",
    "centres",
    "centred",
    "centreline",
    "metre",
    "metres",
    "millimetre",
    "millimetres",
    "centimetres",
    "colour",
    "grey",
    "neighbour",
    "neighbours",
    "neighbouring",
    "judgement",
    "towards",
    "outwards",
    "chequered",
];
const AMERICAN: [&str; 16] = [
    "tire",
    "tires",
    "center",
    "centers",
    "centered",
    "centerline",
    "meter",
    "meters",
    "color",
    "gray",
    "neighbor",
    "neighbors",
    "neighboring",
    "judgment",
    "toward",
    "checkered",
];

/// Runs the program in a folder; what it wrote to stdout and stderr.
fn run(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts");
    let both = [output.stdout, output.stderr].concat();
    assert_ne!(output.status.code(), Some(2), "{arguments:?}");
    String::from_utf8(both).unwrap()
}

/// What a file shows, its texts one behind the other; of JSON nothing, whose keys are a contract.
fn words_of(path: &Path) -> String {
    let name = path.file_name().unwrap().to_str().unwrap();
    if [".json", ".png", "job.toml"]
        .iter()
        .any(|end| name.ends_with(end))
    {
        return String::new();
    }
    shown(name, &fs::read(path).unwrap())
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let of = |path: PathBuf| {
        if path.is_dir() {
            files(&path)
        } else {
            vec![path]
        }
    };
    entries.flat_map(of).collect()
}

/// A name for a text, and the text.
type Texts = Vec<(String, String)>;

/// Everything that the program writes and says for one choice of units: kits of all kinds, a check with its record, levels,
/// exercises, the printer test, the measuring sheet, lists.
fn everything(units: &str) -> Texts {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let mut texts = Texts::new();
    let mut say = |arguments: &[&str]| {
        let said = run(at, arguments);
        texts.push((format!("{arguments:?}"), said));
    };
    let units = ["--units", units];
    let with = |arguments: &[&'static str]| -> Vec<String> {
        arguments
            .iter()
            .chain(&units)
            .map(|text| (*text).to_owned())
            .collect()
    };
    for arguments in [
        with(&["kit", "-o", "lines"]),
        with(&[
            "kit",
            "-o",
            "roll",
            "--roll",
            "36in",
            "--template",
            "side-and-end-panels",
            "--single-page",
        ]),
        with(&[
            "kit",
            "-o",
            "mat",
            "--mode",
            "keys",
            "--vehicle",
            "estate",
            "--vehicle",
            "city-car",
            "--template",
            "rear-corner-arcs",
        ]),
        with(&[
            "kit",
            "-o",
            "target",
            "--mode",
            "grid",
            "--vehicle",
            "crew-cab-pickup",
            "--template",
            "target-line",
        ]),
        with(&["plan"]),
        with(&["printer", "test"]),
        with(&["measure"]),
        with(&["practice"]),
        with(&["practice", "--kinds", "desk", "-o", "desk"]),
    ] {
        say(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    }
    fill(&at.join("lines/readings.csv"), |row, should_be| {
        if row == 4 {
            "99 in".to_owned()
        } else {
            should_be.to_owned()
        }
    });
    fill(&at.join("lines/levels.csv"), |row, _| {
        format!("{} mm", row % 5)
    });
    say(&[
        "check",
        "lines/readings.csv",
        "--details",
        "-o",
        "record",
        "--levels",
        "lines/levels.csv",
    ]);
    say(&["levels", "lines/levels.csv"]);
    say(&["library"]);
    for path in files(at) {
        let name = path.strip_prefix(at).unwrap().display().to_string();
        texts.push((name, words_of(&path)));
    }
    texts
}

/// Fills the form's last column but one for heights and the last one for readings, by row and by what it should be.
fn fill(form: &Path, cell: impl Fn(usize, &str) -> String) {
    let text = fs::read_to_string(form).unwrap();
    let heading = text.lines().next().unwrap();
    let column = |wanted: [&str; 2]| {
        heading
            .split(',')
            .position(|name| wanted.iter().any(|start| name.starts_with(start)))
    };
    let (should_be, written) = (
        column(["should_be", "x_"]).unwrap(),
        column(["reading", "height"]).unwrap(),
    );
    let row = |(index, line): (usize, &str)| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if index > 0 {
            cells[written] = cell(index, &cells[should_be]);
        }
        cells.join(",")
    };
    let rows: Vec<String> = text.lines().enumerate().map(row).collect();
    fs::write(form, rows.join("\n")).unwrap();
}

static METRIC: LazyLock<Texts> = LazyLock::new(|| everything("mm"));
static INCHES: LazyLock<Texts> = LazyLock::new(|| everything("inch"));

/// The text in small letters, a space before and behind every word; a key of a file (`tyre_width`) is one word.
fn spaced(text: &str) -> String {
    let sign = |sign: char| match sign {
        '’' => '\'',
        sign if sign.is_alphanumeric() || matches!(sign, '_' | '\'') => sign,
        _ => ' ',
    };
    let plain: String = text.chars().map(sign).collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    format!(" {} ", words.join(" ").to_lowercase())
}

/// Which of some words and phrases stand in a text.
fn standing<'a>(text: &str, phrases: &[&'a str]) -> Vec<&'a str> {
    let text = spaced(text);
    let stands = |phrase: &&str| text.contains(&format!(" {} ", phrase.to_lowercase()));
    phrases.iter().copied().filter(stands).collect()
}

/// What the style list refuses: words in backticks in the last column of its table.
fn refused() -> Vec<String> {
    let guide = fs::read_to_string(project().join("DEVELOPERS.md")).unwrap();
    let rows = guide
        .lines()
        .skip_while(|line| !line.starts_with("| write |"))
        .skip(2);
    let rows = rows.take_while(|line| line.starts_with("| "));
    let last = |row: &str| {
        row.trim_end_matches(['|', ' '])
            .rsplit(" | ")
            .next()
            .unwrap_or("")
            .to_owned()
    };
    let quoted = |cell: String| {
        cell.split('`')
            .skip(1)
            .step_by(2)
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let words: Vec<String> = rows.map(last).flat_map(quoted).collect();
    assert!(words.len() > 15, "{words:?}");
    words
}

fn refuse(texts: impl Iterator<Item = (String, String)>) {
    let refused = refused();
    let refused: Vec<&str> = refused.iter().map(String::as_str).collect();
    let (mut wrong, mut read) = (Vec::new(), 0);
    for (name, text) in texts {
        read += text.len();
        wrong.extend(
            standing(&text, &refused)
                .into_iter()
                .map(|word| format!("{name}: {word}")),
        );
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(read > 10_000, "{read}");
}

#[test]
fn words_are_seen_whole_and_phrases_across_signs() {
    let seen = |text: &str| standing(text, &["told", "a turn", "tyre"]);
    assert_eq!(seen("Told: a\nturn."), ["told", "a turn"]);
    assert!(seen("untold; a turned key; `tyre_width`; tyres").is_empty());
}

#[test]
fn no_page_report_or_message_has_a_word_that_the_style_list_refuses() {
    refuse(METRIC.iter().chain(INCHES.iter()).cloned());
}

#[test]
fn no_guide_has_a_word_that_the_style_list_refuses() {
    refuse(GUIDES.iter().map(|name| {
        (
            (*name).to_owned(),
            fs::read_to_string(project().join(name)).unwrap(),
        )
    }));
}

#[test]
fn no_help_has_a_word_that_the_style_list_refuses() {
    let help = |command: &[&str]| run(project(), &[command, &["--help"]].concat());
    let mut texts = vec![("baystencil".to_owned(), help(&[]))];
    for command in [
        "kit", "plan", "stencils", "cut", "overview", "levels", "check", "practice", "library",
        "measure", "printer", "serve",
    ] {
        assert!(texts[0].1.contains(&format!("\n  {command} ")), "{command}");
        texts.push((command.to_owned(), help(&[command])));
    }
    for command in ["test", "set", "list"] {
        texts.push((command.to_owned(), help(&["printer", command])));
    }
    refuse(texts.into_iter());
}

/// Sentences of faults are many, and few runs meet them: all of them are read in the sources.
#[test]
fn no_sentence_of_the_sources_has_a_word_that_the_style_list_refuses() {
    let without_values = |sentence: String| {
        let pieces = sentence
            .split('{')
            .map(|piece| piece.split_once('}').map_or(piece, |(_, text)| text));
        pieces.collect::<Vec<_>>().join(" ")
    };
    let source = project().join("src");
    refuse(sources(&source).into_iter().map(|path| {
        let text = sentences(&fs::read_to_string(&path).unwrap());
        let text: Vec<String> = text.into_iter().map(without_values).collect();
        (
            path.strip_prefix(&source).unwrap().display().to_string(),
            text.join(" \n "),
        )
    }));
}

#[test]
fn pages_in_inches_are_american_and_pages_in_mm_are_british() {
    let wrong = |texts: &Texts, words: &[&str]| -> Vec<String> {
        // The list of what is built in belongs to no job.
        let texts = texts.iter().filter(|(name, _)| !name.contains("library"));
        let found = texts.flat_map(|(name, text)| {
            let words = standing(text, words).into_iter();
            words.map(move |word| format!("{name}: {word}"))
        });
        found.collect()
    };
    let empty: [String; 0] = [];
    assert_eq!(wrong(&INCHES, &BRITISH), empty);
    assert_eq!(wrong(&METRIC, &AMERICAN), empty);
    assert!(wrong(&INCHES, &AMERICAN).len() > 20 && wrong(&METRIC, &BRITISH).len() > 20);
}

/// A number with a sign before it, and a direction behind: which of the two counts?
#[test]
fn no_number_has_a_sign_and_a_direction() {
    const WAYS: [&str; 6] = ["forward", "rearward", "left", "right", "ahead", "to the"];
    let signed = |word: &str| {
        let mut signs = word.chars();
        matches!(signs.next(), Some('+' | '-' | '\u{2212}'))
            && signs.next().is_some_and(|sign| sign.is_ascii_digit())
    };
    let mut wrong = BTreeSet::new();
    for (name, text) in METRIC.iter().chain(INCHES.iter()) {
        let words: Vec<&str> = text.split_whitespace().collect();
        for (index, word) in words.iter().enumerate().filter(|(_, word)| signed(word)) {
            let rest = words[index + 1..]
                .iter()
                .take(3)
                .copied()
                .collect::<Vec<_>>()
                .join(" ");
            let rest = rest.trim_start_matches("mm ").trim_start_matches("in ");
            if WAYS.iter().any(|way| rest.starts_with(way)) {
                wrong.insert(format!("{name}: {word} {rest}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A job with a vehicle and a template, each built in or a copy in a file of the user's own; what its kit shows and says.
fn kit_of(vehicle: &str, template: &str, values: &str) -> (String, String) {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let copy = |of: &str, name: &str, to: &str| {
        let text = fs::read_to_string(project().join(of)).unwrap();
        let (head, rest) = text.split_once("\nname = ").unwrap();
        let rest = rest.split_once('\n').unwrap().1;
        let text = format!("{head}\nname = \"{name}\"\n{rest}");
        let lines = text.lines().filter(|line| !line.starts_with(['#']));
        let lines = lines.map(|line| match line.split_once(" = ") {
            Some(("source", _)) => "source = \"measured by ourselves\"".to_owned(),
            _ => line.to_owned(),
        });
        fs::write(at.join(to), lines.collect::<Vec<_>>().join("\n")).unwrap();
    };
    copy(
        "vehicle-specs/estate.toml",
        "Town Tyre Depot's estate",
        "mine.toml",
    );
    copy("templates/target-line.toml", "our line", "ours.toml");
    let job = format!(
        "format = \"job/1\"\nunits = \"inch\"\nvehicle = \"{vehicle}\"\ntemplate = \"{template}\"\n[values]\n{values}\n"
    );
    fs::write(at.join("job.toml"), job).unwrap();
    let said = run(at, &["kit", "job.toml", "-o", "kit"]);
    assert!(at.join("kit").is_dir(), "{said}");
    let pages: Vec<String> = files(&at.join("kit"))
        .iter()
        .map(|path| words_of(path))
        .collect();
    (said, pages.join("\n"))
}

fn speaks_of_demonstration(text: &str) -> bool {
    text.to_lowercase().contains("demo")
}

#[test]
fn numbers_of_the_users_own_are_never_called_a_demonstration() {
    let (said, pages) = kit_of("mine.toml", "ours.toml", "");
    assert!(!speaks_of_demonstration(&said), "{said}");
    assert!(!speaks_of_demonstration(&pages));
    assert!(pages.contains("our line"));
    assert!(spaced(&pages).contains(" maker's service information goes first "));
}

#[test]
fn a_built_in_default_and_a_built_in_vehicle_are_called_a_demonstration_and_nothing_else_is() {
    let (said, pages) = kit_of("mine.toml", "target-line", "stand_offset = \"500 mm\"");
    assert!(
        said.contains("demonstration values are in use for"),
        "{said}"
    );
    assert!(
        !said.contains("stand_offset") && !said.contains("the vehicle is a built-in one"),
        "{said}"
    );
    assert!(pages.contains("Demonstration values") && pages.contains("(demo)"));

    let (said, pages) = kit_of("estate", "ours.toml", "");
    assert!(
        said.contains("the vehicle is a built-in one, for demonstration alone"),
        "{said}"
    );
    assert!(!said.contains("demonstration values"), "{said}");
    assert!(pages.contains("Demonstration values:"));
}

#[test]
fn a_name_of_the_users_own_keeps_its_spelling_on_american_pages() {
    let (_, pages) = kit_of("mine.toml", "target-line", "");
    assert!(pages.contains("Town Tyre Depot's estate"));
    assert!(pages.contains("centerline") && standing(&pages, &["centreline"]).is_empty());
}
