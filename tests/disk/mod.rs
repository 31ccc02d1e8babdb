//! A disk that fails, or stops as a killed program does, at any of the things that are done to it.

use std::{
    cell::Cell,
    fs::{self, File},
    io::{self, ErrorKind, Read},
    path::Path,
};

use baystencil::inside::{Disk, FileLayer};

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// The program is killed: nothing more is done.
    Killed,
    /// The disk is full from then on.
    Full,
    /// A file is open in another program; it alone is refused, once.
    Busy,
    /// The same, and it stays open.
    BusyOn,
    /// The folder is not to be written into, from then on.
    Denied,
    /// Somebody asks the program to stop.
    Asked,
}

/// A disk on which something goes wrong at the `at`th thing that is done to it.
pub struct Breaking {
    at: usize,
    how: How,
    done: Cell<usize>,
    /// False on a file system that knows no second names for files.
    pub links: bool,
}

impl Breaking {
    pub fn new(at: usize, how: How) -> Self {
        Self {
            at,
            how,
            done: Cell::new(0),
            links: true,
        }
    }

    /// True once something has gone wrong.
    pub fn broke(&self) -> bool {
        self.done.get() > self.at
    }

    fn step(&self, is_write: bool, is_rename: bool) -> io::Result<()> {
        let number = self.done.get();
        self.done.set(number + 1);
        let (now, since) = (number == self.at, number >= self.at);
        let refused = match self.how {
            How::Killed => since.then_some(ErrorKind::Other),
            How::Full => (since && is_write).then_some(ErrorKind::StorageFull),
            How::Busy => now.then_some(ErrorKind::ResourceBusy),
            How::BusyOn => (since && is_rename).then_some(ErrorKind::ResourceBusy),
            How::Denied => since.then_some(ErrorKind::PermissionDenied),
            How::Asked => None,
        };
        refused.map_or(Ok(()), |kind| Err(kind.into()))
    }
}

impl FileLayer for Breaking {
    fn create_folder(&self, path: &Path) -> io::Result<()> {
        self.step(true, false)?;
        Disk.create_folder(path)
    }

    fn write(&self, path: &Path, content: &mut dyn Read) -> io::Result<()> {
        let before = self.broke();
        match self.step(true, false) {
            Ok(()) => Disk.write(path, content),
            Err(error) => {
                // The first one that goes wrong leaves half a file behind.
                if !before && self.broke() {
                    let mut whole = Vec::new();
                    content.read_to_end(&mut whole)?;
                    fs::write(path, &whole[..whole.len() / 2])?;
                }
                Err(error)
            }
        }
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        if !self.links {
            return Err(ErrorKind::Unsupported.into());
        }
        self.step(false, false)?;
        Disk.link(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step(false, true)?;
        Disk.rename(from, to)
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        self.step(false, false)?;
        Disk.remove_file(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        self.step(false, false)?;
        Disk.remove_folder(path)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<File>> {
        self.step(true, false)?;
        Disk.lock(path)
    }

    fn stopped(&self) -> bool {
        self.how == How::Asked && self.broke()
    }
}
