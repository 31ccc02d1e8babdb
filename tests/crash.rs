//! What is on the disk after a kit could not be written to its end: the old kit, the new one, or a folder that says itself that it
//! is neither. The disk stops or fails at every single thing that is done to it.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    collections::BTreeMap,
    fs,
    path::Path,
    process::{Command, Output, Stdio},
    sync::LazyLock,
    thread::sleep,
    time::{Duration, Instant},
};

use baystencil::{
    Folders, Job, JobSpec, Kit, Source, Wanted,
    inside::{Origin, OutputError, OutputFolder, OutputSet, is_unfinished},
};

mod disk;

use disk::{Breaking, How};

type Files = BTreeMap<String, Vec<u8>>;

fn baystencil(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts")
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A small kit whose rear line lies this far behind the vehicle.
fn made(distance: &str) -> OutputSet {
    let text = format!(
        "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\nmode = \"keys\"\n[values]\ntarget_distance = \"{distance}\"\n"
    );
    let spec = JobSpec::read(&Source::new("job.toml", &text)).unwrap();
    let job = Job::resolve(spec, &Folders::default(), true).unwrap();
    Kit::of(job).files(&Wanted::default()).unwrap().files
}

static OLD: LazyLock<OutputSet> = LazyLock::new(|| made("1500 mm"));
static NEW: LazyLock<OutputSet> = LazyLock::new(|| {
    let mut files = made("1600 mm");
    files.add("only-new.txt", "new");
    files
});

const OF_OLD: Origin<'_> = Origin {
    job: Some("the job"),
    input: Some("old"),
    replaces: Some(|_| true),
    listed: true,
};
const OF_NEW: Origin<'_> = Origin {
    input: Some("new"),
    ..OF_OLD
};

/// Writes the old kit, with a file that goes with the new one.
fn write_old(folder: &Path) {
    let mut files = made_of_bytes(&OLD);
    files.add("only-old.txt", "old");
    OutputFolder::open(folder, false)
        .unwrap()
        .put(&files, &OF_OLD, false)
        .unwrap();
    fs::write(folder.join("mine.txt"), "mine").unwrap();
}

fn made_of_bytes(set: &OutputSet) -> OutputSet {
    let mut files = OutputSet::new();
    for name in set.names() {
        files.add(name, set.bytes(name).unwrap());
    }
    files
}

/// Everything that people see in a folder, by name.
fn files(folder: &Path) -> Files {
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    entries
        .filter(|path| path.is_file())
        .map(|path| {
            (
                path.file_name().unwrap().to_str().unwrap().to_owned(),
                fs::read(path).unwrap(),
            )
        })
        .collect()
}

/// True where the stage or any other temporary thing lies in the folder.
fn has_leftovers(folder: &Path) -> bool {
    let mut entries = fs::read_dir(folder).unwrap();
    entries.any(|entry| {
        entry
            .unwrap()
            .file_name()
            .to_string_lossy()
            .ends_with(".part")
    })
}

/// The old kit and the new one as they should be.
static WHOLE: LazyLock<[Files; 2]> = LazyLock::new(|| {
    let place = tempfile::tempdir().unwrap();
    write_old(place.path());
    let old = files(place.path());
    OutputFolder::open(place.path(), false)
        .unwrap()
        .put(&NEW, &OF_NEW, false)
        .unwrap();
    let new = files(place.path());
    assert!(old != new && new.contains_key("only-new.txt") && !new.contains_key("only-old.txt"));
    assert_eq!(new["mine.txt"], b"mine");
    [old, new]
});

/// What a run left that went wrong.
#[derive(Default, Debug)]
struct Tally {
    old: usize,
    new: usize,
    marked: usize,
}

/// Replaces the old kit by the new one on a disk that breaks at each of its steps in turn.
fn break_everywhere(how: How, links: bool) -> Tally {
    let mut tally = Tally::default();
    for at in 0.. {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        write_old(folder);
        let disk = Breaking {
            links,
            ..Breaking::new(at, how)
        };
        let outcome = OutputFolder::open_on(folder, false, &disk)
            .and_then(|open| open.put(&NEW, &OF_NEW, false));
        if !disk.broke() {
            assert!(outcome.is_ok());
            assert!(at > 50, "a kit is written in {at} steps");
            return tally;
        }
        let there = files(folder);
        let [old, new] = &*WHOLE;
        if is_unfinished(folder) {
            tally.marked += 1;
            hold_marked(folder, outcome.is_err());
        } else if there == *old {
            tally.old += 1;
            assert!(
                outcome.is_err(),
                "{how:?} at {at}: the old kit without a word"
            );
        } else {
            assert!(
                there == *new,
                "{how:?} at {at}: neither the old kit nor the new one"
            );
            tally.new += 1;
        }
        if how != How::Killed && !is_unfinished(folder) {
            assert!(
                !folder.join(".baystencil.part/new").exists()
                    || how == How::Denied
                    || how == How::Busy
            );
        }
        mends(folder, at % 2 == 0);
    }
    unreachable!("a run has an end")
}

