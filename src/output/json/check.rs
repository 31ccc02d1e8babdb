//! The judgement of a layout: what `check --json` prints. x forward and y left.

use kurbo::{Point, Vec2};
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, FisherSnedecor};

use super::write::{pretty, round};
use crate::{
    survey::{
        Assessment, Covariance, Geometry, MarkFinding, PartVerdict, Pose, Suspect, TapedLayout,
        Todo, Verdict,
    },
    words::CheckWords,
};

/// The document of `check --json`: an assessment of a layout, with the sentences that people read.
#[must_use]
pub fn check_json(layout: &TapedLayout, assessment: &Assessment, words: &CheckWords) -> String {
    pretty(&AssessmentJson::of(layout, assessment, words))
}

#[derive(Serialize)]
struct AssessmentJson<'a> {
    format: &'static str,
    datum: &'static str,
    dof: usize,
    sigma0: Option<f64>,
    global_test: Option<GlobalTestJson>,
    marks: Vec<MarkJson<'a>>,
    readings: Vec<ReadingJson<'a>>,
    suspects: Vec<SuspectJson<'a>>,
    pose: Option<PoseJson>,
    pulls_to_add: Vec<[&'a str; 2]>,
    advice: &'a [String],
    jointly_inside: Option<f64>,
    grid: Option<PartJson>,
    vehicle: Option<PartJson>,
    todo: Vec<TodoJson<'a>>,
    verdict: Option<&'static str>,
}

/// The grid in itself, or against the vehicle.
#[derive(Serialize)]
struct PartJson {
    verdict: &'static str,
    tied: bool,
    risk: Option<f64>,
}

/// Something to do. Moves are forward and to the left; for a string `from` is the mark and `to` the line, as in `1C..3C`.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum TodoJson<'a> {
    Move {
        mark: &'a str,
        forward_mm: f64,
        left_mm: f64,
        must: bool,
    },
    TurnGrid {
        forward_mm: f64,
        left_mm: f64,
        turned_deg: f64,
    },
    Plumb {
        wheel: &'a str,
    },
    Tape {
        from: &'a str,
        to: String,
    },
    Retape {
        from: &'a str,
        to: String,
    },
}

impl<'a> TodoJson<'a> {
    fn of(layout: &'a TapedLayout, todo: &Todo) -> Self {
        let name = |point: usize| layout.network.points[point].id.as_str();
        let ends = |geometry: Geometry| match geometry {
            Geometry::Distance { from, to } => (name(from), name(to).to_owned()),
            Geometry::Offset {
                mark,
                line: [start, end],
            } => (name(mark), format!("{}..{}", name(start), name(end))),
            Geometry::X { point } | Geometry::Y { point } => (name(point), name(point).to_owned()),
        };
        match *todo {
            Todo::Move { mark, by, must } => Self::Move {
                mark: name(mark),
                forward_mm: tenth(by.x),
                left_mm: tenth(by.y),
                must,
            },
            Todo::TurnGrid { by, turned } => Self::TurnGrid {
                forward_mm: tenth(by.x),
                left_mm: tenth(by.y),
                turned_deg: round(turned),
            },
            Todo::Plumb { wheel } => Self::Plumb { wheel: name(wheel) },
            Todo::Tape { geometry } => {
                let (from, to) = ends(geometry);
                Self::Tape { from, to }
            }
            Todo::Retape { observation } => {
                let (from, to) = ends(layout.network.observations[observation].geometry);
                Self::Retape { from, to }
            }
        }
    }
}

/// Nobody moves a mark by less than a tenth of a mm.
fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0 + 0.0
}

#[derive(Serialize)]
struct GlobalTestJson {
    statistic: f64,
    lower: f64,
    upper: f64,
    passed: bool,
}

/// `sd_*` and `ellipse` a posteriori, from the readings' own scatter; null without degrees of freedom.
#[derive(Serialize)]
struct MarkJson<'a> {
    id: &'a str,
    fixed: bool,
    x_mm: Option<f64>,
    y_mm: Option<f64>,
    sd_x_mm: Option<f64>,
    sd_y_mm: Option<f64>,
    ellipse: Option<EllipseJson>,
    sd_x_a_priori_mm: Option<f64>,
    sd_y_a_priori_mm: Option<f64>,
    ellipse_a_priori: Option<EllipseJson>,
    design_x_mm: Option<f64>,
    design_y_mm: Option<f64>,
    tolerance_mm: Option<f64>,
    moved_forward_mm: Option<f64>,
    moved_left_mm: Option<f64>,
    sd_moved_forward_a_priori_mm: Option<f64>,
    sd_moved_left_a_priori_mm: Option<f64>,
    to_datum_forward_mm: Option<f64>,
    to_datum_left_mm: Option<f64>,
    displaced: bool,
    unchecked: bool,
    verdict: Option<&'static str>,
    datum_verdict: Option<&'static str>,
    inside_probability: Option<f64>,
}

