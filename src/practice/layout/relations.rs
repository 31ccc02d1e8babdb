//! Where each mark lies, as the template says it, and as a sum of given numbers.
//!
//! The sums are for people: an exercise's answers are the plan's, and [`Relations::new`] refuses a sheet whose sums do
//! not come out as the plan does.

use super::{Drawn, Sum};
use crate::{
    practice::Ruling,
    source::Placed,
    template::{
        Amount, AxleChoice, BearingFrom, CrossingMarks, Datum, MarkRef, PointOrigin, PointSpec,
        RailFrom, Side, StationFrom, TemplateSpec,
    },
    units::{MM_PER_INCH, ROUND_OFF_MM, mm_exact},
    vehicle::VehicleSpec,
};

/// How many relations may hang on one another; the plan has refused circles already.
const DEEPEST: usize = 40;

/// How far a mark may lie from where its plain numbers, which are rounded, put it, mm.
const PLAIN_MM: f64 = 0.3;

/// How a mark comes about.
#[derive(Clone, Debug)]
pub(in crate::practice) struct WorkedOut {
    /// Its station, mm.
    pub station: Sum,
    /// Its offset, left positive, mm.
    pub offset: Sum,
}

/// A template with a vehicle and values, in sums.
pub(in crate::practice) struct Relations<'a> {
    pub(super) template: &'a TemplateSpec,
    vehicle: &'a VehicleSpec,
    pub(super) ruling: Ruling,
    /// True where free marks are given by how far along and across they lie, not by a bearing.
    pub(super) plain: bool,
    pub(super) values: Vec<f64>,
    /// Number of each station on paper, for those that carry marks.
    pub(super) numbers: Vec<Option<usize>>,
    pub(super) used_rails: Vec<bool>,
    /// Of each mark of the plan.
    pub marks: Vec<WorkedOut>,
}

impl<'a> Relations<'a> {
    /// The relations of a drawn layout; `None` where a sum does not come out as the plan does. With `plain` no sum needs a
    /// sine.
    pub(in crate::practice) fn new(
        template: &'a TemplateSpec,
        drawn: &'a Drawn,
        plain: bool,
    ) -> Option<Self> {
        let names_of = |list: fn(&CrossingMarks) -> &[Placed<String>]| {
            let names = template.marks.iter().flat_map(list);
            names.map(|name| name.value.as_str()).collect::<Vec<_>>()
        };
        let (stations, rails) = (
            names_of(|spec| &spec.stations),
            names_of(|spec| &spec.rails),
        );
        let mut last = 0;
        let numbers = template.stations.iter().map(|station| {
            let used = stations.contains(&station.name.as_str());
            last += usize::from(used);
            used.then_some(last)
        });
        let used_rails = template
            .rails
            .iter()
            .map(|rail| rails.contains(&rail.name.as_str()));
        let values = drawn.plan.template.values.iter().map(|value| value.value);
        let mut relations = Self {
            template,
            vehicle: &drawn.vehicle,
            ruling: drawn.ruling,
            plain,
            values: values.collect(),
            numbers: numbers.collect(),
            used_rails: used_rails.collect(),
            marks: Vec::new(),
        };
        for mark in &drawn.plan.marks {
            let found = relations.work_out(&mark.id, mark.station)?;
            let pairs = [
                (found.station.value(), mark.at.x),
                (found.offset.value(), mark.at.y),
            ];
            let near = if plain { PLAIN_MM } else { ROUND_OFF_MM };
            let agrees = |(sum, mm): (f64, f64)| {
                (sum - mm).abs() <= near && drawn.ruling.round(sum) == drawn.ruling.round(mm)
            };
            if !pairs.into_iter().all(agrees) {
                return None;
            }
            relations.marks.push(found);
        }
        Some(relations)
    }

    /// True where a mark's place depends on a given number of this name.
    pub(in crate::practice) fn uses(&self, name: &str) -> bool {
        self.marks
            .iter()
            .any(|mark| mark.offset.mistaken(name, 0.0).is_some())
    }

    fn work_out(&self, id: &str, station: Option<usize>) -> Option<WorkedOut> {
        let Some(number) = station else {
            let mut all = self
                .template
                .points
                .iter()
                .flat_map(|point| ids(point).map(move |(id, side)| (id, side, point)));
            let (_, side, point) = all.find(|(own, ..)| own == id)?;
            return self.point(point, side, 0);
        };
        let mut numbers = self.numbers.iter();
        let station = numbers.position(|known| *known == Some(number))?;
        let rest = id.strip_prefix(&number.to_string())?;
        let sides = [Side::Left, Side::Centre, Side::Right];
        let side = sides
            .into_iter()
            .find(|side| rest.starts_with(side.letter()))?;
        let nth: usize = rest[1..].parse().unwrap_or(1);
        let offset = match side {
            Side::Centre => Sum::default(),
            _ => self
                .rail(self.rails_on(side).nth(nth - 1)?, 0)?
                .times(side.sign()),
        };
        Some(WorkedOut {
            station: self.station(station, side, 0)?,
            offset,
        })
    }

