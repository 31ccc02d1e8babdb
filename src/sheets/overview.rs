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

use kurbo::Rect;

use self::arrange::arrange;
use crate::{
    drawing::Drawing,
    page::{drawing_space, frame},
    paper::Paper,
    plan::{FloorPlan, Mat},
    sheets::shared::{Context, Title, title_block},
};

/// Clear space between the frame and what stands in it, mm.
const INSET: f64 = 2.0;
/// Clear space between the body and the title block, mm.
const ABOVE_TITLE: f64 = 3.0;

/// The overview on one upright sheet: plan, measurement table, squareness checklist, checklists,
/// floor, values, cautions and title block. Made for A4, Letter and larger; lengths in mm, and in
/// inches to 1/16 beside them when the context asks for it.
#[must_use]
pub fn overview(context: &Context<'_>, paper: &Paper) -> Drawing {
    let mut page = Drawing::new("Overview", paper.width, paper.height);
    let space = drawing_space(paper);
    let sheet = sheet_number(context.plan);
    let measured = title_block(context, &title("1:50", &sheet), space.width());
    let body_space = Rect::new(
        space.x0 + INSET,
        space.y0 + measured.height + ABOVE_TITLE,
        space.x1 - INSET,
        space.y1 - INSET,
    );
    let body = arrange(
        context.plan,
        context.inches,
        body_space.width(),
        body_space.height(),
    );
    body.place(&mut page, body_space);
    let scale = body.scale.text();
    let block = title_block(context, &title(&scale, &sheet), space.width());
    block.place(&mut page, space.x0, space.y0 + block.height);
    frame(&mut page, paper);
    page
}

const fn title<'t>(scale: &'t str, sheet: &'t str) -> Title<'t> {
    Title {
        document_type: "floor layout overview",
        scale,
        sheet,
    }
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
