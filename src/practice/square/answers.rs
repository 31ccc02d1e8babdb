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

/// All that is said of a mistake, or of there being none.
pub(super) struct Told {
    /// Its sort in a word; the boxes to tick say it at length.
    pub sort: &'static str,
    /// What in the differences shows it.
    pub why: String,
    /// How far and which way, worked out.
    pub sizes: Vec<String>,
    /// What is to be done.
    pub action: String,
    /// Wrong answers that are often given, each with its meaning.
    wrong: Vec<(String, &'static str)>,
    /// In a few words: which, how far, which way, what is to be done.
    pub short: [String; 4],
}

/// Stands for the short answers of no mistake, or of no second one.
pub(super) const NONE: &str = "\u{2013}";

/// The two longest diagonals of a rectangle as read.
struct Diagonals {
    names: [String; 2],
    /// The longer and the shorter one.
    read: [f64; 2],
    sides: [f64; 2],
    degrees: f64,
}

impl Case<'_> {
    fn crossed(&self) -> Option<Diagonals> {
        let [front_left, front_right, rear_left, rear_right] = self.ground.corners?;
        let joins = |[one, other]: [usize; 2]| {
            let mut pulls = self.ground.pulls.iter();
            pulls.position(|pull| pull.touches(one) && pull.touches(other))
        };
        let diagonals = [
            joins([front_left, rear_right])?,
            joins([front_right, rear_left])?,
        ];
        let sides = [
            joins([front_left, rear_left])?,
            joins([front_left, front_right])?,
        ];
        let sides = sides.map(|pull| self.pull(pull).should);
        let [a, b] = diagonals.map(|pull| self.readings[pull]);
        let read = [a.max(b), a.min(b)];
        Some(Diagonals {
            names: diagonals.map(|pull| self.pull(pull).name()),
            read,
            sides,
            degrees: out_of_square(read[0], read[1], sides)?,
        })
    }

    /// The question on the diagonals of a rectangle.
    pub fn diagonals(&self) -> Option<Question> {
        let Diagonals {
            names: [one, other],
            read,
            sides: [a, b],
            degrees,
        } = self.crossed()?;
        let text = "By how much do the two longest diagonals differ, and how far out of square is that, to a hundredth \
                    of a degree? d1²\u{a0}−\u{a0}d2² = 4 · a · b · sin γ, with the sides a and b of the plan.";
        let difference = mm_text(read[0] - read[1]);
        let [long, short, a, b] = [read[0], read[1], a, b].map(mm_text);
        let sine = degrees.to_radians().sin();
        let lines = [
            format!("{one} and {other}: {long} − {short} = {difference} mm"),
            format!(
                "sin γ = (d1² − d2²) / (4 · a · b) = ({long}² − {short}²) / (4 · {a} · {b}) = {sine:.5}"
            ),
            format!("γ = {degrees:.2}° out of square"),
        ];
        let question = Question::new(text, 3).lines(1).worked(lines);
        Some(
            question
                .answer("difference of the diagonals", format!("{difference} mm"))
                .answer("out of square", format!("{degrees:.2}°")),
        )
    }

    /// Index of the reading that is off the most, the first of several.
    fn largest(&self) -> usize {
        let further = |a: usize, b: usize| {
            if self.difference(b).abs() > self.difference(a).abs() {
                b
            } else {
                a
            }
        };
        (0..self.readings.len()).reduce(further).unwrap_or(0)
    }

    pub fn worked_differences(&self) -> String {
        let largest = self.largest();
        format!(
            "difference = read − plan, as {}: {} mm; the others stand in the table.",
            self.pull(largest).name(),
            self.subtraction(largest)
        )
    }

    /// "4321 − 4300 = +21".
    fn subtraction(&self, pull: usize) -> String {
        let [read, should] = [self.readings[pull], self.pull(pull).should].map(mm_text);
        format!("{read} − {should} = {}", signed(self.difference(pull)))
    }

    /// Mistake by mistake; of a sheet without any, that there is none.
    pub fn told(&self) -> Vec<Told> {
        if self.mistakes.is_empty() {
            return vec![self.nothing()];
        }
        let told = |mistake: &Mistake| match mistake {
            Mistake::Moved { mark, by } => self.moved(*mark, *by),
            Mistake::Station { number, marks, by } => self.station(*number, marks, *by),
            Mistake::Misread { pull, slip } => self.misread(*pull, *slip),
            Mistake::Turned { degrees } => self.turned(*degrees),
        };
        self.mistakes.iter().map(told).collect()
    }

