//! A stencil that is cut by hand from the printed sheets, once these are joined.
//!
//! Its openings are those of a machine's stencil, but for their bridges, which know the sheets' seams, and for their corners,
//! which a knife leaves sharp. It has no outline and no scores: a sheet ends where it is trimmed, and shows lines and arms in
//! print. Keys are cut as hole and windows alone: a strip's slot would run off the card.

use kurbo::{Point, Rect};

use super::{
    CutError, CutNote, CutOptions, Opening,
    bed::Bed,
    loss::losses,
    marks::cut_marks,
    pens::cut_panels,
    seams::{Seams, papers},
    shape::{Shape, remaining, united},
    strips::{cut_strips, strips},
};
use crate::{
    cover::{Mode, SheetPlan},
    plan::{FloorPlan, bounds, corners},
};

/// Largest part, mm², that may come loose without a word: the corner of a lap, less than a grain of rice.
const CRUMB_MM2: f64 = 1.0;

/// What is cut out of the printed sheets of a layout. Floor mm.
#[derive(Clone, Debug)]
pub struct HandCut {
    /// What falls away.
    pub openings: Vec<Opening>,
    /// Least width of the webs between openings, mm.
    pub bridge: f64,
    /// What could not be cut as wanted, and why.
    pub notes: Vec<CutNote>,
}

/// Works out what to cut out of the sheets of a layout by hand.
///
/// Of the options, bridges and their spacing count; what a machine has (kerf, panels, corners) does not.
///
/// # Errors
/// [`CutError`] when the bridges are out of range, when the layout has nothing to cut, when a strip or a mark cannot be cut
/// whole, or when joined sheets would fall apart.
pub fn cut_by_hand(
    plan: &FloorPlan,
    options: &CutOptions,
    sheets: &SheetPlan,
) -> Result<HandCut, CutError> {
    let options = CutOptions {
        bridge: options.bridge,
        bridge_every: options.bridge_every,
        corner: Some(0.0),
        partial: options.partial,
        // There is no frame whose border could be out of range.
        field: true,
        ..CutOptions::default()
    };
    options.check(None)?;
    if plan.marks.is_empty() {
        return Err(CutError::Nothing);
    }
    let seams = Seams::of(sheets);
    let mut bed = Bed::new(&options);
    let mut notes = cut_marks(&mut bed, plan, &options, &seams);
    let strips = match sheets.mode {
        Mode::Keys => Vec::new(),
        _ => strips(plan),
    };
    if sheets.mode != Mode::Keys {
        notes.extend(cut_strips(&mut bed, &strips, plan, &seams, &options));
        notes.extend(cut_panels(&mut bed, plan, &seams, &options));
        let along = strips
            .iter()
            .filter(|strip| seams.run_along(strip.axis, strip.width));
        notes.extend(along.map(|strip| CutNote::SeamAlong(strip.name.clone())));
        let bare = strips
            .iter()
            .filter(|strip| seams.lack_lap(strip.axis, strip.width));
        notes.extend(bare.map(|strip| CutNote::SeamWithoutLap(strip.name.clone())));
    }
    let openings = bed.into_openings();
    let lost = losses(plan, &strips, openings.iter(), &options);
    if !(options.partial || lost.is_empty()) {
        return Err(CutError::Partial(lost));
    }
    if sheets.mode != Mode::Keys {
        stay_whole(sheets, &openings)?;
    }
    Ok(HandCut {
        openings,
        bridge: options.bridge,
        notes,
    })
}

