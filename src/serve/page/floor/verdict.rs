//! What the readings say: verdict, what to do in order, the marks and their picture.

use maud::{Markup, html};

use super::row::{Group, Row, capital};
use crate::{
    kit::{Judged, JudgedMark},
    survey::{Geometry, Todo, Verdict},
    words::Lengths,
};

/// What the readings of a job came to.
#[derive(Clone, Copy, Debug)]
pub enum Found<'a> {
    /// Nothing is read yet.
    Nothing,
    /// They cannot be judged: whole sentences.
    Unfit(&'a [String]),
    /// What was found.
    Judged(&'a Judged),
}

/// How far the work has come, and what is next: one line that stays in sight.
#[must_use]
pub fn progress(groups: &[Group], found: Found<'_>) -> Markup {
    let rows = || groups.iter().flat_map(|group| &group.rows);
    let (all, read) = (
        rows().count(),
        rows().filter(|row| row.mm.is_some()).count(),
    );
    let word = match found {
        Found::Judged(judged) => judged.assessment.verdict,
        _ => None,
    };
    html! {
        p.progress id="progress" {
            strong { (read) " of " (all) " read" }
            @if let Some(verdict) = word { " · " span class=(verdict.word()) { (capital(verdict.word())) } }
            @if let Some(row) = next(groups, None) { " · " a href=(format!("#reading-{}", row.index)) { "Next: " (row.at) } }
            @if !matches!(found, Found::Nothing) { " · " a href="#verdict" { "What to do" } }
        }
    }
}

/// The first blank row behind a row, else the first of all.
#[must_use]
pub fn next(groups: &[Group], behind: Option<usize>) -> Option<&Row> {
    let blank = || {
        let rows = groups.iter().flat_map(|group| &group.rows);
        rows.filter(|row| row.cell.is_empty())
    };
    let later = blank().find(|row| behind.is_none_or(|behind| row.index > behind));
    later.or_else(|| blank().next())
}

/// The verdict with everything that belongs to it; `base` is the address of the step, `version` that of the form.
#[must_use]
pub fn section(
    (base, version): (&str, &str),
    groups: &[Group],
    found: Found<'_>,
    spelling: impl Fn(&str) -> String,
) -> Markup {
    html! {
        section id="verdict" {
            h2 { "What the readings say" }
            @match found {
                Found::Nothing => {
                    p { "Nothing is read yet. Begin with the first lay; after each reading this says what to do." }
                }
                Found::Unfit(sentences) => {
                    div.faults role="alert" {
                        p { strong { "These readings cannot be judged." } }
                        ul { @for sentence in sentences { li { (sentence) } } }
                    }
                }
                Found::Judged(judged) => { (judged_section((base, version), groups, judged, &spelling)) }
            }
        }
    }
}

fn judged_section(
    (base, version): (&str, &str),
    groups: &[Group],
    judged: &Judged,
    spelling: &impl Fn(&str) -> String,
) -> Markup {
    let words = &judged.words;
    let class = judged.assessment.verdict.map_or("", Verdict::word);
    html! {
        p.headline id="headline" { span class=(class) { (words.headline) } }
        @if let Some(row) = next(groups, None) {
            p id="go-on" { "Go on taping: next is " a href=(format!("#reading-{}", row.index)) { (row.at) } ". What is said here is of what was read so far." }
        }
        @if !words.todo.is_empty() {
            h3 { "To do, in this order" }
            ol id="todo" { @for sentence in &words.todo { li { (sentence) } } }
            (pulls(base, groups, judged))
        }
        @if !words.findings.is_empty() { ul id="findings" { @for sentence in &words.findings { li { (sentence) } } } }
        p.quiet id="counts" { (counts(judged)) }
        h3 { "The picture" }
        img.picture id="picture" src=(format!("{base}/displacements.svg?v={version}"))
            alt="The layout from above with each mark’s displacement enlarged; the table below has the same in words.";
        h3 { "Where each mark lies" }
        (marks(judged, spelling))
    }
}

/// Marks by their verdicts, and rows without a reading.
fn counts(judged: &Judged) -> String {
    let marks = judged.marks();
    let of = |word: &str| marks.iter().filter(|mark| mark.word() == word).count();
    let mut parts: Vec<String> = ["inside", "undecided", "outside", "not measured"]
        .into_iter()
        .map(|word| (of(word), word))
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!("{count} {word}"))
        .collect();
    if parts.is_empty() {
        parts.push("none with a tolerance".to_owned());
    }
    let rows = match judged.blank {
        0 => "Every row has a reading.".to_owned(),
        1 => "1 row has no reading yet.".to_owned(),
        many => format!("{many} rows have no reading yet."),
    };
    format!("Marks: {}. {rows}", parts.join(", "))
}

