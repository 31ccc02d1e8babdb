//! Where each mark lies, as the template tells it, and as a sum of given numbers.
//!
//! The sums are for people: an exercise's answers are the plan's, and [`Relations::new`] refuses a sheet whose sums do
//! not come out as the plan does.

use super::{Drawn, Sum};
use crate::{
    source::Placed,
    template::{
        Amount, AxleChoice, BearingFrom, Datum, MarkRef, PointOrigin, RailFrom, Side, StationFrom,
        TemplateSpec,
    },
    units::{ROUND_OFF_MM, mm_exact},
    vehicle::VehicleSpec,
};

/// How many relations may hang on one another; the plan has refused circles already.
const DEEPEST: usize = 40;

/// How a mark comes about.
#[derive(Clone, Debug)]
pub(in crate::practice) struct WorkedOut {
    /// Its station, mm.
    pub station: Sum,
    /// Its offset, left positive, mm.
    pub offset: Sum,
}

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

/// A template with a vehicle and values, in sums.
pub(in crate::practice) struct Relations<'a> {
    template: &'a TemplateSpec,
    vehicle: &'a VehicleSpec,
    values: Vec<f64>,
    /// Number of each station on paper, for those that carry marks.
    numbers: Vec<Option<usize>>,
    used_rails: Vec<bool>,
    /// Of each mark of the plan.
    pub marks: Vec<WorkedOut>,
}

impl<'a> Relations<'a> {
    /// The relations of a drawn layout; `None` where a sum does not come out as the plan does.
    pub(in crate::practice) fn new(template: &'a TemplateSpec, drawn: &'a Drawn) -> Option<Self> {
        let mut used = vec![false; template.stations.len()];
        let mut used_rails = vec![false; template.rails.len()];
        for spec in &template.marks {
            for (index, station) in template.stations.iter().enumerate() {
                used[index] |= spec.stations.iter().any(|name| name.value == station.name);
            }
            for (index, rail) in template.rails.iter().enumerate() {
                used_rails[index] |= spec.rails.iter().any(|name| name.value == rail.name);
            }
        }
        let number =
            |index: usize| used[index].then(|| used[..=index].iter().filter(|used| **used).count());
        let mut relations = Self {
            template,
            vehicle: &drawn.vehicle,
            values: drawn
                .plan
                .template
                .values
                .iter()
                .map(|value| value.value)
                .collect(),
            numbers: (0..used.len()).map(number).collect(),
            used_rails,
            marks: Vec::new(),
        };
        for mark in &drawn.plan.marks {
            let found = relations.work_out(&mark.id, mark.station)?;
            let off = (found.station.value() - mark.at.x)
                .abs()
                .max((found.offset.value() - mark.at.y).abs());
            if off > ROUND_OFF_MM {
                return None;
            }
            relations.marks.push(found);
        }
        Some(relations)
    }

    /// The layout in sentences: stations, rails, free marks.
    pub(in crate::practice) fn rules(&self) -> Vec<Rule> {
        let stations = self
            .template
            .stations
            .iter()
            .zip(&self.numbers)
            .map(|(station, number)| Rule {
                marks: number.map_or_else(
                    || station.name.replace('_', " "),
                    |number| number.to_string(),
                ),
                what: station.meaning.clone(),
                place: self.station_place(&station.from),
            });
        let rails = self
            .template
            .rails
            .iter()
            .enumerate()
            .map(|(index, rail)| Rule {
                marks: if self.used_rails[index] {
                    self.rail_ids(index)
                } else {
                    rail.name.replace('_', " ")
                },
                what: format!("{} rail", rail.name.replace('_', " ")),
                place: self.rail_place(index),
            });
        let points = self.template.points.iter().map(|point| {
            let sides = point.sides.list();
            let id = |side: &Side| {
                if sides.len() == 2 {
                    format!("{}{}", point.name, side.letter())
                } else {
                    point.name.clone()
                }
            };
            let from = match &point.from.value {
                PointOrigin::Corner(Datum::FrontAxle | Datum::FrontBumper) => {
                    "the front corner of the body".to_owned()
                }
                PointOrigin::Corner(_) => "the rear corner of the body".to_owned(),
                PointOrigin::Wheel(Datum::FrontAxle | Datum::FrontBumper) => {
                    "the front wheel centre".to_owned()
                }
                PointOrigin::Wheel(_) => "the rear wheel centre".to_owned(),
                PointOrigin::Centre(datum) => {
                    format!("the {} on the centreline", datum_words(*datum))
                }
                PointOrigin::Mark(mark) => format!("mark {}", self.mark_words(mark)),
            };
            let zero = match point.bearing_from {
                BearingFrom::Ahead => "straight ahead",
                BearingFrom::Rearward => "straight rearward",
            };
            Rule {
                marks: sides.iter().map(id).collect::<Vec<_>>().join(", "),
                what: point.meaning.clone(),
                place: format!(
                    "{} from {from}, {} from {zero} outwards",
                    self.amount_words(&point.distance.value, " mm"),
                    self.amount_words(&point.bearing.value, "°")
                ),
            }
        });
        stations.chain(rails).chain(points).collect()
    }

