//! Sentences as they are read.

use kurbo::{Point, Vec2};

use super::{
    length::{Lengths, listed},
    *,
};
use crate::survey::{
    Assessment, Datum, Decision, Finding, Geometry, LayingPrior, MarkFinding, Method, Misread,
    Network, NetworkPoint, Observation, PartVerdict, Slip, Suspect, TapedLayout, Todo, Verdict,
    WholeFault,
};

#[test]
fn movements_are_said_in_directions_and_never_with_a_sign() {
    let mm = Lengths { inches: false };
    assert_eq!(
        mm.movement(Vec2::new(-9.2, 3.4)),
        "9 mm rearward and 3 mm to the left"
    );
    assert_eq!(mm.movement(Vec2::new(0.2, -5.0)), "5 mm to the right");
    assert_eq!(mm.movement(Vec2::new(0.1, 0.3)), "less than 1 mm");
    assert_eq!(mm.off(Vec2::new(2.6, -0.1)), "3 forward");
    assert_eq!(mm.off(Vec2::new(0.2, -0.1)), "0");
    let inches = Lengths { inches: true };
    // 3.2 mm = 1/8 in, 6.4 mm = 1/4 in, to 1/16.
    assert_eq!(
        inches.off(Vec2::new(-3.2, 6.4)),
        "3 (1/8) rearward, 6 (1/4) left"
    );
    assert_eq!(Lengths { inches: true }.whole(25.4), "25 mm (1 in)");
}

#[test]
fn names_are_listed_with_an_and_before_the_last() {
    assert_eq!(listed(&["1L", "1R", "2L"]), "1L, 1R and 2L");
    assert_eq!(listed(&["1L"]), "1L");
}

/// Marks 1L, 1R and 2L, and the wheel mark WFL; a lay with two readings and one reading by itself.
fn layout() -> TapedLayout {
    let points = ["1L", "1R", "2L", "WFL"].map(|id| NetworkPoint {
        id: id.to_owned(),
        start: Point::ORIGIN,
        fixed: false,
    });
    let taped = |geometry| Observation {
        geometry,
        value: 1000.0,
        sd: 1.0,
    };
    let observations = vec![
        taped(Geometry::Distance { from: 0, to: 1 }),
        taped(Geometry::Distance { from: 0, to: 2 }),
        taped(Geometry::Offset {
            mark: 2,
            line: [0, 1],
        }),
    ];
    TapedLayout {
        network: Network {
            points: points.to_vec(),
            observations,
        },
        tolerances: vec![Some(8.0), Some(8.0), Some(8.0), None],
        lays: vec![Some(4), Some(4), None],
        wheels: vec![3],
        prior: Some(LayingPrior {
            method: Method::TapeOnly,
            shared: Vec::new(),
            own: Vec::new(),
        }),
        ..TapedLayout::default()
    }
}

fn assessment(verdict: Verdict) -> Assessment {
    let mark = |id: &str| MarkFinding {
        id: id.to_owned(),
        design: None,
        tolerance: Some(8.0),
        place: None,
        covariance: Default::default(),
        moved: None,
        moved_covariance: Default::default(),
        to_datum: None,
        displaced: false,
        unchecked: false,
        verdict: Some(Verdict::Inside),
        datum_verdict: Some(Verdict::Inside),
        inside: Some(1.0),
    };
    Assessment {
        datum: Datum::Held,
        dof: 3,
        sigma0: None,
        global_test: None,
        marks: ["1L", "1R", "2L"].map(mark).to_vec(),
        readings: Vec::new(),
        scattered: false,
        constant_error: None,
        suspects: Vec::new(),
        pose: None,
        pulls_to_add: Vec::new(),
        findings: Vec::new(),
        grid: Some(PartVerdict {
            verdict: Verdict::Inside,
            tied: true,
            risk: None,
        }),
        vehicle: Some(PartVerdict {
            verdict,
            tied: true,
            risk: None,
        }),
        jointly_inside: Some(0.97),
        todo: Vec::new(),
        verdict: Some(verdict),
    }
}

