//! Sizes of what stands on an exercise sheet.

use crate::drawing::heights;

/// Sizes that go together, mm.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Capitals of questions, given text and table entries.
    pub text: f64,
    /// Lettering of tables in which nothing is written.
    pub given: f64,
    /// Least height of a table row that is written in by hand.
    pub write_row: f64,
    /// Fewest rows of a table that are made a group beside others.
    pub group_rows: usize,
    /// Largest height of a figure that is not to scale.
    pub figure: f64,
    /// Clear height above a question.
    pub gap: f64,
    /// Clear height above a block, and above a paragraph.
    pub block_gap: f64,
    pub paragraph_gap: f64,
}

/// The roomiest sizes.
const ROOMY: Style = Style {
    text: heights::HEADING,
    given: 3.0,
    write_row: 9.0,
    group_rows: 4,
    figure: 100.0,
    gap: 7.0,
    block_gap: 3.0,
    paragraph_gap: 1.5,
};

/// The tightest ones.
const TIGHT: Style = Style {
    text: heights::TEXT,
    given: heights::TEXT,
    write_row: 8.0,
    group_rows: 1,
    figure: 38.0,
    gap: 2.2,
    block_gap: 1.5,
    paragraph_gap: 0.8,
};

/// Sizes to try, the roomiest first, each taking no more height than the one before. Lettering never gets smaller than
/// 2.5 mm, a row to write in never lower than 8 mm: a copy of a copy is still read, and a hand still finds room.
pub const STYLES: [Style; 9] = [
    ROOMY,
    Style {
        write_row: 8.5,
        figure: 80.0,
        gap: 6.0,
        ..ROOMY
    },
    Style {
        given: heights::TEXT,
        write_row: 8.0,
        figure: 62.0,
        gap: 5.0,
        block_gap: 2.5,
        ..ROOMY
    },
    Style {
        text: 3.0,
        figure: 62.0,
        gap: 4.0,
        group_rows: 2,
        block_gap: 2.5,
        ..TIGHT
    },
    Style {
        figure: 62.0,
        gap: 4.0,
        group_rows: 3,
        block_gap: 2.5,
        paragraph_gap: 1.5,
        ..TIGHT
    },
    Style {
        figure: 55.0,
        gap: 4.0,
        group_rows: 2,
        block_gap: 2.5,
        paragraph_gap: 1.5,
        ..TIGHT
    },
    Style {
        figure: 46.0,
        gap: 3.5,
        block_gap: 2.5,
        paragraph_gap: 1.5,
        ..TIGHT
    },
    Style {
        figure: 42.0,
        gap: 3.0,
        block_gap: 2.2,
        ..TIGHT
    },
    TIGHT,
];

impl Style {
    /// Baseline to baseline of running text.
    pub const fn pitch(&self) -> f64 {
        self.text * 1.6
    }
}
