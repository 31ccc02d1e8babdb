//! The machine-readable files: `plan.json` and `sheets.json`.
//!
//! `plan.json` is `PlanJson` with what the survey adds, joined by `flatten` here: `plan` may not
//! know `survey`.

use serde::Serialize;

use super::steps_json::SettingOutJson;
use crate::{
    cover::{Edge, SheetPlan},
    plan::{FloorPlan, PlanJson},
    survey::SettingOutSteps,
};

/// The plan as JSON, see [`PlanJson`], and beside it how to set it out.
#[must_use]
pub fn plan_json(plan: &FloorPlan, steps: &SettingOutSteps) -> String {
    pretty(&PlanFile {
        plan: PlanJson::from(plan),
        setting_out: SettingOutJson::of(plan, steps),
    })
}

/// The plan with what the survey makes of it, one object.
#[derive(Serialize)]
struct PlanFile<'p> {
    #[serde(flatten)]
    plan: PlanJson<'p>,
    setting_out: SettingOutJson<'p>,
}

/// The sheets as JSON: paper, count, lower bound, and for each sheet its page in `stencils.pdf`
/// (sheet 0 takes the first `cover_pages`), label, size of that page, transform from floor mm to page
/// mm with the printer's correction in it, window and registration points on the floor, the page's edges
/// that are cut (half an overlap inside the window) and the place in the order of laying, later ones on top.
#[must_use]
pub fn sheets_json(sheets: &SheetPlan, cover_pages: usize) -> String {
    let format = &sheets.format;
    let to_page = format.to_page();
    let placed = sheets.sheets.iter().map(|sheet| SheetJson {
        page: cover_pages + sheet.page + 1,
        label: &sheet.label,
        page_mm: [tidy(sheet.paper.width), tidy(sheet.paper.height)],
        floor_to_page: (to_page * sheet.floor_to_page).as_coeffs().map(tidy),
        window: sheet.window.map(|corner| [tidy(corner.x), tidy(corner.y)]),
        cut: Edge::ALL
            .into_iter()
            .filter(|edge| sheet.is_cut(*edge))
            .map(Edge::word)
            .collect(),
        laid: sheet.laid + 1,
        registration: sheet
            .registration
            .iter()
            .map(|&mark| {
                let mark = &sheets.registration[mark];
                RegistrationJson {
                    id: &mark.id,
                    x_mm: tidy(mark.at.x),
                    y_mm: tidy(mark.at.y),
                }
            })
            .collect(),
    });
    pretty(&SheetsJson {
        format: "sheets/1",
        paper: PaperJson {
            name: &format.paper.name,
            width_mm: tidy(format.paper.width),
            height_mm: tidy(format.paper.height),
        },
        margins_mm: MarginsJson {
            left: tidy(format.margins.left),
            right: tidy(format.margins.right),
            top: tidy(format.margins.top),
            bottom: tidy(format.margins.bottom),
        },
        overlap_mm: tidy(format.overlap),
        mode: sheets.mode.word(),
        count: sheets.pages,
        lower_bound: sheets.lower_bound,
        sheets: placed.collect(),
    })
}

/// A value as indented JSON with a final line break.
#[must_use]
pub fn pretty(value: &impl Serialize) -> String {
    let mut text =
        serde_json::to_string_pretty(value).expect("plain data with string keys always serializes");
    text.push('\n');
    text
}

/// Rounds away the last bits of floating-point arithmetic, a billionth of a mm, and turns −0 into 0.
fn tidy(value: f64) -> f64 {
    const PER_UNIT: f64 = 1e9;
    (value * PER_UNIT).round() / PER_UNIT + 0.0
}

#[derive(Serialize)]
struct SheetsJson<'s> {
    format: &'static str,
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
