//! Finished bytes onto a disk: all files of a run into one folder, each whole or not at all.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Seek as _, Write as _};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::OutputError;

/// The files of one run, collected before any of them is written.
#[derive(Debug, Default)]
pub struct OutputSet {
    files: Vec<(String, Content)>,
}

/// What will stand in a file.
#[derive(Debug)]
enum Content {
    Bytes(Vec<u8>),
    Spooled(File),
}

impl OutputSet {
    /// An empty set.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file by its plain name.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.files.push((name.into(), Content::Bytes(bytes.into())));
    }

    /// Adds what was written into a [`spool`], by its plain name.
    pub fn add_spooled(&mut self, name: impl Into<String>, spool: File) {
        self.files.push((name.into(), Content::Spooled(spool)));
    }

    /// Adds the files of another set after these.
    pub fn append(&mut self, other: Self) {
        self.files.extend(other.files);
    }

    /// Names of the files in the order in which they were added.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|(name, _)| name.as_str())
    }

    /// Writes every file into `folder`, which is made when it is missing, and returns their paths.
    ///
    /// All files are first written in full, beside their final places and under temporary names;
    /// only then does each take its own name, replacing an older file of that name. A reader never
    /// sees half a file, and when the disk is full the old files are still there. Other files in
    /// the folder are left alone. After a failure no temporary file and no new empty folder stays
    /// behind.
    ///
    /// # Errors
    /// A name that is not plain or is used twice, a file in the folder's place or a folder in a
    /// file's place, or whatever the file system refuses.
    pub fn write(&self, folder: &Path) -> Result<Vec<PathBuf>, OutputError> {
        self.check_names()?;
        let new_folders = make_folder(folder)?;
        let written = self.write_into(folder);
        if written.is_err() {
            // Only empty folders can be removed this way, innermost first.
            for made in new_folders.iter().rev() {
                let _ = fs::remove_dir(made);
            }
        }
        written
    }

    fn check_names(&self) -> Result<(), OutputError> {
        for (index, (name, _)) in self.files.iter().enumerate() {
            let plain = Path::new(name)
                .file_name()
                .is_some_and(|last| last == name.as_str());
            if !plain || self.files[..index].iter().any(|(other, _)| other == name) {
                return Err(OutputError::FileName { name: name.clone() });
            }
        }
        Ok(())
    }

    fn write_into(&self, folder: &Path) -> Result<Vec<PathBuf>, OutputError> {
        let targets: Vec<PathBuf> = self.names().map(|name| folder.join(name)).collect();
        if let Some(path) = targets.iter().find(|target| target.is_dir()) {
            return Err(OutputError::FileIsFolder { path: path.clone() });
        }
        let mut waiting = Vec::with_capacity(targets.len());
        for ((_, content), target) in self.files.iter().zip(&targets) {
            waiting.push(write_beside(folder, content, target)?);
        }
        for (file, target) in waiting.into_iter().zip(&targets) {
            file.persist(target)
                .map_err(|error| refused("replace", target, error.error))?;
        }
        settle(folder);
        Ok(targets)
    }
}

/// Makes the folder and returns those that were missing, outermost first.
fn make_folder(folder: &Path) -> Result<Vec<PathBuf>, OutputError> {
    // Everything above a path that cannot be looked up, such as one below a file, counts as there.
    let missing = folder
        .ancestors()
        .filter(|path| !path.as_os_str().is_empty())
        .take_while(|path| !path.exists());
    let mut missing: Vec<PathBuf> = missing.map(Path::to_path_buf).collect();
    missing.reverse();
    let lowest = missing
        .first()
        .map_or(folder, |path| path.parent().unwrap_or(path));
    if lowest.is_file() {
        return Err(OutputError::FolderIsFile {
            path: lowest.to_path_buf(),
        });
    }
    for (index, path) in missing.iter().enumerate() {
        match fs::create_dir(path) {
            Err(error) if error.kind() != ErrorKind::AlreadyExists || !path.is_dir() => {
                for made in missing[..index].iter().rev() {
                    let _ = fs::remove_dir(made);
                }
                return Err(refused("create the folder", path, error));
            }
            _ => {}
        }
    }
    Ok(missing)
}

/// A file without a name, gone when the program ends, for what is too large to be held in memory.
///
/// # Errors
/// Whatever the file system refuses.
pub fn spool() -> Result<File, OutputError> {
    tempfile::tempfile().map_err(|source| OutputError::Spool { source })
}

fn write_beside(
    folder: &Path,
    content: &Content,
    target: &Path,
) -> Result<NamedTempFile, OutputError> {
    // Only the kind of a failure is kept: its text would name the temporary file, which nobody asked for.
    let file = temporary(folder)
        .map_err(|error| refused("write into the folder", folder, error.kind().into()))?;
    // Written through the bare handle for the same reason.
    let mut handle = file.as_file();
    let written = match content {
        Content::Bytes(bytes) => handle.write_all(bytes),
        Content::Spooled(spool) => {
            let mut spool = spool;
            spool
                .rewind()
                .and_then(|()| io::copy(&mut spool, &mut handle))
                .map(drop)
        }
    };
    let written = written.and_then(|()| handle.sync_all());
    written.map_err(|error| refused("write", target, error))?;
    Ok(file)
}

