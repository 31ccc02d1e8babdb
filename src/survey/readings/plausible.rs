//! Readings that cannot be of this layout, or not in this unit, told before anything is adjusted.
//!
//! Both faults touch many rows at once, and an adjustment would spread them over all marks: whoever reads its report would
//! move marks that lie well.

use kurbo::Point;

use super::{Absurd, FormRow, Reading, ReadingFault, ReadingKind, ShouldBe};
use crate::{
    source::{Faults, Named, Place},
    units::{MM_PER_INCH, SIXTEENTH_MM},
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

fn absurd_of(reading: &Reading, should_be: f64) -> Absurd {
    Absurd {
        name: named(reading),
        value: reading.value,
        should_be,
    }
}

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

/// What form and layout have for a reading, at its row.
struct Row<'a> {
    place: &'a Place,
    lengths: FormRow,
}

impl Row<'_> {
    fn differs(&self) -> bool {
        let FormRow { form, inches, .. } = self.lengths;
        !agrees(ShouldBe { mm: form, inches }, self.lengths.layout)
    }
}

/// True where what a form says that a reading should be is what the layout has, mm, as far as it was rounded on its way.
pub(super) fn agrees(form: ShouldBe, layout: f64) -> bool {
    let rounding = if form.inches {
        SPREADSHEET_INCH_MM
    } else {
        SPREADSHEET_MM
    };
    (form.mm - layout).abs() <= rounding
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
        (layout > 0.0).then(|| Row {
            place: &reading.place,
            lengths: FormRow {
                name: named(reading),
                form: form.mm,
                layout,
                inches: form.inches,
            },
        })
    });
    let rows: Vec<Row<'_>> = compared.collect();
    let all = rows.len();
    let different: Vec<Row<'_>> = rows.into_iter().filter(Row::differs).collect();
    let count = different.len();
    let mut faults = different.into_iter().map(|row| (row.place, row.lengths));
    if 2 * count > all
        && let Some((place, first)) = faults.next()
    {
        let fault = ReadingFault::AnotherLayout {
            first,
            different: count,
            all,
        };
        return Err(place.fault(fault).by_naming(Named::Layout).into());
    }
    Faults::none_in(
        faults
            .map(|(place, row)| place.fault(ReadingFault::RowChanged(row)))
            .collect(),
    )
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
            let fault = ReadingFault::OtherUnit {
                count,
                all: known.len(),
                unit,
                read_as,
                first: absurd_of(first, length),
            };
            return Err(first.place.fault(fault).into());
        }
    }
    let absurd = |&&(reading, length): &&(&Reading, f64)| {
        reading.value > ABSURD * length || reading.value * ABSURD < length
    };
    let fault = |&(reading, length): &(&Reading, f64)| {
        let unit = UNITS
            .iter()
            .find(|(factor, ..)| in_unit(&(reading, length), *factor));
        let unit = unit.map(|(_, unit, _)| *unit);
        reading
            .place
            .fault(ReadingFault::Absurd(absurd_of(reading, length), unit))
    };
    Faults::none_in(known.iter().filter(absurd).map(fault).collect())
}
