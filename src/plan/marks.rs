//! Marks with a vehicle put in: crossings of stations and rails, points by bearing and distance.

use kurbo::{Point, Vec2};

use super::{
    fault::{MarkFault, OrderFault, PlanFault},
    relations::{Ask, Relations},
    stations::{Section, datum_section},
};
use crate::{
    source::{Fault, Place, Placed},
    template::{BearingFrom, Datum, MarkRef, PointOrigin, PointSpec, Side, Sides, TemplateSpec},
    vehicle::VehicleSpec,
};

/// Two marks closer than this, mm, are one mark named twice.
const ONE_MARK_MM: f64 = 1.0;

/// A mark with the name that the template knows it by.
pub(super) struct FoundMark {
    /// `station/rail` or the point's name.
    pub name: String,
    pub side: Side,
    /// The name on paper: `1L`, `P2R`.
    pub id: String,
    pub at: Point,
    pub tolerance: f64,
    pub meaning: String,
    /// Station number from 1, or `None` for a point.
    pub station: Option<usize>,
    place: Place,
}

/// What marks are made from: the template's stations and rails as resolved.
pub(super) struct Grid<'a> {
    pub template: &'a TemplateSpec,
    pub vehicle: &'a VehicleSpec,
    pub values: &'a [f64],
    pub sections: &'a [Section],
    pub rails: &'a [f64],
    pub origin_x: f64,
}

impl Grid<'_> {
    /// All marks: by station, within it from left to right, points last in the template's order.
    pub(super) fn marks(&self, faults: &mut Vec<Fault>) -> Vec<FoundMark> {
        let mut marks = self.crossings(faults);
        marks.sort_by(|a, b| a.station.cmp(&b.station).then(b.at.y.total_cmp(&a.at.y)));
        let points = self.points(&marks, faults);
        marks.extend(points);
        refuse_same_place(&marks, faults);
        refuse_same_id(&marks, faults);
        marks
    }

    fn crossings(&self, faults: &mut Vec<Fault>) -> Vec<FoundMark> {
        let template = self.template;
        let mut found = Vec::new();
        let mut used = vec![false; template.stations.len()];
        let mut used_rails = vec![false; template.rails.len()];
        for spec in &template.marks {
            let stations = lookup(
                "station",
                &spec.stations,
                template.stations.iter().map(|s| s.name.as_str()),
                faults,
            );
            let rails = lookup(
                "rail",
                &spec.rails,
                template.rails.iter().map(|r| r.name.as_str()),
                faults,
            );
            for rail in rails.iter().filter_map(|(rail, _)| *rail) {
                used_rails[rail] = true;
            }
            for &(station, ref station_place) in &stations {
                let Some(station) = station else {
                    faults.push(station_place.fault(OrderFault::CentreIsNoStation));
                    continue;
                };
                used[station] = true;
                for &(rail, _) in &rails {
                    let sides = rail.map_or(&[Side::Centre][..], |rail| {
                        template.rails[rail].sides.list()
                    });
                    for &side in sides {
                        found.push((
                            station,
                            rail,
                            side,
                            spec.tolerance.value.number(self.values),
                            station_place.clone(),
                        ));
                    }
                }
            }
        }
        // Numbers run over the stations that carry marks, so that 1, 2, 3 has no holes on paper.
        let number = |station: usize| used[..=station].iter().filter(|used| **used).count();
        found
            .into_iter()
            .map(|(station, rail, side, tolerance, place)| {
                let rail_name = rail.map_or("centre", |rail| template.rails[rail].name.as_str());
                let distance = rail.map_or(0.0, |rail| self.rails[rail]);
                FoundMark {
                    name: format!("{}/{rail_name}", template.stations[station].name),
                    side,
                    id: format!(
                        "{}{}{}",
                        number(station),
                        side.letter(),
                        self.rail_number(rail, side, &used_rails)
                    ),
                    at: Point::new(self.sections[station].x(side), side.sign() * distance),
                    tolerance,
                    meaning: template.stations[station].meaning.clone(),
                    station: Some(number(station)),
                    place,
                }
            })
            .collect()
    }

    /// "" for the first rail of a side that carries marks, "2" for the next outward, and so on.
    fn rail_number(&self, rail: Option<usize>, side: Side, used: &[bool]) -> String {
        let Some(rail) = rail else {
            return String::new();
        };
        let lies_here = |other: &usize| {
            used[*other] && self.template.rails[*other].sides.list().contains(&side)
        };
        let before = (0..rail).filter(lies_here).count();
        if before == 0 {
            String::new()
        } else {
            (before + 1).to_string()
        }
    }

    fn points(&self, crossings: &[FoundMark], faults: &mut Vec<Fault>) -> Vec<FoundMark> {
        let points = &self.template.points;
        let names: Vec<&str> = points.iter().map(|point| point.name.as_str()).collect();
        // The resolver hands on (left, right), each where the point lies on that side.
        let places = Relations::new("point", &names, &PointOrigin::WORDS).resolve_all(
            faults,
            |index, ask, faults| {
                let point = &points[index];
                let mut places = [None; 2];
                for &side in point.sides.list() {
                    places[slot(side)] = Some(self.point(point, side, crossings, ask, faults)?);
                }
                Some(places)
            },
        );
        let Some(places) = places else {
            return Vec::new();
        };
        let mut marks = Vec::new();
        for (point, places) in points.iter().zip(places) {
            for &side in point.sides.list() {
                let Some(at) = places[slot(side)] else {
                    continue;
                };
                let letter = if point.sides == Sides::Both {
                    side.letter().to_string()
                } else {
                    String::new()
                };
                if at.y * side.sign() < ONE_MARK_MM {
                    faults.push(point.place.fault(MarkFault::PointAcross {
                        point: point.name.clone(),
                        by: -at.y * side.sign(),
                    }));
                }
                marks.push(FoundMark {
                    name: point.name.clone(),
                    side,
                    id: format!("{}{letter}", point.name),
                    at,
                    tolerance: point.tolerance.value.number(self.values),
                    meaning: point.meaning.clone(),
                    station: None,
                    place: point.place.clone(),
                });
            }
        }
        marks
    }

    fn point(
        &self,
        point: &PointSpec,
        side: Side,
        crossings: &[FoundMark],
        ask: &mut Ask<'_, [Option<Point>; 2]>,
        faults: &mut Vec<Fault>,
    ) -> Option<Point> {
        let x = |datum: Datum, side| datum_section(self.vehicle, datum).x(side) - self.origin_x;
        let from = match &point.from.value {
            PointOrigin::Centre(datum) => Point::new(x(*datum, Side::Centre), 0.0),
            PointOrigin::Corner(datum) => Point::new(
                x(*datum, side),
                side.sign() * self.vehicle.overall_width / 2.0,
            ),
            PointOrigin::Wheel(datum) => {
                let track = if *datum == Datum::FrontAxle {
                    self.vehicle.front_track
                } else {
                    self.vehicle.rear_track
                };
                Point::new(x(*datum, side), side.sign() * track / 2.0)
            }
            PointOrigin::Mark(mark) => match find_crossing(crossings, mark, side) {
                Some(found) => found.at,
                None if mark.name.contains('/') => {
                    return unknown_mark(&point.from.place, mark, faults);
                }
                None => {
                    let places = ask(
                        &Placed {
                            value: mark.name.clone(),
                            place: point.from.place.clone(),
                        },
                        faults,
                    )?;
                    match places[slot(mark.side.unwrap_or(side))] {
                        Some(at) => at,
                        None => return unknown_mark(&point.from.place, mark, faults),
                    }
                }
            },
        };
        let bearing = point.bearing.value.number(self.values).to_radians();
        let along = match point.bearing_from {
            BearingFrom::Ahead => bearing.cos(),
            BearingFrom::Rearward => -bearing.cos(),
        };
        let distance = point.distance.value.number(self.values);
        if distance < ONE_MARK_MM {
            faults.push(
                point
                    .distance
                    .place
                    .fault(MarkFault::PointDistance(distance)),
            );
            return None;
        }
        Some(from + Vec2::new(along, bearing.sin() * side.sign()) * distance)
    }
}

