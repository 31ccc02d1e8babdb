//! The budget as a whole: hand arithmetic, and a second opinion by drawing the errors at random and
//! laying the pieces with them.

use kurbo::{Point, Vec2};

use super::{
    Cause, ErrorBudget, Joint, Method, MethodBudget, Precision, ScaleSource, TapeClass, fixture,
    laying_fixture::{SHEET_MM, datum, sampled, scatters_as},
};
use crate::plan::FloorPlan;

fn plan() -> FloorPlan {
    fixture::plan(fixture::VAN, fixture::PERIMETER)
}

fn index(plan: &FloorPlan, id: &str) -> usize {
    plan.marks.iter().position(|mark| mark.id == id).unwrap()
}

const NOTHING: Precision = Precision {
    tape_class: TapeClass::I,
    reading: 0.0,
    plumb: 0.0,
    centreline: 0.0,
    perpendicular: 0.0,
    mark_width: 0.0,
    joint: 0.0,
    strip: 0.0,
    level: 0.0,
    printer_scale: 0.0,
    scale_source: ScaleSource::Job,
    paper: 0.0,
};

/// A joint across a line of sheets that runs in `direction`.
fn across(middle: Point, direction: Vec2, baseline: f64) -> Joint {
    let half = Vec2::new(-direction.y, direction.x) * (baseline / 2.0);
    Joint::between(middle + half, middle - half).unwrap()
}

/// Joints from the datum outward along y to the side of the mark, then rearward along x to it.
fn path_to(plan: &FloorPlan, mark: Point, step: f64) -> Vec<Joint> {
    let start = datum(plan);
    let corner = Point::new(start.x, mark.y);
    let mut path = Vec::new();
    for (from, to) in [(start, corner), (corner, mark)] {
        let leg = to - from;
        let count = (leg.hypot() / step).floor() as usize;
        let joints = (1..=count).map(|number| from + leg.normalize() * (step * number as f64));
        path.extend(joints.map(|middle| across(middle, leg.normalize(), 130.0)));
    }
    path
}

fn all_paths(plan: &FloorPlan, step: f64) -> Vec<Option<Vec<Joint>>> {
    plan.marks
        .iter()
        .map(|mark| Some(path_to(plan, mark.at, step)))
        .collect()
}

fn by(budget: &ErrorBudget, method: Method) -> &MethodBudget {
    budget
        .methods
        .iter()
        .find(|budget| budget.method == method)
        .unwrap()
}

#[test]
fn a_straight_chain_has_the_variances_of_its_closed_form() {
    // n joints at s, 2s … ns from the mark, baseline b, only joint errors σ, and the datum sheet laid by two
    // points ℓ apart with its middle (n + 1)s + a from the mark. Along the chain every joint gives σ²/2; across
    // it also 2σ²/b² times the square of its lever arm, and Σ (is)² = s² n(n + 1)(2n + 1)/6.
    let plan = plan();
    let (start, n, s, b, sigma) = (datum(&plan), 20.0, 200.0, 130.0, 0.25);
    let mut longer = plan.clone();
    let last = index(&plan, "4R");
    longer.marks[last].at = start - Vec2::new((n + 1.0) * s, 0.0);
    let joints = (1..=20).map(|i| {
        across(
            start - Vec2::new(f64::from(i) * s, 0.0),
            Vec2::new(-1.0, 0.0),
            b,
        )
    });
    let mut paths = vec![None; plan.marks.len()];
    paths[last] = Some(joints.collect());
    let precision = Precision {
        joint: sigma,
        ..NOTHING
    };
    let budget = ErrorBudget::of(&longer, &precision, &paths, SHEET_MM);
    let found = by(&budget, Method::Chained).marks[last].covariance;
    let squares = s * s * n * (n + 1.0) * (2.0 * n + 1.0) / 6.0;
    let arm = (n + 1.0) * s - SHEET_MM / 2.0;
    let variance = sigma * sigma;
    let tape = TapeClass::I.standard_deviation(start.x).powi(2);
    let along = (n + 1.0) * variance / 2.0 + tape;
    let sideways = (n + 1.0) * variance / 2.0
        + 2.0 * variance * (squares / (b * b) + (arm / SHEET_MM).powi(2));
    assert!((found.xx - along).abs() < 1e-9, "{} {along}", found.xx);
    assert!(
        (found.yy - sideways).abs() < 1e-9 * sideways,
        "{} {sideways}",
        found.yy
    );
}

