//! `baystencil kit`, `stencils`, `cut` and `overview`: which files each leaves.

use super::{
    args::{CutFilesArgs, JobArgs, Numbers, OverviewArgs, StencilsArgs, WriteArgs},
    cut::{made_remarks, remarks},
    failure::Failure,
    load::{Cut, load, with_lays},
    paperwork::{dated, finish, say},
    progress::working,
};
use crate::{
    kit::{AGAIN_FILE, Kit, SHEETS_WITHOUT_ASKING, Wanted},
    output::OutputSet,
    paper::LONGEST_PAGE_MM,
    stencil::{CutBy, Stencil},
    units::mm_exact,
};

/// Writes the whole kit.
pub(super) fn kit(args: &WriteArgs) -> Result<(), Failure> {
    let kit = prepare(args)?;
    let made = working("laying and drawing sheets", || kit.files(&wanted(args)));
    let mut made = made.map_err(Failure::of(&kit))?;
    remark_on_single_page(&kit, made.single_page);
    let stencil = made_remarks(&made.stencil);
    stencil.iter().for_each(|remark| say(&kit, remark));
    finish(
        &kit,
        &mut made.files,
        (&args.to, |_| true),
        Some((&made.sheets, &made.takes)),
    )
}

/// Writes the full-scale sheets alone.
pub(super) fn stencils(args: &StencilsArgs) -> Result<(), Failure> {
    let StencilsArgs { write: args, only } = args;
    let kit = prepare(args)?;
    if let Some(Numbers(numbers)) = only {
        let files = working("drawing sheets", || {
            kit.sheets_again(&wanted(args), numbers)
        });
        let mut files = files?;
        return finish(&kit, &mut files, (&args.to, |_| false), None);
    }
    let made = working("laying and drawing sheets", || {
        kit.full_scale(&wanted(args))
    });
    let mut made = made.map_err(Failure::of(&kit))?;
    remark_on_single_page(&kit, made.single_page);
    if matches!(made.stencil, Stencil::Hand(_)) {
        let stencil = made_remarks(&made.stencil);
        stencil.iter().for_each(|remark| say(&kit, remark));
    }
    finish(
        &kit,
        &mut made.files,
        (&args.to, is_of_sheets),
        Some((&made.sheets, &made.takes)),
    )
}

/// True for files that come with full-scale sheets.
fn is_of_sheets(name: &str) -> bool {
    const ALWAYS: [&str; 4] = [
        "stencils.pdf",
        "sheets.json",
        "assembly.pdf",
        "floor-single.pdf",
    ];
    ALWAYS.contains(&name)
        || name == AGAIN_FILE
        || name.starts_with("assembly-map.")
        || (name.starts_with("strip-") && name.ends_with(".svg"))
}

/// What the flags ask for.
fn wanted(args: &WriteArgs) -> Wanted {
    Wanted {
        most_sheets: (!args.yes).then_some(SHEETS_WITHOUT_ASKING),
    }
}

/// The kit of the job that the arguments name.
fn prepare(args: &WriteArgs) -> Result<Kit, Failure> {
    let cut = Cut {
        by: args.cut_by,
        flags: &args.cut,
        single_page: args.single_page,
    };
    let kit = dated(load(&args.job, Some(&cut), false)?)?;
    kit.refuse_large().map_err(Failure::of(&kit))?;
    let Kit { job, date } = kit;
    Ok(Kit {
        job: with_lays(job)?,
        date,
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
    let job = JobArgs {
        job: args.job.clone(),
        layout: args.layout.clone(),
        ..JobArgs::default()
    };
    let cut = Cut {
        by: Some(CutBy::Machine),
        flags: &args.cut,
        single_page: false,
    };
    let kit = dated(load(&job, Some(&cut), false)?)?;
    let stencil = working("laying out the stencil", || kit.stencil());
    let stencil = stencil.map_err(Failure::of(&kit))?;
    let mut files = OutputSet::new();
    kit.add_cut_files(&mut files, &stencil)?;
    remarks(&stencil)
        .iter()
        .for_each(|remark| say(&kit, remark));
    let is_of_cuts = |name: &str| name.starts_with("cut.") || name.starts_with("cut-");
    finish(&kit, &mut files, (&args.to, is_of_cuts), None)
}

/// Writes the overview alone.
pub(super) fn overview(args: &OverviewArgs) -> Result<(), Failure> {
    let kit = dated(load(&args.job.job(), None, true)?)?;
    let mut files = OutputSet::new();
    working("drawing the overview", || kit.add_overview(&mut files))?;
    let is_of_overview = |name: &str| name.starts_with("overview");
    finish(&kit, &mut files, (&args.to, is_of_overview), None)
}
