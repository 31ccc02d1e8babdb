//! Cut paths as SVG at full scale, for a cutter.

use kurbo::{Affine, Vec2};
use svg::Document;
use svg::node::element::{Group, Path, Title};

use super::svg::{number, path_data};
use crate::{
    drawing::{Drawing, Item, Layer},
    sheets::CutSheets,
    stencil::Spot,
};

/// Writes a stencil's pieces side by side into one SVG: a group for each, and in it one group for each
/// of the cutter's layers. A piece's group says where its page lies in the file (`data-x-mm`,
/// `data-y-mm` of the upper left corner, y down) and on the floor (`data-floor-x-mm`,
/// `data-floor-y-mm` of the lower left corner).
///
/// One user unit is a millimetre and the size is stated in millimetres. Only the cutter's layers are
/// written, strokes alone: no text, no fill, no transform, and every path once. What kind of path a
/// group holds stands in its `id` and in `data-spot`; the strokes' colours (magenta through, cyan
/// scored) are the same as in the PDF.
#[must_use]
pub fn cut_svg(title: &str, sheets: &CutSheets, spot: &str) -> String {
    let (width, height) = (number(sheets.size.0), number(sheets.size.1));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(Title::new(title));
    for ((drawing, place), floor) in sheets.pages.iter().zip(&sheets.places).zip(&sheets.floor) {
        let id = drawing.title.to_lowercase().replace(' ', "-");
        let mut piece = Group::new()
            .set("id", id.as_str())
            .set("data-x-mm", number(place.x))
            .set(
                "data-y-mm",
                number(sheets.size.1 - place.y - drawing.height),
            )
            .set("data-width-mm", number(drawing.width))
            .set("data-height-mm", number(drawing.height))
            .set("data-floor-x-mm", number(floor.x))
            .set("data-floor-y-mm", number(floor.y))
            .add(Title::new(drawing.title.as_str()));
        for (layer, name, colour) in [
            (Layer::Score, Spot::SCORE, "#00ffff"),
            (Layer::Cut, spot, "#ff00ff"),
        ] {
            if let Some(strokes) = strokes_on(layer, drawing, *place, sheets.size.1) {
                let strokes = strokes.set("id", format!("{id}-{}", layer.name()));
                piece = piece.add(strokes.set("data-spot", name).set("stroke", colour));
            }
        }
        document = document.add(piece);
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

/// A piece's strokes on one layer, at the piece's place in a file of the given height, mm; `None` without any.
fn strokes_on(layer: Layer, drawing: &Drawing, place: Vec2, height: f64) -> Option<Group> {
    let strokes = drawing.items.iter().filter_map(|item| match item {
        Item::Path(path) if path.layer == layer => {
            path.stroke.map(|stroke| (&path.outline, stroke.width))
        }
        _ => None,
    });
    let mut strokes = strokes.peekable();
    let group = Group::new()
        .set("data-layer", layer.name())
        .set("fill", "none")
        .set("stroke-width", number(strokes.peek()?.1));
    let placed = strokes
        .map(|(outline, _)| path_data(&(Affine::translate(place) * outline.clone()), height));
    Some(placed.fold(group, |group, data| group.add(Path::new().set("d", data))))
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::*;
    use crate::drawing::{Stroke, Text};

    fn page(title: &str) -> Drawing {
        let mut page = Drawing::new(title, 100.0, 50.0);
        page.line(Layer::Cut, (10.0, 10.0), (20.0, 10.0), Stroke::solid(0.1));
        page.line(Layer::Score, (10.0, 20.0), (20.0, 20.0), Stroke::solid(0.1));
        page.text(Text::new((5.0, 5.0), 2.5, "never written"));
        page
    }

    fn two_pages() -> CutSheets {
        CutSheets {
            pages: vec![page("Panel 1"), page("Panel 2")],
            places: vec![Vec2::ZERO, Vec2::new(130.0, 0.0)],
            floor: vec![Point::new(-5.0, -1000.0), Point::new(95.0, -1000.0)],
            size: (230.0, 50.0),
        }
    }

    #[test]
    fn pages_lie_at_their_places_with_y_turned_over_and_without_text_objects() {
        let text = cut_svg("Bay <1>", &two_pages(), "Laser");
        assert!(
            text.contains("<svg height=\"50mm\" viewBox=\"0 0 230 50\" width=\"230mm\""),
            "{text}"
        );
        assert!(
            text.contains("d=\"M10 40 L20 40\"") && text.contains("d=\"M140 40 L150 40\""),
            "{text}"
        );
        assert!(
            text.contains(
                "<g data-layer=\"cut\" data-spot=\"Laser\" fill=\"none\" id=\"panel-2-cut\""
            ),
            "{text}"
        );
        assert!(
            text.contains("data-spot=\"Score\"") && text.contains("Bay &lt;1&gt;"),
            "{text}"
        );
        assert!(
            !text.contains("<text") && !text.contains("never") && !text.contains("transform"),
            "{text}"
        );
    }

    #[test]
    fn what_is_written_is_svg_that_a_reader_takes() {
        let text = cut_svg("Bay", &two_pages(), "Through");
        let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
        // 230 mm at 96 dpi.
        assert!(
            (tree.size().width() - 869.29).abs() < 0.01,
            "{}",
            tree.size().width()
        );
    }
}
