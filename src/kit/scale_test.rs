//! A printer's scale test, and the profile that what was measured on it makes.

use std::ops::RangeInclusive;

use crate::{
    drawing::Drawing,
    output::{DocumentInfo, OutputError, OutputSet, pdf},
    paper::{BAR_MM, Correction, Excess, MARGIN_MM, Margins, Paper, Printer},
    sheets,
    source::{Fault, Faults, Place},
    units::{mm_exact, parse_length},
    words::Spelling,
};

/// File of the scale test.
pub const PRINTER_TEST_FILE: &str = "printer-test.pdf";

/// What bars should measure where nothing else is said, mm.
const USUAL_BAR: &str = "200";

/// The page of a scale test.
#[derive(Debug)]
pub struct PrinterTest {
    page: Drawing,
    paper: String,
}

impl PrinterTest {
    /// Composes the page. With a profile, and the words after `printer set` that store what is left of its error, it is printed
    /// through the profile's correction. With `inches` it is in American spelling, and what bars should measure stands in inches too.
    ///
    /// # Errors
    /// A sentence when the paper is too small for the bars.
    pub fn of(
        paper: &Paper,
        profile: Option<(&Printer, &str)>,
        inches: bool,
    ) -> Result<Self, String> {
        let page = sheets::printer_test(paper, profile, inches)?;
        let spelling = Spelling::sparing(inches, &[]);
        Ok(Self {
            page: page.reworded(|text| spelling.text(text)),
            paper: paper.name.clone(),
        })
    }

    /// The page as its file, with the date (YYYY-MM-DD) that it carries, if any.
    ///
    /// # Errors
    /// A PDF that cannot be made.
    pub fn files(self, date: Option<String>) -> Result<OutputSet, OutputError> {
        let info = DocumentInfo {
            title: self.page.title.clone(),
            subject: self.paper,
            date,
            ..DocumentInfo::default()
        };
        let mut files = OutputSet::new();
        files.add(PRINTER_TEST_FILE, pdf(&[self.page], &info)?);
        Ok(files)
    }
}

