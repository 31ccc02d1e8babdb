//! How long `check` takes and how much memory, from 25 to the most of 300 marks with ten readings each: the program itself, from start to
//! exit. `cargo bench --bench check`. Times are of this machine at this moment; the growth from size to size travels
//! better.

#![expect(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is wrong"
)]

use std::{
    fmt::Write as _,
    fs,
    io::Read,
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

/// Runs of each size; the fastest counts.
const RUNS: usize = 3;

/// Marks and readings.
const SIZES: [[usize; 2]; 5] = [[25, 250], [50, 500], [100, 1000], [200, 2000], [300, 3000]];

/// What so many marks may take.
const LIMITS: [(usize, Duration); 2] =
    [(200, Duration::from_secs(1)), (300, Duration::from_secs(5))];

/// Fractional steps that spread points evenly over a square (the plastic number's, Roberts 2018): chance that is the same
/// in every run.
const SPREAD: [f64; 2] = [0.754_877_666_246_693, 0.569_840_290_998_053];

fn main() {
    let folder = tempfile::tempdir().unwrap();
    println!(
        "{:>5}{:>10}{:>10}{:>10}{:>12}{:>10}",
        "marks", "readings", "ms", "growth", "memory kB", "growth"
    );
    let mut before: Option<(f64, Option<f64>)> = None;
    let mut slow = Vec::new();
    for [marks, count] in SIZES {
        let path = folder.path().join(format!("{marks}.toml"));
        fs::write(&path, readings(marks, count)).unwrap();
        let runs: Vec<(Duration, Option<f64>)> = (0..RUNS).map(|_| run(&path)).collect();
        let time = runs.iter().map(|run| run.0).min().unwrap();
        let (ms, memory) = (time.as_secs_f64() * 1000.0, runs[0].1);
        let growth = |now: Option<f64>, then: Option<f64>| {
            now.zip(then).map_or_else(
                || "-".to_owned(),
                |(now, then)| format!("× {:.2}", now / then),
            )
        };
        let shown = memory.map_or_else(|| "-".to_owned(), |kilobytes| format!("{kilobytes:.0}"));
        let (slower, larger) = (
            growth(Some(ms), before.map(|one| one.0)),
            growth(memory, before.and_then(|one| one.1)),
        );
        println!("{marks:>5}{count:>10}{ms:>10.1}{slower:>10}{shown:>12}{larger:>10}");
        slow.extend(
            LIMITS
                .into_iter()
                .filter(|limit| limit.0 == marks && time > limit.1),
        );
        before = Some((ms, memory));
    }
    assert!(slow.is_empty(), "longer than they may take: {slow:?}");
}

/// A floor of 20 m × 10 m: marks with a tolerance, each taped to the next ones in turn and to others farther away.
fn readings(marks: usize, count: usize) -> String {
    let part = |index: usize, step: f64| (0.5 + step * index as f64).fract();
    let place = |mark: usize| {
        (
            20_000.0 * part(mark, SPREAD[0]),
            10_000.0 * part(mark, SPREAD[1]),
        )
    };
    let mut text = "format = \"readings/1\"\nsigma = 1.0\n".to_owned();
    for mark in 0..marks {
        let (x, y) = place(mark);
        writeln!(
            text,
            "[[mark]]\nid = \"M{mark}\"\nx = {x:.3}\ny = {y:.3}\ntolerance = 5.0"
        )
        .unwrap();
    }
    for index in 0..count {
        let (from, turn) = (index % marks, index / marks);
        let to = (from + 1 + turn * (turn + 1) / 2 % (marks / 2 - 1)) % marks;
        let ((ax, ay), (bx, by)) = (place(from), place(to));
        // Errors of about 1 mm, none beyond 1.7: a flat distribution of the standard deviation 1.
        let error = (part(index, SPREAD[1]) - 0.5) * 12_f64.sqrt();
        let distance = (bx - ax).hypot(by - ay) + error;
        writeln!(
            text,
            "[[reading]]\nfrom = \"M{from}\"\nto = \"M{to}\"\ndistance = {distance:.3}"
        )
        .unwrap();
    }
    text
}

/// Time of one run, and the most memory it had at any time, in kB, where the system tells (Linux). The program's output is
/// larger than a pipe, so that it still waits to be read when the memory is asked for.
fn run(path: &Path) -> (Duration, Option<f64>) {
    let start = Instant::now();
    let program = env!("CARGO_BIN_EXE_baystencil");
    let mut child = Command::new(program)
        .arg("check")
        .arg(path)
        .arg("--json")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut output = vec![0];
    let mut stdout = child.stdout.take().unwrap();
    stdout.read_exact(&mut output).unwrap();
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let memory = status.lines().find_map(|line| {
        line.strip_prefix("VmHWM:")?
            .trim()
            .strip_suffix("kB")?
            .trim()
            .parse()
            .ok()
    });
    stdout.read_to_end(&mut output).unwrap();
    child.wait().unwrap();
    let time = start.elapsed();
    assert!(output.len() > 1000, "no report on {}", path.display());
    (time, memory)
}
