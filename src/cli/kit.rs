//! `baystencil kit`, `stencils` and `overview`: the files they leave.

use std::{
    collections::BTreeSet,
    env,
    path::{Path, PathBuf},
};

use serde_json::json;

use super::{
    args::{JobArgs, OutArgs, OverviewArgs, WriteArgs},
    data::{data, message},
    failure::Failure,
    load::{Job, load},
};
use crate::{
    cover::{Content, SheetPlan, cover},
    drawing::{Drawing, Face, Weight},
    output::{DocumentInfo, OutputSet, pdf, plan_json, png, pretty, readings_csv, sheets_json, svg},
    plan::Mark,
    sheets::{self, Context, FloorArt, PageNumber},
    survey::{ErrorBudget, Joint},
};

/// More sheets than this want a second thought.
const SHEETS_WITHOUT_ASKING: usize = 400;

/// Resolution of the overview's picture.
const OVERVIEW_DPI: f64 = 200.0;

/// Writes the whole kit.
pub(super) fn kit(args: &WriteArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let sheets = paper.lay_sheets(args.yes)?;
    let art = FloorArt::of(&paper.job.plan);
    let mut files = OutputSet::new();
    paper.add_stencils(&mut files, &sheets, &art)?;
    paper.add_overview(&mut files)?;
    files.add("floor.svg", svg(&sheets::floor(&paper.context(), &art)));
    files.add("plan.json", plan_json(&paper.job.plan));
    files.add("readings.csv", readings_csv(&paper.job.plan));
    paper.finish(&files, &args.to, Some(&sheets))
}

/// Writes the full-scale sheets alone.
pub(super) fn stencils(args: &WriteArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let sheets = paper.lay_sheets(args.yes)?;
    let mut files = OutputSet::new();
    paper.add_stencils(&mut files, &sheets, &FloorArt::of(&paper.job.plan))?;
    paper.finish(&files, &args.to, Some(&sheets))
}

/// Writes the overview alone.
pub(super) fn overview(args: &OverviewArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let mut files = OutputSet::new();
    paper.add_overview(&mut files)?;
    paper.finish(&files, &args.to, None)
}

/// A resolved job on its way to files.
struct Paperwork {
    job: Job,
    date: Option<String>,
}

impl Paperwork {
    fn prepare(args: &JobArgs) -> Result<Self, Failure> {
        let job = load(args)?;
        if let Some(missing) = missing_signs(&job) {
            message(&format!("no sign in the typeface for {missing}; the sheets show a box in its place"));
        }
        let date = document_date(&job.record.date)?;
        Ok(Self { job, date })
    }

