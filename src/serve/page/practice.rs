//! *Practice*: exercises for trainees, and their answers.

use std::sync::Arc;

use axum::{
    Router,
    extract::{Query, State},
    response::Response,
    routing::get,
};
use maud::{Markup, html};

use super::{Place, faults, page, shelf};
use crate::{
    job::{BuiltIn, TEMPLATES, VEHICLES},
    kit::{ClassSet, ClassWanted},
    output::{DocumentInfo, Language, OutputError},
    paper::Paper,
    practice::{COURSE, Kind, Lesson, Level, MOST_SHEETS, PracticeError, Request, Vehicle},
    serve::{
        app::App,
        fields::Fields,
        refusal::Refusal,
        send::{download, zipped},
    },
    sheets::PracticePaper,
    shop::Shelf,
    source::{Faults, Place as At, Placed},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
    words::Spelling,
};

/// The vehicle that stands for one of the built-in body classes, varied.
const RANDOM: &str = "random";

/// Exercises of one page that a set of the page has at most; longer ones are made on the command line.
const MOST_EXERCISES: usize = 600;

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/practice", get(show))
        .route("/practice/set", get(set))
}

async fn show(State(app): State<Arc<App>>) -> Markup {
    content(&app, &Fields::default(), &[])
}

fn content(app: &App, fields: &Fields, wrong: &[String]) -> Markup {
    let asked = fields.has("level");
    let kind_on = |kind: Kind| match asked {
        true => fields
            .0
            .iter()
            .any(|(name, word)| name == "kind" && word == kind.word()),
        false => kind == Kind::Primer || kind == Kind::SetOut,
    };
    let or = |name: &str, usual: &str| {
        if asked {
            fields.get(name).to_owned()
        } else {
            usual.to_owned()
        }
    };
    page(
        Place::At("/practice"),
        "Practice",
        &html! {
            h1 { "Practice" }
            p { "Paper exercises for trainees, with the answers for the teacher. The same numbers make the same sheets again." }
            (faults(wrong))
            form method="get" action="/practice/set" {
                fieldset {
                    legend { "Exercises" }
                    div.fields {
                        @for kind in Kind::ALL {
                            label { input type="checkbox" name="kind" value=(kind.word()) checked[kind_on(kind)]; " " (kind.title()) }
                        }
                        label { input type="checkbox" name="course" value="yes" checked[fields.has("course")]; " All of them as a course of lessons" }
                    }
                }
                fieldset {
                    legend { "Level" }
                    @for (level, word) in Level::ALL.iter().zip(["first steps", "", "", "as on a real floor"]) {
                        label { input type="radio" name="level" value=(level.number()) checked[or("level", "1") == level.number().to_string()]; " " (level.number()) " " (word) }
                    }
                }
                div.fields {
                    p { label for="count" { "How many different sheets of each" } input id="count" name="count" type="number" min="1" max=(MOST_SHEETS) value=(or("count", "4")); }
                    p { label for="seed" { "Number of the set" } input id="seed" name="seed" type="number" min="0" max="1000000" value=(or("seed", "1")) aria-describedby="seed-hint"; span.hint id="seed-hint" { "Another number makes other sheets." } }
                    p { label for="vehicle" { "Vehicle" } (vehicles(app, fields)) }
                    p { label for="template" { "Layout template" } (shelf::choice(app, Shelf::Templates, "template", fields.get("template"))) }
                    p { label for="paper" { "Paper" } select id="paper" name="paper" { @for name in ["A4", "Letter"] { option selected[fields.get("paper") == name] { (name) } } } }
                    fieldset {
                        legend { "Lengths in" }
                        label { input type="radio" name="units" value="mm" checked[or("units", "mm") == "mm"]; " mm" }
                        label { input type="radio" name="units" value="inch" checked[fields.get("units") == "inch"]; " inches" }
                    }
                }
                p { label for="names" { "Names of the trainees, one on each line (may stay empty)" } textarea id="names" name="names" rows="4" { (fields.get("names")) } }
                p {
                    button name="file" value="exercises.pdf" { "Exercises (PDF)" } " "
                    button name="file" value="answers.pdf" { "Answers (PDF)" } " "
                    button name="file" value="" { "All files (ZIP)" }
                }
            }
        },
    )
}

fn vehicles(app: &App, fields: &Fields) -> Markup {
    let chosen = fields.get("vehicle");
    html! {
        select id="vehicle" name="vehicle" {
            option value=(RANDOM) { "drawn by lot for each sheet" }
            @for name in app.shop.names(Shelf::Vehicles) {
                @let reference = shelf::reference(Shelf::Vehicles, &name);
                option value=(reference) selected[reference == chosen] { (name) }
            }
            @for built_in in &VEHICLES { option value=(built_in.name) selected[built_in.name == chosen] { (built_in.name) } }
        }
    }
}

async fn set(
    State(app): State<Arc<App>>,
    Query(fields): Query<Vec<(String, String)>>,
) -> Result<Result<Response, Markup>, Refusal> {
    let fields = Fields(fields);
    let request = match request(&app, &fields) {
        Ok(request) => request,
        Err(wrong) => {
            let wrong: Vec<String> = wrong.list().iter().map(ToString::to_string).collect();
            return Ok(Err(content(&app, &fields, &wrong)));
        }
    };
    let (course, wanted) = (fields.has("course"), fields.get("file").to_owned());
    let sent = app.work.run(move || send(&request, course, &wanted)).await;
    match sent {
        Ok(answer) => Ok(Ok(answer)),
        Err(refusal) if refusal.status().is_client_error() => {
            Ok(Err(content(&app, &fields, refusal.sentences())))
        }
        Err(refusal) => Err(refusal),
    }
}

