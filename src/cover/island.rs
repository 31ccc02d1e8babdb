//! The fewest cells over a part of any shape: panels, slanting strips, strips close together.
//!
//! Some points of the part are picked, and the fewest cells that hold these points are found. A cell
//! that holds points can be moved until its left and its lower edge each touch one of them, so trying
//! those positions alone is enough: the number is exact for the points, wherever cells may lie, and
//! **no cover of the whole part can have fewer**. If the cells, moved within the room that their points
//! leave them, cover the whole part, it is the answer. If not, points of what is bare join the others,
//! and the search goes on. Where it does not come to an end, the last number is the bound, and cells
//! are added over what is bare.

use std::cmp::Ordering;

use kurbo::{Point, Rect, Size, Vec2};

use super::{
    Heading,
    content::MARK_CLEARANCE_MM,
    cores::{Cores, clipped},
    network::FreeCell,
    programme::fewest_sets,
};
use crate::{plan::bounds, units::SAME_DRAWN_MM};

/// Points after which the search is given up: the programme grows with their square.
const MOST_POINTS: usize = 160;

/// Corners of one polygon that the search begins with at most.
const MOST_CORNERS: usize = 32;

/// Length of all parts together, in cells, beyond which no search is begun.
const MOST_CELLS: f64 = 60.0;

/// Rounds after which the search is given up.
const MOST_ROUNDS: usize = 12;

/// Positions of a cell within the room that its points leave it, from its one end to its other; the
/// first of equals is taken.
const SLIDES: [f64; 9] = [0.5, 0.375, 0.625, 0.25, 0.75, 0.125, 0.875, 0.0, 1.0];

/// A cover of a part with a number that no other goes below.
pub(super) struct Answer {
    pub cells: Vec<FreeCell>,
    pub lower_bound: usize,
}

/// A cell with the room in which it may be moved.
#[derive(Clone, Copy, Debug)]
struct Loose {
    heading: Heading,
    size: Size,
    /// Least and greatest place of its lower left corner.
    low: Point,
    high: Point,
    at: Point,
}

/// Covers a part.
pub(super) fn cover(part: &Cores, sizes: [Size; 2]) -> Answer {
    let polygons = part.polygons();
    let mut points: Vec<Point> = Vec::new();
    polygons
        .iter()
        .flat_map(|polygon| first_points(polygon))
        .for_each(|point| add(&mut points, point));
    let mut lower_bound = 1;
    let mut best: Vec<Loose> = Vec::new();
    for _ in 0..MOST_ROUNDS {
        let Some(loose) = over_points(&points, sizes) else {
            break;
        };
        lower_bound = lower_bound.max(loose.len());
        best = settled(loose, &polygons, part);
        let bare = bare(&polygons, best.iter().map(Loose::cell));
        if bare.is_empty() || points.len() + bare.len() > MOST_POINTS {
            break;
        }
        bare.iter()
            .for_each(|piece| add(&mut points, centre(piece)));
    }
    let mut cells: Vec<FreeCell> = best.iter().map(Loose::free).collect();
    complete(&mut cells, &polygons, sizes);
    sort(&mut cells);
    Answer { cells, lower_bound }
}

/// Corners of a polygon to begin with: all, or some of the many of a disc.
fn first_points(polygon: &[Point]) -> impl Iterator<Item = Point> + '_ {
    polygon
        .iter()
        .copied()
        .step_by(polygon.len().div_ceil(MOST_CORNERS))
}

/// True where the search has hope: with more points to begin with, or over more floor, it would end early.
pub(super) fn is_small(polygons: &[Vec<Point>], sizes: [Size; 2]) -> bool {
    let points: usize = polygons
        .iter()
        .map(|polygon| first_points(polygon).count())
        .sum();
    let length: f64 = polygons
        .iter()
        .map(|polygon| bounds(polygon).size().to_vec2().hypot())
        .sum();
    points <= MOST_POINTS && length <= MOST_CELLS * sizes[0].width.max(sizes[0].height)
}

/// Adds a point unless it is there already.
fn add(points: &mut Vec<Point>, point: Point) {
    if points
        .iter()
        .all(|other| other.distance(point) > SAME_DRAWN_MM)
    {
        points.push(point);
    }
}

