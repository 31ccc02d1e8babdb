//! The pages of a layout on a desk: a blank grid, how the sheets go together, its sheets, and half of the vehicle to cut out.

mod grid;
mod outline;

use kurbo::Rect;

use self::{grid::grid, outline::Outline};
use crate::{
    cover::SheetPlan,
    drawing::{Drawing, Text, heights},
    job::Record,
    page::Flow,
    paper::Paper,
    practice::{Model, Ruling},
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

/// Blank edge of the pages that are not cut, mm: that of full-scale sheets, the lower one 5 mm deeper.
const EDGE_MM: f64 = 12.0;
const LOWER_EDGE_MM: f64 = 16.0;

/// Gap between columns and between text and maps, mm.
const GAP_MM: f64 = 8.0;

/// Part of the page's width that the outline's map takes.
const OUTLINE_PART: f64 = 0.24;

/// A blank grid, how the sheets go together, the layout's sheets in the order of their pages, then the half outline.
#[must_use]
pub fn desk_pages(model: &Model, paper: &Paper) -> Vec<Drawing> {
    let record = Record::default();
    let context = Context {
        plan: &model.plan,
        record: &record,
        inches: model.ruling == Ruling::Inches,
        printer: "no correction",
    };
    let art = FloorArt::of(&model.plan).crosses_apart();
    let outline = Outline { model };
    let (sheets, halves) = (model.sheets.sheets.len(), model.half.pages);
    let numbered = |page| PageNumber {
        page,
        of: 2 + sheets + halves,
    };
    let mut pages = vec![
        grid(model, paper, numbered(1)),
        together(&context, &art, model, paper, numbered(2)),
    ];
    let drawn =
        (0..sheets).map(|index| tile(&context, &art, &model.sheets, index, numbered(index + 3)));
    pages.extend(drawn);
    pages.extend((0..halves).map(|index| outline.page(index, paper, numbered(index + 3 + sheets))));
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

/// The page that says how the sheets and the outline's parts go together.
fn together(
    context: &Context,
    art: &FloorArt,
    model: &Model,
    paper: &Paper,
    number: PageNumber,
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
        "A model for a desk, not for a floor: {}. Page {} of {}.",
        context.plan.vehicle.name, number.page, number.of
    );
    page.text(Text::new((body.x0, y), heights::TEXT, subject));
    y -= GAP_MM / 2.0;
    let columns = [
        [order(&model.sheets), holding(&model.sheets)].to_vec(),
        [joining(&model.sheets), parts(model)].to_vec(),
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
    let map = Rect {
        x1: split - GAP_MM,
        ..below
    };
    AssemblyMap::whole(context, art, &model.sheets, map).draw(&mut page);
    Outline { model }.map(&mut page, Rect { x0: split, ..below });
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
fn parts(model: &Model) -> Section {
    let mut paragraphs =
        vec!["Cut out each part along its edges, solid and dashed ones.".to_owned()];
    if model.half.parts.len() > 1 {
        paragraphs.push(
            "Bring dashed edge to dashed edge, as the names of the parts beside them say (◂ ▸ ▴ ▾) and until the short \
             ticks meet; do not overlap. Tape from below."
                .to_owned(),
        );
    }
    let side = model.half.side();
    paragraphs.push(format!(
        "It is the {side} half alone: its inner edge goes on the centreline of the mat, as the exercise says."
    ));
    Section {
        heading: "Vehicle outline".to_owned(),
        paragraphs,
        numbered: true,
    }
}
