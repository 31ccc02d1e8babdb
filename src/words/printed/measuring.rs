//! The measuring sheet: what is taken at the vehicle, how, and the sums that show a slip on the spot.
//!
//! What each dimension is stands in `vehicle/spec.rs`, after SAE J1100 and ISO 612. How it is taken with plumb bob and tape, and
//! how near two ways to one number have to come, is common practice, no source; the limits of the program are its own constants.

use super::NO_BREAK;
use crate::{
    units::{SIXTEENTH_MM, inch_text, mm_exact},
    vehicle::{TYRE_STANDS_OUT_MM, WHEELBASE_DIFFERENCE_MM},
};

/// How far a length over all that is taped at once may lie from the sum of its three parts, mm: a few mm for each of four tapings and
/// six plumbed points (common practice, no source).
const SUM_AGREES_MM: f64 = 10.0;

/// Left and right wheelbases further apart than this, mm, are plumbed once more, though some axles are built so (common practice, no
/// source).
const WHEELBASE_AGAIN_MM: f64 = 5.0;

/// What stands above the page.
pub const TITLE: &str = "Measuring sheet: one vehicle";
/// What is written at the top, each with its share of the width.
pub const FIELDS: [(&str, f64); 4] = [
    ("vehicle (make, model, year)", 68.0),
    ("plate, or last digits of the VIN", 44.0),
    ("date", 26.0),
    ("measured by", 42.0),
];
/// Where a number comes from, each with a box to tick.
pub const SOURCES: [&str; 2] = ["tape", "service info."];
/// Where the badge lies, each with a box to tick.
pub const SIDES: [&str; 2] = ["left", "right"];
/// What the sums are.
pub const SUMS_HEADING: &str = "Check on the spot";
/// What the sums are for.
pub const SUMS_REMARK: &str =
    "before the vehicle leaves: a sum that does not come right is a slip; tape its parts again";
/// Below everything.
pub const FOOT: &str = "Then type the numbers in by their row, and keep this sheet with the job. It need not be printed to scale.";
/// How the picture is drawn, and what its two views are.
pub const VIEWS: [&str; 2] = ["left side", "from above (not to scale)"];
/// Words on the picture.
pub const FRONT: &str = "FRONT";

/// What is seen to before the tape comes out, and where numbers go.
#[must_use]
pub fn before(inches: bool) -> String {
    let read = if inches {
        "Write inches to 1/16"
    } else {
        "Write whole mm"
    };
    format!(
        "First: level floor, vehicle on its wheels, wheels straight, tyres at pressure, no load. Parking brake on, wheels chocked, keys \
         with one person; nobody reaches below the body. Plumb every point to the floor and mark it; tape along the floor, pulled tight, \
         from mark to mark. {read}. Where the maker's service information gives the number, it goes first: write that and tick it."
    )
}

/// A place to write a number or a code into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blank {
    /// What stands before it: "+", "−", "=", or nothing.
    pub sign: &'static str,
    /// What goes in; empty where the row says so.
    pub caption: &'static str,
    /// True where it takes a length, whose unit then stands in it.
    pub length: bool,
    /// Its share of the row's blanks.
    pub share: f64,
}

const fn blank(sign: &'static str, caption: &'static str, share: f64) -> Blank {
    Blank {
        sign,
        caption,
        length: true,
        share,
    }
}

/// A dimension that is taken.
#[derive(Clone, Copy, Debug)]
pub struct MeasuredRow {
    /// Keys of a vehicle file that it gives, as in `vehicle/spec.rs`.
    pub keys: &'static [&'static str],
    /// Its number, here and in the picture.
    pub number: &'static str,
    /// What it is.
    pub name: &'static str,
    /// How it is taken.
    pub how: &'static str,
    /// What is written.
    pub blanks: &'static [Blank],
    /// True where a side is ticked as well.
    pub side: bool,
}

const ONE: &[Blank] = &[blank("", "", 1.0)];
const FRONT_TRACK: &[Blank] = &[
    blank("", "outer faces", 1.0),
    blank("−", "tyre width (7)", 1.0),
    blank("=", "front track", 1.0),
];
const REAR_TRACK: &[Blank] = &[
    blank("", "outer faces", 1.0),
    blank("−", "tyre width (7)", 1.0),
    blank("=", "rear track", 1.0),
];
const TYRE: &[Blank] = &[
    Blank {
        sign: "",
        caption: "size, as 215/65 R16",
        length: false,
        share: 1.25,
    },
    Blank {
        sign: "",
        caption: "rim, as 6.5J",
        length: false,
        share: 0.75,
    },
    blank("", "width, taped", 1.0),
];

const fn row(
    keys: &'static [&'static str],
    number: &'static str,
    name: &'static str,
    how: &'static str,
    blanks: &'static [Blank],
) -> MeasuredRow {
    MeasuredRow {
        keys,
        number,
        name,
        how,
        blanks,
        side: false,
    }
}

