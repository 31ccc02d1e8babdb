//! Running text, headings and lists as pieces.

use kurbo::Point;

use super::{Fragment, shorten, tick_box, wrap, wrap_to};
use crate::drawing::{Text, Weight, heights};

/// Baseline to baseline of running text as a multiple of the lettering.
pub const LEADING: f64 = 1.5;
/// Extra clear height between two entries of a list, as a multiple of the lettering.
const ENTRY_GAP: f64 = 0.35;
/// Width kept for the words that labelled text begins with, mm.
pub const LABEL: f64 = 19.0;
/// Indent of a list entry as a multiple of the lettering.
const INDENT: f64 = 1.9;
/// Clear height between a heading and what stands below it, mm.
pub const HEADING_GAP: f64 = 1.3;

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

/// Entries to tick under a heading; `None` when there are none.
#[must_use]
pub fn list(title: &str, points: &[String], width: f64, lettering: f64) -> Option<Fragment> {
    if points.is_empty() {
        return None;
    }
    let mut piece = heading(title, "", width);
    piece.stack(&entries(points, width, lettering), HEADING_GAP);
    Some(piece)
}

/// Entries to tick.
#[must_use]
pub fn entries(points: &[String], width: f64, lettering: f64) -> Fragment {
    let indent = INDENT * lettering;
    let mut piece = Fragment::new(width);
    for point in points {
        let lines = wrap(point, width - indent, lettering, Weight::Regular);
        let mut part = Fragment::new(width);
        part.height = height_of(lines.len(), lettering);
        tick_box(part.canvas(), Point::new(0.0, -lettering), lettering);
        write_lines(&mut part, lines, indent, lettering, Weight::Regular);
        piece.stack(&part, (LEADING - 1.0 + ENTRY_GAP) * lettering);
    }
    piece
}

/// Running text behind the bold word that it begins with; at most `most` lines.
#[must_use]
pub fn labelled(label: &str, text: &str, width: f64, lettering: f64, most: usize) -> Fragment {
    let mut note = Fragment::new(width);
    let lines = wrap_to(text, width - LABEL, lettering, Weight::Regular, most);
    note.height = height_of(lines.len(), lettering);
    note.canvas()
        .text(Text::new((0.0, -lettering), lettering, label).bold());
    write_lines(&mut note, lines, LABEL, lettering, Weight::Regular);
    note
}

/// Height of so many lines of running text, mm, from the first one's capitals to the last one's baseline.
#[must_use]
pub fn height_of(lines: usize, lettering: f64) -> f64 {
    lettering + lettering * LEADING * lines.saturating_sub(1) as f64
}

/// Writes lines of running text from `left` mm on, the first one at the top of the piece.
pub fn write_lines(
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
