//! An exercise as pieces.

use super::{
    Reader,
    figure::figure,
    flow::Piece,
    grid::{Entry, Grid},
    page::points_in_words,
    style::Style,
};
use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths},
    practice::{Block, Cell, Exercise, Question, WrongAnswer},
    sheets::{fragment::Fragment, table::tick_box, wrap::wrap},
};

/// Distance of the ruled lines that are written on, mm.
const RULED: f64 = 8.0;
/// By how much a question's text stands in from its number, mm.
const INDENT: f64 = 8.0;
/// Clear height above a block, mm.
const BLOCK_GAP: f64 = 3.0;
/// Clear height between paragraphs, mm.
const PARAGRAPH_GAP: f64 = 1.5;
/// Side of a box to tick and clear space to its right, mm.
const BOX_ROOM: f64 = 6.0;
/// Least distance of the rows of boxes to tick, mm: a cross drawn by hand must not touch the next box.
const TICK_ROW: f64 = 7.0;
/// Clear space between two columns of boxes to tick, mm.
const TICK_GAP: f64 = 6.0;
/// Most columns of boxes to tick.
const TICK_COLUMNS: usize = 4;

/// Turns an exercise into pieces for a reader.
#[derive(Clone, Copy)]
pub struct Writer {
    pub reader: Reader,
    pub style: Style,
    /// Width of the page's body, mm.
    pub width: f64,
}

