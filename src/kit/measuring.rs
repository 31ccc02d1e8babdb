//! The measuring sheet as a file, and its picture for a screen.

use super::KitError;
use crate::{
    output::{DocumentInfo, Language, OutputSet, pdf, svg},
    paper::Paper,
    sheets,
    words::Spelling,
};

/// File that the measuring sheet is written to.
const MEASURING_FILE: &str = "measuring-sheet.pdf";

/// The measuring sheet: a blank page on which a vehicle's dimensions are written at the vehicle, in mm or in inches. `date` is what
/// the document carries (YYYY-MM-DD), if any.
///
/// # Errors
/// Paper that is too small for the rows, or a page that cannot be made into a file.
pub fn measuring_sheet(
    paper: &Paper,
    inches: bool,
    date: Option<String>,
) -> Result<OutputSet, KitError> {
    let page = sheets::measuring_sheet(paper, inches).map_err(KitError::Paper)?;
    let spelling = Spelling::sparing(inches, &[]);
    let page = page.reworded(|text| spelling.text(text));
    let info = DocumentInfo {
        title: page.title.clone(),
        subject: paper.name.clone(),
        date,
        language: Language::of(inches),
        ..DocumentInfo::default()
    };
    let mut files = OutputSet::new();
    files.add(MEASURING_FILE, pdf(&[page], &info)?);
    Ok(files)
}

/// The vehicle of the measuring sheet with its numbered dimensions, as SVG. `highlight` is a key of a vehicle file
/// (`front_track`, `wheelbase_left`, `tyre`, …) whose dimension is drawn heavy; a key of none draws all alike. With `inches` the
/// words are spelled as on a page in inches.
#[must_use]
pub fn measuring_picture(highlight: Option<&str>, inches: bool) -> String {
    let spelling = Spelling::sparing(inches, &[]);
    let views = sheets::measuring_views(highlight);
    svg(&views.reworded(|text| spelling.text(text)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sheet_is_one_file_of_one_page_and_the_same_every_time() {
        for inches in [false, true] {
            let made = || measuring_sheet(&Paper::usual(inches), inches, None).unwrap();
            let files = made();
            assert_eq!(files.names().collect::<Vec<_>>(), [MEASURING_FILE]);
            let bytes = files.bytes(MEASURING_FILE).unwrap();
            let document = lopdf::Document::load_mem(bytes).unwrap();
            assert_eq!(document.get_pages().len(), 1);
            assert_eq!(made().bytes(MEASURING_FILE).unwrap(), bytes);
        }
    }

    #[test]
    fn the_picture_changes_with_the_dimension_that_is_asked_for() {
        let plain = measuring_picture(None, false);
        assert!(plain.contains("<svg") && plain.contains(">10</text>"));
        for key in ["front_track", "tyre", "rim_width", "badge_offset"] {
            assert_ne!(measuring_picture(Some(key), false), plain, "{key}");
        }
        assert_eq!(measuring_picture(Some("length"), false), plain);
    }
}
