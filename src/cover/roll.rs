//! Strips of a roll: lanes along or across the vehicle, printed only where something lies.
//!
//! The floor is divided into *lanes* as wide as a cell of the roll; what lies in a lane is printed as
//! *pieces*, each a page of its own length. A lane is broken where nothing lies on it for long, and where
//! a page would be longer than a PDF page may be. Both directions and many offsets are tried; the least
//! paper wins, and among equals the fewest pages.
//!
//! Here a point's x runs along the lanes and its y across them.
//!
//! A piece goes through `SheetFormat::sheet`, so joints, cuts and drawings know nothing of rolls
//! but the lettering. Lengths are compared in steps of 10 mm so that marks are kept off seams.
//! `PlacedSheet::paper` is a page's size, `SheetFormat::paper` of a roll the longest. Rejected:
//! long strips for their own sake; a rail along the roll takes its whole width for a band of 50 mm.

use std::cmp::Ordering;

use kurbo::{Point, Rect, Size};

use super::{
    Content, CoverError, Heading, Mode, RollUse, SheetFormat, SheetPlan,
    bound::lower_bound,
    error::{refuse_long, refuse_many, refuse_small},
    grid::{few_of, offsets},
    joints::{Join, join},
    lay::ChosenCell,
    roll_bound::least_length,
};
use crate::{
    paper::Paper,
    plan::{bounds, corners},
    units::ROUND_OFF_MM,
};

/// Floor in mm that is printed beyond the ends of what lies on a lane: the arms of a mark's cross.
const CLEAR_MM: f64 = 10.0;

/// A piece more has to be printed, cut off, and laid by the tape: it must save this much paper, mm
/// (judgement, no source).
const WORTH_MM: f64 = 300.0;

/// Least length of a cell, mm: with the overlap, a check square and its lettering.
const LEAST_CELL_MM: f64 = 130.0;

/// Blank floor between two lanes, mm, from which the second is moved up to where something begins. Below, their
/// pages' edges would lie on each other without being joined.
const LEAST_GAP_MM: f64 = 80.0;

/// A mark nearer to a seam than this, mm, is cut in two by it: half the cross and its name.
const MARK_CLEARANCE_MM: f64 = 20.0;

/// Step in mm by which the end of a piece is moved off marks, and how far at most.
const END_STEP_MM: f64 = 5.0;
const END_REACH_MM: f64 = 150.0;

/// Lengths of paper are compared in steps of this, mm: for less, no mark has to be cut in two.
const LENGTH_STEP_MM: f64 = 10.0;

/// Lays strips of a roll over all content. The format's paper is the roll at the greatest length of a page;
/// `widest_line` is the width of the widest tape strip, mm.
///
/// # Errors
/// [`CoverError`] when the roll is too narrow for its margins, for a tape strip or for a sheet's
/// lettering, or there is nothing to cover.
pub fn cover_roll(
    content: &Content,
    format: &SheetFormat,
    widest_line: f64,
    mode: Mode,
) -> Result<SheetPlan, CoverError> {
    refuse_narrow(format, widest_line)?;
    refuse_small(format)?;
    if content.regions.is_empty() {
        return Err(CoverError::Nothing);
    }
    let bound = lower_bound(content, format);
    refuse_many(bound)?;
    let strips = Heading::ALL
        .into_iter()
        .map(|heading| Strips::best(content, format, heading, mode));
    let strips = strips.min_by(Strips::compare).ok_or(CoverError::Nothing)?;
    let plan = strips.lay(content, format, mode);
    refuse_many(plan.pages)?;
    let length: f64 = plan.sheets.iter().map(|sheet| sheet.paper.height).sum();
    refuse_long(length / 1000.0)?;
    let roll = Some(RollUse {
        length,
        least: least_length(content, format, bound),
    });
    Ok(SheetPlan {
        lower_bound: bound,
        roll,
        ..plan
    })
}

fn refuse_narrow(format: &SheetFormat, line: f64) -> Result<(), CoverError> {
    let printable = format.printable().width();
    if printable <= 0.0 {
        let width = format.paper.width;
        return Err(CoverError::RollMargins {
            width,
            margins: width - printable,
        });
    }
    if printable < line + format.overlap {
        return Err(CoverError::RollNarrow {
            printable,
            line,
            overlap: format.overlap,
        });
    }
    Ok(())
}

/// All lanes of one direction and offset.
#[derive(Debug)]
struct Strips {
    heading: Heading,
    /// By y.
    lanes: Vec<Lane>,
    /// Paper, blank ends included, mm.
    length: f64,
    /// How much marks lack in distance from the lanes' edges, mm in all.
    lack: f64,
}

/// A lane with its pieces as spans along it, by x.
#[derive(Debug)]
struct Lane {
    low: f64,
    pieces: Vec<(f64, f64)>,
}