/// The fewest cells that hold all points.
fn over_points(points: &[Point], sizes: [Size; 2]) -> Option<Vec<Loose>> {
    let mut cells: Vec<(Vec<usize>, Loose)> = Vec::new();
    for (heading, size) in Heading::ALL.into_iter().zip(sizes) {
        for left in points {
            for low in points
                .iter()
                .filter(|low| (low.x - left.x) >= 0.0 && left.y - low.y >= 0.0)
            {
                let cell = Rect::from_origin_size((left.x, low.y), size)
                    .inflate(SAME_DRAWN_MM / 2.0, SAME_DRAWN_MM / 2.0);
                let held: Vec<usize> = (0..points.len())
                    .filter(|&index| cell.contains(points[index]))
                    .collect();
                if !held.is_empty() {
                    let around =
                        bounds(&held.iter().map(|&index| points[index]).collect::<Vec<_>>());
                    cells.push((held, Loose::about(around, heading, size)));
                }
            }
        }
    }
    cells.sort_by(|(a, _), (b, _)| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
    cells.dedup_by(|(a, _), (b, _)| a == b);
    let mut kept: Vec<(Vec<usize>, Loose)> = Vec::new();
    for (held, loose) in cells {
        let within = |other: &[usize]| held.iter().all(|index| other.binary_search(index).is_ok());
        if !kept.iter().any(|(other, _)| within(other)) {
            kept.push((held, loose));
        }
    }
    let (sets, loose): (Vec<_>, Vec<_>) = kept.into_iter().unzip();
    Some(
        fewest_sets(&sets, points.len())?
            .into_iter()
            .map(|index| loose[index])
            .collect(),
    )
}

/// Cells moved, one after the other, to where least stays bare; among such places to where marks keep
/// off their edges. Cells over panels also move apart; along strips the middle of their room gives
/// longer seams.
fn settled(mut cells: Vec<Loose>, polygons: &[Vec<Point>], part: &Cores) -> Vec<Loose> {
    let apart = part.runs.is_empty();
    for index in (0..cells.len()).cycle().take(2 * cells.len()) {
        let others: Vec<Rect> = cells
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != index)
            .map(|(_, cell)| cell.cell())
            .collect();
        let left = bare(polygons, others.iter().copied());
        let places = SLIDES
            .iter()
            .flat_map(|&x| SLIDES.map(|y| cells[index].slid(x, y)));
        let price = |cell: &Loose| {
            let rest: f64 = bare(&left, std::iter::once(cell.cell()))
                .iter()
                .map(|piece| measure(piece))
                .sum();
            let shared: f64 = others
                .iter()
                .map(|other| other.intersect(cell.cell()).area())
                .sum();
            let lack = part
                .points
                .iter()
                .map(|mark| lack(cell.cell(), *mark))
                .sum();
            [rest, lack, if apart { shared } else { 0.0 }]
        };
        let priced = places.map(|place| (price(&place), place));
        let order = |a: &[f64; 3], b: &[f64; 3]| a.partial_cmp(b).unwrap_or(Ordering::Equal);
        let best = priced.min_by(|(a, _), (b, _)| order(a, b));
        cells[index] = best.map_or(cells[index], |(_, place)| place);
    }
    cells
}

/// What a mark lacks in distance from a cell's edges, mm.
fn lack(cell: Rect, mark: Point) -> f64 {
    let reach = cell.inflate(MARK_CLEARANCE_MM, MARK_CLEARANCE_MM);
    if !reach.contains(mark) {
        return 0.0;
    }
    let away = [
        mark.x - cell.x0,
        cell.x1 - mark.x,
        mark.y - cell.y0,
        cell.y1 - mark.y,
    ];
    away.iter()
        .map(|distance| (MARK_CLEARANCE_MM - distance.abs()).max(0.0))
        .sum()
}

/// Adds cells until nothing is bare, each where it covers most, and drops those that are not needed.
pub(super) fn complete(cells: &mut Vec<FreeCell>, polygons: &[Vec<Point>], sizes: [Size; 2]) {
    loop {
        let left = bare(polygons, cells.iter().map(|cell| cell.cell));
        let Some(first) = left.first() else { break };
        let corner = bounds(first);
        let places = Heading::ALL
            .into_iter()
            .zip(sizes)
            .flat_map(|(heading, size)| {
                let starts = [
                    corner.origin(),
                    Point::new(corner.x1 - size.width, corner.y0),
                    Point::new(corner.x0, corner.y1 - size.height),
                    Point::new(corner.x1, corner.y1) - size.to_vec2(),
                    corner.center() - size.to_vec2() / 2.0,
                ];
                starts.map(|start| FreeCell {
                    cell: Rect::from_origin_size(start, size),
                    heading,
                    first: false,
                })
            });
        let rest = |place: &FreeCell| {
            bare(&left, std::iter::once(place.cell))
                .iter()
                .map(|p| measure(p))
                .sum::<f64>()
        };
        let best = places.min_by(|a, b| rest(a).total_cmp(&rest(b)));
        cells.extend(best);
    }
    let mut index = 0;
    while index < cells.len() {
        let others = cells
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != index)
            .map(|(_, cell)| cell.cell);
        if bare(polygons, others).is_empty() {
            cells.remove(index);
        } else {
            index += 1;
        }
    }
}

