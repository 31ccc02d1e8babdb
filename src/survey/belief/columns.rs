//! Where each unknown stands in the model's vectors.

/// The unknowns in their order: two displacements for each point, three of the grid as a whole, one for each shared error of
/// laying, zero point and scale of the tape, and the zero of each lay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::survey) struct Columns {
    /// Number of points: marks first, then others.
    pub points: usize,
    /// Number of errors that marks share.
    pub shared: usize,
    /// Number of lays of the tape that gave more than one reading.
    pub lays: usize,
}

impl Columns {
    /// Column of a point's displacement forward; that to the left is the next one. mm.
    pub(in crate::survey) const fn point(&self, point: usize) -> usize {
        2 * point
    }

    /// Column of the grid's shift forward, mm; the next two are its shift to the left, mm, and its turn counter-clockwise,
    /// mm per metre.
    pub(in crate::survey) const fn pose(&self) -> usize {
        2 * self.points
    }

    /// Column of a shared error of laying, in its own standard deviations.
    pub(in crate::survey) const fn shared(&self, cause: usize) -> usize {
        self.pose() + 3 + cause
    }

    /// Column of the tape's zero point error, mm: what every reading is too long by.
    pub(in crate::survey) const fn zero(&self) -> usize {
        self.pose() + 3 + self.shared
    }

    /// Column of the tape's scale error, mm per metre: positive where it reads too much.
    pub(in crate::survey) const fn scale(&self) -> usize {
        self.zero() + 1
    }

    /// Column of a lay's zero error, mm.
    pub(in crate::survey) const fn lay(&self, lay: usize) -> usize {
        self.scale() + 1 + lay
    }

    /// Number of unknowns.
    pub(in crate::survey) const fn count(&self) -> usize {
        self.scale() + 1 + self.lays
    }
}
