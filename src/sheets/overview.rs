//! The one page to carry: the plan to scale, the numbers to set out by, the squareness checklist.
//!
//! Everything is drawn into pieces of known size first and put on the page afterwards; `arrange`
//! tries sizes until the pieces fit, so nothing is ever laid over anything else.
//!
//! Always on A4 or Letter, whichever goes with the job's paper.

mod arrange;
mod dimension;
mod notes;
mod plan_view;
mod tables;
#[cfg(test)]
mod tests;

use self::arrange::arrange;
use crate::{
    drawing::Drawing,
    paper::Paper,
    plan::{FloorPlan, Mat},
    sheets::shared::{Context, Title, TitledSheet},
};

/// Clear space between the body and the title block, mm.
const ABOVE_TITLE: f64 = 3.0;

/// The overview on one upright sheet: plan, measurement table, squareness checklist, checklists,
/// floor, values, cautions and title block. Made for A4, Letter and larger; lengths in mm, and in
/// inches to 1/16 beside them when the context asks for it.
#[must_use]
pub fn overview(context: &Context<'_>, paper: &Paper) -> Drawing {
    let sheet = TitledSheet::new(context, paper, ABOVE_TITLE);
    let space = sheet.body;
    let body = arrange(context.plan, context.inches, space.width(), space.height());
    let title = Title {
        document_type: "floor layout overview",
        scale: &body.scale.text(),
        sheet: &sheet_number(context.plan),
    };
    sheet.draw("Overview", &title, |page| body.place(page, space))
}

/// The page in its file: a mat has one for each vehicle.
fn sheet_number(plan: &FloorPlan) -> String {
    match &plan.mat {
        Some(Mat {
            only: Some(v),
            vehicles,
            ..
        }) => format!("{}/{}", v + 1, vehicles.len()),
        _ => "1/1".to_owned(),
    }
}
