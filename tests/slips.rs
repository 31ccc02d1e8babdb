//! Slips that people make at the bay and at a desk: each is answered with what to write, or with what to give instead.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{fs, path::Path};

mod inputs;
mod program;

use inputs::KINDS;
use program::{baystencil, stderr};

/// What a run that is refused says.
fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = baystencil(folder, arguments);
    let said = stderr(&output);
    assert_eq!(output.status.code(), Some(3), "{arguments:?}: {said}");
    said
}

/// What a vehicle is refused with, one line of which is another.
fn with_wheelbase(folder: &Path, written: &str) -> Result<(), String> {
    let vehicle =
        KINDS[0].texts[0].replace("wheelbase = \"2.7 m\"", &format!("wheelbase = {written}"));
    fs::write(folder.join("v.toml"), vehicle).unwrap();
    let output = baystencil(
        folder,
        &["plan", "--vehicle", "v.toml", "--template", "target-line"],
    );
    if output.status.success() {
        return Ok(());
    }
    Err(stderr(&output))
}

#[test]
fn a_wheelbase_is_read_or_answered_with_what_to_write() {
    let place = tempfile::tempdir().unwrap();
    for read in [
        "1.76E+03",
        "\"108 inches\"",
        "\"108 inch\"",
        "\"9 feet\"",
        "\"9 foot\"",
        "\"9'-3\\\"\"",
        "'''9'-3 1/2\"'''",
        "\"9′-3″\"",
        "\"9’ 3”\"",
        "\"2700 mm.\"",
        "\"2.7 metres\"",
        "\"2 700 mm\"".replace(' ', "\u{202f}").as_str(),
        "\"+2700 mm\"",
    ] {
        assert_eq!(with_wheelbase(place.path(), read), Ok(()), "{read}");
    }
    for (written, said) in [
        (
            "2,74",
            "v.toml:4:14: broken TOML: a number has no comma; write a point before decimals",
        ),
        (
            "\"2,74 m\"",
            "v.toml:4:13: \"2,74 m\" is not a length: it has a comma; write a point before decimals",
        ),
        ("\"1.76E+03\"", "write all digits"),
        ("“2.7 m”", "write straight ones: `wheelbase = \"2.7 m\"`"),
        ("2700 mm", "write `wheelbase = \"2700 mm\"`"),
        ("9'-3\"", "in quotation marks, with `ft` and `in`"),
        ("\"2 700 mm\"", "thousands without a space"),
        ("\"2'700 mm\"", "thousands without a sign"),
        ("2.7", "write \"2.7 m\" if that is meant"),
        (
            "\"2700 milimeters\"",
            "its unit `milimeters` is none of mm, cm, m, in, ft",
        ),
    ] {
        let message = with_wheelbase(place.path(), written).unwrap_err();
        assert!(message.contains(said), "{written}: {message}");
        assert!(message.contains("v.toml:4:"), "{message}");
    }
}

#[test]
fn a_file_of_one_kind_in_the_place_of_another_is_answered_with_what_it_is_and_how_it_is_given() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    for kind in &KINDS {
        assert!(
            (kind.read)(kind.file, kind.texts[0]).is_ok(),
            "{}",
            kind.file
        );
        fs::write(folder.join(kind.file), kind.texts[0]).unwrap();
    }
    let called = [
        ("vehicle.toml", "a vehicle file", "--vehicle FILE"),
        ("template.toml", "a template file", "--template FILE"),
        ("job.toml", "a job file", "`baystencil kit FILE`"),
        ("printer.toml", "a printer profile", "--printer FILE"),
        (
            "readings.toml",
            "a file of taped readings",
            "`baystencil check FILE`",
        ),
        (
            "levels.toml",
            "a file of heights",
            "`baystencil levels FILE`",
        ),
    ];
    let places: [(&str, &[&str]); 6] = [
        (
            "vehicle.toml",
            &["plan", "--template", "target-line", "--vehicle"],
        ),
        ("template.toml", &["plan", "--template"]),
        ("job.toml", &["plan"]),
        (
            "printer.toml",
            &["plan", "--template", "target-line", "--printer"],
        ),
        ("readings.toml", &["check"]),
        ("levels.toml", &["levels"]),
    ];
    for (wanted, command) in places {
        let (_, needed, _) = called.iter().find(|(file, _, _)| *file == wanted).unwrap();
        for (given, is, how) in called.iter().filter(|(given, _, _)| *given != wanted) {
            let said = refused(folder, &[command, &[*given]].concat());
            let expected = format!("this is {is}, and {needed} is needed here");
            assert!(
                said.contains(&expected) && said.contains(how),
                "{command:?} {given}: {said}"
            );
            assert!(said.contains(&format!("{given}:1:10: ")), "{said}");
        }
    }
}

