//! Files of a shop's folder: listed, read, written, copied, put away.

use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

use etcetera::{BaseStrategy as _, choose_base_strategy};
use sha2::{Digest as _, Sha256};

use super::{Name, ShopError};
use crate::{output::OutputSet, source::read_bounded};

/// What a shop keeps in files or folders of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shelf {
    /// `vehicles/NAME.toml`.
    Vehicles,
    /// `templates/NAME.toml`.
    Templates,
    /// `printers/NAME.toml`.
    Printers,
    /// `jobs/NAME/`.
    Jobs,
    /// `records/NAME/`.
    Records,
}

impl Shelf {
    /// All shelves.
    pub const ALL: [Self; 5] = [
        Self::Vehicles,
        Self::Templates,
        Self::Printers,
        Self::Jobs,
        Self::Records,
    ];

    /// Its folder in the shop's.
    #[must_use]
    pub const fn folder(self) -> &'static str {
        match self {
            Self::Vehicles => "vehicles",
            Self::Templates => "templates",
            Self::Printers => "printers",
            Self::Jobs => "jobs",
            Self::Records => "records",
        }
    }

    /// What one of its things is called.
    #[must_use]
    pub const fn one(self) -> &'static str {
        match self {
            Self::Vehicles => "vehicle",
            Self::Templates => "template",
            Self::Printers => "printer",
            Self::Jobs => "job",
            Self::Records => "record",
        }
    }

    const fn is_of_folders(self) -> bool {
        matches!(self, Self::Jobs | Self::Records)
    }
}

/// Which text a file had: 16 hexadecimal digits of the SHA-256 of its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version(String);

impl Version {
    /// The version of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let digest = Sha256::digest(bytes);
        Self(
            digest
                .iter()
                .take(8)
                .map(|byte| format!("{byte:02x}"))
                .collect(),
        )
    }

    /// A version as a form sends it back; of a file that was not there, an empty text.
    #[must_use]
    pub fn from_text(text: &str) -> Self {
        Self(text.to_owned())
    }

    /// Its text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A text of the shop with its version.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The text.
    pub text: String,
    /// Its version.
    pub version: Version,
}

/// A shop's folder.
#[derive(Debug)]
pub struct Shop {
    root: PathBuf,
    /// Held while a file is compared and replaced: within one program two changes never meet.
    turn: Mutex<()>,
}

impl Shop {
    /// Opens a shop's folder, which is made where it is missing.
    ///
    /// # Errors
    /// A folder that cannot be made.
    pub fn open(root: &Path) -> Result<Self, ShopError> {
        for shelf in Shelf::ALL {
            let folder = root.join(shelf.folder());
            fs::create_dir_all(&folder).map_err(|source| ShopError::Io {
                doing: "make the folder",
                path: folder.clone(),
                source,
            })?;
        }
        Ok(Self {
            root: root.to_owned(),
            turn: Mutex::new(()),
        })
    }

    /// The folder of a shop that names none: `baystencil/shop` in the user's data folder.
    ///
    /// # Errors
    /// When the system knows no home folder.
    pub fn usual_folder() -> Result<PathBuf, String> {
        let strategy = choose_base_strategy().map_err(|_| {
            "the user's home folder is not known, so there is no place for the shop's folder; give one with --shop DIR".to_owned()
        })?;
        Ok(strategy.data_dir().join("baystencil").join("shop"))
    }

    /// The folder.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Where a thing lies: a file, or a folder of a job or record.
    #[must_use]
    pub fn path(&self, shelf: Shelf, name: &Name) -> PathBuf {
        let folder = self.root.join(shelf.folder());
        if shelf.is_of_folders() {
            folder.join(name.as_str())
        } else {
            folder.join(format!("{name}.toml"))
        }
    }

    /// The main text of a thing: its file, or `job.toml` in its folder.
    #[must_use]
    pub fn main_file(&self, shelf: Shelf, name: &Name) -> PathBuf {
        let path = self.path(shelf, name);
        if shelf.is_of_folders() {
            path.join("job.toml")
        } else {
            path
        }
    }

