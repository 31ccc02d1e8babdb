//! Where something that holds ends, by halving an interval.

/// The interval within which `holds` ends, which is taken to hold at its lower end and to end but once.
pub(super) fn halved(
    [mut low, mut high]: [f64; 2],
    halvings: usize,
    holds: impl Fn(f64) -> bool,
) -> [f64; 2] {
    for _ in 0..halvings {
        let middle = f64::midpoint(low, high);
        *(if holds(middle) { &mut low } else { &mut high }) = middle;
    }
    [low, high]
}
