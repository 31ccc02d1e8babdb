//! Readings that cannot be of this layout, or not in this unit, told before anything is adjusted.
//!
//! Both faults touch many rows at once, and an adjustment would spread them over all marks: whoever reads its report would
//! move marks that lie well.

use kurbo::Point;

use super::{Reading, ReadingKind, ShouldBe};
use crate::{
    source::{Fault, Faults},
    units::{MM_PER_INCH, SIXTEENTH_MM, inch_cell, mm_exact},
};

/// A form's own distances may differ from the layout's by what a spreadsheet rounds off, mm: it may show whole mm.
const SPREADSHEET_MM: f64 = 0.6;

/// The same of a form in inches, mm: half of the 1/16 in that it is printed to, and half of the hundredth of an inch that a
/// spreadsheet may show instead.
const SPREADSHEET_INCH_MM: f64 = SIXTEENTH_MM / 2.0 + MM_PER_INCH / 200.0;

/// A reading that is this many times too long or too short is no reading of this distance at all: more than inches for mm.
const ABSURD: f64 = 50.0;

/// A distance shorter than this, mm, is not judged by its ratio.
const SHORT_MM: f64 = 100.0;

/// Part of the designed distance within which a reading in another unit fits it: layouts are laid better than that.
const FITS: f64 = 0.05;

/// What a number may be meant in instead of what it is taken for, with the factor between the two.
const UNITS: [(f64, &str, &str); 6] = [
    (1000.0, "m", "mm"),
    (10.0, "cm", "mm"),
    (MM_PER_INCH, "in", "mm"),
    (12.0 * MM_PER_INCH, "ft", "mm"),
    (1.0 / MM_PER_INCH, "mm", "in"),
    (10.0 / MM_PER_INCH, "cm", "in"),
];

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

/// A reading's row, and what the form and the layout have for it, mm.
struct Compared<'a> {
    reading: &'a Reading,
    form: ShouldBe,
    layout: f64,
}

impl Compared<'_> {
    fn differs(&self) -> bool {
        (self.form.mm - self.layout).abs()
            > if self.form.inches {
                SPREADSHEET_INCH_MM
            } else {
                SPREADSHEET_MM
            }
    }

    /// The form's length, its column and the layout's length, in the form's unit.
    fn lengths(&self) -> [String; 3] {
        let length = |mm| {
            if self.form.inches {
                format!("{} in", inch_cell(mm))
            } else {
                format!("{} mm", mm_exact(mm, 1))
            }
        };
        let column = if self.form.inches {
            "should_be_in"
        } else {
            "should_be_mm"
        };
        [length(self.form.mm), column.to_owned(), length(self.layout)]
    }

    fn one_row(&self) -> Fault {
        let [form, column, layout] = self.lengths();
        self.reading.place.fault(format!(
            "for {} the form has {form} in {column}, but the layout has {layout}: the marks or the number of this row were \
             changed; put back what the form had, or clear {column} where another distance was taped",
            named(self.reading)
        ))
    }

    fn another_layout(&self, different: usize, all: usize) -> Fault {
        let [form, column, layout] = self.lengths();
        self.reading.place.fault(format!(
            "the form was printed for another layout: for {} it has {form} in {column}, the layout of this job has {layout}, and \
             {different} of {all} rows differ; name the job that the form was made from, with --job FILE or the same --vehicle, \
             --template and --set. If they are the same, the column was changed: take a new form from `kit`",
            named(self.reading)
        ))
    }
}

/// Refuses a form that was printed for another layout: what it says that distances should be is not what the layout has.
/// Where only a few rows differ, it is these that were changed.
///
/// # Errors
/// One fault at the first row of another layout, or one for each row that was changed.
pub(super) fn refuse_another_layout(
    readings: &[Reading],
    design: impl Fn(&str) -> Option<Point>,
) -> Result<(), Faults> {
    let compared = readings.iter().filter_map(|reading| {
        let (form, layout) = reading.should_be.zip(designed(reading, &design))?;
        (layout > 0.0).then_some(Compared {
            reading,
            form,
            layout,
        })
    });
    let all: Vec<Compared<'_>> = compared.collect();
    let different: Vec<&Compared<'_>> = all.iter().filter(|one| one.differs()).collect();
    match different.first() {
        Some(first) if 2 * different.len() > all.len() => {
            Err(first.another_layout(different.len(), all.len()).into())
        }
        _ => Faults::none_in(different.into_iter().map(Compared::one_row).collect()),
    }
}

/// Refuses readings in a unit that they are not in: single ones that are absurd, and a whole form in another unit. A single
/// slip of a smaller factor is left to the adjustment, which names it.
///
/// # Errors
/// A fault for each absurd reading, or one for the whole form.
pub(super) fn refuse_units(
    readings: &[Reading],
    design: impl Fn(&str) -> Option<Point>,
) -> Result<(), Faults> {
    let known: Vec<(&Reading, f64)> = readings
        .iter()
        .filter_map(|reading| Some((reading, designed(reading, &design)?)))
        .filter(|(_, length)| *length >= SHORT_MM)
        .collect();
    let in_unit = |&(reading, length): &(&Reading, f64), factor: f64| {
        (reading.value * factor - length).abs() < FITS * length
    };
    for (factor, unit, read_as) in UNITS {
        let count = known.iter().filter(|one| in_unit(one, factor)).count();
        if count >= 2 && 2 * count > known.len() {
            let (first, length) = known
                .iter()
                .find(|one| in_unit(one, factor))
                .copied()
                .unwrap_or(known[0]);
            return Err(first
                .place
                .fault(format!(
                    "{count} of {} readings seem to be in {unit}, but are read as {read_as}, such as {} mm for {}, which should be \
                     about {} mm; write the unit into the cells, or name the column reading_{unit}",
                    known.len(),
                    mm_exact(first.value, 3),
                    named(first),
                    mm_exact(length, 0)
                ))
                .into());
        }
    }
    let absurd = |&&(reading, length): &&(&Reading, f64)| {
        reading.value > ABSURD * length || reading.value * ABSURD < length
    };
    let fault = |&(reading, length): &(&Reading, f64)| {
        let unit = UNITS
            .iter()
            .find(|(factor, ..)| in_unit(&(reading, length), *factor));
        let hint = unit.map_or_else(
            || "tape it again, or clear it".to_owned(),
            |(_, unit, _)| format!("if it is in {unit}, write {unit} behind it"),
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
