//! The questions, each answered from the printed numbers.

use super::picked;
use crate::{
    plan::Mark,
    practice::{
        Cell, Draw, Question, Value, WrongAnswer, asked::Asked, layout::Drawn,
        layout::ON_CENTRELINE_MM,
    },
    units::SIXTEENTH_MM,
};

/// What is nearer than an eighth of an inch lies level for most people, mm: nothing is asked of its way.
const LEVEL_MM: f64 = 2.0 * SIXTEENTH_MM;

/// Asks about a layout.
pub(super) struct Asking<'a, 'd> {
    pub drawn: &'a Drawn,
    pub draw: &'d mut Draw,
}

/// A difference of two printed numbers: what is asked, the numbers, mm, and the words for more and for less.
struct Gap {
    /// Along from a bumper, across from the tyres, along from mark to mark: 0 to 2.
    sort: usize,
    /// From where, and to which mark.
    names: [String; 2],
    from: f64,
    to: f64,
    /// Words where `to` is more, and where it is less.
    ways: [&'static str; 2],
}

impl Asking<'_, '_> {
    fn mark(&self, index: usize) -> &Mark {
        &self.drawn.plan.marks[index]
    }

    fn drawn_of(&mut self, mut marks: Vec<usize>, count: usize) -> Vec<usize> {
        self.draw.shuffle(&mut marks);
        marks.truncate(count);
        marks
    }

    /// Names of marks whose places are given in words.
    pub fn names(&mut self, count: usize) -> Result<Question, String> {
        let marks = picked::distinct(&self.drawn.plan);
        if marks.len() < 2 {
            return Err("no two of its marks differ in what they are".to_owned());
        }
        let mut asked = Asked::default();
        for (number, index) in (1..).zip(self.drawn_of(marks, count)) {
            let (mark, plan) = (self.mark(index), &self.drawn.plan);
            let words = picked::place(plan, mark);
            asked.worked.push(format!("{words}: {}", mark.id));
            let answer = mark.id.as_str();
            let row = [
                Cell::given(words),
                asked.blank(format!("mark {number}"), answer),
            ];
            asked.row(row);
        }
        Ok(asked.question("Which mark lies there?", ["Place", "Mark"]))
    }

    /// Names of marks whose numbers are given with words for their signs.
    pub fn found(&mut self, count: usize) -> Question {
        let (plan, ruling) = (&self.drawn.plan, self.drawn.ruling);
        let mut asked = Asked::default();
        let marks = (0..plan.marks.len()).filter(|&mark| {
            picked::alone(plan, mark, ruling) && self.mark(mark).at.y.abs() > ON_CENTRELINE_MM
        });
        let marks = marks.collect();
        for (number, index) in (1..).zip(self.drawn_of(marks, count)) {
            let mark = self.mark(index);
            let along = match ruling.round(mark.at.x) {
                0.0 => "level with the zero point".to_owned(),
                x => format!(
                    "{} {} the zero point",
                    ruling.length(x.abs()),
                    ["behind", "ahead of"][usize::from(x > 0.0)]
                ),
            };
            let side = if mark.at.y > 0.0 { "left" } else { "right" };
            let words = format!(
                "{along}, {} {side} of the centreline",
                ruling.length(mark.at.y.abs())
            );
            asked.worked.push(format!(
                "{}: station {}, offset {}",
                mark.id,
                ruling.signed(mark.at.x),
                ruling.signed(mark.at.y)
            ));
            let answer = mark.id.as_str();
            let row = [
                Cell::given(words),
                asked.blank(format!("mark {number}"), answer),
            ];
            asked.row(row);
        }
        asked.question("Which mark lies there?", ["Place", "Mark"])
    }

    /// Station and offset of marks, their signs as words.
    pub fn read(&mut self, count: usize) -> Question {
        let (plan, ruling) = (&self.drawn.plan, self.drawn.ruling);
        let both = |&index: &usize| {
            let at = plan.marks[index].at;
            at.y.abs() > ON_CENTRELINE_MM && ruling.round(at.x) != 0.0
        };
        let marks = (0..plan.marks.len()).filter(both).collect();
        let mut asked = Asked::default();
        for (number, index) in (1..).zip(self.drawn_of(marks, count)) {
            let mark = self.mark(index);
            let ahead = if mark.at.x > 0.0 { "ahead" } else { "behind" };
            let side = if mark.at.y > 0.0 { "left" } else { "right" };
            asked.worked.push(format!(
                "{}: station {} is {ahead}, offset {} is {side}",
                mark.id,
                ruling.signed(mark.at.x),
                ruling.signed(mark.at.y)
            ));
            let of = |what: &str| format!("place {number} {what}");
            let row = [
                Cell::given(&mark.id),
                asked.blank(of("along"), ruling.answer(mark.at.x.abs())),
                asked.blank(of("ahead or behind"), ahead),
                asked.blank(of("across"), ruling.answer(mark.at.y.abs())),
                asked.blank(of("left or right"), side),
            ];
            asked.row(row);
        }
        let columns = [
            "Mark".to_owned(),
            ruling.column("Along"),
            "ahead or behind".to_owned(),
            ruling.column("Across"),
            "left or right".to_owned(),
        ];
        asked.question(
            "How far do these marks lie from the zero point, along and across, without signs?",
            columns,
        )
    }

