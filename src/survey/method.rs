//! Ways of bringing a layout to the floor.

/// How the marks come to the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Sheets joined one to the next from the sheet at the front mark of the tape base.
    Chained,
    /// Every sheet laid by the long tape.
    TapedSheets,
    /// A small stencil for each mark, laid by tape.
    KeyStencils,
    /// Strips from a roll, laid by tape at both ends.
    RollStrips,
    /// Tape strips alone, no paper.
    TapeOnly,
}

impl Method {
    /// All of them, in the order of tables.
    pub const ALL: [Self; 5] = [
        Self::Chained,
        Self::TapedSheets,
        Self::KeyStencils,
        Self::RollStrips,
        Self::TapeOnly,
    ];
}
