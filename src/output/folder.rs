//! A folder on its way to new files: all of them take their places, or the old ones stay.
//!
//! New files are written in full into a stage inside the folder; then each takes its place by a rename, the old one being kept until
//! all are done. What fails takes back what was done; what is killed leaves a mark (`unfinished.rs`), and the next run takes it back.
//! A whole folder is not swapped for another: it may hold files of the user's, be a mount, or be open in another program.
//!
//! The stage holds a lock, so that two runs do not write into one folder at once, and a stage without one is known to be left over.

use std::{
    fs::File,
    io::{self, ErrorKind, Read as _},
    path::{Path, PathBuf},
    thread::sleep,
    time::{Duration, Instant},
};

use super::{
    Disk, FileLayer, OutputError, OutputSet,
    kept::{Kept, Origin},
    manifest::{Hashed, Listed, MANIFEST, Manifest},
    stop::Held,
    unfinished::{
        Change, Changes, MARK, NEW, OLD, STAGE, clear_stage, entries, recover, was_there,
    },
};

/// Plain name of the lock in the stage.
const LOCK: &str = "lock";

/// How long another run may take before this one gives up. One writes for a fraction of a second.
const PATIENCE: Duration = Duration::from_secs(3);

/// How often it looks whether the other one is done.
const LOOK_EVERY: Duration = Duration::from_millis(20);

/// Temporary files lie loose and without a lock where a program before this one was killed; younger ones may be in use.
const LEFT_OVER_AFTER: Duration = Duration::from_secs(60);

/// The file that takes its place last but one: who reads a job reads the old one until all that was made from the new one is there.
const LAST: &str = "job.toml";

/// A folder that this run alone writes into.
pub struct OutputFolder<'d> {
    path: PathBuf,
    disk: &'d dyn FileLayer,
    /// Folders that were missing, outermost first.
    made: Vec<PathBuf>,
    manifest: Manifest,
    /// True once old files were put back that a stopped run had replaced.
    pub recovered: bool,
    lock: Option<File>,
    _held: Held,
}

/// What was put into a folder.
#[derive(Debug)]
pub struct Put {
    /// Paths of the files, in their order.
    pub paths: Vec<PathBuf>,
    /// Names of files of an earlier run that have gone, because what they belonged to was replaced.
    pub gone: Vec<String>,
}

impl OutputFolder<'static> {
    /// Opens a folder for writing; it is made when it is missing, and removed again when nothing comes of it. What a stopped run
    /// began in it is taken back first; with `replace` also where somebody worked on those files since.
    ///
    /// # Errors
    /// A file in the folder's place, another run that writes into it, or whatever the file system refuses.
    pub fn open(path: &Path, replace: bool) -> Result<Self, OutputError> {
        Self::open_on(path, replace, &Disk)
    }
}

impl<'d> OutputFolder<'d> {
    /// The same on another disk.
    ///
    /// # Errors
    /// As [`OutputFolder::open`].
    pub fn open_on(
        path: &Path,
        replace: bool,
        disk: &'d dyn FileLayer,
    ) -> Result<Self, OutputError> {
        let path = if path.as_os_str().is_empty() {
            Path::new(".")
        } else {
            path
        };
        let held = Held::begin();
        let made = make_folder(disk, path)?;
        let mut folder = Self {
            path: path.to_path_buf(),
            disk,
            made,
            manifest: Manifest::default(),
            recovered: false,
            lock: None,
            _held: held,
        };
        folder.lock = Some(lock(disk, path)?);
        folder.recovered = recover(disk, path, replace)?;
        clear_stage(disk, path);
        remove_left_over(disk, path);
        folder.manifest = Manifest::of(path);
        Ok(folder)
    }

    /// The bytes of a file that is there, `most` of them at most; `None` where there is none that can be read.
    #[must_use]
    pub fn read(&self, name: &str, most: usize) -> Option<Vec<u8>> {
        let path = self.path.join(name);
        let file = path.is_file().then(|| File::open(path))?.ok()?;
        let mut bytes = Vec::new();
        file.take(most as u64).read_to_end(&mut bytes).ok()?;
        Some(bytes)
    }

    /// What is in the folder that files of this origin are not to replace, without being told to.
    #[must_use]
    pub fn kept(&self, files: &OutputSet, origin: &Origin<'_>) -> Option<Kept> {
        Kept::of(&self.path, &self.manifest, files, origin)
    }

    /// True where the folder's files were made for another job.
    #[must_use]
    pub fn is_of_another_job(&self, origin: &Origin<'_>) -> bool {
        let jobs = self.manifest.job.as_deref().zip(origin.job);
        jobs.is_some_and(|(there, own)| there != own)
    }

