//! A floor judged by its heights.

use std::path::Path;

use crate::{
    job::Job,
    source::{Faults, Place},
    survey::{FloorAssessment, LevelReadings, PlaneError, Precision, level_places},
    words::{Lengths, Spelling, floor_sentences},
};

/// A floor with what its heights say of it.
#[derive(Clone, Debug)]
pub struct JudgedFloor {
    /// What was found.
    pub floor: FloorAssessment,
    /// True where inches stand beside mm.
    pub inches: bool,
}

/// Why a floor cannot be judged.
#[derive(Debug)]
pub enum FloorError {
    /// Heights of points that have no place, or not the job's.
    Places(Faults),
    /// Points that hold no plane.
    Plane(PlaneError),
}

impl FloorError {
    /// The faults of the heights' file, in the units of a job.
    #[must_use]
    pub fn faults(self, file: &str, spelling: &Spelling) -> Faults {
        match self {
            Self::Places(faults) => faults.reworded(|text| spelling.fault(text)),
            Self::Plane(error) => Place::whole(file).fault(error.to_string()).into(),
        }
    }
}

impl JudgedFloor {
    /// Judges heights by the places and the limits of a job, or by their own places and no limits. A height's standard deviation
    /// is `sigma` mm, else what the heights' file says, else that of the job's precision.
    ///
    /// # Errors
    /// Heights without a place, twice, or of another job; too few for a plane.
    pub fn of(
        readings: &LevelReadings,
        job: Option<&Job>,
        sigma: Option<f64>,
    ) -> Result<Self, FloorError> {
        let known = job.map_or_else(Vec::new, |job| level_places(&job.plan));
        let points = readings.placed(&known).map_err(FloorError::Places)?;
        let precision = job.map_or_else(Precision::default, |job| job.precision);
        let sigma = sigma.or(readings.sigma).unwrap_or(precision.level);
        let limits = job.and_then(|job| job.plan.floor.limits);
        let floor = FloorAssessment::of(points, sigma, limits).map_err(FloorError::Plane)?;
        let inches = job.is_some_and(|job| job.inches);
        Ok(Self { floor, inches })
    }

    /// The same from the bytes of a file of heights, for a job.
    ///
    /// # Errors
    /// As above, and all faults of the file.
    pub fn read(file: &str, bytes: &[u8], job: &Job) -> Result<Self, Faults> {
        let readings = LevelReadings::read(Path::new(file), bytes)?;
        let judged = Self::of(&readings, Some(job), None);
        judged.map_err(|error| error.faults(file, &Spelling::of(job)))
    }

    /// The floor in two sentences, as the record has them.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let inches = self.inches;
        floor_sentences(&self.floor, Lengths { inches })
    }
}
