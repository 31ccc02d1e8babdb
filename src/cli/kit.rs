//! `baystencil kit`, `stencils` and `overview`: the files they leave.

use std::{env, path::PathBuf};

use serde_json::json;

use super::{
    args::WriteArgs,
    failure::Failure,
    load::{Job, load},
};
use crate::{
    cover::{Content, SheetPlan, cover},
    drawing::Drawing,
    output::{DocumentInfo, OutputSet, pdf, plan_json, png, pretty, readings_csv, sheets_json, svg},
    sheets::{self, Context, FloorArt, PageNumber},
};

/// More sheets than this want a second thought.
const SHEETS_WITHOUT_ASKING: usize = 400;

/// Resolution of the overview's picture.
const OVERVIEW_DPI: f64 = 200.0;

/// Writes the whole kit.
pub(super) fn kit(args: &WriteArgs) -> Result<(), Failure> {
    let kit = Kit::prepare(args)?;
    let mut files = OutputSet::new();
    kit.add_stencils(&mut files)?;
    kit.add_overview(&mut files)?;
    files.add("floor.svg", svg(&sheets::floor(&kit.context(), &kit.art)));
    files.add("plan.json", plan_json(&kit.job.plan));
    files.add("readings.csv", readings_csv(&kit.job.plan));
    kit.finish(&files, args)
}

/// Writes the full-scale sheets alone.
pub(super) fn stencils(args: &WriteArgs) -> Result<(), Failure> {
    let kit = Kit::prepare(args)?;
    let mut files = OutputSet::new();
    kit.add_stencils(&mut files)?;
    kit.finish(&files, args)
}

/// Writes the overview alone.
pub(super) fn overview(args: &WriteArgs) -> Result<(), Failure> {
    let kit = Kit::prepare(args)?;
    let mut files = OutputSet::new();
    kit.add_overview(&mut files)?;
    kit.finish(&files, args)
}

struct Kit {
    job: Job,
    sheets: SheetPlan,
    art: FloorArt,
    date: Option<String>,
}

impl Kit {
    fn prepare(args: &WriteArgs) -> Result<Self, Failure> {
        let job = load(&args.job)?;
        let sheets = cover(&Content::of(&job.plan), &job.format)?;
        let count = sheets.sheets.len();
        if count > SHEETS_WITHOUT_ASKING && !args.yes {
            return Err(Failure::ManySheets { count, most: SHEETS_WITHOUT_ASKING });
        }
        let art = FloorArt::of(&job.plan);
        let date = document_date(&job.record.date)?;
        Ok(Self { job, sheets, art, date })
    }

    fn context(&self) -> Context<'_> {
        Context { plan: &self.job.plan, record: &self.job.record, inches: self.job.inches, printer: &self.job.printer }
    }

    fn info(&self, title: &str) -> DocumentInfo {
        let plan = &self.job.plan;
        DocumentInfo {
            title: format!("{title}: {}", plan.vehicle.name),
            subject: plan.template.name.clone(),
            date: self.date.clone(),
        }
    }

    fn add_stencils(&self, files: &mut OutputSet) -> Result<(), Failure> {
        let context = self.context();
        let count = self.sheets.sheets.len();
        let mut pages = sheets::cover_page(&context, &self.art, &self.sheets, count);
        let cover_pages = pages.len();
        let of = pages.len() + count;
        let tile = |index| {
            let page = PageNumber { page: cover_pages + index + 1, of };
            sheets::tile(&context, &self.art, &self.sheets, index, page)
        };
        pages.extend((0..count).map(tile));
        files.add("stencils.pdf", pdf(&pages, &self.info("Floor stencils"))?);
        files.add("sheets.json", sheets_json(&self.sheets, cover_pages));
        Ok(())
    }

    fn add_overview(&self, files: &mut OutputSet) -> Result<(), Failure> {
        let page: Drawing = sheets::overview(&self.context(), &self.job.format.paper.office_size());
        let picture = svg(&page);
        files.add("overview.png", png(&picture, OVERVIEW_DPI)?);
        files.add("overview.svg", picture);
        files.add("overview.pdf", pdf(&[page], &self.info("Floor layout overview"))?);
        Ok(())
    }

    fn finish(&self, files: &OutputSet, args: &WriteArgs) -> Result<(), Failure> {
        let written = files.write(&args.out)?;
        if args.json {
            print!("{}", self.summary(&written));
        }
        let sheets = &self.sheets;
        eprintln!(
            "{}: {} files, {} sheets of {} (no placement needs fewer than {})",
            args.out.display(),
            written.len(),
            sheets.sheets.len(),
            sheets.format.paper.name,
            sheets.lower_bound
        );
        let floor = &self.job.plan.floor;
        if let Some(bay) = floor.bay.as_ref().filter(|bay| !bay.fits()) {
            eprintln!("the bay: {}", bay.sentence());
        }
        if self.job.plan.template.values.iter().any(|value| value.is_default) {
            eprintln!(
                "demonstration values are in use; the vehicle maker's service information goes first (--set, or the job's [values])"
            );
        }
        Ok(())
    }

    fn summary(&self, written: &[PathBuf]) -> String {
        pretty(&json!({
            "files": written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
            "paper": self.sheets.format.paper.name,
            "count": self.sheets.sheets.len(),
            "lower_bound": self.sheets.lower_bound,
        }))
    }
}

/// The date that documents carry: the job's, else that of `SOURCE_DATE_EPOCH`, else none. The
/// clock is never asked, so that the same input gives the same bytes.
fn document_date(record: &str) -> Result<Option<String>, Failure> {
    if !record.is_empty() {
        return Ok(Some(record.to_owned()));
    }
    let Ok(text) = env::var("SOURCE_DATE_EPOCH") else { return Ok(None) };
    let date = text.parse().ok().and_then(|seconds| time::OffsetDateTime::from_unix_timestamp(seconds).ok());
    match date.filter(|date| (0..=9999).contains(&date.year())) {
        Some(date) => Ok(Some(format!("{:04}-{:02}-{:02}", date.year(), u8::from(date.month()), date.day()))),
        None => Err(Failure::Epoch { text }),
    }
}