/// Half-axes of the 95 % ellipse, and the longer one's direction counter-clockwise from forward.
#[derive(Serialize)]
struct EllipseJson {
    major_mm: f64,
    minor_mm: f64,
    bearing_deg: f64,
}

/// For an offset `from` is the mark and `line` holds the two marks of the line; for a wheel mark's own place `axis`
/// is x or y.
#[derive(Serialize)]
struct ReadingJson<'a> {
    kind: &'static str,
    from: &'a str,
    to: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<[&'a str; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    axis: Option<char>,
    observed_mm: f64,
    sigma_mm: f64,
    residual_mm: Option<f64>,
    redundancy: Option<f64>,
    w: Option<f64>,
    mdb_mm: Option<f64>,
    suspect: bool,
    used: bool,
}

#[derive(Serialize)]
struct SuspectJson<'a> {
    reading: usize,
    from: &'a str,
    to: Option<String>,
    error_mm: f64,
    sd_mm: f64,
    cause: Option<&'a str>,
    or: Vec<usize>,
}

#[derive(Serialize)]
struct PoseJson {
    forward_mm: f64,
    left_mm: f64,
    turned_deg: f64,
    sd_forward_mm: f64,
    sd_left_mm: f64,
    sd_turned_deg: f64,
    verdict: Option<&'static str>,
}

impl<'a> AssessmentJson<'a> {
    fn of(layout: &'a TapedLayout, assessment: &'a Assessment, words: &'a CheckWords) -> Self {
        let name = |point: usize| layout.network.points[point].id.as_str();
        let indices = 0..layout.network.observations.len();
        Self {
            format: "check/1",
            datum: assessment.datum.word(),
            dof: assessment.dof,
            sigma0: assessment.sigma0.map(round),
            global_test: assessment.global_test.map(|test| GlobalTestJson {
                statistic: round(test.statistic),
                lower: round(test.bounds[0]),
                upper: round(test.bounds[1]),
                passed: test.passed,
            }),
            marks: (0..assessment.marks.len())
                .map(|point| mark(layout, assessment, point))
                .collect(),
            readings: indices
                .map(|index| reading(layout, assessment, index))
                .collect(),
            suspects: assessment
                .suspects
                .iter()
                .zip(&words.causes)
                .map(|(one, cause)| suspect(layout, one, cause.as_deref()))
                .collect(),
            pose: assessment.pose.as_ref().map(pose),
            pulls_to_add: assessment
                .pulls_to_add
                .iter()
                .map(|pull| pull.map(name))
                .collect(),
            advice: &words.todo,
            jointly_inside: assessment.jointly_inside.map(round),
            grid: assessment.grid.map(part),
            vehicle: assessment.vehicle.map(part),
            todo: assessment
                .todo
                .iter()
                .map(|todo| TodoJson::of(layout, todo))
                .collect(),
            verdict: assessment.verdict.map(Verdict::word),
        }
    }
}

fn mark<'a>(layout: &TapedLayout, assessment: &'a Assessment, point: usize) -> MarkJson<'a> {
    let finding: &MarkFinding = &assessment.marks[point];
    let fixed = layout.network.points[point].fixed;
    let prior = finding.place.map(|_| finding.covariance);
    let posterior = prior
        .zip(assessment.sigma0)
        .map(|(covariance, sigma0)| covariance.scaled(sigma0 * sigma0));
    let moved = finding.moved.map(|_| finding.moved_covariance);
    let part = |of: Option<Vec2>, axis: fn(Vec2) -> f64| of.map(|d| round(axis(d)));
    let sd = |of: Option<Covariance>, axis: fn(&Covariance) -> f64| {
        of.as_ref().map(|covariance| round(axis(covariance)))
    };
    let shown = |place: Option<Point>| place.map(|place| place + layout.origin);
    let (place, design) = (shown(finding.place), shown(finding.design));
    MarkJson {
        id: &finding.id,
        fixed,
        x_mm: place.map(|place| round(place.x)),
        y_mm: place.map(|place| round(place.y)),
        sd_x_mm: sd(posterior, Covariance::sd_x),
        sd_y_mm: sd(posterior, Covariance::sd_y),
        ellipse: posterior.map(|covariance| ellipse(&covariance, posterior_factor(assessment.dof))),
        sd_x_a_priori_mm: sd(prior, Covariance::sd_x),
        sd_y_a_priori_mm: sd(prior, Covariance::sd_y),
        ellipse_a_priori: prior.map(|covariance| ellipse(&covariance, 1.0)),
        design_x_mm: design.map(|design| round(design.x)),
        design_y_mm: design.map(|design| round(design.y)),
        tolerance_mm: finding.tolerance.map(round),
        moved_forward_mm: part(finding.moved, |d| d.x),
        moved_left_mm: part(finding.moved, |d| d.y),
        sd_moved_forward_a_priori_mm: sd(moved, Covariance::sd_x),
        sd_moved_left_a_priori_mm: sd(moved, Covariance::sd_y),
        to_datum_forward_mm: part(finding.to_datum, |d| d.x),
        to_datum_left_mm: part(finding.to_datum, |d| d.y),
        displaced: finding.displaced,
        unchecked: finding.unchecked,
        verdict: finding.verdict.map(Verdict::word),
        datum_verdict: finding.datum_verdict.map(Verdict::word),
        inside_probability: finding.inside.map(round),
    }
}

