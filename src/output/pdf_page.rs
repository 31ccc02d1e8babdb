//! One drawing as the operations of one PDF page.
//!
//! Layers are drawn in the order of [`Layer::ALL`], each inside an optional-content group and a
//! saved graphics state, so that a reader may leave a layer out without disturbing the next.

use kurbo::{BezPath, PathEl, Point};
use printpdf::{
    Color, CurTransMat, DictItem, FontId, Greyscale, LayerInternalId, LineCapStyle, LineDashPattern, LineJoinStyle, Op,
    PdfFontHandle, Pt, TextMatrix,
};

use super::pdf_font::PdfFonts;
use crate::drawing::{Anchor, Drawing, Face, Item, Layer, Path, Stroke, Text, Tone, Weight};

/// Points in a millimetre: 72 to the inch of 25.4 mm (ISO 32000).
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Decimals of a coordinate in points. A ten-thousandth of a point is 35 nm, and on pages up to
/// 700 mm it is also what remains of a number once printpdf has made it an `f32`.
const COORDINATE_DECIMALS: i32 = 4;

/// Decimals of the sine and cosine of a turn: 1e-7 moves the end of a line of text 500 mm long by
/// less than a coordinate's last decimal.
const TURN_DECIMALS: i32 = 7;

/// Whether anything is drawn on a layer.
pub(super) fn uses(drawing: &Drawing, layer: Layer) -> bool {
    items_on(drawing, layer).next().is_some()
}

/// The operations that draw a page on which one unit is `unit` points.
pub(super) fn operations(drawing: &Drawing, fonts: &PdfFonts, unit: f64) -> Vec<Op> {
    let mut page = Page { fonts, ops: Vec::new(), state: State::default() };
    let scaled = unit != 1.0;
    if scaled {
        let shrink = (1.0 / unit) as f32;
        let matrix = CurTransMat::Raw([shrink, 0.0, 0.0, shrink, 0.0, 0.0]);
        page.ops.extend([Op::SaveGraphicsState, Op::SetTransformationMatrix { matrix }]);
    }
    for layer in Layer::ALL.into_iter().filter(|&layer| uses(drawing, layer)) {
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
        page.ops.push(Op::RestoreGraphicsState);
    }
    page.ops
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
    fonts: &'a PdfFonts,
    ops: Vec<Op>,
    state: State,
}

impl Page<'_> {
    fn begin(&mut self, layer: Layer) {
        self.state = State { layer: Some(layer), ..State::default() };
        self.ops.extend([
            Op::BeginLayer { layer_id: LayerInternalId(layer.name().to_owned()) },
            Op::SaveGraphicsState,
            Op::SetLineCapStyle { cap: LineCapStyle::Butt },
            Op::SetLineJoinStyle { join: LineJoinStyle::Round },
        ]);
    }

    fn end(&mut self) {
        self.ops.extend([Op::RestoreGraphicsState, Op::EndLayer]);
    }

    fn path(&mut self, path: &Path) {
        if let Some(tone) = path.fill {
            self.fill(tone);
        }
        if let Some(stroke) = path.stroke {
            self.stroke(stroke);
        }
        self.outline(&path.outline);
        let paint = match (path.fill.is_some(), path.stroke.is_some()) {
            (true, true) => "B",
            (true, false) => "f",
            (false, _) => "S",
        };
        self.operator(paint, &[]);
    }

    fn fill(&mut self, tone: Tone) {
        if self.state.fill != Some(tone) {
            self.ops.push(Op::SetFillColor { col: grey(tone) });
            self.state.fill = Some(tone);
        }
    }

    fn stroke(&mut self, stroke: Stroke) {
        let before = self.state.stroke.replace(stroke);
        if before == Some(stroke) {
            return;
        }
        let dash: Vec<f32> = stroke.line_type.pattern(stroke.width).into_iter().map(points).collect();
        match self.state.layer.filter(|layer| layer.is_for_cutter()) {
            Some(layer) => self.spot(layer),
            None => self.ops.push(Op::SetOutlineColor { col: grey(stroke.tone) }),
        }
        self.ops.extend([
            Op::SetOutlineThickness { pt: Pt(points(stroke.width)) },
            Op::SetLineDashPattern { dash: LineDashPattern::new(0.0, &dash) },
        ]);
    }

    /// Full tint of a layer's spot colour, which printpdf would write as CMYK.
    fn spot(&mut self, layer: Layer) {
        let name = DictItem::Name(layer.name().as_bytes().to_vec());
        self.ops.push(Op::Unknown { key: "CS".to_owned(), value: vec![name] });
        self.ops.push(Op::Unknown { key: "SCN".to_owned(), value: vec![DictItem::Real(1.0)] });
    }

    /// Writes the path itself. printpdf's own polygons join several rings badly (only the last one
    /// is closed), so the path operators are written one by one.
    fn outline(&mut self, outline: &BezPath) {
        let mut pen = Point::ORIGIN;
        for element in outline.elements() {
            match *element {
                PathEl::MoveTo(p) => self.operator("m", &[p]),
                PathEl::LineTo(p) => self.operator("l", &[p]),
                // PDF has cubics only; a quadratic is raised by the usual two-thirds rule.
                PathEl::QuadTo(q, p) => self.operator("c", &[pen.lerp(q, 2.0 / 3.0), p.lerp(q, 2.0 / 3.0), p]),
                PathEl::CurveTo(a, b, p) => self.operator("c", &[a, b, p]),
                PathEl::ClosePath => self.operator("h", &[]),
            }
            pen = element.end_point().unwrap_or(pen);
        }
    }

    fn operator(&mut self, key: &str, coordinates: &[Point]) {
        let value = coordinates.iter().flat_map(|p| [p.x, p.y]).map(|mm| DictItem::Real(points(mm))).collect();
        self.ops.push(Op::Unknown { key: key.to_owned(), value });
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
        let size = Pt((Face::of(text.weight).em(text.height) * POINTS_PER_MM) as f32);
        let codes = self.fonts.encode(text.weight, &text.content);
        self.ops.extend([
            Op::StartTextSection,
            Op::SetFont { font: PdfFontHandle::External(font_id(text.weight)), size },
            Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) },
            Op::Unknown { key: "Tj".to_owned(), value: vec![DictItem::String { data: codes, literal: false }] },
            Op::EndTextSection,
        ]);
    }
}

fn grey(tone: Tone) -> Color {
    Color::Greyscale(Greyscale::new(rounded(tone.0.clamp(0.0, 1.0), COORDINATE_DECIMALS), None))
}

fn font_id(weight: Weight) -> FontId {
    FontId(super::pdf_font::resource_name(weight).to_owned())
}