    /// Distances from the marks that both tapes start from.
    pub fn taped(&mut self, count: usize) -> Question {
        let (plan, ruling) = (&self.drawn.plan, self.drawn.ruling);
        let marks: Vec<usize> = (0..plan.marks.len())
            .filter(|&mark| plan.marks[mark].at.y.abs() > ON_CENTRELINE_MM)
            .collect();
        let mut asked = Asked::default();
        for (number, index) in (1..).zip(self.drawn_of(marks, count)) {
            let end = usize::from(self.draw.coin());
            let (mark, base) = (self.mark(index), self.mark(plan.tape_base[end]));
            let name = format!("{} \u{2013} {}", base.id, mark.id);
            let far = ruling.answer(mark.two_tape[end]);
            asked.worked.push(format!(
                "{name}: {far}, row {}, column from {}",
                mark.id, base.id
            ));
            let row = [
                Cell::given(name),
                asked.blank(format!("tape {number}"), far),
            ];
            asked.row(row);
        }
        let columns = ["From \u{2013} to".to_owned(), ruling.column("Straight")];
        asked.question("What has the tape to read between these marks?", columns)
    }

    /// Differences of two numbers.
    pub fn gaps(&mut self, count: usize) -> Result<Question, String> {
        let ruling = self.drawn.ruling;
        let mut gaps = self.all_gaps();
        if gaps.len() < count {
            return Err(format!(
                "fewer than {count} of its distances are differences of two numbers"
            ));
        }
        self.draw.shuffle(&mut gaps);
        // One of each sort in turn, so that sheets ask for the same.
        let mut counts = [0; 3];
        gaps.sort_by_cached_key(|gap| {
            counts[gap.sort] += 1;
            (counts[gap.sort], gap.sort)
        });
        gaps.truncate(count);
        let mut asked = Asked::default();
        for (number, gap) in (1..).zip(gaps) {
            let off = gap.to - gap.from;
            let way = gap.ways[usize::from(off < 0.0)];
            asked.worked.push(format!(
                "{} to {}: {}, {way}",
                gap.names[0],
                gap.names[1],
                difference(
                    &ruling.exact(gap.to),
                    &ruling.exact(gap.from),
                    &ruling.exact(off)
                ),
            ));
            let [from, to] = gap.names.map(|name| name.replace(' ', "\u{a0}"));
            let row = [
                Cell::Given(from),
                Cell::Given(to),
                asked.blank(format!("gap {number}"), ruling.answer(off.abs())),
                asked.blank(format!("gap {number} way"), way),
            ];
            asked.row(row);
        }
        let columns = [
            "From".to_owned(),
            "to".to_owned(),
            ruling.column("How far"),
            "Which way".to_owned(),
        ];
        Ok(asked.question(
            "How far, and which way? From a bumper or a mark: along the vehicle, ahead or behind. From the tyres' outer faces: across it, outside or inside.",
            columns,
        ))
    }

    fn all_gaps(&self) -> Vec<Gap> {
        let (plan, ruling) = (&self.drawn.plan, self.drawn.ruling);
        let [front, rear, tyres] = picked::lines(plan).map(|mm| ruling.round(mm));
        let mut gaps = Vec::new();
        let along = ["ahead", "behind"];
        let beside = |mark: &&Mark| mark.at.y.abs() > ON_CENTRELINE_MM;
        for mark in plan.marks.iter().filter(beside) {
            let [x, y] = [mark.at.x, mark.at.y.abs()].map(|mm| ruling.round(mm));
            let (bumper, at) = if x > (front + rear) / 2.0 {
                ("front", front)
            } else {
                ("rear", rear)
            };
            gaps.push(Gap {
                sort: 0,
                names: [format!("{bumper} bumper"), mark.id.clone()],
                from: at,
                to: x,
                ways: along,
            });
            gaps.push(Gap {
                sort: 1,
                names: ["tyres' faces".to_owned(), mark.id.clone()],
                from: tyres,
                to: y,
                ways: ["outside", "inside"],
            });
        }
        let all: Vec<&Mark> = plan.marks.iter().collect();
        for [one, other] in picked::pairs(plan) {
            gaps.push(Gap {
                sort: 2,
                names: [format!("mark {}", all[other].id), all[one].id.clone()],
                from: ruling.round(all[other].at.x),
                to: ruling.round(all[one].at.x),
                ways: along,
            });
        }
        gaps.retain(|gap| (gap.to - gap.from).abs() > LEVEL_MM);
        gaps
    }

