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

/// An old kit and the new one that replaces it.
struct Pair {
    old: OutputSet,
    new: OutputSet,
    /// What each leaves in a folder.
    whole: [Files; 2],
}

/// Files that stand for all of a kit where only how they are replaced is looked at.
const FEW: [&str; 5] = [
    "stencils.pdf",
    "overview.svg",
    "job.toml",
    "readings.csv",
    "levels.csv",
];

/// Whole kits.
static KITS: LazyLock<Pair> = LazyLock::new(|| Pair::of(&[]));
/// A few files of each.
static SOME: LazyLock<Pair> = LazyLock::new(|| Pair::of(&FEW));

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

impl Pair {
    /// Kits with these files alone, or with all of theirs; each with one that the other does not have.
    fn of(names: &[&str]) -> Self {
        let few = |set: &OutputSet, own: &str| {
            let mut files = OutputSet::new();
            let wanted = |name: &&str| names.is_empty() || names.contains(name);
            for name in set.names().filter(wanted) {
                files.add(name, set.bytes(name).unwrap());
            }
            files.add(own, own);
            files
        };
        let old = few(&made("1500 mm"), "only-old.txt");
        let new = few(&made("1600 mm"), "only-new.txt");
        let whole = [Files::new(), Files::new()];
        let mut pair = Self { old, new, whole };
        let place = tempfile::tempdir().unwrap();
        pair.write_old(place.path());
        let there = files(place.path());
        put(place.path(), &pair.new, &OF_NEW).unwrap();
        pair.whole = [there, files(place.path())];
        let [old, new] = &pair.whole;
        assert!(old != new && new.contains_key("only-new.txt"));
        assert!(!new.contains_key("only-old.txt") && new["mine.txt"] == b"mine");
        pair
    }

    /// Writes the old kit, beside a file of somebody's own.
    fn write_old(&self, folder: &Path) {
        put(folder, &self.old, &OF_OLD).unwrap();
        fs::write(folder.join("mine.txt"), "mine").unwrap();
    }

    /// Replaces it on a disk that breaks.
    fn replace(&self, folder: &Path, disk: &Breaking) -> Result<(), OutputError> {
        let open = OutputFolder::open_on(folder, false, disk)?;
        open.put(&self.new, &OF_NEW, false).map(drop)
    }

