//! Check plans of layouts, against what is drawn at random and against all smaller sets.

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, Matrix3, Vector3};

use super::*;
use crate::{
    plan::FloorPlan,
    survey::{
        Precision, critical_displacement,
        dice::Dice,
        fixture::{ARCS, CAR, PANELS, PERIMETER, TARGET, VAN, plan},
    },
};

fn full(plan: &FloorPlan) -> CheckPlan {
    CheckPlanner {
        plan,
        precision: &Precision::default(),
        longest: None,
    }
    .full()
}

#[test]
fn the_full_plan_proves_every_mark_that_distances_can_prove_and_leaves_no_reading_unchecked() {
    for vehicle in [VAN, CAR] {
        for template in [PERIMETER, ARCS, PANELS, TARGET] {
            let plan = plan(vehicle, template);
            let full = full(&plan);
            for (index, mark) in full.marks.iter().enumerate() {
                assert!(
                    full.unmet.contains(&index) || mark.proven(),
                    "{}: {mark:?}",
                    plan.marks[index].id
                );
            }
            assert!(
                full.pulls
                    .iter()
                    .all(|pull| pull.redundancy >= LEAST_REDUNDANCY && !pull.check.through_wheel)
            );
        }
    }
}

#[test]
fn a_longest_pull_leaves_longer_distances_out() {
    let plan = plan(VAN, PERIMETER);
    let precision = Precision::default();
    let planner = CheckPlanner {
        plan: &plan,
        precision: &precision,
        longest: Some(5000.0),
    };
    let full = planner.full();
    assert!(full.pulls.iter().all(|pull| pull.check.distance <= 5000.0));
    assert!(
        full.vehicle_checks
            .iter()
            .all(|check| check.distance <= 5000.0)
    );
}

#[test]
fn no_smaller_set_of_a_small_layout_does_what_the_full_plan_does() {
    let freedom = power::non_centrality(2.0);
    let precision = Precision::default();
    for (vehicle, template, marks, tolerance) in [
        (CAR, TARGET, 5, 60.0),
        (VAN, TARGET, 5, 60.0),
        (CAR, TARGET, 5, 30.0),
        (CAR, PANELS, 5, 40.0),
    ] {
        let mut plan = plan(vehicle, template);
        plan.marks.truncate(marks);
        plan.checks.retain(|check| check.from.max(check.to) < marks);
        plan.vehicle
            .wheels
            .iter_mut()
            .for_each(|wheel| wheel.centre.y += 50_000.0);
        plan.tape_base = plan.tape_base.map(|mark| mark.min(marks - 1));
        plan.marks
            .iter_mut()
            .for_each(|mark| mark.tolerance = tolerance);
        let planner = CheckPlanner {
            plan: &plan,
            precision: &precision,
            longest: None,
        };
        let found = planner.full();
        assert!(found.unmet.is_empty(), "{tolerance}: {:?}", found.unmet);
        let places: Vec<Point> = plan.marks.iter().map(|mark| mark.at).collect();
        let readings: Vec<_> = candidates::Candidates::of(&plan, None)
            .pairs
            .iter()
            .filter_map(|&[from, to]| {
                let sd = precision.distance(places[from].distance(places[to]));
                cofactor::PlannedReading::of(
                    crate::survey::Geometry::Distance { from, to },
                    sd,
                    &places,
                )
            })
            .collect();
        let does = |set: usize| {
            let chosen = || {
                readings
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| set >> i & 1 == 1)
                    .map(|(_, r)| r)
            };
            let cofactors = cofactor::Cofactors::of(&places, chosen());
            cofactors
                .marks
                .iter()
                .all(|c| freedom * c.principal()[0] <= tolerance * tolerance)
                && chosen().all(|reading| cofactors.redundancy(reading) >= LEAST_REDUNDANCY)
        };
        let sets = (0..1_usize << readings.len())
            .filter(|set| (set.count_ones() as usize) < found.pulls.len());
        assert_eq!(
            sets.filter(|set| does(*set)).count(),
            0,
            "{} of {}",
            found.pulls.len(),
            readings.len()
        );
    }
}