/// What the roll allows.
struct Shape {
    /// Width of a lane.
    width: f64,
    /// Longest cell.
    longest: f64,
    /// Overlap of two cells, true mm.
    overlap: f64,
    /// Blank ends of a page, page mm.
    blank: f64,
    /// True mm that a page mm along the roll comes out as.
    stretch: f64,
}

impl Shape {
    fn of(format: &SheetFormat) -> Self {
        let Size {
            width,
            height: longest,
        } = format.printable().inset(-format.cut_depth()).size();
        let blank = format.paper.height - format.within_margins().height();
        Self {
            width,
            longest,
            overlap: format.overlap,
            blank,
            stretch: format.correction.lean(1.0).y,
        }
    }

    /// Length of the page that shows a cell of some length, page mm.
    fn page(&self, cell: f64) -> f64 {
        self.blank + (cell + self.overlap) / self.stretch
    }
}

impl Strips {
    /// The strips of a direction with the least paper.
    fn best(content: &Content, format: &SheetFormat, heading: Heading, mode: Mode) -> Self {
        let lanewise = |at: &Point| {
            if heading == Heading::FrontUp {
                *at
            } else {
                Point::new(at.y, at.x)
            }
        };
        let mut parts: Vec<Vec<Point>> = content
            .regions
            .iter()
            .map(|region| region.iter().map(lanewise).collect())
            .collect();
        if mode == Mode::Full {
            parts = vec![corners(bounds(&parts.concat())).to_vec()];
        }
        let marks: Vec<Point> = content.marks.iter().map(lanewise).collect();
        let shape = Shape::of(format);
        let extents = || {
            parts
                .iter()
                .map(|part| bounds(part))
                .map(|around| (around.y0, around.y1))
        };
        let first = extents().map(|(low, _)| low).fold(f64::INFINITY, f64::min) - CLEAR_MM;
        let starts = offsets(extents(), (shape.width, few_of(parts.len())));
        let starts = starts
            .into_iter()
            .map(|offset| first - (first - offset).rem_euclid(shape.width));
        std::iter::once(first)
            .chain(starts)
            .map(|start| Self::from_start(&parts, &marks, &shape, heading, start))
            .min_by(Self::compare)
            .expect("the first start is always tried")
    }

    /// Lanes from `start` on, one beside the other; after a blank stretch of floor the next begins anew.
    fn from_start(
        parts: &[Vec<Point>],
        marks: &[Point],
        shape: &Shape,
        heading: Heading,
        start: f64,
    ) -> Self {
        let extents: Vec<Rect> = parts.iter().map(|part| bounds(part)).collect();
        let mut lanes = Vec::new();
        let mut low = start;
        loop {
            let beyond = extents
                .iter()
                .filter(|around| around.y1 > low + ROUND_OFF_MM);
            let next = beyond
                .map(|around| around.y0.max(low))
                .fold(f64::INFINITY, f64::min);
            if next.is_infinite() {
                break;
            }
            if next - CLEAR_MM > low + LEAST_GAP_MM {
                low = next - CLEAR_MM;
            }
            let slab = (low, low + shape.width);
            let near = marks
                .iter()
                .filter(|mark| slab.0 <= mark.y && mark.y <= slab.1)
                .map(|mark| mark.x);
            let near: Vec<f64> = near.collect();
            let pieces: Vec<_> = runs(parts, slab, shape)
                .into_iter()
                .flat_map(|run| split(run, &near, shape))
                .collect();
            if !pieces.is_empty() {
                lanes.push(Lane { low, pieces });
            }
            low += shape.width;
        }
        let length = lanes
            .iter()
            .flat_map(|lane| &lane.pieces)
            .map(|(from, to)| shape.page(to - from))
            .sum();
        let edges: Vec<f64> = lanes
            .iter()
            .flat_map(|lane| [lane.low, lane.low + shape.width])
            .collect();
        let lack = |mark: &Point| {
            let near = edges
                .iter()
                .map(|edge| (edge - mark.y).abs())
                .fold(f64::INFINITY, f64::min);
            (MARK_CLEARANCE_MM - near).max(0.0)
        };
        Self {
            heading,
            length,
            lack: marks.iter().map(lack).sum(),
            lanes,
        }
    }

    fn pages(&self) -> usize {
        self.lanes.iter().map(|lane| lane.pieces.len()).sum()
    }

    /// Less paper first, then fewer pages, then marks further off the seams.
    fn compare(&self, other: &Self) -> Ordering {
        let steps = |strips: &Self| (strips.length / LENGTH_STEP_MM).round();
        steps(self)
            .total_cmp(&steps(other))
            .then(self.pages().cmp(&other.pages()))
            .then(self.lack.total_cmp(&other.lack))
            .then(self.length.total_cmp(&other.length))
    }

