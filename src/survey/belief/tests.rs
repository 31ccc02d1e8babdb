//! The model's rows, and mistakes weighed without adjusting anew against adjustments from the beginning.

use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector};

use super::*;
use crate::survey::{DesignRow, Geometry, LayingPrior, Method, Precision, dice::Dice};

/// Four marks and two wheel marks, mm.
const PLACES: [(f64, f64); 6] = [
    (1500.0, 900.0),
    (1500.0, -900.0),
    (-2500.0, 900.0),
    (-2500.0, -900.0),
    (0.0, 700.0),
    (-2000.0, -720.0),
];

/// Number of the marks among them.
const MARKS: usize = 4;

/// Agreement with an adjustment from the beginning, in parts of the largest number compared. The normal equations of the
/// whole have weights from 1e4 mm⁻² (what is at rest) to 1e-7 mm⁻² (a mistake of metres).
const AGREED: f64 = 1e-9;

fn designs() -> Vec<Point> {
    PLACES.iter().map(|&place| place.into()).collect()
}

fn prior() -> LayingPrior {
    let along = |by: &dyn Fn(Point) -> Vec2| designs()[..MARKS].iter().map(|at| by(*at)).collect();
    LayingPrior {
        method: Method::TapeOnly,
        shared: vec![
            along(&|at| Vec2::new(-at.y, at.x) / 2000.0),
            along(&|at| at.to_vec2() / 3000.0),
        ],
        own: vec![Vec2::new(1.8, 2.1); MARKS],
    }
}

/// What is taped: all distances between the marks, those from the wheel marks, and two from a string to the left and the right
/// of it; the last one as if it were seen beside it.
fn geometries() -> Vec<(Geometry, Option<usize>)> {
    let distance = |from, to, lay| (Geometry::Distance { from, to }, lay);
    let offset = |mark, line| (Geometry::Offset { mark, line }, None);
    vec![
        distance(0, 1, None),
        distance(0, 2, Some(0)),
        distance(0, 3, Some(0)),
        distance(1, 2, Some(1)),
        distance(1, 3, Some(1)),
        distance(2, 3, None),
        distance(4, 0, None),
        distance(4, 1, None),
        distance(4, 2, None),
        distance(5, 0, None),
        distance(5, 3, None),
        offset(4, [2, 0]),
        offset(4, [0, 2]),
    ]
}

/// Readings of the layout as designed with what `error` adds to each.
fn taped(error: &mut dyn FnMut(usize) -> f64) -> Vec<Taped> {
    let designs = designs();
    let last = geometries().len() - 1;
    let one = |(index, (geometry, lay)): (usize, (Geometry, Option<usize>))| Taped {
        geometry,
        value: DesignRow::at(geometry, |point| designs[point])
            .unwrap()
            .value
            + error(index),
        sd: 0.8 + 0.05 * index as f64,
        lay,
        by_tape: index < last,
    };
    geometries().into_iter().enumerate().map(one).collect()
}

fn model(readings: &[Taped]) -> Model {
    let (designs, prior, precision) = (designs(), prior(), Precision::default());
    let setup = Setup {
        designs: &designs,
        fixed: &[false; 6],
        prior: Some(&prior),
        wheels: &[4, 5],
        precision: &precision,
        lays: 2,
    };
    Model::at(&setup, readings, &[Vec2::ZERO; 6]).unwrap()
}

/// Readings that scatter as promised and a little more, one of them 14 mm long, and one mark moved.
fn scattered() -> Model {
    let mut dice = Dice(20);
    let moved = [2, 4, 5, 8].map(|index| (index, 9.0));
    model(&taped(&mut |index| {
        let of_mark = moved
            .iter()
            .find(|(of, _)| *of == index)
            .map_or(0.0, |(_, by)| *by);
        dice.normal(1.2) + of_mark + if index == 6 { 14.0 } else { 0.0 }
    }))
}

