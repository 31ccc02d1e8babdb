//! Readings that cannot be of this layout, or not in this unit, told before anything is adjusted.
//!
//! Both faults touch many rows at once, and an adjustment would spread them over all marks: whoever reads its report would
//! move marks that lie well.

use kurbo::Point;

use super::{Reading, ReadingKind};
use crate::{
    source::Faults,
    units::{MM_PER_INCH, mm_exact},
};

/// A form's own distances may differ from the layout's by what a spreadsheet rounds off, mm: it may show whole mm.
const ROUNDING_MM: f64 = 0.6;

/// A reading that is this many times too long or too short is no reading of this distance at all: more than inches for mm.
const ABSURD: f64 = 50.0;

/// A distance shorter than this, mm, is not judged by its ratio.
const SHORT_MM: f64 = 100.0;

/// Part of the designed distance within which a reading in another unit fits it: layouts are laid better than that.
const FITS: f64 = 0.05;

/// What a number taken for mm may be meant in, with its size in mm.
const UNITS: [(f64, &str); 4] = [(1000.0, "m"), (10.0, "cm"), (MM_PER_INCH, "in"), (12.0 * MM_PER_INCH, "ft")];

/// The distance that the layout has between a reading's marks, mm.
fn designed(reading: &Reading, design: &impl Fn(&str) -> Option<Point>) -> Option<f64> {
    match &reading.kind {
        ReadingKind::Distance { from, to } => Some(design(from)?.distance(design(to)?)),
        ReadingKind::Offset { .. } | ReadingKind::Inline { .. } => None,
    }
}

fn named(reading: &Reading) -> String {
    match &reading.kind {
        ReadingKind::Distance { from, to } => format!("{from}\u{2013}{to}"),
        ReadingKind::Offset { mark, .. } | ReadingKind::Inline { mark, .. } => mark.clone(),
    }
}

/// Refuses a form that was printed for another layout: what it says that a distance should be is not what the layout has.
///
/// # Errors
/// One fault, at the first such row.
pub(super) fn refuse_another_layout(
    readings: &[Reading],
    design: impl Fn(&str) -> Option<Point>,
) -> Result<(), Faults> {
    let differs = |reading: &&Reading| {
        let both = reading.should_be.zip(designed(reading, &design));
        both.is_some_and(|(form, layout)| (form - layout).abs() > ROUNDING_MM)
    };
    let different: Vec<&Reading> = readings.iter().filter(differs).collect();
    let Some(first) = different.first() else { return Ok(()) };
    let more = match different.len() {
        1 => String::new(),
        count => format!(" ({count} rows differ)"),
    };
    Err(first
        .place
        .fault(format!(
            "the form was printed for another layout: for {} it has {} mm in should_be_mm, the layout of this job has {} mm{more}; \
             name the job that the form was made from, with --job FILE or the same --vehicle, --template and --set, or make the \
             form anew with `kit`",
            named(first),
            mm_exact(first.should_be.unwrap_or_default(), 1),
            mm_exact(designed(first, &design).unwrap_or_default(), 1)
        ))
        .into())
}

/// Refuses readings in a unit that they are not in: single ones that are absurd, and a whole form in another unit. A single
/// slip of a smaller factor is left to the adjustment, which names it.
///
/// # Errors
/// A fault for each absurd reading, or one for the whole form.
pub(super) fn refuse_units(readings: &[Reading], design: impl Fn(&str) -> Option<Point>) -> Result<(), Faults> {
    let known: Vec<(&Reading, f64)> = readings
        .iter()
        .filter_map(|reading| Some((reading, designed(reading, &design)?)))
        .filter(|(_, length)| *length >= SHORT_MM)
        .collect();
    let in_unit =
        |&(reading, length): &(&Reading, f64), factor: f64| (reading.value * factor - length).abs() < FITS * length;
    for (factor, unit) in UNITS {
        let count = known.iter().filter(|one| in_unit(one, factor)).count();
        if count >= 2 && 2 * count > known.len() {
            let (first, length) = known.iter().find(|one| in_unit(one, factor)).copied().unwrap_or(known[0]);
            return Err(first
                .place
                .fault(format!(
                    "{count} of {} readings seem to be in {unit}, but are read as mm, such as {} for {}, which should be about \
                     {} mm; write the unit into the cells, or name the column reading_{unit}",
                    known.len(),
                    mm_exact(first.value, 3),
                    named(first),
                    mm_exact(length, 0)
                ))
                .into());
        }
    }
    let absurd =
        |&&(reading, length): &&(&Reading, f64)| reading.value > ABSURD * length || reading.value * ABSURD < length;
    let fault = |&(reading, length): &(&Reading, f64)| {
        let unit = UNITS.iter().find(|(factor, _)| in_unit(&(reading, length), *factor));
        let hint = unit.map_or_else(
            || "tape it again, or clear it".to_owned(),
            |(_, unit)| format!("if it is in {unit}, write {unit} behind it"),
        );
        reading.place.fault(format!(
            "{} mm for {}, which should be about {} mm; {hint}",
            mm_exact(reading.value, 3),
            named(reading),
            mm_exact(length, 0)
        ))
    };
    Faults::none_in(known.iter().filter(absurd).map(fault).collect())
}
