//! Sheets placed freely, the fewest that show the layout.
//!
//! What no sheet can show together is covered part by part: a network of strips exactly (`network`),
//! anything else by a search that proves how good it is (`island`). The numbers add up, and so do the
//! bounds.
//!
//! Strips side by side are also tried as one bundle, with the longest open network among them as
//! bound; there gaps can be large. Rejected: one programme over a grid of positions, whose optimum
//! is only as good as its step.

use kurbo::{Point, Rect, Size};

use super::{
    Content, CoverError, Heading, Mode, SheetFormat, SheetPlan,
    content::{MARK_CLEARANCE_MM, MARK_HALF_MM, meets},
    cores::{Cores, Run},
    error::refuse_many,
    grid, island,
    joints::Join,
    lay::{ChosenCell, lay},
    network::{FreeCell, Network},
};
use crate::plan::corners;

/// With more runs than this a part is no island: its search would take seconds and end early.
const MOST_RUNS_OF_AN_ISLAND: usize = 5;

/// Cells over all content, strip by strip and island by island, and a number that no cover goes below.
pub(super) struct FreeCover {
    groups: Vec<Vec<FreeCell>>,
    pub lower_bound: usize,
}

/// Chooses the cells.
pub(super) fn choose(content: &Content, format: &SheetFormat) -> FreeCover {
    let sizes = Heading::ALL.map(|heading| format.cell(heading));
    let mut choice = FreeCover {
        groups: Vec::new(),
        lower_bound: 0,
    };
    for part in Cores::of(content).parts(&sizes) {
        let (groups, lower_bound) = of_part(&part, content, format);
        choice.groups.extend(groups);
        choice.lower_bound += lower_bound;
    }
    order(&mut choice.groups);
    choice
}

/// Cells of a grid over content that is too large for a search.
///
/// # Errors
/// More cells than anyone could lay.
pub(super) fn of_large(
    content: &Content,
    sizes: [Size; 2],
    lower_bound: usize,
) -> Result<FreeCover, CoverError> {
    refuse_many(lower_bound)?;
    let whole = Cores::of(content);
    let cells = of_grid(&whole, content, sizes);
    refuse_many(cells.len())?;
    let mut groups = by_run(&cells, &whole);
    order(&mut groups);
    Ok(FreeCover {
        groups,
        lower_bound,
    })
}

/// Lays a sheet on each chosen cell. A letter stands for a strip or an island, and its sheets are
/// numbered from its front or its left.
pub(super) fn cover(choice: &FreeCover, content: &Content, format: &SheetFormat) -> SheetPlan {
    lay(
        chosen(&choice.groups, content),
        format,
        Mode::Lines,
        content,
        Join::Content,
    )
}

/// Groups of cells over a part, and its bound.
fn of_part(part: &Cores, content: &Content, format: &SheetFormat) -> (Vec<Vec<FreeCell>>, usize) {
    let sizes = Heading::ALL.map(|heading| format.cell(heading));
    let mut lower_bound = open_bound(&part.runs, sizes).unwrap_or(1);
    let mut best: Option<Vec<Vec<FreeCell>>> = None;
    let mut consider = |groups: Option<Vec<Vec<FreeCell>>>| {
        let better = |groups: &Vec<Vec<FreeCell>>| {
            best.as_ref().is_none_or(|best| count(groups) < count(best))
                && hang_together(groups, part, content, format)
        };
        best = groups.filter(better).or_else(|| best.take());
        best.as_ref().map_or(usize::MAX, |best| count(best))
    };
    let sides = [sizes[0].width, sizes[0].height];
    let narrow = bundles(&part.runs, sides[0].min(sides[1]));
    let wide = bundles(&part.runs, sides[0].max(sides[1]));
    let alike = |one: &[Run], other: &[Run]| {
        one.len() == other.len() && one.iter().all(|run| other.contains(run))
    };
    let mut tried: Vec<&[Run]> = Vec::new();
    for runs in [&part.runs, &narrow, &wide] {
        if tried.iter().any(|known| alike(known, runs)) {
            continue;
        }
        tried.push(runs);
        for clearance in [MARK_CLEARANCE_MM, MARK_HALF_MM] {
            if consider(of_network(part, runs, clearance, sizes)) <= lower_bound {
                return (best.unwrap_or_default(), lower_bound);
            }
        }
    }
    if part.runs.len() <= MOST_RUNS_OF_AN_ISLAND && island::is_small(&part.polygons(), sizes) {
        let island = island::cover(part, sizes);
        lower_bound = lower_bound.max(island.lower_bound);
        consider(Some(vec![island.cells]));
    }
    if consider(None) > lower_bound {
        consider(Some(vec![of_grid(part, content, sizes)]));
    }
    // Cells of a grid show everything, if in strange cases joined at corners alone.
    let best = best.unwrap_or_else(|| vec![of_grid(part, content, sizes)]);
    (
        if best.len() == 1 {
            by_run(&best[0], part)
        } else {
            best
        },
        lower_bound,
    )
}

