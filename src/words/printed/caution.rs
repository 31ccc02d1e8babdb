//! Cautions, and the values that a sheet rests on.

use crate::{
    plan::{FloorPlan, ValueEcho},
    units::{inch_text, mm_exact},
};

/// What is said about danger, in the order of its weight.
pub const CAUTIONS: [&str; 6] = [
    "The vehicle maker's service information for this very vehicle goes first; these numbers are only as good as \
     those put in.",
    "This sheet lays out marks; it does not say that a system is calibrated.",
    "Wheels chocked, keys with one person, nobody between vehicle and wall.",
    "Strings and tape strips are trip hazards.",
    "Never look into a laser.",
    "Work for trained staff, under local rules.",
];

/// The same for the one page that is carried to the bay, in as few words as it takes; what goes first stands before it.
const CAUTION_AT_THE_BAY: &str = "Trained staff only. This sheet lays out marks; it does not say that a system is calibrated. \
     Chock the wheels, one person keeps the keys, nobody stands between vehicle and wall; mind strings and strips underfoot.";

/// The template's values in one run of text, demonstration values named as such.
#[must_use]
pub fn values(values: &[ValueEcho], inches: bool) -> String {
    let one = |value: &ValueEcho| {
        let mut text = format!(
            "{} {} {}",
            value.meaning,
            mm_exact(value.value, 1),
            value.unit
        );
        if inches && value.unit == "mm" {
            text = format!("{text} ({} in)", inch_text(value.value));
        }
        if value.demonstration {
            format!("{text} (demo)")
        } else {
            text
        }
    };
    let mut text = values.iter().map(one).collect::<Vec<_>>().join("; ");
    if values.iter().any(|value| value.demonstration) {
        text.push_str(
            ". Demo: a demonstration value, to be replaced by the service information's.",
        );
    }
    text
}

/// True where a number came from a built-in vehicle or is the default of a built-in template.
fn demonstrates(plan: &FloorPlan) -> bool {
    plan.vehicle.demonstration || plan.template.values.iter().any(|value| value.demonstration)
}

/// What of a layout is for demonstration alone, in one sentence; `None` where nothing is.
#[must_use]
pub fn demonstration(plan: &FloorPlan) -> Option<String> {
    let values = plan
        .template
        .values
        .iter()
        .filter(|value| value.demonstration);
    let names: Vec<&str> = values.map(|value| value.name.as_str()).collect();
    let vehicle = plan
        .vehicle
        .demonstration
        .then_some("the vehicle is a built-in one, for demonstration alone");
    let values = (!names.is_empty())
        .then(|| format!("demonstration values are in use for {}", names.join(", ")));
    let what: Vec<String> = vehicle
        .map(str::to_owned)
        .into_iter()
        .chain(values)
        .collect();
    (!what.is_empty()).then(|| {
        let how = if names.is_empty() {
            ""
        } else {
            " (--set, or the job's [values])"
        };
        format!(
            "{}; the vehicle maker's service information goes first{how}",
            what.join("; ")
        )
    })
}

/// The cautions of the one page that is carried, and that its numbers are for demonstration where they are.
#[must_use]
pub fn caution_at_the_bay(plan: &FloorPlan) -> String {
    let first = if demonstrates(plan) {
        "Demonstration values: the vehicle maker's service information and local rules go first."
    } else {
        "The vehicle maker's service information for this very vehicle and local rules go first."
    };
    format!("{first} {CAUTION_AT_THE_BAY}")
}

/// The caution that every full-scale sheet carries.
#[must_use]
pub fn caution(plan: &FloorPlan) -> &'static str {
    if demonstrates(plan) {
        "Demonstration values: the vehicle maker’s service information goes first."
    } else {
        "The vehicle maker’s service information goes first."
    }
}
