//! The record over the layouts, verdicts, papers, units and records that it has to serve.

use kurbo::{Point, Vec2};

use super::{RecordInput, RecordReading, record};
use crate::{
    drawing::Drawing,
    job::{Record, TEMPLATES, VEHICLES},
    page::{drawing_space, proof::faults},
    paper::Paper,
    plan::FloorPlan,
    sheets::shared::{
        Context,
        overview_fixture::{LONGEST, SHAPES, SHORTEST, long_record},
    },
    survey::{
        Assessment, Covariance, Datum, Geometry, GlobalTest, LayingPrior, MarkFinding, Method,
        Misread, Network, NetworkPoint, Observation, PartVerdict, Pose, Slip, Suspect, TapedLayout,
        Todo, Verdict,
    },
    template::TemplateSpec,
    vehicle::VehicleSpec,
    words::CheckWords,
};

/// SHA-256 of the empty text (FIPS 180-4).
const HASH: &str = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

fn papers() -> [Paper; 2] {
    let [a4, letter, ..] = Paper::known();
    [a4, letter]
}

/// A judged layout with what was taped.
struct Case {
    name: &'static str,
    plan: FloorPlan,
    assessment: Assessment,
    readings: Vec<RecordReading>,
    levels: Vec<String>,
}

fn built_in(vehicle: usize, template: usize) -> FloorPlan {
    let vehicle = VehicleSpec::read(&VEHICLES[vehicle].source()).unwrap();
    let template = TemplateSpec::read(&TEMPLATES[template].source()).unwrap();
    FloorPlan::resolve(&vehicle, &template, &[], None).unwrap()
}

/// Displacements of a few millimetres that look as if measured, the same each time.
fn small(index: usize) -> Vec2 {
    let turn = index as f64 * 2.4;
    Vec2::new(turn.cos(), (1.7 * turn).sin()) * (0.4 + 0.15 * (index % 7) as f64)
}

fn finding(plan: &FloorPlan, index: usize) -> MarkFinding {
    let mark = &plan.marks[index];
    let (moved, turn) = (small(index), 0.05_f64.to_radians());
    let covariance = Covariance {
        xx: 0.3,
        xy: 0.1 * ((index % 3) as f64 - 1.0),
        yy: 0.2 + 0.1 * (index % 4) as f64,
    };
    let to_datum = moved + Vec2::new(1.2 - turn * mark.at.y, -0.4 + turn * mark.at.x);
    MarkFinding {
        id: mark.id.clone(),
        design: Some(mark.at),
        tolerance: Some(mark.tolerance),
        place: Some(mark.at + to_datum),
        covariance,
        moved: Some(moved),
        moved_covariance: covariance,
        to_datum: Some(to_datum),
        displaced: false,
        unchecked: false,
        verdict: Some(Verdict::Inside),
        datum_verdict: Some(Verdict::Inside),
        inside: Some(0.99),
    }
}

fn readings(plan: &FloorPlan) -> Vec<RecordReading> {
    let reading = |(index, check): (usize, &crate::plan::Check)| RecordReading {
        from: plan.marks[check.from].id.clone(),
        to: plan.marks[check.to].id.clone(),
        beside: None,
        design: Some(check.distance),
        measured: (check.distance + small(index).x).round(),
        limit: Some(check.tolerance),
        verdict: Some(Verdict::Inside),
        suspect: false,
    };
    plan.checks.iter().enumerate().map(reading).collect()
}

/// Every mark inside, tied to the vehicle.
fn inside(plan: FloorPlan) -> Case {
    let assessment = Assessment {
        datum: Datum::Held,
        dof: 14,
        sigma0: Some(0.93),
        global_test: Some(GlobalTest {
            statistic: 12.1,
            bounds: [5.6, 26.1],
            passed: true,
        }),
        marks: (0..plan.marks.len())
            .map(|index| finding(&plan, index))
            .collect(),
        readings: Vec::new(),
        scattered: false,
        constant_error: None,
        suspects: Vec::new(),
        pose: Some(Pose {
            forward: 1.2,
            left: -0.4,
            turned: 0.05,
            sd: [0.6, 0.4, 0.01],
            verdict: Some(Verdict::Inside),
        }),
        pulls_to_add: Vec::new(),
        findings: Vec::new(),
        grid: Some(PartVerdict {
            verdict: Verdict::Inside,
            tied: true,
            risk: None,
        }),
        vehicle: Some(PartVerdict {
            verdict: Verdict::Inside,
            tied: true,
            risk: None,
        }),
        jointly_inside: Some(0.95),
        todo: Vec::new(),
        verdict: Some(Verdict::Inside),
    };
    let readings = readings(&plan);
    Case {
        name: "inside",
        plan,
        assessment,
        readings,
        levels: Vec::new(),
    }
}

