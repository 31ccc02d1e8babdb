//! `baystencil printer` and the profiles that jobs name, with a configuration folder of the test's own.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .current_dir(self.path())
            .args(arguments)
            .env("XDG_CONFIG_HOME", self.path().join("config"))
            .env("APPDATA", self.path().join("config"))
            .env_remove("SOURCE_DATE_EPOCH")
            .output()
            .expect("the program starts")
    }

    fn done(&self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{arguments:?}: {message}");
        message
    }

    /// Runs what must be refused, and gives the message; checks that no profile was made or changed.
    fn refused(&self, arguments: &[&str]) -> String {
        let before = self.all_files();
        let output = self.run(arguments);
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(3), "{arguments:?}: {message}");
        assert_eq!(
            self.all_files(),
            before,
            "{arguments:?} has written something"
        );
        message
    }

    fn profile(&self, name: &str) -> PathBuf {
        self.path()
            .join("config/baystencil/printers")
            .join(format!("{name}.toml"))
    }

    fn all_files(&self) -> Vec<(PathBuf, Option<Vec<u8>>)> {
        let (mut found, mut open) = (Vec::new(), vec![self.path().to_owned()]);
        while let Some(folder) = open.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    open.push(path.clone());
                }
                found.push((path.clone(), fs::read(&path).ok()));
            }
        }
        found.sort();
        found
    }
}

const SET: [&str; 9] = [
    "printer", "set", "office", "--x", "199.2", "--y", "200.3", "--of", "200",
];

fn with<'a>(arguments: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    [arguments, more].concat()
}

#[test]
fn what_was_measured_is_stored_and_listed_and_sheets_are_made_through_it() {
    let shop = Shop::new();
    let message = shop.done(&with(
        &SET,
        &["--margin-left", "5", "--margin-bottom", "1/2 in"],
    ));
    assert!(
        message.contains("x 99.6 % y 100.15 %")
            && message.contains("left 5")
            && message.contains("bottom 12.7")
    );
    let text = fs::read_to_string(shop.profile("office")).unwrap();
    for line in [
        "format = \"printer/1\"",
        "name = \"office\"",
        "margin_bottom = 12.7",
        "of = 200",
        "x = 199.2",
        "y = 200.3",
    ] {
        assert!(
            text.lines().any(|found| found == line),
            "{line} not in\n{text}"
        );
    }
    let list = shop.run(&["printer", "list", "--json"]);
    let list: serde_json::Value = serde_json::from_slice(&list.stdout).unwrap();
    assert_eq!(list["printers"][0]["name"], "office");
    assert_eq!(list["printers"][0]["margins_mm"]["left"], 5.0);

    fs::write(
        shop.path().join("job.toml"),
        "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\nprinter = \"office\"\n",
    )
    .unwrap();
    shop.done(&["stencils", "job.toml", "-o", "by-job"]);
    shop.done(&[
        "stencils",
        "--vehicle",
        "city-car",
        "--template",
        "target-line",
        "--printer",
        "office",
        "-o",
        "by-flag",
    ]);
    let sheets =
        |folder: &str| fs::read_to_string(shop.path().join(folder).join("sheets.json")).unwrap();
    assert_eq!(sheets("by-job"), sheets("by-flag"));
    let sheets: serde_json::Value = serde_json::from_str(&sheets("by-job")).unwrap();
    let affine: Vec<f64> = sheets["sheets"][0]["floor_to_page"]
        .as_array()
        .unwrap()
        .iter()
        .map(|v| v.as_f64().unwrap())
        .collect();
    // A page's x is stretched by 200/199.2 and its y by 200/200.3, whichever way the sheet is turned.
    assert!(
        (affine[0].hypot(affine[2]) - 200.0 / 199.2).abs() < 1e-8,
        "{affine:?}"
    );
    assert!(
        (affine[1].hypot(affine[3]) - 200.0 / 200.3).abs() < 1e-8,
        "{affine:?}"
    );
}

