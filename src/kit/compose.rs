//! A kit put together from a resolved job.

use super::KitError;
use crate::{
    cover::SheetPlan,
    drawing::Drawing,
    job::Job,
    output::{
        DocumentInfo, Language, OutputSet, cut_svg, levels_csv, pdf, plan_json, png, readings_csv,
        svg,
    },
    sheets::{self, Context, FloorArt, RecordInput, cut_sheets},
    stencil::{self, CutPlan},
    survey::SettingOutSteps,
};

/// Resolution of pictures.
pub(super) const PICTURE_DPI: f64 = 200.0;

/// A resolved job on its way to files.
#[derive(Clone, Debug)]
pub struct Kit {
    /// The job.
    pub job: Job,
    /// The date that documents carry (YYYY-MM-DD), if any: no clock is asked, so that the same job gives the same bytes.
    pub date: Option<String>,
}

/// What is wanted of a kit beside what its job says.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// More sheets than this are refused.
    pub most_sheets: Option<usize>,
}

/// The files of a kit, with what they were made from.
#[derive(Debug)]
pub struct KitFiles {
    /// The files, ready to be written.
    pub files: OutputSet,
    /// How the sheets lie.
    pub sheets: SheetPlan,
    /// The stencil to cut.
    pub stencil: CutPlan,
    /// Size of the single page, mm, where one was wanted.
    pub single_page: Option<(f64, f64)>,
}

impl Kit {
    /// A kit for a job. Documents carry the date of its record, if that has one.
    #[must_use]
    pub fn of(job: Job) -> Self {
        let date = Some(job.record.date.clone()).filter(|date| !date.is_empty());
        Self { job, date }
    }

    /// All files of the kit.
    ///
    /// # Errors
    /// A layout that cannot be covered with sheets, or a stencil that cannot be cut.
    pub fn files(&self, wanted: &Wanted) -> Result<KitFiles, KitError> {
        let (made, rest) = rayon::join(|| self.full_scale(wanted), || self.office_files());
        let mut made = made?;
        let files = &mut made.files;
        self.add_cut_files(files, &made.stencil)?;
        files.append(rest?);
        let art = FloorArt::of(&self.job.plan).with_cuts(&made.stencil);
        files.add("floor.svg", svg(&sheets::floor(&self.context(), &art)));
        Ok(made)
    }

    /// What does not depend on how sheets and cuts lie.
    fn office_files(&self) -> Result<OutputSet, KitError> {
        let (mut files, steps) = (OutputSet::new(), self.steps());
        self.add_overview(&mut files)?;
        self.add_steps(&mut files, &steps)?;
        let paper = self.job.format.paper.office_size();
        let checks = sheets::check_plans(&self.job.check_plans(), &paper);
        files.add("checks.svg", svg(&checks));
        let (plan, inches) = (&self.job.plan, self.job.inches);
        files.add("plan.json", plan_json(plan, &steps, &self.job.made_from));
        files.add("readings.csv", readings_csv(plan, inches));
        files.add("levels.csv", levels_csv(plan, inches));
        for (name, text) in &self.job.files {
            files.add(name.clone(), text.clone());
        }
        Ok(files)
    }

    /// The full-scale sheets alone.
    ///
    /// # Errors
    /// As [`Kit::files`].
    pub fn full_scale(&self, wanted: &Wanted) -> Result<KitFiles, KitError> {
        let (mut files, art) = (OutputSet::new(), FloorArt::of(&self.job.plan));
        // First, because it is refused before anything else is worked out when the floor is too large.
        let single_page = match self.job.single_page {
            true => Some(self.add_single_page(&mut files, &art)?),
            false => None,
        };
        let stencil = self.stencil()?;
        let sheets = self.lay_sheets(wanted.most_sheets)?;
        self.add_stencils(&mut files, &sheets, &art.with_cuts(&stencil), &stencil)?;
        Ok(KitFiles {
            files,
            sheets,
            stencil,
            single_page,
        })
    }

