//! A row to type a reading into: a form of its own, so that each is saved alone, with or without the script.
//!
//! The script (`assets/live.js`, "Readings") knows: `[data-readings]` around the rows of a form, `form[data-reading]` with the row's
//! key, in it the fields `row`, `line`, `before`, `text` and `side`, and `.state` behind it.

use maud::{Markup, html};

use super::typed::Takes;
use crate::serve::fields::Fields;

/// A row with its cell.
#[derive(Debug)]
pub struct Entry<'a> {
    /// Where its readings are sent.
    pub action: &'a str,
    /// Its number in the form, from 0.
    pub index: usize,
    /// What is read, "1L–2L" or "WFL".
    pub name: &'a str,
    /// The same with what it should be, as the form has it: held against the form when it is sent, so that nothing falls into the row
    /// of another layout.
    pub line: &'a str,
    /// The column of the form, where it has several to write into; else empty.
    pub column: &'a str,
    /// What may be typed.
    pub takes: Takes,
    /// What stands in the form.
    pub cell: &'a str,
    /// The unit of a number without one.
    pub unit: &'a str,
    /// What is read where, and what it should be.
    pub label: Markup,
    /// What is said of what stands in the form.
    pub said: Markup,
    /// True where the page begins to be typed into here.
    pub first: bool,
}

/// What became of what somebody typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Sent {
    /// Nothing was sent for this row.
    #[default]
    Nothing,
    /// It is on the disk.
    Saved,
    /// It was not understood.
    Wrong {
        /// What was typed.
        text: String,
        /// The side of the string that was chosen.
        side: String,
        /// Why, and what to type.
        why: String,
    },
    /// Somebody else typed something else into the same cell.
    Twice {
        /// What was typed here.
        text: String,
        /// The side that was chosen.
        side: String,
    },
}

/// A reading as it was sent.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// The row of the form, from 0.
    pub row: usize,
    /// What the page had the row to be of.
    pub line: String,
    /// What stood in the cell when it was typed.
    pub before: String,
    /// What was typed.
    pub text: String,
    /// The side of a string.
    pub side: String,
    /// The column, where the form has several.
    pub column: String,
    /// True where the script sent it, which wants parts of the page.
    pub live: bool,
}

impl Reading {
    /// From the fields of a form.
    #[must_use]
    pub fn of(fields: &Fields) -> Self {
        let text = |name| fields.get(name).to_owned();
        Self {
            row: fields.get("row").parse().unwrap_or(usize::MAX),
            line: text("line"),
            before: text("before"),
            text: text("text"),
            side: text("side"),
            column: text("column"),
            live: fields.get("live") == "1",
        }
    }
}

