//! Stretches of a tape in exercises.

use kurbo::Point;

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    page::Fragment,
    practice::TapePicture,
};

/// Pictures side by side, and the clear width between them, mm.
const COLUMNS: usize = 2;
const GUTTER: f64 = 7.0;
/// Height of the tape, and of its longest tick, mm.
const TAPE: f64 = 13.2;
const TICK: f64 = 4.6;
/// Height and width of the arrow's head, and how long its shaft is, mm.
const HEAD: f64 = 3.0;
const HEAD_WIDTH: f64 = 2.2;
const SHAFT: f64 = 1.5;
/// Clear height below the title, mm, and below the tape.
const BELOW_TITLE: f64 = 0.8;
const BELOW: f64 = 2.5;
/// Baselines of the numerals below the tape's edge, mm.
const LARGE_DOWN: f64 = 8.1;
const SMALL_DOWN: f64 = 12.0;

/// Pictures in rows of two, a fragment for each row.
pub fn tapes(pictures: &[TapePicture], width: f64) -> Vec<Fragment> {
    let column = (width - GUTTER * (COLUMNS - 1) as f64) / COLUMNS as f64;
    let row = |row: &[TapePicture]| {
        let mut piece = Fragment::new(width);
        for (index, picture) in row.iter().enumerate() {
            let drawn = tape(picture, column);
            drawn.place(piece.canvas(), index as f64 * (column + GUTTER), 0.0);
            piece.height = piece.height.max(drawn.height);
        }
        piece
    };
    pictures.chunks(COLUMNS).map(row).collect()
}

/// One picture: title, arrow, and the tape with its ticks at the upper edge.
fn tape(picture: &TapePicture, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let title = Text::new((0.0, -heights::TEXT), heights::TEXT, picture.title.clone()).bold();
    let end_of_title = title.width() + 1.0;
    let edge = -heights::TEXT - BELOW_TITLE - HEAD;
    let canvas = piece.canvas();
    canvas.text(title);
    let step = width / (picture.last - picture.first) as f64;
    let across = |graduation: i64| (graduation - picture.first) as f64 * step;
    for y in [edge, edge - TAPE] {
        canvas.line(
            Layer::Lines,
            (0.0, y),
            (width, y),
            Stroke::solid(widths::MEDIUM),
        );
    }
    for graduation in picture.first..=picture.last {
        let long = TICK * picture.tick(graduation);
        let weight = if graduation % picture.per_numeral() == 0 {
            widths::MEDIUM
        } else {
            widths::FINE
        };
        let x = across(graduation);
        canvas.line(
            Layer::Lines,
            (x, edge),
            (x, edge - long),
            Stroke::solid(weight),
        );
        numerals(
            canvas,
            width,
            picture.numeral(graduation),
            Point::new(x, edge),
        );
    }
    arrow(
        canvas,
        Point::new(across(picture.reading), edge),
        end_of_title,
    );
    piece.height = -edge + TAPE + BELOW;
    piece
}

/// The numerals of a graduation, where both lie wholly on a picture `width` wide.
fn numerals(canvas: &mut Drawing, width: f64, [large, small]: [String; 2], at: Point) {
    let large = Text::new((at.x, at.y - LARGE_DOWN), heights::NUMBER, large).bold();
    let small = Text::new((at.x, at.y - SMALL_DOWN), heights::TEXT, small);
    let half = large.width().max(small.width()) / 2.0;
    if at.x >= half && at.x <= width - half {
        canvas.text(large.centred());
        canvas.text(small.centred());
    }
}

/// An arrow whose tip touches the tape's edge; its shaft stays clear of the title.
fn arrow(canvas: &mut Drawing, tip: Point, end_of_title: f64) {
    let head = [
        tip,
        tip + (HEAD_WIDTH / 2.0, HEAD),
        tip + (-HEAD_WIDTH / 2.0, HEAD),
    ];
    canvas.polygon(Layer::Marks, &head, Some(Tone::BLACK), None);
    if tip.x > end_of_title {
        canvas.line(
            Layer::Marks,
            tip + (0.0, HEAD),
            tip + (0.0, HEAD + SHAFT),
            Stroke::solid(widths::WIDE),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{drawing::Item, practice::Ruling};

    fn picture(ruling: Ruling) -> TapePicture {
        TapePicture {
            title: "Row 1: 1L to 4R".into(),
            ruling,
            first: 4290,
            last: 4346,
            reading: 4317,
        }
    }

    #[test]
    fn the_arrow_points_at_the_tick_of_its_reading_and_all_ticks_are_there() {
        for ruling in [Ruling::Metric, Ruling::Inches] {
            let drawn = tapes(&[picture(ruling), picture(ruling)], 170.0);
            let [row] = &drawn[..] else {
                panic!("two stand side by side");
            };
            let mut row = row.clone();
            let bounds = |item: &Item| match item {
                Item::Path(path) => Some((path.layer, kurbo::Shape::bounding_box(&path.outline))),
                Item::Text(_) => None,
            };
            let items: Vec<_> = row.canvas().items.iter().filter_map(bounds).collect();
            let ticks = items
                .iter()
                .filter(|(_, at)| at.width() < 1e-9 && at.height() > 0.0);
            let ticks: Vec<f64> = ticks
                .filter(|(layer, _)| *layer == Layer::Lines)
                .map(|(_, at)| at.x0)
                .collect();
            assert_eq!(ticks.len(), 2 * 57);
            let heads: Vec<f64> = items
                .iter()
                .filter(|(layer, at)| *layer == Layer::Marks && at.width() > 1.0)
                .map(|(_, at)| at.center().x)
                .collect();
            assert_eq!(heads.len(), 2);
            for (head, first) in heads.iter().zip([0, 57]) {
                assert!((head - ticks[first + 27]).abs() < 1e-9);
            }
        }
    }
}
