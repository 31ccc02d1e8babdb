//! Integer programmes, solved to the end or not at all.

use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Solution, SolveOptions};

/// Branch-and-bound nodes after which a programme is given up. The shipped layouts take fewer than
/// a hundred; a limit by time would make the bytes depend on the machine.
const MOST_BRANCHES: u64 = 5_000;

/// The optimum of a programme; `None` when it has none or is not found within a fixed effort.
pub(super) fn optimum(problem: &Problem) -> Option<Solution> {
    let mut options = SolveOptions::default();
    options.node_limit = Some(MOST_BRANCHES);
    let outcome = problem.solve_with(options).ok()?;
    if outcome.is_optimal() {
        outcome.into_solution().ok()
    } else {
        None
    }
}

/// The fewest sets that together hold all of `count` things, as indices into the sets.
pub(super) fn fewest_sets(sets: &[Vec<usize>], count: usize) -> Option<Vec<usize>> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let taken: Vec<_> = sets.iter().map(|_| problem.add_binary_var(1.0)).collect();
    let mut holders = vec![LinearExpr::empty(); count];
    for (set, variable) in sets.iter().zip(&taken) {
        for &thing in set {
            holders[thing].add(*variable, 1.0);
        }
    }
    for holder in holders {
        problem.add_constraint(holder, ComparisonOp::Ge, 1.0);
    }
    let solution = optimum(&problem)?;
    Some(
        (0..sets.len())
            .filter(|&index| solution.var_value(taken[index]) > 0.5)
            .collect(),
    )
}
