//! From readings to a judgement.

use kurbo::{Point, Vec2};

use super::{
    constant::constant_error,
    displaced::{self, Fitted},
    judge::judge,
    model::{
        Assessment, Finding, GlobalTest, MarkFinding, Pose, ReadingFinding, Suspect, TapedLayout,
    },
    slip::Slip,
    snooping::{Snooped, snoop},
    triangles,
    unchecked::{pulls_to_add, unchecked},
    whole::whole_fault,
};
use crate::survey::{
    AdjustError, Adjustment, COVERAGE_FACTOR, Covariance, Datum, DesignRow, Geometry, HeldPart,
    Network, Observation, Verdict, chi_squared_quantile,
};

/// Probability that right readings pass the global test, half of the rest on either side.
const GLOBAL_CONFIDENCE: f64 = 0.95;

/// Probability with which readings of a layout that lies as designed are taken for such.
const DESIGN_CONFIDENCE: f64 = 0.99;

/// A reading is taken for one to another mark when it fits that distance within so many of its standard deviations: with
/// normal errors 3 in 1000 do not.
const FITS: f64 = 3.0;

/// Only errors of so many standard deviations are looked for at other marks: smaller ones would fit by chance.
const FAR_OFF: f64 = 8.0;

/// Marks whose stations differ by less than this, mm, lie beside each other across the vehicle.
const BESIDE_MM: f64 = 25.0;

/// Why a layout cannot be judged.
#[derive(Clone, Debug, PartialEq)]
pub enum AssessError {
    /// No three marks are held to each other; distances that would hold them.
    NothingHeld {
        /// Pairs of names.
        pulls: Vec<[String; 2]>,
    },
    /// No places fit the readings, since triangles cannot be.
    Unsettled {
        /// Long side of the first of these triangles, and its length, mm.
        long: (String, f64),
        /// Its other sides.
        others: [String; 2],
        /// Their lengths together, mm.
        together: f64,
    },
    /// Points of one reading lie at one place.
    Coincident {
        /// Their names.
        points: Vec<String>,
    },
}

impl std::error::Error for AssessError {}

/// Judges a taped layout.
///
/// # Errors
/// `AssessError` where there is nothing to judge.
pub fn assess(layout: &TapedLayout) -> Result<Assessment, AssessError> {
    if let Some(prior) = &layout.prior {
        return judge(layout, prior);
    }
    let network = &layout.network;
    let name = |point: usize| network.points[point].id.clone();
    let part = network.held_part();
    if part.points.is_empty() {
        let pulls = network.pulls_to_hold(&layout.further);
        return Err(AssessError::NothingHeld {
            pulls: pulls.into_iter().map(|pair| pair.map(name)).collect(),
        });
    }
    let mut assessment = match snoop(&part.network) {
        Ok(snooped) => {
            let pulls_to_add = pulls_to_add(layout, &part, &snooped);
            Assessment {
                pulls_to_add,
                ..Judged::of(layout, &part, &snooped).assessment()
            }
        }
        Err(AdjustError::Coincident { observation }) => {
            let points = part.network.observations[observation].geometry.points();
            let points = points
                .into_iter()
                .map(|point| name(part.points[point]))
                .collect();
            return Err(AssessError::Coincident { points });
        }
        Err(AdjustError::Loose | AdjustError::Unsettled) => {
            if let Some(one) = triangles::impossible(network, &[]).first() {
                return Err(one.error(network));
            }
            unsettled(layout)
        }
    };
    let suspects = assessment.suspects.iter();
    let aside: Vec<usize> = suspects.map(|suspect| suspect.observation).collect();
    assessment.findings.extend(
        triangles::impossible(network, &aside)
            .into_iter()
            .map(Finding::Impossible),
    );
    let marks = assessment.marks.iter();
    let pairs = marks.filter_map(|mark| Some((mark.design?, mark.place?)));
    assessment
        .findings
        .extend(whole_fault(&pairs.collect::<Vec<_>>()).map(Finding::Whole));
    Ok(assessment)
}

