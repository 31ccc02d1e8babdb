//! `baystencil practice`.

use serde_json::json;

use super::{
    data::{data, message, messages},
    failure::Failure,
    load::load_practice,
    paperwork::{document_date, put_alone},
    practice_args::PracticeArgs,
    progress::working,
};
use crate::{
    kit::{ClassSet, ClassWanted},
    output::{DocumentInfo, Language, pretty},
    practice::Request,
    sheets::PracticePaper,
    words::left_out,
};

/// Writes the exercises and their answers.
pub(super) fn practice(args: &PracticeArgs) -> Result<(), Failure> {
    let names = args.names()?;
    args.refuse_many(names.len())?;
    let job = load_practice(args)?;
    let request = Request {
        seed: args.seed,
        first: args.first as usize,
        count: args.count(names.len()) as usize,
        sheets: args.sheets(),
        names,
        vehicle: job.vehicle,
        template: job.template,
        values: job.values,
        precision: job.precision,
        paper: job.paper.clone(),
        inches: job.inches,
        as_is: args.as_is,
    };
    let origin = args.origin()?;
    let info = DocumentInfo {
        subject: args.subject(),
        date: document_date("")?,
        language: Language::of(job.inches),
        ..DocumentInfo::default()
    };
    let wanted = ClassWanted {
        on: PracticePaper {
            paper: &job.paper,
            origin: &origin,
        },
        spelling: &job.spelling,
        info: &info,
        course: args.course,
        marking: args.course || !request.names.is_empty(),
        worked: args.worked || !args.course,
    };
    let set = working("making and drawing exercises", || {
        ClassSet::compose::<Failure>(&request, &wanted)
    })?;
    let written = put_alone(&set.files, &args.out, args.replace)?;
    for missing in &set.missing {
        messages(&format!("note: {}", job.spelling.text(&left_out(missing))));
    }
    message(&format!(
        "{}: {} files, exercises: {}, pages to hand out: {} on {}",
        args.out.display(),
        written.len(),
        set.exercises,
        set.pages,
        job.paper.name
    ));
    if !args.json {
        return Ok(());
    }
    let missing = set.missing.iter().map(|missing| {
        json!({
            "kind": missing.kind.word(),
            "level": missing.level.number(),
            "reason": missing.cause.to_string(),
        })
    });
    data(&pretty(&json!({
        "files": written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
        "paper": job.paper.name,
        "exercises": set.exercises,
        "pages": set.pages,
        "missing": missing.collect::<Vec<_>>(),
    })))
}
