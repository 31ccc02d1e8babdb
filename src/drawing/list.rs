//! The list itself: paths and lines of text, each on a layer.

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape};

use super::style::{Anchor, Layer, Stroke, Tone, Weight};

/// How far, in mm, a circle's Bézier outline may stray from the circle: a fortieth of the finest
/// line and far below what a printer resolves.
const CURVE_ACCURACY_MM: f64 = 0.002;

/// One page, or one floor, as a list of drawn things. Units mm, origin lower left, x right, y up.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// What the drawing is; becomes the title of a file or the bookmark of a page.
    pub title: String,
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// What is left of the page where it is larger than the finished sheet, mm.
    pub trim: Option<Rect>,
    /// Things in drawing order within their layer.
    pub items: Vec<Item>,
    /// What a reader's page box shows as the number of this page; empty for its place in the file.
    pub number: String,
    /// Names that links lead here by.
    pub targets: Vec<String>,
    /// Areas that lead to another page of the same file. Formats without pages leave them out.
    pub links: Vec<Link>,
}

/// An area that leads to a page. Nothing is drawn of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// Where it can be pressed, mm.
    pub area: Rect,
    /// One of the [`targets`](Drawing::targets) of the page that it leads to; without such a page it is left out.
    pub to: String,
}

/// A drawn thing on its layer.
#[derive(Clone, Debug)]
pub enum Item {
    /// An outline, filled or stroked or both.
    Path(Path),
    /// One line of text.
    Text(Text),
}

/// An outline, filled (non-zero winding) or stroked or both.
#[derive(Clone, Debug)]
pub struct Path {
    /// Layer it belongs to.
    pub layer: Layer,
    /// Outline in mm.
    pub outline: BezPath,
    /// Fill, if any.
    pub fill: Option<Tone>,
    /// Stroke, if any.
    pub stroke: Option<Stroke>,
}

/// One line of text.
#[derive(Clone, Debug)]
pub struct Text {
    /// Layer it belongs to.
    pub layer: Layer,
    /// The point of the baseline that `anchor` names, mm.
    pub at: Point,
    /// Height of the capitals in mm (ISO 3098's h).
    pub height: f64,
    /// Weight of the face.
    pub weight: Weight,
    /// Which point of the baseline `at` is.
    pub anchor: Anchor,
    /// Turn about `at`, degrees counter-clockwise.
    pub turn: f64,
    /// Grey value.
    pub tone: Tone,
    /// The text, a single line.
    pub content: String,
}

impl Text {
    /// Black, regular, unturned text on the label layer, its left end at `at`, capitals `height` mm high.
    pub fn new(at: impl Into<Point>, height: f64, content: impl Into<String>) -> Self {
        Self {
            layer: Layer::Labels,
            at: at.into(),
            height,
            weight: Weight::Regular,
            anchor: Anchor::Start,
            turn: 0.0,
            tone: Tone::BLACK,
            content: content.into(),
        }
    }

    /// The same text in bold.
    #[must_use]
    pub const fn bold(mut self) -> Self {
        self.weight = Weight::Bold;
        self
    }

    /// The same text with its middle at the given point.
    #[must_use]
    pub const fn centred(mut self) -> Self {
        self.anchor = Anchor::Middle;
        self
    }

    /// The same text with its right end at the given point.
    #[must_use]
    pub const fn right(mut self) -> Self {
        self.anchor = Anchor::End;
        self
    }

    /// The same text turned by `degrees` counter-clockwise.
    #[must_use]
    pub const fn turned(mut self, degrees: f64) -> Self {
        self.turn = degrees;
        self
    }

    /// The same text on another layer.
    #[must_use]
    pub const fn on(mut self, layer: Layer) -> Self {
        self.layer = layer;
        self
    }

    /// The same text in another grey.
    #[must_use]
    pub const fn toned(mut self, tone: Tone) -> Self {
        self.tone = tone;
        self
    }

    /// Width in mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        super::text_width(&self.content, self.height, self.weight)
    }
}

impl Drawing {
    /// All lines of text, in the order of drawing.
    #[cfg(test)]
    pub fn texts(&self) -> Vec<&Text> {
        let items = self.items.iter();
        items
            .filter_map(|item| match item {
                Item::Text(text) => Some(text),
                Item::Path(_) => None,
            })
            .collect()
    }

    /// An empty drawing of `width` × `height` mm.
    pub fn new(title: impl Into<String>, width: f64, height: f64) -> Self {
        Self {
            title: title.into(),
            width,
            height,
            trim: None,
            items: Vec::new(),
            number: String::new(),
            targets: Vec::new(),
            links: Vec::new(),
        }
    }

