//! The page `floor`: readings are typed where the layout lies, judged at once, and kept in the form beside the job.

mod entry;
mod form;
mod levels;
mod row;
mod state;
mod typed;
mod verdict;

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse as _, Redirect, Response},
    routing::{get, post},
};
use maud::{Markup, html};
use serde::Deserialize;

pub use self::{levels::Heights, state::Floor};

use self::{
    entry::{Entry, Reading, Sent},
    form::{LineOf, OpenForm, fill, gone},
    row::{Group, Row, identity, line},
    typed::{typed, unit},
    verdict::{next, progress, section},
};
use super::{Place, Step, page};
use crate::{
    job::Job,
    kit::{Form, Kit},
    serve::{app::App, fields::Fields, refusal::Refusal, send},
    shop::{FormFile, Name, ShopError},
    units::{inch_cell, mm_exact},
    words::{Lengths, Spelling, printed::lays},
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/floor", get(show))
        .route("/jobs/{job}/floor/reading", post(save))
        .route("/jobs/{job}/floor/add", post(add))
        .route("/jobs/{job}/floor/displacements.svg", get(picture))
        .merge(levels::routes())
}

/// Where somebody came from.
#[derive(Debug, Default, Deserialize)]
pub struct After {
    /// The row that was saved.
    pub saved: Option<usize>,
}

async fn show(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    Query(after): Query<After>,
) -> Result<Markup, Refusal> {
    let name = Name::parse(&job)?;
    let work = app.clone();
    let floor = app.work.run(move || Floor::open(&work, &name)).await?;
    let sent = after.saved.map(|row| (row, Sent::Saved));
    Ok(whole(&floor, sent.as_ref()))
}

fn base(name: &Name) -> String {
    Step::Floor.of(name)
}

/// The page, with what became of the row that was sent.
fn whole(floor: &Floor, sent: Option<&(usize, Sent)>) -> Markup {
    let focus = match sent {
        Some((row, Sent::Saved)) => {
            Some(next(&floor.groups, Some(*row)).map_or(*row, |row| row.index))
        }
        Some((row, _)) => Some(*row),
        None => None,
    };
    page(
        Place::Job(&floor.name, Step::Floor),
        "Floor",
        &html! {
            h1 { "Floor" }
            (parts(&floor.name, Form::Readings))
            (introduction(floor))
            (lost(&floor.form))
            (progress(&floor.groups, floor.found()))
            div.floor {
                section aria-labelledby="readings-heading" data-readings={ (floor.name) " readings" } {
                    h2 id="readings-heading" { "Readings" }
                    p.heard id="heard" role="status" {}
                    div id="kept-readings" {}
                    @for group in floor.groups.iter().filter(|group| !group.below_body) { (lay(floor, group, sent, focus)) }
                    @if floor.groups.iter().any(|group| group.below_body) {
                        h3 { (lays::BELOW_BODY) }
                        p { (Spelling::of(&floor.job).text(lays::HOW_BELOW)) }
                        @for group in floor.groups.iter().filter(|group| group.below_body) { (lay(floor, group, sent, focus)) }
                    }
                }
                (verdict_of(floor))
            }
            p { a.button href=(Step::Record.of(&floor.name)) { "Go on to the record" } }
        },
    )
}

/// The two forms of the step.
fn parts(name: &Name, now: Form) -> Markup {
    let base = base(name);
    let levels = format!("{base}/levels");
    html! {
        nav aria-label="Forms of this step" {
            ul {
                li { a href=(base) aria-current=[(now == Form::Readings).then_some("true")] { "Taped readings" } }
                li { a href=(levels) aria-current=[(now == Form::Levels).then_some("true")] { "Heights of the floor" } }
            }
        }
    }
}

