//! Readings that contradict the others, set aside one at a time.
//!
//! Data snooping after Baarda: while a normalised residual |w| is above its critical value, the reading with the
//! largest one is set aside and the rest is adjusted anew. Afterwards each that was set aside is held
//! against the final adjustment, and taken back when it fits after all.
//!
//! With one degree of freedom all |w| are the same: that something is wrong can be seen, what it is cannot. Then
//! nothing is set aside, and the suspect stays in the adjustment.

use kurbo::Point;

use super::model::{ReadingFinding, Suspect};
use crate::survey::{
    AdjustError, Adjusted, Adjustment, DesignRow, Geometry, Network, critical_value_among,
};

/// Set aside at most this part of the readings: where more are suspected, it is not single readings that are wrong.
const MOST_SUSPECTS: f64 = 0.2;

/// The same where there are many more readings than the points need.
const MOST_OF_MANY: f64 = 0.4;

/// Fewer gross errors than this are told from their neighbours one by one.
const SEVERAL: usize = 4;

/// Set aside at most this many one by one: whoever has taped more wrong ones tapes all again.
const MOST_ONE_BY_ONE: usize = 50;

/// A reading with less redundancy is not set aside: next to nothing speaks against it, and without it the rest may come
/// loose.
const LEAST_REDUNDANCY: f64 = 1e-4;

/// Two suspects are told apart when their |w| differ by more than this many standard deviations of the difference.
const TOLD_APART: f64 = 1.645;

/// |w| that differ by less than this part are equal.
const EQUAL_W: f64 = 1e-6;

/// Residuals that correlate by more than this are one and the same to all tests.
const ONE_AND_THE_SAME: f64 = 1.0 - 1e-9;

/// From this |w| on an error is gross: it may bend the whole adjustment.
const GROSS: f64 = 20.0;

/// Suspects of a gross error that are tried.
const MOST_TRIED: usize = 6;

/// An adjustment without the readings that contradict it.
pub(super) struct Snooped {
    /// The adjustment of what was kept.
    pub adjustment: Adjustment,
    /// The network that was adjusted.
    pub network: Network,
    /// What was set aside, or with one degree of freedom is suspected, the worst first.
    pub suspects: Vec<Suspect>,
    /// Findings on all observations.
    pub findings: Vec<ReadingFinding>,
    /// True when more were suspected than may be set aside.
    pub scattered: bool,
}

/// Adjusts a network that is held, and sets aside what contradicts it.
pub(super) fn snoop(given: &Network) -> Result<Snooped, AdjustError> {
    let first = given.adjust_from_anywhere()?;
    let mut network = given.clone();
    // A gross error bends the whole adjustment: what most readings agree on is the better start.
    let gross = first
        .observations
        .iter()
        .any(|one| one.normalised.unwrap_or(0.0).abs() > GROSS);
    let agreed = if gross { given.agreed_places() } else { None };
    for (point, place) in network
        .points
        .iter_mut()
        .zip(agreed.as_ref().unwrap_or(&first.places))
    {
        point.start = if point.fixed { point.start } else { *place };
    }
    let most = most_suspects(&first);
    let mut kept: Vec<usize> = (0..given.observations.len()).collect();
    let (mut adjustment, mut aside, mut scattered) =
        (first.clone(), Vec::<(usize, Vec<usize>)>::new(), false);
    if let Some((wrong, without, next)) =
        agreed.and_then(|places| plainly_wrong(&network, &places, most))
    {
        kept.retain(|index| !wrong.contains(index));
        aside = wrong.into_iter().map(|index| (index, Vec::new())).collect();
        (network, adjustment) = (without, next);
    }
    let most = most.min(aside.len() + MOST_ONE_BY_ONE);
    while let Some((worst, or)) = suspected(&network, &adjustment).filter(|_| adjustment.dof > 1) {
        if aside.len() == most {
            scattered = true;
            break;
        }
        let trial = by_trial(&network, &adjustment, worst);
        let (worst, or, gross) = trial.map_or((worst, or, false), |(worst, or)| (worst, or, true));
        let mut without = network.clone();
        let removed = without.observations.remove(worst);
        let quick = if gross {
            None
        } else {
            adjustment.without(&without, removed)
        };
        let Some(next) = quick.or_else(|| without.adjust_from_anywhere().ok()) else {
            break;
        };
        aside.push((
            kept[worst],
            or.into_iter().map(|other| kept[other]).collect(),
        ));
        kept.remove(worst);
        (network, adjustment) = (without, next);
    }
    let starts: Vec<Point> = given.points.iter().map(|point| point.start).collect();
    if !aside.is_empty() {
        take_back(given, &mut network, &mut adjustment, &mut kept, &mut aside);
        // The later adjustments started where the first one ended.
        adjustment = adjustment.laid_near(&network, &starts)?;
    }
    adjustment = network.nearer_image(adjustment, &starts);
    let mut suspects: Vec<Suspect> = aside
        .into_iter()
        .map(|(observation, or)| {
            let (error, error_sd) = prediction(given, observation, &network, &adjustment);
            Suspect {
                observation,
                error,
                error_sd,
                cause: None,
                or,
            }
        })
        .collect();
    suspects.extend(untold(&network, &adjustment, &kept));
    suspects.sort_by(|a, b| {
        (b.error / b.error_sd)
            .abs()
            .total_cmp(&(a.error / a.error_sd).abs())
    });
    let findings = findings(given, &first.observations, &adjustment, &kept, &suspects);
    Ok(Snooped {
        adjustment,
        network,
        suspects,
        findings,
        scattered,
    })
}

