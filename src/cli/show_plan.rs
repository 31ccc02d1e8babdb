//! `baystencil plan`.

use super::{
    args::PlanArgs,
    data::data,
    failure::Failure,
    load::{Job, load},
};
use crate::plan::FloorPlan;
use crate::{
    output::{marks_csv, plan_json},
    survey::SettingOutSteps,
    units::{inch_text, mm_exact, mm_text},
};

pub(super) fn plan(args: &PlanArgs) -> Result<(), Failure> {
    let job = load(&args.job)?;
    if args.json {
        data(&plan_json(&job.plan, &SettingOutSteps::of(&job.plan, &job.precision, job.inches)))
    } else if args.csv {
        data(&marks_csv(&job.plan, job.inches))
    } else {
        data(&tables(&job))
    }
}

/// Marks and checks as text; for a mat, one vehicle after the other.
fn tables(job: &Job) -> String {
    if job.mat.is_empty() {
        return plan_tables(&job.plan, job);
    }
    let each = job.mat.iter().map(|plan| plan_tables(plan, job));
    each.collect::<Vec<_>>().join("\n")
}

fn plan_tables(plan: &FloorPlan, job: &Job) -> String {
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
            format!("±{}", mm_exact(check.limit, 1))
        ));
    }
    let needed = plan.floor.needed;
    lines.push(format!("\nfloor needed: {} × {} mm", mm_text(needed.width()), mm_text(needed.height())));
    if let Some(bay) = &plan.floor.bay {
        lines.push(format!("bay: {}", bay.sentence()));
    }
    lines.push(String::new());
    lines.join("\n")
}
