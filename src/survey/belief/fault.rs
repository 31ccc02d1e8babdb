//! Mistakes that are allowed for, how often they happen and how large they are.

/// Something that may be wrong altogether.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A reading, by its index: misread, taped between other marks, or written down wrongly.
    Reading(usize),
    /// All readings of a lay by its index: the tape was held at a wrong mark of its own.
    Lay(usize),
    /// A mark, by its point: laid in a wrong place.
    Mark(usize),
    /// The grid as a whole: shifted or turned against the vehicle.
    Grid,
    /// The tape's zero point: a worn or bent hook.
    TapeZero,
    /// The tape's scale.
    TapeScale,
    /// A wheel mark, by its point: plumbed wrongly, or the vehicle is not as given.
    Wheel(usize),
}

impl Fault {
    /// Natural logarithm of how probable the mistake is beforehand. Common practice, no source: of four layouts one has a
    /// mark wrong and one a reading, so about one mark in fifty and one reading in a hundred; of twenty one is laid off as a
    /// whole, from a badge that is not central or a wrong datum.
    pub(in crate::survey) fn log_probability(self) -> f64 {
        let probability: f64 = match self {
            Self::Reading(_) | Self::TapeZero | Self::TapeScale | Self::Wheel(_) => 0.01,
            Self::Lay(_) => 0.005,
            Self::Mark(_) => 0.02,
            Self::Grid => 0.05,
        };
        probability.ln()
    }

    /// Unit of each of the mistake's rows, in the sizes' mm: a grid is shifted by so many mm and turned by a third as many
    /// mm per metre, which is what a shift of one end by as much makes of a layout of a few metres.
    pub(in crate::survey) fn units(self) -> [f64; 3] {
        if self == Self::Grid {
            [1.0, 1.0, 1.0 / 3.0]
        } else {
            [1.0; 3]
        }
    }

    /// Standard deviations that are tried for the mistake's size, in the units of its rows, the usual one first: a finger's
    /// breadth for what is laid or read, more for a wrong hundred. No source.
    pub(in crate::survey) fn sizes(self) -> &'static [f64] {
        match self {
            Self::Reading(_) | Self::Lay(_) => &[10.0, 50.0, 300.0, 2000.0],
            Self::Mark(_) => &[15.0, 60.0, 400.0, 2000.0],
            Self::Grid => &[10.0, 60.0],
            Self::TapeZero => &[3.0, 20.0, 100.0],
            Self::TapeScale => &[2.0, 20.0],
            Self::Wheel(_) => &[10.0, 50.0, 300.0],
        }
    }
}