/// The dimensions in the order in which a vehicle file asks for them.
pub const ROWS: [MeasuredRow; 10] = [
    row(
        &["wheelbase", "wheelbase_left"],
        "1",
        "Wheelbase, left",
        "Plumb both left wheel centres. Tape from one to the other.",
        ONE,
    ),
    row(
        &["wheelbase", "wheelbase_right"],
        "2",
        "Wheelbase, right",
        "The same on the right. Do not copy the left one.",
        ONE,
    ),
    row(
        &["front_overhang"],
        "3",
        "Front overhang",
        "Plumb the foremost point of the bumper, carry it square to the side, and tape back to the front wheel centre.",
        ONE,
    ),
    row(
        &["rear_overhang"],
        "4",
        "Rear overhang",
        "The same from the rearmost point to the rear wheel centre. Where 1 and 2 differ: the mean of both sides.",
        ONE,
    ),
    row(
        &["front_track"],
        "5",
        "Front track",
        "Plumb outer tyre faces, tape across, take off one tyre width; or tape left outer to right inner face.",
        FRONT_TRACK,
    ),
    row(
        &["rear_track"],
        "6",
        "Rear track",
        "The same at the rear. It is seldom the front track.",
        REAR_TRACK,
    ),
    row(
        &["tyre", "tyre_width", "rim_width"],
        "7",
        "Tyre (before 5 and 6)",
        "Copy size and rim width (6.5J is 6.5 in) off tyre and wheel. Plumb the tyre's widest part and tape.",
        TYRE,
    ),
    row(
        &["overall_width"],
        "8",
        "Overall width",
        "Without mirrors. Plumb the widest points of the body, left and right; tape square across.",
        ONE,
    ),
    row(
        &["width_over_mirrors"],
        "9",
        "Width over mirrors",
        "Mirrors out as for driving. Plumb their outer edges; tape square across.",
        ONE,
    ),
    MeasuredRow {
        side: true,
        ..row(
            &["badge_offset"],
            "10",
            "Badge off the centreline",
            "Plumb the badge and the middle between the front tyres; tape across. Side as the driver sits. 0 where they meet.",
            ONE,
        )
    },
];

/// The length over all, as the picture letters it.
pub const LENGTH: &str = "A";

/// A sum that is worked out at the vehicle.
#[derive(Clone, Debug)]
pub struct MeasuredSum {
    /// Its letter.
    pub letter: &'static str,
    /// What it checks.
    pub name: &'static str,
    /// What is written.
    pub blanks: Vec<Blank>,
    /// What must hold, behind a box to tick.
    pub holds: String,
}

/// The sums, with the limits that the program holds a vehicle file to.
#[must_use]
pub fn sums(inches: bool) -> Vec<MeasuredSum> {
    // Rounded down: what a tape in inches still allows is never refused.
    let limit = |mm: f64| {
        let text = if inches {
            let sixteenths = (mm / SIXTEENTH_MM).floor();
            format!("{} in", inch_text(sixteenths * SIXTEENTH_MM))
        } else {
            format!("{} mm", mm_exact(mm, 0))
        };
        text.replace(' ', &NO_BREAK.to_string())
    };
    let sum = |letter, name, blanks: &[Blank], holds| MeasuredSum {
        letter,
        name,
        blanks: blanks.to_vec(),
        holds,
    };
    let outside = limit(2.0 * TYRE_STANDS_OUT_MM);
    vec![
        sum(
            LENGTH,
            "Length over all",
            &[
                blank("", "overhang 3", 1.0),
                blank("+", "mean of 1 and 2", 1.0),
                blank("+", "overhang 4", 1.0),
                blank("=", "sum", 1.0),
                blank("", "A, bumper to bumper", 1.4),
            ],
            format!(
                "A, taped once, is within {} of the sum",
                limit(SUM_AGREES_MM)
            ),
        ),
        sum(
            "B",
            "Left and right",
            &[
                blank("", "larger of 1 and 2", 1.0),
                blank("−", "smaller", 1.0),
                blank("=", "difference", 1.0),
            ],
            format!(
                "at most {}; above {} plumb both again",
                limit(WHEELBASE_DIFFERENCE_MM),
                limit(WHEELBASE_AGAIN_MM)
            ),
        ),
        sum(
            "C",
            "Tyres and body",
            &[
                blank("", "wider of 5 and 6", 1.0),
                blank("+", "tyre width 7", 1.0),
                blank("=", "sum", 1.0),
                blank("", "overall width 8", 1.0),
            ],
            format!("5 and 6 are below 8; the sum is at most {outside} above 8"),
        ),
        sum(
            "D",
            "Mirrors",
            &[
                blank("", "over mirrors 9", 1.0),
                blank("−", "overall width 8", 1.0),
                blank("=", "difference", 1.0),
            ],
            "9 is not less than 8".to_owned(),
        ),
    ]
}
