//! How long a plan of lays takes for regular grids of 15 to 297 marks: the program itself, from start to exit.
//! `cargo bench --bench plan`. Times are of this machine at this moment; the growth from size to size travels better.

#![expect(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is wrong"
)]

use std::{
    fmt::Write as _,
    fs,
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

/// Runs of each size; the fastest counts.
const RUNS: usize = 3;

/// Stations, and rails on each side of the centreline.
const SIZES: [[usize; 2]; 4] = [[5, 1], [12, 2], [19, 3], [27, 5]];

/// What so many marks may take.
const LIMITS: [(usize, Duration); 2] =
    [(60, Duration::from_secs(1)), (297, Duration::from_secs(5))];

fn main() {
    let folder = tempfile::tempdir().unwrap();
    println!("{:>5}{:>10}{:>10}", "marks", "ms", "growth");
    let mut before: Option<f64> = None;
    let mut slow = Vec::new();
    for [stations, rails] in SIZES {
        let marks = stations * (2 * rails + 1);
        let path = folder.path().join(format!("{marks}.toml"));
        fs::write(&path, template(stations, rails)).unwrap();
        let time = (0..RUNS).map(|_| run(&path)).min().unwrap();
        let ms = time.as_secs_f64() * 1000.0;
        let growth =
            before.map_or_else(|| "-".to_owned(), |before| format!("× {:.2}", ms / before));
        println!("{marks:>5}{ms:>10.1}{growth:>10}");
        slow.extend(
            LIMITS
                .into_iter()
                .filter(|limit| limit.0 == marks && time > limit.1),
        );
        before = Some(ms);
    }
    assert!(slow.is_empty(), "longer than they may take: {slow:?}");
}

/// A template of a grid of marks over 13 m × 6 m around the vehicle.
fn template(stations: usize, rails: usize) -> String {
    let (along, across) = (13_000 / (stations - 1), 3_000 / rails);
    let mut text =
        "format = \"template/1\"\nname = \"grid\"\npurpose = \"A regular grid of marks.\"\n\
                    preparation = [\"Floor level\"]\nclosing = [\"Cleared away\"]\n"
            .to_owned();
    for (name, value, most) in [
        ("gap", 750, 4000),
        ("along", along, 9000),
        ("across", across, 9000),
        ("strip", 20, 150),
        ("tolerance", 8, 30),
    ] {
        let least = if name == "gap" { 0 } else { 1 };
        writeln!(
            text,
            "[values.{name}]\nmeaning = \"{name}\"\ndefault = \"{value} mm\"\nleast = \"{least} mm\"\nmost = \"{most} mm\""
        )
        .unwrap();
    }
    for station in 0..stations {
        let (from, way) = match station {
            0 => ("front bumper".to_owned(), "ahead = \"gap\""),
            _ => (format!("s{}", station - 1), "behind = \"along\""),
        };
        writeln!(
            text,
            "[[stations]]\nname = \"s{station}\"\nmeaning = \"station\"\nfrom = \"{from}\"\n{way}"
        )
        .unwrap();
    }
    for rail in 0..rails {
        let from = if rail == 0 {
            "centreline".to_owned()
        } else {
            format!("r{}", rail - 1)
        };
        writeln!(
            text,
            "[[rails]]\nname = \"r{rail}\"\nfrom = \"{from}\"\noutward = \"across\""
        )
        .unwrap();
        writeln!(
            text,
            "[[lines]]\nfrom = \"s0/r{rail}\"\nto = \"s{}/r{rail}\"\nsides = \"both\"\nwidth = \"strip\"",
            stations - 1
        )
        .unwrap();
    }
    let list = |letter: char, count: usize| {
        (0..count)
            .map(|index| format!("\"{letter}{index}\""))
            .collect::<Vec<_>>()
            .join(", ")
    };
    writeln!(
        text,
        "[[marks]]\nstations = [{}]\nrails = [\"centre\", {}]\ntolerance = \"tolerance\"\n\
         [clear_floor]\nfront = \"1 m\"\nrear = \"1 m\"\nsides = \"800 mm\"",
        list('s', stations),
        list('r', rails)
    )
    .unwrap();
    text
}

/// Time of one run.
fn run(template: &Path) -> Duration {
    let start = Instant::now();
    let status = Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .args(["plan", "--vehicle", "delivery-van", "--json", "--template"])
        .arg(template)
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert!(status.success(), "no plan for {}", template.display());
    start.elapsed()
}
