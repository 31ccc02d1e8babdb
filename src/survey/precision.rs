//! What is known of tools, hands and paper before anything is measured.

use std::ops::RangeInclusive;

use super::{LevelReadings, TapeClass};
use crate::source::Table;

/// Sensible standard deviations of what a hand or an eye does, mm.
const HAND_MM: RangeInclusive<f64> = 0.0..=20.0;

/// Sensible standard deviations of what grows with length, mm per metre: with 3 % a printer has fitted
/// the page to the paper, and that is to be mended and not allowed for.
const PER_METRE_MM: RangeInclusive<f64> = 0.0..=30.0;

/// By how much the long bar on a strip of a roll may be off, mm per metre: twice what a steel rule of a metre is read to. What is
/// further off is thrown away, as the instructions on the strips' own sheet 0 say (common practice, no source).
pub const STRIP_BAR_MM_PER_METRE: f64 = 1.0;

/// Where the standard deviation of the printer's scale is from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ScaleSource {
    /// Any printer whose page passes the square of sheet 0.
    AnyPrinter,
    /// The printer's scale test was measured over bars of `bar` mm, and its error is corrected.
    Measured {
        /// Length of the bars, mm.
        bar: f64,
    },
    /// The job gives it.
    Job,
}

/// A-priori standard deviations, the one table that every estimate starts from. All are standard
/// deviations (k = 1), but for the tape's class and the width of a pencil mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Precision {
    /// Class of the long tape; its permissible error is rectangular, see
    /// [`TapeClass::standard_deviation`].
    pub tape_class: TapeClass,
    /// Reading the tape, or setting a point to its graduation, mm.
    pub reading: f64,
    /// A point of the vehicle carried to the floor with the plumb bob, mm, in each direction.
    pub plumb: f64,
    /// The chalk line or string between the plumbed points, mm, sideways, at any point of it.
    pub centreline: f64,
    /// A right angle set off from the centreline, mm per metre of offset.
    pub perpendicular: f64,
    /// Width of a mark drawn on the floor, mm. Its middle lies anywhere within it, see
    /// [`Precision::marking`].
    pub mark_width: f64,
    /// One printed mark laid on another, or on a mark on the floor, by eye, mm, in each direction.
    pub joint: f64,
    /// A tape strip laid to a mark by hand, mm, in each direction.
    pub strip: f64,
    /// A height read with a level or a rotating laser, mm.
    pub level: f64,
    /// Scale of the printer, mm per metre, in each direction of the page.
    pub printer_scale: f64,
    /// Where `printer_scale` is from.
    pub scale_source: ScaleSource,
    /// Movement of paper with the humidity of the air, mm per metre, in each direction of the page.
    pub paper: f64,
}

impl Default for Precision {
    /// Where each number is from:
    ///
    /// | input | default | source |
    /// |---|---|---|
    /// | tape class | II | the usual class of steel tapes (common practice, no source); errors by MI-008 |
    /// | reading | 0.5 mm | half a graduation of a tape in mm (common practice, no source) |
    /// | plumb bob | 1 mm | common practice indoors, no source |
    /// | centreline | 0.5 mm | half the width of a chalk line (common practice, no source) |
    /// | right angle | 1 mm/m | 3-4-5 with sides of about 1.5 m set to 1 mm (estimate, no source) |
    /// | mark width | 1 mm | a pencil or scribed line (common practice, no source) |
    /// | joint | 0.3 mm | about the width of the printed lines that are laid on each other (no source) |
    /// | strip by hand | 1 mm | estimate, no source |
    /// | level | 1 mm | a rotating laser and a staff across a workshop (estimate, no source) |
    /// | printer scale | 2.9 mm/m | sheet 0 lets a square of 100 ± 0.5 mm pass: rectangular, 5/√3 (JCGM 100, 4.3.7) |
    /// | paper | 0.6 mm/m | about ±1 mm/m across the grain for 10 % of relative humidity (from memory), over √3 |
    fn default() -> Self {
        Self {
            tape_class: TapeClass::II,
            reading: 0.5,
            plumb: 1.0,
            centreline: 0.5,
            perpendicular: 1.0,
            mark_width: 1.0,
            joint: 0.3,
            strip: 1.0,
            level: 1.0,
            printer_scale: 2.9,
            scale_source: ScaleSource::AnyPrinter,
            paper: 0.6,
        }
    }
}

