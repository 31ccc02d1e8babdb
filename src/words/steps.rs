//! Setting out by hand: what each step asks for.

use std::fmt;

use crate::{
    survey::{Arcs, Instruction, RightAngle, Way},
    template::Datum,
    units::{inch_text, mm_text},
};

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Perpendicular => "square to centreline and strings",
            Self::TwoTape => "two tapes from the centreline",
        })
    }
}

/// Where a datum lies on the floor.
impl fmt::Display for Datum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::FrontAxle => "between the front wheel centres",
            Self::RearAxle => "between the rear wheel centres",
            Self::FrontBumper => "below the foremost point",
            Self::RearBumper => "below the rearmost point",
        })
    }
}

impl fmt::Display for Instruction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PlumbMiddles { badge_off_centre } => {
                f.write_str("Plumb the middle of the vehicle's front and of its rear to the floor, half-way between two equal points left and right: points front and rear.")?;
                if *badge_off_centre {
                    f.write_str(" Do not plumb from the badge: it is off centre.")?;
                }
                Ok(())
            }
            Self::StringBelow => f.write_str(
                "Push a string through below the vehicle with a rod, from end to end: nobody reaches below. Stretch it over front and \
                 rear and on past both. Snap the line ahead of the vehicle and behind it.",
            ),
            Self::Feet => f.write_str(
                "Tape from front forward and from rear rearward along the line: foot a, foot b. They only hold strings; 20 mm more or \
                 less do not matter.",
            ),
            Self::Strings { strings } => {
                let [left, right] = strings.each_ref().map(|[front, rear]| format!("{front} to {rear}"));
                write!(f, "Stretch strings past the wheels, from {left} and from {right}. They touch no tyre and stay until all marks lie.")
            }
            Self::CarryWheels {
                front,
                wheels: [left, right],
                starts: [on_left, on_right],
            } => write!(
                f,
                "Plumb the centres of the {} wheels at the tyres' outer faces: {left}, {right}. Carry them square to the strings: {on_left}, \
                 {on_right}. The point between the wheels lies half-way between these two, below the vehicle; it is not marked. \
                 Left and right must read as said here: else the line is not in the middle.",
                if *front { "front" } else { "rear" }
            ),
            Self::AlongStrings {
                forward,
                starts: [left, right],
            } => write!(
                f,
                "Lay the tape {} along each string, its zero on {left} and then on {right}. Mark all in one go, never from mark to mark.",
                way(*forward)
            ),
            Self::Across {
                ends: [left, right],
                foot,
                onto,
                offsets,
            } => {
                write!(f, "Stretch a string from {left} to {right}. Where it crosses the line is {foot}.")?;
                if let Some(end) = onto {
                    write!(f, " {foot} must fall on point {end}.")?;
                }
                if *offsets {
                    f.write_str(" Tape left and right from there along the string.")?;
                }
                Ok(())
            }
            Self::SquareOut {
                from,
                angle,
                outward,
                inches,
            } => square_out(f, from, *angle, *outward, *inches),
            Self::LineOnFloor { ahead, behind } => write!(
                f,
                "No vehicle stands here. Snap a straight line along the bay, with {} clear ahead of zero and {} behind it.",
                metres(*ahead),
                metres(*behind)
            ),
            Self::MarkZero(_) => f.write_str("Mark zero on the line. Every station is taped from here."),
            Self::DrawZero => f.write_str("Zero is a mark: draw it."),
            Self::Stations { forward, count } => {
                let what = if *count == 1 {
                    "this station"
                } else {
                    "these stations in one go, never from mark to mark"
                };
                write!(
                    f,
                    "Lay the tape {} along the line, its zero on zero, and mark {what}.",
                    way(*forward)
                )
            }
            Self::SquareOff {
                foot,
                angle,
                arcs,
                left,
                right,
                too_flat,
                inches,
            } => {
                if let Some(degrees) = too_flat {
                    write!(f, "Two tapes cross too flat here ({degrees:.0}°). ")?;
                }
                right_angle(f, foot, *angle, *arcs, *inches)?;
                f.write_str(match (left, right) {
                    (true, true) => " Tape left and right from the line in one go.",
                    (true, false) => " Tape to the left, from the line.",
                    _ => " Tape to the right, from the line.",
                })
            }
            Self::Swing { bases, marks } => swing(f, bases, marks),
            Self::DriveOn { origin, several } => drive_on(f, *origin, *several),
        }
    }
}

