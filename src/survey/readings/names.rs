//! Marks found by what people write for them.

use std::collections::BTreeMap;

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
    /// A sentence with the nearest name or the known ones.
    pub(super) fn find(&self, written: &str) -> Result<usize, String> {
        if let Some(index) = self.known(written) {
            return Ok(index);
        }
        match self.alike.get(&plain(written)).map(Vec::as_slice) {
            Some(several) => {
                let several: Vec<String> = several
                    .iter()
                    .map(|index| format!("`{}`", self.ids[*index]))
                    .collect();
                Err(format!(
                    "`{}` may be {}; write it as one of them",
                    clipped(written),
                    several.join(" or ")
                ))
            }
            None => Err(format!(
                "there is no mark `{}`; {}",
                clipped(written),
                self.remedy(written)
            )),
        }
    }

    fn remedy(&self, written: &str) -> String {
        let known: Vec<&str> = self.ids.iter().map(String::as_str).collect();
        let list = known
            .iter()
            .take(LISTED)
            .copied()
            .collect::<Vec<_>>()
            .join(", ");
        let more = if known.len() > LISTED { ", …" } else { "" };
        let near = nearest(written, &known)
            .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        if known.is_empty() {
            return "no marks are known: name the job that the layout was made for, or give marks by [[mark]]"
                .to_owned();
        }
        format!("{near}The marks are: {list}{more}")
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
