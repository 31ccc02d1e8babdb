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
/// those before it. A string runs between the two tape base marks, with any mark read from it, or over two marks in line with the one in question.
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
        for _ in 0..MOST_STRINGS {
            let before = size(eigenvalues(cofactors.marks[mark])[0]);
            if before <= plan.marks[mark].tolerance {
                break;
            }
            let best = strings(plan, precision, mark)
                .map(|(reading, [read, start, end], offset)| {
                    let effect = cofactors.effect(&reading);
                    let after = effect.covariance(mark, cofactors.marks[mark], effect.put_in());
                    let worst = size(eigenvalues(after)[0]);
                    (effect, Advice { mark, read, string: [start, end], offset, worst })
                })
                .reduce(|a, b| if b.1.worst < a.1.worst * (1.0 - ALIKE) { b } else { a });
            let Some((effect, found)) = best.filter(|(_, found)| found.worst < WORTH_IT * before) else { break };
            cofactors.change(&effect, effect.put_in());
            advice.push(found);
        }
    }
    advice
}

/// Readings that say how a mark lies to a string and in which `mark` has a part: reading, the mark and the
/// two of the string, offset.
fn strings(plan: &FloorPlan, precision: &Precision, mark: usize) -> impl Iterator<Item = (Reading, [usize; 3], f64)> {
    let places: Vec<_> = plan.marks.iter().map(|mark| mark.at).collect();
    let count = places.len();
    let base = plan.tape_base;
    let in_line = (0..count).flat_map(move |end| (0..end).map(move |start| [mark, start, end]));
    let from_base = (0..count).map(move |read| [read, base[0], base[1]]);
    in_line.chain(from_base).filter_map(move |[read, start, end]| {
        if read == start || read == end || ![read, start, end].contains(&mark) {
            return None;
        }
        let geometry = Geometry::Offset { mark: read, line: [start, end] };
        let offset = Row::at(geometry, |index| places[index])?.value;
        let on_string = offset.abs() < ON_STRING_MM;
        if !on_string && [start, end] != base {
            return None;
        }
        let (sd, offset) = if on_string { (precision.inline(), 0.0) } else { (precision.offset(offset), offset) };
        Some((Reading::of(geometry, sd.max(LEAST_SD_MM), &places)?, [read, start, end], offset))
    })
}

/// Most strings that are advised for one mark.
const MOST_STRINGS: usize = 2;

/// Strings this near to each other in what they find, as part of it, are alike: the first one counts.
const ALIKE: f64 = 1e-6;

/// A string without any deviation would weigh infinitely; nobody sees finer than this, mm.
const LEAST_SD_MM: f64 = 0.01;
