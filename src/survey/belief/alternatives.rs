//! Sets of mistakes that explain the readings, weighed against each other.
//!
//! With W = P = diag(1/σ²) of the rows and M = W − W A Q Aᵀ W, the weighted residuals are u = M l. A mistake in the rows G whose
//! size is normal with covariance T adds ½ uᵀ_G (T⁻¹ + M_GG)⁻¹ u_G − ½ ln |I + T M_GG| to the logarithm of the
//! likelihood of all that was read, and changes M by −M_{·G} (T⁻¹ + M_GG)⁻¹ M_{G·} (Woodbury's formula on the covariance of the
//! observations). For a single row with T → ∞ the first term is half of Baarda's w². So sets of mistakes are tried
//! without adjusting anew, and what each costs is its prior probability and the room that its size may take.

use nalgebra::{DMatrix, DVector};

use super::{Fault, Model, Posterior};

/// Sets kept at each number of mistakes.
const WIDTH: usize = 24;

/// With more rows that may be wrong than this, only the best set of each number of mistakes is followed.
const MANY: usize = 400;

/// Sets with more mistakes than this are followed one by one alone.
const DEEP: usize = 6;

/// A set that is less probable than the best by this, in natural logarithms, is left: one in 10⁵.
const NEGLIGIBLE: f64 = 11.5;

/// What each larger size costs, in natural logarithms: rarer than the one before by this.
pub(in crate::survey) const RARER: f64 = 0.7;

/// A set of mistakes and what the unknowns are if it is right.
#[derive(Clone, Debug)]
pub(in crate::survey) struct Explanation {
    /// Indices into [`Model::faults`], rising.
    pub faults: Vec<usize>,
    /// Probability of the set among all that were weighed, 0 to 1.
    pub weight: f64,
    /// Estimated sizes of the mistakes, row by row, in the faults' order.
    pub sizes: DVector<f64>,
    /// Variances that these sizes were promised to have, row by row.
    pub variances: Vec<f64>,
    /// Covariance of these sizes.
    pub sizes_covariance: DMatrix<f64>,
    /// The posterior with the mistakes allowed for.
    pub change: DVector<f64>,
    /// F with which the covariance grows: Q + F Fᵀ.
    pub growth: DMatrix<f64>,
}

/// A model solved, with what is needed to weigh mistakes.
pub(in crate::survey) struct Weighing<'a> {
    model: &'a Model,
    posterior: &'a Posterior,
    /// Rows that may be wrong.
    rows: Vec<usize>,
    /// For each fault, its places in `rows`.
    places: Vec<Vec<usize>>,
    /// Q Aᵀ W of those rows, by column.
    influence: DMatrix<f64>,
    /// u.
    residuals: DVector<f64>,
}

/// A set of mistakes while it is put together.
#[derive(Clone)]
struct Set {
    faults: Vec<usize>,
    /// ln of prior times likelihood, up to what all sets share.
    log: f64,
    /// Variances of the mistakes' sizes, row by row.
    variances: Vec<f64>,
    residuals: DVector<f64>,
    /// Diagonal blocks of M, by fault.
    blocks: Vec<DMatrix<f64>>,
    /// M = M₀ − Σ c cᵀ.
    columns: Vec<DVector<f64>>,
}

impl<'a> Weighing<'a> {
    /// Gets a model ready.
    pub(in crate::survey) fn of(model: &'a Model, posterior: &'a Posterior) -> Self {
        let faults = model.faults.iter();
        let rows: Vec<usize> = faults.flat_map(|(_, rows)| rows.iter().copied()).collect();
        let mut next = 0;
        let places = model.faults.iter().map(|(_, of)| {
            next += of.len();
            (next - of.len()..next).collect()
        });
        let places = places.collect();
        let mut influence = DMatrix::zeros(posterior.mean.len(), rows.len());
        let mut residuals = DVector::zeros(rows.len());
        for (place, &row) in rows.iter().enumerate() {
            let row = &model.rows[row];
            let weight = row.sd.powi(-2);
            influence.set_column(place, &(posterior.times(&row.terms) * weight));
            let terms = row.terms.iter();
            let fitted: f64 = terms.map(|&(column, by)| by * posterior.mean[column]).sum();
            residuals[place] = weight * (row.value - fitted);
        }
        Self {
            model,
            posterior,
            rows,
            places,
            influence,
            residuals,
        }
    }

    /// M between two of the rows.
    fn m(&self, one: usize, other: usize) -> f64 {
        let row = &self.model.rows[self.rows[one]];
        let through: f64 = row
            .terms
            .iter()
            .map(|&(column, by)| by * self.influence[(column, other)])
            .sum();
        let own = if one == other { 1.0 } else { 0.0 };
        row.sd.powi(-2) * (own - through)
    }