/// How much larger the axes of the 95 % ellipse are when the variance comes from `dof` residuals and not from beforehand:
/// √(2 F(2, dof) / χ²(2)).
fn posterior_factor(dof: usize) -> f64 {
    FisherSnedecor::new(2.0, dof as f64).map_or(1.0, |f| {
        (2.0 * f.inverse_cdf(0.95) / (-2.0 * 0.05_f64.ln())).sqrt()
    })
}

fn ellipse(covariance: &Covariance, factor: f64) -> EllipseJson {
    let ellipse = covariance.ellipse();
    EllipseJson {
        major_mm: round(ellipse.major * factor),
        minor_mm: round(ellipse.minor * factor),
        bearing_deg: round(ellipse.bearing),
    }
}

fn reading<'a>(layout: &'a TapedLayout, assessment: &Assessment, index: usize) -> ReadingJson<'a> {
    let name = |point: usize| layout.network.points[point].id.as_str();
    let (observation, finding) = (
        &layout.network.observations[index],
        &assessment.readings[index],
    );
    let (kind, from, to, line, axis) = match observation.geometry {
        Geometry::Distance { from, to } => ("distance", name(from), Some(name(to)), None, None),
        Geometry::Offset { mark, line } => ("offset", name(mark), None, Some(line.map(name)), None),
        Geometry::X { point } => ("vehicle", name(point), None, None, Some('x')),
        Geometry::Y { point } => ("vehicle", name(point), None, None, Some('y')),
    };
    let used = |value: f64| finding.used.then(|| round(value));
    ReadingJson {
        kind,
        from,
        to,
        line,
        axis,
        observed_mm: round(observation.value),
        sigma_mm: round(observation.sd),
        residual_mm: used(finding.residual),
        redundancy: used(finding.redundancy),
        w: finding.normalised.map(round),
        mdb_mm: finding.smallest_error.map(round),
        suspect: finding.suspect,
        used: finding.used,
    }
}

fn suspect<'a>(
    layout: &'a TapedLayout,
    suspect: &Suspect,
    cause: Option<&'a str>,
) -> SuspectJson<'a> {
    let name = |point: usize| layout.network.points[point].id.as_str();
    let (from, to) = match layout.network.observations[suspect.observation].geometry {
        Geometry::Distance { from, to } => (name(from), Some(name(to).to_owned())),
        Geometry::Offset {
            mark,
            line: [start, end],
        } => (name(mark), Some(format!("{}..{}", name(start), name(end)))),
        Geometry::X { point } | Geometry::Y { point } => (name(point), None),
    };
    SuspectJson {
        reading: suspect.observation,
        from,
        to,
        error_mm: round(suspect.error),
        sd_mm: round(suspect.error_sd),
        cause,
        or: suspect.or.clone(),
    }
}

fn pose(pose: &Pose) -> PoseJson {
    PoseJson {
        forward_mm: round(pose.forward),
        left_mm: round(pose.left),
        turned_deg: round(pose.turned),
        sd_forward_mm: round(pose.sd[0]),
        sd_left_mm: round(pose.sd[1]),
        sd_turned_deg: round(pose.sd[2]),
        verdict: pose.verdict.map(Verdict::word),
    }
}

fn part(part: PartVerdict) -> PartJson {
    PartJson {
        verdict: part.verdict.word(),
        tied: part.tied,
        risk: part.risk.map(round),
    }
}
