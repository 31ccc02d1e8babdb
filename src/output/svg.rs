//! A drawing as SVG at full scale.
//!
//! One user unit is one millimetre, and the size is stated in millimetres, so that a cutter has
//! nothing to guess. SVG's y runs down; coordinates are turned over here, one by one, and nothing
//! hides behind a transform except the turn of a turned text.
//!
//! Text stays text. The glyphs it uses travel along as a web font, for browsers; readers that
//! ignore web fonts fall back on another sans-serif, and `textLength` keeps them to the measured
//! width.

use std::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use kurbo::{BezPath, PathEl, Point};
use svg::Document;
use svg::node::element::{self, Element, Group, Style, Title};
use svg::node::{self, Node};

use super::font::{Subset, characters_in};
use crate::drawing::{Anchor, Drawing, Face, Item, Layer, Path, Text, Tone, Weight};

/// Decimals of a number in mm: a ten-thousandth is far below what any cutter resolves.
const DECIMALS: usize = 4;

/// Writes a drawing as SVG, one group per layer with the layer's name as its `id`.
///
/// The drawing's numbers must be finite. The same drawing gives the same text.
#[must_use]
pub fn svg(drawing: &Drawing) -> String {
    let mut document = Document::new()
        .set("width", format!("{}mm", number(drawing.width)))
        .set("height", format!("{}mm", number(drawing.height)))
        .set(
            "viewBox",
            format!("0 0 {} {}", number(drawing.width), number(drawing.height)),
        );
    if !drawing.title.is_empty() {
        document = document.add(Title::new(drawing.title.as_str()));
    }
    if let Some(style) = web_fonts(drawing) {
        document = document.add(style);
    }
    for layer in Layer::ALL {
        let mut group = Group::new().set("id", layer.name());
        for item in &drawing.items {
            match item {
                Item::Path(path) if path.layer == layer => {
                    group = add_path(group, path, drawing.height)
                }
                Item::Text(text) if text.layer == layer => {
                    group = add_text(group, text, drawing.height)
                }
                _ => {}
            }
        }
        if group
            .get_children()
            .is_some_and(|children| !children.is_empty())
        {
            document = document.add(group);
        }
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn add_path(group: Group, path: &Path, height: f64) -> Group {
    if path.outline.elements().is_empty() || (path.fill.is_none() && path.stroke.is_none()) {
        return group;
    }
    let fill = path.fill.map_or_else(|| "none".to_owned(), grey);
    let mut node = element::Path::new()
        .set("d", path_data(&path.outline, height))
        .set("fill", fill);
    if let Some(stroke) = path.stroke {
        node = node
            .set("stroke", grey(stroke.tone))
            .set("stroke-width", number(stroke.width))
            .set("stroke-linejoin", "round")
            .set("stroke-linecap", "butt");
        let dashes: Vec<String> = stroke
            .line_type
            .pattern(stroke.width)
            .into_iter()
            .map(number)
            .collect();
        if !dashes.is_empty() {
            node = node.set("stroke-dasharray", dashes.join(" "));
        }
    }
    group.add(node)
}

fn add_text(group: Group, text: &Text, height: f64) -> Group {
    if text.content.is_empty() {
        return group;
    }
    let face = Face::of(text.weight);
    let (x, y) = (number(text.at.x), number(height - text.at.y));
    // A plain element: the crate's own text element puts line breaks around its content, and they
    // become blanks wherever blanks count.
    let mut node = Element::new("text");
    node.append(node::Text::new(text.content.as_str()));
    let mut set = |name: &str, value: &str| node.assign(name, value);
    set("x", &x);
    set("y", &y);
    set("font-family", &format!("{}, sans-serif", face.family));
    set("font-stretch", "condensed");
    set("font-size", &number(face.em(text.height)));
    set("font-kerning", "none");
    set("fill", &grey(text.tone));
    set("textLength", &number(text.width()));
    if text.weight == Weight::Bold {
        set("font-weight", "bold");
    }
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => set("text-anchor", "middle"),
        Anchor::End => set("text-anchor", "end"),
    }
    if text.turn != 0.0 {
        // Counter-clockwise on paper is negative where y runs down.
        set(
            "transform",
            &format!("rotate({} {x} {y})", number(-text.turn)),
        );
    }
    if text.content.contains("  ") || text.content.trim() != text.content {
        set("xml:space", "preserve");
    }
    group.add(node)
}

/// The glyphs in use as web fonts under the face's own name; none without text.
fn web_fonts(drawing: &Drawing) -> Option<Style> {
    let mut rules = String::new();
    for (weight, name) in [(Weight::Regular, "normal"), (Weight::Bold, "bold")] {
        let Some(subset) = Subset::of(weight, characters_in(drawing, weight)) else {
            continue;
        };
        let data = BASE64.encode(subset.standalone(weight));
        let family = Face::of(weight).family;
        rules.push_str(&format!(
            "@font-face {{ font-family: \"{family}\"; font-stretch: condensed; font-weight: {name}; \
             src: url(data:font/ttf;base64,{data}); }}\n"
        ));
    }
    (!rules.is_empty()).then(|| Style::new(format!("\n{rules}")))
}

/// Path data with y turned over. The `svg` crate would round to `f32`.
pub(super) fn path_data(outline: &BezPath, height: f64) -> String {
    let mut data = String::new();
    for element in outline.elements() {
        match *element {
            PathEl::MoveTo(p) => command(&mut data, 'M', &[p], height),
            PathEl::LineTo(p) => command(&mut data, 'L', &[p], height),
            PathEl::QuadTo(q, p) => command(&mut data, 'Q', &[q, p], height),
            PathEl::CurveTo(a, b, p) => command(&mut data, 'C', &[a, b, p], height),
            PathEl::ClosePath => command(&mut data, 'Z', &[], height),
        }
    }
    data
}

fn command(data: &mut String, letter: char, points: &[Point], height: f64) {
    if !data.is_empty() {
        data.push(' ');
    }
    data.push(letter);
    for (index, point) in points.iter().enumerate() {
        let gap = if index == 0 { "" } else { " " };
        let _ = write!(
            data,
            "{gap}{} {}",
            number(point.x),
            number(height - point.y)
        );
    }
}

/// A number with at most four decimals and no trailing zeros.
pub(super) fn number(value: f64) -> String {
    let fixed = format!("{value:.DECIMALS$}");
    let trimmed = fixed.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" {
        "0".to_owned()
    } else {
        trimmed.to_owned()
    }
}

