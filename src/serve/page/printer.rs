//! A printer's scale test, and what was measured on it.

use std::sync::Arc;

use axum::{
    Router,
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse as _, Redirect, Response},
    routing::get,
};
use maud::{Markup, html};
use serde::Deserialize;

use super::{Place as At, faults, page};
use crate::{
    kit::{
        Measured, MeasuredFields, MeasuredTexts, PRINTER_TEST_FILE, PrinterTest, drops_correction,
    },
    paper::{Paper, Printer},
    serve::{app::App, fields::Fields, refusal::Refusal, send::download},
    shop::{Shelf, Version, name_from},
    source::{Faults, Place, Source},
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/printer-test", get(show).post(store))
        .route("/printer-test.pdf", get(test))
}

/// The page of the test, as it is asked for.
#[derive(Debug, Deserialize)]
struct Wanted {
    #[serde(default)]
    paper: String,
    #[serde(default)]
    units: String,
}

/// What the fields are called where one of them is wrong.
const FIELDS: MeasuredFields<'static> = MeasuredFields {
    of: "What the bars should measure",
    x: "Bar across",
    y: "Upright bar",
    diagonals: ["Diagonal A–C", "Diagonal D–B"],
    margins: [
        "Blank edge left",
        "Blank edge right",
        "Blank edge top",
        "Blank edge bottom",
    ],
    whole: "This printer",
    give: "type what both bars measure, or the blank edges",
    force: "tick “it is meant”",
};

/// What is measured on every test: name of the input, what it is.
const BARS: [(&str, &str); 2] = [
    ("x", "Bar across the upright page measures"),
    ("y", "Upright bar measures"),
];

/// What may be measured besides.
const MORE: [(&str, &str); 6] = [
    ("up", "Diagonal A–C measures"),
    ("down", "Diagonal D–B measures"),
    ("left", "Blank edge left"),
    ("right", "Blank edge right"),
    ("top", "Blank edge top"),
    ("bottom", "Blank edge bottom"),
];

async fn show() -> Markup {
    content(&Fields::default(), &[])
}

fn content(fields: &Fields, wrong: &[String]) -> Markup {
    page(
        At::At("/printers"),
        "Test a printer",
        &html! {
            h1 { "Test a printer" }
            p { "Printers print a little too large or too small. This page finds out by how much; the kit is then printed right." }
            ol {
                li { "Load the test: " a href="/printer-test.pdf?paper=A4" { "A4" } ", " a href="/printer-test.pdf?paper=Letter&units=inch" { "Letter in inches" } ". Print it at 100 %, on the paper of the kit." }
                li { "Let it lie for a minute. Measure both bars with a steel rule, from the outer edge of one end stroke to the same edge of the other." }
                li { "Type what you measured." }
            }
            (faults(wrong))
            form method="post" action="/printer-test" {
                div.fields {
                    p { label for="name" { "Name of the printer" } input id="name" name="name" required maxlength="60" value=(fields.get("name")) placeholder="office"; }
                    p { label for="of" { "Both bars should measure" } input id="of" name="of" value=(if fields.has("of") { fields.get("of") } else { "200 mm" }); }
                    (inputs(&BARS, fields))
                }
                details open[MORE.iter().any(|(name, _)| !fields.get(name).is_empty())] {
                    summary { "Diagonals and blank edges, if you measured them" }
                    div.fields { (inputs(&MORE, fields)) }
                }
                label { input type="checkbox" name="force" value="yes" checked[!fields.get("force").is_empty()]; " It is meant: the page is scaled on purpose" }
                p { button { "Store this printer" } }
            }
        },
    )
}

fn inputs(asked: &[(&str, &str)], fields: &Fields) -> Markup {
    html! {
        @for (name, what) in asked {
            p { label for=(name) { (what) } input id=(name) name=(name) value=(fields.get(name)) autocomplete="off"; }
        }
    }
}

