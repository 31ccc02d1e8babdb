//! Step *Print*: paper, printer and way of printing; what the kit has in it, and what to do next.

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    response::{Redirect, Response},
    routing::get,
};
use maud::{Markup, html};
use serde::Deserialize;

use super::{Place, Step, faults, page, shelf};
use crate::{
    cover::Mode,
    job::JobSpec,
    kit::KitFiles,
    paper::{Paper, Roll},
    serve::{
        app::App,
        fields::Fields,
        jobs::JobFile,
        refusal::Refusal,
        send::{download, zipped},
    },
    shop::{Document, Name, Shelf, Version},
    source::Source,
    stencil::CutBy,
    words::{self, Spelling, laid_in_words},
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/print", get(show).post(save))
        .route("/jobs/{job}/kit.zip", get(whole))
        .route("/jobs/{job}/kit/{file}", get(file))
}

/// Values of the job that this step asks for.
const KEYS: [&str; 6] = ["paper", "roll", "printer", "mode", "cut_by", "overlap"];

#[derive(Deserialize)]
struct Asked {
    /// The kit is wanted now.
    #[serde(default)]
    kit: bool,
}

/// What a file of a kit is for, in the order of work; the files that are not listed are for other programs.
const PURPOSES: [(&str, &str, &str); 9] = [
    (
        "stencils.pdf",
        "Full-scale sheets",
        "Print at 100 %, one-sided. Page 1 first: measure its square and bars with a steel rule before you print the rest.",
    ),
    (
        "assembly.pdf",
        "How the strips lie",
        "Print at 100 % on office paper.",
    ),
    (
        "cut.pdf",
        "Cut paths, all loads",
        "For a cutting machine that reads PDF. Each load is a file cut-01.svg and cut-01.dxf too.",
    ),
    (
        "cut-map.pdf",
        "How the cut pieces lie",
        "Print on office paper.",
    ),
    (
        "overview.pdf",
        "Overview to carry",
        "One page. Print on office paper.",
    ),
    (
        "steps.pdf",
        "Setting-out steps",
        "For laying by tape and string. Print on office paper.",
    ),
    (
        "readings.csv",
        "Form for the readings",
        "Type the readings under Floor; this file is for a spreadsheet.",
    ),
    (
        "floor.svg",
        "The whole floor, full scale",
        "For a plotter or a sign shop.",
    ),
    (
        "floor-single.pdf",
        "The whole floor on one page",
        "For a banner. Ask the shop to print at 100 %.",
    ),
];

async fn show(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let made = if asked.kit {
        Some(app.kit(&file).await)
    } else {
        None
    };
    Ok(content(&app, &file, &file.document, &[], made.as_ref()))
}

fn content(
    app: &App,
    file: &JobFile,
    shown: &Document,
    wrong: &[String],
    made: Option<&Result<Arc<KitFiles>, Refusal>>,
) -> Markup {
    page(
        Place::Job(&file.name, Step::Print),
        "Print",
        &html! {
            h1 { "Print: " (file.name) }
            (faults(wrong))
            div.two {
                section { (settings(app, file, shown)) }
                section { (kit(file, made)) }
            }
        },
    )
}

fn settings(app: &App, file: &JobFile, shown: &Document) -> Markup {
    let value = |key: &str| shown.get(&[key]).unwrap_or_default();
    let inches = value("units") == "inch";
    let usual = Paper::usual(inches).name;
    let (paper, mode, cut_by, printer) = (
        value("paper"),
        value("mode"),
        value("cut_by"),
        value("printer"),
    );
    html! {
        h2 { "Paper and printer" }
        form method="post" action=(Step::Print.of(&file.name)) {
            input type="hidden" name="version" value=(file.kept.version.as_str());
            p {
                label for="paper" { "Paper" }
                select id="paper" name="paper" {
                    option value="" { (usual) " (usual)" }
                    @for known in Paper::known() { option value=(known.name) selected[known.name.eq_ignore_ascii_case(&paper)] { (known.name) } }
                    @if !paper.is_empty() && !Paper::known().iter().any(|known| known.name.eq_ignore_ascii_case(&paper)) { option value=(paper) selected { (paper) } }
                }
            }
            p {
                label for="roll" { "Roll, where the stencil is plotted" }
                input id="roll" name="roll" value=(value("roll")) list="rolls" aria-describedby="roll-hint" autocomplete="off";
                datalist id="rolls" { @for roll in Roll::known() { option value=(roll.name.trim_end_matches(" roll")) {} } }
                span.hint id="roll-hint" { "Its width, as in 36 in or 841 mm. Leave it empty for sheets." }
            }
            p {
                label for="printer" { "Printer" }
                select id="printer" name="printer" {
                    option value="" { "not tested yet: no correction" }
                    @for name in app.shop.names(Shelf::Printers) {
                        @let reference = shelf::reference(Shelf::Printers, &name);
                        option value=(reference) selected[reference == printer] { (name) }
                    }
                    @if !printer.is_empty() && shelf::named(Shelf::Printers, &printer).is_none() { option value=(printer) selected { (printer) } }
                }
                span.hint { a href="/printer-test" { "Test a printer" } ": one page, a steel rule, two numbers." }
            }
            fieldset {
                legend { "What the sheets show" }
                @for (word, known) in Mode::ALL {
                    label { input type="radio" name="mode" value=(word) checked[word == mode || (mode.is_empty() && known == Mode::default())]; " " (mode_words(known)) }
                }
            }
            fieldset {
                legend { "Who cuts the stencil" }
                @for (word, known) in CutBy::ALL {
                    label { input type="radio" name="cut_by" value=(word) checked[word == cut_by || (cut_by.is_empty() && known == CutBy::default())]; " " (cut_words(known)) }
                }
            }
            p { button { "Save" } }
        }
    }
}

