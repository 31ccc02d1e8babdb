//! Questions, worked answers and facts, question by question.

use crate::{
    plan::{Check, CheckKind, FloorPlan},
    practice::{
        Block, Cell, Draw, Level, Question,
        asked::Asked,
        layout::{
            Drawn, ON_CENTRELINE_MM, Relations, Slant, beside, exact, frame, hair_off,
            longest_pair, whole,
        },
    },
    units::mm_text,
    vehicle::TyreCode,
};

/// Up to so many marks each blank has a point, and each mark is told what it is.
const FEW_MARKS: usize = 4;

/// Builds an exercise up.
pub(super) struct Builder<'a> {
    pub drawn: &'a Drawn,
    pub relations: &'a Relations<'a>,
    pub questions: Vec<Question>,
    /// Marks of the two-tape question.
    pub taped: Vec<usize>,
    /// Marks of the first question.
    pub placed: Vec<usize>,
    /// The first check of the question on diagonals.
    pub diagonal: Option<&'a Check>,
}

/// The marks whose places a level asks; none where the layout has no mark beside the centreline.
pub(super) fn marks_of_level(plan: &FloorPlan, level: Level) -> Vec<usize> {
    let at = |mark: usize| plan.marks[mark].at;
    let beside = beside(plan);
    let Some(left) = beside.iter().copied().find(|&mark| at(mark).y > 0.0) else {
        return beside;
    };
    if level.number() != 1 {
        return (0..plan.marks.len()).collect();
    }
    // The innermost right mark of the rearmost station, so that no rail further out comes in.
    let rights = beside.iter().copied().filter(|&mark| at(mark).y < 0.0);
    let further = |a: &usize, b: &usize| {
        at(*a)
            .x
            .total_cmp(&at(*b).x)
            .then(at(*b).y.total_cmp(&at(*a).y))
    };
    let rearmost = rights.min_by(further);
    let mut marks = vec![left];
    match rearmost {
        Some(right) if at(right).x != at(left).x => marks.push(right),
        right => marks.extend(right.into_iter().chain([plan.tape_base[1]])),
    }
    marks
}

impl<'a> Builder<'a> {
    pub fn new(drawn: &'a Drawn, relations: &'a Relations<'a>) -> Self {
        Self {
            drawn,
            relations,
            questions: Vec::new(),
            taped: Vec::new(),
            placed: Vec::new(),
            diagonal: None,
        }
    }

    /// Adds a question on a table; the points are one for each blank, `each` blanks to a point.
    fn ask<S: Into<String>>(
        &mut self,
        text: impl Into<String>,
        asked: Asked,
        columns: impl IntoIterator<Item = S>,
        each: usize,
    ) {
        let points = asked.answers.len().div_ceil(each);
        self.questions.push(asked.question(text, points, columns));
    }

    /// The tyre's width from its size code.
    pub fn tyre(&mut self, code: TyreCode) {
        let width = whole(self.drawn.vehicle.tyre.width);
        let (nominal, ratio) = (code.nominal, code.theoretical_rim_ratio());
        let [share, ratio] = [ratio * f64::from(nominal), ratio].map(exact);
        let (text, line) = match code.rim_width.map(exact) {
            Some(rim) => (
                format!(
                    "Work out the tyre width S from the size code (UN R30): S = S1 + 0.4 × (A \u{2212} A1), in whole mm; S1 is the code's first number, A the rim width, A1 = {ratio} × S1. Go on with S as rounded."
                ),
                format!(
                    "A1 = {ratio} × {nominal} = {share}; S = {nominal} + 0.4 × ({rim} \u{2212} {share}) = {width}"
                ),
            ),
            None => (
                "Read the tyre width S from the size code: the rim is not known, so S is the code's first number."
                    .to_owned(),
                format!("S = {nominal}"),
            ),
        };
        let mut asked = Asked::default();
        let row = [
            Cell::Given(format!("S in mm of {code}")),
            asked.blank("tyre width", width),
        ];
        asked.row(row);
        asked.worked.push(line);
        self.ask(text, asked, ["", ""], 1);
    }

