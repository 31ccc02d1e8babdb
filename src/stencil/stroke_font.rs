//! Letters of single strokes, to be scored or drawn with a pen on the material.
//!
//! Printed faces are outlines; a tool would run around every letter. These are plain upright engineering letters in the
//! manner of ISO 3098, of straights and arcs on a grid six units high. What is mixed up most is kept apart: 0 has a
//! slash, 1 a flag and I serifs, 7 and Z a bar, 5 and B corners. A text that reads as another upside down has a line
//! below it. Lower-case letters are smaller capitals: names may differ in case alone.

use kurbo::{Point, Vec2};

use super::contour::{Contour, Vertex};

/// Units of the grid in the height of a capital.
const UNITS_HIGH: f64 = 6.0;

/// Space between two letters, units: a third of the height, more than ISO 3098 asks at least, since scores are coarser
/// than ink.
const GAP: f64 = 2.0;

/// Width of a space, units, beside the gaps around it.
const SPACE: f64 = 1.5;

/// Height of a lower-case letter in capitals (ISO 3098: 7 to 10).
const LOWER_CASE: f64 = 0.7;

/// How far below the baseline the line is that says which way up a text is read, units.
const UNDERLINE: f64 = 1.5;

/// What still looks like a letter, a digit or a sign when it is turned over.
const READ_UPSIDE_DOWN: &str = "0123456789HINOSXZ+-–.:×/() ";

/// The digits that then become another.
const BECOME_ANOTHER: [char; 2] = ['6', '9'];

/// What stands for a character without strokes of its own, so that nobody takes the text for whole: an empty box.
const MISSING: (f64, &str) = (4.0, "0,0 4,0 4,6 0,6 0,0");

