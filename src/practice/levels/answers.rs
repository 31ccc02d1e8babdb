//! The worked answers of a floor.

use super::case::Case;
use crate::{
    practice::WrongAnswer,
    units::{mm_exact, mm_text},
};

/// Names and ways of a slope.
pub(super) const ALONG: [&str; 3] = ["along", "rises forward", "falls forward"];
pub(super) const ACROSS: [&str; 3] = ["across", "rises to the left", "falls to the left"];

impl Case<'_> {
    pub fn worked_greatest(&self) -> String {
        let slope = &self.plane.slope;
        format!(
            "greatest slope = √(along² + across²) = √({:.2}² + {:.2}²) = {:.2} mm/m = {:.2} %",
            slope.along.abs(),
            slope.across.abs(),
            slope.steepest(),
            slope.percent()
        )
    }

    pub fn worked_verdict(&self, verdict: &str, within: bool) -> String {
        let sign = if within { "<" } else { ">" };
        format!(
            "{:.2} mm/m {sign} {} mm/m: {verdict}.",
            self.plane.slope.steepest(),
            mm_exact(self.slope_limit, 1)
        )
    }

    /// A slope with its sign, `along` or `across`.
    pub fn slope_of(&self, word: &str) -> String {
        let slope = &self.plane.slope;
        let value = if word == ALONG[0] {
            slope.along
        } else {
            slope.across
        };
        if value.abs() < 0.005 {
            return "0.00 mm/m".to_owned();
        }
        format!("{value:+.2} mm/m").replace('-', "\u{2212}")
    }

    /// Two points on a side, without the one that lies beside the plane.
    fn around_bump(&self, side: [usize; 2]) -> Vec<usize> {
        side.into_iter()
            .filter(|&index| self.bump.is_none_or(|(bump, _)| index != bump))
            .collect()
    }

    pub fn worked_slope(&self, [word, rises, falls]: [&str; 3]) -> [String; 2] {
        let (length, width) = self.size();
        let rows = self.points.len() - 2;
        let (sides, distance, slope) = if word == ALONG[0] {
            ([[0, 1], [rows, rows + 1]], length, self.plane.slope.along)
        } else {
            ([[0, rows], [1, rows + 1]], width, self.plane.slope.across)
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
            let numbers: Vec<String> = side.iter().map(|&at| mm_text(self.printed(at))).collect();
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
        let rise = mm_exact(mean(to) - mean(from), 1);
        let way = if slope >= 0.0 { rises } else { falls };
        let way = if slope.abs() < 0.005 { "level" } else { way };
        let metres = mm_exact(distance / 1000.0, 4);
        [
            format!(
                "slope {word} = ({} − {}) / distance, the distance in m",
                list(to),
                list(from)
            ),
            format!(
                "= ({} − {}) / {metres} = {rise} / {metres} = {} mm/m: {way} {:.2} mm/m",
                numbers(to),
                numbers(from),
                mm_exact(slope, 2),
                slope.abs()
            ),
        ]
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
        let height = |index: usize| mm_text(self.points[index].height);
        let [a, b] = rows.map(|row| 2 * row);
        format!(
            "{name}: ({} + {}) / 2 − ({} + {}) / 2 = {} mm",
            height(a),
            height(b + 1),
            height(a + 1),
            height(b),
            mm_exact(self.twist(rows).unwrap_or(0.0), 1)
        )
    }

    pub fn worked_bump(&self, bump: usize, over: f64) -> [String; 3] {
        let height = |index: usize| mm_text(self.points[index].height);
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
        [
            format!(
                "{both}; along the {side} side ({points}) the heights do not change evenly, along the other side they do: {}.",
                name(bump)
            ),
            format!(
                "It should be {} + {} − {} = {} + {} − {} = {} mm; it is {}.",
                name(along),
                name(across),
                name(slant),
                height(along),
                height(across),
                height(slant),
                mm_text(should),
                height(bump)
            ),
            format!(
                "{} lies {} mm {way} the plane of the others.",
                name(bump),
                mm_text(over.abs())
            ),
        ]
    }

    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let slope = &self.plane.slope;
        let mut wrong = Vec::new();
        let mut add = |answer: String, meaning: &str| wrong.push(WrongAnswer::new(answer, meaning));
        if let Some((bump, over)) = self.bump {
            let way = if over > 0.0 { "above" } else { "below" };
            add(
                format!("{} mm {way} the plane", mm_exact(over.abs() / 2.0, 1)),
                "The difference of the diagonals' means was taken; a corner changes its diagonal's mean by half.",
            );
            add(
                format!("{} lies beside the plane", self.points[bump ^ 1].name),
                "The point across was blamed; its own side of the floor is even.",
            );
        }
        if self.level.number() > 1 {
            let added = slope.along.abs() + slope.across.abs();
            add(
                format!("greatest slope {added:.2} mm/m"),
                "The slopes were added; they stand at a right angle, so their squares add.",
            );
        }
        if self.staff.is_some() {
            let high = self.points.len() - 1 - self.low_corner();
            add(
                format!("{} is low", self.points[high].name),
                "The smallest staff reading was taken for the lowest point; there the floor is highest.",
            );
        }
        add(
            format!("{:.2} %", slope.steepest()),
            "mm per metre were taken for percent; 10 mm per metre are 1 %.",
        );
        wrong
    }
}
