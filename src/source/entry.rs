//! One value of a TOML file, asked for what it should be.

use std::ops::{Range, RangeInclusive};

use toml::{Spanned, de::DeValue};

use super::{Place, Placed, Reader, Table, table::nearest};
use crate::units::{
    LengthError, is_sane_angle, is_sane_coordinate, is_sane_length, mm_exact, parse_angle,
    parse_coordinate, parse_length,
};

/// Most characters that a text may have: more than a title block or a checklist line can show.
const LONGEST_TEXT: usize = 160;

/// Most texts of one list.
const MOST_TEXTS: usize = 400;

/// A key with its value. Every question that goes wrong leaves a fault and answers `None`.
pub struct Entry<'r> {
    reader: &'r Reader<'r>,
    key: String,
    key_span: Range<usize>,
    span: Range<usize>,
    value: &'r DeValue<'r>,
}

impl<'r> Entry<'r> {
    pub(super) fn new(
        reader: &'r Reader<'r>,
        key: &str,
        key_span: Range<usize>,
        value: &'r Spanned<DeValue<'r>>,
    ) -> Self {
        Self {
            reader,
            key: key.to_owned(),
            key_span,
            span: value.span(),
            value: value.get_ref(),
        }
    }

    pub(super) fn key_start(&self) -> usize {
        self.key_span.start
    }

    /// Leaves a fault at the value's place.
    pub fn fault(&self, message: impl std::fmt::Display) {
        self.reader.fault(&self.span, message);
    }

    /// Where the value stands.
    #[must_use]
    pub fn place(&self) -> Place {
        self.reader.place(&self.span)
    }

    /// Where the key stands.
    #[must_use]
    pub fn key_place(&self) -> Place {
        self.reader.place(&self.key_span)
    }

    /// The value with its place.
    pub fn placed<T>(&self, value: T) -> Placed<T> {
        Placed {
            value,
            place: self.place(),
        }
    }

    fn wrong_type<T>(&self, expected: &str) -> Option<T> {
        self.fault(format!(
            "`{}` is {}; expected {expected}",
            self.key,
            article(self.value.type_str())
        ));
        None
    }

    /// Text that is not blank.
    #[must_use]
    pub fn text(&self) -> Option<String> {
        let Some(text) = self.value.as_str() else {
            return self.wrong_type("text in quotes");
        };
        if text.trim().is_empty() {
            self.fault(format!(
                "`{}` is empty; write some text, or leave the line out",
                self.key
            ));
            return None;
        }
        self.printable(text)
    }

    /// Text that may be blank.
    #[must_use]
    pub fn any_text(&self) -> Option<String> {
        match self.value.as_str() {
            Some(text) => self.printable(text),
            None => self.wrong_type("text in quotes"),
        }
    }

    /// Text for paper: one line of characters that can be printed, not endlessly long.
    fn printable(&self, text: &str) -> Option<String> {
        let text = text.trim();
        if text.chars().any(char::is_control) {
            self.fault(format!(
                "`{}` has a line break or a control character in it; write it on one line",
                self.key
            ));
            return None;
        }
        if text.chars().count() > LONGEST_TEXT {
            self.fault(format!(
                "`{}` is longer than {LONGEST_TEXT} characters; shorten it",
                self.key
            ));
            return None;
        }
        Some(text.to_owned())
    }

    /// Text that may be blank, or a TOML date as it is written.
    #[must_use]
    pub fn any_text_or_date(&self) -> Option<String> {
        match self.value.as_datetime() {
            Some(date) => Some(date.to_string()),
            None => self.any_text(),
        }
    }

    /// A list of texts, none of them blank.
    #[must_use]
    pub fn texts(&self) -> Option<Vec<Placed<String>>> {
        let items = self.items("a list of texts, as in [\"one\", \"two\"]")?;
        if items.len() > MOST_TEXTS {
            self.fault(format!(
                "`{}` has {} texts; expected at most {MOST_TEXTS}: leave some out",
                self.key,
                items.len()
            ));
            return None;
        }
        items
            .iter()
            .map(|item| item.text().map(|text| item.placed(text)))
            .collect()
    }

    /// One of `choices`, by its word.
    #[must_use]
    pub fn choice<T: Copy>(&self, choices: &[(&str, T)]) -> Option<T> {
        let text = self.text()?;
        if let Some((_, choice)) = choices
            .iter()
            .find(|(word, _)| word.eq_ignore_ascii_case(&text))
        {
            return Some(*choice);
        }
        let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
        let hint = nearest(&text, &words)
            .map_or_else(String::new, |word| format!("; did you mean \"{word}\"?"));
        let list: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
        self.fault(format!(
            "\"{text}\" is not a known `{}`; expected one of {}{hint}",
            self.key,
            list.join(", ")
        ));
        None
    }

    /// A whole number within a range.
    #[must_use]
    pub fn count(&self, range: RangeInclusive<i64>) -> Option<usize> {
        let read = match self.value {
            DeValue::Integer(number) => {
                i64::from_str_radix(&number.as_str().replace('_', ""), number.radix()).ok()
            }
            _ => {
                return self.wrong_type(&format!(
                    "a whole number from {} to {}",
                    range.start(),
                    range.end()
                ));
            }
        };
        match read {
            Some(number) if range.contains(&number) => usize::try_from(number).ok(),
            _ => {
                self.fault(format!(
                    "`{}` is out of range; expected a whole number from {} to {}",
                    self.key,
                    range.start(),
                    range.end()
                ));
                None
            }
        }
    }

