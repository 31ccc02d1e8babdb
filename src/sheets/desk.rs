//! The pages of a layout on a desk: how they go together, its sheets, and the vehicle's outline to cut out.

mod outline;

use kurbo::{Point, Rect};

use self::outline::Outline;
use crate::{
    cover::SheetPlan,
    drawing::{Drawing, Text, heights},
    job::Record,
    page::Flow,
    paper::Paper,
    practice::Model,
    sheets::{
        assembly_map::AssemblyMap,
        shared::{Context, FloorArt, PageNumber},
        tile::tile,
    },
    words::{
        Section,
        printed::joining::{holding, joining},
    },
};

/// Blank edge of the page that tells how to go on, mm: that of full-scale sheets, the lower one 5 mm deeper.
const EDGE_MM: f64 = 12.0;
const LOWER_EDGE_MM: f64 = 16.0;

/// Gap between columns and between text and maps, mm.
const GAP_MM: f64 = 8.0;

/// Part of the page's width that the outline's map takes.
const OUTLINE_PART: f64 = 0.28;

/// How the sheets go together, the layout's sheets in the order of their pages, then the vehicle's outline.
#[must_use]
pub fn desk_pages(model: &Model, paper: &Paper) -> Vec<Drawing> {
    let record = Record::default();
    let context = Context {
        plan: &model.plan,
        record: &record,
        inches: false,
        printer: "no correction",
    };
    let art = FloorArt::of(&model.plan).crosses_apart();
    let outline = Outline::of(model, paper);
    let of = 1 + model.sheets.sheets.len() + outline.parts.len();
    let mut pages = vec![together(&context, &art, model, &outline, paper)];
    for index in 0..model.sheets.sheets.len() {
        pages.push(tile(
            &context,
            &art,
            &model.sheets,
            index,
            PageNumber {
                page: index + 2,
                of,
            },
        ));
    }
    pages.extend((0..outline.parts.len()).map(|part| outline.page(part)));
    // A file holds several models, whose sheets have the same numbers.
    for page in &mut pages {
        let Drawing {
            title,
            number,
            targets,
            links,
            ..
        } = page;
        number.clear();
        *title = format!("Exercise {}: {title}", model.number);
        let places = links.iter_mut().map(|link| &mut link.to).chain(targets);
        places.for_each(|place| *place = format!("{place} of exercise {}", model.number));
    }
    pages
}

/// The page that tells how the sheets and the outline's parts go together.
fn together(
    context: &Context,
    art: &FloorArt,
    model: &Model,
    outline: &Outline,
    paper: &Paper,
) -> Drawing {
    let title = format!(
        "How the sheets go together: exercise {}, 1:{}",
        model.number, model.denominator
    );
    let mut page = Drawing::new(title.clone(), paper.width, paper.height);
    let body = Rect::new(
        EDGE_MM,
        LOWER_EDGE_MM,
        paper.width - EDGE_MM,
        paper.height - EDGE_MM,
    );
    let mut y = body.y1 - heights::TITLE;
    page.text(Text::new((body.x0, y), heights::TITLE, title).bold());
    y -= 2.0 * heights::TEXT;
    let subject = format!(
        "A model for a desk, not for a floor: {}",
        context.plan.vehicle.name
    );
    page.text(Text::new((body.x0, y), heights::TEXT, subject));
    y -= GAP_MM / 2.0;
    let columns = [
        [order(&model.sheets), holding(&model.sheets)].to_vec(),
        [joining(&model.sheets), parts(outline)].to_vec(),
    ];
    let width = (body.width() - GAP_MM) / 2.0;
    let mut low = y;
    for (index, sections) in columns.iter().enumerate() {
        let x = body.x0 + index as f64 * (width + GAP_MM);
        let column = Rect::new(x, body.y0, x + width, y);
        low = low.min(Flow::new(sections, width).fill(&mut page, column));
    }
    let below = Rect {
        y1: low - GAP_MM,
        ..body
    };
    let split = below.x1 - OUTLINE_PART * below.width();
    AssemblyMap::whole(
        context,
        art,
        &model.sheets,
        Rect {
            x1: split - GAP_MM,
            ..below
        },
    )
    .draw(&mut page);
    outline.map(&mut page, Rect { x0: split, ..below });
    page
}

/// In which order the sheets are laid.
fn order(sheets: &SheetPlan) -> Section {
    let paragraph = format!(
        "In the order of their numbers, 1 to {}, so that every trimmed edge lies on top.",
        sheets.sheets.len()
    );
    Section {
        heading: "Lay".to_owned(),
        paragraphs: vec![paragraph],
        numbered: false,
    }
}

/// How the outline's parts are joined.
fn parts(outline: &Outline) -> Section {
    let mut paragraphs = vec!["Cut along every solid and every dashed edge.".to_owned()];
    if outline.parts.len() > 1 {
        paragraphs.push(
            "Bring dashed edge to dashed edge, as the names of the parts beside them say (◂ ▸ ▴ ▾) and until the short \
             ticks meet; do not overlap. Tape from below."
                .to_owned(),
        );
    }
    if outline.is_open() {
        paragraphs.push(
            "The middle stays open; dashed edges without a name have no neighbour.".to_owned(),
        );
    }
    let numbered = paragraphs.len() > 1;
    Section {
        heading: "Vehicle outline".to_owned(),
        paragraphs,
        numbered,
    }
}

/// From floor mm to mm with the front up.
pub(super) fn front_up(point: Point) -> Point {
    Point::new(-point.y, point.x)
}