/// Where to type what the verdict asks for: the row, or a button that adds one.
fn pulls(base: &str, groups: &[Group], judged: &Judged) -> Markup {
    // Rows that the form has come before rows that it has not.
    let is_filled = next(groups, None).is_none();
    let wanted: Vec<Pull> = judged
        .assessment
        .todo
        .iter()
        .filter_map(|todo| Pull::of(judged, groups, todo))
        .filter(|pull| is_filled || pull.row.is_some())
        .collect();
    html! {
        @if !wanted.is_empty() {
            ul.pulls id="pulls" aria-label="Rows to type these into" {
                @for pull in &wanted {
                    li {
                        @match pull.row {
                            Some(row) => { a.button href=(format!("#reading-{row}")) { "Type " (pull.name) } }
                            None => {
                                form method="post" action={ (base) "/add" } {
                                    input type="hidden" name="kind" value=(pull.kind);
                                    input type="hidden" name="from" value=(pull.ends[0]);
                                    input type="hidden" name="to" value=(pull.ends[1]);
                                    button { "Add a row for " (pull.name) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A reading that is asked for.
struct Pull {
    /// As people say it: "1L–3R".
    name: String,
    kind: &'static str,
    ends: [String; 2],
    /// Its row in the form, where it has one.
    row: Option<usize>,
}

impl Pull {
    fn of(judged: &Judged, groups: &[Group], todo: &Todo) -> Option<Self> {
        let network = &judged.layout.network;
        let geometry = match *todo {
            Todo::Tape { geometry } => geometry,
            Todo::Retape { observation } => network.observations[observation].geometry,
            _ => return None,
        };
        let name = |point: usize| network.points[point].id.clone();
        let (kind, ends, said) = match geometry {
            Geometry::Distance { from, to } => {
                let ends = [name(from), name(to)];
                let said = ends.join("–");
                ("distance", ends, said)
            }
            Geometry::Offset {
                mark,
                line: [start, end],
            } => {
                let line = format!("{}..{}", name(start), name(end));
                let said = format!("{} on the string {}–{}", name(mark), name(start), name(end));
                ("inline", [name(mark), line], said)
            }
            Geometry::X { .. } | Geometry::Y { .. } => return None,
        };
        let lines = [
            format!("{}–{}", ends[0], ends[1]),
            format!("{}–{}", ends[1], ends[0]),
        ];
        let row = groups
            .iter()
            .flat_map(|group| &group.rows)
            .find(|row| lines.contains(&row.line))
            .map(|row| row.index);
        Some(Self {
            name: said,
            kind,
            ends,
            row,
        })
    }
}

fn marks(judged: &Judged, spelling: &impl Fn(&str) -> String) -> Markup {
    let lengths = Lengths {
        inches: judged.inches,
    };
    let off = |mark: &JudgedMark| {
        mark.off
            .map_or_else(|| "not measured".to_owned(), |off| lengths.off(off))
    };
    html! {
        div.scroll {
            table id="marks" {
                thead {
                    tr {
                        th scope="col" { "Mark" }
                        th scope="col" { (spelling(&format!("Lies off {}, {}", judged.words.against, lengths.unit()))) }
                        th.number scope="col" { "May be off" }
                        th scope="col" { "Verdict" }
                    }
                }
                tbody {
                    @for mark in judged.marks() {
                        tr {
                            th scope="row" { (mark.id) }
                            td { (off(&mark)) }
                            td.number { (lengths.cell(mark.tolerance, 1)) }
                            td { span class=(mark.verdict.map_or("", Verdict::word)) { (mark.word()) } }
                        }
                    }
                }
            }
        }
    }
}