/// What is said where the readings hold the marks so weakly, or contradict their places so much, that no places stand out.
fn unsettled(layout: &TapedLayout) -> Assessment {
    let network = &layout.network;
    let mark = |point: usize| blank(layout, point);
    let marks: Vec<MarkFinding> = (0..network.points.len()).map(mark).collect();
    Assessment {
        datum: if network.points.iter().any(|point| point.fixed) {
            Datum::Held
        } else {
            Datum::Free
        },
        dof: 0,
        sigma0: None,
        global_test: None,
        verdict: marks.iter().filter_map(|mark| mark.verdict).max(),
        marks,
        readings: vec![ReadingFinding::UNUSED; network.observations.len()],
        scattered: false,
        constant_error: None,
        suspects: Vec::new(),
        pose: None,
        pulls_to_add: Vec::new(),
        findings: vec![Finding::Unsettled],
        grid: None,
        vehicle: None,
        jointly_inside: None,
        todo: Vec::new(),
    }
}

/// A mark of which nothing is known yet.
fn blank(layout: &TapedLayout, point: usize) -> MarkFinding {
    let (design, tolerance) = (layout.designs[point], layout.tolerances[point]);
    MarkFinding {
        id: layout.network.points[point].id.clone(),
        design,
        tolerance,
        place: None,
        covariance: Covariance::default(),
        moved: None,
        moved_covariance: Covariance::default(),
        to_datum: None,
        displaced: false,
        unchecked: false,
        verdict: tolerance.and(design).map(|_| Verdict::Undecided),
        datum_verdict: None,
        inside: None,
    }
}

/// The held part of a layout, adjusted and fitted to the design.
struct Judged<'a> {
    layout: &'a TapedLayout,
    part: &'a HeldPart,
    snooped: &'a Snooped,
    global_test: Option<GlobalTest>,
    /// Factor on all variances: σ₀² where the readings scatter more than expected, else 1.
    scale: f64,
    fitted: Option<Fitted>,
    /// See [`Assessment::constant_error`].
    constant_error: Option<f64>,
    /// Points that hang on a reading that nothing checks.
    unchecked: Vec<bool>,
    /// True where the readings agree with the layout as designed: then nothing in it is outside, however the best fit bends.
    as_designed: bool,
}

impl<'a> Judged<'a> {
    fn of(layout: &'a TapedLayout, part: &'a HeldPart, snooped: &'a Snooped) -> Self {
        let adjustment = &snooped.adjustment;
        let global_test = global_test(adjustment);
        let scale = match global_test {
            Some(GlobalTest {
                passed: false,
                statistic,
                ..
            }) => statistic / adjustment.dof as f64,
            _ => 1.0,
        };
        let points = part.points.iter();
        let designs: Vec<Option<Point>> = points.map(|&point| layout.designs[point]).collect();
        let points = part.points.iter();
        let tolerances: Vec<Option<f64>> = points.map(|&point| layout.tolerances[point]).collect();
        let fitted = displaced::fit(adjustment, &designs, &tolerances, scale);
        let unchecked = unchecked(snooped, &tolerances);
        Self {
            layout,
            part,
            snooped,
            global_test,
            scale,
            fitted,
            constant_error: constant_error(layout),
            unchecked,
            as_designed: fits(&snooped.network, &designs, adjustment),
        }
    }

    fn assessment(&self) -> Assessment {
        let adjustment = &self.snooped.adjustment;
        let marks: Vec<MarkFinding> = (0..self.layout.network.points.len())
            .map(|point| self.mark(point))
            .collect();
        let pose = self.pose(&marks);
        let mut assessment = Assessment {
            datum: adjustment.datum,
            dof: adjustment.dof,
            sigma0: adjustment.sigma0(),
            global_test: self.global_test,
            marks,
            readings: self.readings(),
            scattered: self.snooped.scattered,
            constant_error: self.constant_error,
            suspects: self.suspects(),
            pose,
            pulls_to_add: Vec::new(),
            findings: Vec::new(),
            grid: None,
            vehicle: None,
            jointly_inside: None,
            todo: Vec::new(),
            verdict: None,
        };
        assessment.verdict = whole_verdict(&assessment);
        assessment
    }

