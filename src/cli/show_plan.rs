//! `baystencil plan`.

use super::{
    args::PlanArgs,
    data::data,
    failure::Failure,
    load::{Job, load},
    show_checks::{check_plan_tables, limit, vehicle_row},
};
use crate::{
    output::{marks_csv, plan_json},
    plan::FloorPlan,
    survey::{CheckPlan, SettingOutSteps, Squareness},
    units::{inch_text, mm_text},
};

pub(super) fn plan(args: &PlanArgs) -> Result<(), Failure> {
    let job = load(&args.job)?;
    if args.json {
        let steps = SettingOutSteps::of(&job.plan, &job.precision, job.inches);
        data(&plan_json(&job.plan, &steps, &job.check_plans()))
    } else if args.csv {
        data(&marks_csv(&job.plan, job.inches))
    } else {
        data(&tables(&job))
    }
}

/// Marks and checks as text; for a mat, one vehicle after the other.
fn tables(job: &Job) -> String {
    let check_plans = job.check_plans();
    let each = check_plans.iter().map(|(plan, checks)| plan_tables(plan, checks, job));
    each.collect::<Vec<_>>().join("\n")
}

fn plan_tables(plan: &FloorPlan, checks: &[CheckPlan; 2], job: &Job) -> String {
    let mut lines = Vec::new();
    let length = |mm: f64| if job.inches { format!("{} ({} in)", mm_text(mm), inch_text(mm)) } else { mm_text(mm) };
    let width = if job.inches { 22 } else { 9 };
    let [front, rear] = plan.tape_base.map(|index| plan.marks[index].id.as_str());
    let letter = plan.own_letter().map_or_else(String::new, |letter| format!("{letter}: "));
    lines.push(format!("{letter}{} · {}", plan.vehicle.name, plan.template.name));
    lines.push(format!(
        "mm; station forward, offset to the left, 0 {}; tapes from {front} and {rear}\n",
        plan.template.origin
    ));
    lines.push(format!(
        "{:8}{:>width$}{:>width$}{:>width$}{:>width$}  meaning",
        "mark",
        "station",
        "offset",
        format!("from {front}"),
        format!("from {rear}")
    ));
    for mark in &plan.marks {
        let [a, b] = mark.two_tape.map(length);
        lines.push(format!(
            "{:8}{:>width$}{:>width$}{a:>width$}{b:>width$}  {}",
            mark.id,
            length(mark.at.x),
            length(mark.at.y),
            mark.meaning
        ));
    }
    lines.push(format!("\n{:8}{:16}{:>width$}{:>7}", "check", "from – to", "should be", "limit"));
    for check in &plan.checks {
        let ends = format!("{} – {}", plan.marks[check.from].id, plan.marks[check.to].id);
        let wheel = if check.through_wheel { "  runs through a wheel" } else { "" };
        lines.push(format!(
            "{:8}{ends:16}{:>width$}{:>7}{wheel}",
            check.id,
            length(check.distance),
            limit(check.limits.accept)
        ));
    }
    lines.extend(plan.vehicle_checks.iter().map(|check| vehicle_row(plan, check, width, length)));
    lines.extend(Squareness::of(plan).map(|square| square.sentence()));
    lines.extend(check_plan_tables(plan, checks, job.checks));
    let needed = plan.floor.needed;
    lines.push(format!("\nfloor needed: {} × {} mm", mm_text(needed.width()), mm_text(needed.height())));
    if let Some(bay) = &plan.floor.bay {
        lines.push(format!("bay: {}", bay.sentence()));
    }
    lines.push(String::new());
    lines.join("\n")
}
