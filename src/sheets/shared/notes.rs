//! What is drawn on sheets of every kind: how to print, where the front is.

use kurbo::{Point, Vec2};

use super::{Context, PageNumber};
use crate::{
    drawing::{Drawing, Layer, Stroke, Tone, Weight, widths},
    page::{Block, wrap},
    words::{caution, printed::hand_cut::ON_SHEET},
};

/// Draws an arrow of `length` mm about `middle`; `along` is a unit vector.
pub fn arrow(drawing: &mut Drawing, middle: Point, along: Vec2, length: f64) {
    let (head, half) = (length * 0.34, length * 0.14);
    let across = Vec2::new(-along.y, along.x);
    let tip = middle + along * (length / 2.0);
    let neck = tip - along * head;
    drawing.line(
        Layer::Labels,
        middle - along * (length / 2.0),
        neck,
        Stroke::solid(widths::FRAME),
    );
    drawing.polygon(
        Layer::Labels,
        &[tip, neck + across * half, neck - across * half],
        Some(Tone::BLACK),
        None,
    );
}

/// How to print, how to cut where that is done by hand, what this is, and whose word goes first, for a full-scale page.
pub fn notes(context: &Context, page: PageNumber, by_hand: bool, height: f64, width: f64) -> Block {
    let cutting = if by_hand { ON_SHEET } else { "" };
    let plain = [
        cutting.to_owned(),
        context.plan.vehicle.name.clone(),
        context.plan.template.name.clone(),
        format!("printer: {}", context.printer),
        format!("page {} of {}", page.page, page.of),
        caution(context.plan).to_owned(),
    ];
    let mut lines = vec![("Print at 100 %".to_owned(), height, Weight::Bold)];
    for text in plain.iter().filter(|text| !text.is_empty()) {
        lines.extend(
            wrap(text, width, height, Weight::Regular)
                .into_iter()
                .map(|l| (l, height, Weight::Regular)),
        );
    }
    Block::new(&lines)
}
