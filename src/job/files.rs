//! Files that a job names, and built-in things by their names.

use std::path::{Path, PathBuf};

use super::{BuiltIn, JobVehicles};
use crate::source::{Faults, Place, Placed, Source, read_bounded};

/// Reads a file of text; what hinders is a fault at the place that names it.
///
/// # Errors
/// A file that cannot be read or is not UTF-8.
pub fn read_file(path: &Path, what: &str, named_at: &Place) -> Result<Source, Faults> {
    let fault = |why: String| Faults::from(named_at.fault(why));
    let shown = path.display().to_string();
    let bytes = read_bounded(path, &format!("{what} \"{shown}\"")).map_err(fault)?;
    let text = String::from_utf8(bytes).map_err(|_| {
        fault(format!(
            "the {what} \"{shown}\" is not UTF-8 text; name a text file (TOML), saved as UTF-8"
        ))
    })?;
    Ok(Source::new(&shown, text.trim_start_matches('\u{feff}')))
}

/// True for a text that names a file and not something by its name.
pub fn is_path(text: &str) -> bool {
    text.ends_with(".toml") || text.contains(['/', '\\'])
}

impl BuiltIn {
    /// What a text names: a file (it ends in .toml or has a folder in it) beginning in `folder`, else one of those `built_in`. `what`
    /// is the word for it in a fault.
    ///
    /// # Errors
    /// A name that nothing has, and a file that cannot be read.
    pub fn open(
        name: &Placed<String>,
        built_in: &[Self],
        folder: &Path,
        what: &str,
    ) -> Result<Source, Faults> {
        let text = &name.value;
        if is_path(text) {
            return read_file(&folder.join(text), what, &name.place);
        }
        if let Some(item) = built_in.iter().find(|item| item.name == text) {
            return Ok(item.source());
        }
        let names: Vec<&str> = built_in.iter().map(|item| item.name).collect();
        let message = format!(
            "there is no built-in {what} \"{text}\"; expected one of {}, or the path of a file ending in .toml",
            names.join(", ")
        );
        Err(name.place.fault(message).into())
    }
}

/// Two spellings of one path name one vehicle.
pub(super) fn refuse_same_file(vehicles: &JobVehicles, sources: &[Source]) -> Result<(), Faults> {
    let paths: Vec<Option<PathBuf>> = sources
        .iter()
        .map(|source| Path::new(&*source.name).canonicalize().ok())
        .collect();
    let twice = (1..paths.len())
        .filter(|&index| paths[index].is_some() && paths[..index].contains(&paths[index]));
    let fault = |index: usize| {
        let Placed { value, place } = &vehicles.names[index];
        place.fault(format!(
            "the vehicle file \"{value}\" is named twice, if spelled differently; name each vehicle of a mat once"
        ))
    };
    Faults::none_in(twice.map(fault).collect())
}
