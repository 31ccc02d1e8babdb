//! The worked answers of a case.

use kurbo::Vec2;

use super::{
    Case,
    diagonals::Sheared,
    gauge::{FULL_SHARE, gauge, lever},
    mistake::{Mistake, Slip},
};
use crate::{
    practice::{Ruling, Value, WrongAnswer},
    units::mm_exact,
};

/// All that is said of a mistake, or of there being none.
pub(super) struct Finding {
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
    pub short: [Value; 4],
}

/// Stands for the short answers of no mistake, or of no second one.
pub(super) const NONE: &str = "\u{2013}";

impl Case<'_> {
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
            "difference = read − plan, as {}: {} {}; the others stand in the table.",
            self.pull(largest).name(),
            self.subtraction(largest),
            self.ground.ruling.unit()
        )
    }

    /// "4321 − 4300 = +21".
    fn subtraction(&self, pull: usize) -> String {
        let ruling = self.ground.ruling;
        let [read, should] =
            [self.readings[pull], self.pull(pull).should].map(|mm| ruling.whole(mm));
        format!(
            "{read} − {should} = {}",
            ruling.signed(self.difference(pull))
        )
    }

    /// Mistake by mistake; of a sheet without any, that there is none.
    pub fn findings(&self) -> Vec<Finding> {
        if self.mistakes.is_empty() {
            return vec![self.nothing()];
        }
        let finding = |mistake: &Mistake| match mistake {
            Mistake::Moved { mark, by } => self.moved(*mark, *by),
            Mistake::Station { number, marks, by } => self.station(*number, marks, *by),
            Mistake::Misread { pull, slip } => self.misread(*pull, *slip),
            Mistake::Turned { degrees } => self.turned(*degrees),
        };
        self.mistakes.iter().map(finding).collect()
    }

    fn nothing(&self) -> Finding {
        Finding {
            sort: "nothing",
            why: format!(
                "No difference is more than {}: that is rounding and scatter of the tape, not a mistake.",
                self.ground
                    .ruling
                    .length(self.difference(self.largest()).abs())
            ),
            sizes: vec!["Nothing lies off.".to_owned()],
            action: "Nothing: the marks may be used.".to_owned(),
            wrong: vec![(
                "A mark or a reading is wrong".to_owned(),
                "A difference of rounding and scatter was taken for a mistake; compare it with what the tape can do.",
            )],
            short: [NONE; 4].map(Value::from),
        }
    }

    fn moved(&self, mark: usize, by: Vec2) -> Finding {
        let (id, (far, word), back) = (self.id(mark), self.parts(by), self.way(-by));
        let mut wrong = vec![(
            format!("Move {id} {}", self.way(by)),
            "Moved on in the direction in which it lies off; it has to go back.",
        )];
        wrong.extend(gauge(&self.ground, &self.mistakes, mark, by).map(|gauge| {
            let blamed = "The mark at the other end was blamed; its other readings agree.";
            (format!("{} lies off", gauge.from), blamed)
        }));
        let mut sizes = self.gauged(mark, by);
        sizes.push(format!("{id} lies {far} too far {word}."));
        Finding {
            sort: "mark",
            why: format!(
                "The large differences meet in {id}: readings to {id} are off, those between the other marks are not."
            ),
            sizes,
            action: format!("Move {id} {back}, and tape again."),
            wrong,
            short: [
                id.into(),
                far,
                word.into(),
                format!("move {id} {back}").into(),
            ],
        }
    }

    fn station(&self, number: usize, marks: &[usize], by: Vec2) -> Finding {
        let tells = |mark: usize| {
            gauge(&self.ground, &self.mistakes, mark, by).map_or(0.0, |gauge| gauge.share.abs())
        };
        let best = marks
            .iter()
            .max_by(|a, b| tells(**a).total_cmp(&tells(**b)));
        let mut sizes = best.map_or_else(Vec::new, |mark| self.gauged(*mark, by));
        let ids: Vec<&str> = marks.iter().map(|&mark| self.id(mark)).collect();
        let (ids, (far, word), back) = (ids.join(", "), self.parts(by), self.way(-by));
        sizes.push(format!(
            "Station {number} ({ids}) lies {far} too far {word}."
        ));
        Finding {
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
                format!("station {number}").into(),
                far,
                word.into(),
                format!("move {ids} {back}").into(),
            ],
        }
    }

    fn misread(&self, pull: usize, slip: Slip) -> Finding {
        let (name, difference) = (self.pull(pull).name(), self.difference(pull));
        let way = if difference > 0.0 {
            "too long"
        } else {
            "too short"
        };
        let far = self.ground.ruling.answer(difference.abs());
        let [one, other] = &self.pull(pull).ends;
        Finding {
            sort: "reading",
            why: format!(
                "{name} alone is off: other readings to both of its marks agree, so the marks are where they should be."
            ),
            sizes: vec![
                format!(
                    "{name}: {} {}{}.",
                    self.subtraction(pull),
                    self.ground.ruling.unit(),
                    slip.words(self.ground.ruling)
                ),
                format!("The reading {name} is {far} {way}."),
            ],
            action: format!("Tape {name} again; move no mark for it."),
            wrong: vec![(
                format!("{} or {} lies off", one.name, other.name),
                "A mark that lies off shows in every reading along that way; only one reading is off here.",
            )],
            short: [
                name.clone().into(),
                far,
                way.into(),
                format!("tape {name} again").into(),
            ],
        }
    }

    fn turned(&self, degrees: f64) -> Finding {
        let way = if degrees > 0.0 {
            "counter-clockwise"
        } else {
            "clockwise"
        };
        let far = Value::decimals(degrees.abs(), 1, "\u{b0}");
        let mut sizes = self.levered();
        sizes.push(format!("The grid is turned {far} {way} seen from above."));
        Finding {
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
            short: ["grid".into(), far, way.into(), "lay the grid again".into()],
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
        let off = difference * pull.should / gauge.leg;
        let ruling = self.ground.ruling;
        let change = if difference > 0.0 { "long" } else { "short" };
        let mut lines = vec![format!(
            "{} is {} too {change}, and {} lies {seen} {}, which is where it should be.",
            pull.name(),
            ruling.length(difference.abs()),
            self.id(mark),
            gauge.from
        )];
        if gauge.share.abs() < FULL_SHARE {
            lines.push(format!(
                "The tape runs aslant: d = difference · distance / {step} = {} · {} / {} = {}, about {} {}.",
                with_plus(&ruling.exact(difference)),
                ruling.exact(pull.should),
                ruling.exact(gauge.leg),
                with_plus(&ruling.decimals(off, ruling.pick(2, 4))),
                ruling.signed(off),
                ruling.unit()
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
        let ruling = self.ground.ruling;
        let [wheel, mark] = &pull.ends;
        vec![
            format!(
                "Lever of {} about the origin, wheel mark at (u, v), mark at (x, y): (y · u − x · v) / distance = ({} · {} − {} · {}) / {} = {} {}.",
                pull.name(),
                ruling.exact(mark.at.y),
                bracketed(&ruling.exact(wheel.at.x)),
                bracketed(&ruling.exact(mark.at.x)),
                bracketed(&ruling.exact(wheel.at.y)),
                ruling.exact(pull.should),
                ruling.decimals(lever * 1000.0, ruling.pick(0, 1)),
                ruling.unit()
            ),
            format!(
                "γ = difference / lever · 57.3° = {} / {} · 57.3° = {}°, positive counter-clockwise.",
                with_plus(&ruling.exact(difference)),
                bracketed(&ruling.decimals(lever * 1000.0, ruling.pick(0, 1))),
                mm_exact((difference / lever / 1000.0).to_degrees(), 2)
            ),
        ]
    }

    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let turned_about = (
            "All differences with the other sign".to_owned(),
            "Should be less reading: too long then looks too short, and marks are moved the wrong way.",
        );
        let found = self
            .findings()
            .into_iter()
            .flat_map(|finding| finding.wrong);
        let all = found.chain([turned_about]);
        let all = all.map(|(answer, meaning)| WrongAnswer::new(answer, meaning));
        all.chain(self.sheared.iter().map(Sheared::wrong)).collect()
    }

    /// "60 mm forward".
    fn way(&self, by: Vec2) -> String {
        let (far, word) = self.parts(by);
        format!("{far} {word}")
    }

    /// "60 mm", "forward".
    fn parts(&self, by: Vec2) -> (Value, &'static str) {
        let word = match (by.x, by.y) {
            (x, _) if x > 0.0 => "forward",
            (x, _) if x < 0.0 => "rearward",
            (_, y) if y > 0.0 => "left",
            _ => "right",
        };
        (self.ground.ruling.answer(by.hypot()), word)
    }
}

impl Slip {
    /// How it came about, behind a number.
    fn words(self, ruling: Ruling) -> String {
        match self {
            Self::By(mm) => format!(": the tape was misread by {}", ruling.length(mm.abs())),
            Self::Exchanged => ": two digits are exchanged".to_owned(),
            Self::OtherSide => ruling
                .pick(
                    ": the inch side was read and written as centimetres; times 2.54 the reading fits",
                    ": the centimetre side was read and written as inches; divided by 2.54 the reading fits",
                )
                .to_owned(),
        }
    }
}

/// "+3": a number above zero with its sign.
fn with_plus(number: &str) -> String {
    if number == "0" || number.starts_with('\u{2212}') {
        number.to_owned()
    } else {
        format!("+{number}")
    }
}

/// A number behind a sign of multiplication or division.
fn bracketed(number: &str) -> String {
    if number.starts_with('\u{2212}') {
        format!("({number})")
    } else {
        number.to_owned()
    }
}
