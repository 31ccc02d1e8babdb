//! What is seen of a layout at once: what was understood, what is wrong, the pictures; and a little later what it takes.

use std::path::Path;

use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};

use super::values::{OBSTACLE_KEYS, OBSTACLES, obstacle};
use crate::{
    job::{Folders, Job, JobSpec},
    kit::{Kit, KitError, Preview, SHEETS_WITHOUT_ASKING},
    serve::page::{place_in_text::key_of, typed::understood},
    shop::Document,
    source::{Fault, Faults, Source},
    template::{TemplateSpec, ValueKind},
    units::mm_exact,
    words::{Spelling, printed::bay::clear_floor},
};

/// What is said once, whatever is wrong with the vehicle: its own page says it in full.
pub const VEHICLE_WRONG: &str =
    "Dimensions of the vehicle are missing or wrong. First correct them under Vehicle.";

/// A layout as it is seen on the page.
#[derive(Clone, Debug, Default)]
pub struct Look {
    /// The job shows inches.
    pub inches: bool,
    /// What is wrong: the id of its input, where it has one, and a sentence.
    pub wrong: Vec<(Option<String>, String)>,
    /// What was understood of each input that has something typed, by id.
    understood: Vec<(String, String)>,
    /// The pictures, where nothing is wrong.
    pub seen: Option<Seen>,
}

/// The pictures of a layout.
#[derive(Clone, Debug)]
pub struct Seen {
    /// The layout in its bay, as SVG.
    pub small: String,
    /// The pages of the overview, as SVG.
    pub overview: Vec<String>,
    /// The clear floor, and whether the bay has it.
    pub floor: String,
    /// The bay fits; `None` where the job names none.
    pub fits: Option<bool>,
}

impl Look {
    /// Looks at a job's text that lies, or will lie, at `path`.
    #[must_use]
    pub fn at(document: &Document, path: &Path, template: Option<&TemplateSpec>) -> Self {
        let text = document.text();
        let inches = document.get(&["units"]).as_deref() == Some("inch");
        let mut look = Self {
            inches,
            understood: all_understood(document, template, inches),
            ..Self::default()
        };
        match resolved(&text, path, false) {
            Ok((job, bay)) => {
                let kit = Kit::of(job);
                let verdict = kit.job.plan.floor.bay.as_ref();
                look.seen = Some(Seen {
                    small: kit.small_plan_svg(bay.as_ref()),
                    floor: Spelling::of(&kit.job).text(&clear_floor(&kit.job.plan, inches)),
                    fits: verdict.map(crate::plan::BayVerdict::fits),
                    overview: kit.overview_svg(),
                });
            }
            Err(faults) => look.blame(&faults, &text, path),
        }
        look
    }

    fn blame(&mut self, faults: &Faults, text: &str, path: &Path) {
        let spelling = Spelling::sparing(self.inches, &[]);
        let own = path.display().to_string();
        for fault in faults.list() {
            let file = &*fault.place.file;
            if file.contains("/vehicles/") {
                self.blame_vehicle();
            } else {
                let key = (file == own).then(|| key_of(fault, text)).flatten();
                let sentence = spelling.fault(&in_words(fault, key.as_deref()));
                self.wrong.push((key.and_then(|key| id_of(&key)), sentence));
            }
        }
    }

    fn blame_vehicle(&mut self) {
        let sentence =
            "Dimensions of the vehicle are missing or wrong. First correct them under Vehicle.";
        if !self.wrong.iter().any(|(_, other)| other == sentence) {
            self.wrong.push((None, sentence.to_owned()));
        }
    }

    /// The pages of the overview, where nothing is wrong; without lays.
    #[must_use]
    pub fn overview(&self) -> &[String] {
        self.seen.as_ref().map_or(&[], |seen| &seen.overview)
    }

    /// What was understood of an input.
    #[must_use]
    pub fn understood(&self, id: &str) -> Option<&str> {
        let found = self.understood.iter().find(|(other, _)| other == id);
        found.map(|(_, words)| words.as_str())
    }

    /// What is wrong with an input.
    pub fn wrong_with<'a>(&'a self, id: &'a str) -> impl Iterator<Item = &'a str> {
        self.wrong
            .iter()
            .filter(move |(other, _)| other.as_deref() == Some(id))
            .map(|(_, sentence)| sentence.as_str())
    }
}

/// A job with its bay.
fn resolved(
    text: &str,
    path: &Path,
    lays: bool,
) -> Result<(Job, Option<crate::plan::Bay>), Faults> {
    let source = Source::new(&path.display().to_string(), text);
    let spec = JobSpec::read_on(&source)?;
    let bay = spec.bay.clone();
    Job::resolve(spec, &Folders::beside(path), lays).map(|job| (job, bay))
}

/// What a layout takes, with its map.
#[derive(Clone, Debug)]
pub struct Later {
    /// In inches.
    pub inches: bool,
    /// What it takes.
    pub preview: Preview,
    /// The pages of the overview with the check list, as SVG.
    pub overview: Vec<String>,
}

