//! What is said and drawn on sheets of every kind: cautions, values used, how to print, where the front is.

use kurbo::{Point, Vec2};

use super::{Context, PageNumber};
use crate::{
    drawing::{Drawing, Layer, Stroke, Tone, Weight, widths},
    page::{Block, wrap},
    plan::{FloorPlan, ValueEcho},
    units::{inch_text, mm_exact},
};

/// What is said about danger, in the order of its weight.
pub const CAUTIONS: [&str; 6] = [
    "The vehicle maker's service information for this very vehicle goes first; these numbers are only as good as \
     those put in.",
    "This sheet lays out marks; it does not say that a system is calibrated.",
    "Wheels chocked, keys with one person, nobody between vehicle and wall.",
    "Strings and tape strips are trip hazards.",
    "Never look into a laser.",
    "Work for trained staff, under local rules.",
];

/// The template's values in one run of text, demonstration values named as such.
#[must_use]
pub fn values(values: &[ValueEcho], inches: bool) -> String {
    let one = |value: &ValueEcho| {
        let mut text = format!(
            "{} {} {}",
            value.meaning,
            mm_exact(value.value, 1),
            value.unit
        );
        if inches && value.unit == "mm" {
            text = format!("{text} ({} in)", inch_text(value.value));
        }
        if value.is_default {
            format!("{text} (demo)")
        } else {
            text
        }
    };
    let mut text = values.iter().map(one).collect::<Vec<_>>().join("; ");
    if values.iter().any(|value| value.is_default) {
        text.push_str(
            ". Demo: a demonstration value, to be replaced by the service information's.",
        );
    }
    text
}

/// The caution that every full-scale sheet carries.
#[must_use]
pub fn caution(plan: &FloorPlan) -> &'static str {
    if plan.template.values.iter().any(|value| value.is_default) {
        "Demonstration values: the vehicle maker’s service information goes first."
    } else {
        "The vehicle maker’s service information goes first."
    }
}

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

/// How to print, what this is, and whose word goes first, for a full-scale page.
pub fn notes(context: &Context, page: PageNumber, height: f64, width: f64) -> Block {
    let plain = [
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
