//! How long planning takes: each shipped layout in mode `lines` against mode `grid` in the same run.
//! `cargo bench --bench cover`. Times are of this machine at this moment; the ratios travel better.

#![expect(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is wrong"
)]

#[path = "../shipped/mod.rs"]
mod shipped;

use std::time::{Duration, Instant};

use baystencil::inside::{Content, Mode, cover};

/// Runs of each plan; the fastest counts.
const RUNS: usize = 3;

fn main() {
    println!(
        "{:46}{:>10}{:>10}{:>8}",
        "layout", "lines ms", "grid ms", "ratio"
    );
    for (vehicle, template, plan) in shipped::plans() {
        let content = Content::of(&plan);
        for paper in ["A4", "Letter"] {
            let format = shipped::format(paper);
            let [lines, grid] = [Mode::Lines, Mode::Grid].map(|mode| {
                let run = || {
                    let start = Instant::now();
                    cover(&content, &format, mode).unwrap();
                    start.elapsed()
                };
                (0..RUNS)
                    .map(|_| run())
                    .min()
                    .unwrap_or(Duration::ZERO)
                    .as_secs_f64()
                    * 1000.0
            });
            let name = format!("{vehicle}, {template}, {paper}");
            println!("{name:46}{lines:>10.1}{grid:>10.1}{:>8.2}", lines / grid);
        }
    }
}