fn words(change: impl FnOnce(&mut TapedLayout, &mut Assessment), verdict: Verdict) -> CheckWords {
    let (mut layout, mut assessment) = (layout(), assessment(verdict));
    change(&mut layout, &mut assessment);
    CheckWords::of(&layout, &assessment, false)
}

#[test]
fn whatever_is_to_be_done_has_a_sentence() {
    for (todo, expected) in [
        (
            Todo::Move {
                mark: 0,
                by: Vec2::new(9.2, -3.4),
                must: true,
            },
            "Move 1L 9 mm forward and 3 mm to the right.",
        ),
        (
            Todo::Move {
                mark: 1,
                by: Vec2::new(0.0, 6.0),
                must: false,
            },
            "Better: move 1R 6 mm to the left.",
        ),
        (Todo::Plumb { wheel: 3 }, "Plumb WFL again: "),
        (
            Todo::Tape {
                geometry: Geometry::Distance { from: 3, to: 0 },
            },
            "Tape also: WFL\u{2013}1L.",
        ),
        (
            Todo::Tape {
                geometry: Geometry::Offset {
                    mark: 2,
                    line: [0, 1],
                },
            },
            "Tape also: 2L on the string 1L\u{2013}1R.",
        ),
        (
            Todo::Retape { observation: 1 },
            "Tape again, and write the new readings over the old ones: lay 4: 1L\u{2013}2L.",
        ),
        (
            Todo::TurnGrid {
                by: Vec2::new(-4.0, 0.0),
                turned: -0.5,
            },
            "Lay the whole grid again from the vehicle, or move every mark with it: 4 mm rearward, and turned 0.50° clockwise",
        ),
    ] {
        let said = words(
            |_, assessment| assessment.todo = vec![todo],
            Verdict::Undecided,
        )
        .todo;
        assert!(
            said.len() == 1 && said[0].starts_with(expected),
            "{todo:?}: {said:?}"
        );
    }
}

#[test]
fn what_is_taped_before_a_move_is_said_before_it_and_what_is_taped_after_it_behind() {
    let said = words(
        |_, assessment| {
            assessment.suspects = vec![Suspect {
                observation: 0,
                error: 100.0,
                error_sd: 1.0,
                cause: None,
                or: Vec::new(),
            }];
            assessment.todo = vec![
                Todo::Retape { observation: 0 },
                Todo::Tape {
                    geometry: Geometry::Distance { from: 3, to: 0 },
                },
                Todo::Move {
                    mark: 2,
                    by: Vec2::new(9.0, 0.0),
                    must: true,
                },
                Todo::Retape { observation: 1 },
            ];
        },
        Verdict::Undecided,
    );
    let expected = [
        "Tape 1L\u{2013}1R again: it reads about 100 mm too long.",
        "Tape also: WFL\u{2013}1L.",
        "Move 2L 9 mm forward.",
        "Then tape again, and write the new readings over the old ones: lay 4: 1L\u{2013}2L.",
    ];
    assert_eq!(said.todo, expected);
}

#[test]
fn whatever_is_found_has_a_sentence() {
    for (finding, expected) in [
        (
            Finding::Untied { risk: 0.4 },
            "The readings from the wheels are missing or too few: nothing says yet how",
        ),
        (
            Finding::TapeZero { mm: 3.0 },
            "The tape reads about 3 mm too long everywhere: a worn or bent hook",
        ),
        (
            Finding::TapeZero { mm: -2.5 },
            "The tape reads about 2.5 mm too short everywhere: a worn or bent hook",
        ),
        (
            Finding::TapeScale { mm_per_metre: -1.2 },
            "The tape, or the printed sheets, are 1.2 mm per metre too long.",
        ),
        (
            Finding::Scatter { factor: 2.04 },
            "The readings scatter 2.0 times as much as careful taping does",
        ),
        (
            Finding::TooGood { readings: 36 },
            "All 36 readings agree with the plan better than a tape can read.",
        ),
        (
            Finding::Unproven { marks: vec![0, 2] },
            "The lines taped so far do not show whether 1L and 2L may lie far off.",
        ),
    ] {
        let said = words(
            |_, assessment| assessment.findings = vec![finding.clone()],
            Verdict::Undecided,
        )
        .findings;
        assert!(
            said.len() == 1 && said[0].starts_with(expected),
            "{finding:?}: {said:?}"
        );
    }
    let whole = words(
        |_, assessment| assessment.findings = vec![Finding::GridOff],
        Verdict::Outside,
    );
    assert_eq!(
        whole.headline,
        "Outside: the grid as a whole does not lie to the vehicle as it should."
    );
    let risk = words(
        |layout, _| layout.decision = Decision::Simple,
        Verdict::Inside,
    );
    assert!(
        risk.findings[0].contains("with a probability of 3 %"),
        "{:?}",
        risk.findings
    );
}

