//! Questions, worked answers and the figure.

use kurbo::Point;

use super::{marking, scale::Sheet};
use crate::{
    plan::Mark,
    practice::{
        Block, Cell, Figure, FigureMark, FigureScale, Question, Scoring, Value, WrongAnswer,
        asked::Asked,
        layout::{Drawn, Relations, Slant, longest_pair, mirrors, outlines},
    },
    units::{MM_PER_INCH, SAME_DRAWN_MM},
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
        let lay = self.lay();
        let text = format!("Fill in the table{hint}; set out and name the marks{lay}.");
        let ruling = self.drawn.ruling;
        let mut asked = Asked::default();
        for (index, row) in self.rows() {
            let mut cells = vec![Cell::Given(names(row))];
            let places = [("station", row.0.at.x), ("offset", row.0.at.y)];
            for (of, mm) in places {
                cells.push(blank(&mut asked, of, ruling.answer(mm), row));
                let paper = self.sheet.paper(mm);
                cells.push(blank(&mut asked, &format!("{of} on paper"), paper, row));
            }
            asked.row(cells);
            let worked_out = &self.relations.marks[index];
            asked.worked.push(format!(
                "{}: station {}, on paper {}; offset {}, on paper {}{}",
                names(row),
                worked_out.station.worked(),
                self.on_paper(worked_out.station.value()),
                worked_out.offset.worked(),
                self.on_paper(worked_out.offset.value()),
                row.1.map_or("", |_| ", to the right \u{2212}")
            ));
        }
        let on_paper = ruling.column("on paper");
        let columns = [
            "Mark",
            &ruling.column("Station"),
            &on_paper,
            &ruling.column("Offset"),
            &on_paper,
        ];
        self.with_drawing(asked.question(text, columns))
    }

    /// "1810/50 = 36.2, rounded 36".
    fn on_paper(&self, mm: f64) -> String {
        let ruling = self.drawn.ruling;
        let exact = ruling.decimals(mm / f64::from(self.sheet.n), ruling.pick(2, 4));
        let paper = self.sheet.paper(mm);
        let rounded = if exact == paper.bare() {
            String::new()
        } else {
            format!(", rounded {}", paper.bare())
        };
        format!("{}/{} = {exact}{rounded}", ruling.exact(mm), self.sheet.n)
    }

    /// What is drawn when the marks are there.
    fn lay(&self) -> &'static str {
        let shown = self.shown();
        let plan = &self.drawn.plan;
        let lines = plan
            .lines
            .iter()
            .any(|line| shown.contains(&line.from) && shown.contains(&line.to));
        let panels = plan.panels.iter().any(|panel| shown.contains(&panel.mark));
        match (lines, panels) {
            (true, true) => "; draw the lines and the panels",
            (true, false) => "; draw the lines",
            (false, true) => "; draw the panels",
            (false, false) => "",
        }
    }

    /// With the figure, and points for the marks that are set out on it.
    fn with_drawing(&self, mut question: Question) -> Question {
        let marks = u32::try_from(self.marks.len()).unwrap_or(u32::MAX);
        question.points += marks;
        question
            .scored(Scoring::Each {
                points: 1,
                what: "blank and for each mark in its place",
            })
            .right_within(marking(self.drawn.ruling))
            .block(self.figure())
    }

    /// Two-tape distances as radii, then stations and offsets measured from the drawing.
    pub fn by_compasses(&self) -> Question {
        let (plan, ruling) = (&self.drawn.plan, self.drawn.ruling);
        let bases = plan.tape_base.map(|base| &plan.marks[base]);
        let [front, rear] = bases.map(|base| base.id.as_str());
        let base = |mark: &Mark| {
            format!(
                "{} (station {} {})",
                mark.id,
                ruling.exact(mark.at.x),
                ruling.unit()
            )
        };
        let text = format!(
            "Construct the marks with compasses from {} and {}, both on the centreline: L lies left, R right{}. Measure station and offset on the paper{}.",
            base(bases[0]),
            base(bases[1]),
            self.lay(),
            self.pair_hint()
        );
        let mut asked = Asked::default();
        for (_, row) in self.rows() {
            let mark = row.0;
            let floor = mark.two_tape.map(|mm| ruling.round(mm));
            let [station, offset] = [mark.at.x, mark.at.y].map(|mm| self.sheet.paper(mm));
            asked.worked.push(format!(
                "{}: radii {} about {front} and {} about {rear}; station {station}, offset {}{offset} on paper",
                names(row),
                self.on_paper(floor[0]),
                self.on_paper(floor[1]),
                row.1.map_or("", |_| "±"),
            ));
            let mut cells = vec![Cell::Given(names(row))];
            cells.extend(floor.map(|mm| Cell::Given(ruling.whole(mm))));
            for (of, answer) in [
                (
                    &*format!("from {front} on paper"),
                    self.sheet.paper(floor[0]),
                ),
                (
                    &*format!("from {rear} on paper"),
                    self.sheet.paper(floor[1]),
                ),
                ("station on paper", station),
                ("offset on paper", offset),
            ] {
                cells.push(blank(&mut asked, of, answer, row));
            }
            asked.row(cells);
        }
        let columns = [
            "Mark".to_owned(),
            ruling.column(&format!("{front} floor")),
            ruling.column(&format!("{rear} floor")),
            ruling.column(&format!("{front} paper")),
            ruling.column(&format!("{rear} paper")),
            ruling.column("Station paper"),
            ruling.column("Offset paper"),
        ];
        self.with_drawing(asked.question(text, columns))
    }

    /// Two mirrored distances measured on the finished drawing. What they are on the floor is worked out from the layout,
    /// so that the drawing can be judged by them.
    pub fn diagonals(&self) -> Option<Question> {
        let (plan, n, ruling) = (&self.drawn.plan, self.sheet.n, self.drawn.ruling);
        let text = "Measure both on the paper, and work out what they are on the floor.";
        let within = ruling.pick(Value::decimals(1.0, 0, "mm"), Value::of(0.125, "in", "1/8"));
        let off = f64::from(n) * ruling.pick(1.0, 0.125 * MM_PER_INCH);
        let mut asked = Asked::default();
        for check in longest_pair(plan, &self.shown())? {
            let Slant {
                name,
                along,
                across,
            } = Slant::of(plan, check);
            asked.worked.push(format!(
                "{name}: √({}² + {}²) = {} {} on the floor; on paper {}",
                ruling.exact(along),
                ruling.exact(across),
                ruling.decimals(check.distance, ruling.pick(1, 3)),
                ruling.unit(),
                self.on_paper(check.distance),
            ));
            let cells = [
                Cell::given(&name),
                asked.blank(format!("{name} on paper"), self.sheet.paper(check.distance)),
                asked.blank(
                    format!("{name} on the floor"),
                    ruling.answer(check.distance),
                ),
            ];
            asked.row(cells);
        }
        asked.worked.push(format!(
            "Both are equal. What is measured may differ by {within} on paper, which is {} on the floor.",
            ruling.length(off)
        ));
        let columns = [
            "From \u{2013} to",
            &ruling.column("On paper"),
            &ruling.column("On the floor"),
        ];
        let question = asked.question(text, columns);
        let floor = Value::of(ruling.in_unit(off), ruling.unit(), ruling.whole(off));
        Some(question.right_within_each([(" on paper", within), (" on the floor", floor)]))
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
            panels: Vec::new(),
            answer_panels: outlines(plan, |mark| shown.contains(&mark)),
            scale: FigureScale::Squared {
                n: self.sheet.n,
                ruling: self.sheet.ruling,
            },
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
        let own = self
            .rows()
            .into_iter()
            .find(|(_, (one, _))| one.id == mark.id)
            .map_or_else(|| mark.id.clone(), |(_, row)| names(row));
        let note = |what: &str, paper: Value, meaning: &str| {
            WrongAnswer::number(format!("{own} {what} on paper"), paper, meaning)
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
            let sum = match what {
                "station" => &worked_out.station,
                _ => &worked_out.offset,
            };
            let meaning = match part {
                "tyre width" => "forgot half the tyre width",
                "track" => "took the whole track for its half",
                "overall width" => "took the whole width for its half",
                _ => "took the axle for the bumper",
            };
            let found = sum.mistaken(part, factor).map(|mm| self.sheet.paper(mm));
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

/// A blank for the marks of a row, which is one answer: what lies right has the offset's other sign.
fn blank(asked: &mut Asked, of: &str, answer: Value, row: Row<'_>) -> Cell {
    let both = row.1.is_some() && of.starts_with("offset");
    let answer = if both { answer.either_side() } else { answer };
    asked.blank(format!("{} {of}", names(row)), answer)
}
