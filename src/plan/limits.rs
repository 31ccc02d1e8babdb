//! How much one floor may hold: more than anybody lays by hand, and little enough that every file of it is made within
//! seconds.

use super::fault::PlanFault;
use crate::{
    source::{Fault, Place},
    template::TemplateSpec,
};

/// Most marks of one floor, those of all vehicles of a mat together. Choosing lays, judging readings and placing names grow with
/// the second to third power of their number.
pub(crate) const MOST_MARKS: usize = 300;

/// Most single-coloured fields of all panels of one floor: each cell of a chequer is one.
pub(crate) const MOST_FIELDS: usize = 2_000;

/// Leaves a fault where a template asks for more marks than one floor may hold, counted before any is made.
pub(super) fn refuse_many_marks(template: &TemplateSpec, faults: &mut Vec<Fault>) -> Option<()> {
    let of_rail = |name: &str| {
        let rail = template.rails.iter().find(|rail| rail.name == name);
        rail.map_or(1, |rail| rail.sides.list().len())
    };
    let crossings = template.marks.iter().map(|marks| {
        let rails = marks.rails.iter().map(|rail| of_rail(&rail.value));
        marks.stations.len() * rails.sum::<usize>()
    });
    let points = template.points.iter().map(|point| point.sides.list().len());
    let count = crossings.chain(points).sum();
    refuse_more(count, &template.place, faults)
}

/// Leaves a fault where there are more marks than one floor may hold.
pub(super) fn refuse_more(count: usize, place: &Place, faults: &mut Vec<Fault>) -> Option<()> {
    if count <= MOST_MARKS {
        return Some(());
    }
    faults.push(place.fault(PlanFault::ManyMarks {
        count,
        most: MOST_MARKS,
    }));
    None
}
