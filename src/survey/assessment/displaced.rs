//! Marks that are not where the other marks are.
//!
//! The adjusted marks are laid onto the design by the best rigid fit. A mark that lies off pulls the fit towards itself, so
//! the one whose displacement is the least likely by its own covariance (two parameters, χ² with 2 degrees
//! of freedom) is left out of the fit and the rest is fitted anew, until no mark in the fit is both
//! no chance and not certainly inside its tolerance.

use kurbo::{Point, Vec2};

use crate::survey::{Adjustment, Covariance, RigidFit, Verdict, critical_displacement};

/// The marks against the design.
pub(super) struct Fitted {
    /// From the design to the adjusted places.
    pub fit: RigidFit,
    /// The points that the fit was made over.
    pub datum: Vec<usize>,
    /// Displacement of each point in the design's own axes, mm, and its covariance; `None` without a design.
    pub moved: Vec<Option<(Vec2, Covariance)>>,
    /// True for points whose displacement is no chance.
    pub displaced: Vec<bool>,
}

/// Fits the design to the adjusted places. `scale` multiplies all covariances. `None` with fewer than two designed points,
/// or where they lie at one place.
pub(super) fn fit(
    adjustment: &Adjustment,
    designs: &[Option<Point>],
    tolerances: &[Option<f64>],
    scale: f64,
) -> Option<Fitted> {
    let designed: Vec<usize> = (0..designs.len())
        .filter(|&point| designs[point].is_some())
        .collect();
    let mut datum = designed.clone();
    let least = designed.len() / 2 + 1;
    loop {
        let (fit, moved) = against(adjustment, designs, &designed, &datum, scale)?;
        let unlikely = |&(slot, point): &(usize, usize)| {
            let (d, covariance) = moved[slot];
            let tolerance = tolerances[point].unwrap_or(0.0);
            let inside =
                Verdict::of_probability(covariance.within(tolerance, d)) == Verdict::Inside;
            (datum.contains(&point) && !inside).then(|| covariance.squared_distance(d))
        };
        let worst = designed
            .iter()
            .copied()
            .enumerate()
            .filter_map(|at| unlikely(&at).map(|size| (at.1, size)));
        let worst = worst.reduce(|a, b| if b.1 > a.1 { b } else { a });
        match worst {
            Some((point, size)) if size > critical_displacement() && datum.len() > least.max(2) => {
                datum.retain(|&kept| kept != point);
            }
            _ => return Some(concluded(fit, datum, &designed, &moved, designs.len())),
        }
    }
}

type Moved = Vec<(Vec2, Covariance)>;

/// The fit over the points of `datum`, and how far each designed point lies from its design.
fn against(
    adjustment: &Adjustment,
    designs: &[Option<Point>],
    designed: &[usize],
    datum: &[usize],
    scale: f64,
) -> Option<(RigidFit, Moved)> {
    let pair = |&point: &usize| Some((designs[point]?, adjustment.places[point]));
    let fit = RigidFit::of(&datum.iter().filter_map(pair).collect::<Vec<_>>())?;
    let covariances = adjustment.relative_covariances(designed, datum)?;
    let moved = designed
        .iter()
        .zip(covariances)
        .filter_map(|(&point, covariance)| {
            let d = fit.undo(adjustment.places[point]) - designs[point]?;
            Some((d, covariance.turned(fit.turn).scaled(scale)))
        });
    Some((fit, moved.collect()))
}

fn concluded(
    fit: RigidFit,
    datum: Vec<usize>,
    designed: &[usize],
    found: &Moved,
    points: usize,
) -> Fitted {
    let (mut moved, mut displaced) = (vec![None; points], vec![false; points]);
    for (&point, &(d, covariance)) in designed.iter().zip(found) {
        moved[point] = Some((d, covariance));
        displaced[point] = covariance.squared_distance(d) > critical_displacement();
    }
    Fitted {
        fit,
        datum,
        moved,
        displaced,
    }
}