    /// Puts the files into the folder. Without `replace` nothing is replaced that somebody changed, or that is of another job.
    ///
    /// # Errors
    /// What is kept; names that are not plain; whatever the file system refuses. The old files are still there then, except after
    /// [`OutputError::Unfinished`].
    pub fn put(
        self,
        files: &OutputSet,
        origin: &Origin<'_>,
        replace: bool,
    ) -> Result<Put, OutputError> {
        files.check_names()?;
        if let Some(path) = files
            .names()
            .map(|name| self.path.join(name))
            .find(|path| path.is_dir())
        {
            return Err(OutputError::FileIsFolder { path });
        }
        if let Some(kept) = self.kept(files, origin).filter(|_| !replace) {
            return Err(OutputError::Kept(kept));
        }
        let mark = self.path.join(MARK);
        if mark.symlink_metadata().is_ok() {
            // Not ours, or it would have been taken away when the folder was opened.
            return Err(OutputError::Kept(Kept::Changed { paths: vec![mark] }));
        }
        let gone = origin.superseded(&self.path, &self.manifest, files);
        let mut changes = self.stage(files, origin, &gone)?;
        changes.0.sort_by_key(|change| {
            [LAST, MANIFEST]
                .iter()
                .position(|last| *last == change.name)
                .map_or(0, |last| last + 1)
        });
        self.replace(&changes)?;
        Ok(Put {
            paths: files.names().map(|name| self.path.join(name)).collect(),
            gone,
        })
    }

    fn inner(&self, folder: &str, name: &str) -> PathBuf {
        self.path.join(STAGE).join(folder).join(name)
    }

    /// Refuses to go on once somebody asked to stop.
    fn go_on(&self) -> Result<(), OutputError> {
        if self.disk.stopped() {
            Err(OutputError::Stopped)
        } else {
            Ok(())
        }
    }

    /// Writes all files into the stage, the manifest last.
    fn stage(
        &self,
        files: &OutputSet,
        origin: &Origin<'_>,
        gone: &[String],
    ) -> Result<Changes, OutputError> {
        for inner in [NEW, OLD] {
            let inner = self.path.join(STAGE).join(inner);
            self.disk
                .create_folder(&inner)
                .or_else(|error| {
                    if was_there(&error) {
                        Ok(())
                    } else {
                        Err(error)
                    }
                })
                .map_err(|error| refused("write into the folder", &self.path, error))?;
        }
        let mut changes = Changes::default();
        let mut manifest = self.manifest.clone();
        for file in files.files() {
            self.go_on()?;
            let target = self.path.join(&file.name);
            let content = file
                .content()
                .map_err(|source| OutputError::Spool { source })?;
            let mut content = Hashed::new(content);
            self.disk
                .write(&self.inner(NEW, &file.name), &mut content)
                .map_err(|error| refused("write", &target, error))?;
            let sha256 = content.hash();
            let input = origin.input.map(str::to_owned);
            changes
                .0
                .push(self.change(&file.name, Some(sha256.clone())));
            manifest
                .files
                .insert(file.name.clone(), Listed { sha256, input });
        }
        for name in gone {
            changes.0.push(self.change(name, None));
        }
        if origin.listed || self.path.join(MANIFEST).exists() {
            manifest.job = origin.job.map(str::to_owned).or(manifest.job);
            // Also what stays because somebody changed it: it is theirs now.
            let own = |name: &String| files.names().any(|new| new == name);
            let replaces = |name: &String| origin.replaces.is_some_and(|replaces| replaces(name));
            let strangers = origin.strangers(&self.path, &self.manifest, files);
            manifest
                .files
                .retain(|name, _| own(name) || !(strangers.contains(name) && replaces(name)));
            let text = manifest.text();
            let mut content = Hashed::new(text.as_bytes());
            self.disk
                .write(&self.inner(NEW, MANIFEST), &mut content)
                .map_err(|error| refused("write into the folder", &self.path, error))?;
            let hash = content.hash();
            changes.0.push(self.change(MANIFEST, Some(hash)));
        }
        Ok(changes)
    }

    fn change(&self, name: &str, sha256: Option<String>) -> Change {
        Change {
            name: name.to_owned(),
            sha256,
            was_there: self.path.join(name).symlink_metadata().is_ok(),
        }
    }

    /// Lets what is in the stage take its place, or takes all of it back.
    fn replace(&self, changes: &Changes) -> Result<(), OutputError> {
        let (waiting, mark) = (self.inner(NEW, MARK), self.path.join(MARK));
        self.go_on()?;
        self.disk
            .write(&waiting, &mut changes.text().as_bytes())
            .and_then(|()| self.disk.rename(&waiting, &mark))
            .map_err(|error| refused("write into the folder", &self.path, error))?;
        settle(&self.path);
        let done = changes.0.iter().try_for_each(|change| {
            self.go_on()?;
            self.take_place(change)
                .map_err(|error| refused("replace", &self.path.join(&change.name), error))
        });
        let done = done.and_then(|()| {
            settle(&self.path);
            // This makes the new files valid.
            self.disk
                .remove_file(&mark)
                .map_err(|error| refused("remove", &mark, error))
        });
        let Err(error) = done else {
            settle(&self.path);
            return Ok(());
        };
        match changes.take_back(self.disk, &self.path) {
            Ok(()) => Err(error),
            Err((source, still_new)) => Err(OutputError::Unfinished {
                folder: self.path.clone(),
                still_new,
                source,
            }),
        }
    }

