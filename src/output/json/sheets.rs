//! `sheets.json`: which sheet shows what of the floor.

use serde::Serialize;

use super::write::{fine, pretty};
use crate::{
    cover::{Edge, SheetPlan},
    job::MadeFrom,
};

/// The sheets as JSON: what they were made with and from, paper, count, lower bound, and for each sheet its page in `stencils.pdf`
/// (sheet 0 takes the first `cover_pages`), label (since `sheets/2` a number in the order of laying; a key's is its mark's name), size of that page, transform from floor mm to page
/// mm with the printer's correction in it, window and registration points on the floor, the page's edges
/// that are cut (half an overlap inside the window) and the place in the order of laying, later ones on top.
#[must_use]
pub fn sheets_json(sheets: &SheetPlan, cover_pages: usize, made_from: &MadeFrom) -> String {
    let format = &sheets.format;
    let to_page = format.to_page();
    let placed = sheets
        .sheets
        .iter()
        .enumerate()
        .map(|(place, sheet)| SheetJson {
            page: cover_pages + sheet.page + 1,
            label: &sheet.label,
            page_mm: [fine(sheet.paper.width), fine(sheet.paper.height)],
            floor_to_page: (to_page * sheet.floor_to_page).as_coeffs().map(fine),
            window: sheet.window.map(|corner| [fine(corner.x), fine(corner.y)]),
            cut: Edge::ALL
                .into_iter()
                .filter(|edge| sheet.is_cut(*edge))
                .map(Edge::word)
                .collect(),
            laid: place + 1,
            registration: sheet
                .registration
                .iter()
                .map(|&mark| {
                    let mark = &sheets.registration[mark];
                    RegistrationJson {
                        id: &mark.id,
                        x_mm: fine(mark.at.x),
                        y_mm: fine(mark.at.y),
                    }
                })
                .collect(),
        });
    pretty(&SheetsJson {
        format: "sheets/2",
        version: MadeFrom::VERSION,
        input: &made_from.input,
        paper: PaperJson {
            name: &format.paper.name,
            width_mm: fine(format.paper.width),
            height_mm: fine(format.paper.height),
        },
        margins_mm: MarginsJson {
            left: fine(format.margins.left),
            right: fine(format.margins.right),
            top: fine(format.margins.top),
            bottom: fine(format.margins.bottom),
        },
        overlap_mm: fine(format.overlap),
        mode: sheets.mode.word(),
        count: sheets.pages,
        lower_bound: sheets.lower_bound,
        sheets: placed.collect(),
    })
}

#[derive(Serialize)]
struct SheetsJson<'s> {
    format: &'static str,
    version: &'static str,
    input: &'s str,
    paper: PaperJson<'s>,
    margins_mm: MarginsJson,
    overlap_mm: f64,
    mode: &'static str,
    count: usize,
    lower_bound: usize,
    sheets: Vec<SheetJson<'s>>,
}

#[derive(Serialize)]
struct PaperJson<'s> {
    name: &'s str,
    width_mm: f64,
    height_mm: f64,
}

#[derive(Serialize)]
struct MarginsJson {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

#[derive(Serialize)]
struct SheetJson<'s> {
    page: usize,
    label: &'s str,
    page_mm: [f64; 2],
    floor_to_page: [f64; 6],
    window: [[f64; 2]; 4],
    cut: Vec<&'static str>,
    laid: usize,
    registration: Vec<RegistrationJson<'s>>,
}

#[derive(Serialize)]
struct RegistrationJson<'s> {
    id: &'s str,
    x_mm: f64,
    y_mm: f64,
}