#[test]
fn the_headline_says_the_verdict_and_counts_no_marks_while_readings_contradict_each_other() {
    let plain = |verdict| words(|_, _| (), verdict).headline;
    assert_eq!(
        plain(Verdict::Inside),
        "Inside: all 3 marks lie within their tolerances, measured from the vehicle."
    );
    assert_eq!(
        plain(Verdict::Undecided),
        "Undecided: these readings do not prove the layout yet."
    );
    let one = words(
        |_, assessment| assessment.marks[1].datum_verdict = Some(Verdict::Outside),
        Verdict::Outside,
    );
    assert_eq!(one.headline, "Outside: 1R lies beyond its tolerance.");
    let untied = |_: &mut TapedLayout, assessment: &mut Assessment| {
        assessment.findings = vec![Finding::Untied { risk: 1.0 }];
    };
    assert!(
        words(untied, Verdict::Undecided)
            .headline
            .contains("square in itself, not yet tied to the vehicle")
    );
    let moved = |_: &mut TapedLayout, assessment: &mut Assessment| {
        assessment.todo = vec![Todo::Move {
            mark: 0,
            by: Vec2::new(9.0, 0.0),
            must: true,
        }];
    };
    assert_eq!(
        words(moved, Verdict::Undecided).headline,
        "Not inside yet: one mark is to be moved."
    );
    let scattered = words(
        |_, assessment| assessment.scattered = true,
        Verdict::Outside,
    )
    .headline;
    assert!(
        scattered.contains("contradict each other") && !scattered.contains("marks"),
        "{scattered}"
    );
}

/// The first sentence on a network of which nothing is known but its readings.
fn of_network(change: impl FnOnce(&mut Assessment)) -> String {
    let change = |layout: &mut TapedLayout, assessment: &mut Assessment| {
        layout.prior = None;
        assessment.sigma0 = Some(1.0);
        change(assessment);
    };
    words(change, Verdict::Undecided).todo.remove(0)
}

#[test]
fn a_network_without_a_promise_has_its_own_sentences() {
    let found =
        |finding: Finding| of_network(move |assessment| assessment.findings = vec![finding]);
    assert!(
        found(Finding::Unsettled)
            .starts_with("These readings hold the marks too weakly to say where they lie")
    );
    assert!(found(Finding::Whole(WholeFault::Mirrored)).contains("left and right are exchanged"));
    assert!(
        found(Finding::Whole(WholeFault::Scaled(0.97)))
            .starts_with("The whole layout has 97.00 % of its size")
    );
    let suspect = |cause, or| {
        let suspect = Suspect {
            observation: 1,
            error: 99.6,
            error_sd: 1.0,
            cause: Some(cause),
            or,
        };
        of_network(move |assessment| assessment.suspects = vec![suspect])
    };
    assert_eq!(
        suspect(Slip::Misread(Misread::HundredMm), vec![0]),
        "Tape 1L\u{2013}2L again: it is about 100 mm long (100 mm misread); it may as well be 1L\u{2013}1R: tape them again too."
    );
    let many = suspect(Slip::OtherSide { from: 0, to: 1 }, vec![0; 9]);
    assert!(
        many.contains("(it fits 1L\u{2013}1R: left and right exchanged)")
            && many.contains("or one of 5 more"),
        "{many}"
    );
}
