//! Questions, worked answers and the figure.

use kurbo::Point;

use super::scale::Sheet;
use crate::{
    practice::{
        Block, Cell, Figure, FigureMark, FigureScale, Question, WrongAnswer,
        layout::{Drawn, Relations, exact, half, longest_pair, whole},
    },
    units::ROUND_OFF_MM,
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
    pub fn by_set_square(&self) -> Question {
        let plan = &self.drawn.plan;
        let text = format!(
            "Fill in the table{}; set out and name the marks; draw the lines.",
            self.pair_hint()
        );
        let mut asked = Asked::new(text, 2 * self.marks.len());
        for (index, other) in self.rows() {
            let (mark, worked_out) = (&plan.marks[index], &self.relations.marks[index]);
            asked.row(Cell::Given(self.names(index, other)));
            for (of, mm) in [("station", mark.at.x), ("offset", mark.at.y)] {
                self.blank(&mut asked, of, whole(mm), (index, other));
                self.blank(
                    &mut asked,
                    &format!("{of} on paper"),
                    half(self.sheet.paper(mm)),
                    (index, other),
                );
            }
            asked.line(format!(
                "{}: station {}, on paper {}/{n} = {}; offset {}, on paper {}/{n} = {}{}",
                self.names(index, other),
                worked_out.station.worked(),
                exact(mark.at.x),
                half(self.sheet.paper(mark.at.x)),
                worked_out.offset.worked(),
                exact(mark.at.y),
                half(self.sheet.paper(mark.at.y)),
                if other.is_some() {
                    ", to the right \u{2212}"
                } else {
                    ""
                },
                n = self.sheet.n,
            ));
        }
        asked
            .table([
                "Mark",
                "Station mm",
                "on paper mm",
                "Offset mm",
                "on paper mm",
            ])
            .block(self.figure())
    }

    /// Two-tape distances as radii, then stations and offsets measured from the drawing.
    pub fn by_compasses(&self) -> Question {
        let plan = &self.drawn.plan;
        let bases = plan.tape_base.map(|base| &plan.marks[base]);
        let [front, rear] = bases.map(|base| base.id.as_str());
        let text = format!(
            "Construct the marks with compasses from {front} (station {} mm) and {rear} (station {} mm), both on the centreline: L lies left, R right. Draw the layout's lines, and measure station and offset on the paper{}.",
            exact(bases[0].at.x),
            exact(bases[1].at.x),
            self.pair_hint()
        );
        let mut asked = Asked::new(text, 2 * self.marks.len());
        for (index, other) in self.rows() {
            let mark = &plan.marks[index];
            asked.row(Cell::Given(self.names(index, other)));
            mark.two_tape
                .iter()
                .for_each(|mm| asked.cell(Cell::Given(whole(*mm))));
            // From the whole mm that are given.
            let radii = mark.two_tape.map(|mm| half(self.sheet.paper(mm.round())));
            for (base, radius) in [front, rear].into_iter().zip(&radii) {
                self.blank(
                    &mut asked,
                    &format!("from {base} on paper"),
                    radius.clone(),
                    (index, other),
                );
            }
            let [station, offset] = [mark.at.x, mark.at.y].map(|mm| half(self.sheet.paper(mm)));
            self.blank(
                &mut asked,
                "station on paper",
                station.clone(),
                (index, other),
            );
            self.blank(
                &mut asked,
                "offset on paper",
                offset.clone(),
                (index, other),
            );
            asked.line(format!(
                "{}: radii {}/{n} = {} about {front} and {}/{n} = {} about {rear}; station {station}, offset {}{offset} on paper",
                self.names(index, other),
                whole(mark.two_tape[0]),
                radii[0],
                whole(mark.two_tape[1]),
                radii[1],
                if other.is_some() { "±" } else { "" },
                n = self.sheet.n,
            ));
        }
        let columns = [
            "Mark".to_owned(),
            format!("{front} floor mm"),
            format!("{rear} floor mm"),
            format!("{front} paper mm"),
            format!("{rear} paper mm"),
            "Station paper mm".to_owned(),
            "Offset paper mm".to_owned(),
        ];
        asked.table(columns).block(self.figure())
    }

    /// Two mirrored distances measured on the finished drawing.
    pub fn diagonals(&self) -> Option<Question> {
        let plan = &self.drawn.plan;
        let mut reachable = self.marks.to_vec();
        reachable.extend(plan.tape_base.iter().filter(|_| self.compasses));
        let pair = longest_pair(plan, &reachable)?;
        let text = "Measure both on the paper (right within 1 mm), and work out what they are on the floor.";
        let mut asked = Asked::new(text.to_owned(), 4);
        for index in [pair.first, pair.second] {
            let check = &plan.checks[index];
            let (from, to) = (&plan.marks[check.from], &plan.marks[check.to]);
            let name = format!("{} \u{2013} {}", from.id, to.id);
            let way = to.at - from.at;
            let [on_paper, floor] = [
                half(self.sheet.paper(check.distance)),
                whole(check.distance),
            ];
            asked.row(Cell::given(&name));
            for (of, answer) in [
                (format!("{name} on paper"), &on_paper),
                (name.clone(), &floor),
            ] {
                asked.note(of, answer);
                asked.cell(Cell::blank(answer));
            }
            asked.line(format!(
                "{name}: √({}² + {}²) = {floor} mm on the floor, /{} = {on_paper} mm on paper",
                exact(way.x.abs()),
                exact(way.y.abs()),
                self.sheet.n
            ));
        }
        asked.line(format!(
            "Both are equal. What is measured may differ by 1 mm on paper, {} mm on the floor: 0.5 mm at each end.",
            self.sheet.n
        ));
        Some(asked.table(["From \u{2013} to", "On paper mm", "On the floor mm"]))
    }

    /// The marks in rows: a left and a right mark that mirror each other have one, since nothing differs but a sign.
    fn rows(&self) -> Vec<(usize, Option<usize>)> {
        let at = |mark: usize| self.drawn.plan.marks[mark].at;
        let mirrors = |one: usize, other: usize| {
            let (one, other) = (at(one), at(other));
            one.y > ROUND_OFF_MM
                && (one.x - other.x).abs() < ROUND_OFF_MM
                && (one.y + other.y).abs() < ROUND_OFF_MM
        };
        let partner = |one: usize| {
            self.marks
                .iter()
                .copied()
                .find(|&other| mirrors(one, other))
        };
        let second = |other: usize| self.marks.iter().any(|&one| partner(one) == Some(other));
        self.marks
            .iter()
            .filter(|&&mark| !second(mark))
            .map(|&mark| (mark, partner(mark)))
            .collect()
    }

    /// The names of a row: "1L, 1R".
    fn names(&self, mark: usize, other: Option<usize>) -> String {
        let id = |mark: usize| self.drawn.plan.marks[mark].id.as_str();
        other.map_or_else(
            || id(mark).to_owned(),
            |other| format!("{},\u{a0}{}", id(mark), id(other)),
        )
    }

    /// How the offsets of two marks in one row are written.
    fn pair_hint(&self) -> &'static str {
        if self.rows().iter().any(|(_, other)| other.is_some()) {
            " (± for pairs)"
        } else {
            ""
        }
    }

    /// A blank for the marks of a row; what lies right has the offset's other sign.
    fn blank(
        &self,
        asked: &mut Asked,
        of: &str,
        answer: String,
        (mark, other): (usize, Option<usize>),
    ) {
        let id = |mark: usize| self.drawn.plan.marks[mark].id.as_str();
        let mirrored = of.starts_with("offset");
        asked.note(format!("{} {of}", id(mark)), &answer);
        if let Some(other) = other {
            let sign = if mirrored { "\u{2212}" } else { "" };
            asked.note(format!("{} {of}", id(other)), &format!("{sign}{answer}"));
        }
        asked.cell(Cell::Blank(if mirrored && other.is_some() {
            format!("±{answer}")
        } else {
            answer
        }));
    }

    /// The vehicle with centreline and zero point; marks and lines are the answer.
    fn figure(&self) -> Block {
        let plan = &self.drawn.plan;
        let extent = self.sheet.extent;
        let mark = |id: &str, at: Point, answer: bool| FigureMark {
            id: id.to_owned(),
            at,
            answer,
            note: String::new(),
        };
        let mut marks: Vec<FigureMark> = self
            .marks
            .iter()
            .map(|index| mark(&plan.marks[*index].id, plan.marks[*index].at, true))
            .collect();
        if self.compasses {
            marks.extend(
                plan.tape_base
                    .iter()
                    .map(|base| mark(&plan.marks[*base].id, plan.marks[*base].at, false)),
            );
        }
        // A mark on the zero point is shown as itself.
        if marks
            .iter()
            .all(|mark| mark.at.distance(Point::ZERO) > ZERO_CLEAR_MM)
        {
            marks.push(mark("0", Point::ZERO, false));
        }
        let asked = |index: &usize| {
            self.marks.contains(index) || self.compasses && plan.tape_base.contains(index)
        };
        let lines = plan
            .lines
            .iter()
            .filter(|line| asked(&line.from) && asked(&line.to));
        Block::Figure(Box::new(Figure {
            vehicle: Some(plan.vehicle.clone()),
            marks,
            lines: vec![[Point::new(extent.x0, 0.0), Point::new(extent.x1, 0.0)]],
            answer_lines: lines
                .map(|line| [plan.marks[line.from].at, plan.marks[line.to].at])
                .collect(),
            scale: FigureScale::Squared(self.sheet.n),
            extent,
            caption: String::new(),
        }))
    }

    /// The usual slips with the numbers that they give on this sheet.
    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let plan = &self.drawn.plan;
        let beside = self
            .marks
            .iter()
            .copied()
            .find(|mark| plan.marks[*mark].at.y.abs() > 1.0);
        let Some(index) = beside else {
            return Vec::new();
        };
        let mark = &plan.marks[index];
        let note = |what: &str, mm: f64, meaning: &str| {
            WrongAnswer::new(
                format!(
                    "{} {what} on paper {} mm",
                    mark.id,
                    half(self.sheet.paper(mm))
                ),
                meaning,
            )
        };
        let mut wrong = vec![note(
            "offset",
            -mark.at.y,
            "left and right swapped: left is positive, with the front to the right it lies above",
        )];
        if self.compasses {
            wrong.push(WrongAnswer::new(
                format!("{} on the wrong side", mark.id),
                "the circles meet twice, once on each side: the letter says which one",
            ));
            return wrong;
        }
        let worked_out = &self.relations.marks[index];
        let slips = [
            (
                &worked_out.station,
                "station",
                "front overhang",
                0.0,
                "took the axle for the bumper",
            ),
            (
                &worked_out.station,
                "station",
                "rear overhang",
                0.0,
                "took the axle for the bumper",
            ),
            (
                &worked_out.offset,
                "offset",
                "tyre width",
                0.0,
                "forgot half the tyre width",
            ),
            (
                &worked_out.offset,
                "offset",
                "track",
                2.0,
                "took the whole track for its half",
            ),
            (
                &worked_out.offset,
                "offset",
                "overall width",
                2.0,
                "took the whole width for its half",
            ),
        ];
        let known = |what: &str| {
            if what == "station" {
                mark.at.x
            } else {
                mark.at.y
            }
        };
        wrong.extend(
            slips
                .into_iter()
                .filter_map(|(sum, what, part, factor, meaning)| {
                    let mm = sum.mistaken(part, factor)?;
                    (half(self.sheet.paper(mm)) != half(self.sheet.paper(known(what))))
                        .then(|| note(what, mm, meaning))
                }),
        );
        wrong
    }
}

/// A question about a table, row by row.
struct Asked {
    question: Question,
    rows: Vec<Vec<Cell>>,
}

impl Asked {
    fn new(text: String, points: usize) -> Self {
        Self {
            question: Question::new(text, points),
            rows: Vec::new(),
        }
    }

    /// Begins a row.
    fn row(&mut self, first: Cell) {
        self.rows.push(vec![first]);
    }

    fn cell(&mut self, cell: Cell) {
        self.rows.last_mut().expect("a row has begun").push(cell);
    }

    /// Notes an answer in mm.
    fn note(&mut self, of: String, answer: &str) {
        self.question.answers.push((of, format!("{answer} mm")));
    }

    fn line(&mut self, line: String) {
        self.question.worked.push(line);
    }

    /// The question with its table.
    fn table<S: Into<String>, const N: usize>(self, columns: [S; N]) -> Question {
        self.question.block(Block::table(columns, self.rows))
    }
}