/// Each character with its width in units and its strokes: points `x,y` from the lower left, strokes parted by `|`. `~90`
/// behind a point: from here an arc of 90° to the next, positive counter-clockwise.
const GLYPHS: [(char, f64, &str); 54] = [
    ('0', 4.0, "4,2 4,4~180 0,4 0,2~180 4,2 | 1.3,1.9 2.7,4.1"),
    ('1', 2.0, "0,4.4 2,6 2,0"),
    ('2', 4.0, "0.309,4.816~-208 3.204,2.862 0,0 3.8,0"),
    (
        '3',
        4.0,
        "0.344,5.275~-60 1.6,6 2.4,6~-180 2.4,3.1~-180 2.4,0 1.6,0~-60 0.258,0.775",
    ),
    ('4', 4.0, "3,0 3,6 0,1.8 4,1.8"),
    ('5', 4.0, "3.6,6 0.4,6 0.4,3.6 2.2,3.6~-180 2.2,0 0,0"),
    ('6', 4.0, "3,6~73.74 0,2~180 4,2~180 0,2"),
    ('7', 4.0, "0,6 4,6 1.4,0 | 1.6,3 3.8,3"),
    ('8', 4.0, "2,3.2~180 2,6~180 2,3.2~-180 2,0~-180 2,3.2"),
    ('9', 4.0, "1,0~73.74 4,4~180 0,4~180 4,4"),
    ('A', 4.0, "0,0 2,6 4,0 | 0.667,2 3.333,2"),
    (
        'B',
        4.0,
        "0,3.2 2.4,3.2~-180 2.4,0 0,0 0,6 2.4,6~-180 2.4,3.2",
    ),
    ('C', 3.8, "3.732,5~150 0,4 0,2~150 3.732,1"),
    ('D', 4.0, "0,0 0,6 1,6~-180 1,0 0,0"),
    ('E', 3.6, "3.6,6 0,6 0,0 3.6,0 | 0,3 2.8,3"),
    ('F', 3.6, "3.6,6 0,6 0,0 | 0,3 2.8,3"),
    ('G', 4.0, "3.732,5~150 0,4 0,2~180 4,2 4,2.8 2.2,2.8"),
    ('H', 4.0, "0,0 0,6 | 4,6 4,0 | 0,3 4,3"),
    ('I', 2.0, "0,6 2,6 | 1,6 1,0 | 0,0 2,0"),
    ('J', 3.0, "3,6 3,1.5~-180 0,1.5"),
    ('K', 4.0, "0,0 0,6 | 3.8,6 0,2.2 | 1.3,3.5 4,0"),
    ('L', 3.4, "0,6 0,0 3.4,0"),
    ('M', 5.0, "0,0 0,6 2.5,2 5,6 5,0"),
    ('N', 4.0, "0,0 0,6 4,0 4,6"),
    ('O', 4.0, "4,2 4,4~180 0,4 0,2~180 4,2"),
    ('P', 4.0, "0,0 0,6 2.4,6~-180 2.4,2.8 0,2.8"),
    ('Q', 4.0, "4,2 4,4~180 0,4 0,2~180 4,2 | 2.2,1.8 4,0"),
    ('R', 4.0, "0,0 0,6 2.4,6~-180 2.4,2.8 0,2.8 | 2,2.8 4,0"),
    (
        'S',
        4.0,
        "3.799,5.25~60 2.5,6 1.5,6~180 1.5,3 2.5,3~-180 2.5,0 1.5,0~-60 0.201,0.75",
    ),
    ('T', 4.0, "0,6 4,6 | 2,6 2,0"),
    ('U', 4.0, "0,6 0,2~180 4,2 4,6"),
    ('V', 4.0, "0,6 2,0 4,6"),
    ('W', 5.6, "0,6 1.4,0 2.8,4.4 4.2,0 5.6,6"),
    ('X', 4.0, "0,0 4,6 | 0,6 4,0"),
    ('Y', 4.0, "0,6 2,3 4,6 | 2,3 2,0"),
    ('Z', 4.0, "0,6 4,6 0,0 4,0 | 1,3 3,3"),
    ('+', 4.0, "0,3 4,3 | 2,1 2,5"),
    ('-', 2.6, "0,3 2.6,3"),
    ('–', 4.0, "0,3 4,3"),
    ('.', 0.7, "0.7,0.35~180 0,0.35~180 0.7,0.35"),
    (',', 0.8, "0.8,0.8 0,-1"),
    (
        ':',
        0.7,
        "0.7,0.35~180 0,0.35~180 0.7,0.35 | 0.7,4~180 0,4~180 0.7,4",
    ),
    ('/', 3.0, "0,0 3,6"),
    ('(', 1.5, "1.5,6~100 1.5,0"),
    (')', 1.5, "0,6~-100 0,0"),
    ('×', 3.0, "0,1.5 3,4.5 | 0,4.5 3,1.5"),
    ('°', 2.0, "2,5~180 0,5~180 2,5"),
    ('\'', 0.4, "0.2,6 0.2,4.4"),
    ('=', 4.0, "0,2 4,2 | 0,4 4,4"),
    ('_', 4.0, "0,0 4,0"),
    ('↑', 4.0, "2,0 2,6 | 0.4,3.8 2,6 3.6,3.8"),
    ('↓', 4.0, "2,6 2,0 | 0.4,2.2 2,0 3.6,2.2"),
    ('→', 6.0, "0,3 6,3 | 3.8,4.6 6,3 3.8,1.4"),
    ('←', 6.0, "6,3 0,3 | 2.2,4.6 0,3 2.2,1.4"),
];

/// A character as it is set: its glyph, and its height in that of a capital.
struct Set {
    width: f64,
    strokes: &'static str,
    scale: f64,
}

/// The strokes of a line of text with capitals `height` mm high: open contours, the baseline along x from the origin. No
/// two of them run along each other.
#[must_use]
pub fn strokes(text: &str, height: f64) -> Vec<Contour> {
    let unit = height / UNITS_HIGH;
    let mut strokes = Vec::new();
    let mut pen = 0.0;
    for character in text.chars() {
        if let Some(set) = set(character) {
            let drawn = set.strokes.split('|');
            strokes.extend(drawn.map(|stroke| stroke_of(stroke, set.scale * unit, pen * unit)));
            pen += set.width * set.scale + GAP;
        } else {
            pen += SPACE + GAP;
        }
    }
    if reads_upside_down(text) {
        let ends = [0.0, pen - GAP].map(|x| Point::new(x * unit, -UNDERLINE * unit));
        strokes.push(Contour::of_points(&ends));
    }
    strokes
}