async fn test(Query(wanted): Query<Wanted>) -> Result<Response, Refusal> {
    let inches = wanted.units == "inch";
    let paper = if wanted.paper.is_empty() {
        Ok(Paper::usual(inches))
    } else {
        Paper::parse(&wanted.paper)
    };
    let test =
        PrinterTest::of(&paper.map_err(Refusal::input)?, None, inches).map_err(Refusal::input)?;
    let failed = |error: &dyn std::fmt::Display| {
        Refusal::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The page could not be made",
            error.to_string(),
        )
    };
    let files = test.files(None).map_err(|error| failed(&error))?;
    let bytes = files
        .content(PRINTER_TEST_FILE)
        .map_err(|error| failed(&error))?;
    Ok(download(PRINTER_TEST_FILE, bytes))
}

async fn store(State(app): State<Arc<App>>, fields: Fields) -> Result<Response, Refusal> {
    let name = name_from(fields.get("name"))?;
    let path = app.shop.main_file(Shelf::Printers, &name);
    let former = app.shop.read_file(&path)?;
    let source = former
        .as_ref()
        .map(|kept| Source::new(&format!("{name}.toml"), &kept.text));
    let known = source.map(|source| Printer::read(&source)).transpose()?;
    let given = |name: &str| Some(fields.get(name).to_owned()).filter(|text| !text.is_empty());
    let [of, x, y, up, down, left, right, top, bottom] = [
        "of", "x", "y", "up", "down", "left", "right", "top", "bottom",
    ]
    .map(given);
    let texts = MeasuredTexts {
        of: of.as_deref(),
        x: x.as_deref(),
        y: y.as_deref(),
        diagonals: [up.as_deref(), down.as_deref()],
        margins: [
            left.as_deref(),
            right.as_deref(),
            top.as_deref(),
            bottom.as_deref(),
        ],
    };
    let forced = !fields.get("force").is_empty();
    // The test of this page is printed without a correction, so that what it measures is the whole one.
    let printer = refuse_half(&texts)
        .and_then(|()| Measured::read(&texts, &FIELDS, forced))
        .and_then(|measured| measured.profile(name.as_str(), None, forced, &FIELDS));
    let printer = match printer {
        Ok(printer) => printer,
        Err(faults) => {
            let wrong: Vec<String> = faults.list().iter().map(ToString::to_string).collect();
            return Ok(content(&fields, &wrong).into_response());
        }
    };
    let asked = fields.has("asked");
    if known
        .as_ref()
        .is_some_and(|known| !asked && drops_correction(known, &printer))
    {
        return Ok(ask_first(&fields).into_response());
    }
    let version = former.map_or_else(|| Version::from_text(""), |kept| kept.version);
    app.shop.write_file(&path, &version, &printer.written())?;
    Ok(Redirect::to("/printers").into_response())
}

/// Bars and diagonals count in pairs.
fn refuse_half(texts: &MeasuredTexts<'_>) -> Result<(), Faults> {
    let missing = |pair: [Option<&str>; 2], names: [&str; 2]| match pair {
        [Some(_), None] => Some(names[1].to_owned()),
        [None, Some(_)] => Some(names[0].to_owned()),
        _ => None,
    };
    let bars = missing([texts.x, texts.y], [FIELDS.x, FIELDS.y]);
    let diagonals = missing(texts.diagonals, FIELDS.diagonals);
    let faults = bars.into_iter().chain(diagonals).map(|field| {
        Place::whole(&field).fault("is missing; measure both of the pair, or leave both empty")
    });
    Faults::none_in(faults.collect())
}

/// A profile of this name holds another correction: nothing is stored before somebody says that it is meant.
fn ask_first(fields: &Fields) -> Markup {
    page(
        At::At("/printers"),
        "Test a printer",
        &html! {
            h1 { "There is a printer of this name" }
            p { "It has another correction. What you measured now takes its place." }
            form method="post" action="/printer-test" {
                @for (name, text) in &fields.0 { input type="hidden" name=(name) value=(text); }
                input type="hidden" name="asked" value="yes";
                p { button { "Replace it" } }
            }
            p { a href="/printers" { "Leave it as it is" } }
        },
    )
}
