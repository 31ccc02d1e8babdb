//! The top of the record: the verdict in large letters, what it means, and what it does not.

use kurbo::Rect;

use super::input::RecordInput;
use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, widths},
    page::{Fragment, LEADING, labelled, paragraph, shorten, wrap},
    sheets::shared::Context,
    words::{
        Lengths,
        printed::record::{NOT_SAID, STILL_TO_DO, TITLE, advice, meaning, pose},
    },
};

/// Clear space within the verdict's box, mm.
const PADDING: f64 = 2.2;
/// Clear height between two paragraphs, mm.
const GAP: f64 = 1.4;
/// Lettering of what the verdict means, mm.
const MEANING: f64 = 2.2;
/// Lettering of the notes below the box, mm.
const NOTE: f64 = 2.0;
/// Most lines of one note: what is longer ends in an ellipsis and is in the report of the check.
const MOST_LINES: usize = 3;

/// Heading, verdict and the notes on the whole.
#[must_use]
pub fn head(context: &Context<'_>, input: &RecordInput<'_>, width: f64) -> Fragment {
    let mut piece = heading(context, width);
    piece.stack(&verdict(input, width), GAP);
    let notes = [
        (
            "Whole grid",
            pose(
                input.assessment,
                input.against,
                Lengths {
                    inches: context.inches,
                },
            ),
        ),
        (STILL_TO_DO, advice(input.words)),
        ("Floor", input.levels.get(1..).unwrap_or_default().join(" ")),
    ];
    for (label, text) in notes.iter().filter(|(_, text)| !text.is_empty()) {
        piece.stack(&labelled(label, text, width, NOTE, MOST_LINES), GAP);
    }
    piece
}

fn heading(context: &Context<'_>, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let title = Text::new((0.0, -heights::TITLE), heights::TITLE, TITLE).bold();
    let after = title.width() + 4.0;
    piece.canvas().text(title);
    let of = shorten(
        &context.plan.vehicle.name,
        width - after,
        heights::HEADING,
        Weight::Regular,
    );
    piece
        .canvas()
        .text(Text::new((after, -heights::TITLE), heights::HEADING, of));
    piece.height = heights::TITLE + 1.0;
    piece
}

/// A verdict in the largest bold lettering in which it takes one line; in the smallest where it takes more.
fn large(text: &str, width: f64) -> Fragment {
    let sizes = [heights::TITLE, heights::HEADING, heights::TEXT];
    let set = |size: f64| wrap(text, width, size, Weight::Bold);
    let size = sizes
        .into_iter()
        .find(|size| set(*size).len() == 1)
        .unwrap_or(heights::TEXT);
    let mut piece = Fragment::new(width);
    for (line, words) in set(size).into_iter().enumerate() {
        let base = -size - line as f64 * size * LEADING;
        piece
            .canvas()
            .text(Text::new((0.0, base), size, words).bold());
        piece.height = -base + 0.6;
    }
    piece
}

const LARGE_GAP: f64 = 1.0;

fn verdict(input: &RecordInput<'_>, width: f64) -> Fragment {
    let inner = width - 2.0 * PADDING;
    let mut content = Fragment::new(inner);
    for text in std::iter::once(&input.words.headline).chain(input.levels.first()) {
        content.stack(&large(text, inner), LARGE_GAP);
    }
    for text in [meaning(input.assessment, input.words).as_str(), NOT_SAID] {
        content.stack(&paragraph(text, inner, MEANING), GAP);
    }
    let mut piece = Fragment::new(width);
    piece.height = content.height + 2.0 * PADDING;
    let frame = Rect::new(0.0, -piece.height, width, 0.0);
    piece.canvas().rect(
        Layer::Labels,
        frame,
        None,
        Some(Stroke::solid(widths::WIDE)),
    );
    content.place(piece.canvas(), PADDING, -PADDING);
    piece
}
