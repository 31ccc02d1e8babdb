//! The relations of a layout in sentences, as a sheet prints them.

use super::relations::{Relations, ids, spaced};
use crate::{
    template::{
        Amount, AxleChoice, BearingFrom, Datum, PointOrigin, PointSpec, Rail, RailFrom, StationFrom,
    },
    units::mm_exact,
};

/// A sentence of the layout: which marks, what they are, where they lie.
#[derive(Clone, Debug)]
pub(in crate::practice) struct Rule {
    /// A station's number "1", rails "L, R", or free marks "P1L, P1R".
    pub marks: String,
    /// What it is; empty for rails.
    pub what: String,
    /// Where it lies.
    pub place: String,
}

impl Relations<'_> {
    /// The layout in sentences: stations, rails, free marks.
    pub(in crate::practice) fn rules(&self) -> Vec<Rule> {
        let stations = self.template.stations.iter().zip(&self.numbers);
        let stations = stations.map(|(station, number)| Rule {
            marks: number.map_or_else(|| spaced(&station.name), |number| number.to_string()),
            what: station.meaning.clone(),
            place: self.station_place(&station.from),
        });
        let rails = self
            .template
            .rails
            .iter()
            .enumerate()
            .map(|(index, rail)| Rule {
                marks: match self.used_rails[index] {
                    true => self.rail_ids(index),
                    false => spaced(&rail.name),
                },
                what: format!("{} rail", spaced(&rail.name)),
                place: self.rail_place(rail),
            });
        let points = self.template.points.iter().map(|point| Rule {
            marks: ids(point).map(|(id, _)| id).collect::<Vec<_>>().join(", "),
            what: point.meaning.clone(),
            place: self.point_place(point),
        });
        stations.chain(rails).chain(points).collect()
    }

    /// A length with the name of its value.
    fn length_words(&self, amount: &Amount, mm: f64) -> String {
        let length = format!("{} {}", self.ruling.given(mm), self.ruling.unit());
        self.with_name(amount, length)
    }

    fn with_name(&self, amount: &Amount, number: String) -> String {
        match amount {
            Amount::Value(_) => format!("{} {number}", self.name(amount)),
            Amount::Fixed(_) => number,
        }
    }

    fn station_words(&self, name: &str) -> String {
        match self.station_named(name).map(|index| self.numbers[index]) {
            Some(Some(number)) => format!("station {number}"),
            Some(None) => spaced(name),
            None => format!("the {name}"),
        }
    }

    fn station_place(&self, from: &StationFrom) -> String {
        match from {
            StationFrom::Offset {
                base,
                distance: None,
                ..
            } => format!("at {}", self.station_words(&base.value)),
            StationFrom::Offset {
                base,
                distance: Some(distance),
                rearward,
            } => {
                // A distance below 0 lies on the other side.
                let number = distance.value.number(&self.values);
                let way = if *rearward == (number >= 0.0) {
                    "behind"
                } else {
                    "ahead of"
                };
                let distance = self.length_words(&distance.value, number.abs());
                format!("{distance} {way} {}", self.station_words(&base.value))
            }
            StationFrom::Between {
                ends: [first, second],
                fraction,
            } => format!(
                "{} of the way from {} to {}",
                mm_exact(*fraction, 4),
                self.station_words(&first.value),
                self.station_words(&second.value)
            ),
        }
    }

    fn rail_place(&self, rail: &Rail) -> String {
        let named;
        let base = match &rail.from {
            RailFrom::Centreline => "the centreline",
            RailFrom::TyreOuterFace(AxleChoice::Wider) => {
                "the tyres' outer faces (of the wider track)"
            }
            RailFrom::TyreOuterFace(AxleChoice::Front) => "the front tyres' outer faces",
            RailFrom::TyreOuterFace(AxleChoice::Rear) => "the rear tyres' outer faces",
            RailFrom::BodySide => "the body's sides",
            RailFrom::Mirror => "the mirrors' outermost points",
            RailFrom::Rail(name) => {
                named = format!("the {} rail", spaced(&name.value));
                &named
            }
        };
        rail.outward.as_ref().map_or_else(
            || format!("at {base}"),
            |amount| {
                format!(
                    "{} outward of {base}",
                    self.length_words(&amount.value, amount.value.number(&self.values))
                )
            },
        )
    }

    fn point_place(&self, point: &PointSpec) -> String {
        let end = |datum: &Datum| match datum {
            Datum::FrontAxle | Datum::FrontBumper => "front",
            Datum::RearAxle | Datum::RearBumper => "rear",
        };
        let from = match &point.from.value {
            PointOrigin::Corner(datum) => format!("the {} corner of the body", end(datum)),
            PointOrigin::Wheel(datum) => format!("the {} wheel centre", end(datum)),
            PointOrigin::Centre(datum) => {
                let words = Datum::WORDS.iter().find(|(_, known)| known == datum);
                format!(
                    "the {} on the centreline",
                    words.map_or("", |(words, _)| words)
                )
            }
            PointOrigin::Mark(mark) => match mark.name.split_once('/') {
                Some((station, rail)) => {
                    let station = self.station_words(station);
                    format!("mark at {station} on the {} rail", spaced(rail))
                }
                None => format!("mark {}", mark.name),
            },
        };
        let zero = match point.bearing_from {
            BearingFrom::Ahead => "straight ahead",
            BearingFrom::Rearward => "straight rearward",
        };
        let (distance, bearing) = (&point.distance.value, &point.bearing.value);
        let (mm, degrees) = (distance.number(&self.values), bearing.number(&self.values));
        if self.plain {
            return self.plain_place(point, &from, mm, degrees);
        }
        let distance = self.length_words(distance, mm);
        let bearing = self.with_name(bearing, format!("{}°", mm_exact(degrees, 3)));
        format!("{distance} from {from}, {bearing} from {zero} outwards")
    }

    /// How far along and how far across a free mark lies from where it starts.
    fn plain_place(&self, point: &PointSpec, from: &str, mm: f64, degrees: f64) -> String {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let ahead = (cosine >= 0.0) == (point.bearing_from == BearingFrom::Ahead);
        let [along, across] = [cosine, sine].map(|part| {
            let mm = self.plain_number(mm * part).abs();
            format!("{} {}", self.ruling.exact(mm), self.ruling.unit())
        });
        format!(
            "{along} {} {from}, {across} {} it",
            if ahead { "ahead of" } else { "behind" },
            if sine >= 0.0 { "outside" } else { "inside" }
        )
    }

    /// The names of a rail on its sides: "L2, R2".
    fn rail_ids(&self, index: usize) -> String {
        let sides = self.template.rails[index].sides.list().iter();
        let ids = sides.map(|&side| {
            match self
                .rails_on(side)
                .take_while(|rail| *rail <= index)
                .count()
            {
                1 => side.letter().to_string(),
                nth => format!("{}{nth}", side.letter()),
            }
        });
        ids.collect::<Vec<_>>().join(", ")
    }
}
