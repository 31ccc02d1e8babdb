//! The checked vehicle spec.

use std::ops::RangeInclusive;

use super::Tyre;
use crate::{
    source::{Entry, Faults, Source, Table},
    units::{mm_exact, parse_length},
};

/// Version of the format that is read.
const FORMAT: &str = "vehicle/1";

/// A vehicle's dimensions, checked. Lengths in mm, named as in SAE J1100 / ISO 612: wheelbase
/// between wheel centres, overhangs from wheel centre to the extreme point, track between tyre
/// centrelines at the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct VehicleSpec {
    /// What people call it: "delivery van (demo)".
    pub name: String,
    /// Where the dimensions came from.
    pub source: String,
    /// True of a built-in vehicle, which is invented; a file of the user's own is never one.
    pub demonstration: bool,
    /// Where single dimensions came from, when from elsewhere: key and source.
    pub sources: Vec<(String, String)>,
    /// Wheelbase on the left.
    pub wheelbase_left: f64,
    /// Wheelbase on the right.
    pub wheelbase_right: f64,
    /// From the front wheel centres to the foremost point.
    pub front_overhang: f64,
    /// From the rear wheel centres (mean of left and right) to the rearmost point.
    pub rear_overhang: f64,
    /// Front track.
    pub front_track: f64,
    /// Rear track.
    pub rear_track: f64,
    /// Tyre, the same on all wheels.
    pub tyre: Tyre,
    /// Width without mirrors.
    pub overall_width: f64,
    /// Width over both mirrors.
    pub width_over_mirrors: f64,
    /// How far the badge sits left of the true centre (negative: right).
    pub badge_offset: f64,
}

/// A dimension that a spec may hold, with the range in mm outside of which a number is a slip of
/// the pen (invented bounds, wide enough for anything that stands in a car or van workshop).
pub struct Dimension {
    /// Key in the file.
    pub key: &'static str,
    /// What it is, in words.
    pub meaning: &'static str,
    /// Sensible range, mm.
    pub range: RangeInclusive<f64>,
}

/// All dimensions, in the order in which they are asked.
pub const DIMENSIONS: [Dimension; 12] = [
    Dimension {
        key: "wheelbase",
        meaning: "a wheelbase",
        range: 1200.0..=7000.0,
    },
    Dimension {
        key: "wheelbase_left",
        meaning: "a wheelbase",
        range: 1200.0..=7000.0,
    },
    Dimension {
        key: "wheelbase_right",
        meaning: "a wheelbase",
        range: 1200.0..=7000.0,
    },
    Dimension {
        key: "front_overhang",
        meaning: "a front overhang",
        range: 200.0..=2500.0,
    },
    Dimension {
        key: "rear_overhang",
        meaning: "a rear overhang",
        range: 200.0..=3500.0,
    },
    Dimension {
        key: "front_track",
        meaning: "a track",
        range: 900.0..=2500.0,
    },
    Dimension {
        key: "rear_track",
        meaning: "a track",
        range: 900.0..=2500.0,
    },
    Dimension {
        key: "tyre_width",
        meaning: "a tyre's section width",
        range: 100.0..=450.0,
    },
    Dimension {
        key: "rim_width",
        meaning: "a rim width (6.5 in is 165.1 mm)",
        range: 75.0..=360.0,
    },
    Dimension {
        key: "overall_width",
        meaning: "an overall width",
        range: 1100.0..=2700.0,
    },
    Dimension {
        key: "width_over_mirrors",
        meaning: "a width over mirrors",
        range: 1100.0..=3400.0,
    },
    Dimension {
        key: "badge_offset",
        meaning: "a badge's distance from the centre",
        range: -300.0..=300.0,
    },
];

/// Left and right wheelbase may differ by design on some axles; more than this is a mistake.
pub const WHEELBASE_DIFFERENCE_MM: f64 = 120.0;

/// How far tyres may stand out of the body, each side: flared arches on some pickups.
pub const TYRE_STANDS_OUT_MM: f64 = 60.0;

impl VehicleSpec {
    /// Reads and checks a vehicle spec.
    ///
    /// # Errors
    /// All faults of the file, each with its place and remedy.
    pub fn read(source: &Source) -> Result<Self, Faults> {
        source.read(FORMAT, |table| {
            Some(Self {
                demonstration: source.built_in,
                ..build(table)?
            })
        })
    }

