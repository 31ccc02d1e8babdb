//! The vehicle's dimensions that a layout rests on, in one run of text.

use crate::{
    plan::VehicleOnFloor,
    units::{inch_text, mm_exact},
};

/// What was measured on the vehicle, and what was worked out from it: "Measured in mm: wheelbase 3450, front overhang 1010 …".
#[must_use]
pub fn measured(vehicle: &VehicleOnFloor, inches: bool) -> String {
    let length = |mm: f64| {
        if inches {
            inch_text(mm)
        } else {
            mm_exact(mm, 1)
        }
    };
    let of = |key: &str| {
        vehicle
            .dimensions
            .iter()
            .find(|(name, _)| name == key)
            .map(|(_, mm)| *mm)
    };
    let equal = of("wheelbase_left") == of("wheelbase_right");
    let one = |(key, mm): &(String, f64)| {
        let name = match key.as_str() {
            "wheelbase_left" if equal => "wheelbase",
            "wheelbase_right" if equal => return None,
            // The warning about it says more.
            "badge_offset" => return None,
            name => name,
        };
        let text = format!("{} {}", name.replace('_', " "), length(*mm));
        Some(match &vehicle.tyre_code {
            Some(code) if key == "tyre_width" => format!("{text} (worked out from {code})"),
            _ => text,
        })
    };
    let all: Vec<String> = vehicle.dimensions.iter().filter_map(one).collect();
    let unit = if inches { "inches" } else { "mm" };
    format!("Measured, in {unit}: {}.", all.join(", "))
}
