//! What holds of every adjustment, whatever was measured.

use kurbo::{Affine, Point};
use proptest::prelude::*;

use super::{Adjustment, Datum, Geometry, Network, Observation};
use crate::{
    property_tests::seeded,
    survey::fixture::{network, pairs},
    units::ROUND_OFF,
};

/// Places agree to this, mm: an adjustment settles to 1e-10 of the network's extent, some metres, and shapes that are nearly flat lose
/// some digits of it.
const SETTLED_MM: f64 = 1e-4;

/// A bay: points on a grid of 1 to 2 m, each off it by up to 400 mm, so that none coincide and no three lie on a line for long.
fn places() -> impl Strategy<Value = Vec<(f64, f64)>> {
    let off = (-400.0..400.0_f64, -400.0..400.0_f64);
    prop::collection::vec(off, 4..10).prop_map(|offs| {
        let on_grid = |(index, (x, y)): (usize, (f64, f64))| {
            let (row, column) = (index / 3, index % 3);
            (x + 2000.0 * row as f64, y + 1500.0 * column as f64)
        };
        offs.into_iter().enumerate().map(on_grid).collect()
    })
}

/// All distances, read with these errors, mm, in turn.
fn read(places: &[(f64, f64)], errors: &[f64]) -> Network {
    let mut network = network(places, &pairs(places.len()));
    let errors = errors.iter().cycle();
    for (observation, error) in network.observations.iter_mut().zip(errors) {
        observation.value += error;
    }
    network
}

fn errors() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(-4.0..4.0_f64, 11)
}

fn fixed(mut network: Network, count: usize) -> Network {
    let points = network.points.iter_mut().take(count);
    points.for_each(|point| point.fixed = true);
    network
}

fn distances(places: &[Point]) -> Vec<f64> {
    let pairs = pairs(places.len()).into_iter();
    pairs
        .map(|[one, other]| places[one].distance(places[other]))
        .collect()
}

fn largest(differences: impl Iterator<Item = f64>) -> f64 {
    differences.map(f64::abs).fold(0.0, f64::max)
}

fn residuals(found: &Adjustment) -> impl Iterator<Item = f64> {
    found.observations.iter().map(|one| one.residual)
}

