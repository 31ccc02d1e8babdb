//! What an exercise trains.

/// The kinds of exercises. Their order here is that of their streams of random numbers: a new one goes last.
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
    /// A page that says what a layout's words mean; nothing is asked.
    Primer,
    /// The template's values found in a paragraph of service information.
    ServiceText,
    /// Marks, strips and check distances read off the overview.
    Overview,
    /// The vehicle's centreline from its middle and from its badge.
    Centreline,
    /// A printed check square that is not what it should be.
    TrueScale,
    /// The check form filled in from pictures of a tape.
    Form,
    /// A filled form judged, and what to do next.
    Judge,
    /// A customer's record with something wrong on it.
    Record,
    /// The same questions with one's own tape on the real grid.
    Bay,
}

impl Kind {
    /// All of them, in the order in which they are taught.
    pub const ALL: [Self; 16] = [
        Self::Primer,
        Self::ServiceText,
        Self::Overview,
        Self::SetOut,
        Self::Table,
        Self::Units,
        Self::Order,
        Self::Centreline,
        Self::TrueScale,
        Self::Desk,
        Self::Levels,
        Self::Square,
        Self::Form,
        Self::Judge,
        Self::Record,
        Self::Bay,
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
            Self::Primer => "primer",
            Self::ServiceText => "service-text",
            Self::Overview => "overview",
            Self::Centreline => "centreline",
            Self::TrueScale => "true-scale",
            Self::Form => "form",
            Self::Judge => "judge",
            Self::Record => "record",
            Self::Bay => "bay",
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
            Self::Primer => "Words and signs of a layout",
            Self::ServiceText => "Read the service text",
            Self::Overview => "Read the overview",
            Self::Centreline => "Find the centreline",
            Self::TrueScale => "Is the print true to scale?",
            Self::Form => "Fill in the form",
            Self::Judge => "Judge the layout",
            Self::Record => "Check the record",
            Self::Bay => "In the bay",
        }
    }
}
