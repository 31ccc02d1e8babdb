//! The resolved layout: absolute millimetres on the workshop floor.

use kurbo::{Affine, Point, Rect, Vec2};

use super::{
    lay::{Lay, Proof},
    mat::Mat,
    vehicle::VehicleOnFloor,
};
use crate::template::{Datum, PanelShape, StripEnds};

/// A floor layout, fully resolved. Frame after ISO 8855: x forward, y left, origin on the floor
/// half-way between the front wheel centres unless the template says otherwise. All lengths in mm.
#[derive(Clone, Debug)]
pub struct FloorPlan {
    /// The vehicle as it stands on the floor.
    pub vehicle: VehicleOnFloor,
    /// What the layout was made from.
    pub template: TemplateEcho,
    /// Marks, by station from the front, within a station from left to right; free marks last.
    pub marks: Vec<Mark>,
    /// Lines between marks.
    pub lines: Vec<Line>,
    /// Panels at marks.
    pub panels: Vec<Panel>,
    /// The foremost and the rearmost mark on the centreline: the two zero points of the two-tape
    /// distances, as indices into `marks`.
    pub tape_base: [usize; 2],
    /// Distances between its marks: sides, ends, diagonals and ties, whatever is taped of them.
    pub checks: Vec<Check>,
    /// The lays of tape and string to check it by, in the order of walking; none until they have been chosen.
    pub lays: Vec<Lay>,
    /// What those prove, for each vehicle; none until they have been chosen.
    pub proofs: Vec<Proof>,
    /// The clear floor that the layout needs, and how the bay answers.
    pub floor: FloorNeed,
    /// Lines of the preparation checklist.
    pub preparation: Vec<String>,
    /// Lines of the closing checklist.
    pub closing: Vec<String>,
    /// Which vehicles use what, where the plan is a mat for several or belongs to one.
    pub mat: Option<Mat>,
}

/// The template a plan was made from, as far as paper has to name it.
#[derive(Clone, Debug)]
pub struct TemplateEcho {
    /// Name as in the template.
    pub name: String,
    /// What the layout is for, one sentence.
    pub purpose: String,
    /// True of a built-in template.
    pub demonstration: bool,
    /// What the frame's origin lies below, on the centreline.
    pub origin: Datum,
    /// The template's values after overriding.
    pub values: Vec<ValueEcho>,
}

/// A named value of the template as it was used.
#[derive(Clone, Debug)]
pub struct ValueEcho {
    /// Name in the template.
    pub name: String,
    /// What it means.
    pub meaning: String,
    /// mm, or degrees.
    pub value: f64,
    /// "mm" or "deg".
    pub unit: &'static str,
    /// True while it is the default of a built-in template.
    pub demonstration: bool,
}

/// A point to be set out on the floor.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Name: station number and rail letter (`1L`, `4C`), or a name of the template's own.
    pub id: String,
    /// Place on the floor, mm.
    pub at: Point,
    /// How far it may be off in any direction, mm.
    pub tolerance: f64,
    /// What the station is ("front end", "rear wheel centres"), or what the free mark is.
    pub meaning: String,
    /// Station number from the front, or `None` for a free mark.
    pub station: Option<usize>,
    /// Distances in mm from the two marks of [`FloorPlan::tape_base`], front one first.
    pub two_tape: [f64; 2],
}

/// A tape strip between two marks, its middle on the straight line through them.
#[derive(Clone, Debug)]
pub struct Line {
    /// Index of the mark where it starts.
    pub from: usize,
    /// Index of the mark where it ends.
    pub to: usize,
    /// Width of the tape strip, mm.
    pub width: f64,
    /// How it ends where it meets another strip.
    pub ends: StripEnds,
    /// How far it runs past the mark where it starts and the one where it ends, mm, 0 or more.
    pub past: [f64; 2],
}

/// A panel lying on the floor at a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Index of the mark.
    pub mark: usize,
    /// Shape and size.
    pub shape: PanelShape,
    /// Turn in degrees counter-clockwise seen from above (ISO 8855); at 0 its rows run across.
    pub turn: f64,
    /// Distance in mm by which the panel's middle lies ahead of the mark and left of it.
    pub shift: (f64, f64),
}

/// What a check distance is, in the words of the bay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CheckKind {
    /// Along a rail or the centreline.
    Side,
    /// Across, left against right on one station.
    End,
    /// From one side to the other between two stations.
    Diagonal,
    /// Between marks that the others leave loose against each other.
    Tie,
}

impl CheckKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Side => "side",
            Self::End => "end",
            Self::Diagonal => "diagonal",
            Self::Tie => "tie",
        }
    }
}

/// A distance to be taped once the marks lie.
#[derive(Clone, Debug)]
pub struct Check {
    /// Running name: `D1`, `S2` …: the kind's letter and a number.
    pub id: String,
    /// What it is.
    pub kind: CheckKind,
    /// Index of the mark at one end.
    pub from: usize,
    /// Index of the mark at the other end.
    pub to: usize,
    /// What the tape should read, mm.
    pub distance: f64,
    /// How far the distance itself may be off, mm: the larger tolerance of its two ends.
    pub tolerance: f64,
    /// True where the straight line runs through a wheel while the vehicle stands on the layout.
    pub through_wheel: bool,
}

