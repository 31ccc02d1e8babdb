//! The list of jobs, and a new one.

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    response::Redirect,
    routing::{get, post},
};
use maud::{Markup, html};
use serde::Deserialize;

use super::{Place, Step, encoded, encoded_text, page, shelf};
use crate::{
    job::{TEMPLATES, VEHICLES},
    serve::{app::App, fields::Fields, refusal::Refusal},
    shop::{Document, Name, Shelf, ShopError, name_from},
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/", get(list))
        .route("/jobs", post(create))
        .route(
            "/jobs/{job}",
            get(|Path(job): Path<String>| async move {
                Redirect::to(&format!("/jobs/{}/vehicle", encoded_text(&job)))
            }),
        )
        .route("/jobs/{job}/copy", post(copy))
        .route("/jobs/{job}/put-away", post(put_away))
}

/// A search in a list.
#[derive(Debug, Default, Deserialize)]
pub struct Search {
    /// Words that all have to be there.
    #[serde(default)]
    pub find: String,
}

struct Listed {
    name: Name,
    vehicle: String,
    order: String,
    date: String,
}

fn jobs(app: &App, find: &str) -> Vec<Listed> {
    let listed = app.shop.names(Shelf::Jobs).into_iter().map(|name| {
        let text = app
            .shop
            .read(Shelf::Jobs, &name)
            .map(|kept| kept.text)
            .unwrap_or_default();
        let document = Document::read(&text).ok();
        let field = |path: &[&str]| {
            document
                .as_ref()
                .and_then(|document| document.get(path))
                .unwrap_or_default()
        };
        Listed {
            vehicle: shelf::shown(&field(&["vehicle"])),
            order: field(&["record", "order"]),
            date: field(&["record", "date"]),
            name,
        }
    });
    let find = find.to_lowercase();
    let matches = |job: &Listed| {
        let all = [job.name.as_str(), &job.vehicle, &job.order, &job.date]
            .join(" ")
            .to_lowercase();
        find.split_whitespace().all(|word| all.contains(word))
    };
    listed.filter(matches).collect()
}

async fn list(State(app): State<Arc<App>>, Query(search): Query<Search>) -> Markup {
    let jobs = jobs(&app, &search.find);
    page(
        Place::At("/"),
        "Jobs",
        &html! {
            h1 { "Jobs" }
            section {
                h2 { "A new job" }
                p { "One job is one vehicle with one layout, once." }
                form method="post" action="/jobs" {
                    div.fields {
                        p { label for="name" { "Name or order number" } input id="name" name="name" required maxlength="60" autocomplete="off"; }
                        p { label for="vehicle" { "Vehicle" } (shelf::choice(&app, Shelf::Vehicles, "vehicle", "")) }
                        p { label for="template" { "Layout template" } (shelf::choice(&app, Shelf::Templates, "template", "")) }
                        fieldset {
                            legend { "Lengths in" }
                            label { input type="radio" name="units" value="mm" checked; " mm" }
                            label { input type="radio" name="units" value="inch"; " inches" }
                        }
                    }
                    p { button { "Start this job" } }
                    p { "Not measured yet? Print the " a href="/measuring-sheet.pdf" { "measuring sheet" } " (" a href="/measuring-sheet.pdf?units=inch&paper=Letter" { "in inches, Letter" } "), measure the vehicle, and choose “a new vehicle” here." }
                }
            }
            section {
                h2 { "Jobs in this shop" }
                (finder("/", &search.find))
                @if jobs.is_empty() { p { "No job here yet, or none with these words." } }
                @else { (table(&jobs)) }
            }
        },
    )
}

/// A field to search a list by.
#[must_use]
pub fn finder(action: &str, find: &str) -> Markup {
    html! {
        form.finder method="get" action=(action) role="search" {
            label for="find" { "Find" }
            input id="find" type="search" name="find" value=(find);
            button { "Find" }
        }
    }
}

fn table(jobs: &[Listed]) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "Job" } th scope="col" { "Vehicle" } th scope="col" { "Order" } th scope="col" { "Date" } th scope="col" { "More" } } }
            tbody {
                @for job in jobs {
                    tr {
                        td { a href=(Step::Vehicle.of(&job.name)) { (job.name) } }
                        td { (job.vehicle) }
                        td { (job.order) }
                        td { (job.date) }
                        td { (more("jobs", &job.name)) }
                    }
                }
            }
        }
    }
}

/// Copy, and put away.
#[must_use]
pub fn more(folder: &str, name: &Name) -> Markup {
    let address = format!("/{folder}/{}", encoded(name));
    html! {
        details {
            summary aria-label=(format!("Copy, put away {name}")) { "Copy, put away" }
            form method="post" action={ (address) "/copy" } {
                label { "Name of the copy " input name="name" required maxlength="60" value={ (name) " copy" }; }
                button { "Copy" }
            }
            form method="post" action={ (address) "/put-away" } { button { "Put away" } p { "It stays in the folder archive." } }
        }
    }
}

async fn create(State(app): State<Arc<App>>, fields: Fields) -> Result<Redirect, Refusal> {
    let name = name_from(fields.get("name"))?;
    let template = shelf::checked(&app, Shelf::Templates, fields.get("template"))?;
    if app.shop.path(Shelf::Jobs, &name).exists() {
        return Err(ShopError::Taken {
            what: Shelf::Jobs.one(),
            name: name.to_string(),
        }
        .into());
    }
    let vehicle = shelf::chosen_vehicle(&app, fields.get("vehicle"), &name)?;
    let mut job = Document::read("format = \"job/1\"\n").map_err(Refusal::input)?;
    job.set(&["vehicle"], &vehicle);
    job.set(&["template"], template);
    job.set(
        &["units"],
        if fields.get("units") == "inch" {
            "inch"
        } else {
            "mm"
        },
    );
    job.set(&["record", "order"], fields.get("name"));
    app.shop.create(Shelf::Jobs, &name, &job.text())?;
    Ok(Redirect::to(&Step::Vehicle.of(&name)))
}

async fn copy(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let (from, to) = (Name::parse(&job)?, name_from(fields.get("name"))?);
    let text = app.shop.read(Shelf::Jobs, &from)?.text;
    let mut document = Document::read(&text).map_err(Refusal::input)?;
    // A copy is for another time: its readings, date and order are not those of the first.
    document.set(&["record", "date"], "");
    document.set(&["record", "order"], "");
    app.shop.create(Shelf::Jobs, &to, &document.text())?;
    Ok(Redirect::to(&Step::Vehicle.of(&to)))
}

async fn put_away(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
) -> Result<Redirect, Refusal> {
    app.shop.put_away(Shelf::Jobs, &Name::parse(&job)?)?;
    Ok(Redirect::to("/"))
}

/// All vehicles and templates that a job can name without a file.
#[must_use]
pub fn built_in(shelf: Shelf) -> Vec<&'static str> {
    match shelf {
        Shelf::Vehicles => VEHICLES.iter().map(|built_in| built_in.name).collect(),
        Shelf::Templates => TEMPLATES.iter().map(|built_in| built_in.name).collect(),
        _ => Vec::new(),
    }
}