fn introduction(floor: &Floor) -> Markup {
    let inches = floor.job.inches;
    let unit = if inches { "inches" } else { "mm" };
    html! {
        @if floor.groups.is_empty() {
            div.warning { p { "This layout has no lays to check it by. Give it lays under Layout (checks), or tape what you can and type it with the command `baystencil check`." } }
        } @else {
            p {
                "Tape lay by lay in this order, and type what you read, in " (unit) ". Another unit is understood where you type it behind the number. "
                "Each reading is saved by itself; two phones may type into one job."
            }
            details {
                summary { "What the words mean" }
                p { (Spelling::of(&floor.job).text(lays::HOW)) }
                p { "± is how much a reading may differ before something has to be done. Whether the marks lie within their tolerances is said below, from all readings together." }
            }
        }
    }
}

/// What stands in forms of earlier layouts and not in this one.
fn lost(form: &OpenForm) -> Markup {
    html! {
        @if let Some((file, rows)) = &form.earlier.lost {
            div.warning id="lost" {
                p { strong { "The layout was changed after something was read." } " What still stands was taken over. These readings no longer stand, and have to be taped again: " (rows.join(", ")) "." }
                p { "Nothing is lost: the file as it was is beside the job as “" (file) "”." }
            }
        }
        @if !form.earlier.blank.is_empty() {
            details.warning id="earlier" {
                summary { "Readings of rows that are empty now" }
                p { "The layout was changed and changed back. Type again what still holds, where the marks were not moved since:" }
                ul { @for (file, row, text) in &form.earlier.blank { li { (row) ": " (text) " (in “" (file) "”)" } } }
            }
        }
    }
}

fn lay(floor: &Floor, group: &Group, sent: Option<&(usize, Sent)>, focus: Option<usize>) -> Markup {
    let action = format!("{}/reading", base(&floor.name));
    html! {
        h3 { (group.heading) }
        p.how { (group.how) }
        ol.readings {
            @for row in &group.rows { (item(floor, row, &action, sent, focus)) }
        }
    }
}

fn item(
    floor: &Floor,
    row: &Row,
    action: &str,
    sent: Option<&(usize, Sent)>,
    focus: Option<usize>,
) -> Markup {
    let inches = floor.job.inches;
    let of_row = sent.filter(|(index, _)| *index == row.index);
    let entry = Entry {
        action,
        index: row.index,
        name: &row.line,
        line: &row.identity,
        column: "",
        takes: row.takes,
        cell: &row.cell,
        unit: unit(inches),
        label: row.label(inches),
        said: row.said(inches),
        first: focus == Some(row.index),
    };
    entry.item(of_row.map_or(&Sent::Nothing, |(_, sent)| sent))
}

fn verdict_of(floor: &Floor) -> Markup {
    let spelling = Spelling::of(&floor.job);
    let place = (base(&floor.name), floor.form.kept.version.as_str());
    section((&place.0, place.1), &floor.groups, floor.found(), |text| {
        spelling.text(text)
    })
}

/// What the script puts in place of what the page has: every row, how far the work is, and the verdict.
fn live(floor: &Floor, sent: &(usize, Sent)) -> Markup {
    let action = format!("{}/reading", base(&floor.name));
    html! {
        @for row in floor.groups.iter().flat_map(|group| &group.rows) { (item(floor, row, &action, Some(sent), None)) }
        (progress(&floor.groups, floor.found()))
        (verdict_of(floor))
    }
}