/// What somebody measured on the scale test, as it was typed: mm, or text with a unit. What was not measured is `None`.
#[derive(Clone, Copy, Debug, Default)]
pub struct MeasuredTexts<'a> {
    /// What both bars should measure; 200 mm where nothing is said.
    pub of: Option<&'a str>,
    /// The bar across the upright page.
    pub x: Option<&'a str>,
    /// The upright bar.
    pub y: Option<&'a str>,
    /// The diagonals A–C (up to the right) and D–B (down to the right).
    pub diagonals: [Option<&'a str>; 2],
    /// Edges that are not printed: left, right, top, bottom.
    pub margins: [Option<&'a str>; 4],
}

/// What the caller calls the fields of [`MeasuredTexts`]: faults are at these places.
#[derive(Clone, Copy, Debug)]
pub struct MeasuredFields<'a> {
    /// What both bars should measure.
    pub of: &'a str,
    /// The bar across.
    pub x: &'a str,
    /// The upright bar.
    pub y: &'a str,
    /// The diagonals.
    pub diagonals: [&'a str; 2],
    /// Left, right, top, bottom.
    pub margins: [&'a str; 4],
    /// The profile as a whole.
    pub whole: &'a str,
    /// What to give where nothing was measured: "give …".
    pub give: &'a str,
    /// How a correction is stored that is more than a printer's own: "add … if it is meant".
    pub force: &'a str,
}

/// What was measured, checked one by one.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    correction: Option<Correction>,
    /// Left, right, top, bottom.
    margins: [Option<f64>; 4],
}

impl Measured {
    /// Reads what was typed. With `force` a scale may be more than a printer's own. Bars count both or not at all, and so do diagonals,
    /// which say nothing without bars.
    ///
    /// # Errors
    /// All lengths that are none or cannot be; else diagonals that do not go with the bars, a scale that is no printer's, and nothing
    /// measured at all.
    pub fn read(
        texts: &MeasuredTexts<'_>,
        fields: &MeasuredFields<'_>,
        force: bool,
    ) -> Result<Self, Faults> {
        let mut faults = Vec::new();
        let mut length = |field: &str, text: Option<&str>, range: &RangeInclusive<f64>| {
            within(field, text?, range)
                .map_err(|fault| faults.push(fault))
                .ok()
        };
        let of = length(fields.of, texts.of.or(Some(USUAL_BAR)), &BAR_MM);
        let x = length(fields.x, texts.x, &BAR_MM);
        let y = length(fields.y, texts.y, &BAR_MM);
        let [up, down] =
            [0, 1].map(|one| length(fields.diagonals[one], texts.diagonals[one], &BAR_MM));
        let margins =
            [0, 1, 2, 3].map(|edge| length(fields.margins[edge], texts.margins[edge], &MARGIN_MM));
        Faults::none_in(faults)?;
        let correction = match (x, y, of) {
            (Some(x), Some(y), Some(of)) => {
                let straight = Correction::measured(x, y, of, 0.0);
                // Before the diagonals are held against the bars: a scaled page has both wrong.
                refuse_excess(&straight, force, fields)?;
                let skew = match (up, down) {
                    (Some(up), Some(down)) => straight
                        .skew_of(up, down)
                        .map_err(|why| Place::whole(fields.diagonals[0]).fault(why))?,
                    _ => 0.0,
                };
                Some(Correction::measured(x, y, of, skew))
            }
            _ => None,
        };
        if correction.is_none() && margins == [None; 4] {
            let why = format!("there is nothing to store; {}", fields.give);
            return Err(Place::whole(fields.whole).fault(why).into());
        }
        Ok(Self {
            correction,
            margins,
        })
    }

    /// The profile to be stored: what was measured on a page that was printed `through` a profile is added to that one, else it is a
    /// new one.
    ///
    /// # Errors
    /// A correction that is no printer's own, unless it is meant (`force`, or a profile that was).
    pub fn profile(
        &self,
        name: &str,
        through: Option<&Printer>,
        force: bool,
        fields: &MeasuredFields<'_>,
    ) -> Result<Printer, Faults> {
        let base = through.cloned().unwrap_or_default();
        let measured = self.correction.unwrap_or_default();
        let meant = force || base.forced;
        refuse_excess(&measured, force, fields)?;
        let correction = measured.on_top_of(&base.correction).kept();
        refuse_excess(&correction, meant, fields)?;
        let [left, right, top, bottom] = self.margins;
        Ok(Printer {
            name: name.to_owned(),
            margins: Margins {
                left: left.unwrap_or(base.margins.left),
                right: right.unwrap_or(base.margins.right),
                top: top.unwrap_or(base.margins.top),
                bottom: bottom.unwrap_or(base.margins.bottom),
            },
            correction,
            forced: correction.refuse_excess(false).is_err(),
        })
    }
}

/// True where storing `new` over a profile would change or drop a correction that it holds: whoever stores it is asked whether the page
/// that was measured had been printed through that one.
#[must_use]
pub fn drops_correction(former: &Printer, new: &Printer) -> bool {
    !former.correction.is_none() && former.written() != new.written()
}

fn refuse_excess(
    correction: &Correction,
    forced: bool,
    fields: &MeasuredFields<'_>,
) -> Result<(), Faults> {
    correction.refuse_excess(forced).map_err(|excess: Excess| {
        let field = match excess.which() {
            "x" => fields.x,
            "y" => fields.y,
            _ => fields.diagonals[0],
        };
        let remedy = if excess.can_be_forced() {
            format!(", or {}", fields.force)
        } else {
            String::new()
        };
        Place::whole(field)
            .fault(format!("{excess}{remedy}"))
            .into()
    })
}

fn within(field: &str, text: &str, range: &RangeInclusive<f64>) -> Result<f64, Fault> {
    let place = Place::whole(field);
    let length = parse_length(text).map_err(|error| place.fault(error.to_string()))?;
    if range.contains(&length) {
        return Ok(length);
    }
    Err(place.fault(format!(
        "{} mm is out of range; expected {} to {} mm: check the number and its unit",
        mm_exact(length, 3),
        range.start(),
        range.end()
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIELDS: MeasuredFields<'_> = MeasuredFields {
        of: "Should be",
        x: "Bar across",
        y: "Upright bar",
        diagonals: ["A to C", "D to B"],
        margins: ["Left", "Right", "Top", "Bottom"],
        whole: "office",
        give: "fill in both bars",
        force: "tick the box below",
    };

    fn bars(x: &'static str, y: &'static str) -> MeasuredTexts<'static> {
        MeasuredTexts {
            x: Some(x),
            y: Some(y),
            ..MeasuredTexts::default()
        }
    }

    #[test]
    fn faults_are_at_the_fields_as_the_caller_calls_them() {
        let refused = |texts: &MeasuredTexts<'_>| {
            Measured::read(texts, &FIELDS, false)
                .unwrap_err()
                .to_string()
        };
        let none = refused(&MeasuredTexts::default());
        assert_eq!(none, "office: there is nothing to store; fill in both bars");
        let wrong = refused(&bars("long", "-3"));
        assert!(wrong.contains("Bar across: ") && wrong.contains("\nUpright bar: "));
        let scaled = refused(&bars("190", "200"));
        assert!(scaled.starts_with("Bar across: ") && scaled.ends_with(", or tick the box below"));
    }

    #[test]
    fn what_was_measured_through_a_profile_is_added_to_it() {
        let read = |texts| Measured::read(&texts, &FIELDS, false).unwrap();
        let first = read(bars("199", "200")).profile("office", None, false, &FIELDS);
        let first = first.unwrap();
        assert_eq!(first.correction.text(), "x 99.5 % y 100 %");
        let again = read(bars("201", "200"));
        let added = again
            .profile("office", Some(&first), false, &FIELDS)
            .unwrap();
        assert_eq!(added.correction.text(), "x 100 % y 100 %");
        let fresh = again.profile("office", None, false, &FIELDS).unwrap();
        assert_eq!(fresh.correction.text(), "x 100.5 % y 100 %");
        assert!(drops_correction(&first, &fresh) && !drops_correction(&first, &first));
    }
}
