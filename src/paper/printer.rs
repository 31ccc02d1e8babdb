//! What is known of a printer: the edges it cannot print, and how true it prints.

use std::ops::RangeInclusive;

use super::Correction;
use crate::{
    source::{Faults, Source, Table},
    survey::{Precision, ScaleSource},
};

/// Version of the profile format that is read.
const FORMAT: &str = "printer/1";

/// Name of the profile that is used when a job names none.
const GENERIC: &str = "any printer";

/// Sensible unprintable edges, mm: some printers print to the very edge; with more than 60 mm little
/// of a page is left.
pub const MARGIN_MM: RangeInclusive<f64> = 0.0..=60.0;

/// Most characters of a profile's name that sheets show, so that the correction behind it is never
/// the part that finds no room.
const SHOWN_NAME: usize = 40;

/// Unprintable edges in mm, of an upright sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// Left edge.
    pub left: f64,
    /// Right edge.
    pub right: f64,
    /// Top edge.
    pub top: f64,
    /// Bottom edge.
    pub bottom: f64,
}

impl Default for Margins {
    /// 10 mm all round and 15 mm at the bottom: what common office printers leave clear, with
    /// something to spare (common practice, no source).
    fn default() -> Self {
        Self {
            left: 10.0,
            right: 10.0,
            top: 10.0,
            bottom: 15.0,
        }
    }
}

/// A printer's profile.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    /// Name that sheets show.
    pub name: String,
    /// Unprintable edges.
    pub margins: Margins,
    /// What was measured on its scale test.
    pub correction: Correction,
    /// The correction is beyond what printers do by themselves, and meant.
    pub forced: bool,
}

impl Default for Printer {
    fn default() -> Self {
        Self {
            name: GENERIC.to_owned(),
            margins: Margins::default(),
            correction: Correction::default(),
            forced: false,
        }
    }
}

impl Printer {
    /// Reads a profile file.
    ///
    /// # Errors
    /// All faults of the file.
    pub fn read(source: &Source) -> Result<Self, Faults> {
        source.read(FORMAT, Self::from_table)
    }

    /// Reads a profile from a table; the caller refuses unknown keys.
    pub(crate) fn from_table(table: &Table<'_>) -> Option<Self> {
        let name = table
            .required("name", "a name, as in name = \"office, tray 2\"")
            .and_then(|entry| entry.text());
        let standard = Margins::default();
        let margin = |key, standard| {
            table.entry(key).map_or(Some(standard), |entry| {
                entry.length_within(MARGIN_MM, "an unprintable edge")
            })
        };
        let left = margin("margin_left", standard.left);
        let right = margin("margin_right", standard.right);
        let top = margin("margin_top", standard.top);
        let bottom = margin("margin_bottom", standard.bottom);
        let unmeasured = Some((Correction::default(), false));
        let correction = table
            .entry("correction")
            .map_or(unmeasured, |entry| Correction::from_entry(&entry));
        let margins = Margins {
            left: left?,
            right: right?,
            top: top?,
            bottom: bottom?,
        };
        let (correction, forced) = correction?;
        Some(Self {
            name: name?,
            margins,
            correction,
            forced,
        })
    }

    /// The profile as a file that [`Printer::read`] reads.
    #[must_use]
    pub fn written(&self) -> String {
        let Margins {
            left,
            right,
            top,
            bottom,
        } = self.margins;
        let name = toml::Value::String(self.name.clone());
        let mut text = format!(
            "format = \"{FORMAT}\"\nname = {name}\n# edges that are not printed, mm\n\
             margin_left = {left}\nmargin_right = {right}\nmargin_top = {top}\nmargin_bottom = {bottom}\n"
        );
        if !self.correction.is_none() || self.correction.bar().is_some() {
            text += "\n# x across and y along the upright page: what bars that should be `of` mm measure;\n\
                     # skew: degrees by which upright lines lean to the right\n[correction]\n";
            text += &self.correction.written();
            if self.forced {
                text += "forced = true\n";
            }
        }
        text
    }

    /// What is assumed of tools, hands and paper, with this printer's scale as well known as its scale test was
    /// measured: the general assumption stays where none was, and what the job itself gives goes first.
    #[must_use]
    pub fn precision(&self, assumed: Precision) -> Precision {
        match (
            assumed.scale_source,
            self.correction.bar(),
            self.correction.scale_sd(assumed.paper),
        ) {
            (ScaleSource::AnyPrinter, Some(bar), Some(printer_scale)) => Precision {
                printer_scale,
                scale_source: ScaleSource::Measured { bar },
                ..assumed
            },
            _ => assumed,
        }
    }

