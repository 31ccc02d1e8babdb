//! When two numbers count as one. Each limit stands for what makes smaller differences meaningless.

/// What arithmetic in f64 may add to a number near one, and a relative difference by it alone: sums of some thousand terms
/// stay two digits below.
pub const ROUND_OFF: f64 = 1e-9;

/// The same of a place or a distance on the floor, mm: coordinates reach 10⁵ mm, where f64 has ten digits behind the
/// point, and a turn or an intersection costs two or three of them.
pub const ROUND_OFF_MM: f64 = 1e-6;

/// What is nearer is one place on paper and under a cutter, mm: unions of outlines keep about a hundred-thousandth of a
/// millimetre, and no printer, cutter or tape shows a hundredth.
pub const SAME_DRAWN_MM: f64 = 0.01;

/// Numbers written to a tenth of a millimetre that differ by less read the same, mm.
pub const SAME_WRITTEN_MM: f64 = 0.05;

/// What nobody tapes, scores or cuts to, mm.
pub const SAME_TAPED_MM: f64 = 0.1;
