//! The worked answers of a floor.

use super::case::{Case, FOOT_MM};
use crate::{
    practice::{Ruling, Value, WrongAnswer},
    units::{MM_PER_INCH, inch_text_to, mm_exact},
};

/// Names of answers.
pub(super) const GREATEST: &str = "greatest slope";
pub(super) const GREATEST_PERCENT: &str = "greatest slope in percent";
pub(super) const OVER_PLANE: &str = "height over the plane";

/// Names and ways of a slope.
pub(super) const ALONG: [&str; 3] = ["along", "rises forward", "falls forward"];
pub(super) const ACROSS: [&str; 3] = ["across", "rises to the left", "falls to the left"];

impl Case<'_> {
    pub fn worked_greatest(&self) -> [String; 2] {
        let slope = &self.plane.slope;
        let [along, across, greatest] =
            [slope.along.abs(), slope.across.abs(), slope.steepest()].map(|one| self.in_unit(one));
        let [unit, _] = self.slope_unit();
        let percent = self.ruling().pick(
            format!("{greatest:.2} / 10 = {:.2} %", slope.percent()),
            format!("{greatest:.2} / 120 · 100 = {:.2} %", slope.percent()),
        );
        [
            format!(
                "greatest slope = √(along² + across²) = √({along:.2}² + {across:.2}²) = {greatest:.2} {unit}"
            ),
            format!("in percent: {percent}"),
        ]
    }

    pub fn worked_verdict(&self, verdict: &str, within: bool) -> String {
        let sign = if within { "<" } else { ">" };
        let [unit, _] = self.slope_unit();
        format!(
            "{:.2} {unit} {sign} {} {unit}: {verdict}.",
            self.in_unit(self.plane.slope.steepest()),
            mm_exact(self.in_unit(self.slope_limit), 2)
        )
    }

    /// A slope with its sign, `along` or `across`.
    pub fn slope_of(&self, word: &str) -> Value {
        let slope = &self.plane.slope;
        let slope = if word == ALONG[0] {
            slope.along
        } else {
            slope.across
        };
        let [unit, _] = self.slope_unit();
        Value::decimals(self.in_unit(slope), 2, unit).with_sign()
    }

    /// Two points on a side, without the one that lies beside the plane.
    fn around_bump(&self, side: [usize; 2]) -> Vec<usize> {
        side.into_iter()
            .filter(|&index| self.bump.is_none_or(|(bump, _)| index != bump))
            .collect()
    }

    pub fn worked_slope(&self, [word, rises, falls]: [&'static str; 3]) -> [String; 2] {
        let (length, width) = self.size();
        let ruling = self.ruling();
        let rows = self.points.len() - 2;
        let (sides, distance) = if word == ALONG[0] {
            ([[0, 1], [rows, rows + 1]], length)
        } else {
            ([[0, rows], [1, rows + 1]], width)
        };
        let [one, other] = sides.map(|side| self.around_bump(side));
        let (one, other) = self.paired(one, other);
        let list = |side: &[usize]| {
            let names: Vec<&str> = side
                .iter()
                .map(|&at| self.points[at].name.as_str())
                .collect();
            match names[..] {
                [single] => single.to_owned(),
                _ => format!("mean of {}", names.join(" and ")),
            }
        };
        let numbers = |side: &[usize]| {
            let numbers: Vec<String> = side
                .iter()
                .map(|&at| ruling.exact(self.printed(at)))
                .collect();
            match &numbers[..] {
                [single] => single.clone(),
                _ => format!("({}) / {}", numbers.join(" + "), side.len()),
            }
        };
        let mean = |side: &[usize]| {
            side.iter().map(|&at| self.printed(at)).sum::<f64>() / side.len() as f64
        };
        // A staff reads more where the floor is lower.
        let (from, to) = if self.staff.is_some() {
            (&one, &other)
        } else {
            (&other, &one)
        };
        let rise = ruling.exact(mean(to) - mean(from));
        let shown = self.slope_of(word);
        let way = self.direction([word, rises, falls]);
        let [unit, _] = self.slope_unit();
        // Per metre the distance in metres; on ten feet ten times by the distance in feet.
        let (large, of, times) = ruling.pick((1000.0, "m", ""), (FOOT_MM, "ft", "10 · "));
        let over = mm_exact(distance / large, 4);
        [
            format!(
                "slope {word} = {times}({} − {}) / distance, the distance in {of}",
                list(to),
                list(from)
            ),
            format!(
                "= {times}({} − {}) / {over} = {times}{rise} / {over} = {} {unit}: {way}",
                numbers(to),
                numbers(from),
                shown.bare()
            ),
        ]
    }

    /// Whether the floor rises or falls along or across.
    pub fn direction(&self, [word, rises, falls]: [&'static str; 3]) -> &'static str {
        match self.slope_of(word).number() {
            Some(slope) if slope > 0.0 => rises,
            Some(slope) if slope < 0.0 => falls,
            _ => "level",
        }
    }

    /// Both sides with as many points, opposite each other: where one lost a point, the other loses the one opposite.
    fn paired(&self, one: Vec<usize>, other: Vec<usize>) -> (Vec<usize>, Vec<usize>) {
        let opposite = |a: usize, b: usize| {
            let (a, b) = (self.points[a].at, self.points[b].at);
            (a.x - b.x).abs() < 1.0 || (a.y - b.y).abs() < 1.0
        };
        let kept = |side: &[usize], against: &[usize]| -> Vec<usize> {
            let longer = side.len() > against.len();
            let has_opposite = |a: usize| against.iter().any(|&b| opposite(a, b));
            side.iter()
                .copied()
                .filter(|&a| !longer || has_opposite(a))
                .collect()
        };
        (kept(&one, &other), kept(&other, &one))
    }

    /// By how much the diagonals of a half pass over each other.
    pub fn worked_half(&self, name: &str, rows: [usize; 2]) -> String {
        let height = |index: usize| self.ruling().exact(self.points[index].height);
        let [a, b] = rows.map(|row| 2 * row);
        format!(
            "{name}: ({} + {}) / 2 − ({} + {}) / 2 = {}",
            height(a),
            height(b + 1),
            height(a + 1),
            height(b),
            self.twist_of(rows)
        )
    }

    pub fn worked_bump(&self, bump: usize, over: f64) -> [String; 3] {
        let height = |index: usize| self.ruling().exact(self.points[index].height);
        let name = |index: usize| self.points[index].name.as_str();
        // The other three of a half in which it lies: its neighbour across, its neighbour along, and the one between them.
        let across = bump ^ 1;
        let along = if bump / 2 == 1 {
            bump + 2
        } else {
            2 + bump % 2
        };
        let slant = along ^ 1;
        let should =
            self.points[along].height + self.points[across].height - self.points[slant].height;
        let both = match bump / 2 {
            1 => "Both halves have twist, so it is one of the middle, ML or MR".to_owned(),
            row => {
                let (end, other) = if row == 0 {
                    ("front", "rear")
                } else {
                    ("rear", "front")
                };
                format!(
                    "Only the {end} half has twist: the {other} half is even, so it is at the {end} end"
                )
            }
        };
        let (side, points) = match bump % 2 {
            0 => ("left", "FL, ML, RL"),
            _ => ("right", "FR, MR, RR"),
        };
        let way = if over > 0.0 { "above" } else { "below" };
        let unit = self.ruling().unit();
        [
            format!(
                "{both}; along the {side} side ({points}) the heights do not change evenly, along the other side they do: {}.",
                name(bump)
            ),
            format!(
                "It should be {} + {} − {} = {} + {} − {} = {} {unit}; it is {}.",
                name(along),
                name(across),
                name(slant),
                height(along),
                height(across),
                height(slant),
                self.ruling().exact(should),
                height(bump)
            ),
            format!(
                "{} lies {} {way} the plane of the others.",
                name(bump),
                self.ruling().length(over.abs())
            ),
        ]
    }

    /// By how much the means of the diagonals of a half differ: to half a graduation.
    pub fn twist_of(&self, rows: [usize; 2]) -> Value {
        let twist = self.twist(rows).unwrap_or(0.0);
        match self.ruling() {
            Ruling::Metric => Value::half(twist, "mm"),
            Ruling::Inches => Value::of(twist / MM_PER_INCH, "in", inch_text_to(twist, 32)),
        }
    }

    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let slope = &self.plane.slope;
        let [unit, _] = self.slope_unit();
        let mut wrong = Vec::new();
        if let Some((bump, over)) = self.bump {
            let half = Value::of(
                self.ruling().in_unit(over / 2.0),
                self.ruling().unit(),
                self.ruling().exact(over / 2.0),
            );
            wrong.push(WrongAnswer::number(
                OVER_PLANE,
                half,
                "The difference of the diagonals' means was taken; a corner changes its diagonal's mean by half.",
            ));
            wrong.push(WrongAnswer::new(
                format!("{} lies beside the plane", self.points[bump ^ 1].name),
                "The point across was blamed; its own side of the floor is even.",
            ));
        }
        if self.level.number() > 1 {
            let added = self.in_unit(slope.along.abs() + slope.across.abs());
            wrong.push(WrongAnswer::number(
                GREATEST,
                Value::decimals(added, 2, unit),
                "The slopes were added; they stand at a right angle, so their squares add.",
            ));
        }
        if self.staff.is_some() {
            let high = self.points.len() - 1 - self.low_corner();
            wrong.push(WrongAnswer::new(
                format!("{} is low", self.points[high].name),
                "The smallest staff reading was taken for the lowest point; there the floor is highest.",
            ));
        }
        let meaning = self.ruling().pick(
            "mm per metre were taken for percent; 10 mm per metre are 1 %.",
            "Inches on 10 ft were taken for percent; 10 ft are 120 in.",
        );
        wrong.push(WrongAnswer::number(
            GREATEST_PERCENT,
            Value::decimals(self.in_unit(slope.steepest()), 2, "%"),
            meaning,
        ));
        wrong
    }
}