#[test]
fn on_the_datum_sheet_its_own_mark_lies_as_well_as_it_was_laid() {
    let plan = plan();
    let first = plan.tape_base[0];
    let mut paths = vec![None; plan.marks.len()];
    paths[first] = Some(Vec::new());
    let precision = Precision {
        centreline: 0.5,
        joint: 0.3,
        ..NOTHING
    };
    let found = by(
        &ErrorBudget::of(&plan, &precision, &paths, SHEET_MM),
        Method::Chained,
    )
    .marks[first]
        .covariance;
    // Sideways the mark is one of the two that were laid: 0.5² + 0.3²; along the line both share the error of
    // laying, 0.3²/2, and the chalk line has no part in it.
    let tape = TapeClass::I.standard_deviation(datum(&plan).x).powi(2);
    assert!(
        (found.yy - 0.34).abs() < 1e-9 && (found.xx - tape - 0.045).abs() < 1e-9,
        "{found:?}"
    );
}

#[test]
fn scale_errors_grow_with_the_distance_and_not_with_its_root() {
    let plan = plan();
    let precision = Precision {
        printer_scale: 3.0,
        paper: 4.0,
        ..NOTHING
    };
    let corner = index(&plan, "4L");
    let budget = ErrorBudget::of(&plan, &precision, &all_paths(&plan, 200.0), SHEET_MM);
    let far = plan.marks[corner].at - datum(&plan);
    let found = by(&budget, Method::Chained).marks[corner].covariance;
    // Printer and paper are independent of each other: √(3² + 4²) = 5 mm per metre.
    assert!((found.sd_y() - 0.005 * far.y.abs()).abs() < 1e-9);
    let tape = TapeClass::I.standard_deviation(datum(&plan).x);
    assert!((found.sd_x() - (0.005 * far.x).hypot(tape)).abs() < 1e-9);
}

#[test]
fn a_taped_mark_has_the_variances_of_hand_arithmetic() {
    let mut plan = plan();
    plan.marks[1].at = Point::new(-4200.0, 1350.0);
    (plan.vehicle.front_x, plan.vehicle.rear_x) = (1000.0, -4000.0);
    let budget = ErrorBudget::of(&plan, &Precision::default(), &[], SHEET_MM);
    // Tape class II: 4.2 m counts as 5 m, 1.3 mm; 1.35 m counts as 2 m, 0.7 mm; each over √3. Plumbed front and
    // rear 5 m apart: sideways −0.04 and 1.04 of 1 mm, along x 0.27 mm each. Pencil mark 1 mm: variance 1/12.
    let x = 1.69 / 3.0 + 3.0 * 0.25 - 0.25 + 1.35 * 1.35 + 2.0 * 0.27 * 0.27 + 1.0;
    let y = 0.49 / 3.0 + 0.25 + 0.25 + 0.04 * 0.04 + 1.04 * 1.04;
    let key = by(&budget, Method::KeyStencils).marks[1].covariance;
    assert!(
        (key.xx - (x + 1.0 / 12.0 + 0.09)).abs() < 1e-9,
        "{}",
        key.xx
    );
    assert!(
        (key.yy - (y + 1.0 / 12.0 + 0.09)).abs() < 1e-9,
        "{}",
        key.yy
    );
    let tape_only = by(&budget, Method::TapeOnly).marks[1].covariance;
    assert!((tape_only.xx - (x + 1.0 / 12.0 + 1.0)).abs() < 1e-9);
    // The sheet adds 2.9 and 0.6 mm/m over its 260 mm.
    let sheet = by(&budget, Method::TapedSheets).marks[1].covariance;
    assert!((sheet.yy - key.yy - 0.26 * 0.26 * (2.9 * 2.9 + 0.6 * 0.6)).abs() < 1e-9);
    assert_eq!(
        by(&budget, Method::KeyStencils).marks[1].leading,
        Cause::Plumb
    );
}

