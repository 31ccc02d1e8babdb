//! The parts that are read rather than measured: checklists, and the footnotes with cautions,
//! values and floor.

use kurbo::Rect;

use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths},
    page::{Fragment, HEADING_GAP, LABEL, height_of, labelled, list, wrap, write_lines},
    plan::{FloorPlan, Mat},
    sheets::shared::Legend,
    units::{inch_text, mm_exact, mm_text},
    words::{CAUTIONS, values},
};

/// Most lines of one footnote: a template of very many values must not push the tables off the page.
/// What is cut ends in an ellipsis; plan.json has all of it.
const MOST_FOOTNOTE_LINES: usize = 6;
/// Clear space within the box of a warning, mm.
const WARNING_PADDING: f64 = 1.5;
/// A badge less than this off the true centre, mm, is not worth a warning: nobody plumbs finer.
const BADGE_MATTERS: f64 = 0.5;

/// The sections that follow the tables, in reading order; empty ones are left out. At most
/// `entries` entries in each checklist.
#[must_use]
pub fn sections(
    plan: &FloorPlan,
    inches: bool,
    lettering: f64,
    width: f64,
    entries: usize,
) -> Vec<Fragment> {
    let mut sections = Vec::new();
    sections.extend(badge_warning(plan, inches, width, lettering));
    sections.extend(list(
        "Before setting out",
        &plan.preparation,
        width,
        lettering,
        entries,
    ));
    sections.extend(list(
        "Before tearing down",
        &plan.closing,
        width,
        lettering,
        entries,
    ));
    sections
}

/// What is read once, small and across the whole page: cautions, the values used, the floor.
#[must_use]
pub fn footnotes(plan: &FloorPlan, inches: bool, width: f64) -> Fragment {
    let notes = [
        ("Caution", CAUTIONS.join(" ")),
        ("Values used", values(&plan.template.values, inches)),
        ("Floor", floor_lines(plan, inches).join(" ")),
    ];
    let mut piece = Fragment::new(width);
    if let Some(mat) = &plan.mat {
        piece.stack(&mat_note(mat, width), HEADING_GAP);
    }
    for (label, text) in notes.iter().filter(|(_, text)| !text.is_empty()) {
        piece.stack(
            &labelled(label, text, width, heights::SMALL, MOST_FOOTNOTE_LINES),
            HEADING_GAP,
        );
    }
    piece
}

/// Which lines on the mat are whose.
fn mat_note(mat: &Mat, width: f64) -> Fragment {
    let legend = Legend::new(mat, width - LABEL, heights::SMALL);
    let mut note = Fragment::new(width);
    note.height = legend.height();
    note.canvas()
        .text(Text::new((0.0, -heights::SMALL), heights::SMALL, "On the mat").bold());
    legend.draw(note.canvas(), LABEL, 0.0);
    note
}

fn floor_lines(plan: &FloorPlan, inches: bool) -> Vec<String> {
    let size = |along: f64, across: f64| {
        let mm = format!("{} × {} mm", mm_text(along), mm_text(across));
        if inches {
            format!("{mm} ({} × {} in)", inch_text(along), inch_text(across))
        } else {
            mm
        }
    };
    let needed = plan.floor.needed;
    let mut lines = vec![format!(
        "Clear floor needed: {}.",
        size(needed.width(), needed.height())
    )];
    let Some(bay) = &plan.floor.bay else {
        lines.push("No bay named: measure the clear floor before setting out.".to_owned());
        return lines;
    };
    let verdict = if bay.fits() { "fits" } else { "does NOT fit" };
    lines.push(format!("Bay {}: {verdict}.", size(bay.size.0, bay.size.1)));
    for (word, short) in [("along", bay.short.0), ("across", bay.short.1)] {
        if short > 0.0 {
            lines.push(format!("Short by {} mm {word}.", mm_text(short.ceil())));
        }
    }
    if !bay.hit.is_empty() {
        lines.push(format!("In the way: {}.", bay.hit.join(", ")));
    }
    lines
}

fn badge_warning(plan: &FloorPlan, inches: bool, width: f64, lettering: f64) -> Option<Fragment> {
    let offset = plan.vehicle.badge_offset;
    if offset.abs() < BADGE_MATTERS {
        return None;
    }
    let side = if offset > 0.0 { "left" } else { "right" };
    let mut length = format!("{} mm", mm_exact(offset.abs(), 1));
    if inches {
        length = format!("{length} ({} in)", inch_text(offset.abs()));
    }
    let text = format!("The badge is {length} {side} of the true centre: do not plumb from it.");
    let inner = width - 2.0 * WARNING_PADDING;
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