    /// Names of what is on a shelf, sorted; what cannot be one of its things is passed over.
    #[must_use]
    pub fn names(&self, shelf: Shelf) -> Vec<Name> {
        let entries = fs::read_dir(self.root.join(shelf.folder()));
        let entries = entries.into_iter().flatten().flatten();
        let names = entries.filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            let name = if shelf.is_of_folders() {
                name
            } else {
                name.strip_suffix(".toml")?.to_owned()
            };
            let name = Name::parse(&name).ok()?;
            self.main_file(shelf, &name).is_file().then_some(name)
        });
        let mut names: Vec<Name> = names.collect();
        names.sort();
        names
    }

    /// Reads the main text of a thing.
    ///
    /// # Errors
    /// One that is not there, or cannot be read.
    pub fn read(&self, shelf: Shelf, name: &Name) -> Result<Kept, ShopError> {
        let path = self.main_file(shelf, name);
        self.read_file(&path)?.ok_or_else(|| ShopError::Missing {
            what: shelf.one(),
            name: name.to_string(),
        })
    }

    /// Reads a file of the folder; `None` where it is not there.
    ///
    /// # Errors
    /// One that cannot be read, or is no text.
    pub fn read_file(&self, path: &Path) -> Result<Option<Kept>, ShopError> {
        if !path.is_file() {
            return Ok(None);
        }
        let unreadable = |why: String| ShopError::Unreadable {
            path: path.to_owned(),
            why,
        };
        let bytes = read_bounded(path, "file").map_err(unreadable)?;
        let version = Version::of(&bytes);
        let text = String::from_utf8(bytes)
            .map_err(|_| unreadable("it is no text in UTF-8".to_owned()))?;
        Ok(Some(Kept { text, version }))
    }

    /// Writes a file of the folder, whole or not at all, if it still has the version that the change was made from.
    ///
    /// # Errors
    /// [`ShopError::Changed`] where it has another one, unless that is the new text already.
    pub fn write_file(
        &self,
        path: &Path,
        before: &Version,
        text: &str,
    ) -> Result<Version, ShopError> {
        let _turn = self.turn();
        self.put(path, before, text)
    }

    /// Reads a file, changes it, and writes it, while nobody else of this program does.
    ///
    /// # Errors
    /// What `change` refuses, a file that is not there, and what the file system refuses.
    pub fn change_file(
        &self,
        path: &Path,
        change: impl FnOnce(&str) -> Result<String, ShopError>,
    ) -> Result<Kept, ShopError> {
        let _turn = self.turn();
        let kept = self.read_file(path)?.ok_or_else(|| ShopError::Missing {
            what: "file",
            name: path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
        })?;
        let text = change(&kept.text)?;
        let version = self.put(path, &kept.version, &text)?;
        Ok(Kept { text, version })
    }

    fn put(&self, path: &Path, before: &Version, text: &str) -> Result<Version, ShopError> {
        let new = Version::of(text.as_bytes());
        let there = self.read_file(path)?;
        let (now, version) =
            there.map_or_else(Default::default, |kept| (kept.text, kept.version.0));
        if version == new.0 {
            return Ok(new);
        }
        if version != before.0 {
            return Err(ShopError::Changed { now });
        }
        write_alone(path, text)?;
        Ok(new)
    }

    /// Makes a new thing of a text.
    ///
    /// # Errors
    /// A name that is taken.
    pub fn create(&self, shelf: Shelf, name: &Name, text: &str) -> Result<(), ShopError> {
        let _turn = self.turn();
        // Where a file system makes no difference between capitals and small letters, two names may be one.
        if self.path(shelf, name).exists() {
            return Err(ShopError::Taken {
                what: shelf.one(),
                name: name.to_string(),
            });
        }
        write_alone(&self.main_file(shelf, name), text)
    }

    /// Makes a new folder of files, all of them or none, under a name that is free: a number goes behind it where it is taken.
    ///
    /// # Errors
    /// What the file system refuses.
    pub fn create_folder(
        &self,
        shelf: Shelf,
        wish: &Name,
        files: &OutputSet,
    ) -> Result<Name, ShopError> {
        let _turn = self.turn();
        let mut count = 1;
        let mut name = wish.clone();
        while self.path(shelf, &name).exists() {
            count += 1;
            name = Name::parse(&format!("{wish} {count}"))?;
        }
        files.write(&self.path(shelf, &name))?;
        Ok(name)
    }

    /// Puts a thing away into `archive/`, under a name that is free there.
    ///
    /// # Errors
    /// One that is not there, or what the file system refuses.
    pub fn put_away(&self, shelf: Shelf, name: &Name) -> Result<PathBuf, ShopError> {
        let _turn = self.turn();
        let from = self.path(shelf, name);
        if !from.exists() {
            return Err(ShopError::Missing {
                what: shelf.one(),
                name: name.to_string(),
            });
        }
        let folder = self.root.join("archive").join(shelf.folder());
        let io = |doing, path: &Path, source| ShopError::Io {
            doing,
            path: path.to_owned(),
            source,
        };
        fs::create_dir_all(&folder).map_err(|error| io("make the folder", &folder, error))?;
        let end = if shelf.is_of_folders() { "" } else { ".toml" };
        let to = (1..)
            .map(|count| match count {
                1 => folder.join(format!("{name}{end}")),
                _ => folder.join(format!("{name} ({count}){end}")),
            })
            .find(|path| !path.exists())
            .unwrap_or_else(|| folder.join(name.as_str()));
        fs::rename(&from, &to).map_err(|error| io("put away", &from, error))?;
        Ok(to)
    }

    fn turn(&self) -> MutexGuard<'_, ()> {
        // A panic elsewhere leaves files whole: they are replaced at once.
        self.turn.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Replaces one file by way of a temporary one beside it, which is on the disk before it takes the name.