#[test]
fn marks_mirrored_on_the_centreline_are_alike_by_every_method() {
    let plan = plan();
    let budget = ErrorBudget::of(
        &plan,
        &Precision::default(),
        &all_paths(&plan, 190.0),
        SHEET_MM,
    );
    let mut pairs = 0;
    for (left, mark) in plan
        .marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| mark.at.y > 1.0)
    {
        let right = plan
            .marks
            .iter()
            .position(|other| other.at.distance(Point::new(mark.at.x, -mark.at.y)) < 1e-6);
        let right = right.unwrap_or_else(|| panic!("{} has no mirror image", mark.id));
        for method in &budget.methods {
            let (one, other) = (
                method.marks[left].covariance,
                method.marks[right].covariance,
            );
            assert!(
                (one.sd_x() - other.sd_x()).abs() < 1e-9
                    && (one.sd_y() - other.sd_y()).abs() < 1e-9
            );
            assert!(
                (one.xy + other.xy).abs() < 1e-9,
                "the ellipses are mirrored: {:?} {}",
                method.method,
                mark.id
            );
        }
        pairs += 1;
    }
    assert!(pairs >= 4);
}

#[test]
fn another_joint_never_makes_a_mark_better() {
    let plan = plan();
    let mark = index(&plan, "4R");
    let mut path = Vec::new();
    let mut before = 0.0;
    for joint in path_to(&plan, plan.marks[mark].at, 170.0) {
        path.push(joint);
        let mut paths = vec![None; plan.marks.len()];
        paths[mark] = Some(path.clone());
        let budget = ErrorBudget::of(&plan, &Precision::default(), &paths, SHEET_MM);
        let error = by(&budget, Method::Chained).marks[mark].radius_95();
        assert!(
            error > before,
            "{error} after {before} with {} joints",
            path.len()
        );
        before = error;
    }
}

#[test]
fn on_a_long_chain_sheets_placed_by_tape_are_never_worse() {
    let plan = plan();
    for printer_scale in [0.0, 1.0, 2.9] {
        let precision = Precision {
            printer_scale,
            ..Precision::default()
        };
        let budget = ErrorBudget::of(&plan, &precision, &all_paths(&plan, 190.0), SHEET_MM);
        for (index, mark) in plan.marks.iter().enumerate() {
            if mark.at.distance(datum(&plan)) > 2000.0 {
                let [chained, taped] = [Method::Chained, Method::TapedSheets]
                    .map(|method| by(&budget, method).marks[index].radius_95());
                assert!(taped < chained, "{} {taped} {chained}", mark.id);
            }
        }
    }
}

#[test]
fn a_mark_that_no_path_leads_to_is_placed_by_tape_and_says_so() {
    let plan = plan();
    let island = index(&plan, "2L");
    let mut paths = all_paths(&plan, 190.0);
    paths[island] = None;
    let budget = ErrorBudget::of(&plan, &Precision::default(), &paths, SHEET_MM);
    let (chained, taped) = (
        by(&budget, Method::Chained),
        by(&budget, Method::TapedSheets),
    );
    assert_eq!(
        chained.marks[island].covariance,
        taped.marks[island].covariance
    );
    assert_eq!((chained.islands(), taped.islands()), (1, 0));
    assert!(!chained.marks[island].as_method);
}

#[test]
fn the_summary_names_the_worst_mark_as_laid_and_after_checks_and_moves() {
    let plan = plan();
    let budget = ErrorBudget::of(
        &plan,
        &Precision::default(),
        &all_paths(&plan, 190.0),
        SHEET_MM,
    );
    for method in &budget.methods {
        let worst = method.worst_error().radius_95();
        assert!(
            method
                .marks
                .iter()
                .all(|mark| mark.radius_95() <= worst * (1.0 + 1e-6))
        );
    }
    assert_eq!(budget.worst_after(), None);
    let radii = (0..plan.marks.len())
        .map(|index| 3.0 + 0.1 * index as f64)
        .collect();
    let last = 3.0 + 0.1 * (plan.marks.len() - 1) as f64;
    assert_eq!(budget.after_checks(Some(radii)).worst_after(), Some(last));
}

