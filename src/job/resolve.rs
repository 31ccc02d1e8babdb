//! From a job as it stands in its file to one with everything opened and resolved.

use std::path::{Path, PathBuf};

use super::{
    JobSpec, Record,
    files::read_file,
    opened::Opened,
    written::{MadeFrom, TextFile, written},
};
use crate::{
    cover::{Mode, SheetFormat},
    paper::{Correction, LONGEST_PAGE_MM, Margins, Printer, Roll},
    plan::{FloorPlan, JoinedPlans, join},
    source::{Faults, Place},
    stencil::{CutBy, CutOptions},
    survey::{CheckChoice, Decision, LayPlanner, LayingPrior, LongestPull, Method, Precision},
    units::MM_PER_INCH,
};

/// What printed limits are rounded up to, mm: half a mm, and 1/16 in where the job is in inches. Nobody reads less.
const LIMIT_STEP_MM: f64 = 0.5;
const LIMIT_STEP_INCH_MM: f64 = MM_PER_INCH / 16.0;

/// A job with everything that it names opened and resolved.
#[derive(Clone, Debug)]
pub struct Job {
    /// Everything that lies on the floor.
    pub plan: FloorPlan,
    /// For a mat, the layout of each vehicle alone; else empty.
    pub mat: Vec<FloorPlan>,
    /// Each vehicle's layout by itself, without lays.
    alone: Vec<FloorPlan>,
    /// Where the job names its vehicles.
    vehicles_at: Place,
    /// How much the lays are to prove.
    checks: CheckChoice,
    /// How the marks come to the floor.
    laid: Laid,
    /// Longest distance that is taped, mm.
    longest_pull: LongestPull,
    /// The sheets' paper, and how much of it a printer prints.
    pub format: SheetFormat,
    /// A roll's strips, where the job names a roll: its paper at the greatest length of a page.
    pub roll: Option<SheetFormat>,
    /// What the sheets show.
    pub mode: Mode,
    /// A-priori precision of tools, hands and paper, that of a measured printer included.
    pub precision: Precision,
    /// How a verdict is come to.
    pub decision: Decision,
    /// What sheets call the printer.
    pub printer: String,
    /// Show inches beside mm.
    pub inches: bool,
    /// Fields for the file.
    pub record: Record,
    /// Paths of vehicles, template and printer profile, where they are files.
    pub inputs: Vec<PathBuf>,
    /// The job as files that it can be made again from: `job.toml`, and copies of the user's own files that it names.
    pub files: Vec<TextFile>,
    /// What tells later whether something was made from this job.
    pub made_from: MadeFrom,
    /// Who cuts the stencil.
    pub cut_by: CutBy,
    /// How the stencil is cut.
    pub cut: CutOptions,
    /// The whole floor on one page as well.
    pub single_page: bool,
}

/// Folders that the paths in a job begin in.
#[derive(Clone, Debug, Default)]
pub struct Folders {
    /// Of vehicles.
    pub vehicles: PathBuf,
    /// Of the template.
    pub template: PathBuf,
    /// Of the printer profile.
    pub printer: PathBuf,
}

impl Folders {
    /// All paths begin where the job's own file lies.
    #[must_use]
    pub fn beside(job: &Path) -> Self {
        let folder = job.parent().unwrap_or(Path::new("")).to_owned();
        Self {
            vehicles: folder.clone(),
            template: folder.clone(),
            printer: folder,
        }
    }
}

impl Job {
    /// Reads a job file, opens what it names and chooses the lays that its layout is checked by.
    ///
    /// # Errors
    /// All faults of the job, and of the vehicles, template, values and printer that it names.
    pub fn read(path: &Path) -> Result<Self, Faults> {
        let source = read_file(path, "job", &Place::whole(&path.display().to_string()))?;
        let mut job = Self::resolve(JobSpec::read_on(&source)?, &Folders::beside(path), true)?;
        job.inputs.push(path.to_owned());
        Ok(job)
    }

