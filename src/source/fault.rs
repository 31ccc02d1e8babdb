//! What is wrong, and where.

use std::{fmt, sync::Arc};

/// Faults of one file whose sentences are kept: whoever has more has given the wrong file. The others are counted.
pub(super) const FAULTS_KEPT: usize = 100;

/// A place in an input: file (or flag), line and column from 1; line 0 when the input has no lines.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Path of the file, name of a built-in text, or the flag.
    pub file: Arc<str>,
    /// Line from 1, or 0.
    pub line: usize,
    /// Column in characters from 1, or 0.
    pub column: usize,
}

impl Place {
    /// The place of something that has no lines: a flag, a whole file.
    #[must_use]
    pub fn whole(file: &str) -> Self {
        Self {
            file: file.into(),
            line: 0,
            column: 0,
        }
    }

    /// A fault at this place: a whole sentence, or data that has one.
    #[must_use]
    pub fn fault(&self, message: impl fmt::Display) -> Fault {
        Fault {
            place: self.clone(),
            message: message.to_string(),
            by_naming: None,
            further: None,
        }
    }

    /// What stands for faults whose sentences are not kept.
    pub(super) fn further(&self, count: usize) -> Fault {
        Fault {
            further: Some(count),
            ..self.fault(format!("and {count} more faults"))
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}", self.file),
            line => write!(f, "{}:{line}:{}", self.file, self.column),
        }
    }
}

/// A value with the place it was read from.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Where it stood.
    pub place: Place,
}

/// One thing that is wrong: what was found, what was expected, how to mend it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// Where.
    pub place: Place,
    /// A whole sentence.
    pub message: String,
    /// What to name to mend it; whoever shows the fault says how it is named.
    pub by_naming: Option<Named>,
    /// How many faults it stands for, where it is one for all whose sentences are not kept.
    further: Option<usize>,
}

/// A thing that may be named beside an input.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    /// The job that an input belongs to.
    Job,
    /// That job, or all that its layout is made of.
    Layout,
}

impl Fault {
    /// The same, to be mended by naming something.
    #[must_use]
    pub fn by_naming(self, thing: Named) -> Self {
        Self {
            by_naming: Some(thing),
            ..self
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // What is quoted may have line breaks in it, and a message is one line.
        let text = format!("{}: {}", self.place, self.message);
        f.write_str(&text.replace('\n', "\\n"))
    }
}

/// Everything that is wrong with an input, by place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Faults(pub(super) Vec<Fault>);

impl Faults {
    /// `Err` with the faults in order of their place, or `Ok` when there are none.
    ///
    /// # Errors
    /// When `faults` is not empty.
    pub fn none_in(mut faults: Vec<Fault>) -> Result<(), Self> {
        if faults.is_empty() {
            return Ok(());
        }
        faults.sort();
        faults.dedup();
        Err(Self(faults))
    }

    /// All results, or the faults of all that failed.
    ///
    /// # Errors
    /// When one of them failed.
    pub fn in_all<T>(results: impl Iterator<Item = Result<T, Self>>) -> Result<Vec<T>, Self> {
        let (mut done, mut faults) = (Vec::new(), Vec::new());
        for result in results {
            match result {
                Ok(one) => done.push(one),
                Err(Self(found)) => faults.extend(found),
            }
        }
        Self::none_in(faults).map(|()| done)
    }

    /// Both results, or the faults of both.
    ///
    /// # Errors
    /// When one of them failed.
    pub fn in_both<A, B>(a: Result<A, Self>, b: Result<B, Self>) -> Result<(A, B), Self> {
        match (a, b) {
            (Ok(a), Ok(b)) => Ok((a, b)),
            (a, b) => {
                let faults = a
                    .err()
                    .into_iter()
                    .chain(b.err())
                    .flat_map(|faults| faults.0)
                    .collect();
                Err(Self::none_in(faults).expect_err("one of them failed"))
            }
        }
    }

    /// The same faults with their sentences worded anew.
    #[must_use]
    pub fn reworded(self, word: impl Fn(&str) -> String) -> Self {
        let anew = |fault: Fault| Fault {
            message: word(&fault.message),
            ..fault
        };
        Self(self.0.into_iter().map(anew).collect())
    }

    /// What went well; the faults of what did not are added to others.
    pub fn kept<T>(result: Result<T, Self>, others: &mut Vec<Fault>) -> Option<T> {
        result.map_err(|Self(faults)| others.extend(faults)).ok()
    }

    /// How many there are, with those whose sentences are not kept.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.iter().map(|fault| fault.further.unwrap_or(1)).sum()
    }

    /// The faults whose sentences are kept, ordered by file, line and column.
    pub fn kept_ones(&self) -> impl Iterator<Item = &Fault> {
        self.0.iter().filter(|fault| fault.further.is_none())
    }

    /// The faults, ordered by file, line and column; one at the end of a file's may stand for more.
    #[must_use]
    pub fn list(&self) -> &[Fault] {
        &self.0
    }
}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Self {
        Self(vec![fault])
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, fault) in self.0.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            write!(f, "{fault}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
