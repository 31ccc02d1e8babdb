//! The few things that are done to a disk, behind one trait: a test puts another disk in their place, which fails or stops at any
//! of them.
//!
//! Looking (is it there, what is in it) is not among them: it changes nothing, and whatever it sees is acted on through these.

use std::{
    fs::{self, File, TryLockError},
    io::{self, ErrorKind, Read, Write as _},
    path::Path,
};

use super::stop;

/// What is done to a disk.
pub trait FileLayer {
    /// Makes one folder.
    ///
    /// # Errors
    /// Whatever the file system refuses; so it is with all of these.
    fn create_folder(&self, path: &Path) -> io::Result<()>;
    /// Writes a new file in full, down to the disk. Its readers are those of any other new file.
    ///
    /// # Errors
    /// Also where a file of that name is there.
    fn write(&self, path: &Path, content: &mut dyn Read) -> io::Result<()>;
    /// Gives a file a second name, so that it stays when its first one goes to another file.
    ///
    /// # Errors
    /// Also where the file system knows no second names.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Renames a file, over one of that name.
    ///
    /// # Errors
    /// Whatever the file system refuses.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    ///
    /// # Errors
    /// Whatever the file system refuses.
    fn remove_file(&self, path: &Path) -> io::Result<()>;
    /// Removes an empty folder.
    ///
    /// # Errors
    /// Also where there is something in it.
    fn remove_folder(&self, path: &Path) -> io::Result<()>;
    /// Opens a file, made when it is missing, and locks it for as long as the handle lives; `None` where another process has it.
    ///
    /// # Errors
    /// Whatever the file system refuses. One that knows no locks is taken at its word.
    fn lock(&self, path: &Path) -> io::Result<Option<File>>;
    /// True once somebody has asked the program to stop.
    fn stopped(&self) -> bool {
        false
    }
}

/// The disk itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct Disk;

impl FileLayer for Disk {
    fn create_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn write(&self, path: &Path, content: &mut dyn Read) -> io::Result<()> {
        let mut file = File::create_new(path)?;
        io::copy(content, &mut file)?;
        file.sync_all()
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<File>> {
        let file = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(path)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Ok(None),
            Err(TryLockError::Error(error)) if error.kind() == ErrorKind::Unsupported => {}
            Err(TryLockError::Error(error)) => return Err(error),
        }
        // The one before may have removed the file between its opening and its locking: then this is a lock on nothing.
        let own = std::process::id().to_string();
        file.set_len(0)?;
        (&file).write_all(own.as_bytes())?;
        match fs::read(path) {
            Ok(there) => Ok((there == own.as_bytes()).then_some(file)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => {
                // Nobody comes to use it, and it would keep the stage from being removed.
                let _ = fs::remove_file(path);
                Err(error)
            }
        }
    }

    fn stopped(&self) -> bool {
        stop::asked()
    }
}