#[test]
fn a_way_of_laying_does_not_depend_on_the_sheets_of_another() {
    let plan = plan();
    let [short, long] =
        [260.0, 5000.0].map(|sheet| ErrorBudget::of(&plan, &Precision::default(), &[], sheet));
    for method in [Method::KeyStencils, Method::RollStrips, Method::TapeOnly] {
        assert_eq!(
            by(&short, method).marks,
            by(&long, method).marks,
            "{method:?}"
        );
    }
}

#[test]
fn the_scale_of_a_strip_acts_from_its_middle_along_it() {
    for lengthwise in [true, false] {
        let mut plan = plan();
        // A strip of 4 m along x or y, marks at its ends, in its middle, and a quarter from an end.
        for (number, mark) in plan.marks.iter_mut().enumerate() {
            let along = [-2000.0, 2000.0, 0.0, 1000.0][number % 4];
            mark.at = if lengthwise {
                Point::new(along, 0.0)
            } else {
                Point::new(0.0, along)
            };
        }
        let budget = ErrorBudget::of(
            &plan,
            &Precision {
                printer_scale: 0.5,
                ..NOTHING
            },
            &[],
            SHEET_MM,
        );
        let roll = by(&budget, Method::RollStrips);
        for (number, expected) in [1.0, 1.0, 0.0, 0.5].into_iter().enumerate() {
            let found = roll.marks[number].covariance;
            let (along, across) = if lengthwise {
                (found.sd_x(), found.sd_y())
            } else {
                (found.sd_y(), found.sd_x())
            };
            // The tape stretches both ways from the origin and leaves the strip's middle where it is.
            assert!(
                (along - expected).abs() < 1e-9 && across.abs() < 1e-9,
                "{number}: {along} {across}"
            );
        }
    }
}

#[test]
fn a_strip_is_no_more_out_of_scale_than_its_own_bar_lets_pass() {
    // ± 1 mm in a metre, rectangular: 1/√3 = 0.577350 mm per metre.
    for (printer, strip) in [(2.9, 0.577_350), (0.4, 0.4)] {
        let known = Precision {
            printer_scale: printer,
            ..Precision::default()
        }
        .strip_scale();
        assert!((known - strip).abs() < 1e-6, "{printer}: {known}");
    }
}

fn compare(budget: &MethodBudget, mark: usize, id: &str, sample: [f64; 3]) {
    let what = format!("{:?} {id}", budget.method);
    scatters_as(&what, budget.marks[mark].covariance, sample);
}

#[test]
fn pieces_laid_by_tape_with_random_errors_scatter_as_propagated() {
    let plan = plan();
    let precision = Precision::default();
    let budget = ErrorBudget::of(&plan, &precision, &[], SHEET_MM);
    for id in ["1C", "2L", "4R"] {
        let mark = index(&plan, id);
        let at = plan.marks[mark].at;
        let check = |method, sample| compare(by(&budget, method), mark, id, sample);
        check(
            Method::KeyStencils,
            sampled(&plan, precision, at, |laying| laying.key_stencil(at)),
        );
        check(
            Method::TapedSheets,
            sampled(&plan, precision, at, |laying| laying.taped_sheet(at)),
        );
        check(
            Method::TapeOnly,
            sampled(&plan, precision, at, |laying| laying.tape_only(at)),
        );
        let strip = Precision {
            printer_scale: precision.strip_scale(),
            ..precision
        };
        check(
            Method::RollStrips,
            sampled(&plan, strip, at, |laying| laying.roll_strip(at)),
        );
    }
}

#[test]
fn chained_sheets_with_random_errors_scatter_as_propagated() {
    let plan = plan();
    let paths = all_paths(&plan, 240.0);
    for precision in [
        Precision::default(),
        Precision {
            printer_scale: 0.3,
            paper: 0.1,
            ..Precision::default()
        },
    ] {
        let budget = ErrorBudget::of(&plan, &precision, &paths, SHEET_MM);
        for id in ["1L", "4R"] {
            let mark = index(&plan, id);
            let (at, path) = (plan.marks[mark].at, paths[mark].as_ref().unwrap());
            let sample = sampled(&plan, precision, at, |laying| laying.chained(at, path));
            compare(by(&budget, Method::Chained), mark, id, sample);
        }
    }
}
