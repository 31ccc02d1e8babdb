//! An exercise as pieces.

use kurbo::Point;

use super::{Reader, figure::figure, page::points_in_words, style::Style, tape::tapes};
use crate::{
    drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths},
    page::{Cell as Entry, Column, Fragment, Piece, Row, Table, tick_box, wrap},
    practice::{Block, Cell, Exercise, Question, WrongAnswer},
    words::NO_BREAK,
};

/// Distance of the ruled lines that are written on, mm.
const RULED: f64 = 8.0;
/// By how much a question's text stands in from its number, mm.
const INDENT: f64 = 8.0;
/// Side of a box to tick and clear space to its right, mm.
const BOX_ROOM: f64 = 6.0;
/// Least distance of the rows of boxes to tick, mm: a cross drawn by hand must not touch the next box.
const TICK_ROW: f64 = 7.0;
/// Clear space between two columns of boxes to tick, mm.
const TICK_GAP: f64 = 6.0;
/// Most columns of boxes to tick.
const TICK_COLUMNS: usize = 6;
/// A line to write on beside a question is at least this long, mm.
const LEAST_LINE: f64 = 60.0;
/// Clear space between a question and what stands beside it, mm.
const BESIDE_GAP: f64 = 4.0;
/// Height of lettering over the line beside it, mm.
const ABOVE_LINE: f64 = 1.2;

