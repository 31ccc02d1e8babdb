//! One drawing as a page, made by `printpdf`.
//!
//! Layers are drawn in the order of [`Layer::ALL`], each inside an optional-content group and a
//! saved graphics state, so that a reader may leave a layer out without disturbing the next.
//!
//! Each page is a document of its own for as long as it takes to translate it: `printpdf` holds every operator of all
//! of its pages at some hundred bytes. Of that document only the page is taken.

use kurbo::{BezPath, PathEl, Point};
use lopdf::{Dictionary, Document, Object};
use printpdf::{
    Color, CurTransMat, DictItem, ExtendedGraphicsStateId, FontId, Greyscale, LayerInternalId,
    Line, LineCapStyle, LineDashPattern, LineJoinStyle, LinePoint, Op, PdfDocument, PdfFontHandle,
    PdfPage, PdfSaveOptions, Pt, TextMatrix,
};

use super::pdf_font::{PdfFonts, resource_name};
use super::pdf_layers::OVERPRINT;
use crate::drawing::{Anchor, Drawing, Face, Item, Layer, Path, Stroke, Text, Tone};

/// Points in a millimetre: 72 to the inch of 25.4 mm (ISO 32000).
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Decimals of a coordinate in points. A ten-thousandth of a point is 35 nm, and on pages up to
/// 700 mm it is also what remains of a number once it is an `f32`, as it is written.
const COORDINATE_DECIMALS: i32 = 4;

/// Decimals of the sine and cosine of a turn: 1e-7 moves the end of a line of text 500 mm long by
/// less than a coordinate's last decimal.
const TURN_DECIMALS: i32 = 7;

/// Gives codes to the characters of a page, in the order in which it draws them.
pub(super) fn learn(drawing: &Drawing, fonts: &mut PdfFonts) {
    for item in layers_of(drawing).flat_map(|layer| items_on(drawing, layer)) {
        if let Item::Text(text) = item {
            fonts.learn(text.weight, &text.content);
        }
    }
}

/// A page on which one unit is `unit` points, its characters learned: its dictionary with type and boxes, and its content, not compressed.
pub(super) fn made(drawing: &Drawing, fonts: &PdfFonts, unit: f64) -> (Dictionary, Vec<u8>) {
    let [width, height] = [drawing.width, drawing.height].map(|mm| Pt(points(mm / unit)));
    // `printpdf` writes a box as corner and size, which is right for one that begins at the origin.
    let area = printpdf::Rect::from_wh(width, height);
    let ops = operators(drawing, fonts, unit);
    let mut document = PdfDocument::new("");
    document.pages.push(PdfPage {
        media_box: area.clone(),
        trim_box: area.clone(),
        crop_box: area,
        ops,
    });
    // What it calls secure is to leave out every operator that it has no name for.
    let options = PdfSaveOptions {
        optimize: false,
        subset_fonts: false,
        secure: false,
        image_optimization: None,
    };
    let mut warnings = Vec::new();
    let document = document.to_lopdf_document(&options, &mut warnings);
    debug_assert!(warnings.is_empty(), "{warnings:?}");
    let (mut page, content) =
        only_page(document).expect("the document was just made with one page");
    if let Some(trim) = drawing.trim {
        let corners = [trim.x0, trim.y0, trim.x1, trim.y1];
        let corners = corners.map(|mm| Object::Real(points(mm / unit)));
        page.set("TrimBox", corners.to_vec());
    }
    (page, content)
}

/// The page of a document that has one, and its content. Shared by all pages of the document to come, and therefore
/// not taken, are the parent and the resources.
fn only_page(mut document: Document) -> Option<(Dictionary, Vec<u8>)> {
    let page = document.page_iter().next()?;
    let Object::Dictionary(mut page) = document.objects.remove(&page)? else {
        return None;
    };
    let content = page.remove(b"Contents")?.as_reference().ok()?;
    let Object::Stream(content) = document.objects.remove(&content)? else {
        return None;
    };
    for absent in ["Parent", "Resources", "Annots"] {
        page.remove(absent.as_bytes());
    }
    Some((page, content.content))
}

fn operators(drawing: &Drawing, fonts: &PdfFonts, unit: f64) -> Vec<Op> {
    let mut page = Page {
        fonts,
        ops: Vec::new(),
        state: State::default(),
    };
    let scaled = unit != 1.0;
    if scaled {
        let shrink = (1.0 / unit) as f32;
        page.ops.push(Op::SaveGraphicsState);
        page.ops.push(Op::SetTransformationMatrix {
            matrix: CurTransMat::Raw([shrink, 0.0, 0.0, shrink, 0.0, 0.0]),
        });
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
        page.ops.push(Op::RestoreGraphicsState);
    }
    page.ops
}