/// A temporary file that, once renamed, is as readable as any other new file: by default only the
/// owner could read it.
fn temporary(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".baystencil-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// Asks the file system to remember the new names as well. Where it cannot, the files are still
/// whole, so a refusal is no failure.
fn settle(folder: &Path) {
    if let Ok(handle) = File::open(folder) {
        let _ = handle.sync_all();
    }
}

fn refused(doing: &'static str, path: &Path, source: io::Error) -> OutputError {
    OutputError::Io {
        doing,
        path: path.to_path_buf(),
        source,
    }
}

#[cfg(test)]
mod tests {
    use tempfile::tempdir;

    use super::*;

    fn set(files: &[(&str, &str)]) -> OutputSet {
        let mut set = OutputSet::new();
        for (name, content) in files {
            set.add(*name, *content);
        }
        set
    }

    fn names_in(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> = entries
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_missing_folder_is_made_and_holds_the_files_alone() {
        let place = tempdir().unwrap();
        let folder = place.path().join("new/kit");
        let paths = set(&[("a.txt", "one"), ("b.txt", "two")])
            .write(&folder)
            .unwrap();
        assert_eq!(paths, [folder.join("a.txt"), folder.join("b.txt")]);
        assert_eq!(names_in(&folder), ["a.txt", "b.txt"]);
        assert_eq!(fs::read_to_string(folder.join("b.txt")).unwrap(), "two");
    }

    #[test]
    fn what_was_spooled_is_written_from_its_beginning() {
        let place = tempdir().unwrap();
        let mut spool = spool().unwrap();
        spool.write_all(b"page by page").unwrap();
        let mut files = OutputSet::new();
        files.add_spooled("a.txt", spool);
        files.write(place.path()).unwrap();
        assert_eq!(
            fs::read_to_string(place.path().join("a.txt")).unwrap(),
            "page by page"
        );
    }

    #[test]
    fn its_own_files_are_replaced_and_foreign_ones_stay() {
        let place = tempdir().unwrap();
        fs::write(place.path().join("notes.txt"), "mine").unwrap();
        set(&[("a.txt", "a long first version")])
            .write(place.path())
            .unwrap();
        set(&[("a.txt", "second")]).write(place.path()).unwrap();
        assert_eq!(
            fs::read_to_string(place.path().join("a.txt")).unwrap(),
            "second"
        );
        assert_eq!(
            fs::read_to_string(place.path().join("notes.txt")).unwrap(),
            "mine"
        );
        assert_eq!(names_in(place.path()), ["a.txt", "notes.txt"]);
    }

    #[test]
    fn a_file_in_the_folders_place_is_refused_and_kept() {
        let place = tempdir().unwrap();
        let file = place.path().join("kit");
        fs::write(&file, "mine").unwrap();
        for folder in [file.clone(), file.join("below")] {
            let error = set(&[("a.txt", "one")]).write(&folder).unwrap_err();
            assert!(
                matches!(&error, OutputError::FolderIsFile { path } if *path == file),
                "{error}"
            );
        }
        assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    }

    #[test]
    fn a_failure_leaves_old_files_untouched_and_nothing_half_written() {
        let place = tempdir().unwrap();
        fs::write(place.path().join("a.txt"), "old").unwrap();
        fs::create_dir(place.path().join("b.txt")).unwrap();
        let error = set(&[("a.txt", "new"), ("b.txt", "new")])
            .write(place.path())
            .unwrap_err();
        assert!(matches!(error, OutputError::FileIsFolder { .. }), "{error}");
        assert_eq!(
            fs::read_to_string(place.path().join("a.txt")).unwrap(),
            "old"
        );
        assert_eq!(names_in(place.path()), ["a.txt", "b.txt"]);
    }

    #[test]
    fn a_failure_while_writing_leaves_neither_temporary_files_nor_a_new_folder() {
        let place = tempdir().unwrap();
        let folder = place.path().join("outer/kit");
        // Longer than any file system allows, so the rename fails once everything else is done.
        let error = set(&[(&"x".repeat(300), "one")])
            .write(&folder)
            .unwrap_err();
        assert!(matches!(error, OutputError::Io { .. }), "{error}");
        assert_eq!(names_in(place.path()), Vec::<String>::new());
    }

    #[test]
    fn names_with_folders_and_names_used_twice_are_refused() {
        let place = tempdir().unwrap();
        for name in ["../a.txt", "b/a.txt", "..", "", "a/"] {
            let outcome = set(&[(name, "one")]).write(place.path());
            assert!(
                matches!(outcome, Err(OutputError::FileName { .. })),
                "{name}"
            );
        }
        let twice = set(&[("a.txt", "one"), ("a.txt", "two")]).write(place.path());
        assert!(matches!(twice, Err(OutputError::FileName { .. })));
        assert_eq!(names_in(place.path()), Vec::<String>::new());
    }

    #[cfg(unix)]
    #[test]
    fn a_written_file_is_as_readable_as_any_other_new_file() {
        use std::os::unix::fs::PermissionsExt as _;
        let place = tempdir().unwrap();
        fs::write(place.path().join("plain"), "").unwrap();
        set(&[("a.txt", "one")]).write(place.path()).unwrap();
        let mode = |name: &str| {
            fs::metadata(place.path().join(name))
                .unwrap()
                .permissions()
                .mode()
        };
        assert_eq!(mode("a.txt"), mode("plain"));
    }
}
