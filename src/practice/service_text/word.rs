//! What lines, rails and datums are called in a sentence.

use crate::{
    practice::layout::spaced,
    template::{
        AxleChoice, BearingFrom, Datum, MarkRef, PointOrigin, PointSpec, Rail, RailFrom, Sides,
        Station, TemplateSpec,
    },
};

/// A datum as it is found on the vehicle.
pub(super) fn datum(datum: Datum) -> &'static str {
    match datum {
        Datum::FrontBumper => "the front bumper",
        Datum::FrontAxle => "the front wheel centres",
        Datum::RearAxle => "the rear wheel centres",
        Datum::RearBumper => "the rear bumper",
    }
}

/// What is set out on a station: "the middle of the front panels" where panels lie there.
pub(super) fn station(template: &TemplateSpec, station: &Station) -> String {
    let here = |mark: &MarkRef| {
        mark.name
            .split_once('/')
            .is_some_and(|(name, _)| name == station.name)
    };
    let panels = template.panels.iter().any(|panel| here(&panel.at.value));
    let middle = if panels { "middle of the " } else { "" };
    format!("the {middle}{}", station.meaning)
}

/// A datum's or a station's words behind "from".
pub(super) fn base(template: &TemplateSpec, name: &str) -> String {
    if let Some((_, known)) = Datum::WORDS.iter().find(|(word, _)| *word == name) {
        return datum(*known).to_owned();
    }
    let found = template.stations.iter().find(|known| known.name == name);
    found.map_or_else(
        || format!("the {}", spaced(name)),
        |known| station(template, known),
    )
}

/// What lies along a rail: lines, the ends of cross lines, panels, or marks.
pub(super) fn rail(template: &TemplateSpec, name: &str) -> String {
    let crossing = |mark: &MarkRef| {
        let (station, rail) = mark.name.split_once('/')?;
        Some((station.to_owned(), rail.to_owned()))
    };
    let ends = template
        .lines
        .iter()
        .filter_map(|line| Some([crossing(&line.from.value)?, crossing(&line.to.value)?]));
    let ends: Vec<_> = ends.collect();
    let along = ends
        .iter()
        .any(|[from, to]| from.1 == name && to.1 == name && from.0 != to.0);
    let tip = ends
        .iter()
        .any(|[from, to]| to.1 == name && from.1 != name && from.0 == to.0);
    let mut panels = template.panels.iter();
    let panel = panels.any(|panel| crossing(&panel.at.value).is_some_and(|(_, rail)| rail == name));
    match (along, tip, panel) {
        (true, ..) => format!("the {} lines", spaced(name)),
        (_, true, _) => "the outer ends of the cross lines".to_owned(),
        (_, _, true) => format!("the middle of the {} panels", spaced(name)),
        _ => format!("the {} marks", spaced(name)),
    }
}

/// What a rail's distance counts from.
pub(super) fn rail_base(template: &TemplateSpec, rail_spec: &Rail) -> String {
    match &rail_spec.from {
        RailFrom::Centreline => "the centreline".to_owned(),
        RailFrom::TyreOuterFace(AxleChoice::Front) => "the front tyres' outer faces".to_owned(),
        RailFrom::TyreOuterFace(AxleChoice::Rear) => "the rear tyres' outer faces".to_owned(),
        RailFrom::TyreOuterFace(AxleChoice::Wider) => {
            "the tyres' outer faces (of the wider track)".to_owned()
        }
        RailFrom::BodySide => "the sides of the body".to_owned(),
        RailFrom::Mirror => "the mirrors' outermost points".to_owned(),
        RailFrom::Rail(name) => rail(template, &name.value),
    }
}

/// What a free mark counts from.
pub(super) fn origin(template: &TemplateSpec, point: &PointSpec) -> String {
    let end = |datum: Datum| match datum {
        Datum::FrontAxle | Datum::FrontBumper => "front",
        Datum::RearAxle | Datum::RearBumper => "rear",
    };
    match &point.from.value {
        PointOrigin::Corner(datum) => format!("the {} corner of the body", end(*datum)),
        PointOrigin::Wheel(datum) => format!("the {} wheel centre", end(*datum)),
        PointOrigin::Centre(known) => format!("{} on the centreline", datum(*known)),
        PointOrigin::Mark(mark) => match mark.name.split_once('/') {
            Some((station, on)) => {
                format!("{} on {}", base(template, station), rail(template, on))
            }
            None => format!("mark {}", mark.name),
        },
    }
}

/// The direction from which a bearing counts.
pub(super) fn zero(point: &PointSpec) -> &'static str {
    match point.bearing_from {
        BearingFrom::Ahead => "straight ahead",
        BearingFrom::Rearward => "straight rearward",
    }
}

/// On which sides, behind a comma.
pub(super) fn sides(sides: Sides) -> &'static str {
    match sides {
        Sides::Both => ", left and right alike",
        Sides::Left => ", on the left",
        Sides::Right => ", on the right",
    }
}

/// "a, b and c".
pub(super) fn list(words: &[String]) -> String {
    match words {
        [but_last @ .., last] if !but_last.is_empty() => {
            format!("{} and {last}", but_last.join(", "))
        }
        _ => words.concat(),
    }
}
