//! One step as a row: box and number, what to do, what to tape, what to check.

use kurbo::Point;

use crate::{
    drawing::{Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    page::{Fragment, LEADING, tick_box, wrap},
    sheets::shared::Context,
    survey::{SettingOutSteps, Step, TapedLength, Way},
    units::{SAME_WRITTEN_MM, inch_text, mm_text},
    words::printed::setting_out::{HEADINGS, expectation},
};

/// Width of the box with the step's number, and of a gap between columns, mm.
const NUMBER_COLUMN: f64 = 16.0;
const COLUMN_GAP: f64 = 3.5;
/// Width of a column of distances, without and with inches, mm.
const DISTANCES: f64 = 45.0;
const DISTANCES_WITH_INCHES: f64 = 55.0;
/// Width kept for inches, mm: `298 15/16`.
const INCHES: f64 = 18.5;
/// Width kept between a name and its number, mm.
const NAME_GAP: f64 = 1.5;
/// Height of the step's number and of its tick box, mm.
const STEP_NUMBER: f64 = heights::TITLE;
const TICK: f64 = heights::HEADING;
/// Distances of one step stand in rows of at most this many, so that a step of very many fits on a page.
const MOST_DISTANCES: usize = 18;
/// Clear height above and below what stands in a row, mm.
const PADDING: f64 = 1.1;
/// Sizes in mm.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Height of the instructions' lettering.
    pub text: f64,
    /// Height of the numbers to tape.
    pub number: f64,
    /// Height of the picture.
    pub picture: f64,
}

/// Left and right edges of the columns, mm.
#[derive(Clone, Debug)]
pub struct Columns {
    width: f64,
    text: (f64, f64),
    tape: (f64, f64),
    check: (f64, f64),
    inches: bool,
}

impl Columns {
    /// Columns on `width` mm.
    #[must_use]
    pub fn new(width: f64, inches: bool) -> Self {
        let distances = if inches {
            DISTANCES_WITH_INCHES
        } else {
            DISTANCES
        };
        let check = (width - distances, width);
        let tape = (check.0 - COLUMN_GAP - distances, check.0 - COLUMN_GAP);
        Self {
            width,
            text: (NUMBER_COLUMN, tape.0 - COLUMN_GAP),
            tape,
            check,
            inches,
        }
    }
}

/// What stands above the columns.
#[must_use]
pub fn headings(columns: &Columns) -> Fragment {
    let mut piece = Fragment::new(columns.width);
    let baseline = -heights::TEXT;
    let words = HEADINGS;
    for (x, words) in [0.0, columns.text.0, columns.tape.0, columns.check.0]
        .into_iter()
        .zip(words)
    {
        piece
            .canvas()
            .text(Text::new((x, baseline), heights::TEXT, words).bold());
    }
    let number = if columns.inches { INCHES } else { 0.0 };
    for (_, right) in [columns.tape, columns.check] {
        piece
            .canvas()
            .text(Text::new((right - number, baseline), heights::TEXT, "mm").right());
        if columns.inches {
            piece
                .canvas()
                .text(Text::new((right, baseline), heights::TEXT, "in").right());
        }
    }
    piece.height = heights::TEXT * LEADING;
    let (y, width) = (-piece.height, columns.width);
    piece.canvas().line(
        Layer::Labels,
        (0.0, y),
        (width, y),
        Stroke::solid(widths::MEDIUM),
    );
    piece
}

/// All rows of a way; a step of very many distances takes several.
#[must_use]
pub fn rows(
    context: &Context<'_>,
    steps: &SettingOutSteps,
    way: Way,
    style: Style,
    columns: &Columns,
) -> Vec<Fragment> {
    let mut rows = Vec::new();
    for step in steps.way(way) {
        let (tape, check) = (entries(&step.tape, " → "), entries(&step.check, "–"));
        let count = tape.len().div_ceil(MOST_DISTANCES).max(1);
        for part in 0..count {
            let shown = tape.iter().skip(part * MOST_DISTANCES).take(MOST_DISTANCES);
            let checks: &[Entry] = if part + 1 == count { &check } else { &[] };
            let mut row = Fragment::new(columns.width);
            if part == 0 {
                number(&mut row, step.number);
                instruction(
                    &mut row,
                    step,
                    &expectation(context.plan, steps, way, step, context.inches),
                    style.text,
                    // Where nothing is taped, the words take the whole width.
                    if step.tape.is_empty() && step.check.is_empty() {
                        (columns.text.0, columns.width)
                    } else {
                        columns.text
                    },
                );
            }
            distances(&mut row, shown, style.number, columns.tape, columns.inches);
            distances(
                &mut row,
                checks.iter(),
                style.number,
                columns.check,
                columns.inches,
            );
            row.height += PADDING;
            rows.push(row);
        }
    }
    rows
}