/// An unfinished kit says so to whoever opens it, and `check` refuses it.
fn hold_marked(folder: &Path, failed: bool) {
    assert!(failed);
    let mark = fs::read_to_string(folder.join("UNFINISHED.toml")).unwrap();
    assert!(
        mark.starts_with("# The files of this folder are being replaced"),
        "{mark}"
    );
    fs::write(
        folder.join("taped.csv"),
        "kind,from,to,reading_mm\ndistance,1L,1R,1200\n",
    )
    .unwrap();
    let check = baystencil(folder, &["check", "taped.csv"]);
    assert_eq!(check.status.code(), Some(3));
    assert!(
        stderr(&check).contains("is unfinished"),
        "{}",
        stderr(&check)
    );
    let plan = baystencil(folder, &["plan", "job.toml"]);
    assert!(
        !folder.join("job.toml").exists() || stderr(&plan).contains("unfinished"),
        "{}",
        stderr(&plan)
    );
    fs::remove_file(folder.join("taped.csv")).unwrap();
}

/// The next run that opens the folder has a whole kit in it, and one that writes has the new one.
fn mends(folder: &Path, only_open: bool) {
    let [old, new] = &*WHOLE;
    if only_open {
        drop(OutputFolder::open(folder, false).unwrap());
        let there = files(folder);
        assert!(there == *old || there == *new);
    }
    OutputFolder::open(folder, false)
        .unwrap()
        .put(&NEW, &OF_NEW, false)
        .unwrap();
    assert!(files(folder) == *new);
    assert!(!has_leftovers(folder));
}

#[test]
fn a_kill_at_any_step_leaves_the_old_kit_the_new_one_or_a_marked_folder() {
    let tally = break_everywhere(How::Killed, true);
    assert!(
        tally.old > 20 && tally.new > 5 && tally.marked > 20,
        "{tally:?}"
    );
    println!("killed: {tally:?}");
}

#[test]
fn so_does_a_kill_where_files_have_but_one_name() {
    let tally = break_everywhere(How::Killed, false);
    assert!(tally.marked > 20, "{tally:?}");
}

#[test]
fn a_full_disk_leaves_the_old_kit() {
    let tally = break_everywhere(How::Full, true);
    assert!(tally.old > 10 && tally.marked == 0, "{tally:?}");
    println!("full: {tally:?}");
}

#[test]
fn a_file_that_is_open_elsewhere_leaves_the_old_kit_or_counts_for_nothing() {
    for links in [true, false] {
        let tally = break_everywhere(How::Busy, links);
        assert!(
            tally.old > 20 && tally.new > 5 && tally.marked == 0,
            "{tally:?}"
        );
        println!("busy: {tally:?}");
    }
}

#[test]
fn a_file_that_stays_open_leaves_the_old_kit_or_a_marked_folder() {
    let tally = break_everywhere(How::BusyOn, true);
    assert!(tally.old > 5 && tally.marked > 10, "{tally:?}");
    println!("busy on: {tally:?}");
}

#[test]
fn a_folder_that_is_no_longer_writable_leaves_the_old_kit_or_a_marked_one() {
    let tally = break_everywhere(How::Denied, true);
    assert!(tally.old > 5 && tally.marked > 10, "{tally:?}");
}

#[test]
fn who_asks_to_stop_gets_the_old_kit_and_no_temporary_file() {
    let tally = break_everywhere(How::Asked, true);
    assert!(tally.old > 20 && tally.marked == 0, "{tally:?}");
    println!("asked: {tally:?}");
}

#[test]
fn what_could_not_be_put_back_is_named() {
    let place = tempfile::tempdir().unwrap();
    write_old(place.path());
    let steps = (0..).map(|at| Breaking::new(at, How::BusyOn));
    let said = steps.into_iter().find_map(|disk| {
        let outcome = OutputFolder::open_on(place.path(), false, &disk)
            .and_then(|open| open.put(&NEW, &OF_NEW, false));
        match outcome {
            Err(error @ OutputError::Unfinished { .. }) => Some(error.to_string()),
            _ => None,
        }
    });
    let said = said.unwrap();
    assert!(
        said.contains("new are: ") && said.contains("UNFINISHED.toml"),
        "{said}"
    );
}