/// One mark outside, one reading set aside, floor measured.
fn outside(plan: FloorPlan) -> Case {
    let mut case = inside(plan);
    let mark = &mut case.assessment.marks[3];
    mark.moved = Some(Vec2::new(-9.3, 3.1));
    mark.to_datum = Some(Vec2::new(-8.6, 2.2));
    mark.displaced = true;
    (mark.verdict, mark.datum_verdict) = (Some(Verdict::Outside), Some(Verdict::Outside));
    case.assessment.verdict = Some(Verdict::Outside);
    case.assessment.vehicle = Some(PartVerdict {
        verdict: Verdict::Outside,
        tied: true,
        risk: None,
    });
    case.assessment.pose = case.assessment.pose.map(|pose| Pose {
        verdict: Some(Verdict::Outside),
        ..pose
    });
    case.assessment.suspects.push(Suspect {
        observation: 1,
        error: 100.2,
        error_sd: 1.0,
        cause: Some(Slip::Misread(Misread::HundredMm)),
        or: Vec::new(),
    });
    case.readings[1].measured += 100.0;
    case.readings[1].suspect = true;
    case.readings[1].verdict = Some(Verdict::Outside);
    case.readings[2].verdict = Some(Verdict::Undecided);
    case.assessment.todo = vec![
        Todo::Move {
            mark: 3,
            by: Vec2::new(8.6, -2.2),
            must: true,
        },
        Todo::Retape { observation: 1 },
    ];
    case.levels =
        vec!["The floor falls 2.1 mm/m to the rear; largest deviation from plane 3 mm.".to_owned()];
    Case {
        name: "outside",
        ..case
    }
}

/// Free network, one mark undecided, two not fixed.
fn undecided(plan: FloorPlan) -> Case {
    let mut case = inside(plan);
    let assessment = &mut case.assessment;
    assessment.verdict = Some(Verdict::Undecided);
    assessment.pose = None;
    assessment.vehicle = Some(PartVerdict {
        verdict: Verdict::Undecided,
        tied: false,
        risk: None,
    });
    assessment.datum = Datum::Free;
    assessment.dof = 0;
    assessment.sigma0 = None;
    assessment.global_test = None;
    for mark in &mut assessment.marks {
        (mark.to_datum, mark.datum_verdict) = (None, None);
    }
    let count = assessment.marks.len();
    assessment.marks[0].verdict = Some(Verdict::Undecided);
    assessment.marks[0].moved_covariance = Covariance {
        xx: 9.0,
        xy: 4.0,
        yy: 4.0,
    };
    for mark in &mut assessment.marks[count - 2..] {
        mark.place = None;
        mark.moved = None;
        mark.verdict = Some(Verdict::Undecided);
    }
    case.readings.truncate(4);
    Case {
        name: "undecided",
        ..case
    }
}

/// Sixty marks and more than two hundred readings.
fn many() -> Case {
    let mut plan = SHAPES[0].1(LONGEST);
    for index in plan.marks.len()..60 {
        let mut mark = plan.marks[0].clone();
        mark.id = format!("F{index}");
        mark.at = Point::new(
            1500.0 - 140.0 * index as f64,
            if index % 2 == 0 { 2100.0 } else { -2100.0 },
        );
        plan.marks.push(mark);
    }
    for index in 0..220 {
        let mut check = plan.checks[index % 5].clone();
        (check.from, check.to) = (index % 60, (index * 7 + 1) % 60);
        check.distance = (plan.marks[check.from].at - plan.marks[check.to].at).hypot();
        plan.checks.push(check);
    }
    let mut case = outside(plan);
    for index in [20, 31, 44] {
        let mark = &mut case.assessment.marks[index];
        (mark.verdict, mark.datum_verdict) = (Some(Verdict::Outside), Some(Verdict::Outside));
        mark.moved = Some(Vec2::new(14.0, -20.0));
        mark.to_datum = mark.moved;
    }
    Case {
        name: "many",
        ..case
    }
}

/// A mark of another vehicle's, three metres off, and everything else undecided with it.
fn far_off(plan: FloorPlan) -> Case {
    let mut case = outside(plan);
    for mark in &mut case.assessment.marks {
        (mark.verdict, mark.datum_verdict) = (Some(Verdict::Undecided), Some(Verdict::Undecided));
    }
    let mark = &mut case.assessment.marks[1];
    mark.moved = Some(Vec2::new(-3000.0, 12.0));
    mark.to_datum = mark.moved;
    (mark.verdict, mark.datum_verdict) = (Some(Verdict::Outside), Some(Verdict::Outside));
    Case {
        name: "far off",
        ..case
    }
}

