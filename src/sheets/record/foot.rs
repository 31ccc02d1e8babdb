//! The bottom of the record: boxes to tick, lines to sign on, values, caution, tool and hash.

use super::input::{HASH_DIGITS, RecordInput};
use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, widths},
    page::{Fragment, HEADING_GAP, labelled, list, shorten},
    sheets::shared::Context,
    words::{
        printed::record::{
            AFTER, AFTER_WORK, BEFORE, BEFORE_WORK, CAUTION, PROCEDURE, SIGNATURE, made_with,
        },
        values,
    },
};

/// Clear width between columns, mm.
const GUTTER: f64 = 5.0;
/// Lettering of the entries to tick, mm.
const TICKS: f64 = 2.2;
/// Height of a line to write on, its name below included, mm.
const WRITING: f64 = 9.0;
/// From the line to write on down to the end of its name, mm.
const BELOW_LINE: f64 = 3.1;
/// Clear height between the parts, mm.
const GAP: f64 = 2.0;
/// Most lines of a note.
const MOST_LINES: usize = 4;

/// Boxes to tick, lines to sign on and what is read once.
#[must_use]
pub fn foot(context: &Context<'_>, input: &RecordInput<'_>, width: f64) -> Fragment {
    let mut piece = ticks(width);
    piece.stack(&procedure(width), 0.0);
    piece.stack(&signature(&context.record.technician, width), 0.0);
    let hash: String = input.hash.chars().take(HASH_DIGITS).collect();
    let notes = [
        (
            "Values used",
            values(&context.plan.template.values, context.inches),
        ),
        ("Caution", CAUTION.to_owned()),
        ("Made with", made_with(input.version, &hash)),
    ];
    for (index, (label, text)) in notes
        .iter()
        .filter(|(_, text)| !text.is_empty())
        .enumerate()
    {
        let gap = if index == 0 { GAP } else { HEADING_GAP };
        piece.stack(
            &labelled(label, text, width, heights::SMALL, MOST_LINES),
            gap,
        );
    }
    piece
}

fn ticks(width: f64) -> Fragment {
    let column = (width - GUTTER) / 2.0;
    let mut piece = Fragment::new(width);
    for (title, entries, left) in [
        (BEFORE_WORK, BEFORE, 0.0),
        (AFTER_WORK, AFTER, column + GUTTER),
    ] {
        let entries = entries.map(str::to_owned);
        if let Some(list) = list(title, &entries, column, TICKS) {
            list.place(piece.canvas(), left, 0.0);
            piece.height = piece.height.max(list.height);
        }
    }
    piece
}

fn procedure(width: f64) -> Fragment {
    let [by, page, result] = PROCEDURE;
    lines(width, &[(by, "", 0.4), (page, "", 0.4), (result, "", 0.2)])
}

fn signature(technician: &str, width: f64) -> Fragment {
    let [by, date, signature] = SIGNATURE;
    lines(
        width,
        &[(by, technician, 0.4), (date, "", 0.2), (signature, "", 0.4)],
    )
}

/// Lines to write on, each with its name, what is known already, and its share of the width.
fn lines(width: f64, fields: &[(&str, &str, f64)]) -> Fragment {
    let mut piece = Fragment::new(width);
    piece.height = WRITING;
    let room = width - GUTTER * fields.len().saturating_sub(1) as f64;
    let (mut left, line) = (0.0, -WRITING + BELOW_LINE);
    for (name, known, share) in fields {
        let right = left + room * share;
        let canvas = piece.canvas();
        canvas.line(
            Layer::Labels,
            (left, line),
            (right, line),
            Stroke::solid(widths::FINE),
        );
        canvas.text(Text::new(
            (left, line - BELOW_LINE + 0.6),
            heights::SMALL,
            *name,
        ));
        let known = shorten(known, right - left, heights::TEXT, Weight::Regular);
        canvas.text(Text::new((left, line + 1.2), heights::TEXT, known));
        left = right + GUTTER;
    }
    piece
}