    fn nothing(&self) -> Told {
        Told {
            sort: "nothing",
            why: format!(
                "No difference is more than {} mm: that is rounding and scatter of the tape, not a mistake.",
                mm_text(self.difference(self.largest()).abs())
            ),
            sizes: vec!["Nothing lies off.".to_owned()],
            action: "Nothing: the marks may be used.".to_owned(),
            wrong: vec![(
                "A mark or a reading is wrong".to_owned(),
                "A difference of rounding and scatter was taken for a mistake; compare it with what the tape can do.",
            )],
            short: [NONE; 4].map(str::to_owned),
        }
    }

    fn moved(&self, mark: usize, by: Vec2) -> Told {
        let (id, (far, word), back) = (self.id(mark), parts(by), way(-by));
        let mut wrong = vec![(
            format!("Move {id} {}", way(by)),
            "Moved on in the direction in which it lies off; it has to go back.",
        )];
        wrong.extend(gauge(&self.ground, &self.mistakes, mark, by).map(|gauge| {
            let blamed = "The mark at the other end was blamed; its other readings agree.";
            (format!("{} lies off", gauge.from), blamed)
        }));
        let mut sizes = self.gauged(mark, by);
        sizes.push(format!("{id} lies {far} too far {word}."));
        Told {
            sort: "mark",
            why: format!(
                "The large differences meet in {id}: readings to {id} are off, those between the other marks are not."
            ),
            sizes,
            action: format!("Move {id} {back}, and tape again."),
            wrong,
            short: [
                id.to_owned(),
                far,
                word.to_owned(),
                format!("move {id} {back}"),
            ],
        }
    }

    fn station(&self, number: usize, marks: &[usize], by: Vec2) -> Told {
        let tells = |mark: usize| {
            gauge(&self.ground, &self.mistakes, mark, by).map_or(0.0, |gauge| gauge.share.abs())
        };
        let best = marks
            .iter()
            .max_by(|a, b| tells(**a).total_cmp(&tells(**b)));
        let mut sizes = best.map_or_else(Vec::new, |mark| self.gauged(*mark, by));
        let ids: Vec<&str> = marks.iter().map(|&mark| self.id(mark)).collect();
        let (ids, (far, word), back) = (ids.join(", "), parts(by), way(-by));
        sizes.push(format!(
            "Station {number} ({ids}) lies {far} too far {word}."
        ));
        Told {
            sort: "station",
            why: format!(
                "Readings from station {number} to other stations are off, those within station {number} and those \
                 between the others are not."
            ),
            sizes,
            action: format!(
                "Look up from which datum station {number} was set, move {ids} {back}, and tape again."
            ),
            wrong: vec![(
                format!("{} lies off", self.id(marks[0])),
                "One mark alone was blamed; the others of its station are off by as much.",
            )],
            short: [
                format!("station {number}"),
                far,
                word.to_owned(),
                format!("move {ids} {back}"),
            ],
        }
    }

    fn misread(&self, pull: usize, slip: Slip) -> Told {
        let (name, difference) = (self.pull(pull).name(), self.difference(pull));
        let way = if difference > 0.0 {
            "too long"
        } else {
            "too short"
        };
        let far = format!("{} mm", mm_text(difference.abs()));
        let [one, other] = &self.pull(pull).ends;
        Told {
            sort: "reading",
            why: format!(
                "{name} alone is off: other readings to both of its marks agree, so the marks are where they should be."
            ),
            sizes: vec![
                format!("{name}: {} mm{}.", self.subtraction(pull), slip.words()),
                format!("The reading {name} is {far} {way}."),
            ],
            action: format!("Tape {name} again; move no mark for it."),
            wrong: vec![(
                format!("{} or {} lies off", one.name, other.name),
                "A mark that lies off shows in every reading along that way; only one reading is off here.",
            )],
            short: [
                name.clone(),
                far,
                way.to_owned(),
                format!("tape {name} again"),
            ],
        }
    }

