//! Kinds of files: what a file is that was given in the place of another.

use super::Entry;

/// Kinds by the word in their `format`, what a file of one is called, and how it is given.
const KINDS: [(&str, &str, &str); 6] = [
    (
        "vehicle",
        "a vehicle file",
        "--vehicle FILE, or vehicle = \"FILE\" in a job",
    ),
    (
        "template",
        "a template file",
        "--template FILE, or template = \"FILE\" in a job",
    ),
    (
        "job",
        "a job file",
        "the file behind the command, as in `baystencil kit FILE`, or --job FILE where the command reads a form",
    ),
    (
        "printer",
        "a printer profile",
        "--printer FILE, or printer = \"FILE\" in a job",
    ),
    (
        "readings",
        "a file of taped readings",
        "`baystencil check FILE`",
    ),
    (
        "levels",
        "a file of heights",
        "`baystencil levels FILE`, or --levels FILE beside `check`",
    ),
];

/// A format that is not the one expected, said at its entry.
pub(super) fn other_format(entry: &Entry<'_>, found: &str, format: &str) {
    let kind_of = |format: &str| {
        let word = format.split('/').next().unwrap_or_default().trim();
        KINDS.iter().find(|(kind, _, _)| *kind == word)
    };
    match (kind_of(found), kind_of(format)) {
        (Some((kind, is, given)), Some((wanted, needed, _))) if kind != wanted => {
            entry.fault(format!(
                "this is {is}, and {needed} is needed here (format = \"{format}\"); {is} is given by {given}"
            ));
        }
        (_, wanted) => {
            let needed = wanted.map_or("a file", |(_, needed, _)| *needed);
            entry.fault(format!(
                "format \"{found}\" is not read here; expected \"{format}\", {needed} of this version"
            ));
        }
    }
}

/// What is said of a file that is no TOML as a whole: a table of cells by its name, JSON or a page of the web by how it begins.
pub(super) fn no_toml(name: &str, text: &str, format: &str) -> Option<String> {
    let begins = text.trim_start().chars().next();
    let word = format.split('/').next().unwrap_or_default();
    let needed = KINDS
        .iter()
        .find(|(kind, _, _)| *kind == word)
        .map_or("a TOML file", |(_, needed, _)| *needed);
    if name.to_ascii_lowercase().ends_with(".csv") {
        return Some(format!(
            "this is a form (CSV), and {needed} (TOML) is needed here; `baystencil check FILE` judges taped readings, `baystencil levels FILE` heights"
        ));
    }
    let is = is_for_programs(begins?)?;
    Some(format!(
        "this is {is}, and {needed} (TOML) is needed here: give the path of one"
    ))
}

/// What a text is that begins as no form and no TOML does.
pub(super) fn is_for_programs(first: char) -> Option<&'static str> {
    match first {
        '{' => Some("JSON, for programs"),
        '<' => Some("a page of the web, or a drawing"),
        _ => None,
    }
}
