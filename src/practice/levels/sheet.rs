//! What stands on the sheet.

use super::{
    answers::{ACROSS, ALONG, GREATEST, GREATEST_PERCENT, OVER_PLANE},
    case::Case,
};
use crate::{
    practice::{Block, Cell, Figure, FigureMark, Question, Scoring, Value},
    survey::Verdict,
    units::mm_exact,
};

/// Floor about the figure, mm.
const ABOUT_MM: f64 = 600.0;

/// A figure shows a floor at least this many times as long as it is wide, so that it leaves the page to the questions.
const FLAT: f64 = 3.0;

/// The ends and sides that may be low, at level 1.
const SIDES: [&str; 4] = ["front", "rear", "left", "right"];

impl Case<'_> {
    pub fn given(&self) -> Vec<Block> {
        vec![Block::Text(self.task()), self.figure(), self.table()]
    }

    fn task(&self) -> String {
        let (length, width) = self.size();
        let ruling = self.ruling();
        let sides = format!(
            "{} {unit} long and {} {unit} wide",
            ruling.exact(length),
            ruling.exact(width),
            unit = ruling.unit()
        );
        match self.level.number() {
            3 => format!(
                "A level stands beside the floor and a staff on each of four points, a rectangle {sides}. The staff reads \
                 more where the floor is lower. The floor may slope by {} {} in any direction.",
                mm_exact(self.in_unit(self.slope_limit), 2),
                self.slope_unit()[1]
            ),
            4 => format!(
                "Heights of six points on the floor, a rectangle {sides} with the middles of its long sides. Five lie in one \
                 plane, one does not."
            ),
            _ => format!(
                "Heights of the corners of the floor, a rectangle {sides}. All lie in one plane."
            ),
        }
    }

    fn figure(&self) -> Block {
        let marks = self
            .points
            .iter()
            .enumerate()
            .map(|(index, point)| FigureMark {
                note: self.ruling().whole(self.printed(index)),
                ..FigureMark::given(&point.name, point.at)
            });
        let last = self.points.len() - 1;
        let [a, b, c, d] = [0, 1, last, last - 1].map(|index| self.points[index].at);
        let what = if self.staff.is_some() {
            "staff readings"
        } else {
            "heights"
        };
        let caption = format!(
            "Seen from above, front to the right, left up; {what} in {}",
            self.ruling().unit()
        );
        let figure = Figure {
            vehicle: Some(self.setting.plan.vehicle.clone()),
            ..Figure::of(marks, [[a, b], [b, c], [c, d], [d, a]], caption)
        };
        figure.with_floor(ABOUT_MM, FLAT).block()
    }

    fn table(&self) -> Block {
        let what = if self.staff.is_some() {
            "staff"
        } else {
            "height"
        };
        let ruling = self.ruling();
        let rows = self.points.iter().enumerate().map(|(index, point)| {
            let [x, y] = [point.at.x, point.at.y].map(|mm| ruling.exact(mm));
            [point.name.clone(), x, y, ruling.whole(self.printed(index))]
                .map(Cell::Given)
                .to_vec()
        });
        let columns = [
            "point".to_owned(),
            ruling.column("forward"),
            ruling.column("left"),
            ruling.column(what),
        ];
        Block::table(columns, rows)
    }

    pub fn questions(&self) -> Vec<Question> {
        let mut questions = Vec::new();
        if let Some(bump) = self.bump {
            questions.extend([self.halves(), self.beside(bump)]);
        }
        // Six questions leave less room for each than four.
        let (lines, without) = match self.bump {
            Some(_) => (1, " of the plane without that point"),
            None => (2, ""),
        };
        let [unit, per] = self.slope_unit();
        for way in [ALONG, ACROSS] {
            let [word, rises, ..] = way;
            let text = format!(
                "What is the slope {word}{without}, in {per} to two decimals? Say whether it {}.",
                rises.replacen("rises", "rises or falls", 1)
            );
            let of = format!("slope {word}, positive when it {rises}");
            let question = Question::new(text, 2)
                .scored(Scoring::parts([(1, "the number"), (1, "rises or falls")]))
                .right_within(Value::decimals(0.01, 2, unit))
                .lines(lines)
                .worked(self.worked_slope(way));
            let slope = self.slope_of(word);
            let direction = self.direction(way);
            let question = question.answer(of, slope);
            questions.push(question.answer(format!("{word}: direction"), direction));
        }
        let slope = &self.plane.slope;
        let text = format!(
            "What is the greatest slope{without}, in {per} and in percent, to two decimals?"
        );
        let question = Question::new(text, 2)
            .scored(Scoring::parts([(1, "the slope"), (1, "the percent")]))
            .right_within(Value::decimals(0.01, 2, unit))
            .right_within(Value::decimals(0.01, 2, "%"))
            .lines(lines)
            .worked(self.worked_greatest());
        questions.push(
            question
                .answer(
                    GREATEST,
                    Value::decimals(self.in_unit(slope.steepest()), 2, unit),
                )
                .answer(GREATEST_PERCENT, Value::decimals(slope.percent(), 2, "%")),
        );
        let (options, right) = self.low();
        let low: Vec<String> = right.iter().map(|&index| options[index].clone()).collect();
        let falls = slope.falls();
        let falls = falls.map_or_else(|| "nowhere".to_owned(), |way| way.to_string());
        let text = match self.level.number() {
            1 => "Which end or side is low?",
            _ => "Which corner of the plane is low?",
        };
        let question = Question::new(text, 1).one_of(options, right.first().copied().unwrap_or(0));
        questions.push(
            question
                .worked([format!("{}: the floor falls {falls}.", low.join(" "))])
                .answers(low.into_iter().map(|low| ("low".to_owned(), low.into()))),
        );
        questions.extend(
            self.verdict
                .map(|verdict| self.within(verdict == Verdict::Inside)),
        );
        questions
    }

    /// The question on the limit of the slope, which is kept or not.
    fn within(&self, kept: bool) -> Question {
        let options = ["within the limit", "beyond the limit"];
        let right = usize::from(!kept);
        Question::new("Is the slope within its limit?", 1)
            .worked([self.worked_verdict(options[right], kept)])
            .answer("slope", options[right])
            .one_of(options.map(str::to_owned).to_vec(), right)
    }

    /// The question on the halves of six points.
    fn halves(&self) -> Question {
        let text = "In the front half (FL, FR, ML, MR) and in the rear half (ML, MR, RL, RR): by how much do the means of the \
                    two diagonals differ, left front to right rear less the other?";
        let halves = [("front half", [0, 1]), ("rear half", [1, 2])];
        Question::new(text, 4)
            .scored(Scoring::parts([(2, "front half"), (2, "rear half")]))
            .lines(2)
            .worked(halves.map(|(half, rows)| self.worked_half(half, rows)))
            .answers(halves.map(|(half, rows)| (format!("diagonals, {half}"), self.twist_of(rows))))
    }

    /// The question on the point that lies beside the plane.
    fn beside(&self, (bump, over): (usize, f64)) -> Question {
        let text = "One point lies above or below the plane of the others: how high (below: with a minus), and which one?";
        let options: Vec<String> = self.points.iter().map(|point| point.name.clone()).collect();
        let name = options[bump].clone();
        Question::new(text, 3)
            .scored(Scoring::parts([(1, "which point"), (2, "how high")]))
            .one_of(options, bump)
            .lines(1)
            .worked(self.worked_bump(bump, over))
            .answer("point beside the plane", name)
            .answer(OVER_PLANE, self.ruling().answer(over))
    }

    /// What may be low, and which is.
    fn low(&self) -> (Vec<String>, Vec<usize>) {
        if self.level.number() > 1 {
            let corners = [0, 1, self.points.len() - 2, self.points.len() - 1];
            let options = corners.map(|index| self.points[index].name.clone());
            let low = corners
                .iter()
                .position(|corner| *corner == self.low_corner());
            return (options.to_vec(), low.into_iter().collect());
        }
        let slope = &self.plane.slope;
        let low = if slope.along.abs() > slope.across.abs() {
            usize::from(slope.along > 0.0)
        } else {
            2 + usize::from(slope.across > 0.0)
        };
        (SIDES.map(str::to_owned).to_vec(), vec![low])
    }
}
