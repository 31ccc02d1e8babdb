//! Contours as DXF of release 12 (AC1009), for cutters, machines and CAD.
//!
//! Release 12 is what every program reads: groups of a code and a value, two lines each, in ASCII. Arcs are bulges of
//! polylines, so that a circle stays a circle. The release has no word for units; the first line says millimetres, as
//! the numbers are. Text stands on a layer that is off, so that no tool follows it.

use std::fmt::Write as _;

use kurbo::Point;

use super::arcs::contours_of;
use crate::{
    drawing::{Anchor, Drawing, Item, Layer},
    stencil::{Colour, Contour, Inks},
};

/// Decimals of a number: a hundredth of what formats may differ by, and bulges whose arcs stay true over metres.
const DECIMALS: usize = 6;
const BULGE_DECIMALS: usize = 12;

/// The colour index that is black on a light ground and white on a dark one.
const FOREGROUND: u8 = 7;

/// The colour index of pen lines: green, which nothing else has by default.
pub(super) const PEN_COLOUR: u8 = 3;

/// What a tool does along a contour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToolLayer {
    /// Goes through the material.
    Cut,
    /// Scores it.
    Score,
    /// Draws on it.
    Pen,
}

impl ToolLayer {
    /// All of them, in the order of work.
    pub const ALL: [Self; 3] = [Self::Pen, Self::Score, Self::Cut];

    /// The layer's name in a file.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cut => "CUT",
            Self::Score => "SCORE",
            Self::Pen => "PEN",
        }
    }
}

/// The layer of texts, which is off.
pub(super) const TEXT_LAYER: &str = "TEXT";

/// A line of text, for people who look at the file.
#[derive(Clone, Debug, PartialEq)]
pub struct DxfText {
    /// The point of the baseline that `anchor` names, mm.
    pub at: Point,
    /// Height of the capitals, mm.
    pub height: f64,
    /// Degrees counter-clockwise.
    pub turn: f64,
    /// Which point of the baseline `at` is.
    pub anchor: Anchor,
    /// The text.
    pub content: String,
}

/// Contours for a cutter, written in their order: x right, y up, mm. Every layer is declared, used or not, cuts and
/// scores in the colours nearest to those of their inks.
#[must_use]
pub fn cut_dxf(paths: &[(ToolLayer, Contour)], texts: &[DxfText], inks: &Inks) -> String {
    let colour = |layer: ToolLayer| match layer {
        ToolLayer::Cut => nearest_index(inks.cut.colour),
        ToolLayer::Score => nearest_index(inks.score.colour),
        ToolLayer::Pen => PEN_COLOUR,
    };
    let layers: Vec<(String, u8)> = ToolLayer::ALL
        .iter()
        .map(|&layer| (layer.name().to_owned(), colour(layer)))
        .collect();
    let mut dxf = Dxf::begun(&layers);
    for (layer, contour) in paths {
        dxf.polyline(layer.name(), contour);
    }
    dxf.finished(texts)
}

/// A drawing's outlines, each on the layer of its name in capitals, and its lettering on the layer that is off.
#[must_use]
pub fn drawing_dxf(drawing: &Drawing) -> String {
    let layers: Vec<(String, u8)> = Layer::ALL
        .iter()
        .filter(|layer| drawing.items.iter().any(|item| has_outline(item, **layer)))
        .map(|layer| (layer.name().to_uppercase(), FOREGROUND))
        .collect();
    let mut dxf = Dxf::begun(&layers);
    let mut texts = Vec::new();
    for layer in Layer::ALL {
        let name = layer.name().to_uppercase();
        for item in &drawing.items {
            match item {
                Item::Path(path) if has_outline(item, layer) => {
                    let fills = path.fill.is_some();
                    for contour in contours_of(&path.outline, fills) {
                        dxf.polyline(&name, &contour);
                    }
                }
                Item::Text(text) if text.layer == layer => texts.push(DxfText {
                    at: text.at,
                    height: text.height,
                    turn: text.turn,
                    anchor: text.anchor,
                    content: text.content.clone(),
                }),
                _ => {}
            }
        }
    }
    dxf.finished(&texts)
}

/// True for a path that shows something on a layer.
fn has_outline(item: &Item, layer: Layer) -> bool {
    match item {
        Item::Path(path) => path.layer == layer && (path.fill.is_some() || path.stroke.is_some()),
        Item::Text(_) => false,
    }
}

/// A file on its way.
struct Dxf {
    text: String,
}

