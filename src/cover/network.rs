//! The fewest cells over a network of straight strips, exactly.
//!
//! Strips square to the vehicle cross at *nodes*, which divide them into *stretches*. Where nodes and
//! parallel strips are further apart than a cell is long, every cell either holds one node and an
//! *arm* of each strip that leaves it, or lies on one stretch alone. How many cells a stretch takes
//! then depends on its length less the two arms that reach into it, and the whole is a small integer
//! programme with real arms:
//!
//! - each node takes a cell, lying with its front up or to the right; opposite arms share its length
//!   in their direction;
//! - what a run goes on by beyond its last crossing is no arm where it is short: the node's cell holds it;
//! - each stretch of length d between arms p and q takes n whole cells, p + q + n · a ≥ d, where a is
//!   the longer side of a cell.
//!
//! **Why its optimum is a bound.** Take of each strip a line only: its middle, or near a node at which
//! the crossing strip goes on to one side alone, the edge of the core on the other side. Whatever
//! covers the strips covers these lines. A cell that touches both lines at such a node reaches past
//! the crossing by half a core, so its arm is that much shorter; where both strips end, they need not
//! share a cell at all. A cell without node shows at most a of one stretch. Of several cells on one
//! node all but one can be moved onto the stretches without loss, but for two cells on a node with
//! four arms that hold two neighbouring arms each. Short ends beyond a crossing are left out: a part of
//! the runs needs no more than all. With these options the programme has a solution no greater than any cover by cells at any real positions. The cover that is used keeps cells on the
//! whole width of the strips and clear of marks, so it can need more; both numbers are reported.

mod node_variables;

use kurbo::{Point, Rect, Size};
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};

use self::node_variables::NodeVariables;
use super::{
    Heading,
    content::MARK_HALF_MM,
    cores::{Axis, Run, share_a_cell},
    programme::optimum,
};
use crate::units::SAME_DRAWN_MM;

/// What the solver's arithmetic may add to a whole number of cells.
const WHOLE: f64 = 1e-4;

/// What a millimetre by which opposite arms differ costs, in cells: so little that all of them together
/// are no reason for another cell.
const UNEVEN_PRICE: f64 = 1e-6;

/// More nodes than these are not given to the programme. Layouts that people tape have a dozen.
const MOST_NODES: usize = 60;

/// An end beyond a run's last crossing is short up to this share of the shorter side of a cell, which then holds
/// it beside the crossing and keeps a third for the arm on the other side.
const SHORT_END: f64 = 2.0 / 3.0;

/// Which end of a strip, as seen from a node: towards smaller or greater coordinates.
const ENDS: [usize; 2] = [0, 1];

/// A cell of the cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FreeCell {
    pub cell: Rect,
    pub heading: Heading,
    /// True when it holds a crossing or an island of its own: it is laid before the others.
    pub first: bool,
}

/// Runs that cross in a way that the programme describes.
pub(super) struct Network {
    /// The runs without their short ends.
    runs: Vec<Run>,
    /// How far each goes on beyond its start and its end, mm.
    short_ends: Vec<[f64; 2]>,
    cells: [Size; 2],
    nodes: Vec<Node>,
    stretches: Vec<Stretch>,
}

/// A crossing of a run along the vehicle with one across.
struct Node {
    at: Point,
    /// Indices of the two runs, in the order of the axes.
    runs: [usize; 2],
    /// By axis and end: whether the strip goes on there.
    arms: [[bool; 2]; 2],
}

/// A part of a run between two nodes, a node and an end, or its two ends.
struct Stretch {
    run: usize,
    from: f64,
    to: f64,
    /// Nodes at its start and its end.
    nodes: [Option<usize>; 2],
    /// Whether a mark lies at its start and its end where that is free.
    marked: [bool; 2],
}

/// What a programme is solved for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Purpose {
    /// Cells to be used: on the whole width of the strips.
    Cover,
    /// A number that no cover goes below.
    Bound,
}

/// An option for a node: how many cells, and how far arms may reach, by axis and end.
struct CrossingChoice {
    cost: f64,
    heading: Heading,
    reach: [[f64; 2]; 2],
    both: [f64; 2],
}

/// A solved programme.
struct Arms {
    cells: f64,
    /// Heading and arms of each node.
    nodes: Vec<(Heading, [[f64; 2]; 2])>,
    /// Cells on each stretch.
    stretches: Vec<usize>,
}

