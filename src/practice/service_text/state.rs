//! A value as a sentence of the text, and back again.

use super::word;
use crate::{
    practice::{Draw, Ruling, Value, layout::Drawn, layout::spaced},
    source::Placed,
    template::{
        Amount, AxleChoice, BearingFrom, Datum, PointSpec, Rail, RailFrom, Sides, Station,
        StationFrom, TemplateSpec, ValueKind,
    },
    units::{SIXTEENTH_MM, feet_text_to, mm_exact},
};

/// Sixteenths of an inch, to which feet are written.
const PER_INCH: i64 = 16;

/// A right angle, degrees.
const RIGHT_ANGLE: f64 = 90.0;

/// One value of the template as the text states it: value = sign · (number − what is taken away) / parts.
pub(super) struct Stated {
    /// Index of the value.
    pub value: usize,
    /// The stated number, mm or degrees, never below 0.
    pub number: f64,
    /// −1 where the value counts the other way than the sentence.
    sign: f64,
    /// What is in the number and not in the value, by name, mm or degrees.
    less: Vec<(String, f64)>,
    /// 2 where both sides are in the number.
    parts: f64,
    /// True of a bearing.
    pub angle: bool,
    /// What it says.
    pub sentence: String,
    /// How the value comes from the number, for the key.
    pub worked: String,
    /// What somebody did who wrote the number as it stands; `None` where that is right.
    pub slip: Option<&'static str>,
}

impl Stated {
    /// The value that the number stands for.
    pub fn back(&self) -> f64 {
        let less: f64 = self.less.iter().map(|(_, mm)| mm).sum();
        let value = self.sign * (self.number - less) / self.parts;
        // No minus before a zero.
        value + 0.0
    }

    /// The answer of a length, as it stands: values that lie on no graduation in decimals.
    pub fn answer(&self, ruling: Ruling) -> Value {
        let mm = self.back();
        Value::of(ruling.in_unit(mm), ruling.unit(), ruling.given(mm))
    }
}

/// A sentence's number and what it is turned into.
struct Turned {
    number: f64,
    less: Vec<(String, f64)>,
    parts: f64,
    slip: &'static str,
}

impl Turned {
    fn less(number: f64, name: &str, mm: f64, slip: &'static str) -> Self {
        Self {
            number,
            less: vec![(name.to_owned(), mm)],
            parts: 1.0,
            slip,
        }
    }
}

/// Writes sentences.
pub(super) struct Writing<'a, 'd> {
    pub template: &'a TemplateSpec,
    pub drawn: &'a Drawn,
    pub level: u8,
    pub draw: &'d mut Draw,
    /// How many lengths have been written, for units in turn.
    pub lengths: usize,
    /// The bearing that is stated from square out, at level 4.
    pub turned: Option<usize>,
}

impl Writing<'_, '_> {
    /// Draws in which unit the lengths begin, and which bearing is stated from square out.
    pub fn start(&mut self, indices: &[usize]) {
        self.lengths = self.draw.whole(0, 2) as usize;
        let values = &self.template.values;
        let known = &self.drawn.plan.template.values;
        let below = |index: &usize| {
            values[*index].kind == ValueKind::Angle
                && (0.0..RIGHT_ANGLE).contains(&known[*index].value)
        };
        let bearings: Vec<usize> = indices.iter().copied().filter(below).collect();
        self.turned = self.draw.choose(&bearings).copied();
    }

