//! Where printer profiles are stored: one file each in the user's configuration folder, or wherever
//! a path says.

use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
};

use etcetera::{BaseStrategy as _, choose_base_strategy};

use super::{files::is_path, read_file};
use crate::{
    paper::Printer,
    source::{Faults, Place, Placed, Source, nearest, printed},
};

/// Most characters of a stored profile's name.
const LONGEST_NAME: usize = 60;

/// Characters that some file system does not take in a name.
const NOT_IN_NAMES: [char; 9] = ['/', '\\', ':', '*', '?', '"', '<', '>', '|'];

/// Names that Windows keeps for devices, whatever follows a dot.
const DEVICES: [&str; 6] = ["CON", "PRN", "AUX", "NUL", "COM", "LPT"];

/// The folder of stored profiles: `baystencil/printers` in `$XDG_CONFIG_HOME` or `~/.config`, on
/// Windows in `%APPDATA%`.
///
/// # Errors
/// When the system knows no home folder.
pub fn folder() -> Result<PathBuf, String> {
    let strategy = choose_base_strategy().map_err(|_| {
        "the user's home folder is not known, so there is no place for printer profiles; set HOME or XDG_CONFIG_HOME, or give the path of a file ending in .toml".to_owned()
    })?;
    Ok(strategy.config_dir().join("baystencil").join("printers"))
}

/// File of a stored profile.
pub fn file_of(name: &str) -> Result<PathBuf, String> {
    Ok(folder()?.join(format!("{name}.toml")))
}

/// Names of the stored profiles, sorted; none when the folder is not there.
///
/// # Errors
/// When the folder is there and cannot be read.
pub fn names(folder: &Path) -> Result<Vec<String>, String> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => {
            let shown = folder.display();
            return Err(format!(
                "the folder of printer profiles {shown} cannot be read ({error}); make it readable, point XDG_CONFIG_HOME elsewhere, or give the path of a file ending in .toml"
            ));
        }
    };
    let files = entries.flatten().filter(|entry| entry.path().is_file());
    let mut names: Vec<String> = files
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".toml").map(str::to_owned))
        .collect();
    names.sort();
    Ok(names)
}

/// Refuses what cannot be a file's name everywhere, and what sheets cannot show.
pub fn refuse_odd_name(name: &str) -> Result<(), String> {
    let stem = name.split('.').next().unwrap_or(name).to_ascii_uppercase();
    let device = DEVICES
        .iter()
        .any(|device| match stem.strip_prefix(device) {
            Some("") => true,
            Some(number) => matches!(*device, "COM" | "LPT") && number.len() == 1 && number != "0",
            None => false,
        });
    let why = if name.trim().is_empty() {
        "is empty"
    } else if name.chars().count() > LONGEST_NAME {
        "is longer than 60 characters"
    } else if name.contains(NOT_IN_NAMES) || name.contains(char::is_control) {
        "has a sign in it that a file's name cannot have everywhere"
    } else if name.starts_with(['.', ' ', '-']) || name.ends_with(['.', ' ']) {
        "begins or ends with a sign that a file's name cannot begin or end with everywhere"
    } else if name.to_ascii_lowercase().ends_with(".toml") {
        "ends in .toml, which is added by itself"
    } else if device {
        "is kept for a device on some systems"
    } else {
        return printed(name)
            .map(|_| ())
            .map_err(|bad| format!("\"{name}\" has {bad}: sheets show the name"));
    };
    Err(format!(
        "\"{name}\" {why}; expected a plain name, as in office or \"office, tray 2\"; to write to a place of your own add --file PATH"
    ))
}

/// Opens the profile of a text: a file (relative to `base`) where it ends in .toml or has a folder in
/// it, else a stored one. Gives its path as well.
pub fn open(named: &Placed<String>, base: &Path) -> Result<(Printer, PathBuf), Faults> {
    let (path, source) = source_of(named, base)?;
    Ok((Printer::read(&source)?, path))
}

fn source_of(named: &Placed<String>, base: &Path) -> Result<(PathBuf, Source), Faults> {
    let Placed { value: name, place } = named;
    let path = if is_path(name) {
        base.join(name)
    } else {
        stored(name, place)?
    };
    let source = read_file(&path, "printer profile", place)?;
    Ok((path, source))
}

fn stored(name: &str, place: &Place) -> Result<PathBuf, Faults> {
    let fault = |message: String| Faults::from(place.fault(message));
    let folder = folder().map_err(fault)?;
    let known = names(&folder).map_err(fault)?;
    if known.iter().any(|stored| stored == name) {
        return Ok(folder.join(format!("{name}.toml")));
    }
    let shown = folder.display();
    let list = if known.is_empty() {
        "none is stored there yet".to_owned()
    } else {
        format!("stored: {}", known.join(", "))
    };
    let words: Vec<&str> = known.iter().map(String::as_str).collect();
    let hint = nearest(name, &words)
        .map_or_else(String::new, |like| format!("; did you mean \"{like}\"?"));
    Err(fault(format!(
        "there is no printer profile \"{name}\" in {shown} ({list}){hint}; store it with `baystencil printer set`, or give the path of a file ending in .toml"
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_names_are_taken_and_names_that_some_system_cannot_store_are_refused() {
        for name in [
            "office",
            "office, tray 2",
            "Büro",
            "a4.tray",
            "COMET",
            "lpt0",
        ] {
            assert_eq!(refuse_odd_name(name), Ok(()), "{name}");
        }
        let long = "x".repeat(61);
        for name in [
            "", "  ", "a/b", "a\\b", "..", ".hidden", "c:", "x.toml", "x.TOML", "nul", "com1.x",
            "a\nb", "end.", &long,
        ] {
            assert!(
                refuse_odd_name(name).unwrap_err().contains("plain name"),
                "{name}"
            );
        }
    }
}
