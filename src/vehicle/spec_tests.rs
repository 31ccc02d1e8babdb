use super::*;

const GOOD: &str = r#"format = "vehicle/1"
name = "test vehicle"
source = "invented"
wheelbase = "2.7 m"
front_overhang = 900
rear_overhang = 800
front_track = 1550
rear_track = 1560
tyre = "205/55R16"
rim_width = "6.5 in"
overall_width = 1800
width_over_mirrors = 2050
"#;

fn faults(text: &str) -> String {
    VehicleSpec::read(&Source::new("v.toml", text))
        .unwrap_err()
        .to_string()
}

#[test]
fn a_spec_reads_to_checked_millimetres() {
    let spec = VehicleSpec::read(&Source::new("v.toml", GOOD)).unwrap();
    assert_eq!(
        (spec.wheelbase_left, spec.wheelbase_right, spec.tyre.width),
        (2700.0, 2700.0, 214.0)
    );
    // L103 = L104 + L101 + L105 (SAE J1100, from memory).
    assert_eq!(spec.length(), 900.0 + 2700.0 + 800.0);
}

#[test]
fn all_faults_of_a_file_come_in_one_list_with_their_lines() {
    let bad = GOOD
        .replace("\"2.7 m\"", "2")
        .replace("front_overhang = 900", "front_overhang = nan")
        .replace("rear_overhang = 800", "rear_overhang = -800")
        .replace("front_track = 1550", "front_tarck = 1550")
        .replace("rear_track = 1560", "rear_track = inf");
    let list = faults(&bad);
    for expected in [
        "v.toml:4:13: `wheelbase` is 2 mm",
        "v.toml:5:18: `front_overhang` is NaN",
        "v.toml:6:17: `rear_overhang` is \u{2212}800 mm",
        "v.toml:7:1: `front_tarck` is not a key of the file; did you mean `front_track`?",
        "`front_track` is missing",
        "v.toml:8:14: `rear_track` is inf",
    ] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
}

#[test]
fn a_number_alone_out_of_range_is_answered_with_the_units_it_may_be_in() {
    for (written, meant) in [
        ("2.7", "write \"2.7 m\" if"),
        ("\"2.7\"", "write \"2.7 m\" if"),
        ("270", "write \"270 cm\" or \"270 in\" if"),
        ("9", "write \"9 ft\" if"),
    ] {
        let list = faults(&GOOD.replace("\"2.7 m\"", written));
        assert!(list.contains(meant), "{list}");
    }
    for written in ["\"2 mm\"", "2", "-2.7"] {
        let list = faults(&GOOD.replace("\"2.7 m\"", written));
        assert_eq!(list.contains("if that is meant"), written == "2", "{list}");
    }
}

#[test]
fn contradictions_are_refused_at_the_number_that_makes_them() {
    assert!(
        faults(&GOOD.replace("1550", "1900"))
            .starts_with("v.toml:7:15: the track of 1900 mm is wider than the body")
    );
    assert!(faults(&GOOD.replace("2050", "1700")).contains("width over mirrors is smaller"));
    assert!(
        faults(&GOOD.replace("wheelbase = \"2.7 m\"", "wheelbase_left = 2700"))
            .contains("one side only")
    );
    assert!(
        faults(&GOOD.replace(
            "wheelbase = \"2.7 m\"",
            "wheelbase_left = 2700\nwheelbase_right = 2500"
        ))
        .contains("differ by 200 mm")
    );
    assert!(
        faults(&GOOD.replace("tyre = \"205/55R16\"\n", "tyre_width = 210\n"))
            .contains("leave it out")
    );
}

#[test]
fn keys_below_sources_are_sent_to_where_they_belong() {
    let (above, below) = GOOD.split_once("front_track").unwrap();
    let list = faults(&format!("{above}[sources]\nfront_track{below}"));
    for expected in [
        "v.toml:8:15: [sources] says in words where a dimension came from, and `front_track` has a number",
        "v.toml:9:14: [sources] says in words",
        "v.toml:10:8: [sources] says in words",
        "`front_track` is missing",
    ] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
    let list = faults(&format!("{GOOD}[sources]\nname = \"x\"\n"));
    assert!(
        list.contains(
            "names `name`, which is no dimension of this file; it belongs to the file itself"
        ),
        "{list}"
    );
}

#[test]
fn another_format_or_version_is_refused_by_name() {
    assert!(
        faults(&GOOD.replace("vehicle/1", "vehicle/9"))
            .contains("\"vehicle/9\" is not read here; expected \"vehicle/1\"")
    );
    assert!(faults("name = \"x\"").contains("`format` is missing"));
}

#[test]
fn every_syntax_fault_is_told_with_its_line() {
    let list = faults(
        &GOOD
            .replace("source = \"invented\"", "source = invented")
            .replace("rear_track = 1560", "rear_track 1560"),
    );
    assert!(
        list.contains("v.toml:3:") && list.contains("v.toml:8:"),
        "{list}"
    );
}