/// How many readings may be set aside: a fifth of them, or half of those that are not needed to hold the points.
fn most_suspects(adjustment: &Adjustment) -> usize {
    let count = adjustment.observations.len() as f64;
    let spare = (adjustment.dof as f64 / 2.0).min(count * MOST_OF_MANY);
    (spare.max(count * MOST_SUSPECTS) as usize).max(1)
}

/// Several readings that lie grossly off what most others agree on, with the network and the adjustment without them. One or two are
/// better told from their neighbours by trying each.
fn plainly_wrong(
    given: &Network,
    places: &[Point],
    most: usize,
) -> Option<(Vec<usize>, Network, Adjustment)> {
    let off = |index: &usize| {
        let one = given.observations[*index];
        DesignRow::at(one.geometry, |point| places[point])
            .is_some_and(|row| (one.value - row.value).abs() > GROSS * one.sd)
    };
    let wrong: Vec<usize> = (0..given.observations.len()).filter(off).collect();
    if wrong.len() < SEVERAL || wrong.len() > most {
        return None;
    }
    let mut without = given.clone();
    let mut index = 0;
    without.observations.retain(|_| {
        index += 1;
        !wrong.contains(&(index - 1))
    });
    let next = without.adjust().ok()?;
    Some((wrong, without, next))
}

/// The observation with the largest suspicious |w|, and others that could as well be the wrong one.
fn suspected(network: &Network, adjustment: &Adjustment) -> Option<(usize, Vec<usize>)> {
    let critical = critical_value_among(network.observations.len());
    let size = |index: usize| {
        let one = &adjustment.observations[index];
        if one.redundancy < LEAST_REDUNDANCY {
            0.0
        } else {
            one.normalised.unwrap_or(0.0).abs()
        }
    };
    let worst =
        (0..network.observations.len()).reduce(|a, b| if size(b) > size(a) { b } else { a })?;
    if size(worst) <= critical {
        return None;
    }
    let variance = |index: usize| {
        let sd = network.observations[index].sd;
        adjustment.observations[index].redundancy * sd * sd
    };
    let as_likely = |&other: &usize| {
        if other == worst || size(other) <= critical / 2.0 {
            return false;
        }
        let shared = adjustment.residual_covariance((worst, network.observations[worst].sd), other);
        let signed = (shared / (variance(worst) * variance(other)).sqrt()).clamp(-1.0, 1.0);
        let correlation = signed.abs();
        let [of_worst, of_other] =
            [worst, other].map(|index| adjustment.observations[index].normalised.unwrap_or(0.0));
        // Without the other, this would be left of the worst one's w.
        let left = (of_worst - signed * of_other).abs()
            / (1.0 - signed * signed).sqrt().max(f64::MIN_POSITIVE);
        let explains = correlation > ONE_AND_THE_SAME || left <= critical;
        explains
            && size(worst) - size(other)
                < TOLD_APART * (2.0 * (1.0 - correlation)).sqrt() + EQUAL_W * size(worst)
    };
    let or = (0..network.observations.len()).filter(as_likely).collect();
    Some((worst, or))
}

/// Which of the largest suspects leaves the least squares when it is set aside, and those that leave hardly more. A gross error
/// bends the adjustment so far that the |w| at its solution can point at a neighbour; trying tells. `None` where the
/// largest |w| is not that of a gross error.
fn by_trial(
    network: &Network,
    adjustment: &Adjustment,
    worst: usize,
) -> Option<(usize, Vec<usize>)> {
    let size = |index: usize| {
        adjustment.observations[index]
            .normalised
            .unwrap_or(0.0)
            .abs()
    };
    let checked = |index: &usize| adjustment.observations[*index].redundancy >= LEAST_REDUNDANCY;
    if size(worst) < GROSS {
        return None;
    }
    let mut likely: Vec<usize> = (0..network.observations.len())
        .filter(checked)
        .filter(|&index| 2.0 * size(index) > size(worst))
        .collect();
    likely.sort_by(|a, b| size(*b).total_cmp(&size(*a)));
    likely.truncate(MOST_TRIED);
    let squares = |&index: &usize| {
        let mut without = network.clone();
        without.observations.remove(index);
        without
            .adjust_from_anywhere()
            .ok()
            .map(|found| (found.squares, index))
    };
    let tried: Vec<(f64, usize)> = likely.iter().filter_map(squares).collect();
    let best = tried
        .iter()
        .copied()
        .reduce(|best, one| if one.0 < best.0 { one } else { best })?;
    let alike = |one: &&(f64, usize)| one.1 != best.1 && one.0 - best.0 < TOLD_APART.powi(2);
    Some((
        best.1,
        tried.iter().filter(alike).map(|one| one.1).collect(),
    ))
}