/// Spaces at which a line of a paragraph must not end.
const TERMS: [&str; 7] = [" · ", " × ", " / ", " mm", "sin ", "cos ", "½ "];

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
                pieces.extend(self.worked(&question.worked));
            }
        }
        if self.reader == Reader::Teacher && !exercise.wrong.is_empty() {
            pieces.extend(self.wrong(&exercise.wrong));
        }
        pieces
    }

    fn question(&self, number: usize, question: &Question) -> Vec<Piece> {
        let points = points_in_words(question.points);
        let points = Text::new((self.width - INDENT, 0.0), heights::TEXT, points).right();
        let room = self.width - INDENT - points.width() - 4.0;
        let (mut pieces, baseline, rest) = self.asked(question, room);
        if let Some(first) = pieces.first_mut() {
            let name = Text::new((-INDENT, -baseline), self.style.text, number.to_string()).bold();
            first.fragment.canvas().text(name);
            first.fragment.canvas().text(Text {
                at: Point::new(points.at.x, -baseline),
                ..points
            });
            (first.gap, first.airy) = (self.style.gap, true);
        }
        pieces.extend(self.rule(&question.rule()));
        let blocks = self.blocks(&rest, self.width - INDENT);
        if !blocks.is_empty() {
            pieces.iter_mut().for_each(|piece| piece.keep = true);
        }
        pieces
            .into_iter()
            .chain(blocks)
            .map(|piece| Piece {
                indent: piece.indent + INDENT,
                ..piece
            })
            .collect()
    }

    /// How a question's points are given, in small letters.
    fn rule(&self, rule: &str) -> Vec<Piece> {
        let style = Style {
            text: heights::TEXT,
            paragraph_gap: 1.4,
            ..self.style
        };
        let small = Self { style, ..*self };
        let mut rule = small.paragraph(rule, self.width - INDENT, Weight::Regular);
        rule.iter_mut().for_each(|piece| piece.keep = true);
        rule
    }

    /// What is asked, with a line to write on or boxes to tick beside it where there is room; how far its first baseline
    /// lies below its top, mm, and the blocks that come below.
    fn asked(&self, question: &Question, room: f64) -> (Vec<Piece>, f64, Vec<Block>) {
        let pieces = self.paragraph(&question.text, room, Weight::Bold);
        let left = text_width(&question.text, self.style.text, Weight::Bold) + BESIDE_GAP;
        let (space, rest) = (
            room - left,
            &question.blocks[1.min(question.blocks.len())..],
        );
        let text = |baseline: f64| {
            Text::new((0.0, -baseline), self.style.text, question.text.clone()).bold()
        };
        let mut piece = Fragment::new(room);
        match question.blocks.first() {
            Some(&Block::Lines(count))
                if self.reader == Reader::Trainee && count > 0 && space >= LEAST_LINE =>
            {
                let baseline = RULED - ABOVE_LINE;
                piece.height = RULED;
                piece.canvas().text(text(baseline));
                let line = Stroke::solid(widths::THIN);
                piece.canvas().line(
                    Layer::Labels,
                    (left, -RULED),
                    (self.width - INDENT, -RULED),
                    line,
                );
                let more = (count > 1).then_some(Block::Lines(count - 1));
                (
                    vec![Piece::new(piece, 0.0)],
                    baseline,
                    more.into_iter().chain(rest.iter().cloned()).collect(),
                )
            }
            Some(Block::Choices { options, right })
                if pieces.len() == 1 && self.in_one_row(options, space) =>
            {
                let baseline = f64::midpoint(TICK_ROW, self.style.text);
                piece.height = TICK_ROW;
                piece.canvas().text(text(baseline));
                for boxes in self.choices(options, right, space) {
                    boxes.fragment.place(piece.canvas(), left, 0.0);
                }
                (vec![Piece::new(piece, 0.0)], baseline, rest.to_vec())
            }
            _ => (pieces, self.style.text, question.blocks.clone()),
        }
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
                first.gap = self.style.block_gap;
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
                vec![Piece {
                    indent: left,
                    ..Piece::new(drawn, self.style.block_gap)
                }]
            }
            Block::Tapes(pictures) => {
                let row = |row| Piece::new(row, self.style.block_gap);
                tapes(pictures, width).into_iter().map(row).collect()
            }
            Block::Lines(count) if self.reader == Reader::Trainee => {
                (0..*count).map(|_| ruled(width)).collect()
            }
            Block::Lines(_) => Vec::new(),
            Block::Choices { options, right } => self.choices(options, right, width),
        }
    }

    /// Running text, a piece for each line; line breaks in the text are kept.
    fn paragraph(&self, text: &str, width: f64, weight: Weight) -> Vec<Piece> {
        let lines: Vec<String> = text
            .lines()
            .flat_map(|line| wrap(&bound(line), width, self.style.text, weight))
            .collect();
        let count = lines.len();
        let piece = |(index, line): (usize, String)| {
            let gap = if index == 0 {
                self.style.paragraph_gap
            } else {
                0.0
            };
            let piece = Piece::new(self.line(&line, width, weight), gap);
            // Neither the first nor the last line of a paragraph is left alone.
            Piece {
                keep: count > 1 && (index == 0 || index + 2 == count),
                ..piece
            }
        };
        lines.into_iter().enumerate().map(piece).collect()
    }

    fn line(&self, text: &str, width: f64, weight: Weight) -> Fragment {
        let mut piece = Fragment::new(width);
        let text = Text {
            weight,
            ..Text::new((0.0, -self.style.text), self.style.text, text)
        };
        piece.canvas().text(text);
        piece.height = self.style.pitch();
        piece
    }

    fn table(&self, columns: &[String], rows: &[Vec<Cell>], width: f64) -> Vec<Piece> {
        let entry = |cell: &Cell| match (cell, self.reader) {
            (Cell::Given(text), _) => Entry::Text(whole_fractions(text)),
            (Cell::Blank(text), Reader::Trainee) => Entry::Space(whole_fractions(text)),
            (Cell::Blank(text), Reader::Teacher) => Entry::Bold(whole_fractions(text)),
        };
        let row = |row: &Vec<Cell>| Row::of(row.iter().map(entry).collect());
        self.grid(columns, rows.iter().map(row).collect(), width)
    }

    fn grid(&self, columns: &[String], rows: Vec<Row>, width: f64) -> Vec<Piece> {
        let answered = |entry: &Entry| !matches!(entry, Entry::Text(_));
        let lettering = if rows.iter().flat_map(|row| &row.cells).any(answered) {
            self.style.text
        } else {
            self.style.given
        };
        let grid = Table {
            columns: columns.iter().map(Column::boxed).collect(),
            rows,
            lettering,
            headings: heights::SMALL,
            row_height: self.style.write_row,
        };
        let pieces = grid.pieces(width, self.style.block_gap, self.style.group_rows);
        // In the narrowest sizes a table takes the width that questions stand in from the left, where that makes it lower.
        let indent = self.width - width;
        if self.style.group_rows > 1 || indent < 1.0 {
            return pieces;
        }
        let wide = grid.pieces(self.width, self.style.block_gap, self.style.group_rows);
        let height = |pieces: &[Piece]| {
            pieces
                .iter()
                .map(|piece| piece.fragment.height)
                .sum::<f64>()
        };
        if height(&wide) < height(&pieces) - self.style.write_row / 2.0 {
            return wide
                .into_iter()
                .map(|piece| Piece {
                    indent: -indent,
                    ..piece
                })
                .collect();
        }
        pieces
    }

    /// Width of an option with its box and the clear space to the next one.
    fn option_width(&self, option: &str) -> f64 {
        BOX_ROOM + text_width(option, self.style.text, Weight::Bold) + TICK_GAP
    }

    /// True when all options stand in one row in columns.
    fn in_one_row(&self, options: &[String], width: f64) -> bool {
        let widest = options
            .iter()
            .map(|option| self.option_width(option))
            .fold(0.0, f64::max);
        options.len() <= TICK_COLUMNS && widest * options.len() as f64 <= width
    }

    /// Boxes to tick in rows: which option stands how far from the left, mm. In columns, unless without them they take
    /// fewer rows.
    fn rows_of_choices(&self, options: &[String], width: f64) -> Vec<Vec<(usize, f64)>> {
        let widest = options
            .iter()
            .map(|option| self.option_width(option))
            .fold(0.0, f64::max);
        let columns = ((width / widest) as usize).clamp(1, TICK_COLUMNS);
        let indices: Vec<usize> = (0..options.len()).collect();
        let place = |(column, &index): (usize, &usize)| (index, column as f64 * widest);
        let in_columns: Vec<Vec<_>> = indices
            .chunks(columns)
            .map(|row| row.iter().enumerate().map(place).collect())
            .collect();
        let mut in_rows: Vec<Vec<(usize, f64)>> = Vec::new();
        let mut left = f64::INFINITY;
        for (index, option) in options.iter().enumerate() {
            let own = self.option_width(option);
            if left + own - TICK_GAP > width {
                in_rows.push(Vec::new());
                left = 0.0;
            }
            in_rows
                .last_mut()
                .expect("the first option begins a row")
                .push((index, left));
            left += own;
        }
        if in_rows.len() < in_columns.len() {
            in_rows
        } else {
            in_columns
        }
    }

    /// Boxes to tick, side by side where all options are short.
    fn choices(&self, options: &[String], right: &[usize], width: f64) -> Vec<Piece> {
        let rows = self.rows_of_choices(options, width);
        let last = rows.len().saturating_sub(1);
        let row = |(row, places): (usize, Vec<(usize, f64)>)| {
            let mut piece = Fragment::new(width);
            for (index, left) in places {
                let ticked = self.reader == Reader::Teacher && right.contains(&index);
                let height = self.choice(&mut piece, &options[index], ticked, left, width);
                piece.height = piece.height.max(height);
            }
            let gap = if row == 0 {
                self.style.block_gap - 1.0
            } else {
                0.0
            };
            Piece {
                keep: row < last,
                ..Piece::new(piece, gap)
            }
        };
        rows.into_iter().enumerate().map(row).collect()
    }

    /// Draws one option at `left` mm; gives its height.
    fn choice(
        &self,
        piece: &mut Fragment,
        option: &str,
        ticked: bool,
        left: f64,
        width: f64,
    ) -> f64 {
        let text = self.style.text;
        let top = (TICK_ROW - text) / 2.0;
        let first = -top - text;
        tick_box(piece.canvas(), (left, first).into(), text);
        if ticked {
            let corner = |x: f64, y: f64| Point::new(left + x * text, first + y * text);
            let tick = [corner(0.15, 0.55), corner(0.5, 0.1), corner(1.25, 1.35)];
            piece
                .canvas()
                .polyline(Layer::Labels, &tick, Stroke::solid(widths::FRAME));
        }
        let weight = if ticked {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let lines = wrap(option, width - left - BOX_ROOM, text, weight);
        let count = lines.len().max(1);
        for (index, line) in lines.into_iter().enumerate() {
            let at = (left + BOX_ROOM, first - self.style.pitch() * index as f64);
            piece.canvas().text(Text {
                weight,
                ..Text::new(at, text, line)
            });
        }
        TICK_ROW + self.style.pitch() * (count - 1) as f64
    }

    /// Formula, numbers put in, result.
    fn worked(&self, lines: &[String]) -> Vec<Piece> {
        let width = self.width - INDENT;
        let paragraphs = lines
            .iter()
            .flat_map(|line| self.paragraph(line, width, Weight::Regular));
        let mut pieces: Vec<Piece> = paragraphs
            .map(|piece| Piece {
                indent: INDENT,
                ..piece
            })
            .collect();
        if let Some(first) = pieces.first_mut() {
            first.gap = self.style.block_gap;
        }
        pieces
    }

    fn wrong(&self, answers: &[WrongAnswer]) -> Vec<Piece> {
        let mut pieces = self.paragraph(
            "Wrong answers that are often given",
            self.width,
            Weight::Bold,
        );
        if let Some(heading) = pieces.first_mut() {
            (heading.gap, heading.airy) = (self.style.gap, true);
        }
        pieces.iter_mut().for_each(|piece| piece.keep = true);
        let rows = answers.iter().map(|wrong| {
            Row::of(vec![
                Entry::Bold(wrong.answer.clone()),
                Entry::Text(wrong.meaning.clone()),
            ])
        });
        pieces.extend(self.grid(
            &["Who wrote …".into(), "… did this".into()],
            rows.collect(),
            self.width,
        ));
        pieces
    }
}

/// Text whose terms are not torn apart where a line ends: factors stay together, and numbers with their units.
fn bound(text: &str) -> String {
    let kept = NO_BREAK.to_string();
    let mut text = text.to_owned();
    for term in TERMS {
        text = text.replace(term, &term.replace(' ', &kept));
    }
    text
}

/// Text in which a line does not end between whole inches and their fraction.
fn whole_fractions(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut bound = String::new();
    for (index, word) in words.iter().enumerate() {
        if index > 0 {
            let fraction = word.starts_with(|c: char| c.is_ascii_digit()) && word.contains('/');
            bound.push(if fraction { NO_BREAK } else { ' ' });
        }
        bound.push_str(word);
    }
    bound
}

/// A line to write on, with the height above it.
fn ruled(width: f64) -> Piece {
    let mut piece = Fragment::new(width);
    piece.height = RULED;
    piece.canvas().line(
        Layer::Labels,
        (0.0, -RULED),
        (width, -RULED),
        Stroke::solid(widths::THIN),
    );
    Piece::new(piece, 0.0)
}