/// A model solved from the beginning, with the logarithm of the likelihood of its rows up to a constant:
/// ½ ln |P| − ½ ln |AᵀPA| − ½ vᵀPv.
struct Solved {
    mean: DVector<f64>,
    covariance: DMatrix<f64>,
    log: f64,
    /// P − P A Q Aᵀ P.
    m: DMatrix<f64>,
}

/// Solves with the variances of some rows widened.
fn solved(model: &Model, widened: &[(usize, f64)]) -> Solved {
    let (rows, columns) = (model.rows.len(), model.columns.count());
    let mut design = DMatrix::zeros(rows, columns);
    let (mut observed, mut variances) = (DVector::zeros(rows), DVector::zeros(rows));
    for (index, row) in model.rows.iter().enumerate() {
        row.terms
            .iter()
            .for_each(|&(column, by)| design[(index, column)] += by);
        (observed[index], variances[index]) = (row.value, row.sd * row.sd);
    }
    widened.iter().for_each(|&(row, by)| variances[row] += by);
    let weights = DMatrix::from_diagonal(&variances.map(|variance| 1.0 / variance));
    let normal = design.transpose() * &weights * &design;
    let factor = normal.cholesky().unwrap();
    let mean = factor.solve(&(design.transpose() * &weights * &observed));
    let misfit = &observed - &design * &mean;
    let determinant = 2.0
        * factor
            .l_dirty()
            .diagonal()
            .iter()
            .map(|pivot| pivot.ln())
            .sum::<f64>();
    let log =
        -(variances.map(f64::ln).sum() + determinant + misfit.dot(&(&weights * &misfit))) / 2.0;
    let covariance = factor.inverse();
    let m = &weights - &weights * &design * &covariance * design.transpose() * &weights;
    Solved {
        mean,
        covariance,
        log,
        m,
    }
}

/// The rows that an explanation widens, and by how much.
fn widened(model: &Model, explanation: &Explanation) -> Vec<(usize, f64)> {
    let rows = explanation
        .faults
        .iter()
        .flat_map(|&fault| model.faults[fault].1.iter().copied());
    rows.zip(explanation.variances.iter().copied()).collect()
}

fn close(found: &DMatrix<f64>, expected: &DMatrix<f64>, what: &str) {
    let off = (found - expected).amax();
    assert!(
        off <= AGREED * expected.amax().max(1.0),
        "{what}: off by {off} of {}",
        expected.amax()
    );
}

#[test]
fn a_layout_that_is_as_designed_and_reads_so_has_nought_everywhere() {
    let model = model(&taped(&mut |_| 0.0));
    assert!(
        model
            .rows
            .iter()
            .all(|row| row.value.abs() < 1e-9 && row.sd > 0.0)
    );
    let posterior = Posterior::of(&model);
    assert!(posterior.mean.amax() < 1e-9, "{}", posterior.mean);
    let explanations = Weighing::of(&model, &posterior).explanations();
    assert!(
        explanations[0].faults.is_empty(),
        "nothing is wrong with it: {:?}",
        explanations[0].faults
    );
    assert!(explanations.iter().all(|one| one.change.amax() < 1e-9));
}

#[test]
fn a_reading_grows_with_the_tapes_zero_its_scale_and_the_zero_of_its_lay_and_a_mark_seen_on_a_string_does_not()
 {
    let (zero, scale, lays) = (2.0, 0.7, [1.5, -0.6]);
    let readings = taped(&mut |_| 0.0);
    let long = geometries()
        .into_iter()
        .zip(&readings)
        .map(|((geometry, lay), reading)| {
            let read = reading.value.abs() + zero + scale * reading.value.abs() / 1000.0;
            let value = if reading.by_tape {
                read * reading.value.signum()
            } else {
                reading.value
            };
            let value = value + lay.map_or(0.0, |lay| lays[lay]);
            Taped {
                geometry,
                value,
                ..*reading
            }
        });
    let model = model(&long.collect::<Vec<_>>());
    let columns = model.columns;
    let mut unknowns = vec![0.0; columns.count()];
    (unknowns[columns.zero()], unknowns[columns.scale()]) = (zero, scale);
    (unknowns[columns.lay(0)], unknowns[columns.lay(1)]) = (lays[0], lays[1]);
    for (index, row) in model.rows[..readings.len()].iter().enumerate() {
        let terms = row.terms.iter();
        let predicted: f64 = terms.map(|&(column, by)| by * unknowns[column]).sum();
        assert!(
            (predicted - row.value).abs() < 1e-9,
            "{index}: {predicted} not {}",
            row.value
        );
    }
    let offset = &model.rows[readings.len() - 1];
    assert!(
        offset
            .terms
            .iter()
            .all(|(column, _)| *column < columns.pose())
            && offset.value.abs() < 1e-9
    );
}