/// The suspect of an adjustment with one degree of freedom, which is still in it: its error −v/r and the standard deviation
/// σ/√r of that are those of a prediction by the others (Baarda 1968).
fn untold(network: &Network, adjustment: &Adjustment, kept: &[usize]) -> Option<Suspect> {
    let (worst, or) = suspected(network, adjustment).filter(|_| adjustment.dof == 1)?;
    let (one, sd) = (
        &adjustment.observations[worst],
        network.observations[worst].sd,
    );
    Some(Suspect {
        observation: kept[worst],
        error: -one.residual / one.redundancy,
        error_sd: sd / one.redundancy.sqrt(),
        cause: None,
        or: or.into_iter().map(|other| kept[other]).collect(),
    })
}

/// Takes back what fits after all, the first that was set aside first.
fn take_back(
    given: &Network,
    network: &mut Network,
    adjustment: &mut Adjustment,
    kept: &mut Vec<usize>,
    aside: &mut Vec<(usize, Vec<usize>)>,
) {
    let (mut index, critical) = (0, critical_value_among(given.observations.len()));
    while index < aside.len() {
        let observation = aside[index].0;
        let (error, sd) = prediction(given, observation, network, adjustment);
        if (error / sd).abs() > critical {
            index += 1;
            continue;
        }
        let mut with = network.clone();
        let at = kept.partition_point(|&kept| kept < observation);
        with.observations
            .insert(at, given.observations[observation]);
        let next = adjustment
            .with(&with, given.observations[observation])
            .or_else(|| with.adjust().ok());
        let Some(next) = next else {
            index += 1;
            continue;
        };
        (*network, *adjustment) = (with, next);
        kept.insert(at, observation);
        aside.remove(index);
    }
}

/// How much too long an observation that is not in the adjustment is, mm, and the standard deviation of that.
fn prediction(
    given: &Network,
    observation: usize,
    network: &Network,
    adjustment: &Adjustment,
) -> (f64, f64) {
    let one = given.observations[observation];
    debug_assert_eq!(given.points.len(), network.points.len());
    let Some(row) = DesignRow::at(one.geometry, |point| adjustment.places[point]) else {
        return (one.value, one.sd);
    };
    (
        one.value - row.value,
        (one.sd.powi(2) + adjustment.variance_of(&row)).sqrt(),
    )
}

fn findings(
    given: &Network,
    first: &[Adjusted],
    adjustment: &Adjustment,
    kept: &[usize],
    suspects: &[Suspect],
) -> Vec<ReadingFinding> {
    let of = |index: usize| {
        let initial = first[index];
        let finding = ReadingFinding {
            residual: initial.residual,
            redundancy: initial.redundancy,
            normalised: initial.normalised,
            smallest_error: initial.smallest_error,
            suspect: false,
            used: true,
        };
        let suspect = suspects.iter().find(|suspect| suspect.observation == index);
        if let Ok(place) = kept.binary_search(&index) {
            let last = adjustment.observations[place];
            let suspect = suspect.is_some();
            return ReadingFinding {
                residual: last.residual,
                normalised: last.normalised,
                suspect,
                ..finding
            };
        }
        ReadingFinding {
            residual: suspect.map_or(initial.residual, |suspect| -suspect.error),
            suspect: true,
            normalised: suspect.map(|suspect| -suspect.error / suspect.error_sd),
            ..finding
        }
    };
    (0..given.observations.len()).map(of).collect()
}

impl Snooped {
    /// Redundancy that an observation would gain from a distance taped besides, as large as its standard deviation: the
    /// squared share of the one's cofactor in the other's, (a Q bᵀ)²/(σ_a² (σ_b² + b Q bᵀ)).
    pub(super) fn checks(&self, observation: usize, [from, to]: [usize; 2]) -> f64 {
        let Some(row) = DesignRow::at(Geometry::Distance { from, to }, |point| {
            self.adjustment.places[point]
        }) else {
            return 0.0;
        };
        let sd = self.network.observations[observation].sd;
        let shared = self.adjustment.covariance_with(observation, &row);
        shared * shared / (sd * sd * (sd * sd + self.adjustment.variance_of(&row)))
    }
}
