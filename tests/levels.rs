//! `baystencil levels` as it is called: exit codes, what is said, and that the kit's own form can be given back.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

/// A job whose limits are set, so that they are no demonstration values.
const JOB: &str = "format = \"job/1\"\nvehicle = \"compact-hatchback\"\ntemplate = \"perimeter-lines\"\n[values]\nfloor_slope = \"4 mm\"\nfloor_flatness = \"3 mm\"\n";

/// Corners and wheels of that job's layout, to a tenth of a mm.
const PLACES: [(&str, f64, f64); 8] = [
    ("1L", 1620.0, 1177.0),
    ("1R", 1620.0, -1177.0),
    ("4L", -4160.0, 1177.0),
    ("4R", -4160.0, -1177.0),
    ("WFL", 0.0, 877.0),
    ("WFR", 0.0, -877.0),
    ("WRL", -2620.0, 874.5),
    ("WRR", -2620.0, -874.5),
];

struct Bay {
    folder: tempfile::TempDir,
}

impl Bay {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("job.toml"), JOB).unwrap();
        Self { folder }
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .current_dir(self.path())
            .args(arguments)
            .env_remove("SOURCE_DATE_EPOCH")
            .output()
            .expect("the program starts")
    }

    /// Writes a file and judges it: exit code, stdout, stderr.
    fn levels(&self, file: &str, text: &str, flags: &[&str]) -> (Option<i32>, String, String) {
        fs::write(self.path().join(file), text).unwrap();
        let output = self.run(&[&["levels", file], flags].concat());
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
        (
            output.status.code(),
            text(&output.stdout),
            text(&output.stderr),
        )
    }

    fn refused(&self, file: &str, text: &str, flags: &[&str]) -> String {
        let (code, out, message) = self.levels(file, text, flags);
        assert_eq!((code, out.as_str()), (Some(3), ""), "{message}");
        message
    }
}

/// The job's readings, all from one height function; `sign` is −1 for a staff.
fn readings(height: impl Fn(f64, f64) -> f64, how: &str, sign: f64) -> String {
    let mut text =
        format!("format = \"levels/1\"\njob = \"job.toml\"\nas = \"{how}\"\nsigma = \"0.3 mm\"\n");
    for (name, x, y) in PLACES {
        text += &format!(
            "[[level]]\nat = \"{name}\"\nheight = {:.6}\n",
            sign * height(x, y)
        );
    }
    text
}

#[test]
fn a_floor_within_its_limits_is_inside_and_the_exit_code_says_so() {
    let (code, out, message) = Bay::new().levels(
        "l.toml",
        &readings(|x, y| 0.002 * x + 0.001 * y, "height", 1.0),
        &[],
    );
    assert_eq!((code, message.as_str()), (Some(0), ""), "{out}");
    for said in [
        "the floor rises forward 2 mm/m",
        "rises to the left 1 mm/m",
        "greatest slope 2.24 mm/m = 0.224 %, falls to the rear right: 153° to the right of forward",
        "the plane is lowest at 4R",
        "twist: the diagonals pass each other by 0 mm",
        "\nthe floor: inside",
    ] {
        assert!(out.contains(said), "{said} not in\n{out}");
    }
}

#[test]
fn staff_readings_grow_as_the_floor_falls() {
    let bay = Bay::new();
    let height = |x: f64, y: f64| 0.002 * x + 0.001 * y - 1400.0;
    let as_height = bay.levels("h.toml", &readings(height, "height", 1.0), &[]);
    let as_staff = bay.levels("s.toml", &readings(height, "staff", -1.0), &[]);
    assert_eq!(as_height, as_staff);
}

#[test]
fn a_slope_beyond_its_limit_and_a_point_out_of_the_plane_are_outside_with_a_full_report() {
    let bay = Bay::new();
    let (code, out, message) =
        bay.levels("l.toml", &readings(|x, _| 0.006 * x, "height", 1.0), &[]);
    assert_eq!((code, message.as_str()), (Some(1), "the floor: outside\n"));
    assert!(
        out.contains("floor: greatest slope, mm/m                  6         4"),
        "{out}"
    );
    let bump = |x: f64, y: f64| if x > 1000.0 && y > 0.0 { 12.0 } else { 0.0 };
    let (code, out, _) = bay.levels("l.toml", &readings(bump, "height", 1.0), &[]);
    assert_eq!(code, Some(1));
    assert!(out.contains("largest deviation: 1L, 6"), "{out}");
}

