//! What can be typed after `practice`.

use std::{
    borrow::Cow,
    ops::RangeInclusive,
    path::{Path, PathBuf},
};

use super::args::LayoutFlags;
use crate::{
    practice::{COURSE, Kind, Lesson, Level, MOST_SHEETS},
    source::{Faults, Place, printed, read_bounded},
};

/// Highest number of a first sheet: more than any school has trainees.
const MOST_NUMBER: u64 = 1_000_000;

/// Most exercises of one run, so that it ends within seconds and a class's paper is no slip of the pen.
const MOST_EXERCISES: u64 = 2_000;

/// Longest name on a class list, characters: more than the line on a sheet holds.
const LONGEST_NAME: usize = 60;

/// Exercises are bound by trainee: all kinds of sheet 1, then all kinds of sheet 2. key.pdf has the short answers, answers.pdf the
/// worked ones; with --count above 1 it begins with the short ones. `--vehicle random` gives each sheet number a vehicle of its
/// own: a built-in body class, its dimensions varied. A kind that cannot be made for the layout is left out with a note.
#[derive(clap::Args)]
pub(super) struct PracticeArgs {
    /// Job file (TOML) whose vehicle and template the exercises are about; without it the built-in demonstration job
    pub job: Option<PathBuf>,
    #[command(flatten)]
    pub layout: LayoutFlags,
    /// Paper: A4 or Letter
    #[arg(long, value_name = "PAPER", allow_hyphen_values = true)]
    pub paper: Option<String>,
    /// Number that everything random is drawn from: the same seed makes the same sheets
    #[arg(long, value_name = "NUMBER", default_value_t = 1, allow_negative_numbers = true, value_parser = seed)]
    pub seed: u64,
    /// How many different sheets of each kind, all equally hard
    #[arg(long, value_name = "NUMBER", default_value_t = 1, allow_negative_numbers = true, value_parser = count)]
    pub count: u64,
    /// Class list: a text file with a name on each line. Each name gets a sheet of each kind, with the name on it, and there is
    /// a list to mark the class on
    #[arg(long, value_name = "FILE", conflicts_with = "count")]
    pub names: Option<PathBuf>,
    /// A course: ten lessons that build on each other, a file for each, with a plan for the teacher, the key, and a list to mark
    /// the class on
    #[arg(long, conflicts_with_all = ["kinds", "level"])]
    pub course: bool,
    /// Write the worked answers of a course, too; without --course they are always written
    #[arg(long)]
    pub worked: bool,
    /// Number of the first sheet: `--first 7` makes sheet 7 again without the six before it
    #[arg(long, value_name = "NUMBER", default_value_t = 1, allow_negative_numbers = true, value_parser = first)]
    pub first: u64,
    /// Kinds of exercises, with commas [default: all but desk, which takes many pages, and bay, which takes a layout on the floor]
    #[arg(long, value_name = "KINDS", value_delimiter = ',', value_parser = kind)]
    pub kinds: Vec<Kind>,
    /// How hard, from 1 (first steps) to 4 (as on a real floor)
    #[arg(long, value_name = "1-4", default_value = "1", allow_negative_numbers = true, value_parser = level)]
    pub level: Level,
    /// Draw no value of the layout: sheets about the vehicle and the bay as they are. Values that a job or --set gives
    /// are kept in any case
    #[arg(long)]
    pub as_is: bool,
    /// Folder to write; made when missing. Files that baystencil wrote there are replaced
    #[arg(long, short, value_name = "DIR", default_value = "practice")]
    pub out: PathBuf,
    /// Replace files in the folder also where they were changed since, or are someone else's
    #[arg(long)]
    pub replace: bool,
    /// Print what was written as JSON
    #[arg(long)]
    pub json: bool,
}

impl PracticeArgs {
    /// The sheets of one trainee: the kinds that are asked for, in the order in which they are taught, or those of the course.
    pub fn sheets(&self) -> Vec<(Kind, Level)> {
        if self.course {
            return COURSE.iter().flat_map(Lesson::sheets).collect();
        }
        let wanted = |kind: &Kind| {
            if self.kinds.is_empty() {
                !matches!(kind, Kind::Desk | Kind::Bay)
            } else {
                self.kinds.contains(kind)
            }
        };
        let kinds = Kind::ALL.into_iter().filter(wanted);
        kinds.map(|kind| (kind, self.level)).collect()
    }

    /// How many sheets of each kind: one for each name, where there are names.
    pub fn count(&self, names: usize) -> u64 {
        if names == 0 { self.count } else { names as u64 }
    }

    /// What documents say they are about; nothing that the sheets could be made again from.
    pub fn subject(&self) -> String {
        match self.course {
            true => "course".to_owned(),
            false => format!("level {}", self.level.number()),
        }
    }

