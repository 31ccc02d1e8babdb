//! What a step asks for, as data; `words/steps.rs` says it.

use super::right_angle::{Arcs, RightAngle};
use crate::template::Datum;

/// What to do in a step. Points go by name.
#[derive(Clone, Debug, PartialEq)]
pub enum Instruction {
    /// Plumb the middle of the vehicle's front and rear.
    PlumbMiddles {
        /// True where the badge is not central.
        badge_off_centre: bool,
    },
    /// Snap the line through them.
    SnapLine,
    /// Mark the zero point of all stations.
    MarkZero(Datum),
    /// The zero point is a mark of the layout.
    DrawZero,
    /// Tape stations from zero along the line.
    Stations {
        /// True ahead of zero, false behind.
        forward: bool,
        /// How many.
        count: usize,
        /// Stations that must fall on a plumbed end: both names.
        onto: Vec<[String; 2]>,
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
        /// True where help points are set as well.
        helps: bool,
        /// True where inches stand beside mm.
        inches: bool,
    },
    /// Tape along strings parallel to the line, past wheels.
    Strings {
        /// Front and rear end of each.
        strings: Vec<[String; 2]>,
        /// Their distance from the line, mm.
        offset: f64,
        /// True where inches stand beside mm.
        inches: bool,
    },
    /// Swing two tapes from the base marks.
    Swing {
        /// The base marks, front one first.
        bases: [String; 2],
        /// Marks, and true for those left of the line.
        marks: Vec<(String, bool)>,
        /// Step of the perpendicular way that sets them too, where a tape would run through a wheel.
        instead: Option<usize>,
    },
    /// Set marks by the perpendicular way, since arcs cross too flat.
    SetByWay1 {
        /// The marks.
        marks: Vec<String>,
        /// Angle of the flattest crossing, degrees, and how far its mark may lie off, mm; `None` where arcs only touch.
        crossing: Option<(f64, f64)>,
        /// Step of the perpendicular way.
        step: usize,
    },
}
