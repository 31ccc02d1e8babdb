//! What a run tells of its sheets and files.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use serde_json::json;

use crate::{
    cover::SheetPlan,
    effort::Takes,
    kit::AGAIN_FILE,
    output::{OutputSet, pretty, takes_json},
};

/// Names of files in a folder that only some kits have and that this one did not write: strips of a roll
/// beside sheets would be taken for part of it.
pub(super) fn left_over(folder: &Path, files: &OutputSet) -> Vec<String> {
    let ours: BTreeSet<&str> = files.names().collect();
    let sometimes = |name: &str| {
        name == "assembly.pdf"
            || name == AGAIN_FILE
            || name == "floor-single.pdf"
            || (name.starts_with("strip-") && name.ends_with(".svg"))
            || (name.starts_with("overview-") && (name.ends_with(".svg") || name.ends_with(".png")))
    };
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let names: BTreeSet<String> = entries
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    names
        .into_iter()
        .filter(|name| sometimes(name) && !ours.contains(name.as_str()))
        .collect()
}

/// What was written, for machines.
pub(super) fn summary(
    written: &[PathBuf],
    sheets: Option<&SheetPlan>,
    takes: Option<&Takes>,
) -> String {
    pretty(&json!({
        "files": written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
        "paper": sheets.map(|plan| &plan.format.paper.name),
        "count": sheets.map(|plan| plan.pages),
        "lower_bound": sheets.map(|plan| plan.lower_bound),
        "roll_mm": sheets.and_then(|plan| plan.roll).map(|roll| json!({
            "length": roll.length, "lower_bound": roll.least,
        })),
        "takes": takes.map(takes_json),
    }))
}
