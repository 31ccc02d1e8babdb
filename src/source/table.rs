//! Tables of a TOML file, asked key by key.

use std::{cell::RefCell, ops::Range, sync::Arc};

use toml::de::DeTable;

use super::{Entry, FAULTS_KEPT, Fault, Faults, Place};

/// Largest TOML text that is read, bytes: its tree takes some thirty times as much memory, and a file of thousands of
/// readings is smaller.
pub(super) const MOST_TOML_BYTES: usize = 1_000_000;

/// A text to be read and the name under which faults quote it.
#[derive(Clone, Debug)]
pub struct Source {
    /// Path of the file, or "built-in …".
    pub name: Arc<str>,
    /// The whole text.
    pub text: Arc<str>,
    /// True of a text of the program's own, whose numbers are for demonstration; false of a user's file.
    pub built_in: bool,
}

impl Source {
    /// A source from its name and text.
    #[must_use]
    pub fn new(name: &str, text: &str) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
            built_in: false,
        }
    }

    /// A text of the program's own.
    #[must_use]
    pub fn built_in(name: &str, text: &str) -> Self {
        Self {
            built_in: true,
            ..Self::new(&format!("built-in {name}"), text)
        }
    }

    /// Reads the file's tables with `build`, after its `format` key has been found to be `format`.
    /// `build` may give up (`None`) once it has left a fault.
    ///
    /// # Errors
    /// All faults: of the syntax alone where it is broken, else of every value.
    pub fn read<T>(
        &self,
        format: &str,
        build: impl FnOnce(&Table<'_>) -> Option<T>,
    ) -> Result<T, Faults> {
        let (built, faults) = self.read_on(format, build)?;
        Faults::none_in(faults)?;
        Ok(built.expect("a reader that gives up has left a fault"))
    }

    /// As [`read`](Self::read), but what `build` gives is there beside the faults of its values, so that whatever
    /// else goes with the file can be looked at in the same run.
    ///
    /// # Errors
    /// Faults of the syntax, or of the `format`.
    pub fn read_on<T>(
        &self,
        format: &str,
        build: impl FnOnce(&Table<'_>) -> T,
    ) -> Result<(T, Vec<Fault>), Faults> {
        if self.text.len() > MOST_TOML_BYTES {
            let whole = Place::whole(&self.name);
            return Err(Faults::from(whole.fault(format!(
                "the file is larger than {} MB; check the path: no TOML file that is read here is",
                MOST_TOML_BYTES / 1_000_000
            ))));
        }
        let line_starts = std::iter::once(0)
            .chain(self.text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        let reader = Reader {
            source: self,
            line_starts,
            faults: RefCell::default(),
        };
        let (tree, errors) = DeTable::parse_recoverable(&self.text);
        for error in errors {
            reader.fault(
                &error.span().unwrap_or(0..0),
                broken_syntax(error.message()),
            );
        }
        Faults::none_in(reader.faults.take())?;
        let root = Table::new(&reader, tree.get_ref(), 0..0, "the file");
        if !right_format(&root, format) {
            return Err(Faults(reader.faults.take()));
        }
        let built = build(&root);
        root.refuse_unknown();
        Ok((built, reader.faults.take()))
    }
}

fn broken_syntax(message: &str) -> String {
    format!("broken TOML: {message}; every line is `key = value`, a [table] heading or a # comment")
}

fn right_format(root: &Table<'_>, format: &str) -> bool {
    let kind = format.split('/').next().unwrap_or(format);
    let Some(entry) = root.entry("format") else {
        root.fault(format!(
            "`format` is missing; a {kind} file begins with the line: format = \"{format}\""
        ));
        return false;
    };
    match entry.text() {
        Some(found) if found == format => true,
        Some(found) => {
            entry.fault(format!(
                "format \"{found}\" is not read here; expected \"{format}\", a {kind} file of this version"
            ));
            false
        }
        None => false,
    }
}

/// Collects the faults of one source.
pub struct Reader<'r> {
    source: &'r Source,
    /// Where each line begins, so that thousands of places are found without walking the text for each.
    line_starts: Vec<usize>,
    faults: RefCell<Vec<Fault>>,
}

impl Reader<'_> {
    pub(super) fn fault(&self, span: &Range<usize>, message: impl std::fmt::Display) {
        if self.faults.borrow().len() < FAULTS_KEPT {
            let fault = self.place(span).fault(message);
            self.faults.borrow_mut().push(fault);
        }
    }

    pub(super) fn place(&self, span: &Range<usize>) -> Place {
        let text = &self.source.text;
        let end = Some(span.start)
            .filter(|end| text.is_char_boundary(*end))
            .unwrap_or(text.len());
        let line = self.line_starts.partition_point(|start| *start <= end);
        let column = text[self.line_starts[line - 1]..end].chars().count() + 1;
        Place {
            file: self.source.name.clone(),
            line,
            column,
        }
    }
}

