//! Keys that nobody asked for, and where they belong.
//!
//! In TOML everything below a heading belongs to it, up to the next one: a line added at the end of a file is rarely where it was meant
//! to be. So each table leaves its keys here, and once all of a file is read a key that is another table's is sent there.

use std::ops::Range;

/// How the table is called that a file begins with.
pub(super) const FILE: &str = "the file";

/// Most tables that a message sends a key to.
const MOST_HOMES: usize = 3;

/// The keys of a file's tables, as they were asked for.
#[derive(Default)]
pub(super) struct Keys {
    known: Vec<(String, Vec<&'static str>)>,
    unknown: Vec<Unknown>,
}

/// A key that a table does not know.
pub(super) struct Unknown {
    pub key: String,
    pub span: Range<usize>,
    /// The table that it stands in.
    pub table: String,
    /// What is said of it where no other table knows it either.
    pub remedy: String,
}

impl Keys {
    /// Adds the keys of a table to those of tables of its name.
    pub fn learn(&mut self, table: &str, keys: &[&'static str]) {
        match self.known.iter_mut().find(|(name, _)| name == table) {
            Some((_, known)) => known.extend(
                keys.iter()
                    .filter(|key| !known.contains(key))
                    .copied()
                    .collect::<Vec<_>>(),
            ),
            None => self.known.push((table.to_owned(), keys.to_vec())),
        }
    }

    /// Adds a key that its table does not know.
    pub fn miss(&mut self, unknown: Unknown) {
        self.unknown.push(unknown);
    }

    /// Where a key belongs that stands in `table`, as the end of a sentence.
    pub fn home(&self, key: &str, table: &str) -> Option<String> {
        let homes: Vec<&str> = self
            .known
            .iter()
            .filter(|(name, keys)| name != table && keys.contains(&key))
            .map(|(name, _)| name.as_str())
            .collect();
        match homes.as_slice() {
            [] => None,
            homes if homes.contains(&FILE) => Some(
                "it belongs to the file itself: move it up, above the first [heading]".to_owned(),
            ),
            homes => Some(format!(
                "it belongs below {}: move it there",
                homes[..homes.len().min(MOST_HOMES)].join(" or ")
            )),
        }
    }

    /// Each unknown key's place with what is wrong with it, once all tables are read.
    pub fn faults(&self) -> impl Iterator<Item = (&Range<usize>, String)> {
        self.unknown.iter().map(|unknown| {
            let Unknown {
                key, span, table, ..
            } = unknown;
            let remedy = self.home(key, table);
            let remedy = remedy.as_ref().unwrap_or(&unknown.remedy);
            (span, format!("`{key}` is not a key of {table}; {remedy}"))
        })
    }
}
