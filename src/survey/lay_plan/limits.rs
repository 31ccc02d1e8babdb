//! How far a reading may differ before something is to be done about it.

use nalgebra::DMatrix;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{
    candidates::Candidate,
    choose::Chosen,
    figures::{DRAWN_FLOORS, DRAWN_MARGIN, KEEP_ALL_LIMITS},
    ground::{Ground, Term},
};
use crate::units::ROUND_OFF;

/// The draw is the same for every layout and every run.
const SEED: u64 = 8855;

/// Limits in mm of the kept readings of each chosen lay, in their order, a multiple of `step` mm each.
///
/// Before anything is read, a reading differs from what it should be by what laying, plumbing, tape and hand do: a normal
/// distribution with a known standard deviation. One factor for all readings is drawn so that at least nine floors of
/// ten that were laid to the budget keep every limit of the list (Monte Carlo over the joint distribution, JCGM 101).
pub(super) fn limits(
    ground: &Ground,
    candidates: &[Candidate],
    rows: &[&[Vec<Term>]],
    chosen: &[Chosen],
    step: f64,
) -> Vec<Vec<f64>> {
    let readings: Vec<Vec<&Vec<Term>>> = chosen
        .iter()
        .zip(rows)
        .map(|(one, rows)| {
            rows.iter()
                .zip(&one.kept)
                .filter(|(_, kept)| **kept)
                .map(|(row, _)| row)
                .collect()
        })
        .collect();
    let own = |one: &Chosen| {
        candidates[one.candidate]
            .sd
            .hypot(candidates[one.candidate].zero)
    };
    let sd: Vec<Vec<f64>> = chosen
        .iter()
        .zip(&readings)
        .map(|(one, rows)| {
            rows.iter()
                .map(|row| variance(&ground.covariance, row).sqrt().hypot(own(one)))
                .collect()
        })
        .collect();
    let factor = factor(ground, candidates, &readings, chosen, &sd);
    let up = |mm: f64| (mm / step - ROUND_OFF).ceil() * step;
    sd.into_iter()
        .map(|lay| lay.into_iter().map(|sd| up(factor * sd)).collect())
        .collect()
}

fn variance(covariance: &DMatrix<f64>, row: &[Term]) -> f64 {
    row.iter()
        .map(|&(i, a)| {
            a * row
                .iter()
                .map(|&(j, b)| b * covariance[(i, j)])
                .sum::<f64>()
        })
        .sum()
}

/// How many standard deviations the largest difference of a list stays within on the wanted part of floors.
fn factor(
    ground: &Ground,
    candidates: &[Candidate],
    readings: &[Vec<&Vec<Term>>],
    chosen: &[Chosen],
    sd: &[Vec<f64>],
) -> f64 {
    let mut dice = Normal {
        random: ChaCha8Rng::seed_from_u64(SEED),
        spare: None,
    };
    let mut largest: Vec<f64> = (0..DRAWN_FLOORS)
        .map(|_| {
            let floor = draw(ground, &mut dice);
            let mut most = 0.0_f64;
            for ((one, rows), sd) in chosen.iter().zip(readings).zip(sd) {
                let lay = &candidates[one.candidate];
                let zero = lay.zero * dice.next();
                for (row, sd) in rows.iter().zip(sd) {
                    let true_value: f64 = row.iter().map(|&(column, by)| by * floor[column]).sum();
                    most = most.max((true_value + zero + lay.sd * dice.next()).abs() / sd);
                }
            }
            most
        })
        .collect();
    largest.sort_by(f64::total_cmp);
    let rank = ((KEEP_ALL_LIMITS + DRAWN_MARGIN) * DRAWN_FLOORS as f64).ceil() as usize;
    largest
        .get(rank.min(DRAWN_FLOORS) - 1)
        .copied()
        .unwrap_or(0.0)
}

/// The unknowns of a floor as its laying has them. The rows of promises are solved backwards: shared errors and the tape first,
/// then the marks that they move.
fn draw(ground: &Ground, dice: &mut Normal) -> Vec<f64> {
    let mut floor = vec![0.0; ground.columns.count()];
    for row in ground.promises.iter().rev() {
        let &[(column, by), ref others @ ..] = &row.terms[..] else {
            continue;
        };
        let others = others.iter();
        let known: f64 = others.map(|&(other, factor)| factor * floor[other]).sum();
        floor[column] = (row.value + row.sd * dice.next() - known) / by;
    }
    floor
}

/// Normally distributed numbers by the polar form of Box and Muller (1958).
struct Normal {
    random: ChaCha8Rng,
    spare: Option<f64>,
}

impl Normal {
    fn next(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let (first, second): (f64, f64) = (self.random.random(), self.random.random());
        let reach = (-2.0 * (1.0 - first).ln()).sqrt();
        let (sin, cos) = (std::f64::consts::TAU * second).sin_cos();
        self.spare = Some(reach * sin);
        reach * cos
    }
}
