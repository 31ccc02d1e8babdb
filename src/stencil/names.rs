//! Names and distances on the material: which piece it is, which way the front lies, which piece comes next.

use kurbo::{Affine, Line, Point, Rect, Vec2};

use super::{
    Contour, CutNote, Joint, Piece,
    board::Board,
    strips::Strip,
    stroke_font::{strokes, width},
};
use crate::{plan::FloorPlan, units::ROUND_OFF_MM};

/// Heights of capitals, mm, the first that has room: a piece's name is read standing, the rest kneeling.
const NAME_HEIGHTS_MM: [f64; 6] = [25.0, 20.0, 15.0, 10.0, 7.0, 5.0];
const FRONT_HEIGHTS_MM: [f64; 3] = [8.0, 6.0, 4.0];
const MARK_HEIGHTS_MM: [f64; 3] = [10.0, 7.0, 5.0];
const JOINT_HEIGHTS_MM: [f64; 3] = [8.0, 6.0, 4.0];
const TICK_HEIGHT_MM: f64 = 5.0;

/// Room below the baseline, in heights of capitals: for the line below what can be read upside down.
const BELOW: f64 = 0.25;

/// How far from what it names lettering may stand, mm.
const MARK_REACH_MM: f64 = 120.0;
const JOINT_REACH_MM: f64 = 140.0;

/// Distance from tick to tick, mm; where a tick begins beside its slot, and how long it is.
const TICK_STEP_MM: f64 = 100.0;
const TICK_FROM_MM: f64 = 3.0;
const TICK_LENGTH_MM: f64 = 6.0;

/// What parts a vehicle's letter from the name of its mark on a mat.
const MAT_MARK: char = ':';

/// What stands before the name of the piece that a joint leads to.
const TO: &str = "TO ";

/// What stands beside the arrow that points ahead.
const FRONT: &str = "FRONT";

/// Letters every piece; says which has no room for its name.
pub(super) fn letter(
    plan: &FloorPlan,
    strips: &[Strip],
    joints: &[Joint],
    pieces: &mut [Piece],
) -> Vec<CutNote> {
    let neighbours = neighbours(joints, pieces);
    let mut notes = Vec::new();
    for (index, piece) in pieces.iter_mut().enumerate() {
        let mut board = Board::of(piece, reading(piece));
        let middle = piece.shape.bounds().center();
        for mark in plan.marks.iter().filter(|mark| piece.shape.holds(mark.at)) {
            put(
                &mut board,
                &mark.id,
                &MARK_HEIGHTS_MM,
                mark.at,
                MARK_REACH_MM,
            );
        }
        for (_, at, other) in neighbours.iter().filter(|(own, ..)| *own == index) {
            let text = format!("{TO}{}", pieces_label(*other));
            put(&mut board, &text, &JOINT_HEIGHTS_MM, *at, JOINT_REACH_MM);
        }
        for strip in strips {
            put_ticks(&mut board, strip);
        }
        let label = piece.label.as_str();
        if !put(&mut board, label, &NAME_HEIGHTS_MM, middle, f64::INFINITY) {
            notes.push(CutNote::NoName(piece.label.clone()));
        }
        put_front(&mut board, middle);
        piece.lettering = board.into_lettering();
    }
    notes
}

/// The name of the piece at an index.
pub(super) fn pieces_label(index: usize) -> String {
    (index + 1).to_string()
}

/// For each joint and each of its two pieces: the piece, where the joint is, and the other piece.
fn neighbours(joints: &[Joint], pieces: &[Piece]) -> Vec<(usize, Point, usize)> {
    let piece_at = |at: Point| pieces.iter().position(|piece| piece.shape.holds(at));
    joints
        .iter()
        .filter_map(|joint| {
            let [before, behind] = joint.beside();
            let (one, other) = (piece_at(before)?, piece_at(behind)?);
            let middle = joint.line.midpoint();
            Some([(one, middle, other), (other, middle, one)])
        })
        .flatten()
        .collect()
}

