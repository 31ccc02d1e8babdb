//! Questions, worked answers and the figure.

use kurbo::Point;

use super::scale::Sheet;
use crate::{
    plan::Mark,
    practice::{
        Block, Cell, Figure, FigureMark, FigureScale, Question, WrongAnswer,
        asked::Asked,
        layout::{Drawn, Relations, Slant, exact, longest_pair, mirrors, whole},
    },
    units::SAME_DRAWN_MM,
};

/// A mark this near the zero point hides it, mm.
const ZERO_CLEAR_MM: f64 = 50.0;

/// A mark of a row, and the one to the right that mirrors it, where there is one.
type Row<'a> = (&'a Mark, Option<&'a Mark>);

/// What the questions are made from.
pub(super) struct Tasks<'a> {
    pub drawn: &'a Drawn,
    pub relations: &'a Relations<'a>,
    pub sheet: &'a Sheet,
    pub marks: &'a [usize],
    pub compasses: bool,
}

impl<'a> Tasks<'a> {
    /// Stations and offsets on the floor and on paper.
    pub fn by_set_square(&self) -> Question {
        let hint = self.pair_hint();
        let text = format!("Fill in the table{hint}; set out and name the marks; draw the lines.");
        let mut asked = Asked::default();
        for (index, row) in self.rows() {
            let mut cells = vec![Cell::Given(names(row))];
            let places = [("station", row.0.at.x), ("offset", row.0.at.y)];
            for (of, mm) in places {
                cells.push(blank(&mut asked, of, whole(mm), row));
                cells.push(blank(
                    &mut asked,
                    &format!("{of} on paper"),
                    self.sheet.paper(mm),
                    row,
                ));
            }
            asked.row(cells);
            let worked_out = &self.relations.marks[index];
            let on_paper = |mm: f64| {
                format!(
                    "on paper {}/{} = {}",
                    exact(mm),
                    self.sheet.n,
                    self.sheet.paper(mm)
                )
            };
            asked.worked.push(format!(
                "{}: station {}, {}; offset {}, {}{}",
                names(row),
                worked_out.station.worked(),
                on_paper(row.0.at.x),
                worked_out.offset.worked(),
                on_paper(row.0.at.y),
                row.1.map_or("", |_| ", to the right \u{2212}")
            ));
        }
        let columns = [
            "Mark",
            "Station mm",
            "on paper mm",
            "Offset mm",
            "on paper mm",
        ];
        let question = asked.question(text, 2 * self.marks.len(), columns);
        question.block(self.figure())
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
        let mut asked = Asked::default();
        for (_, row) in self.rows() {
            let mark = row.0;
            let floor = mark.two_tape.map(whole);
            // From the whole mm that are given.
            let radii = mark.two_tape.map(|mm| self.sheet.paper(mm.round()));
            let [station, offset] = [mark.at.x, mark.at.y].map(|mm| self.sheet.paper(mm));
            let mut cells = vec![Cell::Given(names(row))];
            cells.extend(floor.iter().map(Cell::given));
            for (of, answer) in [
                (&*format!("from {front} on paper"), &radii[0]),
                (&*format!("from {rear} on paper"), &radii[1]),
                ("station on paper", &station),
                ("offset on paper", &offset),
            ] {
                cells.push(blank(&mut asked, of, answer.clone(), row));
            }
            asked.row(cells);
            asked.worked.push(format!(
                "{}: radii {}/{n} = {} about {front} and {}/{n} = {} about {rear}; station {station}, offset {}{offset} on paper",
                names(row),
                floor[0],
                radii[0],
                floor[1],
                radii[1],
                row.1.map_or("", |_| "±"),
                n = self.sheet.n,
            ));
        }
        let columns = [
            "Mark",
            &format!("{front} floor mm"),
            &format!("{rear} floor mm"),
            &format!("{front} paper mm"),
            &format!("{rear} paper mm"),
            "Station paper mm",
            "Offset paper mm",
        ];
        let question = asked.question(text, 2 * self.marks.len(), columns);
        question.block(self.figure())
    }

    /// Two mirrored distances measured on the finished drawing.
    pub fn diagonals(&self) -> Option<Question> {
        let (plan, n) = (&self.drawn.plan, self.sheet.n);
        let text = "Measure both on the paper (right within 1 mm), and work out what they are on the floor.";
        let mut asked = Asked::default();
        for check in longest_pair(plan, &self.shown())? {
            let Slant {
                name,
                along,
                across,
            } = Slant::of(plan, check);
            let (on_paper, floor) = (self.sheet.paper(check.distance), whole(check.distance));
            asked.worked.push(format!(
                "{name}: √({}² + {}²) = {floor} mm on the floor, /{n} = {on_paper} mm on paper",
                exact(along),
                exact(across),
            ));
            let cells = [
                Cell::given(&name),
                asked.blank(format!("{name} on paper"), on_paper),
                asked.blank(name, floor),
            ];
            asked.row(cells);
        }
        asked.worked.push(format!(
            "Both are equal. What is measured may differ by 1 mm on paper, {n} mm on the floor: 0.5 mm at each end."
        ));
        Some(asked.question(
            text,
            4,
            ["From \u{2013} to", "On paper mm", "On the floor mm"],
        ))
    }