    /// The rails with marks on a side, outwards.
    pub(super) fn rails_on(&self, side: Side) -> impl Iterator<Item = usize> {
        let all = self.template.rails.iter().enumerate();
        let on = all.filter(move |(index, rail)| {
            self.used_rails[*index] && rail.sides.list().contains(&side)
        });
        on.map(|(index, _)| index)
    }

    /// Index of a station that is no datum.
    pub(super) fn station_named(&self, name: &str) -> Option<usize> {
        self.template
            .stations
            .iter()
            .position(|station| station.name == name)
    }

    pub(super) fn rail_named(&self, name: &str) -> Option<usize> {
        self.template
            .rails
            .iter()
            .position(|rail| rail.name == name)
    }

    fn datum(&self, datum: Datum, side: Side) -> Sum {
        let vehicle = self.vehicle;
        let wheelbase = match (vehicle.wheelbase_left == vehicle.wheelbase_right, side) {
            (true, _) => Sum::of(self.ruling, "wheelbase", vehicle.wheelbase_left),
            (_, Side::Left) => Sum::of(self.ruling, "wheelbase left", vehicle.wheelbase_left),
            (_, Side::Right) => Sum::of(self.ruling, "wheelbase right", vehicle.wheelbase_right),
            (_, Side::Centre) => Sum::of(self.ruling, "wheelbase left", vehicle.wheelbase_left)
                .plus(Sum::of(
                    self.ruling,
                    "wheelbase right",
                    vehicle.wheelbase_right,
                ))
                .times(0.5),
        };
        match datum {
            Datum::FrontBumper => Sum::of(self.ruling, "front overhang", vehicle.front_overhang),
            Datum::FrontAxle => Sum::default(),
            Datum::RearAxle => wheelbase.times(-1.0),
            Datum::RearBumper => self
                .datum(Datum::RearAxle, Side::Centre)
                .plus(Sum::of(self.ruling, "rear overhang", vehicle.rear_overhang).times(-1.0)),
        }
    }

    fn past_origin(&self, datum: Datum, side: Side) -> Sum {
        self.datum(datum, side)
            .plus(self.datum(self.template.origin, Side::Centre).times(-1.0))
    }

    fn station(&self, index: usize, side: Side, depth: usize) -> Option<Sum> {
        let base = |name: &Placed<String>| {
            let datum = Datum::WORDS.iter().find(|(word, _)| *word == name.value);
            match datum {
                // A straight section has one x on both sides, and only the rear axle is not one.
                Some((_, datum)) => Some(self.past_origin(*datum, side)),
                None if depth > DEEPEST => None,
                None => self.station(self.station_named(&name.value)?, side, depth + 1),
            }
        };
        match &self.template.stations[index].from {
            StationFrom::Offset {
                base: name,
                distance,
                rearward,
            } => {
                let sign = if *rearward { -1.0 } else { 1.0 };
                Some(base(name)?.plus(self.amount(distance.as_ref()).times(sign)))
            }
            StationFrom::Between {
                ends: [first, second],
                fraction,
            } => Some(
                base(first)?
                    .times(1.0 - fraction)
                    .plus(base(second)?.times(*fraction)),
            ),
        }
    }

    fn rail(&self, index: usize, depth: usize) -> Option<Sum> {
        let rail = &self.template.rails[index];
        let half = |name: &str, mm: f64| Sum::of(self.ruling, name, mm).times(0.5);
        let base = match &rail.from {
            RailFrom::Centreline => Sum::default(),
            RailFrom::TyreOuterFace(axle) => {
                let (name, track) = self.track(*axle);
                half(name, track).plus(half("tyre width", self.vehicle.tyre.width))
            }
            RailFrom::BodySide => half("overall width", self.vehicle.overall_width),
            RailFrom::Mirror => half("width over mirrors", self.vehicle.width_over_mirrors),
            RailFrom::Rail(_) if depth > DEEPEST => return None,
            RailFrom::Rail(name) => self.rail(self.rail_named(&name.value)?, depth + 1)?,
        };
        Some(base.plus(self.amount(rail.outward.as_ref())))
    }

