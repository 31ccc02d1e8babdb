//! Cut paths as SVG at full scale, for a cutter.

use kurbo::Affine;
use svg::Document;
use svg::node::element::{Group, Path, Title};

use super::svg::{number, path_data};
use crate::{drawing::Layer, sheets::CutSheet, stencil::Inks};

/// Writes a load into one SVG: a group for each of the cutter's layers, and in it one for each piece, which says by which motion
/// its paths go to the floor (`data-to-floor`: the six numbers of an affine map as in SVG's `matrix`, from mm to the right of
/// and above the load's lower left corner to floor mm).
///
/// One user unit is a millimetre and the size is stated in millimetres. Only the cutter's layers are
/// written, strokes alone: no text, no fill, no transform, and every path once, in the order in which it is to be cut. What kind
/// of path a group holds stands in its `id` and in `data-spot`; the strokes' colours are the same as in the PDF.
#[must_use]
pub fn cut_svg(title: &str, sheet: &CutSheet, inks: &Inks) -> String {
    let page = &sheet.page;
    let (width, height) = (number(page.width), number(page.height));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(Title::new(title));
    let layers = [
        (sheet.score_layer, &inks.score, &sheet.scores),
        (Layer::Cut, &inks.cut, &sheet.cuts),
    ];
    for (layer, ink, pieces) in layers {
        let mut group = Group::new()
            .set("id", layer.name())
            .set("data-spot", ink.spot.name())
            .set("fill", "none")
            .set("stroke", ink.colour.to_string())
            .set("stroke-width", number(sheet.hairline));
        for piece in pieces {
            let mut of_piece = Group::new()
                .set("id", format!("{}-{}", layer.name(), piece.label))
                .set("data-piece", piece.label.as_str())
                .set("data-to-floor", numbers(piece.to_floor));
            for path in &piece.paths {
                let data = path_data(&path.path(), page.height);
                of_piece = of_piece.add(Path::new().set("d", data));
            }
            group = group.add(of_piece);
        }
        document = document.add(group);
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn numbers(map: Affine) -> String {
    map.as_coeffs().map(|value| format!("{value:.9}")).join(" ")
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::*;
    use crate::{
        drawing::Drawing,
        sheets::PiecePaths,
        stencil::{Contour, Spot},
    };

    fn sheet() -> CutSheet {
        let paths = |x: f64| PiecePaths {
            label: "7".to_owned(),
            to_floor: Affine::translate((-1000.0, 50.0)),
            paths: vec![Contour::of_points(&[
                Point::new(x, 10.0),
                Point::new(x + 10.0, 10.0),
            ])],
        };
        CutSheet {
            page: Drawing::new("Load 1", 230.0, 50.0),
            scores: vec![paths(10.0)],
            cuts: vec![paths(140.0)],
            score_layer: Layer::Score,
            hairline: 0.1,
        }
    }

    #[test]
    fn paths_lie_at_their_places_with_y_turned_over_and_without_text_objects() {
        let mut inks = Inks::default();
        inks.cut.spot = Spot::named("Laser <\"1\">").unwrap();
        let text = cut_svg("Bay <1>", &sheet(), &inks);
        for part in [
            "<svg height=\"50mm\" viewBox=\"0 0 230 50\" width=\"230mm\"",
            "data-spot=\"Laser &lt;&quot;1&quot;&gt;\" fill=\"none\" id=\"cut\"",
            "data-piece=\"7\" data-to-floor=\"1.000000000 0.000000000 0.000000000 1.000000000 -1000.000000000 50.000000000\"",
            "data-spot=\"Score\"",
            "Bay &lt;1&gt;",
        ] {
            assert!(text.contains(part), "{part} not in\n{text}");
        }
        let (score, cut) = ("d=\"M10 40 L20 40\"", "d=\"M140 40 L150 40\"");
        assert!(
            text.find(score).unwrap() < text.find(cut).unwrap(),
            "{text}"
        );
        assert!(
            !text.contains("<text") && !text.contains("transform"),
            "{text}"
        );
    }

    #[test]
    fn what_is_written_is_svg_that_a_reader_takes() {
        let text = cut_svg("Bay", &sheet(), &Inks::default());
        let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
        // 230 mm at 96 dpi.
        assert!((tree.size().width() - 869.29).abs() < 0.01);
    }
}
