//! A stencil as drawings for a cutter: one for each piece, at full scale.

use kurbo::{Affine, Point, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke},
    page::clip::strokes,
    stencil::{CutPlan, PAGE_EDGE_MM, Piece},
};

/// Gap between pieces that are laid side by side in one file, mm.
const GAP_MM: f64 = 20.0;

/// A stencil's pieces, each a drawing of its own, and how they lie side by side.
#[derive(Clone, Debug)]
pub struct CutSheets {
    /// One page for each piece: paths only. The title is "Panel" and the piece's label.
    pub pages: Vec<Drawing>,
    /// Where each page's lower left corner lies when all are laid side by side, mm.
    pub places: Vec<Vec2>,
    /// The floor point at each page's lower left corner, mm.
    pub floor: Vec<Point>,
    /// Width and height of all laid side by side, mm.
    pub size: (f64, f64),
}

/// Draws a stencil's pieces at 1:1, seen from above, the vehicle's front to the right. Paths are
/// drawn for the tool's middle; openings come before the outline.
#[must_use]
pub fn cut_sheets(stencil: &CutPlan) -> CutSheets {
    let mut sheets = CutSheets {
        pages: Vec::new(),
        places: Vec::new(),
        floor: Vec::new(),
        size: (0.0, 0.0),
    };
    let (mat, gap) = (stencil.mat, GAP_MM);
    for piece in &stencil.pieces {
        let page = draw(piece, stencil);
        let row_from_below = stencil.grid.0 - 1 - piece.cell.0;
        // Each piece as it lies on the floor, moved apart by its page's edges and a gap.
        let apart = |index: usize| index as f64 * (2.0 * PAGE_EDGE_MM + gap);
        let place = Vec2::new(
            piece.area.x0 - mat.x0 + apart(piece.cell.1),
            piece.area.y0 - mat.y0 + apart(row_from_below),
        );
        sheets.size = (
            sheets.size.0.max(place.x + page.width),
            sheets.size.1.max(place.y + page.height),
        );
        sheets.places.push(place);
        sheets
            .floor
            .push(piece.area.origin() - Vec2::new(PAGE_EDGE_MM, PAGE_EDGE_MM));
        sheets.pages.push(page);
    }
    sheets
}

fn draw(piece: &Piece, stencil: &CutPlan) -> Drawing {
    let hairline = Stroke::solid(stencil.options.hairline);
    let to_page = Affine::translate(Vec2::new(
        PAGE_EDGE_MM - piece.area.x0,
        PAGE_EDGE_MM - piece.area.y0,
    ));
    let (width, height) = (
        piece.area.width() + 2.0 * PAGE_EDGE_MM,
        piece.area.height() + 2.0 * PAGE_EDGE_MM,
    );
    let mut drawing = Drawing::new(format!("Panel {}", piece.label), width, height);
    for &line in &piece.scores {
        drawing.path(
            Layer::Score,
            to_page * strokes(&[line]),
            None,
            Some(hairline),
        );
    }
    for path in piece.cut_paths(stencil.options.kerf) {
        drawing.path(Layer::Cut, to_page * path, None, Some(hairline));
    }
    drawing
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

    fn sheets(panel: Option<(f64, f64)>) -> CutSheets {
        let vehicle = VehicleSpec::read(&VEHICLES[1].source()).unwrap();
        let template = TemplateSpec::read(&TEMPLATES[0].source()).unwrap();
        let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
        cut_sheets(
            &cut(
                &plan,
                &CutOptions {
                    panel,
                    kerf: 0.4,
                    ..CutOptions::default()
                },
            )
            .unwrap(),
        )
    }

    #[test]
    fn a_cut_sheet_holds_strokes_alone_and_all_of_them_lie_on_the_page() {
        for page in sheets(Some((1200.0, 800.0))).pages {
            let area = Rect::new(0.0, 0.0, page.width, page.height);
            assert!(
                page.width <= 1210.0 + 1e-9 && page.height <= 810.0 + 1e-9
                    || page.height <= 1210.0 + 1e-9
            );
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
    fn pages_laid_side_by_side_do_not_overlap() {
        let sheets = sheets(Some((1200.0, 800.0)));
        let rects: Vec<Rect> = sheets
            .pages
            .iter()
            .zip(&sheets.places)
            .map(|(page, place)| {
                Rect::new(
                    place.x,
                    place.y,
                    place.x + page.width,
                    place.y + page.height,
                )
            })
            .collect();
        for (index, one) in rects.iter().enumerate() {
            assert!(one.x1 <= sheets.size.0 + 1e-9 && one.y1 <= sheets.size.1 + 1e-9);
            assert!(
                rects[index + 1..]
                    .iter()
                    .all(|other| one.intersect(*other).area() == 0.0)
            );
        }
    }

    #[test]
    fn the_outline_is_the_last_path_and_the_page_is_its_size_with_an_edge() {
        let sheets = sheets(None);
        let page = &sheets.pages[0];
        let Some(Item::Path(last)) = page.items.last() else {
            panic!("nothing drawn")
        };
        let around = last.outline.bounding_box();
        assert!(
            (around.width() - (page.width - 10.0 + 0.4)).abs() < 1e-9,
            "{around:?}"
        );
    }
}
