//! What a form sends: names and texts, in the order of the page.

use axum::{
    extract::{FromRequest, Request},
    response::{IntoResponse as _, Response},
};

use super::refusal::Refusal;

/// The fields of a form that was sent.
#[derive(Clone, Debug, Default)]
pub struct Fields(pub Vec<(String, String)>);

impl Fields {
    /// The text of a field without blanks around it; empty where the form has none of that name. The last of several counts, so that a
    /// box which is ticked overrides the hidden field before it.
    #[must_use]
    pub fn get(&self, name: &str) -> &str {
        let found = self.0.iter().rev().find(|(field, _)| field == name);
        found.map_or("", |(_, text)| text.trim())
    }

    /// True where the form has such a field, empty or not.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(field, _)| field == name)
    }

    /// Fields whose names begin so, with the rest of their names.
    pub fn beginning<'f>(&'f self, start: &'f str) -> impl Iterator<Item = (&'f str, &'f str)> {
        self.0
            .iter()
            .filter_map(move |(name, text)| Some((name.strip_prefix(start)?, text.trim())))
    }
}

impl<S: Send + Sync> FromRequest<S> for Fields {
    type Rejection = Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Self::Rejection> {
        match axum::Form::from_request(request, state).await {
            Ok(axum::Form(fields)) => Ok(Self(fields)),
            Err(rejection) => Err(Refusal::new(
                rejection.status(),
                "Not understood",
                "The form that was sent is too large, or is no form of this page. Go back and send it again.",
            )
            .into_response()),
        }
    }
}
