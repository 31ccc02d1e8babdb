//! `plan.json`: the layout, what to tape of it, and how to set it out.

use serde::Serialize;
use serde_json::{Value, json};

use super::{
    steps::SettingOutJson,
    takes::takes_json,
    write::{pretty, round},
};
use crate::{
    effort::Takes,
    job::MadeFrom,
    plan::{
        FloorPlan, GridProof, Lay, LayReading, Line, Mark, MarkProof, Mat, MatVehicle, Panel,
        Proof, VehicleOnFloor,
    },
    survey::SettingOutSteps,
};

/// The layout and beside it what it was made with and from, how to set it out, and what that takes: `plan.json`, and what
/// `plan --json` prints.
#[must_use]
pub fn plan_json(
    plan: &FloorPlan,
    steps: &SettingOutSteps,
    takes: &Takes,
    made_from: &MadeFrom,
) -> String {
    pretty(&PlanFile {
        version: MadeFrom::VERSION,
        input: &made_from.input,
        plan: PlanJson::from(plan),
        setting_out: SettingOutJson::of(plan, steps),
        takes: takes_json(takes),
    })
}

/// The layout alone, as the first part of [`plan_json`].
#[must_use]
pub fn layout_json(plan: &FloorPlan) -> String {
    pretty(&PlanJson::from(plan))
}

#[derive(Serialize)]
struct PlanFile<'p> {
    #[serde(flatten)]
    plan: PlanJson<'p>,
    version: &'static str,
    input: &'p str,
    setting_out: SettingOutJson<'p>,
    takes: Value,
}

#[derive(Serialize)]
struct PlanJson<'p> {
    format: &'static str,
    /// Left out for a mat, which has `vehicles` instead.
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicle: Option<VehicleJson<'p>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicles: Option<Vec<MatVehicleJson<'p>>>,
    template: TemplateJson<'p>,
    tape_base: [&'p str; 2],
    marks: Vec<MarkJson<'p>>,
    lines: Vec<LineJson<'p>>,
    panels: Vec<PanelJson<'p>>,
    checks: Vec<CheckJson<'p>>,
    lays: Vec<LayJson<'p>>,
    proof: Value,
    floor: FloorJson<'p>,
}

#[derive(Serialize)]
struct VehicleJson<'p> {
    name: &'p str,
    source: &'p str,
    sources: serde_json::Map<String, Value>,
    dimensions_mm: serde_json::Map<String, Value>,
}

/// A vehicle of a mat.
#[derive(Serialize)]
struct MatVehicleJson<'p> {
    letter: char,
    #[serde(flatten)]
    vehicle: VehicleJson<'p>,
    tape_base: [&'p str; 2],
}

/// Letters of the vehicles of a mat that use a thing; `None`, and left out, where there is no mat.
type Users = Option<Vec<char>>;

#[derive(Serialize)]
struct TemplateJson<'p> {
    name: &'p str,
    purpose: &'p str,
    origin: String,
    values: Vec<ValueJson<'p>>,
}

#[derive(Serialize)]
struct ValueJson<'p> {
    name: &'p str,
    meaning: &'p str,
    value: f64,
    unit: &'p str,
    demonstration: bool,
}

#[derive(Serialize)]
struct MarkJson<'p> {
    id: &'p str,
    x_mm: f64,
    y_mm: f64,
    tolerance_mm: f64,
    meaning: &'p str,
    station: Option<usize>,
    two_tape_mm: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicles: Users,
}

#[derive(Serialize)]
struct LineJson<'p> {
    from: &'p str,
    to: &'p str,
    width_mm: f64,
    /// How it ends on other strips.
    ends: &'static str,
    /// How far it runs past its two marks.
    past_mm: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicles: Users,
}

#[derive(Serialize)]
struct PanelJson<'p> {
    mark: &'p str,
    shape: &'p str,
    turn_deg: f64,
    fields: Vec<FieldJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicles: Users,
}

#[derive(Serialize)]
struct FieldJson {
    dark: bool,
    outline_mm: Vec<[f64; 2]>,
}

/// A reading of a lay.
#[derive(Serialize)]
struct CheckJson<'p> {
    id: &'p str,
    lay: usize,
    kind: &'static str,
    from: String,
    to: String,
    distance_mm: f64,
    limit_mm: f64,
    sd_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicle: Option<char>,
}