#[test]
fn marks_that_go_with_the_grid_and_with_shared_errors_break_no_promise() {
    let model = model(&[]);
    let (columns, designs, prior) = (model.columns, designs(), prior());
    let (pose, shared) = ([3.0, -2.0, 1.5], [0.8, -1.1]);
    let mut unknowns = vec![0.0; columns.count()];
    unknowns[columns.pose()..columns.pose() + 3].copy_from_slice(&pose);
    (unknowns[columns.shared(0)], unknowns[columns.shared(1)]) = (shared[0], shared[1]);
    for mark in 0..MARKS {
        let turn: f64 = pose[2] / 1000.0;
        let by = Vec2::new(
            pose[0] - turn * designs[mark].y,
            pose[1] + turn * designs[mark].x,
        ) + prior.shared[0][mark] * shared[0]
            + prior.shared[1][mark] * shared[1];
        (
            unknowns[columns.point(mark)],
            unknowns[columns.point(mark) + 1],
        ) = (by.x, by.y);
    }
    // The rows of the points come first: two for each.
    for row in &model.rows[..2 * PLACES.len()] {
        let terms = row.terms.iter();
        let misfit: f64 = terms.map(|&(column, by)| by * unknowns[column]).sum();
        assert!((misfit - row.value).abs() < 1e-9, "{misfit}");
    }
}

#[test]
fn the_posterior_and_the_redundancies_are_those_of_an_adjustment_from_the_beginning() {
    let model = scattered();
    let (posterior, expected) = (Posterior::of(&model), solved(&model, &[]));
    close(&posterior.covariance, &expected.covariance, "covariance");
    let weighing = Weighing::of(&model, &posterior);
    for (row, of) in model.rows.iter().enumerate() {
        let (redundancy, m) = weighing.redundancy(row);
        assert!(
            (m - expected.m[(row, row)]).abs() < AGREED * of.sd.powi(-2),
            "{row}"
        );
        assert!(
            (redundancy - expected.m[(row, row)] * of.sd * of.sd).abs() < AGREED,
            "{row}"
        );
    }
}

#[test]
fn the_likelihood_of_each_mistake_is_that_of_its_rows_widened() {
    let model = scattered();
    let posterior = Posterior::of(&model);
    let weighing = Weighing::of(&model, &posterior);
    let without = solved(&model, &[]);
    let residuals = {
        let fitted = |row: &ModelRow| {
            row.terms
                .iter()
                .map(|&(column, by)| by * without.mean[column])
                .sum::<f64>()
        };
        model
            .rows
            .iter()
            .map(|row| row.sd.powi(-2) * (row.value - fitted(row)))
            .collect::<Vec<f64>>()
    };
    let mut asked = 0;
    for (index, (fault, rows)) in model.faults.iter().enumerate() {
        let m = weighing.block(index);
        let expected =
            DMatrix::from_fn(rows.len(), rows.len(), |i, j| without.m[(rows[i], rows[j])]);
        close(&(m.clone() / m.amax()), &(expected / m.amax()), "M");
        let u = DVector::from_fn(rows.len(), |i, _| residuals[rows[i]]);
        for &sd in fault.sizes() {
            let by = (0..rows.len()).map(|i| (sd * fault.units()[i]).powi(2));
            let expected =
                solved(&model, &rows.iter().copied().zip(by).collect::<Vec<_>>()).log - without.log;
            let found = log_likelihood(&m, &u, *fault, sd);
            assert!(
                (found - expected).abs() < 1e-7,
                "{fault:?} of {sd} mm: {found} not {expected}"
            );
            asked += 1;
        }
    }
    assert!(asked > 60, "{asked}");
}

