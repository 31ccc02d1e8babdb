//! The worked answers of a case.

use kurbo::Vec2;

use super::{
    Case,
    gauge::{FULL_SHARE, gauge, lever},
    mistake::{Mistake, Slip},
    sheet::signed,
};
use crate::{
    practice::{Question, WrongAnswer},
    survey::out_of_square,
    units::{mm_exact, mm_text},
};

/// The two longest diagonals of a rectangle as read.
pub(super) struct Diagonals {
    names: [String; 2],
    read: [f64; 2],
    sides: [f64; 2],
    degrees: f64,
}

impl Case<'_> {
    pub(super) fn diagonals(&self) -> Option<Diagonals> {
        let [front_left, front_right, rear_left, rear_right] = self.ground.corners?;
        let find = |one: usize, other: usize| {
            self.ground
                .pulls
                .iter()
                .position(|pull| pull.touches(one) && pull.touches(other))
        };
        let diagonals = [find(front_left, rear_right)?, find(front_right, rear_left)?];
        let sides = [find(front_left, rear_left)?, find(front_left, front_right)?];
        let sides = sides.map(|pull| self.ground.pulls[pull].should);
        let read = diagonals.map(|pull| self.readings[pull]);
        let degrees = out_of_square(read[0].max(read[1]), read[0].min(read[1]), sides)?;
        Some(Diagonals {
            names: diagonals.map(|pull| self.ground.pulls[pull].name()),
            read,
            sides,
            degrees,
        })
    }

    pub(super) fn worked_differences(&self) -> String {
        let largest = (0..self.readings.len())
            .reduce(|a, b| {
                if self.difference(b).abs() > self.difference(a).abs() {
                    b
                } else {
                    a
                }
            })
            .unwrap_or(0);
        let pull = &self.ground.pulls[largest];
        format!(
            "difference = read − plan, as {}: {} − {} = {} mm; the others stand in the table.",
            pull.name(),
            mm_text(self.readings[largest]),
            mm_text(pull.should),
            signed(self.difference(largest))
        )
    }

    /// What in the differences shows it.
    pub(super) fn why(&self) -> Vec<String> {
        if self.mistakes.is_empty() {
            let largest = (0..self.readings.len())
                .map(|pull| self.difference(pull).abs())
                .fold(0.0, f64::max);
            return vec![format!(
                "No difference is more than {} mm: that is rounding and scatter of the tape, not a mistake.",
                mm_text(largest)
            )];
        }
        self.mistakes
            .iter()
            .map(|mistake| match mistake {
                Mistake::Moved { mark, .. } => format!(
                    "The large differences meet in {0}: readings to {0} are off, those between the other marks are not.",
                    self.id(*mark)
                ),
                Mistake::Station { number, .. } => format!(
                    "Readings from station {number} to other stations are off, those within station {number} and those \
                     between the others are not."
                ),
                Mistake::Misread { pull, .. } => format!(
                    "{0} alone is off: other readings to both of its marks agree, so the marks are where they should be.",
                    self.ground.pulls[*pull].name()
                ),
                Mistake::Turned { .. } => "Readings between marks of the grid agree, those from the wheel marks do not: \
                                           the grid is right in itself, and turned as a whole."
                    .to_owned(),
            })
            .collect()
    }

    /// How far and which way, worked out.
    pub(super) fn sizes(&self) -> Vec<String> {
        if self.mistakes.is_empty() {
            return vec!["Nothing lies off.".to_owned()];
        }
        self.mistakes
            .iter()
            .flat_map(|mistake| self.size(mistake))
            .collect()
    }

    fn size(&self, mistake: &Mistake) -> Vec<String> {
        match mistake {
            Mistake::Moved { mark, by } => {
                let mut lines = self.gauged(*mark, *by);
                lines.push(format!("{} lies {}.", self.id(*mark), off(*by)));
                lines
            }
            Mistake::Station { number, marks, by } => {
                let tells = |mark: &&usize| {
                    gauge(&self.ground, &self.mistakes, **mark, *by).map(|gauge| gauge.share.abs())
                };
                let by_share = |a: &&usize, b: &&usize| {
                    tells(a).unwrap_or(0.0).total_cmp(&tells(b).unwrap_or(0.0))
                };
                let mut lines = marks
                    .iter()
                    .max_by(by_share)
                    .map_or_else(Vec::new, |mark| self.gauged(*mark, *by));
                lines.push(format!(
                    "Station {number} ({}) lies {}.",
                    self.listed(marks),
                    off(*by)
                ));
                lines
            }
            Mistake::Misread { pull, slip } => {
                let difference = self.difference(*pull);
                let name = self.ground.pulls[*pull].name();
                let way = if difference > 0.0 { "long" } else { "short" };
                vec![
                    format!(
                        "{name}: {} − {} = {} mm{}.",
                        mm_text(self.readings[*pull]),
                        mm_text(self.ground.pulls[*pull].should),
                        signed(difference),
                        slip.words()
                    ),
                    format!(
                        "The reading {name} is {} mm too {way}.",
                        mm_text(difference.abs())
                    ),
                ]
            }
            Mistake::Turned { degrees } => self.turn(*degrees),
        }
    }

    /// How far a mark lies off, by the reading that lies best along that way.
    fn gauged(&self, mark: usize, by: Vec2) -> Vec<String> {
        let Some(gauge) = gauge(&self.ground, &self.mistakes, mark, by) else {
            return Vec::new();
        };
        let (pull, difference) = (&self.ground.pulls[gauge.pull], self.difference(gauge.pull));
        let seen = match (by.x == 0.0, gauge.leg > 0.0) {
            (false, true) => "ahead of",
            (false, false) => "behind",
            (true, true) => "left of",
            (true, false) => "right of",
        };
        let change = if difference > 0.0 { "long" } else { "short" };
        let mut lines = vec![format!(
            "{} is {} mm too {change}, and {} lies {seen} {}, which is where it should be.",
            pull.name(),
            mm_text(difference.abs()),
            self.id(mark),
            gauge.from
        )];
        if gauge.share.abs() < FULL_SHARE {
            lines.push(format!(
                "The tape runs aslant: d = difference · distance / {} = {} · {} / {} = {} mm.",
                if by.x == 0.0 {
                    "step to the left"
                } else {
                    "step forward"
                },
                signed(difference),
                mm_text(pull.should),
                mm_exact(gauge.leg, 1),
                signed((difference * pull.should / gauge.leg).round())
            ));
        }
        lines
    }

    fn turn(&self, degrees: f64) -> Vec<String> {
        let way = if degrees > 0.0 {
            "counter-clockwise"
        } else {
            "clockwise"
        };
        let mut lines = Vec::new();
        if let Some((pull, lever)) = lever(&self.ground) {
            let ([wheel, mark], difference) =
                (&self.ground.pulls[pull].ends, self.difference(pull));
            lines.push(format!(
                "Lever of {} about the origin, wheel mark at (u, v), mark at (x, y): (y · u − x · v) / distance = ({} · {} − {} · {}) / {} = {} mm.",
                self.ground.pulls[pull].name(),
                mm_exact(mark.at.y, 1),
                bracketed(wheel.at.x),
                bracketed(mark.at.x),
                bracketed(wheel.at.y),
                mm_text(self.ground.pulls[pull].should),
                mm_text(lever * 1000.0)
            ));
            let found = (difference / lever / 1000.0).to_degrees();
            lines.push(format!(
                "γ = difference / lever · 57.3° = {} / {} · 57.3° = {}°, positive counter-clockwise.",
                signed(difference),
                bracketed((lever * 1000.0).round()),
                mm_exact(found, 2)
            ));
        }
        lines.push(format!(
            "The grid is turned {}° {way} seen from above.",
            mm_exact(degrees.abs(), 1)
        ));
        lines
    }

    pub(super) fn actions(&self) -> Vec<String> {
        if self.mistakes.is_empty() {
            return vec!["Nothing: the marks may be used.".to_owned()];
        }
        self.mistakes
            .iter()
            .map(|mistake| self.action(mistake))
            .collect()
    }

    fn action(&self, mistake: &Mistake) -> String {
        match mistake {
            Mistake::Moved { mark, by } => {
                format!("Move {} {}, and tape again.", self.id(*mark), way(-*by))
            }
            Mistake::Station { number, marks, by } => format!(
                "Look up from which datum station {number} was set, move {} {}, and tape again.",
                self.listed(marks),
                way(-*by)
            ),
            Mistake::Misread { pull, .. } => {
                format!(
                    "Tape {} again; move no mark for it.",
                    self.ground.pulls[*pull].name()
                )
            }
            Mistake::Turned { .. } => {
                "Lay the grid anew as a whole, or move the vehicle; move no single mark.".to_owned()
            }
        }
    }

    fn listed(&self, marks: &[usize]) -> String {
        marks
            .iter()
            .map(|&mark| self.id(mark))
            .collect::<Vec<_>>()
            .join(", ")
    }

    pub(super) fn wrong(&self) -> Vec<WrongAnswer> {
        let mut wrong = Vec::new();
        let mut add = |answer: String, meaning: &str| wrong.push(WrongAnswer::new(answer, meaning));
        if let Some(diagonals) = self
            .diagonals()
            .filter(|diagonals| diagonals.read[0] != diagonals.read[1])
        {
            let [a, b] = diagonals.sides;
            let half = (diagonals.read[0] - diagonals.read[1])
                .abs()
                .atan2(a.max(b))
                .to_degrees();
            add(
                format!("{}° out of square", mm_exact(half, 2)),
                "The difference of the diagonals was divided by a side; the formula takes squares.",
            );
        }
        for mistake in &self.mistakes {
            match mistake {
                Mistake::Moved { mark, by } => {
                    add(
                        format!("Move {} {}", self.id(*mark), way(*by)),
                        "Moved on in the direction in which it lies off; it has to go back.",
                    );
                    if let Some(gauge) = gauge(&self.ground, &self.mistakes, *mark, *by) {
                        add(
                            format!("{} lies off", gauge.from),
                            "The mark at the other end was blamed; its other readings agree.",
                        );
                    }
                }
                Mistake::Station { marks, .. } => add(
                    format!("{} lies off", self.id(marks[0])),
                    "One mark alone was blamed; the others of its station are off by as much.",
                ),
                Mistake::Misread { pull, .. } => {
                    let [one, other] = &self.ground.pulls[*pull].ends;
                    add(
                        format!("{} or {} lies off", one.name, other.name),
                        "A mark that lies off shows in every reading along that way; only one reading is off here.",
                    );
                }
                Mistake::Turned { .. } => add(
                    "A wheel mark lies off".to_owned(),
                    "Readings from several wheel marks are off; one wheel mark would spoil its own alone.",
                ),
            }
        }
        if self.mistakes.is_empty() {
            add(
                "A mark or a reading is wrong".to_owned(),
                "A difference of rounding and scatter was taken for a mistake; compare it with what the tape can do.",
            );
        }
        add(
            "All differences with the other sign".to_owned(),
            "Should be less reading: too long then looks too short, and marks are moved the wrong way.",
        );
        wrong
    }

    /// What is wrong in a few words; the boxes to tick say it at length.
    pub(super) fn short_sort(&self) -> String {
        let word = |mistake: &Mistake| match mistake {
            Mistake::Moved { .. } => "mark",
            Mistake::Station { .. } => "station",
            Mistake::Misread { .. } => "reading",
            Mistake::Turned { .. } => "turned",
        };
        match &self.mistakes[..] {
            [] => "nothing".to_owned(),
            [Mistake::Moved { .. }, Mistake::Moved { .. }] => "two marks".to_owned(),
            mistakes => mistakes.iter().map(word).collect::<Vec<_>>().join(" + "),
        }
    }

    pub(super) fn short(&self, mistake: &Mistake) -> Short {
        match mistake {
            Mistake::Moved { mark, by } => {
                let id = self.id(*mark);
                Short::moved(id.to_owned(), id, *by)
            }
            Mistake::Station { number, marks, by } => {
                Short::moved(format!("station {number}"), &self.listed(marks), *by)
            }
            Mistake::Misread { pull, .. } => {
                let (name, difference) = (self.ground.pulls[*pull].name(), self.difference(*pull));
                Short {
                    action: format!("tape {name} again"),
                    which: name,
                    far: format!("{} mm", mm_text(difference.abs())),
                    way: if difference > 0.0 {
                        "too long"
                    } else {
                        "too short"
                    }
                    .to_owned(),
                }
            }
            Mistake::Turned { degrees } => Short {
                which: "grid".to_owned(),
                far: format!("{}°", mm_exact(degrees.abs(), 1)),
                way: if *degrees > 0.0 {
                    "counter-clockwise"
                } else {
                    "clockwise"
                }
                .to_owned(),
                action: "lay the grid anew".to_owned(),
            },
        }
    }
}