impl Precision {
    /// Standard deviation of the scale along a strip of a roll, mm per metre: that of the printer, but no more than what a strip's
    /// own bar lets pass, ± [`STRIP_BAR_MM_PER_METRE`] taken as rectangular (JCGM 100:2008, 4.3.7).
    #[must_use]
    pub fn strip_scale(&self) -> f64 {
        self.printer_scale
            .min(STRIP_BAR_MM_PER_METRE / 3.0_f64.sqrt())
    }

    /// Standard deviation in mm of a mark drawn on the floor and used later, in each direction: its
    /// middle is rectangular over the mark's width (JCGM 100:2008, 4.3.7).
    #[must_use]
    pub fn marking(&self) -> f64 {
        self.mark_width / 2.0 / 3.0_f64.sqrt()
    }

    /// Standard deviation in mm of one end of a taped distance: the tape's zero set on a mark, or its reading at one, and
    /// the middle of the mark taken by eye. All readings of one lay share that of its zero.
    #[must_use]
    pub fn at_mark(&self) -> f64 {
        self.reading.hypot(self.marking())
    }

    /// Standard deviation in mm of a distance of `length` mm taped between two marks: the tape itself,
    /// its zero set on one mark and its reading at the other, and the middle of both marks taken by eye,
    /// as independent causes (JCGM 100:2008, 5.1.2).
    #[must_use]
    pub fn distance(&self, length: f64) -> f64 {
        let ends = 2.0 * (self.reading.powi(2) + self.marking().powi(2));
        (self.tape_class.standard_deviation(length).powi(2) + ends).sqrt()
    }

    /// Standard deviation in mm of a mark's offset of `length` mm taped from a string or chalk line: as a
    /// distance with the line in place of one of the marks. That the tape lies square to the line
    /// is found by the smallest reading.
    #[must_use]
    pub fn offset(&self, length: f64) -> f64 {
        self.tape_class
            .standard_deviation(length)
            .hypot(self.offset_from_string())
    }

    /// The same without the tape itself, for models that have its zero and scale as unknowns.
    #[must_use]
    pub fn offset_from_string(&self) -> f64 {
        self.at_mark().hypot(self.reading).hypot(self.centreline)
    }

    /// Standard deviation in mm of seeing three marks on one string: the string, and the middle of
    /// the mark beside it.
    #[must_use]
    pub fn inline(&self) -> f64 {
        self.centreline.hypot(self.marking())
    }

    /// Reads a `[precision]` table; what is not in it keeps its default. The caller refuses unknown
    /// keys.
    pub(crate) fn from_table(table: &Table<'_>) -> Option<Self> {
        let standard = Self::default();
        let classes = [
            ("I", TapeClass::I),
            ("II", TapeClass::II),
            ("III", TapeClass::III),
        ];
        let tape_class = table
            .entry("tape_class")
            .map_or(Some(standard.tape_class), |entry| entry.choice(&classes));
        let length = |key, standard, range: RangeInclusive<f64>, what| {
            table
                .entry(key)
                .map_or(Some(standard), |entry| entry.length_within(range, what))
        };
        let hand = |key, standard| length(key, standard, HAND_MM, "a standard deviation");
        let per_metre = |key, standard| {
            length(
                key,
                standard,
                PER_METRE_MM,
                "a standard deviation per metre",
            )
        };
        let (reading, plumb) = (
            hand("reading", standard.reading),
            hand("plumb", standard.plumb),
        );
        let centreline = hand("centreline", standard.centreline);
        let perpendicular = per_metre("perpendicular_per_metre", standard.perpendicular);
        let mark_width = length(
            "mark_width",
            standard.mark_width,
            HAND_MM,
            "the width of a mark on the floor",
        );
        let (joint, strip) = (hand("joint", standard.joint), hand("strip", standard.strip));
        let level = length(
            "level",
            standard.level,
            LevelReadings::SIGMA_MM,
            "a standard deviation of a height",
        );
        let printer_scale = per_metre("printer_scale_per_metre", standard.printer_scale);
        let scale_source = table
            .entry("printer_scale_per_metre")
            .map_or(ScaleSource::AnyPrinter, |_| ScaleSource::Job);
        let paper = per_metre("paper_per_metre", standard.paper);
        Some(Self {
            tape_class: tape_class?,
            reading: reading?,
            plumb: plumb?,
            centreline: centreline?,
            perpendicular: perpendicular?,
            mark_width: mark_width?,
            joint: joint?,
            strip: strip?,
            level: level?,
            printer_scale: printer_scale?,
            scale_source,
            paper: paper?,
        })
    }
}
