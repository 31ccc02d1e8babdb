//! Plans of lays against solutions from the beginning, and against what they have to keep.

use nalgebra::{DMatrix, Matrix2};

use super::{
    candidates::{Candidate, candidates},
    choose::Chooser,
    demand::{least_redundancy, redundancies},
    figures::{MARK_FACTOR, RADIUS_FACTOR},
    ground::{Ground, Term},
    radius::{eigenvalues, radius},
    state::State,
    *,
};
use crate::{
    plan::{FloorPlan, Lay, LayEnd, LayKind, WouldTake},
    survey::{
        LayingPrior, Method, Precision,
        fixture::{ARCS, CAR, PANELS, PERIMETER, SHEET_MM, TARGET, VAN, plan, with_lays},
    },
};

fn readings(lays: &[Lay]) -> usize {
    lays.iter().map(|lay| lay.readings.len()).sum()
}

fn ground(plan: &FloorPlan) -> (Ground, Vec<Candidate>) {
    let precision = Precision::default();
    let prior = LayingPrior::of(plan, &precision, Method::TapedSheets, SHEET_MM);
    (
        Ground::of(plan, &precision, &prior),
        candidates(plan, &precision, None),
    )
}

#[test]
fn the_demonstration_job_is_proven_in_twenty_lays_and_forty_readings() {
    let plan = with_lays(&plan(VAN, PERIMETER), CheckChoice::Full, None);
    let proof = &plan.proofs[0];
    assert!(proof.complete() && proof.would_take.is_empty(), "{proof:?}");
    assert!(
        plan.lays.len() <= 20 && readings(&plan.lays) <= 40,
        "{} {}",
        plan.lays.len(),
        readings(&plan.lays)
    );
    assert_eq!(
        (proof.lays, proof.readings),
        (plan.lays.len(), readings(&plan.lays))
    );
}

#[test]
fn every_demonstration_tolerance_is_proven_and_every_lay_can_be_made() {
    for vehicle in [VAN, CAR] {
        for template in [PERIMETER, ARCS, PANELS, TARGET] {
            let plan = with_lays(&plan(vehicle, template), CheckChoice::Full, None);
            let name = format!("{} {}", plan.vehicle.name, plan.template.name);
            assert!(plan.proofs[0].complete(), "{name}: {:?}", plan.proofs);
            assert!(
                plan.lays.len() <= 20 && readings(&plan.lays) <= 40,
                "{name}: {}",
                plan.lays.len()
            );
            let lays = plan.lays.iter();
            let from_wheels = lays.filter(|lay| matches!(lay.from, LayEnd::Wheel(_)));
            let from_wheels: usize = from_wheels.map(|lay| lay.readings.len()).sum();
            assert!(from_wheels >= 4, "{name}: {from_wheels}");
            let wheels = crate::survey::wheel_marks(&plan.vehicle).map(|(_, at)| at);
            let mut check = 0;
            for (index, lay) in plan.lays.iter().enumerate() {
                assert_eq!(lay.number, index + 1);
                let [from, to] = [lay.from, lay.to].map(|end| match end {
                    LayEnd::Mark(mark) => plan.marks[mark].at,
                    LayEnd::Wheel(wheel) => wheels[wheel],
                });
                let along_tyres = lay.along_tyres();
                let blocked = match lay.from {
                    LayEnd::Mark(_) => plan.vehicle.through_wheel(from, to),
                    LayEnd::Wheel(wheel) => plan.vehicle.through_wheel_from(wheel, from, to),
                };
                assert!(along_tyres || !blocked, "{name}: {lay:?}");
                for reading in &lay.readings {
                    check += 1;
                    assert_eq!(reading.id, check.to_string());
                    let at = plan.marks[reading.mark].at;
                    let beside = (to - from).normalize().cross(at - from);
                    let expected = if along_tyres { reading.should_be } else { 0.0 };
                    assert!((beside - expected).abs() <= 0.5, "{name}: {beside}");
                    if lay.kind == LayKind::Tape {
                        assert!(
                            (reading.should_be - from.distance(at)).abs() < 1e-9
                                && reading.should_be >= 100.0
                        );
                    }
                    assert!((reading.limit / 0.5).fract() == 0.0 && reading.limit > 0.0);
                }
            }
            // What one crawls for comes together at the end.
            let below: Vec<bool> = plan.lays.iter().map(|lay| lay.below_body).collect();
            assert!(below.is_sorted(), "{name}: {below:?}");
        }
    }
}

#[test]
fn nothing_is_taped_beyond_the_longest_pull() {
    let plan = with_lays(&plan(VAN, PERIMETER), CheckChoice::Full, Some(5000.0));
    let tapes = plan.lays.iter().filter(|lay| lay.kind == LayKind::Tape);
    assert!(
        tapes
            .flat_map(|lay| &lay.readings)
            .all(|reading| reading.should_be <= 5000.0)
    );
}