/// Place of a side in a pair (left, right).
const fn slot(side: Side) -> usize {
    matches!(side, Side::Right) as usize
}

fn find_crossing<'m>(
    marks: &'m [FoundMark],
    wanted: &MarkRef,
    side: Side,
) -> Option<&'m FoundMark> {
    find(marks, wanted, Some(side)).map(|index| &marks[index])
}

/// Index of the mark that a reference means when it stands on `side`. Where neither names a side, the
/// name must belong to one mark alone.
pub(super) fn find(marks: &[FoundMark], wanted: &MarkRef, side: Option<Side>) -> Option<usize> {
    let named: Vec<usize> = (0..marks.len())
        .filter(|index| marks[*index].name == wanted.name)
        .collect();
    match (wanted.side.or(side), &named[..]) {
        (_, &[centre]) if marks[centre].side == Side::Centre => {
            wanted.side.is_none().then_some(centre)
        }
        (None, &[alone]) => Some(alone),
        (None, _) => None,
        (Some(side), named) => named
            .iter()
            .copied()
            .find(|index| marks[*index].side == side),
    }
}

/// Leaves the fault of a reference to nothing.
pub(super) fn unknown_mark<T>(place: &Place, mark: &MarkRef, faults: &mut Vec<Fault>) -> Option<T> {
    faults.push(place.fault(PlanFault::NoMark(mark.to_string())));
    None
}

/// Indices of names with the place of the reference; `None` as index stands for the centreline.
fn lookup<'n>(
    kind: &'static str,
    wanted: &[Placed<String>],
    known: impl Iterator<Item = &'n str>,
    faults: &mut Vec<Fault>,
) -> Vec<(Option<usize>, Place)> {
    let known: Vec<&str> = known.collect();
    let mut found = Vec::new();
    for name in wanted {
        if name.value == "centre" {
            found.push((None, name.place.clone()));
        } else if let Some(index) = known.iter().position(|known| *known == name.value) {
            found.push((Some(index), name.place.clone()));
        } else {
            faults.push(name.place.fault(PlanFault::NotInTemplate {
                kind,
                name: name.value.clone(),
                known: known.iter().map(|known| (*known).to_owned()).collect(),
            }));
        }
    }
    found
}

fn refuse_same_id(marks: &[FoundMark], faults: &mut Vec<Fault>) {
    for (index, mark) in marks.iter().enumerate() {
        if marks[..index]
            .iter()
            .any(|other| other.id == mark.id && other.at != mark.at)
        {
            faults.push(mark.place.fault(MarkFault::SameId(mark.id.clone())));
        }
    }
}

fn refuse_same_place(marks: &[FoundMark], faults: &mut Vec<Fault>) {
    for (index, mark) in marks.iter().enumerate() {
        if let Some(other) = marks[..index]
            .iter()
            .find(|other| other.at.distance(mark.at) < ONE_MARK_MM)
        {
            faults.push(
                mark.place
                    .fault(MarkFault::SamePlace([other.id.clone(), mark.id.clone()])),
            );
        }
    }
}
