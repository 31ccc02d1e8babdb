//! The pages: a file for each step, and what they have in common.

mod devices;
mod floor;
mod home;
mod layout;
mod place_in_text;
mod practice;
mod print;
mod printer;
mod record;
mod shelf;
mod typed;
mod vehicle;

use std::sync::Arc;

use axum::{Router, extract::DefaultBodyLimit, middleware, routing::get};
use maud::{DOCTYPE, Markup, html};

use super::{app::App, assets, guard, refusal::Refusal};
use crate::shop::Name;

/// Longest body of a request, bytes: a template of the user's own fits many times.
const LONGEST_BODY: usize = 256 * 1024;

/// All pages behind the guard.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/style.css", get(assets::style))
        .route("/live.js", get(assets::script))
        .merge(home::routes())
        .merge(devices::routes())
        .merge(shelf::routes())
        .merge(vehicle::routes())
        .merge(layout::routes())
        .merge(print::routes())
        .merge(printer::routes())
        .merge(floor::routes())
        .merge(record::routes())
        .merge(practice::routes())
        .fallback(|| async { Refusal::missing() })
        .layer(DefaultBodyLimit::max(LONGEST_BODY))
        .layer(middleware::from_fn_with_state(app.clone(), guard::guard))
        .with_state(app)
}

/// The steps of a job, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The vehicle's dimensions.
    Vehicle,
    /// What lies on the floor.
    Layout,
    /// Paper.
    Print,
    /// Readings.
    Floor,
    /// The customer's file.
    Record,
}

impl Step {
    /// All steps.
    pub const ALL: [Self; 5] = [
        Self::Vehicle,
        Self::Layout,
        Self::Print,
        Self::Floor,
        Self::Record,
    ];

    /// Its name on the page.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Vehicle => "Vehicle",
            Self::Layout => "Layout",
            Self::Print => "Print",
            Self::Floor => "Floor",
            Self::Record => "Record",
        }
    }

    /// Its address, of a job.
    #[must_use]
    pub fn of(self, job: &Name) -> String {
        format!("/jobs/{}/{}", encoded(job), self.title().to_lowercase())
    }
}

/// Where somebody is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place<'a> {
    /// At a step of a job.
    Job(&'a Name, Step),
    /// On a page of its own, by its address.
    At(&'a str),
}

/// Pages of their own, by address and name.
const PAGES: [(&str, &str); 7] = [
    ("/", "Jobs"),
    ("/vehicles", "Vehicles"),
    ("/templates", "Templates"),
    ("/printers", "Printers"),
    ("/records", "Records"),
    ("/practice", "Practice"),
    ("/devices", "Phones"),
];

/// A whole page with its navigation.
#[must_use]
pub fn page(place: Place<'_>, title: &str, body: &Markup) -> Markup {
    let at = match place {
        Place::Job(..) => "/",
        Place::At(at) => at,
    };
    let navigation = html! {
        header {
            nav aria-label="Pages" {
                span.brand { "baystencil" }
                ul {
                    @for (address, name) in PAGES {
                        li { a href=(address) aria-current=[(at == address).then_some("true")] { (name) } }
                    }
                }
            }
            @if let Place::Job(job, now) = place {
                nav.steps aria-label="Steps of this job" {
                    ol {
                        @for step in Step::ALL {
                            li { a href=(step.of(job)) aria-current=[(step == now).then_some("step")] { (step.title()) } }
                        }
                    }
                }
            }
        }
    };
    document(title, &navigation, body)
}

/// A page without navigation: for somebody who is not in, and for what went wrong.
#[must_use]
pub fn bare(title: &str, body: &Markup) -> Markup {
    document(
        title,
        &html! { header { span.brand { "baystencil" } } },
        body,
    )
}

fn document(title: &str, navigation: &Markup, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) " · baystencil" }
                link rel="stylesheet" href="/style.css";
                link rel="icon" href="data:,";
                script src="/live.js" defer {}
            }
            body {
                a.skip href="#main" { "To the content" }
                (navigation)
                main id="main" { (body) p.warning id="said" role="status" hidden {} }
                footer {
                    p {
                        "baystencil lays out marks. Whether a system is calibrated, the vehicle maker’s procedure shows; it goes first, with local rules and trained staff."
                    }
                }
            }
        }
    }
}

/// A name as it stands in an address.
#[must_use]
pub fn encoded(name: &Name) -> String {
    encoded_text(name.as_str())
}

/// A text as a part of an address.
#[must_use]
pub fn encoded_text(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
                char::from(byte).to_string()
            }
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

/// A list of what is wrong, at the head of a form; nothing where nothing is.
#[must_use]
pub fn faults(sentences: &[String]) -> Markup {
    html! {
        @if !sentences.is_empty() {
            div.faults role="alert" {
                p { strong { "Please correct this first." } }
                ul { @for sentence in sentences { li { (sentence) } } }
            }
        }
    }
}

/// A line at the head of a long form, with the way to what is wrong with it (`#look-state`); nothing where nothing is.
#[must_use]
pub fn leads_to_faults<'s>(mut sentences: impl ExactSizeIterator<Item = &'s str>) -> Markup {
    let count = sentences.len();
    html! {
        @if let Some(first) = sentences.next() {
            p.faults role="alert" {
                strong { "Please correct this first." } " "
                @if count == 1 { "One thing does not go: " (first) " " }
                @else { (count) " things do not go. " }
                a href="#look-state" { "What is wrong" }
            }
        }
    }
}