#[test]
fn the_quick_plan_is_less_work_and_finds_twice_the_tolerance() {
    let plan = plan(VAN, PERIMETER);
    let (full, quick) = (
        with_lays(&plan, CheckChoice::Full, None),
        with_lays(&plan, CheckChoice::Quick, None),
    );
    assert!(quick.proofs[0].minutes < full.proofs[0].minutes);
    assert!(
        quick.proofs[0]
            .marks
            .iter()
            .all(|mark| mark.provable <= 2.0 * mark.tolerance)
    );
}

#[test]
fn four_millimetres_are_not_proven_and_the_plan_says_what_is_and_what_it_would_take() {
    let mut plan = plan(VAN, PERIMETER);
    plan.marks.iter_mut().for_each(|mark| mark.tolerance = 4.0);
    let plan = with_lays(&plan, CheckChoice::Full, None);
    let proof = &plan.proofs[0];
    assert!(
        !proof.complete() && proof.tightest() > 4.0 && proof.tightest() < 8.0,
        "{}",
        proof.tightest()
    );
    assert_eq!(proof.would_take.last(), Some(&WouldTake::SimpleDecision));
    assert!(plan.lays.len() < 40, "{}", plan.lays.len());
}

/// Covariance of the unknowns from rows with single weights alone: each lay's zero an unknown of its own.
fn from_the_beginning(
    ground: &Ground,
    lays: &[(&[Vec<Term>], f64, f64)],
    without: Option<usize>,
) -> DMatrix<f64> {
    let count = ground.columns.count();
    let mut normal = DMatrix::zeros(count + lays.len(), count + lays.len());
    let mut add = |terms: &[Term], sd: f64| {
        for &(i, a) in terms {
            for &(j, b) in terms {
                normal[(i, j)] += a * b / (sd * sd);
            }
        }
    };
    for (index, row) in ground.promises.iter().enumerate() {
        if without != Some(index / 2) {
            add(&row.terms, row.sd);
        }
    }
    for (index, (rows, sd, zero)) in lays.iter().enumerate() {
        for row in *rows {
            let mut terms = row.clone();
            terms.push((count + index, 1.0));
            add(&terms, *sd);
        }
        add(&[(count + index, 1.0)], zero.max(1e-6));
    }
    normal.try_inverse().unwrap()
}

#[test]
fn what_is_kept_up_to_date_is_what_a_solution_from_the_beginning_gives() {
    let (ground, candidates) = ground(&plan(CAR, PERIMETER));
    let rows: Vec<Vec<Vec<Term>>> = candidates.iter().map(|one| ground.rows(one)).collect();
    let mut state = State::of(&ground);
    let taken: Vec<usize> = (0..candidates.len()).step_by(7).collect();
    for &one in &taken {
        let all = vec![true; rows[one].len()];
        let change = state
            .change(&rows[one], &candidates[one].weight(&all))
            .unwrap();
        state.apply(&change, &ground);
    }
    // One is taken out again, and one loses its first reading.
    let (out, less) = (
        taken[1],
        *taken.iter().find(|one| rows[**one].len() > 1).unwrap(),
    );
    let gone = state
        .change(
            &rows[out],
            &-candidates[out].weight(&vec![true; rows[out].len()]),
        )
        .unwrap();
    state.apply(&gone, &ground);
    let all = vec![true; rows[less].len()];
    let mut fewer = all.clone();
    fewer[0] = false;
    let weight = candidates[less].weight(&fewer) - candidates[less].weight(&all);
    let change = state.change(&rows[less], &weight).unwrap();
    state.apply(&change, &ground);
    let left: Vec<(&[Vec<Term>], f64, f64)> = taken
        .iter()
        .filter(|one| **one != out)
        .map(|&one| {
            let from = usize::from(one == less);
            (&rows[one][from..], candidates[one].sd, candidates[one].zero)
        })
        .collect();
    let expected = from_the_beginning(&ground, &left, None);
    for mark in 0..ground.marks() {
        let place = expected.fixed_view::<2, 2>(2 * mark, 2 * mark).into_owned();
        assert!(
            (place - state.places[mark]).norm() < 1e-6 * place.norm(),
            "{mark}: {place} {}",
            state.places[mark]
        );
    }
}