/// No marks with tolerances, no readings.
fn nothing(plan: FloorPlan) -> Case {
    let mut case = inside(plan);
    case.assessment.verdict = None;
    case.assessment.marks.clear();
    case.assessment.pose = None;
    case.readings.clear();
    Case {
        name: "nothing",
        ..case
    }
}

fn cases() -> Vec<Case> {
    let mut cases = vec![many()];
    for (vehicle, template) in [(3, 0), (0, 2), (4, 3)] {
        let plan = built_in(vehicle, template);
        let of: [fn(FloorPlan) -> Case; 5] = [inside, outside, undecided, far_off, nothing];
        cases.extend(of.map(|case| case(plan.clone())));
    }
    for (_, shape) in SHAPES {
        cases.extend([outside(shape(SHORTEST)), outside(shape(LONGEST))]);
    }
    cases
}

/// The layout that the case's readings were taped on.
fn taped(case: &Case) -> TapedLayout {
    let points = case.assessment.marks.iter().map(|mark| NetworkPoint {
        id: mark.id.clone(),
        start: mark.design.unwrap_or_default(),
        fixed: false,
    });
    let observations = case.plan.checks.iter().map(|check| Observation {
        geometry: Geometry::Distance {
            from: check.from,
            to: check.to,
        },
        value: check.distance,
        sd: 1.0,
    });
    let network = Network {
        points: points.collect(),
        observations: observations.collect(),
    };
    let prior = LayingPrior {
        method: Method::TapeOnly,
        shared: Vec::new(),
        own: Vec::new(),
    };
    TapedLayout {
        network,
        prior: Some(prior),
        ..TapedLayout::default()
    }
}

fn page(case: &Case, record_fields: &Record, inches: bool, paper: &Paper) -> Drawing {
    let context = Context {
        plan: &case.plan,
        record: record_fields,
        inches,
        printer: "demo",
    };
    let input = RecordInput {
        assessment: &case.assessment,
        words: &CheckWords::of(&taped(case), &case.assessment, inches),
        readings: &case.readings,
        against: "the vehicle",
        levels: &case.levels,
        hash: HASH,
        version: "0.0.0",
    };
    record(&context, &input, paper)
}

fn texts(page: &Drawing) -> Vec<&str> {
    let texts = page.texts().into_iter();
    texts.map(|text| text.content.as_str()).collect()
}

fn words(page: &Drawing) -> String {
    texts(page).join(" ")
}

#[test]
fn nothing_overlaps_is_cut_off_or_is_too_small_on_any_record() {
    let mut all = Vec::new();
    for case in cases() {
        let fields = [(false, Record::default()), (true, long_record())];
        for (paper, (inches, fields)) in papers().iter().zip(fields) {
            let page = page(&case, &fields, inches, paper);
            let name = format!("{} {} {}", case.name, paper.name, case.plan.template.name);
            let found = faults(&page, drawing_space(paper));
            all.extend(found.into_iter().map(|fault| format!("{name}: {fault}")));
        }
    }
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
}

#[test]
fn the_verdict_stands_in_words_and_no_record_says_that_a_system_is_calibrated() {
    let plan = built_in(3, 0);
    let paper = &papers()[0];
    let of = |case: Case| words(&page(&case, &Record::default(), false, paper));
    let (inside, outside, undecided) = (
        of(inside(plan.clone())),
        of(outside(plan.clone())),
        of(undecided(plan.clone())),
    );
    let (name, count) = (&plan.marks[3].id, plan.marks.len());
    let all = format!("Inside: all {count} marks lie within their tolerances");
    assert!(
        inside.contains(&all) && !inside.contains("Still to do"),
        "{inside}"
    );
    assert!(
        outside.contains("Outside, and some readings contradict each other"),
        "{outside}"
    );
    assert!(
        outside.contains(&format!("Move {name} 9 mm forward and 2 mm to the right.")),
        "{outside}"
    );
    assert!(outside.contains("reads about 100 mm too long"), "{outside}");
    assert!(
        undecided.contains("Undecided: these readings do not prove the layout yet."),
        "{undecided}"
    );
    assert!(undecided.contains("was not measured"), "{undecided}");
    // The record agrees with itself: no verdict stands beside another one.
    assert!(
        !outside.contains("Inside:") && !undecided.contains("Inside:"),
        "{outside} {undecided}"
    );
    for text in [inside, outside, undecided] {
        assert!(text.contains("does not say that a camera"), "{text}");
        assert_eq!(text.matches("calibrated").count(), 1, "{text}");
    }
}

#[test]
fn a_form_without_a_verdict_claims_nothing() {
    let text = words(&page(
        &nothing(built_in(3, 0)),
        &Record::default(),
        false,
        &papers()[0],
    ));
    assert!(
        text.contains("No mark has a tolerance, so nothing is judged.") && !text.contains("Inside"),
        "{text}"
    );
}