    fn mark(&self, point: usize) -> MarkFinding {
        let layout = self.layout;
        let (design, tolerance) = (layout.designs[point], layout.tolerances[point]);
        let mut finding = blank(layout, point);
        let Some(own) = self.part.points.iter().position(|&kept| kept == point) else {
            return finding;
        };
        let adjustment = &self.snooped.adjustment;
        let place = adjustment.places[own];
        finding.place = Some(place);
        finding.covariance = adjustment.covariance(own);
        let judge = |covariance: Covariance, d: Vec2| {
            tolerance.map(|tolerance| covariance.verdict(tolerance, d))
        };
        if let Some((d, covariance)) = self.fitted.as_ref().and_then(|fitted| fitted.moved[own]) {
            finding.moved = Some(d);
            finding.moved_covariance = covariance.scaled(1.0 / self.scale);
            finding.displaced = self
                .fitted
                .as_ref()
                .is_some_and(|fitted| fitted.displaced[own]);
            finding.unchecked = tolerance.is_some() && self.unchecked[own];
            let verdict = judge(covariance, d);
            finding.verdict = verdict.map(|verdict| match verdict {
                Verdict::Inside if finding.unchecked => Verdict::Undecided,
                Verdict::Outside if self.constant_error.is_some() || self.as_designed => {
                    Verdict::Undecided
                }
                verdict => verdict,
            });
        }
        if let (Datum::Held, Some(design), false) =
            (adjustment.datum, design, layout.network.points[point].fixed)
        {
            let d = place - design;
            finding.to_datum = Some(d);
            finding.datum_verdict =
                tolerance
                    .filter(|_| self.constant_error.is_none())
                    .map(|tolerance| {
                        against_datum(adjustment.covariance(own).scaled(self.scale), d, tolerance)
                    });
        }
        finding
    }

    /// Findings on all observations; those that are not of the held part are unused.
    fn readings(&self) -> Vec<ReadingFinding> {
        let mut all = vec![ReadingFinding::UNUSED; self.layout.network.observations.len()];
        for (finding, &index) in self.snooped.findings.iter().zip(&self.part.observations) {
            all[index] = *finding;
        }
        all
    }

    /// The suspects by the whole network's indices, with their usual causes.
    fn suspects(&self) -> Vec<Suspect> {
        let whole = |index: usize| self.part.observations[index];
        let named = |suspect: &Suspect| {
            let observation = self.part.network.observations[suspect.observation];
            let cause = match observation.geometry {
                Geometry::Distance { .. } => self.taped_elsewhere(suspect).or_else(|| {
                    Slip::of_reading(observation.value, suspect.error, suspect.error_sd)
                }),
                _ => None,
            };
            let or = suspect.or.iter().map(|&other| whole(other)).collect();
            Suspect {
                observation: whole(suspect.observation),
                cause,
                or,
                ..suspect.clone()
            }
        };
        self.snooped.suspects.iter().map(named).collect()
    }

    /// Whether the reading fits a distance to another mark instead: the mirrored one, or a neighbour.
    fn taped_elsewhere(&self, suspect: &Suspect) -> Option<Slip> {
        let observation = self.part.network.observations[suspect.observation];
        let Geometry::Distance { from, to } = observation.geometry else {
            return None;
        };
        let (places, points) = (&self.snooped.adjustment.places, &self.part.network.points);
        if suspect.error.abs() < FAR_OFF * observation.sd {
            return None;
        }
        // What the others say of the reading is about as well known as what they say of one to the mark beside.
        let near = FITS * suspect.error_sd;
        let beside = |one: usize, other: usize| {
            (points[one].start.x - points[other].start.x).abs() < BESIDE_MM
        };
        let fits = |&(kept, replaced, other): &(usize, usize, usize)| {
            other != kept
                && other != replaced
                && beside(replaced, other)
                && (places[kept].distance(places[other]) - observation.value).abs() < near
        };
        let instead =
            |(kept, replaced)| (0..points.len()).map(move |other| (kept, replaced, other));
        let (kept, _, other) = [(from, to), (to, from)]
            .into_iter()
            .flat_map(instead)
            .find(fits)?;
        let [from, to] = [kept, other].map(|own| self.part.points[own]);
        Some(Slip::OtherSide { from, to })
    }

