//! How long exercises take and how much memory, for each kind and for class sets that double in size: with the real
//! program, as a shop runs it. `cargo bench --bench practice`. Times are of this machine at this moment; the growth from
//! one row to the next travels better: 2 in time is linear, 1 in memory is flat.

#![expect(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is wrong"
)]

use std::{
    fs,
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

const KINDS: [&str; 6] = ["set-out", "table", "square", "units", "order", "levels"];
const SHEETS: [usize; 4] = [62, 125, 250, 500];

/// How often a running program is asked for its memory.
const ASKED_EVERY: Duration = Duration::from_millis(5);

/// The most memory that a program has held so far, kB, where the system tells (Linux, proc(5): `VmHWM`).
fn most_memory(child: &Child) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// Seconds and kB of one run.
fn run(kind: &str, sheets: usize) -> (f64, u64) {
    let folder = tempfile::tempdir().unwrap();
    let start = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .args([
            "practice",
            "--kinds",
            kind,
            "--level",
            "2",
            "--seed",
            "1",
            "--count",
            &sheets.to_string(),
            "--out",
        ])
        .arg(folder.path())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut memory = 0;
    let status = loop {
        memory = memory.max(most_memory(&child).unwrap_or(0));
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        thread::sleep(ASKED_EVERY);
    };
    assert!(status.success(), "{kind}, {sheets} sheets");
    (start.elapsed().as_secs_f64(), memory)
}

fn main() {
    println!(
        "{:10}{:>8}{:>10}{:>8}{:>12}{:>8}",
        "kind", "sheets", "s", "ratio", "peak MB", "ratio"
    );
    for kind in KINDS {
        let mut before: Option<(f64, u64)> = None;
        for sheets in SHEETS {
            let (seconds, memory) = run(kind, sheets);
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