#[test]
fn near_a_limit_and_with_three_points_nothing_is_decided() {
    let bay = Bay::new();
    let near = readings(|x, _| 0.004 * x, "height", 1.0);
    let (code, out, message) = bay.levels("l.toml", &near, &[]);
    assert_eq!(
        (code, message.as_str()),
        (Some(1), "the floor: undecided\n"),
        "{out}"
    );
    let level = readings(|_, _| 0.0, "height", 1.0);
    let three = level
        .split("[[level]]")
        .take(4)
        .collect::<Vec<_>>()
        .join("[[level]]");
    let (code, out, message) = bay.levels("l.toml", &three, &[]);
    assert_eq!(
        (code, message.as_str()),
        (Some(1), "the floor: undecided\n"),
        "{out}"
    );
    assert!(
        out.contains("three points make a plane without a check"),
        "{out}"
    );
}

#[test]
fn without_a_job_the_report_stands_alone_and_exits_0() {
    let table = "at,x_mm,y_mm,height_mm\nA,0,0,0\nB,4000,0,400\nC,0,2000,0\nD,4000,2000,410\n";
    let (code, out, message) = Bay::new().levels("own.csv", table, &[]);
    assert_eq!(code, Some(0), "{message}");
    assert!(
        message.contains("no limits: name the job") && !out.contains("inside"),
        "{out}{message}"
    );
}

#[test]
fn the_kits_form_is_read_as_a_spreadsheet_saves_it_with_unread_points_left_blank() {
    let bay = Bay::new();
    assert!(
        bay.run(&["kit", "job.toml", "--mode", "keys", "-o", "kit"])
            .status
            .success()
    );
    let form = fs::read_to_string(bay.path().join("kit/levels.csv")).unwrap();
    assert!(
        form.starts_with(
            "at,what,x_mm,y_mm,height_mm,staff_mm\n1L,front end line,1620.0,1177.0,,\n"
        ),
        "{form}"
    );
    assert!(
        form.contains("\nWRR,rear right wheel,-2620.0,-874.5,,\n"),
        "{form}"
    );
    let empty = bay.refused("empty.csv", &form, &["--job", "job.toml"]);
    assert!(empty.contains("there is no height for a plane"), "{empty}");
    let filled: Vec<String> = form
        .lines()
        .map(|line| match line.strip_suffix(",,") {
            Some(row)
                if PLACES
                    .iter()
                    .any(|(name, ..)| row.starts_with(&format!("{name},"))) =>
            {
                format!("{row},,1402.5")
                    .replace('.', "#")
                    .replace(',', ";")
                    .replace('#', ",")
            }
            _ => line.replace('.', "#").replace(',', ";").replace('#', ","),
        })
        .collect();
    let saved = format!("\u{feff}{}\r\n", filled.join("\r\n"));
    let (code, out, message) = bay.levels(
        "filled.csv",
        &saved,
        &["--job", "job.toml", "--sigma", "0.3mm"],
    );
    assert_eq!(code, Some(0), "{message}");
    assert!(
        out.starts_with("8 points") && out.contains("the floor: inside"),
        "{out}"
    );
}

#[test]
fn a_kits_form_of_heights_is_judged_by_the_kits_own_job_and_in_its_units() {
    let bay = Bay::new();
    fs::write(
        bay.path().join("inch.toml"),
        JOB.replacen('\n', "\nunits = \"inch\"\n", 1),
    )
    .unwrap();
    let made = bay.run(&["kit", "inch.toml", "--mode", "keys", "-o", "kit"]);
    assert!(made.status.success());
    let form = fs::read_to_string(bay.path().join("kit/levels.csv")).unwrap();
    // A floor that falls by 2 mm a metre to the rear, in inches: 0.24 in in ten feet.
    let mut filled = form.lines().next().unwrap().to_owned() + "\n";
    for row in form.lines().skip(1) {
        let at = row.split(',').next().unwrap();
        let along = PLACES.iter().find(|(name, ..)| *name == at);
        let height = along.map_or_else(String::new, |(_, x, _)| format!("{} mm", 0.002 * x));
        filled += &format!("{},{height},\n", row.strip_suffix(",,").unwrap());
    }
    let (code, out, message) = bay.levels("kit/levels.csv", &filled, &[]);
    assert_eq!(code, Some(0), "{message}");
    assert!(message.contains("judged by the job beside it"), "{message}");
    for said in [
        "mm (in), heights",
        "rises forward 2 mm/m (0.24 in per 10 ft)",
        "mm (0 in) ",
    ] {
        assert!(out.contains(said), "{said} not in\n{out}");
    }
}