    /// The marks that are asked for, with compasses the base marks, too.
    fn shown(&self) -> Vec<usize> {
        let bases = self.drawn.plan.tape_base.iter().filter(|_| self.compasses);
        self.marks.iter().chain(bases).copied().collect()
    }

    /// The marks in rows, each with its index: a left and a right mark that mirror each other have one, since nothing differs but
    /// a sign.
    fn rows(&self) -> Vec<(usize, Row<'a>)> {
        let plan = &self.drawn.plan;
        let partner = |one: usize| {
            let at = plan.marks[one].at;
            let mut others = self.marks.iter().copied();
            let mirrored = |other: &usize| mirrors(at, plan.marks[*other].at, SAME_DRAWN_MM);
            others.find(mirrored).filter(|_| at.y > SAME_DRAWN_MM)
        };
        let seconds: Vec<usize> = self.marks.iter().filter_map(|&one| partner(one)).collect();
        let firsts = self.marks.iter().filter(|mark| !seconds.contains(mark));
        let row = |&one: &usize| {
            let other = partner(one).map(|other| &plan.marks[other]);
            (one, (&plan.marks[one], other))
        };
        firsts.map(row).collect()
    }

    /// How the offsets of two marks in one row are written.
    fn pair_hint(&self) -> &'static str {
        let mut rows = self.rows().into_iter();
        if rows.any(|(_, (_, other))| other.is_some()) {
            " (± for pairs)"
        } else {
            ""
        }
    }

    /// The vehicle with centreline and zero point; marks and lines are the answer.
    fn figure(&self) -> Block {
        let (plan, extent, shown) = (&self.drawn.plan, self.sheet.extent, self.shown());
        let mark = |(at, index): (usize, &usize)| FigureMark {
            answer: at < self.marks.len(),
            ..FigureMark::given(&plan.marks[*index].id, plan.marks[*index].at)
        };
        let mut marks: Vec<FigureMark> = shown.iter().enumerate().map(mark).collect();
        // A mark on the zero point is shown as itself.
        if marks
            .iter()
            .all(|mark| mark.at.distance(Point::ZERO) > ZERO_CLEAR_MM)
        {
            marks.push(FigureMark::given("0", Point::ZERO));
        }
        let lines = plan.lines.iter().map(|line| [line.from, line.to]);
        let lines = lines.filter(|ends| ends.iter().all(|end| shown.contains(end)));
        let figure = Figure {
            vehicle: Some(plan.vehicle.clone()),
            marks,
            lines: vec![[Point::new(extent.x0, 0.0), Point::new(extent.x1, 0.0)]],
            answer_lines: lines
                .map(|ends| ends.map(|end| plan.marks[end].at))
                .collect(),
            scale: FigureScale::Squared(self.sheet.n),
            extent,
            caption: String::new(),
        };
        figure.block()
    }

    /// The usual slips with the numbers that they give on this sheet.
    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let marks = self
            .marks
            .iter()
            .map(|&index| (index, &self.drawn.plan.marks[index]));
        let Some((index, mark)) = marks.into_iter().find(|(_, mark)| mark.at.y.abs() > 1.0) else {
            return Vec::new();
        };
        let note = |what: &str, paper: String, meaning: &str| {
            WrongAnswer::new(format!("{} {what} on paper {paper} mm", mark.id), meaning)
        };
        let swapped =
            "left and right swapped: left is positive, with the front to the right it lies above";
        let mut wrong = vec![note("offset", self.sheet.paper(-mark.at.y), swapped)];
        if self.compasses {
            wrong.push(WrongAnswer::new(
                format!("{} on the wrong side", mark.id),
                "the circles meet twice, once on each side: the letter says which one",
            ));
            return wrong;
        }
        let worked_out = &self.relations.marks[index];
        for (what, part, factor) in [
            ("station", "front overhang", 0.0),
            ("station", "rear overhang", 0.0),
            ("offset", "tyre width", 0.0),
            ("offset", "track", 2.0),
            ("offset", "overall width", 2.0),
        ] {
            let (sum, right) = match what {
                "station" => (&worked_out.station, mark.at.x),
                _ => (&worked_out.offset, mark.at.y),
            };
            let meaning = match part {
                "tyre width" => "forgot half the tyre width",
                "track" => "took the whole track for its half",
                "overall width" => "took the whole width for its half",
                _ => "took the axle for the bumper",
            };
            let found = sum.mistaken(part, factor).map(|mm| self.sheet.paper(mm));
            let found = found.filter(|found| *found != self.sheet.paper(right));
            wrong.extend(found.map(|found| note(what, found, meaning)));
        }
        wrong
    }
}

/// The names of a row: "1L, 1R".
fn names((mark, other): Row<'_>) -> String {
    let other = other.map_or_else(String::new, |other| format!(",\u{a0}{}", other.id));
    format!("{}{other}", mark.id)
}

/// A blank for the marks of a row; what lies right has the offset's other sign.
fn blank(asked: &mut Asked, of: &str, answer: String, (mark, other): Row<'_>) -> Cell {
    asked.note(format!("{} {of}", mark.id), &answer);
    let Some(other) = other else {
        return Cell::Blank(answer);
    };
    let [minus, both] = if of.starts_with("offset") {
        ["\u{2212}", "±"]
    } else {
        ["", ""]
    };
    asked.note(format!("{} {of}", other.id), &format!("{minus}{answer}"));
    Cell::Blank(format!("{both}{answer}"))
}
