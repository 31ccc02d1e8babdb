//! What stands on the sheet.

use kurbo::{Point, Rect};

use super::{
    Case,
    answers::{Diagonals, Short},
    mistake::Mistake,
    proof::NEAR_MM,
};
use crate::{
    practice::{Block, Cell, Figure, FigureMark, FigureScale, Question},
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
    pub(super) fn given(&self) -> Vec<Block> {
        let mut given = vec![Block::Text(self.task())];
        // Four marks are seen at a glance; of more, places to calculate with take the room.
        if self.level.number() == 1 {
            given.push(Block::Figure(Box::new(self.figure())));
        } else {
            given.push(self.places());
        }
        given.push(Block::Text(self.tape()));
        given
    }

    fn task(&self) -> String {
        let laid = match self.level.number() {
            1 => {
                "Four marks should be a rectangle. The bay is empty, so all six distances could be taped."
            }
            2 => {
                "A rectangle with two marks on its sides has been taped. The bay is empty, so all fifteen distances could be taped."
            }
            3 => {
                "The whole grid has been taped while the vehicle stands on it: no tape runs through a wheel."
            }
            _ => {
                "The whole grid has been taped while the vehicle stands on it, and the grid against the wheel marks: \
                 plumbed at the tyres' outer faces, named W, front or rear, left or right. They are right."
            }
        };
        let mistakes = match self.level.number() {
            1 => "One corner may lie off.",
            2 | 3 => "There is one mistake, or none.",
            _ => "There are one or two mistakes, or none.",
        };
        format!(
            "{laid} {mistakes} A mark that lies off does so in one direction only: forward, rearward, left or right."
        )
    }

    /// What the tape is good for, and how far a mark may be off.
    fn tape(&self) -> String {
        let sds = self
            .ground
            .pulls
            .iter()
            .map(|pull| self.setting.precision.distance(pull.should));
        let (least, most) = sds.fold((f64::INFINITY, 0.0_f64), |(least, most), sd| {
            (least.min(sd), most.max(sd))
        });
        let tolerances = self.ground.plan.marks.iter().map(|mark| mark.tolerance);
        let tolerance = tolerances.fold(0.0, f64::max);
        let class = self.setting.precision.tape_class.word();
        let noise = match self.level.number() {
            1..=3 => "These readings scatter by up to 1 mm, and are rounded".to_owned(),
            _ => format!(
                "Differences up to {} mm are scatter",
                mm_text((3.0 * most).ceil())
            ),
        };
        format!(
            "A mark may lie off by {} mm. Tape of class {class}: standard deviation of a reading {} to {} mm. {noise}.",
            mm_exact(tolerance, 1),
            mm_exact(least, 1),
            mm_exact(most, 1)
        )
    }

    fn figure(&self) -> Figure {
        let marks = &self.ground.plan.marks;
        let extent = marks
            .iter()
            .fold(Rect::from_points(marks[0].at, marks[0].at), |all, mark| {
                all.union_pt(mark.at)
            });
        let about = extent.width() * ABOUT;
        let ahead =
            ((extent.height() + 2.0 * about) * FLAT / 2.0 - extent.width() / 2.0).max(about);
        let mark = |mark: &crate::plan::Mark| FigureMark {
            id: mark.id.clone(),
            at: mark.at,
            answer: false,
            note: String::new(),
        };
        Figure {
            vehicle: None,
            marks: marks.iter().map(mark).collect(),
            lines: self
                .ground
                .pulls
                .iter()
                .map(|pull| [pull.ends[0].at, pull.ends[1].at])
                .collect(),
            answer_lines: Vec::new(),
            scale: FigureScale::Fitting,
            extent: extent.inflate(ahead, about),
            caption: "Seen from above, front to the right, left up; every line was taped"
                .to_owned(),
        }
    }

    /// Designed places of marks and wheel marks.
    fn places(&self) -> Block {
        let marks = self
            .ground
            .plan
            .marks
            .iter()
            .map(|mark| (mark.id.clone(), mark.at));
        let wheels = self
            .ground
            .wheels()
            .into_iter()
            .map(|(name, at)| (name.to_owned(), at));
        let row = |(name, at): (String, Point)| {
            [name, mm_exact(at.x, 1), mm_exact(at.y, 1)]
                .map(Cell::Given)
                .to_vec()
        };
        Block::table(["mark", "forward", "left"], marks.chain(wheels).map(row))
    }

    pub(super) fn questions(&self) -> Vec<Question> {
        let text = "Fill in the differences: what was read less what the plan says, with the sign. All in mm.";
        let pulls = self.ground.pulls.iter().enumerate();
        let mut questions = vec![
            Question::new(text, 4)
                .block(self.readings_table())
                .worked([self.worked_differences()])
                .answers(pulls.map(|(index, pull)| {
                    (
                        format!("{} difference", pull.name()),
                        signed(self.difference(index)),
                    )
                })),
        ];
        questions.extend(self.diagonals().map(Diagonals::question));
        let one = self.level.number() == 1;
        let (options, right) = self.choices();
        let ticked: Vec<&str> = right.iter().map(|&index| options[index].as_str()).collect();
        let why = format!("{}.", ticked.join("; "));
        let text = if one {
            "Which corner lies off? Tick one."
        } else {
            "What is wrong? Tick all that apply."
        };
        questions.push(
            Question::new(text, 2)
                .choices(options, right)
                .worked([why])
                .worked(self.why())
                .answer("what is wrong", self.short_sort()),
        );
        let which = if one {
            "How far, which way"
        } else {
            "Which one, how far, which way"
        };
        let turn = if self.ground.has_wheels() {
            " (a turn to 0.1°)"
        } else {
            ""
        };
        let mut sizes = Question::new(format!("{which}{turn}?"), 4)
            .lines(if self.level.number() == 4 { 2 } else { 1 })
            .worked(self.sizes());
        let mut actions = Question::new("What do you do?", 2)
            .lines(1)
            .worked(self.actions());
        // The same answers on all sheets of a level, one behind the other in the same order, so that a class set's stand in rows.
        let slots: &[&str] = if self.level.number() == 4 {
            &["first mistake", "second mistake"]
        } else {
            &["mistake"]
        };
        for (index, slot) in slots.iter().enumerate() {
            let short = self
                .mistakes
                .get(index)
                .map_or_else(Short::none, |mistake| self.short(mistake));
            for (of, answer) in [
                ("which", short.which),
                ("how far", short.far),
                ("which way", short.way),
            ] {
                sizes = sizes.answer(format!("{slot}: {of}"), answer);
            }
            actions = actions.answer(format!("{slot}: action"), short.action);
        }
        questions.push(sizes.answer(
            "counts as right within",
            format!("{} mm or 0.1°", mm_exact(NEAR_MM, 0)),
        ));
        questions.push(actions);
        questions
    }

    fn readings_table(&self) -> Block {
        let row = |(index, pull): (usize, &super::ground::Pull)| {
            let [from, to] = [0, 1].map(|end: usize| pull.ends[end].name.clone());
            let mut row = [
                from,
                to,
                mm_text(pull.should),
                mm_text(self.readings[index]),
            ]
            .map(Cell::Given)
            .to_vec();
            row.push(Cell::Blank(signed(self.difference(index))));
            row
        };
        Block::table(
            ["from", "to", "plan", "read", "diff."],
            self.ground.pulls.iter().enumerate().map(row),
        )
    }

    /// The boxes to tick, and which of them are right.
    pub(super) fn choices(&self) -> (Vec<String>, Vec<usize>) {
        let (options, right): (Vec<String>, Vec<String>) = if self.level.number() == 1 {
            let marks = self.ground.plan.marks.iter().map(|mark| mark.id.clone());
            let right = self
                .mistakes
                .iter()
                .flat_map(Mistake::moves)
                .map(|(mark, _)| self.id(mark).to_owned());
            (
                marks.chain(["none of them".to_owned()]).collect(),
                right.collect(),
            )
        } else {
            let known = [NOTHING, ONE_MARK, ONE_READING, STATION, TWO_MARKS, TURNED];
            let count = self.level.of([0_usize, 3, 4, 6]);
            let right = self.sorts().into_iter().map(str::to_owned).collect();
            (
                known[..count]
                    .iter()
                    .map(|word| (*word).to_owned())
                    .collect(),
                right,
            )
        };
        let none = if self.level.number() == 1 {
            "none of them"
        } else {
            NOTHING
        };
        let is_right =
            |option: &String| right.contains(option) || right.is_empty() && option == none;
        let indices = (0..options.len())
            .filter(|&index| is_right(&options[index]))
            .collect();
        (options, indices)
    }

    fn sorts(&self) -> Vec<&'static str> {
        let moved = self
            .mistakes
            .iter()
            .filter(|mistake| matches!(mistake, Mistake::Moved { .. }))
            .count();
        let mut sorts = match moved {
            0 => Vec::new(),
            1 => vec![ONE_MARK],
            _ => vec![TWO_MARKS],
        };
        sorts.extend(self.mistakes.iter().filter_map(|mistake| match mistake {
            Mistake::Moved { .. } => None,
            Mistake::Station { .. } => Some(STATION),
            Mistake::Misread { .. } => Some(ONE_READING),
            Mistake::Turned { .. } => Some(TURNED),
        }));
        sorts
    }

    /// The name of a mark.
    pub(super) fn id(&self, mark: usize) -> &str {
        &self.ground.plan.marks[mark].id
    }
}

/// Whole mm with their sign: "+3", "−60", "0".
pub(super) fn signed(mm: f64) -> String {
    if mm > 0.0 {
        format!("+{}", mm_text(mm))
    } else {
        mm_text(mm)
    }
}
