//! What is cut out of printed sheets by hand: knife lines, and a hatch over what falls away.

use std::f64::consts::{FRAC_PI_2, SQRT_2};

use kurbo::{BezPath, Line, Point, Rect, Vec2};

use super::{cut_art::CutArt, window::Window};
use crate::{
    drawing::{Drawing, Item, Layer, Stroke, Tone, widths},
    page::{
        clip::{Contour, line_outside, line_within, strokes},
        text_box,
    },
    plan::{bounds, corners},
    stencil::{HandCut, Opening},
};

/// Distance in mm between two lines of the hatch: close enough to be seen as waste, and pale.
const HATCH_MM: f64 = 3.0;

/// The same in openings narrower than [`NARROW_MM`]: none is so short that it lies between two lines.
const NARROW_HATCH_MM: f64 = 1.5;
const NARROW_MM: f64 = 5.0;

/// Clear distance in mm from lettering to the hatch.
const CLEARANCE_MM: f64 = 0.5;

/// The openings of a stencil that is cut by hand, on the floor, to be clipped sheet by sheet.
#[derive(Clone, Debug)]
pub struct KnifeArt {
    cuts: CutArt,
    waste: Vec<Waste>,
    /// What it was made from.
    pub cut: HandCut,
}

/// A part that falls away, with its hatch.
#[derive(Clone, Debug)]
struct Waste {
    outline: Contour,
    around: Rect,
    hatch: Vec<Line>,
}

/// What a sheet shows of it, page mm.
#[derive(Clone, Debug)]
pub struct SheetKnife {
    /// The knife lines, each once.
    pub paths: Vec<BezPath>,
    /// The same as straight lines.
    pub edges: Vec<Line>,
    /// What falls away.
    pub waste: Vec<Contour>,
    hatch: Vec<Line>,
}

impl KnifeArt {
    /// The openings of a stencil.
    pub fn of(cut: &HandCut) -> Self {
        Self {
            cuts: CutArt::of_paths(cut.openings.iter().map(|opening| opening.path(0.0))),
            waste: cut.openings.iter().map(Waste::of).collect(),
            cut: cut.clone(),
        }
    }

    /// What a window shows of it.
    pub fn within(&self, window: &Window) -> SheetKnife {
        let near = self.waste.iter();
        let near: Vec<&Waste> = near.filter(|waste| window.near(waste.around)).collect();
        let sides: Vec<Line> = near
            .iter()
            .flat_map(|waste| sides(&waste.outline))
            .collect();
        let outlines: Vec<Contour> = near.iter().map(|waste| waste.outline.clone()).collect();
        SheetKnife {
            paths: self.cuts.within(window).into_paths(),
            edges: window.lines(&sides),
            waste: window.areas(&outlines),
            hatch: near
                .iter()
                .flat_map(|waste| window.lines(&waste.hatch))
                .collect(),
        }
    }

    /// The same of those openings alone that lie in the window with a bridge's width around them.
    pub fn wholly_within(&self, window: &Window, shown: Rect) -> SheetKnife {
        let inner = shown.inset(-self.cut.bridge);
        let whole = |around: Rect| inner.union(around) == inner;
        let waste = self.waste.iter();
        let part = Self {
            cuts: self.cuts.filtered(whole),
            waste: waste.filter(|waste| whole(waste.around)).cloned().collect(),
            cut: self.cut.clone(),
        };
        part.within(window)
    }
}

impl Waste {
    /// Hatched at 45°, by the one of both diagonals that lies more across the opening: along a narrow one it would miss it.
    fn of(opening: &Opening) -> Self {
        let outline = opening.polygon();
        let along = match *opening {
            Opening::Slot { from, to, .. } => to - from,
            Opening::Hole { .. } => Vec2::ZERO,
            Opening::Arc { start, sweep, .. } => Vec2::from_angle(start + sweep / 2.0 + FRAC_PI_2),
        };
        let width = match *opening {
            Opening::Slot { width, .. } | Opening::Arc { width, .. } => width,
            Opening::Hole { diameter, .. } => diameter,
        };
        let spacing = if width < NARROW_MM {
            NARROW_HATCH_MM
        } else {
            HATCH_MM
        };
        let hatch = if along.x * along.y < 0.0 {
            let mirror = |point: Point| Point::new(point.x, -point.y);
            let mirrored: Vec<Point> = outline.iter().map(|&point| mirror(point)).collect();
            let lines = hatched(&mirrored, spacing).into_iter();
            lines
                .map(|line| Line::new(mirror(line.p0), mirror(line.p1)))
                .collect()
        } else {
            hatched(&outline, spacing)
        };
        Self {
            around: bounds(&outline),
            outline,
            hatch,
        }
    }
}

impl SheetKnife {
    /// The parts of lines that stay once all is cut.
    pub fn left_of(&self, lines: &[Line]) -> Vec<Line> {
        lines
            .iter()
            .flat_map(|&line| line_outside(line, &self.waste))
            .collect()
    }

    /// Draws knife lines and hatch; the hatch keeps off the lettering that is on the page by now.
    pub fn draw(&self, drawing: &mut Drawing) {
        let lettering: Vec<Rect> = drawing
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Text(text) => Some(text_box(text).inflate(CLEARANCE_MM, CLEARANCE_MM)),
                Item::Path(_) => None,
            })
            .collect();
        let hatch: Vec<Line> = self
            .hatch
            .iter()
            .flat_map(|&line| {
                let around = Rect::from_points(line.p0, line.p1);
                let under: Vec<Contour> = lettering
                    .iter()
                    .filter(|rect| rect.overlaps(around))
                    .map(|rect| corners(*rect).to_vec())
                    .collect();
                line_outside(line, &under)
            })
            .collect();
        let pale = Stroke::solid(widths::FINE).toned(Tone::QUIET);
        if !hatch.is_empty() {
            drawing.path(Layer::Waste, strokes(&hatch), None, Some(pale));
        }
        for path in &self.paths {
            drawing.path(
                Layer::Knife,
                path.clone(),
                None,
                Some(Stroke::solid(widths::MEDIUM)),
            );
        }
    }
}

/// Lines `spacing` mm apart down to the right at 45° within a polygon; those of all polygons are of one raster.
fn hatched(polygon: &[Point], spacing: f64) -> Vec<Line> {
    let around = bounds(polygon);
    let step = spacing * SQRT_2;
    let (first, last) = (
        ((around.x0 + around.y0) / step).ceil() as i64,
        ((around.x1 + around.y1) / step).floor() as i64,
    );
    let polygon = [polygon.to_vec()];
    (first..=last)
        .flat_map(|index| {
            let sum = index as f64 * step;
            let (from, to) = (
                around.x0.max(sum - around.y1),
                around.x1.min(sum - around.y0),
            );
            line_within(Line::new((from, sum - from), (to, sum - to)), &polygon)
        })
        .collect()
}

fn sides(polygon: &[Point]) -> impl Iterator<Item = Line> {
    let next = polygon.iter().skip(1).chain(polygon.first());
    polygon.iter().zip(next).map(|(&p, &q)| Line::new(p, q))
}