    /// Station and offset of marks.
    pub fn places(&mut self, marks: &[usize]) {
        // Of many marks the rules above say what they are.
        let few = marks.len() <= FEW_MARKS;
        let mut asked = Asked::default();
        for mark in marks.iter().map(|&index| &self.drawn.plan.marks[index]) {
            let mut row = vec![Cell::given(&mark.id)];
            row.extend(few.then(|| Cell::given(&mark.meaning)));
            row.push(asked.blank(format!("{} station", mark.id), whole(mark.at.x)));
            row.push(if mark.at.y.abs() > ON_CENTRELINE_MM {
                asked.blank(format!("{} offset", mark.id), whole(mark.at.y))
            } else {
                Cell::given("0")
            });
            asked.row(row);
        }
        asked.worked = self.place_lines(marks);
        let columns = ["Mark"].into_iter().chain(few.then_some("What"));
        let columns = columns.chain(["Station mm", "Offset mm"]);
        let text = "Work out station and offset of each mark.";
        self.ask(text, asked, columns, if few { 1 } else { 2 });
        self.placed = marks.to_vec();
    }

    /// A line for each different station and each different offset, with the marks that have it.
    fn place_lines(&self, marks: &[usize]) -> Vec<String> {
        let mut lines: Vec<(String, Vec<&str>)> = Vec::new();
        let mut note =
            |line: String, id: &'a str| match lines.iter_mut().find(|(known, _)| *known == line) {
                Some((_, ids)) => ids.push(id),
                None => lines.push((line, vec![id])),
            };
        let plan = &self.drawn.plan;
        for &index in marks {
            let station = self.relations.marks[index].station.worked();
            let station = with_rounding(station, plan.marks[index].at.x);
            note(format!("station = {station} mm"), &plan.marks[index].id);
        }
        for &index in marks {
            let offset = self.relations.marks[index].offset.clone().magnitude();
            if offset.value() > ON_CENTRELINE_MM {
                let offset = with_rounding(offset.worked(), offset.value());
                let line = format!("offset = {offset} mm (left +, right \u{2212})");
                note(line, &plan.marks[index].id);
            }
        }
        lines
            .into_iter()
            .map(|(line, ids)| format!("{}: {line}", ids.join(", ")))
            .collect()
    }

    /// Stations and offsets as given numbers.
    pub fn given_places(&self) -> Vec<Block> {
        let rows = self.drawn.plan.marks.iter().map(|mark| {
            let [station, offset] = [mark.at.x, mark.at.y].map(exact);
            [mark.id.clone(), mark.meaning.clone(), station, offset]
                .map(Cell::Given)
                .to_vec()
        });
        vec![
            Block::Text(frame(self.drawn)),
            Block::table(["Mark", "What", "Station mm", "Offset mm"], rows),
        ]
    }

    /// Two-tape distances of at most so many drawn marks beside the centreline.
    pub fn two_tape(&mut self, most: usize, draw: &mut Draw) {
        let plan = &self.drawn.plan;
        let mut marks = beside(plan);
        draw.shuffle(&mut marks);
        marks.truncate(most);
        marks.sort_unstable();
        let bases = plan.tape_base.map(|base| &plan.marks[base]);
        let mut asked = Asked::default();
        for mark in marks.iter().map(|&index| &plan.marks[index]) {
            let mut row = vec![Cell::given(&mark.id)];
            for (base, distance) in bases.iter().zip(mark.two_tape) {
                let of = format!("{} from {}", mark.id, base.id);
                let legs = [(mark.at.x - base.at.x).abs(), mark.at.y.abs()];
                asked
                    .worked
                    .push(format!("{of}: {} mm", pythagoras(legs, distance)));
                row.push(asked.blank(of, whole(distance)));
            }
            asked.row(row);
        }
        let [front, rear] = bases.map(|base| base.id.as_str());
        let columns = [
            "Mark",
            &format!("from {front} mm"),
            &format!("from {rear} mm"),
        ];
        let text = format!(
            "Work out the two-tape distances of these marks from {front} and {rear}: √(along² + across²)."
        );
        self.ask(text, asked, columns, 1);
        self.taped = marks;
    }

    /// One or both of a mirrored pair of diagonals, where the layout has one.
    pub fn diagonals(&mut self, count: usize) -> Option<[&'a Check; 2]> {
        let plan = &self.drawn.plan;
        let all: Vec<usize> = (0..plan.marks.len()).collect();
        let pair = longest_pair(plan, &all)?;
        let mut asked = Asked::default();
        for check in pair.into_iter().take(count) {
            let Slant {
                name,
                along,
                across,
            } = Slant::of(plan, check);
            let straight = pythagoras([along, across], check.distance);
            asked.worked.push(format!("{name}: {straight} mm"));
            let mut row = vec![Cell::given(&name)];
            for (of, mm) in [
                ("along", along),
                ("across", across),
                ("distance", check.distance),
            ] {
                row.push(asked.blank(format!("{name} {of}"), whole(mm)));
            }
            asked.row(row);
        }
        let what = match pair[0].kind {
            CheckKind::Diagonal => "diagonal",
            _ => "slanting distance",
        };
        let what = if count == 1 {
            format!("the {what}")
        } else {
            format!("both {what}s")
        };
        let text = format!("Work out {what}: how far along, how far across, and straight.");
        let columns = ["From \u{2013} to", "Along mm", "Across mm", "Distance mm"];
        self.ask(text, asked, columns, 1);
        self.diagonal = Some(pair[0]);
        Some(pair)
    }

    /// The sum of the squared diagonals against the sum of the squared sides, in the whole mm of the answers before.
    pub fn identity(&mut self, [first, second]: [&Check; 2]) {
        let slant = Slant::of(&self.drawn.plan, first);
        let numbers = [slant.along, slant.across, first.distance, second.distance];
        let [along, across, one, other] = numbers.map(|mm| hair_off(mm).round());
        let left = one * one + other * other;
        let right = 2.0 * (along * along + across * across);
        let allowed = one + other + 2.0 * (along + across);
        let answers = [left, right, (left - right).abs(), allowed].map(mm_text);
        let [a, b, c, d] = [along, across, one, other].map(mm_text);
        let [left, right, difference, allowed] = &answers;
        let mut asked = Asked::default();
        asked.worked = vec![
            format!("D1² + D2² = {c}² + {d}² = {left}"),
            format!("2 × (along² + across²) = 2 × ({a}² + {b}²) = {right}"),
            format!(
                "Difference {difference}, no more than {c} + {d} + 2 × ({a} + {b}) = {allowed}: the numbers hold together."
            ),
        ];
        asked.row(answers.iter().map(Cell::blank));
        let of = ["left side", "right side", "difference", "allowed"].map(str::to_owned);
        asked.answers = of.into_iter().zip(answers).collect();
        let columns = [
            "D1² + D2²",
            "2 × (along² + across²)",
            "Difference",
            "D1 + D2 + 2 × (along + across)",
        ];
        let text = "Prove it with your whole mm: rounding makes a difference no larger than the last column.";
        self.ask(text, asked, columns, 2);
    }
}

/// `= 1176.5` becomes `= 1176.5, rounded 1177` where rounding does anything.
fn with_rounding(worked: String, mm: f64) -> String {
    let rounded = whole(mm);
    if exact(mm) == rounded {
        worked
    } else {
        format!("{worked}, rounded {rounded}")
    }
}

fn pythagoras(legs: [f64; 2], distance: f64) -> String {
    let [along, across] = legs.map(exact);
    format!("√({along}² + {across}²) = {}", whole(distance))
}