#[test]
fn a_job_in_inches_has_a_form_in_inches_and_the_staff_is_read_to_a_sixteenth() {
    let bay = Bay::new();
    fs::write(
        bay.path().join("inch.toml"),
        JOB.replacen('\n', "\nunits = \"inch\"\n", 1),
    )
    .unwrap();
    assert!(
        bay.run(&["kit", "inch.toml", "--mode", "keys", "-o", "kit"])
            .status
            .success()
    );
    let form = fs::read_to_string(bay.path().join("kit/levels.csv")).unwrap();
    // 1620 mm = 63 12.5/16 in, 1177 mm = 46 5.4/16 in (arithmetic on 25.4 mm exactly).
    assert!(
        form.starts_with(
            "at,what,x_in,y_in,height_in,staff_in\n1L,front end line,63 3/4,46 5/16,,\n"
        ),
        "{form}"
    );
    let readings = fs::read_to_string(bay.path().join("kit/readings.csv")).unwrap();
    assert!(
        readings.starts_with("lay,check,kind,from,to,should_be_in,limit_in,reading_in\n"),
        "{readings}"
    );
    let staff = ["55 3/16", "55-3/16", "55.1875\"", "55 3/16 in"];
    let mut filled = form.lines().next().unwrap().to_owned() + "\n";
    for (index, row) in form.lines().skip(1).enumerate() {
        filled += &format!(
            "{}{}\n",
            row.strip_suffix(',').unwrap(),
            format_args!(",{}", staff[index % 4])
        );
    }
    let (code, out, message) = bay.levels(
        "filled.csv",
        &filled,
        &["--job", "inch.toml", "--sigma", "0.3mm"],
    );
    assert_eq!(code, Some(0), "{message}");
    assert!(out.contains("the floor: inside"), "{out}");
}

#[test]
fn a_template_without_a_floor_table_and_demonstration_limits_are_told() {
    let bay = Bay::new();
    fs::write(
        bay.path().join("job.toml"),
        JOB.split("[values]").next().unwrap(),
    )
    .unwrap();
    let (code, _, message) = bay.levels("l.toml", &readings(|_, _| 0.0, "height", 1.0), &[]);
    assert_eq!(code, Some(0));
    assert!(
        message.contains("the floor limits are demonstration values"),
        "{message}"
    );
    let template = include_str!("../templates/perimeter-lines.toml")
        .split("[floor]")
        .next()
        .unwrap()
        .to_owned();
    fs::write(bay.path().join("plain.toml"), template).unwrap();
    let job = JOB.replace("perimeter-lines", "plain.toml");
    fs::write(bay.path().join("job.toml"), job).unwrap();
    let (code, out, message) = bay.levels("l.toml", &readings(|_, _| 0.0, "height", 1.0), &[]);
    assert_eq!(code, Some(0));
    assert!(
        message.contains("the job's template has no [floor] table") && !out.contains("verdict"),
        "{message}{out}"
    );
}

#[test]
fn wheels_of_a_mat_are_named_by_vehicle_and_judged_each() {
    let bay = Bay::new();
    let job = JOB.replace(
        "vehicle = \"compact-hatchback\"",
        "vehicles = [\"city-car\", \"delivery-van\"]",
    );
    fs::write(bay.path().join("job.toml"), job).unwrap();
    let mut text = "at,height_mm\n".to_owned();
    for name in [
        "A:WFL", "A:WFR", "A:WRL", "A:WRR", "B:WFL", "B:WFR", "B:WRL", "B:WRR",
    ] {
        text += &format!("{name},{}\n", if name == "B:WFL" { 9.0 } else { 0.0 });
    }
    let (code, out, message) = bay.levels("mat.csv", &text, &["--job", "job.toml"]);
    assert_eq!(code, Some(1), "{message}");
    assert!(
        out.contains("below the four wheels of vehicle A the floor"),
        "{out}"
    );
    assert!(
        out.contains("A:wheels: largest deviation, mm") && out.contains("stands 9 mm out"),
        "{out}"
    );
}