fn number(row: &mut Fragment, number: usize) {
    let baseline = -PADDING - STEP_NUMBER;
    let middle = baseline + (STEP_NUMBER - TICK) / 2.0;
    tick_box(row.canvas(), Point::new(0.0, middle), TICK);
    let left = TICK * 1.15 + 1.2;
    let words = number.to_string();
    // Three digits are lettered smaller.
    let room = NUMBER_COLUMN - left - 1.0;
    let height = STEP_NUMBER * (room / text_width(&words, STEP_NUMBER, Weight::Bold)).min(1.0);
    row.canvas()
        .text(Text::new((left, baseline), height, words).bold());
    row.height = row.height.max(-baseline + PADDING);
}

fn instruction(
    row: &mut Fragment,
    step: &Step,
    expectation: &str,
    lettering: f64,
    (left, right): (f64, f64),
) {
    let mut y = -PADDING;
    for (text, height) in [
        (step.instruction.to_string().as_str(), lettering),
        (expectation, lettering),
    ] {
        let lines = wrap(text, right - left, height, Weight::Regular);
        for line in lines {
            row.canvas()
                .text(Text::new((left, y - height), height, line));
            y -= height * LEADING;
        }
    }
    row.height = row.height.max(-y);
}

/// A distance with all pairs of points that have it.
struct Entry {
    names: String,
    mm: f64,
}

/// Distances of one number put together: `1C → 1L, 1R`.
fn entries(pulls: &[TapedLength], joint: &str) -> Vec<Entry> {
    let mut entries: Vec<(Entry, String)> = Vec::new();
    for pull in pulls {
        let same = |(entry, _): &&mut (Entry, String)| {
            (entry.mm - pull.distance()).abs() < SAME_WRITTEN_MM
        };
        match entries.iter_mut().find(same) {
            Some((entry, from)) if *from == pull.from.name => {
                entry.names.push_str(&format!(", {}", pull.to.name));
            }
            Some((entry, from)) => {
                entry
                    .names
                    .push_str(&format!(", {}{joint}{}", pull.from.name, pull.to.name));
                from.clone_from(&pull.from.name);
            }
            None => {
                let names = format!("{}{joint}{}", pull.from.name, pull.to.name);
                entries.push((
                    Entry {
                        names,
                        mm: pull.distance(),
                    },
                    pull.from.name.clone(),
                ));
            }
        }
    }
    entries.into_iter().map(|(entry, _)| entry).collect()
}

/// Writes distances one below the other, names at the left, numbers at the right.
fn distances<'e>(
    row: &mut Fragment,
    entries: impl Iterator<Item = &'e Entry>,
    height: f64,
    (left, right): (f64, f64),
    inches: bool,
) {
    let number_right = if inches { right - INCHES } else { right };
    let mut y = -PADDING;
    for (index, entry) in entries.enumerate() {
        if index > 0 {
            let rule = Stroke::solid(widths::FINE).toned(Tone::QUIET);
            row.canvas()
                .line(Layer::Labels, (left, y + 0.4), (right, y + 0.4), rule);
            y -= 0.8;
        }
        let baseline = y - height;
        let number = mm_text(entry.mm);
        let room = number_right - left - NAME_GAP - text_width(&number, height, Weight::Bold);
        row.canvas().text(
            Text::new((number_right, baseline), height, number)
                .bold()
                .right(),
        );
        if inches {
            row.canvas().text(
                Text::new(
                    (right, baseline),
                    heights::TEXT.min(height),
                    inch_text(entry.mm),
                )
                .right(),
            );
        }
        let lettering = heights::TEXT.min(height);
        let lines = wrap(&entry.names, room, lettering, Weight::Regular);
        for (line, words) in lines.iter().enumerate() {
            let below = lettering * LEADING * line as f64;
            row.canvas().text(Text::new(
                (left, baseline - below),
                lettering,
                words.clone(),
            ));
        }
        y -= height
            + lettering * LEADING * lines.len().saturating_sub(1) as f64
            + 0.36 * height
            + 0.4;
    }
    row.height = row.height.max(-y);
}
