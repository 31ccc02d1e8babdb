//! Cut paths as SVG at full scale, for a cutter.

use std::fmt::Write as _;

use kurbo::{Affine, Vec2};

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
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n<title>{}</title>\n",
        escaped(title)
    );
    for ((drawing, place), floor) in sheets.pages.iter().zip(&sheets.places).zip(&sheets.floor) {
        let id = drawing.title.to_lowercase().replace(' ', "-");
        let _ = writeln!(
            text,
            "<g id=\"{id}\" data-x-mm=\"{}\" data-y-mm=\"{}\" data-width-mm=\"{}\" data-height-mm=\"{}\" \
             data-floor-x-mm=\"{}\" data-floor-y-mm=\"{}\">",
            number(place.x),
            number(sheets.size.1 - place.y - drawing.height),
            number(drawing.width),
            number(drawing.height),
            number(floor.x),
            number(floor.y)
        );
        let _ = writeln!(text, "<title>{}</title>", escaped(&drawing.title));
        for (layer, name, colour) in [(Layer::Score, Spot::SCORE, "#00ffff"), (Layer::Cut, spot, "#ff00ff")] {
            add_layer(
                &mut text,
                (drawing, *place, sheets.size.1),
                &format!("{id}-{}", layer.name()),
                (layer, name, colour),
            );
        }
        text.push_str("</g>\n");
    }
    text.push_str("</svg>\n");
    text
}

fn add_layer(
    text: &mut String,
    (drawing, place, height): (&Drawing, Vec2, f64),
    id: &str,
    (layer, spot, colour): (Layer, &str, &str),
) {
    let paths: Vec<_> = drawing
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Path(path) if path.layer == layer => path.stroke.map(|stroke| (path, stroke)),
            _ => None,
        })
        .collect();
    let Some((_, stroke)) = paths.first() else { return };
    let _ = writeln!(
        text,
        "<g id=\"{id}\" data-layer=\"{}\" data-spot=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{}\">",
        layer.name(),
        escaped(spot),
        number(stroke.width)
    );
    for (path, _) in paths {
        let placed = Affine::translate(place) * path.outline.clone();
        let _ = writeln!(text, "<path d=\"{}\"/>", path_data(&placed, height));
    }
    text.push_str("</g>\n");
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
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
            pages: vec![page("Panel A1"), page("Panel A2")],
            places: vec![Vec2::ZERO, Vec2::new(130.0, 0.0)],
            floor: vec![Point::new(-5.0, -1000.0), Point::new(95.0, -1000.0)],
            size: (230.0, 50.0),
        }
    }

    #[test]
    fn pages_lie_at_their_places_with_y_turned_over_and_without_text_objects() {
        let text = cut_svg("Bay <1>", &two_pages(), "Laser");
        assert!(text.contains("width=\"230mm\" height=\"50mm\" viewBox=\"0 0 230 50\""), "{text}");
        assert!(text.contains("d=\"M10 40 L20 40\"") && text.contains("d=\"M140 40 L150 40\""), "{text}");
        assert!(text.contains("<g id=\"panel-a2-cut\" data-layer=\"cut\" data-spot=\"Laser\""), "{text}");
        assert!(text.contains("data-spot=\"Score\"") && text.contains("Bay &lt;1&gt;"), "{text}");
        assert!(!text.contains("<text") && !text.contains("never") && !text.contains("transform"), "{text}");
    }

    #[test]
    fn what_is_written_is_svg_that_a_reader_takes() {
        let text = cut_svg("Bay", &two_pages(), "Through");
        let tree = resvg::usvg::Tree::from_str(&text, &resvg::usvg::Options::default()).unwrap();
        // 230 mm at 96 dpi.
        assert!((tree.size().width() - 869.29).abs() < 0.01, "{}", tree.size().width());
    }
}