#[test]
fn a_path_stands_for_a_file_as_ever_and_is_relative_to_the_job() {
    let shop = Shop::new();
    fs::create_dir(shop.path().join("jobs")).unwrap();
    shop.done(&with(&SET, &["--file", "jobs/tray.toml"]));
    assert!(
        !shop.path().join("config").exists(),
        "nothing goes into the configuration folder"
    );
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\nprinter = \"tray.toml\"\n";
    fs::write(shop.path().join("jobs/job.toml"), job).unwrap();
    shop.done(&["stencils", "jobs/job.toml", "-o", "out"]);
    shop.done(&[
        "stencils",
        "jobs/job.toml",
        "--printer",
        "jobs/tray.toml",
        "-o",
        "out",
    ]);
    assert!(
        shop.refused(&["stencils", "jobs/job.toml", "--printer", "tray.toml"])
            .contains("cannot be read")
    );
    assert!(
        shop.refused(&with(&SET, &["--file", "tray.txt"]))
            .contains(".toml")
    );
}

#[test]
fn a_name_that_is_not_stored_is_told_with_those_that_are() {
    let shop = Shop::new();
    let message = shop.refused(&["kit", "--printer", "office", "-o", "out"]);
    assert!(
        message.contains("none is stored") && message.contains("baystencil/printers"),
        "{message}"
    );
    shop.done(&SET);
    shop.done(&["printer", "set", "back room", "--margin-top", "4"]);
    let message = shop.refused(&["kit", "--printer", "offcie", "-o", "out"]);
    assert!(
        message.contains("stored: back room, office")
            && message.contains("did you mean \"office\""),
        "{message}"
    );
    fs::write(
        shop.path().join("job.toml"),
        "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\nprinter = \"lab\"\n",
    )
    .unwrap();
    assert!(
        shop.refused(&["kit", "job.toml", "-o", "out"])
            .contains("job.toml:4:11: there is no printer profile \"lab\"")
    );
}

#[test]
fn more_than_three_per_cent_needs_force_and_says_what_is_likely_wrong() {
    let shop = Shop::new();
    let fitted = [
        "printer", "set", "office", "--x", "194", "--y", "194", "--of", "200",
    ];
    let message = shop.refused(&fitted);
    assert!(
        message.contains("97 %") && message.contains("fit to page") && message.contains("--force"),
        "{message}"
    );
    shop.done(&with(&fitted, &["--force"]));
    assert!(
        fs::read_to_string(shop.profile("office"))
            .unwrap()
            .contains("forced = true")
    );
    shop.done(&["stencils", "--printer", "office", "-o", "out"]);
    // The same profile without the word is a fault at its place.
    let text = fs::read_to_string(shop.profile("office"))
        .unwrap()
        .replace("forced = true\n", "");
    fs::write(shop.path().join("by-hand.toml"), text).unwrap();
    let message = shop.refused(&["stencils", "--printer", "by-hand.toml", "-o", "out2"]);
    assert!(
        message.contains("by-hand.toml:13:5") && message.contains("fit to page"),
        "{message}"
    );
}

#[test]
fn a_stored_correction_is_neither_lost_nor_doubled_by_accident() {
    let shop = Shop::new();
    shop.done(&SET);
    shop.done(&SET);
    let again = ["printer", "set", "office", "--x", "200.2", "--y", "199.9"];
    let message = shop.refused(&again);
    assert!(
        message.contains("--on-top") && message.contains("--replace"),
        "{message}"
    );
    shop.done(&with(&again, &["--on-top"]));
    let text = fs::read_to_string(shop.profile("office")).unwrap();
    // 0.996 × 200.2 = 199.3992; 1.0015 × 199.9 = 200.19985.
    assert!(
        text.contains("x = 199.3992\n") && text.contains("y = 200.19985\n"),
        "{text}"
    );
    shop.done(&["printer", "set", "office", "--margin-left", "6", "--on-top"]);
    let text = fs::read_to_string(shop.profile("office")).unwrap();
    assert!(
        text.contains("x = 199.3992\n") && text.contains("margin_left = 6\n"),
        "{text}"
    );
    shop.done(&with(&again, &["--replace"]));
    let text = fs::read_to_string(shop.profile("office")).unwrap();
    assert!(
        text.contains("x = 200.2\n") && text.contains("margin_left = 10\n"),
        "{text}"
    );
    assert!(
        shop.refused(&["printer", "set", "new", "--margin-left", "6", "--on-top"])
            .contains("no profile")
    );
}

