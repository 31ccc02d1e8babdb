//! The records of the shop: listed, searched, shown, loaded, put away.

use std::{fs, sync::Arc};

use axum::{
    Router,
    extract::{Path, Query, State},
    response::{Redirect, Response},
    routing::{get, post},
};
use maud::{Markup, html};

use super::SHELF;
use crate::{
    output::OutputSet,
    serve::{
        app::App,
        page::{
            Place, encoded, encoded_text,
            home::{Search, finder},
            page,
        },
        refusal::Refusal,
        send,
    },
    shop::{Name, RecordEntry},
    source::read_bounded,
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/records", get(list))
        .route("/records/{record}", get(show))
        .route("/records/{record}/files/{file}", get(file))
        .route("/records/{record}/picture", get(picture))
        .route("/records/{record}/all", get(all))
        .route("/records/{record}/put-away", post(put_away))
}

/// The address of a record.
#[must_use]
pub fn address(record: &Name) -> String {
    format!("/records/{}", encoded(record))
}

async fn list(State(app): State<Arc<App>>, Query(search): Query<Search>) -> Markup {
    let mut records = RecordEntry::all(&app.shop);
    records.retain(|record| record.matches(&search.find));
    page(
        Place::At("/records"),
        "Records",
        &html! {
            h1 { "Records" }
            p { "Find one by order number, vehicle, date or name. With several words, all of them have to be there." }
            (finder("/records", &search.find))
            @if records.is_empty() { p { "No record here yet, or none with these words. A record is made in the last step of a job." } }
            @else { (table(&records)) }
        },
    )
}

fn table(records: &[RecordEntry]) -> Markup {
    html! {
        div.scroll {
            table id="records" {
                thead {
                    tr {
                        th scope="col" { "Record" } th scope="col" { "Date" } th scope="col" { "Order" } th scope="col" { "Vehicle" }
                        th scope="col" { "Laid by" } th scope="col" { "Load" }
                    }
                }
                tbody {
                    @for record in records {
                        tr {
                            th scope="row" { a href=(address(&record.name)) { (record.name) } }
                            td { (record.date) }
                            td { (record.order) }
                            td { (record.vehicle_id) }
                            td { (record.technician) }
                            td { (loads(&record.name)) }
                        }
                    }
                }
            }
        }
    }
}

fn loads(record: &Name) -> Markup {
    let address = address(record);
    html! {
        a href={ (address) "/files/record.pdf" } aria-label={ "PDF of " (record) } { "PDF" }
        " · "
        a href={ (address) "/all" } aria-label={ "ZIP of " (record) } { "ZIP" }
    }
}

async fn show(State(app): State<Arc<App>>, Path(record): Path<String>) -> Result<Markup, Refusal> {
    let name = Name::parse(&record)?;
    let names = files(&app, &name)?;
    let address = address(&name);
    Ok(page(
        Place::At("/records"),
        name.as_str(),
        &html! {
            h1 { (name) }
            p.buttons {
                a.button id="record-pdf" href={ (address) "/files/record.pdf" } { "Load record.pdf" }
                " "
                a.button id="record-zip" href={ (address) "/all" } { "Load everything as a ZIP" }
            }
            img.picture id="record-picture" src={ (address) "/picture" } alt="The record as one page: verdict, picture, marks and readings.";
            h2 { "Its files" }
            ul { @for name in &names { li { a href={ (address) "/files/" (encoded_text(name)) } { (name) } } } }
            p { "With these files the kit can be made again: " code { "baystencil kit job.toml --out DIR" } "." }
            details {
                summary { "Put this record away" }
                form method="post" action={ (address) "/put-away" } { button { "Put away" } p { "It stays in the folder archive." } }
            }
        },
    ))
}

/// Plain names of the files of a record, sorted.
fn files(app: &App, record: &Name) -> Result<Vec<String>, Refusal> {
    // One that is not there is refused in its own words.
    app.shop.read(SHELF, record)?;
    let entries = fs::read_dir(app.shop.path(SHELF, record));
    let entries = entries.into_iter().flatten().flatten();
    let plain = entries.filter_map(|entry| {
        let name = entry.file_name().into_string().ok()?;
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        (is_file && !name.starts_with('.')).then_some(name)
    });
    let mut names: Vec<String> = plain.collect();
    names.sort();
    Ok(names)
}

/// The bytes of a file that the record has.
fn bytes(app: &App, record: &Name, file: &str) -> Result<Vec<u8>, Refusal> {
    let names = files(app, record)?;
    let name = names.iter().find(|name| *name == file);
    let path = app
        .shop
        .path(SHELF, record)
        .join(name.ok_or_else(Refusal::missing)?);
    read_bounded(&path, "file").map_err(Refusal::input)
}

async fn file(
    State(app): State<Arc<App>>,
    Path((record, file)): Path<(String, String)>,
) -> Result<Response, Refusal> {
    let name = Name::parse(&record)?;
    let bytes = bytes(&app, &name, &file)?;
    // Many records lie in one folder once they are loaded: their pages carry the record's name.
    let loaded = match file.strip_prefix("record.") {
        Some(end) => format!("{name}.{end}"),
        None => file,
    };
    Ok(send::download(&loaded, bytes))
}

async fn picture(
    State(app): State<Arc<App>>,
    Path(record): Path<String>,
) -> Result<Response, Refusal> {
    let bytes = bytes(&app, &Name::parse(&record)?, "record.svg")?;
    Ok(send::svg(String::from_utf8_lossy(&bytes).into_owned()))
}

async fn all(State(app): State<Arc<App>>, Path(record): Path<String>) -> Result<Response, Refusal> {
    let name = Name::parse(&record)?;
    let work = app.clone();
    let of = name.clone();
    let zipped = app.work.run(move || {
        let mut set = OutputSet::new();
        for file in files(&work, &of)? {
            let content = bytes(&work, &of, &file)?;
            set.add(file, content);
        }
        send::zipped(of.as_str(), &set)
    });
    Ok(send::download(&format!("{name}.zip"), zipped.await?))
}

async fn put_away(
    State(app): State<Arc<App>>,
    Path(record): Path<String>,
) -> Result<Redirect, Refusal> {
    app.shop.put_away(SHELF, &Name::parse(&record)?)?;
    Ok(Redirect::to("/records"))
}
