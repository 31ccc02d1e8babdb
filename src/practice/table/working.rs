//! Questions, worked answers and facts, question by question.

use crate::{
    plan::{CheckKind, FloorPlan},
    practice::{
        Block, Cell, Draw, Level, Question,
        layout::{
            Drawn, ON_CENTRELINE_MM, Pair, Relations, beside, exact, frame, longest_pair, whole,
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
    /// Answers to the question that comes next.
    answers: Vec<(String, String)>,
    /// Marks of the two-tape question.
    pub taped: Vec<usize>,
    /// Marks of the first question.
    pub placed: Vec<usize>,
    /// Checks of the question on diagonals.
    pub diagonal: Option<usize>,
}

/// The marks whose places a level asks; none where the layout has no mark beside the centreline.
pub(super) fn marks_of_level(plan: &FloorPlan, level: Level) -> Vec<usize> {
    let (all, beside): (Vec<usize>, _) = ((0..plan.marks.len()).collect(), beside(plan));
    let Some(left) = beside
        .iter()
        .copied()
        .find(|mark| plan.marks[*mark].at.y > 0.0)
    else {
        return beside;
    };
    if level.number() != 1 {
        return all;
    }
    // The innermost right mark of the rearmost station, so that no rail further out comes in.
    let rights = all
        .iter()
        .copied()
        .filter(|mark| plan.marks[*mark].at.y < -ON_CENTRELINE_MM);
    let rearmost = rights.min_by(|a, b| {
        let (a, b) = (plan.marks[*a].at, plan.marks[*b].at);
        a.x.total_cmp(&b.x).then(b.y.total_cmp(&a.y))
    });
    let mut marks = vec![left];
    match rearmost {
        Some(right) if plan.marks[right].at.x != plan.marks[left].at.x => marks.push(right),
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
            answers: Vec::new(),
            taped: Vec::new(),
            placed: Vec::new(),
            diagonal: None,
        }
    }

    /// Adds a question; the points are one for each blank, `each` blanks to a point.
    fn ask(&mut self, text: impl Into<String>, table: Block, each: usize, lines: Vec<String>) {
        let answers = std::mem::take(&mut self.answers);
        let question = Question::new(text, answers.len().div_ceil(each))
            .block(table)
            .worked(lines)
            .answers(answers);
        self.questions.push(question);
    }

    /// Notes a fact of the question that comes next and returns its cell.
    fn blank(&mut self, of: String, mm: f64) -> Cell {
        let answer = whole(mm);
        self.answers.push((of, format!("{answer} mm")));
        Cell::Blank(answer)
    }

    /// The tyre's width from its size code.
    pub fn tyre(&mut self, code: TyreCode) {
        let width = self.drawn.vehicle.tyre.width;
        let cell = self.blank("tyre width".to_owned(), width);
        let ratio = exact(code.theoretical_rim_ratio());
        let (nominal, share) = (
            code.nominal,
            exact(code.theoretical_rim_ratio() * f64::from(code.nominal)),
        );
        let (text, line) = match code.rim_width {
            Some(rim) => (
                format!(
                    "Work out the tyre width S from the size code (UN R30): S = S1 + 0.4 × (A \u{2212} A1), in whole mm; S1 is the code's first number, A the rim width, A1 = {ratio} × S1. Go on with S as rounded."
                ),
                format!(
                    "A1 = {ratio} × {nominal} = {share}; S = {nominal} + 0.4 × ({} \u{2212} {share}) = {}",
                    exact(rim),
                    whole(width)
                ),
            ),
            None => (
                "Read the tyre width S from the size code: the rim is not known, so S is the code's first number."
                    .to_owned(),
                format!("S = {nominal}"),
            ),
        };
        let row = vec![Cell::Given(format!("S in mm of {code}")), cell];
        self.ask(text, Block::table([""; 2], [row]), 1, vec![line]);
    }

    /// Station and offset of marks.
    pub fn places(&mut self, marks: &[usize]) {
        let plan = &self.drawn.plan;
        // Of many marks the rules above say what they are.
        let with_meaning = marks.len() <= FEW_MARKS;
        let mut rows = Vec::new();
        for &index in marks {
            let mark = &plan.marks[index];
            let station = self.blank(format!("{} station", mark.id), mark.at.x);
            let offset = if mark.at.y.abs() > ON_CENTRELINE_MM {
                self.blank(format!("{} offset", mark.id), mark.at.y)
            } else {
                Cell::Given("0".to_owned())
            };
            let mut row = vec![Cell::Given(mark.id.clone())];
            row.extend(with_meaning.then(|| Cell::Given(mark.meaning.clone())));
            row.extend([station, offset]);
            rows.push(row);
        }
        let mut columns = ["Mark", "Station mm", "Offset mm"]
            .map(str::to_owned)
            .to_vec();
        if with_meaning {
            columns.insert(1, "What".to_owned());
        }
        let table = Block::Table { columns, rows };
        let lines = self.place_lines(marks);
        let text = "Work out station and offset of each mark.";
        self.ask(
            text,
            table,
            if marks.len() > FEW_MARKS { 2 } else { 1 },
            lines,
        );
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
            note(
                format!(
                    "station = {} mm",
                    with_rounding(
                        &self.relations.marks[index].station.worked(),
                        plan.marks[index].at.x
                    )
                ),
                &plan.marks[index].id,
            );
        }
        for &index in marks {
            let offset = self.relations.marks[index].offset.clone().magnitude();
            if offset.value() > ON_CENTRELINE_MM {
                note(
                    format!(
                        "offset = {} mm (left +, right \u{2212})",
                        with_rounding(&offset.worked(), offset.value())
                    ),
                    &plan.marks[index].id,
                );
            }
        }
        lines
            .into_iter()
            .map(|(line, ids)| format!("{}: {line}", ids.join(", ")))
            .collect()
    }

    /// Stations and offsets as given numbers.
    pub fn given_places(&self) -> Vec<Block> {
        let plan = &self.drawn.plan;
        let rows = plan.marks.iter().map(|mark| {
            [
                mark.id.clone(),
                mark.meaning.clone(),
                exact(mark.at.x),
                exact(mark.at.y),
            ]
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
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for &index in &marks {
            let mark = &plan.marks[index];
            let mut row = vec![Cell::Given(mark.id.clone())];
            for (base, distance) in bases.iter().zip(mark.two_tape) {
                row.push(self.blank(format!("{} from {}", mark.id, base.id), distance));
                let legs = ((mark.at.x - base.at.x).abs(), mark.at.y.abs());
                lines.push(format!(
                    "{} from {}: {} mm",
                    mark.id,
                    base.id,
                    pythagoras(legs, distance)
                ));
            }
            rows.push(row);
        }
        let columns = [
            "Mark".to_owned(),
            format!("from {} mm", bases[0].id),
            format!("from {} mm", bases[1].id),
        ];
        let text = format!(
            "Work out the two-tape distances of these marks from {} and {}: √(along² + across²).",
            bases[0].id, bases[1].id
        );
        self.ask(text, Block::table(columns, rows), 1, lines);
        self.taped = marks;
    }

    /// One or both of a mirrored pair of diagonals, where the layout has one.
    pub fn diagonals(&mut self, count: usize) -> Option<Pair> {
        let plan = &self.drawn.plan;
        let all: Vec<usize> = (0..plan.marks.len()).collect();
        let pair = longest_pair(plan, &all)?;
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for index in [pair.first, pair.second].into_iter().take(count) {
            let check = &plan.checks[index];
            let (from, to) = (&plan.marks[check.from], &plan.marks[check.to]);
            let name = format!("{} \u{2013} {}", from.id, to.id);
            let way = to.at - from.at;
            rows.push(vec![
                Cell::Given(name.clone()),
                self.blank(format!("{name} along"), way.x.abs()),
                self.blank(format!("{name} across"), way.y.abs()),
                self.blank(format!("{name} distance"), check.distance),
            ]);
            lines.push(format!(
                "{name}: {} mm",
                pythagoras((way.x.abs(), way.y.abs()), check.distance)
            ));
        }
        let columns = ["From \u{2013} to", "Along mm", "Across mm", "Distance mm"];
        let what = if plan.checks[pair.first].kind == CheckKind::Diagonal {
            "diagonal"
        } else {
            "slanting distance"
        };
        let text = if count == 1 {
            format!("Work out the {what}: how far along, how far across, and straight.")
        } else {
            format!("Work out both {what}s: how far along, how far across, and straight.")
        };
        self.ask(text, Block::table(columns, rows), 1, lines);
        self.diagonal = Some(pair.first);
        Some(pair)
    }

    /// The sum of the squared diagonals against the sum of the squared sides, in the whole mm of the answers before.
    pub fn identity(&mut self, pair: Pair) {
        let plan = &self.drawn.plan;
        let rounded = |index: usize| {
            let check = &plan.checks[index];
            let way = plan.marks[check.to].at - plan.marks[check.from].at;
            [way.x.abs(), way.y.abs(), check.distance]
                .map(|mm| (mm * 1e6).round() / 1e6)
                .map(f64::round)
        };
        let ([along, across, one], [.., other]) = (rounded(pair.first), rounded(pair.second));
        let (left, right) = (
            one * one + other * other,
            2.0 * (along * along + across * across),
        );
        let difference = (left - right).abs();
        let allowed = one + other + 2.0 * (along + across);
        let mut row = Vec::new();
        for (of, number) in [
            ("left side", left),
            ("right side", right),
            ("difference", difference),
            ("allowed", allowed),
        ] {
            let answer = mm_text(number);
            self.answers.push((of.to_owned(), answer.clone()));
            row.push(Cell::Blank(answer));
        }
        let columns = [
            "D1² + D2²",
            "2 × (along² + across²)",
            "Difference",
            "D1 + D2 + 2 × (along + across)",
        ];
        let [a, b, c, d] = [along, across, one, other].map(mm_text);
        let lines = vec![
            format!("D1² + D2² = {c}² + {d}² = {}", mm_text(left)),
            format!(
                "2 × (along² + across²) = 2 × ({a}² + {b}²) = {}",
                mm_text(right)
            ),
            format!(
                "Difference {}, no more than {c} + {d} + 2 × ({a} + {b}) = {}: the numbers hold together.",
                mm_text(difference),
                mm_text(allowed)
            ),
        ];
        let text = "Prove it with your whole mm: rounding makes a difference no larger than the last column.";
        self.ask(text, Block::table(columns, [row]), 2, lines);
    }
}

/// `= 1176.5` becomes `= 1176.5, rounded 1177` where rounding does anything.
fn with_rounding(worked: &str, mm: f64) -> String {
    let rounded = whole(mm);
    if exact(mm) == rounded {
        worked.to_owned()
    } else {
        format!("{worked}, rounded {rounded}")
    }
}

fn pythagoras((along, across): (f64, f64), distance: f64) -> String {
    format!(
        "√({}² + {}²) = {}",
        exact(along),
        exact(across),
        whole(distance)
    )
}