fn of_grid(part: &Cores, content: &Content, sizes: [Size; 2]) -> Vec<FreeCell> {
    let grid = grid::fewest(&part.polygons(), &content.marks, sizes).into_iter();
    let mut cells: Vec<_> = grid
        .map(|(cell, heading)| FreeCell {
            cell,
            heading,
            first: false,
        })
        .collect();
    island::sort(&mut cells);
    cells
}

/// True when the sheets on which some piece of the layout lies are joined, one to the other.
fn hang_together(
    groups: &[Vec<FreeCell>],
    part: &Cores,
    content: &Content,
    format: &SheetFormat,
) -> bool {
    let plan = lay(
        chosen(groups, content),
        format,
        Mode::Lines,
        content,
        Join::Content,
    );
    let joined = plan.groups();
    let kept: Vec<Rect> = groups.concat().iter().map(|cell| cell.cell).collect();
    let polygons = part.polygons();
    let on = |polygon: &[Point]| {
        (0..kept.len())
            .filter(|&index| meets(polygon, kept[index]))
            .collect::<Vec<_>>()
    };
    polygons.iter().all(|polygon| {
        let on = on(polygon);
        joined
            .iter()
            .filter(|group| on.iter().any(|index| group.contains(index)))
            .count()
            <= 1
    })
}

/// Cells shared out to the runs through them, the longest first; those on none stay together.
fn by_run(cells: &[FreeCell], part: &Cores) -> Vec<Vec<FreeCell>> {
    let mut runs = part.runs.clone();
    runs.sort_by(|a, b| (b.to - b.from).total_cmp(&(a.to - a.from)));
    let mut rest = cells.to_vec();
    let mut groups = Vec::new();
    for run in runs {
        let polygon = corners(run.rect());
        let (mut on, off): (Vec<_>, Vec<_>) = rest
            .into_iter()
            .partition(|cell| meets(&polygon, cell.cell));
        on.sort_by(|a, b| {
            run.axis
                .of(b.cell.center())
                .total_cmp(&run.axis.of(a.cell.center()))
        });
        groups.push(on);
        rest = off;
    }
    groups.push(rest);
    groups.retain(|group| !group.is_empty());
    groups
}

fn count(groups: &[Vec<FreeCell>]) -> usize {
    groups.iter().map(Vec::len).sum()
}

/// A number that no cover of the runs goes below: of as many of them, the longest first, as make an open
/// network. What covers all of them covers these.
fn open_bound(runs: &[Run], sizes: [Size; 2]) -> Option<usize> {
    let mut sorted = runs.to_vec();
    sorted.sort_by(|a, b| (b.to - b.from).total_cmp(&(a.to - a.from)));
    let mut open: Vec<Run> = Vec::new();
    for run in sorted {
        open.push(run);
        if !Network::of(&open, sizes).is_open() {
            open.pop();
        }
    }
    let network = Network::of(&open, sizes);
    if open.is_empty() || network.is_too_large() {
        None
    } else {
        network.lower_bound()
    }
}

