//! Running text that flows through columns.

use kurbo::{Point, Rect};

use super::wrap;
use crate::drawing::{Drawing, Text, Weight, heights};
use crate::words::Section;

/// Distance of baselines in mm: 1.65 times the height of the capitals.
const LEADING_MM: f64 = heights::TEXT * 1.65;

/// Free depth in mm after a paragraph.
const PARAGRAPH_GAP_MM: f64 = 1.0;

/// Free depth in mm before a heading that does not start a column.
const SECTION_GAP_MM: f64 = 3.2;

/// By how much numbered steps are indented, mm.
const INDENT_MM: f64 = 4.5;

/// One line, ready to be drawn into a column.
#[derive(Clone, Debug)]
struct Row {
    /// Free depth above, left out at the top of a column.
    gap: f64,
    /// Texts with their distance from the column's left edge.
    cells: Vec<(f64, String, Weight)>,
    /// Must not be the last row of a column.
    keep_with_next: bool,
}

/// Sections broken into lines for columns of one width.
#[derive(Clone, Debug)]
pub struct Flow {
    rows: Vec<Row>,
}

impl Flow {
    /// Breaks sections into lines no wider than `width` mm.
    #[must_use]
    pub fn new(sections: &[Section], width: f64) -> Self {
        let mut rows = Vec::new();
        for section in sections {
            let heading = vec![(0.0, section.heading.clone(), Weight::Bold)];
            rows.push(Row {
                gap: SECTION_GAP_MM,
                cells: heading,
                keep_with_next: true,
            });
            for (index, paragraph) in section.paragraphs.iter().enumerate() {
                let indent = if section.numbered { INDENT_MM } else { 0.0 };
                let lines = wrap(paragraph, width - indent, heights::TEXT, Weight::Regular);
                for (line_index, line) in lines.into_iter().enumerate() {
                    let mut cells = vec![(indent, line, Weight::Regular)];
                    if section.numbered && line_index == 0 {
                        cells.push((0.0, (index + 1).to_string(), Weight::Regular));
                    }
                    let gap = if line_index == 0 {
                        PARAGRAPH_GAP_MM
                    } else {
                        0.0
                    };
                    rows.push(Row {
                        gap,
                        cells,
                        keep_with_next: false,
                    });
                }
            }
        }
        Self { rows }
    }

    /// True when nothing is left to draw.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Depth in mm of a column that holds all lines.
    #[must_use]
    pub fn depth(&self) -> f64 {
        let gaps: f64 = self.rows.iter().skip(1).map(|row| row.gap).sum();
        gaps + (self.rows.len() as f64) * LEADING_MM
    }

    /// Draws as many lines as the column holds and drops them; returns the y below the last one.
    pub fn fill(&mut self, drawing: &mut Drawing, column: Rect) -> f64 {
        let mut y = column.y1;
        let mut count = 0;
        for (index, row) in self.rows.iter().enumerate() {
            let gap = if index == 0 { 0.0 } else { row.gap };
            let rows_needed = if row.keep_with_next { 2.0 } else { 1.0 };
            if y - gap - LEADING_MM * rows_needed < column.y0 {
                break;
            }
            y -= gap + LEADING_MM;
            // A third of the leading below the baseline holds the descenders.
            let baseline = y + LEADING_MM / 3.0;
            for (x, text, weight) in &row.cells {
                let at = Point::new(column.x0 + x, baseline);
                drawing.text(Text {
                    weight: *weight,
                    ..Text::new(at, heights::TEXT, text.clone())
                });
            }
            count = index + 1;
        }
        self.rows.drain(..count);
        y
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::drawing::Item;
    use crate::page::text_box;

    #[test]
    fn text_that_does_not_fit_goes_on_in_the_next_column_and_no_line_is_lost() {
        let step = "Measure the square with a steel rule, both ways".to_owned();
        let section = Section {
            heading: "Print".to_owned(),
            paragraphs: vec![step; 6],
            numbered: true,
        };
        let mut flow = Flow::new(&[section], 50.0);
        let (mut drawing, mut columns) = (Drawing::new("", 120.0, 40.0), 0);
        while !flow.is_empty() {
            flow.fill(&mut drawing, Rect::new(0.0, 5.0, 50.0, 35.0));
            columns += 1;
        }
        let texts: Vec<_> = drawing
            .items
            .iter()
            .filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None })
            .collect();
        let words: usize = texts
            .iter()
            .flat_map(|text| text.content.split(' '))
            .count();
        // The heading, six numbers and six times nine words.
        assert_eq!((columns > 1, words), (true, 1 + 6 + 6 * 9));
        assert!(
            texts
                .iter()
                .all(|text| text_box(text).y0 >= 5.0 && text_box(text).y1 <= 35.0)
        );
    }
}