    /// Makes an area lead to the page that has `to` among its targets.
    pub fn link(&mut self, area: Rect, to: impl Into<String>) {
        self.links.push(Link {
            area,
            to: to.into(),
        });
    }

    /// The same things on a page of the same size with every place moved by `affine`, for an affine
    /// near a pure shift, such as a printer's correction. Outlines and the places of texts are moved
    /// exactly; lettering grows by the mean scale and keeps its turn and its shape, line widths stay.
    #[must_use]
    pub fn mapped(mut self, affine: Affine) -> Self {
        let scale = affine.determinant().abs().sqrt();
        for item in &mut self.items {
            match item {
                Item::Path(path) => path.outline.apply_affine(affine),
                Item::Text(text) => {
                    text.at = affine * text.at;
                    text.height *= scale;
                }
            }
        }
        for link in &mut self.links {
            link.area = affine.transform_rect_bbox(link.area);
        }
        self
    }

    /// The same drawing with its title and every text worded anew, each at its own anchor.
    #[must_use]
    pub fn reworded(mut self, word: impl Fn(&str) -> String) -> Self {
        self.title = word(&self.title);
        for item in &mut self.items {
            if let Item::Text(text) = item {
                text.content = word(&text.content);
            }
        }
        self
    }

    /// Adds a line of text. Empty text is left out.
    pub fn text(&mut self, text: Text) {
        if !text.content.is_empty() {
            self.items.push(Item::Text(text));
        }
    }

    /// Adds an outline with an optional fill and an optional stroke.
    pub fn path(
        &mut self,
        layer: Layer,
        outline: BezPath,
        fill: Option<Tone>,
        stroke: Option<Stroke>,
    ) {
        self.items.push(Item::Path(Path {
            layer,
            outline,
            fill,
            stroke,
        }));
    }

    /// Strokes a straight line.
    pub fn line(
        &mut self,
        layer: Layer,
        from: impl Into<Point>,
        to: impl Into<Point>,
        stroke: Stroke,
    ) {
        self.polyline(layer, &[from.into(), to.into()], stroke);
    }

    /// Strokes an open run of straight lines.
    pub fn polyline(&mut self, layer: Layer, points: &[Point], stroke: Stroke) {
        self.path(layer, run(points, false), None, Some(stroke));
    }

    /// Draws a closed polygon.
    pub fn polygon(
        &mut self,
        layer: Layer,
        points: &[Point],
        fill: Option<Tone>,
        stroke: Option<Stroke>,
    ) {
        self.path(layer, run(points, true), fill, stroke);
    }

    /// Draws a rectangle.
    pub fn rect(&mut self, layer: Layer, rect: Rect, fill: Option<Tone>, stroke: Option<Stroke>) {
        self.path(layer, rect.to_path(CURVE_ACCURACY_MM), fill, stroke);
    }

    /// Draws a circle of `radius` mm.
    pub fn circle(
        &mut self,
        layer: Layer,
        centre: impl Into<Point>,
        radius: f64,
        fill: Option<Tone>,
        stroke: Option<Stroke>,
    ) {
        self.path(
            layer,
            Circle::new(centre, radius).to_path(CURVE_ACCURACY_MM),
            fill,
            stroke,
        );
    }
}

fn run(points: &[Point], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (index, &point) in points.iter().enumerate() {
        if index == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    if closed && !points.is_empty() {
        path.close_path();
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::widths;

    #[test]
    fn a_mapped_drawing_has_its_places_moved_and_its_page_kept() {
        let mut drawing = Drawing::new("sheet", 210.0, 297.0);
        drawing.line(
            Layer::Lines,
            (10.0, 20.0),
            (110.0, 220.0),
            Stroke::solid(widths::THIN),
        );
        drawing.text(Text::new((100.0, 50.0), 2.5, "100 mm"));
        let mapped = drawing.mapped(Affine::new([1.01, 0.0, 0.002, 0.99, 3.0, -4.0]));
        assert_eq!((mapped.width, mapped.height), (210.0, 297.0));
        let [Item::Path(path), Item::Text(text)] = &mapped.items[..] else {
            panic!("{mapped:?}")
        };
        // x' = 1.01 x + 0.002 y + 3, y' = 0.99 y − 4.
        let ends = path.outline.bounding_box();
        assert!(
            (ends.origin() - Point::new(13.14, 15.8)).hypot() < 1e-12,
            "{ends:?}"
        );
        assert!(
            (Point::new(ends.x1, ends.y1) - Point::new(114.54, 213.8)).hypot() < 1e-12,
            "{ends:?}"
        );
        assert!((text.at - Point::new(104.1, 45.5)).hypot() < 1e-12);
        assert!((text.height - 2.5 * (1.01_f64 * 0.99).sqrt()).abs() < 1e-12);
    }
}