    /// True where a mark's place depends on a given number of this name.
    pub(in crate::practice) fn uses(&self, name: &str) -> bool {
        self.marks
            .iter()
            .any(|mark| mark.offset.mistaken(name, 0.0).is_some())
    }

    fn work_out(&self, id: &str, station: Option<usize>) -> Option<WorkedOut> {
        let Some(number) = station else {
            let (index, side) =
                self.template
                    .points
                    .iter()
                    .enumerate()
                    .find_map(|(index, point)| {
                        let sides = point.sides.list();
                        let named = |side: &&Side| {
                            id == point.name
                                || sides.len() == 2
                                    && id == format!("{}{}", point.name, side.letter())
                        };
                        sides.iter().find(named).map(|side| (index, *side))
                    })?;
            return self.point(index, side, 0);
        };
        let station = self
            .numbers
            .iter()
            .position(|known| *known == Some(number))?;
        let rest = id.strip_prefix(&number.to_string())?;
        let side = [Side::Left, Side::Centre, Side::Right]
            .into_iter()
            .find(|side| rest.starts_with(side.letter()))?;
        let nth = rest[1..].parse().unwrap_or(1);
        let lies_here = |rail: &usize| {
            self.used_rails[*rail] && self.template.rails[*rail].sides.list().contains(&side)
        };
        let offset = match side {
            Side::Centre => Sum::default(),
            _ => self
                .rail(
                    (0..self.template.rails.len())
                        .filter(lies_here)
                        .nth(nth - 1)?,
                    0,
                )?
                .times(side.sign()),
        };
        Some(WorkedOut {
            station: self.station(station, side, 0)?,
            offset,
        })
    }

    fn datum(&self, datum: Datum, side: Side) -> Sum {
        let vehicle = self.vehicle;
        let wheelbase = match (vehicle.wheelbase_left == vehicle.wheelbase_right, side) {
            (true, _) => Sum::of("wheelbase", vehicle.wheelbase_left),
            (_, Side::Left) => Sum::of("wheelbase left", vehicle.wheelbase_left),
            (_, Side::Right) => Sum::of("wheelbase right", vehicle.wheelbase_right),
            (_, Side::Centre) => Sum::of("wheelbase left", vehicle.wheelbase_left)
                .plus(Sum::of("wheelbase right", vehicle.wheelbase_right))
                .times(0.5),
        };
        match datum {
            Datum::FrontBumper => Sum::of("front overhang", vehicle.front_overhang),
            Datum::FrontAxle => Sum::default(),
            Datum::RearAxle => wheelbase.times(-1.0),
            Datum::RearBumper => self
                .datum(Datum::RearAxle, Side::Centre)
                .plus(Sum::of("rear overhang", vehicle.rear_overhang).times(-1.0)),
        }
    }

    fn past_origin(&self, datum: Datum, side: Side) -> Sum {
        self.datum(datum, side)
            .plus(self.datum(self.template.origin, Side::Centre).times(-1.0))
    }

