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

/// The same for the one page that is carried to the bay: all of it, in as few words as it takes.
pub const CAUTION_AT_THE_BAY: &str = "The vehicle maker's service information for this very vehicle and local rules go first. Trained \
     staff only. This sheet lays out marks; it does not say that a system is calibrated. Chock the wheels, one person keeps the keys, \
     nobody stands between vehicle and wall; mind strings and strips underfoot.";

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
        if value.is_default {
            format!("{text} (demo)")
        } else {
            text
        }
    };
    let mut text = values.iter().map(one).collect::<Vec<_>>().join("; ");
    if values.iter().any(|value| value.is_default) {
        text.push_str(
            ". Demo: a demonstration value, to be replaced by the service information's.",
        );
    }
    text
}

/// The caution that every full-scale sheet carries.
#[must_use]
pub fn caution(plan: &FloorPlan) -> &'static str {
    if plan.template.values.iter().any(|value| value.is_default) {
        "Demonstration values: the vehicle maker’s service information goes first."
    } else {
        "The vehicle maker’s service information goes first."
    }
}
