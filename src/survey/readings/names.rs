//! Marks found by what people write for them.

use std::collections::BTreeMap;

use super::ReadingFault;
use crate::source::nearest;

/// Most names that a message lists.
const LISTED: usize = 24;

/// The names that readings may use, each for a point.
#[derive(Default)]
pub(super) struct Names {
    exact: BTreeMap<String, usize>,
    /// By the name without blanks and capitals; several points where that makes them alike.
    alike: BTreeMap<String, Vec<usize>>,
    ids: Vec<String>,
}

impl Names {
    /// Adds a name and tells its index; that of an earlier one where the name is known.
    pub(super) fn add(&mut self, id: &str) -> usize {
        if let Some(&index) = self.exact.get(id) {
            return index;
        }
        let index = self.ids.len();
        self.exact.insert(id.to_owned(), index);
        self.alike.entry(plain(id)).or_default().push(index);
        self.ids.push(id.to_owned());
        index
    }

    /// The index of a name as written; capitals and blanks make no difference where one name alone is meant. `None` where
    /// none is, or several are.
    pub(super) fn known(&self, written: &str) -> Option<usize> {
        if let Some(&index) = self.exact.get(written) {
            return Some(index);
        }
        match self.alike.get(&plain(written)).map(Vec::as_slice) {
            Some(&[index]) => Some(index),
            _ => None,
        }
    }

    /// As [`Names::known`], for a name that must be there.
    ///
    /// # Errors
    /// With the nearest name or the known ones.
    pub(super) fn find(&self, written: &str) -> Result<usize, ReadingFault> {
        if let Some(index) = self.known(written) {
            return Ok(index);
        }
        match self.alike.get(&plain(written)).map(Vec::as_slice) {
            Some(several) => Err(ReadingFault::Ambiguous {
                written: clipped(written),
                like: several
                    .iter()
                    .map(|index| self.ids[*index].clone())
                    .collect(),
            }),
            None => {
                let known: Vec<&str> = self.ids.iter().map(String::as_str).collect();
                Err(ReadingFault::NoMark {
                    written: clipped(written),
                    near: nearest(written, &known).map(str::to_owned),
                    known: self.ids.iter().take(LISTED).cloned().collect(),
                    more: known.len() > LISTED,
                })
            }
        }
    }
}

fn plain(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_whitespace())
        .flat_map(char::to_lowercase)
        .collect()
}

fn clipped(name: &str) -> String {
    name.chars().filter(|c| !c.is_control()).take(60).collect()
}