    /// The sentence of a value; `None` where no relation has it.
    pub fn state(&mut self, value: usize) -> Option<Stated> {
        let template = self.template;
        let is = |amount: &Placed<Amount>| matches!(amount.value, Amount::Value(index) if index == value);
        for station in &template.stations {
            if let StationFrom::Offset {
                base,
                distance: Some(distance),
                rearward,
            } = &station.from
                && is(distance)
            {
                return Some(self.station(value, station, &base.value, *rearward));
            }
        }
        let mut rails = template.rails.iter();
        if let Some(rail) = rails.find(|rail| rail.outward.as_ref().is_some_and(is)) {
            return Some(self.rail(value, rail));
        }
        let by = |amount: fn(&PointSpec) -> &Placed<Amount>| -> Vec<&PointSpec> {
            let points = template.points.iter();
            points.filter(|point| is(amount(point))).collect()
        };
        let (far, turned) = (by(|point| &point.distance), by(|point| &point.bearing));
        match (&far[..], &turned[..]) {
            ([_, ..], _) => Some(self.distance(value, &far)),
            (_, [point, ..]) => Some(self.bearing(value, point)),
            _ => None,
        }
    }

    fn set(&self, value: usize) -> f64 {
        self.drawn.plan.template.values[value].value
    }

    fn station(&mut self, value: usize, station: &Station, base: &str, rearward: bool) -> Stated {
        let set = self.set(value);
        let vehicle = &self.drawn.vehicle;
        let (front, rear) = (vehicle.front_overhang, vehicle.rear_overhang);
        let slip = "took the wheel centres for the bumper: the overhang has to be taken away";
        let turned = match (base, rearward) {
            ("front bumper", false) => Some((Datum::FrontAxle, "front overhang", front)),
            ("rear bumper", true) => Some((Datum::RearAxle, "rear overhang", rear)),
            _ => None,
        };
        let turned = turned.filter(|(.., mm)| self.level == 4 && set + mm > 0.0);
        let what = word::station(self.template, station);
        let sign = if set < 0.0 { -1.0 } else { 1.0 };
        let (from, turned) = match turned {
            Some((datum, name, mm)) => (
                self.centres(datum),
                Some(Turned::less(set + mm, name, mm, slip)),
            ),
            None => (word::base(self.template, base), None),
        };
        // Twice turned about is as it was.
        let ahead = rearward != (sign > 0.0 || turned.is_some());
        let sign = if turned.is_some() { 1.0 } else { sign };
        let number = turned.as_ref().map_or(set.abs(), |turned| turned.number);
        let n = self.length(number);
        let sentence = match (number == 0.0, self.draw.coin()) {
            (true, _) => format!("Set out {what} level with {from}."),
            (_, true) => format!(
                "Set out {what} {n} {} {from}.",
                if ahead { "ahead of" } else { "behind" }
            ),
            (_, false) => format!(
                "From {from} tape {n} {} to {what}.",
                if ahead { "forward" } else { "rearward" }
            ),
        };
        self.stated(value, sign, (set.abs(), n), turned, sentence)
    }

    /// Wheel centres from which an overhang counts.
    fn centres(&self, datum: Datum) -> String {
        let vehicle = &self.drawn.vehicle;
        let apart = vehicle.wheelbase_left != vehicle.wheelbase_right;
        if apart && datum == Datum::RearAxle {
            return "the middle between the rear wheel centres".to_owned();
        }
        word::datum(datum).to_owned()
    }

    fn rail(&mut self, value: usize, rail: &Rail) -> Stated {
        let set = self.set(value);
        let what = word::rail(self.template, &rail.name);
        let sides = word::sides(rail.sides);
        let turned = if self.level == 4 {
            self.turned_rail(set, rail)
        } else {
            None
        };
        let sign = if set < 0.0 { -1.0 } else { 1.0 };
        let number = turned.as_ref().map_or(set.abs(), |turned| turned.number);
        let n = self.length(number);
        let place = if set < 0.0 { "inside" } else { "outside" };
        let sentence = match (&turned, &rail.from) {
            (Some(turned), _) if turned.parts == 2.0 => {
                format!(
                    "Set out {what} so that left and right lie {n} apart, the centreline half-way between."
                )
            }
            (Some(_), RailFrom::Rail(inner)) => {
                let inner = self
                    .template
                    .rails
                    .iter()
                    .find(|one| one.name == inner.value);
                let from =
                    inner.map_or_else(String::new, |one| word::rail_base(self.template, one));
                format!("Set out {what} {n} outside {from}{sides}.")
            }
            (_, RailFrom::Centreline) => format!("Set out {what} {n} from the centreline{sides}."),
            _ => {
                let from = word::rail_base(self.template, rail);
                format!("Set out {what} {n} {place} {from}{sides}.")
            }
        };
        let sign = if turned.is_some() { 1.0 } else { sign };
        self.stated(value, sign, (set.abs(), n), turned, sentence)
    }

