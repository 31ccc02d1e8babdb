//! What has to hold of every refusal.

use baystencil::Faults;

use crate::drive::{Judged, Outcome};

/// Words of which every message has one: what to do, or what was expected.
const REMEDIES: [&str; 47] = [
    "add",
    "allow",
    "as in",
    "ask for",
    "at most",
    "begins with",
    "join",
    "known keys",
    "the columns are",
    "has: ",
    "marks are: ",
    "holds the readings",
    "are taken apart",
    "between two",
    "increase",
    "read a",
    "check",
    "choose",
    "close",
    "correct",
    "declare",
    "delete",
    "did you mean",
    "expected",
    "fill in",
    "give",
    "is `",
    "keep",
    "leave",
    "lay",
    "lower",
    "make",
    "more faults",
    "move",
    "must",
    "name",
    "needs",
    "put",
    "remove",
    "rename",
    "save",
    "say",
    "shorten",
    "take",
    "tape",
    "use",
    "write",
];

/// Faults that are kept of one file, and of the layouts tried with it.
const MOST_FAULTS: usize = 1_000;

/// A refusal of a text: every fault lies in one of the files, and says what to do.
pub fn refused(files: &[(&str, &str)], faults: &Faults) -> Judged {
    let list = faults.list();
    if list.is_empty() || list.len() > MOST_FAULTS {
        return Err(format!("{} faults in a refusal", list.len()));
    }
    for fault in list {
        let place = &fault.place;
        let Some((_, text)) = files.iter().find(|(name, _)| *name == &*place.file) else {
            return Err(format!("a fault elsewhere than in the input: {fault}"));
        };
        // The end of a text is a place as well.
        let line = text.split('\n').nth(place.line.saturating_sub(1));
        let inside = match (place.line, line) {
            (0, _) => place.column == 0,
            (_, Some(line)) => (1..=line.chars().count() + 1).contains(&place.column),
            (_, None) => false,
        };
        if !inside {
            return Err(format!("a fault outside of the text: {fault}"));
        }
        said(&fault.message)?;
    }
    let messages = list.iter().map(|fault| fault.message.clone());
    Ok(Outcome::Refused(messages.collect()))
}

/// A message says what to do, and nothing of what the program is made of.
pub fn said(message: &str) -> Result<(), String> {
    if !REMEDIES.iter().any(|word| message.contains(word)) {
        return Err(format!("no remedy in: {message}"));
    }
    for inner in ["Some(", "None,", "NaN mm", "Error {", "unwrap"] {
        if message.contains(inner) && !message.contains('"') {
            return Err(format!("{inner} in: {message}"));
        }
    }
    Ok(())
}

/// What something says of itself, without the places that it was read from.
pub fn placeless(value: &impl std::fmt::Debug) -> String {
    let text = format!("{value:?}");
    let mut parts = text.split("Place { file: ");
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        // Names of files in these tests have no brace in them.
        plain += part.split_once('}').map_or("", |(_, rest)| rest);
    }
    // A nought has no sign for whoever measures.
    [",", ")", " "].iter().fold(plain, |plain, end| {
        plain.replace(&format!("-0.0{end}"), &format!("0.0{end}"))
    })
}
