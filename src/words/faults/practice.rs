//! Why exercises cannot be made.

use std::fmt;

use crate::practice::{PracticeError, SheetError};

impl fmt::Display for SheetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "sheet {} ({}): {}; ",
            self.number, self.subject, self.cause
        )?;
        if !self.levels.is_empty() {
            let levels: Vec<String> = self
                .levels
                .iter()
                .map(|level| level.number().to_string())
                .collect();
            write!(f, "take level {}, or ", levels.join(" or "))?;
        }
        write!(f, "take another vehicle or template")?;
        if !self.kinds.is_empty() {
            let kinds: Vec<&str> = self.kinds.iter().map(|kind| kind.word()).collect();
            write!(
                f,
                ", or leave \"{}\" out, which leaves the kinds {}",
                self.kind.word(),
                kinds.join(",")
            )?;
        }
        Ok(())
    }
}

impl fmt::Display for PracticeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsound(reason) => write!(f, "{reason}"),
            Self::Layout(faults) => write!(f, "{faults}"),
            Self::Sheet(error) => write!(f, "{error}"),
        }
    }
}

/// What is said of a kind that is left out of a set.
#[must_use]
pub fn left_out(missing: &SheetError) -> String {
    let (kind, level) = (missing.kind.word(), missing.level.number());
    let mut text = format!("\"{kind}\" at level {level} is left out: {}", missing.cause);
    let levels: Vec<String> = missing
        .levels
        .iter()
        .map(|level| level.number().to_string())
        .collect();
    if !levels.is_empty() {
        text += &format!("; level {} can be made", levels.join(" or "));
    }
    text
}
