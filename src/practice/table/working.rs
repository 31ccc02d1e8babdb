//! Questions, worked answers and facts, question by question.

use crate::{
    plan::{Check, CheckKind, FloorPlan},
    practice::{
        Block, Cell, Draw, Level, Question, Ruling, Value,
        asked::Asked,
        layout::{Drawn, ON_CENTRELINE_MM, Relations, Slant, beside, frame, longest_pair},
    },
    units::{MM_PER_INCH, mm_exact},
    vehicle::TyreCode,
};

/// Up to so many marks each blank has a point, and each mark is told what it is.
const FEW_MARKS: usize = 4;

/// Builds an exercise up.
pub(super) struct Builder<'a> {
    pub ruling: Ruling,
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
            ruling: drawn.ruling,
            drawn,
            relations,
            questions: Vec::new(),
            taped: Vec::new(),
            placed: Vec::new(),
            diagonal: None,
        }
    }

    /// Adds a question on a table.
    fn ask<S: Into<String>>(
        &mut self,
        text: impl Into<String>,
        asked: Asked,
        columns: impl IntoIterator<Item = S>,
    ) {
        self.questions.push(asked.question(text, columns));
    }

    /// The tyre's width from its size code: in whole mm as the code is, and where the sheet is in inches in these.
    pub fn tyre(&mut self, code: TyreCode) {
        let mm = |mm: f64| mm_exact(mm, 3);
        let (nominal, ratio) = (code.nominal, code.theoretical_rim_ratio());
        let share = ratio * f64::from(nominal);
        let rim = code.rim_width;
        let exact = f64::from(nominal) + rim.map_or(0.0, |rim| 0.4 * (rim - share));
        let width = Value::decimals(exact.round(), 0, "mm");
        let work_out = match rim {
            Some(_) => format!(
                "Work out the tyre width S from the size code (UN R30): S = S1 + 0.4 × (A \u{2212} A1), in whole mm; S1 is the code's first number, A the rim width in mm, A1 = {} × S1.",
                mm(ratio)
            ),
            None => "Read the tyre width S from the size code: the rim is not known, so S is the code's first number, in mm.".to_owned(),
        };
        let go_on = match self.ruling {
            Ruling::Metric => "Go on with S as rounded.",
            Ruling::Inches => "Write it in inches to the nearest 1/16, too, and go on with that.",
        };
        let mut asked = Asked::default();
        asked.worked.push(rim.map_or_else(
            || format!("S = {nominal} mm"),
            |rim| {
                format!(
                    "A1 = {} × {nominal} = {}; S = {nominal} + 0.4 × ({} \u{2212} {}) = {} mm",
                    mm(ratio),
                    mm(share),
                    mm(rim),
                    mm(share),
                    rounded(&mm(exact), width.bare())
                )
            },
        ));
        let mut row = vec![
            Cell::Given(format!("Width S of {code}")),
            asked.blank("tyre width", width),
        ];
        let mut columns = vec!["", "mm"];
        if self.ruling == Ruling::Inches {
            let inches = self.ruling.answer(self.drawn.vehicle.tyre.width);
            asked.worked.push(format!(
                "{} / 25.4 = {} in",
                mm(exact.round()),
                rounded(&mm_exact(exact.round() / MM_PER_INCH, 4), inches.bare())
            ));
            row.push(asked.blank("tyre width in inches", inches));
            columns.push("in");
        }
        asked.row(row);
        self.ask(format!("{work_out} {go_on}"), asked, columns);
    }

    /// Station and offset of marks.
    pub fn places(&mut self, marks: &[usize]) {
        // Of many marks the rules above say what they are.
        let few = marks.len() <= FEW_MARKS;
        let mut asked = Asked::default();
        for mark in marks.iter().map(|&index| &self.drawn.plan.marks[index]) {
            let mut row = vec![Cell::given(&mark.id)];
            row.extend(few.then(|| Cell::given(&mark.meaning)));
            row.push(asked.blank(
                format!("{} station", mark.id),
                self.ruling.answer(mark.at.x),
            ));
            row.push(if mark.at.y.abs() > ON_CENTRELINE_MM {
                asked.blank(format!("{} offset", mark.id), self.ruling.answer(mark.at.y))
            } else {
                Cell::given("0")
            });
            asked.row(row);
        }
        asked.worked = self.place_lines(marks);
        let columns = ["Mark"].into_iter().chain(few.then_some("What"));
        let columns = columns.map(str::to_owned);
        let columns = columns.chain([self.ruling.column("Station"), self.ruling.column("Offset")]);
        let text = "Work out station and offset of each mark.";
        self.ask(text, asked, columns);
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
        let (plan, unit) = (&self.drawn.plan, self.ruling.unit());
        for &index in marks {
            let station = self.relations.marks[index].station.worked();
            let station = self.with_rounding(station, plan.marks[index].at.x);
            note(format!("station = {station} {unit}"), &plan.marks[index].id);
        }
        for &index in marks {
            let offset = self.relations.marks[index].offset.clone().magnitude();
            if offset.value() > ON_CENTRELINE_MM {
                let offset = self.with_rounding(offset.worked(), offset.value());
                let line = format!("offset = {offset} {unit} (left +, right \u{2212})");
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
            let [station, offset] = [mark.at.x, mark.at.y].map(|mm| self.ruling.exact(mm));
            [mark.id.clone(), mark.meaning.clone(), station, offset]
                .map(Cell::Given)
                .to_vec()
        });
        let ruling = self.ruling;
        let columns = [
            "Mark".to_owned(),
            "What".to_owned(),
            ruling.column("Station"),
            ruling.column("Offset"),
        ];
        vec![Block::Text(frame(self.drawn)), Block::table(columns, rows)]
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
                    .push(format!("{of}: {}", self.pythagoras(legs, distance)));
                row.push(asked.blank(of, self.ruling.answer(distance)));
            }
            asked.row(row);
        }
        let [front, rear] = bases.map(|base| base.id.as_str());
        let columns = [
            "Mark",
            &format!("from {front} {}", self.ruling.unit()),
            &format!("from {rear} {}", self.ruling.unit()),
        ];
        let text = format!(
            "Work out the two-tape distances of these marks from {front} and {rear}: √(along² + across²)."
        );
        self.ask(text, asked, columns);
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
            let straight = self.pythagoras([along, across], check.distance);
            asked.worked.push(format!("{name}: {straight}"));
            let mut row = vec![Cell::given(&name)];
            for (of, mm) in [
                ("along", along),
                ("across", across),
                ("distance", check.distance),
            ] {
                row.push(asked.blank(format!("{name} {of}"), self.ruling.answer(mm)));
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
        let columns = ["Along", "Across", "Distance"].map(|what| self.ruling.column(what));
        let columns = ["From \u{2013} to".to_owned()].into_iter().chain(columns);
        self.ask(text, asked, columns);
        self.diagonal = Some(pair[0]);
        Some(pair)
    }

    /// The sum of the squared diagonals against the sum of the squared sides, in the whole numbers of the answers before: in
    /// metres or feet to three decimals, so that squares fit a pocket calculator of eight digits.
    pub fn identity(&mut self, [first, second]: [&Check; 2]) {
        let slant = Slant::of(&self.drawn.plan, first);
        let (large, unit) = self.ruling.pick((1000.0, "m"), (12.0 * MM_PER_INCH, "ft"));
        let numbers = [slant.along, slant.across, first.distance, second.distance];
        let numbers = numbers.map(|mm| thousandths(self.ruling.round(mm) / large));
        let [along, across, one, other] = numbers;
        let left = thousandths(one * one + other * other);
        let right = thousandths(2.0 * (along * along + across * across));
        let difference = (left - right).abs();
        let allowed = self.ruling.step() / large * (one + other + 2.0 * (along + across)) + 0.002;
        let answers = [left, right, difference].map(|number| Value::decimals(number, 3, ""));
        let [a, b, c, d] = numbers.map(|number| format!("{number:.3}"));
        let [left, right, difference] = answers.each_ref().map(Value::bare);
        let mut asked = Asked::default();
        asked.worked = vec![
            format!("D1² + D2² = {c}² + {d}² = {left}"),
            format!("2 × (along² + across²) = 2 × ({a}² + {b}²) = {right}"),
            format!("Difference {difference}: the numbers hold together."),
        ];
        asked.row(answers.iter().map(|answer| Cell::blank(answer.bare())));
        let of = ["left side", "right side", "difference"].map(str::to_owned);
        asked.answers = of.into_iter().zip(answers).collect();
        let columns = ["D1² + D2²", "2 × (along² + across²)", "Difference"];
        let text = format!(
            "Prove your distances, in {unit} to three decimals: both sides agree but for rounding, here to {}.",
            mm_exact(hundredths_up(allowed), 2)
        );
        let bound = Value::decimals(0.002, 3, "");
        self.questions
            .push(asked.question(text, columns).right_within(bound));
    }

    /// `= 1176.5` becomes `= 1176.5, rounded 1177` where rounding does anything.
    fn with_rounding(&self, worked: String, mm: f64) -> String {
        let rounded = self.ruling.whole(mm);
        if self.ruling.exact(mm) == rounded {
            worked
        } else {
            format!("{worked}, rounded {rounded}")
        }
    }

    /// The straight way with what it is before and after rounding.
    fn pythagoras(&self, legs: [f64; 2], distance: f64) -> String {
        let ruling = self.ruling;
        let [along, across] = legs.map(|mm| ruling.exact(mm));
        let straight = rounded(
            &ruling.decimals(distance, ruling.pick(1, 3)),
            &ruling.whole(distance),
        );
        format!("√({along}² + {across}²) = {straight} {}", ruling.unit())
    }
}

/// `4321.4, rounded 4321`; what needs no rounding alone.
fn rounded(exact: &str, rounded: &str) -> String {
    if exact == rounded {
        exact.to_owned()
    } else {
        format!("{exact}, rounded {rounded}")
    }
}

fn thousandths(number: f64) -> f64 {
    (number * 1000.0).round() / 1000.0
}

/// The next hundredth that is no less.
fn hundredths_up(number: f64) -> f64 {
    (number * 100.0).ceil() / 100.0
}