/// How one mark's displacement follows from all differences of readings, worked out apart from the code under test:
/// minimum-norm least squares by singular values, then the best rigid fit of the other marks taken off.
fn estimator(plan: &FloorPlan, checks: &CheckPlan, mark: usize) -> DMatrix<f64> {
    let (count, size) = (checks.pulls.len(), 2 * plan.marks.len());
    let mut design = DMatrix::zeros(count, size);
    for (row, pull) in checks.pulls.iter().enumerate() {
        let (a, b) = (pull.check.from, pull.check.to);
        let u = (plan.marks[b].at - plan.marks[a].at).normalize() / pull.sd;
        for (point, sign) in [(a, -1.0), (b, 1.0)] {
            (design[(row, 2 * point)], design[(row, 2 * point + 1)]) = (sign * u.x, sign * u.y);
        }
    }
    let solve = design.pseudo_inverse(1e-9).unwrap();
    let motion = |point: usize, axis: usize| {
        let at = plan.marks[point].at.to_vec2() / 1000.0;
        if axis == 0 {
            Vector3::new(1.0, 0.0, -at.y)
        } else {
            Vector3::new(0.0, 1.0, at.x)
        }
    };
    let mut normal = Matrix3::zeros();
    let others: Vec<(usize, usize)> = (0..plan.marks.len())
        .filter(|point| *point != mark)
        .flat_map(|point| [(point, 0), (point, 1)])
        .collect();
    for &(point, axis) in &others {
        normal += motion(point, axis) * motion(point, axis).transpose();
    }
    let inverse = normal.try_inverse().unwrap();
    DMatrix::from_fn(2, count, |axis, reading| {
        let fit: f64 = others
            .iter()
            .map(|&(point, way)| {
                motion(mark, axis).dot(&(inverse * motion(point, way)))
                    * solve[(2 * point + way, reading)]
            })
            .sum();
        (solve[(2 * mark + axis, reading)] - fit) / checks.pulls[reading].sd
    })
}

/// Part of `draws` layouts in which the test finds a mark that was moved.
fn found_part(plan: &FloorPlan, checks: &CheckPlan, mark: usize, moved: Vec2, draws: usize) -> f64 {
    let estimator = estimator(plan, checks, mark);
    let covariance = checks.marks[mark].covariance;
    let place =
        |point: usize| plan.marks[point].at + if point == mark { moved } else { Vec2::ZERO };
    let shift: Vec<f64> = checks
        .pulls
        .iter()
        .map(|pull| place(pull.check.from).distance(place(pull.check.to)) - pull.check.distance)
        .collect();
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let hits = (0..draws).filter(|_| {
        let (mut x, mut y) = (0.0, 0.0);
        for (index, pull) in checks.pulls.iter().enumerate() {
            let reading = shift[index] + pull.sd * dice.normal(1.0);
            x += estimator[(0, index)] * reading;
            y += estimator[(1, index)] * reading;
        }
        covariance.squared_distance(Vec2::new(x, y)) > critical_displacement()
    });
    hits.count() as f64 / draws as f64
}

#[test]
fn a_mark_displaced_by_the_promised_size_in_its_worst_direction_is_found_in_four_of_five_layouts() {
    const DRAWS: usize = 20_000;
    let plan = plan(VAN, PERIMETER);
    let checks = full(&plan);
    for mark in [0, 4, 12] {
        let found = &checks.marks[mark];
        let part = found_part(
            &plan,
            &checks,
            mark,
            found.worst_direction() * found.worst,
            DRAWS,
        );
        // Four standard deviations of a binomial part of 0.8.
        let sampling = 4.0 * (0.8 * 0.2 / DRAWS as f64).sqrt();
        assert!(
            (part - 0.8).abs() < sampling,
            "{}: {part}",
            plan.marks[mark].id
        );
        let least = Vec2::new(-found.worst_direction().y, found.worst_direction().x) * found.least;
        let part = found_part(&plan, &checks, mark, least, DRAWS);
        assert!(
            (part - 0.8).abs() < sampling,
            "{} the other way: {part}",
            plan.marks[mark].id
        );
    }
}

#[test]
fn marks_in_their_places_are_suspected_once_in_a_thousand() {
    const DRAWS: usize = 100_000;
    let plan = plan(CAR, PANELS);
    let checks = full(&plan);
    let part = found_part(&plan, &checks, 3, Vec2::ZERO, DRAWS);
    // Four standard deviations of a binomial part of 0.001.
    assert!(
        (part - 0.001).abs() < 4.0 * (0.001 / DRAWS as f64).sqrt(),
        "{part}"
    );
}

/// Marks on a grid that is not quite regular, so that no two distances are alike.
fn large(count: usize) -> FloorPlan {
    let mut plan = plan(VAN, PERIMETER);
    let pattern = plan.marks[0].clone();
    plan.marks = (0..count)
        .map(|index| {
            let (row, column) = (index / 6, index % 6);
            let at = Point::new(
                700.0 * row as f64 + 31.0 * (index % 5) as f64,
                800.0 * column as f64 + 17.0 * (index % 7) as f64,
            );
            crate::plan::Mark {
                id: format!("M{index}"),
                at,
                ..pattern.clone()
            }
        })
        .collect();
    plan.vehicle
        .wheels
        .iter_mut()
        .for_each(|wheel| wheel.centre.y += 50_000.0);
    plan.checks.clear();
    plan.tape_base = [0, count - 1];
    plan
}

#[test]
fn a_layout_of_many_marks_is_planned_as_well() {
    let plan = large(20);
    let full = full(&plan);
    assert!(
        full.unmet.is_empty() && full.marks.iter().all(Detectable::proven),
        "{:?}",
        full.unmet
    );
    // Half of all pairs of 20 marks.
    assert!(full.pulls.len() < 95, "{}", full.pulls.len());
}
