//! A layout judged by what was taped on it.

use std::fmt;

use kurbo::Vec2;

use crate::{
    job::Job,
    plan::{FloorPlan, Lay, LayReading},
    sheets::RecordReading,
    source::Faults,
    survey::{
        Assessment, Decision, Geometry, LayingPrior, MarkFinding, Precision, Readings, TapedLayout,
        Verdict, assess, spare,
    },
    words::{CheckWords, Spelling},
};

/// Pairs of points that advice on further pulls may choose from, beyond the layout's own checks.
const MOST_FURTHER: usize = 2_000;

/// A taped layout, what was found of it, and what is said of that.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The layout with its readings. Its first observations are the readings, in the order of their file.
    pub layout: TapedLayout,
    /// What was found.
    pub assessment: Assessment,
    /// What is said of it, in the spelling of the job.
    pub words: CheckWords,
    /// Rows of the form that have no reading yet.
    pub blank: usize,
    /// True where inches stand beside mm.
    pub inches: bool,
    /// For each reading the check that it is of, where its file says so.
    checks: Vec<Option<String>>,
}

/// Why nothing can be judged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum JudgeError {
    /// Readings that do not go with the layout.
    Input(Faults),
    /// Readings that hold no marks, or contradict each other beyond any calculation: a sentence.
    Unfit(String),
}

impl fmt::Display for JudgeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(faults) => write!(f, "{faults}"),
            Self::Unfit(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for JudgeError {}

/// Where a mark lies that has a tolerance to be judged by.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedMark {
    /// Its name.
    pub id: String,
    /// How far it lies off, mm forward (x) and to the left (y): against what [`CheckWords::against`] says, else within the grid.
    /// `None` for a mark that the readings do not fix.
    pub off: Option<Vec2>,
    /// How far it may lie off in any direction, mm.
    pub tolerance: f64,
    /// Against the same; `None` for a mark that the readings do not fix.
    pub verdict: Option<Verdict>,
}

impl JudgedMark {
    /// The word for the verdict; "not measured" where there is none.
    #[must_use]
    pub fn word(&self) -> &'static str {
        self.verdict.map_or("not measured", Verdict::word)
    }
}

/// A reading against what it should be.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedReading {
    /// The check that it is of, such as `D3`: the column `check` of the form. `None` where the file does not say.
    pub check: Option<String>,
    /// The lay of tape or string that it belongs to, where the file says so.
    pub lay: Option<u32>,
    /// Ends, lengths and verdict.
    pub row: RecordReading,
}

impl Judged {
    /// Judges readings against the layout of a job; against the marks that their file gives where there is no job. With
    /// `use_prior` it is taken into account how the layout was laid, which says where its marks should be.
    ///
    /// # Errors
    /// Readings that do not go with the layout, or with each other; lengths in the units of the job.
    pub fn of(readings: &Readings, job: Option<&Job>, use_prior: bool) -> Result<Self, JudgeError> {
        let precision = readings
            .precision
            .or(job.map(|job| job.precision))
            .unwrap_or_default();
        let prior = job.filter(|_| use_prior).map(Job::prior);
        let spelling = job.map_or_else(Spelling::default, Spelling::of);
        let plan = job.map(|job| &job.plan);
        let layout = taped(readings, plan, &precision, prior);
        let in_units = |faults: Faults| faults.reworded(|text| spelling.fault(text));
        let mut layout = layout.map_err(|faults| JudgeError::Input(in_units(faults)))?;
        layout.decision = job.map_or(Decision::default(), |job| job.decision);
        let inches = job.is_some_and(|job| job.inches);
        let assessment = assess(&layout)
            .map_err(|error| JudgeError::Unfit(spelling.fault(&error.to_string())))?;
        let words = spelling.check(CheckWords::of(&layout, &assessment, inches));
        let checks = readings.readings.iter().map(|one| one.label.clone());
        Ok(Self {
            layout,
            assessment,
            words,
            blank: readings.blank,
            inches,
            checks: checks.collect(),
        })
    }

