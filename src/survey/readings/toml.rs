//! Readings from TOML.

use kurbo::Point;

use super::{
    GivenMark, Reading, ReadingKind, Readings,
    csv::no_distance,
    model::{LAYS, MOST_READINGS, SIGMA_MM},
};
use crate::{
    plan::MOST_MARKS,
    source::{Entry, Faults, Placed, Source, Table},
    survey::Precision,
};

/// Version of the format that is read.
const FORMAT: &str = "readings/1";

/// Largest tolerance of a mark, mm: a metre is none.
const TOLERANCE_MM: std::ops::RangeInclusive<f64> = 0.001..=1000.0;

impl Readings {
    /// Reads a file of the format `readings/1`.
    ///
    /// # Errors
    /// All faults of the file, and a file without any reading.
    pub fn read_toml(source: &Source) -> Result<Self, Faults> {
        source.read(FORMAT, build)
    }
}

fn build(root: &Table<'_>) -> Option<Readings> {
    root.know(&[
        "job",
        "sigma",
        "precision",
        "mark",
        "reading",
        "offset",
        "inline",
    ]);
    let job = optional(root, "job", |entry| {
        Some(Placed {
            value: entry.text()?,
            place: entry.place(),
        })
    });
    let standard = sigma(root);
    let precision = optional(root, "precision", |entry| {
        let table = entry.table()?;
        let precision = Precision::from_table(&table);
        table.refuse_unknown();
        precision
    });
    let marks: Vec<Option<GivenMark>> = root.tables("mark", MOST_MARKS).iter().map(mark).collect();
    let mut readings: Vec<Option<Reading>> = Vec::new();
    for (key, read) in [
        ("reading", distance as fn(&Table<'_>) -> Option<Reading>),
        ("offset", offset),
        ("inline", inline),
    ] {
        readings.extend(root.tables(key, MOST_READINGS).iter().map(|table| {
            let reading = read(table);
            table.refuse_unknown();
            reading
        }));
    }
    if readings.len() > MOST_READINGS {
        root.fault(format!(
            "there are {} readings; expected at most {MOST_READINGS}",
            readings.len()
        ));
    }
    if readings.is_empty() {
        root.fault("there is no reading; add [[reading]] with from, to and distance, or [[offset]], or [[inline]]");
    }
    let marks = marks.into_iter().collect::<Option<Vec<_>>>()?;
    refuse_twice(root, &marks);
    let mut readings = readings.into_iter().collect::<Option<Vec<_>>>()?;
    let standard = standard?;
    for reading in &mut readings {
        reading.sd = reading.sd.or(standard);
    }
    readings.sort_by_key(|reading| (reading.place.line, reading.place.column));
    Some(Readings {
        job: job?,
        marks,
        readings,
        blank: 0,
        precision: precision?,
    })
}

/// `Some(None)` where the key is not there, `None` where its value has left a fault.
fn optional<'r, T>(
    table: &Table<'r>,
    key: &'static str,
    read: impl FnOnce(&Entry<'r>) -> Option<T>,
) -> Option<Option<T>> {
    match table.entry(key) {
        None => Some(None),
        Some(entry) => read(&entry).map(Some),
    }
}

fn sigma(table: &Table<'_>) -> Option<Option<f64>> {
    optional(table, "sigma", |entry| {
        let sd = entry.length()?;
        if !SIGMA_MM.contains(&sd) {
            entry.fault(format!(
                "`sigma` is {sd} mm; expected a standard deviation of more than 0, up to {} mm",
                SIGMA_MM.end()
            ));
            return None;
        }
        Some(sd)
    })
}

fn label(table: &Table<'_>) -> Option<Option<String>> {
    optional(table, "check", Entry::text)
}

/// The number of the lay that it was read from, where the file says so.
fn lay(table: &Table<'_>) -> Option<Option<u32>> {
    optional(table, "lay", |entry| {
        entry.count(LAYS).and_then(|lay| u32::try_from(lay).ok())
    })
}

fn mark(table: &Table<'_>) -> Option<GivenMark> {
    let id = table
        .required("id", "the mark's name, as in id = \"1L\"")
        .and_then(|entry| entry.text());
    let (x, y) = (
        optional(table, "x", Entry::coordinate),
        optional(table, "y", Entry::coordinate),
    );
    let fixed = optional(table, "fixed", Entry::flag);
    let tolerance = optional(table, "tolerance", |entry| {
        entry.length_within(TOLERANCE_MM, "how far a mark may lie off")
    });
    table.refuse_unknown();
    let at = match (x?, y?) {
        (Some(x), Some(y)) => Some(Point::new(x, y)),
        (None, None) => None,
        _ => {
            table.fault("a mark has `x` and `y`, and one of them is missing; add it, or leave both out for a mark of the job's layout");
            return None;
        }
    };
    Some(GivenMark {
        id: id?,
        at,
        fixed: fixed?.unwrap_or(false),
        tolerance: tolerance?,
        place: table.place(),
    })
}

fn refuse_twice(root: &Table<'_>, marks: &[GivenMark]) {
    let mut seen = std::collections::BTreeSet::new();
    for mark in marks {
        if !seen.insert(&mark.id) {
            root.fault_at(
                &mark.place,
                format!("the mark `{}` is given twice; leave one of them", mark.id),
            );
        }
    }
}

fn distance(table: &Table<'_>) -> Option<Reading> {
    let from = table
        .required("from", "the mark at the tape's zero")
        .and_then(|entry| entry.text());
    let to = table
        .required("to", "the mark at the reading")
        .and_then(|entry| entry.text());
    let value = table
        .required(
            "distance",
            "what the tape read, as in distance = \"5.21 m\"",
        )
        .and_then(|entry| {
            let value = entry.length()?;
            if value <= 0.0 {
                entry.fault(no_distance(value));
                return None;
            }
            Some(value)
        });
    let (sd, label, lay) = (sigma(table), label(table), lay(table));
    let kind = ReadingKind::Distance {
        from: from?,
        to: to?,
    };
    Some(Reading {
        label: label?,
        lay: lay?,
        kind,
        value: value?,
        sd: sd?,
        should_be: None,
        place: table.place(),
    })
}

fn offset(table: &Table<'_>) -> Option<Reading> {
    let mark = table
        .required("mark", "the mark beside the line")
        .and_then(|entry| entry.text());
    let line = names(
        table,
        "line",
        "the two marks of the line, as in line = [\"1C\", \"4C\"]",
    );
    let value = table
        .required(
            "distance",
            "how far the mark is to the left of the line, negative to the right",
        )
        .and_then(|entry| entry.length());
    let (sd, label, lay) = (sigma(table), label(table), lay(table));
    let kind = ReadingKind::Offset {
        mark: mark?,
        line: line?,
    };
    Some(Reading {
        label: label?,
        lay: lay?,
        kind,
        value: value?,
        sd: sd?,
        should_be: None,
        place: table.place(),
    })
}

/// The middle one of the marks in the order listed is judged against the line through the outer ones.
fn inline(table: &Table<'_>) -> Option<Reading> {
    let marks = names(
        table,
        "marks",
        "three marks on one string in their order, as in marks = [\"1C\", \"2C\", \"4C\"]",
    );
    let (sd, label, lay) = (sigma(table), label(table), lay(table));
    let [start, mark, end] = marks?;
    let kind = ReadingKind::Inline {
        mark,
        line: [start, end],
    };
    Some(Reading {
        label: label?,
        lay: lay?,
        kind,
        value: 0.0,
        sd: sd?,
        should_be: None,
        place: table.place(),
    })
}

fn names<const N: usize>(
    table: &Table<'_>,
    key: &'static str,
    expected: &str,
) -> Option<[String; N]> {
    let entry = table.required(key, expected)?;
    let names: Vec<String> = entry.texts()?.into_iter().map(|name| name.value).collect();
    let count = names.len();
    let names = names.try_into().ok();
    if names.is_none() {
        entry.fault(format!("`{key}` names {count} marks; expected {expected}"));
    }
    names
}
