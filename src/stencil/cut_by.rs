//! Who cuts a stencil.

/// What a stencil is cut by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CutBy {
    /// A machine, from files of its own.
    #[default]
    Machine,
    /// A hand with a knife, along lines on the printed sheets.
    Hand,
}

impl CutBy {
    /// Each with the word for it.
    pub const ALL: [(&'static str, Self); 2] = [("machine", Self::Machine), ("hand", Self::Hand)];

    /// The word that asks for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Machine => "machine",
            Self::Hand => "hand",
        }
    }
}
