//! The form of a layout: the template's values, units, bay, and how it is laid and checked; beside it the pictures.

use maud::{Markup, html};

use super::{
    look::{Later, Look, VEHICLE_WRONG, as_image},
    values::{OBSTACLES, WAYS, obstacle, way},
};
use crate::{
    serve::page::{
        leads_to_faults,
        typed::{both, range},
    },
    shop::{Document, Version},
    template::{NamedValue, TemplateSpec, ValueKind},
    units::mm_exact,
    words::{Lengths, Spelling, takes::bring},
};

/// Ways of laying, by the words of a job's file.
const LAID_BY: [(&str, &str); 5] = [
    ("", "as the sheets are made for"),
    ("sheets", "sheets placed by tape"),
    ("keys", "key stencils placed by tape"),
    ("roll", "roll strips placed by tape"),
    ("tape", "tape strips alone, no paper"),
];

/// How much is checked, by the words of a job's file.
const CHECKS: [(&str, &str); 2] = [
    ("full", "full: each mark within its tolerance"),
    ("quick", "quick: gross mistakes alone"),
];

/// What a form of a layout is about.
#[derive(Clone, Copy, Debug)]
pub struct Sheet<'a> {
    /// The job's file.
    pub document: &'a Document,
    /// Which text it had when the page was loaded.
    pub version: &'a Version,
    /// The template.
    pub template: &'a TemplateSpec,
    /// What is seen of it.
    pub look: &'a Look,
    /// What it takes, where that was worked out.
    pub later: Option<&'a Later>,
    /// The page's address.
    pub address: &'a str,
}

/// The form with its pictures.
#[must_use]
pub fn form(sheet: &Sheet<'_>) -> Markup {
    let (document, look) = (sheet.document, sheet.look);
    html! {
        form id="layout-form" method="post" action=(sheet.address) data-live={ (sheet.address) "/look" } data-later={ (sheet.address) "/later" } data-wait="15" {
            input type="hidden" name="version" value=(sheet.version.as_str());
            (at_the_head(look))
            div.planned {
                (small(look))
                div {
                    fieldset.inline {
                        legend { "Lengths in" }
                        @for (value, word) in [("mm", " mm"), ("inch", " inches")] {
                            label { input type="radio" name="units" value=(value) checked[look.inches == (value == "inch")]; (word) }
                        }
                        p.hint { "A number without a unit is in these. Another unit may be typed behind any number." }
                    }
                    h2 { "Values of the template" }
                    p { "They come from the vehicle maker’s service information. Where nothing is typed, the template’s own value is used" @if sheet.template.demonstration { ", which is for demonstration" } "." }
                    @for value in &sheet.template.values { (value_input(value, sheet)) }
                    (bay(document, look))
                    h2 { "Laying and checking" }
                    (select("laid_by", "How the marks come to the floor", &LAID_BY, document))
                    (select("checks", "How much is checked", &CHECKS, document))
                    (state(look))
                    p { button { "Save the layout" } }
                }
                (overview(sheet.later.map_or_else(|| look.overview(), |later| &later.overview)))
            }
            (later(sheet.later))
        }
    }
}

/// What was wrong when the page was loaded, in a line: the list stands where the layout is saved, so that nothing moves away from under
/// whoever is typing.
fn at_the_head(look: &Look) -> Markup {
    let of_vehicle_alone = look.wrong.len() == 1 && look.wrong[0].1 == VEHICLE_WRONG;
    html! {
        @if !of_vehicle_alone { (leads_to_faults(look.wrong.iter().map(|(_, sentence)| sentence.as_str()))) }
    }
}