/// What the form asks for.
fn request(app: &App, fields: &Fields) -> Result<Request, Faults> {
    let fault = |at: &str, why: String| Faults::from(At::whole(at).fault(why));
    let number = |name: &str, at: &str, most: u64| {
        let read = fields
            .get(name)
            .parse()
            .ok()
            .filter(|number| (0..=most).contains(number));
        read.ok_or_else(|| {
            fault(
                at,
                format!("\"{}\" is no number from 0 to {most}", fields.get(name)),
            )
        })
    };
    let level = number("level", "Level", 4)?;
    let level = Level::new(level as i64).map_err(|error| fault("Level", error.to_string()))?;
    let sheets: Vec<(Kind, Level)> = if fields.has("course") {
        COURSE.iter().flat_map(Lesson::sheets).collect()
    } else {
        let asked = |kind: &Kind| {
            fields
                .0
                .iter()
                .any(|(name, word)| name == "kind" && word == kind.word())
        };
        Kind::ALL
            .into_iter()
            .filter(asked)
            .map(|kind| (kind, level))
            .collect()
    };
    if sheets.is_empty() {
        return Err(fault(
            "Exercises",
            "none is ticked; tick at least one".to_owned(),
        ));
    }
    let names: Vec<String> = fields
        .get("names")
        .lines()
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect();
    let count = if names.is_empty() {
        number("count", "How many", MOST_SHEETS as u64)?.max(1) as usize
    } else {
        names.len()
    };
    if count * sheets.len() > MOST_EXERCISES {
        return Err(fault(
            "How many",
            format!(
                "{count} sheets of each of {} kinds are more than {MOST_EXERCISES}; make them in several sets",
                sheets.len()
            ),
        ));
    }
    let inches = fields.get("units") == "inch";
    Ok(Request {
        seed: number("seed", "Number of the set", 1_000_000)?,
        first: 1,
        count,
        sheets,
        names,
        vehicle: vehicle(app, fields.get("vehicle"))?,
        template: TemplateSpec::read(&source(app, Shelf::Templates, fields.get("template"))?)?,
        values: Vec::new(),
        precision: Precision::default(),
        paper: Paper::parse(fields.get("paper")).map_err(|why| fault("Paper", why))?,
        inches,
        as_is: false,
    })
}

fn vehicle(app: &App, name: &str) -> Result<Vehicle, Faults> {
    if name == RANDOM {
        let classes = Faults::in_all(
            VEHICLES
                .iter()
                .map(|class| VehicleSpec::read(&class.source())),
        );
        return classes.map(Vehicle::Random);
    }
    let spec = VehicleSpec::read(&source(app, Shelf::Vehicles, name)?)?;
    Ok(Vehicle::Given(Box::new(spec)))
}

/// The file of a vehicle or template that a form names: one of the shop's or a built-in one, never another path.
fn source(app: &App, shelf: Shelf, name: &str) -> Result<crate::source::Source, Faults> {
    let built_ins: &[BuiltIn] = if shelf == Shelf::Vehicles {
        &VEHICLES
    } else {
        &TEMPLATES
    };
    let name = match shelf::named(shelf, name) {
        Some(own) => app.shop.path(shelf, &own).display().to_string(),
        None => shelf::shown(name),
    };
    let named = Placed {
        value: name,
        place: At::whole(shelf.one()),
    };
    BuiltIn::open(&named, built_ins, std::path::Path::new(""), shelf.one())
}

/// Why a set could not be made.
enum Failed {
    Practice(PracticeError),
    Output(OutputError),
}

impl From<PracticeError> for Failed {
    fn from(error: PracticeError) -> Self {
        Self::Practice(error)
    }
}

impl From<OutputError> for Failed {
    fn from(error: OutputError) -> Self {
        Self::Output(error)
    }
}

fn send(request: &Request, course: bool, wanted: &str) -> Result<Response, Refusal> {
    let spelling = Spelling::sparing(request.inches, &[]);
    let info = DocumentInfo {
        subject: "exercises".to_owned(),
        language: Language::of(request.inches),
        ..DocumentInfo::default()
    };
    let paper = request.paper.clone();
    let wants = ClassWanted {
        on: PracticePaper {
            paper: &paper,
            origin: "",
        },
        spelling: &spelling,
        info: &info,
        course,
        marking: course || !request.names.is_empty(),
        worked: true,
    };
    let set = ClassSet::compose::<Failed>(request, &wants).map_err(|failed| {
        Refusal::input(match failed {
            Failed::Practice(error) => error.to_string(),
            Failed::Output(error) => error.to_string(),
        })
    })?;
    if wanted.is_empty() {
        return Ok(download("exercises.zip", zipped("exercises", &set.files)?));
    }
    let bytes = set.files.content(wanted).map_err(|_| Refusal::missing())?;
    Ok(download(wanted, bytes))
}