#[test]
fn what_is_promised_of_a_mark_follows_from_a_solution_in_which_its_laying_says_nothing() {
    let (ground, candidates) = ground(&plan(CAR, PERIMETER));
    let tolerances = vec![8.0; ground.marks()];
    let chooser = Chooser::all(&ground, &candidates).choose(&tolerances, 1.0);
    let kept = |one: &choose::Chosen| -> Vec<Vec<Term>> {
        let rows = chooser.rows(one.candidate).iter().zip(&one.kept);
        rows.filter(|(_, kept)| **kept)
            .map(|(row, _)| row.clone())
            .collect()
    };
    let rows: Vec<Vec<Vec<Term>>> = chooser.chosen().iter().map(kept).collect();
    let lays: Vec<(&[Vec<Term>], f64, f64)> = chooser
        .chosen()
        .iter()
        .zip(&rows)
        .map(|(one, rows)| {
            (
                &rows[..],
                candidates[one.candidate].sd,
                candidates[one.candidate].zero,
            )
        })
        .collect();
    let whole = from_the_beginning(&ground, &lays, None);
    for (mark, [own, _]) in chooser.proven().into_iter().enumerate() {
        // The mistake is estimated as what the readings alone say of the mark, less where its laying should have put it: the
        // variance of both.
        let without = from_the_beginning(&ground, &lays, Some(mark));
        let of = |left: &[Term], right: &[Term]| -> f64 {
            left.iter()
                .map(|&(i, a)| {
                    right
                        .iter()
                        .map(|&(j, b)| a * b * without[(i, j)])
                        .sum::<f64>()
                })
                .sum()
        };
        let [x, y] = &ground.laid[mark];
        let laying = ground.prior.own[mark];
        let mistake = Matrix2::new(of(x, x), of(x, y), of(x, y), of(y, y))
            + Matrix2::new(laying.x.powi(2), 0.0, 0.0, laying.y.powi(2));
        let place = whole.fixed_view::<2, 2>(2 * mark, 2 * mark).into_owned();
        let expected =
            (RADIUS_FACTOR * radius(&place)).max(MARK_FACTOR * eigenvalues(&mistake)[0].sqrt());
        assert!(
            (own - expected).abs() < 1e-3 * expected,
            "{mark}: {own} not {expected}"
        );
        assert!(own <= 8.0 * (1.0 + 1e-6), "{mark}: {own}");
    }
}

#[test]
fn no_lay_of_a_plan_is_needless() {
    let (ground, candidates) = ground(&plan(VAN, PERIMETER));
    let tolerances = vec![8.0; ground.marks()];
    let chooser = Chooser::all(&ground, &candidates).choose(&tolerances, 1.0);
    let chosen = chooser.chosen();
    let of_wheels = |one: &choose::Chosen| {
        candidates[one.candidate]
            .wheels(ground.marks())
            .next()
            .is_some()
    };
    for gone in chosen {
        let left: Vec<_> = chosen
            .iter()
            .filter(|one| one.candidate != gone.candidate)
            .collect();
        let lays = left.iter().map(|one| {
            (
                chooser.rows(one.candidate),
                candidates[one.candidate].weight(&one.kept),
            )
        });
        let state = State::with_all(&ground, lays);
        let grid = demand::Grid::of(&ground.places, &ground.tolerances);
        let sd = grid.sd(&state, None, &ground);
        let unproven = (0..ground.marks()).any(|mark| {
            let own = demand::provable(&state, None, &ground, mark);
            own.max(demand::provable_of_grid(&sd, grid.reach(mark))) > 8.0
        });
        let unchecked = left.iter().any(|one| {
            let weight = candidates[one.candidate].weight(&one.kept);
            let fitted = state.fitted(chooser.rows(one.candidate));
            let sd = candidates[one.candidate].sd;
            let found = redundancies(&weight, &fitted, sd);
            found
                .iter()
                .zip(&one.kept)
                .any(|(found, kept)| *kept && *found < least_redundancy(sd, 1.0))
        });
        let from_wheels: usize = left
            .iter()
            .filter(|one| of_wheels(one))
            .flat_map(|one| &one.kept)
            .map(|kept| usize::from(*kept))
            .sum();
        let only_one = from_wheels < 4
            || candidates[gone.candidate]
                .wheels(ground.marks())
                .any(|wheel| {
                    !left.iter().any(|one| {
                        candidates[one.candidate]
                            .wheels(ground.marks())
                            .any(|used| used == wheel)
                    })
                });
        assert!(
            unproven || unchecked || only_one,
            "{:?}",
            candidates[gone.candidate]
        );
    }
}

#[test]
fn checks_that_are_kept_up_to_date_are_those_of_a_solution_from_the_beginning() {
    let (ground, candidates) = ground(&plan(VAN, ARCS));
    let chooser = Chooser::all(&ground, &candidates).choose(&vec![8.0; ground.marks()], 1.0);
    let lays = chooser.chosen().iter().map(|one| {
        (
            chooser.rows(one.candidate),
            candidates[one.candidate].weight(&one.kept),
        )
    });
    let state = State::with_all(&ground, lays);
    // Lays and single readings were left out on the way here.
    assert!(chooser.chosen().iter().any(|one| one.kept.contains(&false)));
    for one in chooser.chosen() {
        let lay = &candidates[one.candidate];
        let expected = redundancies(
            &lay.weight(&one.kept),
            &state.fitted(chooser.rows(one.candidate)),
            lay.sd,
        );
        for reading in (0..one.kept.len()).filter(|&reading| one.kept[reading]) {
            let (found, expected) = (one.redundancies[reading], expected[reading]);
            assert!(
                (found - expected).abs() < 1e-7,
                "{lay:?} {reading}: {found} not {expected}"
            );
        }
    }
}
