//! Distances that no three points can have: one is longer than the other two together.

use std::collections::BTreeMap;

use crate::survey::{Geometry, Network};

/// A side must be longer than the others together by this many standard deviations of the three, so that marks on one line
/// do not count.
const CERTAIN: f64 = 4.0;

/// Most triangles that are looked for: the first few tell where to tape again.
const MOST: usize = 4;

/// Three observations of a triangle that cannot be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Impossible {
    /// Index of the observation that is too long for the others, or they too short for it.
    pub long: usize,
    /// Indices of the other two.
    pub others: [usize; 2],
}

/// Triangles of taped distances that break the triangle inequality, without the observations that `aside` names.
pub(super) fn impossible(network: &Network, aside: &[usize]) -> Vec<Impossible> {
    let mut sides: BTreeMap<usize, BTreeMap<usize, usize>> = BTreeMap::new();
    for (index, observation) in network.observations.iter().enumerate() {
        if let (Geometry::Distance { from, to }, false) = (observation.geometry, aside.contains(&index)) {
            sides.entry(from).or_default().entry(to).or_insert(index);
            sides.entry(to).or_default().entry(from).or_insert(index);
        }
    }
    let mut found = Vec::new();
    for (a, around) in &sides {
        for (b, &ab) in around.range(a + 1..) {
            let third = around.range(b + 1..).filter_map(|(c, &ac)| Some([ab, ac, *sides[b].get(c)?]));
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
    let sd = triangle.map(|index| network.observations[index].sd.powi(2)).iter().sum::<f64>().sqrt();
    let long = triangle.into_iter().reduce(|a, b| if value(b) > value(a) { b } else { a })?;
    let mut others = triangle.into_iter().filter(|&index| index != long);
    let others = [others.next()?, others.next()?];
    (value(long) - value(others[0]) - value(others[1]) > CERTAIN * sd).then_some(Impossible { long, others })
}

/// What is said of such a triangle.
pub(super) fn sentence(network: &Network, triangle: Impossible, length: impl Fn(f64) -> String) -> String {
    let name = |index: usize| {
        let [from, to] = match network.observations[index].geometry {
            Geometry::Distance { from, to } => [from, to],
            Geometry::Offset { mark, line } => [mark, line[0]],
            Geometry::X { point } | Geometry::Y { point } => [point; 2],
        };
        format!("{}\u{2013}{}", network.points[from].id, network.points[to].id)
    };
    let value = |index: usize| network.observations[index].value;
    let Impossible { long, others: [a, b] } = triangle;
    format!(
        "No triangle has these sides: {} with {} is longer than {} and {} together, {}: one of the three is wrong; tape them again.",
        name(long),
        length(value(long)),
        name(a),
        name(b),
        length(value(a) + value(b))
    )
}
