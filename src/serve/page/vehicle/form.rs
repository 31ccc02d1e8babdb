//! The form of a vehicle's dimensions beside its picture, and the same values where they cannot be changed.

use maud::{Markup, html};

use super::{
    input::{BADGE, INPUTS, Input, SIDES, side},
    look::Look,
};
use crate::{
    serve::page::{
        leads_to_faults,
        typed::{both, range},
    },
    shop::{Document, Version},
    words::Spelling,
};

/// What a form of dimensions is about.
#[derive(Clone, Copy, Debug)]
pub struct Sheet<'a> {
    /// The file.
    pub document: &'a Document,
    /// Which text it had when the page was loaded.
    pub version: &'a Version,
    /// What is seen of it.
    pub look: &'a Look,
    /// Where the form is sent.
    pub action: &'a str,
    /// Where it is looked at while it is typed.
    pub live: &'a str,
    /// The vehicle's name in the shop.
    pub vehicle: &'a str,
}

/// The form, beside it the picture in which the dimension that is being typed is drawn heavy.
#[must_use]
pub fn form(sheet: &Sheet<'_>) -> Markup {
    let (document, look) = (sheet.document, sheet.look);
    let own = |key: &str| document.get(&[key]).unwrap_or_default();
    html! {
        form.measured id="vehicle-form" method="post" action=(sheet.action) data-live=(sheet.live) {
            input type="hidden" name="version" value=(sheet.version.as_str());
            input type="hidden" name="of" value=(sheet.vehicle);
            (at_the_head(look))
            fieldset.inline {
                legend { "A number without a unit is in" }
                @for (value, word) in [("mm", " mm"), ("inch", " inches")] {
                    label { input type="radio" name="units" value=(value) checked[look.inches == (value == "inch")]; (word) }
                }
                p.hint { "A unit may be typed behind any number: 3.45 m, 345 cm, 3450 mm, 135 13/16 in, 11 ft 3 3/4 in. What was understood stands below each." }
            }
            // The picture stays in sight as long as its dimensions do.
            div {
                (pictures(look.inches))
                div.dimensions { @for input in INPUTS { (dimension(input, document, look)) } }
            }
            div.fields {
                    p { label for="name" { "Name of the vehicle" } input id="name" name="name" value=(own("name")) maxlength="120" autocomplete="off"; }
                    p {
                        label for="source" { "Where the numbers come from" }
                        input id="source" name="source" value=(own("source")) maxlength="300" autocomplete="off" aria-describedby="hint-source";
                        span.hint id="hint-source" { "As in: measured on the vehicle, 2026-03-02." }
                    }
            }
            (sources(document, look))
            (sums(look))
            (state(look))
            p { button { "Save the vehicle" } }
        }
    }
}

/// What was wrong when the page was loaded, in a line: the list stands where the vehicle is saved, so that nothing moves away from under
/// whoever is typing.
fn at_the_head(look: &Look) -> Markup {
    html! {
        (leads_to_faults(look.wrong.iter().map(|(_, sentence)| sentence.as_str())))
    }
}

/// What is wrong and missing.
#[must_use]
pub fn state(look: &Look) -> Markup {
    html! {
        div id="look-state" {
            @if !look.wrong.is_empty() {
                div.faults {
                    p { strong { "Please correct this first." } }
                    ul {
                        @for (key, sentence) in &look.wrong {
                            li {
                                (sentence)
                                @if let Some(key) = key { " " a href={ "#" (key) } aria-label={ "To it: " (sentence) } { "To it" } }
                            }
                        }
                    }
                }
            }
            @if !look.missing.is_empty() { p.warning { "Still to be typed: " (look.missing.join("; ")) "." } }
            @if look.spec.is_some() { p.saved { "All dimensions are there, and they go together." } }
        }
    }
}

fn dimension(input: Input, document: &Document, look: &Look) -> Markup {
    let spelling = Spelling::sparing(look.inches, &[]);
    let row = input.row();
    let number = row.map_or("", |row| row.number);
    let how = row.map_or("", |row| row.how);
    let wrong = look.wrong_with(input.key).next().is_some();
    let (key, label) = (input.key, spelling.text(input.label));
    html! {
        div.dimension {
            label for=(key) { (number) " " (label) }
            @if !matches!(key, "rim_width" | "tyre_width") { p.hint id={ "how-" (key) } { (spelling.text(how)) } }
            @if !input.hint.is_empty() { p.hint id={ "hint-" (key) } { (spelling.text(input.hint)) } }
            input id=(key) name=(key) value=(input.text(document)) autocomplete="off" aria-describedby={ "look-" (key) " how-" (key) " hint-" (key) } aria-invalid=[wrong.then_some("true")];
            @if key == BADGE { (badge_side(document)) }
            (understood(input, look))
        }
    }
}

