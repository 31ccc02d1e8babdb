//! The page `record`: who, what and when, and the record of the floor for the customer's file.

mod make;
mod shelf;

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    response::{IntoResponse as _, Redirect, Response},
    routing::get,
};
use maud::{Markup, html};
use serde::Deserialize;

use self::make::{Made, make, preview, today};
use super::{Place, Step, encoded, faults, floor::Floor, page};
use crate::{
    serve::{
        app::App,
        fields::Fields,
        jobs::{JobFile, resolve},
        refusal::Refusal,
        send,
    },
    shop::{Document, Name, RecordEntry, Shelf, ShopError, Version},
    survey::Verdict,
    words::Spelling,
};

/// The fields of a record: key in the job, what it is called, an example or what it is for.
const FIELDS: [(&str, &str, &str); 7] = [
    ("workshop", "Workshop", ""),
    ("order", "Order number", ""),
    (
        "vehicle_id",
        "The vehicle in the workshop",
        "fleet number or plate",
    ),
    ("technician", "Who laid it out and taped it", ""),
    ("date", "Date", ""),
    (
        "service_information",
        "Service information",
        "document and page that the numbers came from",
    ),
    ("note", "Note", "one line"),
];

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/record", get(show).post(save))
        .route("/jobs/{job}/record.svg", get(picture))
        .merge(shelf::routes())
}

/// What was done before the page was asked for.
#[derive(Debug, Default, Deserialize)]
struct After {
    /// True where the fields were saved.
    #[serde(default)]
    saved: bool,
}

async fn show(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    Query(after): Query<After>,
) -> Result<Markup, Refusal> {
    let name = Name::parse(&job)?;
    let file = JobFile::read(&app.shop, &name)?;
    let values = stored(&file);
    let typed = Typed {
        version: file.kept.version.clone(),
        values,
    };
    whole(&app, &name, &typed, &[], after.saved).await
}

