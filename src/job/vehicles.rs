//! The vehicles that a job names: one as a rule, several for a mat.

use crate::{
    plan::MOST_VEHICLES,
    source::{Fault, Faults, Place, Placed, Table},
};

/// Built-in names or paths of vehicle specs, one or up to [`MOST_VEHICLES`].
#[derive(Clone, Debug)]
pub struct JobVehicles {
    /// Each with the place that names it.
    pub names: Vec<Placed<String>>,
    /// Where a fault of all of them together is told.
    pub at: Place,
}

const EXPECTED: &str =
    "a built-in vehicle's name (see `baystencil library`) or the path of a vehicle file";

impl JobVehicles {
    /// Reads `vehicle`, or `vehicles` for a mat; leaves a fault where there is neither or both.
    pub(super) fn read(table: &Table<'_>) -> Option<Self> {
        let Some(entry) = table.entry("vehicles") else {
            let one = table.required("vehicle", EXPECTED)?;
            return Some(Self {
                names: vec![one.placed(one.reference()?)],
                at: one.place(),
            });
        };
        if let Some(one) = table.entry("vehicle") {
            table.fault_at(
                &one.key_place(),
                "`vehicle` and `vehicles` are both given; keep `vehicle` for one vehicle, or `vehicles` for a mat of several",
            );
            return None;
        }
        let names = entry.references()?;
        if names.len() < 2 {
            entry.fault(format!(
                "`vehicles` names {}; expected 2 to {MOST_VEHICLES} for one mat (a single one goes into `vehicle`)",
                if names.is_empty() { "no vehicle" } else { "one vehicle" }
            ));
            return None;
        }
        Some(Self {
            names,
            at: entry.place(),
        })
    }

    /// No vehicle at all, for a job that names them wrongly.
    pub(super) const fn none(at: Place) -> Self {
        Self {
            names: Vec::new(),
            at,
        }
    }

    /// The vehicles that were named on the command line.
    #[must_use]
    pub fn from_flags(names: &[String]) -> Self {
        let at = Place::whole("--vehicle");
        let names = names
            .iter()
            .map(|name| Placed {
                value: name.clone(),
                place: at.clone(),
            })
            .collect();
        Self { names, at }
    }

    /// Checks what holds for a job's and for the command line's vehicles alike.
    ///
    /// # Errors
    /// A vehicle that is named twice, and more vehicles than a mat can tell apart.
    pub fn check(&self) -> Result<(), Faults> {
        if self.names.len() > MOST_VEHICLES {
            let many = self.at.fault(format!(
                "{} vehicles are too many for one mat; expected at most {MOST_VEHICLES}, more line types look alike: make two mats",
                self.names.len()
            ));
            return Err(many.into());
        }
        let mut faults: Vec<Fault> = Vec::new();
        for (index, name) in self.names.iter().enumerate() {
            if self.names[..index]
                .iter()
                .any(|other| other.value == name.value)
            {
                faults.push(name.place.fault(format!(
                    "the vehicle \"{}\" is named twice; name each vehicle of a mat once",
                    name.value
                )));
            }
        }
        Faults::none_in(faults)
    }
}

#[cfg(test)]
mod tests {
    use crate::{job::JobSpec, source::Source};

    fn read(vehicles: &str) -> Result<JobSpec, String> {
        let text = format!("format = \"job/1\"\n{vehicles}\ntemplate = \"target-line\"\n");
        let job =
            JobSpec::read(&Source::new("job.toml", &text)).map_err(|faults| faults.to_string())?;
        job.vehicles
            .check()
            .map(|()| job)
            .map_err(|faults| faults.to_string())
    }

    #[test]
    fn a_job_names_one_vehicle_or_a_list_of_several() {
        let names = |job: JobSpec| {
            job.vehicles
                .names
                .into_iter()
                .map(|name| name.value)
                .collect::<Vec<_>>()
        };
        assert_eq!(names(read("vehicle = \"estate\"").unwrap()), ["estate"]);
        assert_eq!(
            names(read("vehicles = [\"estate\", \"mine.toml\"]").unwrap()),
            ["estate", "mine.toml"]
        );
    }

    #[test]
    fn vehicles_that_make_no_mat_are_refused_where_they_stand() {
        for (vehicles, expected) in [
            (
                "vehicle = \"a\"\nvehicles = [\"b\", \"c\"]",
                "job.toml:2:1: `vehicle` and `vehicles` are both given",
            ),
            (
                "vehicles = [\"b\"]",
                "job.toml:2:12: `vehicles` names one vehicle",
            ),
            (
                "vehicles = []",
                "job.toml:2:12: `vehicles` names no vehicle",
            ),
            ("vehicles = \"b\"", "expected a list of texts"),
            (
                "vehicles = [\"b\", \"c\", \"b\"]",
                "job.toml:2:23: the vehicle \"b\" is named twice",
            ),
            (
                "vehicles = [\"b\", \"c\", \"d\", \"e\", \"f\"]",
                "job.toml:2:12: 5 vehicles are too many",
            ),
            ("paper = \"A4\"", "`vehicle` is missing"),
        ] {
            let list = read(vehicles).unwrap_err();
            assert!(list.contains(expected), "{expected} not in\n{list}");
        }
    }
}
