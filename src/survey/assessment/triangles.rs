//! Distances that no three points can have: one is longer than the other two together.

use std::collections::BTreeMap;

use super::AssessError;
use crate::survey::{Geometry, Network};

/// A side must be longer than the others together by this many standard deviations of the three, so that marks on one line
/// do not count.
const CERTAIN: f64 = 4.0;

/// Most triangles that are looked for: the first few tell where to tape again.
const MOST: usize = 4;

/// Three observations of a triangle that cannot be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Impossible {
    /// Index of the observation that is too long for the others, or they too short for it.
    pub long: usize,
    /// Indices of the other two.
    pub others: [usize; 2],
}

/// Triangles of taped distances that break the triangle inequality, without the observations that `aside` names.
pub(super) fn impossible(network: &Network, aside: &[usize]) -> Vec<Impossible> {
    let mut sides: BTreeMap<usize, BTreeMap<usize, usize>> = BTreeMap::new();
    for (index, observation) in network.observations.iter().enumerate() {
        if let (Geometry::Distance { from, to }, false) =
            (observation.geometry, aside.contains(&index))
        {
            sides.entry(from).or_default().entry(to).or_insert(index);
            sides.entry(to).or_default().entry(from).or_insert(index);
        }
    }
    let mut found = Vec::new();
    for (a, around) in &sides {
        for (b, &ab) in around.range(a + 1..) {
            let third = around
                .range(b + 1..)
                .filter_map(|(c, &ac)| Some([ab, ac, *sides[b].get(c)?]));
            found.extend(third.filter_map(|triangle| broken(network, triangle)));
            if found.len() >= MOST {
                found.truncate(MOST);
                return found;
            }
        }
    }
    found
}

fn broken(network: &Network, triangle: [usize; 3]) -> Option<Impossible> {
    let value = |index: usize| network.observations[index].value;
    let sd = triangle
        .map(|index| network.observations[index].sd.powi(2))
        .iter()
        .sum::<f64>()
        .sqrt();
    let long = triangle
        .into_iter()
        .reduce(|a, b| if value(b) > value(a) { b } else { a })?;
    let mut others = triangle.into_iter().filter(|&index| index != long);
    let others = [others.next()?, others.next()?];
    (value(long) - value(others[0]) - value(others[1]) > CERTAIN * sd)
        .then_some(Impossible { long, others })
}

impl Impossible {
    /// The error that names this triangle.
    pub(super) fn error(self, network: &Network) -> AssessError {
        let name = |index: usize| {
            let points = network.observations[index].geometry.points();
            points
                .into_iter()
                .map(|point| network.points[point].id.as_str())
                .collect::<Vec<_>>()
                .join("\u{2013}")
        };
        let value = |index: usize| network.observations[index].value;
        let [a, b] = self.others;
        AssessError::Unsettled {
            long: (name(self.long), value(self.long)),
            others: [name(a), name(b)],
            together: value(a) + value(b),
        }
    }
}