/// Runs that lie side by side within `widest` mm as one run; runs that end in it reach its middle.
fn bundles(runs: &[Run], widest: f64) -> Vec<Run> {
    let mut sorted = runs.to_vec();
    sorted.sort_by(|a, b| a.axis.cmp(&b.axis).then(a.at.total_cmp(&b.at)));
    let mut bundled: Vec<Run> = Vec::new();
    for run in sorted {
        let joined = bundled.iter_mut().find_map(|other| {
            let bundle = other.beside(&run);
            let fits = other.axis == run.axis && other.from <= run.to && run.from <= other.to;
            (fits && 2.0 * bundle.half <= widest).then_some((other, bundle))
        });
        match joined {
            Some((other, bundle)) => *other = bundle,
            None => bundled.push(run),
        }
    }
    let across = bundled.clone();
    for run in &mut bundled {
        for other in across.iter().filter(|other| other.axis != run.axis) {
            let (one, two) = (run.rect(), other.rect());
            if one.x0 <= two.x1 && two.x0 <= one.x1 && one.y0 <= two.y1 && two.y0 <= one.y1 {
                run.from = run.from.min(other.at);
                run.to = run.to.max(other.at);
            }
        }
    }
    bundled
}

/// Cells over a network of runs, completed where they leave anything of the part bare.
fn of_network(
    part: &Cores,
    runs: &[Run],
    clearance: f64,
    sizes: [Size; 2],
) -> Option<Vec<Vec<FreeCell>>> {
    let network = Network::of(runs, sizes);
    if runs.is_empty() || network.is_too_large() || !island::is_small(&part.patches, sizes) {
        return None;
    }
    let mut groups = network.cover(clearance)?;
    let polygons = part.polygons();
    let mut more = groups.concat();
    island::complete(&mut more, &polygons, sizes);
    for group in &mut groups {
        group.retain(|cell| more.contains(cell));
    }
    groups.push(
        more.into_iter()
            .filter(|cell| !groups.concat().contains(cell))
            .collect(),
    );
    groups.retain(|group| !group.is_empty());
    Some(groups)
}

/// Strips along the vehicle from its left to its right, then the others from its front to its rear.
fn order(groups: &mut [Vec<FreeCell>]) {
    let extent = |group: &[FreeCell]| {
        group
            .iter()
            .map(|cell| cell.cell)
            .reduce(|a, b| a.union(b))
            .unwrap_or(Rect::ZERO)
    };
    groups.sort_by(|a, b| {
        let (a, b) = (extent(a), extent(b));
        let lengthwise = |rect: Rect| rect.width() > rect.height();
        match (lengthwise(a), lengthwise(b)) {
            (true, true) => b.y1.total_cmp(&a.y1).then(b.x1.total_cmp(&a.x1)),
            (false, false) => b.x1.total_cmp(&a.x1).then(b.y1.total_cmp(&a.y1)),
            (one, _) => (!one).cmp(&one),
        }
    });
}

/// The order of laying: sheets with the marks that all tapes start from, then those of the layout's corners, then others with
/// crossings, then those between them, so that these lie over them at both ends and errors of joints end there.
fn chosen(groups: &[Vec<FreeCell>], content: &Content) -> Vec<ChosenCell> {
    let (base, corners) = (content.base(), content.corners());
    let mut cells: Vec<&FreeCell> = groups.iter().flatten().collect();
    let holds = |cell: &FreeCell, marks: &[Point]| {
        let first = marks.iter().position(|mark| cell.cell.contains(*mark));
        first.unwrap_or(marks.len())
    };
    cells.sort_by_key(|cell| {
        let corner = if cell.first { holds(cell, &corners) } else { 0 };
        (holds(cell, &base), !cell.first, corner)
    });
    let cells = cells.into_iter().map(|cell| ChosenCell {
        cell: cell.cell,
        heading: cell.heading,
    });
    cells.collect()
}

