//! Sentences with numbers that no layout needs, as service information is full of them.

use crate::{
    practice::{Draw, Ruling},
    units::{MM_PER_INCH, mm_exact},
};

/// How many of them stand in a text, beside the one on floor to be kept clear.
const COUNT: usize = 3;

/// Sentences on what is not measured on the floor, and one with a length that places no mark. Numbers are invented, of a size
/// that is common in workshops (common practice, no source).
pub(super) fn not_needed(ruling: Ruling, draw: &mut Draw) -> Vec<String> {
    let torque = ruling.pick(
        (draw.stepped(100.0, 150.0, 10.0), "N·m"),
        (draw.stepped(75.0, 110.0, 5.0), "lbf·ft"),
    );
    let pressure = ruling.pick(
        (draw.stepped(210.0, 270.0, 10.0), "kPa"),
        (draw.stepped(30.0, 39.0, 1.0), "psi"),
    );
    let light = ruling.pick(
        (draw.stepped(300.0, 600.0, 50.0), "lx"),
        (draw.stepped(30.0, 60.0, 5.0), "foot-candles"),
    );
    let volts = draw.stepped(12.2, 13.0, 0.1);
    let number = |(number, unit): (f64, &str)| format!("{} {unit}", mm_exact(number, 1));
    let mut all = vec![
        format!("Tighten the wheel bolts to {}.", number(torque)),
        format!("Set all tyres to {}.", number(pressure)),
        format!(
            "Keep the battery at {} V or more while the cameras are aligned.",
            mm_exact(volts, 1)
        ),
        format!("Light the floor evenly, with at least {}.", number(light)),
    ];
    draw.shuffle(&mut all);
    all.truncate(COUNT);
    let clear = ruling.pick(
        draw.stepped(900.0, 1400.0, 100.0),
        draw.stepped(36.0, 54.0, 6.0) * MM_PER_INCH,
    );
    all.push(format!(
        "Keep {} of floor clear all around the layout.",
        ruling.length(clear)
    ));
    all
}
