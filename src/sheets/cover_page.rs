//! Sheet 0: how to print, trim, join and lay the sheets; scale test; assembly map.

use kurbo::{Point, Rect, Vec2};

use super::{
    Context, FloorArt,
    assembly_map::AssemblyMap,
    cover_text::{printing, working},
    scale_test::{CheckSquare, ScaleBar},
    text_flow::Flow,
    tile_frame::Frame,
    wrap::shorten,
};
use crate::{
    cover::SheetPlan,
    drawing::{Drawing, Layer, Stroke, Text, Weight, heights, widths},
};

/// Depth in mm of the title with its line.
const HEADER_MM: f64 = 21.0;

/// Gap in mm between things that do not belong together.
const GAP_MM: f64 = 4.0;

/// Width in mm of the column under the check square.
const COLUMN_MM: f64 = 103.0;

/// A printable width in mm from which the map, or a second column, stands beside the square.
const WIDE_MM: f64 = 160.0;

/// Clear distance in mm between the check square's sides and the text in it.
const SQUARE_PADDING_MM: f64 = 8.0;

/// Length in mm of the long bar: a common steel rule's.
const LONG_BAR_MM: f64 = 150.0;

/// Composes sheet 0, one page as a rule and more when text or map need them; `pages` is the number
/// of pages that follow it in the file.
///
/// Pages have exactly the size of the paper, and nothing lies outside the printable part.
#[must_use]
pub fn cover_page(context: &Context, art: &FloorArt, sheets: &SheetPlan, pages: usize) -> Vec<Drawing> {
    let mut cover = Cover::new(context, art, sheets);
    cover.first_page();
    cover.further_pages();
    cover.headers(pages);
    cover.pages
}

struct Cover<'a> {
    context: &'a Context<'a>,
    art: &'a FloorArt,
    sheets: &'a SheetPlan,
    /// The printable part below the header.
    body: Rect,
    /// Page mm per floor mm, so that the scale test comes out right.
    stretch: Vec2,
    text: Flow,
    map_drawn: bool,
    pages: Vec<Drawing>,
}

impl<'a> Cover<'a> {
    fn new(context: &'a Context<'a>, art: &'a FloorArt, sheets: &'a SheetPlan) -> Self {
        let printable = sheets.format.printable();
        let stretch = if sheets.sheets.is_empty() { Vec2::new(1.0, 1.0) } else { Frame::of(sheets, 0).stretch };
        let width = COLUMN_MM.min(printable.width());
        Self {
            context,
            art,
            sheets,
            body: Rect { y1: printable.y1 - HEADER_MM, ..printable },
            stretch,
            text: Flow::new(&working(context, sheets), width),
            map_drawn: false,
            pages: Vec::new(),
        }
    }

    fn add_page(&mut self) -> usize {
        let paper = &self.sheets.format.paper;
        self.pages.push(Drawing::new("sheet 0", paper.width, paper.height));
        self.pages.len() - 1
    }

    /// Scale test with the text about it; the map beside it where it is legible there.
    fn first_page(&mut self) {
        let page = self.add_page();
        let wide = self.body.width() >= WIDE_MM;
        let below_square = self.scale_test(page, wide);
        let foot = if wide { self.body.y0 + bar_depth() + GAP_MM } else { self.body.y0 };
        let column = Rect::new(self.body.x0, foot, self.body.x0 + COLUMN_MM.min(self.body.width()), below_square);
        self.text.fill(&mut self.pages[page], column);
        if wide {
            let beside = Rect { x0: self.body.x0 + COLUMN_MM + GAP_MM, y0: foot, ..self.body };
            let map = AssemblyMap::whole(self.context, self.art, self.sheets, beside);
            if map.is_legible() {
                map.draw(&mut self.pages[page]);
                self.map_drawn = true;
            }
        }
    }

    /// Check square with the printing steps inside, bar of four inches below it, long bar lying
    /// at the page's foot or standing beside the square. Returns the y where free room begins.
    fn scale_test(&mut self, page: usize, wide: bool) -> f64 {
        let body = self.body;
        let drawing = &mut self.pages[page];
        let square = CheckSquare::new(100.0, self.stretch);
        let size = square.size();
        let corner = Point::new(body.x0 + 0.5, body.y1 - size.height);
        square.draw(drawing, corner, 0);
        let inside = Rect::from_origin_size(corner, size).inset(-SQUARE_PADDING_MM);
        Flow::new(&printing(self.sheets), inside.width()).fill(drawing, inside);

        let inches = ScaleBar::four_inches(self.stretch);
        let y = corner.y - GAP_MM / 2.0 - inches.footprints(0)[0].size.height;
        inches.draw(drawing, Point::new(body.x0 + 0.5, y), false);

        let long = ScaleBar::new(LONG_BAR_MM, 10.0, "150 mm", self.stretch);
        let upright = long.footprints(0)[1].size;
        if wide {
            long.draw(drawing, Point::new(body.x0 + 0.5, body.y0), false);
        } else if upright.height <= body.height() && COLUMN_MM + GAP_MM + upright.width <= body.width() {
            long.draw(drawing, Point::new(body.x0 + COLUMN_MM + GAP_MM, body.y1 - upright.height), true);
        }
        y - GAP_MM
    }

    /// What the first page had no room for: the rest of the text, then the map.
    fn further_pages(&mut self) {
        let column = Rect { x1: self.body.x0 + COLUMN_MM.min(self.body.width()), ..self.body };
        while !self.text.is_empty() {
            let page = self.add_page();
            self.text.fill(&mut self.pages[page], column);
        }
        if !self.map_drawn {
            for map in AssemblyMap::pieces(self.context, self.art, self.sheets, self.body) {
                let page = self.add_page();
                map.draw(&mut self.pages[page]);
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
            let subject = shorten(&subject, x1 - x0, heights::TEXT, Weight::Bold);
            page.text(Text::new((x0, y1 - 11.0), heights::TEXT, subject).bold());
            let summary = shorten(&summary, x1 - x0, heights::TEXT, Weight::Regular);
            page.text(Text::new((x0, y1 - 15.3), heights::TEXT, summary));
            page.line(Layer::Labels, (x0, y1 - 18.0), (x1, y1 - 18.0), Stroke::solid(widths::MEDIUM));
        }
    }

    fn summary(&self, pages: usize) -> String {
        let sheets = self.sheets;
        let count = sheets.sheets.len();
        let bound = if sheets.lower_bound >= count {
            "no placement needs fewer".to_owned()
        } else {
            format!("no placement needs fewer than {}", sheets.lower_bound)
        };
        let noun = if count == 1 { "sheet" } else { "sheets" };
        format!(
            "{count} {noun} ({bound}) · {pages} pages {} · printer: {}",
            sheets.format.paper.name, self.context.printer
        )
    }
}

/// Depth in mm of a lying bar with its lettering.
fn bar_depth() -> f64 {
    ScaleBar::four_inches(Vec2::new(1.0, 1.0)).footprints(0)[0].size.height
}
