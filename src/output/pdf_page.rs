//! One drawing as the content of one PDF page.
//!
//! Layers are drawn in the order of [`Layer::ALL`], each inside an optional-content group and a
//! saved graphics state, so that a reader may leave a layer out without disturbing the next.

use kurbo::{BezPath, PathEl, Point};
use pdf_writer::types::{ColorSpaceOperand, LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Name, Str};

use super::pdf_font::{PdfFonts, resource_name};
use crate::drawing::{Anchor, Drawing, Face, Item, Layer, Path, Stroke, Text, Tone};

/// Points in a millimetre: 72 to the inch of 25.4 mm (ISO 32000).
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Decimals of a coordinate in points. A ten-thousandth of a point is 35 nm, and on pages up to
/// 700 mm it is also what remains of a number once it is an `f32`, as it is written.
const COORDINATE_DECIMALS: i32 = 4;

/// Decimals of the sine and cosine of a turn: 1e-7 moves the end of a line of text 500 mm long by
/// less than a coordinate's last decimal.
const TURN_DECIMALS: i32 = 7;

/// The operators that draw a page on which one unit is `unit` points.
pub(super) fn content(drawing: &Drawing, fonts: &mut PdfFonts, unit: f64) -> Vec<u8> {
    let mut page = Page { fonts, content: Content::new(), state: State::default() };
    let scaled = unit != 1.0;
    if scaled {
        let shrink = (1.0 / unit) as f32;
        page.content.save_state().transform([shrink, 0.0, 0.0, shrink, 0.0, 0.0]);
    }
    for layer in layers_of(drawing) {
        page.begin(layer);
        for item in items_on(drawing, layer) {
            match item {
                Item::Path(path) => page.path(path),
                Item::Text(text) => page.text(text),
            }
        }
        page.end();
    }
    if scaled {
        page.content.restore_state();
    }
    page.content.finish().into_vec()
}

/// The layers on which anything is drawn, in drawing order.
pub(super) fn layers_of(drawing: &Drawing) -> impl Iterator<Item = Layer> {
    Layer::ALL.into_iter().filter(|&layer| items_on(drawing, layer).next().is_some())
}

/// A length in mm as points, rounded for the page.
pub(super) fn points(mm: f64) -> f32 {
    rounded(mm * POINTS_PER_MM, COORDINATE_DECIMALS)
}

fn items_on(drawing: &Drawing, layer: Layer) -> impl Iterator<Item = &Item> {
    drawing.items.iter().filter(move |item| match item {
        Item::Path(path) => path.layer == layer && is_visible(path),
        Item::Text(text) => text.layer == layer && !text.content.is_empty(),
    })
}

fn is_visible(path: &Path) -> bool {
    !path.outline.elements().is_empty() && (path.fill.is_some() || path.stroke.is_some())
}

fn rounded(value: f64, decimals: i32) -> f32 {
    let scale = 10.0_f64.powi(decimals);
    // Adding zero turns a negative zero, which would be written as "-0", into a plain one.
    ((value * scale).round() / scale) as f32 + 0.0
}

/// What is set in the graphics state, so that it is written only when it changes.
#[derive(Default)]
struct State {
    layer: Option<Layer>,
    fill: Option<Tone>,
    stroke: Option<Stroke>,
}

struct Page<'a> {
    fonts: &'a mut PdfFonts,
    content: Content,
    state: State,
}

impl Page<'_> {
    fn begin(&mut self, layer: Layer) {
        self.state = State { layer: Some(layer), ..State::default() };
        self.content.begin_marked_content_with_properties(Name(b"OC")).properties_named(resource(layer));
        self.content.save_state().set_line_cap(LineCapStyle::ButtCap).set_line_join(LineJoinStyle::RoundJoin);
    }

    fn end(&mut self) {
        self.content.restore_state().end_marked_content();
    }

    fn path(&mut self, path: &Path) {
        if let Some(tone) = path.fill {
            self.fill(tone);
        }
        if let Some(stroke) = path.stroke {
            self.stroke(stroke);
        }
        self.outline(&path.outline);
        match (path.fill.is_some(), path.stroke.is_some()) {
            (true, true) => self.content.fill_nonzero_and_stroke(),
            (true, false) => self.content.fill_nonzero(),
            (false, _) => self.content.stroke(),
        };
    }

    fn fill(&mut self, tone: Tone) {
        if self.state.fill != Some(tone) {
            self.content.set_fill_gray(grey(tone));
            self.state.fill = Some(tone);
        }
    }

    fn stroke(&mut self, stroke: Stroke) {
        let before = self.state.stroke.replace(stroke);
        if before == Some(stroke) {
            return;
        }
        match self.state.layer.filter(|layer| layer.is_for_cutter()) {
            // Full tint of the layer's spot colour.
            Some(layer) => {
                self.content.set_stroke_color_space(ColorSpaceOperand::Named(resource(layer))).set_stroke_color([1.0])
            }
            None => self.content.set_stroke_gray(grey(stroke.tone)),
        };
        self.content.set_line_width(points(stroke.width));
        let dash = stroke.line_type.pattern(stroke.width).into_iter().map(points);
        self.content.set_dash_pattern(dash, 0.0);
    }

    fn outline(&mut self, outline: &BezPath) {
        let at = |p: Point| (points(p.x), points(p.y));
        let mut pen = Point::ORIGIN;
        let cubic = |content: &mut Content, a: Point, b: Point, p: Point| {
            let ((ax, ay), (bx, by), (px, py)) = (at(a), at(b), at(p));
            content.cubic_to(ax, ay, bx, by, px, py);
        };
        for element in outline.elements() {
            match *element {
                PathEl::MoveTo(p) => drop(self.content.move_to(at(p).0, at(p).1)),
                PathEl::LineTo(p) => drop(self.content.line_to(at(p).0, at(p).1)),
                // PDF has cubics only; a quadratic is raised by the usual two-thirds rule.
                PathEl::QuadTo(q, p) => {
                    cubic(&mut self.content, pen.lerp(q, 2.0 / 3.0), p.lerp(q, 2.0 / 3.0), p);
                }
                PathEl::CurveTo(a, b, p) => cubic(&mut self.content, a, b, p),
                PathEl::ClosePath => drop(self.content.close_path()),
            }
            pen = element.end_point().unwrap_or(pen);
        }
    }

    fn text(&mut self, text: &Text) {
        self.fill(text.tone);
        let (sin, cos) = text.turn.to_radians().sin_cos();
        let back = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => text.width() / 2.0,
            Anchor::End => text.width(),
        };
        let turn = [cos, sin, -sin, cos].map(|value| rounded(value, TURN_DECIMALS));
        let matrix =
            [turn[0], turn[1], turn[2], turn[3], points(text.at.x - back * cos), points(text.at.y - back * sin)];
        // The size is not rounded: its error would add up along the line.
        let size = (Face::of(text.weight).em(text.height) * POINTS_PER_MM) as f32;
        let codes = self.fonts.encode(text.weight, &text.content);
        self.content.begin_text().set_font(resource_name(text.weight), size).set_text_matrix(matrix);
        self.content.show(Str(&codes)).end_text();
    }
}

/// Name under which a page asks for a layer's group, and for its colour.
pub(super) fn resource(layer: Layer) -> Name<'static> {
    Name(layer.name().as_bytes())
}

fn grey(tone: Tone) -> f32 {
    rounded(tone.0.clamp(0.0, 1.0), COORDINATE_DECIMALS)
}
