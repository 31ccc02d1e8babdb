//! Sheet 0: how to print, trim, join and lay the sheets; scale test; assembly map.

mod budget_table;
mod piece_table;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod word_tests;

use kurbo::{Point, Rect, Vec2};

use self::{budget_table::budget_table, piece_table::PieceTable};
use crate::{
    cover::{Mode, SheetPlan},
    drawing::{Drawing, Layer, Stroke, Text, Weight, heights, widths},
    effort::Takes,
    page::{Flow, shorten},
    sheets::{
        assembly_map::AssemblyMap,
        shared::{CheckSquare, Context, FloorArt, Legend, ScaleBar},
    },
    survey::ErrorBudget,
    words::{
        Lengths, Section,
        printed::{
            hand_cut, keys,
            sheet_zero::{care, outline, printing, summary, working},
            strips,
        },
        takes as said_takes,
    },
};

/// Depth in mm of the title with its line.
const HEADER_MM: f64 = 21.0;

/// What text keeps clear at the right, mm: a printer's correction can widen lettering by half of its
/// difference between x and y, since letters are never stretched.
const TEXT_RESERVE_MM: f64 = 2.0;

/// Gap in mm between things that do not belong together.
const GAP_MM: f64 = 4.0;

/// Width in mm of the column under the check square.
const COLUMN_MM: f64 = 103.0;

/// A printable width in mm from which the map, or a second column, stands beside the square.
const WIDE_MM: f64 = 160.0;

/// Clear distance in mm between the check square's sides and the text in it.
const SQUARE_PADDING_MM: f64 = 8.0;

/// Most of the header's width that the printer may take from the vehicle's line.
const PRINTER_SHARE: f64 = 0.8;

/// Length in mm of the long bar: a common steel rule's.
const LONG_BAR_MM: f64 = 150.0;

/// Composes sheet 0, one page as a rule and more when text or map need them; `pages` is the number
/// of pages that follow it in the file.
///
/// Pages have exactly the size of the paper, nothing lies outside the printable part, and the
/// printer's correction is in them.
#[must_use]
pub fn cover_page(
    context: &Context,
    art: &FloorArt,
    sheets: &SheetPlan,
    budget: &ErrorBudget,
    takes: &Takes,
    pages: usize,
) -> Vec<Drawing> {
    let mut cover = Cover::new(context, art, sheets);
    let lengths = Lengths {
        inches: context.inches,
    };
    let by_hand = art.knife.as_ref();
    cover.after = by_hand
        .map(|knife| hand_cut::section(&knife.cut, sheets, lengths))
        .into_iter()
        .chain([said_takes::section(takes, context.inches)])
        .collect();
    cover.first_page();
    cover.further_pages(budget);
    cover.headers(pages);
    let to_page = sheets.format.to_page();
    cover
        .pages
        .into_iter()
        .map(|page| page.mapped(to_page))
        .collect()
}

struct Cover<'a> {
    context: &'a Context<'a>,
    art: &'a FloorArt,
    sheets: &'a SheetPlan,
    /// The printable part below the header.
    body: Rect,
    text: Flow,
    map_drawn: bool,
    /// How to cut by hand, and what all of it takes; empty once they have their place.
    after: Vec<Section>,
    /// What the text leaves free of the first page.
    free: Rect,
    pages: Vec<Drawing>,
}

impl<'a> Cover<'a> {
    fn new(context: &'a Context<'a>, art: &'a FloorArt, sheets: &'a SheetPlan) -> Self {
        let printable = sheets.format.printable();
        Self {
            context,
            art,
            sheets,
            body: Rect {
                x1: printable.x1 - TEXT_RESERVE_MM,
                y1: printable.y1 - HEADER_MM - legend_depth(context, printable.width()),
                ..printable
            },
            text: Flow::new(&[], 0.0),
            map_drawn: false,
            after: Vec::new(),
            free: Rect::ZERO,
            pages: Vec::new(),
        }
    }

    fn add_page(&mut self, what: &str) -> usize {
        let paper = &self.sheets.format.paper;
        self.pages
            .push(Drawing::new(what, paper.width, paper.height));
        self.pages.len() - 1
    }

