//! How properties are tested: cases are made by proptest from a fixed seed, so that a change fails only by what it changes, and what
//! fails is made smaller by itself. Fresh cases are for the fuzz targets in `tests/fuzz`.

use proptest::test_runner::{Config, RngSeed};

/// So many cases of a property.
pub fn seeded(cases: u32) -> Config {
    Config {
        rng_seed: RngSeed::Fixed(20_260_114),
        failure_persistence: None,
        ..Config::with_cases(cases)
    }
}
