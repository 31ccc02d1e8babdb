//! What a step asks for, as data; `words/steps.rs` says it.

use super::right_angle::{Arcs, RightAngle};
use crate::template::Datum;

/// What to do in a step. Points go by name. Pairs of sides have the left one first.
#[derive(Clone, Debug, PartialEq)]
pub enum Instruction {
    /// Plumb the middle of the vehicle's front and rear.
    PlumbMiddles {
        /// True where the badge is not central.
        badge_off_centre: bool,
    },
    /// Draw a string through below the vehicle, over both middles, and snap the line beyond its ends.
    StringBelow,
    /// Mark the points of the line from which the strings' ends are set off.
    Feet,
    /// Stretch strings past the wheels.
    Strings {
        /// Front and rear end of each.
        strings: [[String; 2]; 2],
    },
    /// Plumb two wheel centres and carry them square to the strings.
    CarryWheels {
        /// True for the front wheels.
        front: bool,
        /// The plumbed points.
        wheels: [String; 2],
        /// The points on the strings.
        starts: [String; 2],
    },
    /// Tape along both strings from where stations count.
    AlongStrings {
        /// True ahead of there, false behind.
        forward: bool,
        /// Where the tape's zero is held.
        starts: [String; 2],
    },
    /// Stretch a string across, and mark what lies on it.
    Across {
        /// Its ends on the strings.
        ends: [String; 2],
        /// Where it crosses the line.
        foot: String,
        /// The plumbed middle that this must fall on.
        onto: Option<String>,
        /// True where offsets are taped from there.
        offsets: bool,
    },
    /// Set off square from a string.
    SquareOut {
        /// Points of the strings.
        from: Vec<String>,
        /// The triangle that serves all; `None` where there is no room for one.
        angle: Option<RightAngle>,
        /// True away from the vehicle, false towards it.
        outward: bool,
        /// True where inches stand beside mm.
        inches: bool,
    },
    /// Snap a line on the empty floor.
    LineOnFloor {
        /// Clear floor that is needed ahead of zero, mm.
        ahead: f64,
        /// And behind it.
        behind: f64,
    },
    /// Mark the zero point of all stations on it.
    MarkZero(Datum),
    /// The zero point is a mark of the layout.
    DrawZero,
    /// Tape stations from zero along the line.
    Stations {
        /// True ahead of zero, false behind.
        forward: bool,
        /// How many.
        count: usize,
    },
    /// Set a right angle at a foot on the line and tape along it.
    SquareOff {
        /// The foot.
        foot: String,
        /// The triangle; `None` where there is no room for one.
        angle: Option<RightAngle>,
        /// Equal arcs in its place.
        arcs: Option<Arcs>,
        /// True where something is taped to the left.
        left: bool,
        /// True where something is taped to the right.
        right: bool,
        /// Angle at which two tapes would cross, degrees, where that is too flat for them.
        too_flat: Option<f64>,
        /// True where inches stand beside mm.
        inches: bool,
    },
    /// Swing two tapes from the base marks.
    Swing {
        /// The base marks, front one first.
        bases: [String; 2],
        /// Marks, and true for those left of the line.
        marks: Vec<(String, bool)>,
    },
    /// Bring the vehicle onto the layout.
    DriveOn {
        /// What comes to lie over zero.
        origin: Datum,
        /// True for a mat of several vehicles.
        several: bool,
    },
}
