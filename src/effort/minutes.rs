//! How long the work takes, roughly.

use crate::{
    cover::{Mode, SheetPlan},
    plan::FloorPlan,
    survey::Step,
};

/// An office printer prints this many pages a minute (common practice, no source).
const PAGES_PER_MINUTE: f64 = 15.0;
/// A roll printer takes this long for a metre, minutes (own estimate).
const ROLL_MINUTES_PER_METRE: f64 = 1.0;
/// Trimming a sheet with knife and rule, and joining two, minutes (own estimate).
const TRIM_MINUTES: f64 = 0.4;
const JOIN_MINUTES: f64 = 0.4;
/// Cutting a key out and punching its hole, minutes (own estimate).
const KEY_MINUTES: f64 = 3.0;
/// Gluing a joint over its whole length instead of fixing it with tape strip, minutes more (own estimate).
const GLUE_MINUTES: f64 = 1.0;
/// Cutting a metre of card along a steel rule, in two passes, minutes (own estimate).
const KNIFE_MINUTES_PER_METRE: f64 = 1.5;
/// Setting the rule to the sides of an opening, minutes (own estimate).
const OPENING_MINUTES: f64 = 0.3;
/// A step of setting out with its check, minutes of two people (own estimate).
const STEP_MINUTES: f64 = 3.0;
/// Laying a sheet by two points, and one that joins others, minutes of two people (own estimate).
const TAPED_SHEET_MINUTES: f64 = 2.0;
const JOINED_SHEET_MINUTES: f64 = 0.5;
/// Laying a metre of tape strip along a string, minutes (own estimate).
const STRIP_MINUTES_PER_METRE: f64 = 0.5;

/// Minutes by kind of work, for the people that it takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Minutes {
    /// Printing.
    pub print: f64,
    /// Trimming sheets and joining them, or cutting out keys.
    pub join: f64,
    /// Cutting openings out of the sheets by hand.
    pub cut: f64,
    /// Setting out, and laying sheets.
    pub lay: f64,
    /// Laying tape strips.
    pub strips: f64,
    /// Taping the check list.
    pub check: f64,
}

impl Minutes {
    /// For a layout set out by hand.
    pub(super) fn by_hand(plan: &FloorPlan, steps: &[Step], strip_metres: f64) -> Self {
        Self {
            lay: STEP_MINUTES * steps.len() as f64,
            strips: STRIP_MINUTES_PER_METRE * strip_metres,
            check: plan.proofs.iter().map(|proof| proof.minutes).sum(),
            ..Self::default()
        }
    }

    /// The same with sheets: the marks come with them, so of the steps those that make no mark are left.
    pub(super) fn with_sheets(self, steps: &[Step], sheets: &SheetPlan) -> Self {
        let datum = steps.iter().filter(|step| step.marks.is_empty()).count() as f64;
        let (count, by_tape) = (
            sheets.sheets.len() as f64,
            sheets.laid_by_tape().len() as f64,
        );
        let (join, laying) = if sheets.mode == Mode::Keys {
            (KEY_MINUTES * count, TAPED_SHEET_MINUTES * count)
        } else {
            let cut = sheets
                .sheets
                .iter()
                .filter(|sheet| sheet.cut.contains(&true))
                .count();
            (
                TRIM_MINUTES * cut as f64 + JOIN_MINUTES * sheets.joints.len() as f64,
                TAPED_SHEET_MINUTES * by_tape + JOINED_SHEET_MINUTES * (count - by_tape),
            )
        };
        let print = sheets
            .roll
            .map_or(sheets.pages as f64 / PAGES_PER_MINUTE, |roll| {
                ROLL_MINUTES_PER_METRE * roll.length / 1000.0
            });
        Self {
            print,
            join,
            lay: STEP_MINUTES * datum + laying,
            ..self
        }
    }

    /// The same with sheets of card that are glued at their joints and have openings cut out of them, `length` mm of lines.
    pub(super) fn with_knife(self, openings: usize, length: f64, joints: usize) -> Self {
        Self {
            join: self.join + GLUE_MINUTES * joints as f64,
            cut: KNIFE_MINUTES_PER_METRE * length / 1000.0 + OPENING_MINUTES * openings as f64,
            ..self
        }
    }

    /// All together.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.print + self.join + self.cut + self.lay + self.strips + self.check
    }
}