fn write_alone(path: &Path, text: &str) -> Result<(), ShopError> {
    let io = |doing: &'static str| {
        move |source| ShopError::Io {
            doing,
            path: path.to_owned(),
            source,
        }
    };
    let (Some(folder), Some(name)) = (path.parent(), path.file_name()) else {
        return Err(io("write")(ErrorKind::InvalidInput.into()));
    };
    fs::create_dir_all(folder).map_err(io("make the folder of"))?;
    let mut files = OutputSet::new();
    files.add(name.to_string_lossy(), text);
    files.write(folder)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shop() -> (tempfile::TempDir, Shop) {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let shop = Shop::open(folder.path()).expect("a shop");
        (folder, shop)
    }

    fn name(text: &str) -> Name {
        Name::parse(text).expect("a name")
    }

    #[test]
    fn the_second_of_two_changes_is_refused_and_shows_the_first() {
        let (_folder, shop) = shop();
        let van = name("van");
        shop.create(Shelf::Vehicles, &van, "a = 1\n").expect("new");
        assert!(matches!(
            shop.create(Shelf::Vehicles, &van, ""),
            Err(ShopError::Taken { .. })
        ));
        let read = shop.read(Shelf::Vehicles, &van).expect("there");
        let path = shop.main_file(Shelf::Vehicles, &van);
        shop.write_file(&path, &read.version, "a = 2\n")
            .expect("unchanged");
        let refused = shop.write_file(&path, &read.version, "a = 3\n");
        assert!(matches!(refused, Err(ShopError::Changed { now }) if now == "a = 2\n"));
        shop.write_file(&path, &read.version, "a = 2\n")
            .expect("the same once more");
        let leftover = fs::read_dir(shop.root().join("vehicles"))
            .expect("folder")
            .count();
        assert_eq!(leftover, 1, "one file, nothing beside it");
    }

    #[test]
    fn a_second_folder_of_one_name_gets_a_number_and_the_first_stays() {
        let (_folder, shop) = shop();
        let record = name("2026-03-02 order 17");
        for (text, expected) in [("a", "2026-03-02 order 17"), ("b", "2026-03-02 order 17 2")] {
            let mut files = OutputSet::new();
            files.add("job.toml", text);
            let made = shop.create_folder(Shelf::Records, &record, &files);
            let made = made.expect("room for it");
            assert_eq!(made.as_str(), expected);
            let kept = shop.read(Shelf::Records, &made).expect("there");
            assert_eq!(kept.text, text);
        }
    }

    #[test]
    fn what_is_put_away_is_kept_and_its_name_is_free() {
        let (_folder, shop) = shop();
        let job = name("order 17");
        for text in ["a = 1\n", "a = 2\n"] {
            shop.create(Shelf::Jobs, &job, text).expect("new");
            assert_eq!(shop.names(Shelf::Jobs), std::slice::from_ref(&job));
            let away = shop.put_away(Shelf::Jobs, &job).expect("there");
            assert_eq!(
                fs::read_to_string(away.join("job.toml")).expect("kept"),
                text
            );
            assert!(shop.names(Shelf::Jobs).is_empty());
        }
    }
}
