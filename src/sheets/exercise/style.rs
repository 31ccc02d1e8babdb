//! Sizes of what stands on an exercise sheet.

use crate::drawing::heights;

/// Sizes that go together, mm.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Capitals of questions, given text and table entries.
    pub text: f64,
    /// Least height of a table row that is written in by hand.
    pub write_row: f64,
    /// Largest height of a figure that is not to scale.
    pub figure: f64,
    /// Clear height above a question.
    pub gap: f64,
}

/// Sizes to try, the roomiest first. Lettering never gets smaller than 2.5 mm, a row to write in never lower than 8 mm:
/// a copy of a copy is still read, and a hand still finds room.
pub const STYLES: [Style; 8] = [
    Style { text: heights::HEADING, write_row: 9.0, figure: 100.0, gap: 7.0 },
    Style { text: heights::HEADING, write_row: 8.5, figure: 80.0, gap: 6.0 },
    Style { text: heights::HEADING, write_row: 8.0, figure: 62.0, gap: 5.0 },
    Style { text: heights::HEADING, write_row: 8.0, figure: 50.0, gap: 4.0 },
    Style { text: 3.0, write_row: 8.0, figure: 50.0, gap: 4.0 },
    Style { text: heights::TEXT, write_row: 8.0, figure: 55.0, gap: 4.0 },
    Style { text: heights::TEXT, write_row: 8.0, figure: 46.0, gap: 3.5 },
    Style { text: heights::TEXT, write_row: 8.0, figure: 38.0, gap: 2.5 },
];

impl Style {
    /// Baseline to baseline of running text.
    pub const fn pitch(&self) -> f64 {
        self.text * 1.7
    }
}
