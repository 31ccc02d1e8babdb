//! What is built in: vehicles, templates and the demonstration job, all invented.

use crate::source::Source;

/// A built-in text.
pub struct BuiltIn {
    /// Name to ask for it by.
    pub name: &'static str,
    text: &'static str,
}

impl BuiltIn {
    /// The text as a source.
    #[must_use]
    pub fn source(&self) -> Source {
        Source::built_in(self.name, self.text)
    }
}

macro_rules! built_in {
    ($folder:literal: $($name:literal),+ $(,)?) => {
        [$(BuiltIn { name: $name, text: include_str!(concat!("../../", $folder, "/", $name, ".toml")) }),+]
    };
}

/// The demonstration vehicles, by rising length.
pub const VEHICLES: [BuiltIn; 5] = built_in!("vehicle-specs": "city-car", "compact-hatchback", "estate", "crew-cab-pickup", "delivery-van");

/// The layout templates.
pub const TEMPLATES: [BuiltIn; 4] = built_in!("templates": "perimeter-lines", "side-and-end-panels", "target-line", "rear-corner-arcs");

/// The demonstration job: a municipal workshop checks a delivery van.
pub const DEMONSTRATION: BuiltIn = BuiltIn {
    name: "demonstration job",
    text: include_str!("demonstration.toml"),
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{job::JobSpec, plan::FloorPlan, template::TemplateSpec, vehicle::VehicleSpec};

    #[test]
    fn everything_built_in_reads_and_every_vehicle_goes_with_every_template() {
        JobSpec::read(&DEMONSTRATION.source()).unwrap_or_else(|faults| panic!("{faults}"));
        for vehicle in &VEHICLES {
            let vehicle =
                VehicleSpec::read(&vehicle.source()).unwrap_or_else(|faults| panic!("{faults}"));
            for template in &TEMPLATES {
                let template = TemplateSpec::read(&template.source())
                    .unwrap_or_else(|faults| panic!("{faults}"));
                FloorPlan::resolve(&vehicle, &template, &[], None)
                    .unwrap_or_else(|faults| panic!("{faults}"));
            }
        }
    }
}