/// The floor that the layout and the vehicle need.
#[derive(Clone, Debug)]
pub struct FloorNeed {
    /// Needed rectangle on the floor, clear margins included, mm (x along, y across).
    pub needed: Rect,
    /// How the bay answers; `None` when the job names no bay.
    pub bay: Option<BayVerdict>,
    /// How level and even the floor has to be; `None` when the template says neither.
    pub limits: Option<FloorLimits>,
}

/// Limits of the floor itself, at least one of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorLimits {
    /// Greatest slope in any direction, mm per metre.
    pub slope: Option<f64>,
    /// Largest deviation of a point from the plane of all, mm.
    pub flatness: Option<f64>,
    /// True while one of them is the default of a built-in template.
    pub demonstration: bool,
}

/// A bay measured against the floor that a layout needs.
#[derive(Clone, Debug, PartialEq)]
pub struct BayVerdict {
    /// Length and width of the bay, mm.
    pub size: (f64, f64),
    /// By how much the bay is short along and across, mm; 0 where it is long enough.
    pub short: (f64, f64),
    /// Names of the obstacles that stand within the needed floor.
    pub hit: Vec<String>,
}

impl BayVerdict {
    /// True when nothing is short and nothing is hit.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.short == (0.0, 0.0) && self.hit.is_empty()
    }
}

impl FloorPlan {
    /// The four corners of a line's tape strip on the floor: left of the start, right of the
    /// start, right of the end, left of the end, seen along the line.
    #[must_use]
    pub fn band(&self, line: &Line) -> [Point; 4] {
        line.band(&self.marks)
    }

    /// The middle of a line's tape strip on the floor, from end to end.
    #[must_use]
    pub fn middle_line(&self, line: &Line) -> kurbo::Line {
        line.middle(&self.marks)
    }

    /// The fields of a panel on the floor, see `PanelShape::fields`.
    #[must_use]
    pub fn panel_fields(&self, panel: &Panel) -> Vec<super::Field> {
        let place = panel.place(&self.marks);
        let mut fields = panel.shape.fields();
        for point in fields.iter_mut().flat_map(|field| &mut field.outline) {
            *point = place * *point;
        }
        fields
    }

    /// Convex polygons on the floor that together are a panel, see `PanelShape::convex_parts`.
    #[must_use]
    pub fn panel_parts(&self, panel: &Panel) -> Vec<Vec<Point>> {
        panel.parts(&self.marks)
    }

    /// The smallest rectangle about `start` and everything that the layout puts on the floor.
    #[must_use]
    pub fn extent_with(&self, start: Rect) -> Rect {
        extent_with(start, &self.marks, &self.lines, &self.panels)
    }

    /// Floor points every `step` mm along a line, with their distance from its first mark; not the two
    /// marks themselves.
    pub fn along(&self, line: &Line, step: f64) -> impl Iterator<Item = (f64, Point)> {
        let (from, to) = (self.marks[line.from].at, self.marks[line.to].at);
        let length = from.distance(to);
        let count = (length / step).ceil() as usize;
        (1..count)
            .map(move |index| index as f64 * step)
            .map(move |distance| (distance, from.lerp(to, distance / length)))
    }

    /// The letter of the vehicle that the plan is for, where it is one of a mat.
    #[must_use]
    pub fn own_letter(&self) -> Option<char> {
        let mat = self.mat.as_ref()?;
        mat.only.map(|v| mat.vehicles[v].letter)
    }

    /// The middle of a panel on the floor.
    #[must_use]
    pub fn panel_middle(&self, panel: &Panel) -> Point {
        panel.middle(&self.marks)
    }
}

impl Line {
    /// A strip of some width in mm from mark to mark, which no other strip has been held against yet.
    #[must_use]
    pub fn new(from: usize, to: usize, width: f64) -> Self {
        Self {
            from,
            to,
            width,
            ends: StripEnds::default(),
            past: [0.0; 2],
        }
    }

    fn middle(&self, marks: &[Mark]) -> kurbo::Line {
        let (from, to) = (marks[self.from].at, marks[self.to].at);
        let along = (to - from).normalize();
        kurbo::Line::new(from - along * self.past[0], to + along * self.past[1])
    }

    fn band(&self, marks: &[Mark]) -> [Point; 4] {
        let kurbo::Line { p0: from, p1: to } = self.middle(marks);
        let along = (to - from).normalize();
        let left = Vec2::new(-along.y, along.x) * (self.width / 2.0);
        [from + left, from - left, to - left, to + left]
    }
}

impl Panel {
    fn middle(&self, marks: &[Mark]) -> Point {
        marks[self.mark].at + Vec2::from(self.shift)
    }

    fn place(&self, marks: &[Mark]) -> Affine {
        Affine::translate(self.middle(marks).to_vec2()) * Affine::rotate(self.turn.to_radians())
    }

    /// Its convex parts on the floor, mm: the corners of each.
    #[must_use]
    pub fn parts(&self, marks: &[Mark]) -> Vec<Vec<Point>> {
        let place = self.place(marks);
        let parts = self.shape.convex_parts().into_iter();
        parts
            .map(|part| part.into_iter().map(|point| place * point).collect())
            .collect()
    }
}

/// The smallest rectangle about `start`, marks, strips and panels.
pub(super) fn extent_with(start: Rect, marks: &[Mark], lines: &[Line], panels: &[Panel]) -> Rect {
    let bands = lines.iter().flat_map(|line| line.band(marks));
    let panels = panels.iter().flat_map(|panel| panel.parts(marks)).flatten();
    bands
        .chain(panels)
        .chain(marks.iter().map(|mark| mark.at))
        .fold(start, |extent, point| extent.union_pt(point))
}