/// Fails unless what remains of sheets that are joined hangs together.
fn stay_whole(sheets: &SheetPlan, openings: &[Opening]) -> Result<(), CutError> {
    let papers = papers(sheets);
    let openings: Vec<(Vec<Point>, Rect)> = openings
        .iter()
        .map(Opening::polygon)
        .map(|polygon| (bounds(&polygon), polygon))
        .map(|(around, polygon)| (polygon, around))
        .collect();
    for group in sheets.groups() {
        let papers: Vec<Vec<Point>> = group
            .iter()
            .map(|&sheet| corners(papers[sheet]).to_vec())
            .collect();
        let ground = bounds(&papers.concat());
        let near = openings
            .iter()
            .filter(|(_, around)| ground.overlaps(*around));
        let near: Vec<Vec<Point>> = near.map(|(polygon, _)| polygon.clone()).collect();
        let joined = united(&papers);
        let mut parts: Vec<Shape> = joined
            .iter()
            .flat_map(|shape| remaining(shape, &near))
            .filter(|part| part.area() > CRUMB_MM2)
            .collect();
        parts.sort_by(|a, b| a.area().total_cmp(&b.area()));
        if let [smallest, _, ..] = &parts[..] {
            return Err(CutError::LooseSheets {
                first: sheets.sheets[group[0]].label.clone(),
                parts: parts.len(),
                near: smallest.outer[0],
            });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        cover::{Content, SheetFormat, cover},
        job::{TEMPLATES, VEHICLES},
        paper::{Correction, Margins, Paper},
        stencil::CutBy,
        template::TemplateSpec,
        vehicle::VehicleSpec,
    };

    fn sheets(plan: &FloorPlan, mode: Mode, margin: f64) -> SheetPlan {
        let [paper, ..] = Paper::known();
        let margins = Margins {
            left: margin,
            right: margin,
            top: margin,
            bottom: margin,
        };
        let format = SheetFormat {
            paper,
            margins,
            overlap: 10.0,
            correction: Correction::default(),
        };
        cover(&Content::of(plan), &format, mode).unwrap()
    }

    #[test]
    fn every_template_is_cut_by_hand_with_all_its_slots_holes_and_windows() {
        for (vehicle, template) in [0, 4].into_iter().flat_map(|v| (0..4).map(move |t| (v, t))) {
            let vehicle = VehicleSpec::read(&VEHICLES[vehicle].source()).unwrap();
            let template = TemplateSpec::read(&TEMPLATES[template].source()).unwrap();
            let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
            // With a margin of 2 mm the laps are too shallow for a bridge.
            for (mode, margin) in [(Mode::Lines, 10.0), (Mode::Grid, 10.0), (Mode::Grid, 2.0)] {
                let sheets = sheets(&plan, mode, margin);
                let cut = cut_by_hand(&plan, &CutOptions::usual(CutBy::Hand), &sheets).unwrap();
                assert!(
                    cut.notes.iter().all(|note| matches!(
                        note,
                        CutNote::SeamAlong(_) | CutNote::SeamWithoutLap(_)
                    )),
                    "{:?}",
                    cut.notes
                );
                let holes = cut
                    .openings
                    .iter()
                    .filter(|o| matches!(o, Opening::Hole { .. }));
                assert_eq!(holes.count(), plan.marks.len());
                assert!(cut.openings.len() >= 5 * plan.marks.len() + plan.lines.len());
            }
        }
    }

    #[test]
    fn keys_are_cut_as_holes_and_windows_alone() {
        let vehicle = VehicleSpec::read(&VEHICLES[0].source()).unwrap();
        let template = TemplateSpec::read(&TEMPLATES[0].source()).unwrap();
        let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
        let sheets = sheets(&plan, Mode::Keys, 10.0);
        let cut = cut_by_hand(&plan, &CutOptions::usual(CutBy::Hand), &sheets).unwrap();
        assert_eq!(cut.openings.len(), 5 * plan.marks.len());
    }

    #[test]
    fn sheets_that_would_fall_apart_are_refused_with_the_part_that_comes_loose() {
        let vehicle = VehicleSpec::read(&VEHICLES[0].source()).unwrap();
        let template = TemplateSpec::read(&TEMPLATES[2].source()).unwrap();
        let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
        let sheets = sheets(&plan, Mode::Lines, 10.0);
        // A sheet that joins no other, at the rear.
        let middle = sheets.sheets[1].floor_window().center();
        let across = Opening::Slot {
            from: middle - kurbo::Vec2::new(0.0, 400.0),
            to: middle + kurbo::Vec2::new(0.0, 400.0),
            width: 50.0,
            corner: 0.0,
        };
        let error = stay_whole(&sheets, &[across]).unwrap_err();
        assert!(
            matches!(error, CutError::LooseSheets { parts: 2.., .. }),
            "{error}"
        );
        assert_eq!(stay_whole(&sheets, &[]), Ok(()));
    }
}
