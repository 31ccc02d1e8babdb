//! How hard an exercise is.

use std::fmt;

/// Difficulty from 1 to 4. What a level means for a kind stands with that kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Level(u8);

/// A level that is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LevelError(i64);

impl fmt::Display for LevelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "level {} is none; expected 1 (first steps), 2, 3 or 4 (as on a real floor)",
            self.0
        )
    }
}

impl std::error::Error for LevelError {}

impl Level {
    /// All levels, the easiest first.
    pub const ALL: [Self; 4] = [Self(1), Self(2), Self(3), Self(4)];

    /// The level of a number.
    ///
    /// # Errors
    /// [`LevelError`] for a number that is not 1 to 4.
    pub fn new(number: i64) -> Result<Self, LevelError> {
        Self::ALL
            .into_iter()
            .find(|level| i64::from(level.0) == number)
            .ok_or(LevelError(number))
    }

    /// 1 to 4.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// One of four values, by level.
    #[must_use]
    pub fn of<T: Copy>(self, values: [T; 4]) -> T {
        values[usize::from(self.0) - 1]
    }
}
