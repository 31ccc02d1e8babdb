//! The page `vehicle`: the dimensions of a job's vehicle, or of one of the shop's, as they stand in its file.
//!
//! What is typed is saved as it was typed, wrong or not, so that nothing is lost; what is wrong stands on the page until it is corrected,
//! and no later step goes on with it.

mod form;
mod input;
mod look;

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    http::header,
    response::{IntoResponse as _, Redirect, Response},
    routing::{get, post},
};
use maud::{Markup, html};
use serde::Deserialize;

use self::{
    form::Sheet,
    input::{INPUTS, fill},
    look::Look,
};
use super::{Place, Step, encoded, encoded_text, page, shelf};
use crate::{
    job::VEHICLES,
    kit,
    paper::Paper,
    serve::{app::App, fields::Fields, jobs::JobFile, refusal::Refusal, send},
    shop::{Document, Name, Shelf, Version, name_from},
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/vehicle", get(of_job).post(save_of_job))
        .route("/jobs/{job}/vehicle/choose", post(choose))
        .route("/jobs/{job}/vehicle/copy", post(copy))
        .route("/vehicles/{name}", get(of_shop).post(save_of_shop))
        .route("/vehicles/{name}/look", post(look_at))
        .route("/pictures/vehicle.svg", get(picture))
        .route("/measuring-sheet.pdf", get(measuring_sheet))
}

/// What an address asks beside its page.
#[derive(Debug, Default, Deserialize)]
struct Asked {
    /// "mm" or "inch".
    #[serde(default)]
    units: String,
    /// Something was saved just now.
    #[serde(default)]
    saved: String,
    /// The dimension that is drawn heavy.
    #[serde(default)]
    of: String,
    /// A paper.
    #[serde(default)]
    paper: String,
}

/// A vehicle of the shop, as its file stands.
struct Own {
    name: Name,
    version: Version,
    document: Document,
}

impl Own {
    fn read(app: &App, name: Name) -> Result<Self, Refusal> {
        let kept = app.shop.read(Shelf::Vehicles, &name)?;
        let document = Document::read(&kept.text).map_err(|why| {
            Refusal::input(format!(
                "The file of the vehicle {name} is no TOML: {why}. Correct it under Vehicles, File."
            ))
        })?;
        Ok(Self {
            name,
            version: kept.version,
            document,
        })
    }

    /// Writes what was typed, if the file is still the one that the page showed.
    fn save(mut self, app: &App, fields: &Fields) -> Result<(), Refusal> {
        fill(&mut self.document, fields);
        let before = Version::from_text(fields.get("version"));
        let path = app.shop.main_file(Shelf::Vehicles, &self.name);
        app.shop.write_file(&path, &before, &self.document.text())?;
        Ok(())
    }

    fn form(&self, look: &Look, action: &str) -> Markup {
        form::form(&Sheet {
            document: &self.document,
            version: &self.version,
            look,
            action,
            live: &format!("/vehicles/{}/look", encoded(&self.name)),
            vehicle: self.name.as_str(),
        })
    }
}

/// Where a job's vehicle is kept.
enum Kind {
    /// In the shop's folder.
    Own(Box<Own>),
    /// In the program.
    BuiltIn(Document),
    /// Several, by how the job names them.
    Mat(String),
    /// Somewhere else, or nowhere.
    Other,
}

fn kind(app: &App, file: &JobFile) -> Result<Kind, Refusal> {
    if let Some(several) = file.document.get(&["vehicles"]) {
        return Ok(Kind::Mat(several));
    }
    let reference = file.document.get(&["vehicle"]).unwrap_or_default();
    if let Some(name) = shelf::named(Shelf::Vehicles, &reference) {
        let there = app.shop.main_file(Shelf::Vehicles, &name).is_file();
        return Ok(if there {
            Kind::Own(Box::new(Own::read(app, name)?))
        } else {
            Kind::Other
        });
    }
    let built_in = VEHICLES.iter().find(|vehicle| vehicle.name == reference);
    Ok(built_in
        .and_then(|vehicle| Document::read(&vehicle.source().text).ok())
        .map_or(Kind::Other, Kind::BuiltIn))
}

fn inches_of(file: &JobFile) -> bool {
    file.document.get(&["units"]).as_deref() == Some("inch")
}

