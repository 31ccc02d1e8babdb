//! What the parts of a question are worth.

/// How the points of a question are given; it is printed with the question, so that trainee and teacher go by the same rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scoring {
    /// All points for the answer as a whole.
    Whole,
    /// So many points for each answer.
    Each {
        /// Points of one.
        points: u32,
        /// What an answer is on paper: "blank".
        what: &'static str,
    },
    /// All points, less one for each wrong answer, none below zero.
    LessEach {
        /// What an answer is on paper: "blank".
        what: &'static str,
    },
    /// Points for each answer in order, with what it is for.
    Parts(Vec<(u32, String)>),
    /// A point for each line that comes right after the one that it belongs behind, so that one line out of place costs
    /// no more than three.
    Following,
}

impl Scoring {
    /// A point for each blank.
    pub(super) const BLANKS: Self = Self::Each {
        points: 1,
        what: "blank",
    };

    /// The rule in words; empty for a question that is judged as a whole.
    pub(super) fn rule(&self) -> String {
        let points =
            |points: u32| format!("{points} {}", if points == 1 { "point" } else { "points" });
        match self {
            Self::Whole => String::new(),
            Self::Each { points: each, what } => format!("{} for each {what}", points(*each)),
            Self::LessEach { what } => format!("1 point less for each wrong {what}"),
            Self::Following => {
                "1 point for each line that directly follows the right one, and for the first line"
                    .to_owned()
            }
            Self::Parts(parts) => {
                let mut worth: Vec<&(u32, String)> = Vec::new();
                for part in parts.iter().filter(|(points, _)| *points > 0) {
                    if !worth.contains(&part) {
                        worth.push(part);
                    }
                }
                let more = if worth.len() < parts.iter().filter(|(points, _)| *points > 0).count() {
                    "each: "
                } else {
                    ""
                };
                let words = worth
                    .iter()
                    .map(|(worth, what)| format!("{} for {what}", points(*worth)));
                format!("{more}{}", words.collect::<Vec<_>>().join(", "))
            }
        }
    }

    /// Parts from points and words.
    pub(super) fn parts<const N: usize>(parts: [(u32, &str); N]) -> Self {
        Self::Parts(
            parts
                .map(|(points, what)| (points, what.to_owned()))
                .to_vec(),
        )
    }
}
