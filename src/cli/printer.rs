//! `baystencil printer`: the scale test, and what was measured on it.

use std::path::{Path, PathBuf};

use serde_json::json;

use super::{
    args::Units,
    data::{data, message},
    failure::Failure,
    paperwork::{document_date, put_alone},
    printer_args::{ListArgs, PrinterArgs, PrinterCommand, SetArgs, TestArgs},
};
use crate::{
    job::{is_path, profiles},
    kit::{Measured, MeasuredFields, MeasuredTexts, PrinterTest, drops_correction},
    output::{OutputSet, pretty},
    paper::{Margins, Paper, Printer},
    source::{Faults, Place, Placed, printed},
    units::mm_exact,
};

pub(super) fn printer(args: &PrinterArgs) -> Result<(), Failure> {
    match &args.command {
        PrinterCommand::Test(args) => test(args),
        PrinterCommand::Set(args) => set(args),
        PrinterCommand::List(args) => list(args),
    }
}

fn fault(place: &str, message: impl std::fmt::Display) -> Faults {
    Place::whole(place).fault(message).into()
}

fn test(args: &TestArgs) -> Result<(), Failure> {
    let inches = matches!(args.units, Units::Inch);
    let paper = args.paper.as_deref().map(Paper::parse);
    let paper = paper
        .unwrap_or_else(|| Ok(Paper::usual(inches)))
        .map_err(|why| fault("--paper", why))?;
    let profile = match &args.printer {
        None => None,
        Some(name) => {
            let named = Placed {
                value: name.clone(),
                place: Place::whole("--printer"),
            };
            let (printer, path) = profiles::open(&named, Path::new(""))?;
            let file = is_path(name).then(|| format!(" --file \"{}\"", path.display()));
            if let Some(Err(bad)) = file.as_deref().map(printed) {
                return Err(fault(
                    "--printer",
                    format!("the path has {bad}: the test's page shows it"),
                )
                .into());
            }
            let target = format!("\"{}\"{} --on-top", printer.name, file.unwrap_or_default());
            Some((printer, target))
        }
    };
    let profile = profile
        .as_ref()
        .map(|(printer, target)| (printer, target.as_str()));
    let test = PrinterTest::of(&paper, profile, inches).map_err(|why| fault("--paper", why))?;
    let files = test.files(document_date("")?)?;
    let written = put_alone(&files, &args.out, args.replace)?;
    message(&format!(
        "{}: print it at 100 %, measure, and follow the steps on it",
        written[0].display()
    ));
    Ok(())
}

fn set(args: &SetArgs) -> Result<(), Failure> {
    let path = target(args)?;
    let measured = Measured::read(&texts(args), &fields(&args.name), args.force)?;
    let former = path
        .is_file()
        .then(|| read_former(args, &path))
        .transpose()?
        .flatten();
    if args.on_top && former.is_none() {
        let why = format!(
            "there is no profile {} to add to; leave --on-top out",
            path.display()
        );
        return Err(fault("--on-top", why).into());
    }
    let through = former.as_ref().filter(|_| args.on_top);
    let printer = measured.profile(&args.name, through, args.force, &fields(&args.name))?;
    let unasked = former
        .as_ref()
        .filter(|former| drops_correction(former, &printer));
    if let (Some(former), false) = (unasked, args.on_top || args.replace) {
        return Err(fault(
            &args.name,
            format!(
                "{} already holds a correction ({}); was the page that you measured printed through it? Then add --on-top; was it printed without? Then add --replace",
                path.display(),
                former.correction.text()
            ),
        )
        .into());
    }
    let (Some(folder), Some(file)) = (
        path.parent(),
        path.file_name().and_then(|name| name.to_str()),
    ) else {
        return Err(fault(
            "--file",
            "the path has no file name; expected one ending in .toml",
        )
        .into());
    };
    let mut files = OutputSet::new();
    files.add(file, printer.written());
    files.write(if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    })?;
    let Margins {
        left,
        right,
        top,
        bottom,
    } = printer.margins;
    let [left, right, top, bottom] = [left, right, top, bottom].map(|mm| mm_exact(mm, 2));
    message(&format!(
        "{}: {}; edges left blank: left {left}, right {right}, top {top}, bottom {bottom} mm",
        path.display(),
        printer.label()
    ));
    Ok(())
}

/// What was typed.
fn texts(args: &SetArgs) -> MeasuredTexts<'_> {
    MeasuredTexts {
        of: Some(&args.of),
        x: args.x.as_deref(),
        y: args.y.as_deref(),
        diagonals: [args.diagonal_up.as_deref(), args.diagonal_down.as_deref()],
        margins: [
            args.margin_left.as_deref(),
            args.margin_right.as_deref(),
            args.margin_top.as_deref(),
            args.margin_bottom.as_deref(),
        ],
    }
}