#[derive(Serialize)]
struct LayJson<'p> {
    lay: usize,
    kind: &'static str,
    from: String,
    to: String,
    below_body: bool,
    readings: Vec<&'p str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicle: Option<char>,
}

#[derive(Serialize)]
struct FloorJson<'p> {
    x_mm: [f64; 2],
    y_mm: [f64; 2],
    length_mm: f64,
    width_mm: f64,
    bay: Option<BayJson<'p>>,
    limits: Option<LimitsJson>,
}

#[derive(Serialize)]
struct LimitsJson {
    slope_mm_per_m: Option<f64>,
    flatness_mm: Option<f64>,
    demonstration: bool,
}

#[derive(Serialize)]
struct BayJson<'p> {
    length_mm: f64,
    width_mm: f64,
    fits: bool,
    short_length_mm: f64,
    short_width_mm: f64,
    hit: &'p [String],
}

impl<'p> From<&'p FloorPlan> for PlanJson<'p> {
    fn from(plan: &'p FloorPlan) -> Self {
        let name = |index: usize| plan.marks[index].id.as_str();
        Self {
            format: "plan/1",
            vehicle: plan.mat.is_none().then(|| vehicle(&plan.vehicle)),
            vehicles: plan.mat.as_ref().map(mat_vehicles),
            template: template(plan),
            tape_base: plan.tape_base.map(name),
            marks: plan
                .marks
                .iter()
                .enumerate()
                .map(|(i, mark)| self::mark(mark, users(plan, |mat| &mat.marks[i])))
                .collect(),
            lines: plan
                .lines
                .iter()
                .enumerate()
                .map(|(i, line)| self::line(line, name, users(plan, |mat| &mat.lines[i])))
                .collect(),
            panels: plan
                .panels
                .iter()
                .enumerate()
                .map(|(i, panel)| self::panel(plan, panel, users(plan, |mat| &mat.panels[i])))
                .collect(),
            checks: plan
                .lays
                .iter()
                .flat_map(|lay| lay.readings.iter().map(|reading| check(plan, lay, reading)))
                .collect(),
            lays: plan.lays.iter().map(|lay| self::lay(plan, lay)).collect(),
            proof: proofs(plan),
            floor: floor(plan),
        }
    }
}

fn users(plan: &FloorPlan, of: impl Fn(&Mat) -> &Vec<usize>) -> Users {
    plan.mat
        .as_ref()
        .map(|mat| mat.letters(of(mat)).chars().collect())
}

fn mat_vehicles(mat: &Mat) -> Vec<MatVehicleJson<'_>> {
    mat.vehicles.iter().map(mat_vehicle).collect()
}

fn mat_vehicle(of: &MatVehicle) -> MatVehicleJson<'_> {
    let tape_base = of.tape_base.each_ref().map(String::as_str);
    MatVehicleJson {
        letter: of.letter,
        vehicle: vehicle(&of.vehicle),
        tape_base,
    }
}

fn vehicle(vehicle: &VehicleOnFloor) -> VehicleJson<'_> {
    let dimensions = vehicle
        .dimensions
        .iter()
        .map(|(key, value)| (key.clone(), round(*value).into()));
    let sources = vehicle
        .sources
        .iter()
        .map(|(key, source)| (key.clone(), source.as_str().into()));
    VehicleJson {
        name: &vehicle.name,
        source: &vehicle.source,
        sources: sources.collect(),
        dimensions_mm: dimensions.collect(),
    }
}

fn template(plan: &FloorPlan) -> TemplateJson<'_> {
    let values = plan.template.values.iter().map(|value| ValueJson {
        name: &value.name,
        meaning: &value.meaning,
        value: round(value.value),
        unit: value.unit,
        demonstration: value.demonstration,
    });
    TemplateJson {
        name: &plan.template.name,
        purpose: &plan.template.purpose,
        origin: plan.template.origin.to_string(),
        values: values.collect(),
    }
}

fn mark(mark: &Mark, vehicles: Users) -> MarkJson<'_> {
    MarkJson {
        id: &mark.id,
        x_mm: round(mark.at.x),
        y_mm: round(mark.at.y),
        tolerance_mm: round(mark.tolerance),
        meaning: &mark.meaning,
        station: mark.station,
        two_tape_mm: mark.two_tape.map(round),
        vehicles,
    }
}

