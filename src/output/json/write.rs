//! How numbers and documents are written.

use serde::Serialize;

/// Steps of one in which numbers are written: arithmetic's last bits go, and nothing that means something. A
/// coefficient of `floor_to_page` acts on up to 10⁵ mm and has to give a place to a tenth of a micrometre.
const PER_ONE: f64 = 1e9;

/// A number as it is written; −0 is 0.
pub(super) fn round(value: f64) -> f64 {
    (value * PER_ONE).round() / PER_ONE + 0.0
}

/// A value as indented JSON with a final line break.
#[must_use]
pub fn pretty(value: &impl Serialize) -> String {
    let mut text =
        serde_json::to_string_pretty(value).expect("plain data with string keys always serializes");
    text.push('\n');
    text
}