impl Network {
    /// The network of some runs.
    pub(super) fn of(whole: &[Run], cells: [Size; 2]) -> Self {
        let runs: Vec<Run> = whole
            .iter()
            .map(|run| without_short_ends(run, whole, cells))
            .collect();
        let short_ends = whole
            .iter()
            .zip(&runs)
            .map(|(whole, part)| [part.from - whole.from, whole.to - part.to])
            .collect();
        let mut nodes = Vec::new();
        for (i, one) in runs.iter().enumerate() {
            for (j, other) in runs.iter().enumerate().skip(i + 1) {
                if let Some(at) = crossing(one, other) {
                    nodes.push(Node::new(
                        at,
                        if one.axis == Axis::Along {
                            [i, j]
                        } else {
                            [j, i]
                        },
                        &runs,
                    ));
                }
            }
        }
        let stretches = runs
            .iter()
            .enumerate()
            .flat_map(|(index, run)| stretches(index, run, &nodes))
            .collect();
        Self {
            runs,
            short_ends,
            cells,
            nodes,
            stretches,
        }
    }

    /// True where the programme would take minutes.
    pub(super) fn is_too_large(&self) -> bool {
        self.nodes.len() > MOST_NODES
    }

    /// True where no cell can hold more than one node, or parts of runs that do not cross in it: then
    /// the programme's optimum is a bound.
    pub(super) fn is_open(&self) -> bool {
        let apart = |(i, one): (usize, &Run)| {
            let others = self.runs[i + 1..]
                .iter()
                .filter(|other| crossing(one, other).is_none());
            others
                .into_iter()
                .all(|other| !share_a_cell(one.rect(), other.rect(), &self.cells))
        };
        let at = |node: &Node| Rect::from_points(node.at, node.at);
        let lone = |(i, node): (usize, &Node)| {
            self.nodes[i + 1..]
                .iter()
                .all(|other| !share_a_cell(at(node), at(other), &self.cells))
        };
        self.runs.iter().enumerate().all(apart) && self.nodes.iter().enumerate().all(lone)
    }

    /// No cover of the runs by cells, wherever they lie, has fewer. Of the open network alone.
    pub(super) fn lower_bound(&self) -> Option<usize> {
        let arms = self.solve(MARK_HALF_MM, Purpose::Bound)?;
        Some((arms.cells - WHOLE).ceil() as usize)
    }

    /// The fewest cells of this kind that hold the runs in their whole width and keep `clearance` mm
    /// from marks at crossings and at ends; by run, each from its front or its left.
    pub(super) fn cover(&self, clearance: f64) -> Option<Vec<Vec<FreeCell>>> {
        let arms = self.solve(clearance, Purpose::Cover)?;
        Some(self.place(&arms, clearance))
    }

    fn choices(&self, node: &Node, clearance: f64, purpose: Purpose) -> Vec<CrossingChoice> {
        let clear = match purpose {
            Purpose::Cover => self.clear(node, clearance),
            // Where the strip goes on to both sides its middle stands for the crossing one.
            Purpose::Bound => [0, 1].map(|axis| {
                let both = node.arms[axis] == [true; 2];
                let clear = if both {
                    0.0
                } else {
                    self.runs[node.runs[1 - axis]].least
                };
                [clear; 2]
            }),
        };
        let single = Heading::ALL
            .into_iter()
            .zip(self.cells)
            .map(|(heading, cell)| {
                let both = [cell.width, cell.height];
                CrossingChoice {
                    cost: 1.0,
                    heading,
                    reach: [0, 1].map(|axis| ENDS.map(|end| both[axis] - clear[axis][1 - end])),
                    both,
                }
            });
        let mut choices: Vec<CrossingChoice> = single.collect();
        if purpose == Purpose::Bound && node.arms.iter().all(|ends| *ends != [true; 2]) {
            choices.push(CrossingChoice {
                cost: 0.0,
                heading: Heading::FrontUp,
                reach: [[0.0; 2]; 2],
                both: [0.0; 2],
            });
        }
        if purpose == Purpose::Bound && node.arms == [[true; 2]; 2] {
            for (one, other) in
                [(0, 0), (0, 1), (1, 0), (1, 1)].map(|(i, j)| (self.cells[i], self.cells[j]))
            {
                for turned in [false, true] {
                    let along = [one.width, other.width];
                    let across = if turned {
                        [other.height, one.height]
                    } else {
                        [one.height, other.height]
                    };
                    let both = [along[0] + along[1], across[0] + across[1]];
                    choices.push(CrossingChoice {
                        cost: 2.0,
                        heading: Heading::FrontUp,
                        reach: [along, across],
                        both,
                    });
                }
            }
        }
        choices
    }

