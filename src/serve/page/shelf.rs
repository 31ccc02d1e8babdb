//! Vehicles, templates and printer profiles of the shop: listed, searched, copied, edited, put away.

use std::sync::Arc;

use axum::{
    Router,
    extract::{Path, Query, State},
    response::{IntoResponse as _, Redirect, Response},
    routing::{get, post},
};
use maud::{Markup, html};

use super::{
    Place, encoded, faults,
    home::{Search, built_in, finder, more},
    page,
};
use crate::{
    job::{BuiltIn, TEMPLATES, VEHICLES},
    paper::Printer,
    serve::{app::App, fields::Fields, refusal::Refusal},
    shop::{Document, Name, Shelf, ShopError, Version, name_from},
    source::{Faults, Source},
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// What a choice of vehicles calls one that is still to be measured.
pub const NEW: &str = "new";

/// Shelves that have a page of their own.
const SHELVES: [Shelf; 3] = [Shelf::Vehicles, Shelf::Templates, Shelf::Printers];

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    SHELVES.into_iter().fold(Router::new(), |router, shelf| {
        let folder = shelf.folder();
        router
            .route(
                &format!("/{folder}"),
                get(move |app, search| list(shelf, app, search))
                    .post(move |app, fields| add(shelf, app, fields)),
            )
            .route(
                &format!("/{folder}/{{name}}/text"),
                get(move |app, name| text(shelf, app, name))
                    .post(move |app, name, fields| save(shelf, app, name, fields)),
            )
            .route(
                &format!("/{folder}/{{name}}/copy"),
                post(move |app, name, fields| copy(shelf, app, name, fields)),
            )
            .route(
                &format!("/{folder}/{{name}}/put-away"),
                post(move |app, name| put_away(shelf, app, name)),
            )
    })
}

/// How a job names a thing of the shop: the path from its own folder.
#[must_use]
pub fn reference(shelf: Shelf, name: &Name) -> String {
    format!("../../{}/{name}.toml", shelf.folder())
}

/// What people read for how a job names a vehicle, template or printer.
#[must_use]
pub fn shown(reference: &str) -> String {
    let file = reference.rsplit('/').next().unwrap_or(reference);
    file.strip_suffix(".toml").unwrap_or(file).to_owned()
}

/// The thing of the shop that a job names, where it names one.
#[must_use]
pub fn named(shelf: Shelf, reference: &str) -> Option<Name> {
    let file = reference.strip_prefix(&format!("../../{}/", shelf.folder()))?;
    Name::parse(file.strip_suffix(".toml")?).ok()
}

/// What a form names, where it is one of the shop's own things or a built-in one: a form never names another file.
///
/// # Errors
/// A name that is neither.
pub fn checked<'t>(app: &App, shelf: Shelf, reference: &'t str) -> Result<&'t str, Refusal> {
    let own =
        named(shelf, reference).is_some_and(|name| app.shop.main_file(shelf, &name).is_file());
    if own || built_in(shelf).contains(&reference) {
        return Ok(reference);
    }
    let what = shelf.one();
    Err(Refusal::input(format!(
        "There is no {what} \"{reference}\". Choose a {what} from the list."
    )))
}

/// A list to choose from: the shop's own things, then the built-in ones.
#[must_use]
pub fn choice(app: &App, shelf: Shelf, id: &str, chosen: &str) -> Markup {
    let own: Vec<(String, String)> = app
        .shop
        .names(shelf)
        .iter()
        .map(|name| (reference(shelf, name), name.to_string()))
        .collect();
    html! {
        select id=(id) name=(id) {
            @if shelf == Shelf::Vehicles { option value=(NEW) { "a new vehicle" } }
            @if !own.is_empty() {
                optgroup label="This shop’s own" {
                    @for (value, name) in &own { option value=(value) selected[value == chosen] { (name) } }
                }
            }
            optgroup label="Built in, for demonstration" {
                @for name in built_in(shelf) { option value=(name) selected[name == chosen] { (name) } }
            }
        }
    }
}

/// A vehicle of the shop that has no dimensions yet, under a name that is free.
///
/// # Errors
/// What the shop's folder refuses.
pub fn new_vehicle(app: &App, wish: &Name) -> Result<Name, Refusal> {
    let mut document = Document::read("format = \"vehicle/1\"\n").map_err(Refusal::input)?;
    document.set(&["name"], wish.as_str());
    document.set(&["source"], "measured in the shop");
    for count in 1..100 {
        let name = if count == 1 {
            wish.clone()
        } else {
            name_from(&format!("{wish} {count}"))?
        };
        match app.shop.create(Shelf::Vehicles, &name, &document.text()) {
            Err(ShopError::Taken { .. }) => {}
            made => return made.map(|()| name).map_err(Into::into),
        }
    }
    Err(Refusal::input(
        "There are a hundred vehicles of this name. Choose another name.",
    ))
}

/// How a job names the vehicle that a form chose: one that is there, or a new one, called as is wished where that is free.
///
/// # Errors
/// As [`checked`] and [`new_vehicle`].
pub fn chosen_vehicle(app: &App, chosen: &str, wish: &Name) -> Result<String, Refusal> {
    if chosen == NEW {
        return Ok(reference(Shelf::Vehicles, &new_vehicle(app, wish)?));
    }
    Ok(checked(app, Shelf::Vehicles, chosen)?.to_owned())
}

/// What is wrong with a text of a shelf.
fn check(shelf: Shelf, name: &Name, text: &str) -> Result<(), Faults> {
    let source = Source::new(&format!("{name}.toml"), text);
    match shelf {
        Shelf::Vehicles => VehicleSpec::read(&source).map(|_| ()),
        Shelf::Templates => TemplateSpec::read(&source).map(|_| ()),
        _ => Printer::read(&source).map(|_| ()),
    }
}

