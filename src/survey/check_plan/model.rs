//! What a check plan consists of.

use super::Detectable;
use crate::plan::{Check, FloorPlan, VehicleCheck};

/// Which distances are to be taped.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CheckChoice {
    /// Sides, ends, diagonals and ties: what people do.
    Quick,
    /// The fewest found that prove every mark.
    #[default]
    Full,
}

impl CheckChoice {
    /// Both with their words.
    pub const ALL: [(&'static str, Self); 2] = [("quick", Self::Quick), ("full", Self::Full)];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Quick => "quick",
            Self::Full => "full",
        }
    }
}

/// The distances to tape once the marks lie, and what they find. Lengths in mm.
#[derive(Clone, Debug)]
pub struct CheckPlan {
    /// Which plan it is.
    pub choice: CheckChoice,
    /// Distances between marks.
    pub pulls: Vec<Pull>,
    /// What is found of each mark, in the order of the layout's marks.
    pub marks: Vec<Detectable>,
    /// What is found of each mark when the vehicle does not stand there, so that every distance can be taped.
    pub marks_bay_empty: Vec<Detectable>,
    /// Marks that cannot be proven by distances, with what all reachable distances together would find of them: indices
    /// into `marks`. Empty for the quick plan.
    pub unmet: Vec<(usize, f64)>,
    /// Readings of another kind that would help those. Empty for the quick plan.
    pub advice: Vec<Advice>,
    /// Number of distances that a tape can reach.
    pub candidates: usize,
    /// No choice of distances that does the same can have fewer; `None` for the quick plan, which asks
    /// for nothing.
    pub lower_bound: Option<usize>,
    /// Distances from the wheel marks.
    pub vehicle_checks: Vec<VehicleCheck>,
    /// How far the layout as a whole may lie off against the vehicle before those show it; `None` where they do not
    /// hold it.
    pub pose: Option<PoseDetectable>,
}

/// A distance of a check plan.
#[derive(Clone, Debug)]
pub struct Pull {
    /// The distance with its limits.
    pub check: Check,
    /// Standard deviation of its reading.
    pub sd: f64,
    /// Part of an error of its reading that the others show, 0 to 1; `None` where a tape cannot reach.
    pub redundancy: Option<f64>,
    /// Smallest error of its reading that the others find; `None` where nothing checks it.
    pub smallest_error: Option<f64>,
}

/// A reading across a string that helps where distances do not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// Index of the mark that it helps.
    pub mark: usize,
    /// Index of the mark whose distance from the string is read.
    pub read: usize,
    /// Indices of the two marks that the string is stretched over.
    pub string: [usize; 2],
    /// How far that mark should lie from the string, positive to the left of it: 0 for three marks on one string.
    pub offset: f64,
    /// What is found of the mark with this reading and those advised before it.
    pub worst: f64,
}

/// The smallest movements of the whole layout against the vehicle that are found, each by itself, at the
/// layout's origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PoseDetectable {
    /// Forward or back, mm.
    pub forward: f64,
    /// To the left or right, mm.
    pub left: f64,
    /// Turn, degrees.
    pub turned: f64,
}

impl CheckPlan {
    /// Distances that a tape can reach while the vehicle stands on the layout.
    pub fn reachable(&self) -> impl Iterator<Item = &Pull> {
        self.pulls.iter().filter(|pull| pull.redundancy.is_some())
    }

    /// Number of distances that it cannot.
    #[must_use]
    pub fn not_reachable(&self) -> usize {
        self.pulls.len() - self.reachable().count()
    }

    /// Number of reachable readings in which a blunder would hardly show.
    #[must_use]
    pub fn unchecked(&self) -> usize {
        self.reachable().filter(|pull| pull.redundancy.is_some_and(|r| r < super::LEAST_REDUNDANCY)).count()
    }

    /// The layout with the plan's distances as its checks.
    #[must_use]
    pub fn applied(&self, plan: FloorPlan) -> FloorPlan {
        let checks = self.pulls.iter().map(|pull| pull.check.clone()).collect();
        FloorPlan { checks, vehicle_checks: self.vehicle_checks.clone(), ..plan }
    }
}
