//! The shape in which a mark is printed and cut.

/// A cross along floor x and y with a hole at its centre, mm. What is cut differs from what is printed by the
/// ring alone that holds the hole, see [`MarkShape::WINDOW_FROM_MM`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkShape {
    /// Length of each arm from the centre.
    pub arm: f64,
    /// Diameter of the centre hole.
    pub hole: f64,
}

/// A centre hole is no wider than this part of its cross, so that arms are left to aim by.
const HOLE_OF_CROSS: f64 = 0.4;

impl MarkShape {
    /// At full size. Arms of 15 mm are seen while kneeling and stay within a tape strip of 30 mm and more; a pencil, a
    /// centre punch or the tip of a marker goes through a hole of 6 mm (common practice, no source).
    pub const FULL: Self = Self {
        arm: 15.0,
        hole: 6.0,
    };

    /// Where the windows of a cut cross begin, mm from its centre: the ring between them and the hole is 4 mm wide
    /// and holds the centre.
    pub const WINDOW_FROM_MM: f64 = 7.0;

    /// The cross where no arm may be longer than `arm` mm.
    #[must_use]
    pub fn with_arm(arm: f64) -> Self {
        Self {
            arm,
            hole: Self::FULL.hole.min(HOLE_OF_CROSS * 2.0 * arm),
        }
    }
}
