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
            Self::Perpendicular => "perpendicular from the centreline",
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
                f.write_str("Plumb the middle of the vehicle's front and of its rear to the floor: points front and rear.")?;
                if *badge_off_centre {
                    f.write_str(" Do not plumb from the badge: it is off centre.")?;
                }
                Ok(())
            }
            Self::SnapLine => f.write_str(
                "Stretch a string through front and rear, on past all stations at both ends, and snap the line. It must still \
                 run through both points.",
            ),
            Self::MarkZero(origin) => write!(
                f,
                "Mark zero on the line, {origin}: plumb it from the vehicle. Every station is taped from here."
            ),
            Self::DrawZero => f.write_str("Zero is a mark: draw it."),
            Self::Stations {
                forward,
                count,
                onto,
            } => stations(f, *forward, *count, onto),
            Self::SquareOff {
                foot,
                angle,
                arcs,
                left,
                right,
                helps,
                inches,
            } => {
                right_angle(f, foot, *angle, *arcs, *inches)?;
                f.write_str(match (left, right) {
                    (true, true) => " Tape left and right from the line in one go.",
                    (true, false) => " Tape to the left, from the line.",
                    _ => " Tape to the right, from the line.",
                })?;
                if *helps {
                    f.write_str(" Points in small letters (h) only hold strings.")?;
                }
                Ok(())
            }
            Self::Strings {
                strings,
                offset,
                inches,
            } => {
                let ends: Vec<String> = strings
                    .iter()
                    .map(|[front, rear]| format!("{front} to {rear}"))
                    .collect();
                write!(
                    f,
                    "A wheel stands between the line and these marks. Stretch a string from {}, {} off the line, and tape \
                     along it from its front end in one go.",
                    ends.join(" and from "),
                    length(*offset, *inches)
                )
            }
            Self::Swing {
                bases,
                marks,
                instead,
            } => swing(f, bases, marks, *instead),
            Self::SetByWay1 {
                marks,
                crossing,
                step,
            } => {
                write!(f, "{}: the arcs ", marks.join(", "))?;
                match crossing {
                    None => f.write_str("only touch on the line through both base marks")?,
                    Some((degrees, off)) => write!(
                        f,
                        "cross too flat ({degrees:.0}°), the mark may lie {off:.0} mm off"
                    )?,
                }
                write!(f, ". Set by way 1, step {step}.")
            }
        }
    }
}

fn stations(
    f: &mut fmt::Formatter<'_>,
    forward: bool,
    count: usize,
    onto: &[[String; 2]],
) -> fmt::Result {
    let what = if count == 1 {
        "this station"
    } else {
        "these stations in one go, never from mark to mark"
    };
    let way = way(forward);
    write!(
        f,
        "Lay the tape {way} along the line, its zero on zero, and mark {what}."
    )?;
    onto.iter()
        .try_for_each(|[foot, end]| write!(f, " {foot} must fall on point {end}."))
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
    let Some(angle) = angle else {
        return write!(
            f,
            "Right angle at {foot}: swing equal arcs from two points of the line as far ahead as behind."
        );
    };
    write!(
        f,
        "Right angle at {foot} by 3-4-5: {} {} on the line, {} square to it, {} between.",
        length(angle.along),
        way(angle.direction > 0.0),
        length(angle.across),
        length(angle.diagonal)
    )?;
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
    instead: Option<usize>,
) -> fmt::Result {
    let sides: Vec<String> = marks
        .iter()
        .map(|(mark, left)| {
            let side = if *left { "left" } else { "right" };
            format!("{mark} {side} of the line")
        })
        .collect();
    let sides = sides.join(", ");
    write!(f, "Swing one tape from {front}, one from {rear}: {sides}.")?;
    match instead {
        Some(step) => write!(
            f,
            " * through a wheel: tape with the vehicle away, or by way 1, step {step}."
        ),
        None => Ok(()),
    }
}

/// A length in running words.
fn length(mm: f64, inches: bool) -> String {
    if inches {
        format!("{} ({} in)", mm_text(mm), inch_text(mm))
    } else {
        mm_text(mm)
    }
}