fn badge_side(document: &Document) -> Markup {
    let side = side(document);
    html! {
        fieldset.inline {
            legend { "Side of the badge, as the driver sits" }
            @for known in SIDES {
                label { input type="radio" name="badge_side" value=(known.word) checked[side == Some(known.word)]; " " (known.word) }
            }
        }
    }
}

/// What was understood of an input, or what is wrong with it; where it is empty, what is sensible.
#[must_use]
pub fn understood(input: Input, look: &Look) -> Markup {
    let wrong: Vec<&str> = look.wrong_with(input.key).collect();
    html! {
        div.understood id={ "look-" (input.key) } {
            @if let Some(words) = look.understood(input.key) { p { "Understood: " (words) } }
            @else if wrong.is_empty() { p.quiet { (sensible(input, look.inches)) } }
            @for sentence in wrong { p.outside { (sentence) } }
        }
    }
}

fn sensible(input: Input, inches: bool) -> String {
    input.range().map_or_else(String::new, |(least, most)| {
        if least == 0.0 {
            format!("Sensible: up to {}", both(most, inches))
        } else {
            format!("Sensible: {}", range(least, most, inches))
        }
    })
}

/// One picture for each dimension, of which the style sheet shows that of the input in use: it needs no script.
fn pictures(inches: bool) -> Markup {
    let units = if inches { "inch" } else { "mm" };
    html! {
        div.drawn {
            img.picture.plain src={ "/pictures/vehicle.svg?units=" (units) } alt="The vehicle from the left and from above, with the numbers of its dimensions";
            @for input in INPUTS {
                img class={ "picture of-" (input.key) } loading="lazy" src={ "/pictures/vehicle.svg?of=" (input.key) "&units=" (units) } alt={ "The vehicle with this dimension drawn heavy: " (input.label) };
            }
        }
    }
}

fn source_of(input: Input, document: &Document) -> String {
    let mut texts = input
        .keys()
        .iter()
        .filter_map(|key| document.get(&["sources", key]));
    texts.next().unwrap_or_default()
}

fn sources(document: &Document, look: &Look) -> Markup {
    let spelling = Spelling::sparing(look.inches, &[]);
    let known = INPUTS
        .iter()
        .any(|input| !source_of(*input, document).is_empty());
    html! {
        details open[known] {
            summary { "Numbers that come from elsewhere" }
            p.hint { "Say it in words, as in: service information. Empty where it is as above." }
            @for input in INPUTS {
                p {
                    label for={ "from-" (input.key) } { (spelling.text(input.label)) " comes from" }
                    input id={ "from-" (input.key) } name={ "from." (input.key) } value=(source_of(input, document)) maxlength="300" autocomplete="off";
                }
            }
        }
    }
}

/// The sums of the measuring sheet.
#[must_use]
pub fn sums(look: &Look) -> Markup {
    html! {
        section id="look-sums" {
            h2 { "Check on the spot" }
            p { "Before the vehicle leaves: a sum that does not come right is a slip. Tape its parts again." }
            div.scroll {
                table {
                    thead { tr { th scope="col" { "Sum" } th scope="col" { "From what is typed" } th scope="col" { "What must hold" } th scope="col" { "Does it?" } } }
                    tbody {
                        @for sum in look.sums() { tr { th scope="row" { (sum.name) } td { (sum.value) } td { (sum.must) } td { (holds(sum.holds)) } } }
                    }
                }
            }
        }
    }
}

fn holds(holds: Option<bool>) -> Markup {
    html! {
        @match holds {
            Some(true) => { span.inside { "yes" } }
            Some(false) => { span.outside { "NO" } }
            None => {}
        }
    }
}

/// The values of a vehicle that is not changed here.
#[must_use]
pub fn values(document: &Document, look: &Look) -> Markup {
    let spelling = Spelling::sparing(look.inches, &[]);
    let typed = INPUTS
        .iter()
        .filter(|input| !input.text(document).is_empty());
    html! {
        div {
            div.drawn { img.picture.plain src="/pictures/vehicle.svg" alt="The vehicle from the left and from above, with the numbers of its dimensions"; }
            div.scroll {
                table {
                    thead { tr { th scope="col" { "Dimension" } th scope="col" { "Value" } } }
                    tbody {
                        @for input in typed {
                            tr {
                                th scope="row" { (input.row().map_or("", |row| row.number)) " " (spelling.text(input.label)) }
                                td {
                                    @if input.key == "tyre" { (input.text(document)) ": " }
                                    (look.understood(input.key).unwrap_or("as on the left"))
                                }
                            }
                        }
                    }
                }
                p { "Where the numbers come from: " (document.get(&["source"]).unwrap_or_default()) "." }
            }
        }
    }
}