#[cfg(test)]
mod tests {
    use kurbo::Line;

    use super::*;
    use crate::{
        cover::{content::Strip, island::bare},
        paper::{Correction, Margins, Paper},
        plan::bounds,
    };

    fn format() -> SheetFormat {
        let paper = Paper {
            name: "A4".into(),
            width: 210.0,
            height: 297.0,
        };
        SheetFormat {
            paper,
            margins: Margins::default(),
            overlap: 10.0,
            correction: Correction::default(),
        }
    }

    fn content(strips: Vec<Strip>) -> Content {
        let band = |strip: &Strip| {
            let along = bounds(&[strip.axis.p0, strip.axis.p1]);
            let half = strip.width / 2.0;
            let (x, y) = if along.height() == 0.0 {
                (0.0, half)
            } else {
                (half, 0.0)
            };
            corners(along.inflate(x, y)).to_vec()
        };
        let regions = strips.iter().map(band).collect();
        let marks = strips
            .iter()
            .flat_map(|strip| [strip.axis.p0, strip.axis.p1])
            .collect();
        Content {
            regions,
            marks,
            strips,
            ..Content::default()
        }
    }

    /// Marsaglia's xorshift, so that the layouts are the same on every machine.
    fn random(state: &mut u64, below: u64) -> u64 {
        *state ^= *state << 13;
        *state ^= *state >> 7;
        *state ^= *state << 17;
        *state % below
    }

    /// Two to four strips along and two to four across between them, some of them close together.
    fn layout(seed: u64) -> Content {
        let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        let mut places = |count: u64| {
            let mut at = 0.0;
            let steps = (0..count).map(|_| {
                at += if random(&mut state, 4) == 0 {
                    40.0
                } else {
                    500.0
                } + random(&mut state, 900) as f64;
                at
            });
            steps.collect::<Vec<f64>>()
        };
        let (ys, xs) = (places(2 + seed % 3), places(2 + seed / 3 % 3));
        let width = |index: usize| [25.0, 50.0, 60.0][index % 3];
        let mut strips: Vec<Strip> = ys
            .iter()
            .enumerate()
            .map(|(i, &y)| Strip {
                axis: Line::new((xs[0], y), (xs[xs.len() - 1], y)),
                width: width(i),
            })
            .collect();
        strips.extend(xs.iter().enumerate().map(|(i, &x)| {
            let low = if i == 0 {
                0
            } else {
                (random(&mut state, 2) as usize).min(ys.len() - 2)
            };
            Strip {
                axis: Line::new((x, ys[low]), (x, ys[ys.len() - 1])),
                width: width(i + 1),
            }
        }));
        content(strips)
    }

    #[test]
    fn random_layouts_are_covered_in_chains_within_the_bound_and_never_by_more_than_a_grid() {
        for seed in 0..12 {
            let content = layout(seed);
            let choice = choose(&content, &format());
            let plan = cover(&choice, &content, &format());
            let kept: Vec<Rect> = (0..plan.sheets.len())
                .map(|index| plan.kept_floor(index))
                .collect();
            assert!(
                bare(&content.regions, kept.iter().copied()).is_empty(),
                "seed {seed}: something is bare"
            );
            let grid = grid::cover(&content, &format(), Mode::Grid).unwrap();
            assert!(
                choice.lower_bound <= plan.sheets.len() && plan.sheets.len() <= grid.sheets.len(),
                "seed {seed}"
            );
            assert_eq!(
                plan.groups().len(),
                1,
                "seed {seed}: its strips all cross, its sheets hang together"
            );
        }
    }
}
