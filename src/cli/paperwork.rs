//! A resolved job on its way to files: what each file holds.

use std::{
    env,
    path::{Path, PathBuf},
};

use super::{
    args::{CutArgs, JobArgs, OutArgs},
    cut::cut_options,
    data::{data, message},
    failure::Failure,
    load::{Job, load_with_lays},
    report::{laid_in_words, left_over, missing_signs, summary},
};
use crate::{
    cover::{Content, Mode, SheetFormat, SheetPlan, cover, cover_roll},
    drawing::Drawing,
    output::{DocumentInfo, OutputError, OutputSet, large_pdf, pdf, png, sheets_json, svg},
    paper::{Correction, LONGEST_PAGE_MM, Margins},
    plan::Mark,
    sheets::{self, Context, FloorArt, PageNumber, RecordInput},
    stencil::{self, CutPlan},
    survey::{ErrorBudget, Joint, SettingOutSteps},
    units::mm_exact,
};

/// More sheets than this want a second thought.
const SHEETS_WITHOUT_ASKING: usize = 400;

/// Resolution of the overview's picture.
const OVERVIEW_DPI: f64 = 200.0;

/// A resolved job on its way to files.
pub(super) struct Paperwork {
    pub job: Job,
    date: Option<String>,
}

impl Paperwork {
    pub fn prepare(args: &JobArgs) -> Result<Self, Failure> {
        Self::of(load_with_lays(args)?)
    }

    /// Paperwork of a job that is resolved already.
    pub fn of(job: Job) -> Result<Self, Failure> {
        if let Some(missing) = missing_signs(&job) {
            message(&format!("no sign in the typeface for {missing}; the sheets show a box in its place"));
        }
        let date = document_date(&job.record.date)?;
        Ok(Self { job, date })
    }

    pub fn lay_sheets(&self, yes: bool) -> Result<SheetPlan, Failure> {
        let content = Content::of(&self.job.plan);
        let sheets = match &self.job.roll {
            Some(roll) => cover_roll(&content, roll, Content::widest_line(&self.job.plan), self.job.mode)?,
            None => cover(&content, &self.job.format, self.job.mode)?,
        };
        let count = sheets.pages;
        if count > SHEETS_WITHOUT_ASKING && !yes {
            return Err(Failure::ManySheets { count, most: SHEETS_WITHOUT_ASKING });
        }
        Ok(sheets)
    }

