//! Questions, worked answers and the figure.

use kurbo::Point;

use super::scale::Sheet;
use crate::practice::{
    Block, Cell, Exercise, Fact, Figure, FigureMark, FigureScale, Question, Worked, WrongAnswer,
    layout::{Drawn, Relations, exact, half, longest_pair, whole},
};

/// A mark this near the zero point hides it, mm.
const ZERO_CLEAR_MM: f64 = 50.0;

/// What the questions are made from.
pub(super) struct Tasks<'a> {
    pub drawn: &'a Drawn,
    pub relations: &'a Relations<'a>,
    pub sheet: &'a Sheet,
    pub marks: &'a [usize],
    pub compasses: bool,
}

impl Tasks<'_> {
    /// Stations and offsets on the floor and on paper.
    pub fn by_set_square(&self, exercise: &mut Exercise) {
        let plan = &self.drawn.plan;
        let question = exercise.questions.len() + 1;
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for &index in self.marks {
            let (mark, reckoned) = (&plan.marks[index], &self.relations.marks[index]);
            let mut row = vec![Cell::Given(mark.id.clone())];
            for (of, mm) in [("station", mark.at.x), ("offset", mark.at.y)] {
                row.push(blank(exercise, question, format!("{} {of}", mark.id), whole(mm)));
                row.push(blank(exercise, question, format!("{} {of} on paper", mark.id), half(self.sheet.paper(mm))));
            }
            rows.push(row);
            lines.push(format!(
                "{}: station {}, on paper {}/{n} = {}; offset {}, on paper {}/{n} = {}",
                mark.id,
                reckoned.station.worked(),
                exact(mark.at.x),
                half(self.sheet.paper(mark.at.x)),
                reckoned.offset.worked(),
                exact(mark.at.y),
                half(self.sheet.paper(mark.at.y)),
                n = self.sheet.n,
            ));
        }
        let columns = ["Mark", "Station mm", "Station on paper mm", "Offset mm", "Offset on paper mm"]
            .map(str::to_owned)
            .to_vec();
        let points = (2 * self.marks.len()) as u32;
        exercise.questions.push(Question {
            text: "Fill in the table. Then set out the marks about the vehicle with ruler and set square, name them, and draw the layout's lines.".to_owned(),
            points,
            blocks: vec![Block::Table { columns, rows }, self.figure()],
        });
        exercise.worked.push(Worked { question, lines });
    }

    /// Two-tape distances as radii, then stations and offsets measured from the drawing.
    pub fn by_compasses(&self, exercise: &mut Exercise) {
        let plan = &self.drawn.plan;
        let question = exercise.questions.len() + 1;
        let bases = plan.tape_base.map(|base| &plan.marks[base]);
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for &index in self.marks {
            let mark = &plan.marks[index];
            let mut row = vec![Cell::Given(mark.id.clone())];
            row.extend(mark.two_tape.iter().map(|mm| Cell::Given(whole(*mm))));
            for (base, mm) in bases.iter().zip(mark.two_tape) {
                let of = format!("{} from {} on paper", mark.id, base.id);
                // From the whole mm that are given.
                row.push(blank(exercise, question, of, half(self.sheet.paper(mm.round()))));
            }
            for (of, mm) in [("station", mark.at.x), ("offset", mark.at.y)] {
                row.push(blank(exercise, question, format!("{} {of} on paper", mark.id), half(self.sheet.paper(mm))));
            }
            rows.push(row);
            lines.push(format!(
                "{}: radii {}/{n} = {} about {} and {}/{n} = {} about {}; station {}, offset {} on paper",
                mark.id,
                whole(mark.two_tape[0]),
                half(self.sheet.paper(mark.two_tape[0].round())),
                bases[0].id,
                whole(mark.two_tape[1]),
                half(self.sheet.paper(mark.two_tape[1].round())),
                bases[1].id,
                half(self.sheet.paper(mark.at.x)),
                half(self.sheet.paper(mark.at.y)),
                n = self.sheet.n,
            ));
        }
        let [front, rear] = bases.map(|base| base.id.as_str());
        let columns = [
            "Mark".to_owned(),
            format!("{front} floor mm"),
            format!("{rear} floor mm"),
            format!("{front} paper mm"),
            format!("{rear} paper mm"),
            "Station paper mm".to_owned(),
            "Offset paper mm".to_owned(),
        ];
        let text = format!(
            "Construct the marks with compasses from {front} (station {} mm) and {rear} (station {} mm), both on the centreline: L lies left, R right. Draw the layout's lines, and measure station and offset on the paper, within 0.5 mm.",
            exact(bases[0].at.x),
            exact(bases[1].at.x)
        );
        let blocks = vec![Block::Table { columns: columns.to_vec(), rows }, self.figure()];
        exercise.questions.push(Question { text, points: (2 * self.marks.len()) as u32, blocks });
        exercise.worked.push(Worked { question, lines });
    }

    /// Two mirrored distances measured on the finished drawing.
    pub fn diagonals(&self, exercise: &mut Exercise) {
        let plan = &self.drawn.plan;
        let mut reachable = self.marks.to_vec();
        reachable.extend(plan.tape_base.iter().filter(|_| self.compasses));
        let Some(pair) = longest_pair(plan, &reachable) else { return };
        let question = exercise.questions.len() + 1;
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for index in [pair.first, pair.second] {
            let check = &plan.checks[index];
            let (from, to) = (&plan.marks[check.from], &plan.marks[check.to]);
            let name = format!("{} \u{2013} {}", from.id, to.id);
            let way = to.at - from.at;
            let on_paper = half(self.sheet.paper(check.distance));
            let row = vec![
                Cell::Given(name.clone()),
                blank(exercise, question, format!("{name} on paper"), on_paper.clone()),
                blank(exercise, question, name.clone(), whole(check.distance)),
            ];
            rows.push(row);
            lines.push(format!(
                "{name}: √({}² + {}²) = {} mm on the floor, /{} = {on_paper} mm on paper",
                exact(way.x.abs()),
                exact(way.y.abs()),
                whole(check.distance),
                self.sheet.n
            ));
        }
        lines.push(format!(
            "Both are equal. What is measured may differ by 1 mm on paper, {} mm on the floor: 0.5 mm at each end.",
            self.sheet.n
        ));
        let columns = ["From \u{2013} to", "On paper mm", "On the floor mm"].map(str::to_owned).to_vec();
        exercise.questions.push(Question {
            text: "Measure both on the paper, and reckon them on the floor. Measured ones count as right within 1 mm on paper.".to_owned(),
            points: 4,
            blocks: vec![Block::Table { columns, rows }],
        });
        exercise.worked.push(Worked { question, lines });
    }

    /// The vehicle with centreline and zero point; marks and lines are the answer.
    fn figure(&self) -> Block {
        let plan = &self.drawn.plan;
        let extent = self.sheet.extent;
        let mark =
            |id: &str, at: Point, answer: bool| FigureMark { id: id.to_owned(), at, answer, note: String::new() };
        let mut marks: Vec<FigureMark> =
            self.marks.iter().map(|index| mark(&plan.marks[*index].id, plan.marks[*index].at, true)).collect();
        if self.compasses {
            marks.extend(plan.tape_base.iter().map(|base| mark(&plan.marks[*base].id, plan.marks[*base].at, false)));
        }
        // A mark on the zero point is shown as itself.
        if marks.iter().all(|mark| mark.at.distance(Point::ZERO) > ZERO_CLEAR_MM) {
            marks.push(mark("0", Point::ZERO, false));
        }
        let asked = |index: &usize| self.marks.contains(index) || self.compasses && plan.tape_base.contains(index);
        let lines = plan.lines.iter().filter(|line| asked(&line.from) && asked(&line.to));
        Block::Figure(Box::new(Figure {
            vehicle: Some(plan.vehicle.clone()),
            marks,
            lines: vec![[Point::new(extent.x0, 0.0), Point::new(extent.x1, 0.0)]],
            answer_lines: lines.map(|line| [plan.marks[line.from].at, plan.marks[line.to].at]).collect(),
            scale: FigureScale::Squared(self.sheet.n),
            extent,
            caption: format!("Scale 1:{}, front to the right. 0 is the zero point, on the centreline.", self.sheet.n),
        }))
    }

    /// The usual slips with the numbers that they give on this sheet.
    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let plan = &self.drawn.plan;
        let beside = self.marks.iter().copied().find(|mark| plan.marks[*mark].at.y.abs() > 1.0);
        let Some(index) = beside else { return Vec::new() };
        let mark = &plan.marks[index];
        let note = |what: &str, mm: f64, meaning: &str| WrongAnswer {
            answer: format!("{} {what} on paper {} mm", mark.id, half(self.sheet.paper(mm))),
            meaning: meaning.to_owned(),
        };
        let mut wrong = vec![note(
            "offset",
            -mark.at.y,
            "left and right swapped: left is positive, with the front to the right it lies above",
        )];
        if self.compasses {
            wrong.push(WrongAnswer {
                answer: format!("{} on the wrong side", mark.id),
                meaning: "the circles meet twice, once on each side: the letter says which one".to_owned(),
            });
            return wrong;
        }
        let reckoned = &self.relations.marks[index];
        let slips = [
            (&reckoned.station, "station", "front overhang", 0.0, "took the axle for the bumper"),
            (&reckoned.station, "station", "rear overhang", 0.0, "took the axle for the bumper"),
            (&reckoned.offset, "offset", "tyre width", 0.0, "forgot half the tyre width"),
            (&reckoned.offset, "offset", "track", 2.0, "took the whole track for its half"),
            (&reckoned.offset, "offset", "overall width", 2.0, "took the whole width for its half"),
        ];
        let known = |what: &str| if what == "station" { mark.at.x } else { mark.at.y };
        wrong.extend(slips.into_iter().filter_map(|(sum, what, part, factor, meaning)| {
            let mm = sum.mistaken(part, factor)?;
            (half(self.sheet.paper(mm)) != half(self.sheet.paper(known(what)))).then(|| note(what, mm, meaning))
        }));
        wrong
    }
}

fn blank(exercise: &mut Exercise, question: usize, of: String, answer: String) -> Cell {
    exercise.facts.push(Fact { question, of, answer: format!("{answer} mm") });
    Cell::Blank(answer)
}
