//! What stands on the sheet.

use kurbo::Point;

use super::{
    Case,
    answers::{NONE, Told},
    mistake::Mistake,
    proof::NEAR_MM,
};
use crate::{
    practice::{Block, Cell, Figure, FigureMark, Question},
    units::{mm_exact, mm_text},
};

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
            "{laid} {mistakes} A mark that lies off does so in one direction only: forward, rearward, left or right."
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
        let noise = match self.level.number() {
            1..=3 => "These readings scatter by up to 1 mm, and are rounded".to_owned(),
            _ => format!(
                "Differences up to {} mm are scatter",
                mm_text((3.0 * most).ceil())
            ),
        };
        format!(
            "A mark may lie off by {} mm. Tape of class {}: standard deviation of a reading {} to {} mm. {noise}.",
            mm_exact(tolerance, 1),
            precision.tape_class.word(),
            mm_exact(least, 1),
            mm_exact(most, 1)
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
        let row = |name: &str, at: Point| {
            [name.to_owned(), mm_exact(at.x, 1), mm_exact(at.y, 1)]
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
        Block::table(["mark", "forward", "left"], marks.chain(wheels))
    }

    pub fn questions(&self) -> Vec<Question> {
        let told = self.told();
        let mut questions = vec![self.differences()];
        questions.extend(self.diagonals());
        questions.push(self.what_is_wrong(&told));
        questions.extend(self.how_far_and_what_to_do(told));
        questions
    }

    fn differences(&self) -> Question {
        let text = "Fill in the differences: what was read less what the plan says, with the sign. All in mm.";
        let mut question = Question::new(text, 4).worked([self.worked_differences()]);
        let mut rows = Vec::new();
        for (index, pull) in self.ground.pulls.iter().enumerate() {
            let difference = signed(self.difference(index));
            let [from, to] = pull.ends.each_ref().map(|end| end.name.clone());
            let read = mm_text(self.readings[index]);
            let mut row = [from, to, mm_text(pull.should), read]
                .map(Cell::Given)
                .to_vec();
            row.push(Cell::blank(&difference));
            rows.push(row);
            question = question.answer(format!("{} difference", pull.name()), difference);
        }
        question.block(Block::table(["from", "to", "plan", "read", "diff."], rows))
    }

    fn what_is_wrong(&self, told: &[Told]) -> Question {
        let (options, right) = self.choices();
        let ticked: Vec<&str> = right.iter().map(|&index| options[index].as_str()).collect();
        let why = format!("{}.", ticked.join("; "));
        let text = if self.level.number() == 1 {
            "Which corner lies off? Tick one."
        } else {
            "What is wrong? Tick all that apply."
        };
        let sorts: Vec<&str> = told.iter().map(|told| told.sort).collect();
        let sort = match sorts[..] {
            ["mark", "mark"] => "two marks".to_owned(),
            _ => sorts.join(" + "),
        };
        Question::new(text, 2)
            .choices(options, right)
            .worked([why])
            .worked(told.iter().map(|told| told.why.clone()))
            .answer("what is wrong", sort)
    }

    fn how_far_and_what_to_do(&self, told: Vec<Told>) -> [Question; 2] {
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
        let mut sizes = Question::new(format!("{which}{turn}?"), 4).lines(slots.len());
        let mut actions = Question::new("What do you do?", 2).lines(1);
        let mut short: Vec<[String; 4]> = Vec::new();
        for told in told {
            sizes = sizes.worked(told.sizes);
            actions = actions.worked([told.action]);
            short.push(told.short);
        }
        short.resize(slots.len(), [NONE; 4].map(str::to_owned));
        for (slot, [which, far, way, action]) in slots.iter().zip(short) {
            sizes = sizes
                .answer(format!("{slot}: which"), which)
                .answer(format!("{slot}: how far"), far)
                .answer(format!("{slot}: which way"), way);
            actions = actions.answer(format!("{slot}: action"), action);
        }
        let near = format!("{} mm or 0.1°", mm_exact(NEAR_MM, 0));
        [sizes.answer("counts as right within", near), actions]
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

/// Whole mm with their sign: "+3", "−60", "0".
pub(super) fn signed(mm: f64) -> String {
    let plus = if mm > 0.0 { "+" } else { "" };
    format!("{plus}{}", mm_text(mm))
}