/// What has to be done at the vehicle before a later step can go on: a sentence, where the job's vehicle is one of the shop's and is not
/// right yet.
///
/// # Errors
/// A vehicle whose file cannot be read.
pub fn first(app: &App, file: &JobFile) -> Result<Option<Markup>, Refusal> {
    let Kind::Own(own) = kind(app, file)? else {
        return Ok(None);
    };
    let look = Look::at(&own.document, inches_of(file));
    Ok(look.spec.is_none().then(|| {
        html! {
            div.faults role="alert" {
                p { strong { "First correct the vehicle." } }
                p { "Dimensions of " (own.name) " are missing or wrong. " a href=(Step::Vehicle.of(&file.name)) { "To the vehicle" } }
            }
        }
    }))
}

fn saved(asked: &Asked) -> Markup {
    html! { @if !asked.saved.is_empty() { p.saved role="status" { "Saved." } } }
}

async fn of_job(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let inches = match asked.units.as_str() {
        "" => inches_of(&file),
        units => units == "inch",
    };
    let step = Step::Vehicle.of(&file.name);
    let reference = file.document.get(&["vehicle"]).unwrap_or_default();
    let body = match kind(&app, &file)? {
        Kind::Own(own) => {
            let look = Look::at(&own.document, inches);
            let others = others(&app, &own.name, &file.name);
            html! {
                h2 { (own.name) }
                @if !others.is_empty() { p { "These jobs use it too, and change with it: " (others.join(", ")) "." } }
                (own.form(&look, &step))
                @if look.spec.is_some() { (next(&file)) }
            }
        }
        Kind::BuiltIn(document) => {
            let look = Look::at(&document, inches);
            html! {
                h2 { (document.get(&["name"]).unwrap_or_default()) }
                p { "Built in, for demonstration: an invented vehicle. For a real one, measure it, or copy this one and change the numbers." }
                form method="post" action={ (step) "/copy" } {
                    p { label for="copy-name" { "Name of the copy" } input id="copy-name" name="name" required maxlength="60" value={ "our " (reference) }; }
                    p { button { "Make a copy of our own to change it" } }
                }
                (form::values(&document, &look))
                (next(&file))
            }
        }
        Kind::Mat(several) => html! {
            p { "This job is a mat for several vehicles: " (several) ". Change each under " a href="/vehicles" { "Vehicles" } "." }
        },
        Kind::Other => html! {
            div.faults { p { "The job names the vehicle “" (reference) "”, which is not in this shop’s folder. Choose one below." } }
        },
    };
    let choice = html! {
        section {
            h2 { "Another vehicle for this job" }
            form method="post" action={ (step) "/choose" } {
                input type="hidden" name="version" value=(file.kept.version.as_str());
                p { label for="vehicle" { "Vehicle" } (shelf::choice(&app, Shelf::Vehicles, "vehicle", &reference)) }
                p { button { "Take this vehicle" } }
            }
            (sheets())
        }
    };
    Ok(page(
        Place::Job(&file.name, Step::Vehicle),
        &format!("Vehicle of {}", file.name),
        &html! { h1 { "Vehicle of " (file.name) } (saved(&asked)) (body) (choice) },
    ))
}

fn next(file: &JobFile) -> Markup {
    html! { p { a.button href=(Step::Layout.of(&file.name)) { "Next: the layout" } } }
}

fn sheets() -> Markup {
    html! {
        p {
            "Not measured yet? Print the " a href="/measuring-sheet.pdf" { "measuring sheet" }
            " (" a href="/measuring-sheet.pdf?units=inch&paper=Letter" { "in inches, Letter" } "). Its rows have the numbers of this page."
        }
    }
}

/// Other jobs with the same vehicle.
fn others(app: &App, vehicle: &Name, but: &Name) -> Vec<String> {
    let reference = shelf::reference(Shelf::Vehicles, vehicle);
    let uses = |job: &Name| {
        let text = app.shop.read(Shelf::Jobs, job).map(|kept| kept.text);
        let document = text.ok().and_then(|text| Document::read(&text).ok());
        document.and_then(|document| document.get(&["vehicle"])) == Some(reference.clone())
    };
    let jobs = app.shop.names(Shelf::Jobs).into_iter();
    jobs.filter(|job| job != but && uses(job))
        .map(|job| job.to_string())
        .collect()
}

