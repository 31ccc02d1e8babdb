//! A kit put together from a resolved job.

use super::{Form, KitError};
use crate::{
    cover::SheetPlan,
    drawing::{Drawing, Layer},
    effort::Takes,
    job::Job,
    output::{
        DocumentInfo, Language, OutputSet, ToolLayer, cut_dxf, cut_svg, drawing_dxf, levels_csv,
        pdf, plan_json, png, readings_csv, svg,
    },
    sheets::{self, Context, CutSheet, FloorArt, cut_sheets},
    stencil::{self, Contour, CutBy, CutError, CutPlan, Stencil},
    survey::SettingOutSteps,
    words::Spelling,
};

/// Resolution of pictures.
pub(super) const PICTURE_DPI: f64 = 200.0;

/// More sheets than this want a second thought of whoever prints them.
pub const SHEETS_WITHOUT_ASKING: usize = 400;

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
    pub stencil: Stencil,
    /// What all of it takes.
    pub takes: Takes,
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
        if let Stencil::Machine(stencil) = &made.stencil {
            self.add_cut_files(files, stencil)?;
        }
        files.append(rest?);
        let steps = self.steps();
        self.add_steps(files, &steps, &made.takes)?;
        files.add(
            "plan.json",
            plan_json(&self.job.plan, &steps, &made.takes, &self.job.made_from),
        );
        let art = FloorArt::of(&self.job.plan);
        let floor = self.spelled(sheets::floor(&self.context(), &art));
        files.add("floor.svg", svg(&floor));
        files.add("floor.dxf", drawing_dxf(&floor));
        Ok(made)
    }

    /// What does not depend on how sheets and cuts lie.
    fn office_files(&self) -> Result<OutputSet, KitError> {
        let mut files = OutputSet::new();
        self.add_overview(&mut files)?;
        let paper = self.job.format.paper.office_size();
        let checks = sheets::check_plans(&self.job.check_plans(), &paper);
        files.add("checks.svg", svg(&self.spelled(checks)));
        for form in Form::ALL {
            files.add(form.file(), self.form(form));
        }
        for (name, text) in &self.job.files {
            files.add(name.clone(), text.clone());
        }
        Ok(files)
    }

    /// A blank form. That of taped readings has a row for each reading of the job's lays, none without lays.
    #[must_use]
    pub fn form(&self, form: Form) -> String {
        let (plan, inches) = (&self.job.plan, self.job.inches);
        match form {
            Form::Readings => readings_csv(plan, inches),
            Form::Levels => Spelling::of(&self.job).text(&levels_csv(plan, inches)),
        }
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
        let sheets = self.lay_sheets(wanted.most_sheets)?;
        let stencil = self.stencil_on(&sheets)?;
        let takes = self.takes(&sheets, Some(&stencil));
        let art = art.cut_as(&stencil);
        self.add_stencils(&mut files, &sheets, &art, &takes)?;
        Ok(KitFiles {
            files,
            sheets,
            stencil,
            takes,
            single_page,
        })
    }

    /// What the layout takes when it is laid by sheets, and cut where a stencil is given.
    #[must_use]
    pub fn takes(&self, sheets: &SheetPlan, stencil: Option<&Stencil>) -> Takes {
        let (job, steps) = (&self.job, self.steps());
        Takes::by_hand(&job.plan, &job.precision, &steps).with_sheets(&steps, sheets, stencil)
    }

    /// The words for the job: the same for the same vehicles, template, order and vehicle in the workshop.
    #[must_use]
    pub fn job_in_words(&self) -> String {
        let (plan, record) = (&self.job.plan, &self.job.record);
        let mut words = format!("{} with {}", plan.vehicle.name, plan.template.name);
        for (what, field) in [("order", &record.order), ("vehicle", &record.vehicle_id)] {
            if !field.is_empty() {
                words.push_str(&format!(", {what} {field}"));
            }
        }
        words
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

    /// A drawing in the spelling of the job.
    pub(super) fn spelled(&self, drawing: Drawing) -> Drawing {
        let spelling = Spelling::of(&self.job);
        drawing.reworded(|text| spelling.text(text))
    }

    pub(super) fn info(&self, title: &str) -> DocumentInfo {
        let (plan, spelling) = (&self.job.plan, Spelling::of(&self.job));
        DocumentInfo {
            title: spelling.text(&format!("{title}: {}", plan.vehicle.name)),
            subject: spelling.text(&plan.template.name),
            date: self.date.clone(),
            language: Language::of(self.job.inches),
            inks: self.job.cut.inks.clone(),
        }
    }

    /// The stencil to cut, by whom the job says; by hand it is cut from these sheets.
    ///
    /// # Errors
    /// Options that do not suit each other, the layout or the sheets.
    pub fn stencil_on(&self, sheets: &SheetPlan) -> Result<Stencil, KitError> {
        let job = &self.job;
        Ok(match job.cut_by {
            CutBy::Machine => match self.stencil() {
                Ok(cut) => Stencil::Machine(cut),
                // The sheets serve all the same.
                Err(KitError::Cut(error @ CutError::Partial(_))) => Stencil::Refused(error),
                Err(error) => return Err(error),
            },
            CutBy::Hand => Stencil::Hand(stencil::cut_by_hand(&job.plan, &job.cut, sheets)?),
        })
    }

    /// The stencil to cut by a machine.
    ///
    /// # Errors
    /// Options that do not suit each other or the layout.
    pub fn stencil(&self) -> Result<CutPlan, KitError> {
        Ok(stencil::cut(&self.job.plan, &self.job.cut)?)
    }

    /// Adds a file for each load, all of them as one PDF, and the map.
    ///
    /// # Errors
    /// A PDF that cannot be made.
    pub fn add_cut_files(&self, files: &mut OutputSet, stencil: &CutPlan) -> Result<(), KitError> {
        let (sheets, info) = (cut_sheets(stencil), self.info("Stencil to cut"));
        for (index, sheet) in sheets.iter().enumerate() {
            let file = format!("cut-{:02}.svg", index + 1);
            files.add(file, cut_svg(&info.title, sheet, &info.inks));
            let file = format!("cut-{:02}.dxf", index + 1);
            files.add(file, cut_dxf(&tool_paths(sheet), &[], &info.inks));
        }
        let pages: Vec<Drawing> = sheets.into_iter().map(|sheet| sheet.page).collect();
        files.add("cut.pdf", pdf(&pages, &info)?);
        let paper = self.job.format.paper.office_size();
        let map = sheets::cut_map(&self.context(), stencil, &paper);
        let map: Vec<Drawing> = map.into_iter().map(|page| self.spelled(page)).collect();
        files.add("cut-map.pdf", pdf(&map, &self.info("Stencil map"))?);
        Ok(())
    }

    /// How to set the layout out by hand.
    #[must_use]
    pub fn steps(&self) -> SettingOutSteps {
        SettingOutSteps::of(&self.job.plan, &self.job.precision, self.job.inches)
    }

    fn add_steps(
        &self,
        files: &mut OutputSet,
        steps: &SettingOutSteps,
        takes: &Takes,
    ) -> Result<(), KitError> {
        let paper = self.job.format.paper.office_size();
        let pages = sheets::steps(&self.context(), steps, takes, &paper);
        let pages: Vec<Drawing> = pages.into_iter().map(|page| self.spelled(page)).collect();
        files.add("steps.pdf", pdf(&pages, &self.info("Setting-out steps"))?);
        Ok(())
    }

    /// The pages of the overview as SVG, front pages and backs in order; of a mat those of each vehicle after the other.
    #[must_use]
    pub fn overview_svg(&self) -> Vec<String> {
        self.overview_pages().concat().iter().map(svg).collect()
    }

    /// The pages of the overview for each layout of the job.
    fn overview_pages(&self) -> Vec<Vec<Drawing>> {
        let paper = self.job.format.paper.office_size();
        let plans = self.job.layouts().iter();
        let contexts: Vec<Context<'_>> = plans
            .map(|plan| Context {
                plan,
                ..self.context()
            })
            .collect();
        sheets::overviews(&contexts, &paper)
            .into_iter()
            .map(|pages| pages.into_iter().map(|page| self.spelled(page)).collect())
            .collect()
    }

    /// Adds the overview as PDF, SVG and PNG; of a mat one page for each vehicle. What goes on to a page's back has its own pictures:
    /// `overview-2.svg`.
    ///
    /// # Errors
    /// A picture or a PDF that cannot be made.
    pub fn add_overview(&self, files: &mut OutputSet) -> Result<(), KitError> {
        let (plans, pages) = (self.job.layouts(), self.overview_pages());
        for (plan, pages) in plans.iter().zip(&pages) {
            let letter = plan.own_letter().map(|letter| format!("-{letter}"));
            for (index, page) in pages.iter().enumerate() {
                let back = (index > 0).then(|| format!("-{}", index + 1));
                let name = [
                    "overview",
                    &letter.clone().unwrap_or_default(),
                    &back.unwrap_or_default(),
                ]
                .concat();
                let picture = svg(page);
                files.add(format!("{name}.png"), png(&picture, PICTURE_DPI)?);
                files.add(format!("{name}.svg"), picture);
            }
        }
        files.add(
            "overview.pdf",
            pdf(&pages.concat(), &self.info("Floor layout overview"))?,
        );
        Ok(())
    }
}

/// The paths of a load with what a tool does along each, in the order of work.
fn tool_paths(sheet: &CutSheet) -> Vec<(ToolLayer, Contour)> {
    let scored = if sheet.score_layer == Layer::Pen {
        ToolLayer::Pen
    } else {
        ToolLayer::Score
    };
    [(scored, &sheet.scores), (ToolLayer::Cut, &sheet.cuts)]
        .into_iter()
        .flat_map(|(layer, pieces)| {
            let paths = pieces.iter().flat_map(|piece| &piece.paths);
            paths.map(move |path| (layer, path.clone()))
        })
        .collect()
}
