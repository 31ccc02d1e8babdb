//! The page `layout`: the template of a job with its values, the bay, and what comes out of them, drawn while it is typed.
//!
//! What is typed is saved as it was typed, wrong or not; no later step goes on with what is wrong.

mod form;
mod look;
mod templates;
mod values;

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    response::Redirect,
    routing::{get, post},
};
use maud::{Markup, html};
use serde::Deserialize;

use self::{
    form::Sheet,
    look::{Later, Look, as_image},
    values::{OBSTACLE_KEYS, fill},
};
use super::{Place, Step, page, vehicle};
use crate::{
    job::Job,
    kit::Kit,
    serve::{app::App, fields::Fields, jobs::JobFile, refusal::Refusal},
    shop::{Name, Version},
    template::TemplateSpec,
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/jobs/{job}/layout", get(show).post(save))
        .route("/jobs/{job}/layout/look", post(look_at))
        .route("/jobs/{job}/layout/later", post(look_later))
        .route("/jobs/{job}/layout/overview", get(overview))
        .merge(templates::routes())
}

/// What an address asks beside its page.
#[derive(Debug, Default, Deserialize)]
struct Asked {
    /// Something was saved just now.
    #[serde(default)]
    saved: String,
}

async fn show(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let address = Step::Layout.of(&file.name);
    let first = vehicle::first(&app, &file)?;
    let template = templates::of_job(&file);
    let body = match &template {
        Ok(template) => {
            let right = first.is_none();
            let (look, later) = seen(&app, &file, template.clone(), right).await?;
            let later = match &later {
                Ok(later) => later.as_ref(),
                Err(_) => None,
            };
            let sheet = Sheet {
                document: &file.document,
                version: &file.kept.version,
                template,
                look: &look,
                later,
                address: &address,
            };
            html! {
                (templates::now(&app, &file, template))
                (form::form(&sheet))
                @if look.seen.is_some() {
                    p { a href={ (address) "/overview" } { "The saved overview at full size" } }
                    p { a.button href=(Step::Print.of(&file.name)) { "Next: print" } }
                }
            }
        }
        Err(sentences) => html! {
            (super::faults(sentences))
            (templates::choice(&app, &file))
        },
    };
    Ok(page(
        Place::Job(&file.name, Step::Layout),
        &format!("Layout of {}", file.name),
        &html! {
            h1 { "Layout of " (file.name) }
            @if !asked.saved.is_empty() { p.saved role="status" { "Saved." } }
            @if let Some(first) = first { (first) }
            (body)
        },
    ))
}

type Taken = Result<Option<Later>, String>;

/// What is seen of a job's file, and, where its vehicle is right, what it takes.
async fn seen(
    app: &Arc<App>,
    file: &JobFile,
    template: TemplateSpec,
    right: bool,
) -> Result<(Look, Taken), Refusal> {
    let (document, path) = (file.document.clone(), file.path.clone());
    app.work
        .run(move || {
            let look = Look::at(&document, &path, Some(&template));
            let later = match look.seen.is_some() && right {
                true => Later::of(&document, &path).map_err(|error| error.to_string()),
                false => Ok(None),
            };
            Ok::<_, Refusal>((look, later))
        })
        .await
}

async fn save(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let mut file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let template = templates::of_job(&file).ok();
    fill(&mut file.document, &fields, template.as_ref());
    let before = Version::from_text(fields.get("version"));
    app.shop
        .write_file(&file.path, &before, &file.document.text())?;
    Ok(Redirect::to(&format!(
        "{}?saved=1",
        Step::Layout.of(&file.name)
    )))
}

/// What is seen of what is being typed: the parts of the page that change with it.
async fn look_at(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Markup, Refusal> {
    let mut file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let template =
        templates::of_job(&file).map_err(|sentences| Refusal::input(sentences.join(" ")))?;
    app.work
        .run(move || {
            fill(&mut file.document, &fields, Some(&template));
            let look = Look::at(&file.document, &file.path, Some(&template));
            let rows = (0..form::rows(&file.document))
                .flat_map(|row| OBSTACLE_KEYS.map(|key| format!("obstacle-{row}-{key}")));
            let plain = rows.chain(["bay-length", "bay-width"].map(str::to_owned));
            Ok::<_, Refusal>(html! {
                (form::state(&look))
                @for value in &template.values { (form::value_look(value, &template, &look)) }
                @for id in plain { (form::plain_look(&id, &look)) }
                @if look.seen.is_some() {
                    (form::small(&look))
                    (form::floor(&look))
                    (form::overview(look.overview()))
                }
            })
        })
        .await
}

/// What it takes and how the sheets lie, for what is being typed: it takes longer.
async fn look_later(
    State(app): State<Arc<App>>,
    Path(job): Path<String>,
    fields: Fields,
) -> Result<Markup, Refusal> {
    let mut file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let template = templates::of_job(&file).ok();
    app.work
        .run(move || {
            fill(&mut file.document, &fields, template.as_ref());
            Ok::<_, Refusal>(match Later::of(&file.document, &file.path) {
                Ok(Some(later)) => html! {
                    (form::overview(&later.overview))
                    (form::later(Some(&later)))
                },
                // What is wrong stands at its input; what was worked out last stays.
                Ok(None) => html! {},
                Err(error) => html! { section id="later" { p.warning { (error) } } },
            })
        })
        .await
}

/// The overview at its full size as the job's file stands.
async fn overview(State(app): State<Arc<App>>, Path(job): Path<String>) -> Result<Markup, Refusal> {
    let file = JobFile::read(&app.shop, &Name::parse(&job)?)?;
    let job = app.job(&file).await?;
    let pages = Kit::of(Job::clone(&job)).overview_svg();
    let address = Step::Layout.of(&file.name);
    Ok(page(
        Place::Job(&file.name, Step::Layout),
        &format!("Overview of {}", file.name),
        &html! {
            h1 { "Overview of " (file.name) }
            p { a href=(address) { "Back to the layout" } }
            @for (index, page) in pages.iter().enumerate() {
                div.scroll { img.paper src=(as_image(page)) alt={ "Overview, page " (index + 1) }; }
            }
        },
    ))
}