fn line<'p>(line: &Line, name: impl Fn(usize) -> &'p str, vehicles: Users) -> LineJson<'p> {
    LineJson {
        from: name(line.from),
        to: name(line.to),
        width_mm: round(line.width),
        ends: line.ends.word(),
        past_mm: line.past.map(round),
        vehicles,
    }
}

fn panel<'p>(plan: &'p FloorPlan, panel: &'p Panel, vehicles: Users) -> PanelJson<'p> {
    let fields = plan.panel_fields(panel).into_iter().map(|field| FieldJson {
        dark: field.dark,
        outline_mm: field
            .outline
            .iter()
            .map(|point| [round(point.x), round(point.y)])
            .collect(),
    });
    PanelJson {
        mark: &plan.marks[panel.mark].id,
        shape: panel.shape.word(),
        turn_deg: round(panel.turn),
        fields: fields.collect(),
        vehicles,
    }
}

fn check<'p>(plan: &FloorPlan, lay: &Lay, reading: &'p LayReading) -> CheckJson<'p> {
    let [from, to] = lay.ends(plan, reading);
    CheckJson {
        id: &reading.id,
        lay: lay.number,
        kind: lay.reading_kind(),
        from,
        to,
        distance_mm: round(reading.should_be),
        limit_mm: round(reading.limit),
        sd_mm: round(reading.sd),
        vehicle: lay.letter,
    }
}

fn lay<'p>(plan: &'p FloorPlan, lay: &'p Lay) -> LayJson<'p> {
    LayJson {
        lay: lay.number,
        kind: lay.kind.word(),
        from: lay.start_name(plan),
        to: lay.to_name(plan),
        below_body: lay.below_body,
        readings: lay
            .readings
            .iter()
            .map(|reading| reading.id.as_str())
            .collect(),
        vehicle: lay.letter,
    }
}

/// An object for one vehicle; for a mat a list of them, each with its letter; null where no lays were chosen.
fn proofs(plan: &FloorPlan) -> Value {
    match &plan.proofs[..] {
        [] => Value::Null,
        [one] if plan.mat.is_none() => proof(plan, one),
        several => several.iter().map(|one| proof(plan, one)).collect(),
    }
}

fn proof(plan: &FloorPlan, proof: &Proof) -> Value {
    // JSON has no infinity: what nothing proves is null.
    let finite = |mm: f64| {
        if mm.is_finite() {
            json!(round(mm))
        } else {
            Value::Null
        }
    };
    let mark = |one: &MarkProof| {
        json!({
            "id": plan.marks[one.mark].id,
            "tolerance_mm": round(one.tolerance),
            "radius_mm": round(one.radius),
            "provable_mm": finite(one.provable),
            "proven": one.proven(),
        })
    };
    let GridProof {
        forward,
        left,
        turn,
    } = proof.grid;
    let mut object = json!({
        "minutes": round(proof.minutes),
        "lays": proof.lays,
        "readings": proof.readings,
        "times_tolerance": proof.times_tolerance,
        "marks": proof.marks.iter().map(mark).collect::<Value>(),
        "grid": { "forward_mm": finite(forward), "left_mm": finite(left), "turn_mm": finite(turn) },
        "would_take": proof.would_take.iter().map(|one| one.word()).collect::<Value>(),
    });
    if let (Some(letter), Some(fields)) = (proof.letter, object.as_object_mut()) {
        fields.insert("vehicle".to_owned(), letter.to_string().into());
    }
    object
}

fn floor(plan: &FloorPlan) -> FloorJson<'_> {
    let needed = plan.floor.needed;
    FloorJson {
        x_mm: [round(needed.x0), round(needed.x1)],
        y_mm: [round(needed.y0), round(needed.y1)],
        length_mm: round(needed.width()),
        width_mm: round(needed.height()),
        bay: plan.floor.bay.as_ref().map(|bay| BayJson {
            length_mm: round(bay.size.0),
            width_mm: round(bay.size.1),
            fits: bay.fits(),
            short_length_mm: round(bay.short.0),
            short_width_mm: round(bay.short.1),
            hit: &bay.hit,
        }),
        limits: plan.floor.limits.map(|limits| LimitsJson {
            slope_mm_per_m: limits.slope.map(round),
            flatness_mm: limits.flatness.map(round),
            demonstration: limits.demonstration,
        }),
    }
}
