//! Tables of a TOML file, asked key by key.

use std::{
    cell::{Cell, RefCell},
    ops::Range,
    sync::Arc,
};

use toml::de::DeTable;

use super::{
    Entry, Fault, Faults, Place,
    fault::FAULTS_KEPT,
    kind::{no_toml, other_format},
    misplaced::{FILE, Keys, Unknown},
    syntax::broken_line,
};

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
        let whole = || Place::whole(&self.name);
        if self.text.len() > MOST_TOML_BYTES {
            return Err(Faults::from(whole().fault(format!(
                "the file is larger than {} MB; check the path: no TOML file that is read here is",
                MOST_TOML_BYTES / 1_000_000
            ))));
        }
        if let Some(message) = no_toml(&self.name, &self.text, format) {
            return Err(whole().fault(message).into());
        }
        let line_starts = std::iter::once(0)
            .chain(self.text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        let reader = Reader {
            source: self,
            line_starts,
            faults: RefCell::default(),
            further: Cell::new(0),
            keys: RefCell::default(),
            nothing: DeTable::new(),
            learning: Cell::new(false),
        };
        let (tree, errors) = DeTable::parse_recoverable(&self.text);
        reader.refuse_syntax(&errors);
        Faults::none_in(reader.taken())?;
        let root = Table::new(&reader, tree.get_ref(), 0..0, FILE);
        if !right_format(&root, format) {
            return Err(Faults(reader.taken()));
        }
        let built = build(&root);
        root.refuse_unknown();
        reader.refuse_unknown();
        Ok((built, reader.taken()))
    }
}

fn right_format(root: &Table<'_>, format: &str) -> bool {
    let kind = format.split('/').next().unwrap_or(format);
    let Some(entry) = root.entry("format") else {
        root.fault(format!(
            "`format` is missing; a {kind} file begins with the line: format = \"{format}\""
        ));
        return false;
    };
    match entry.reference() {
        Some(found) if found == format => true,
        Some(found) => {
            other_format(&entry, &found, format);
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
    /// How many faults there are besides.
    further: Cell<usize>,
    keys: RefCell<Keys>,
    /// The table that stands for one that is not there.
    nothing: DeTable<'static>,
    /// True while a table that is not there is asked for its keys.
    learning: Cell<bool>,
}

impl Reader<'_> {
    pub(super) fn fault(&self, span: &Range<usize>, message: impl std::fmt::Display) {
        if self.learning.get() {
            return;
        }
        if self.faults.borrow().len() < FAULTS_KEPT {
            let fault = self.place(span).fault(message);
            self.faults.borrow_mut().push(fault);
        } else {
            self.further.set(self.further.get() + 1);
        }
    }

    /// The faults so far, taken out.
    fn taken(&self) -> Vec<Fault> {
        let mut faults = self.faults.take();
        let further = self.further.take();
        if further > 0 {
            faults.push(self.place(&(self.source.text.len()..0)).further(further));
        }
        faults
    }

    /// Leaves a fault for each line that is no TOML: what else is wrong with such a line follows from that.
    fn refuse_syntax(&self, errors: &[toml::de::Error]) {
        let mut last = None;
        for error in errors {
            let span = error.span().unwrap_or(0..0);
            let line = self.place(&span).line;
            if last.replace(line) != Some(line) {
                let message = broken_line(&self.source.text, span.start, error.message());
                self.fault(&span, message);
            }
        }
    }

    /// Leaves a fault for every key that its table does not know.
    fn refuse_unknown(&self) {
        for (span, message) in self.keys.borrow().faults() {
            self.fault(span, message);
        }
    }

    /// What stands in the text, quotation marks and all.
    pub(super) fn written(&self, span: &Range<usize>) -> &str {
        self.source.text.get(span.clone()).unwrap_or_default()
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

    /// What `read` makes of the table of a key, `Some(None)` where there is none. Then its keys are learned all the same, so that
    /// one that stands elsewhere is sent below its heading.
    pub fn below<T>(
        &self,
        key: &'static str,
        read: impl Fn(&Table<'r>) -> Option<T>,
    ) -> Option<Option<T>> {
        let entry = self.entry(key);
        let table = match &entry {
            Some(entry) => entry.table()?,
            None => Table::new(
                self.reader,
                &self.reader.nothing,
                self.span.clone(),
                format!("[{key}]"),
            ),
        };
        let before = self.reader.learning.get();
        self.reader.learning.set(before || entry.is_none());
        let made = read(&table);
        table.refuse_unknown();
        self.reader.learning.set(before);
        if entry.is_none() {
            return Some(None);
        }
        made.map(Some)
    }

    /// Where a key belongs that stands in a table called `table`, as the end of a sentence; of tables that were read.
    #[must_use]
    pub fn home(&self, key: &str, table: &str) -> Option<String> {
        let mut keys = self.reader.keys.borrow_mut();
        keys.learn(&self.what, &self.asked.borrow());
        keys.home(key, table)
    }

    /// Leaves a fault for every key that nobody asked for, with where it belongs or the nearest key that is known.
    pub fn refuse_unknown(&self) {
        let asked = self.asked.borrow();
        let mut keys = self.reader.keys.borrow_mut();
        keys.learn(&self.what, &asked);
        for (name, _) in self.map.iter() {
            let key = name.get_ref().as_ref();
            if !asked.contains(&key) {
                let remedy = nearest(key, &asked).map_or_else(
                    || format!("known keys: {}", listed(&asked)),
                    |known| format!("did you mean `{known}`?"),
                );
                keys.miss(Unknown {
                    key: key.to_owned(),
                    span: name.span(),
                    table: self.what.clone(),
                    remedy,
                });
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