    /// Along, across and straight between two marks.
    pub fn straight(&mut self) -> Result<Question, String> {
        let (plan, ruling) = (&self.drawn.plan, self.drawn.ruling);
        let base = plan.tape_base;
        let places = |[one, other]: [usize; 2]| {
            let [one, other] = [one, other].map(|mark| plan.marks[mark].at);
            let [along, across] = [
                ruling.round(one.x) - ruling.round(other.x),
                ruling.round(one.y) - ruling.round(other.y),
            ];
            [along.abs(), across.abs()]
        };
        // What stands in the table need not be worked out.
        let slanting: Vec<[usize; 2]> = picked::pairs(plan)
            .filter(|pair| !pair.iter().any(|mark| base.contains(mark)))
            .filter(|pair| places(*pair).into_iter().fold(f64::MAX, f64::min) >= 100.0)
            .collect();
        let pair = match self.draw.choose(&slanting) {
            Some(pair) => *pair,
            // A line of marks has no other one.
            None => picked::pairs(plan)
                .find(|pair| places(*pair).into_iter().fold(f64::MAX, f64::min) >= 100.0)
                .ok_or("no two of its marks lie aslant")?,
        };
        let [along, across] = places(pair);
        let (name, straight) = (picked::name(plan, pair), along.hypot(across));
        let [x, y] = [along, across].map(|mm| ruling.exact(mm));
        let mut asked = Asked::default();
        asked.worked = vec![format!(
            "{name}: along {x}, across {y}; √({x}² + {y}²) = {}, rounded {} {}",
            ruling.decimals(straight, ruling.pick(1, 3)),
            ruling.whole(straight),
            ruling.unit()
        )];
        let row = [
            Cell::given(name),
            asked.blank("along", ruling.answer(along)),
            asked.blank("across", ruling.answer(across)),
            asked.blank("straight", ruling.answer(straight)),
        ];
        asked.row(row);
        let columns = ["Along", "Across", "Straight"].map(|what| ruling.column(what));
        let columns = ["From \u{2013} to".to_owned()].into_iter().chain(columns);
        let within = Value::of(
            ruling.in_unit(ruling.step()),
            ruling.unit(),
            ruling.whole(ruling.step()),
        );
        Ok(asked
            .question(
                "Work out how far these two lie apart: along, across, and straight, √(along² + across²).",
                columns,
            )
            .right_within(within))
    }
}

/// "1620 − 870 = 750", a negative number in brackets behind the sign.
fn difference(to: &str, from: &str, off: &str) -> String {
    let from = if from.starts_with('\u{2212}') {
        format!("({from})")
    } else {
        from.to_owned()
    };
    format!("{to} \u{2212} {from} = {off}")
}

/// The usual slips.
pub(super) fn wrong(questions: &[Question]) -> Vec<WrongAnswer> {
    let answer = |of: &str| {
        let mut answers = questions.iter().flat_map(|question| &question.answers);
        answers.find(|(known, _)| known == of)
    };
    let mut wrong = Vec::new();
    if answer("place 1 along").is_some() || answer("mark 1").is_some() {
        wrong.push(WrongAnswer::new(
            "The mark on the other side",
            "left and right exchanged: a positive offset is left, and left lies above where the front points right",
        ));
    }
    if answer("gap 1").is_some() {
        wrong.push(WrongAnswer::new(
            "A sum in place of a difference",
            "left the minus of a number out: 100 \u{2212} (\u{2212}50) is 150, and 100 \u{2212} 50 is 50",
        ));
        wrong.push(WrongAnswer::new(
            "The station itself",
            "counted from the zero point: the bumper lies elsewhere, and its station has to be taken away",
        ));
    }
    if answer("straight").is_some() {
        wrong.push(WrongAnswer::new(
            "Along and across added",
            "the straight way is √(along² + across²)",
        ));
    }
    wrong
}
