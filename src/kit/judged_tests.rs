//! A layout and a floor judged for a kit: the forms filled in, what is listed of each row and mark, and what is drawn.

use super::{Form, Judged, JudgedFloor, Kit};
use crate::{
    job::{DEMONSTRATION, Folders, Job, JobSpec},
    survey::{Readings, Verdict},
};

fn kit() -> Kit {
    let spec = JobSpec::read(&DEMONSTRATION.source()).unwrap();
    Kit::of(Job::resolve(spec, &Folders::default(), true).unwrap())
}

/// The form of taped readings with every length as it should be, one of its rows longer by so many mm.
fn filled(kit: &Kit, longer: (usize, f64)) -> String {
    let form = kit.form(Form::Readings);
    let mut lines = form.lines();
    let heading = lines.next().unwrap().to_owned();
    let should_be = heading
        .split(',')
        .position(|name| name == "should_be_mm")
        .unwrap();
    let rows = lines.enumerate().map(|(index, line)| {
        let mm: f64 = line.split(',').nth(should_be).unwrap().parse().unwrap();
        let more = if index == longer.0 { longer.1 } else { 0.0 };
        format!("{line}{}", mm + more)
    });
    [heading]
        .into_iter()
        .chain(rows)
        .collect::<Vec<_>>()
        .join("\n")
}

fn judged(kit: &Kit, form: &str) -> Judged {
    let readings = Readings::read("readings.csv", form.as_bytes()).unwrap();
    Judged::of(&readings, Some(&kit.job), true).unwrap()
}

#[test]
fn every_row_of_a_form_is_listed_by_its_check_and_every_judged_mark_lies_right() {
    let kit = kit();
    let form = filled(&kit, (0, 0.0));
    let judged = judged(&kit, &form);
    assert_eq!(judged.assessment.verdict, Some(Verdict::Inside));
    let rows = judged.readings(Some(&kit.job.plan));
    let checks: Vec<&str> = form
        .lines()
        .skip(1)
        .map(|line| line.split(',').nth(1).unwrap())
        .collect();
    let listed: Vec<&str> = rows
        .iter()
        .map(|one| one.check.as_deref().unwrap())
        .collect();
    assert_eq!(listed, checks);
    for one in &rows {
        assert!(one.lay.is_some() && one.row.verdict == Some(Verdict::Inside) && !one.row.suspect);
        assert!(one.row.difference().unwrap().abs() < 0.06, "{one:?}");
    }
    let marks = judged.marks();
    assert_eq!(marks.len(), kit.job.plan.marks.len());
    for mark in &marks {
        assert!(mark.off.unwrap().hypot() < 1.0 && mark.word() == "inside");
    }
    // Without a layout no row has a limit.
    let bare = judged.readings(None);
    assert!(
        bare.iter()
            .all(|one| one.row.limit.is_none() && one.row.verdict.is_none())
    );
}

#[test]
fn a_wrong_reading_is_outside_suspected_and_drawn() {
    let kit = kit();
    let right = judged(&kit, &filled(&kit, (0, 0.0)));
    let wrong = judged(&kit, &filled(&kit, (5, 100.0)));
    let rows = wrong.readings(Some(&kit.job.plan));
    let row = &rows[5].row;
    assert!(row.suspect && row.verdict == Some(Verdict::Outside));
    assert!((row.difference().unwrap() - 100.0).abs() < 0.06);
    assert_eq!(rows.iter().filter(|one| one.row.suspect).count(), 1);
    let [right, wrong] = [right, wrong].map(|judged| kit.displacements(&judged));
    assert!(right.contains("width=\"180mm\""), "{}", &right[..300]);
    // The line of such a reading is dashed, and the legend says so.
    assert!(wrong.contains("contradicts") && !right.contains("contradicts"));
    let record = kit.record(b"", &judged(&kit, &filled(&kit, (5, 100.0))), &[]);
    let names: Vec<String> = record.unwrap().names().map(str::to_owned).collect();
    assert_eq!(names, ["record.svg", "record.pdf"]);
}

#[test]
fn a_level_floor_is_inside_and_faults_of_its_form_are_in_the_units_of_the_job() {
    let mut kit = kit();
    let form = kit.form(Form::Levels);
    let mut lines = form.lines();
    let heading = lines.next().unwrap();
    let column = heading
        .split(',')
        .position(|name| name == "height_mm")
        .unwrap();
    let level = |line: &str| {
        let mut cells: Vec<&str> = line.split(',').collect();
        cells[column] = "10";
        cells.join(",")
    };
    let rows: Vec<String> = lines.map(level).collect();
    let filled = format!("{heading}\n{}\n", rows.join("\n"));
    let floor = JudgedFloor::read("levels.csv", filled.as_bytes(), &kit.job).unwrap();
    assert_eq!(floor.floor.points.len(), rows.len());
    assert_eq!(floor.floor.verdict(), Some(Verdict::Inside));
    assert_eq!(floor.sentences()[0], "Floor: inside its limits.");
    // A mark of another job.
    let first = rows[0].split(',').next().unwrap();
    let moved = format!("at,x_mm,y_mm,height_mm\n{first},50000,0,10\n");
    let fault = |kit: &Kit| {
        let judged = JudgedFloor::read("levels.csv", moved.as_bytes(), &kit.job);
        judged.unwrap_err().to_string()
    };
    let metric = fault(&kit);
    kit.job.inches = true;
    let inches = fault(&kit);
    assert!(
        !metric.contains(" in)") && inches.contains(" in)"),
        "{metric}\n{inches}"
    );
}

#[test]
fn the_pieces_of_a_kit_are_those_that_it_writes() {
    let kit = kit();
    let made = kit.files(&crate::kit::Wanted::default()).unwrap();
    let text = |name: &str| String::from_utf8(made.files.bytes(name).unwrap().to_vec()).unwrap();
    for form in Form::ALL {
        assert_eq!(text(form.file()), kit.form(form));
    }
    let pages = kit.overview_svg();
    assert_eq!(text("overview.svg"), pages[0]);
    let art = crate::sheets::FloorArt::of(&kit.job.plan);
    assert_eq!(
        text("assembly-map.svg"),
        kit.assembly_map_svg(&made.sheets, &art)
    );
}
