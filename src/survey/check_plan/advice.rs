//! Strings that hold what distances cannot.

use super::{
    Advice,
    cofactor::{Cofactors, Reading},
    detectable::eigenvalues,
};
use crate::{
    plan::FloorPlan,
    survey::{Geometry, Precision, Row},
};

/// A mark nearer to the string than this, mm, is seen to lie on it; others are taped from it.
const ON_STRING_MM: f64 = 0.5;

/// A reading is advised only where it leaves less than this part of what was found without it.
const WORTH_IT: f64 = 0.8;

/// Readings across a string for marks that distances do not prove, one mark after the other, each reckoned with
/// those before it. Strings are stretched between the two tape base marks, or over two marks in line with the
/// one in question.
pub(super) fn advise(
    plan: &FloorPlan,
    precision: &Precision,
    mut cofactors: Cofactors,
    unmet: &[(usize, f64)],
    freedom: f64,
) -> Vec<Advice> {
    let size = |largest: f64| (freedom * largest).sqrt();
    let mut advice = Vec::new();
    for &(mark, _) in unmet {
        let before = size(eigenvalues(cofactors.marks[mark])[0]);
        if before <= plan.marks[mark].tolerance {
            continue;
        }
        let best = strings(plan, precision, mark)
            .map(|(reading, string, offset)| {
                let effect = cofactors.effect(&reading);
                let after = effect.covariance(mark, cofactors.marks[mark], effect.put_in());
                (effect, Advice { mark, string, offset, worst: size(eigenvalues(after)[0]) })
            })
            .reduce(|a, b| if b.1.worst < a.1.worst { b } else { a });
        if let Some((effect, found)) = best.filter(|(_, found)| found.worst < WORTH_IT * before) {
            cofactors.change(&effect, effect.put_in());
            advice.push(found);
        }
    }
    advice
}

/// Readings that say how a mark lies to a string: reading, marks of the string, offset.
fn strings(plan: &FloorPlan, precision: &Precision, mark: usize) -> impl Iterator<Item = (Reading, [usize; 2], f64)> {
    let places: Vec<_> = plan.marks.iter().map(|mark| mark.at).collect();
    let pairs = (0..places.len()).flat_map(|end| (0..end).map(move |start| [start, end]));
    let base = [plan.tape_base[0].min(plan.tape_base[1]), plan.tape_base[0].max(plan.tape_base[1])];
    pairs.filter(move |string| !string.contains(&mark)).filter_map(move |string| {
        let geometry = Geometry::Offset { mark, line: string };
        let offset = Row::at(geometry, |index| places[index])?.value;
        let on_string = offset.abs() < ON_STRING_MM;
        if !on_string && string != base {
            return None;
        }
        let (sd, offset) = if on_string { (precision.inline(), 0.0) } else { (precision.offset(offset), offset) };
        Some((Reading::of(geometry, sd.max(LEAST_SD_MM), &places)?, string, offset))
    })
}

/// A string without any deviation would weigh infinitely; nobody sees finer than this, mm.
const LEAST_SD_MM: f64 = 0.01;