/// From the front, and from the left where two begin alike; the first one is laid first.
pub(super) fn sort(cells: &mut [FreeCell]) {
    cells.sort_by(|a, b| {
        b.cell
            .x1
            .total_cmp(&a.cell.x1)
            .then(b.cell.y1.total_cmp(&a.cell.y1))
    });
    for (index, cell) in cells.iter_mut().enumerate() {
        cell.first = index == 0;
    }
}

/// What of convex polygons lies on none of the cells, as convex polygons.
pub(super) fn bare(polygons: &[Vec<Point>], cells: impl Iterator<Item = Rect>) -> Vec<Vec<Point>> {
    cells.fold(polygons.to_vec(), |left, cell| {
        left.iter()
            .flat_map(|polygon| outside(polygon, cell))
            .collect()
    })
}

/// What of a convex polygon lies outside a rectangle: left of it, right of it, below and above.
fn outside(polygon: &[Point], rect: Rect) -> Vec<Vec<Point>> {
    let around = bounds(polygon);
    if around.x1 < rect.x0 || rect.x1 < around.x0 || around.y1 < rect.y0 || rect.y1 < around.y0 {
        return vec![polygon.to_vec()];
    }
    // A sliver thinner than rounding is not bare.
    let (low, high) = (
        Point::new(rect.x0 - SAME_DRAWN_MM, rect.y0 - SAME_DRAWN_MM),
        Point::new(rect.x1 + SAME_DRAWN_MM, rect.y1 + SAME_DRAWN_MM),
    );
    let (left, down) = (Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0));
    let between = clipped(&clipped(polygon, low, -left), high, left);
    let pieces = [
        clipped(polygon, low, left),
        clipped(polygon, high, -left),
        clipped(&between, low, down),
        clipped(&between, high, -down),
    ];
    pieces
        .into_iter()
        .filter(|piece| !piece.is_empty())
        .collect()
}

/// How much a bare piece weighs: its extent, so that a thin one is not overlooked.
fn measure(piece: &[Point]) -> f64 {
    let around = bounds(piece);
    1.0 + around.width() + around.height() + around.area()
}

fn centre(piece: &[Point]) -> Point {
    let sum = piece
        .iter()
        .fold(Vec2::ZERO, |sum, point| sum + point.to_vec2());
    (sum / piece.len() as f64).to_point()
}

impl Loose {
    /// A cell that has to hold a rectangle, in the middle of its room.
    fn about(held: Rect, heading: Heading, size: Size) -> Self {
        let (low, high) = (
            Point::new(held.x1 - size.width, held.y1 - size.height),
            held.origin(),
        );
        Self {
            heading,
            size,
            low,
            high,
            at: low.midpoint(high),
        }
    }

    fn slid(self, x: f64, y: f64) -> Self {
        let room = self.high - self.low;
        Self {
            at: self.low + Vec2::new(room.x * x, room.y * y),
            ..self
        }
    }

    fn cell(&self) -> Rect {
        Rect::from_origin_size(self.at, self.size)
    }

    fn free(&self) -> FreeCell {
        FreeCell {
            cell: self.cell(),
            heading: self.heading,
            first: false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::corners;

    /// Cells of 300 × 200 mm.
    const CELLS: [Size; 2] = [Size::new(300.0, 200.0), Size::new(200.0, 300.0)];

    fn answer(patches: Vec<Vec<Point>>) -> (usize, usize) {
        let part = Cores {
            patches,
            ..Cores::default()
        };
        let answer = cover(&part, CELLS);
        assert!(bare(&part.polygons(), answer.cells.iter().map(|cell| cell.cell)).is_empty());
        (answer.cells.len(), answer.lower_bound)
    }

    fn rect(width: f64, height: f64) -> Vec<Point> {
        corners(Rect::new(0.0, 0.0, width, height)).to_vec()
    }

    #[test]
    fn a_square_a_little_longer_than_a_cell_takes_four_since_no_cell_holds_two_corners() {
        assert_eq!(answer(vec![rect(310.0, 310.0)]), (4, 4));
        assert_eq!(answer(vec![rect(300.0, 390.0)]), (2, 2));
    }

    #[test]
    fn cells_may_lie_both_ways_round_a_square() {
        // 500 × 500 mm in a pinwheel of four, 300 × 200 each, leaves a hole of 100 × 100 in its middle:
        // five cells; a grid would take six.
        assert_eq!(answer(vec![rect(500.0, 500.0)]), (5, 5));
    }

    #[test]
    fn a_slanting_strip_is_covered_and_its_bound_holds() {
        let strip = [(0.0, 0.0), (20.0, -20.0), (820.0, 580.0), (800.0, 600.0)]
            .map(Point::from)
            .to_vec();
        let (count, bound) = answer(vec![strip]);
        assert!(bound <= count && count <= bound + 1, "{count} {bound}");
    }
}