    /// How far a node's cell must reach beyond the node, by axis and end.
    fn clear(&self, node: &Node, clearance: f64) -> [[f64; 2]; 2] {
        [0, 1].map(|axis| {
            let run = node.runs[axis];
            ENDS.map(|end| {
                // Along the vehicle it has to hold the width of the run across, and the other way round.
                let width = self.runs[node.runs[1 - axis]].half.max(clearance);
                let beyond = self.short_ends[run][end];
                if node.arms[axis][end] || beyond <= 0.0 {
                    width
                } else if self.runs[run].marked[end] {
                    width.max(beyond + clearance)
                } else {
                    width.max(beyond)
                }
            })
        })
    }

    fn solve(&self, clearance: f64, purpose: Purpose) -> Option<Arms> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let nodes: Vec<NodeVariables> = self
            .nodes
            .iter()
            .map(|node| {
                let choices = self.choices(node, clearance, purpose);
                NodeVariables::new(&mut problem, node, &choices, purpose)
            })
            .collect();
        let counts = self
            .stretches
            .iter()
            .map(|stretch| self.count(&mut problem, stretch, &nodes, clearance))
            .collect::<Option<Vec<Variable>>>()?;
        let solution = optimum(&problem)?;
        let value = |variable: Variable| solution.var_value(variable);
        Some(Arms {
            cells: solution.objective(),
            nodes: nodes
                .iter()
                .map(|node| {
                    let arms = node.arms.map(|ends| ends.map(|arm| arm.map_or(0.0, value)));
                    (node.heading(value), arms)
                })
                .collect(),
            stretches: counts
                .into_iter()
                .map(|count| value(count).round() as usize)
                .collect(),
        })
    }

    /// The number of cells between the ends of a stretch, which with the arms of its nodes cover it.
    fn count(
        &self,
        problem: &mut Problem,
        stretch: &Stretch,
        nodes: &[NodeVariables],
        clearance: f64,
    ) -> Option<Variable> {
        let axis = self.runs[stretch.run].axis;
        let (_, cell) = self.longest(&self.runs[stretch.run])?;
        let [from, to] = stretch.span(clearance);
        let length = to - from;
        let count = problem.add_integer_var(1.0, (0, (length / cell).ceil() as i32));
        let mut covered = LinearExpr::empty();
        covered.add(count, cell);
        for (end, node) in stretch.nodes.iter().enumerate() {
            let arm = node.and_then(|node| nodes[node].arms[axis as usize][1 - end]);
            arm.into_iter().for_each(|arm| covered.add(arm, 1.0));
        }
        problem.add_constraint(covered, ComparisonOp::Ge, length);
        Some(count)
    }

    /// The heading whose cell is longest along a run that it holds in its whole width, with that length.
    fn longest(&self, run: &Run) -> Option<(Heading, f64)> {
        let holds = |cell: &Size| run.axis.other().length(*cell) >= 2.0 * run.half;
        let cells = Heading::ALL
            .into_iter()
            .zip(self.cells)
            .filter(|(_, cell)| holds(cell));
        cells
            .map(|(heading, cell)| (heading, run.axis.length(cell)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    fn place(&self, arms: &Arms, clearance: f64) -> Vec<Vec<FreeCell>> {
        let nodes: Vec<FreeCell> = self
            .nodes
            .iter()
            .zip(&arms.nodes)
            .map(|(node, (heading, arms))| {
                let clear = self.clear(node, clearance);
                let cell = self.cells[*heading as usize];
                let [along, across] = [cell.width, cell.height];
                let span = |axis: usize, length: f64, at: f64| {
                    let [low, high] = ENDS.map(|end| arms[axis][end].max(clear[axis][end]));
                    // What is left over widens both overlaps.
                    let spare = (length - low - high) / 2.0;
                    (at - low - spare, at - low - spare + length)
                };
                let cell = Axis::Along.rect(span(0, along, node.at.x), span(1, across, node.at.y));
                FreeCell {
                    cell,
                    heading: *heading,
                    first: true,
                }
            })
            .collect();
        let mut used = vec![false; nodes.len()];
        let of_run = |(index, run): (usize, &Run)| {
            let mut group: Vec<FreeCell> = Vec::new();
            for (number, cell) in nodes
                .iter()
                .enumerate()
                .filter(|(number, _)| self.nodes[*number].runs.contains(&index))
            {
                if !std::mem::replace(&mut used[number], true) {
                    group.push(*cell);
                }
            }
            let stretches = self
                .stretches
                .iter()
                .zip(&arms.stretches)
                .filter(|(stretch, _)| stretch.run == index);
            for (stretch, count) in stretches {
                group.extend(self.along(stretch, *count, &nodes, clearance));
            }
            group.sort_by(|a, b| {
                run.axis
                    .of(b.cell.center())
                    .total_cmp(&run.axis.of(a.cell.center()))
            });
            group
        };
        let groups: Vec<_> = self.runs.iter().enumerate().map(of_run).collect();
        groups
            .into_iter()
            .filter(|group| !group.is_empty())
            .collect()
    }

    /// Cells in equal steps over what the nodes' cells leave of a stretch.
    fn along(
        &self,
        stretch: &Stretch,
        count: usize,
        nodes: &[FreeCell],
        clearance: f64,
    ) -> Vec<FreeCell> {
        let run = &self.runs[stretch.run];
        let Some((heading, length)) = self.longest(run) else {
            return Vec::new();
        };
        let width = run.axis.other().length(self.cells[heading as usize]);
        let side = |cell: Rect, end: usize| {
            let corner = if end == 0 {
                cell.origin()
            } else {
                Point::new(cell.x1, cell.y1)
            };
            run.axis.of(corner)
        };
        let [free_from, free_to] = stretch.span(clearance);
        let from = stretch.nodes[0].map_or(free_from, |node| side(nodes[node].cell, 1));
        let to = stretch.nodes[1].map_or(free_to, |node| side(nodes[node].cell, 0));
        let spare = (count as f64 * length - (to - from)) / (count + 1) as f64;
        let at = |k: usize| from - spare + k as f64 * (length - spare);
        let across = (run.at - width / 2.0, run.at + width / 2.0);
        // A run without nodes begins with the sheet that is laid first.
        let first = |k: usize| k == 0 && stretch.nodes == [None, None];
        let cell = |k: usize| FreeCell {
            cell: run.axis.rect((at(k), at(k) + length), across),
            heading,
            first: first(k),
        };
        (0..count).map(cell).collect()
    }
}

impl Node {
    fn new(at: Point, [along, across]: [usize; 2], runs: &[Run]) -> Self {
        let goes_on = |run: &Run| {
            let place = run.axis.of(at);
            [
                run.from < place - MARK_HALF_MM,
                run.to > place + MARK_HALF_MM,
            ]
        };
        Self {
            at,
            runs: [along, across],
            arms: [goes_on(&runs[along]), goes_on(&runs[across])],
        }
    }
}

impl Stretch {
    /// Where what cells have to cover of it starts and ends, with room beyond marks at its free ends.
    fn span(&self, clearance: f64) -> [f64; 2] {
        let beyond = |end: usize| {
            if self.nodes[end].is_none() && self.marked[end] {
                clearance
            } else {
                0.0
            }
        };
        [self.from - beyond(0), self.to + beyond(1)]
    }
}

/// A run up to its outermost crossings where what lies beyond is short, or within the run that it crosses.
fn without_short_ends(run: &Run, runs: &[Run], cells: [Size; 2]) -> Run {
    let sides = cells.iter().flat_map(|cell| [cell.width, cell.height]);
    let short = SHORT_END * sides.fold(f64::INFINITY, f64::min);
    let mut part = *run;
    for other in runs {
        let Some(place) = crossing(run, other).map(|at| run.axis.of(at)) else {
            continue;
        };
        let short = short.max(other.half + SAME_DRAWN_MM);
        if place - run.from <= short {
            part.from = part.from.max(place);
        }
        if run.to - place <= short {
            part.to = part.to.min(place);
        }
    }
    part.from = part.from.min(part.to);
    part
}

/// Where two runs of different axes meet.
fn crossing(one: &Run, other: &Run) -> Option<Point> {
    let (along, across) = if one.axis == Axis::Along {
        (one, other)
    } else {
        (other, one)
    };
    let on = |run: &Run, place: f64| {
        run.from - SAME_DRAWN_MM <= place && place <= run.to + SAME_DRAWN_MM
    };
    let meet = one.axis != other.axis && on(along, across.at) && on(across, along.at);
    meet.then(|| Point::new(across.at, along.at))
}

fn stretches(index: usize, run: &Run, nodes: &[Node]) -> Vec<Stretch> {
    let mut on: Vec<(f64, usize)> = nodes
        .iter()
        .enumerate()
        .filter(|(_, node)| node.runs.contains(&index))
        .map(|(number, node)| (run.axis.of(node.at), number))
        .collect();
    on.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut cuts: Vec<(f64, Option<usize>)> = vec![(run.from, None)];
    cuts.extend(on.into_iter().map(|(place, node)| (place, Some(node))));
    cuts.push((run.to, None));
    let between = cuts
        .windows(2)
        .filter(|pair| pair[1].0 - pair[0].0 > MARK_HALF_MM || pair.iter().all(|p| p.1.is_none()));
    between
        .map(|pair| Stretch {
            run: index,
            from: pair[0].0,
            to: pair[1].0,
            nodes: [pair[0].1, pair[1].1],
            marked: run.marked,
        })
        .collect()
}

#[cfg(test)]
mod tests;