    /// What sheets say they were made for: `office, tray 2 · x 99.6 % y 100.15 %`.
    #[must_use]
    pub fn label(&self) -> String {
        let mut name = self.name.clone();
        if name.chars().count() > SHOWN_NAME {
            name = name.chars().take(SHOWN_NAME - 1).chain(['…']).collect();
        }
        format!("{name} · {}", self.correction.text())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Printer, String> {
        Printer::read(&Source::new("p.toml", text)).map_err(|faults| faults.to_string())
    }

    #[test]
    fn a_written_profile_reads_back_as_it_was() {
        let margins = Margins {
            left: 4.5,
            ..Margins::default()
        };
        for (correction, forced) in [
            (Correction::default(), false),
            (Correction::measured(199.2, 200.3, 200.0, -0.125), false),
            (Correction::measured(188.0, 200.0, 200.0, 0.0), true),
            (Correction::measured(200.0, 200.0, 200.0, 0.0), false),
            (
                Correction::measured(249.3, 1.0 / 3.0 + 250.0, 250.0, 0.1).kept(),
                false,
            ),
        ] {
            let printer = Printer {
                name: "the \"office\" \\ tray 2".to_owned(),
                margins,
                correction,
                forced,
            };
            assert_eq!(read(&printer.written()).unwrap(), printer);
        }
    }

    #[test]
    fn a_measured_printer_is_better_known_than_any_printer_unless_the_job_says_otherwise() {
        let correction = Correction::measured(199.2, 200.3, 200.0, 0.0);
        let measured = Printer {
            correction,
            ..Printer::default()
        };
        let found = measured.precision(Precision::default());
        assert_eq!(found.scale_source, ScaleSource::Measured { bar: 200.0 });
        assert!(
            found.printer_scale > found.paper
                && found.printer_scale < Precision::default().printer_scale / 2.0
        );
        let given = Precision {
            printer_scale: 0.5,
            scale_source: ScaleSource::Job,
            ..Precision::default()
        };
        assert_eq!(measured.precision(given), given);
        assert_eq!(
            Printer::default().precision(Precision::default()),
            Precision::default()
        );
    }

    #[test]
    fn a_profile_from_before_corrections_has_none() {
        let printer = read("format = \"printer/1\"\nname = \"office\"\nmargin_left = 5\n").unwrap();
        assert!(printer.correction.is_none() && printer.label() == "office · no correction");
    }

    #[test]
    fn sheets_name_profile_and_correction() {
        let correction = Correction::measured(199.2, 200.3, 200.0, 0.0);
        let mut printer = Printer {
            name: "office, tray 2".to_owned(),
            correction,
            ..Printer::default()
        };
        assert_eq!(printer.label(), "office, tray 2 · x 99.6 % y 100.15 %");
        printer.name = "x".repeat(160);
        assert!(
            printer.label().ends_with("… · x 99.6 % y 100.15 %")
                && printer.label().chars().count() < 80
        );
    }

    #[test]
    fn a_correction_beyond_three_per_cent_is_a_fault_at_its_place_unless_forced() {
        let text =
            "format = \"printer/1\"\nname = \"office\"\n[correction]\nof = 200\nx = 194\ny = 200\n";
        let message = read(text).unwrap_err();
        assert!(
            message.contains("p.toml:5:5")
                && message.contains("fit to page")
                && message.contains("forced = true")
        );
        assert!(read(&format!("{text}forced = true\n")).unwrap().forced);
    }

    #[test]
    fn broken_corrections_are_told_at_their_place() {
        for (lines, told) in [
            ("of = 0\nx = 200\ny = 200", "p.toml:4:6: `of` is 0 mm"),
            ("of = 200\nx = -200\ny = nan", "p.toml:6:5: `y` is NaN"),
            (
                "of = 200\nx = -200\ny = nan",
                "p.toml:5:5: `x` is \u{2212}200 mm",
            ),
            ("of = 200\nx = 200", "`y` is missing in [correction]"),
            (
                "of = 200\nx = 200\ny = 200\nskwe = 1",
                "did you mean `skew`?",
            ),
            (
                "of = 200\nx = 200\ny = 200\nskew = 80\nforced = true",
                "p.toml:7:8",
            ),
        ] {
            let message = read(&format!(
                "format = \"printer/1\"\nname = \"office\"\n[correction]\n{lines}\n"
            ))
            .unwrap_err();
            assert!(message.contains(told), "{told} not in\n{message}");
        }
    }
}
