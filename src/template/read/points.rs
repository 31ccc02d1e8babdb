//! Points by bearing and distance.

use super::{
    placed_text, required_amount, required_length, required_meaning, required_name, sides,
};
use crate::{
    source::{Placed, Table},
    template::{BearingFrom, Datum, MarkRef, NamedValue, PointOrigin, PointSpec, Sides, ValueKind},
};

/// Longest name of a point, in characters: it is a mark's name, read from across the bay.
const LONGEST_POINT_NAME: usize = 8;

pub(super) fn read_point(table: &Table<'_>, values: &[NamedValue]) -> Option<PointSpec> {
    let name = required_name(table);
    let meaning = required_meaning(table);
    let from = table
        .required(
            "from",
            "a corner (\"rear corner\"), a wheel (\"front wheel\"), \"front centre\", \"rear centre\" or a mark",
        )
        .and_then(|entry| placed_text(&entry));
    let bearing_from = table
        .required(
            "bearing_from",
            "\"ahead\" or \"rearward\", the direction at which the bearing is 0",
        )
        .and_then(|entry| {
            entry.choice(&[
                ("ahead", BearingFrom::Ahead),
                ("rearward", BearingFrom::Rearward),
            ])
        });
    let bearing = required_amount(table, "bearing", ValueKind::Angle, values);
    let distance = required_length(table, "distance", values);
    let sides = sides(table);
    let tolerance = required_length(table, "tolerance", values);
    if let Some(name) = name.as_ref().filter(|name| !is_mark_name(name)) {
        table.fault(format!(
            "\"{name}\" cannot name a mark; use at most {LONGEST_POINT_NAME} letters and digits, beginning with a letter, as in P1"
        ));
        return None;
    }
    let from = from?;
    Some(PointSpec {
        name: name?,
        meaning: meaning?,
        from: Placed {
            value: point_origin(&from.value),
            place: from.place,
        },
        bearing_from: bearing_from?,
        bearing: bearing?,
        distance: distance?,
        sides: sides?.unwrap_or(Sides::Both),
        tolerance: tolerance?,
        place: table.place(),
    })
}

/// Names of crossings begin with a digit, so these can never be taken for one.
fn is_mark_name(name: &str) -> bool {
    name.len() <= LONGEST_POINT_NAME
        && name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(|c| c.is_ascii_alphanumeric())
}

fn point_origin(text: &str) -> PointOrigin {
    match text {
        "front corner" => PointOrigin::Corner(Datum::FrontBumper),
        "rear corner" => PointOrigin::Corner(Datum::RearBumper),
        "front wheel" => PointOrigin::Wheel(Datum::FrontAxle),
        "rear wheel" => PointOrigin::Wheel(Datum::RearAxle),
        "front centre" => PointOrigin::Centre(Datum::FrontBumper),
        "rear centre" => PointOrigin::Centre(Datum::RearBumper),
        mark => PointOrigin::Mark(MarkRef::parse(mark)),
    }
}
