//! A place on the floor as people say it.

use kurbo::Point;

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{inch_text, mm_text};

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
}