fn drive_on(f: &mut fmt::Formatter<'_>, origin: Datum, several: bool) -> fmt::Result {
    let which = if several { "a vehicle" } else { "the vehicle" };
    write!(
        f,
        "Drive {which} on, nobody ahead of it, and chock it. Plumb the middle of its front and of its rear: both must fall on the line. "
    )?;
    match origin {
        Datum::FrontAxle | Datum::RearAxle => {
            let end = if origin == Datum::FrontAxle {
                "front"
            } else {
                "rear"
            };
            write!(
                f,
                "Plumb both {end} wheel centres at the tyres' outer faces: they must lie level with zero."
            )
        }
        Datum::FrontBumper => f.write_str("The plumbed front must fall on zero."),
        Datum::RearBumper => f.write_str("The plumbed rear must fall on zero."),
    }
}

fn square_out(
    f: &mut fmt::Formatter<'_>,
    from: &[String],
    angle: Option<RightAngle>,
    outward: bool,
    inches: bool,
) -> fmt::Result {
    let from = from.join(", ");
    let towards = if outward { "away from" } else { "towards" };
    write!(
        f,
        "From the string at {from}, square to it and {towards} the vehicle. Right angle "
    )?;
    match angle {
        Some(angle) => {
            let length = |mm: f64| length(mm, inches);
            write!(
                f,
                "by 3-4-5: {} {} along the string, {} square to it, {} between.",
                length(angle.along),
                way(angle.direction > 0.0),
                length(angle.across),
                length(angle.diagonal)
            )
        }
        None => f.write_str("by a large steel square against the string."),
    }
}

const fn way(forward: bool) -> &'static str {
    if forward { "forward" } else { "rearward" }
}

fn right_angle(
    f: &mut fmt::Formatter<'_>,
    foot: &str,
    angle: Option<RightAngle>,
    arcs: Option<Arcs>,
    inches: bool,
) -> fmt::Result {
    let length = |mm: f64| length(mm, inches);
    match angle {
        Some(angle) => write!(
            f,
            "Right angle at {foot} by 3-4-5: {} {} on the line, {} square to it, {} between.",
            length(angle.along),
            way(angle.direction > 0.0),
            length(angle.across),
            length(angle.diagonal)
        )?,
        None => write!(
            f,
            "Right angle at {foot} by a large steel square against the line."
        )?,
    }
    let Some(arcs) = arcs else { return Ok(()) };
    write!(
        f,
        " Or swing arcs of {} from {} either side of {foot}: they cross {} off the line.",
        length(arcs.radius),
        length(arcs.along),
        length(arcs.across)
    )
}

fn swing(
    f: &mut fmt::Formatter<'_>,
    [front, rear]: &[String; 2],
    marks: &[(String, bool)],
) -> fmt::Result {
    let sides: Vec<String> = marks
        .iter()
        .map(|(mark, left)| {
            let side = if *left { "left" } else { "right" };
            format!("{mark} {side} of the line")
        })
        .collect();
    write!(
        f,
        "Swing one tape from {front}, one from {rear}: {}.",
        sides.join(", ")
    )
}

/// A length of floor, rounded up to a tenth of a metre.
fn metres(mm: f64) -> String {
    format!("{:.1} m", (mm.max(0.0) / 100.0).ceil() / 10.0)
}

/// A length in running words.
fn length(mm: f64, inches: bool) -> String {
    if inches {
        format!("{} ({} in)", mm_text(mm), inch_text(mm))
    } else {
        mm_text(mm)
    }
}
