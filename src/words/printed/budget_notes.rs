//! What sheet 0 says of the error budget.

use crate::{
    survey::{ErrorBudget, Method, MethodBudget, Precision, ScaleSource},
    units::mm_exact,
};

/// What the table of the budget is headed.
pub const TITLE: &str = "How far the worst mark may lie from its place, 95 %";

/// Joining says nothing where no sheet of a mark is joined to the datum sheet.
#[must_use]
pub fn says_something(method: &MethodBudget) -> bool {
    method.islands() < method.marks.len()
}

/// What the numbers ask for.
#[must_use]
pub fn meaning(budget: &ErrorBudget) -> String {
    let mut text = "As laid is before anything is checked. The check list, and the moves that “baystencil check” asks \
                    for, bring the marks within their tolerances."
        .to_owned();
    if budget.after.is_some() {
        text.push_str(" After that the way of laying hardly counts; what was taped does.");
    }
    if budget
        .methods
        .iter()
        .any(|method| method.method == Method::Chained && says_something(method))
    {
        text.push_str(" Never lay sheets by joining alone, as in the first row: tape them.");
    }
    text
}

/// What the numbers are.
#[must_use]
pub fn terms(budget: &ErrorBudget) -> String {
    let mut text =
        "In bold: this kit. Radius of the circle about the designed place that holds the mark in 95 % of cases, \
                    against the vehicle’s true centreline and origin; joined sheets as open chains."
            .to_owned();
    let islands = budget
        .methods
        .iter()
        .filter(|method| says_something(method))
        .map(MethodBudget::islands)
        .max();
    match islands.unwrap_or(0) {
        0 => {}
        1 => {
            text.push_str(" One mark’s sheets hang together with no others and are placed by tape.")
        }
        more => text.push_str(&format!(
            " {more} marks’ sheets are not joined to the first and are placed by tape."
        )),
    }
    text
}

/// What the numbers rest on.
#[must_use]
pub fn assumptions(precision: &Precision) -> String {
    let number = |value: f64| mm_exact(value, 2);
    format!(
        "Standard deviations assumed: tape class {} (MI-008), reading {}, plumb bob {}, centreline {}, joint {}, strip \
         by hand {} mm; right angle {}, paper {}, printer scale {} mm per metre ({}){}; marks {} mm wide.",
        precision.tape_class.word(),
        number(precision.reading),
        number(precision.plumb),
        number(precision.centreline),
        number(precision.joint),
        number(precision.strip),
        number(precision.perpendicular),
        number(precision.paper),
        number(precision.printer_scale),
        scale_source(precision.scale_source),
        strips(precision),
        number(precision.mark_width),
    )
}

/// What is better known of the scale of strips.
fn strips(precision: &Precision) -> String {
    let scale = precision.strip_scale();
    if scale < precision.printer_scale {
        format!(
            ", {} along roll strips (their long bar)",
            mm_exact(scale, 2)
        )
    } else {
        String::new()
    }
}

/// Where the printer's scale is from.
fn scale_source(source: ScaleSource) -> String {
    match source {
        ScaleSource::AnyPrinter => {
            "any printer that prints the square of 100 mm within 0.5 mm".to_owned()
        }
        ScaleSource::Measured { bar } => format!(
            "this printer, its scale test measured over {} mm",
            mm_exact(bar, 1)
        ),
        ScaleSource::Job => "as the job gives it".to_owned(),
    }
}