    fn turned(&self, degrees: f64) -> Told {
        let way = if degrees > 0.0 {
            "counter-clockwise"
        } else {
            "clockwise"
        };
        let far = format!("{}°", mm_exact(degrees.abs(), 1));
        let mut sizes = self.levered();
        sizes.push(format!("The grid is turned {far} {way} seen from above."));
        Told {
            sort: "turned",
            why: "Readings between marks of the grid agree, those from the wheel marks do not: the grid is right in itself, \
                  and turned as a whole."
                .to_owned(),
            sizes,
            action: "Lay the grid again as a whole, or move the vehicle; move no single mark.".to_owned(),
            wrong: vec![(
                "A wheel mark lies off".to_owned(),
                "Readings from several wheel marks are off; one wheel mark would spoil its own alone.",
            )],
            short: ["grid", &far, way, "lay the grid again"].map(str::to_owned),
        }
    }

    /// How far a mark lies off, by the reading that lies best along that way.
    fn gauged(&self, mark: usize, by: Vec2) -> Vec<String> {
        let Some(gauge) = gauge(&self.ground, &self.mistakes, mark, by) else {
            return Vec::new();
        };
        let (pull, difference) = (self.pull(gauge.pull), self.difference(gauge.pull));
        let (seen, step) = match (by.x == 0.0, gauge.leg > 0.0) {
            (false, true) => ("ahead of", "step forward"),
            (false, false) => ("behind", "step forward"),
            (true, true) => ("left of", "step to the left"),
            (true, false) => ("right of", "step to the left"),
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
                "The tape runs aslant: d = difference · distance / {step} = {} · {} / {} = {} mm.",
                signed(difference),
                mm_text(pull.should),
                mm_exact(gauge.leg, 1),
                signed((difference * pull.should / gauge.leg).round())
            ));
        }
        lines
    }

    /// By how much the grid is turned, by the reading with the longest lever.
    fn levered(&self) -> Vec<String> {
        let Some((pull, lever)) = lever(&self.ground) else {
            return Vec::new();
        };
        let (difference, pull) = (self.difference(pull), self.pull(pull));
        let [wheel, mark] = &pull.ends;
        vec![
            format!(
                "Lever of {} about the origin, wheel mark at (u, v), mark at (x, y): (y · u − x · v) / distance = ({} · {} − {} · {}) / {} = {} mm.",
                pull.name(),
                mm_exact(mark.at.y, 1),
                bracketed(wheel.at.x),
                bracketed(mark.at.x),
                bracketed(wheel.at.y),
                mm_text(pull.should),
                mm_text(lever * 1000.0)
            ),
            format!(
                "γ = difference / lever · 57.3° = {} / {} · 57.3° = {}°, positive counter-clockwise.",
                signed(difference),
                bracketed((lever * 1000.0).round()),
                mm_exact((difference / lever / 1000.0).to_degrees(), 2)
            ),
        ]
    }

    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let askew = self
            .crossed()
            .filter(|crossed| crossed.read[0] != crossed.read[1]);
        let askew = askew.map(|Diagonals { read, sides: [a, b], .. }| {
            let half = (read[0] - read[1]).atan2(a.max(b)).to_degrees();
            (
                format!("{}° out of square", mm_exact(half, 2)),
                "The difference of the diagonals was divided by a side; the formula takes squares.",
            )
        });
        let turned_about = (
            "All differences with the other sign".to_owned(),
            "Should be less reading: too long then looks too short, and marks are moved the wrong way.",
        );
        let told = self.told().into_iter().flat_map(|told| told.wrong);
        let all = askew.into_iter().chain(told).chain([turned_about]);
        all.map(|(answer, meaning)| WrongAnswer::new(answer, meaning))
            .collect()
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

/// "60 mm forward".
fn way(by: Vec2) -> String {
    let (far, word) = parts(by);
    format!("{far} {word}")
}

/// "60 mm", "forward".
fn parts(by: Vec2) -> (String, &'static str) {
    let word = match (by.x, by.y) {
        (x, _) if x > 0.0 => "forward",
        (x, _) if x < 0.0 => "rearward",
        (_, y) if y > 0.0 => "left",
        _ => "right",
    };
    (format!("{} mm", mm_text(by.hypot())), word)
}

/// A number behind a sign of multiplication or division.
fn bracketed(mm: f64) -> String {
    let text = mm_exact(mm, 1);
    if mm < 0.0 { format!("({text})") } else { text }
}