#[test]
fn bad_readings_are_refused_at_their_place_with_the_remedy() {
    let bay = Bay::new();
    let head = "format = \"levels/1\"\nas = \"height\"\n";
    let level = |at: &str, x: &str, height: &str| {
        format!("[[level]]\nat = \"{at}\"\nx = {x}\ny = {x}\nheight = {height}\n")
    };
    let two = format!("{head}{}{}", level("A", "0", "0"), level("B", "900", "0"));
    let line = format!(
        "{two}{}{}",
        level("C", "2000", "0"),
        level("D", "3000", "0")
    );
    for (text, expected) in [
        (
            head.to_owned(),
            "there is no height for a plane; expected heights at three points or more",
        ),
        (two.clone(), "there are 2 heights, too few for a plane"),
        (line, "all points lie on one line"),
        (
            format!("{two}{}", level("A", "5", "0")),
            "l.toml:13:1: `A` is read again (first at line 3)",
        ),
        (
            format!("{two}{}", level("C", "900", "0")),
            "l.toml:13:1: `C` lies where `B` does",
        ),
        (
            format!("{two}{}", level("C", "90", "nan")),
            "`height` is NaN",
        ),
        (format!("{two}{}", level("C", "inf", "0")), "`x` is inf"),
        (
            format!("{two}{}", level("C", "90", "\"12 km\"")),
            "its unit `km` is none of",
        ),
        (
            format!("{two}{}", level("C", "90", "\"40 m\"")),
            "expected −10000 to 10000 mm for a height",
        ),
        (
            format!("{two}[[level]]\nat = \"1L\"\nheight = 1\n"),
            "the place of `1L` is not known",
        ),
        (
            format!("{two}[[level]]\nat = \"1L\"\nx = 5\nheight = 1\n"),
            "give both, or neither",
        ),
        (
            format!("{two}[[level]]\nat = \"C\"\nx = 5\ny = 5\nreading = 1\n"),
            "`height` is missing",
        ),
        (head.replace("as = \"height\"", ""), "`as` is missing"),
        (
            head.replace("\"height\"", "\"laser\""),
            "expected one of \"height\", \"staff\"",
        ),
        (format!("{head}sigma = 0\n"), "expected 0.001 to 50 mm"),
        (format!("{head}levels = 1\n"), "did you mean `level`?"),
        (format!("{head}job = \"none.toml\"\n"), "none.toml"),
    ] {
        let message = bay.refused("l.toml", &text, &[]);
        assert!(message.contains(expected), "{expected} not in\n{message}");
    }
    let job = |rows: &str| {
        bay.refused(
            "l.csv",
            &format!("at,x_mm,y_mm,height_mm\n{rows}"),
            &["--job", "job.toml"],
        )
    };
    assert!(
        job("1l,,,5\n")
            .contains("l.csv:2:1: `1l` is no mark of the job and no wheel; did you mean `1L`?")
    );
    assert!(job("1L,0,0,5\n").contains("is this the form of another job?"));
    assert!(job("1L,,,5\n,,,4\n").contains("l.csv:3:1: the height has no proper name"));
    for (table, expected) in [
        ("at,x_mm\nA,5\n", "there is no column `height_mm`"),
        (
            "point,height_mm,staff_mm\nA,5,6\n",
            "height and staff are both filled in",
        ),
        ("name,height_mm\nA,5\n", "there is no column `at`"),
        ("at,height_mm\nA,nan\n", "\"nan\" is not a length"),
        ("", "is empty"),
    ] {
        let message = bay.refused("l.csv", table, &[]);
        assert!(message.contains(expected), "{expected} not in\n{message}");
    }
    let sigma = bay.refused("l.toml", &two, &["--sigma", "0"]);
    assert!(sigma.contains("--sigma: \"0\" is out of range"), "{sigma}");
    assert!(
        bay.refused("l.csv", "at\n", &["--job", "missing.toml"])
            .contains("there is no column")
    );
}
