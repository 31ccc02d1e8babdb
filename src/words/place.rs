//! A place on the floor as people say it.

use kurbo::{Point, Vec2};

/// What stands for a place on the centreline, and for one between the front wheels.
const ON_CENTRELINE: &str = "on centreline";
const AT_ZERO: &str = "at 0";

/// A floor point in words: along the vehicle from between the front wheels, across it from the centreline; with
/// `write`, which writes a length without its sign: "1760 forward", "at 0" and "1286 left", "on centreline".
#[must_use]
pub fn floor_place(at: Point, write: impl Fn(f64) -> String) -> [String; 2] {
    let worded = |value: f64, [more, less]: [&str; 2], none: &str| {
        let number = write(value.abs());
        match number.split_whitespace().next() {
            Some("0") | None => none.to_owned(),
            _ => format!("{number} {}", if value > 0.0 { more } else { less }),
        }
    };
    [
        worded(at.x, ["forward", "rearward"], AT_ZERO),
        worded(at.y, ["left", "right"], ON_CENTRELINE),
    ]
}

/// What the arrows of [`pointed`] mean, for the head of a table.
pub const ARROWS: &str = "↑ forward, ↓ rearward, ← left, → right";

/// A place or a shift for a table, each number behind an arrow that points as on a plan with the front up: "↑ 1760" and
/// "→ 1286"; "0" alone. `write` writes a length without its sign.
#[must_use]
pub fn pointed(by: Vec2, write: impl Fn(f64) -> String) -> [String; 2] {
    let arrowed = |value: f64, [more, less]: [&str; 2]| match write(value.abs()) {
        none if none == "0" => none,
        number => format!("{} {number}", if value > 0.0 { more } else { less }),
    };
    [arrowed(by.x, ["↑", "↓"]), arrowed(by.y, ["←", "→"])]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{inch_text, mm_exact, mm_text};

    #[test]
    fn signs_become_words_and_what_rounds_to_nothing_is_on_the_line() {
        let place = |x, y| floor_place(Point::new(x, y), mm_text).join(", ");
        assert_eq!(place(1760.0, 1286.0), "1760 forward, 1286 left");
        assert_eq!(place(-3450.4, -0.2), "3450 rearward, on centreline");
        assert_eq!(place(0.0, -1286.0), "at 0, 1286 right");
        let inches = floor_place(Point::new(-12.7, 25.4), |mm| {
            format!("{} in", inch_text(mm))
        });
        assert_eq!(inches.join(", "), "1/2 in rearward, 1 in left");
    }

    #[test]
    fn arrows_stand_for_signs_and_what_rounds_to_nothing_has_none() {
        let shift = |x, y| pointed(Vec2::new(x, y), |mm| mm_exact(mm, 1));
        assert_eq!(shift(9.34, -3.1), ["↑ 9.3", "→ 3.1"]);
        assert_eq!(shift(-0.04, 1285.5), ["0", "← 1285.5"]);
    }
}