    fn station(&self, index: usize, side: Side, depth: usize) -> Option<Sum> {
        let base =
            |name: &Placed<String>| match Datum::WORDS.iter().find(|(word, _)| *word == name.value)
            {
                // A straight section has one x on both sides, and only the rear axle is not one.
                Some((_, datum)) => Some(self.past_origin(*datum, side)),
                None if depth > DEEPEST => None,
                None => {
                    let other = self
                        .template
                        .stations
                        .iter()
                        .position(|station| station.name == name.value)?;
                    self.station(other, side, depth + 1)
                }
            };
        match &self.template.stations[index].from {
            StationFrom::Offset {
                base: name,
                distance,
                rearward,
            } => {
                let sign = if *rearward { -1.0 } else { 1.0 };
                let distance = distance
                    .as_ref()
                    .map_or_else(Sum::default, |amount| self.amount(&amount.value));
                Some(base(name)?.plus(distance.times(sign)))
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
        let half = |name: &str, mm: f64| Sum::of(name, mm).times(0.5);
        let base = match &rail.from {
            RailFrom::Centreline => Sum::default(),
            RailFrom::TyreOuterFace(axle) => {
                let (name, track) = self.track(*axle);
                half(name, track).plus(half("tyre width", self.vehicle.tyre.width))
            }
            RailFrom::BodySide => half("overall width", self.vehicle.overall_width),
            RailFrom::Mirror => half("width over mirrors", self.vehicle.width_over_mirrors),
            RailFrom::Rail(_) if depth > DEEPEST => return None,
            RailFrom::Rail(name) => {
                let other = self
                    .template
                    .rails
                    .iter()
                    .position(|rail| rail.name == name.value)?;
                self.rail(other, depth + 1)?
            }
        };
        Some(
            base.plus(
                rail.outward
                    .as_ref()
                    .map_or_else(Sum::default, |amount| self.amount(&amount.value)),
            ),
        )
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

    fn point(&self, index: usize, side: Side, depth: usize) -> Option<WorkedOut> {
        let point = &self.template.points[index];
        let width = Sum::of("overall width", self.vehicle.overall_width).times(0.5);
        let (x, y) = match &point.from.value {
            PointOrigin::Centre(datum) => (self.past_origin(*datum, Side::Centre), Sum::default()),
            PointOrigin::Corner(datum) => {
                (self.past_origin(*datum, side), width.times(side.sign()))
            }
            PointOrigin::Wheel(datum) => {
                let axle = if *datum == Datum::FrontAxle {
                    AxleChoice::Front
                } else {
                    AxleChoice::Rear
                };
                let (name, track) = self.track(axle);
                (
                    self.past_origin(*datum, side),
                    Sum::of(name, track).times(0.5 * side.sign()),
                )
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
            let name = format!(
                "{} × {function} {}",
                self.name(distance),
                self.name(bearing)
            );
            let number = format!("{} × {function} {}°", mm_exact(mm, 3), mm_exact(degrees, 3));
            Sum::named(name, number, mm * value)
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

    fn referred(&self, mark: &MarkRef, side: Side, depth: usize) -> Option<WorkedOut> {
        let side = mark.side.unwrap_or(side);
        let Some((station, rail)) = mark.name.split_once('/') else {
            let index = self
                .template
                .points
                .iter()
                .position(|point| point.name == mark.name)?;
            return self.point(index, side, depth + 1);
        };
        let station = self
            .template
            .stations
            .iter()
            .position(|known| known.name == station)?;
        if rail == "centre" {
            return Some(WorkedOut {
                station: self.station(station, Side::Centre, depth)?,
                offset: Sum::default(),
            });
        }
        let rail = self
            .template
            .rails
            .iter()
            .position(|known| known.name == rail)?;
        Some(WorkedOut {
            station: self.station(station, side, depth)?,
            offset: self.rail(rail, depth)?.times(side.sign()),
        })
    }

    fn amount(&self, amount: &Amount) -> Sum {
        Sum::of(&self.name(amount), amount.number(&self.values))
    }

    /// The value's name in words; of a number that stands in the template, the number.
    fn name(&self, amount: &Amount) -> String {
        match amount {
            Amount::Value(index) => self.template.values[*index].name.replace('_', " "),
            Amount::Fixed(number) => mm_exact(*number, 3),
        }
    }

    fn amount_words(&self, amount: &Amount, unit: &str) -> String {
        let number = format!("{}{unit}", mm_exact(amount.number(&self.values), 3));
        match amount {
            Amount::Value(_) => format!("{} {number}", self.name(amount)),
            Amount::Fixed(_) => number,
        }
    }

    fn station_words(&self, name: &str) -> String {
        let index = self
            .template
            .stations
            .iter()
            .position(|station| station.name == name);
        match index.map(|index| self.numbers[index]) {
            Some(Some(number)) => format!("station {number}"),
            Some(None) => name.replace('_', " "),
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
                let way = if *rearward { "behind" } else { "ahead of" };
                format!(
                    "{} {way} {}",
                    self.amount_words(&distance.value, " mm"),
                    self.station_words(&base.value)
                )
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

    fn rail_place(&self, index: usize) -> String {
        let rail = &self.template.rails[index];
        let base = match &rail.from {
            RailFrom::Centreline => "the centreline".to_owned(),
            RailFrom::TyreOuterFace(AxleChoice::Wider) => {
                "the tyres' outer faces (of the wider track)".to_owned()
            }
            RailFrom::TyreOuterFace(AxleChoice::Front) => "the front tyres' outer faces".to_owned(),
            RailFrom::TyreOuterFace(AxleChoice::Rear) => "the rear tyres' outer faces".to_owned(),
            RailFrom::BodySide => "the body's sides".to_owned(),
            RailFrom::Mirror => "the mirrors' outermost points".to_owned(),
            RailFrom::Rail(name) => format!("the {} rail", name.value.replace('_', " ")),
        };
        match &rail.outward {
            Some(amount) => format!(
                "{} outward of {base}",
                self.amount_words(&amount.value, " mm")
            ),
            None => format!("at {base}"),
        }
    }

    /// The names of a rail on its sides: "L2, R2".
    fn rail_ids(&self, index: usize) -> String {
        let rail = &self.template.rails[index];
        let ids = rail.sides.list().iter().map(|side| {
            let nth = (0..=index)
                .filter(|other| {
                    self.used_rails[*other]
                        && self.template.rails[*other].sides.list().contains(side)
                })
                .count();
            if nth == 1 {
                side.letter().to_string()
            } else {
                format!("{}{nth}", side.letter())
            }
        });
        ids.collect::<Vec<_>>().join(", ")
    }

    fn mark_words(&self, mark: &MarkRef) -> String {
        match mark.name.split_once('/') {
            Some((station, rail)) => {
                format!(
                    "at {} on the {} rail",
                    self.station_words(station),
                    rail.replace('_', " ")
                )
            }
            None => mark.name.clone(),
        }
    }
}

const fn datum_words(datum: Datum) -> &'static str {
    match datum {
        Datum::FrontBumper => "front bumper",
        Datum::FrontAxle => "front axle",
        Datum::RearAxle => "rear axle",
        Datum::RearBumper => "rear bumper",
    }
}