    /// Scale test with the text about it. Beside the square stands the map where it is legible there,
    /// else a second column of text.
    fn first_page(&mut self) {
        let page = self.add_page(outline::PRINT);
        let wide = self.body.width() >= WIDE_MM;
        let below_square = self.scale_test(page, wide);
        let foot = if wide {
            self.body.y0 + bar_depth() + GAP_MM
        } else {
            self.body.y0
        };
        let column = Rect::new(
            self.body.x0,
            foot,
            self.body.x0 + COLUMN_MM.min(self.body.width()),
            below_square,
        );
        let beside = Rect {
            x0: self.body.x0 + COLUMN_MM + 2.0 * GAP_MM,
            y0: foot,
            ..self.body
        };
        self.map_drawn = wide && self.map_beside_square(page, beside);
        let [joining, laying] = working(self.context.plan, self.context.inches, self.sheets);
        if wide && !self.map_drawn {
            let mut first = vec![joining];
            while let Some(next) = self.after.first().cloned() {
                let more: Vec<Section> = first.iter().cloned().chain([next]).collect();
                if Flow::new(&more, column.width()).depth() > column.height() {
                    break;
                }
                self.after.remove(0);
                first = more;
            }
            let end = Flow::new(&first, column.width()).fill(&mut self.pages[page], column);
            let second: Vec<_> = care(self.context.plan)
                .into_iter()
                .chain([laying])
                .chain(self.after.drain(..))
                .collect();
            self.text = Flow::new(&second, beside.width());
            let beside_end = self.text.fill(&mut self.pages[page], beside);
            self.free = Rect {
                y0: foot,
                y1: end.min(beside_end),
                ..self.body
            };
        } else {
            let mut sections = vec![joining, laying];
            sections.extend(care(self.context.plan).into_iter().filter(|_| !wide));
            sections.append(&mut self.after);
            self.text = Flow::new(&sections, column.width());
            self.free = Rect {
                y1: self.text.fill(&mut self.pages[page], column),
                ..column
            };
        }
    }

    /// The map with the cautions below it, where every label is legible; says whether it is.
    fn map_beside_square(&mut self, page: usize, beside: Rect) -> bool {
        let mut care = Flow::new(&care(self.context.plan), beside.width());
        // A hair more than the lines need, so that rounding does not drop the last one.
        let depth = care.depth() + 0.1;
        let map_area = Rect {
            y0: beside.y0 + depth + GAP_MM,
            ..beside
        };
        let map = AssemblyMap::whole(self.context, self.art, self.sheets, map_area);
        if map.is_legible() {
            map.draw(&mut self.pages[page]);
            self.pages[page].title += outline::AND_MAP;
            care.fill(
                &mut self.pages[page],
                Rect {
                    y1: beside.y0 + depth,
                    ..beside
                },
            );
        }
        map.is_legible()
    }

    /// Check square with the printing steps inside, bar of four inches below it, long bar lying
    /// at the page's foot or standing beside the square. Returns the y where free room begins.
    fn scale_test(&mut self, page: usize, wide: bool) -> f64 {
        let body = self.body;
        let drawing = &mut self.pages[page];
        let square = CheckSquare::new(100.0);
        let size = square.size();
        let corner = Point::new(body.x0 + 0.5, body.y1 - size.height);
        square.draw(drawing, corner, 0);
        let inside = Rect::from_origin_size(corner, size).inset(-SQUARE_PADDING_MM);
        Flow::new(&printing(self.sheets, self.context.inches), inside.width())
            .fill(drawing, inside);

        let inches = ScaleBar::four_inches();
        let y = corner.y - GAP_MM / 2.0 - inches.footprints(0)[0].size.height;
        inches.draw(drawing, Point::new(body.x0 + 0.5, y), false);

        let long = ScaleBar::new(LONG_BAR_MM, 10.0, "150 mm");
        let upright = long.footprints(0)[1].size;
        if wide {
            long.draw(drawing, Point::new(body.x0 + 0.5, body.y0), false);
        } else if upright.height <= body.height()
            && COLUMN_MM + GAP_MM + upright.width <= body.width()
        {
            long.draw(
                drawing,
                Point::new(body.x0 + COLUMN_MM + GAP_MM, body.y1 - upright.height),
                true,
            );
        }
        y - GAP_MM
    }

    /// What the first page had no room for: the rest of the text, then the map.
    fn further_pages(&mut self, budget: &ErrorBudget) {
        let column = Rect {
            x1: self.body.x0 + COLUMN_MM.min(self.body.width()),
            ..self.body
        };
        while !self.text.is_empty() {
            let page = self.add_page(outline::LAY);
            self.free = Rect {
                y1: self.text.fill(&mut self.pages[page], column),
                ..self.body
            };
        }
        self.pieces();
        self.budget(budget);
        if !self.map_drawn {
            for map in AssemblyMap::pieces(self.context, self.art, self.sheets, self.body) {
                let page = self.add_page(outline::MAP);
                map.draw(&mut self.pages[page]);
            }
        }
    }

