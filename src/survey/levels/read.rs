//! Levels written as TOML.

use std::ops::RangeInclusive;

use kurbo::Point;

use super::{LevelReading, LevelReadings};
use crate::source::{Faults, Placed, Source, Table};

/// Version of the format that is read.
const FORMAT: &str = "levels/1";

/// Most heights: more than anyone reads on one floor.
const MOST_LEVELS: usize = 2000;

/// Heights and staff readings that can be, mm: a staff has five metres.
pub(super) const HEIGHT_MM: RangeInclusive<f64> = -10_000.0..=10_000.0;

/// Places that can be in a workshop, mm.
pub(super) const PLACE_MM: RangeInclusive<f64> = -100_000.0..=100_000.0;

/// What the numbers are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum ReadAs {
    /// Heights, upwards.
    Height,
    /// Readings of a staff that stands on the floor below a level beam: they grow as the floor falls.
    Staff,
}

pub(super) fn read(source: &Source) -> Result<LevelReadings, Faults> {
    source.read(FORMAT, build)
}

fn build(table: &Table<'_>) -> Option<LevelReadings> {
    table.know(&["job", "as", "sigma", "level"]);
    let job = table.entry("job").map_or(Some(None), |entry| {
        entry.reference().map(|text| Some(entry.placed(text)))
    });
    let read_as = table
        .required("as", "as = \"height\" for heights upwards, or as = \"staff\" for readings of a staff, which grow as the floor falls")
        .and_then(|entry| entry.choice(&[("height", ReadAs::Height), ("staff", ReadAs::Staff)]));
    let sigma = table.entry("sigma").map_or(Some(None), |entry| {
        entry
            .length_within(
                LevelReadings::SIGMA_MM,
                "the standard deviation of one height",
            )
            .map(Some)
    });
    let levels: Vec<Option<Placed<LevelReading>>> = table
        .tables("level", MOST_LEVELS)
        .iter()
        .map(|item| {
            let level = read_level(item);
            item.refuse_unknown();
            level.map(|value| Placed {
                value,
                place: item.place(),
            })
        })
        .collect();
    let levels: Option<Vec<_>> = levels.into_iter().collect();
    let (job, read_as, sigma, mut levels) = (job?, read_as?, sigma?, levels?);
    if read_as == ReadAs::Staff {
        levels
            .iter_mut()
            .for_each(|level| level.value.height = -level.value.height);
    }
    Some(LevelReadings {
        job,
        of_a_kit: false,
        sigma,
        levels,
    })
}

fn read_level(table: &Table<'_>) -> Option<LevelReading> {
    let at = table
        .required("at", "the mark or wheel, as in at = \"1L\" or at = \"WFL\"")
        .and_then(|entry| entry.text());
    let height = table
        .required(
            "height",
            "the height or the staff's reading, as in height = \"12 mm\"",
        )
        .and_then(|entry| entry.length_within(HEIGHT_MM, "a height"));
    let (x, y) = (table.entry("x"), table.entry("y"));
    let place = match (x, y) {
        (None, None) => Some(None),
        (Some(x), Some(y)) => {
            let (x, y) = (
                x.length_within(PLACE_MM, "a place"),
                y.length_within(PLACE_MM, "a place"),
            );
            x.zip(y).map(|place| Some(Point::from(place)))
        }
        _ => {
            table
                .fault("a place has x (forward) and y (to the left); give both, or neither where a job knows the mark");
            None
        }
    };
    Some(LevelReading {
        at: at?,
        place: place?,
        height: height?,
    })
}