/// A mistake in a few words.
pub(super) struct Short {
    pub which: String,
    pub far: String,
    pub way: String,
    pub action: String,
}

impl Short {
    /// No mistake, or no second one.
    pub fn none() -> Self {
        let dash = || "\u{2013}".to_owned();
        Self {
            which: dash(),
            far: dash(),
            way: dash(),
            action: dash(),
        }
    }

    /// Marks that lie off.
    fn moved(which: String, marks: &str, by: Vec2) -> Self {
        let (mm, word) = parts(by);
        Self {
            which,
            far: format!("{} mm", mm_text(mm)),
            way: word.to_owned(),
            action: format!("move {marks} {}", way(-by)),
        }
    }
}

impl Diagonals {
    fn difference(&self) -> f64 {
        (self.read[0] - self.read[1]).abs()
    }

    /// The question on them.
    pub fn question(self) -> Question {
        let text = "By how much do the two longest diagonals differ, and how far out of square is that, to a hundredth \
                    of a degree? d1²\u{a0}−\u{a0}d2² = 4 · a · b · sin γ, with the sides a and b of the plan.";
        Question::new(text, 3)
            .lines(1)
            .worked(self.lines())
            .answer(
                "difference of the diagonals",
                format!("{} mm", mm_text(self.difference())),
            )
            .answer("out of square", format!("{:.2}°", self.degrees))
    }

