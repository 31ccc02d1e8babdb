//! `baystencil plan`.

use super::{args::PlanArgs, data::data, failure::Failure, load::load};
use crate::{
    effort::Takes,
    job::Job,
    output::{marks_csv, plan_json},
    plan::{FloorPlan, Lay, Proof},
    survey::SettingOutSteps,
    units::{ROUND_OFF, feet_text_to, inch_text, mm_text},
    words::{Lengths, Spelling, printed::lays},
};

pub(super) fn plan(args: &PlanArgs) -> Result<(), Failure> {
    let job = load(&args.job.job(), None, true)?;
    if args.json {
        let steps = SettingOutSteps::of(&job.plan, &job.precision, job.inches);
        let takes = Takes::by_hand(&job.plan, &job.precision, &steps);
        data(&plan_json(&job.plan, &steps, &takes, &job.made_from))
    } else if args.csv {
        data(&marks_csv(&job.plan, job.inches))
    } else {
        data(&Spelling::of(&job).text(&tables(&job)))
    }
}

/// Marks, lays and what they prove as text; for a mat, one vehicle after the other.
fn tables(job: &Job) -> String {
    let each = job.layouts().iter().map(|plan| plan_tables(plan, job));
    each.collect::<Vec<_>>().join("\n")
}

fn plan_tables(plan: &FloorPlan, job: &Job) -> String {
    let mut lines = Vec::new();
    let length = |mm: f64| {
        if job.inches {
            format!("{} ({} in)", mm_text(mm), inch_text(mm))
        } else {
            mm_text(mm)
        }
    };
    let width = if job.inches { 22 } else { 9 };
    let [front, rear] = plan.tape_base.map(|index| plan.marks[index].id.as_str());
    let letter = plan
        .own_letter()
        .map_or_else(String::new, |letter| format!("{letter}: "));
    lines.push(format!(
        "{letter}{} · {}",
        plan.vehicle.name, plan.template.name
    ));
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
    lines.extend(lays(plan, job.inches));
    lines.extend(
        plan.proofs
            .iter()
            .flat_map(|proof| proven(plan, proof, job.inches)),
    );
    let needed = plan.floor.needed;
    lines.push(format!(
        "\nfloor needed: {} × {} mm{}",
        mm_text(needed.width()),
        mm_text(needed.height()),
        if job.inches {
            format!(
                " ({} × {})",
                feet_text_to(needed.width(), 1),
                feet_text_to(needed.height(), 1)
            )
        } else {
            String::new()
        }
    ));
    if let Some(bay) = &plan.floor.bay {
        lines.push(Spelling::of(job).fault(&format!("bay: {bay}")));
    }
    lines.push(String::new());
    lines.join("\n")
}

/// The list of lays, in the order of walking.
fn lays(plan: &FloorPlan, inches: bool) -> Vec<String> {
    let mut lines = vec![format!(
        "\n{:6}{:24}{:>17}{:>9}",
        "check", "lay", "should be", "limit"
    )];
    let below = plan.lays.iter().position(|lay| lay.below_body);
    for (index, lay) in plan.lays.iter().enumerate() {
        if below == Some(index) {
            lines.push(lays::BELOW_BODY.to_owned());
        }
        lines.push(format!("{:>2}  {}", lay.number, lays::whole(plan, lay)));
        lines.extend(lay.readings.iter().map(|reading| {
            let inch = lays::should_be_inches(lay, reading);
            let also = if inches && !inch.is_empty() {
                format!(" ({inch} in)")
            } else {
                String::new()
            };
            let should_be = format!("{}{also}", lays::should_be(lay, reading));
            let at = format!("{}{}", side(lay), plan.marks[reading.mark].id);
            format!(
                "{:>5} {at:24}{should_be:>17}{:>9}",
                reading.id,
                format!(
                    "± {}{}",
                    lays::limit(reading.limit, inches),
                    if inches { " in" } else { "" }
                )
            )
        }));
    }
    lines.push(lays::LIMITS.to_owned());
    lines
}

fn side(lay: &Lay) -> &'static str {
    match lay.reading_kind() {
        "inline" => "beside it: ",
        "offset" => "square from it: ",
        _ => "at ",
    }
}

/// What the lays prove, mark by mark.
fn proven(plan: &FloorPlan, proof: &Proof, inches: bool) -> Vec<String> {
    let lengths = Lengths { inches };
    let tenth = |mm: f64| {
        if mm.is_finite() {
            lengths.cell((mm * 10.0 - ROUND_OFF).ceil() / 10.0, 1)
        } else {
            "–".to_owned()
        }
    };
    let mut lines = vec![format!("\n{}", lays::effort(proof))];
    lines.push(format!(
        "{:8}{:>12}{:>12}{:>14}  {}",
        "mark",
        "tolerance",
        "provable",
        "95 % within",
        lengths.unit()
    ));
    lines.extend(proof.marks.iter().map(|mark| {
        let open = if mark.proven() { "" } else { "  not proven" };
        format!(
            "{:8}{:>12}{:>12}{:>14}{open}",
            plan.marks[mark.mark].id,
            tenth(mark.tolerance),
            tenth(mark.provable),
            tenth(mark.radius)
        )
    }));
    let grid = proof.grid;
    lines.push(format!(
        "the grid as a whole: {} along, {} across, {} from being turned, {}",
        tenth(grid.forward),
        tenth(grid.left),
        tenth(grid.turn),
        lengths.unit()
    ));
    lines.extend(lays::quick(proof));
    lines.extend(lays::not_proven(plan, proof, inches));
    lines
}
