//! What is shown where something could not be done: what is wrong, and what to do.

use axum::{
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};
use maud::html;

use super::page::bare;
use crate::{kit::KitError, shop::ShopError, source::Faults};

/// A request that was not done.
#[derive(Debug)]
pub struct Refusal {
    status: StatusCode,
    title: String,
    sentences: Vec<String>,
    /// A text that stands in the way: what somebody else wrote.
    now: Option<String>,
}

impl Refusal {
    /// A refusal with a title and a sentence.
    pub fn new(status: StatusCode, title: &str, sentence: impl Into<String>) -> Self {
        Self {
            status,
            title: title.to_owned(),
            sentences: vec![sentence.into()],
            now: None,
        }
    }

    /// Nobody is known by this cookie.
    #[must_use]
    pub fn not_in() -> Self {
        Self::new(
            StatusCode::UNAUTHORIZED,
            "Please come in by the address",
            "This browser is not let in, or not any longer. On the computer that runs baystencil, open the address that it shows. On a phone, scan the code under Phones.",
        )
    }

    /// An answer took too long.
    #[must_use]
    pub fn too_long() -> Self {
        Self::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "This takes too long",
            "Nobody waits for it any longer. Is a length wrong by a factor of ten? A smaller layout, larger paper or another way of printing takes less.",
        )
    }

    /// Too much is asked for at a time.
    #[must_use]
    pub fn busy() -> Self {
        Self::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "Too much at once",
            "Others are waiting already. Load the page again in a minute.",
        )
    }

    /// A page that is not there.
    #[must_use]
    pub fn missing() -> Self {
        Self::new(
            StatusCode::NOT_FOUND,
            "There is nothing here",
            "Go back to the list of jobs.",
        )
    }

    /// Something in a form that cannot be used.
    pub fn input(sentence: impl Into<String>) -> Self {
        Self::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "Please correct this",
            sentence,
        )
    }

    /// What is wrong, in sentences.
    #[must_use]
    pub fn sentences(&self) -> &[String] {
        &self.sentences
    }

    /// The status of the answer.
    #[must_use]
    pub const fn status(&self) -> StatusCode {
        self.status
    }
}

impl From<ShopError> for Refusal {
    fn from(error: ShopError) -> Self {
        let (status, title) = match &error {
            ShopError::Missing { .. } => (StatusCode::NOT_FOUND, "It is not there"),
            ShopError::Changed { .. } | ShopError::Taken { .. } => {
                (StatusCode::CONFLICT, "Not saved")
            }
            ShopError::Name { .. } | ShopError::Unreadable { .. } => {
                (StatusCode::UNPROCESSABLE_ENTITY, "Please correct this")
            }
            ShopError::Io { .. } | ShopError::Output(_) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "The file could not be written or read",
            ),
        };
        let mut refusal = Self::new(status, title, format!("{}.", upper(&error.to_string())));
        if let ShopError::Changed { now } = error {
            refusal.now = Some(now);
        }
        refusal
    }
}

impl From<Faults> for Refusal {
    fn from(faults: Faults) -> Self {
        Self {
            status: StatusCode::UNPROCESSABLE_ENTITY,
            title: "Please correct this".to_owned(),
            sentences: faults.list().iter().map(ToString::to_string).collect(),
            now: None,
        }
    }
}

impl From<KitError> for Refusal {
    fn from(error: KitError) -> Self {
        Self::input(upper(&error.to_string()))
    }
}

fn upper(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(signs).collect()
    })
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let body = html! {
            h1 { (self.title) }
            @for sentence in &self.sentences { p { (sentence) } }
            @if let Some(now) = &self.now {
                h2 { "What stands there now" }
                pre { (now) }
                p { "Go back, load the page again, and put your change in once more. What you typed is still in the page that you go back to." }
            }
            p { a href="/" { "All jobs" } }
        };
        let page = bare(&self.title, &body);
        (
            self.status,
            [(header::CONTENT_TYPE, "text/html; charset=utf-8")],
            page.into_string(),
        )
            .into_response()
    }
}