proptest! {
    #![proptest_config(seeded(200))]

    #[test]
    fn exact_readings_give_the_exact_places_and_no_residual(places in places(), held in 0..4_usize) {
        let network = fixed(read(&places, &[0.0]), held);
        let found = network.adjust().unwrap();
        let off = largest(found.places.iter().zip(&network.points).map(|(at, point)| at.distance(point.start)));
        prop_assert!(off < SETTLED_MM, "{off}");
        prop_assert!(largest(residuals(&found)) < SETTLED_MM && found.squares < SETTLED_MM);
    }

    #[test]
    fn redundancies_are_parts_that_sum_up_to_the_degrees_of_freedom(
        places in places(), errors in errors(), held in 0..4_usize,
    ) {
        let found = fixed(read(&places, &errors), held).adjust().unwrap();
        let parts = || found.observations.iter().map(|one| one.redundancy);
        prop_assert!(parts().all(|part| (-ROUND_OFF..=1.0 + ROUND_OFF).contains(&part)));
        prop_assert!((parts().sum::<f64>() - found.dof as f64).abs() < 1e-6);
        let squares: f64 = residuals(&found).map(|one| one * one).sum();
        prop_assert!((squares - found.squares).abs() <= 1e-6 * squares.max(1.0));
    }

    #[test]
    fn no_other_places_have_a_smaller_sum_of_squares(
        places in places(), errors in errors(), by in (-5.0..5.0_f64, -5.0..5.0_f64), which in any::<prop::sample::Index>(),
    ) {
        let network = fixed(read(&places, &errors), 2);
        let found = network.adjust().unwrap();
        let mut other = found.places.clone();
        let moved = 2 + which.index(other.len() - 2);
        other[moved] += kurbo::Vec2::from(by);
        let squares: f64 = network.observations.iter().map(|one| match one.geometry {
            Geometry::Distance { from, to } => (other[from].distance(other[to]) - one.value).powi(2),
            _ => 0.0,
        }).sum();
        prop_assert!(squares >= found.squares - 1e-6, "{squares} and {}", found.squares);
    }

    #[test]
    fn a_covariance_is_never_negative_in_any_direction(places in places(), errors in errors(), held in 0..4_usize) {
        let found = fixed(read(&places, &errors), held).adjust().unwrap();
        for point in 0..places.len() {
            let covariance = found.covariance(point);
            let most = covariance.sd_x() * covariance.sd_y();
            prop_assert!(covariance.xy.abs() <= most + ROUND_OFF, "{covariance:?}");
            let [large, small] = covariance.principal();
            prop_assert!(small >= 0.0 && large >= small, "{large} {small}");
            prop_assert_eq!(point < held, large == 0.0);
            let own = found.cross_covariance(point, point);
            prop_assert!((own[0][1] - own[1][0]).abs() < ROUND_OFF && (own[0][1] - covariance.xy).abs() < ROUND_OFF);
        }
    }

    #[test]
    fn the_shape_is_the_same_whatever_holds_the_network_on_the_floor(
        places in places(), errors in errors(), turn in -3.0..3.0_f64, by in (-3e4..3e4_f64, -3e4..3e4_f64),
    ) {
        let free = read(&places, &errors);
        let expected = free.adjust().unwrap();
        prop_assert_eq!(expected.datum, Datum::Free);
        let turned = Affine::translate(by) * Affine::rotate(turn);
        let mut elsewhere = free.clone();
        elsewhere.points.iter_mut().for_each(|point| point.start = turned * point.start);
        let found = elsewhere.adjust().unwrap();
        let off = largest(found.places.iter().zip(&expected.places).map(|(found, expected)| found.distance(turned * *expected)));
        prop_assert!(off < SETTLED_MM, "{off}");
        // Held by one point alone, the rest is as loose, and as sure of its shape.
        let held = fixed(free, 1).adjust().unwrap();
        prop_assert_eq!(held.dof, expected.dof);
        let shapes = distances(&held.places).into_iter().zip(distances(&expected.places));
        let off = largest(shapes.map(|(one, other)| one - other));
        prop_assert!(off < SETTLED_MM, "{off}");
        prop_assert!(largest(residuals(&held).zip(residuals(&expected)).map(|(one, other)| one - other)) < SETTLED_MM);
    }

    #[test]
    fn twice_as_large_a_floor_taped_half_as_well_has_twice_the_deviations(
        places in places(), errors in errors(), factor in 0.2..5.0_f64, held in 0..4_usize,
    ) {
        let network = fixed(read(&places, &errors), held);
        let mut larger = network.clone();
        for point in &mut larger.points {
            point.start = (point.start.to_vec2() * factor).to_point();
        }
        for observation in &mut larger.observations {
            (observation.value, observation.sd) = (observation.value * factor, observation.sd * factor);
        }
        let (expected, found) = (network.adjust().unwrap(), larger.adjust().unwrap());
        for point in 0..places.len() {
            let scaled = (expected.places[point].to_vec2() * factor).to_point();
            prop_assert!(found.places[point].distance(scaled) < SETTLED_MM * factor.max(1.0));
            let [one, other] = [found.covariance(point), expected.covariance(point)];
            prop_assert!((one.sd_x() - factor * other.sd_x()).abs() < 1e-6 * factor.max(1.0));
        }
        prop_assert!((found.squares - expected.squares).abs() < 1e-6 * expected.squares.max(1.0));
    }

    #[test]
    fn readings_of_half_the_weight_leave_the_places_and_widen_the_deviations(
        places in places(), errors in errors(), factor in 0.2..5.0_f64,
    ) {
        let network = fixed(read(&places, &errors), 2);
        let mut worse = network.clone();
        worse.observations.iter_mut().for_each(|one| one.sd *= factor);
        let (expected, found) = (network.adjust().unwrap(), worse.adjust().unwrap());
        for point in 0..places.len() {
            prop_assert!(found.places[point].distance(expected.places[point]) < SETTLED_MM);
            let wider = expected.covariance(point).largest_sd() * factor;
            prop_assert!((found.covariance(point).largest_sd() - wider).abs() < 1e-6 * factor.max(1.0));
        }
    }

    #[test]
    fn a_further_reading_that_agrees_moves_nothing_and_makes_no_point_less_sure(
        places in places(), errors in errors(), which in any::<prop::sample::Index>(),
    ) {
        let network = fixed(read(&places, &errors), 2);
        let expected = network.adjust().unwrap();
        let [from, to] = *which.get(&pairs(places.len()));
        let value = expected.places[from].distance(expected.places[to]);
        let mut more = network.clone();
        more.observations.push(Observation::new(Geometry::Distance { from, to }, value, 1.0));
        let found = more.adjust().unwrap();
        prop_assert_eq!(found.dof, expected.dof + 1);
        for point in 0..places.len() {
            prop_assert!(found.places[point].distance(expected.places[point]) < SETTLED_MM);
            let [sure, before] = [&found, &expected].map(|one| one.covariance(point).largest_sd());
            prop_assert!(sure <= before + ROUND_OFF, "{sure} {before}");
        }
    }
}
