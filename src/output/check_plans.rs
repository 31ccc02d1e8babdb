//! Check plans as JSON. All lengths in mm, angles in degrees.

use serde_json::{Value, json};

use crate::{
    plan::FloorPlan,
    survey::{CheckPlan, Detectable, NOT_HELD_MM},
};

/// Decimals kept, see [`PlanJson`](crate::plan::PlanJson).
const PER_MM: f64 = 1e4;

/// `{quick: …, full: …}`, or a list of such with the vehicle's letter for a mat.
pub(super) fn check_plans_json(check_plans: &[(&FloorPlan, [CheckPlan; 2])]) -> Value {
    let each = |(plan, checks): &(&FloorPlan, [CheckPlan; 2])| {
        let mut both = serde_json::Map::new();
        if let Some(letter) = plan.own_letter() {
            both.insert("vehicle".to_owned(), letter.to_string().into());
        }
        for check_plan in checks {
            both.insert(check_plan.choice.word().to_owned(), check_plan_json(plan, check_plan));
        }
        Value::Object(both)
    };
    match check_plans {
        [(plan, _)] if plan.mat.is_none() => each(&check_plans[0]),
        _ => check_plans.iter().map(each).collect(),
    }
}

fn check_plan_json(plan: &FloorPlan, check_plan: &CheckPlan) -> Value {
    let name = |mark: usize| plan.marks[mark].id.as_str();
    let prefix = plan.own_letter().map_or_else(String::new, |letter| format!("{letter}:"));
    let pulls = check_plan.pulls.iter().map(|pull| {
        let (check, limits) = (&pull.check, pull.check.limits);
        json!({
            "id": format!("{prefix}{}", check.id),
            "kind": check.kind.word(),
            "from": name(check.from),
            "to": name(check.to),
            "distance_mm": round(check.distance),
            "sd_mm": fine(pull.sd),
            "tolerance_mm": round(limits.tolerance),
            "limit_mm": limits.accept.map(round),
            "reject_mm": round(limits.reject),
            "expected_mm": round(limits.expected),
            "reachable": pull.redundancy.is_some(),
            "redundancy": pull.redundancy.map(fine),
            "detectable_error_mm": pull.smallest_error.map(round),
        })
    });
    let marks = check_plan
        .marks
        .iter()
        .enumerate()
        .map(|(index, mark)| mark_json(name(index), mark, &check_plan.marks_bay_empty[index]));
    let unmet = check_plan.unmet.iter().map(|&(mark, best)| json!({ "id": name(mark), "best_mm": found(best) }));
    let advice = check_plan.advice.iter().map(|advice| {
        json!({
            "id": name(advice.mark),
            "read": name(advice.read),
            "string": advice.string.map(name),
            "offset_mm": round(advice.offset),
            "worst_mm": found(advice.worst),
        })
    });
    json!({
        "count": check_plan.pulls.len(),
        "not_reachable": check_plan.not_reachable(),
        "unchecked": check_plan.unchecked(),
        "lower_bound": check_plan.lower_bound,
        "candidates": check_plan.candidates,
        "pulls": pulls.collect::<Value>(),
        "marks": marks.collect::<Value>(),
        "unmet": unmet.collect::<Value>(),
        "advice": advice.collect::<Value>(),
        "against_vehicle": check_plan.pose.map(|pose| json!({
            "forward_mm": round(pose.forward), "left_mm": round(pose.left), "turned_deg": round(pose.turned),
        })),
    })
}

fn mark_json(id: &str, mark: &Detectable, bay_empty: &Detectable) -> Value {
    json!({
        "id": id,
        "tolerance_mm": round(mark.tolerance),
        "worst_mm": found(mark.worst),
        "worst_direction_deg": (!mark.loose()).then(|| round(mark.direction)),
        "worst_bay_empty_mm": found(bay_empty.worst),
        "least_mm": found(mark.least),
        "proven": mark.proven(),
    })
}

/// `null` for a displacement that is not found in earnest.
fn found(mm: f64) -> Option<f64> {
    (mm <= NOT_HELD_MM).then(|| round(mm))
}

fn round(value: f64) -> f64 {
    (value * PER_MM).round() / PER_MM + 0.0
}

/// Numbers that others are worked out from keep two decimals more.
fn fine(value: f64) -> f64 {
    round(value * 100.0) / 100.0
}
