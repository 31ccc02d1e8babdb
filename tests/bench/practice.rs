//! How long exercises take and how much memory, for each kind and for class sets that double in size: with the real
//! program, as a shop runs it. `cargo bench --bench practice`. Times are of this machine at this moment; the growth from
//! one row to the next travels better: 2 in time is linear, 1 in memory is flat.

#![expect(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is wrong"
)]

mod measured;

use measured::run;

const KINDS: [&str; 14] = [
    "service-text",
    "overview",
    "set-out",
    "table",
    "units",
    "order",
    "centreline",
    "true-scale",
    "levels",
    "square",
    "form",
    "judge",
    "record",
    "bay",
];
const SHEETS: [usize; 4] = [62, 125, 250, 500];

fn main() {
    println!(
        "{:10}{:>8}{:>10}{:>8}{:>12}{:>8}",
        "kind", "sheets", "s", "ratio", "peak MB", "ratio"
    );
    for kind in KINDS {
        let mut before: Option<(f64, u64)> = None;
        for sheets in SHEETS {
            let count = sheets.to_string();
            let options = ["--level", "2", "--seed", "1", "--count", &count];
            let (seconds, memory) = run(
                &[&["practice", "--kinds", kind], &options[..]].concat(),
                None,
            );
            let (slower, larger) = before.map_or((1.0, 1.0), |(s, kb)| {
                (seconds / s, memory as f64 / kb.max(1) as f64)
            });
            let megabytes = memory as f64 / 1024.0;
            println!(
                "{kind:10}{sheets:>8}{seconds:>10.2}{slower:>8.2}{megabytes:>12.1}{larger:>8.2}"
            );
            before = Some((seconds, memory));
        }
    }
}