    fn pose(&self, marks: &[MarkFinding]) -> Option<Pose> {
        let (adjustment, fitted) = (&self.snooped.adjustment, self.fitted.as_ref()?);
        if adjustment.datum != Datum::Held {
            return None;
        }
        let covariance =
            adjustment.fit_covariance(&fitted.datum, fitted.fit.apply(Point::ORIGIN))?;
        let sd = |index: usize| covariance[(index, index)].max(0.0).sqrt();
        Some(Pose {
            forward: fitted.fit.shift.x,
            left: fitted.fit.shift.y,
            turned: fitted.fit.turn.to_degrees(),
            sd: [sd(0), sd(1), sd(2).to_degrees()],
            verdict: marks
                .iter()
                .filter(|mark| !mark.displaced)
                .filter_map(|mark| mark.datum_verdict)
                .max(),
        })
    }
}

/// Whether the readings fit the designed places as well as the adjusted ones, but for what chance makes of as many unknowns (test of the
/// likelihood ratio). Where readings hold marks weakly the best fit may bend far at next to no cost.
fn fits(network: &Network, designs: &[Option<Point>], adjustment: &Adjustment) -> bool {
    let at = |point: usize| designs[point].unwrap_or(adjustment.places[point]);
    let square = |one: &Observation| {
        DesignRow::at(one.geometry, at).map_or(f64::INFINITY, |row| {
            ((one.value - row.value) / one.sd).powi(2)
        })
    };
    let squares: f64 = network.observations.iter().map(square).sum();
    let unknowns = network.observations.len().saturating_sub(adjustment.dof);
    let scatter = adjustment
        .sigma0()
        .map_or(1.0, |sigma0| sigma0.powi(2).max(1.0));
    squares - adjustment.squares <= scatter * chi_squared_quantile(unknowns, DESIGN_CONFIDENCE)
}

/// The decision on a mark against the vehicle, measured `d` from where it should be.
///
/// Plumbing alone puts a far mark off by a good part of a tolerance of a few millimetres, so a guard band would leave the best
/// of layouts undecided. What is measured within the tolerance is therefore taken as inside as long as twice the standard
/// deviation is no more than the tolerance, in every direction (simple acceptance with a bound on the uncertainty,
/// JCGM 106:2012, 8.2); outside has to be proven as everywhere.
fn against_datum(covariance: Covariance, d: Vec2, tolerance: f64) -> Verdict {
    let known = COVERAGE_FACTOR * covariance.largest_sd() <= tolerance;
    match covariance.verdict(tolerance, d) {
        Verdict::Undecided if known && d.hypot() <= tolerance => Verdict::Inside,
        verdict => verdict,
    }
}

fn global_test(adjustment: &Adjustment) -> Option<GlobalTest> {
    let tail = (1.0 - GLOBAL_CONFIDENCE) / 2.0;
    let bounds =
        [tail, 1.0 - tail].map(|probability| chi_squared_quantile(adjustment.dof, probability));
    (adjustment.dof > 0).then(|| GlobalTest {
        statistic: adjustment.squares,
        bounds,
        passed: adjustment.squares <= bounds[1],
    })
}

/// The worst of everything that has a tolerance; never inside while a reading is doubtful or a check is missing.
fn whole_verdict(assessment: &Assessment) -> Option<Verdict> {
    let marks = assessment
        .marks
        .iter()
        .filter_map(|mark| mark.verdict)
        .max()?;
    let pose = assessment
        .pose
        .and_then(|pose| pose.verdict)
        .unwrap_or(Verdict::Inside);
    let sound = assessment.suspects.is_empty()
        && !assessment.scattered
        && assessment.constant_error.is_none()
        && assessment.global_test.is_some_and(|test| test.passed)
        && assessment
            .marks
            .iter()
            .all(|mark| mark.tolerance.is_none() || mark.place.is_some());
    Some(marks.max(pose).max(if sound {
        Verdict::Inside
    } else {
        Verdict::Undecided
    }))
}