    pub fn context(&self) -> Context<'_> {
        Context { plan: &self.job.plan, record: &self.job.record, inches: self.job.inches, printer: &self.job.printer }
    }

    fn info(&self, title: &str) -> DocumentInfo {
        let plan = &self.job.plan;
        DocumentInfo {
            title: format!("{title}: {}", plan.vehicle.name),
            subject: plan.template.name.clone(),
            date: self.date.clone(),
            spot: None,
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
        // Keys are never joined, each is laid by tape.
        let joined = sheets.mode != Mode::Keys;
        let paths: Vec<Option<Vec<Joint>>> = plan.marks.iter().map(|mark| path(mark).filter(|_| joined)).collect();
        let window = sheets.format.printable().size();
        ErrorBudget::of(plan, &self.job.precision, &paths, window.width.max(window.height))
    }

    pub fn cut(&self, args: &CutArgs) -> Result<CutPlan, Failure> {
        Ok(stencil::cut(&self.job.plan, &cut_options(args)?)?)
    }

    pub fn cut_info(&self, stencil: &CutPlan) -> DocumentInfo {
        DocumentInfo { spot: Some(stencil.options.spot.name()), ..self.info("Stencil to cut") }
    }

    pub fn add_stencils(
        &self,
        files: &mut OutputSet,
        plan: &SheetPlan,
        art: &FloorArt,
        stencil: &CutPlan,
    ) -> Result<(), Failure> {
        if plan.roll.is_some() {
            return self.add_strips(files, plan, art, stencil);
        }
        let context = self.context();
        let count = plan.pages;
        let mut pages = sheets::cover_page(&context, art, plan, &self.budget(plan), count);
        let cover_pages = pages.len();
        let of = cover_pages + count;
        let number = |index| PageNumber { page: cover_pages + index + 1, of };
        pages.extend((0..count).map(|index| match plan.mode {
            Mode::Keys => sheets::key_page(&context, art, plan, index, number(index)),
            _ => sheets::tile(&context, art, plan, index, number(index)),
        }));
        files.add(
            "stencils.pdf",
            pdf(&pages, &DocumentInfo { spot: Some(stencil.options.spot.name()), ..self.info("Floor stencils") })?,
        );
        files.add("sheets.json", sheets_json(plan, cover_pages));
        Ok(())
    }

    /// Strips as pages and as SVG; sheet 0 on office paper in a file of its own, since a roll printer would take
    /// a roll's width for it.
    fn add_strips(
        &self,
        files: &mut OutputSet,
        plan: &SheetPlan,
        art: &FloorArt,
        stencil: &CutPlan,
    ) -> Result<(), Failure> {
        let (context, of) = (self.context(), plan.sheets.len());
        let paper = self.job.format.paper.office_size();
        // The profile is the roll printer's; nothing is known of the one that prints this page.
        let (margins, correction) = (Margins::default(), Correction::default());
        let office = SheetFormat { paper, margins, correction, ..plan.format.clone() };
        let office = SheetPlan { format: office, ..plan.clone() };
        let assembly = sheets::cover_page(&context, art, &office, &self.budget(plan), 0);
        let number = |index| PageNumber { page: index + 1, of };
        let pages: Vec<Drawing> =
            (0..of).map(|index| sheets::tile(&context, art, plan, index, number(index))).collect();
        files.add("assembly.pdf", pdf(&assembly, &self.info("Floor strips, assembly"))?);
        let info = DocumentInfo { spot: Some(stencil.options.spot.name()), ..self.info("Floor strips") };
        files.add("stencils.pdf", pdf(&pages, &info)?);
        for (sheet, page) in plan.sheets.iter().zip(&pages) {
            files.add(format!("strip-{}.svg", sheet.label), svg(page));
        }
        files.add("sheets.json", sheets_json(plan, 0));
        Ok(())
    }

    /// The whole floor on one page, when that is asked for.
    pub fn add_single_page(&self, files: &mut OutputSet, asked: bool, art: &FloorArt) -> Result<(), Failure> {
        if !asked {
            return Ok(());
        }
        let page = sheets::single_page(&self.context(), art);
        let (width, height) = (page.width, page.height);
        let bytes = large_pdf(&page, &self.info("Floor on one page")).map_err(|error| match error {
            OutputError::PageSize { .. } => Failure::SinglePage { width, height },
            other => other.into(),
        })?;
        files.add("floor-single.pdf", bytes);
        if width.max(height) > LONGEST_PAGE_MM {
            message(&format!(
                "floor-single.pdf is {} × {} mm, larger than a plain PDF page: a reader that ignores UserUnit prints it at a tenth of its size; strips (--roll) and floor.svg are safe",
                mm_exact(width, 0),
                mm_exact(height, 0)
            ));
        }
        Ok(())
    }

    /// How to set the layout out by hand.
    pub fn steps(&self) -> SettingOutSteps {
        SettingOutSteps::of(&self.job.plan, &self.job.precision, self.job.inches)
    }

    pub fn add_steps(&self, files: &mut OutputSet, steps: &SettingOutSteps) -> Result<(), Failure> {
        let pages = sheets::steps(&self.context(), steps, &self.job.format.paper.office_size());
        files.add("steps.pdf", pdf(&pages, &self.info("Setting-out steps"))?);
        Ok(())
    }

    pub fn add_overview(&self, files: &mut OutputSet) -> Result<(), Failure> {
        let paper = self.job.format.paper.office_size();
        let plans = if self.job.mat.is_empty() { std::slice::from_ref(&self.job.plan) } else { &self.job.mat[..] };
        let pages: Vec<Drawing> =
            plans.iter().map(|plan| sheets::overview(&Context { plan, ..self.context() }, &paper)).collect();
        for (plan, page) in plans.iter().zip(&pages) {
            let name = plan.own_letter().map_or_else(|| "overview".to_owned(), |letter| format!("overview-{letter}"));
            let picture = svg(page);
            files.add(format!("{name}.png"), png(&picture, OVERVIEW_DPI)?);
            files.add(format!("{name}.svg"), picture);
        }
        files.add("overview.pdf", pdf(&pages, &self.info("Floor layout overview"))?);
        Ok(())
    }

    /// The record of a judged layout.
    pub fn add_record(&self, files: &mut OutputSet, input: &RecordInput<'_>) -> Result<(), Failure> {
        let page = sheets::record(&self.context(), input, &self.job.format.paper.office_size());
        files.add("record.svg", svg(&page));
        files.add("record.pdf", pdf(&[page], &self.info("Record of a floor layout"))?);
        Ok(())
    }

    /// Refuses to write over a file that the job was read from.
    pub fn spare_inputs(&self, files: &OutputSet, folder: &Path) -> Result<(), Failure> {
        let inputs: Vec<PathBuf> = self.job.inputs.iter().filter_map(|input| input.canonicalize().ok()).collect();
        let mut targets = files.names().map(|name| folder.join(name));
        let clash = targets.find(|target| target.canonicalize().is_ok_and(|target| inputs.contains(&target)));
        clash.map_or(Ok(()), |path| Err(Failure::Overwrites { path }))
    }

    pub fn finish(&self, files: &OutputSet, to: &OutArgs, sheets: Option<&SheetPlan>) -> Result<(), Failure> {
        self.spare_inputs(files, &to.out)?;
        let written = files.write(&to.out)?;
        let laid = sheets.map_or_else(String::new, laid_in_words);
        message(&format!("{}: {} files{laid}", to.out.display(), written.len()));
        let left = left_over(&to.out, files);
        if !left.is_empty() {
            message(&format!(
                "{}: {} left from an earlier run; not part of this kit",
                to.out.display(),
                left.join(", ")
            ));
        }
        if sheets.is_some_and(|plan| plan.mode == Mode::Keys) && !self.job.plan.panels.is_empty() {
            message(
                "keys are stencils for marks; of a panel they show what lies on the card, the rest is measured from its mark",
            );
        }
        let floor = &self.job.plan.floor;
        if let Some(bay) = floor.bay.as_ref().filter(|bay| !bay.fits()) {
            message(&format!("the bay: {}", bay.sentence()));
        }
        let values = self.job.plan.template.values.iter();
        let defaults: Vec<&str> = values.filter(|value| value.is_default).map(|value| value.name.as_str()).collect();
        if !defaults.is_empty() {
            message(&format!(
                "demonstration values are in use for {}; the vehicle maker's service information goes first (--set, or the job's [values])",
                defaults.join(", ")
            ));
        }
        if to.json { data(&summary(&written, sheets)) } else { Ok(()) }
    }
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
