//! Heights as they were read: not yet tied to places.

use std::{ops::RangeInclusive, path::Path};

use kurbo::Point;

use super::{super::LevelPoint, LevelPlace};
use crate::source::{Fault, Faults, Named, Place, Placed, Source, nearest};

/// Readings nearer to each other than this are of one point, mm.
const ONE_POINT_MM: f64 = 1.0;

/// A place that a form gives and the job's own place of that name may differ by this, mm: more than anyone
/// lays a mark off, and less than another vehicle's layout does.
const OTHER_JOB_MM: f64 = 50.0;

/// Something wrong with heights as a whole. Points go by name.
#[derive(Debug)]
pub(crate) enum LevelFault {
    /// The file is no text.
    NotText,
    /// Two readings at one place.
    SamePlace([String; 2]),
    /// A name that is read again.
    Again { name: String, first_line: usize },
    /// A place that is not the job's own, mm.
    OtherJob {
        name: String,
        own: Point,
        job: Point,
    },
    /// A name without a place, and no job that knows it.
    NoPlace(String),
    /// A name that the job does not know, and the nearest it has.
    Unknown {
        name: String,
        near: Option<String>,
        known: Vec<String>,
    },
}

/// A file of heights as it stands.
#[derive(Clone, Debug, Default)]
pub struct LevelReadings {
    /// The job that the file names.
    pub job: Option<Placed<String>>,
    /// True of the form that goes with a kit, which says in a column of its own what each point is.
    pub of_a_kit: bool,
    /// Standard deviation of one height in mm, where the file gives it.
    pub sigma: Option<f64>,
    /// The readings, each where it stands.
    pub levels: Vec<Placed<LevelReading>>,
}

/// One height.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelReading {
    /// Name of the mark, wheel or point.
    pub at: String,
    /// Its place, where the file gives it, mm.
    pub place: Option<Point>,
    /// Height in mm, upwards.
    pub height: f64,
}

impl LevelReadings {
    /// Sensible standard deviations of one height, mm: none is without error.
    pub const SIGMA_MM: RangeInclusive<f64> = 0.001..=50.0;

    /// Reads a file: CSV where its name ends in `.csv`, else TOML.
    ///
    /// # Errors
    /// All faults, each with its place.
    pub fn read(path: &Path, bytes: &[u8]) -> Result<Self, Faults> {
        let name = path.display().to_string();
        if path
            .extension()
            .is_some_and(|extension| extension.eq_ignore_ascii_case("csv"))
        {
            return super::csv::read(&name, bytes);
        }
        let text = std::str::from_utf8(bytes)
            .map_err(|_| Faults::from(Place::whole(&name).fault(LevelFault::NotText)))?;
        super::read::read(&Source::new(&name, text.trim_start_matches('\u{feff}')))
    }

    /// Gives every reading its place: the file's own, or that of a known mark or wheel by name. `known` is empty
    /// where there is no job.
    ///
    /// # Errors
    /// Names that are not known, names or places that are read twice, and places of another job.
    pub fn placed(&self, known: &[LevelPlace]) -> Result<Vec<LevelPoint>, Faults> {
        let mut faults: Vec<Fault> = Vec::new();
        let mut points: Vec<LevelPoint> = Vec::new();
        for Placed {
            value: level,
            place,
        } in &self.levels
        {
            if self.refuse_twice(level, place, &mut faults) {
                continue;
            }
            match place_of(level, known) {
                Ok(at) => {
                    if let Some(other) = points
                        .iter()
                        .find(|other| other.at.distance(at) < ONE_POINT_MM)
                    {
                        faults.push(place.fault(LevelFault::SamePlace([
                            level.at.clone(),
                            other.name.clone(),
                        ])));
                    }
                    points.push(LevelPoint {
                        name: level.at.clone(),
                        at,
                        height: level.height,
                    });
                }
                Err(fault @ LevelFault::NoPlace(_)) => {
                    faults.push(place.fault(fault).by_naming(Named::Job));
                }
                Err(fault) => faults.push(place.fault(fault)),
            }
        }
        Faults::none_in(faults).map(|()| points)
    }

    fn refuse_twice(&self, level: &LevelReading, place: &Place, faults: &mut Vec<Fault>) -> bool {
        let earlier =
            |other: &&Placed<LevelReading>| other.value.at == level.at && other.place < *place;
        let Some(first) = self.levels.iter().find(earlier) else {
            return false;
        };
        faults.push(place.fault(LevelFault::Again {
            name: level.at.clone(),
            first_line: first.place.line,
        }));
        true
    }
}

fn place_of(level: &LevelReading, known: &[LevelPlace]) -> Result<Point, LevelFault> {
    let found = known
        .iter()
        .find(|place| place.name == level.at)
        .map(|place| place.at);
    match (level.place, found) {
        (Some(own), Some(job)) if own.distance(job) > OTHER_JOB_MM => Err(LevelFault::OtherJob {
            name: level.at.clone(),
            own,
            job,
        }),
        (Some(own), _) => Ok(own),
        (None, Some(job)) => Ok(job),
        (None, None) if known.is_empty() => Err(LevelFault::NoPlace(level.at.clone())),
        (None, None) => {
            let names: Vec<&str> = known.iter().map(|place| place.name.as_str()).collect();
            let same = names
                .iter()
                .copied()
                .find(|name| name.eq_ignore_ascii_case(&level.at));
            Err(LevelFault::Unknown {
                name: level.at.clone(),
                near: same
                    .or_else(|| nearest(&level.at, &names))
                    .map(str::to_owned),
                known: names.into_iter().map(str::to_owned).collect(),
            })
        }
    }
}