/// What is wrong.
#[must_use]
pub fn state(look: &Look) -> Markup {
    html! {
        div id="look-state" {
            @if !look.wrong.is_empty() {
                div.faults {
                    p { strong { "Please correct this first." } " The pictures show the last values that could be used." }
                    ul {
                        @for (id, sentence) in &look.wrong {
                            li {
                                (sentence)
                                @if let Some(id) = id { " " a href={ "#" (id) } aria-label={ "To it: " (sentence) } { "To it" } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn label_of(value: &NamedValue) -> String {
    let plain = value.name.replace('_', " ");
    let mut signs = plain.chars();
    signs.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(signs).collect()
    })
}

fn in_units(value: &NamedValue, number: f64, inches: bool) -> String {
    match value.kind {
        ValueKind::Length => both(number, inches),
        ValueKind::Angle => format!("{}°", mm_exact(number, 2)),
    }
}

fn sensible(value: &NamedValue, inches: bool) -> String {
    match value.kind {
        ValueKind::Length => range(value.least, value.most, inches),
        ValueKind::Angle => format!(
            "{} to {}°",
            mm_exact(value.least, 2),
            mm_exact(value.most, 2)
        ),
    }
}

fn value_input(value: &NamedValue, sheet: &Sheet<'_>) -> Markup {
    let (look, id) = (sheet.look, format!("value-{}", value.name));
    let spelling = Spelling::sparing(look.inches, &[]);
    let text = sheet
        .document
        .get(&["values", &value.name])
        .unwrap_or_default();
    let wrong = look.wrong_with(&id).next().is_some();
    html! {
        div.dimension {
            label for=(id) { (spelling.text(&label_of(value))) }
            p.hint id={ "hint-" (id) } { (spelling.text(&value.meaning)) }
            input id=(id) name={ "value." (value.name) } value=(text) autocomplete="off" aria-describedby={ "hint-" (id) " look-" (id) } aria-invalid=[wrong.then_some("true")];
            (value_look(value, sheet.template, look))
        }
    }
}

/// What was understood of a value, or what is used instead; and what is wrong with it.
#[must_use]
pub fn value_look(value: &NamedValue, template: &TemplateSpec, look: &Look) -> Markup {
    let id = format!("value-{}", value.name);
    let whose = if template.demonstration {
        "demonstration value"
    } else {
        "the template’s value"
    };
    html! {
        div.understood id={ "look-" (id) } {
            @match look.understood(&id) {
                Some(words) => { p { "Understood: " (words) } }
                None => { p.quiet { "Empty: " (whose) " " (in_units(value, value.default, look.inches)) } }
            }
            p.hint { "Sensible: " (sensible(value, look.inches)) }
            @for sentence in look.wrong_with(&id) { p.outside { (sentence) } }
        }
    }
}

/// What was understood of an input of the bay, and what is wrong with it.
#[must_use]
pub fn plain_look(id: &str, look: &Look) -> Markup {
    html! {
        div.understood id={ "look-" (id) } {
            @if let Some(words) = look.understood(id) { p { "Understood: " (words) } }
            @for sentence in look.wrong_with(id) { p.outside { (sentence) } }
        }
    }
}

/// Rows of things in the bay on the page: those of the file, and one to fill in.
#[must_use]
pub fn rows(document: &Document) -> usize {
    document.count(&OBSTACLES) + 1
}

fn bay(document: &Document, look: &Look) -> Markup {
    let side = |side: &str| document.get(&["bay", side]).unwrap_or_default();
    html! {
        h2 { "The bay" }
        p.hint { "Clear floor between walls, without what stands in it. Empty where no bay is to be checked." }
        @for (key, label) in [("length", "Length of the bay, along the vehicle"), ("width", "Width of the bay, across the vehicle")] {
            div.dimension {
                label for={ "bay-" (key) } { (label) }
                input id={ "bay-" (key) } name={ "bay." (key) } value=(side(key)) autocomplete="off" aria-describedby={ "look-bay-" (key) };
                (plain_look(&format!("bay-{key}"), look))
            }
        }
        (floor(look))
        details open[document.count(&OBSTACLES) > 0] {
            summary { "What stands in the bay (" (document.count(&OBSTACLES)) ")" }
            p.hint { "Its place is that of its middle, from the middle of the front axle. Empty a row to take it out; save to have one more row." }
            @for row in 0..rows(document) { (thing(row, document, look)) }
        }
    }
}

fn thing(row: usize, document: &Document, look: &Look) -> Markup {
    let name = obstacle(document, row, "name").0;
    let title = if name.is_empty() {
        format!("Thing {}", row + 1)
    } else {
        name.clone()
    };
    let id = |key: &str| format!("obstacle-{row}-{key}");
    let field = |key: &str| format!("obstacle.{row}.{key}");
    html! {
        fieldset {
            legend { (title) }
            div.fields {
                div {
                    label for=(id("name")) { "What it is" }
                    input id=(id("name")) name=(field("name")) value=(name) maxlength="60" autocomplete="off";
                    (plain_look(&id("name"), look))
                }
                @for (key, label) in [("x", "Along, from the front axle"), ("y", "Across, from the centreline"), ("length", "Length, along"), ("width", "Width, across")] {
                    div {
                        label for=(id(key)) { (Spelling::sparing(look.inches, &[]).text(label)) }
                        input id=(id(key)) name=(field(key)) value=(obstacle(document, row, key).0) autocomplete="off" aria-describedby={ "look-" (id(key)) };
                        @if let Some((_, words)) = WAYS.iter().find(|(of, _)| *of == key) {
                            select name={ (field(key)) ".way" } aria-label={ "Which way: " (label) ", " (title) } {
                                @for word in words { option value=(word) selected[way(document, row, key) == *word] { (word) } }
                            }
                        }
                        (plain_look(&id(key), look))
                    }
                }
            }
        }
    }
}

fn select(key: &str, label: &str, choices: &[(&str, &str)], document: &Document) -> Markup {
    let chosen = document.get(&[key]).unwrap_or_default();
    html! {
        p {
            label for=(key) { (label) }
            select id=(key) name=(key) {
                @for (value, words) in choices { option value=(value) selected[*value == chosen] { (words) } }
            }
        }
    }
}

/// The layout in its bay, small; nothing where something is wrong, so that the last one stays.
#[must_use]
pub fn small(look: &Look) -> Markup {
    let Some(seen) = &look.seen else {
        return html! { div.near id="small-plan" { p.quiet { "No picture before everything is right." } } };
    };
    html! {
        div.near id="small-plan" { img.picture src=(as_image(&seen.small)) alt={ "The layout from above, front up. " (seen.floor) }; }
    }
}

/// The clear floor in words, and whether the bay has it; empty where something is wrong.
#[must_use]
pub fn floor(look: &Look) -> Markup {
    let seen = look.seen.as_ref();
    let verdict = match seen.and_then(|seen| seen.fits) {
        Some(true) => "inside",
        Some(false) => "outside",
        None => "quiet",
    };
    html! {
        p class=(verdict) id="floor-words" { (seen.map_or("", |seen| seen.floor.as_str())) }
    }
}

/// The overview as it will be printed; its check list is empty as long as no lays were chosen.
#[must_use]
pub fn overview(pages: &[String]) -> Markup {
    html! {
        div.overview id="overview" tabindex="0" role="group" aria-label="Overview" {
            @for (index, page) in pages.iter().enumerate() {
                img.picture src=(as_image(page)) alt={ "Overview of the layout, page " (index + 1) ": plan with measures, measurement table, check list" };
            }
        }
    }
}

/// What the layout takes, and how its sheets lie; empty until it was worked out.
#[must_use]
pub fn later(later: Option<&Later>) -> Markup {
    html! {
        section id="later" {
            @if let Some(later) = later { (taken(later)) }
        }
    }
}

fn taken(later: &Later) -> Markup {
    let preview = &later.preview;
    let spelling = Spelling::sparing(later.inches, &[]);
    let lengths = Lengths {
        inches: later.inches,
    };
    let error = &preview.error;
    html! {
        h2 { "What it takes" }
        p { (around(later)) }
        ul { @for thing in bring(&preview.takes, later.inches) { li { (spelling.text(&thing)) } } }
        h2 { "How far a mark may lie off" }
        p {
            "Laid by " (error.method.to_string()) ", the worst mark, " (error.mark) ", lies within "
            strong { (lengths.inches_first(error.as_laid)) }
            " of its place with 95 %, mostly from: " (spelling.text(&error.mostly)) "."
            @if let Some(after) = error.after { " After checks and moves: within " strong { (lengths.inches_first(after)) } "." }
        }
        h2 { "How the sheets lie" }
        div.scroll { img.picture src=(as_image(&preview.map)) alt={ "Assembly map: which of the " (preview.sheets) " pages lies where, front up" }; }
    }
}

/// Floor, people and time.
fn around(later: &Later) -> String {
    let spelling = Spelling::sparing(later.inches, &[]);
    let section = crate::words::takes::section(&later.preview.takes, later.inches);
    spelling.text(section.paragraphs.last().map_or("", String::as_str))
}