async fn save_of_job(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let job = Name::parse(&job)?;
    // The vehicle that the page showed, whichever the job names by now.
    Own::read(&app, Name::parse(fields.get("of"))?)?.save(&app, &fields)?;
    Ok(back(&Step::Vehicle.of(&job), &fields))
}

fn back(address: &str, fields: &Fields) -> Redirect {
    let units = encoded_text(fields.get("units"));
    Redirect::to(&format!("{address}?saved=1&units={units}"))
}

async fn choose(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let vehicle = shelf::chosen_vehicle(&app, fields.get("vehicle"), &file.name)?;
    take(
        &app,
        file,
        &vehicle,
        &Version::from_text(fields.get("version")),
    )
}

/// Has a job take one vehicle.
fn take(
    app: &App,
    mut file: JobFile,
    vehicle: &str,
    before: &Version,
) -> Result<Redirect, Refusal> {
    file.document.set(&["vehicles"], "");
    file.document.set(&["vehicle"], vehicle);
    app.shop
        .write_file(&file.path, before, &file.document.text())?;
    Ok(Redirect::to(&Step::Vehicle.of(&file.name)))
}

async fn copy(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let Kind::BuiltIn(mut document) = kind(&app, &file)? else {
        return Err(Refusal::missing());
    };
    let name = name_from(fields.get("name"))?;
    document.set(&["name"], name.as_str());
    app.shop.create(Shelf::Vehicles, &name, &document.text())?;
    let version = file.kept.version.clone();
    take(
        &app,
        file,
        &shelf::reference(Shelf::Vehicles, &name),
        &version,
    )
}

async fn of_shop(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Refusal> {
    let own = Own::read(&app, Name::parse(&name)?)?;
    let inches = match asked.units.as_str() {
        "" => is_in_inches(&own.document),
        units => units == "inch",
    };
    let look = Look::at(&own.document, inches);
    let address = format!("/vehicles/{}", encoded(&own.name));
    Ok(page(
        Place::At("/vehicles"),
        own.name.as_str(),
        &html! { h1 { (own.name) } (saved(&asked)) (own.form(&look, &address)) (sheets()) },
    ))
}

/// True for a file in which somebody typed inches or feet.
fn is_in_inches(document: &Document) -> bool {
    let texts = INPUTS.into_iter().filter(|input| input.key != "rim_width");
    texts.map(|input| input.text(document)).any(|text| {
        ["in", "ft", "\"", "'"]
            .iter()
            .any(|unit| text.trim_end().ends_with(unit))
    })
}

async fn save_of_shop(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let own = Own::read(&app, Name::parse(&name)?)?;
    let address = format!("/vehicles/{}", encoded(&own.name));
    own.save(&app, &fields)?;
    Ok(back(&address, &fields))
}

/// What is seen of what is being typed: the parts of the page that change with it.
async fn look_at(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    fields: Fields,
) -> Result<Markup, Refusal> {
    let mut own = Own::read(&app, Name::parse(&name)?)?;
    fill(&mut own.document, &fields);
    let look = Look::at(&own.document, fields.get("units") == "inch");
    Ok(html! {
        (form::state(&look))
        @for input in INPUTS { (form::understood(input, &look)) }
        (form::sums(&look))
    })
}

/// The vehicle of the measuring sheet; the same for everybody, so that a browser may keep it.
async fn picture(Query(asked): Query<Asked>) -> Response {
    let of = Some(asked.of.as_str()).filter(|key| !key.is_empty());
    let svg = kit::measuring_picture(of, asked.units == "inch");
    let keep = (header::CACHE_CONTROL, "private, max-age=3600");
    ([keep], send::svg(svg)).into_response()
}

async fn measuring_sheet(Query(asked): Query<Asked>) -> Result<Response, Refusal> {
    let inches = asked.units == "inch";
    let paper = match asked.paper.as_str() {
        "" => Paper::usual(inches),
        paper => Paper::parse(paper).map_err(Refusal::input)?,
    };
    let files = kit::measuring_sheet(&paper, inches, None)?;
    let name = files.names().next().unwrap_or_default().to_owned();
    let bytes = files.content(&name).map_err(|error| {
        Refusal::input(format!("The measuring sheet could not be made: {error}."))
    })?;
    Ok(send::download(&name, bytes))
}