    fn lay_sheets(&self, yes: bool) -> Result<SheetPlan, Failure> {
        let sheets = cover(&Content::of(&self.job.plan), &self.job.format, self.job.mode)?;
        let count = sheets.pages;
        if count > SHEETS_WITHOUT_ASKING && !yes {
            return Err(Failure::ManySheets { count, most: SHEETS_WITHOUT_ASKING });
        }
        Ok(sheets)
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

    /// What errors to expect of the marks, by way of laying them.
    fn budget(&self, sheets: &SheetPlan) -> ErrorBudget {
        let plan = &self.job.plan;
        let datum = sheets.sheet_at(plan.marks[plan.tape_base[0]].at);
        let routes = datum.map_or_else(Vec::new, |datum| sheets.routes(datum));
        let joint = |index: &usize| {
            let [first, second] = sheets.joints[*index].registration.map(|mark| sheets.registration[mark].at);
            Joint::between(first, second)
        };
        let path = |mark: &Mark| {
            let route = routes.get(sheets.sheet_at(mark.at)?)?.as_ref()?;
            route.iter().map(joint).collect::<Option<Vec<Joint>>>()
        };
        let paths: Vec<Option<Vec<Joint>>> = plan.marks.iter().map(path).collect();
        let window = sheets.format.printable().size();
        ErrorBudget::of(plan, &self.job.precision, &paths, window.width.max(window.height))
    }

    fn add_stencils(&self, files: &mut OutputSet, plan: &SheetPlan, art: &FloorArt) -> Result<(), Failure> {
        let context = self.context();
        let count = plan.sheets.len();
        let mut pages = sheets::cover_page(&context, art, plan, &self.budget(plan), count);
        let cover_pages = pages.len();
        let of = cover_pages + count;
        let number = |index| PageNumber { page: cover_pages + index + 1, of };
        pages.extend((0..count).map(|index| sheets::tile(&context, art, plan, index, number(index))));
        files.add("stencils.pdf", pdf(&pages, &self.info("Floor stencils"))?);
        files.add("sheets.json", sheets_json(plan, cover_pages));
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

    /// Refuses to write over a file that the job was read from.
    fn spare_inputs(&self, files: &OutputSet, folder: &Path) -> Result<(), Failure> {
        let inputs: Vec<PathBuf> = self.job.inputs.iter().filter_map(|input| input.canonicalize().ok()).collect();
        let mut targets = files.names().map(|name| folder.join(name));
        let clash = targets.find(|target| target.canonicalize().is_ok_and(|target| inputs.contains(&target)));
        clash.map_or(Ok(()), |path| Err(Failure::Overwrites { path }))
    }

    fn finish(&self, files: &OutputSet, to: &OutArgs, sheets: Option<&SheetPlan>) -> Result<(), Failure> {
        self.spare_inputs(files, &to.out)?;
        let written = files.write(&to.out)?;
        let laid = sheets.map_or_else(String::new, |plan| {
            format!(
                ", {} sheets of {} (square to the vehicle at least {})",
                plan.sheets.len(),
                plan.format.paper.name,
                plan.lower_bound
            )
        });
        message(&format!("{}: {} files{laid}", to.out.display(), written.len()));
        let floor = &self.job.plan.floor;
        if let Some(bay) = floor.bay.as_ref().filter(|bay| !bay.fits()) {
            message(&format!("the bay: {}", bay.sentence()));
        }
        if self.job.plan.template.values.iter().any(|value| value.is_default) {
            message(
                "demonstration values are in use; the vehicle maker's service information goes first (--set, or the job's [values])",
            );
        }
        if to.json { data(&summary(&written, sheets)) } else { Ok(()) }
    }
}

/// Characters of the job's texts that the sheets' typeface does not have.
fn missing_signs(job: &Job) -> Option<String> {
    let (plan, record) = (&job.plan, &job.record);
    let mut texts =
        vec![&plan.vehicle.name, &plan.vehicle.source, &plan.template.name, &plan.template.purpose, &job.printer];
    texts.extend([&record.workshop, &record.order, &record.vehicle_id, &record.technician]);
    texts.extend([&record.service_information, &record.note]);
    texts.extend(plan.marks.iter().map(|mark| &mark.meaning));
    texts.extend(plan.template.values.iter().map(|value| &value.meaning));
    texts.extend(plan.preparation.iter().chain(&plan.closing));
    let face = Face::of(Weight::Regular);
    let missing: BTreeSet<char> =
        texts.iter().flat_map(|text| text.chars()).filter(|sign| face.glyph(*sign) == 0).collect();
    let quoted: Vec<String> = missing.iter().map(|sign| format!("\"{sign}\"")).collect();
    (!quoted.is_empty()).then(|| quoted.join(", "))
}

fn summary(written: &[PathBuf], sheets: Option<&SheetPlan>) -> String {
    pretty(&json!({
        "files": written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
        "paper": sheets.map(|plan| &plan.format.paper.name),
        "count": sheets.map(|plan| plan.sheets.len()),
        "lower_bound": sheets.map(|plan| plan.lower_bound),
    }))
}

/// The date that documents carry: the job's, else that of `SOURCE_DATE_EPOCH`, else none. The
/// clock is never asked, so that the same input gives the same bytes.
pub(super) fn document_date(record: &str) -> Result<Option<String>, Failure> {
    if !record.is_empty() {
        return Ok(Some(record.to_owned()));
    }
    let Some(text) = env::var_os("SOURCE_DATE_EPOCH") else { return Ok(None) };
    let text = text.to_string_lossy().into_owned();
    let date = text.parse().ok().and_then(|seconds| time::OffsetDateTime::from_unix_timestamp(seconds).ok());
    match date.filter(|date| (0..=9999).contains(&date.year())) {
        Some(date) => Ok(Some(format!("{:04}-{:02}-{:02}", date.year(), u8::from(date.month()), date.day()))),
        None => Err(Failure::Epoch { text }),
    }
}