fn grey(tone: Tone) -> String {
    let level = (tone.0.clamp(0.0, 1.0) * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

#[cfg(test)]
mod tests {
    use usvg::{Options, Tree};

    use super::*;
    use crate::drawing::{Stroke, heights, widths};
    use crate::output::font::unshaped;

    /// Agreement asked of text widths, mm: usvg computes in `f32`.
    const WIDTH_TOLERANCE_MM: f64 = 0.01;

    fn sample() -> Drawing {
        let mut drawing = Drawing::new("Bay <1> & \"2\"", 210.0, 297.0);
        drawing.line(
            Layer::Lines,
            (10.0, 10.0),
            (110.123_456, 10.0),
            Stroke::dashed(widths::WIDE),
        );
        drawing.text(Text::new((20.0, 30.0), heights::TEXT, "a < b & c").centred());
        drawing
    }

    fn parse(text: &str) -> Tree {
        let mut options = Options::default();
        for weight in [Weight::Regular, Weight::Bold] {
            options.fontdb_mut().load_font_data(unshaped(weight));
        }
        Tree::from_str(text, &options).unwrap()
    }

    fn texts(group: &usvg::Group) -> Vec<&usvg::Text> {
        let mut found = Vec::new();
        for node in group.children() {
            match node {
                usvg::Node::Text(text) => found.push(text.as_ref()),
                usvg::Node::Group(inner) => found.extend(texts(inner)),
                _ => {}
            }
        }
        found
    }

    #[test]
    fn the_size_is_stated_in_millimetres_and_one_unit_is_one_millimetre() {
        let text = svg(&Drawing::new("", 6500.0, 2700.5));
        assert!(
            text.contains(r#"width="6500mm""#) && text.contains(r#"height="2700.5mm""#),
            "{text}"
        );
        assert!(text.contains(r#"viewBox="0 0 6500 2700.5""#), "{text}");
    }

    #[test]
    fn y_is_turned_over_in_the_coordinates_themselves() {
        let text = svg(&sample());
        assert!(text.contains(r#"d="M10 287 L110.1235 287""#), "{text}");
        assert!(!text.contains("transform"), "{text}");
    }

    #[test]
    fn layers_in_use_are_groups_in_drawing_order() {
        let text = svg(&sample());
        let place = |id: &str| text.find(&format!("<g id=\"{id}\""));
        assert!(place("lines").unwrap() < place("labels").unwrap());
        assert_eq!(place("marks"), None);
    }

    #[test]
    fn a_drawing_without_text_carries_no_font_and_no_text_element() {
        let mut drawing = sample();
        drawing.items.retain(|item| matches!(item, Item::Path(_)));
        let text = svg(&drawing);
        assert!(!text.contains("<text") && !text.contains("font"), "{text}");
    }

    #[test]
    fn text_survives_the_signs_that_xml_reserves() {
        let text = svg(&sample());
        assert!(text.contains(">a &lt; b &amp; c</text>"), "{text}");
        let tree = parse(&text);
        let found = texts(tree.root());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].chunks()[0].text(), "a < b & c");
        assert!(
            !found[0].flattened().children().is_empty(),
            "no glyphs were found for the text"
        );
    }

    #[test]
    fn blanks_at_the_start_of_a_text_keep_their_width() {
        let mut drawing = Drawing::new("", 200.0, 50.0);
        drawing.text(Text::new((10.0, 20.0), heights::TEXT, "  7.5"));
        let tree = parse(&svg(&drawing));
        let found = texts(tree.root());
        assert_eq!(found[0].chunks()[0].text(), "  7.5");
    }

    #[test]
    fn drawn_text_is_as_wide_as_measured_and_ligatures_and_kerning_stay_out() {
        for content in ["office fluff ffi", "AVATAR To. LT", "iiiii", "1234.5 mm"] {
            for weight in [Weight::Regular, Weight::Bold] {
                let mut drawing = Drawing::new("", 200.0, 50.0);
                let mut text = Text::new((10.0, 20.0), heights::LARGE, content);
                text.weight = weight;
                let measured = text.width();
                drawing.text(text);
                // Without textLength the width is the face's own.
                let own = svg(&drawing).replace("textLength", "data-length");
                let tree = parse(&own);
                let start_of_last: f64 = texts(tree.root())[0].layouted()[0]
                    .positioned_glyphs
                    .last()
                    .map(|glyph| f64::from(glyph.transform().tx))
                    .unwrap();
                let last = content.chars().last().unwrap();
                let expected = 10.0 + measured
                    - crate::drawing::text_width(&last.to_string(), heights::LARGE, weight);
                assert!(
                    (start_of_last - expected).abs() < WIDTH_TOLERANCE_MM,
                    "{content}: {start_of_last} for {expected}"
                );
            }
        }
    }

    #[test]
    fn a_number_has_four_decimals_at_most_and_no_idle_zeros() {
        let cases = [
            (0.0, "0"),
            (-0.000_01, "0"),
            (12.5, "12.5"),
            (100.0, "100"),
            (1.234_56, "1.2346"),
        ];
        for (value, text) in cases {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn the_same_drawing_gives_the_same_text() {
        assert_eq!(svg(&sample()), svg(&sample()));
    }
}