    /// Redundancy number of a row, the part of an error of it that the others show, and its diagonal of M, mm⁻².
    pub(in crate::survey) fn redundancy(&self, row: usize) -> (f64, f64) {
        let row = &self.model.rows[row];
        let weight = row.sd.powi(-2);
        let m = (weight * (1.0 - weight * self.posterior.variance(&row.terms))).max(0.0);
        ((m / weight).clamp(0.0, 1.0), m)
    }

    /// M of the rows of a fault, with no mistake anywhere.
    pub(in crate::survey) fn block(&self, fault: usize) -> DMatrix<f64> {
        let places = &self.places[fault];
        DMatrix::from_fn(places.len(), places.len(), |i, j| {
            self.m(places[i], places[j])
        })
    }

    /// M of the rows of a fault where the mistakes of an explanation are allowed for; of a fault among them as without it.
    pub(in crate::survey) fn block_under(
        &self,
        fault: usize,
        explanation: &Explanation,
    ) -> DMatrix<f64> {
        let own = &self.places[fault];
        let others = explanation
            .faults
            .iter()
            .enumerate()
            .flat_map(|(slot, &other)| {
                let start: usize = explanation.faults[..slot]
                    .iter()
                    .map(|&known| self.places[known].len())
                    .sum();
                self.places[other]
                    .iter()
                    .enumerate()
                    .map(move |(i, &place)| (other, start + i, place))
            });
        let others: Vec<(usize, f64)> = others
            .filter(|(other, ..)| *other != fault)
            .map(|(_, slot, place)| (place, explanation.variances[slot]))
            .collect();
        let count = others.len();
        let inner = DMatrix::from_fn(count, count, |i, j| {
            self.m(others[i].0, others[j].0) + if i == j { 1.0 / others[i].1 } else { 0.0 }
        });
        let Some(inverse) = inner.try_inverse() else {
            return self.block(fault);
        };
        let cross = DMatrix::from_fn(own.len(), count, |i, j| self.m(own[i], others[j].0));
        self.block(fault) - &cross * inverse * cross.transpose()
    }

    /// All sets of mistakes that are worth a thought, the most probable first; their weights add up to 1.
    pub(in crate::survey) fn explanations(&self) -> Vec<Explanation> {
        let none = Set {
            faults: Vec::new(),
            log: 0.0,
            variances: Vec::new(),
            residuals: self.residuals.clone(),
            blocks: (0..self.places.len())
                .map(|fault| self.block(fault))
                .collect(),
            columns: Vec::new(),
        };
        let mut all: Vec<Set> = vec![none.clone()];
        let mut front = vec![none];
        let mut best = 0.0_f64;
        while !front.is_empty() {
            let depth = front[0].faults.len();
            let width = if self.rows.len() > MANY || depth >= DEEP {
                1
            } else {
                WIDTH
            };
            front = self.next(&front, width, best);
            let leading = front
                .iter()
                .map(|set| set.log)
                .fold(f64::NEG_INFINITY, f64::max);
            // Two mistakes may each look worthless without the other, so one more level is tried at shallow depth.
            if leading < best && (depth >= 2 || leading < best - NEGLIGIBLE) {
                all.append(&mut front);
                break;
            }
            best = best.max(leading);
            all.extend(front.iter().cloned());
        }
        all.retain(|set| set.log > best - NEGLIGIBLE);
        all.sort_by(|a, b| {
            b.log
                .total_cmp(&a.log)
                .then_with(|| a.faults.cmp(&b.faults))
        });
        let total: f64 = all.iter().map(|set| (set.log - best).exp()).sum();
        all.iter()
            .map(|set| self.concluded(set, (set.log - best).exp() / total))
            .collect()
    }

    /// The best sets with one mistake more than those of `front`.
    fn next(&self, front: &[Set], width: usize, best: f64) -> Vec<Set> {
        let mut tried: Vec<(f64, usize, usize, f64)> = Vec::new();
        let mut seen: Vec<(Vec<usize>, usize)> = Vec::new();
        for (index, set) in front.iter().enumerate() {
            for fault in (0..self.places.len()).filter(|fault| !set.faults.contains(fault)) {
                let (gain, sd) = self.gain(set, fault);
                tried.push((set.log + gain, index, fault, sd));
            }
        }
        tried.sort_by(|a, b| {
            b.0.total_cmp(&a.0)
                .then_with(|| (a.1, a.2).cmp(&(b.1, b.2)))
        });
        let mut kept = Vec::new();
        for (log, index, fault, sd) in tried {
            if kept.len() >= width || log < best - NEGLIGIBLE {
                break;
            }
            let mut faults = front[index].faults.clone();
            faults.push(fault);
            faults.sort_unstable();
            if seen.iter().any(|(known, _)| *known == faults) {
                continue;
            }
            seen.push((faults, index));
            kept.push(self.with(&front[index], fault, sd, log));
        }
        kept
    }

