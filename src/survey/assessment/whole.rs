//! Faults of a grid as a whole, which would otherwise look like every mark being off.

use kurbo::{Affine, Point};

use crate::survey::RigidFit;

/// Another shape is named when it leaves less than this part of the squares that the design leaves.
const MUCH_BETTER: f64 = 0.1;

/// Differences of scale below this are not named: a tape of the poorest class is better.
const LEAST_SCALE: f64 = 2e-3;

/// Displacements are looked into when their root mean square is above this, mm.
const WORTH_A_LOOK_MM: f64 = 5.0;

/// Where half of all marks would lie further off than this part of the grid's extent, nobody has laid this grid.
const UNLIKE: f64 = 0.05;

/// What is wrong with a grid as a whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WholeFault {
    /// Left and right are exchanged.
    Mirrored,
    /// Most marks would lie this far off, mm: the readings are of something else.
    Unlike(f64),
    /// All lengths are this many times the designed ones.
    Scaled(f64),
}

/// Looks for a fault in pairs of designed and adjusted places, at least three.
pub(super) fn whole_fault(pairs: &[(Point, Point)]) -> Option<WholeFault> {
    let fit = RigidFit::of(pairs)?;
    let squares = |fit: &RigidFit, design: Affine| {
        pairs
            .iter()
            .map(|(p, q)| fit.apply(design * *p).distance_squared(*q))
            .sum::<f64>()
    };
    let plain = squares(&fit, Affine::IDENTITY);
    if pairs.len() < 3 || plain < WORTH_A_LOOK_MM.powi(2) * pairs.len() as f64 {
        return None;
    }
    let through = |design: Affine| {
        let pairs: Vec<_> = pairs.iter().map(|(p, q)| (design * *p, *q)).collect();
        RigidFit::of(&pairs).map(|fit| squares(&fit, design))
    };
    let scale = scale(pairs, &fit);
    if (scale - 1.0).abs() > LEAST_SCALE && through(Affine::scale(scale))? < MUCH_BETTER * plain {
        return Some(WholeFault::Scaled(scale));
    }
    if through(Affine::FLIP_Y)? < MUCH_BETTER * plain {
        return Some(WholeFault::Mirrored);
    }
    unlike(pairs, &fit).map(WholeFault::Unlike)
}

/// The middle one of all displacements, mm, where it is out of all proportion.
fn unlike(pairs: &[(Point, Point)], fit: &RigidFit) -> Option<f64> {
    let extent = pairs
        .iter()
        .map(|(p, _)| p.distance(pairs[0].0))
        .fold(0.0, f64::max);
    let pairs = pairs.iter();
    let mut off: Vec<f64> = pairs.map(|(p, q)| fit.apply(*p).distance(*q)).collect();
    off.sort_by(f64::total_cmp);
    let middle = off[(off.len() - 1) / 2];
    (middle > UNLIKE * extent).then_some(middle)
}

/// The scale of the best similarity with the turn of a rigid fit: Σ (R p)·q / Σ p², both about their middles.
fn scale(pairs: &[(Point, Point)], fit: &RigidFit) -> f64 {
    let count = pairs.len() as f64;
    let middle = |of: fn(&(Point, Point)) -> Point| {
        pairs
            .iter()
            .fold(Point::ZERO, |sum, pair| sum + of(pair).to_vec2() / count)
    };
    let (from, to) = (middle(|pair| pair.0), middle(|pair| pair.1));
    let turn = Affine::rotate(fit.turn);
    let (mut dot, mut squares) = (0.0, 0.0);
    for (p, q) in pairs {
        let arm = *p - from;
        dot += (turn * arm.to_point()).to_vec2().dot(*q - to);
        squares += arm.hypot2();
    }
    dot / squares
}

#[cfg(test)]
mod tests {
    use super::*;

    const DESIGN: [(f64, f64); 5] = [
        (900.0, 1200.0),
        (900.0, -1200.0),
        (-4500.0, 1200.0),
        (-4500.0, -1200.0),
        (0.0, 1100.0),
    ];

    fn laid(by: Affine) -> Vec<(Point, Point)> {
        DESIGN
            .map(|place| (Point::from(place), by * Point::from(place)))
            .to_vec()
    }

    #[test]
    fn a_print_at_97_percent_and_a_mirrored_grid_are_told_from_single_marks() {
        let turn = Affine::rotate(0.3) * Affine::translate((500.0, -20.0));
        assert_eq!(whole_fault(&laid(turn)), None);
        let Some(WholeFault::Scaled(scale)) = whole_fault(&laid(turn * Affine::scale(0.97))) else {
            panic!()
        };
        assert!((scale - 0.97).abs() < 1e-9);
        assert_eq!(
            whole_fault(&laid(turn * Affine::FLIP_Y)),
            Some(WholeFault::Mirrored)
        );
        let mut one_off = laid(turn);
        one_off[2].1.x += 100.0;
        assert_eq!(whole_fault(&one_off), None);
    }

    #[test]
    fn places_that_have_nothing_to_do_with_the_design_are_no_displaced_marks() {
        let mut other = laid(Affine::IDENTITY);
        for (index, pair) in other.iter_mut().enumerate() {
            pair.1 += kurbo::Vec2::new(900.0, 0.0) * [1.0, -1.0, 0.5, -2.0, 1.5][index];
        }
        assert!(matches!(whole_fault(&other), Some(WholeFault::Unlike(off)) if off > 300.0));
    }
}