async fn save(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Response, Refusal> {
    let (name, reading) = (Name::parse(&job)?, Reading::of(&fields));
    let (work, sent) = (app.clone(), reading.clone());
    let done = app.work.run(move || put(&work, &name, &sent));
    let (floor, sent) = done.await?;
    Ok(answer(
        &sent,
        reading.live,
        || live(&floor, &(reading.row, sent.clone())),
        || whole(&floor, Some(&(reading.row, sent.clone()))),
        &base(&floor.name),
        reading.row,
    ))
}

/// The answer to a reading: parts for the script; without it the page again, at the row behind where it was saved.
fn answer(
    sent: &Sent,
    is_live: bool,
    live: impl FnOnce() -> Markup,
    whole: impl FnOnce() -> Markup,
    base: &str,
    row: usize,
) -> Response {
    let status = match sent {
        Sent::Saved | Sent::Nothing => StatusCode::OK,
        Sent::Wrong { .. } => StatusCode::UNPROCESSABLE_ENTITY,
        Sent::Twice { .. } => StatusCode::CONFLICT,
    };
    match (is_live, status) {
        (true, status) => (status, live()).into_response(),
        (false, StatusCode::OK) => {
            // Without a fragment: with one, browsers do not go to the field that is to be typed into next.
            Redirect::to(&format!("{base}?saved={row}")).into_response()
        }
        (false, status) => (status, whole()).into_response(),
    }
}

/// Types a reading into the form, and judges all of them; on a thread for work.
fn put(app: &App, name: &Name, reading: &Reading) -> Result<(Floor, Sent), Refusal> {
    let floor = Floor::open(app, name)?;
    let mut rows = floor.groups.iter().flat_map(|group| &group.rows);
    let row = rows.find(|row| row.index == reading.row && row.identity == reading.line);
    let Some(row) = row else {
        return Err(gone());
    };
    let lengths = Lengths {
        inches: floor.job.inches,
    };
    let wrong = |why| Sent::Wrong {
        text: reading.text.clone(),
        side: reading.side.clone(),
        why,
    };
    let read = typed(&reading.text, &reading.side, row.takes, floor.job.inches);
    let cell = match read {
        Err(why) => return Ok((floor, wrong(why))),
        Ok(typed) => {
            let absurd = typed.mm.and_then(|mm| row.absurd(mm, lengths));
            if let Some(why) = absurd {
                return Ok((floor, wrong(why)));
            }
            typed.cell
        }
    };
    let place = (&floor.file, Form::Readings, identity as LineOf);
    let sent = fill(&app.shop, place, reading, ("reading", &cell))?;
    Ok((Floor::open(app, name)?, sent))
}

async fn add(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let name = Name::parse(&job)?;
    let work = app.clone();
    let done = app.work.run(move || add_row(&work, &name, &fields));
    let (base, row) = done.await?;
    Ok(Redirect::to(&format!("{base}#reading-{row}")))
}

/// Adds a row for a reading that the verdict asks for; the number of the row, which may be there already.
fn add_row(app: &App, name: &Name, fields: &Fields) -> Result<(String, usize), Refusal> {
    let floor = Floor::open(app, name)?;
    let (kind, from, to) = (fields.get("kind"), fields.get("from"), fields.get("to"));
    let should_be = floor.should_be(from, to);
    if kind != "inline" && should_be.is_none() {
        return Err(Refusal::input(
            "There are no two marks of these names. Load the page again.",
        ));
    }
    let should_be = should_be.map_or_else(String::new, |mm| match floor.job.inches {
        true => inch_cell(mm),
        false => mm_exact(mm, 1),
    });
    let path = floor.file.beside(Form::Readings.file());
    let mut row = 0;
    app.shop.change_file(&path, |text| {
        let mut form = FormFile::read(Form::Readings.file(), text.as_bytes()).map_err(|why| {
            ShopError::Unreadable {
                path: path.clone(),
                why,
            }
        })?;
        let wanted = format!("{from}–{to}");
        row = (0..form.rows().len())
            .find(|&row| line(&form, row) == wanted)
            .unwrap_or(form.rows().len());
        if row == form.rows().len() {
            let texts = [
                ("kind", kind),
                ("from", from),
                ("to", to),
                ("should_be", should_be.as_str()),
            ];
            form.add(&texts);
        }
        Ok(form.text())
    })?;
    Ok((base(name), row))
}

impl Floor {
    /// How long a line should be between two points that were judged, mm.
    fn should_be(&self, from: &str, to: &str) -> Option<f64> {
        let points = &self.known()?.layout.network.points;
        let at = |name: &str| Some(points.iter().find(|point| point.id == name)?.start);
        Some(at(from)?.distance(at(to)?))
    }
}

async fn picture(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
) -> Result<Response, Refusal> {
    let name = Name::parse(&job)?;
    let work = app.clone();
    let drawn = app.work.run(move || {
        let floor = Floor::open(&work, &name)?;
        let judged = floor.known().cloned().ok_or_else(Refusal::missing)?;
        Ok::<_, Refusal>(Kit::of(Job::clone(&floor.job)).displacements(&judged))
    });
    Ok(send::svg(drawn.await?))
}
