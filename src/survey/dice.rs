//! Seeded random numbers, for tests that draw errors.

use std::f64::consts::TAU;

use kurbo::Vec2;

/// Random numbers: xorshift64 (Marsaglia 2003, shifts 13, 7, 17).
pub struct Dice(pub u64);

impl Dice {
    pub fn unit(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn rectangular(&mut self, half_width: f64) -> f64 {
        half_width * (2.0 * self.unit() - 1.0)
    }

    /// Normal, by the polar form of Box and Muller (1958).
    pub fn normal(&mut self, sd: f64) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        sd * radius * (TAU * self.unit()).cos()
    }

    pub fn normal2(&mut self, sd: f64) -> Vec2 {
        Vec2::new(self.normal(sd), self.normal(sd))
    }
}