    /// What the sheets know of the job.
    #[must_use]
    pub fn context(&self) -> Context<'_> {
        Context {
            plan: &self.job.plan,
            record: &self.job.record,
            inches: self.job.inches,
            printer: &self.job.printer,
        }
    }

    pub(super) fn info(&self, title: &str) -> DocumentInfo {
        let plan = &self.job.plan;
        DocumentInfo {
            title: format!("{title}: {}", plan.vehicle.name),
            subject: plan.template.name.clone(),
            date: self.date.clone(),
            language: Language::of(self.job.inches),
            spot: None,
        }
    }

    /// The stencil to cut.
    ///
    /// # Errors
    /// Options that do not suit each other or the layout.
    pub fn stencil(&self) -> Result<CutPlan, KitError> {
        Ok(stencil::cut(&self.job.plan, &self.job.cut)?)
    }

    /// Adds `cut.svg` and `cut.pdf`.
    ///
    /// # Errors
    /// A PDF that cannot be made.
    pub fn add_cut_files(&self, files: &mut OutputSet, stencil: &CutPlan) -> Result<(), KitError> {
        let (sheets, spot) = (cut_sheets(stencil), stencil.options.spot.name());
        let info = DocumentInfo {
            spot: Some(spot),
            ..self.info("Stencil to cut")
        };
        files.add("cut.svg", cut_svg(&info.title, &sheets, spot));
        files.add("cut.pdf", pdf(&sheets.pages, &info)?);
        Ok(())
    }

    /// How to set the layout out by hand.
    #[must_use]
    pub fn steps(&self) -> SettingOutSteps {
        SettingOutSteps::of(&self.job.plan, &self.job.precision, self.job.inches)
    }

    fn add_steps(&self, files: &mut OutputSet, steps: &SettingOutSteps) -> Result<(), KitError> {
        let pages = sheets::steps(&self.context(), steps, &self.job.format.paper.office_size());
        files.add("steps.pdf", pdf(&pages, &self.info("Setting-out steps"))?);
        Ok(())
    }

    /// Adds the overview as PDF, SVG and PNG; of a mat one page for each vehicle.
    ///
    /// # Errors
    /// A picture or a PDF that cannot be made.
    pub fn add_overview(&self, files: &mut OutputSet) -> Result<(), KitError> {
        let paper = self.job.format.paper.office_size();
        let plans = self.job.layouts();
        let pages: Vec<Drawing> = plans
            .iter()
            .map(|plan| {
                let context = Context {
                    plan,
                    ..self.context()
                };
                let mut page = sheets::overview(&context, &paper);
                if let Some(letter) = plan.own_letter() {
                    page.title = format!("Overview of vehicle {letter}, {}", plan.vehicle.name);
                }
                page
            })
            .collect();
        for (plan, page) in plans.iter().zip(&pages) {
            let name = plan.own_letter().map_or_else(
                || "overview".to_owned(),
                |letter| format!("overview-{letter}"),
            );
            let picture = svg(page);
            files.add(format!("{name}.png"), png(&picture, PICTURE_DPI)?);
            files.add(format!("{name}.svg"), picture);
        }
        files.add(
            "overview.pdf",
            pdf(&pages, &self.info("Floor layout overview"))?,
        );
        Ok(())
    }

    /// Adds the record of a judged layout.
    ///
    /// # Errors
    /// A PDF that cannot be made.
    pub fn add_record(
        &self,
        files: &mut OutputSet,
        input: &RecordInput<'_>,
    ) -> Result<(), KitError> {
        let page = sheets::record(&self.context(), input, &self.job.format.paper.office_size());
        files.add("record.svg", svg(&page));
        files.add(
            "record.pdf",
            pdf(&[page], &self.info("Record of a floor layout"))?,
        );
        Ok(())
    }
}