    /// The names of the class list in its order; none without a list.
    ///
    /// # Errors
    /// A list that cannot be read, has no names or too many, or names that sheets cannot show.
    pub fn names(&self) -> Result<Vec<String>, Faults> {
        let Some(path) = &self.names else {
            return Ok(Vec::new());
        };
        let shown = path.display().to_string();
        let bytes =
            read_bounded(path, "class list").map_err(|why| Place::whole(&shown).fault(why))?;
        let text = String::from_utf8(bytes).map_err(|_| {
            Place::whole(&shown)
                .fault("the class list is no text in UTF-8; save it as plain text in UTF-8")
        })?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        let (mut names, mut faults) = (Vec::new(), Vec::new());
        for (number, line) in (1..).zip(text.lines()) {
            let name = line.trim();
            if name.is_empty() {
                continue;
            }
            match printed(name) {
                Ok(name) if name.chars().count() <= LONGEST_NAME => names.push(name.into_owned()),
                Ok(_) => faults.push(Place::whole(&shown).fault(format!(
                    "line {number}: the name has more than {LONGEST_NAME} characters; shorten it"
                ))),
                Err(bad) => faults.push(Place::whole(&shown).fault(format!(
                    "line {number}: the name has {bad}; write it without"
                ))),
            }
        }
        if names.is_empty() && faults.is_empty() {
            let why = "there is no name in the class list; write one on each line";
            faults.push(Place::whole(&shown).fault(why));
        }
        if names.len() > MOST_SHEETS {
            faults.push(Place::whole(&shown).fault(format!(
                "{} names are too many for one run; expected at most {MOST_SHEETS}: split the list",
                names.len()
            )));
        }
        Faults::none_in(faults)?;
        Ok(names)
    }

    /// Refuses more exercises than one run makes.
    ///
    /// # Errors
    /// What `--count` may be for these kinds.
    pub fn refuse_many(&self, names: usize) -> Result<(), Faults> {
        let sheets = self.sheets();
        let of_one: u64 = sheets.iter().map(|(kind, _)| effort(*kind)).sum();
        let count = self.count(names);
        if count * of_one <= MOST_EXERCISES {
            return Ok(());
        }
        let at = if names == 0 { "--count" } else { "--names" };
        Err(Place::whole(at)
            .fault(format!(
                "{count} sheets of each of {} kinds are too many for one run; expected at most {}: run again with --first {} for the next ones",
                sheets.len(),
                MOST_EXERCISES / of_one,
                self.first + MOST_EXERCISES / of_one
            ))
            .into())
    }

    /// What has to be typed beside seed, level, kind and number to make a sheet again.
    ///
    /// # Errors
    /// Names of files that sheets cannot show.
    pub fn origin(&self) -> Result<String, Faults> {
        let layout = &self.layout;
        // Sheets are handed out: folders of this machine are nobody's business there.
        let plain = |at: &str, path: &Path| {
            let name = path.file_name().unwrap_or(path.as_os_str());
            let shown = printed(&name.to_string_lossy()).map(Cow::into_owned);
            shown.map_err(|bad| {
                let why = format!(
                    "the file's name has {bad}, or rename the file: the sheets show its name"
                );
                Place::whole(at).fault(why)
            })
        };
        let mut words = Vec::new();
        if let Some(job) = &self.job {
            words.push(plain("JOB", job)?);
        }
        for (flag, names) in [
            ("--vehicle", &layout.vehicles[..]),
            ("--template", layout.template.as_slice()),
        ] {
            for name in names {
                words.push(format!("{flag} {}", plain(flag, Path::new(name))?));
            }
        }
        words.extend(
            layout
                .units
                .map(|units| format!("--units {}", units.word())),
        );
        words.extend(self.as_is.then(|| "--as-is".to_owned()));
        words.extend(
            layout
                .settings
                .iter()
                .map(|(name, value)| format!("--set \"{name}={value}\"")),
        );
        Ok(words.join(" "))
    }
}

/// What a kind takes, in exercises of one page.
const fn effort(kind: Kind) -> u64 {
    match kind {
        Kind::Desk => 4,
        Kind::Judge => 3,
        _ => 1,
    }
}

fn seed(text: &str) -> Result<u64, String> {
    whole(text, 0..=u64::MAX)
}

fn count(text: &str) -> Result<u64, String> {
    whole(text, 1..=MOST_SHEETS as u64)
}

fn first(text: &str) -> Result<u64, String> {
    whole(text, 1..=MOST_NUMBER)
}

fn whole(text: &str, range: RangeInclusive<u64>) -> Result<u64, String> {
    let number = text
        .trim()
        .parse()
        .ok()
        .filter(|number| range.contains(number));
    number.ok_or_else(|| {
        format!(
            "expected a whole number from {} to {}",
            range.start(),
            range.end()
        )
    })
}

fn kind(text: &str) -> Result<Kind, String> {
    let found = Kind::ALL
        .into_iter()
        .find(|kind| kind.word() == text.trim());
    let words = || Kind::ALL.map(Kind::word).join(", ");
    found.ok_or_else(|| format!("there is no such kind; expected one of {}", words()))
}

fn level(text: &str) -> Result<Level, String> {
    let number = text
        .trim()
        .parse()
        .map_err(|_| "expected 1, 2, 3 or 4".to_owned())?;
    Level::new(number).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use clap::Parser as _;

    use super::super::args::{Args, Command};

    #[test]
    fn sheets_that_are_handed_out_name_files_without_their_folders() {
        let words = [
            "baystencil",
            "practice",
            "/home/trainer/jobs/van.toml",
            "--vehicle",
            "../cars/own.toml",
            "--template",
            "target-line",
        ];
        let Command::Practice(args) = Args::parse_from(words).command else {
            panic!("another command");
        };
        assert_eq!(
            args.origin().unwrap(),
            "van.toml --vehicle own.toml --template target-line"
        );
    }
}
