//! The template of a job: which it is, and another one. A template's values are its own: none goes over to another one unseen.

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

use crate::{
    job::{BuiltIn, TEMPLATES},
    kit,
    serve::{
        app::App,
        fields::Fields,
        jobs::JobFile,
        page::{Place as At, Step, encoded_text, page, shelf},
        refusal::Refusal,
        send,
    },
    shop::{Name, Shelf, Version},
    source::{Place, Placed},
    template::TemplateSpec,
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/layout/template", post(change))
        .route("/pictures/template.svg", get(picture))
}

/// Reads a template as a job in `folder` names it.
fn read(reference: &str, folder: &std::path::Path) -> Result<TemplateSpec, Vec<String>> {
    let name = Placed {
        value: reference.to_owned(),
        place: Place::whole("the job"),
    };
    BuiltIn::open(&name, &TEMPLATES, folder, "template")
        .and_then(|source| TemplateSpec::read(&source))
        .map_err(|faults| faults.list().iter().map(ToString::to_string).collect())
}

/// The template of a job.
///
/// # Errors
/// Sentences about one that is not there, or is wrong.
pub fn of_job(file: &JobFile) -> Result<TemplateSpec, Vec<String>> {
    let Some(reference) = file.document.get(&["template"]) else {
        return Err(vec![
            "The job names no template yet. Choose one.".to_owned(),
        ]);
    };
    read(&reference, file.path.parent().unwrap_or(&file.path))
}

/// The template in use, and a way to another one.
#[must_use]
pub fn now(app: &App, file: &JobFile, template: &TemplateSpec) -> Markup {
    html! {
        p { strong { (template.name) } ": " (template.purpose) }
        details {
            summary { "Another template" }
            (choice(app, file))
        }
    }
}

/// All templates with their pictures, to choose one.
#[must_use]
pub fn choice(app: &App, file: &JobFile) -> Markup {
    let own = app.shop.names(Shelf::Templates);
    let own = own
        .iter()
        .map(|name| shelf::reference(Shelf::Templates, name));
    let built_in = TEMPLATES.iter().map(|template| template.name.to_owned());
    let now = file.document.get(&["template"]).unwrap_or_default();
    let folder = file.path.parent().unwrap_or(&file.path);
    html! {
        form method="post" action={ (Step::Layout.of(&file.name)) "/template" } {
            input type="hidden" name="version" value=(file.kept.version.as_str());
            fieldset.templates {
                legend { "Template" }
                @for reference in own.chain(built_in) {
                    @let read = read(&reference, folder);
                    label.template {
                        span { input type="radio" name="template" value=(reference) checked[reference == now] required; " " strong { (shelf::shown(&reference)) } }
                        @match &read {
                            Ok(template) => {
                                img.picture loading="lazy" width="120" height="180" src={ "/pictures/template.svg?of=" (encoded_text(&reference)) } alt="";
                                span.hint { (template.purpose) }
                            }
                            Err(sentences) => { span.outside { "It cannot be used: " (sentences.join(" ")) } }
                        }
                    }
                }
            }
            p { button { "Take this template" } }
        }
    }
}

async fn change(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Response, Refusal> {
    let mut file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let wanted = fields.get("template").to_owned();
    let address = Step::Layout.of(&file.name);
    let now = file.document.get(&["template"]).unwrap_or_default();
    if wanted.is_empty() || wanted == now {
        return Ok(Redirect::to(&address).into_response());
    }
    shelf::checked(&app, Shelf::Templates, &wanted)?;
    let values = file.document.table(&["values"]);
    if !values.is_empty() && fields.get("without") != "values" {
        return Ok(ask(&file, &now, &wanted, &values, fields.get("version")).into_response());
    }
    file.document.set(&["template"], &wanted);
    file.document.remove("values");
    let before = Version::from_text(fields.get("version"));
    app.shop
        .write_file(&file.path, &before, &file.document.text())?;
    Ok(Redirect::to(&address).into_response())
}

/// Asks before values go.
fn ask(
    file: &JobFile,
    now: &str,
    wanted: &str,
    values: &[(String, String)],
    version: &str,
) -> Markup {
    let address = Step::Layout.of(&file.name);
    let (now, new) = (shelf::shown(now), shelf::shown(wanted));
    page(
        At::Job(&file.name, Step::Layout),
        &format!("Another template for {}", file.name),
        &html! {
            h1 { "Another template for " (file.name) }
            p.warning { "These values were typed for the template " strong { (now) } ". They do not hold for " strong { (new) } ", even where one has the same name, and are taken out." }
            div.scroll {
                table {
                    thead { tr { th scope="col" { "Value" } th scope="col" { "Typed" } } }
                    tbody { @for (name, text) in values { tr { th scope="row" { (name.replace('_', " ")) } td { (text) } } } }
                }
            }
            form method="post" action={ (address) "/template" } {
                input type="hidden" name="version" value=(version);
                input type="hidden" name="template" value=(wanted);
                input type="hidden" name="without" value="values";
                p { button { "Take " (new) " and leave these values out" } }
            }
            p { a href=(address) { "Stay with " (now) } }
        },
    )
}

/// Which template's picture.
#[derive(Debug, Default, Deserialize)]
struct Of {
    #[serde(default)]
    of: String,
}

/// The layout of a template about a demonstration vehicle; that of a built-in one is always the same.
async fn picture(
    State(app): State<Arc<App>>,
    Query(Of { of }): Query<Of>,
) -> Result<Response, Refusal> {
    let own = shelf::named(Shelf::Templates, &of);
    if own.is_none() && !TEMPLATES.iter().any(|template| template.name == of) {
        return Err(Refusal::missing());
    }
    let keep = if own.is_some() {
        "no-store"
    } else {
        "private, max-age=3600"
    };
    // A job's paths begin in its own folder, which is one deeper.
    let folder = app.shop.root().join(Shelf::Jobs.folder());
    let of = of.replace("../../", "../");
    let svg = app
        .work
        .run(move || {
            let template = read(&of, &folder).map_err(|wrong| Refusal::input(wrong.join(" ")))?;
            kit::template_picture(&template).map_err(Refusal::from)
        })
        .await?;
    Ok(([(header::CACHE_CONTROL, keep)], send::svg(svg)).into_response())
}
