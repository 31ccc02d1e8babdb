//! What check plans find, as text.

use crate::{
    plan::{FloorPlan, VehicleCheck},
    survey::{CheckChoice, CheckPlan, Detectable},
    units::{mm_exact, mm_text},
};

/// Both check plans of a layout: how many pulls, what each finds of every mark, what it cannot find.
pub(super) fn check_plan_tables(plan: &FloorPlan, checks: &[CheckPlan; 2], in_use: CheckChoice) -> Vec<String> {
    let mut lines = vec![String::new()];
    for check_plan in checks {
        lines.push(summary(check_plan, check_plan.choice == in_use));
    }
    lines.push("a displacement of a mark is found with 80 % at a false-alarm rate of 0.1 %, from (mm):".to_owned());
    let row = |mark: &str, tolerance: &str, cells: [&str; 3]| {
        let [quick, bay_empty, full] = cells;
        format!("{mark:8}{tolerance:>10}  {quick:18}{bay_empty:20}{full}").trim_end().to_owned()
    };
    lines.push(row("mark", "tolerance", ["quick", "quick, bay empty", "full"]));
    let [quick, full] = checks;
    for (index, mark) in plan.marks.iter().enumerate() {
        let cells = [&quick.marks[index], &quick.marks_bay_empty[index], &full.marks[index]].map(found);
        lines.push(row(&mark.id, &mm_exact(mark.tolerance, 1), cells.each_ref().map(String::as_str)));
    }
    lines.push("* larger than the tolerance".to_owned());
    for check_plan in checks {
        lines.extend(cannot_find(plan, check_plan));
    }
    lines.extend(full.advice.iter().map(|advice| {
        let [from, to] = advice.string.map(|mark| plan.marks[mark].id.as_str());
        let (mark, read) = (&plan.marks[advice.mark].id, &plan.marks[advice.read].id);
        let seen = if advice.offset == 0.0 {
            format!("see {read} on a string over {from} and {to}")
        } else {
            format!("tape {read} from a string over {from} and {to} ({} mm)", mm_text(advice.offset.abs()))
        };
        format!("for {mark}: {seen}; it is then found from {} mm", mm_exact(advice.worst, 1))
    }));
    lines.push(match full.pose {
        Some(pose) => format!(
            "against the vehicle, by {} to {}: found from {} mm forward, {} mm sideways, {}° turned",
            full.vehicle_checks[0].id,
            full.vehicle_checks[full.vehicle_checks.len() - 1].id,
            mm_exact(pose.forward, 1),
            mm_exact(pose.left, 1),
            mm_exact(pose.turned, 2)
        ),
        None => "against the vehicle: too few marks can be taped from the wheel marks to hold the layout".to_owned(),
    });
    lines
}

fn summary(check_plan: &CheckPlan, in_use: bool) -> String {
    let mut parts = vec![format!("{} pulls", check_plan.pulls.len())];
    if let Some(least) = check_plan.lower_bound {
        parts[0] = format!("{}, at least {least} (of {} a tape can reach)", parts[0], check_plan.candidates);
    }
    if let through @ 1.. = check_plan.not_reachable() {
        parts.push(format!("{through} not reachable while the vehicle stands there"));
    }
    if let unchecked @ 1.. = check_plan.unchecked() {
        parts.push(format!("{unchecked} readings that the others hardly check"));
    }
    let used = if in_use { " (in use)" } else { "" };
    format!("check plan {}{used}: {}", check_plan.choice.word(), parts.join("; "))
}

fn found(mark: &Detectable) -> String {
    if mark.loose() {
        return "not held".to_owned();
    }
    let short = if mark.proven() { "" } else { " *" };
    format!("{:.1} {}{short}", mark.worst, mark.direction_word())
}

fn cannot_find(plan: &FloorPlan, check_plan: &CheckPlan) -> Option<String> {
    let unproven: Vec<&str> = plan
        .marks
        .iter()
        .zip(&check_plan.marks)
        .filter(|(_, mark)| !mark.proven())
        .map(|(mark, _)| mark.id.as_str())
        .collect();
    (!unproven.is_empty()).then(|| {
        format!(
            "{} cannot find displacements as small as the tolerance of: {}",
            check_plan.choice.word(),
            unproven.join(", ")
        )
    })
}

/// A distance from a wheel mark as a row of the checks.
pub(super) fn vehicle_row(
    plan: &FloorPlan,
    check: &VehicleCheck,
    width: usize,
    length: impl Fn(f64) -> String,
) -> String {
    let ends = format!("{} – {}", check.wheel, plan.marks[check.mark].id);
    format!("{:8}{ends:16}{:>width$}{:>7}", check.id, length(check.distance), limit(check.limits.accept))
}

/// A limit as text; a dash where the tape cannot prove the distance.
pub(super) fn limit(accept: Option<f64>) -> String {
    accept.map_or_else(|| "–".to_owned(), |accept| format!("±{}", mm_exact(accept, 1)))
}