    /// What a further mistake adds to the logarithm, by the size that suits it best, and that size.
    fn gain(&self, set: &Set, fault: usize) -> (f64, f64) {
        let (kind, places) = (self.model.faults[fault].0, &self.places[fault]);
        let (m, u) = (
            &set.blocks[fault],
            DVector::from_fn(places.len(), |i, _| set.residuals[places[i]]),
        );
        let of = |(rank, &sd): (usize, &f64)| {
            (log_likelihood(m, &u, kind, sd) - RARER * rank as f64, sd)
        };
        let best = kind
            .sizes()
            .iter()
            .enumerate()
            .map(of)
            .reduce(|a, b| if b.0 > a.0 { b } else { a });
        let (gain, sd) = best.expect("every kind of mistake has sizes");
        (gain + kind.log_probability(), sd)
    }

    /// A set with one mistake more.
    fn with(&self, set: &Set, fault: usize, sd: f64, log: f64) -> Set {
        let places = &self.places[fault];
        let mut next = set.clone();
        next.log = log;
        let slot = next.faults.partition_point(|&known| known < fault);
        let at: usize = next.faults[..slot]
            .iter()
            .map(|&known| self.places[known].len())
            .sum();
        next.faults.insert(slot, fault);
        let variances = variances(self.model.faults[fault].0, places.len(), sd);
        next.variances.splice(at..at, variances.iter().copied());
        let columns = DMatrix::from_fn(self.rows.len(), places.len(), |row, own| {
            let taken: f64 = set
                .columns
                .iter()
                .map(|column| column[row] * column[places[own]])
                .sum();
            self.m(row, places[own]) - taken
        });
        let inner =
            &set.blocks[fault] + DMatrix::from_diagonal(&variances.map(|variance| 1.0 / variance));
        let inverse = inner
            .try_inverse()
            .expect("a positive diagonal was added to a semidefinite matrix");
        let u = DVector::from_fn(places.len(), |i, _| set.residuals[places[i]]);
        next.residuals -= &columns * (&inverse * u);
        let root = inverse
            .cholesky()
            .expect("the inverse of a positive matrix is positive")
            .l();
        let scaled = columns * root;
        for (other, block) in next.blocks.iter_mut().enumerate() {
            let at = &self.places[other];
            for i in 0..at.len() {
                for j in 0..at.len() {
                    block[(i, j)] -= scaled.row(at[i]).dot(&scaled.row(at[j]));
                }
            }
        }
        next.columns
            .extend(scaled.column_iter().map(|column| column.into_owned()));
        next
    }

    fn concluded(&self, set: &Set, weight: f64) -> Explanation {
        let places: Vec<usize> = set
            .faults
            .iter()
            .flat_map(|&fault| self.places[fault].iter().copied())
            .collect();
        let count = places.len();
        let u = DVector::from_fn(count, |i, _| self.residuals[places[i]]);
        let mut inner = DMatrix::from_fn(count, count, |i, j| self.m(places[i], places[j]));
        for (i, variance) in set.variances.iter().enumerate() {
            inner[(i, i)] += 1.0 / variance;
        }
        let inverse = inner
            .try_inverse()
            .expect("a positive diagonal was added to a semidefinite matrix");
        let sizes = &inverse * u;
        let influence = DMatrix::from_fn(self.posterior.mean.len(), count, |row, i| {
            self.influence[(row, places[i])]
        });
        let symmetric = (&inverse + inverse.transpose()) / 2.0;
        let root = symmetric.clone().cholesky().map(|factor| factor.l());
        let growth = root.map_or_else(
            || DMatrix::zeros(influence.nrows(), 0),
            |root| &influence * root,
        );
        Explanation {
            faults: set.faults.clone(),
            weight,
            variances: set.variances.clone(),
            change: -(influence * &sizes),
            sizes,
            sizes_covariance: symmetric,
            growth,
        }
    }
}

/// Variances of a mistake's rows where its size has the standard deviation `sd`, mm.
fn variances(fault: Fault, rows: usize, sd: f64) -> DVector<f64> {
    DVector::from_fn(rows, |row, _| (sd * fault.units()[row]).powi(2))
}

/// ½ uᵀ (T⁻¹ + M)⁻¹ u − ½ ln |I + T M| with T from the mistake's size.
pub(in crate::survey) fn log_likelihood(
    m: &DMatrix<f64>,
    u: &DVector<f64>,
    fault: Fault,
    sd: f64,
) -> f64 {
    let variances = variances(fault, u.len(), sd);
    let inner = m + DMatrix::from_diagonal(&variances.map(|variance| 1.0 / variance));
    let Some(factor) = inner.cholesky() else {
        return f64::NEG_INFINITY;
    };
    let explained = u.dot(&factor.solve(u)) / 2.0;
    let log_determinant = 2.0
        * factor
            .l_dirty()
            .diagonal()
            .iter()
            .map(|pivot| pivot.ln())
            .sum::<f64>();
    explained
        - (log_determinant + variances.iter().map(|variance| variance.ln()).sum::<f64>()) / 2.0
}
