//! Style and script of the pages. The script makes things quicker; without it every page works.

use axum::{
    http::header,
    response::{IntoResponse, Response},
};

/// The style sheet.
pub async fn style() -> Response {
    (
        [(header::CONTENT_TYPE, "text/css; charset=utf-8")],
        include_str!("assets/style.css"),
    )
        .into_response()
}

/// The script.
pub async fn script() -> Response {
    (
        [(header::CONTENT_TYPE, "text/javascript; charset=utf-8")],
        include_str!("assets/live.js"),
    )
        .into_response()
}
