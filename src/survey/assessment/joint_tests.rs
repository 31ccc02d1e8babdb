//! How sure it is that all marks lie inside together, and what would pass unseen.

use super::{
    believed::Believed,
    conformance::Conformance,
    laid_fixture::Laid,
    risk::{CONSUMERS_RISK, GRIDS_RISK, Risks},
};

/// More than any bound: the joint probability is then drawn and not bounded.
const DRAWN: f64 = 2.0;

#[test]
fn all_marks_together_are_inside_as_often_as_bounds_and_independence_allow() {
    let layout = Laid::as_designed().taped();
    let believed = Believed::of(&layout, layout.prior.as_ref().unwrap()).unwrap();
    let conformance = Conformance::of(&believed);
    assert!(
        (conformance
            .views
            .iter()
            .map(|view| view.weight)
            .sum::<f64>()
            - 1.0)
            .abs()
            < 1e-12
    );
    for tolerance in [4.0, 5.0, 6.0, 8.0] {
        let tolerances: Vec<Option<f64>> = layout
            .tolerances
            .iter()
            .map(|known| known.map(|_| tolerance))
            .collect();
        let each: Vec<f64> = (0..Laid::marks())
            .map(|mark| conformance.inside(mark, tolerance, true))
            .collect();
        let bound = 1.0 - each.iter().map(|inside| 1.0 - inside).sum::<f64>();
        let least = each.iter().copied().fold(1.0, f64::min);
        let drawn = conformance.all_inside(&believed, &tolerances, &each, DRAWN);
        // Four standard deviations of 4000 draws at one half.
        assert!(
            drawn >= bound - 0.032 && drawn <= least + 0.032,
            "{tolerance}: {bound} {drawn} {least}"
        );
        // Marks that share the datum and the tape lie off together, so they are inside together more often than independent ones.
        assert!(
            drawn >= each.iter().product::<f64>() - 0.032,
            "{tolerance}: {drawn}"
        );
        // Where Boole's bound is enough, it is taken.
        assert_eq!(
            conformance
                .all_inside(&believed, &tolerances, &each, bound)
                .to_bits(),
            bound.max(0.0).to_bits()
        );
    }
}

#[test]
fn the_joint_probability_of_one_mark_alone_is_its_own() {
    let layout = Laid::as_designed().taped();
    let believed = Believed::of(&layout, layout.prior.as_ref().unwrap()).unwrap();
    let conformance = Conformance::of(&believed);
    for mark in 0..Laid::marks() {
        let mut tolerances = vec![None; layout.tolerances.len()];
        tolerances[mark] = Some(3.0);
        let own = conformance.inside(mark, 3.0, true);
        let drawn = conformance.all_inside(&believed, &tolerances, &[own], DRAWN);
        assert!(
            own > 0.2 && (drawn - own).abs() < 0.032,
            "{mark}: {drawn} not {own}"
        );
    }
}

/// Consumer's risk of each mark, and of the grid, with the lays that `kept` says.
fn risks(kept: impl Fn(usize) -> bool) -> (Vec<f64>, f64) {
    let layout = Laid::as_designed().taped_but(kept);
    let believed = Believed::of(&layout, layout.prior.as_ref().unwrap()).unwrap();
    let risks = Risks::of(&believed);
    let marks = (0..Laid::marks()).map(|mark| risks.mark(mark, layout.tolerances[mark].unwrap()));
    (
        marks.collect(),
        risks.grid(&Conformance::of(&believed), &layout.tolerances),
    )
}

#[test]
fn what_nothing_sees_would_pass_and_more_readings_lower_the_risk() {
    let (none, grid) = risks(|_| false);
    assert!(
        none.iter().all(|risk| *risk > 1.0 - 1e-9) && grid > 1.0 - 1e-9,
        "{none:?} {grid}"
    );
    let (all, tied) = risks(|_| true);
    assert!(
        all.iter().all(|risk| *risk <= CONSUMERS_RISK) && tied <= GRIDS_RISK,
        "{all:?} {tied}"
    );
    let mut before = none;
    for count in [Laid::lays() / 3, 2 * Laid::lays() / 3, Laid::lays()] {
        let (now, _) = risks(|lay| lay < count);
        for (mark, (now, before)) in now.iter().zip(&before).enumerate() {
            assert!(
                *now <= before + 0.01,
                "{mark} with {count} lays: {now} after {before}"
            );
        }
        assert!(now.iter().sum::<f64>() < before.iter().sum::<f64>());
        before = now;
    }
}
