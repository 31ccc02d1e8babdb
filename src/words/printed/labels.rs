//! Labels on sheets, on their map and on the floor in one piece.

use crate::words::{Lengths, long};

/// Beside an edge that is cut and laid on another sheet.
pub const TRIM: &str = "trim";
/// Beside an edge that is cut so that it hides nothing.
pub const TRIM_ALONE: &str = "trim (joins nothing)";
/// What a mat's legend says of dashed lines.
pub const TRIM_IN_LEGEND: &str = "trim edges alone, with the word “trim”";
/// What a mat's legend says of the lines of several vehicles.
pub const SHARED: &str = "shared (AB:1L is 1L of A and of B)";
/// On a page that is larger than a plain one may be.
pub const OVERSIZE: [&str; 2] = [
    "Longer than a plain PDF page: needs a reader that honours UserUnit (10).",
    "Printed at a tenth of its size? Use strips (--roll) or floor.svg.",
];

/// Along the line that another sheet's trimmed edge is laid to.
#[must_use]
pub fn lay_edge_here(label: &str) -> String {
    format!("lay {label}’s edge here")
}

/// Which sheet of how many.
#[must_use]
pub fn sheet_of(label: &str, count: usize) -> String {
    format!("sheet {label} of {count}")
}

/// Which strip of how many, of which roll, and its length, mm.
#[must_use]
pub fn strip_of(label: &str, count: usize, roll: &str, length: f64, inches: bool) -> String {
    let length = if inches {
        long(length, true)
    } else {
        Lengths { inches }.whole(length)
    };
    format!("strip {label} of {count}, {roll}, {length} long")
}

/// Below the map of all sheets or keys: its title with its scale, and what its signs mean.
#[must_use]
pub fn map_caption(keys: bool, scale: &str, piece: (usize, usize), mat: bool) -> [String; 2] {
    let (what, legend) = if keys {
        ("Where the keys lie", "Crosses: marks, a key for each.")
    } else {
        ("Assembly map", "Cells: trimmed sheets. Bold: marks.")
    };
    let mut title = format!("{what}, front up, about 1 : {scale}");
    if let (number, of @ 2..) = piece {
        title.push_str(&format!(", piece {number} of {of}"));
    }
    let vehicle = if mat {
        "the longest vehicle"
    } else {
        "the vehicle"
    };
    [title, format!("{legend} Grey: {vehicle}.")]
}
