//! Cut paths as SVG at full scale, for a cutter.

use std::fmt::Write as _;

use kurbo::{Affine, Vec2};

use super::svg::{number, path_data};
use crate::{
    drawing::{Drawing, Item, Layer},
    stencil::Spot,
};

/// Writes drawings side by side into one SVG: a group for each, and in it one group for each of the
/// cutter's layers. `places` are the lower left corners of the drawings, `size` the width and height
/// of all together, mm.
///
/// One user unit is a millimetre and the size is stated in millimetres. Only the cutter's layers are
/// written, strokes alone: no text, no fill, no transform, and every path once. What kind of path a
/// group holds stands in its `id` and in `data-spot`; the strokes' colours (magenta through, cyan
/// scored) are the same as in the PDF.
#[must_use]
pub fn cut_svg(title: &str, drawings: &[Drawing], places: &[Vec2], size: (f64, f64), spot: &str) -> String {
    let (width, height) = (number(size.0), number(size.1));
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n<title>{}</title>\n",
        escaped(title)
    );
    for (drawing, place) in drawings.iter().zip(places) {
        let id = drawing.title.to_lowercase().replace(' ', "-");
        let sides = (number(drawing.width), number(drawing.height));
        let _ = writeln!(text, "<g id=\"{id}\" data-width-mm=\"{}\" data-height-mm=\"{}\">", sides.0, sides.1);
        let _ = writeln!(text, "<title>{}</title>", escaped(&drawing.title));
        for (layer, name, colour) in [(Layer::Score, Spot::SCORE, "#00ffff"), (Layer::Cut, spot, "#ff00ff")] {
            add_layer(&mut text, (drawing, *place, size.1), &format!("{id}-{}", layer.name()), (layer, name, colour));
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
    use super::*;
    use crate::drawing::{Stroke, Text};

    fn page(title: &str) -> Drawing {
        let mut page = Drawing::new(title, 100.0, 50.0);
        page.line(Layer::Cut, (10.0, 10.0), (20.0, 10.0), Stroke::solid(0.1));
        page.line(Layer::Score, (10.0, 20.0), (20.0, 20.0), Stroke::solid(0.1));
        page.text(Text::new((5.0, 5.0), 2.5, "never written"));
        page
    }

    #[test]
    fn pages_lie_at_their_places_with_y_turned_over_and_without_text_objects() {
        let pages = [page("Panel A1"), page("Panel A2")];
        let places = [Vec2::ZERO, Vec2::new(130.0, 0.0)];
        let text = cut_svg("Bay <1>", &pages, &places, (230.0, 50.0), "Laser");
        assert!(text.contains("width=\"230mm\" height=\"50mm\" viewBox=\"0 0 230 50\""), "{text}");
        assert!(text.contains("d=\"M10 40 L20 40\"") && text.contains("d=\"M140 40 L150 40\""), "{text}");
        assert!(text.contains("<g id=\"panel-a2-cut\" data-layer=\"cut\" data-spot=\"Laser\""), "{text}");
        assert!(text.contains("data-spot=\"Score\"") && text.contains("Bay &lt;1&gt;"), "{text}");
        assert!(!text.contains("<text") && !text.contains("never") && !text.contains("transform"), "{text}");
    }

    #[test]
    fn what_is_written_is_svg_that_a_reader_takes() {
        let text = cut_svg("Bay", &[page("Panel A1")], &[Vec2::ZERO], (100.0, 50.0), "Through");
        let tree = resvg::usvg::Tree::from_str(&text, &resvg::usvg::Options::default()).unwrap();
        // 100 mm at 96 dpi.
        assert!((tree.size().width() - 377.95).abs() < 0.01, "{}", tree.size().width());
    }
}
