//! The checked template: relations with the places they were read from.

use super::{Amount, Datum, MarkRef, NamedValue, PanelSpecShape};
use crate::source::{Place, Placed};

/// A layout as relations to a vehicle.
#[derive(Clone, Debug)]
pub struct TemplateSpec {
    /// Name for people.
    pub name: String,
    /// What the layout is for, one sentence.
    pub purpose: String,
    /// True of a built-in template, whose defaults are for demonstration; those of a file of the user's own are the user's.
    pub demonstration: bool,
    /// Datum whose floor point on the centreline is the frame's origin.
    pub origin: Datum,
    /// Named values.
    pub values: Vec<NamedValue>,
    /// Stations, declared from front to rear.
    pub stations: Vec<Station>,
    /// Rails, declared from the centreline outwards.
    pub rails: Vec<Rail>,
    /// Marks where stations and rails cross.
    pub marks: Vec<CrossingMarks>,
    /// Marks by bearing and distance.
    pub points: Vec<PointSpec>,
    /// Lines between marks.
    pub lines: Vec<LineSpec>,
    /// Panels at marks.
    pub panels: Vec<PanelSpec>,
    /// Clear floor around vehicle and layout.
    pub clear_floor: ClearFloor,
    /// How level and even the floor has to be.
    pub floor: FloorSpec,
    /// Preparation checklist.
    pub preparation: Vec<String>,
    /// Closing checklist.
    pub closing: Vec<String>,
    /// The whole file, for faults that have no narrower place.
    pub place: Place,
}

/// A cross-section of the layout.
#[derive(Clone, Debug)]
pub struct Station {
    /// Name in the template.
    pub name: String,
    /// What it is, for people: "front end".
    pub meaning: String,
    /// What it is measured from.
    pub from: StationFrom,
    /// Where it is declared.
    pub place: Place,
}

/// What a station is measured from.
#[derive(Clone, Debug)]
pub enum StationFrom {
    /// A distance ahead of (positive) or behind (negative) a datum or another station.
    Offset {
        /// Name of the datum or station.
        base: Placed<String>,
        /// Distance.
        distance: Option<Placed<Amount>>,
        /// True when the distance counts rearward.
        rearward: bool,
    },
    /// A part of the way from one datum or station to another.
    Between {
        /// Names of the two.
        ends: [Placed<String>; 2],
        /// 0 at the first, 1 at the second.
        fraction: f64,
    },
}

/// Which sides of the vehicle something lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// Left and right, mirrored at the centreline.
    Both,
    /// Left alone.
    Left,
    /// Right alone.
    Right,
}

impl Sides {
    /// The sides, left first.
    #[must_use]
    pub const fn list(self) -> &'static [super::Side] {
        match self {
            Self::Both => &[super::Side::Left, super::Side::Right],
            Self::Left => &[super::Side::Left],
            Self::Right => &[super::Side::Right],
        }
    }
}

/// A line along the vehicle.
#[derive(Clone, Debug)]
pub struct Rail {
    /// Name in the template.
    pub name: String,
    /// What it is measured from.
    pub from: RailFrom,
    /// Distance outwards from there.
    pub outward: Option<Placed<Amount>>,
    /// Sides it lies on.
    pub sides: Sides,
    /// Where it is declared.
    pub place: Place,
}

/// What a rail is measured from.
#[derive(Clone, Debug)]
pub enum RailFrom {
    /// The centreline.
    Centreline,
    /// The tyres' outer faces of an axle.
    TyreOuterFace(AxleChoice),
    /// The side of the body without mirrors.
    BodySide,
    /// The mirrors' outermost points.
    Mirror,
    /// Another rail.
    Rail(Placed<String>),
}

impl RailFrom {
    /// The words for what is not another rail.
    pub const WORDS: [&'static str; 4] = ["centreline", "tyre outer face", "body side", "mirror"];
}

/// Which axle's tyres a rail is measured from, where the tracks differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AxleChoice {
    /// The axle with the wider track, so that a gap is kept at both.
    Wider,
    /// The front axle.
    Front,
    /// The rear axle.
    Rear,
}

