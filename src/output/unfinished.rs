//! A folder whose files are being replaced, or were when the program was stopped: the old files are put back.
//!
//! While files take their places, `UNFINISHED.toml` lies among them. It is put there before the first of them and taken away after the
//! last: that it is gone is what makes the new files valid. It can be seen by whoever opens the folder, and by every command that reads
//! from it. The old files wait in [`STAGE`] until then.

use std::{
    fs,
    io::{self, ErrorKind},
    path::{Path, PathBuf},
};

use toml::{Table, Value};

use super::{FileLayer, OutputError, manifest::hash_of};

/// Plain name of the file that marks an unfinished folder.
pub(super) const MARK: &str = "UNFINISHED.toml";

/// Folder for files on their way, inside the folder that they go to: so it is on the same file system, also where that is one of its own.
pub(super) const STAGE: &str = ".baystencil.part";

/// Folders in it: of new files, and of old ones.
pub(super) const NEW: &str = "new";
pub(super) const OLD: &str = "old";

/// Version of the mark's format.
const FORMAT: &str = "unfinished/1";

/// What a person reads who opens it.
const WORDS: &str = "\
# The files of this folder are being replaced, or baystencil was stopped while it replaced them: some are new, some are old.
# Do not print them or tape by them. Run the command again that writes this folder: it first puts the old files back.
";

/// A file on its way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Change {
    /// Its plain name.
    pub name: String,
    /// SHA-256 of the new file; `None` where an old one only goes.
    pub sha256: Option<String>,
    /// True where a file of that name was there before.
    pub was_there: bool,
}

/// All changes of a folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Changes(pub Vec<Change>);

/// True for a folder of which some files are new and some are old.
#[must_use]
pub fn is_unfinished(folder: &Path) -> bool {
    Changes::of(folder).is_some()
}

impl Changes {
    /// As the mark has them.
    pub fn text(&self) -> String {
        let row = |change: &Change| {
            let mut row = Table::new();
            row.insert("was_there".to_owned(), change.was_there.into());
            if let Some(hash) = &change.sha256 {
                row.insert("sha256".to_owned(), hash.as_str().into());
            }
            (change.name.clone(), Value::Table(row))
        };
        let mut mark = Table::new();
        mark.insert("format".to_owned(), FORMAT.into());
        mark.insert(
            "file".to_owned(),
            Value::Table(self.0.iter().map(row).collect()),
        );
        format!("{WORDS}{mark}")
    }

    /// Those of a folder that is unfinished: it has a mark, and that is one of ours.
    fn of(folder: &Path) -> Option<Self> {
        let text = fs::read_to_string(folder.join(MARK)).ok()?;
        let mark: Table = text.parse().ok()?;
        if mark.get("format").and_then(Value::as_str) != Some(FORMAT) {
            return None;
        }
        let files = mark.get("file").and_then(Value::as_table);
        let change = |(name, row): (&String, &Value)| Change {
            name: name.clone(),
            sha256: row.get("sha256").and_then(Value::as_str).map(str::to_owned),
            was_there: row.get("was_there").and_then(Value::as_bool) == Some(true),
        };
        // A name with a folder in it would lead elsewhere.
        let is_plain =
            |change: &Change| Path::new(&change.name).file_name() == Some(change.name.as_ref());
        let files = files.into_iter().flatten();
        Some(Self(files.map(change).filter(is_plain).collect()))
    }

    /// Puts the old files back, last changed first, and takes the mark away.
    ///
    /// # Errors
    /// With what the file system refused first, and the names of the new files that are still there.
    pub fn take_back(
        &self,
        disk: &dyn FileLayer,
        folder: &Path,
    ) -> Result<(), (io::Error, Vec<String>)> {
        let mut refused = None;
        let mut still_new = Vec::new();
        for change in self.0.iter().rev() {
            if let Err(error) = change.take_back(disk, folder) {
                refused.get_or_insert(error);
                still_new.push(change.name.clone());
            }
        }
        let done = match refused {
            None => disk.remove_file(&folder.join(MARK)),
            Some(error) => Err(error),
        };
        done.map_err(|error| (error, still_new))
    }
}

impl Change {
    fn take_back(&self, disk: &dyn FileLayer, folder: &Path) -> io::Result<()> {
        let target = folder.join(&self.name);
        let old = folder.join(STAGE).join(OLD).join(&self.name);
        if old.symlink_metadata().is_ok() {
            // Where the old file still has both names this does nothing, as it should.
            return disk.rename(&old, &target);
        }
        let is_new = self.sha256.is_some() && hash_of(&target) == self.sha256;
        if !self.was_there && is_new {
            return disk.remove_file(&target);
        }
        Ok(())
    }

    /// True where somebody worked on a new file since, whose old one waits.
    fn was_worked_on(&self, folder: &Path) -> bool {
        let there = hash_of(&folder.join(&self.name));
        let old = hash_of(&folder.join(STAGE).join(OLD).join(&self.name));
        old.is_some() && there.is_some() && there != old && there != self.sha256
    }
}

/// Takes back what a stopped run began. With `replace` also what somebody worked on since.
///
/// # Errors
/// A file that somebody worked on since, whose older self waits; or whatever the file system refuses.
pub(super) fn recover(
    disk: &dyn FileLayer,
    folder: &Path,
    replace: bool,
) -> Result<bool, OutputError> {
    let Some(changes) = Changes::of(folder) else {
        return Ok(false);
    };
    let worked_on = changes.0.iter().find(|change| change.was_worked_on(folder));
    if let Some(change) = worked_on.filter(|_| !replace) {
        return Err(OutputError::WorkedOn {
            path: folder.join(&change.name),
            older: folder.join(STAGE).join(OLD).join(&change.name),
        });
    }
    changes
        .take_back(disk, folder)
        .map_err(|(source, still_new)| OutputError::Unfinished {
            folder: folder.to_path_buf(),
            still_new,
            source,
        })?;
    Ok(true)
}

/// Removes the stage with all that is in it. What cannot be removed is left to the next run.
pub(super) fn clear_stage(disk: &dyn FileLayer, folder: &Path) {
    let stage = folder.join(STAGE);
    for inner in [NEW, OLD] {
        let inner = stage.join(inner);
        for path in entries(&inner) {
            let _ = disk.remove_file(&path);
        }
        if inner.exists() {
            let _ = disk.remove_folder(&inner);
        }
    }
}

/// Paths of what lies in a folder, nothing where it cannot be looked into.
pub(super) fn entries(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries.map(|entry| entry.path()).collect()
}

/// True for an error that a folder was there already.
pub(super) fn was_there(error: &io::Error) -> bool {
    error.kind() == ErrorKind::AlreadyExists
}
