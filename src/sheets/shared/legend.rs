//! The legend of a mat: line pattern, letter and vehicle, and the pattern of what is shared.

use kurbo::Rect;

use super::{users_stroke, vehicle_stroke};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Weight, heights, widths},
    page::shorten,
    plan::Mat,
    words::printed::labels::{SHARED, TRIM_IN_LEGEND},
};

/// Length in mm of a pattern's sample: two periods of the longest pattern.
const SAMPLE_MM: f64 = 16.0;

/// Distance in mm from a sample to its letter, and from a letter to the name.
const GAP_MM: f64 = 2.0;

/// Width in mm of the column of letters.
const LETTER_MM: f64 = 4.0;

/// Least width in mm of an entry; on narrower paper the entries stand in one column.
const ENTRY_MM: f64 = 75.0;

/// Baseline to baseline as a multiple of the lettering.
const LEADING: f64 = 1.6;

/// A sample's stroke, a vehicle's letter if it is one vehicle's, and what it stands for.
type Entry = (Stroke, String, String);

/// A mat's legend for a place of a given width.
pub struct Legend {
    entries: Vec<Entry>,
    columns: usize,
    width: f64,
    lettering: f64,
}

impl Legend {
    /// Lays out the legend, `width` mm wide, in as many columns as have room.
    #[must_use]
    pub fn new(mat: &Mat, width: f64, lettering: f64) -> Self {
        Self::with(Self::patterns(mat), width, lettering)
    }

    /// The same with the trim edges, which are no vehicle's line, for sheets to be cut.
    #[must_use]
    pub fn with_trim(mat: &Mat, width: f64, lettering: f64) -> Self {
        let mut entries = Self::patterns(mat);
        let trim = TRIM_IN_LEGEND.to_owned();
        entries.push((Stroke::dashed(widths::THIN), String::new(), trim));
        Self::with(entries, width, lettering)
    }

    fn patterns(mat: &Mat) -> Vec<Entry> {
        let vehicles = mat.vehicles.iter().enumerate();
        let mut entries: Vec<_> = vehicles
            .map(|(v, of)| {
                (
                    vehicle_stroke(v, widths::THIN),
                    of.letter.to_string(),
                    of.vehicle.name.clone(),
                )
            })
            .collect();
        let all: Vec<usize> = (0..mat.vehicles.len()).collect();
        let several = SHARED.to_owned();
        entries.push((users_stroke(&all, widths::THIN), String::new(), several));
        entries
    }

    fn with(entries: Vec<Entry>, width: f64, lettering: f64) -> Self {
        Self {
            entries,
            columns: if width >= 2.0 * ENTRY_MM { 2 } else { 1 },
            width,
            lettering,
        }
    }

    /// Height in mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.entries.len().div_ceil(self.columns) as f64 * self.lettering * LEADING
    }

    /// Draws the legend with its upper left corner at (`left`, `top`), mm, column by column.
    pub fn draw(&self, drawing: &mut Drawing, left: f64, top: f64) {
        let rows = self.entries.len().div_ceil(self.columns);
        let column = self.width / self.columns as f64;
        for (index, (stroke, letter, name)) in self.entries.iter().enumerate() {
            let x = left + (index / rows) as f64 * column;
            let baseline = top - (index % rows) as f64 * self.lettering * LEADING - self.lettering;
            let sample = Rect::new(x, baseline, x + SAMPLE_MM, baseline + self.lettering);
            drawing.line(
                Layer::Labels,
                (sample.x0, sample.center().y),
                (sample.x1, sample.center().y),
                *stroke,
            );
            let x = sample.x1 + GAP_MM;
            drawing.text(Text::new((x, baseline), self.lettering, letter.as_str()).bold());
            let x = if letter.is_empty() { x } else { x + LETTER_MM };
            let room = left + (index / rows) as f64 * column + column - GAP_MM - x;
            let name = shorten(
                name,
                room,
                self.lettering.max(heights::SMALL),
                Weight::Regular,
            );
            drawing.text(Text::new((x, baseline), self.lettering, name));
        }
    }
}
