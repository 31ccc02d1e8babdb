//! Files as answers.

use std::io::{Cursor, Write as _};

use axum::{
    http::{HeaderValue, header},
    response::{IntoResponse as _, Response},
};
use zip::{ZipWriter, write::SimpleFileOptions};

use super::refusal::Refusal;
use crate::output::OutputSet;

/// The media type of a file, by its end.
fn media_type(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default() {
        "pdf" => "application/pdf",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "json" => "application/json",
        "csv" => "text/csv; charset=utf-8",
        "zip" => "application/zip",
        _ => "text/plain; charset=utf-8",
    }
}

/// A file, to be saved under its name.
#[must_use]
pub fn download(name: &str, bytes: Vec<u8>) -> Response {
    let plain: String = name
        .chars()
        .map(|sign| {
            if sign.is_ascii_alphanumeric() || "-_. ".contains(sign) {
                sign
            } else {
                '-'
            }
        })
        .collect();
    let disposition = format!("attachment; filename=\"{plain}\"");
    let disposition =
        HeaderValue::from_str(&disposition).unwrap_or(HeaderValue::from_static("attachment"));
    (
        [
            (
                header::CONTENT_TYPE,
                HeaderValue::from_static(media_type(name)),
            ),
            (header::CONTENT_DISPOSITION, disposition),
        ],
        bytes,
    )
        .into_response()
}

/// A picture of a page.
#[must_use]
pub fn svg(text: String) -> Response {
    ([(header::CONTENT_TYPE, "image/svg+xml")], text).into_response()
}

/// Files as one ZIP, below a folder of that name. They carry no date, so that the same files give the same bytes.
///
/// # Errors
/// Where the ZIP cannot be made in memory, or a spooled file cannot be read.
pub fn zipped(folder: &str, files: &OutputSet) -> Result<Vec<u8>, Refusal> {
    let failed = |error: &dyn std::fmt::Display| {
        Refusal::input(format!(
            "The ZIP could not be made ({error}). Load the files one by one."
        ))
    };
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for name in files.names() {
        let content = files.content(name).map_err(|error| failed(&error))?;
        zip.start_file(format!("{folder}/{name}"), SimpleFileOptions::default())
            .map_err(|error| failed(&error))?;
        zip.write_all(&content).map_err(|error| failed(&error))?;
    }
    let done = zip.finish().map_err(|error| failed(&error))?;
    Ok(done.into_inner())
}
