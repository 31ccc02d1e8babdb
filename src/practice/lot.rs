//! What a generator makes a sheet from.

use super::{Block, Draw, Exercise, Kind, Level, Question, Setting, WrongAnswer};

/// One sheet to be made.
pub(super) struct Lot<'a> {
    /// What it is to train.
    pub kind: Kind,
    /// Vehicle and layout.
    pub setting: &'a Setting,
    /// How hard it is to be.
    pub level: Level,
    /// The seed.
    pub seed: u64,
    /// Number of the sheet within its kind, from 1.
    pub number: usize,
    /// Where everything random on it comes from.
    pub draw: Draw,
}

impl<'a> Lot<'a> {
    pub fn new(kind: Kind, setting: &'a Setting, level: Level, seed: u64, number: usize) -> Self {
        Self {
            kind,
            setting,
            level,
            seed,
            number,
            draw: Draw::of_sheet(seed, kind, level, number),
        }
    }

    /// The sheet.
    pub fn exercise(
        &self,
        given: Vec<Block>,
        questions: Vec<Question>,
        wrong: Vec<WrongAnswer>,
    ) -> Exercise {
        Exercise {
            kind: self.kind,
            level: self.level,
            seed: self.seed,
            number: self.number,
            subject: self.setting.subject(),
            given,
            questions,
            wrong,
            model: None,
        }
    }
}
