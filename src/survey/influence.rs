//! What one independent cause does to the place of a mark.

use kurbo::Vec2;

/// Where an error comes from, as an input of [`Precision`](super::Precision).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The vehicle's points carried to the floor.
    Plumb,
    /// The tape's own error.
    Tape,
    /// Reading the tape.
    Reading,
    /// Chalk line or string.
    Centreline,
    /// The right angle of an offset.
    Perpendicular,
    /// Width of a mark drawn on the floor.
    MarkWidth,
    /// A printed mark laid on another mark.
    Joint,
    /// A tape strip laid by hand.
    Strip,
    /// Scale of the printer.
    PrinterScale,
    /// Movement of the paper.
    Paper,
}

impl Cause {
    /// All of them, in order.
    pub const ALL: [Self; 10] = [
        Self::Plumb,
        Self::Tape,
        Self::Reading,
        Self::Centreline,
        Self::Perpendicular,
        Self::MarkWidth,
        Self::Joint,
        Self::Strip,
        Self::PrinterScale,
        Self::Paper,
    ];
}

/// How far a mark moves on the floor when one independent quantity is off by its standard deviation:
/// sensitivity coefficient times standard uncertainty (JCGM 100:2008, 5.1.3), as a vector in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Influence {
    /// The kind of quantity. Several influences of one kind are independent of each other.
    pub cause: Cause,
    /// Movement of the mark, mm, x forward and y left.
    pub effect: Vec2,
}

impl Influence {
    /// An influence from its cause and the movement along x and y, mm.
    #[must_use]
    pub const fn new(cause: Cause, x: f64, y: f64) -> Self {
        Self {
            cause,
            effect: Vec2::new(x, y),
        }
    }

    /// The same cause acting with other weights along x and y.
    #[must_use]
    pub fn weighted(self, weights: Vec2) -> Self {
        Self::new(
            self.cause,
            self.effect.x * weights.x,
            self.effect.y * weights.y,
        )
    }

    /// Two effects of one and the same quantity: they add with their signs (JCGM 100:2008, 5.2.2 with
    /// a correlation of +1).
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            effect: self.effect + other.effect,
            ..self
        }
    }
}