    /// Length between the foremost and the rearmost point, mm: the sum of front overhang, mean
    /// wheelbase and rear overhang.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.front_overhang + self.wheelbase() + self.rear_overhang
    }

    /// Mean of the left and the right wheelbase, mm.
    #[must_use]
    pub fn wheelbase(&self) -> f64 {
        f64::midpoint(self.wheelbase_left, self.wheelbase_right)
    }
}

fn build(table: &Table<'_>) -> Option<VehicleSpec> {
    let name = table
        .required("name", "a name, as in name = \"delivery van\"")
        .and_then(|entry| entry.text());
    let source = table
        .required(
            "source",
            "where the numbers came from, as in source = \"measured on the vehicle, 2026-03-02\"",
        )
        .and_then(|entry| entry.text());
    let wheelbases = read_wheelbases(table);
    let front_overhang = needed(table, "front_overhang");
    let rear_overhang = needed(table, "rear_overhang");
    let front_track = needed(table, "front_track");
    let rear_track = needed(table, "rear_track");
    let tyre = read_tyre(table);
    let overall_width = needed(table, "overall_width");
    let width_over_mirrors = needed(table, "width_over_mirrors");
    let badge_offset = table
        .entry("badge_offset")
        .map_or(Some(0.0), |entry| within(&entry, "badge_offset"));
    let sources = read_sources(table);
    let (wheelbase_left, wheelbase_right) = wheelbases?;
    let spec = VehicleSpec {
        demonstration: false,
        name: name?,
        source: source?,
        sources: sources?,
        wheelbase_left,
        wheelbase_right,
        front_overhang: front_overhang?,
        rear_overhang: rear_overhang?,
        front_track: front_track?,
        rear_track: rear_track?,
        tyre: tyre?,
        overall_width: overall_width?,
        width_over_mirrors: width_over_mirrors?,
        badge_offset: badge_offset?,
    };
    refuse_contradictions(table, &spec);
    Some(spec)
}

fn dimension(key: &str) -> &'static Dimension {
    DIMENSIONS
        .iter()
        .find(|dimension| dimension.key == key)
        .expect("every key asked for is in the table")
}

fn within(entry: &Entry<'_>, key: &str) -> Option<f64> {
    let dimension = dimension(key);
    entry.length_within(dimension.range.clone(), dimension.meaning)
}

fn needed(table: &Table<'_>, key: &'static str) -> Option<f64> {
    let expected = format!(
        "{} in mm or with a unit, as in {key} = \"{} mm\"",
        dimension(key).meaning,
        middle(key)
    );
    table
        .required(key, &expected)
        .and_then(|entry| within(&entry, key))
}

fn middle(key: &str) -> String {
    let range = &dimension(key).range;
    mm_exact(f64::midpoint(*range.start(), *range.end()).round(), 0)
}

fn read_wheelbases(table: &Table<'_>) -> Option<(f64, f64)> {
    let both = table.entry("wheelbase");
    let left = table.entry("wheelbase_left");
    let right = table.entry("wheelbase_right");
    match (both, left, right) {
        (Some(both), None, None) => within(&both, "wheelbase").map(|value| (value, value)),
        (None, Some(left), Some(right)) => {
            let (l, r) = (
                within(&left, "wheelbase_left"),
                within(&right, "wheelbase_right"),
            );
            let (l, r) = (l?, r?);
            if (l - r).abs() > WHEELBASE_DIFFERENCE_MM {
                right.fault(format!(
                    "left and right wheelbase differ by {} mm; expected at most {WHEELBASE_DIFFERENCE_MM} mm: measure both sides again",
                    mm_exact((l - r).abs(), 1)
                ));
                return None;
            }
            Some((l, r))
        }
        (None, None, None) => {
            table.fault("`wheelbase` is missing; add wheelbase = \"2700 mm\", or wheelbase_left and wheelbase_right");
            None
        }
        (Some(both), _, _) => {
            both.fault(
                "`wheelbase` stands beside wheelbase_left or wheelbase_right; give one value, or left and right",
            );
            None
        }
        (None, Some(one), None) | (None, None, Some(one)) => {
            one.fault("the wheelbase is given for one side only; give wheelbase_left and wheelbase_right, or wheelbase for both");
            None
        }
    }
}

