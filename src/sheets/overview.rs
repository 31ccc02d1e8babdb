//! The one page to carry: the plan to scale, the numbers to set out by, the squareness checklist.
//!
//! Everything is drawn into pieces of known size first and put on the page afterwards; `arrange`
//! tries sizes until the pieces fit, so nothing is ever laid over anything else. What is read at the bay is never smaller than
//! [`heights::TEXT`](crate::drawing::heights::TEXT), what is taped never smaller than
//! [`heights::NUMBER`](crate::drawing::heights::NUMBER): a layout that is too much for that goes on to the back of the page.
//!
//! Always on A4 or Letter, whichever goes with the job's paper.

mod arrange;
mod dimension;
mod notes;
mod plan_view;
mod tables;
#[cfg(test)]
mod tests;

use self::arrange::{Body, arrange};
use crate::{
    drawing::Drawing,
    paper::Paper,
    sheets::shared::{Context, Title, TitledSheet},
};

/// Clear space between the body and the title block, mm.
const ABOVE_TITLE: f64 = 3.0;

/// The overview of each layout on an upright sheet, and on its back where that holds too little: plan, measurement table, squareness
/// checklist, checklists, floor, cautions and title block. Made for A4, Letter and larger; lengths in mm, or in inches to
/// 1/16 where the context asks for it. Pages are numbered through all layouts.
#[must_use]
pub fn overviews(contexts: &[Context<'_>], paper: &Paper) -> Vec<Vec<Drawing>> {
    let bodies: Vec<(TitledSheet<'_>, Body)> = contexts
        .iter()
        .map(|context| {
            let sheet = TitledSheet::new(context, paper, "layout overview", ABOVE_TITLE);
            let (width, height) = (sheet.body.width(), sheet.body.height());
            let body = arrange(context.plan, context.inches, width, height);
            (sheet, body)
        })
        .collect();
    let of: usize = bodies.iter().map(|(_, body)| body.len()).sum();
    let mut number = 0;
    bodies
        .iter()
        .zip(contexts)
        .map(|((sheet, body), context)| {
            let unit = if context.inches { "in" } else { "mm" };
            let pages = (0..body.len()).map(|index| {
                number += 1;
                let title = Title {
                    scale: &body.scale.text(),
                    sheet: &format!("{number}/{of}"),
                    unit,
                };
                sheet.draw("Overview", &title, |page| {
                    body.place(index, page, sheet.body);
                })
            });
            pages.collect()
        })
        .collect()
}
