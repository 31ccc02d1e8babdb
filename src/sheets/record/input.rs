//! What the record shows beside the layout.

use crate::{
    survey::{Assessment, Verdict},
    words::CheckWords,
};

/// A judged layout, ready for paper.
#[derive(Clone, Copy, Debug)]
pub struct RecordInput<'a> {
    /// The judgement.
    pub assessment: &'a Assessment,
    /// What is said of it, the same as in the report.
    pub words: &'a CheckWords,
    /// What was taped, in the order of the form.
    pub readings: &'a [RecordReading],
    /// What the grid's place as a whole is told against, where it is known: "the vehicle", "the fixed points".
    pub against: &'a str,
    /// What levels of the floor came to, whole sentences; empty where none were taken.
    pub levels: &'a [String],
    /// SHA-256 of all inputs as hexadecimal digits; the first 16 are shown.
    pub hash: &'a str,
    /// Version of the tool.
    pub version: &'a str,
}

impl RecordInput<'_> {
    /// True where the readings tie a mark of the layout to the vehicle or to fixed points.
    #[must_use]
    pub fn tied(&self) -> bool {
        let marks = self.assessment.marks.iter();
        marks
            .filter(|mark| mark.design.is_some() || mark.tolerance.is_some())
            .any(|mark| mark.to_datum.is_some())
    }
}

/// Hexadecimal digits of the hash on paper: 64 bit, more than enough to tell one file of readings from another.
pub const HASH_DIGITS: usize = 16;

/// A reading as it stands on the record, lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordReading {
    /// Name of the mark at one end.
    pub from: String,
    /// Name of the mark at the other end.
    pub to: String,
    /// The mark whose distance from the line `from`–`to` was read; `None` where the distance between the two was.
    pub beside: Option<String>,
    /// What it should be; `None` where nothing is designed, as to a helping point.
    pub design: Option<f64>,
    /// What was read.
    pub measured: f64,
    /// How far it may differ, either way; `None` where it has no limit.
    pub limit: Option<f64>,
    /// Within the limit, beyond it, or not to be told; `None` where it has no limit.
    pub verdict: Option<Verdict>,
    /// True for a reading that contradicts the others and was set aside.
    pub suspect: bool,
}

impl RecordReading {
    /// Reading minus design, mm.
    #[must_use]
    pub fn difference(&self) -> Option<f64> {
        self.design.map(|design| self.measured - design)
    }

    /// The line that was taped: `1L–4R`, or `2C off 1C–4C`.
    #[must_use]
    pub fn line(&self) -> String {
        let line = format!("{}–{}", self.from, self.to);
        self.beside
            .as_ref()
            .map_or_else(|| line.clone(), |mark| format!("{mark} off {line}"))
    }

    /// How much the reading asks to be looked at: greater is worse.
    #[must_use]
    pub fn gravity(&self) -> (bool, Option<Verdict>) {
        (self.suspect, self.verdict)
    }
}