impl Dxf {
    /// Header and tables, up to the first entity. Layers by name and colour index; that of texts is added.
    fn begun(layers: &[(String, u8)]) -> Self {
        let mut dxf = Self {
            text: String::new(),
        };
        dxf.group(999, "baystencil: one unit is 1 mm");
        dxf.group(0, "SECTION");
        dxf.group(2, "HEADER");
        dxf.group(9, "$ACADVER");
        dxf.group(1, "AC1009");
        dxf.group(0, "ENDSEC");
        dxf.group(0, "SECTION");
        dxf.group(2, "TABLES");
        dxf.table("LTYPE", 1);
        for (code, value) in [
            (0, "LTYPE"),
            (2, "CONTINUOUS"),
            (70, "0"),
            (3, "Solid line"),
            (72, "65"),
            (73, "0"),
            (40, "0.0"),
            (0, "ENDTAB"),
        ] {
            dxf.group(code, value);
        }
        dxf.table("LAYER", layers.len() + 2);
        dxf.layer("0", FOREGROUND, true);
        for (name, colour) in layers {
            dxf.layer(name, *colour, true);
        }
        dxf.layer(TEXT_LAYER, FOREGROUND, false);
        dxf.group(0, "ENDTAB");
        dxf.styles();
        for (code, value) in [
            (0, "ENDSEC"),
            (0, "SECTION"),
            (2, "BLOCKS"),
            (0, "ENDSEC"),
            (0, "SECTION"),
            (2, "ENTITIES"),
        ] {
            dxf.group(code, value);
        }
        dxf
    }

    /// Texts, and the end.
    fn finished(mut self, texts: &[DxfText]) -> String {
        for text in texts {
            self.line_of_text(text);
        }
        self.group(0, "ENDSEC");
        self.group(0, "EOF");
        self.text
    }

    fn group(&mut self, code: u16, value: &str) {
        writeln!(self.text, "{code:>3}\n{value}").expect("writing into a string does not fail");
    }

    fn number(&mut self, code: u16, value: f64, decimals: usize) {
        self.group(code, &real(value, decimals));
    }

    /// A point by the codes of its coordinates; the third, always 0, is what some readers insist on.
    fn point(&mut self, code: u16, at: Point) {
        self.number(code, at.x, DECIMALS);
        self.number(code + 10, at.y, DECIMALS);
        self.group(code + 20, "0.0");
    }

    fn table(&mut self, name: &str, entries: usize) {
        self.group(0, "TABLE");
        self.group(2, name);
        self.group(70, &entries.to_string());
    }

    fn layer(&mut self, name: &str, colour: u8, is_on: bool) {
        self.group(0, "LAYER");
        self.group(2, name);
        self.group(70, "0");
        // A layer that is off has its colour below 0.
        let sign = if is_on { "" } else { "-" };
        self.group(62, &format!("{sign}{colour}"));
        self.group(6, "CONTINUOUS");
    }

    /// The style that texts have without saying so.
    fn styles(&mut self) {
        self.table("STYLE", 1);
        for (code, value) in [
            (0, "STYLE"),
            (2, "STANDARD"),
            (70, "0"),
            (40, "0.0"),
            (41, "1.0"),
            (50, "0.0"),
            (71, "0"),
            (42, "2.5"),
            (3, "txt"),
            (4, ""),
            (0, "ENDTAB"),
        ] {
            self.group(code, value);
        }
    }

    fn polyline(&mut self, layer: &str, contour: &Contour) {
        self.group(0, "POLYLINE");
        self.group(8, layer);
        self.group(66, "1");
        self.point(10, Point::ZERO);
        self.group(70, if contour.closed { "1" } else { "0" });
        let last = contour.vertices.len().saturating_sub(1);
        for (index, vertex) in contour.vertices.iter().enumerate() {
            self.group(0, "VERTEX");
            self.group(8, layer);
            self.point(10, vertex.at);
            if vertex.bulge != 0.0 && (contour.closed || index < last) {
                self.number(42, vertex.bulge, BULGE_DECIMALS);
            }
        }
        self.group(0, "SEQEND");
        self.group(8, layer);
    }

    fn line_of_text(&mut self, text: &DxfText) {
        self.group(0, "TEXT");
        self.group(8, TEXT_LAYER);
        self.point(10, text.at);
        self.number(40, text.height, DECIMALS);
        self.group(1, &ascii(&text.content));
        if text.turn != 0.0 {
            self.number(50, text.turn, DECIMALS);
        }
        let across = match text.anchor {
            Anchor::Start => return,
            Anchor::Middle => "1",
            Anchor::End => "2",
        };
        self.group(72, across);
        self.point(11, text.at);
    }
}