#[test]
fn explanations_weigh_what_widened_models_weigh_and_change_the_posterior_as_they_do() {
    let model = scattered();
    let posterior = Posterior::of(&model);
    let explanations = Weighing::of(&model, &posterior).explanations();
    assert!((explanations.iter().map(|one| one.weight).sum::<f64>() - 1.0).abs() < 1e-12);
    assert!(explanations.is_sorted_by(|a, b| a.weight >= b.weight));
    assert!(
        explanations.iter().any(|one| one.faults.len() > 1),
        "sets of mistakes are tried"
    );
    let logs = explanations.iter().map(|explanation| {
        let by = widened(&model, explanation);
        let anew = solved(&model, &by);
        let mean = &posterior.mean + &explanation.change;
        let covariance =
            &posterior.covariance + &explanation.growth * explanation.growth.transpose();
        close(
            &DMatrix::from_columns(&[mean]),
            &DMatrix::from_columns(std::slice::from_ref(&anew.mean)),
            "mean",
        );
        close(&covariance, &anew.covariance, "covariance");
        // A mistake is that part of its row's misfit that is its share of the widened variance.
        for (slot, &(row, variance)) in by.iter().enumerate() {
            let row = &model.rows[row];
            let terms = row.terms.iter();
            let fitted: f64 = terms.map(|&(column, by)| by * anew.mean[column]).sum();
            let expected = (row.value - fitted) * variance / (variance + row.sd * row.sd);
            let found = explanation.sizes[slot];
            assert!(
                (found - expected).abs() < AGREED * expected.abs().max(1.0),
                "{found} not {expected}"
            );
        }
        let beforehand = explanation.faults.iter().scan(0, |slot, &fault| {
            let (kind, rows) = &model.faults[fault];
            let sd = explanation.variances[*slot].sqrt();
            *slot += rows.len();
            let rank = kind
                .sizes()
                .iter()
                .position(|size| (size - sd).abs() < 1e-6 * size)
                .unwrap();
            Some(kind.log_probability() - RARER * rank as f64)
        });
        anew.log + beforehand.sum::<f64>()
    });
    let logs: Vec<f64> = logs.collect();
    for (explanation, log) in explanations.iter().zip(&logs) {
        let (found, expected) = (
            (explanation.weight / explanations[0].weight).ln(),
            log - logs[0],
        );
        assert!(
            (found - expected).abs() < 1e-7,
            "{:?}: {found} not {expected}",
            explanation.faults
        );
    }
}

#[test]
fn what_a_fault_would_show_beside_other_mistakes_is_what_the_widened_model_shows() {
    let model = scattered();
    let posterior = Posterior::of(&model);
    let weighing = Weighing::of(&model, &posterior);
    let explanations = weighing.explanations();
    let explanation = explanations
        .iter()
        .find(|one| one.faults.len() > 1)
        .unwrap();
    for (fault, (kind, rows)) in model.faults.iter().enumerate() {
        // Of a fault among them as without it.
        let by: Vec<(usize, f64)> = widened(&model, explanation)
            .into_iter()
            .filter(|(row, _)| !rows.contains(row))
            .collect();
        let m = solved(&model, &by).m;
        let expected = DMatrix::from_fn(rows.len(), rows.len(), |i, j| m[(rows[i], rows[j])]);
        let scale = weighing.block(fault).amax();
        close(
            &(weighing.block_under(fault, explanation) / scale),
            &(expected / scale),
            &format!("{kind:?}"),
        );
    }
}
