//! `baystencil kit`, `stencils`, `cut` and `overview`: which files each leaves.

use super::{
    args::{CutFilesArgs, OverviewArgs, WriteArgs},
    cut::{add_cut_files, remarks},
    data::message,
    failure::Failure,
    paperwork::Paperwork,
};
use crate::{
    cover::SheetPlan,
    output::{OutputSet, levels_csv, plan_json, readings_csv, svg},
    sheets::{self, FloorArt},
    stencil::CutPlan,
};

/// Writes the whole kit.
pub(super) fn kit(args: &WriteArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let mut files = OutputSet::new();
    let FullScale { stencil, sheets, art } = FullScale::add(&paper, args, &mut files)?;
    add_cut_files(&mut files, &stencil, &paper.cut_info(&stencil))?;
    paper.add_overview(&mut files)?;
    let steps = paper.steps();
    paper.add_steps(&mut files, &steps)?;
    files.add("floor.svg", svg(&sheets::floor(&paper.context(), &art)));
    files.add("plan.json", plan_json(&paper.job.plan, &steps));
    files.add("readings.csv", readings_csv(&paper.job.plan));
    files.add("levels.csv", levels_csv(&paper.job.plan));
    remarks(&stencil).iter().for_each(|remark| message(remark));
    paper.finish(&files, &args.to, Some(&sheets))
}

/// Writes the full-scale sheets alone.
pub(super) fn stencils(args: &WriteArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let mut files = OutputSet::new();
    let FullScale { sheets, .. } = FullScale::add(&paper, args, &mut files)?;
    paper.finish(&files, &args.to, Some(&sheets))
}

/// What the full-scale sheets are made from.
struct FullScale {
    stencil: CutPlan,
    sheets: SheetPlan,
    art: FloorArt,
}

impl FullScale {
    /// Lays and draws the sheets and adds their files.
    fn add(paper: &Paperwork, args: &WriteArgs, files: &mut OutputSet) -> Result<Self, Failure> {
        let art = FloorArt::of(&paper.job.plan);
        // First, because it is refused before anything else is worked out when the floor is too large.
        paper.add_single_page(files, args.single_page, &art)?;
        let stencil = paper.cut(&args.cut)?;
        let sheets = paper.lay_sheets(args.yes)?;
        let art = art.with_cuts(&stencil);
        paper.add_stencils(files, &sheets, &art, &stencil)?;
        Ok(Self { stencil, sheets, art })
    }
}

/// Writes the cut files alone.
pub(super) fn cut(args: &CutFilesArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let stencil = paper.cut(&args.cut)?;
    let mut files = OutputSet::new();
    add_cut_files(&mut files, &stencil, &paper.cut_info(&stencil))?;
    remarks(&stencil).iter().for_each(|remark| message(remark));
    paper.finish(&files, &args.to, None)
}

/// Writes the overview alone.
pub(super) fn overview(args: &OverviewArgs) -> Result<(), Failure> {
    let paper = Paperwork::prepare(&args.job)?;
    let mut files = OutputSet::new();
    paper.add_overview(&mut files)?;
    paper.finish(&files, &args.to, None)
}
