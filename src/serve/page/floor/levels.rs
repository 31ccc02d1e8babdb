//! The heights of the floor: typed row by row as readings are, and said in the two sentences that the record has.

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    response::Response,
    routing::{get, post},
};
use maud::{Markup, html};
use serde::Deserialize;

use super::{
    answer,
    entry::{Entry, Reading, Sent},
    form::{LineOf, OpenForm, fill, gone},
    lost, parts,
    typed::{Takes, cell_length, typed, understood, unit},
};
use crate::{
    job::Job,
    kit::{Form, JudgedFloor, Kit},
    serve::{
        app::App,
        fields::Fields,
        jobs::JobFile,
        page::{Place, Step, page},
        refusal::Refusal,
    },
    shop::{FormFile, Name},
    words::Spelling,
};

/// Least number of heights that make a plane.
const LEAST: usize = 3;

/// Columns that heights are written into: what a staff reads grows as the floor falls.
const COLUMNS: [(&str, &str); 2] = [
    ("staff", "what the staff reads"),
    ("height", "heights, upwards"),
];

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/floor/levels", get(show))
        .route("/jobs/{job}/floor/levels/reading", post(save))
}

/// What was chosen, and where somebody came from.
#[derive(Debug, Default, Deserialize)]
struct Asked {
    /// The column that is typed into, while nothing is.
    #[serde(rename = "as")]
    column: Option<String>,
    /// The row that was saved.
    saved: Option<usize>,
}

/// A job with its form of heights, judged.
#[derive(Debug)]
pub struct Heights {
    name: Name,
    job: Arc<Job>,
    file: JobFile,
    form: OpenForm,
    /// What the heights say; `None` where fewer are read than make a plane.
    pub said: Option<Result<Vec<String>, Vec<String>>>,
}

impl Heights {
    /// Opens the heights of a job: on a thread for work.
    ///
    /// # Errors
    /// A job that is not there or has faults, or a form that cannot be read.
    pub fn open(app: &App, name: &Name) -> Result<Self, Refusal> {
        let file = JobFile::read(&app.shop, name)?;
        let job = app.resolved(&file)?;
        let form = OpenForm::open(app, &file, &Kit::of(Job::clone(&job)), Form::Levels)?;
        let bytes = form.kept.text.as_bytes();
        let judge = || {
            let judged = JudgedFloor::read(Form::Levels.file(), bytes, &job);
            judged
                .map(|judged| judged.sentences())
                .map_err(|faults| faults.list().iter().map(ToString::to_string).collect())
        };
        let said = (read(&form.table) >= LEAST).then(judge);
        Ok(Self {
            name: name.clone(),
            job,
            file,
            form,
            said,
        })
    }

    /// The text of the form.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.form.kept.text
    }

    /// True where any height is read.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        read(&self.form.table) > 0
    }

    fn base(&self) -> String {
        format!("{}/levels", Step::Floor.of(&self.name))
    }

    /// The column that is typed into: the one that has heights already, else the one that is asked for.
    fn column(&self, asked: Option<&str>) -> &'static str {
        let filled = |(column, _): &&(&'static str, &str)| {
            let mut rows = 0..self.form.table.rows().len();
            rows.any(|row| !self.form.table.cell(row, column).is_empty())
        };
        let chosen = COLUMNS.iter().find(|(column, _)| Some(*column) == asked);
        COLUMNS
            .iter()
            .find(filled)
            .or(chosen)
            .map_or(COLUMNS[0].0, |(column, _)| column)
    }
}

/// Rows with a height.
fn read(table: &FormFile) -> usize {
    let has = |row: &usize| {
        COLUMNS
            .iter()
            .any(|(column, _)| !table.cell(*row, column).is_empty())
    };
    (0..table.rows().len()).filter(has).count()
}

/// What a row of heights is of, with its place.
fn place(table: &FormFile, row: usize) -> String {
    let cell = |base| table.cell(row, base);
    format!("{} {} {}", cell("at"), cell("x"), cell("y"))
}

