//! Why readings and heights cannot be judged.

use std::fmt;

use crate::{
    survey::{AssessError, PlaneError},
    units::mm_text,
};

impl fmt::Display for AssessError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingHeld { pulls } => {
                f.write_str(
                    "the readings hold no three marks to each other, so nothing can be judged; ",
                )?;
                if pulls.is_empty() {
                    return f
                        .write_str("tape more distances between the same marks, diagonals too");
                }
                let pulls: Vec<String> = pulls.iter().map(|pull| pull.join("–")).collect();
                write!(f, "tape also {}", pulls.join(", "))
            }
            Self::Unsettled {
                long: (long, length),
                others: [one, other],
                together,
            } => write!(
                f,
                "the readings contradict each other too much to be adjusted: {long} with {} mm is longer than {one} and {other} together, {} mm; \
                 one of the three is wrong, tape them again",
                mm_text(*length),
                mm_text(*together)
            ),
            Self::Coincident { points } => write!(
                f,
                "{} lie at one place, so a distance between them has no direction; give them places of their own",
                points.join(" and ")
            ),
        }
    }
}

impl fmt::Display for PlaneError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { count } => {
                match count {
                    0 => f.write_str("there is no height")?,
                    1 => f.write_str("there is one height, too few")?,
                    _ => write!(f, "there are {count} heights, too few")?,
                }
                f.write_str(" for a plane; expected heights at three points or more (four or more to be checked): read the corners of the layout and the four wheels")
            }
            Self::InLine { breadth } => write!(
                f,
                "all points lie on one line, to {breadth:.1} mm: across it nothing is known of the floor; read a point beside the line as well",
            ),
        }
    }
}
