use super::*;
use crate::{cover::island::bare, plan::corners};

/// Cells of 300 × 200 mm.
const CELLS: [Size; 2] = [Size::new(300.0, 200.0), Size::new(200.0, 300.0)];

fn run(axis: Axis, at: f64, from: f64, to: f64) -> Run {
    Run {
        axis,
        at,
        from,
        to,
        marked: [true; 2],
        half: 20.0,
        least: 20.0,
    }
}

fn answer(runs: Vec<Run>) -> (usize, usize) {
    let network = Network::of(&runs, CELLS);
    assert!(network.is_open());
    let groups = network.cover(MARK_HALF_MM).unwrap();
    let cells: Vec<Rect> = groups.concat().iter().map(|cell| cell.cell).collect();
    let polygons: Vec<Vec<Point>> = runs
        .iter()
        .map(|run| corners(run.rect()).to_vec())
        .collect();
    assert!(
        bare(&polygons, cells.iter().copied()).is_empty(),
        "{cells:?}"
    );
    (cells.len(), network.lower_bound().unwrap())
}

#[test]
fn a_lone_strip_takes_its_length_over_the_longer_side_of_a_cell() {
    // With the marks at its ends, which reach 5 mm beyond it.
    assert_eq!(answer(vec![run(Axis::Along, 0.0, 0.0, 1190.0)]), (4, 4));
    assert_eq!(answer(vec![run(Axis::Across, 0.0, 0.0, 1191.0)]), (5, 5));
}

#[test]
fn a_cell_at_a_corner_serves_both_strips() {
    // It reaches 280 mm along the one and 180 mm along the other beyond the crossing: with one
    // cell of 300 mm more on each, strips of 575 and 475 mm take three cells, not four.
    let corner = |a: f64, b: f64| {
        vec![
            run(Axis::Along, 0.0, 0.0, a),
            run(Axis::Across, 0.0, 0.0, b),
        ]
    };
    assert_eq!(answer(corner(575.0, 475.0)), (3, 3));
    assert_eq!(answer(corner(576.0, 475.0)), (4, 4));
}

#[test]
fn a_strip_that_runs_through_to_the_outer_edge_of_its_corner_takes_no_more() {
    let corner = |a: f64, b: f64| {
        let through = |axis, to| Run {
            marked: [false, true],
            ..run(axis, 0.0, -20.0, to)
        };
        vec![through(Axis::Along, a), through(Axis::Across, b)]
    };
    assert_eq!(answer(corner(575.0, 475.0)), (3, 3));
    assert_eq!(answer(corner(576.0, 475.0)), (4, 4));
}

#[test]
fn a_short_end_beyond_a_crossing_is_covered_with_it_and_the_bound_does_without_it() {
    let corner = |a: f64, b: f64| {
        let beyond = |axis, to| Run {
            marked: [false, true],
            ..run(axis, 0.0, -60.0, to)
        };
        vec![beyond(Axis::Along, a), beyond(Axis::Across, b)]
    };
    assert_eq!(answer(corner(535.0, 435.0)), (3, 3));
    assert_eq!(answer(corner(540.0, 435.0)), (4, 3));
    assert_eq!(answer(corner(576.0, 435.0)), (4, 4));
}

#[test]
fn a_cell_at_a_crossing_is_shared_out_between_opposite_arms() {
    // 300 mm of the one and 200 mm of the other strip on the crossing's cell, wherever it lies.
    let cross = |left: f64, right: f64| {
        vec![
            run(Axis::Along, 0.0, -left, right),
            run(Axis::Across, 0.0, -345.0, 445.0),
        ]
    };
    assert_eq!(answer(cross(395.0, 495.0)), (5, 5));
    assert_eq!(answer(cross(395.0, 496.0)), (6, 6));
}

#[test]
fn strips_closer_than_a_cell_are_not_an_open_network() {
    let open = |apart: f64| {
        let runs = [
            run(Axis::Along, 0.0, 0.0, 1000.0),
            run(Axis::Along, apart, 0.0, 1000.0),
        ];
        Network::of(&runs, CELLS).is_open()
    };
    assert!(!open(330.0) && open(350.0));
}
