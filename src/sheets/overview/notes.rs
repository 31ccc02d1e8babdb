//! The parts that are read rather than measured: checklists, and the footnotes with cautions,
//! values and floor.

use kurbo::{Point, Rect};

use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths},
    plan::{FloorPlan, Mat, ValueEcho},
    sheets::{
        fragment::Fragment,
        legend::Legend,
        table::tick_box,
        wrap::{shorten, wrap, wrap_to},
    },
    units::{inch_text, mm_exact, mm_text},
};

/// Baseline to baseline of running text as a multiple of the lettering.
const LEADING: f64 = 1.5;
/// Extra clear height between two entries of a list, as a multiple of the lettering.
const ENTRY_GAP: f64 = 0.35;
/// Width kept for the words that the footnotes begin with, mm.
const FOOTNOTE_LABEL: f64 = 19.0;
/// Indent of a list entry as a multiple of the lettering.
const INDENT: f64 = 1.9;
/// Most lines of one footnote: a template of very many values must not push the tables off the page.
/// What is cut ends in an ellipsis; plan.json has all of it.
const MOST_FOOTNOTE_LINES: usize = 6;
/// Clear height between a heading and what stands below it, mm.
pub const HEADING_GAP: f64 = 1.3;
/// Clear space within the box of a warning, mm.
const WARNING_PADDING: f64 = 1.5;
/// A badge less than this off the true centre, mm, is not worth a warning: nobody plumbs finer.
const BADGE_MATTERS: f64 = 0.5;

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

/// Heading of a section with a remark behind it when there is room.
#[must_use]
pub fn heading(title: &str, remark: &str, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let title = Text::new((0.0, -heights::TEXT), heights::TEXT, title).bold();
    let after = title.width() + 2.5;
    piece.canvas().text(title);
    let remark = shorten(remark, width - after, heights::SMALL, Weight::Regular);
    piece
        .canvas()
        .text(Text::new((after, -heights::TEXT), heights::SMALL, remark));
    piece.height = heights::TEXT;
    piece
}

/// Running text.
#[must_use]
pub fn paragraph(text: &str, width: f64, lettering: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let lines = wrap(text, width, lettering, Weight::Regular);
    piece.height = height_of(lines.len(), lettering);
    write_lines(&mut piece, lines, 0.0, lettering, Weight::Regular);
    piece
}

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

/// Entries to tick under a heading, at most `most` of them; `None` when there are none.
#[must_use]
pub fn list(
    title: &str,
    entries: &[String],
    width: f64,
    lettering: f64,
    most: usize,
) -> Option<Fragment> {
    if entries.is_empty() {
        return None;
    }
    let mut piece = heading(title, "", width);
    let indent = INDENT * lettering;
    for (index, entry) in entries.iter().take(most).enumerate() {
        let lines = wrap(entry, width - indent, lettering, Weight::Regular);
        let mut part = Fragment::new(width);
        part.height = height_of(lines.len(), lettering);
        let start = Point::new(0.0, -lettering);
        tick_box(part.canvas(), start, lettering);
        write_lines(&mut part, lines, indent, lettering, Weight::Regular);
        piece.stack(
            &part,
            if index == 0 {
                HEADING_GAP
            } else {
                (LEADING - 1.0 + ENTRY_GAP) * lettering
            },
        );
    }
    if let left_out @ 1.. = entries.len().saturating_sub(most) {
        let note = format!("… and {left_out} more in the template");
        piece.stack(&paragraph(&note, width, heights::SMALL), HEADING_GAP);
    }
    Some(piece)
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

/// Running text behind the bold word that it begins with; at most `most` lines.
#[must_use]
pub fn labelled(label: &str, text: &str, width: f64, lettering: f64, most: usize) -> Fragment {
    let mut note = Fragment::new(width);
    let lines = wrap_to(
        text,
        width - FOOTNOTE_LABEL,
        lettering,
        Weight::Regular,
        most,
    );
    note.height = height_of(lines.len(), lettering);
    note.canvas()
        .text(Text::new((0.0, -lettering), lettering, label).bold());
    write_lines(&mut note, lines, FOOTNOTE_LABEL, lettering, Weight::Regular);
    note
}

/// Which lines on the mat are whose.
fn mat_note(mat: &Mat, width: f64) -> Fragment {
    let legend = Legend::new(mat, width - FOOTNOTE_LABEL, heights::SMALL);
    let mut note = Fragment::new(width);
    note.height = legend.height();
    note.canvas()
        .text(Text::new((0.0, -heights::SMALL), heights::SMALL, "On the mat").bold());
    legend.draw(note.canvas(), FOOTNOTE_LABEL, 0.0);
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

fn height_of(lines: usize, lettering: f64) -> f64 {
    lettering + lettering * LEADING * lines.saturating_sub(1) as f64
}

fn write_lines(
    piece: &mut Fragment,
    lines: Vec<String>,
    left: f64,
    lettering: f64,
    weight: Weight,
) {
    for (index, line) in lines.into_iter().enumerate() {
        let baseline = -lettering - lettering * LEADING * index as f64;
        let text = Text::new((left, baseline), lettering, line);
        piece.canvas().text(if weight == Weight::Bold {
            text.bold()
        } else {
            text
        });
    }
}