/// Length of a line of text with capitals `height` mm high, from the first letter's left to the last one's right, mm.
#[must_use]
pub fn width(text: &str, height: f64) -> f64 {
    let widths = text
        .chars()
        .map(|character| set(character).map_or(SPACE, |set| set.width * set.scale));
    let (sum, count) = widths.fold((0.0, 0.0), |(sum, count), width| (sum + width, count + 1.0));
    (sum + GAP * (count - 1.0_f64).max(0.0)) * height / UNITS_HIGH
}

/// True where a text might be taken for another by who reads it upside down.
fn reads_upside_down(text: &str) -> bool {
    text.contains(BECOME_ANOTHER)
        && text
            .chars()
            .all(|character| READ_UPSIDE_DOWN.contains(character))
}

/// How a character is set; `None` for a space.
fn set(character: char) -> Option<Set> {
    if character.is_whitespace() {
        return None;
    }
    let scale = if character.is_lowercase() {
        LOWER_CASE
    } else {
        1.0
    };
    let capital = character.to_ascii_uppercase();
    let known = GLYPHS.iter().find(|(of, ..)| *of == capital);
    let (width, strokes) = known.map_or(MISSING, |&(_, width, strokes)| (width, strokes));
    Some(Set {
        width,
        strokes,
        scale,
    })
}

/// A stroke of the table at `scale` mm to a unit, `right` mm to the right.
fn stroke_of(stroke: &str, scale: f64, right: f64) -> Contour {
    let vertices = stroke.split_whitespace().map(|point| {
        let (x, y, turn) =
            read(point).expect("the table of glyphs is well formed, as a test holds");
        let at = (Vec2::new(x, y) * scale + Vec2::new(right, 0.0)).to_point();
        Vertex::arc(at, turn.to_radians())
    });
    Contour::open(vertices.collect())
}

