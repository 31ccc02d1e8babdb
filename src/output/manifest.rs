//! What the program has written into a folder, so that a later run knows what somebody changed since, and whose kit it is.
//!
//! `.baystencil.json` lies beside the files and is replaced with them. Its name begins with a dot because nobody prints it.

use std::{collections::BTreeMap, fs, io::Read, path::Path};

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use super::json::pretty;

/// Plain name of the manifest.
pub(super) const MANIFEST: &str = ".baystencil.json";

/// Version of its format; another is taken for none.
const FORMAT: &str = "manifest/1";

/// A manifest.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Manifest {
    format: String,
    /// What the folder is about, in words that are the same for the same job.
    pub job: Option<String>,
    /// The files by their plain names.
    pub files: BTreeMap<String, Listed>,
}

/// A file that was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Listed {
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
    /// Hash of what it was made from, where it belongs with other files of the same.
    pub input: Option<String>,
}

impl Default for Manifest {
    fn default() -> Self {
        Self {
            format: FORMAT.to_owned(),
            job: None,
            files: BTreeMap::new(),
        }
    }
}

impl Manifest {
    /// That of a folder; an empty one where there is none that can be read.
    pub fn of(folder: &Path) -> Self {
        let read = || {
            let text = fs::read(folder.join(MANIFEST)).ok()?;
            serde_json::from_slice(&text).ok()
        };
        read()
            .filter(|manifest: &Self| manifest.format == FORMAT)
            .unwrap_or_default()
    }

    /// True where a file is there and is byte by byte as it was written.
    pub fn knows(&self, folder: &Path, name: &str) -> bool {
        let listed = self.files.get(name).map(|listed| listed.sha256.as_str());
        listed.is_some() && hash_of(&folder.join(name)).as_deref() == listed
    }

    /// As its file has it.
    pub fn text(&self) -> String {
        pretty(self)
    }
}

/// The hash of a file, `None` where it cannot be read.
pub(super) fn hash_of(path: &Path) -> Option<String> {
    // Whoever opens a pipe waits for its other end.
    let file = path.is_file().then(|| fs::File::open(path))?.ok()?;
    let mut content = Hashed::new(file);
    std::io::copy(&mut content, &mut std::io::sink()).ok()?;
    Some(content.hash())
}

/// The same of bytes.
pub(super) fn hash_of_bytes(bytes: &[u8]) -> String {
    let mut content = Hashed::new(std::io::empty());
    content.digest.update(bytes);
    content.hash()
}

/// What is read on, with the hash of all that was.
pub(super) struct Hashed<R> {
    content: R,
    digest: Sha256,
}

impl<R> Hashed<R> {
    pub fn new(content: R) -> Self {
        Self {
            content,
            digest: Sha256::new(),
        }
    }

    /// SHA-256, hexadecimal.
    pub fn hash(self) -> String {
        let hash = self.digest.finalize();
        hash.iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

impl<R: Read> Read for Hashed<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.content.read(buffer)?;
        self.digest.update(&buffer[..count]);
        Ok(count)
    }
}
