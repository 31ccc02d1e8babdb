//! What stands on the sheet.

use kurbo::Point;

use super::{
    Case, EMPTY_SHARE_WORD,
    answers::{Finding, NONE},
    diagonals::{self, Sheared},
    mistake::Mistake,
    proof::NEAR_MM,
};
use crate::practice::{Block, Cell, Figure, FigureMark, Question, Scoring, Value};

/// Floor about a figure, as part of its length.
const ABOUT: f64 = 0.08;

/// A figure shows a floor at least this many times as long as it is wide, so that it leaves the page to the questions.
const FLAT: f64 = 4.0;

/// What may be wrong, in the words of the boxes.
const NOTHING: &str = "Nothing is wrong";
const ONE_MARK: &str = "One mark lies off";
const TWO_MARKS: &str = "Two marks lie off";
const ONE_READING: &str = "One reading is wrong";
const STATION: &str = "A station lies off (wrong datum)";
const TURNED: &str = "The whole grid is turned";

impl Case<'_> {
    pub fn given(&self) -> Vec<Block> {
        // Four marks are seen at a glance; of more, places to calculate with take the room.
        let what = if self.level.number() == 1 {
            self.figure()
        } else {
            self.places()
        };
        vec![Block::Text(self.task()), what, Block::Text(self.tape())]
    }

    fn task(&self) -> String {
        let (laid, mistakes) = match self.level.number() {
            1 => (
                "Four marks should be a rectangle. The bay is empty, so all six distances could be taped.",
                "One corner may lie off.",
            ),
            2 => (
                "A rectangle with two marks on its sides has been taped. The bay is empty, so all fifteen distances could be taped.",
                "There is one mistake, or none.",
            ),
            3 => (
                "The whole grid has been taped while the vehicle stands on it: no tape runs through a wheel.",
                "There is one mistake, or none.",
            ),
            _ => (
                "The whole grid has been taped while the vehicle stands on it, and the grid against the wheel marks: \
                 plumbed at the tyres' outer faces, named W, front or rear, left or right. They are right.",
                "There are one or two mistakes, or none.",
            ),
        };
        format!(
            "{laid} {mistakes} On one sheet in {share} nothing is wrong. A mark that lies off does so in one direction only: forward, rearward, left or right.",
            share = EMPTY_SHARE_WORD,
        )
    }

    /// What the tape is good for, and how far a mark may be off.
    fn tape(&self) -> String {
        let precision = &self.setting.precision;
        let pulls = self.ground.pulls.iter();
        let sds = pulls.map(|pull| precision.distance(pull.should));
        let (least, most) = sds.fold((f64::INFINITY, 0.0_f64), |(least, most), sd| {
            (least.min(sd), most.max(sd))
        });
        let tolerances = self.ground.plan.marks.iter().map(|mark| mark.tolerance);
        let tolerance = tolerances.fold(0.0, f64::max);
        let ruling = self.ground.ruling;
        let noise = match self.level.number() {
            1..=3 => format!(
                "These readings scatter by up to {}, and are rounded",
                ruling.pick("1 mm", "1/16 in")
            ),
            _ => format!(
                "Differences up to {} are scatter",
                ruling.length(ruling.step() * (3.0 * most / ruling.step()).ceil())
            ),
        };
        format!(
            "A mark may lie off by {} {unit}. Tape of class {}: standard deviation of a reading {} to {} {unit}. {noise}.{}",
            ruling.decimals(tolerance, ruling.pick(1, 2)),
            precision.tape_class.word(),
            ruling.decimals(least, ruling.pick(1, 3)),
            ruling.decimals(most, ruling.pick(1, 3)),
            diagonals::scatter_words(&self.ground),
            unit = ruling.unit(),
        )
    }

    fn figure(&self) -> Block {
        let marks = &self.ground.plan.marks;
        let shown = marks
            .iter()
            .map(|mark| FigureMark::given(&mark.id, mark.at));
        let pulls = self.ground.pulls.iter();
        let lines = pulls.map(|pull| pull.ends.each_ref().map(|end| end.at));
        let caption = "Seen from above, front to the right, left up; every line was taped";
        let figure = Figure::of(shown, lines, caption);
        let about = figure.extent.width() * ABOUT;
        figure.with_floor(about, FLAT).block()
    }

    /// Designed places of marks and wheel marks.
    fn places(&self) -> Block {
        let ruling = self.ground.ruling;
        let row = |name: &str, at: Point| {
            [name.to_owned(), ruling.exact(at.x), ruling.exact(at.y)]
                .map(Cell::Given)
                .to_vec()
        };
        let marks = self
            .ground
            .plan
            .marks
            .iter()
            .map(|mark| row(&mark.id, mark.at));
        let wheels = self.ground.wheels().map(|(name, at)| row(name, at));
        let columns = [
            "mark".to_owned(),
            ruling.column("forward"),
            ruling.column("left"),
        ];
        Block::table(columns, marks.chain(wheels))
    }

    pub fn questions(&self) -> Vec<Question> {
        let findings = self.findings();
        let mut questions = vec![self.differences()];
        questions.extend(self.on_diagonals());
        questions.push(self.what_is_wrong(&findings));
        questions.extend(self.how_far_and_what_to_do(findings));
        questions.extend(self.sheared.iter().map(Sheared::question));
        questions
    }

    fn differences(&self) -> Question {
        let ruling = self.ground.ruling;
        let text = format!(
            "Fill in the differences: what was read less what the plan says, with the sign. All in {}.",
            ruling.pick("mm", "inches")
        );
        let question = Question::new(text, 4).scored(Scoring::LessEach { what: "blank" });
        let mut question = question.worked([self.worked_differences()]);
        let mut rows = Vec::new();
        for (index, pull) in self.ground.pulls.iter().enumerate() {
            let difference = ruling.difference(self.difference(index));
            let [from, to] = pull.ends.each_ref().map(|end| end.name.clone());
            let read = ruling.whole(self.readings[index]);
            let mut row = [from, to, ruling.whole(pull.should), read]
                .map(Cell::Given)
                .to_vec();
            row.push(Cell::blank(difference.bare()));
            rows.push(row);
            question = question.answer(format!("{} difference", pull.name()), difference);
        }
        question.block(Block::table(["from", "to", "plan", "read", "diff."], rows))
    }

    fn what_is_wrong(&self, findings: &[Finding]) -> Question {
        let (options, right) = self.choices();
        let ticked: Vec<&str> = right.iter().map(|&index| options[index].as_str()).collect();
        let why = format!("{}.", ticked.join("; "));
        let text = if self.level.number() == 1 {
            "Which corner lies off?"
        } else {
            "What is wrong?"
        };
        let sorts: Vec<&str> = findings.iter().map(|finding| finding.sort).collect();
        let sort = match sorts[..] {
            ["mark", "mark"] => "two marks".to_owned(),
            _ => sorts.join(" + "),
        };
        let question = Question::new(text, 2);
        let question = match (self.level.number(), &right[..]) {
            (1, &[only]) => question.one_of(options, only),
            _ => question.any_of(options, right),
        };
        question
            .worked([why])
            .worked(findings.iter().map(|finding| finding.why.clone()))
            .answer("what is wrong", sort)
    }

    fn how_far_and_what_to_do(&self, findings: Vec<Finding>) -> [Question; 2] {
        let level = self.level.number();
        let which = if level == 1 {
            "How far, which way"
        } else {
            "Which one, how far, which way"
        };
        let turn = if self.ground.has_wheels() {
            " (turned: to 0.1°)"
        } else {
            ""
        };
        // The same answers on all sheets of a level, one behind the other in the same order, so that a class set's stand in rows.
        let slots: &[&str] = if level == 4 {
            &["first mistake", "second mistake"]
        } else {
            &["mistake"]
        };
        let near = self.ground.ruling.pick(
            Value::decimals(NEAR_MM, 0, "mm"),
            Value::of(0.125, "in", "1/8"),
        );
        let (points, scoring) = sizes_scoring(level, slots.len());
        let mut sizes = Question::new(format!("{which}{turn}?"), points)
            .scored(scoring)
            .right_within(near)
            .lines(slots.len());
        if self.ground.has_wheels() {
            sizes = sizes.right_within(Value::decimals(0.1, 1, "\u{b0}"));
        }
        let mut actions = Question::new("What do you do?", 2).lines(1);
        if slots.len() > 1 {
            actions = actions.scored(Scoring::Each {
                points: 1,
                what: "mistake",
            });
        }
        let mut short: Vec<[Value; 4]> = Vec::new();
        for finding in findings {
            sizes = sizes.worked(finding.sizes);
            actions = actions.worked([finding.action]);
            short.push(finding.short);
        }
        short.resize(slots.len(), [NONE; 4].map(Value::from));
        for (slot, [which, far, way, action]) in slots.iter().zip(short) {
            sizes = sizes
                .answer(format!("{slot}: which"), which)
                .answer(format!("{slot}: how far"), far)
                .answer(format!("{slot}: which way"), way);
            actions = actions.answer(format!("{slot}: action"), action);
        }
        [sizes, actions]
    }

    /// The boxes to tick, and which of them are right.
    fn choices(&self) -> (Vec<String>, Vec<usize>) {
        let (options, mut right): (Vec<&str>, Vec<&str>) = if self.level.number() == 1 {
            let marks = self.ground.plan.marks.iter().map(|mark| mark.id.as_str());
            let moves = self.mistakes.iter().flat_map(Mistake::moves);
            (
                marks.chain(["none of them"]).collect(),
                moves.map(|(mark, _)| self.id(mark)).collect(),
            )
        } else {
            let known = [NOTHING, ONE_MARK, ONE_READING, STATION, TWO_MARKS, TURNED];
            (known[..self.level.of([0, 3, 4, 6])].to_vec(), self.sorts())
        };
        if right.is_empty() {
            right.push(if self.level.number() == 1 {
                "none of them"
            } else {
                NOTHING
            });
        }
        let indices = (0..options.len()).filter(|&index| right.contains(&options[index]));
        let indices = indices.collect();
        (options.into_iter().map(str::to_owned).collect(), indices)
    }

    /// The words of the boxes that are right; none where nothing is wrong.
    fn sorts(&self) -> Vec<&'static str> {
        let sort = |mistake: &Mistake| match mistake {
            Mistake::Moved { .. } => ONE_MARK,
            Mistake::Station { .. } => STATION,
            Mistake::Misread { .. } => ONE_READING,
            Mistake::Turned { .. } => TURNED,
        };
        match &self.mistakes[..] {
            [Mistake::Moved { .. }, Mistake::Moved { .. }] => vec![TWO_MARKS],
            mistakes => mistakes.iter().map(sort).collect(),
        }
    }
}

/// What the parts of the sizes are worth: of a corner that is ticked before, the size and the way; else which one, too.
fn sizes_scoring(level: u8, slots: usize) -> (usize, Scoring) {
    let one: &[(u32, &str)] = match level {
        1 => &[(0, "which"), (2, "how far"), (2, "which way")],
        2 | 3 => &[(2, "which one"), (1, "how far"), (1, "which way")],
        _ => &[(1, "which one"), (1, "how far"), (1, "which way")],
    };
    let all = (0..slots).flat_map(|_| one.iter().map(|&(points, what)| (points, what.to_owned())));
    let points: u32 = one.iter().map(|(points, _)| points).sum();
    (slots * points as usize, Scoring::Parts(all.collect()))
}