    /// The marks that have a tolerance, in the order of the layout.
    #[must_use]
    pub fn marks(&self) -> Vec<JudgedMark> {
        let of = |mark: &MarkFinding| {
            Some(JudgedMark {
                id: mark.id.clone(),
                off: mark.to_datum.or(mark.moved),
                tolerance: mark.tolerance?,
                verdict: mark.datum_verdict.or(mark.verdict),
            })
        };
        self.assessment.marks.iter().filter_map(of).collect()
    }

    /// What was taped, in the order of its file, by the marks' names. Limits are those of the form of a layout: what has none there
    /// is judged with all the others alone.
    #[must_use]
    pub fn readings(&self, plan: Option<&FloorPlan>) -> Vec<JudgedReading> {
        let of = |(index, check): (usize, &Option<String>)| {
            Some(JudgedReading {
                check: check.clone(),
                lay: self.layout.lays[index],
                row: self.row(index, plan)?,
            })
        };
        self.checks.iter().enumerate().filter_map(of).collect()
    }

    /// An observation as a row; `None` for what was not taped.
    fn row(&self, index: usize, plan: Option<&FloorPlan>) -> Option<RecordReading> {
        let network = &self.layout.network;
        let name = |point: usize| network.points[point].id.clone();
        let design = self.layout.compared(index)?.design;
        let measured = network.observations[index].value;
        let (from, to, beside) = match network.observations[index].geometry {
            Geometry::Distance { from, to } => (name(from), name(to), None),
            Geometry::Offset {
                mark,
                line: [start, end],
            } => (name(start), name(end), Some(name(mark))),
            Geometry::X { .. } | Geometry::Y { .. } => return None,
        };
        let limit = plan.and_then(|plan| limit(plan, [&from, &to], beside.as_deref()));
        Some(RecordReading {
            from,
            to,
            beside,
            design,
            measured,
            limit,
            verdict: design
                .zip(limit)
                .map(|(design, limit)| within_limit(measured - design, limit)),
            suspect: self.assessment.readings[index].suspect,
        })
    }
}

/// What a form says of a reading that differs by so much, mm, where it may differ by `limit`: inside or outside, nothing between.
#[must_use]
pub fn within_limit(difference: f64, limit: f64) -> Verdict {
    if difference.abs() <= limit {
        Verdict::Inside
    } else {
        Verdict::Outside
    }
}

/// The readings as a network, with what could be taped besides.
fn taped(
    readings: &Readings,
    plan: Option<&FloorPlan>,
    precision: &Precision,
    prior: Option<LayingPrior>,
) -> Result<TapedLayout, Faults> {
    let mut layout = match (plan, prior) {
        (Some(plan), Some(prior)) => readings.resolve_laid(plan, precision, prior)?.taped,
        _ => readings.resolve(plan, precision)?.taped,
    };
    if let Some(plan) = plan {
        layout.spare = spare(plan, &layout);
    }
    let checks = plan
        .iter()
        .flat_map(|plan| &plan.checks)
        .filter(|check| !check.through_wheel);
    layout.further = checks.map(|check| [check.from, check.to]).collect();
    let count = layout.network.points.len();
    let all = (0..count).flat_map(|to| (0..to).map(move |from| [from, to]));
    layout.further.extend(all.take(MOST_FURTHER));
    Ok(layout)
}

/// The limit, mm, that the form has for a line, whichever end is named first.
fn limit(plan: &FloorPlan, [from, to]: [&str; 2], beside: Option<&str>) -> Option<f64> {
    let of = |lay: &Lay, reading: &LayReading| {
        let [one, other] = lay.ends(plan, reading);
        match beside {
            None => (one == from && other == to) || (one == to && other == from),
            Some(mark) => one == mark && other == format!("{from}..{to}"),
        }
    };
    plan.lays
        .iter()
        .find_map(|lay| lay.readings.iter().find(|reading| of(lay, reading)))
        .map(|reading| reading.limit)
}
