//! Stations and rails with a vehicle put in.

use super::{fault::OrderFault, relations::Relations};
use crate::{
    source::{Fault, Placed},
    template::{AxleChoice, Datum, Rail, RailFrom, Side, Station, StationFrom},
    vehicle::VehicleSpec,
};

/// Two stations of a layout, or a rail and the centreline, lie at least this far apart, mm: less
/// than a tape strip's width, and far more than rounding.
const LEAST_DISTANCE_MM: f64 = 1.0;

/// x of a cross-section, mm. Left and right differ where the wheelbases do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Section {
    left: f64,
    right: f64,
}

impl Section {
    const fn straight(x: f64) -> Self {
        Self { left: x, right: x }
    }

    /// x on a side; on the centreline the mean.
    pub(super) fn x(self, side: Side) -> f64 {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
            Side::Centre => f64::midpoint(self.left, self.right),
        }
    }

    fn map(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            left: f(self.left, other.left),
            right: f(self.right, other.right),
        }
    }
}

/// Section of a datum, origin between the front wheel centres.
pub(super) fn datum_section(vehicle: &VehicleSpec, datum: Datum) -> Section {
    match datum {
        Datum::FrontBumper => Section::straight(vehicle.front_overhang),
        Datum::FrontAxle => Section::straight(0.0),
        Datum::RearAxle => Section {
            left: -vehicle.wheelbase_left,
            right: -vehicle.wheelbase_right,
        },
        Datum::RearBumper => Section::straight(-vehicle.wheelbase() - vehicle.rear_overhang),
    }
}

/// Sections of the template's stations, shifted so that x is 0 at `origin_x`.
pub(super) fn resolve_stations(
    stations: &[Station],
    vehicle: &VehicleSpec,
    origin_x: f64,
    values: &[f64],
    faults: &mut Vec<Fault>,
) -> Option<Vec<Section>> {
    let names: Vec<&str> = stations
        .iter()
        .map(|station| station.name.as_str())
        .collect();
    let datums = Datum::WORDS.map(|(word, _)| word);
    let mut relations = Relations::new("station", &names, &datums);
    let sections = relations.resolve_all(faults, |index, ask, faults| {
        let mut base =
            |name: &Placed<String>| match Datum::WORDS.iter().find(|(word, _)| *word == name.value)
            {
                Some((_, datum)) => {
                    let section = datum_section(vehicle, *datum);
                    Some(section.map(section, |x, _| x - origin_x))
                }
                None => ask(name, faults),
            };
        match &stations[index].from {
            StationFrom::Offset {
                base: name,
                distance,
                rearward,
            } => {
                let distance = distance
                    .as_ref()
                    .map_or(0.0, |amount| amount.value.number(values));
                let shift = if *rearward { -distance } else { distance };
                base(name).map(|section| section.map(section, |x, _| x + shift))
            }
            StationFrom::Between {
                ends: [first, second],
                fraction,
            } => {
                let (first, second) = (base(first), base(second));
                Some(first?.map(second?, |a, b| a + fraction * (b - a)))
            }
        }
    })?;
    refuse_disorder(stations, &sections, faults);
    Some(sections)
}

fn refuse_disorder(stations: &[Station], sections: &[Section], faults: &mut Vec<Fault>) {
    for (index, pair) in sections.windows(2).enumerate() {
        let step = pair[0].map(pair[1], |front, rear| front - rear);
        let least = step.left.min(step.right);
        if least < LEAST_DISTANCE_MM {
            let (front, rear) = (&stations[index], &stations[index + 1]);
            faults.push(rear.place.fault(OrderFault::StationAhead {
                station: rear.name.clone(),
                by: -least,
                before: front.name.clone(),
            }));
        }
    }
}

/// Distance of every rail from the centreline, mm, always positive.
pub(super) fn resolve_rails(
    rails: &[Rail],
    vehicle: &VehicleSpec,
    values: &[f64],
    faults: &mut Vec<Fault>,
) -> Option<Vec<f64>> {
    let names: Vec<&str> = rails.iter().map(|rail| rail.name.as_str()).collect();
    let mut relations = Relations::new("rail", &names, &RailFrom::WORDS);
    let distances = relations.resolve_all(faults, |index, ask, faults| {
        let rail = &rails[index];
        let base = match &rail.from {
            RailFrom::Centreline => 0.0,
            RailFrom::TyreOuterFace(axle) => tyre_outer_face(vehicle, *axle),
            RailFrom::BodySide => vehicle.overall_width / 2.0,
            RailFrom::Mirror => vehicle.width_over_mirrors / 2.0,
            RailFrom::Rail(name) => ask(name, faults)?,
        };
        Some(
            base + rail
                .outward
                .as_ref()
                .map_or(0.0, |amount| amount.value.number(values)),
        )
    })?;
    for (rail, &distance) in rails.iter().zip(&distances) {
        if distance < LEAST_DISTANCE_MM {
            faults.push(rail.place.fault(OrderFault::RailInward {
                rail: rail.name.clone(),
                outward: distance,
            }));
        }
    }
    refuse_rails_inside(rails, &distances, faults);
    Some(distances)
}

fn refuse_rails_inside(rails: &[Rail], distances: &[f64], faults: &mut Vec<Fault>) {
    for (outer, rail) in rails.iter().enumerate() {
        let shares_a_side = |inner: &usize| {
            rail.sides
                .list()
                .iter()
                .any(|side| rails[*inner].sides.list().contains(side))
        };
        if let Some(inner) = (0..outer)
            .filter(shares_a_side)
            .find(|inner| distances[*inner] >= distances[outer])
        {
            faults.push(rail.place.fault(OrderFault::RailsCross {
                rail: (rail.name.clone(), distances[outer]),
                inner: (rails[inner].name.clone(), distances[inner]),
            }));
        }
    }
}

fn tyre_outer_face(vehicle: &VehicleSpec, axle: AxleChoice) -> f64 {
    let track = match axle {
        AxleChoice::Front => vehicle.front_track,
        AxleChoice::Rear => vehicle.rear_track,
        AxleChoice::Wider => vehicle.front_track.max(vehicle.rear_track),
    };
    f64::midpoint(track, vehicle.tyre.width)
}