fn read_tyre(table: &Table<'_>) -> Option<Tyre> {
    let measured = table.entry("tyre_width");
    let code = table.entry("tyre");
    let rim = table.entry("rim_width");
    let rim_width = rim
        .as_ref()
        .map_or(Some(None), |entry| within(entry, "rim_width").map(Some));
    match (measured, code) {
        (Some(measured), None) => {
            if let Some(rim) = rim {
                rim.fault("`rim_width` goes with a `tyre` size code; beside a measured `tyre_width` leave it out");
                return None;
            }
            within(&measured, "tyre_width").map(|width| Tyre {
                width,
                diameter: None,
                code: None,
            })
        }
        (None, Some(code)) => match Tyre::from_code(&code.text()?, rim_width?) {
            Ok(tyre) => Some(tyre),
            Err(error) => {
                code.fault(error.to_string());
                None
            }
        },
        (Some(measured), Some(_)) => {
            measured.fault(
                "`tyre_width` stands beside `tyre`; give the measured width, or the size code",
            );
            None
        }
        (None, None) => {
            table.fault("the tyre is missing; add tyre = \"205/55R16\" (with rim_width = \"6.5 in\" where known), or tyre_width = \"214 mm\"");
            None
        }
    }
}

/// Where single dimensions came from; read below all others, whose keys may have come among these.
fn read_sources(table: &Table<'_>) -> Option<Vec<(String, String)>> {
    let Some(entry) = table.entry("sources") else {
        return Some(Vec::new());
    };
    let sources: Vec<Option<(String, String)>> = entry
        .table()?
        .entries()
        .into_iter()
        .map(|(key, entry)| {
            let is_dimension =
                key == "tyre" || DIMENSIONS.iter().any(|dimension| dimension.key == key);
            if !is_dimension {
                let home = table.home(&key, "[sources]");
                let remedy = home.as_deref().unwrap_or("use the dimension's own key");
                entry.fault(format!(
                    "[sources] names `{key}`, which is no dimension of this file; {remedy}"
                ));
                return None;
            }
            let is_number =
                |text: &str| parse_length(text).is_ok() || Tyre::from_code(text, None).is_ok();
            if entry.as_text().is_none_or(is_number) {
                entry.fault(format!(
                    "[sources] says in words where a dimension came from, and `{key}` has a number here; the dimension itself belongs above [sources]"
                ));
                return None;
            }
            Some((key, entry.text()?))
        })
        .collect();
    sources.into_iter().collect()
}

fn refuse_contradictions(table: &Table<'_>, spec: &VehicleSpec) {
    let fault_at = |key: &'static str, message: String| match table.entry(key) {
        Some(entry) => entry.fault(message),
        None => table.fault(message),
    };
    for (key, track) in [
        ("front_track", spec.front_track),
        ("rear_track", spec.rear_track),
    ] {
        let outside = track + spec.tyre.width;
        if track >= spec.overall_width {
            fault_at(
                key,
                format!(
                    "the track of {} mm is wider than the body ({} mm); check both numbers",
                    mm_exact(track, 1),
                    mm_exact(spec.overall_width, 1)
                ),
            );
        } else if outside > spec.overall_width + 2.0 * TYRE_STANDS_OUT_MM {
            fault_at(
                key,
                format!(
                    "track and tyre width put the tyres' outer faces {} mm apart, more than {TYRE_STANDS_OUT_MM} mm outside the body ({} mm) on each side; check track, tyre and overall_width",
                    mm_exact(outside, 1),
                    mm_exact(spec.overall_width, 1)
                ),
            );
        }
    }
    if spec.width_over_mirrors < spec.overall_width {
        fault_at(
            "width_over_mirrors",
            format!(
                "the width over mirrors is smaller than the overall width ({} mm); check both numbers",
                mm_exact(spec.overall_width, 1)
            ),
        );
    }
}

#[cfg(test)]
#[path = "spec_tests.rs"]
mod tests;
