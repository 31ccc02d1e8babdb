//! The files of a run, collected before any of them is written.

use std::{
    fs::File,
    io::{self, Read, Seek as _},
    path::{Path, PathBuf},
};

use super::{Origin, OutputError, OutputFolder};

/// The files of one run, collected before any of them is written.
#[derive(Debug, Default)]
pub struct OutputSet {
    files: Vec<OutputFile>,
}

#[derive(Debug)]
pub(super) struct OutputFile {
    pub name: String,
    content: Content,
    /// True where what is there before was looked at by whoever made this one: it may be replaced.
    pub over_any: bool,
}

/// What will stand in a file.
#[derive(Debug)]
enum Content {
    Bytes(Vec<u8>),
    Spooled(File),
}

impl OutputFile {
    /// The content from its beginning.
    ///
    /// # Errors
    /// When a spool cannot be read.
    pub fn content(&self) -> io::Result<Box<dyn Read + '_>> {
        match &self.content {
            Content::Bytes(bytes) => Ok(Box::new(bytes.as_slice())),
            Content::Spooled(spool) => {
                let mut spool = spool;
                spool.rewind()?;
                Ok(Box::new(spool))
            }
        }
    }
}

impl OutputSet {
    /// An empty set.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file by its plain name.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.push(name.into(), Content::Bytes(bytes.into()));
    }

    /// Adds what was written into a [`spool`], by its plain name.
    pub fn add_spooled(&mut self, name: impl Into<String>, spool: File) {
        self.push(name.into(), Content::Spooled(spool));
    }

    fn push(&mut self, name: String, content: Content) {
        self.files.push(OutputFile {
            name,
            content,
            over_any: false,
        });
    }

    /// Puts other bytes into a file of the set, in which what lies in the folder is kept as far as it has to be: it may be replaced,
    /// whoever changed it.
    pub fn put_over(&mut self, name: &str, bytes: impl Into<Vec<u8>>) {
        if let Some(file) = self.files.iter_mut().find(|file| file.name == name) {
            file.content = Content::Bytes(bytes.into());
            file.over_any = true;
        }
    }

    /// Adds the files of another set after these.
    pub fn append(&mut self, other: Self) {
        self.files.extend(other.files);
    }

    /// Names of the files in the order in which they were added.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|file| file.name.as_str())
    }

    pub(super) fn files(&self) -> &[OutputFile] {
        &self.files
    }

    /// The bytes of a file of that plain name, where it is one of bytes.
    #[must_use]
    pub fn bytes(&self, name: &str) -> Option<&[u8]> {
        self.files.iter().find_map(|file| match &file.content {
            Content::Bytes(bytes) if file.name == name => Some(bytes.as_slice()),
            _ => None,
        })
    }

    /// The whole content of a file of that plain name.
    ///
    /// # Errors
    /// A name that the set does not have, or a spool that cannot be read.
    pub fn content(&self, name: &str) -> io::Result<Vec<u8>> {
        let mut named = self.files.iter().filter(|file| file.name == name);
        let file = named.next().ok_or(io::ErrorKind::NotFound)?;
        let mut bytes = Vec::new();
        file.content()?.read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    /// Writes every file into `folder`, which is made when it is missing, and returns their paths. Files of the same names are
    /// replaced whatever is in them; others are left alone. See [`OutputFolder`] for what spares those that somebody worked on.
    ///
    /// All of them are there, or, after a failure, none: neither a temporary file nor a new empty folder stays behind.
    ///
    /// # Errors
    /// A name that is not plain or is used twice, a file in the folder's place or a folder in a
    /// file's place, or whatever the file system refuses.
    pub fn write(&self, folder: &Path) -> Result<Vec<PathBuf>, OutputError> {
        let written = OutputFolder::open(folder, true)?.put(self, &Origin::default(), true)?;
        Ok(written.paths)
    }

    pub(super) fn check_names(&self) -> Result<(), OutputError> {
        for (index, OutputFile { name, .. }) in self.files.iter().enumerate() {
            let plain = Path::new(name)
                .file_name()
                .is_some_and(|last| last == name.as_str());
            if !plain || self.files[..index].iter().any(|other| other.name == *name) {
                return Err(OutputError::FileName { name: name.clone() });
            }
        }
        Ok(())
    }
}

/// A file without a name, gone when the program ends, for what is too large to be held in memory.
///
/// # Errors
/// Whatever the file system refuses.
pub fn spool() -> Result<File, OutputError> {
    tempfile::tempfile().map_err(|source| OutputError::Spool { source })
}

#[cfg(test)]
mod tests {
    use std::{fs, io::Write as _};

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