    /// Name and mm of the track that an axle choice means.
    fn track(&self, axle: AxleChoice) -> (&'static str, f64) {
        let (front, rear) = (self.vehicle.front_track, self.vehicle.rear_track);
        match axle {
            AxleChoice::Wider if rear > front => ("rear track", rear),
            AxleChoice::Wider | AxleChoice::Front => ("front track", front),
            AxleChoice::Rear => ("rear track", rear),
        }
    }

    fn point(&self, point: &PointSpec, side: Side, depth: usize) -> Option<WorkedOut> {
        let half = |name: &str, mm: f64| Sum::of(self.ruling, name, mm).times(0.5 * side.sign());
        let (x, y) = match &point.from.value {
            PointOrigin::Centre(datum) => (self.past_origin(*datum, Side::Centre), Sum::default()),
            PointOrigin::Corner(datum) => (
                self.past_origin(*datum, side),
                half("overall width", self.vehicle.overall_width),
            ),
            PointOrigin::Wheel(datum) => {
                let (name, track) = self.track(match datum {
                    Datum::FrontAxle => AxleChoice::Front,
                    _ => AxleChoice::Rear,
                });
                (self.past_origin(*datum, side), half(name, track))
            }
            PointOrigin::Mark(_) if depth > DEEPEST => return None,
            PointOrigin::Mark(mark) => {
                let found = self.referred(mark, side, depth)?;
                (found.station, found.offset)
            }
        };
        let (distance, bearing) = (&point.distance.value, &point.bearing.value);
        let (mm, degrees) = (distance.number(&self.values), bearing.number(&self.values));
        let part = |function: &str, value: f64| {
            if self.plain {
                let way = if function == "cos" { "along" } else { "across" };
                let mm = self.plain_number(mm * value);
                return Sum::of(self.ruling, &format!("{} {way}", point.name), mm);
            }
            let name = format!(
                "{} × {function} {}",
                self.name(distance),
                self.name(bearing)
            );
            let number = format!(
                "{} × {function} {}°",
                self.ruling.exact(mm),
                mm_exact(degrees, 3)
            );
            Sum::named(self.ruling, name, number, mm * value)
        };
        let ahead = if point.bearing_from == BearingFrom::Ahead {
            1.0
        } else {
            -1.0
        };
        let (sine, cosine) = degrees.to_radians().sin_cos();
        Some(WorkedOut {
            station: x.plus(part("cos", cosine).times(ahead)),
            offset: y.plus(part("sin", sine).times(side.sign())),
        })
    }

    /// A part of a distance as it is given in plain numbers, mm: to a tenth of a mm or a hundredth of an inch.
    pub(super) fn plain_number(&self, mm: f64) -> f64 {
        let step = self.ruling.pick(0.1, 0.01 * MM_PER_INCH);
        (mm / step).round() * step
    }

    fn referred(&self, mark: &MarkRef, side: Side, depth: usize) -> Option<WorkedOut> {
        let side = mark.side.unwrap_or(side);
        let Some((station, rail)) = mark.name.split_once('/') else {
            let mut points = self.template.points.iter();
            let point = points.find(|point| point.name == mark.name)?;
            return self.point(point, side, depth + 1);
        };
        let (side, offset) = match rail {
            "centre" => (Side::Centre, Sum::default()),
            _ => (
                side,
                self.rail(self.rail_named(rail)?, depth)?.times(side.sign()),
            ),
        };
        Some(WorkedOut {
            station: self.station(self.station_named(station)?, side, depth)?,
            offset,
        })
    }

    fn amount(&self, amount: Option<&Placed<Amount>>) -> Sum {
        amount.map_or_else(Sum::default, |amount| {
            Sum::of(
                self.ruling,
                &self.name(&amount.value),
                amount.value.number(&self.values),
            )
        })
    }

    /// The value's name in words; of a number that stands in the template, the number.
    pub(super) fn name(&self, amount: &Amount) -> String {
        match amount {
            Amount::Value(index) => spaced(&self.template.values[*index].name),
            Amount::Fixed(number) => self.ruling.given(*number),
        }
    }
}

/// The names of a free mark, each with its side: "P1L" and "P1R", or its own name where it lies on one side alone.
pub(super) fn ids(point: &PointSpec) -> impl Iterator<Item = (String, Side)> {
    let sides = point.sides.list();
    sides.iter().map(|&side| match sides.len() {
        2 => (format!("{}{}", point.name, side.letter()), side),
        _ => (point.name.clone(), side),
    })
}

/// A template's name as people read it.
pub(in crate::practice) fn spaced(name: &str) -> String {
    name.replace('_', " ")
}
