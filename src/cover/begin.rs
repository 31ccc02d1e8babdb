//! How the sheets that begin a piece of the mat are laid: by two of their points.

use kurbo::Point;

use super::SheetPlan;
use crate::plan::FloorPlan;

/// A point of a sheet that is brought to its place on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The cross of a mark, by its index in the plan.
    Mark(usize),
    /// A registration mark, by its index.
    Registration(usize),
}

/// A sheet that begins a piece, with the points that it is laid by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beginning {
    /// Index of the sheet.
    pub sheet: usize,
    /// Two points far apart: the first one fixes the place, the second one the turn. Fewer where the sheet shows no more.
    pub anchors: Vec<Anchor>,
}

impl SheetPlan {
    /// The sheets that begin a piece, in the order of laying, each with a mark first where it shows one: a mark that tapes
    /// start from before others.
    #[must_use]
    pub fn beginnings(&self, plan: &FloorPlan) -> Vec<Beginning> {
        let sheets = self.laid_by_tape().into_iter();
        sheets
            .map(|sheet| Beginning {
                sheet,
                anchors: self.anchors(plan, sheet),
            })
            .collect()
    }

    /// Where an anchor lies on the floor, mm.
    #[must_use]
    pub fn anchor_at(&self, plan: &FloorPlan, anchor: Anchor) -> Point {
        match anchor {
            Anchor::Mark(mark) => plan.marks[mark].at,
            Anchor::Registration(mark) => self.registration[mark].at,
        }
    }

    fn anchors(&self, plan: &FloorPlan, sheet: usize) -> Vec<Anchor> {
        let at = |anchor: &Anchor| self.anchor_at(plan, *anchor);
        let marks = (0..plan.marks.len())
            .filter(|&mark| self.sheet_at(plan.marks[mark].at) == Some(sheet))
            .map(Anchor::Mark);
        let registration = self.sheets[sheet].registration.iter();
        let all: Vec<Anchor> = marks
            .chain(registration.map(|&mark| Anchor::Registration(mark)))
            .collect();
        let reach = |from: &Anchor| {
            let distances = all.iter().map(|to| at(from).distance(at(to)));
            distances.fold(0.0, f64::max)
        };
        let rank = |anchor: &Anchor| match anchor {
            Anchor::Mark(mark) if plan.tape_base.contains(mark) => 0,
            Anchor::Mark(_) => 1,
            Anchor::Registration(_) => 2,
        };
        let first = all
            .iter()
            .min_by(|a, b| rank(a).cmp(&rank(b)).then(reach(b).total_cmp(&reach(a))));
        let Some(first) = first else {
            return Vec::new();
        };
        let apart = |anchor: &&Anchor| at(first).distance(at(anchor));
        let second = all
            .iter()
            .filter(|anchor| *anchor != first)
            .max_by(|a, b| apart(a).total_cmp(&apart(b)));
        std::iter::once(first).chain(second).copied().collect()
    }
}
