//! What can be typed after `practice`.

use std::{
    borrow::Cow,
    ops::RangeInclusive,
    path::{Path, PathBuf},
};

use super::args::LayoutFlags;
use crate::{
    practice::{Kind, Level, MOST_SHEETS},
    source::{Faults, Place, printed},
};

/// Highest number of a first sheet: more than any school has trainees.
const MOST_NUMBER: u64 = 1_000_000;

/// Most exercises of one run, so that it ends within seconds: 200 sets of six kinds.
const MOST_EXERCISES: u64 = 1_200;

/// Exercises are bound by trainee: all kinds of sheet 1, then all kinds of sheet 2. With --count above 1 the answers
/// begin with a table of all short answers. `--vehicle random` gives each sheet number a vehicle of its own: a
/// built-in body class, its dimensions varied.
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
    /// Number of the first sheet: `--first 7` makes sheet 7 again without the six before it
    #[arg(long, value_name = "NUMBER", default_value_t = 1, allow_negative_numbers = true, value_parser = first)]
    pub first: u64,
    /// Kinds of exercises, with commas [default: all but desk, which takes many pages]
    #[arg(long, value_name = "KINDS", value_delimiter = ',', value_parser = kind)]
    pub kinds: Vec<Kind>,
    /// How hard, from 1 (first steps) to 4 (as on a real floor)
    #[arg(long, value_name = "1-4", default_value = "1", allow_negative_numbers = true, value_parser = level)]
    pub level: Level,
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
    /// The kinds that are asked for, in the order in which they are taught.
    pub fn kinds(&self) -> Vec<Kind> {
        let wanted = |kind: &Kind| {
            if self.kinds.is_empty() {
                *kind != Kind::Desk
            } else {
                self.kinds.contains(kind)
            }
        };
        Kind::ALL.into_iter().filter(wanted).collect()
    }

    /// Refuses more exercises than one run makes.
    ///
    /// # Errors
    /// What `--count` may be for these kinds.
    pub fn refuse_many(&self) -> Result<(), Faults> {
        let kinds = self.kinds();
        let of_one: u64 = kinds.iter().map(|kind| effort(*kind)).sum();
        if self.count * of_one <= MOST_EXERCISES {
            return Ok(());
        }
        Err(Place::whole("--count").fault(format!(
            "{} sheets of each of {} kinds are too many for one run; expected at most {}: run again with --first {} for the next ones",
            self.count,
            kinds.len(),
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
