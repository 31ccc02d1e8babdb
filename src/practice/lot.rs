//! What a generator makes a sheet from.

use super::{Block, Draw, Exercise, Kind, Level, Question, Ruling, Setting, WrongAnswer, code};

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

    /// True on one sheet in `share`: on one of each so many that follow on each other, drawn by the seed.
    pub fn one_in(&self, share: usize) -> bool {
        let before = self.number.saturating_sub(1);
        let mut draw = Draw::of_block(self.seed, self.kind, self.level, before / share);
        draw.whole(0, share as i64 - 1) as usize == before % share
    }

    /// What its lengths are written in.
    pub fn ruling(&self) -> Ruling {
        self.setting.ruling()
    }

    /// The sheet.
    pub fn exercise(
        &self,
        given: Vec<Block>,
        questions: Vec<Question>,
        wrong: Vec<WrongAnswer>,
    ) -> Exercise {
        let mut exercise = Exercise {
            kind: self.kind,
            level: self.level,
            seed: self.seed,
            number: self.number,
            code: code(self.seed, self.kind, self.level, self.number),
            name: None,
            subject: self.setting.subject(),
            given,
            questions,
            wrong,
            model: None,
        };
        // A usual slip that comes out right on this sheet is no wrong answer.
        let facts = exercise.facts();
        exercise.wrong.retain(|wrong| !wrong.is_right(&facts));
        exercise
    }
}