#[test]
fn forms_in_the_place_of_other_forms_and_of_jobs_are_answered_with_their_command() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let kit = baystencil(
        folder,
        &[
            "kit",
            "--template",
            "target-line",
            "--vehicle",
            "city-car",
            "--mode",
            "keys",
        ],
    );
    assert!(kit.status.success(), "{}", stderr(&kit));
    for (words, said) in [
        (
            &["check", "kit/levels.csv"][..],
            "this is a form of heights (levels.csv)",
        ),
        (&["check", "kit/levels.csv"], "`baystencil levels FILE`"),
        (
            &["levels", "kit/readings.csv"],
            "this is a form of taped readings (readings.csv)",
        ),
        (&["levels", "kit/readings.csv"], "`baystencil check FILE`"),
        (
            &["plan", "kit/readings.csv"],
            "this is a form (CSV), and a job file (TOML) is needed here",
        ),
        (
            &[
                "plan",
                "--template",
                "target-line",
                "--vehicle",
                "kit/readings.csv",
            ],
            "a vehicle file (TOML) is needed",
        ),
        (
            &["check", "kit/plan.json"],
            "this is JSON, for programs; give the form",
        ),
        (
            &["plan", "kit/overview.svg"],
            "this is a page of the web, or a drawing",
        ),
        (&["plan", "kit/overview.pdf"], "name a text file (TOML)"),
        (
            &["plan", "kit/plan.json"],
            "this is JSON, for programs, and a job file (TOML) is needed here",
        ),
    ] {
        let message = refused(folder, words);
        assert!(message.contains(said), "{words:?}: {message}");
        assert!(message.lines().count() <= 3, "{message}");
    }
}

#[test]
fn a_key_below_a_heading_that_it_does_not_belong_to_is_sent_where_it_belongs() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n";
    let above = "it belongs to the file itself: move it up, above the first [heading]";
    for (lines, said) in [
        (
            "[values]\npaper = \"letter\"\n",
            format!(
                "job.toml:5:1: `paper` is no value of the template, but a key of the job; {above}"
            ),
        ),
        (
            "[values]\nunits = \"inch\"\n",
            format!("`units` is no value of the template, but a key of the job; {above}"),
        ),
        (
            "[values]\norder = \"7\"\n",
            "`order` is no value of the template, but a key of the job; it belongs below [record]"
                .to_owned(),
        ),
        (
            "[record]\npaper = \"letter\"\n",
            format!("job.toml:5:1: `paper` is not a key of [record]; {above}"),
        ),
        (
            "order = \"7\"\n",
            "job.toml:4:1: `order` is not a key of the file; it belongs below [record]".to_owned(),
        ),
        (
            "kerf = 1\n",
            "`kerf` is not a key of the file; it belongs below [cut]".to_owned(),
        ),
        (
            "[bay]\nlength = \"9 m\"\nwidth = \"5 m\"\nplumb = 2\n",
            "`plumb` is not a key of [bay]; it belongs below [precision]".to_owned(),
        ),
    ] {
        fs::write(folder.join("job.toml"), format!("{job}{lines}")).unwrap();
        let message = refused(folder, &["plan", "job.toml"]);
        assert!(message.contains(&said), "{said} not in {message}");
        assert!(
            message.ends_with("1 fault in the input; nothing was written\n"),
            "{message}"
        );
    }
    // Exercises are made of the same job.
    fs::write(
        folder.join("job.toml"),
        format!("{job}[values]\npaper = \"letter\"\n"),
    )
    .unwrap();
    let message = refused(folder, &["practice", "job.toml"]);
    assert!(message.contains(above), "{message}");
    let template = KINDS[1].texts[0].replace(
        "[[stations]]\nname = \"front_end\"",
        "[[stations]]\ntolerance = 6\nname = \"front_end\"",
    );
    fs::write(folder.join("t.toml"), template).unwrap();
    let message = refused(folder, &["plan", "--template", "t.toml"]);
    assert!(
        message.contains(
            "`tolerance` is not a key of [[stations]]; it belongs below [[marks]] or [[points]]"
        ),
        "{message}"
    );
}

#[test]
fn a_value_of_a_template_may_be_called_as_a_key_of_the_job_is() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let template =
        include_str!("../templates/target-line.toml").replace("target_distance", "overlap");
    fs::write(folder.join("t.toml"), template).unwrap();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"t.toml\"\n[values]\noverlap = \"2 m\"\n";
    fs::write(folder.join("job.toml"), job).unwrap();
    let output = baystencil(folder, &["plan", "job.toml"]);
    assert!(output.status.success(), "{}", stderr(&output));
}

#[test]
fn papers_by_other_names_are_taken_or_answered_with_their_size() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path();
    let own = ["--template", "target-line", "--vehicle", "city-car"];
    for paper in ["Legal", "legal", "Tabloid", "Ledger", "A3", "A5", "A2"] {
        let output = baystencil(
            folder,
            &[&["overview", "--replace", "--paper", paper], &own[..]].concat(),
        );
        assert!(output.status.success(), "{paper}: {}", stderr(&output));
    }
    for (paper, said) in [
        (
            "B4",
            "--paper: B4 has two sizes; write \"250 mm x 353 mm\" (ISO) or \"257 mm x 364 mm\" (JIS)",
        ),
        ("Foolscap", "expected one of A4, Letter, A3, Tabloid, Legal"),
        ("Foolscap", "or a size such as \"250 mm x 353 mm\""),
        ("36in", "a roll goes by its width as `roll` (--roll)"),
        ("-5mm", "--paper: \"-5mm\" is no paper"),
    ] {
        let message = refused(folder, &[&["plan", "--paper", paper], &own[..]].concat());
        assert!(message.contains(said), "{message}");
    }
}
