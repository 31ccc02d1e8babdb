//! The report on a floor: what `levels --json` prints.

use serde::Serialize;

use super::write::{pretty, round};
use crate::survey::{
    FloorAssessment, FloorQuantity, FloorSurface, Judgement, Plane, Verdict, WheelStance,
};

/// The document of `levels --json`.
#[must_use]
pub fn levels_json(floor: &FloorAssessment) -> String {
    pretty(&FloorJson::from(floor))
}

#[derive(Serialize)]
struct FloorJson<'f> {
    format: &'static str,
    sigma_mm: f64,
    points: Vec<PointJson<'f>>,
    plane: PlaneJson,
    lowest: &'f str,
    low_corner: &'f str,
    largest_deviation: DeviationJson<'f>,
    wheels: Vec<WheelsJson<'f>>,
    limits: Option<LimitsJson>,
    judged: Vec<JudgedJson<'f>>,
    verdict: Option<&'static str>,
}

#[derive(Serialize)]
struct PointJson<'f> {
    at: &'f str,
    x_mm: f64,
    y_mm: f64,
    height_mm: f64,
    deviation_mm: f64,
    redundancy: f64,
}

#[derive(Serialize)]
struct PlaneJson {
    middle_mm: [f64; 2],
    height_mm: f64,
    dof: usize,
    checked: bool,
    sigma0_mm: Option<f64>,
    along_mm_per_m: f64,
    across_mm_per_m: f64,
    slope_mm_per_m: f64,
    slope_percent: f64,
    falls_towards_deg: Option<f64>,
    falls: Option<String>,
    sd_a_priori: SlopeSdJson,
    /// From the deviations themselves; `None` without a check.
    sd_a_posteriori: Option<SlopeSdJson>,
}

#[derive(Serialize)]
struct SlopeSdJson {
    along_mm_per_m: f64,
    across_mm_per_m: f64,
    slope_mm_per_m: f64,
    direction_deg: Option<f64>,
}

#[derive(Serialize)]
struct DeviationJson<'f> {
    at: &'f str,
    deviation_mm: f64,
}

#[derive(Serialize)]
struct WheelsJson<'f> {
    vehicle: &'f str,
    plane: PlaneJson,
    front_across_mm_per_m: f64,
    rear_across_mm_per_m: f64,
    twist_mm: f64,
    twist_sd_mm: f64,
    stands_out_mm: [f64; 4],
}

#[derive(Serialize)]
struct LimitsJson {
    slope_mm_per_m: Option<f64>,
    flatness_mm: Option<f64>,
    demonstration: bool,
}

#[derive(Serialize)]
struct JudgedJson<'f> {
    surface: &'static str,
    vehicle: Option<&'f str>,
    quantity: &'static str,
    value: f64,
    limit: f64,
    sd: f64,
    verdict: &'static str,
}

impl<'f> From<&'f FloorAssessment> for FloorJson<'f> {
    fn from(floor: &'f FloorAssessment) -> Self {
        let plane = &floor.plane;
        let (farthest, deviation) = plane.largest_deviation();
        let points = floor
            .points
            .iter()
            .enumerate()
            .map(|(index, point)| PointJson {
                at: &point.name,
                x_mm: round(point.at.x),
                y_mm: round(point.at.y),
                height_mm: round(point.height),
                deviation_mm: round(plane.deviations[index]),
                redundancy: round(plane.redundancy[index]),
            });
        let name = |index: usize| floor.points[index].name.as_str();
        Self {
            format: "floor/1",
            sigma_mm: round(floor.sigma),
            points: points.collect(),
            plane: plane_json(plane, floor.sigma),
            lowest: name(floor.lowest()),
            low_corner: name(floor.low_corner()),
            largest_deviation: DeviationJson {
                at: name(farthest),
                deviation_mm: round(deviation),
            },
            wheels: floor
                .wheels
                .iter()
                .map(|(prefix, stance)| wheels_json(prefix, stance, floor.sigma))
                .collect(),
            limits: floor.limits.map(|limits| LimitsJson {
                slope_mm_per_m: limits.slope.map(round),
                flatness_mm: limits.flatness.map(round),
                demonstration: limits.demonstration,
            }),
            judged: floor
                .judgements
                .iter()
                .map(|judgement| judged_json(judgement, floor))
                .collect(),
            verdict: floor.verdict().map(Verdict::word),
        }
    }
}

fn plane_json(plane: &Plane, sigma: f64) -> PlaneJson {
    let slope = &plane.slope;
    let deviation = |sd: f64| {
        let sd = slope.deviation(sd);
        SlopeSdJson {
            along_mm_per_m: round(sd.along),
            across_mm_per_m: round(sd.across),
            slope_mm_per_m: round(sd.steepest),
            direction_deg: sd.direction.map(round),
        }
    };
    PlaneJson {
        middle_mm: [round(plane.middle.x), round(plane.middle.y)],
        height_mm: round(plane.height),
        dof: plane.dof,
        checked: plane.dof > 0,
        sigma0_mm: plane.sigma0.map(round),
        along_mm_per_m: round(slope.along),
        across_mm_per_m: round(slope.across),
        slope_mm_per_m: round(slope.steepest()),
        slope_percent: round(slope.percent()),
        falls_towards_deg: slope.falls_towards().map(round),
        falls: slope.falls().map(|way| way.to_string()),
        sd_a_priori: deviation(sigma),
        sd_a_posteriori: plane.sigma0.map(deviation),
    }
}

fn wheels_json<'f>(prefix: &'f str, stance: &WheelStance, sigma: f64) -> WheelsJson<'f> {
    WheelsJson {
        vehicle: prefix.trim_end_matches(':'),
        plane: plane_json(&stance.plane, sigma),
        front_across_mm_per_m: round(stance.front_across),
        rear_across_mm_per_m: round(stance.rear_across),
        twist_mm: round(stance.twist),
        twist_sd_mm: round(stance.twist_deviation(sigma)),
        stands_out_mm: std::array::from_fn(|wheel| round(stance.stands_out(wheel))),
    }
}

fn judged_json<'f>(judgement: &Judgement, floor: &'f FloorAssessment) -> JudgedJson<'f> {
    let (surface, vehicle) = match judgement.surface {
        FloorSurface::Floor => ("floor", None),
        FloorSurface::Wheels(index) => {
            ("wheels", Some(floor.wheels[index].0.trim_end_matches(':')))
        }
    };
    JudgedJson {
        surface,
        vehicle,
        quantity: match judgement.quantity {
            FloorQuantity::Slope => "slope_mm_per_m",
            FloorQuantity::Flatness => "flatness_mm",
        },
        value: round(judgement.value),
        limit: round(judgement.limit),
        sd: round(judgement.sd),
        verdict: judgement.verdict.word(),
    }
}
