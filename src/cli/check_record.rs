//! The record that `baystencil check` leaves for the customer's file.

use std::path::Path;

use sha2::{Digest, Sha256};

use super::{
    data::message,
    failure::Failure,
    paperwork::{dated, job_in_words, spare_inputs},
};
use crate::{
    job::Job,
    output::{Origin, OutputFolder, OutputSet, layout_json},
    plan::{FloorPlan, Lay, LayReading},
    sheets::{RecordInput, RecordReading},
    survey::{Assessment, Geometry, TapedLayout, Verdict},
    words::CheckWords,
};

/// A taped layout and what was found of it.
pub(super) struct Judged<'a> {
    pub layout: &'a TapedLayout,
    pub assessment: &'a Assessment,
    /// What is said of it.
    pub words: &'a CheckWords,
    /// What heights of the floor came to; empty where none were given.
    pub levels: &'a [String],
}

/// Writes `record.pdf` and `record.svg` into a folder.
pub(super) fn record(
    mut job: Job,
    file: &Path,
    readings: &[u8],
    judged: &Judged<'_>,
    (out, replace): (&Path, bool),
) -> Result<(), Failure> {
    job.inputs.push(file.to_owned());
    let kit = dated(job)?;
    let hash = hash(&kit.job, readings);
    let rows = rows(judged, &kit.job.plan);
    let against = if judged.layout.wheels.is_empty() {
        "the fixed points"
    } else {
        "the vehicle"
    };
    let input = RecordInput {
        assessment: judged.assessment,
        words: judged.words,
        readings: &rows,
        against,
        levels: judged.levels,
        hash: &hash,
        version: env!("CARGO_PKG_VERSION"),
    };
    let mut files = OutputSet::new();
    kit.add_record(&mut files, &input)?;
    let words = job_in_words(&kit.job);
    let origin = Origin {
        job: Some(&words),
        listed: true,
        ..Origin::default()
    };
    let folder = OutputFolder::open(out, replace)?;
    spare_inputs(&kit, &files, out)?;
    let put = folder.put(&files, &origin, replace)?;
    message(&format!("{}: {} files", out.display(), put.paths.len()));
    Ok(())
}

/// SHA-256 in hexadecimal digits of everything that the judgement rests on: the resolved layout, the precision of tools
/// and hands, and the readings as they were given.
fn hash(job: &Job, readings: &[u8]) -> String {
    let mut digest = Sha256::new();
    digest.update(layout_json(&job.plan));
    digest.update(format!("{:?}", job.precision));
    digest.update(readings);
    digest
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The taped readings by the marks' names. Their limits are those of the form: what has none there is judged with all the others
/// alone.
fn rows(judged: &Judged<'_>, plan: &FloorPlan) -> Vec<RecordReading> {
    let network = &judged.layout.network;
    let name = |point: usize| network.points[point].id.clone();
    let row = |index: usize| {
        let design = judged.layout.compared(index)?.design;
        let measured = network.observations[index].value;
        let (from, to, beside) = match network.observations[index].geometry {
            Geometry::Distance { from, to } => (name(from), name(to), None),
            Geometry::Offset {
                mark,
                line: [start, end],
            } => (name(start), name(end), Some(name(mark))),
            Geometry::X { .. } | Geometry::Y { .. } => return None,
        };
        let limit = limit(plan, [&from, &to], beside.as_deref());
        let within = |(design, limit): (f64, f64)| {
            if (measured - design).abs() <= limit {
                Verdict::Inside
            } else {
                Verdict::Outside
            }
        };
        Some(RecordReading {
            from,
            to,
            beside,
            design,
            measured,
            limit,
            verdict: design.zip(limit).map(within),
            suspect: judged.assessment.readings[index].suspect,
        })
    };
    (0..network.observations.len()).filter_map(row).collect()
}

/// The limit, mm, that the form has for a line, whichever end is named first.
fn limit(plan: &FloorPlan, [from, to]: [&str; 2], beside: Option<&str>) -> Option<f64> {
    let of = |lay: &Lay, reading: &LayReading| {
        let [one, other] = lay.ends(plan, reading);
        match beside {
            None => (one == from && other == to) || (one == to && other == from),
            Some(mark) => one == mark && other == format!("{from}..{to}"),
        }
    };
    plan.lays
        .iter()
        .find_map(|lay| lay.readings.iter().find(|reading| of(lay, reading)))
        .map(|reading| reading.limit)
}