    /// Keeps the old file under a second name and renames the new one over it: whoever looks sees one of them whole. Where a file
    /// system knows no second names the old file is moved away first.
    fn take_place(&self, change: &Change) -> io::Result<()> {
        let (target, old) = (self.path.join(&change.name), self.inner(OLD, &change.name));
        if change.was_there && (change.sha256.is_none() || self.disk.link(&target, &old).is_err()) {
            self.disk.rename(&target, &old)?;
        }
        match change.sha256 {
            Some(_) => self.disk.rename(&self.inner(NEW, &change.name), &target),
            None => Ok(()),
        }
    }
}

impl Drop for OutputFolder<'_> {
    fn drop(&mut self) {
        let stage = self.path.join(STAGE);
        if self.lock.is_some() && !self.path.join(MARK).exists() {
            clear_stage(self.disk, &self.path);
        }
        // The lock's file goes before the lock does, so that nobody gets a lock on a stage that is about to go.
        if self.lock.is_some() {
            let _ = self.disk.remove_file(&stage.join(LOCK));
            let _ = self.disk.remove_folder(&stage);
        }
        // Only empty folders can be removed this way, innermost first.
        for made in self.made.iter().rev() {
            let _ = self.disk.remove_folder(made);
        }
    }
}

/// Makes the folder and returns those that were missing, outermost first.
fn make_folder(disk: &dyn FileLayer, folder: &Path) -> Result<Vec<PathBuf>, OutputError> {
    // Everything above a path that cannot be looked up, such as one below a file, counts as there.
    let missing = folder
        .ancestors()
        .filter(|path| !path.as_os_str().is_empty())
        .take_while(|path| !path.exists());
    let mut missing: Vec<PathBuf> = missing.map(Path::to_path_buf).collect();
    missing.reverse();
    if let Some(path) = missing.iter().find(|path| path.is_symlink()) {
        return Err(OutputError::DanglingLink { path: path.clone() });
    }
    let lowest = missing
        .first()
        .map_or(folder, |path| path.parent().unwrap_or(path));
    if lowest.exists() && !lowest.is_dir() {
        return Err(OutputError::FolderIsFile {
            path: lowest.to_path_buf(),
        });
    }
    for (index, path) in missing.iter().enumerate() {
        match disk.create_folder(path) {
            Err(error) if !was_there(&error) || !path.is_dir() => {
                for made in missing[..index].iter().rev() {
                    let _ = disk.remove_folder(made);
                }
                return Err(refused("create the folder", path, error));
            }
            _ => {}
        }
    }
    Ok(missing)
}

/// Gets the stage of a folder for this run alone.
fn lock(disk: &dyn FileLayer, folder: &Path) -> Result<File, OutputError> {
    let stage = folder.join(STAGE);
    let begun = Instant::now();
    loop {
        let locked = disk
            .create_folder(&stage)
            .or_else(|error| {
                if was_there(&error) {
                    Ok(())
                } else {
                    Err(error)
                }
            })
            .and_then(|()| disk.lock(&stage.join(LOCK)));
        match locked {
            Ok(Some(lock)) => return Ok(lock),
            // Another one removes its stage just now.
            Err(error) if error.kind() == ErrorKind::NotFound && folder.is_dir() => {}
            Err(error) => {
                let _ = disk.remove_folder(&stage);
                return Err(refused("write into the folder", folder, error));
            }
            Ok(None) => {}
        }
        if disk.stopped() {
            return Err(OutputError::Stopped);
        }
        if begun.elapsed() > PATIENCE {
            return Err(OutputError::Busy {
                folder: folder.to_path_buf(),
            });
        }
        sleep(LOOK_EVERY);
    }
}

/// Removes temporary files that a killed run left loose in the folder: ours by their name, and too old to be in use.
fn remove_left_over(disk: &dyn FileLayer, folder: &Path) {
    let is_ours = |path: &PathBuf| {
        let name = path.file_name().and_then(|name| name.to_str());
        name.is_some_and(|name| name.starts_with(".baystencil-") && name.ends_with(".part"))
    };
    let is_old = |path: &PathBuf| {
        let changed = path.symlink_metadata().and_then(|data| data.modified());
        changed.is_ok_and(|at| at.elapsed().is_ok_and(|age| age > LEFT_OVER_AFTER))
    };
    for path in entries(folder).into_iter().filter(is_ours).filter(is_old) {
        let _ = disk.remove_file(&path);
    }
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