async fn show(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Refusal> {
    let name = Name::parse(&job)?;
    let work = app.clone();
    let heights = app.work.run(move || Heights::open(&work, &name)).await?;
    let column = heights.column(asked.column.as_deref());
    let sent = asked.saved.map(|row| (row, Sent::Saved));
    Ok(whole(&heights, column, sent.as_ref()))
}

fn whole(heights: &Heights, column: &'static str, sent: Option<&(usize, Sent)>) -> Markup {
    let table = &heights.form.table;
    let focus = sent.map(|(row, sent)| match sent {
        Sent::Saved => (row + 1..table.rows().len())
            .find(|row| table.cell(*row, column).is_empty())
            .unwrap_or(*row),
        _ => *row,
    });
    page(
        Place::Job(&heights.name, Step::Floor),
        "Heights of the floor",
        &html! {
            h1 { "Heights of the floor" }
            (parts(&heights.name, Form::Levels))
            p { "With a level or a rotating laser: read the staff on every mark and below the four wheels. Rows that are not read stay empty." }
            (choice(heights, column))
            (lost(&heights.form))
            (progress(heights))
            div.floor {
            section aria-labelledby="heights-heading" data-readings={ (heights.name) " levels" } {
                h2 id="heights-heading" { "Readings" }
                p.heard id="heard" role="status" {}
                    div id="kept-readings" {}
                ol.readings { @for row in 0..table.rows().len() { (item(heights, column, row, sent, focus)) } }
            }
            (verdict(heights))
            }
            p { a.button href=(Step::Record.of(&heights.name)) { "Go on to the record" } }
        },
    )
}

/// Which of the two columns is typed into.
fn choice(heights: &Heights, column: &str) -> Markup {
    html! {
        @if heights.is_begun() {
            p { "The numbers are " strong { @for (one, words) in COLUMNS { @if one == column { (words) } } } "." }
        } @else {
            nav aria-label="What the numbers are" {
                span { "The numbers are: " }
                ul {
                    @for (one, words) in COLUMNS {
                        li { a href=(format!("{}?as={one}", heights.base())) aria-current=[(one == column).then_some("true")] { (words) } }
                    }
                }
            }
        }
    }
}

fn progress(heights: &Heights) -> Markup {
    let table = &heights.form.table;
    html! {
        p.progress id="progress" {
            strong { (read(table)) " of " (table.rows().len()) " read" }
            @if read(table) > 0 { " · " a href="#verdict" { "What they say" } }
        }
    }
}

fn verdict(heights: &Heights) -> Markup {
    let spelling = Spelling::of(&heights.job);
    html! {
        section id="verdict" {
            h2 { "What the heights say" }
            @match &heights.said {
                None => p { "Three heights make a plane, and a fourth checks it. Read more, then this says how the floor falls." },
                Some(Ok(sentences)) => {
                    @for (index, sentence) in sentences.iter().enumerate() {
                        p.headline[index == 0] id=[(index == 0).then_some("headline")] { (spelling.text(sentence)) }
                    }
                }
                Some(Err(sentences)) => {
                    div.faults role="alert" { ul { @for sentence in sentences { li { (sentence) } } } }
                }
            }
        }
    }
}

fn item(
    heights: &Heights,
    column: &'static str,
    row: usize,
    sent: Option<&(usize, Sent)>,
    focus: Option<usize>,
) -> Markup {
    let (table, inches) = (&heights.form.table, heights.job.inches);
    let (at, line, cell) = (
        table.cell(row, "at"),
        place(table, row),
        table.cell(row, column),
    );
    let action = format!("{}/reading", heights.base());
    let said = match cell_length(cell, inches) {
        Some(_) => understood(cell, inches).unwrap_or_default(),
        None => "This is no length; type it again.".to_owned(),
    };
    let entry = Entry {
        action: &action,
        index: row,
        name: at,
        line: &line,
        column,
        takes: Takes::Height,
        cell,
        unit: unit(inches),
        label: html! { strong.mark { (at) } " " span.quiet { (table.cell(row, "what")) } },
        said: html! { (said) },
        first: focus == Some(row),
    };
    let of_row = sent.filter(|(index, _)| *index == row);
    entry.item(of_row.map_or(&Sent::Nothing, |(_, sent)| sent))
}

async fn save(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Response, Refusal> {
    let (name, reading) = (Name::parse(&job)?, Reading::of(&fields));
    let (work, sent) = (app.clone(), reading.clone());
    let done = app.work.run(move || put(&work, &name, &sent));
    let (heights, sent) = done.await?;
    let column = heights.column(Some(&reading.column));
    let base = heights.base();
    let sent = (reading.row, sent);
    let live = || {
        html! {
            @for row in 0..heights.form.table.rows().len() { (item(&heights, column, row, Some(&sent), None)) }
            (progress(&heights))
            (verdict(&heights))
        }
    };
    Ok(answer(
        &sent.1,
        reading.live,
        live,
        || whole(&heights, column, Some(&sent)),
        &base,
        reading.row,
    ))
}

/// Types a height into the form; on a thread for work.
fn put(app: &App, name: &Name, reading: &Reading) -> Result<(Heights, Sent), Refusal> {
    let heights = Heights::open(app, name)?;
    let column = heights.column(Some(&reading.column));
    if column != reading.column {
        return Err(gone());
    }
    let cell = match typed(&reading.text, "", Takes::Height, heights.job.inches) {
        Ok(typed) => typed.cell,
        Err(why) => {
            let (text, side) = (reading.text.clone(), String::new());
            return Ok((heights, Sent::Wrong { text, side, why }));
        }
    };
    let to = (&heights.file, Form::Levels, place as LineOf);
    let sent = fill(&app.shop, to, reading, (column, &cell))?;
    Ok((Heights::open(app, name)?, sent))
}