/// The direction in which a piece is read: along its longest side, with the front to the right or up.
fn reading(piece: &Piece) -> Vec2 {
    let longer = |a: Line, b: Line| {
        let by = (b.p1 - b.p0).hypot() - (a.p1 - a.p0).hypot();
        if by > ROUND_OFF_MM { b } else { a }
    };
    let along = piece.shape.sides().reduce(longer);
    along.map_or(Vec2::new(1.0, 0.0), |side| {
        upright((side.p1 - side.p0).normalize())
    })
}

/// A direction or its opposite, so that the front is to the right, or up for who looks ahead.
fn upright(along: Vec2) -> Vec2 {
    let backward = if along.x.abs() > ROUND_OFF_MM {
        along.x < 0.0
    } else {
        along.y > 0.0
    };
    if backward { -along } else { along }
}

/// Puts a text as near as it can to a place; false where it has no room in any height.
fn put(board: &mut Board, text: &str, heights: &[f64], near: Point, reach: f64) -> bool {
    heights.iter().any(|&height| {
        board.put(size_of(text, height), near, reach, |place| {
            placed(set(text, height), place)
        })
    })
}

/// The size of a line of text with the room for a line below it.
fn size_of(text: &str, height: f64) -> (f64, f64) {
    (width(text, height), height * (1.0 + BELOW))
}

/// A line of text that fills its size.
fn set(text: &str, height: f64) -> Vec<Contour> {
    placed(
        strokes(text, height),
        Affine::translate((0.0, BELOW * height)),
    )
}

fn placed(contours: Vec<Contour>, place: Affine) -> Vec<Contour> {
    contours
        .iter()
        .map(|contour| contour.placed(place))
        .collect()
}

/// Puts the arrow ahead with its word.
fn put_front(board: &mut Board, near: Point) {
    let ahead = Vec2::from_angle(-board.angle());
    FRONT_HEIGHTS_MM.iter().any(|&height| {
        let side = 2.0 * height;
        let size = (side + height / 2.0 + width(FRONT, height), side);
        board.put(size, near, f64::INFINITY, |place| {
            let middle = Point::new(height, height);
            let across = Vec2::new(-ahead.y, ahead.x);
            let tip = middle + ahead * (0.9 * height);
            let wing = |side: f64| tip - ahead * (0.6 * height) + across * (side * 0.4 * height);
            let shaft = Contour::of_points(&[middle - ahead * (0.9 * height), tip]);
            let head = Contour::of_points(&[wing(1.0), tip, wing(-1.0)]);
            let beside = Affine::translate((side + height / 2.0, height / 2.0));
            let mut block = vec![shaft, head];
            block.extend(placed(strokes(FRONT, height), beside));
            placed(block, place)
        })
    });
}

/// Puts a tick beside a strip at every tenth of a metre from its first mark, with the distance where there is room.
fn put_ticks(board: &mut Board, strip: &Strip) {
    let along = (strip.marks.p1 - strip.marks.p0).normalize();
    let ends = [strip.axis.p0, strip.axis.p1].map(|end| along.dot(end - strip.marks.p0));
    let reading = upright(along);
    let left = Vec2::new(-reading.y, reading.x);
    let last = (ends[0].max(ends[1]) / TICK_STEP_MM).floor() as usize;
    for station in (1..=last).map(|index| index as f64 * TICK_STEP_MM) {
        let foot = strip.marks.p0 + along * station + left * (strip.width / 2.0 + TICK_FROM_MM);
        let tick = Line::new(foot, foot + left * TICK_LENGTH_MM);
        if !board.put_line(tick) {
            continue;
        }
        // On a mat each strip says whose it is.
        let text = match strip.name.split_once(MAT_MARK) {
            Some((vehicle, _)) => format!("{vehicle} {station:.0}"),
            None => format!("{station:.0}"),
        };
        let size = size_of(&text, TICK_HEIGHT_MM);
        let corner = tick.p1 + left * TICK_FROM_MM - reading * (size.0 / 2.0);
        let place = Affine::translate(corner.to_vec2()) * Affine::rotate(reading.angle());
        let area = Rect::from_origin_size((0.0, 0.0), size);
        board.put_at(place, area, || set(&text, TICK_HEIGHT_MM));
    }
}