/// Marks at every crossing of the listed stations and rails.
#[derive(Clone, Debug)]
pub struct CrossingMarks {
    /// Station names.
    pub stations: Vec<Placed<String>>,
    /// Rail names; "centre" is the centreline.
    pub rails: Vec<Placed<String>>,
    /// How far a mark may be off.
    pub tolerance: Placed<Amount>,
}

/// A mark by bearing and distance.
#[derive(Clone, Debug)]
pub struct PointSpec {
    /// Name; on both sides the letter L or R is added.
    pub name: String,
    /// What it is, for people.
    pub meaning: String,
    /// What it is measured from.
    pub from: Placed<PointOrigin>,
    /// The direction from which the bearing counts.
    pub bearing_from: BearingFrom,
    /// Bearing in degrees, counted outwards, away from the centreline.
    pub bearing: Placed<Amount>,
    /// Distance.
    pub distance: Placed<Amount>,
    /// Sides it lies on.
    pub sides: Sides,
    /// How far it may be off.
    pub tolerance: Placed<Amount>,
    /// Where it is declared.
    pub place: Place,
}

/// What a point is measured from.
#[derive(Clone, Debug, PartialEq)]
pub enum PointOrigin {
    /// Corner of the body: a bumper's station at the side of the body.
    Corner(Datum),
    /// A wheel centre on the floor.
    Wheel(Datum),
    /// A datum on the centreline.
    Centre(Datum),
    /// A mark.
    Mark(MarkRef),
}

impl PointOrigin {
    /// The words for what is not a mark.
    pub const WORDS: [&'static str; 6] = [
        "front corner",
        "rear corner",
        "front wheel",
        "rear wheel",
        "front centre",
        "rear centre",
    ];
}

/// Zero direction of a bearing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BearingFrom {
    /// Straight ahead.
    Ahead,
    /// Straight rearward.
    Rearward,
}

/// How a tape strip ends at a mark where it meets another strip.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StripEnds {
    /// It runs through to the other's outer edge, as tape that is torn off there: corners are whole.
    #[default]
    Square,
    /// At the mark, whatever lies there.
    AtMark,
}

impl StripEnds {
    /// The words for them.
    pub const WORDS: [(&'static str, Self); 2] =
        [("square", Self::Square), ("at mark", Self::AtMark)];

    /// The word for this one.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Square => Self::WORDS[0].0,
            Self::AtMark => Self::WORDS[1].0,
        }
    }
}

/// A tape strip between two marks.
#[derive(Clone, Debug)]
pub struct LineSpec {
    /// Start.
    pub from: Placed<MarkRef>,
    /// End.
    pub to: Placed<MarkRef>,
    /// Width of the tape strip.
    pub width: Placed<Amount>,
    /// How it ends on other strips.
    pub ends: StripEnds,
    /// How far it is carried past its start and its end, mm.
    pub past: [Option<Placed<Amount>>; 2],
    /// `Some` when drawn on these sides, references without a side meaning each in turn.
    pub sides: Option<Sides>,
}

/// A panel at a mark.
#[derive(Clone, Debug)]
pub struct PanelSpec {
    /// The mark.
    pub at: Placed<MarkRef>,
    /// Shape and sizes.
    pub shape: PanelSpecShape,
    /// Turn, degrees counter-clockwise on the left side, mirrored on the right.
    pub turn: Option<Placed<Amount>>,
    /// Distance of its middle ahead of the mark.
    pub ahead: Option<Placed<Amount>>,
    /// Distance of its middle outward of the mark.
    pub outward: Option<Placed<Amount>>,
    /// `Some` when placed on these sides.
    pub sides: Option<Sides>,
}

/// Clear floor in mm beyond the outermost of vehicle and layout.
#[derive(Clone, Debug, Default)]
pub struct ClearFloor {
    /// Ahead.
    pub front: Option<Placed<Amount>>,
    /// Behind.
    pub rear: Option<Placed<Amount>>,
    /// On each side.
    pub sides: Option<Placed<Amount>>,
}

/// Limits of the floor itself.
#[derive(Clone, Debug, Default)]
pub struct FloorSpec {
    /// Greatest slope in any direction, mm per metre.
    pub slope: Option<Placed<Amount>>,
    /// Largest deviation of a point from the plane of all, mm.
    pub flatness: Option<Placed<Amount>>,
}