    /// From left to right, or from where the rail inside counts from.
    fn turned_rail(&self, set: f64, rail: &Rail) -> Option<Turned> {
        let vehicle = &self.drawn.vehicle;
        let track = |axle: AxleChoice| match axle {
            AxleChoice::Wider if vehicle.rear_track > vehicle.front_track => {
                ("rear track", vehicle.rear_track)
            }
            AxleChoice::Wider | AxleChoice::Front => ("front track", vehicle.front_track),
            AxleChoice::Rear => ("rear track", vehicle.rear_track),
        };
        let less: Vec<(&str, f64)> = match &rail.from {
            RailFrom::Centreline => Vec::new(),
            RailFrom::TyreOuterFace(axle) => {
                vec![track(*axle), ("tyre width", vehicle.tyre.width)]
            }
            RailFrom::BodySide => vec![("overall width", vehicle.overall_width)],
            RailFrom::Mirror => vec![("width over mirrors", vehicle.width_over_mirrors)],
            RailFrom::Rail(name) => {
                let mut rails = self.template.rails.iter();
                let inner = rails.find(|one| one.name == name.value)?;
                let Amount::Value(index) = inner.outward.as_ref()?.value else {
                    return None;
                };
                if matches!(inner.from, RailFrom::Rail(_)) || set < 0.0 || self.set(index) < 0.0 {
                    return None;
                }
                let known = spaced(&self.template.values[index].name);
                let slip = "the number counts from further inside: what the line inside lies out has to be taken away";
                let gap = self.set(index);
                return Some(Turned::less(set + gap, &known, gap, slip));
            }
        };
        let number = 2.0 * set + less.iter().map(|(_, mm)| mm).sum::<f64>();
        (rail.sides == Sides::Both && number > 0.0).then(|| Turned {
            number,
            less: less
                .into_iter()
                .map(|(name, mm)| (name.to_owned(), mm))
                .collect(),
            parts: 2.0,
            slip: "took the whole width for the gap on one side",
        })
    }

    fn distance(&mut self, value: usize, points: &[&PointSpec]) -> Stated {
        let set = self.set(value);
        let names: Vec<String> = points
            .iter()
            .map(|point| format!("the {}", point.meaning))
            .collect();
        let (what, first) = (word::list(&names), points[0]);
        let (from, sides) = (word::origin(self.template, first), word::sides(first.sides));
        let turned = (self.level == 4).then(|| Turned {
            number: 2.0 * set,
            less: Vec::new(),
            parts: 2.0,
            slip: "took the circle's diameter for its radius",
        });
        let n = self.length(turned.as_ref().map_or(set, |turned| turned.number));
        let sentence = if turned.is_some() {
            format!("Set out {what} on a circle about {from} that measures {n} across{sides}.")
        } else {
            format!("Set out {what} {n} from {from}{sides}.")
        };
        self.stated(value, 1.0, (set, n), turned, sentence)
    }