/// The fields as they stand on the page.
struct Typed {
    version: Version,
    values: Vec<(&'static str, String)>,
}

impl Typed {
    fn get(&self, key: &str) -> &str {
        let found = self.values.iter().find(|(name, _)| *name == key);
        found.map_or("", |(_, text)| text)
    }
}

/// What a job's file has; a date that is missing is today's.
fn stored(file: &JobFile) -> Vec<(&'static str, String)> {
    FIELDS
        .iter()
        .map(|(key, ..)| {
            let text = file.document.get(&["record", key]).unwrap_or_default();
            let is_missing = text.is_empty() && *key == "date";
            (*key, if is_missing { today() } else { text })
        })
        .collect()
}

async fn whole(
    app: &Arc<App>,
    name: &Name,
    typed: &Typed,
    wrong: &[String],
    saved: bool,
) -> Result<Markup, Refusal> {
    let (work, of) = (app.clone(), name.clone());
    // The fields can be typed whatever is wrong with the layout.
    let floor = app.work.run(move || Floor::open(&work, &of)).await;
    let records = of_job(app, name);
    Ok(page(
        Place::Job(name, Step::Record),
        "Record",
        &html! {
            h1 { "Record" }
            @if saved { div.saved role="status" { p { "Saved." } } }
            (faults(wrong))
            (standing(name, &floor))
            form method="post" {
                input type="hidden" name="version" value=(typed.version.as_str());
                div.fields { @for field in FIELDS { (input(field, typed.get(field.0))) } }
                p.buttons {
                    button name="then" value="save" { "Save" }
                    " "
                    button id="make" name="then" value="make" { "Save and make the record" }
                }
                p.hint { "The record goes into a folder of its own, with the readings, the job and its kit. A record that is there already stays as it is." }
            }
            @if !records.is_empty() {
                h2 { "Records of this job" }
                ul { @for record in &records { li { a href=(shelf::address(&record.name)) { (record.name) } } } }
            }
            @if let Ok(floor) = &floor && floor.known().is_some() {
                h2 { "How it will look" }
                p { "The page to print, without what was typed above since it was saved last." }
                img.picture id="record-picture" src=(preview_address(name, floor))
                    alt="The record as one page: verdict, picture, marks and readings.";
            }
        },
    ))
}

fn preview_address(name: &Name, floor: &Floor) -> String {
    let version = Version::of(
        [
            floor.form.kept.version.as_str(),
            floor.file.kept.version.as_str(),
        ]
        .concat()
        .as_bytes(),
    );
    format!("/jobs/{}/record.svg?v={}", encoded(name), version.as_str())
}

/// What the floor says, before a record is made of it.
fn standing(name: &Name, floor: &Result<Floor, Refusal>) -> Markup {
    let to_floor = html! { p { a href=(Step::Floor.of(name)) { "To the floor" } } };
    let floor = match floor {
        Ok(floor) => floor,
        Err(refusal) => {
            return html! {
                div.warning id="standing" {
                    p { strong { "No record can be made yet." } }
                    ul { @for sentence in refusal.sentences() { li { (sentence) } } }
                }
            };
        }
    };
    let spelling = Spelling::of(&floor.job);
    html! {
        @match &floor.judged {
            None => {
                div.warning id="standing" {
                    p { strong { "Nothing is read yet." } " A record is of what was taped: type the readings first." }
                    (to_floor)
                }
            }
            Some(Err(sentences)) => {
                div.warning id="standing" {
                    p { strong { "The readings cannot be judged, so no record can be made of them." } }
                    ul { @for sentence in sentences { li { (sentence) } } }
                    (to_floor)
                }
            }
            Some(Ok(judged)) => {
                @let verdict = judged.assessment.verdict;
                @let is_open = matches!(verdict, Some(Verdict::Outside | Verdict::Undecided));
                div class=(if is_open { "warning" } else { "saved" }) id="standing" {
                    p { strong { (spelling.text(&judged.words.headline)) } }
                    @if is_open {
                        p { "A record can be made anyway: it says so. What is left to do stands under Floor." }
                        (to_floor)
                    }
                }
            }
        }
    }
}

fn input((key, name, hint): (&str, &str, &str), value: &str) -> Markup {
    let kind = if key == "date" { "date" } else { "text" };
    html! {
        p {
            label for=(key) { (name) }
            input id=(key) name=(key) type=(kind) value=(value) maxlength="120" autocomplete="off"
                aria-describedby=[(!hint.is_empty()).then(|| format!("{key}-hint"))];
            @if !hint.is_empty() { span.hint id=(format!("{key}-hint")) { (hint) } }
        }
    }
}

/// Records that were made of a job, the newest first.
fn of_job(app: &App, name: &Name) -> Vec<RecordEntry> {
    let mut all = RecordEntry::all(&app.shop);
    all.retain(|record| make::is_of(record.name.as_str(), name));
    all
}

async fn save(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Response, Refusal> {
    let name = Name::parse(&job)?;
    let typed = Typed {
        version: Version::from_text(fields.get("version")),
        values: FIELDS
            .iter()
            .map(|(key, ..)| (*key, fields.get(key).to_owned()))
            .collect(),
    };
    let mut file = JobFile::read(&app.shop, &name)?;
    for (key, text) in &typed.values {
        file.document.set(&["record", key], text);
    }
    let text = file.document.text();
    let wrong = new_faults(&app, &file, &text).await?;
    if !wrong.is_empty() {
        return Ok(whole(&app, &name, &typed, &wrong, false)
            .await?
            .into_response());
    }
    let written = app.shop.write_file(&file.path, &typed.version, &text);
    if let Err(ShopError::Changed { .. }) = written {
        return conflict(&app, &name, &file, typed).await;
    }
    written?;
    if fields.get("then") != "make" {
        let to = format!("{}?saved=true", Step::Record.of(&name));
        return Ok(Redirect::to(&to).into_response());
    }
    let (work, of) = (app.clone(), name.clone());
    match app.work.run(move || make(&work, &of)).await? {
        Made::Record(record) => Ok(Redirect::to(&shelf::address(&record)).into_response()),
        Made::NothingRead => {
            let typed = Typed {
                version: Version::of(text.as_bytes()),
                ..typed
            };
            let why = "Your fields are saved, but there is nothing to make a record of: type the readings under Floor first.";
            Ok(whole(&app, &name, &typed, &[why.to_owned()], false)
                .await?
                .into_response())
        }
    }
}

/// What is wrong with a job since the fields were typed: what was wrong before is said under its own step.
async fn new_faults(app: &Arc<App>, file: &JobFile, text: &str) -> Result<Vec<String>, Refusal> {
    let (path, before, text) = (file.path.clone(), file.kept.text.clone(), text.to_owned());
    let look = move || {
        let of = |text: &str| match resolve(text, &path, false) {
            Ok(_) => Vec::new(),
            Err(faults) => faults
                .list()
                .iter()
                .map(|fault| fault.message.clone())
                .collect(),
        };
        let known = of(&before);
        let mut new: Vec<String> = of(&text);
        new.retain(|message| !known.contains(message));
        Ok::<_, Refusal>(new)
    };
    app.work.run(look).await
}

/// Somebody else saved the job in the meantime: what they wrote is said beside what was typed, which stays on the page and can be saved
/// over it.
async fn conflict(
    app: &Arc<App>,
    name: &Name,
    file: &JobFile,
    typed: Typed,
) -> Result<Response, Refusal> {
    let theirs = Document::read(&file.kept.text).map_err(Refusal::input)?;
    let differing = FIELDS.iter().filter_map(|(key, words, _)| {
        let theirs = theirs.get(&["record", key]).unwrap_or_default();
        (theirs != typed.get(key)).then(|| {
            let theirs = if theirs.is_empty() {
                "nothing"
            } else {
                &theirs
            };
            format!("{words}: there stands {theirs}.")
        })
    });
    let wrong: Vec<String> = std::iter::once(
        "Not saved yet: somebody else changed this job in the meantime. What you typed is below; save it again to write it over."
            .to_owned(),
    )
    .chain(differing)
    .collect();
    let typed = Typed {
        version: file.kept.version.clone(),
        ..typed
    };
    let page = whole(app, name, &typed, &wrong, false).await?;
    Ok((axum::http::StatusCode::CONFLICT, page).into_response())
}

async fn picture(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
) -> Result<Response, Refusal> {
    let name = Name::parse(&job)?;
    let work = app.clone();
    let drawn = app.work.run(move || preview(&work, &name)).await?;
    Ok(send::svg(drawn))
}

/// Records lie on a shelf of their own.
const SHELF: Shelf = Shelf::Records;