    /// A finite number.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        self.finite(self.raw_number()?)
    }

    /// True or false.
    #[must_use]
    pub fn flag(&self) -> Option<bool> {
        self.value
            .as_bool()
            .or_else(|| self.wrong_type("true or false"))
    }

    /// A length in mm: a number of mm, or text with a unit.
    #[must_use]
    pub fn length(&self) -> Option<f64> {
        self.millimetres(
            parse_length,
            is_sane_length,
            "a length of at most 100 km, in mm",
        )
    }

    /// A coordinate in mm, written as a length is; it may be that of a national grid.
    #[must_use]
    pub fn coordinate(&self) -> Option<f64> {
        self.millimetres(
            parse_coordinate,
            is_sane_coordinate,
            "a coordinate of at most 10 000 km, in mm",
        )
    }

    fn millimetres(
        &self,
        parse: fn(&str) -> Result<f64, LengthError>,
        is_sane: fn(f64) -> bool,
        expected: &str,
    ) -> Option<f64> {
        match self.value {
            DeValue::String(text) => self.or_fault(parse(text)),
            DeValue::Integer(_) | DeValue::Float(_) => self.sane(self.number()?, is_sane, expected),
            _ => self.wrong_type(
                "a length: a number of mm, or text such as \"900 mm\" or \"35 7/16 in\"",
            ),
        }
    }

    /// A length in mm within a range that makes sense for `what`.
    #[must_use]
    pub fn length_within(&self, range: RangeInclusive<f64>, what: &str) -> Option<f64> {
        let length = self.length()?;
        if range.contains(&length) {
            return Some(length);
        }
        self.fault(format!(
            "`{}` is {} mm; expected {} to {} mm for {what}: check the number and its unit",
            self.key,
            mm_exact(length, 3),
            mm_exact(*range.start(), 3),
            mm_exact(*range.end(), 3)
        ));
        None
    }

    /// An angle in degrees.
    #[must_use]
    pub fn angle(&self) -> Option<f64> {
        match self.value {
            DeValue::String(text) => self.or_fault(parse_angle(text)),
            DeValue::Integer(_) | DeValue::Float(_) => {
                self.sane(self.number()?, is_sane_angle, "degrees from -360 to 360")
            }
            _ => self.wrong_type("an angle in degrees, as in 30 or \"30 deg\""),
        }
    }

    /// The text, when the value is text.
    #[must_use]
    pub fn as_text(&self) -> Option<&str> {
        self.value.as_str()
    }

    /// True when the value is a table.
    #[must_use]
    pub fn is_table(&self) -> bool {
        self.value.is_table()
    }

    /// The value as written, for quoting it in a later reading.
    #[must_use]
    pub fn written(&self) -> Option<String> {
        match self.value {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(_) | DeValue::Float(_) => {
                self.number().map(|number| number.to_string())
            }
            _ => self.wrong_type("a number, or text such as \"900 mm\""),
        }
    }

    /// A table.
    #[must_use]
    pub fn table(&self) -> Option<Table<'r>> {
        match self.value.as_table() {
            Some(map) => Some(Table::new(
                self.reader,
                map,
                self.key_span.clone(),
                format!("[{}]", self.key),
            )),
            None => self.wrong_type("a table"),
        }
    }

    /// The tables of an array of tables.
    #[must_use]
    pub fn tables(&self) -> Vec<Table<'r>> {
        let Some(items) = self.items(&format!("tables headed [[{}]]", self.key)) else {
            return Vec::new();
        };
        items
            .iter()
            .filter_map(|item| match item.value.as_table() {
                Some(map) => Some(Table::new(
                    self.reader,
                    map,
                    item.span.clone(),
                    format!("[[{}]]", self.key),
                )),
                None => item.wrong_type(&format!("tables headed [[{}]]", self.key)),
            })
            .collect()
    }

    /// The items of a list.
    #[must_use]
    pub fn items(&self, expected: &str) -> Option<Vec<Entry<'r>>> {
        let Some(array) = self.value.as_array() else {
            return self.wrong_type(expected);
        };
        Some(
            array
                .iter()
                .map(|item| Entry::new(self.reader, &self.key, self.key_span.clone(), item))
                .collect(),
        )
    }

    fn raw_number(&self) -> Option<f64> {
        let written = match self.value {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().replace('_', ""),
            DeValue::Float(number) => number.as_str().replace('_', ""),
            _ => return self.wrong_type("a number"),
        };
        self.or_fault(
            written
                .parse()
                .map_err(|_| format!("`{}` = {written} cannot be read as a number", self.key)),
        )
    }

    fn sane(&self, number: f64, is_sane: fn(f64) -> bool, expected: &str) -> Option<f64> {
        if is_sane(number) {
            return Some(number);
        }
        self.fault(format!("`{}` is {number:e}; expected {expected}", self.key));
        None
    }

    fn finite(&self, number: f64) -> Option<f64> {
        if number.is_finite() {
            return Some(number);
        }
        self.fault(format!(
            "`{}` is {number}; expected a finite number",
            self.key
        ));
        None
    }

    fn or_fault<T, E: ToString>(&self, result: Result<T, E>) -> Option<T> {
        result.map_err(|error| self.fault(error.to_string())).ok()
    }
}

fn article(type_name: &str) -> String {
    let vowel = type_name.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {type_name}", if vowel { "an" } else { "a" })
}
