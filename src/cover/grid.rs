//! The regular mat: equal cells, only those with content or all of them, offset for the fewest.
//!
//! The cells' common edges are the seams, so the joined and cut sheets show exactly their cells, and
//! content that only reaches into the overlap calls for no further sheet.
//!
//! The offset is searched at critical positions, where content just begins or ends in a cell, and
//! every 12 mm, in both headings.

use kurbo::{Point, Rect, Size};

use super::{
    Content, CoverError, Heading, Mode, SheetFormat, SheetPlan,
    content::{MARK_CLEARANCE_MM, meets},
    error::refuse_many,
    joints::Join,
    lay::{ChosenCell, lay},
};
use crate::plan::bounds;

/// Offsets tried in addition to those at which content ends on a seam, mm apart.
const OFFSET_STEP_MM: f64 = 12.0;

/// Content that ends on a seam is moved this far into a cell, mm, so that rounding does not call
/// for a sheet with nothing on it.
const SEAM_CLEARANCE_MM: f64 = 0.5;

/// Most critical offsets tried per axis; a layout of very many parts is thinned to it, and further, to
/// the least, as pairs of offsets times parts go beyond `MOST_TRIALS`.
const MOST_OFFSETS: usize = 80;
const LEAST_OFFSETS: usize = 12;
const MOST_TRIALS: f64 = 1e6;

/// With more cells than this on any grid the offset is searched in few positions alone, and nothing but a grid is tried.
const MOST_SEARCHED: usize = 800;
const FEW_OFFSETS: usize = 4;

/// Cells along x and across y with their common origin, mm.
#[derive(Clone, Copy, Debug)]
struct Grid {
    heading: Heading,
    along: f64,
    across: f64,
    origin: Point,
}

type Cell = (i64, i64);

/// Lays the mat; with `Mode::Full` every sheet of it, blank ones included.
pub(super) fn cover(
    content: &Content,
    format: &SheetFormat,
    mode: Mode,
) -> Result<SheetPlan, CoverError> {
    let sizes = Heading::ALL.map(|heading| format.cell(heading));
    let (grid, mut cells) =
        best_grid(&content.regions, &content.marks, sizes).ok_or(CoverError::Nothing)?;
    let (i, j) = (
        range(cells.iter().map(|cell| cell.0)),
        range(cells.iter().map(|cell| cell.1)),
    );
    refuse_many(cells.len())?;
    if mode == Mode::Full {
        refuse_many((i.1 - i.0 + 1) as usize * (j.1 - j.0 + 1) as usize)?;
        cells = (i.0..=i.1)
            .flat_map(|i| (j.0..=j.1).map(move |j| (i, j)))
            .collect();
    }
    // From the page's lower right to its upper left, so that every sheet is cut at its right and at its bottom.
    cells.sort_unstable_by_key(|&(i, j)| match grid.heading {
        Heading::FrontUp => (i, j),
        Heading::FrontRight => (-i, j),
    });
    let chosen = cells.into_iter().map(|cell| ChosenCell {
        cell: grid.cell(cell),
        heading: grid.heading,
    });
    Ok(lay(chosen.collect(), format, mode, content, Join::All))
}

/// A number that no cover goes below, where the content is too large for a search; else `None`.
pub(super) fn bound_of_large(content: &Content, sizes: [Size; 2]) -> Option<usize> {
    let count = some_grid(&with_bounds(&content.regions), sizes).len();
    (count > MOST_SEARCHED).then(|| count.div_ceil(cells_of_a_sheet(sizes[0])))
}

/// Most cells of one grid that a sheet touches, wherever it lies and whichever way up: turned, its longer side lies along the
/// shorter ones of the cells, and its shorter side across two of them. Of A4 these are 3 × 2.
fn cells_of_a_sheet(cell: Size) -> usize {
    let (long, short) = (cell.width.max(cell.height), cell.width.min(cell.height));
    2 * ((long / short).ceil() as usize + 1)
}

/// The cells of one grid, no better than any other.
fn some_grid(regions: &[(Vec<Point>, Rect)], sizes: [Size; 2]) -> Vec<Cell> {
    let grid = Grid {
        heading: Heading::FrontUp,
        along: sizes[0].width,
        across: sizes[0].height,
        origin: Point::ZERO,
    };
    grid.cells(regions)
}

fn with_bounds(regions: &[Vec<Point>]) -> Vec<(Vec<Point>, Rect)> {
    let with_bounds = |region: &Vec<Point>| (region.clone(), bounds(region));
    regions.iter().map(with_bounds).collect()
}

fn range(values: impl Iterator<Item = i64> + Clone) -> (i64, i64) {
    (values.clone().min().unwrap_or(0), values.max().unwrap_or(0))
}