    fn lines(&self) -> [String; 3] {
        let ([one, other], [a, b]) = (&self.names, self.sides);
        let (long, short) = (
            self.read[0].max(self.read[1]),
            self.read[0].min(self.read[1]),
        );
        [
            format!(
                "{one} and {other}: {} − {} = {} mm",
                mm_text(long),
                mm_text(short),
                mm_text(self.difference())
            ),
            format!(
                "sin γ = (d1² − d2²) / (4 · a · b) = ({}² − {}²) / (4 · {} · {}) = {}",
                mm_text(long),
                mm_text(short),
                mm_text(a),
                mm_text(b),
                format_args!("{:.5}", self.degrees.to_radians().sin())
            ),
            format!("γ = {:.2}° out of square", self.degrees),
        ]
    }
}

impl Slip {
    /// How it came about, behind a number.
    fn words(self) -> String {
        match self {
            Self::By(mm) => format!(": the tape was misread by {} mm", mm_text(mm.abs())),
            Self::Exchanged => ": two digits are exchanged".to_owned(),
            Self::Inches => {
                ": the inch side was read and written as centimetres; times 2.54 the reading fits"
                    .to_owned()
            }
        }
    }
}

/// "60 mm too far rearward".
fn off(by: Vec2) -> String {
    let (mm, word) = parts(by);
    format!("{} mm too far {word}", mm_text(mm))
}

/// "60 mm forward".
fn way(by: Vec2) -> String {
    let (mm, word) = parts(by);
    format!("{} mm {word}", mm_text(mm))
}

fn parts(by: Vec2) -> (f64, &'static str) {
    match (by.x, by.y) {
        (x, _) if x > 0.0 => (x, "forward"),
        (x, _) if x < 0.0 => (-x, "rearward"),
        (_, y) if y > 0.0 => (y, "left"),
        (_, y) => (-y, "right"),
    }
}

/// A number behind a sign of multiplication or division.
fn bracketed(mm: f64) -> String {
    let text = mm_exact(mm, 1);
    if mm < 0.0 { format!("({text})") } else { text }
}
