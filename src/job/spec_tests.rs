//! Jobs read from texts.

use super::*;
use crate::survey::{ScaleSource, TapeClass};

fn read(text: &str) -> Result<JobSpec, String> {
    JobSpec::read(&Source::new("job.toml", text)).map_err(|faults| faults.to_string())
}

const SMALL: &str = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n";

#[test]
fn a_short_job_gets_the_documented_defaults() {
    let job = read(SMALL).unwrap();
    assert_eq!(
        (job.paper.name.as_str(), job.overlap, job.inches),
        ("A4", 10.0, false)
    );
    assert!(job.bay.is_none() && job.record == Record::default());
}

#[test]
fn a_job_names_its_check_plan_and_its_longest_tape() {
    let job = read(&format!(
        "{SMALL}checks = \"quick\"\nlongest_pull = \"5 m\"\n"
    ))
    .unwrap();
    assert_eq!(
        (job.checks, job.longest_pull),
        (CheckChoice::Quick, Some(5000.0))
    );
    let job = read(SMALL).unwrap();
    assert_eq!((job.checks, job.longest_pull), (CheckChoice::Full, None));
    let list = read(&format!(
        "{SMALL}checks = \"all\"\nlongest_pull = \"5 mm\"\n"
    ))
    .unwrap_err();
    assert!(
        list.contains("\"all\" is not a known `checks`; expected one of \"quick\", \"full\""),
        "{list}"
    );
    assert!(
        list.contains("`longest_pull` is 5 mm; expected 2000 to 100000 mm"),
        "{list}"
    );
}

#[test]
fn all_faults_of_a_job_are_told_at_once() {
    let list = read(&format!(
        "{SMALL}paper = \"A9\"\noverlap = \"1 mm\"\nunits = \"furlong\"\ncolour = 1\n[record]\ndate = \"2.3.2026\"\n[bay]\nlength = 0\n"
    ))
    .unwrap_err();
    for expected in [
        "job.toml:4:9: \"A9\" is no paper",
        "job.toml:5:11: `overlap` is 1 mm",
        "job.toml:6:9: \"furlong\" is not a known `units`",
        "job.toml:7:1: `colour` is not a key",
        "job.toml:9:8: \"2.3.2026\" is not a date",
        "`width` is missing in [bay]",
        "`length` is 0 mm",
    ] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
}

#[test]
fn a_job_overrides_single_inputs_of_the_precision_and_keeps_the_other_defaults() {
    let job = read(&format!(
        "{SMALL}[precision]\ntape_class = \"I\"\nreading = \"1/32 in\"\nprinter_scale_per_metre = \"1 mm\"\n"
    ));
    let expected = Precision {
        tape_class: TapeClass::I,
        reading: 0.793_75,
        printer_scale: 1.0,
        scale_source: ScaleSource::Job,
        ..Precision::default()
    };
    assert_eq!(job.unwrap().precision, expected);
    assert_eq!(read(SMALL).unwrap().precision, Precision::default());
}

#[test]
fn every_key_of_the_precision_reaches_its_own_input_and_no_other_key_is_taken() {
    let job = read(&format!(
        "{SMALL}[precision]\ntape_class = \"III\"\nreading = 1.1\nplumb = 1.2\ncentreline = 1.3\n\
         perpendicular_per_metre = 1.4\nmark_width = 1.5\njoint = 1.6\nstrip = 1.7\nlevel = 2.0\n\
         printer_scale_per_metre = 1.8\npaper_per_metre = 1.9\n"
    ));
    let expected = Precision {
        tape_class: TapeClass::III,
        reading: 1.1,
        plumb: 1.2,
        centreline: 1.3,
        perpendicular: 1.4,
        mark_width: 1.5,
        joint: 1.6,
        strip: 1.7,
        level: 2.0,
        printer_scale: 1.8,
        scale_source: ScaleSource::Job,
        paper: 1.9,
    };
    assert_eq!(job.unwrap().precision, expected);
    let list = read(&format!(
        "{SMALL}[precision]\ntape_class = \"IV\"\nreading = \"-1 mm\"\npaper_per_metre = \"40 mm\"\nplum = 1\nstrip = nan\n"
    ))
    .unwrap_err();
    for expected in [
        "job.toml:5:14: \"IV\" is not a known `tape_class`; expected one of \"I\", \"II\", \"III\"",
        "job.toml:6:11: `reading` is \u{2212}1 mm; expected 0 to 20 mm for a standard deviation",
        "job.toml:7:19: `paper_per_metre` is 40 mm; expected 0 to 30 mm for a standard deviation per metre",
        "job.toml:8:1: `plum` is not a key of [precision]; did you mean `plumb`?",
        "job.toml:9:9: `strip` is NaN",
    ] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
}

#[test]
fn the_date_may_be_text_or_a_toml_date() {
    for date in ["\"2026-03-02\"", "2026-03-02"] {
        assert_eq!(
            read(&format!("{SMALL}[record]\ndate = {date}\n"))
                .unwrap()
                .record
                .date,
            "2026-03-02"
        );
    }
}
