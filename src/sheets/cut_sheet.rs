//! A stencil as drawings for a cutter: one for each load of its bed, at full scale.

use kurbo::{Affine, Point};
use rayon::prelude::*;

use crate::{
    drawing::{Drawing, Layer, Stroke},
    stencil::{Contour, CutPlan, Laid, Load, Ordered, PieceContours, ordered},
};

/// A load of the bed, in mm from its lower left corner. Paths stand in the order in which they are to be cut.
#[derive(Clone, Debug)]
pub struct CutSheet {
    /// The page of the load's size: paths only. The title is "Load" and its number.
    pub page: Drawing,
    /// What is scored, piece by piece.
    pub scores: Vec<PiecePaths>,
    /// What goes through, piece by piece, the outline last; for the tool's middle.
    pub cuts: Vec<PiecePaths>,
    /// The layer of what is scored, or drawn with a pen.
    pub score_layer: Layer,
    /// Width of the strokes, mm.
    pub hairline: f64,
}

/// Paths of a piece on a load.
#[derive(Clone, Debug)]
pub struct PiecePaths {
    /// The piece's name.
    pub label: String,
    /// From the load to the floor.
    pub to_floor: Affine,
    /// The paths.
    pub paths: Vec<Contour>,
}

/// Draws a stencil's loads at 1:1, seen from above.
#[must_use]
pub fn cut_sheets(stencil: &CutPlan) -> Vec<CutSheet> {
    let loads: Vec<(usize, &Load)> = stencil.loads.iter().enumerate().collect();
    loads
        .into_par_iter()
        .map(|(index, load)| sheet(stencil, index, load))
        .collect()
}

fn sheet(stencil: &CutPlan, index: usize, load: &Load) -> CutSheet {
    let contours: Vec<PieceContours> = load
        .pieces
        .iter()
        .map(|laid| placed(stencil, laid))
        .collect();
    let Ordered { scores, cuts } = ordered(&contours, Point::ZERO);
    let paths = |(at, paths): (usize, Vec<Contour>)| PiecePaths {
        label: stencil.pieces[load.pieces[at].piece].label.clone(),
        to_floor: load.pieces[at].place.inverse(),
        paths,
    };
    let mut sheet = CutSheet {
        page: Drawing::new(format!("Load {}", index + 1), load.size.0, load.size.1),
        scores: scores.into_iter().map(paths).collect(),
        cuts: cuts.into_iter().map(paths).collect(),
        score_layer: if stencil.options.pen_names {
            Layer::Pen
        } else {
            Layer::Score
        },
        hairline: stencil.options.hairline,
    };
    let stroke = Stroke::solid(sheet.hairline);
    for (layer, pieces) in [
        (sheet.score_layer, &sheet.scores),
        (Layer::Cut, &sheet.cuts),
    ] {
        for path in pieces.iter().flat_map(|piece| &piece.paths) {
            sheet.page.path(layer, path.path(), None, Some(stroke));
        }
    }
    sheet
}

fn placed(stencil: &CutPlan, laid: &Laid) -> PieceContours {
    let piece = &stencil.pieces[laid.piece];
    let kerf = stencil.options.kerf;
    let place = |contours: Vec<Contour>| -> Vec<Contour> {
        contours
            .iter()
            .map(|contour| contour.placed(laid.place))
            .collect()
    };
    PieceContours {
        scores: place(piece.scored()),
        openings: place(piece.inner_cuts(kerf)),
        outline: piece.outline_cut(kerf).placed(laid.place),
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{Rect, Shape};

    use super::*;

    use crate::{
        drawing::Item,
        job::{TEMPLATES, VEHICLES},
        plan::FloorPlan,
        stencil::{CutOptions, cut},
        template::TemplateSpec,
        vehicle::VehicleSpec,
    };

    fn sheets(options: &CutOptions) -> Vec<CutSheet> {
        let vehicle = VehicleSpec::read(&VEHICLES[1].source()).unwrap();
        let template = TemplateSpec::read(&TEMPLATES[0].source()).unwrap();
        let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
        cut_sheets(&cut(&plan, options).unwrap())
    }

    #[test]
    fn a_cut_sheet_holds_strokes_alone_and_all_of_them_lie_on_the_load() {
        let options = CutOptions {
            kerf: 0.4,
            ..CutOptions::default()
        };
        for CutSheet { page, .. } in sheets(&options) {
            let area = Rect::new(0.0, 0.0, 1200.0, 800.0);
            assert_eq!((page.width, page.height), (1200.0, 800.0));
            for item in &page.items {
                let Item::Path(path) = item else {
                    panic!("a text on {}", page.title)
                };
                assert!(path.fill.is_none() && path.layer.is_for_cutter());
                let around = path.outline.bounding_box();
                assert_eq!(around.union(area), area, "{around:?} on {}", page.title);
            }
        }
    }

    #[test]
    fn the_outline_of_a_piece_is_its_last_path_and_scores_go_on_the_layer_that_is_asked_for() {
        let options = CutOptions {
            field: true,
            pen_names: true,
            ..CutOptions::default()
        };
        for sheet in sheets(&options) {
            assert_eq!(sheet.score_layer, Layer::Pen);
            for piece in &sheet.cuts {
                let area = |contour: &Contour| contour.bounds().area();
                let (last, inner) = piece.paths.split_last().unwrap();
                assert!(inner.iter().all(|cut| area(cut) < area(last)));
            }
        }
    }
}
