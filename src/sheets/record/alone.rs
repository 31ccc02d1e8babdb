//! The picture of displacements without the rest of the record, for a screen.

use super::{
    arrange::SCALES,
    input::RecordInput,
    picture::{HEADING, bare_picture},
};
use crate::{drawing::Drawing, page::Scale, sheets::shared::Context};

/// The picture is no higher than this part of its width: what is much higher does not go on to a screen with what stands beside it.
const HIGHEST: f64 = 1.3;
/// Clear height between the picture and what its lines and signs mean, mm.
const LEGEND_GAP: f64 = 2.5;
/// Room below the last line, mm: its descenders.
const FOOT: f64 = 1.0;

/// The layout to scale with every displacement enlarged, front up, and below it what its lines and signs mean: a drawing `width` mm
/// wide and as high as that takes. The scale is the largest of the record's with which the picture is no wider, and no higher than
/// 1.3 times as much.
#[must_use]
pub fn displacements(context: &Context<'_>, input: &RecordInput<'_>, width: f64) -> Drawing {
    let at = |ratio: u32| {
        let scale = Scale {
            ratio,
            standard: true,
        };
        bare_picture(context.plan, input, input.tied(), scale)
    };
    let mut pictures = SCALES.into_iter().map(at);
    let fitting =
        pictures.find(|one| one.view.width <= width && one.view.height <= HIGHEST * width);
    let picture = fitting.unwrap_or_else(|| at(SCALES[SCALES.len() - 1]));
    let (view, legend) = (&picture.view, picture.legend(width));
    let height = view.height + LEGEND_GAP + legend.height + FOOT;
    let mut drawing = Drawing::new(HEADING, width, height);
    view.place(&mut drawing, (width - view.width) / 2.0, height);
    legend.place(&mut drawing, 0.0, legend.height + FOOT);
    drawing
}
