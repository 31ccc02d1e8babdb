//! The floor on a desk: the whole tiling job at a small scale.
//!
//! | level | scale | sheets | asked |
//! |---|---|---|---|
//! | 1 | 1:20 | every sheet of a regular grid, a whole mat | how many sheets, three checks on the desk |
//! | 2 | 1:10 | every sheet of a regular grid | the same, which sheet carries a mark |
//! | 3 | 1:10 | the fewest along the lines | the same, five checks |
//! | 4 | 1:5 | the fewest along the lines | the same, seven checks |
//!
//! The layout is made small as a whole ([`FloorPlan::scaled`]) and goes through the real cover, so sheets, registration marks
//! and joints are those of the real work. A city car takes some 2 to 20 sheets, the longest van at 1:5 a few more.

use super::{Block, Cell, Exercise, Fact, Kind, Level, PracticeError, Question, Setting, Worked, WrongAnswer};
use crate::{
    cover::{Content, Mode, SheetFormat, SheetPlan, cover},
    job::DEFAULT_OVERLAP_MM,
    paper::Printer,
    plan::{Check, FloorPlan},
    units::mm_exact,
};

/// The vehicle's outline is to be cut out and laid by hand: it is no shorter than this, mm.
const LEAST_OUTLINE_MM: f64 = 150.0;

/// Tape strips narrower than this are two edges in one line, mm.
const LEAST_STRIP_MM: f64 = 1.0;

/// More sheets than this are no exercise.
const MOST_SHEETS: usize = 40;

/// A layout made small, with the sheets that it goes on.
#[derive(Clone, Debug)]
pub struct Model {
    /// The layout in mm on the desk.
    pub plan: FloorPlan,
    /// The sheets.
    pub sheets: SheetPlan,
    /// n of the scale 1:n.
    pub denominator: u32,
}

impl Model {
    fn of(setting: &Setting, level: Level) -> Result<Self, PracticeError> {
        let denominator = level.of([20, 10, 10, 5]);
        let unsound = |reason: String| PracticeError::Unsound { kind: Kind::Desk, level, reason };
        let mut plan = setting.plan.clone().scaled(f64::from(denominator));
        plan.template.name = format!("1:{denominator} model, not for a floor: {}", plan.template.name);
        let length = plan.vehicle.front_x - plan.vehicle.rear_x;
        if length < LEAST_OUTLINE_MM {
            return Err(unsound(format!(
                "at 1:{denominator} the vehicle is {} mm long, too small to lay",
                mm_exact(length, 0)
            )));
        }
        let strip = plan.lines.iter().map(|line| line.width).fold(f64::INFINITY, f64::min);
        if strip < LEAST_STRIP_MM {
            return Err(unsound(format!(
                "at 1:{denominator} a tape strip is {} mm wide, too thin to see",
                mm_exact(strip, 1)
            )));
        }
        let printer = Printer::default();
        let format = SheetFormat {
            paper: setting.paper.clone(),
            margins: printer.margins,
            overlap: DEFAULT_OVERLAP_MM,
            correction: printer.correction,
        };
        let mode = level.of([Mode::Full, Mode::Full, Mode::Lines, Mode::Lines]);
        let sheets = cover(&Content::of(&plan), &format, mode).map_err(|error| unsound(error.to_string()))?;
        if sheets.pages > MOST_SHEETS {
            return Err(unsound(format!("at 1:{denominator} the layout takes {} sheets", sheets.pages)));
        }
        Ok(Self { plan, sheets, denominator })
    }

    /// The longest checks, which show most on a desk.
    fn checks(&self, most: usize) -> Vec<&Check> {
        let mut checks: Vec<&Check> = self.plan.checks.iter().collect();
        checks.sort_by(|a, b| b.distance.total_cmp(&a.distance));
        checks.truncate(most);
        checks
    }

    fn name(&self, mark: usize) -> &str {
        &self.plan.marks[mark].id
    }

    /// Labels of the sheets that show a mark's place in what is left of them after cutting.
    fn sheet_of(&self, mark: usize) -> Option<&str> {
        let sheet = self.sheets.sheet_at(self.plan.marks[mark].at)?;
        Some(&self.sheets.sheets[sheet].label)
    }
}

/// Makes one exercise. It is the same for every seed: the layout is the vehicle's own.
///
/// # Errors
/// [`PracticeError::Unsound`] for a vehicle too small or a layout too large for the scale.
pub fn exercise(setting: &Setting, level: Level, seed: u64, number: usize) -> Result<Exercise, PracticeError> {
    let model = Model::of(setting, level)?;
    let desk = Desk { model: &model, checks: model.checks(level.of([3, 3, 5, 7])) };
    Ok(Exercise {
        given: desk.given(),
        questions: desk.questions(),
        worked: desk.worked(),
        wrong: desk.wrong(),
        facts: desk.facts(),
        model: Some(Box::new(model)),
        ..setting.sheet(Kind::Desk, level, seed, number)
    })
}

/// Text and numbers of the exercise.
struct Desk<'a> {
    model: &'a Model,
    checks: Vec<&'a Check>,
}

