//! How numbers and documents are written.

use serde::Serialize;

/// A number as it is written, to a millionth: of a millimetre, a degree or a probability, far less than means something.
/// −0 is 0.
pub(super) fn round(value: f64) -> f64 {
    to(value, 1e6)
}

/// The same to a thousandth of that, for what lays sheets: a coefficient of `floor_to_page` acts on up to 10⁵ mm, and
/// pages are held against each other.
pub(super) fn fine(value: f64) -> f64 {
    to(value, 1e9)
}

fn to(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps + 0.0
}

/// A value as indented JSON with a final line break.
#[must_use]
pub fn pretty(value: &impl Serialize) -> String {
    let mut text =
        serde_json::to_string_pretty(value).expect("plain data with string keys always serializes");
    text.push('\n');
    text
}