fn plural(shelf: Shelf) -> &'static str {
    match shelf {
        Shelf::Vehicles => "Vehicles",
        Shelf::Templates => "Templates",
        _ => "Printers",
    }
}

async fn list(shelf: Shelf, State(app): State<Arc<App>>, Query(search): Query<Search>) -> Markup {
    let find = search.find.to_lowercase();
    let matches = |name: &str| {
        find.split_whitespace()
            .all(|word| name.to_lowercase().contains(word))
    };
    let own: Vec<Name> = app
        .shop
        .names(shelf)
        .into_iter()
        .filter(|name| matches(name.as_str()))
        .collect();
    let folder = shelf.folder();
    page(
        Place::At(&format!("/{folder}")),
        plural(shelf),
        &html! {
            h1 { (plural(shelf)) }
            (finder(&format!("/{folder}"), &search.find))
            @if own.is_empty() { p { "None of the shop’s own here yet, or none with these words." } }
            @else {
                table {
                    thead { tr { th scope="col" { "Name" } th scope="col" { "Edit" } th scope="col" { "More" } } }
                    tbody {
                        @for name in &own {
                            tr {
                                td { (name) }
                                td { (edit(shelf, name)) }
                                td { (more(folder, name)) }
                            }
                        }
                    }
                }
            }
            @match shelf {
                Shelf::Vehicles => { (new_vehicle_form()) }
                Shelf::Printers => { p { "A printer is stored under Print, from what was measured on its scale test." } }
                _ => {}
            }
            @if !built_in(shelf).is_empty() {
                h2 { "Built in, for demonstration" }
                p { "Copy one to have one of your own to change." }
                table {
                    tbody {
                        @for name in built_in(shelf) {
                            tr {
                                td { (name) }
                                td {
                                    form method="post" action={ "/" (folder) } {
                                        input type="hidden" name="of" value=(name);
                                        label { "Name of the copy " input name="name" required maxlength="60" value={ "our " (name) }; }
                                        button aria-label={ "Copy " (name) } { "Copy" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        },
    )
}

fn edit(shelf: Shelf, name: &Name) -> Markup {
    let address = format!("/{}/{}", shelf.folder(), encoded(name));
    html! {
        @if shelf == Shelf::Vehicles { a href=(address) aria-label={ "Dimensions of " (name) } { "Dimensions" } " · " }
        a href={ (address) "/text" } aria-label={ "File of " (name) } { "File" }
    }
}

fn new_vehicle_form() -> Markup {
    html! {
        h2 { "A new vehicle" }
        form method="post" action="/vehicles" {
            p { label for="name" { "Name" } input id="name" name="name" required maxlength="60"; }
            p { button { "Measure it" } }
        }
    }
}

async fn add(
    shelf: Shelf,
    State(app): State<Arc<App>>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let name = name_from(fields.get("name"))?;
    let built_ins: &[BuiltIn] = if shelf == Shelf::Templates {
        &TEMPLATES
    } else {
        &VEHICLES
    };
    let of = built_ins
        .iter()
        .find(|built_in| built_in.name == fields.get("of"));
    match of {
        Some(built_in) => app.shop.create(shelf, &name, &built_in.source().text)?,
        None if shelf == Shelf::Vehicles => {
            let name = new_vehicle(&app, &name)?;
            return Ok(Redirect::to(&format!("/vehicles/{}", encoded(&name))));
        }
        None => return Err(Refusal::missing()),
    }
    Ok(Redirect::to(&format!("/{}", shelf.folder())))
}

async fn text(
    shelf: Shelf,
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
) -> Result<Markup, Refusal> {
    let name = Name::parse(&name)?;
    let kept = app.shop.read(shelf, &name)?;
    Ok(editor(shelf, &name, &kept.text, &kept.version, &[]))
}

fn editor(shelf: Shelf, name: &Name, text: &str, version: &Version, wrong: &[String]) -> Markup {
    page(
        Place::At(&format!("/{}", shelf.folder())),
        name.as_str(),
        &html! {
            h1 { (name) }
            p { "This is the file itself, as the commands read it." }
            (faults(wrong))
            form method="post" {
                input type="hidden" name="version" value=(version.as_str());
                p { label for="text" { "File" } textarea id="text" name="text" rows="30" spellcheck="false" { (text) } }
                p { button { "Save" } }
            }
        },
    )
}

async fn save(
    shelf: Shelf,
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    fields: Fields,
) -> Result<Response, Refusal> {
    let name = Name::parse(&name)?;
    let version = Version::from_text(fields.get("version"));
    // A browser sends lines with CR LF.
    let text = format!("{}\n", fields.get("text").replace("\r\n", "\n"));
    if let Err(faults) = check(shelf, &name, &text) {
        let wrong: Vec<String> = faults.list().iter().map(ToString::to_string).collect();
        return Ok(editor(shelf, &name, &text, &version, &wrong).into_response());
    }
    app.shop
        .write_file(&app.shop.main_file(shelf, &name), &version, &text)?;
    Ok(Redirect::to(&format!("/{}", shelf.folder())).into_response())
}

async fn copy(
    shelf: Shelf,
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    let text = app.shop.read(shelf, &Name::parse(&name)?)?.text;
    app.shop
        .create(shelf, &name_from(fields.get("name"))?, &text)?;
    Ok(Redirect::to(&format!("/{}", shelf.folder())))
}

async fn put_away(
    shelf: Shelf,
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
) -> Result<Redirect, Refusal> {
    app.shop.put_away(shelf, &Name::parse(&name)?)?;
    Ok(Redirect::to(&format!("/{}", shelf.folder())))
}
