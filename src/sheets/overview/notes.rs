//! The parts that are read rather than measured: checklists, and the footnotes with cautions,
//! dimensions and floor.

use kurbo::Rect;

use super::tables::headline;
use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths},
    page::{Fragment, HEADING_GAP, LABEL, entries, height_of, labelled, wrap, write_lines},
    plan::{FloorPlan, Mat},
    sheets::shared::Legend,
    words::{
        caution_at_the_bay, measured,
        printed::{
            bay::{BEFORE_SETTING_OUT, BEFORE_TEARING_DOWN, badge_off, clear_floor},
            lays,
        },
        values,
    },
};

/// Most lines of one footnote: a template of very many values must not push the tables off the page.
/// What is cut ends in an ellipsis; plan.json has all of it.
const MOST_FOOTNOTE_LINES: usize = 6;
/// Clear space within the box of a warning, mm.
const WARNING_PADDING: f64 = 1.5;

/// What a page shows where it has room; the steps have it in any case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extra {
    /// Checklist before setting out.
    Preparation,
    /// Checklist before tearing down.
    Closing,
    /// How lays are read.
    HowToRead,
    /// The template's values.
    Values,
}

impl Extra {
    /// What is shown, the fullest first.
    pub const CHOICES: [&'static [Self]; 5] = [
        &[
            Self::Preparation,
            Self::Closing,
            Self::HowToRead,
            Self::Values,
        ],
        &[Self::Preparation, Self::Closing, Self::HowToRead],
        &[Self::Preparation, Self::Closing],
        &[Self::Closing],
        &[],
    ];
    /// How many of the choices, from the first, have a checklist.
    pub const WITH_LISTS: usize = 4;
}

/// The sections that follow the tables, in reading order; empty ones are left out.
#[must_use]
pub fn sections(plan: &FloorPlan, inches: bool, extras: &[Extra], width: f64) -> Vec<Fragment> {
    let mut sections = Vec::new();
    sections.extend(badge_warning(plan, inches, width));
    for (extra, title, points) in [
        (Extra::Preparation, BEFORE_SETTING_OUT, &plan.preparation),
        (Extra::Closing, BEFORE_TEARING_DOWN, &plan.closing),
    ] {
        if extras.contains(&extra) && !points.is_empty() {
            let mut piece = headline(title, "", width);
            piece.stack(&entries(points, width, heights::TEXT), HEADING_GAP);
            sections.push(piece);
        }
    }
    sections
}

/// What is read once, across the whole page: what a limit means, the dimensions that the numbers rest on, the floor, the cautions.
#[must_use]
pub fn footnotes(plan: &FloorPlan, inches: bool, width: f64, extras: &[Extra]) -> Fragment {
    let limits = if extras.contains(&Extra::HowToRead) {
        format!("{} {}", lays::LIMITS, lays::HOW)
    } else {
        lays::LIMITS.to_owned()
    };
    let proof = plan.proofs.first();
    let proven = proof
        .into_iter()
        .flat_map(|proof| [lays::quick(proof), lays::not_proven(plan, proof, inches)])
        .flatten();
    let check = std::iter::once(limits).chain(proven).collect::<Vec<_>>();
    let mut notes = vec![
        ("Check", check.join(" ")),
        ("Vehicle", measured(&plan.vehicle, inches)),
        ("Floor", clear_floor(plan, inches)),
        ("Caution", caution_at_the_bay(plan)),
    ];
    if plan.lays.is_empty() {
        notes.remove(0);
    }
    if extras.contains(&Extra::Values) {
        notes.push(("Values", values(&plan.template.values, inches)));
    }
    let mut piece = Fragment::new(width);
    if let Some(mat) = &plan.mat {
        piece.stack(&mat_note(mat, width), HEADING_GAP);
    }
    for (label, text) in notes.iter().filter(|(_, text)| !text.is_empty()) {
        piece.stack(
            &labelled(label, text, width, heights::TEXT, MOST_FOOTNOTE_LINES),
            HEADING_GAP,
        );
    }
    piece
}

/// Which lines on the mat are whose.
fn mat_note(mat: &Mat, width: f64) -> Fragment {
    let legend = Legend::new(mat, width - LABEL, heights::TEXT);
    let mut note = Fragment::new(width);
    note.height = legend.height();
    note.canvas()
        .text(Text::new((0.0, -heights::TEXT), heights::TEXT, "On the mat").bold());
    legend.draw(note.canvas(), LABEL, 0.0);
    note
}

fn badge_warning(plan: &FloorPlan, inches: bool, width: f64) -> Option<Fragment> {
    let text = badge_off(plan, inches)?;
    let (lettering, inner) = (heights::TEXT, width - 2.0 * WARNING_PADDING);
    let sign = text_width("▲ ", lettering, Weight::Bold);
    let lines = wrap(&text, inner - sign, lettering, Weight::Bold);
    let mut content = Fragment::new(inner);
    content.height = height_of(lines.len(), lettering);
    content
        .canvas()
        .text(Text::new((0.0, -lettering), lettering, "▲").bold());
    write_lines(&mut content, lines, sign, lettering, Weight::Bold);
    let mut piece = Fragment::new(width);
    piece.height = content.height + 2.0 * WARNING_PADDING;
    let frame = Rect::new(0.0, -piece.height, width, 0.0);
    piece.canvas().rect(
        Layer::Labels,
        frame,
        None,
        Some(Stroke::solid(widths::WIDE)),
    );
    content.place(piece.canvas(), WARNING_PADDING, -WARNING_PADDING);
    Some(piece)
}