/// A number with a decimal point, and no more digits than it needs.
fn real(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let short = text.trim_end_matches('0');
    match short {
        "-0." => "0.0".to_owned(),
        _ if short.ends_with('.') => format!("{short}0"),
        _ => short.to_owned(),
    }
}

/// A text in ASCII: other characters, and those that begin a code, by their number.
fn ascii(text: &str) -> String {
    let mut plain = String::new();
    for character in text.chars() {
        if matches!(character, ' '..='~') && !matches!(character, '%' | '^' | '\\') {
            plain.push(character);
        } else {
            let mut units = [0; 2];
            for unit in character.encode_utf16(&mut units) {
                write!(plain, "\\U+{unit:04X}").expect("writing into a string does not fail");
            }
        }
    }
    plain
}

/// The colour index whose colour is nearest, the smallest of several: R12 has no other colours.
pub(super) fn nearest_index(colour: Colour) -> u8 {
    let apart = |other: [u8; 3]| -> u32 {
        let parts = colour.0.iter().zip(other);
        parts
            .map(|(one, other)| u32::from(one.abs_diff(other)).pow(2))
            .sum()
    };
    let off = |index: u8| match index {
        FOREGROUND => apart([0; 3]).min(apart([255; 3])),
        _ => apart(shown(index)),
    };
    (1..=u8::MAX)
        .min_by_key(|index| off(*index))
        .unwrap_or(FOREGROUND)
}