    /// Opens what a job names and resolves it; with `lays`, also chooses the lays that its layout is checked by.
    ///
    /// # Errors
    /// As [`Job::read`].
    pub fn resolve(mut spec: JobSpec, folders: &Folders, lays: bool) -> Result<Self, Faults> {
        let Opened {
            vehicles,
            template,
            sources,
            printer,
            inputs,
        } = Opened::of(&mut spec, folders)?;
        let (files, made_from) = written(&spec, &sources.0, &sources.1, &printer);
        spec.precision = printer.precision(spec.precision);
        let format = SheetFormat {
            paper: spec.paper.clone(),
            margins: printer.margins,
            overlap: spec.overlap,
            correction: printer.correction,
        };
        let roll = spec.roll.as_ref().map(|roll| SheetFormat {
            paper: roll.value.page(LONGEST_PAGE_MM),
            // The generic profile knows sheet printers only.
            margins: if printer == Printer::default() {
                Roll::MARGINS
            } else {
                printer.margins
            },
            ..format.clone()
        });
        let laid = Laid::of(&spec, roll.as_ref().unwrap_or(&format));
        let one =
            |vehicle| FloorPlan::resolve(vehicle, &template, &spec.settings, spec.bay.as_ref());
        // What is wrong with a setting is wrong for every vehicle, and is told once.
        let alone = vehicles.iter().map(one).collect::<Result<Vec<_>, _>>()?;
        let (plan, mat) = layouts(alone.clone(), &spec.vehicles.at)?;
        let job = Self {
            plan,
            mat,
            alone,
            vehicles_at: spec.vehicles.at,
            checks: spec.checks,
            laid,
            longest_pull: spec.longest_pull,
            format,
            roll,
            mode: spec.mode,
            precision: spec.precision,
            decision: spec.decision,
            printer: printer.label(),
            inches: spec.inches,
            record: spec.record,
            inputs,
            files,
            made_from,
            cut_by: spec.cut_by,
            cut: spec.cut,
            single_page: spec.single_page,
        };
        if lays { job.with_lays() } else { Ok(job) }
    }

    /// The same job with the lays chosen that its layout is checked by.
    ///
    /// # Errors
    /// None that the job did not have before.
    pub fn with_lays(mut self) -> Result<Self, Faults> {
        let with_lays = |plan: &FloorPlan| {
            self.laid
                .planner(plan, &self.precision, self.longest_pull, self.inches)
                .apply(self.checks)
        };
        let plans = self.alone.iter().map(with_lays).collect();
        (self.plan, self.mat) = layouts(plans, &self.vehicles_at)?;
        Ok(self)
    }

    /// How the marks of the whole layout were laid.
    #[must_use]
    pub fn prior(&self) -> LayingPrior {
        LayingPrior::of(
            &self.plan,
            &self.precision,
            self.laid.method,
            self.laid.sheet_length,
        )
    }

    /// The full and the quick check plan of each vehicle's layout by itself, whichever of them the job takes.
    #[must_use]
    pub fn check_plans(&self) -> Vec<[FloorPlan; 2]> {
        let both = |plan: &FloorPlan| {
            let planner = self
                .laid
                .planner(plan, &self.precision, self.longest_pull, self.inches);
            [CheckChoice::Full, CheckChoice::Quick].map(|choice| planner.apply(choice))
        };
        self.alone.iter().map(both).collect()
    }

    /// The layouts of its vehicles: the mat's, or the only one.
    #[must_use]
    pub fn layouts(&self) -> &[FloorPlan] {
        if self.mat.is_empty() {
            std::slice::from_ref(&self.plan)
        } else {
            &self.mat
        }
    }

    /// Longer side in mm of what a sheet shows: of the job's paper, which beside a roll is that of the pages to
    /// carry. The profile is then the roll printer's, and nothing is known of the one that prints sheets.
    #[must_use]
    pub fn sheet_length(&self) -> f64 {
        let sheet = match self.roll {
            Some(_) => SheetFormat {
                margins: Margins::default(),
                correction: Correction::default(),
                ..self.format.clone()
            },
            None => self.format.clone(),
        };
        let shown = sheet.printable().size();
        shown.width.max(shown.height)
    }
}

/// How marks come to the floor.
#[derive(Clone, Copy, Debug)]
struct Laid {
    method: Method,
    /// Longer side of what a sheet shows, mm.
    sheet_length: f64,
}

impl Laid {
    /// The job's own way; else what its sheets are made for.
    fn of(spec: &JobSpec, format: &SheetFormat) -> Self {
        let by_sheets = match spec.mode {
            Mode::Keys => Method::KeyStencils,
            _ if spec.roll.is_some() => Method::RollStrips,
            _ => Method::TapedSheets,
        };
        let window = format.printable().size();
        Self {
            method: spec.laid_by.unwrap_or(by_sheets),
            sheet_length: window.width.max(window.height),
        }
    }

    /// What chooses the lays of a layout that is laid so.
    const fn planner<'a>(
        self,
        plan: &'a FloorPlan,
        precision: &'a Precision,
        longest: LongestPull,
        inches: bool,
    ) -> LayPlanner<'a> {
        LayPlanner {
            plan,
            precision,
            laid: (self.method, self.sheet_length),
            longest,
            step: if inches {
                LIMIT_STEP_INCH_MM
            } else {
                LIMIT_STEP_MM
            },
        }
    }
}

/// The layout of one vehicle, or the mat of several with each one's own layout.
fn layouts(
    mut plans: Vec<FloorPlan>,
    vehicles_at: &Place,
) -> Result<(FloorPlan, Vec<FloorPlan>), Faults> {
    if plans.len() == 1 {
        return Ok((plans.remove(0), Vec::new()));
    }
    let JoinedPlans { whole, each } = join(plans, vehicles_at)?;
    Ok((whole, each))
}