impl Entry<'_> {
    /// The row as a list item.
    #[must_use]
    pub fn item(&self, sent: &Sent) -> Markup {
        let index = self.index;
        let (text, side) = match sent {
            Sent::Wrong { text, side, .. } | Sent::Twice { text, side } => {
                (text.as_str(), side.as_str())
            }
            Sent::Nothing | Sent::Saved => self.stored(),
        };
        let wrong = matches!(sent, Sent::Wrong { .. });
        html! {
            li id=(format!("row-{index}")) {
                form.reading method="post" action=(self.action) data-reading=(self.key()) {
                    (self.hidden(self.cell))
                    label for=(format!("reading-{index}")) { (self.label) }
                    span.entry {
                        input id=(format!("reading-{index}")) name="text" value=(text) autocomplete="off" maxlength="40" enterkeyhint="next"
                            inputmode=(self.keypad()) aria-describedby=(format!("said-{index}"))
                            aria-invalid=[wrong.then_some("true")] autofocus[self.first];
                        " " (self.unit) " "
                        @if self.takes == Takes::Beside { (self.side(side)) }
                        button aria-label={ "Save " (self.name) } { "Save" }
                        @if self.takes == Takes::Beside && self.cell.is_empty() {
                            button.second name="text" value="0" aria-label={ (self.name) ": on it" } { "On it" }
                        }
                    }
                }
                div.said id=(format!("said-{index}")) { (self.said_of(sent)) }
            }
        }
    }

    fn key(&self) -> String {
        format!("{} {}", self.column, self.line).trim().to_owned()
    }

    /// Inches need a sign for fractions, and beside a string or below a line a minus, which keypads for numbers do not have.
    fn keypad(&self) -> &'static str {
        match (self.unit, self.takes) {
            ("in", _) | (_, Takes::Height) => "text",
            _ => "decimal",
        }
    }

    fn hidden(&self, before: &str) -> Markup {
        html! {
            input type="hidden" name="row" value=(self.index);
            input type="hidden" name="line" value=(self.line);
            input type="hidden" name="before" value=(before);
            @if !self.column.is_empty() { input type="hidden" name="column" value=(self.column); }
        }
    }

    fn side(&self, chosen: &str) -> Markup {
        html! {
            select name="side" aria-label={ (self.name) ": side" } {
                option value="" selected[chosen.is_empty()] { "left or right?" }
                option value="left" selected[chosen == "left"] { "to the left" }
                option value="right" selected[chosen == "right"] { "to the right" }
            }
        }
    }

    /// What stands in the form, as it is typed: a number, and its side of a string.
    fn stored(&self) -> (&str, &'static str) {
        match (self.takes, self.cell.strip_prefix(['-', '\u{2212}'])) {
            (Takes::Beside, Some(text)) => (text, "right"),
            (Takes::Beside, None) if !self.cell.is_empty() && self.cell != "0" => {
                (self.cell, "left")
            }
            _ => (self.cell, ""),
        }
    }

    fn said_of(&self, sent: &Sent) -> Markup {
        html! {
            @match sent {
                Sent::Wrong { why, .. } => {
                    span.state { "Not saved." } " " span.outside role="alert" { (why) }
                }
                Sent::Twice { text, side } => { (self.both(text, side)) }
                Sent::Saved | Sent::Nothing => {
                    @if !self.cell.is_empty() { span.state { "Saved." } " " (self.said) }
                    @else if *sent == Sent::Saved { span.state { "Saved: taken out." } }
                    @else { span.state {} }
                }
            }
        }
    }

    /// What somebody else typed and what was typed here, and a button for each.
    fn both(&self, text: &str, side: &str) -> Markup {
        let theirs = match self.stored() {
            ("", _) => "nothing any more".to_owned(),
            (text, side) => format!("{text} {side}").trim().to_owned(),
        };
        let (stored, stored_side) = self.stored();
        let yours = format!("{text} {side}");
        let one = |text: &str, side: &str, words: String| {
            html! {
                form method="post" action=(self.action) data-reading=(self.key()) data-decides="1" {
                    (self.hidden(self.cell))
                    input type="hidden" name="text" value=(text);
                    input type="hidden" name="side" value=(side);
                    button { (words) }
                }
            }
        };
        html! {
            div.warning role="alert" {
                p { span.state { "Not saved." } " On the other phone: " strong { (theirs) } "; yours: " strong { (yours.trim()) } ". Which one holds?" }
                div.decide {
                    (one(stored, stored_side, format!("Keep {theirs}")))
                    (one(text, side, format!("Write {}", yours.trim())))
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(cell: &str, takes: Takes) -> String {
        item(cell, takes, &Sent::Nothing)
    }

    fn item(cell: &str, takes: Takes, sent: &Sent) -> String {
        let entry = Entry {
            action: "/jobs/a/floor/reading",
            index: 3,
            name: "1L–2L",
            line: "1L–2L 1370.0",
            column: "",
            takes,
            cell,
            unit: "mm",
            label: html! { "2L" },
            said: html! { "3 mm longer" },
            first: false,
        };
        entry.item(sent).into_string()
    }

    #[test]
    fn saved_is_said_of_what_stands_in_the_form_alone() {
        assert!(!entry("", Takes::Length).contains("Saved"));
        assert!(entry("1371", Takes::Length).contains("Saved."));
        let wrong = Sent::Wrong {
            text: "long".to_owned(),
            side: String::new(),
            why: "no length".to_owned(),
        };
        let page = item("1371", Takes::Length, &wrong);
        assert!(page.contains("Not saved.") && !page.contains("Saved."));
        assert!(page.contains("value=\"long\"") && page.contains("name=\"before\" value=\"1371\""));
    }

    #[test]
    fn beside_a_string_the_sign_is_a_side() {
        let page = entry("-3", Takes::Beside);
        assert!(page.contains("name=\"text\" value=\"3\""), "{page}");
        assert!(page.contains("value=\"right\" selected"), "{page}");
        assert!(entry("", Takes::Beside).contains("On it"));
    }

    #[test]
    fn both_readings_of_one_row_are_shown_with_a_button_each() {
        let sent = Sent::Twice {
            text: "1400".to_owned(),
            side: String::new(),
        };
        let page = item("1371", Takes::Length, &sent);
        assert!(
            page.contains("Keep 1371") && page.contains("Write 1400"),
            "{page}"
        );
    }
}