/// A point of the table with the turn behind it, degrees.
fn read(point: &str) -> Option<(f64, f64, f64)> {
    let (place, turn) = point.split_once('~').unwrap_or((point, "0"));
    let (x, y) = place.split_once(',')?;
    Some((x.parse().ok()?, y.parse().ok()?, turn.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, ParamCurve, ParamCurveNearest, Rect};

    use super::*;

    /// Every character that has strokes.
    fn characters() -> impl Iterator<Item = char> {
        let capitals = GLYPHS.iter().map(|(character, ..)| *character);
        capitals.chain('a'..='z')
    }

    /// The strokes of a text in grid units, as chords.
    fn chords(text: &str) -> Vec<Line> {
        strokes(text, UNITS_HIGH)
            .iter()
            .flat_map(|stroke| {
                let points = stroke.polygon();
                let pairs: Vec<Line> = points.windows(2).map(|p| Line::new(p[0], p[1])).collect();
                pairs
            })
            .collect()
    }

    /// How far the farthest point of one set of chords lies from the other.
    fn apart(one: &[Line], other: &[Line]) -> f64 {
        let off = |point: Point| {
            other
                .iter()
                .map(|chord| chord.nearest(point, 1e-9).distance_sq)
                .fold(f64::INFINITY, f64::min)
                .sqrt()
        };
        one.iter()
            .flat_map(|chord| (0..=8).map(|step| chord.eval(f64::from(step) / 8.0)))
            .map(off)
            .fold(0.0, f64::max)
    }

    /// The length along which two chords run on one another.
    fn common(one: Line, other: Line) -> f64 {
        let along = (one.p1 - one.p0).normalize();
        let off = |point: Point| along.cross(point - one.p0).abs();
        if off(other.p0) > 1e-6 || off(other.p1) > 1e-6 {
            return 0.0;
        }
        let [from, to] = [other.p0, other.p1].map(|point| along.dot(point - one.p0));
        let length = (one.p1 - one.p0).hypot();
        from.max(to).min(length) - from.min(to).max(0.0)
    }

    #[test]
    fn every_glyph_lies_within_its_cell_and_fills_its_width() {
        for character in characters() {
            let text = character.to_string();
            let wide = width(&text, UNITS_HIGH);
            let high = if character.is_lowercase() { 4.2 } else { 6.0 };
            let cell = Rect::new(0.0, -UNDERLINE, wide, high).inflate(1e-3, 1e-3);
            let around = strokes(&text, UNITS_HIGH)
                .iter()
                .map(Contour::bounds)
                .reduce(|all, one| all.union(one))
                .unwrap();
            assert_eq!(
                cell.union(around),
                cell,
                "{character}: {around:?} in {cell:?}"
            );
            assert!(
                around.width() > wide - 1.0,
                "{character}: {around:?} in {cell:?}"
            );
        }
    }

    #[test]
    fn every_glyph_looks_unlike_every_other() {
        let all: Vec<(char, Vec<Line>)> = characters()
            .map(|character| (character, chords(&character.to_string())))
            .collect();
        for (index, (one, drawn)) in all.iter().enumerate() {
            for (other, others) in &all[index + 1..] {
                let off = apart(drawn, others).max(apart(others, drawn));
                let small = one.is_lowercase() && other.is_lowercase();
                let least = 0.6 * if small { LOWER_CASE } else { 1.0 };
                assert!(off > least, "{one} and {other} are {off} units apart");
            }
        }
    }

    #[test]
    fn no_two_strokes_of_a_text_run_along_each_other() {
        let names = [
            "1L",
            "12R",
            "66",
            "A1-B2",
            "FRONT ↑",
            "panel (3): 6.0 × 2.5, 1/2 = 90°",
        ];
        let alone = characters().map(String::from);
        for text in alone.chain(names.map(String::from)) {
            let chords = chords(&text);
            for (index, &one) in chords.iter().enumerate() {
                for &other in &chords[index + 1..] {
                    let shared = common(one, other);
                    assert!(shared < 1e-6, "{text}: {one:?} and {other:?}");
                }
            }
        }
    }

    #[test]
    fn letters_stand_a_gap_apart_and_grow_with_the_height() {
        assert!((width("HH", 12.0) - 2.0 * (4.0 + 2.0 + 4.0)).abs() < 1e-9);
        assert!((width("H H", 6.0) - (4.0 + 4.0 + 1.5 + 2.0 * 2.0)).abs() < 1e-9);
        assert_eq!(width("", 6.0), 0.0);
        let pair = strokes("HH", 12.0);
        assert_eq!(pair[3].vertices[0].at, Point::new(12.0, 0.0));
        let ends: Vec<f64> = ["R", "r"]
            .iter()
            .map(|text| strokes(text, 10.0)[0].bounds().y1)
            .collect();
        assert!(
            (ends[0] - 10.0).abs() < 1e-9 && (ends[1] - 7.0).abs() < 1e-9,
            "{ends:?}"
        );
    }

    #[test]
    fn texts_that_read_otherwise_upside_down_have_a_line_below_them() {
        let below = |text: &str| {
            let strokes = strokes(text, 6.0);
            let lowest = strokes.iter().map(|stroke| stroke.bounds().y0);
            lowest.fold(0.0, f64::min) < -1.4
        };
        for text in ["6", "9", "600", "1900", "9-6", "N6"] {
            assert!(below(text), "{text}");
        }
        for text in ["6L", "A9", "100", "8", "1C", "FRONT 6"] {
            assert!(!below(text), "{text}");
        }
    }

    #[test]
    fn a_character_without_strokes_of_its_own_is_a_box() {
        assert_eq!(strokes("é", 6.0)[0].vertices.len(), 5);
        assert_eq!(strokes("☐", 6.0), strokes("€", 6.0));
    }
}
