//! Vehicles for exercises: a body class with its dimensions varied.

use super::Draw;
use crate::vehicle::VehicleSpec;

/// How far lengths and widths of a body class may vary, as part of them: far enough for other numbers, near enough that the
/// class stays what it is (an estimate).
const LENGTHS: f64 = 0.05;
const WIDTHS: f64 = 0.025;

/// Dimensions are whole multiples of this, mm: what a tape on a vehicle is read to.
const STEP_MM: f64 = 5.0;

/// A plausible vehicle of the same body class: lengths by up to 5 %, widths by up to 2.5 %, in steps of 5 mm. Tracks vary
/// together with the body, so that tyres stay in it; left and right wheelbase keep their difference.
#[must_use]
pub fn varied(class: &VehicleSpec, draw: &mut Draw) -> VehicleSpec {
    let stepped = |mm: f64| (mm / STEP_MM).round() * STEP_MM;
    let mut about = |mm: f64, part: f64| {
        stepped(mm + draw.stepped(-part * 100.0, part * 100.0, 0.1) / 100.0 * mm)
    };
    let wheelbase_left = about(class.wheelbase_left, LENGTHS);
    let front_overhang = about(class.front_overhang, LENGTHS);
    let rear_overhang = about(class.rear_overhang, LENGTHS);
    let overall_width = about(class.overall_width, WIDTHS);
    let wider = overall_width - class.overall_width;
    VehicleSpec {
        name: class.name.replace("(demo)", "(demo, varied)"),
        source: "invented for an exercise, no real vehicle".to_owned(),
        sources: Vec::new(),
        demonstration: class.demonstration,
        wheelbase_left,
        wheelbase_right: wheelbase_left + class.wheelbase_right - class.wheelbase_left,
        front_overhang,
        rear_overhang,
        front_track: class.front_track + wider,
        rear_track: class.rear_track + wider,
        tyre: class.tyre,
        overall_width,
        width_over_mirrors: class.width_over_mirrors + wider,
        badge_offset: class.badge_offset,
    }
}
