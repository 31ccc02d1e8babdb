//! Published networks, and a network's own symmetries.

use kurbo::Point;

use super::*;
use crate::survey::fixture::{network, pairs};

const METRE: f64 = 1000.0;

struct Published {
    /// Name, x, y in m, fixed.
    points: &'static [(&'static str, f64, f64, bool)],
    /// From, to, distance in m.
    distances: &'static [(usize, usize, f64)],
    sd: f64,
}

impl Published {
    fn network(&self) -> Network {
        let point = |&(id, x, y, fixed): &(&str, f64, f64, bool)| NetworkPoint {
            id: id.to_owned(),
            start: Point::new(x * METRE, y * METRE),
            fixed,
        };
        let observation = |&(from, to, distance): &(usize, usize, f64)| {
            Observation::new(Geometry::Distance { from, to }, distance * METRE, self.sd)
        };
        Network {
            points: self.points.iter().map(point).collect(),
            observations: self.distances.iter().map(observation).collect(),
        }
    }
}

/// Benning 2011, Ex. 8-2, in Krumm, Geodetic Network Adjustment Examples, rev. 3.5, Univ. Stuttgart 2020.
const BENNING_8_2: Published = Published {
    points: &[
        ("1", 0.0, 1000.0, true),
        ("2", 1000.0, 1000.0, true),
        ("3", 0.0, 0.0, false),
        ("4", 1000.0, 0.0, false),
    ],
    distances: &[
        (0, 2, 1000.02),
        (0, 3, 1414.20),
        (1, 2, 1414.24),
        (1, 3, 999.98),
        (2, 3, 1000.0),
    ],
    sd: 10.0,
};

/// Strang & Borre 1997, Ex. 10.1, in the same collection.
const STRANG_10_1: Published = Published {
    points: &[
        ("1", 170.71, 270.71, true),
        ("2", 100.0, 100.0, true),
        ("3", 241.42, 100.0, true),
        ("P", 170.71, 170.71, false),
    ],
    distances: &[(0, 3, 100.01), (1, 3, 100.02), (2, 3, 100.03)],
    sd: 10.0,
};

/// Benning 2011, Ex. 8-8, in the same collection.
const BENNING_8_8: Published = Published {
    points: &[
        ("1", 3000.0, 2000.0, true),
        ("2", 1000.0, 2000.0, true),
        ("3", 3000.0, 2100.0, true),
        ("4", 1000.0, 2100.0, true),
        ("5", 2000.0, 1000.0, true),
        ("6", 2000.0, 2000.0, false),
    ],
    distances: &[
        (5, 0, 1000.0),
        (5, 1, 1000.0),
        (5, 4, 1000.0),
        (5, 2, 1005.0),
        (5, 3, 1005.0),
    ],
    sd: 20.0,
};

fn near(found: &[f64], expected: &[f64], within: f64) {
    assert_eq!(found.len(), expected.len());
    for (found, expected) in found.iter().zip(expected) {
        assert!(
            (found - expected).abs() <= within,
            "{found} is not {expected}"
        );
    }
}

fn place(adjustment: &Adjustment, point: usize) -> [f64; 2] {
    [
        adjustment.places[point].x / METRE,
        adjustment.places[point].y / METRE,
    ]
}

fn deviations(adjustment: &Adjustment, point: usize) -> [f64; 2] {
    let sigma0 = adjustment.sigma0().unwrap();
    let covariance = adjustment.covariance(point);
    [covariance.sd_x() * sigma0, covariance.sd_y() * sigma0]
}

fn redundancies(adjustment: &Adjustment) -> Vec<f64> {
    adjustment
        .observations
        .iter()
        .map(|one| one.redundancy)
        .collect()
}

fn residuals(adjustment: &Adjustment) -> Vec<f64> {
    adjustment
        .observations
        .iter()
        .map(|one| one.residual)
        .collect()
}

#[test]
fn two_points_from_two_fixed_ones_come_out_as_published() {
    let found = BENNING_8_2.network().adjust().unwrap();
    near(&place(&found, 2), &[-0.0096, -0.0226], 5e-5);
    near(&place(&found, 3), &[999.9930, 0.0174], 5e-5);
    for point in [2, 3] {
        near(&deviations(&found, point), &[9.01, 6.37], 5e-3);
    }
    assert_eq!((found.dof, found.datum), (1, Datum::Held));
    // s0 is published in mm, with weights 1/mm²; here weights are of 10 mm.
    near(&[found.sigma0().unwrap() * 10.0], &[6.882], 5e-4);
    near(&residuals(&found), &[2.60, -3.68, -3.68, 2.60, 2.60], 5e-3);
    near(
        &redundancies(&found),
        &[1.0, 2.0, 2.0, 1.0, 1.0].map(|sevenths: f64| sevenths / 7.0),
        1e-4,
    );
}

#[test]
fn a_point_from_three_fixed_ones_comes_out_as_published() {
    let found = STRANG_10_1.network().adjust().unwrap();
    near(&place(&found, 3), &[170.7029, 170.7234], 5e-5);
    near(&deviations(&found, 3), &[33.03, 23.35], 5e-3);
    near(&residuals(&found), &[-23.356, -16.516, -16.512], 5e-4);
    near(&redundancies(&found), &[0.50005, 0.25004, 0.24992], 5e-6);
}

#[test]
fn a_reading_that_alone_holds_a_direction_is_next_to_uncheckable_as_published() {
    let found = BENNING_8_8.network().adjust().unwrap();
    near(&place(&found, 5), &[2000.0, 1999.9976], 5e-5);
    near(&deviations(&found, 5), &[5.04, 9.96], 5e-3);
    assert_eq!(found.dof, 3);
    near(
        &redundancies(&found),
        &[0.74876, 0.74876, 0.01942, 0.74153, 0.74153],
        5e-6,
    );
}