/// The layers on which anything is drawn, in drawing order.
pub(super) fn layers_of(drawing: &Drawing) -> impl Iterator<Item = Layer> {
    Layer::ALL
        .into_iter()
        .filter(|&layer| items_on(drawing, layer).next().is_some())
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
        self.state = State {
            layer: Some(layer),
            ..State::default()
        };
        self.ops.push(Op::BeginLayer {
            layer_id: LayerInternalId(resource(layer).to_owned()),
        });
        self.ops.push(Op::SaveGraphicsState);
        if layer.is_for_cutter() {
            self.ops.push(Op::LoadGraphicsState {
                gs: ExtendedGraphicsStateId(OVERPRINT.to_owned()),
            });
        }
        self.ops.push(Op::SetLineCapStyle {
            cap: LineCapStyle::Butt,
        });
        self.ops.push(Op::SetLineJoinStyle {
            join: LineJoinStyle::Round,
        });
    }

    fn end(&mut self) {
        self.ops.push(Op::RestoreGraphicsState);
        self.ops.push(Op::EndLayer);
    }

    fn path(&mut self, path: &Path) {
        if let Some(tone) = path.fill {
            self.fill(tone);
        }
        if let Some(stroke) = path.stroke {
            self.stroke(stroke);
        }
        let paint = match (path.fill.is_some(), path.stroke.is_some()) {
            (true, true) => "B",
            (true, false) => "f",
            (false, _) => "S",
        };
        match one_line(&path.outline).filter(|_| path.fill.is_none()) {
            Some(line) => self.ops.push(Op::DrawLine { line }),
            None => {
                self.outline(&path.outline);
                self.raw(paint, &[]);
            }
        }
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
        match self.state.layer.filter(|layer| layer.is_for_cutter()) {
            // Full tint of the layer's spot colour.
            Some(layer) => {
                self.ops.push(Op::SetColorSpaceStroke {
                    id: resource(layer).to_owned(),
                });
                self.raw("SCN", &[1.0]);
            }
            None => self.ops.push(Op::SetOutlineColor {
                col: grey(stroke.tone),
            }),
        }
        self.ops.push(Op::SetOutlineThickness {
            pt: Pt(points(stroke.width)),
        });
        let dashes: Vec<f32> = stroke
            .line_type
            .pattern(stroke.width)
            .into_iter()
            .map(points)
            .collect();
        self.ops.push(Op::SetLineDashPattern {
            dash: LineDashPattern::new(0.0, &dashes),
        });
    }

    /// An outline of several parts, some of them closed. `printpdf` closes all parts of a polygon that is filled and
    /// stroked or none, so its own operators do not say it.
    fn outline(&mut self, outline: &BezPath) {
        let at = |p: Point| [points(p.x), points(p.y)];
        for element in without_quadratics(outline) {
            match element {
                PathEl::MoveTo(p) => self.raw("m", &at(p)),
                PathEl::LineTo(p) => self.raw("l", &at(p)),
                PathEl::CurveTo(a, b, p) => self.raw("c", &[at(a), at(b), at(p)].concat()),
                PathEl::ClosePath => self.raw("h", &[]),
                PathEl::QuadTo(..) => {}
            }
        }
    }

    /// An operator of plain numbers.
    fn raw(&mut self, operator: &str, numbers: &[f32]) {
        let value = numbers
            .iter()
            .map(|&number| DictItem::Real(number))
            .collect();
        self.ops.push(Op::Unknown {
            key: operator.to_owned(),
            value,
        });
    }

    fn text(&mut self, text: &Text) {
        self.fill(text.tone);
        let (sin, cos) = text.turn.to_radians().sin_cos();
        let back = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => text.width() / 2.0,
            Anchor::End => text.width(),
        };
        let [a, b, c, d] = [cos, sin, -sin, cos].map(|value| rounded(value, TURN_DECIMALS));
        let matrix = [
            a,
            b,
            c,
            d,
            points(text.at.x - back * cos),
            points(text.at.y - back * sin),
        ];
        // The size is not rounded: its error would add up along the line.
        let size = Pt((Face::of(text.weight).em(text.height) * POINTS_PER_MM) as f32);
        let font = PdfFontHandle::External(FontId(resource_name(text.weight).to_owned()));
        let codes = DictItem::String {
            data: self.fonts.encode(text.weight, &text.content),
            literal: true,
        };
        self.ops.push(Op::StartTextSection);
        self.ops.push(Op::SetFont { font, size });
        self.ops.push(Op::SetTextMatrix {
            matrix: TextMatrix::Raw(matrix),
        });
        // The codes are the document's own (`pdf_font`), one string to a text; `printpdf` would show glyph by glyph.
        self.ops.push(Op::Unknown {
            key: "Tj".to_owned(),
            value: vec![codes],
        });
        self.ops.push(Op::EndTextSection);
    }
}

/// An outline of one part as a line of `printpdf`; `None` for one of several.
fn one_line(outline: &BezPath) -> Option<Line> {
    let mut line = Line::default();
    let corner = |p: Point, bezier: bool| LinePoint {
        p: printpdf::Point {
            x: Pt(points(p.x)),
            y: Pt(points(p.y)),
        },
        bezier,
    };
    for element in without_quadratics(outline) {
        if line.is_closed {
            return None;
        }
        match element {
            PathEl::MoveTo(p) if line.points.is_empty() => line.points.push(corner(p, false)),
            PathEl::LineTo(p) => line.points.push(corner(p, false)),
            PathEl::CurveTo(a, b, p) => {
                line.points
                    .extend([corner(a, true), corner(b, true), corner(p, false)])
            }
            PathEl::ClosePath => line.is_closed = true,
            PathEl::MoveTo(_) | PathEl::QuadTo(..) => return None,
        }
    }
    Some(line)
}

/// PDF has cubics only; a quadratic is raised by the usual two-thirds rule.
fn without_quadratics(outline: &BezPath) -> impl Iterator<Item = PathEl> {
    let mut pen = Point::ORIGIN;
    outline.iter().map(move |element| {
        let raised = match element {
            PathEl::QuadTo(q, p) => {
                PathEl::CurveTo(pen.lerp(q, 2.0 / 3.0), p.lerp(q, 2.0 / 3.0), p)
            }
            other => other,
        };
        pen = element.end_point().unwrap_or(pen);
        raised
    })
}

/// Name under which a page asks for a layer's group, and for its colour.
pub(super) fn resource(layer: Layer) -> &'static str {
    layer.name()
}

fn grey(tone: Tone) -> Color {
    Color::Greyscale(Greyscale::new(
        rounded(tone.0.clamp(0.0, 1.0), COORDINATE_DECIMALS),
        None,
    ))
}