#[test]
fn work_on_a_new_form_of_an_unfinished_kit_is_not_put_back() {
    for at in 0.. {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        write_old(folder);
        let disk = Breaking::new(at, How::Killed);
        let _ = OutputFolder::open_on(folder, false, &disk)
            .and_then(|open| open.put(&NEW, &OF_NEW, false));
        let form = folder.join("readings.csv");
        if !is_unfinished(folder) || !folder.join(".baystencil.part/old/readings.csv").exists() {
            assert!(disk.broke(), "the form was never replaced");
            continue;
        }
        fs::write(&form, "typed since").unwrap();
        let refused = OutputFolder::open(folder, false)
            .map(drop)
            .unwrap_err()
            .to_string();
        assert!(
            refused.contains("readings.csv was changed since"),
            "{refused}"
        );
        assert_eq!(fs::read_to_string(&form).unwrap(), "typed since");
        assert!(OutputFolder::open(folder, true).is_ok());
        return;
    }
}

#[test]
fn two_runs_at_once_end_with_a_whole_kit() {
    let place = tempfile::tempdir().unwrap();
    let kit = [
        "kit",
        "--vehicle",
        "city-car",
        "--template",
        "target-line",
        "--mode",
        "keys",
        "-o",
    ];
    let alone = baystencil(place.path(), &[&kit[..], &["alone"]].concat());
    assert!(alone.status.success(), "{}", stderr(&alone));
    for round in 0..4 {
        let out = format!("kit-{}", round / 2);
        let runs: Vec<_> = (0..3)
            .map(|_| {
                Command::new(env!("CARGO_BIN_EXE_baystencil"))
                    .current_dir(place.path())
                    .args(kit)
                    .arg(&out)
                    .env_remove("SOURCE_DATE_EPOCH")
                    .stderr(Stdio::piped())
                    .spawn()
                    .unwrap()
            })
            .collect();
        for run in runs {
            let output = run.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", stderr(&output));
        }
        assert!(files(&place.path().join(&out)) == files(&place.path().join("alone")));
        assert!(!has_leftovers(&place.path().join(&out)));
    }
}

#[test]
fn of_two_jobs_at_once_one_has_the_folder_and_the_other_is_refused() {
    let place = tempfile::tempdir().unwrap();
    let runs = ["city-car", "estate"].map(|vehicle| {
        Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .current_dir(place.path())
            .args([
                "kit",
                "--template",
                "target-line",
                "--mode",
                "keys",
                "--vehicle",
                vehicle,
            ])
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    });
    let outputs = runs.map(|run| run.wait_with_output().unwrap());
    let mut codes = outputs.each_ref().map(|output| output.status.code());
    codes.sort_unstable();
    assert_eq!(codes, [Some(0), Some(3)], "{outputs:?}");
    assert!(!has_leftovers(&place.path().join("kit")));
}

#[cfg(unix)]
#[test]
fn ctrl_c_while_files_are_written_leaves_nothing_temporary() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("kit");
    let mut stopped = 0;
    for _ in 0..6 {
        let mut run = Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .current_dir(place.path())
            .args([
                "kit",
                "--template",
                "target-line",
                "--vehicle",
                "city-car",
                "--mode",
                "keys",
            ])
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let begun = Instant::now();
        while !folder.join(".baystencil.part").exists() && begun.elapsed() < Duration::from_secs(20)
        {
            sleep(Duration::from_micros(200));
        }
        let killed = Command::new("kill")
            .args(["-INT", &run.id().to_string()])
            .status()
            .unwrap();
        let status = run.wait().unwrap();
        stopped += usize::from(killed.success() && !status.success());
        assert!(!folder.exists() || (!has_leftovers(&folder) && !is_unfinished(&folder)));
    }
    assert!(stopped > 0, "no run was stopped while it wrote");
}

#[test]
fn temporary_files_of_a_killed_run_go_once_they_are_old_and_those_in_use_stay() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let old = std::time::SystemTime::now() - Duration::from_secs(120);
    for (name, age) in [
        (".baystencil-Ab12.part", Some(old)),
        (".baystencil-Cd34.part", None),
        ("mine.part", Some(old)),
    ] {
        let file = fs::File::create(folder.join(name)).unwrap();
        if let Some(age) = age {
            file.set_modified(age).unwrap();
        }
    }
    fs::create_dir_all(folder.join(".baystencil.part/new")).unwrap();
    fs::write(folder.join(".baystencil.part/new/stencils.pdf"), "half").unwrap();
    write_old(folder);
    let there = files(folder);
    assert!(!there.contains_key(".baystencil-Ab12.part"));
    assert!(there.contains_key(".baystencil-Cd34.part") && there.contains_key("mine.part"));
    assert!(!folder.join(".baystencil.part").exists());
}