    fn bearing(&mut self, value: usize, point: &PointSpec) -> Stated {
        let set = self.set(value);
        let (what, from) = (&point.meaning, word::origin(self.template, point));
        let degrees = |number: f64| format!("{}°", mm_exact(number, 3));
        let square = self.level == 4 && self.turned == Some(value);
        let way = match point.bearing_from {
            BearingFrom::Ahead => "forward",
            BearingFrom::Rearward => "rearward",
        };
        let (number, sentence, worked) = if square {
            let number = RIGHT_ANGLE - set;
            let n = degrees(number);
            (
                number,
                format!(
                    "Sight the {what} from {from}, {n} {way} of the line that runs square out."
                ),
                format!("90° \u{2212} {n} = {}", degrees(set)),
            )
        } else {
            let n = degrees(set);
            let zero = word::zero(point);
            (
                set,
                format!("Sight the {what} from {from}, {n} outward of {zero}."),
                format!("{n}, as the text says"),
            )
        };
        let less = if square {
            vec![("a right angle".to_owned(), RIGHT_ANGLE)]
        } else {
            Vec::new()
        };
        Stated {
            value,
            number,
            sign: if square { -1.0 } else { 1.0 },
            less,
            parts: 1.0,
            angle: true,
            sentence,
            worked,
            slip: (square && number != set)
                .then_some("the angle counts from square out: it has to be taken from 90°"),
        }
    }

    /// With the worked answer. `as_set` is the value without its sign and the number as it is written.
    fn stated(
        &self,
        value: usize,
        sign: f64,
        (set, n): (f64, String),
        turned: Option<Turned>,
        sentence: String,
    ) -> Stated {
        let ruling = self.drawn.ruling;
        let unit = ruling.unit();
        let number = turned.as_ref().map_or(set, |turned| turned.number);
        let exact = ruling.exact(number);
        let given = format!("{} {unit}", ruling.given(number));
        let same = if n == given {
            n
        } else {
            format!("{n} = {given}")
        };
        let result = format!("{} {unit}", ruling.given(set));
        let worked = match &turned {
            None if sign < 0.0 => format!("{same}, the other way: \u{2212}{result}"),
            None => format!("{same}, as the text says"),
            Some(Turned { less, parts, .. }) => {
                let minus = less.iter().map(|(_, mm)| ruling.exact(*mm));
                let difference = [exact].into_iter().chain(minus).collect::<Vec<_>>();
                let difference = difference.join(" \u{2212} ");
                let names: Vec<&str> = less.iter().map(|(name, _)| name.as_str()).collect();
                let away = match (&names[..], *parts) {
                    ([], _) => "half of it".to_owned(),
                    (names, 2.0) => format!("less {}, and half of that", names.join(" and ")),
                    (names, _) => format!("less {}", names.join(" and ")),
                };
                let formula = match (less.is_empty(), *parts) {
                    (true, _) => format!("{difference}/2"),
                    (_, 2.0) => format!("({difference})/2"),
                    _ => difference,
                };
                let value = ruling.exact(self.set(value));
                format!("{same}, {away}: {formula} = {value} {unit}")
            }
        };
        let slip = turned.as_ref().map(|turned| turned.slip);
        let (less, parts) = turned.map_or((Vec::new(), 1.0), |turned| (turned.less, turned.parts));
        Stated {
            value,
            number,
            sign,
            less,
            parts,
            angle: false,
            sentence,
            worked,
            slip,
        }
    }

    /// A length as the text writes it, from level 3 on in units in turn.
    fn length(&mut self, mm: f64) -> String {
        let ruling = self.drawn.ruling;
        let plain = format!("{} {}", ruling.given(mm), ruling.unit());
        if self.level < 3 || mm == 0.0 {
            return plain;
        }
        self.lengths += 1;
        match ruling {
            Ruling::Metric => match self.lengths % 3 {
                0 => plain,
                1 => format!("{} cm", mm_exact(mm / 10.0, 4)),
                _ => format!("{} m", mm_exact(mm / 1000.0, 6)),
            },
            Ruling::Inches if self.lengths % 2 == 1 && mm >= 12.0 * 16.0 * SIXTEENTH_MM => {
                if ruling.is_whole(mm) {
                    feet_text_to(mm, PER_INCH)
                } else {
                    plain
                }
            }
            Ruling::Inches => plain,
        }
    }
}