/// Without its fixed points a network keeps its shape: distances between adjusted points, residuals,
/// redundancies, and the sum of all movements is nought.
#[test]
fn a_free_network_is_held_by_inner_constraints_and_keeps_its_shape() {
    let mut network = BENNING_8_2.network();
    let known = Observation::new(Geometry::Distance { from: 0, to: 1 }, 1_000_000.0, 10.0);
    network.observations.push(known);
    network
        .points
        .iter_mut()
        .for_each(|point| point.fixed = false);
    let found = network.adjust().unwrap();
    assert_eq!((found.datum, found.dof), (Datum::Free, 1));
    let moves: Vec<_> = found
        .places
        .iter()
        .zip(&network.points)
        .map(|(place, point)| *place - point.start)
        .collect();
    let sum = moves.iter().fold(kurbo::Vec2::ZERO, |sum, by| sum + *by);
    assert!(sum.hypot() < 1e-5, "{sum:?}");
    let turn: f64 = moves
        .iter()
        .zip(&network.points)
        .map(|(by, point)| point.start.to_vec2().cross(*by))
        .sum();
    assert!(turn.abs() / 1e6 < 1e-4, "{turn}");
    let redundancy: f64 = redundancies(&found).iter().sum();
    near(&[redundancy], &[1.0], 1e-9);
}

#[test]
fn turning_and_renaming_a_network_turns_its_result() {
    let network = BENNING_8_2.network();
    let expected = network.adjust().unwrap();
    let turn = kurbo::Affine::rotate(0.7) * kurbo::Affine::translate((-3.0e5, 2.0e5));
    let mut turned = network.clone();
    turned
        .points
        .iter_mut()
        .for_each(|point| point.start = turn * point.start);
    turned.observations.reverse();
    let found = turned.adjust().unwrap();
    for (found, expected) in found.places.iter().zip(&expected.places) {
        assert!(found.distance(turn * *expected) < 1e-4);
    }
    let mut back = residuals(&found);
    back.reverse();
    near(&back, &residuals(&expected), 1e-6);
}

#[test]
fn a_start_far_away_still_ends_at_the_same_places() {
    let network = BENNING_8_2.network();
    let expected = network.adjust().unwrap();
    for (x, y) in [(3e5, -4e5), (-2e5, 2e5), (9e5, -2e5)] {
        let mut far = network.clone();
        far.points[2].start = Point::new(x, y);
        let found = far.adjust().unwrap();
        assert!(
            found.places[2].distance(expected.places[2]) < 1e-3,
            "{:?}",
            found.places[2]
        );
    }
}

#[test]
fn points_that_nothing_holds_are_loose() {
    let mut network = BENNING_8_2.network();
    network.observations.truncate(3);
    assert_eq!(network.adjust().unwrap_err(), AdjustError::Loose);
}

/// Points with all distances between them, exact; three are fixed, for two would leave a mirror image as good.
fn exact(places: &[(f64, f64)]) -> Network {
    let mut network = network(places, &pairs(places.len()));
    network.points[..3]
        .iter_mut()
        .for_each(|point| point.fixed = true);
    network
}

const SCATTERED: [(f64, f64); 7] = [
    (0.0, 300.0),
    (4000.0, -200.0),
    (4100.0, 1900.0),
    (100.0, 2100.0),
    (2000.0, 2500.0),
    (1900.0, 900.0),
    (3100.0, 1400.0),
];

#[test]
fn a_layout_started_as_its_mirror_image_or_in_a_heap_is_found_all_the_same() {
    let network = exact(&SCATTERED);
    let mirrored = |place: Point| Point::new(place.x, -place.y);
    let heaped = |place: Point| Point::new(place.y * 0.01 + 7.0, place.x * 0.013);
    for (start, what) in [
        (&mirrored as &dyn Fn(Point) -> Point, "mirrored"),
        (&heaped, "heaped"),
    ] {
        let mut wrong = network.clone();
        for point in wrong.points.iter_mut().filter(|point| !point.fixed) {
            point.start = start(point.start);
        }
        let found = wrong.adjust_from_anywhere().unwrap();
        for (place, point) in found.places.iter().zip(&network.points) {
            assert!(
                place.distance(point.start) < 1e-4,
                "{what}: {} at {place:?}",
                point.id
            );
        }
    }
}

#[test]
fn of_two_mirror_images_the_one_nearer_to_the_given_places_is_taken() {
    let mut network = exact(&SCATTERED);
    network
        .points
        .iter_mut()
        .for_each(|point| point.fixed = false);
    let given: Vec<Point> = network.points.iter().map(|point| point.start).collect();
    let mut mirrored = network.clone();
    mirrored
        .points
        .iter_mut()
        .for_each(|point| point.start.y = -point.start.y);
    let found = network.nearer_image(mirrored.adjust().unwrap(), &given);
    assert!(
        found
            .places
            .iter()
            .zip(&given)
            .all(|(place, given)| place.distance(*given) < 1e-4),
        "{:?}",
        found.places
    );
    // A reading that tells the sides keeps the image that it says.
    let offset = Geometry::Offset {
        mark: 4,
        line: [0, 1],
    };
    let value = -DesignRow::at(offset, |point| given[point]).unwrap().value;
    network
        .observations
        .push(Observation::new(offset, value, 1.0));
    let kept = network.nearer_image(network.adjust_from_anywhere().unwrap(), &given);
    let side = DesignRow::at(offset, |point| kept.places[point])
        .unwrap()
        .value;
    assert!((side - value).abs() < 1.0, "{side} not {value}");
}