    /// The table of the sheets that are laid by tape, below the end of the instructions and on further pages.
    fn pieces(&mut self) {
        if self.sheets.mode == Mode::Keys {
            return;
        }
        let mut table = PieceTable::of(self.context.plan, self.sheets, self.context.inches);
        while !table.is_empty() {
            let free = Rect {
                y1: self.free.y1 - GAP_MM,
                ..self.free
            };
            match table.take(free.width(), free.height()) {
                Some(piece) => {
                    let page = self.pages.len() - 1;
                    piece.place(&mut self.pages[page], free.x0, free.y1);
                    self.free.y1 = free.y1 - piece.height;
                }
                // A page that is empty holds some rows, or none ever will.
                None if self.free == self.body => return,
                None => {
                    self.add_page(outline::LAY);
                    self.free = self.body;
                }
            }
        }
    }

    /// The error budget below the end of the instructions, or on a page of its own.
    fn budget(&mut self, budget: &ErrorBudget) {
        let free = Rect {
            y1: self.free.y1 - GAP_MM,
            ..self.free
        };
        let used = self.sheets.method();
        let lay_out =
            |width: f64| budget_table(self.context.plan, budget, used, self.context.inches, width);
        let page = self.pages.len() - 1;
        match lay_out(free.width()).filter(|table| table.height <= free.height()) {
            Some(table) => {
                table.place(&mut self.pages[page], free.x0, free.y1);
                self.pages[page].title += outline::AND_ERRORS;
            }
            None => {
                let Some(table) = lay_out(self.body.width()) else {
                    return;
                };
                let page = self.add_page(outline::ERRORS);
                table.place(&mut self.pages[page], self.body.x0, self.body.y1);
            }
        }
    }

    fn headers(&mut self, following: usize) {
        let count = self.pages.len();
        let summary = self.summary(count + following);
        let printable = self.sheets.format.printable();
        let plan = self.context.plan;
        for (index, page) in self.pages.iter_mut().enumerate() {
            let right = format!("sheet 0 · page {} of {}", index + 1, count + following);
            let Rect { x0, x1, y1, .. } = printable;
            page.text(Text::new((x0, y1 - 5.5), heights::TITLE, "Full-scale stencils").bold());
            page.text(Text::new((x1, y1 - 5.5), heights::TEXT, right).right());
            let subject = format!("{} · {}", plan.vehicle.name, plan.template.name);
            let printer = format!("printer: {}", self.context.printer);
            let printer = shorten(
                &printer,
                PRINTER_SHARE * (x1 - x0),
                heights::TEXT,
                Weight::Regular,
            );
            let printer = Text::new((x1, y1 - 15.3), heights::TEXT, printer).right();
            let summary = shorten(&summary, x1 - x0, heights::TEXT, Weight::Regular);
            let summary = Text::new((x0, y1 - 15.3), heights::TEXT, summary);
            // The printer stands beside the summary, which leaves more room, or else beside the subject.
            let beside = |text: &Text| text.width() + GAP_MM + printer.width() <= x1 - x0;
            let (lift, taken) = if beside(&summary) {
                (0.0, 0.0)
            } else {
                (4.3, printer.width() + GAP_MM)
            };
            let subject = shorten(&subject, x1 - x0 - taken, heights::TEXT, Weight::Bold);
            page.text(Text {
                at: printer.at + Vec2::new(0.0, lift),
                ..printer
            });
            page.text(Text::new((x0, y1 - 11.0), heights::TEXT, subject).bold());
            page.text(summary);
            page.line(
                Layer::Labels,
                (x0, y1 - 18.0),
                (x1, y1 - 18.0),
                Stroke::solid(widths::MEDIUM),
            );
            if let Some(mat) = &plan.mat {
                Legend::with_trim(mat, x1 - x0, heights::TEXT).draw(page, x0, y1 - HEADER_MM);
            }
        }
    }

    fn summary(&self, pages: usize) -> String {
        let sheets = self.sheets;
        if sheets.mode == Mode::Keys {
            return keys::summary(sheets, pages);
        }
        if let Some(roll) = sheets.roll {
            return strips::summary(
                sheets,
                roll,
                Lengths {
                    inches: self.context.inches,
                },
            );
        }
        summary(sheets, pages)
    }
}

/// Depth in mm that a mat's legend takes below the title; 0 where there is no mat.
fn legend_depth(context: &Context, width: f64) -> f64 {
    let legend = context
        .plan
        .mat
        .as_ref()
        .map(|mat| Legend::with_trim(mat, width, heights::TEXT));
    legend.map_or(0.0, |legend| legend.height() + GAP_MM)
}

/// Depth in mm of the long bar with its lettering.
fn bar_depth() -> f64 {
    ScaleBar::four_inches().footprints(0)[0].size.height
}