    /// Replaces the old kit by the new one on a disk that breaks at each of its steps in turn.
    fn break_everywhere(&self, how: How, links: bool) -> Tally {
        let mut tally = Tally::default();
        for at in 0.. {
            let place = tempfile::tempdir().unwrap();
            let folder = place.path();
            self.write_old(folder);
            let mut disk = Breaking::new(at, how);
            disk.links = links;
            let outcome = self.replace(folder, &disk);
            if !disk.broke() {
                assert!(outcome.is_ok());
                println!("{how:?}, {at} steps: {tally:?}");
                return tally;
            }
            let there = files(folder);
            let [old, new] = &self.whole;
            if is_unfinished(folder) {
                tally.marked += 1;
                assert!(outcome.is_err());
                if how == How::Killed {
                    hold_marked(folder);
                }
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
            if matches!(how, How::Full | How::Asked) {
                assert!(!has_leftovers(folder), "{how:?} at {at}");
            }
            self.mends(folder, at % 2 == 0);
        }
        unreachable!("a run has an end")
    }

    /// The next run that opens the folder has a whole kit in it, and one that writes has the new one.
    fn mends(&self, folder: &Path, only_open: bool) {
        if only_open {
            drop(OutputFolder::open(folder, false).unwrap());
            assert!(self.whole.contains(&files(folder)));
        }
        put(folder, &self.new, &OF_NEW).unwrap();
        assert!(files(folder) == self.whole[1]);
        assert!(!has_leftovers(folder));
    }
}

fn put(folder: &Path, files: &OutputSet, origin: &Origin<'_>) -> Result<(), OutputError> {
    let open = OutputFolder::open(folder, false)?;
    open.put(files, origin, false).map(drop)
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

/// What a run left that went wrong.
#[derive(Default, Debug)]
struct Tally {
    old: usize,
    new: usize,
    marked: usize,
}

/// An unfinished kit says so to whoever opens it, and `check` refuses it.
fn hold_marked(folder: &Path) {
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

#[test]
fn a_kill_at_any_step_leaves_the_old_kit_the_new_one_or_a_marked_folder() {
    let tally = KITS.break_everywhere(How::Killed, true);
    assert!(
        tally.old > 20 && tally.new > 5 && tally.marked > 20,
        "{tally:?}"
    );
}

#[test]
fn so_does_a_kill_where_files_have_but_one_name() {
    let tally = SOME.break_everywhere(How::Killed, false);
    assert!(tally.marked > 10, "{tally:?}");
}

#[test]
fn a_full_disk_leaves_the_old_kit() {
    let tally = SOME.break_everywhere(How::Full, true);
    assert!(tally.old > 8 && tally.marked == 0, "{tally:?}");
}

#[test]
fn a_file_that_is_open_elsewhere_leaves_the_old_kit_or_counts_for_nothing() {
    for links in [true, false] {
        let tally = SOME.break_everywhere(How::Busy, links);
        assert!(
            tally.old > 15 && tally.new > 5 && tally.marked == 0,
            "{tally:?}"
        );
    }
}

#[test]
fn a_file_that_stays_open_leaves_the_old_kit_or_a_marked_folder() {
    let tally = SOME.break_everywhere(How::BusyOn, true);
    assert!(tally.old > 5 && tally.marked > 5, "{tally:?}");
}

#[test]
fn a_folder_that_is_no_longer_writable_leaves_the_old_kit_or_a_marked_one() {
    let tally = SOME.break_everywhere(How::Denied, true);
    assert!(tally.old > 5 && tally.marked > 5, "{tally:?}");
}

#[test]
fn who_asks_to_stop_gets_the_old_kit_and_no_temporary_file() {
    let tally = SOME.break_everywhere(How::Asked, true);
    assert!(tally.old > 15 && tally.marked == 0, "{tally:?}");
}

#[test]
fn what_could_not_be_put_back_is_named() {
    let place = tempfile::tempdir().unwrap();
    SOME.write_old(place.path());
    let said = (0..60).find_map(|at| {
        let disk = Breaking::new(at, How::BusyOn);
        match SOME.replace(place.path(), &disk) {
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
    let held = (0..60).any(|at| {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        SOME.write_old(folder);
        let _ = SOME.replace(folder, &Breaking::new(at, How::Killed));
        let form = folder.join("readings.csv");
        if !is_unfinished(folder) || fs::read(&form).unwrap() != SOME.whole[1]["readings.csv"] {
            return false;
        }
        fs::write(&form, "typed since").unwrap();
        let refused = OutputFolder::open(folder, false).map(drop).unwrap_err();
        let refused = refused.to_string();
        assert!(
            refused.contains("readings.csv was changed since"),
            "{refused}"
        );
        assert_eq!(fs::read_to_string(&form).unwrap(), "typed since");
        assert!(OutputFolder::open(folder, true).is_ok());
        true
    });
    assert!(held, "the form was never replaced");
}

/// In a disk of its own in memory: an old kit, so much room left, and the run that is to replace it; then what is there.
#[cfg(target_os = "linux")]
const ON_A_SMALL_DISK: &str = r#"
mkdir disk && mount -t tmpfs -o size=2m,mode=700 none disk || exit 77
cp -r old disk/kit && head -c 2000000 /dev/zero > disk/filler 2>/dev/null
used=$(df -k --output=avail disk | tail -n 1)
truncate -s "$(($(stat -c %s disk/filler) - ($1 - used) * 1024))" disk/filler || exit 78
shift
"$@"
code=$?
cp -r disk/kit there
exit $code
"#;

#[cfg(target_os = "linux")]
#[test]
fn a_real_disk_without_room_leaves_the_old_kit_and_says_so() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let kit = |out: &str, distance: &str| -> Vec<String> {
        let set = format!("target_distance={distance}");
        let vehicle = [
            "kit",
            "--vehicle",
            "city-car",
            "--template",
            "target-line",
            "--mode",
            "keys",
        ];
        let rest = ["--replace", "--set", &set, "-o", out];
        vehicle
            .iter()
            .chain(&rest)
            .map(|&word| word.to_owned())
            .collect()
    };
    for (out, distance) in [("old", "1500mm"), ("new", "1600mm")] {
        let arguments = kit(out, distance);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        assert!(baystencil(folder, &arguments).status.success());
    }
    let [old, new] = ["old", "new"].map(|name| files(&folder.join(name)));
    let mut refused = 0;
    for room_kb in [4, 60, 200, 600, 900, 4000] {
        let output = Command::new("unshare")
            .args([
                "--map-root-user",
                "--mount",
                "sh",
                "-c",
                ON_A_SMALL_DISK,
                "sh",
            ])
            .args([&room_kb.to_string(), env!("CARGO_BIN_EXE_baystencil")])
            .args(kit("disk/kit", "1600mm"))
            .current_dir(folder)
            .env_remove("SOURCE_DATE_EPOCH")
            .output();
        let can_mount = |output: &Output| {
            output.status.code() != Some(77) && !stderr(output).starts_with("unshare:")
        };
        let Some(output) = output.ok().filter(can_mount) else {
            println!("skipped: this machine lets nobody mount a disk in memory of his own");
            return;
        };
        assert!(
            matches!(output.status.code(), Some(0 | 3)),
            "{}",
            stderr(&output)
        );
        let there = files(&folder.join("there"));
        let is_full = output.status.code() == Some(3);
        assert!(
            there == if is_full { old.clone() } else { new.clone() },
            "{room_kb}: {}",
            stderr(&output)
        );
        assert!(!has_leftovers(&folder.join("there")));
        if is_full {
            assert!(
                stderr(&output).contains("No space left"),
                "{}",
                stderr(&output)
            );
            refused += 1;
        }
        fs::remove_dir_all(folder.join("there")).unwrap();
        fs::remove_dir_all(folder.join("disk")).unwrap();
    }
    assert!((4..6).contains(&refused), "{refused} of 6 runs had no room");
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
    SOME.write_old(folder);
    let there = files(folder);
    assert!(!there.contains_key(".baystencil-Ab12.part"));
    assert!(there.contains_key(".baystencil-Cd34.part") && there.contains_key("mine.part"));
    assert!(!folder.join(".baystencil.part").exists());
}
