//! How long a kit takes and how much memory, on one core and on all: the demonstration job, and twelve times as many
//! sheets. `cargo bench --bench sheets`. Times are of this machine at this moment; what a sheet takes, and one core
//! against all, travel better.

#![expect(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is wrong"
)]

mod measured;

use measured::run;

const KITS: [(&str, &[&str]); 3] = [
    ("demonstration", &["kit"]),
    ("full, A4", &["kit", "--mode", "full", "--yes"]),
    (
        "full, 148 × 210 mm",
        &[
            "kit",
            "--mode",
            "full",
            "--yes",
            "--paper",
            "148 mm x 210 mm",
        ],
    ),
];

/// Runs of each; the fastest counts.
const RUNS: usize = 3;

fn main() {
    println!(
        "{:20}{:>11}{:>9}{:>8}{:>9}",
        "kit", "1 core, s", "all, s", "ratio", "peak MB"
    );
    for (name, arguments) in KITS {
        let [(one, _), (all, memory)] = [Some(1), None].map(|threads| {
            let runs = (0..RUNS).map(|_| run(arguments, threads));
            runs.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap()
        });
        let megabytes = memory as f64 / 1024.0;
        println!(
            "{name:20}{one:>11.2}{all:>9.2}{:>8.2}{megabytes:>9.1}",
            one / all
        );
    }
}
