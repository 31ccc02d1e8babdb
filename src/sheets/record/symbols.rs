//! Signs for verdicts that need no colour.

use crate::survey::{MarkFinding, Verdict};

/// What the sheet says of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Nothing asks where it lies.
    Unjudged,
    /// Inside its tolerance.
    Inside,
    /// The readings cannot tell.
    Undecided,
    /// The readings do not fix it at all.
    Loose,
    /// Outside its tolerance.
    Outside,
}

impl Standing {
    /// All that can be judged, from the worst to the best.
    pub const JUDGED: [Self; 4] = [Self::Outside, Self::Loose, Self::Undecided, Self::Inside];

    /// Of a mark.
    #[must_use]
    pub const fn of(mark: &MarkFinding) -> Self {
        // Against the vehicle where the readings tie the grid to it.
        let verdict = if mark.datum_verdict.is_some() {
            mark.datum_verdict
        } else {
            mark.verdict
        };
        match (verdict, mark.tolerance, mark.design) {
            (Some(Verdict::Outside), ..) => Self::Outside,
            (_, Some(_), Some(_)) if mark.place.is_none() => Self::Loose,
            (Some(Verdict::Inside), ..) => Self::Inside,
            (Some(Verdict::Undecided), ..) | (None, Some(_), Some(_)) => Self::Undecided,
            (None, ..) => Self::Unjudged,
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unjudged => "not judged",
            Self::Inside => "inside",
            Self::Undecided => "undecided",
            Self::Loose => "not fixed",
            Self::Outside => "OUTSIDE",
        }
    }
}

/// How many marks stand how: `2 outside, 31 inside`.
#[must_use]
pub fn counted(standings: &[Standing]) -> String {
    let count = |standing: Standing| standings.iter().filter(|s| **s == standing).count();
    let all = Standing::JUDGED.into_iter().chain([Standing::Unjudged]);
    let parts = all.filter_map(|standing| match count(standing) {
        0 => None,
        some => Some(format!("{some} {}", standing.word().to_lowercase())),
    });
    parts.collect::<Vec<_>>().join(", ")
}