    /// A cell for every piece, in the order of laying: each after those at its right and below it on the page.
    fn cells(&self, width: f64) -> Vec<ChosenCell> {
        let lane = |lane: &Lane| {
            let (low, high) = (lane.low, lane.low + width);
            let cell = |&(from, to): &(f64, f64)| ChosenCell {
                // Up the page is +x or +y, to the right −y or +x.
                cell: match self.heading {
                    Heading::FrontUp => Rect::new(from, low, to, high),
                    Heading::FrontRight => Rect::new(low, from, high, to),
                },
                heading: self.heading,
            };
            lane.pieces.iter().map(cell).collect::<Vec<_>>()
        };
        let lanes = self.lanes.iter().map(lane);
        match self.heading {
            Heading::FrontUp => lanes.flatten().collect(),
            Heading::FrontRight => lanes.rev().flatten().collect(),
        }
    }

    /// Puts a page on every piece.
    fn lay(&self, content: &Content, format: &SheetFormat, mode: Mode) -> SheetPlan {
        let shape = Shape::of(format);
        let page = |height: f64| SheetFormat {
            paper: Paper {
                height,
                ..format.paper.clone()
            },
            ..format.clone()
        };
        let mut sheets = Vec::new();
        for (index, chosen) in self.cells(shape.width).into_iter().enumerate() {
            let along = match self.heading {
                Heading::FrontUp => chosen.cell.width(),
                Heading::FrontRight => chosen.cell.height(),
            };
            sheets.push(page(shape.page(along)).sheet(chosen, index));
        }
        let (joints, registration) = join(&mut sheets, format, content, Join::All);
        let longest = sheets
            .iter()
            .map(|sheet| sheet.paper.height)
            .fold(0.0, f64::max);
        let pages = sheets.len();
        SheetPlan {
            format: page(longest),
            mode,
            sheets,
            joints,
            registration,
            pages,
            lower_bound: 1,
            roll: None,
        }
    }
}

/// The stretches of a lane that are worth printing, each at least as long as the shortest cell, in whole mm.
fn runs(parts: &[Vec<Point>], slab: (f64, f64), shape: &Shape) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = parts.iter().filter_map(|part| span(part, slab)).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut runs: Vec<(f64, f64)> = Vec::new();
    for (from, to) in spans
        .into_iter()
        .map(|(from, to)| (from - CLEAR_MM, to + CLEAR_MM))
    {
        match runs.last_mut() {
            Some(last) if from - last.1 <= shape.page(0.0) + WORTH_MM => last.1 = last.1.max(to),
            _ => runs.push((from, to)),
        }
    }
    let whole = |(from, to): (f64, f64)| {
        let (middle, half) = (
            (from + to) / 2.0,
            (to - from).ceil().max(LEAST_CELL_MM) / 2.0,
        );
        (middle - half, middle + half)
    };
    runs.into_iter().map(whole).collect()
}

/// How far along a lane a convex polygon reaches within it.
fn span(part: &[Point], (low, high): (f64, f64)) -> Option<(f64, f64)> {
    let around = bounds(part);
    if around.y1.min(high) - around.y0.max(low) <= ROUND_OFF_MM {
        return None;
    }
    let next = part.iter().skip(1).chain(part.first());
    let crossings = part.iter().zip(next).flat_map(|(p, q)| {
        [low, high]
            .into_iter()
            .filter(|y| (p.y < *y) != (q.y < *y))
            .map(|y| p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x))
    });
    let within = part
        .iter()
        .filter(|p| low <= p.y && p.y <= high)
        .map(|p| p.x);
    let reach = crossings
        .chain(within)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| {
            (a.min(x), b.max(x))
        });
    (reach.0 <= reach.1).then_some(reach)
}

/// Divides a run into as few cells as their greatest length allows, its ends between them off the marks.
fn split((from, to): (f64, f64), marks: &[f64], shape: &Shape) -> Vec<(f64, f64)> {
    let count = ((to - from) / shape.longest - ROUND_OFF_MM).ceil().max(1.0);
    let each = (to - from) / count;
    // Two neighbouring ends may both move.
    let reach = ((shape.longest - each) / 2.0).min(END_REACH_MM);
    let lack = |x: f64| {
        marks
            .iter()
            .map(|mark| (MARK_CLEARANCE_MM - (mark - x).abs()).max(0.0))
            .sum::<f64>()
    };
    let end = |index: usize| {
        let middle = from + each * index as f64;
        let steps = (reach / END_STEP_MM).floor() as usize;
        let moves =
            (0..=steps).flat_map(|step| [1.0, -1.0].map(|way| way * step as f64 * END_STEP_MM));
        moves
            .map(|by| middle + by)
            .min_by(|a, b| lack(*a).total_cmp(&lack(*b)))
            .unwrap_or(middle)
    };
    let mut ends = vec![from];
    ends.extend((1..count as usize).map(end));
    ends.push(to);
    ends.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

#[cfg(test)]
mod tests;
