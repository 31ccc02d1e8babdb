//! The sheet's own layout: the setting's template resolved anew with drawn gaps.

use super::Relations;
use crate::{
    plan::{FloorPlan, Setting as Value},
    practice::{Draw, Level, Ruling, Setting},
    source::{Faults, Place},
    template::{Amount, NamedValue, StationFrom, TemplateSpec, ValueKind},
    units::{MM_PER_INCH, mm_exact},
    vehicle::VehicleSpec,
};

/// Drawn lengths are whole multiples of this, mm or half inches, and drawn bearings of this many degrees: numbers for a
/// pocket calculator.
const STEP_MM: f64 = 10.0;
const STEP_INCH_MM: f64 = 0.5 * MM_PER_INCH;
const STEP_DEGREES: f64 = 5.0;

/// How far a length may be drawn from the one that is set, as part of it, and a bearing, degrees. The layout stays
/// recognisable, and a class still gets 30 different sheets.
const SPREAD: f64 = 0.2;
const SPREAD_DEGREES: f64 = 10.0;

/// Least spread of a length, mm, for small gaps.
const LEAST_SPREAD_MM: f64 = 50.0;

/// Draws of values that may fall foul of the template's own order before the sheet takes the values as they are set.
const ATTEMPTS: usize = 20;

/// A vehicle with whole dimensions on a layout with drawn values.
#[derive(Clone, Debug)]
pub(in crate::practice) struct Drawn {
    /// The vehicle.
    pub vehicle: VehicleSpec,
    /// Its layout.
    pub plan: FloorPlan,
    /// What its lengths are written in.
    pub ruling: Ruling,
}

impl Drawn {
    /// The layout of a sheet. Values that the job sets are kept, and with [`Setting::as_is`] all of them and the vehicle.
    pub(in crate::practice) fn new(setting: &Setting, draw: &mut Draw) -> Result<Self, Faults> {
        let ruling = setting.ruling();
        if setting.as_is {
            return Ok(Self {
                vehicle: setting.vehicle.clone(),
                plan: setting.plan.clone(),
                ruling,
            });
        }
        let vehicle = on_graduations(&setting.vehicle, ruling);
        for _ in 0..ATTEMPTS {
            let mut values = setting.values.clone();
            values.extend(drawn_values(setting, draw));
            if let Ok(plan) = FloorPlan::resolve(&vehicle, &setting.template, &values, None) {
                return Ok(Self {
                    vehicle,
                    plan,
                    ruling,
                });
            }
        }
        let plan = FloorPlan::resolve(&vehicle, &setting.template, &setting.values, None)?;
        Ok(Self {
            vehicle,
            plan,
            ruling,
        })
    }
}

impl Drawn {
    /// A layout whose numbers come out as sums of what is given; the last one drawn where none does.
    pub(in crate::practice) fn in_sums(
        setting: &Setting,
        level: Level,
        draw: &mut Draw,
    ) -> Result<Self, Faults> {
        let mut drawn = Self::new(setting, draw)?;
        for _ in 1..ATTEMPTS {
            if drawn.relations(&setting.template, level).is_some() {
                break;
            }
            drawn = Self::new(setting, draw)?;
        }
        Ok(drawn)
    }

    /// Its numbers as sums, at level 1 without a sine; `None` where they do not come out.
    pub(in crate::practice) fn relations<'a>(
        &'a self,
        template: &'a TemplateSpec,
        level: Level,
    ) -> Option<Relations<'a>> {
        Relations::new(template, self, level.number() == 1)
    }
}

/// The vehicle with its dimensions on graduations of the ruling: what a spec has in another unit would leave fractions that
/// nobody types.
fn on_graduations(vehicle: &VehicleSpec, ruling: Ruling) -> VehicleSpec {
    let mut whole = vehicle.clone();
    for mm in [
        &mut whole.wheelbase_left,
        &mut whole.wheelbase_right,
        &mut whole.front_overhang,
        &mut whole.rear_overhang,
        &mut whole.front_track,
        &mut whole.rear_track,
        &mut whole.tyre.width,
        &mut whole.overall_width,
        &mut whole.width_over_mirrors,
        &mut whole.badge_offset,
    ] {
        *mm = ruling.round(*mm);
    }
    whole
}

fn drawn_values(setting: &Setting, draw: &mut Draw) -> Vec<Value> {
    let used = placing(&setting.template);
    let values = setting
        .template
        .values
        .iter()
        .zip(&setting.plan.template.values);
    let kept = |name: &str| setting.values.iter().any(|given| given.name == name);
    let used = values.enumerate().filter(|(index, _)| used.contains(index));
    let free = used.filter(|(_, (value, _))| !kept(&value.name));
    let step = setting.ruling().pick(STEP_MM, STEP_INCH_MM);
    free.filter_map(|(_, (value, set))| drawn_value(value, set.value, step, draw))
        .collect()
}

fn drawn_value(value: &NamedValue, set: f64, step_mm: f64, draw: &mut Draw) -> Option<Value> {
    let (step, spread) = match value.kind {
        ValueKind::Length => (step_mm, (set * SPREAD).max(LEAST_SPREAD_MM)),
        ValueKind::Angle => (STEP_DEGREES, SPREAD_DEGREES),
    };
    let least = ((set - spread).max(value.least) / step).ceil() * step;
    let most = ((set + spread).min(value.most) / step).floor() * step;
    (least <= most).then(|| Value {
        name: value.name.clone(),
        text: format!(
            "{} {}",
            mm_exact(draw.stepped(least, most, step), 4),
            value.kind.unit()
        ),
        place: Place::whole("exercise"),
    })
}

/// Indices of the values that say where marks lie.
pub(in crate::practice) fn placing(template: &TemplateSpec) -> Vec<usize> {
    let stations = template
        .stations
        .iter()
        .filter_map(|station| match &station.from {
            StationFrom::Offset { distance, .. } => distance.as_ref(),
            StationFrom::Between { .. } => None,
        });
    let rails = template
        .rails
        .iter()
        .filter_map(|rail| rail.outward.as_ref());
    let points = template
        .points
        .iter()
        .flat_map(|point| [&point.bearing, &point.distance]);
    let all = stations.chain(rails).chain(points);
    let values = all.filter_map(|amount| match amount.value {
        Amount::Value(index) => Some(index),
        Amount::Fixed(_) => None,
    });
    values.collect()
}