/// What a colour index shows: 1 to 9 by hand; from 10 on 24 hues of 15° in five depths, each full and half as strong;
/// from 250 on greys. Common practice of readers: the format's reference has the numbers alone.
fn shown(index: u8) -> [u8; 3] {
    const FIRST: [[u8; 3]; 10] = [
        [0, 0, 0],
        [255, 0, 0],
        [255, 255, 0],
        [0, 255, 0],
        [0, 255, 255],
        [0, 0, 255],
        [255, 0, 255],
        [255, 255, 255],
        [128, 128, 128],
        [192, 192, 192],
    ];
    const DEPTHS: [f64; 5] = [1.0, 0.8, 0.6, 0.5, 0.3];
    if let Some(first) = FIRST.get(usize::from(index)) {
        return *first;
    }
    if index >= 250 {
        return [51 + (index - 250) * 40; 3];
    }
    let hue = f64::from((index - 10) / 10) * 15.0;
    let depth = DEPTHS[usize::from(index % 10 / 2)] * 255.0;
    let pale = if index % 2 == 1 { 0.5 } else { 0.0 };
    // Each part is full within 60° of its own hue and gone beyond 120°.
    [0.0, 120.0, 240.0].map(|own| {
        let away = (hue - own + 180.0_f64).rem_euclid(360.0) - 180.0;
        let part = (2.0 - away.abs() / 60.0).clamp(0.0, 1.0);
        (depth * (pale + (1.0 - pale) * part)).round() as u8
    })
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::{
        drawing::{Stroke, Text, Tone},
        stencil::Vertex,
    };

    /// Codes and values of a file.
    fn groups(text: &str) -> Vec<(u16, &str)> {
        let lines: Vec<&str> = text.lines().collect();
        assert!(text.is_ascii() && lines.len().is_multiple_of(2));
        lines
            .chunks(2)
            .map(|pair| (pair[0].trim().parse().unwrap(), pair[1]))
            .collect()
    }

    /// Entities from the beginning of one to that of the next.
    fn entities<'t>(groups: &'t [(u16, &'t str)], kind: &str) -> Vec<&'t [(u16, &'t str)]> {
        let parts: Vec<&[(u16, &str)]> = groups.chunk_by(|_, next| next.0 != 0).collect();
        parts
            .into_iter()
            .filter(|part| part[0] == (0, kind))
            .collect()
    }

    fn value<'t>(entity: &[(u16, &'t str)], code: u16) -> &'t str {
        let found = entity.iter().find(|group| group.0 == code);
        found.map_or("", |group| group.1)
    }

    fn slot() -> Contour {
        Contour::closed(vec![
            Vertex::arc(Point::new(10.0, 0.0), PI),
            Vertex::straight(Point::new(10.0, 20.5)),
            Vertex::arc(Point::new(-1.25, 20.5), PI),
            Vertex::straight(Point::new(-1.25, 0.0)),
        ])
    }

    #[test]
    fn contours_come_in_their_order_with_layers_bulges_and_ends() {
        let score = Contour::of_points(&[Point::new(1.0, 2.0), Point::new(-3.0, 4.000_04)]);
        let paths = [(ToolLayer::Score, score), (ToolLayer::Cut, slot())];
        let text = cut_dxf(&paths, &[], &Inks::default());
        let groups = groups(&text);
        assert_eq!(groups.last(), Some(&(0, "EOF")));
        let lines = entities(&groups, "POLYLINE");
        let found: Vec<(&str, &str)> = lines
            .iter()
            .map(|line| (value(line, 8), value(line, 70)))
            .collect();
        assert_eq!(found, [("SCORE", "0"), ("CUT", "1")]);
        let corners: Vec<(&str, &str, &str)> = entities(&groups, "VERTEX")
            .iter()
            .map(|vertex| (value(vertex, 10), value(vertex, 20), value(vertex, 42)))
            .collect();
        assert_eq!(
            corners,
            [
                ("1.0", "2.0", ""),
                ("-3.0", "4.00004", ""),
                ("10.0", "0.0", "1.0"),
                ("10.0", "20.5", ""),
                ("-1.25", "20.5", "1.0"),
                ("-1.25", "0.0", ""),
            ]
        );
        assert_eq!(entities(&groups, "SEQEND").len(), 2);
    }

    #[test]
    fn every_layer_is_declared_in_its_colour_and_that_of_texts_is_off() {
        let mut inks = Inks::default();
        inks.cut.colour = Colour([250, 5, 0]);
        let text = cut_dxf(&[], &[], &inks);
        let groups = groups(&text);
        let layers: Vec<(&str, &str)> = entities(&groups, "LAYER")
            .iter()
            .map(|layer| (value(layer, 2), value(layer, 62)))
            .collect();
        let expected = [
            ("0", "7"),
            ("PEN", "3"),
            ("SCORE", "4"),
            ("CUT", "1"),
            ("TEXT", "-7"),
        ];
        assert_eq!(layers, expected);
    }

    #[test]
    fn a_drawing_keeps_outlines_and_lettering_and_fills_are_closed() {
        let mut drawing = Drawing::new("floor", 100.0, 50.0);
        let line = [(10.0, 10.0), (20.0, 10.0), (20.0, 30.0)].map(Point::from);
        drawing.polyline(Layer::Lines, &line, Stroke::solid(0.5));
        drawing.circle(Layer::Marks, (50.0, 25.0), 3.0, Some(Tone::BLACK), None);
        drawing.text(
            Text::new((5.0, 6.0), 7.0, "100 % à 90° ^\\")
                .centred()
                .turned(30.0),
        );
        let text = drawing_dxf(&drawing);
        let groups = groups(&text);
        let found: Vec<(&str, &str)> = entities(&groups, "POLYLINE")
            .iter()
            .map(|line| (value(line, 8), value(line, 70)))
            .collect();
        assert_eq!(found, [("LINES", "0"), ("MARKS", "1")]);
        let [text] = entities(&groups, "TEXT")[..] else {
            panic!("{groups:?}")
        };
        let codes = [8, 11, 21, 40, 50, 72, 1];
        assert_eq!(
            codes.map(|code| value(text, code)),
            [
                "TEXT",
                "5.0",
                "6.0",
                "7.0",
                "30.0",
                "1",
                r"100 \U+0025 \U+00E0 90\U+00B0 \U+005E\U+005C"
            ]
        );
    }

    #[test]
    fn colours_become_the_nearest_of_the_index() {
        for (colour, index) in [
            (Colour::MAGENTA, 6),
            (Colour::CYAN, 4),
            (Colour([255, 0, 0]), 1),
            (Colour([0, 0, 0]), 7),
            (Colour([255, 255, 255]), 7),
            (Colour([255, 128, 0]), 30),
            (Colour([0, 0, 153]), 174),
        ] {
            assert_eq!(nearest_index(colour), index, "{colour}");
        }
    }

    #[test]
    fn numbers_are_short_and_nought_has_no_sign() {
        let found =
            [0.0, -0.000_000_1, 12.0, -3.5, 1_234.567_891_2].map(|value| real(value, DECIMALS));
        assert_eq!(found, ["0.0", "0.0", "12.0", "-3.5", "1234.567891"]);
    }
}