impl Grid {
    fn cell(&self, (i, j): Cell) -> Rect {
        let start = self.origin + kurbo::Vec2::new(i as f64 * self.along, j as f64 * self.across);
        Rect::from_origin_size(start, (self.along, self.across))
    }

    /// All cells with content, sorted.
    fn cells(&self, regions: &[(Vec<Point>, Rect)]) -> Vec<Cell> {
        let mut cells = Vec::new();
        for (region, around) in regions {
            let index =
                |value: f64, start: f64, pitch: f64| ((value - start) / pitch).floor() as i64;
            for i in index(around.x0, self.origin.x, self.along)
                ..=index(around.x1, self.origin.x, self.along)
            {
                for j in index(around.y0, self.origin.y, self.across)
                    ..=index(around.y1, self.origin.y, self.across)
                {
                    if meets(region, self.cell((i, j))) {
                        cells.push((i, j));
                    }
                }
            }
        }
        cells.sort_unstable();
        cells.dedup();
        cells
    }

    /// How much marks lack in distance from the seams, mm in all.
    fn marks_at_seams(&self, marks: &[Point]) -> f64 {
        let lack = |value: f64, pitch: f64| {
            let into = value.rem_euclid(pitch);
            (MARK_CLEARANCE_MM - into.min(pitch - into)).max(0.0)
        };
        let lacks = marks.iter().map(|mark| {
            lack(mark.x - self.origin.x, self.along) + lack(mark.y - self.origin.y, self.across)
        });
        lacks.sum()
    }
}

/// The grid with the fewest cells; among equals the one that keeps marks off its seams best, then
/// the first tried.
fn best_grid(
    regions: &[Vec<Point>],
    marks: &[Point],
    cells: [Size; 2],
) -> Option<(Grid, Vec<Cell>)> {
    let regions = with_bounds(regions);
    let few = if some_grid(&regions, cells).len() > MOST_SEARCHED {
        FEW_OFFSETS
    } else {
        few_of(regions.len())
    };
    let mut best: Option<(usize, f64, Grid, Vec<Cell>)> = None;
    for (heading, size) in Heading::ALL.into_iter().zip(cells) {
        let shape = Grid {
            heading,
            along: size.width,
            across: size.height,
            origin: Point::ZERO,
        };
        let along = offsets(
            regions.iter().map(|(_, around)| (around.x0, around.x1)),
            (shape.along, few),
        );
        let across = offsets(
            regions.iter().map(|(_, around)| (around.y0, around.y1)),
            (shape.across, few),
        );
        for &x in &along {
            for &y in &across {
                let grid = Grid {
                    origin: Point::new(x, y),
                    ..shape
                };
                let cells = grid.cells(&regions);
                let lack = grid.marks_at_seams(marks);
                let better = best
                    .as_ref()
                    .is_none_or(|(count, least, ..)| (cells.len(), lack) < (*count, *least));
                if better && !cells.is_empty() {
                    best = Some((cells.len(), lack, grid, cells));
                }
            }
        }
    }
    best.map(|(_, _, grid, cells)| (grid, cells))
}

/// The cells of the best grid over convex polygons.
pub(super) fn fewest(
    polygons: &[Vec<Point>],
    marks: &[Point],
    cells: [Size; 2],
) -> Vec<(Rect, Heading)> {
    let best = best_grid(polygons, marks, cells);
    best.into_iter()
        .flat_map(|(grid, cells)| {
            cells
                .into_iter()
                .map(move |cell| (grid.cell(cell), grid.heading))
        })
        .collect()
}

/// How many offsets of each kind are tried along an axis with so many parts.
pub(super) fn few_of(parts: usize) -> usize {
    let few = (MOST_TRIALS / (parts + 1) as f64).sqrt() as usize;
    few.clamp(LEAST_OFFSETS, MOST_OFFSETS)
}