/// The flags by which a profile of this name is measured.
const fn fields(name: &str) -> MeasuredFields<'_> {
    MeasuredFields {
        of: "--of",
        x: "--x",
        y: "--y",
        diagonals: ["--diagonal-up", "--diagonal-down"],
        margins: [
            "--margin-left",
            "--margin-right",
            "--margin-top",
            "--margin-bottom",
        ],
        whole: name,
        give: "give --x and --y as measured on the scale test, or margins (--margin-left …)",
        force: "add --force if it is meant",
    }
}

/// The file that the profile goes to.
fn target(args: &SetArgs) -> Result<PathBuf, Faults> {
    profiles::refuse_odd_name(&args.name).map_err(|why| fault("NAME", why))?;
    match &args.file {
        None => profiles::file_of(&args.name).map_err(|why| fault("NAME", why)),
        Some(path) if path.extension().is_some_and(|end| end == "toml") => Ok(path.clone()),
        Some(path) => Err(fault(
            "--file",
            format!(
                "\"{}\" does not end in .toml; jobs could not name it",
                path.display()
            ),
        )),
    }
}

/// The profile to be replaced or added to. A broken one in the configuration folder may be replaced
/// when that is asked for; a file elsewhere that is no profile may be anything.
fn read_former(args: &SetArgs, path: &Path) -> Result<Option<Printer>, Faults> {
    let named = Placed {
        value: path.display().to_string(),
        place: Place::whole(&args.name),
    };
    let faults = match profiles::open(&named, Path::new("")) {
        Ok((printer, _)) => return Ok(Some(printer)),
        Err(_) if args.replace && args.file.is_none() => return Ok(None),
        Err(faults) => faults,
    };
    let remedy = if args.file.is_some() {
        "name another file, or correct it"
    } else {
        "correct it, or drop it with --replace"
    };
    let there = fault(
        &args.name,
        format!("what is there already is no sound printer profile; {remedy}"),
    );
    Faults::none_in(faults.list().iter().chain(there.list()).cloned().collect()).map(|()| None)
}

fn list(args: &ListArgs) -> Result<(), Failure> {
    let folder = profiles::folder().map_err(|why| fault("printer list", why))?;
    let names = profiles::names(&folder).map_err(|why| fault("printer list", why))?;
    let stored: Vec<(String, Result<Printer, Faults>)> = names
        .into_iter()
        .map(|name| {
            let path = folder.join(format!("{name}.toml")).display().to_string();
            let named = Placed {
                value: path,
                place: Place::whole("printer list"),
            };
            (
                name,
                profiles::open(&named, Path::new("")).map(|(printer, _)| printer),
            )
        })
        .collect();
    data(&if args.json {
        json_list(&folder, &stored)
    } else {
        text_list(&folder, &stored)
    })
}

fn text_list(folder: &Path, stored: &[(String, Result<Printer, Faults>)]) -> String {
    let mut lines = vec![format!("Printer profiles in {}", folder.display())];
    if stored.is_empty() {
        lines.push(
            "  none yet: print `baystencil printer test`, then store what it measures with `printer set`".to_owned(),
        );
    }
    let width = stored
        .iter()
        .map(|(name, _)| name.chars().count())
        .max()
        .unwrap_or(0);
    for (name, printer) in stored {
        lines.push(match printer {
            Ok(printer) => {
                let Margins { left, right, top, bottom } = printer.margins;
                let [left, right, top, bottom] = [left, right, top, bottom].map(|mm| mm_exact(mm, 2));
                let correction = printer.correction.text();
                format!("  {name:width$}  {correction}; edges left blank: left {left}, right {right}, top {top}, bottom {bottom} mm")
            }
            Err(faults) => format!("  {name:width$}  cannot be read: {faults}"),
        });
    }
    lines.push(String::new());
    lines.join("\n")
}

fn json_list(folder: &Path, stored: &[(String, Result<Printer, Faults>)]) -> String {
    let printers: Vec<_> = stored
        .iter()
        .map(|(name, printer)| match printer {
            Ok(Printer { margins, correction, forced, .. }) => {
                let (x, y, skew) = correction.parts();
                json!({
                    "name": name,
                    "margins_mm": {
                        "left": margins.left, "right": margins.right, "top": margins.top, "bottom": margins.bottom,
                    },
                    "x": x, "y": y, "skew_deg": skew, "forced": forced,
                })
            }
            Err(faults) => json!({ "name": name, "fault": faults.to_string() }),
        })
        .collect();
    pretty(&json!({ "folder": folder.display().to_string(), "printers": printers }))
}
