//! What stands on the sheet.

use kurbo::Rect;

use super::{
    answers::{ACROSS, ALONG},
    case::Case,
};
use crate::{
    practice::{Block, Cell, Figure, FigureMark, FigureScale, Question},
    units::{mm_exact, mm_text},
};

/// Floor about the figure, mm.
const ABOUT_MM: f64 = 600.0;

/// A figure shows a floor at least this many times as long as it is wide, so that it leaves the page to the questions.
const FLAT: f64 = 3.0;

/// The ends and sides that may be low, at level 1.
pub(super) const SIDES: [&str; 4] = ["front", "rear", "left", "right"];

impl Case<'_> {
    pub(super) fn given(&self) -> Vec<Block> {
        vec![
            Block::Text(self.task()),
            Block::Figure(Box::new(self.figure())),
            self.table(),
        ]
    }

    fn task(&self) -> String {
        let (length, width) = self.size();
        let sides = format!(
            "{} mm long and {} mm wide",
            mm_exact(length, 1),
            mm_exact(width, 1)
        );
        match self.level.number() {
            3 => format!(
                "A level stands beside the floor and a staff on each of four points, a rectangle {sides}. The staff reads \
                 more where the floor is lower. The floor may slope by {} mm per metre in any direction.",
                mm_exact(self.slope_limit, 1)
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

    fn figure(&self) -> Figure {
        let first = self.points[0].at;
        let extent = self
            .points
            .iter()
            .fold(Rect::from_points(first, first), |all, point| {
                all.union_pt(point.at)
            });
        let ahead =
            ((extent.height() + 2.0 * ABOUT_MM) * FLAT / 2.0 - extent.width() / 2.0).max(ABOUT_MM);
        let mark = |(index, point): (usize, &crate::survey::LevelPoint)| FigureMark {
            id: point.name.clone(),
            at: point.at,
            answer: false,
            note: mm_text(self.printed(index)),
        };
        let last = self.points.len() - 1;
        let corners = [0, 1, last, last - 1].map(|index| self.points[index].at);
        Figure {
            vehicle: Some(self.setting.plan.vehicle.clone()),
            marks: self.points.iter().enumerate().map(mark).collect(),
            lines: (0..4)
                .map(|index| [corners[index], corners[(index + 1) % 4]])
                .collect(),
            answer_lines: Vec::new(),
            scale: FigureScale::Fitting,
            extent: extent.inflate(ahead, ABOUT_MM),
            caption: format!(
                "Seen from above, front to the right, left up; {} in mm",
                self.what()
            ),
        }
    }

    fn what(&self) -> &'static str {
        if self.staff.is_some() {
            "staff readings"
        } else {
            "heights"
        }
    }

    fn table(&self) -> Block {
        let what = if self.staff.is_some() {
            "staff"
        } else {
            "height"
        };
        let row = |(index, point): (usize, &crate::survey::LevelPoint)| {
            [
                point.name.clone(),
                mm_exact(point.at.x, 1),
                mm_exact(point.at.y, 1),
                mm_text(self.printed(index)),
            ]
            .map(Cell::Given)
            .to_vec()
        };
        Block::table(
            ["point", "forward", "left", what],
            self.points.iter().enumerate().map(row),
        )
    }

    pub(super) fn questions(&self) -> Vec<Question> {
        let mut questions: Vec<Question> = self
            .bump
            .into_iter()
            .flat_map(|bump| [self.halves(), self.beside(bump)])
            .collect();
        // Six questions leave less room for each than four.
        let lines = if self.bump.is_some() { 1 } else { 2 };
        let without = if self.bump.is_some() {
            " of the plane without that point"
        } else {
            ""
        };
        for way in [ALONG, ACROSS] {
            let [word, rises, ..] = way;
            let text = format!(
                "What is the slope {word}{without}, in mm per metre to two decimals? Say whether it {}.",
                rises.replacen("rises", "rises or falls", 1)
            );
            questions.push(
                Question::new(text, 2)
                    .lines(lines)
                    .worked(self.worked_slope(way))
                    .answer(
                        format!("slope {word}, positive when it {rises}"),
                        self.slope_of(word),
                    ),
            );
        }
        let slope = &self.plane.slope;
        let text = format!(
            "What is the greatest slope{without}, in mm per metre and in percent, to two decimals?"
        );
        questions.push(
            Question::new(text, 2)
                .lines(lines)
                .worked([self.worked_greatest()])
                .answer("greatest slope", format!("{:.2} mm/m", slope.steepest()))
                .answer(
                    "greatest slope in percent",
                    format!("{:.2} %", slope.percent()),
                ),
        );
        let (options, right) = self.low();
        let low: Vec<String> = right.iter().map(|&index| options[index].clone()).collect();
        let falls = slope
            .falls()
            .map_or_else(|| "nowhere".to_owned(), |way| way.to_string());
        let text = if self.level.number() == 1 {
            "Which end or side is low?"
        } else {
            "Which corner of the plane is low?"
        };
        questions.push(
            Question::new(format!("{text} Tick one."), 1)
                .choices(options, right)
                .worked([format!("{}: the floor falls {falls}.", low.join(" "))])
                .answers(low.into_iter().map(|low| ("low".to_owned(), low))),
        );
        questions.extend(self.verdicts().map(|(options, right)| {
            Question::new("Is the slope within its limit?", 1)
                .worked([self.worked_verdict(&options[right], right == 0)])
                .answer("slope", options[right].as_str())
                .choices(options, vec![right])
        }));
        questions
    }

    /// The question on the halves of six points.
    fn halves(&self) -> Question {
        let text = "In the front half (FL, FR, ML, MR) and in the rear half (ML, MR, RL, RR): by how much do the means of the \
                    two diagonals differ, left front to right rear less the other?";
        let halves = [("front half", [0, 1]), ("rear half", [1, 2])];
        let twist = |rows| mm_exact(self.twist(rows).unwrap_or(0.0), 1);
        Question::new(text, 3)
            .lines(2)
            .worked(halves.map(|(half, rows)| self.worked_half(half, rows)))
            .answers(
                halves.map(|(half, rows)| {
                    (format!("diagonals, {half}"), format!("{} mm", twist(rows)))
                }),
            )
    }

    /// The question on the point that lies beside the plane.
    fn beside(&self, (bump, over): (usize, f64)) -> Question {
        let text = "Which point lies beside the plane of the others? Tick one; how high above or below it, in mm?";
        let options: Vec<String> = self.points.iter().map(|point| point.name.clone()).collect();
        let name = options[bump].clone();
        Question::new(text, 3)
            .choices(options, vec![bump])
            .lines(1)
            .worked(self.worked_bump(bump, over))
            .answer("point beside the plane", name)
            .answer("height over the plane", format!("{} mm", mm_text(over)))
    }

    /// What may be low, and which is.
    pub(super) fn low(&self) -> (Vec<String>, Vec<usize>) {
        if self.level.number() > 1 {
            let corners = [0, 1, self.points.len() - 2, self.points.len() - 1];
            let options = corners
                .map(|index| self.points[index].name.clone())
                .to_vec();
            let low = self.low_corner();
            return (
                options,
                (0..4).filter(|&index| corners[index] == low).collect(),
            );
        }
        let slope = &self.plane.slope;
        let low = if slope.along.abs() > slope.across.abs() {
            usize::from(slope.along > 0.0)
        } else {
            2 + usize::from(slope.across > 0.0)
        };
        (SIDES.map(str::to_owned).to_vec(), vec![low])
    }

    /// Within the limit or not, and which is right.
    pub(super) fn verdicts(&self) -> Option<(Vec<String>, usize)> {
        let verdict = self.verdict?;
        let right = usize::from(verdict == crate::survey::Verdict::Outside);
        Some((
            ["within the limit", "beyond the limit"]
                .map(str::to_owned)
                .to_vec(),
            right,
        ))
    }
}