const fn mode_words(mode: Mode) -> &'static str {
    match mode {
        Mode::Lines => "Lines and marks, with the fewest sheets",
        Mode::Grid => "The same on a regular grid of sheets",
        Mode::Keys => "A small stencil for each mark, several on a page",
        Mode::Full => "The whole floor, blank sheets too",
    }
}

const fn cut_words(cut_by: CutBy) -> &'static str {
    match cut_by {
        CutBy::Machine => "A cutting machine",
        CutBy::Hand => "A knife, along lines on the printed sheets",
    }
}

/// The kit: what it has in it, and what to do next.
fn kit(file: &JobFile, made: Option<&Result<Arc<KitFiles>, Refusal>>) -> Markup {
    let folder = format!("/jobs/{}", super::encoded(&file.name));
    html! {
        h2 { "The kit" }
        @match made {
            None => {
                p { "Everything for this job: full-scale sheets, overview, steps, form, files for cutters." }
                form method="get" action=(Step::Print.of(&file.name)) {
                    input type="hidden" name="kit" value="true";
                    button { "Make the kit" }
                }
                p.hint { "It takes some seconds." }
            }
            Some(Err(refusal)) => { (faults(refusal.sentences())) }
            Some(Ok(made)) => { (contents(&folder, file, made)) }
        }
    }
}

fn contents(folder: &str, file: &JobFile, made: &KitFiles) -> Markup {
    let inches = file.document.get(&["units"]).as_deref() == Some("inch");
    let spelling = Spelling::sparing(inches, &[]);
    let said = |text: &str| spelling.message(text);
    let laid = laid_in_words(&made.sheets, inches);
    let [first, then, _] = words::takes::next(&made.takes, "");
    let listed: Vec<_> = PURPOSES
        .iter()
        .filter(|(name, ..)| made.files.names().any(|file| file == *name))
        .collect();
    html! {
        p.saved { strong { "Do this now: " } (said(&first)) "; " (said(&then)) "." }
        p { a.button href={ (folder) "/kit.zip" } { "Load the whole kit (ZIP)" } }
        p { (said(&laid)) "." }
        ul { @for line in words::takes::bring(&made.takes, inches) { li { (said(&line)) } } }
        h3 { "File by file" }
        ul.files {
            @for (name, what, how) in listed {
                li { a href={ (folder) "/kit/" (name) } { (what) " (" (name) ")" } br; span.hint { (how) } }
            }
        }
        details {
            summary { "All files of the kit" }
            ul { @for name in made.files.names() { li { a href={ (folder) "/kit/" (super::encoded_text(name)) } { (name) } } } }
        }
        p { "Laid it? Go on with " a href=(Step::Floor.of(&file.name)) { "Floor" } " and type the readings." }
    }
}

async fn save(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Result<Redirect, Markup>, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let mut document = file.document.clone();
    let printer = fields.get("printer");
    if !printer.is_empty() && Some(printer) != file.document.get(&["printer"]).as_deref() {
        shelf::checked(&app, Shelf::Printers, printer)?;
    }
    for key in KEYS.into_iter().filter(|key| fields.has(key)) {
        document.set(&[key], fields.get(key));
    }
    let text = document.text();
    let source = Source::new(&format!("{}/job.toml", file.name), &text);
    if let Err(faults) = JobSpec::read(&source) {
        let wrong: Vec<String> = faults.list().iter().map(ToString::to_string).collect();
        return Ok(Err(content(&app, &file, &document, &wrong, None)));
    }
    app.shop.write_file(
        &file.path,
        &Version::from_text(fields.get("version")),
        &text,
    )?;
    Ok(Ok(Redirect::to(&format!(
        "{}?kit=true",
        Step::Print.of(&file.name)
    ))))
}

async fn whole(State(app): State<Arc<App>>, Path(job): Path<String>) -> Result<Response, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let made = app.kit(&file).await?;
    let name = file.name.to_string();
    let zip = app.work.run(move || zipped(&name, &made.files)).await?;
    Ok(download(&format!("{}.zip", file.name), zip))
}

async fn file(
    State(app): State<Arc<App>>,
    Path((job, wanted)): Path<(String, String)>,
) -> Result<Response, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let made = app.kit(&file).await?;
    // Only what the kit has: a name is never a path.
    let bytes = made
        .files
        .content(&wanted)
        .map_err(|_| Refusal::missing())?;
    Ok(download(&wanted, bytes))
}
