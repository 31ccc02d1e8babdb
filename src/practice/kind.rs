//! What an exercise trains.

/// The kinds of exercises, in the order in which they are taught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The grid constructed with ruler and set square about a vehicle on squared paper.
    SetOut,
    /// Stations, offsets, two-tape distances and diagonals computed from given numbers.
    Table,
    /// Taped readings judged: which mark is off, which reading is wrong.
    Square,
    /// mm to fractional inches and back.
    Units,
    /// Setting-out steps and cautions put in order.
    Order,
    /// The whole tiling job on a desk, at a small scale.
    Desk,
    /// Slope and low corner from heights.
    Levels,
}

impl Kind {
    /// All of them, in order.
    pub const ALL: [Self; 7] = [
        Self::SetOut,
        Self::Table,
        Self::Square,
        Self::Units,
        Self::Order,
        Self::Desk,
        Self::Levels,
    ];

    /// The word that is typed for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::SetOut => "set-out",
            Self::Table => "table",
            Self::Square => "square",
            Self::Units => "units",
            Self::Order => "order",
            Self::Desk => "desk",
            Self::Levels => "levels",
        }
    }

    /// The heading of its sheets.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::SetOut => "Set out on paper",
            Self::Table => "Fill the table",
            Self::Square => "Square or not?",
            Self::Units => "Millimetres and inches",
            Self::Order => "Order of work",
            Self::Desk => "The floor on a desk",
            Self::Levels => "Is the floor level?",
        }
    }
}