impl Later {
    /// Works out what the layout of a job's text takes; `None` where the text cannot be used, which is said elsewhere.
    ///
    /// # Errors
    /// A layout that no sheets cover.
    pub fn of(document: &Document, path: &Path) -> Result<Option<Self>, KitError> {
        let Ok((job, _)) = resolved(&document.text(), path, true) else {
            return Ok(None);
        };
        let kit = Kit::of(job);
        kit.refuse_large()?;
        Ok(Some(Self {
            inches: kit.job.inches,
            overview: kit.overview_svg(),
            preview: kit.preview(Some(SHEETS_WITHOUT_ASKING))?,
        }))
    }
}

/// An SVG as the address of an image, so that its own style and letters do not meet those of the page.
#[must_use]
pub fn as_image(svg: &str) -> String {
    format!("data:image/svg+xml;base64,{}", BASE64.encode(svg))
}

/// The id on the page of a key in the job's file.
#[must_use]
pub fn id_of(key: &str) -> Option<String> {
    let id = if let Some(name) = key.strip_prefix("values.") {
        format!("value-{name}")
    } else if let Some(rest) = key.strip_prefix("bay.obstacles.") {
        // A fault of the whole thing is said at its first input.
        let whole = !rest.contains('.');
        format!(
            "obstacle-{}{}",
            rest.replace('.', "-"),
            if whole { "-name" } else { "" }
        )
    } else {
        match key {
            "bay" => "bay-length".to_owned(),
            "bay.length" | "bay.width" => key.replace('.', "-"),
            "laid_by" | "checks" => key.to_owned(),
            "units" | "template" => return None,
            _ => return None,
        }
    };
    Some(id)
}

/// A message of the job's reader with the page's names for keys.
fn in_words(fault: &Fault, key: Option<&str>) -> String {
    let mut message = fault.message.clone();
    if let Some(key) = key {
        let plain = key.rsplit('.').next().unwrap_or(key);
        let label = match key {
            "bay.length" => "the bay’s length".to_owned(),
            "bay.width" => "the bay’s width".to_owned(),
            _ => plain.replace('_', " "),
        };
        message = message.replace(&format!("`{plain}`"), &label);
    }
    let mut signs = message.chars();
    signs.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(signs).collect()
    })
}

fn all_understood(
    document: &Document,
    template: Option<&TemplateSpec>,
    inches: bool,
) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for value in template.iter().flat_map(|template| &template.values) {
        let Some(text) = document.get(&["values", &value.name]) else {
            continue;
        };
        let words = match value.kind {
            ValueKind::Length => understood(&text, inches),
            ValueKind::Angle => {
                let read = value.kind.parse(&text);
                read.ok()
                    .map(|degrees| format!("{}°", mm_exact(degrees, 2)))
            }
        };
        all.extend(words.map(|words| (format!("value-{}", value.name), words)));
    }
    for side in ["length", "width"] {
        let text = document.get(&["bay", side]).unwrap_or_default();
        all.extend(understood(&text, inches).map(|words| (format!("bay-{side}"), words)));
    }
    for row in 0..document.count(&OBSTACLES) {
        for key in &OBSTACLE_KEYS[1..] {
            let (text, _) = obstacle(document, row, key);
            let words = understood(&text, inches);
            all.extend(words.map(|words| (format!("obstacle-{row}-{key}"), words)));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{DEMONSTRATION, TEMPLATES};

    fn demonstration(change: impl Fn(&str) -> String) -> Look {
        let text = change(&DEMONSTRATION.source().text);
        let document = Document::read(&text).expect("TOML");
        let template = TemplateSpec::read(&TEMPLATES[0].source()).expect("built in");
        Look::at(
            &document,
            Path::new("shop/jobs/a/job.toml"),
            Some(&template),
        )
    }

    #[test]
    fn a_right_job_has_its_pictures_and_the_bay_in_words() {
        let look = demonstration(str::to_owned);
        assert!(look.wrong.is_empty());
        let seen = look.seen.expect("right");
        assert_eq!(seen.fits, Some(seen.floor.contains(": fits")));
        assert!(seen.overview[0].contains("<svg") && seen.small.contains("lift post"));
    }

    #[test]
    fn a_value_out_of_its_range_is_said_at_its_input_and_leaves_no_picture() {
        let look = demonstration(|text| {
            format!("{text}\n[values]\nfront_gap = \"7500 mm\"\nside_gap = \"30 cm\"\n")
        });
        let wrong: Vec<&str> = look.wrong_with("value-front_gap").collect();
        assert!(
            wrong[0].starts_with("Front gap is 7500 mm; expected 200 to 4000 mm"),
            "{wrong:?}"
        );
        assert_eq!(
            look.understood("value-side_gap"),
            Some("300 mm = 11 13/16 in")
        );
        assert!(look.seen.is_none());
    }

    #[test]
    fn a_thing_in_the_bay_that_cannot_be_read_is_said_at_its_input() {
        let look = demonstration(|text| text.replace("\"2.78 m\"", "\"left wall\""));
        assert_eq!(
            look.wrong_with("obstacle-0-y").count(),
            1,
            "{:?}",
            look.wrong
        );
        let look = demonstration(|text| {
            text.replace("width = \"5.2 m\"", "width = \"52 m\"")
                .replace("length = \"9.5 m\"", "length = \"9.5 km\"")
        });
        assert_eq!(look.wrong_with("bay-length").count(), 1, "{:?}", look.wrong);
    }
}
