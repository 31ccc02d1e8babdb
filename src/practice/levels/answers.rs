//! The worked answers of a floor.

use super::case::Case;
use crate::{
    practice::{Fact, Worked, WrongAnswer},
    units::{mm_exact, mm_text},
};

/// Names and ways of a slope.
const ALONG: [&str; 3] = ["along", "rises forward", "falls forward"];
const ACROSS: [&str; 3] = ["across", "rises to the left", "falls to the left"];

impl Case<'_> {
    /// Number of the question on the slope along; the next ones follow.
    fn first(&self) -> usize {
        if self.bump.is_some() { 3 } else { 1 }
    }

    pub(super) fn worked(&self) -> Vec<Worked> {
        let first = self.first();
        let mut worked = self.worked_bump();
        let slope = &self.plane.slope;
        let (length, width) = self.size();
        let rows = self.points.len() - 2;
        let [front, rear, left, right] =
            [[0, 1], [rows, rows + 1], [0, rows], [1, rows + 1]].map(|side| self.around_bump(side));
        worked.push(self.worked_slope(first, ALONG, (front, rear), length, slope.along));
        worked.push(self.worked_slope(first + 1, ACROSS, (left, right), width, slope.across));
        worked.push(Worked {
            question: first + 2,
            lines: vec![format!(
                "greatest slope = √(along² + across²) = √({:.2}² + {:.2}²) = {:.2} mm/m = {:.2} %",
                slope.along.abs(),
                slope.across.abs(),
                slope.steepest(),
                slope.percent()
            )],
        });
        let (options, right) = self.low();
        let low: Vec<&str> = right.iter().map(|&index| options[index].as_str()).collect();
        let falls = slope.falls_in_words().unwrap_or("nowhere");
        worked
            .push(Worked { question: first + 3, lines: vec![format!("{}: the floor falls {falls}.", low.join(" "))] });
        if let Some((options, right)) = self.verdicts() {
            let sign = if right == 0 { "<" } else { ">" };
            worked.push(Worked {
                question: first + 4,
                lines: vec![format!(
                    "{:.2} mm/m {sign} {} mm/m: {}.",
                    slope.steepest(),
                    mm_exact(self.slope_limit, 1),
                    options[right]
                )],
            });
        }
        worked
    }

    /// Two points on a side, without the one that lies beside the plane.
    fn around_bump(&self, side: [usize; 2]) -> Vec<usize> {
        side.into_iter().filter(|&index| self.bump.is_none_or(|(bump, _)| index != bump)).collect()
    }

    fn worked_slope(
        &self,
        question: usize,
        [word, rises, falls]: [&str; 3],
        (one, other): (Vec<usize>, Vec<usize>),
        distance: f64,
        slope: f64,
    ) -> Worked {
        let (one, other) = self.paired(one, other);
        let list = |side: &[usize]| {
            let names: Vec<&str> = side.iter().map(|&index| self.points[index].name.as_str()).collect();
            if let [single] = names[..] { single.to_owned() } else { format!("mean of {}", names.join(" and ")) }
        };
        let numbers = |side: &[usize]| match side {
            [single] => mm_text(self.printed(*single)),
            _ => format!(
                "({}) / {}",
                side.iter().map(|&index| mm_text(self.printed(index))).collect::<Vec<_>>().join(" + "),
                side.len()
            ),
        };
        let mean = |side: &[usize]| side.iter().map(|&index| self.printed(index)).sum::<f64>() / side.len() as f64;
        // A staff reads more where the floor is lower.
        let (from, to) = if self.staff.is_some() { (&one, &other) } else { (&other, &one) };
        let rise = mean(to) - mean(from);
        let way = if slope >= 0.0 { rises } else { falls };
        let way = if slope.abs() < 0.005 { "level" } else { way };
        Worked {
            question,
            lines: vec![
                format!("slope {word} = ({} − {}) / distance, the distance in m", list(to), list(from)),
                format!(
                    "= ({} − {}) / {} = {} / {} = {} mm/m: {way} {:.2} mm/m",
                    numbers(to),
                    numbers(from),
                    mm_exact(distance / 1000.0, 4),
                    mm_exact(rise, 1),
                    mm_exact(distance / 1000.0, 4),
                    mm_exact(slope, 2),
                    slope.abs()
                ),
            ],
        }
    }

    /// Both sides with as many points, opposite each other: where one lost a point, the other loses the one opposite.
    fn paired(&self, one: Vec<usize>, other: Vec<usize>) -> (Vec<usize>, Vec<usize>) {
        let opposite = |a: usize, b: usize| {
            let (a, b) = (self.points[a].at, self.points[b].at);
            (a.x - b.x).abs() < 1.0 || (a.y - b.y).abs() < 1.0
        };
        let kept = |side: &[usize], against: &[usize]| -> Vec<usize> {
            if side.len() <= against.len() {
                return side.to_vec();
            }
            side.iter().copied().filter(|&a| against.iter().any(|&b| opposite(a, b))).collect()
        };
        (kept(&one, &other), kept(&other, &one))
    }

    fn worked_bump(&self) -> Vec<Worked> {
        let Some((bump, over)) = self.bump else { return Vec::new() };
        let height = |index: usize| mm_text(self.points[index].height);
        let half = |name: &str, rows: [usize; 2]| {
            let [a, b] = rows.map(|row| 2 * row);
            format!(
                "{name}: ({} + {}) / 2 − ({} + {}) / 2 = {} mm",
                height(a),
                height(b + 1),
                height(a + 1),
                height(b),
                mm_exact(self.twist(rows).unwrap_or(0.0), 1)
            )
        };
        let name = |index: usize| self.points[index].name.as_str();
        // The other three of a half in which it lies: its neighbour across, its neighbour along, and the one between them.
        let across = bump ^ 1;
        let along = if bump / 2 == 1 { bump + 2 } else { 2 + bump % 2 };
        let slant = along ^ 1;
        let should = self.points[along].height + self.points[across].height - self.points[slant].height;
        let both = if bump / 2 == 1 {
            "Both halves are twisted, so it is one of the middle, ML or MR".to_owned()
        } else {
            let (end, other) = if bump / 2 == 0 { ("front", "rear") } else { ("rear", "front") };
            format!("Only the {end} half is twisted: the {other} half is even, so it is at the {end} end")
        };
        let line = if bump % 2 == 0 { ("left", "FL, ML, RL") } else { ("right", "FR, MR, RR") };
        let way = if over > 0.0 { "above" } else { "below" };
        vec![
            Worked { question: 1, lines: vec![half("front half", [0, 1]), half("rear half", [1, 2])] },
            Worked {
                question: 2,
                lines: vec![
                    format!(
                        "{both}; along the {} side ({}) the heights do not change evenly, along the other side they do: {}.",
                        line.0,
                        line.1,
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
                    format!("{} lies {} mm {way} the plane of the others.", name(bump), mm_text(over.abs())),
                ],
            },
        ]
    }

    pub(super) fn wrong(&self) -> Vec<WrongAnswer> {
        let slope = &self.plane.slope;
        let answer = |answer: String, meaning: &str| WrongAnswer { answer, meaning: meaning.to_owned() };
        let mut wrong = Vec::new();
        if let Some((bump, over)) = self.bump {
            wrong.push(answer(
                format!(
                    "{} mm {} the plane",
                    mm_exact(over.abs() / 2.0, 1),
                    if over > 0.0 { "above" } else { "below" }
                ),
                "The difference of the diagonals' means was taken; a corner changes its diagonal's mean by half.",
            ));
            wrong.push(answer(
                format!("{} lies beside the plane", self.points[bump ^ 1].name),
                "The point across was blamed; its own side of the floor is even.",
            ));
        }
        if self.level.number() > 1 {
            wrong.push(answer(
                format!("greatest slope {:.2} mm/m", slope.along.abs() + slope.across.abs()),
                "The slopes were added; they stand at a right angle, so their squares add.",
            ));
        }
        if self.staff.is_some() {
            let high = self.points.len() - 1 - self.low_corner();
            wrong.push(answer(
                format!("{} is low", self.points[high].name),
                "The smallest staff reading was taken for the lowest point; there the floor is highest.",
            ));
        }
        wrong.push(answer(
            format!("{:.2} %", slope.steepest()),
            "mm per metre were taken for percent; 10 mm per metre are 1 %.",
        ));
        wrong
    }

    pub(super) fn facts(&self) -> Vec<Fact> {
        let first = self.first();
        let slope = &self.plane.slope;
        let fact = |question: usize, of: &str, answer: String| Fact { question, of: of.to_owned(), answer };
        let mut facts = Vec::new();
        if let Some((bump, over)) = self.bump {
            for (of, rows) in [("front half", [0, 1]), ("rear half", [1, 2])] {
                let twist = self.twist(rows).unwrap_or(0.0);
                facts.push(fact(1, &format!("diagonals, {of}"), format!("{} mm", mm_exact(twist, 1))));
            }
            facts.push(fact(2, "point beside the plane", self.points[bump].name.clone()));
            facts.push(fact(2, "height over the plane", format!("{} mm", mm_text(over))));
        }
        let signed = |value: f64| {
            if value.abs() < 0.005 { "0.00".to_owned() } else { format!("{value:+.2}").replace('-', "\u{2212}") }
        };
        facts.push(fact(first, "slope along, positive when it rises forward", format!("{} mm/m", signed(slope.along))));
        facts.push(fact(
            first + 1,
            "slope across, positive when it rises to the left",
            format!("{} mm/m", signed(slope.across)),
        ));
        facts.push(fact(first + 2, "greatest slope", format!("{:.2} mm/m", slope.steepest())));
        facts.push(fact(first + 2, "greatest slope in percent", format!("{:.2} %", slope.percent())));
        let (options, right) = self.low();
        facts.extend(right.iter().map(|&index| fact(first + 3, "low", options[index].clone())));
        if let Some((options, right)) = self.verdicts() {
            facts.push(fact(first + 4, "slope", options[right].clone()));
        }
        facts
    }
}