/// Offsets within one pitch at which content just begins or ends in a cell, and regular ones: `few` of each.
pub(super) fn offsets(
    extents: impl Iterator<Item = (f64, f64)>,
    (pitch, few): (f64, usize),
) -> Vec<f64> {
    let mut critical: Vec<f64> = extents
        .flat_map(|(low, high)| [low - SEAM_CLEARANCE_MM, high + SEAM_CLEARANCE_MM])
        .map(|offset| offset.rem_euclid(pitch))
        .collect();
    critical.sort_by(f64::total_cmp);
    critical.dedup_by(|a, b| (*a - *b).abs() < SEAM_CLEARANCE_MM);
    let thin = critical.len().div_ceil(few).max(1);
    let step = OFFSET_STEP_MM.max(pitch / few as f64);
    let regular = (0..(pitch / step) as usize).map(|index| index as f64 * step);
    critical.into_iter().step_by(thin).chain(regular).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        cover::{Edge, cover},
        paper::{Correction, Margins, Paper},
    };

    fn plan(regions: Vec<Vec<Point>>, marks: Vec<Point>) -> SheetPlan {
        let format = SheetFormat {
            paper: Paper {
                name: "test".into(),
                width: 220.0,
                height: 325.0,
            },
            margins: Margins::default(),
            overlap: 10.0,
            correction: Correction::default(),
        };
        cover(
            &Content {
                regions,
                marks,
                ..Content::default()
            },
            &format,
            Mode::Grid,
        )
        .unwrap()
    }

    fn strip(from: (f64, f64), to: (f64, f64)) -> Vec<Point> {
        vec![
            from.into(),
            (to.0, from.1).into(),
            to.into(),
            (from.0, to.1).into(),
        ]
    }

    #[test]
    fn the_bound_of_large_content_is_below_a_cover_with_turned_sheets_also_of_long_paper() {
        // Two strips of 60 m, covered by cells that lie along them.
        let regions = vec![
            strip((0.0, 0.0), (60_000.0, 50.0)),
            strip((0.0, 5000.0), (60_000.0, 5050.0)),
        ];
        let content = Content {
            regions,
            ..Content::default()
        };
        for (width, height) in [(120.0, 170.0), (120.0, 1000.0), (60.0, 1200.0)] {
            let turned = 2 * (60_000.0_f64 / height).ceil() as usize;
            let cells = [Size::new(width, height), Size::new(height, width)];
            let bound = bound_of_large(&content, cells).unwrap();
            assert!(
                bound <= turned && 4 * bound >= turned / 2,
                "{width} × {height}: {bound} of {turned}"
            );
        }
        assert_eq!(
            bound_of_large(&content, [Size::new(400.0, 500.0); 2]),
            None,
            "a search is no longer than this"
        );
    }

    #[test]
    fn a_lone_line_takes_its_length_over_the_pitch_along_the_long_side() {
        // Pitch 290 mm of a 300 mm window: 1400 mm of strip take 5 sheets.
        for line in [
            strip((0.0, 0.0), (1400.0, 50.0)),
            strip((0.0, 0.0), (50.0, 1400.0)),
        ] {
            assert_eq!(plan(vec![line], vec![]).sheets.len(), 5);
        }
    }

    #[test]
    fn neighbours_are_joined_by_two_registration_marks_and_cut_at_the_right_and_the_bottom() {
        let plan = plan(
            vec![
                strip((0.0, 0.0), (1400.0, 50.0)),
                strip((0.0, 0.0), (50.0, 900.0)),
            ],
            vec![],
        );
        assert_eq!(
            plan.joints.len(),
            plan.sheets.len() - 1,
            "an L of sheets has a seam between any two that follow"
        );
        for joint in &plan.joints {
            assert!(
                matches!(joint.edge, Edge::Right | Edge::Bottom),
                "{joint:?}"
            );
            for sheet in [joint.over, joint.under].map(|index| &plan.sheets[index]) {
                for mark in joint.registration {
                    assert!(sheet.registration.contains(&mark));
                    let page = sheet.floor_to_page * plan.registration[mark].at;
                    assert!(plan.format.printable().contains(page), "{page:?}");
                }
            }
        }
        for (index, sheet) in plan.sheets.iter().enumerate() {
            assert_eq!(sheet.registration.len(), 2 * plan.seams(index).len());
        }
    }

    #[test]
    fn the_window_is_the_printable_page_brought_to_the_floor() {
        let plan = plan(vec![strip((0.0, 0.0), (700.0, 50.0))], vec![]);
        for sheet in &plan.sheets {
            let corner = sheet.floor_to_page * sheet.window[0];
            assert!((corner - Point::new(10.0, 15.0)).hypot() < 1e-9);
            assert!(
                (sheet.floor_to_page.determinant() - 1.0).abs() < 1e-12,
                "neither scaled nor mirrored"
            );
        }
    }

    #[test]
    fn marks_are_kept_off_the_seams_where_the_count_allows() {
        let plan = plan(
            vec![strip((0.0, 0.0), (400.0, 50.0))],
            vec![Point::new(200.0, 25.0)],
        );
        assert_eq!(plan.sheets.len(), 2);
        for sheet in &plan.sheets {
            let page = sheet.floor_to_page * Point::new(200.0, 25.0);
            let cell = plan.format.printable().inset(-5.0);
            let seam = (page.x - cell.x0)
                .abs()
                .min((page.x - cell.x1).abs())
                .min((page.y - cell.y0).abs());
            assert!(seam.min((page.y - cell.y1).abs()) >= MARK_CLEARANCE_MM - 1e-9);
        }
    }
}
