//! Seeded drawing of lots.

use rand::{
    RngExt, SeedableRng,
    seq::{IndexedRandom, SliceRandom},
};
use rand_chacha::ChaCha8Rng;

use super::{Kind, Level};

/// A source of random choices that is the same for the same seed on every machine and in every version: ChaCha with
/// 8 rounds, whose output is fixed by its definition (Bernstein 2008).
#[derive(Clone)]
pub struct Draw(ChaCha8Rng);

impl Draw {
    /// The draw of one sheet: its own stream of the seed's sequence, so that no sheet depends on how many others are made.
    #[must_use]
    pub fn of_sheet(seed: u64, kind: Kind, level: Level, number: usize) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator
            .set_stream(((kind as u64) << 40) | (u64::from(level.number()) << 32) | number as u64);
        Self(generator)
    }

    /// The draw of a sheet number's random vehicle, the same for all kinds and levels.
    #[must_use]
    pub fn of_vehicle(seed: u64, number: usize) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        // No kind has this number.
        generator.set_stream((0xff << 40) | number as u64);
        Self(generator)
    }

    /// A draw of its own for a number of sheets that follow on each other.
    pub(super) fn of_block(seed: u64, kind: Kind, level: Level, block: usize) -> Self {
        let Self(mut generator) = Self::of_sheet(seed, kind, level, block + 1);
        generator.set_word_pos(1 << 61);
        Self(generator)
    }

    /// A draw of its own for the code of a sheet, so that the code says nothing of what is drawn.
    fn of_code(seed: u64, kind: Kind, level: Level, number: usize) -> Self {
        let Self(mut generator) = Self::of_sheet(seed, kind, level, number);
        // Far behind what any sheet takes.
        generator.set_word_pos(1 << 60);
        Self(generator)
    }

    /// A whole number from `least` to `most`, both included.
    pub fn whole(&mut self, least: i64, most: i64) -> i64 {
        self.0.random_range(least..=most)
    }

    /// A multiple of `step` from `least` to `most`, both multiples of it.
    pub fn stepped(&mut self, least: f64, most: f64, step: f64) -> f64 {
        let steps = ((most - least) / step).round() as i64;
        least + self.whole(0, steps.max(0)) as f64 * step
    }

    /// A normal value about 0 (polar form of Box and Muller 1958).
    pub fn normal(&mut self, sd: f64) -> f64 {
        let mut unit = || (self.0.random::<u32>() as f64 + 0.5) / (f64::from(u32::MAX) + 1.0);
        let (radius, angle) = ((-2.0 * unit().ln()).sqrt(), std::f64::consts::TAU * unit());
        sd * radius * angle.cos()
    }

    /// True as often as not.
    pub fn coin(&mut self) -> bool {
        self.whole(0, 1) == 1
    }

    /// One of several, each as likely as the others; `None` of none.
    pub fn choose<'a, T>(&mut self, among: &'a [T]) -> Option<&'a T> {
        among.choose(&mut self.0)
    }

    /// Puts things into a random order.
    pub fn shuffle<T>(&mut self, things: &mut [T]) {
        things.shuffle(&mut self.0);
    }
}

/// Letters and digits that a copy of a copy does not confuse.
const LETTERS: [char; 24] = [
    'A', 'B', 'C', 'D', 'E', 'F', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'R', 'T', 'U', 'V', 'W', 'X',
    'Y', '3', '4', '7', '9',
];

/// Six letters and digits that stand on a trainee's page and on the teacher's: they say which sheet it is to the one who
/// has the key, and nothing of the seed to the one who has not.
#[must_use]
pub fn code(seed: u64, kind: Kind, level: Level, number: usize) -> String {
    let mut draw = Draw::of_code(seed, kind, level, number);
    (0..6)
        .filter_map(|_| draw.choose(&LETTERS).copied())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(seed: u64, kind: Kind, level: i64, number: usize) -> Vec<i64> {
        let mut draw = Draw::of_sheet(seed, kind, Level::new(level).unwrap(), number);
        (0..8).map(|_| draw.whole(0, 1_000_000)).collect()
    }

    #[test]
    fn the_same_sheet_is_drawn_again_and_another_one_is_another() {
        let sheet = numbers(4711, Kind::Square, 2, 7);
        assert_eq!(sheet, numbers(4711, Kind::Square, 2, 7));
        for other in [
            numbers(4712, Kind::Square, 2, 7),
            numbers(4711, Kind::Table, 2, 7),
            numbers(4711, Kind::Square, 3, 7),
            numbers(4711, Kind::Square, 2, 8),
        ] {
            assert_ne!(sheet, other);
        }
    }
}
