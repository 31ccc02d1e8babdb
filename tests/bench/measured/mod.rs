//! The real program with its time and memory.

use std::{
    fs,
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

/// How often a running program is asked for its memory.
const ASKED_EVERY: Duration = Duration::from_millis(5);

/// The most memory that a program has held so far, kB, where the system tells (Linux, proc(5): `VmHWM`).
fn most_memory(child: &Child) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// Seconds and kB of one run into a folder that goes away; on `threads` cores, or on all.
pub fn run(arguments: &[&str], threads: Option<usize>) -> (f64, u64) {
    let folder = tempfile::tempdir().unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_baystencil"));
    if let Some(threads) = threads {
        program.env("RAYON_NUM_THREADS", threads.to_string());
    }
    let start = Instant::now();
    let mut child = program
        .args(arguments)
        .arg("--out")
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
    assert!(status.success(), "{arguments:?}");
    (start.elapsed().as_secs_f64(), memory)
}
