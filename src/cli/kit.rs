//! `baystencil kit`, `stencils`, `cut` and `overview`: which files each leaves.

use super::{
    args::{CutFilesArgs, OverviewArgs, WriteArgs},
    cut::{cut_options, remarks},
    failure::Failure,
    paperwork::{SHEETS_WITHOUT_ASKING, finish, prepare, say},
};
use crate::{
    kit::{Kit, Wanted},
    output::OutputSet,
    paper::LONGEST_PAGE_MM,
    units::mm_exact,
};

/// Writes the whole kit.
pub(super) fn kit(args: &WriteArgs) -> Result<(), Failure> {
    let kit = prepare(&args.job)?;
    let made = kit.files(&wanted(args)?).map_err(Failure::of(&kit))?;
    remark_on_single_page(&kit, made.single_page);
    remarks(&made.stencil)
        .iter()
        .for_each(|remark| say(&kit, remark));
    finish(
        &kit,
        &made.files,
        &args.to,
        Some((&made.sheets, &made.takes)),
    )
}

/// Writes the full-scale sheets alone.
pub(super) fn stencils(args: &WriteArgs) -> Result<(), Failure> {
    let kit = prepare(&args.job)?;
    let made = kit.full_scale(&wanted(args)?).map_err(Failure::of(&kit))?;
    remark_on_single_page(&kit, made.single_page);
    finish(
        &kit,
        &made.files,
        &args.to,
        Some((&made.sheets, &made.takes)),
    )
}

/// What the flags ask for.
fn wanted(args: &WriteArgs) -> Result<Wanted, Failure> {
    let most_sheets = (!args.yes).then_some(SHEETS_WITHOUT_ASKING);
    Ok(Wanted {
        cut: cut_options(&args.cut)?,
        single_page: args.single_page,
        most_sheets,
    })
}

fn remark_on_single_page(kit: &Kit, page: Option<(f64, f64)>) {
    if let Some((width, height)) =
        page.filter(|(width, height)| width.max(*height) > LONGEST_PAGE_MM)
    {
        say(
            kit,
            &format!(
                "floor-single.pdf is {} × {} mm, larger than a plain PDF page: a reader that ignores UserUnit prints it at a tenth of its size; strips (--roll) and floor.svg are safe",
                mm_exact(width, 0),
                mm_exact(height, 0)
            ),
        );
    }
}

/// Writes the cut files alone.
pub(super) fn cut(args: &CutFilesArgs) -> Result<(), Failure> {
    let kit = prepare(&args.job)?;
    let options = cut_options(&args.cut)?;
    let stencil = kit.stencil(&options).map_err(Failure::of(&kit))?;
    let mut files = OutputSet::new();
    kit.add_cut_files(&mut files, &stencil)?;
    remarks(&stencil)
        .iter()
        .for_each(|remark| say(&kit, remark));
    finish(&kit, &files, &args.to, None)
}

/// Writes the overview alone.
pub(super) fn overview(args: &OverviewArgs) -> Result<(), Failure> {
    let kit = prepare(&args.job)?;
    let mut files = OutputSet::new();
    kit.add_overview(&mut files)?;
    finish(&kit, &files, &args.to, None)
}
