//! A node of the network in the integer programme.

use microlp::{ComparisonOp, LinearExpr, Problem, Variable};

use super::{CrossingChoice, ENDS, Heading, Node, Purpose, UNEVEN_PRICE};

/// What the programme chooses at a node: one of its choices, and how far that covers each arm.
pub(super) struct NodeVariables {
    options: Vec<(Variable, Heading)>,
    /// By axis and end; none where no run leaves the node.
    pub arms: [[Option<Variable>; 2]; 2],
}

impl NodeVariables {
    pub fn new(
        problem: &mut Problem,
        node: &Node,
        choices: &[CrossingChoice],
        purpose: Purpose,
    ) -> Self {
        let options: Vec<(Variable, Heading)> = choices
            .iter()
            .map(|choice| (problem.add_binary_var(choice.cost), choice.heading))
            .collect();
        let sum = |terms: &[Variable], of: &dyn Fn(&CrossingChoice) -> f64| {
            let mut sum = LinearExpr::empty();
            terms.iter().for_each(|term| sum.add(*term, 1.0));
            for ((option, _), choice) in options.iter().zip(choices) {
                sum.add(*option, of(choice));
            }
            sum
        };
        problem.add_constraint(sum(&[], &|_| 1.0), ComparisonOp::Eq, 1.0);
        let arms = [0, 1].map(|axis| {
            let ends = ENDS.map(|end| {
                node.arms[axis][end].then(|| {
                    let arm = problem.add_var(0.0, (0.0, f64::INFINITY));
                    let reach = sum(&[arm], &|choice| -choice.reach[axis][end]);
                    problem.add_constraint(reach, ComparisonOp::Le, 0.0);
                    arm
                })
            });
            if let [Some(low), Some(high)] = ends {
                let both = sum(&[low, high], &|choice| -choice.both[axis]);
                problem.add_constraint(both, ComparisonOp::Le, 0.0);
                if purpose == Purpose::Cover {
                    let uneven = problem.add_var(UNEVEN_PRICE, (0.0, f64::INFINITY));
                    for (one, other) in [(low, high), (high, low)] {
                        let uneven = [(uneven, 1.0), (one, -1.0), (other, 1.0)];
                        problem.add_constraint(uneven, ComparisonOp::Ge, 0.0);
                    }
                }
            }
            ends
        });
        Self { options, arms }
    }

    /// The heading of the choice that was taken.
    pub fn heading(&self, value: impl Fn(Variable) -> f64) -> Heading {
        let taken = self
            .options
            .iter()
            .max_by(|(a, _), (b, _)| value(*a).total_cmp(&value(*b)));
        taken.map_or(Heading::FrontUp, |(_, heading)| *heading)
    }
}