#[test]
fn every_mark_stands_in_the_table_and_every_reading_with_its_difference() {
    let case = outside(built_in(3, 0));
    for paper in &papers() {
        let page = page(&case, &Record::default(), false, paper);
        let texts = texts(&page);
        for mark in &case.plan.marks {
            assert!(texts.contains(&mark.id.as_str()), "{} is missing", mark.id);
        }
        for reading in &case.readings {
            assert!(
                texts.contains(&reading.line().as_str()),
                "{} is missing",
                reading.line()
            );
        }
        for shown in ["↓ 9.3", "← 3.1", "+100", "!!", "OUTSIDE"] {
            assert!(texts.contains(&shown), "{shown} is missing");
        }
    }
}

#[test]
fn what_finds_no_room_is_counted_and_the_worst_stays() {
    let case = many();
    for paper in &papers() {
        let page = page(&case, &Record::default(), false, paper);
        let (texts, words) = (texts(&page), words(&page));
        let shown = texts.iter().filter(|text| **text == "inside").count();
        assert_eq!(texts.iter().filter(|text| **text == "OUTSIDE").count(), 4);
        assert!(
            words.contains(&format!("and {0} more marks: {0} inside", 60 - 4 - shown)),
            "{words}"
        );
        assert!(
            words.contains("within their limits") && texts.contains(&"!!"),
            "{words}"
        );
    }
}

#[test]
fn the_sheet_names_tool_and_inputs() {
    let text = words(&page(
        &inside(built_in(3, 0)),
        &Record::default(),
        false,
        &papers()[0],
    ));
    assert!(
        text.contains(&format!(
            "baystencil 0.0.0; SHA-256 of the inputs begins with {}.",
            &HASH[..16]
        )),
        "{text}"
    );
}

/// What stands in a table in lettering of less than 2.2 mm: names of lines that were taped, and numbers behind arrows or signs.
fn small_in_tables<'p>(page: &'p Drawing, case: &Case) -> Vec<&'p str> {
    let lines: Vec<String> = case.readings.iter().map(RecordReading::line).collect();
    let number = |text: &str| {
        let rest = text.trim_start_matches(['↑', '↓', '←', '→', '+', '\u{2212}']);
        rest.len() < text.len() && rest.trim_start().starts_with(|c: char| c.is_ascii_digit())
    };
    let in_table = |text: &str| number(text) || lines.iter().any(|line| line == text);
    let texts = page.texts().into_iter();
    let small = texts.filter(|text| text.height < 2.2 - 1e-9 && in_table(&text.content));
    small.map(|text| text.content.as_str()).collect()
}

/// Readings of the longest form that a kit of a built-in layout has.
const LONGEST_FORM: usize = 27;

/// Of a layout that is inside: a long list of what is still to do takes room from the tables.
#[test]
fn tables_of_every_built_in_layout_are_read_with_ease_on_one_page() {
    let mut small = Vec::new();
    for (template, vehicle) in
        (0..TEMPLATES.len()).flat_map(|t| (0..VEHICLES.len()).map(move |v| (t, v)))
    {
        let mut case = inside(built_in(vehicle, template));
        case.readings.truncate(LONGEST_FORM);
        for (paper, inches) in papers()
            .iter()
            .flat_map(|paper| [(paper, false), (paper, true)])
        {
            let page = page(&case, &Record::default(), inches, paper);
            let found = small_in_tables(&page, &case).len();
            if found > 0 {
                let (of, on) = (&case.plan.template.name, &case.plan.vehicle.name);
                small.push(format!(
                    "{found} in {of} of {on} on {}, inches: {inches}",
                    paper.name
                ));
            }
        }
    }
    assert!(small.is_empty(), "{small:#?}");
}

#[test]
fn an_inch_record_has_inches_in_its_tables_and_mm_beside_them_only_where_something_is_off() {
    let case = outside(built_in(3, 0));
    for paper in &papers() {
        let page = page(&case, &Record::default(), true, paper);
        let texts = texts(&page);
        let shown = |text: &str| texts.contains(&text);
        assert!(shown("↓ 3/8 (9.3)") || shown("↓ 3/8"), "{texts:?}");
        for mark in &case.plan.marks {
            for mm in [mark.at.x, mark.at.y]
                .map(f64::abs)
                .into_iter()
                .filter(|mm| *mm > 100.0)
            {
                let alone = crate::units::mm_exact(mm, 1);
                assert!(
                    !texts
                        .iter()
                        .any(|text| text.trim_start_matches(['↑', '↓', '←', '→', ' ']) == alone),
                    "{alone} stands there in mm"
                );
            }
        }
    }
}
