//! Sheets placed freely, the fewest that show the layout.
//!
//! What no sheet can show together is covered part by part: a network of strips exactly (`network`),
//! anything else by a search that proves how good it is (`island`). The numbers add up, and so do the
//! bounds.

use kurbo::{Point, Rect, Size};

use super::{
    Content, CoverError, Heading, Mode, SheetFormat, SheetPlan,
    cores::Cores,
    grid, island,
    joints::Join,
    label::label,
    lay::{ChosenCell, lay},
    network::{FreeCell, Network},
};

/// Distance in mm that marks at crossings and ends of strips keep from a cell's edge where that
/// costs no sheet: the mark's cross is then not cut in two.
const MARK_CLEARANCE_MM: f64 = 20.0;

/// Lays the sheets. A letter stands for a strip or an island, and its sheets are numbered from its
/// front or its left.
pub(super) fn cover(content: &Content, format: &SheetFormat) -> Result<SheetPlan, CoverError> {
    let sizes = Heading::ALL.map(|heading| format.cell(heading));
    let cores = Cores::of(content, format.overlap);
    let (mut groups, mut lower_bound) = (Vec::new(), 0);
    for part in cores.parts(&sizes) {
        let (cells, bound) = of_part(&part, &content.marks, sizes);
        groups.extend(cells);
        lower_bound += bound;
    }
    if groups.is_empty() {
        return Err(CoverError::Nothing);
    }
    order(&mut groups);
    let plan = lay(chosen(&groups), format, Mode::Lines, content, Join::Content);
    Ok(SheetPlan { lower_bound, ..plan })
}

/// Groups of cells over a part, and its bound.
fn of_part(part: &Cores, marks: &[Point], sizes: [Size; 2]) -> (Vec<Vec<FreeCell>>, usize) {
    if let Some(found) = of_network(part, sizes) {
        return found;
    }
    let answer = island::cover(part, sizes);
    let mut cells = answer.cells;
    if cells.len() > answer.lower_bound {
        let grid = grid::fewest(&part.polygons(), marks, sizes);
        if grid.len() < cells.len() {
            cells = grid.into_iter().map(|(cell, heading)| FreeCell { cell, heading, first: false }).collect();
            island::sort(&mut cells);
        }
    }
    (vec![cells], answer.lower_bound)
}

fn of_network(part: &Cores, sizes: [Size; 2]) -> Option<(Vec<Vec<FreeCell>>, usize)> {
    let network = Network::of(part, sizes)?;
    let lower_bound = network.lower_bound()?;
    let count = |groups: &Vec<Vec<FreeCell>>| groups.iter().map(Vec::len).sum::<usize>();
    let roomy = network.cover(MARK_CLEARANCE_MM);
    if roomy.as_ref().is_some_and(|groups| count(groups) == lower_bound) {
        return Some((roomy?, lower_bound));
    }
    let tight = network.cover(0.0);
    let best = roomy.into_iter().chain(tight).min_by_key(count)?;
    Some((best, lower_bound))
}

/// Strips along the vehicle from its left to its right, then the others from its front to its rear.
fn order(groups: &mut [Vec<FreeCell>]) {
    let extent =
        |group: &[FreeCell]| group.iter().map(|cell| cell.cell).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
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

/// Labels, and the order of laying: sheets with crossings first, then those between them, so that
/// these lie over them at both ends and errors of joints end there.
fn chosen(groups: &[Vec<FreeCell>]) -> Vec<ChosenCell> {
    let cells: Vec<(String, &FreeCell)> = groups
        .iter()
        .enumerate()
        .flat_map(|(row, group)| group.iter().enumerate().map(move |(column, cell)| (label(row, column), cell)))
        .collect();
    let firsts = cells.iter().filter(|(_, cell)| cell.first).count();
    let (mut first, mut later) = (0..firsts, firsts..cells.len());
    cells
        .into_iter()
        .map(|(label, cell)| ChosenCell {
            label,
            cell: cell.cell,
            heading: cell.heading,
            laid: if cell.first { first.next() } else { later.next() }.unwrap_or(0),
        })
        .collect()
}