#[test]
fn numbers_that_cannot_be_are_refused_with_their_flag_and_nothing_is_written() {
    let shop = Shop::new();
    let set = ["printer", "set", "office"];
    let right = ["--x", "200", "--y", "200"];
    for (flags, told) in [
        (&["--x", "0", "--y", "200"][..], "--x: 0 mm is out of range"),
        (
            &["--x", "-199", "--y", "200"],
            "--x: \u{2212}199 mm is out of range",
        ),
        (
            &["--x", "nan", "--y", "inf"],
            "--y: \"inf\" is not a length",
        ),
        (
            &["--x", "200", "--y", "200", "--of", "0"],
            "--of: 0 mm is out of range",
        ),
        (
            &["--x", "200", "--y", "2000 mm"],
            "--y: 2000 mm is out of range",
        ),
        (&["--margin-left", "-1"], "--margin-left: \u{2212}1 mm"),
        (
            &["--margin-top", "300"],
            "--margin-top: 300 mm is out of range; expected 0 to 60",
        ),
        (&["--x", "100", "--y", "200", "--force"], "no printer does"),
        (&[], "nothing to store"),
    ] {
        let message = shop.refused(&with(&set, flags));
        assert!(message.contains(told), "{told} not in\n{message}");
    }
    let message = shop.refused(&with(
        &with(&set, &right),
        &["--diagonal-up", "250", "--diagonal-down", "230"],
    ));
    assert!(message.contains("do not go with the bars"), "{message}");
    for name in ["a/b", "../office", "", "con", "office.toml", "a:b"] {
        let message = shop.refused(&with(&["printer", "set", name], &right));
        assert!(message.contains("plain name"), "{message}");
    }
    assert_eq!(
        shop.run(&with(&set, &["--x", "200"])).status.code(),
        Some(2),
        "--x asks for --y"
    );
}

#[test]
fn margins_that_leave_nothing_of_the_paper_are_refused() {
    let shop = Shop::new();
    shop.done(&[
        "printer",
        "set",
        "thick",
        "--margin-left",
        "60",
        "--margin-right",
        "60",
    ]);
    let message = shop.refused(&["stencils", "--printer", "thick", "-o", "out"]);
    assert!(
        message.contains("paper and margins leave 90 × "),
        "{message}"
    );
}

#[test]
fn a_broken_stored_profile_can_only_be_replaced_on_purpose() {
    let shop = Shop::new();
    shop.done(&SET);
    fs::write(shop.profile("office"), "format = \"printer/1\"\n").unwrap();
    let message = shop.refused(&SET);
    assert!(
        message.contains("`name` is missing") && message.contains("--replace"),
        "{message}"
    );
    let list = shop.run(&["printer", "list"]);
    assert!(
        list.status.success() && String::from_utf8_lossy(&list.stdout).contains("cannot be read")
    );
    shop.done(&with(&SET, &["--replace"]));
    fs::write(shop.path().join("job.toml"), "format = \"job/1\"\n").unwrap();
    let message = shop.refused(&with(&SET, &["--replace", "--file", "job.toml"]));
    assert!(
        message.contains("another file"),
        "a job is not written over: {message}"
    );
}

#[test]
fn the_scale_test_is_one_page_and_names_the_profile_it_was_printed_through() {
    let shop = Shop::new();
    shop.done(&SET);
    shop.done(&[
        "printer",
        "test",
        "--paper",
        "Letter",
        "--printer",
        "office",
        "-o",
        "out",
    ]);
    assert!(
        fs::read(shop.path().join("out/printer-test.pdf"))
            .unwrap()
            .starts_with(b"%PDF-1.7")
    );
    shop.done(&["printer", "test", "-o", "a4"]);
    let once = fs::read(shop.path().join("a4/printer-test.pdf")).unwrap();
    shop.done(&["printer", "test", "-o", "a4"]);
    assert_eq!(
        fs::read(shop.path().join("a4/printer-test.pdf")).unwrap(),
        once,
        "same input, same bytes"
    );
    assert!(
        shop.refused(&["printer", "test", "--paper", "148 mm x 210 mm", "-o", "new"])
            .contains("too small")
    );
    assert!(
        shop.refused(&["printer", "test", "--printer", "lab", "-o", "new"])
            .contains("stored: office")
    );
}