/// A table; remembers which keys were asked for, so that the others can be called unknown.
pub struct Table<'r> {
    pub(super) reader: &'r Reader<'r>,
    map: &'r DeTable<'r>,
    span: Range<usize>,
    what: String,
    asked: RefCell<Vec<&'static str>>,
}

impl<'r> Table<'r> {
    pub(super) fn new(
        reader: &'r Reader<'r>,
        map: &'r DeTable<'r>,
        span: Range<usize>,
        what: impl Into<String>,
    ) -> Self {
        Self {
            reader,
            map,
            span,
            what: what.into(),
            asked: RefCell::default(),
        }
    }

    /// The entry of a key, if it is there.
    #[must_use]
    pub fn entry(&self, key: &'static str) -> Option<Entry<'r>> {
        self.know(&[key]);
        let (name, value) = self.map.get_key_value(key)?;
        Some(Entry::new(self.reader, key, name.span(), value))
    }

    /// Declares keys as known, for a reader that may give up before it has asked for all of them.
    pub fn know(&self, keys: &[&'static str]) {
        self.asked.borrow_mut().extend(keys);
    }

    /// The entry of a key that must be there; a fault with `expected` when it is not.
    #[must_use]
    pub fn required(&self, key: &'static str, expected: &str) -> Option<Entry<'r>> {
        let entry = self.entry(key);
        if entry.is_none() {
            self.fault(format!(
                "`{key}` is missing in {}; add {expected}",
                self.what
            ));
        }
        entry
    }

    /// All entries in the order of the file, for tables whose keys are names given by the user.
    #[must_use]
    pub fn entries(&self) -> Vec<(String, Entry<'r>)> {
        let mut entries: Vec<_> = self
            .map
            .iter()
            .map(|(name, value)| {
                (
                    name.get_ref().to_string(),
                    Entry::new(self.reader, name.get_ref(), name.span(), value),
                )
            })
            .collect();
        entries.sort_by_key(|(_, entry)| entry.key_start());
        entries
    }

    /// The tables of an array of tables (`[[key]]`), at most `most`; none when the key is missing.
    #[must_use]
    pub fn tables(&self, key: &'static str, most: usize) -> Vec<Table<'r>> {
        let Some(entry) = self.entry(key) else {
            return Vec::new();
        };
        let tables = entry.tables();
        if tables.len() > most {
            entry.fault(format!(
                "there are {} [[{key}]]; expected at most {most}: leave some out",
                tables.len()
            ));
            return Vec::new();
        }
        tables
    }

    /// Leaves a fault at the table's place.
    pub fn fault(&self, message: impl std::fmt::Display) {
        self.reader.fault(&self.span, message);
    }

    /// Leaves a fault at a place read before.
    pub fn fault_at(&self, place: &Place, message: impl std::fmt::Display) {
        self.reader.faults.borrow_mut().push(place.fault(message));
    }

    /// The table's place.
    #[must_use]
    pub fn place(&self) -> Place {
        self.reader.place(&self.span)
    }

    /// Leaves a fault for every key that nobody asked for, with the nearest key that is known.
    pub fn refuse_unknown(&self) {
        let asked = self.asked.borrow();
        for (name, _) in self.map.iter() {
            let key = name.get_ref().as_ref();
            if !asked.contains(&key) {
                let remedy = nearest(key, &asked).map_or_else(
                    || format!("known keys: {}", listed(&asked)),
                    |known| format!("did you mean `{known}`?"),
                );
                self.reader.fault(
                    &name.span(),
                    format!("`{key}` is not a key of {}; {remedy}", self.what),
                );
            }
        }
    }
}

fn listed(asked: &[&'static str]) -> String {
    let mut keys = asked.to_vec();
    keys.sort_unstable();
    keys.dedup();
    keys.join(", ")
}

/// The known word most like `word`, if one is like it at all.
#[must_use]
pub fn nearest<'k>(word: &str, known: &[&'k str]) -> Option<&'k str> {
    /// Below this Jaro-Winkler similarity a suggestion confuses more than it helps.
    const LIKE: f64 = 0.82;
    known
        .iter()
        .map(|candidate| (strsim::jaro_winkler(word, candidate), *candidate))
        .filter(|(likeness, _)| *likeness >= LIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}
