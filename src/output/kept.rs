//! What is not replaced without being told to: files that somebody changed or brought, and the files of another job.
//!
//! Two runs are of one job when they are about the same vehicles, the same template and the same order. Other values, papers, units
//! or modes are the same job corrected: a whole kit replaces the earlier one. A part of a kit replaces nothing beside files that were
//! made from anything else than it is, down to the last setting: old stencils beside a new overview look like one kit.

use std::path::{Path, PathBuf};

use super::{
    OutputSet,
    manifest::{Manifest, hash_of, hash_of_bytes},
};

/// What files come from.
#[derive(Clone, Copy, Default)]
pub struct Origin<'a> {
    /// The job that they are of: the same words for the same job.
    pub job: Option<&'a str>,
    /// Hash of all that they were made from, where they belong with other files of the same.
    pub input: Option<&'a str>,
    /// True for names of files that have no place beside these when they were made from something else.
    pub replaces: Option<fn(&str) -> bool>,
    /// Keep a manifest of these files in the folder.
    pub listed: bool,
}

/// What is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kept {
    /// The folder's files are of another job.
    OtherJob {
        /// The folder.
        folder: PathBuf,
        /// What they are of.
        there: String,
        /// What these are of.
        own: String,
    },
    /// Other files of the folder, which stay, were made with other settings.
    OtherSettings {
        /// The folder.
        folder: PathBuf,
        /// Their names.
        names: Vec<String>,
    },
    /// Files that were changed since they were written, or that somebody else put there.
    Changed {
        /// Their paths.
        paths: Vec<PathBuf>,
    },
}

impl Kept {
    pub(super) fn of(
        folder: &Path,
        manifest: &Manifest,
        files: &OutputSet,
        origin: &Origin<'_>,
    ) -> Option<Self> {
        if let Some((there, own)) = manifest.job.as_deref().zip(origin.job)
            && there != own
        {
            return Some(Self::OtherJob {
                folder: folder.to_path_buf(),
                there: there.to_owned(),
                own: own.to_owned(),
            });
        }
        let changed = files.files().iter().filter(|file| {
            let path = folder.join(&file.name);
            // A link is replaced, whatever it leads to.
            let is_there = path.symlink_metadata().is_ok();
            let same = || {
                let own = files.bytes(&file.name).map(hash_of_bytes);
                own.is_some() && hash_of(&path) == own
            };
            is_there && !file.over_any && !manifest.knows(folder, &file.name) && !same()
        });
        let paths: Vec<PathBuf> = changed.map(|file| folder.join(&file.name)).collect();
        if !paths.is_empty() {
            return Some(Self::Changed { paths });
        }
        let names = origin.strangers(folder, manifest, files);
        let names: Vec<String> = names
            .into_iter()
            .filter(|name| !origin.replaces.is_some_and(|replaces| replaces(name)))
            .collect();
        (!names.is_empty()).then(|| Self::OtherSettings {
            folder: folder.to_path_buf(),
            names,
        })
    }
}

impl Origin<'_> {
    /// Names of listed files, still there and not among these, that were made from something else.
    pub(super) fn strangers(
        &self,
        folder: &Path,
        manifest: &Manifest,
        files: &OutputSet,
    ) -> Vec<String> {
        let Some(own) = self.input else {
            return Vec::new();
        };
        let listed = manifest.files.iter().filter(|(name, listed)| {
            let other = listed.input.as_deref().is_some_and(|input| input != own);
            other && files.names().all(|new| new != *name) && folder.join(name).is_file()
        });
        listed.map(|(name, _)| name.clone()).collect()
    }

    /// Names of files that go when these come: they were written with what these replace, and nobody changed them.
    pub(super) fn superseded(
        &self,
        folder: &Path,
        manifest: &Manifest,
        files: &OutputSet,
    ) -> Vec<String> {
        let mut names = self.strangers(folder, manifest, files);
        names.retain(|name| {
            let listed = manifest.files.get(name).map(|listed| &listed.sha256);
            self.replaces.is_some_and(|replaces| replaces(name))
                && hash_of(&folder.join(name)).as_ref() == listed
        });
        names
    }
}