impl Desk<'_> {
    /// The mark whose sheet is asked for: the last of the layout's stations.
    fn asked(&self) -> usize {
        let stations = self.model.plan.marks.iter().rposition(|mark| mark.station.is_some());
        stations.unwrap_or(0)
    }

    fn ends(&self, check: &Check) -> String {
        format!("{} – {}", self.model.name(check.from), self.model.name(check.to))
    }

    fn given(&self) -> Vec<Block> {
        let n = self.model.denominator;
        let steps = [
            format!(
                "The pages after this one are the layout's sheets at 1:{n} and the vehicle's outline. Print them at 100 %, one-sided, \
                 and measure the check square of 100 mm on one of them."
            ),
            "Cut each sheet where its scissors line runs, lay sheet on sheet by the registration marks, and tape them to a mat.".to_owned(),
            "Cut the vehicle's outline out (join its parts first), and lay it by the centreline and the wheel centres.".to_owned(),
            format!("Measure with a ruler to half a millimetre. 1 mm on the desk is {n} mm on the floor."),
        ];
        steps.into_iter().enumerate().map(|(index, step)| Block::Text(format!("{}. {step}", index + 1))).collect()
    }

    fn questions(&self) -> Vec<Question> {
        let n = self.model.denominator;
        let columns =
            ["check", "from – to", "floor, mm", "desk: should be, mm", "desk: measured, mm", "off on the floor, mm"];
        let row = |check: &&Check| {
            vec![
                Cell::Given(check.id.clone()),
                Cell::Given(self.ends(check)),
                Cell::Given(mm_exact(check.distance * f64::from(n), 0)),
                Cell::Blank(halves(check.distance)),
                Cell::Blank("as measured".to_owned()),
                Cell::Blank(format!("({n} × difference)")),
            ]
        };
        let table =
            Block::Table { columns: columns.map(str::to_owned).to_vec(), rows: self.checks.iter().map(row).collect() };
        let asked = self.model.name(self.asked());
        let question = |text: String, points, blocks| Question { text, points, blocks };
        vec![
            question("How many sheets make the mat, the vehicle's outline not counted?".to_owned(), 1, vec![Block::Lines(1)]),
            question(format!("Which sheet carries mark {asked}?"), 1, vec![Block::Lines(1)]),
            question(
                "What should each check be on the desk, to half a millimetre? Measure it, and say what the difference is on the floor."
                    .to_owned(),
                2 * self.checks.len() as u32,
                vec![table],
            ),
            question(
                "Two sheets are joined 0.5 mm apart. How far off is the far end on the floor?".to_owned(),
                1,
                vec![Block::Lines(1)],
            ),
        ]
    }

    fn worked(&self) -> Vec<Worked> {
        let n = self.model.denominator;
        let mut sums: Vec<String> =
            vec![format!("desk = floor / {n}, to half a millimetre; off on the floor = {n} × (measured − should be)")];
        sums.extend(self.checks.iter().map(|check| {
            let floor = check.distance * f64::from(n);
            format!("{}: {} / {n} = {} mm", self.ends(check), mm_exact(floor, 0), halves(check.distance))
        }));
        let lines = |question, lines| Worked { question, lines };
        vec![
            lines(
                1,
                vec![format!(
                    "{} sheets: count the labels on the assembly; the pages say \"page … of …\"",
                    self.model.sheets.pages
                )],
            ),
            lines(2, vec![format!("{} on sheet {}", self.model.name(self.asked()), self.asked_sheet())]),
            lines(3, sums),
            lines(4, vec![format!("0.5 mm × {n} = {} mm", mm_exact(0.5 * f64::from(n), 1))]),
        ]
    }

    fn asked_sheet(&self) -> &str {
        self.model.sheet_of(self.asked()).unwrap_or("–")
    }

    fn wrong(&self) -> Vec<WrongAnswer> {
        let n = self.model.denominator;
        let wrong = |answer: String, meaning: &str| WrongAnswer { answer, meaning: meaning.to_owned() };
        let mut all = vec![wrong(
            format!("all checks short or long alike by one part in {n} or more"),
            "The sheets were printed with \"fit to page\": the square is not 100 mm.",
        )];
        all.push(wrong(
            "one diagonal long, the other short".to_owned(),
            "Sheets were joined askew, by their edges and not by the registration marks.",
        ));
        all
    }

    fn facts(&self) -> Vec<Fact> {
        let fact = |question, of: String, answer: String| Fact { question, of, answer };
        let mut facts = vec![
            fact(1, "sheets".to_owned(), self.model.sheets.pages.to_string()),
            fact(2, "sheet of the mark".to_owned(), self.asked_sheet().to_owned()),
        ];
        facts.extend(
            self.checks.iter().map(|check| fact(3, format!("{} on the desk", check.id), halves(check.distance))),
        );
        facts.push(fact(
            4,
            "off on the floor".to_owned(),
            format!("{} mm", mm_exact(0.5 * f64::from(self.model.denominator), 1)),
        ));
        facts
    }
}

/// A length to half a millimetre, what a ruler is read to.
fn halves(mm: f64) -> String {
    format!("{:.1}", (mm * 2.0).round() / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::layout::fixture::settings;

    #[test]
    fn every_layout_goes_on_a_desk_at_every_level_or_says_why_not() {
        let mut made = 0;
        for setting in settings() {
            for level in Level::ALL {
                match exercise(&setting, level, 1, 1) {
                    Ok(exercise) => {
                        let model = exercise.model.as_ref().unwrap();
                        assert!((1..=MOST_SHEETS).contains(&model.sheets.pages));
                        let marks = model.plan.marks.len();
                        assert!((0..marks).all(|mark| model.sheet_of(mark).is_some()), "{}", exercise.subject);
                        made += 1;
                    }
                    Err(error) => assert!(error.to_string().contains("1:"), "{error}"),
                }
            }
        }
        assert!(made >= 60, "{made}");
    }

    #[test]
    fn lengths_on_the_desk_are_those_of_the_floor_by_the_scale() {
        let setting = settings().into_iter().next().unwrap();
        let exercise = exercise(&setting, Level::ALL[1], 1, 1).unwrap();
        let model = exercise.model.unwrap();
        for (small, large) in model.plan.checks.iter().zip(&setting.plan.checks) {
            assert!((small.distance * 10.0 - large.distance).abs() < 1e-9);
        }
        assert_eq!(halves(231.26), "231.5");
    }
}
