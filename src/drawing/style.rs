//! How things are drawn: layers, line types and widths, lettering.

/// What a drawn thing is, so that a reader of the file can switch it on and off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// Panels and their fields.
    Panels,
    /// Tape-strip bands and their centre lines.
    Lines,
    /// The hatch over what is cut out by hand.
    Waste,
    /// The vehicle's outline, wheels and centreline.
    Vehicle,
    /// Mark crosses with their centre holes.
    Marks,
    /// Everything that is read: lettering, tables, dimensions, the check square.
    Labels,
    /// Registration marks, trim edges and the neighbours' edges.
    Registration,
    /// Lines to cut along by hand.
    Knife,
    /// Scored lines, for a cutter.
    Score,
    /// What a pen draws in place of scores, for a cutter.
    Pen,
    /// Paths that go through the material, for a cutter.
    Cut,
}

impl Layer {
    /// All layers, in the order in which they are drawn (the first lies lowest).
    pub const ALL: [Self; 11] = [
        Self::Panels,
        Self::Lines,
        Self::Waste,
        Self::Vehicle,
        Self::Marks,
        Self::Labels,
        Self::Registration,
        Self::Knife,
        Self::Score,
        Self::Pen,
        Self::Cut,
    ];

    /// The name written into files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Panels => "panels",
            Self::Lines => "lines",
            Self::Waste => "waste",
            Self::Vehicle => "vehicle",
            Self::Marks => "marks",
            Self::Labels => "labels",
            Self::Registration => "registration",
            Self::Knife => "knife",
            Self::Score => "score",
            Self::Pen => "pen",
            Self::Cut => "cut",
        }
    }

    /// True for layers that a cutter follows and that do not belong on a print.
    #[must_use]
    pub const fn is_for_cutter(self) -> bool {
        matches!(self, Self::Score | Self::Pen | Self::Cut)
    }
}

/// Grey from 0 (black) to 1 (white). Sheets are made for a black-and-white printer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tone(pub f64);

impl Tone {
    /// Full black.
    pub const BLACK: Self = Self(0.0);
    /// A tone for lines that must not shout.
    pub const QUIET: Self = Self(0.45);
    /// The fill of a tape-strip band: pale, so that lettering on it stays legible.
    pub const BAND: Self = Self(0.88);
    /// The fill of a panel's dark field, chosen so that black lettering on it can still be read.
    pub const PANEL: Self = Self(0.72);
    /// Paper white.
    pub const WHITE: Self = Self(1.0);
}

/// Line types of ISO 128-2 that the sheets use, by their common English names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineType {
    /// Type 01, continuous.
    Continuous,
    /// Type 02, dashed.
    Dashed,
    /// Type 03, dashed spaced.
    DashedSpaced,
    /// Type 04, long-dashed dotted: centre lines.
    LongDashDotted,
    /// Type 07, dotted.
    Dotted,
    /// Type 12, dashed double-dotted.
    DashedDoubleDotted,
}

impl LineType {
    /// Dash pattern in mm (on, off, on, off …) for a line of `width` mm; empty for a continuous line.
    ///
    /// Dash 12 d, long dash 24 d, gap 3 d, wide gap 18 d, dot 0.5 d (ISO 128-2; from memory), with a
    /// floor of 0.25 mm for d, below which a laser printer runs dots and gaps together.
    #[must_use]
    pub fn pattern(self, width: f64) -> Vec<f64> {
        let d = width.max(0.25);
        match self {
            Self::Continuous => Vec::new(),
            Self::Dashed => vec![12.0 * d, 3.0 * d],
            Self::DashedSpaced => vec![12.0 * d, 18.0 * d],
            Self::Dotted => vec![0.5 * d, 3.0 * d],
            Self::DashedDoubleDotted => vec![12.0 * d, 3.0 * d, 0.5 * d, 3.0 * d, 0.5 * d, 3.0 * d],
            Self::LongDashDotted => vec![24.0 * d, 3.0 * d, 0.5 * d, 3.0 * d],
        }
    }
}

/// A stroked line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Width in mm; see [`widths`].
    pub width: f64,
    /// Continuous, dashed or chain line.
    pub line_type: LineType,
    /// Grey value.
    pub tone: Tone,
}

impl Stroke {
    /// A continuous black line of `width` mm.
    #[must_use]
    pub const fn solid(width: f64) -> Self {
        Self {
            width,
            line_type: LineType::Continuous,
            tone: Tone::BLACK,
        }
    }

    /// A dashed black line of `width` mm.
    #[must_use]
    pub const fn dashed(width: f64) -> Self {
        Self {
            width,
            line_type: LineType::Dashed,
            tone: Tone::BLACK,
        }
    }

    /// A long-dashed dotted (centre) line of `width` mm.
    #[must_use]
    pub const fn chain(width: f64) -> Self {
        Self {
            width,
            line_type: LineType::LongDashDotted,
            tone: Tone::BLACK,
        }
    }

    /// The same line in another grey.
    #[must_use]
    pub const fn toned(mut self, tone: Tone) -> Self {
        self.tone = tone;
        self
    }
}

/// Line widths in mm from the series of ISO 128.
pub mod widths {
    /// 0.18 mm: dimension and help lines.
    pub const FINE: f64 = 0.18;
    /// 0.25 mm: thin lines.
    pub const THIN: f64 = 0.25;
    /// 0.35 mm: medium lines.
    pub const MEDIUM: f64 = 0.35;
    /// 0.5 mm: wide lines.
    pub const WIDE: f64 = 0.5;
    /// 0.7 mm: frames.
    pub const FRAME: f64 = 0.7;
}

/// Lettering heights (height of the capitals) in mm from the series of ISO 3098.
pub mod heights {
    /// 1.8 mm, 7 points: captions of a title block, figures on small pictures; the smallest lettering on any sheet.
    pub const SMALL: f64 = 1.8;
    /// 2.5 mm, 9.7 points: what is read at the bay.
    pub const TEXT: f64 = 2.5;
    /// 2.32 mm, 9 points: the least that is read at the bay, for names that crowd.
    pub const CROWDED: f64 = 2.32;
    /// 2.9 mm, 11 points: numbers that are taped. Between two of the series, whose next one takes half as much room again.
    pub const NUMBER: f64 = 2.9;
    /// 3.5 mm: headings, mark names.
    pub const HEADING: f64 = 3.5;
    /// 5 mm: titles.
    pub const TITLE: f64 = 5.0;
    /// 7 mm: what is read standing up.
    pub const LARGE: f64 = 7.0;
    /// 14 mm: a sheet's label, read from across the bay.
    pub const LABEL: f64 = 14.0;
}

/// Two weights of one type family.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Running text and numbers.
    Regular,
    /// Headings and names.
    Bold,
}

/// Which point of a line of text its position names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Left end of the baseline.
    Start,
    /// Middle of the baseline.
    Middle,
    /// Right end of the baseline.
    End,
}
