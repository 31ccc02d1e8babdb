//! What is said of the bay and of the vehicle in it: its floor, its badge, its checklists.

use crate::{
    plan::FloorPlan,
    units::{inch_text, mm_exact, mm_text},
};

/// A badge less than this off the true centre, mm, is not worth a warning: nobody plumbs finer.
const BADGE_MATTERS: f64 = 0.5;

/// What is ticked first.
pub const BEFORE_SETTING_OUT: &str = "Before setting out";
/// What is ticked last.
pub const BEFORE_TEARING_DOWN: &str = "Before tearing down";

/// The clear floor that a layout needs, and whether the bay has it.
#[must_use]
pub fn clear_floor(plan: &FloorPlan, inches: bool) -> String {
    let size = |along: f64, across: f64| {
        if inches {
            format!("{} × {} in", inch_text(along), inch_text(across))
        } else {
            format!("{} × {} mm", mm_text(along), mm_text(across))
        }
    };
    let needed = plan.floor.needed;
    let mut lines = vec![format!(
        "Clear floor needed: {}.",
        size(needed.width(), needed.height())
    )];
    let Some(bay) = &plan.floor.bay else {
        lines.push("No bay named: measure the clear floor before setting out.".to_owned());
        return lines.join(" ");
    };
    let verdict = if bay.fits() { "fits" } else { "does NOT fit" };
    lines.push(format!("Bay {}: {verdict}.", size(bay.size.0, bay.size.1)));
    for (word, short) in [("along", bay.short.0), ("across", bay.short.1)] {
        if short > 0.0 {
            let short = if inches {
                format!("{} in", inch_text(short))
            } else {
                format!("{} mm", mm_text(short.ceil()))
            };
            lines.push(format!("Short by {short} {word}."));
        }
    }
    if !bay.hit.is_empty() {
        lines.push(format!("In the way: {}.", bay.hit.join(", ")));
    }
    lines.join(" ")
}

/// A warning where the badge is not in the middle.
#[must_use]
pub fn badge_off(plan: &FloorPlan, inches: bool) -> Option<String> {
    let offset = plan.vehicle.badge_offset;
    if offset.abs() < BADGE_MATTERS {
        return None;
    }
    let side = if offset > 0.0 { "left" } else { "right" };
    let length = if inches {
        format!("{} in", inch_text(offset.abs()))
    } else {
        format!("{} mm", mm_exact(offset.abs(), 1))
    };
    Some(format!(
        "The badge is {length} {side} of the true centre: do not plumb from it."
    ))
}