impl Writer {
    /// Everything of an exercise below its head.
    pub fn exercise(&self, exercise: &Exercise) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = self.blocks(&exercise.given, self.width);
        for (number, question) in (1..).zip(&exercise.questions) {
            pieces.extend(self.question(number, question));
            if self.reader == Reader::Teacher {
                let worked = exercise.worked.iter().filter(|worked| worked.question == number);
                let lines: Vec<&str> = worked.flat_map(|worked| worked.lines.iter().map(String::as_str)).collect();
                pieces.extend(self.worked(&lines));
            }
        }
        if self.reader == Reader::Teacher && !exercise.wrong.is_empty() {
            pieces.extend(self.wrong(&exercise.wrong));
        }
        pieces
    }

    fn question(&self, number: usize, question: &Question) -> Vec<Piece> {
        let points = points_in_words(question.points);
        let points = Text::new((self.width - INDENT, -self.style.text), heights::TEXT, points).right();
        let room = self.width - INDENT - points.width() - 4.0;
        let mut pieces = self.paragraph(&question.text, room, Weight::Bold);
        if let Some(first) = pieces.first_mut() {
            let name = Text::new((-INDENT, -self.style.text), self.style.text, number.to_string()).bold();
            first.fragment.canvas().text(name);
            first.fragment.canvas().text(points);
            (first.gap, first.airy) = (self.style.gap, true);
        }
        let blocks = self.blocks(&question.blocks, self.width - INDENT);
        if !blocks.is_empty() {
            pieces.iter_mut().for_each(|piece| piece.keep = true);
        }
        pieces.into_iter().chain(blocks).map(|piece| Piece { indent: piece.indent + INDENT, ..piece }).collect()
    }

    /// Blocks one below the other.
    fn blocks(&self, blocks: &[Block], width: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut after_text = true;
        for block in blocks {
            let start = pieces.len();
            pieces.extend(self.block(block, width));
            let is_text = matches!(block, Block::Text(_));
            if let Some(first) = pieces.get_mut(start).filter(|_| is_text && !after_text) {
                first.gap = BLOCK_GAP;
            }
            after_text = is_text;
        }
        pieces
    }

    /// A block as pieces no wider than `width` mm.
    fn block(&self, block: &Block, width: f64) -> Vec<Piece> {
        match block {
            Block::Text(text) => self.paragraph(text, width, Weight::Regular),
            Block::Table { columns, rows } => self.table(columns, rows, width),
            Block::Figure(shown) => {
                let indent = (self.width - width).max(0.0);
                // A figure to scale may need the width that questions stand in from the left.
                let drawn = figure(shown, self.reader, width, self.style.figure);
                let left = ((width - drawn.width) / 2.0).max(-indent);
                vec![Piece { indent: left, ..Piece::new(drawn, BLOCK_GAP) }]
            }
            Block::Lines(count) if self.reader == Reader::Trainee => (0..*count).map(|_| ruled(width)).collect(),
            Block::Lines(_) => Vec::new(),
            Block::Choices { options, right } => self.choices(options, right, width),
        }
    }

    /// Running text, a piece for each line; line breaks in the text are kept.
    fn paragraph(&self, text: &str, width: f64, weight: Weight) -> Vec<Piece> {
        let lines: Vec<String> = text.lines().flat_map(|line| wrap(line, width, self.style.text, weight)).collect();
        let count = lines.len();
        let piece = |(index, line): (usize, String)| {
            let gap = if index == 0 { PARAGRAPH_GAP } else { 0.0 };
            let piece = Piece::new(self.line(&line, width, weight), gap);
            // Neither the first nor the last line of a paragraph is left alone.
            Piece { keep: count > 1 && (index == 0 || index + 2 == count), ..piece }
        };
        lines.into_iter().enumerate().map(piece).collect()
    }

    fn line(&self, text: &str, width: f64, weight: Weight) -> Fragment {
        let mut piece = Fragment::new(width);
        let text = Text { weight, ..Text::new((0.0, -self.style.text), self.style.text, text) };
        piece.canvas().text(text);
        piece.height = self.style.pitch();
        piece
    }

    fn table(&self, columns: &[String], rows: &[Vec<Cell>], width: f64) -> Vec<Piece> {
        let entry = |cell: &Cell| match (cell, self.reader) {
            (Cell::Given(text), _) => Entry::Text(text.clone()),
            (Cell::Blank(text), Reader::Trainee) => Entry::Blank(text.clone()),
            (Cell::Blank(text), Reader::Teacher) => Entry::Bold(text.clone()),
        };
        let rows = rows.iter().map(|row| row.iter().map(entry).collect()).collect();
        self.grid(columns.to_vec(), rows, width)
    }

    fn grid(&self, columns: Vec<String>, rows: Vec<Vec<Entry>>, width: f64) -> Vec<Piece> {
        let grid = Grid { columns, rows, lettering: self.style.text, write_row: self.style.write_row };
        grid.pieces(width, BLOCK_GAP)
    }

    /// Boxes to tick, side by side where all options are short.
    fn choices(&self, options: &[String], right: &[usize], width: f64) -> Vec<Piece> {
        let text = self.style.text;
        let widest = options.iter().map(|option| text_width(option, text, Weight::Bold)).fold(0.0, f64::max);
        let column = BOX_ROOM + widest + TICK_GAP;
        let columns = ((width / column) as usize).clamp(1, TICK_COLUMNS);
        let numbered: Vec<(usize, &String)> = options.iter().enumerate().collect();
        let rows: Vec<Fragment> = numbered
            .chunks(columns)
            .map(|row| {
                let mut piece = Fragment::new(width);
                for (place, &(index, option)) in row.iter().enumerate() {
                    let ticked = self.reader == Reader::Teacher && right.contains(&index);
                    let height = self.choice(&mut piece, option, ticked, place as f64 * column, width);
                    piece.height = piece.height.max(height);
                }
                piece
            })
            .collect();
        let last = rows.len().saturating_sub(1);
        let piece = |(index, row)| {
            let piece = Piece::new(row, if index == 0 { BLOCK_GAP - 1.0 } else { 0.0 });
            Piece { keep: index < last, ..piece }
        };
        rows.into_iter().enumerate().map(piece).collect()
    }

    /// Draws one option at `left` mm; gives its height.
    fn choice(&self, piece: &mut Fragment, option: &str, ticked: bool, left: f64, width: f64) -> f64 {
        let text = self.style.text;
        let top = (TICK_ROW - text) / 2.0;
        let first = -top - text;
        tick_box(piece.canvas(), (left, first).into(), text);
        if ticked {
            let corner = |x: f64, y: f64| kurbo::Point::new(left + x * text, first + y * text);
            let tick = [corner(0.15, 0.55), corner(0.5, 0.1), corner(1.25, 1.35)];
            piece.canvas().polyline(Layer::Labels, &tick, Stroke::solid(widths::FRAME));
        }
        let weight = if ticked { Weight::Bold } else { Weight::Regular };
        let lines = wrap(option, width - left - BOX_ROOM, text, weight);
        let count = lines.len().max(1);
        for (index, line) in lines.into_iter().enumerate() {
            let at = (left + BOX_ROOM, first - self.style.pitch() * index as f64);
            piece.canvas().text(Text { weight, ..Text::new(at, text, line) });
        }
        TICK_ROW + self.style.pitch() * (count - 1) as f64
    }

    /// Formula, numbers put in, result.
    fn worked(&self, lines: &[&str]) -> Vec<Piece> {
        let width = self.width - INDENT;
        let paragraphs = lines.iter().flat_map(|line| self.paragraph(line, width, Weight::Regular));
        let mut pieces: Vec<Piece> = paragraphs.map(|piece| Piece { indent: INDENT, ..piece }).collect();
        if let Some(first) = pieces.first_mut() {
            first.gap = BLOCK_GAP;
        }
        pieces
    }

    fn wrong(&self, answers: &[WrongAnswer]) -> Vec<Piece> {
        let mut pieces = self.paragraph("Wrong answers that are often given", self.width, Weight::Bold);
        if let Some(heading) = pieces.first_mut() {
            (heading.gap, heading.airy) = (self.style.gap, true);
        }
        pieces.iter_mut().for_each(|piece| piece.keep = true);
        let rows =
            answers.iter().map(|wrong| vec![Entry::Bold(wrong.answer.clone()), Entry::Text(wrong.meaning.clone())]);
        pieces.extend(self.grid(vec!["Who wrote …".into(), "… did this".into()], rows.collect(), self.width));
        pieces
    }
}

/// A line to write on, with the height above it.
fn ruled(width: f64) -> Piece {
    let mut piece = Fragment::new(width);
    piece.height = RULED;
    piece.canvas().line(Layer::Labels, (0.0, -RULED), (width, -RULED), Stroke::solid(widths::THIN));
    Piece::new(piece, 0.0)
}
