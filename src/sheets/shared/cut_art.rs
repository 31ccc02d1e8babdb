//! A stencil's openings on the sheets of the layout.

use kurbo::{BezPath, Line, Rect, Shape};

use super::window::Window;
use crate::{
    drawing::{Drawing, Layer, Stroke},
    page::clip::strokes,
    plan::corners,
    stencil::CutPlan,
};

/// Chords of a curved path that a sheet's edge cuts stray from it by this much at most, mm.
const CHORD_MM: f64 = 0.005;

/// A stencil's openings and scores, to be clipped sheet by sheet.
#[derive(Clone, Debug)]
pub struct CutArt {
    paths: Vec<(BezPath, Rect)>,
    scores: Vec<Line>,
    hairline: f64,
}

impl CutArt {
    /// The openings and scores of a stencil, on the floor. Outlines of its pieces are left out: a
    /// sheet is a piece of its own.
    pub fn of(stencil: &CutPlan) -> Self {
        let paths = stencil.opening_paths().into_iter();
        Self {
            paths: paths
                .map(|path| (path.bounding_box(), path))
                .map(|(around, path)| (path, around))
                .collect(),
            scores: stencil
                .pieces
                .iter()
                .flat_map(|piece| piece.scores.iter().copied())
                .collect(),
            hairline: stencil.options.hairline,
        }
    }

    /// Paths without scores.
    pub fn of_paths(paths: impl Iterator<Item = BezPath>) -> Self {
        Self {
            paths: paths
                .map(|path| (path.clone(), path.bounding_box()))
                .collect(),
            scores: Vec::new(),
            hairline: 0.0,
        }
    }

    /// The same with those paths alone of which the bounds are wanted.
    pub fn filtered(&self, wanted: impl Fn(Rect) -> bool) -> Self {
        let paths = self.paths.iter().filter(|(_, around)| wanted(*around));
        Self {
            paths: paths.cloned().collect(),
            ..self.clone()
        }
    }

    /// The paths alone.
    pub fn into_paths(self) -> Vec<BezPath> {
        self.paths.into_iter().map(|(path, _)| path).collect()
    }

    /// What a window shows of it, on the page: whole paths as they are, others clipped.
    pub fn within(&self, window: &Window) -> Self {
        let mut paths = Vec::new();
        for (path, around) in self.paths.iter().filter(|(_, around)| window.near(*around)) {
            let corners = corners(*around);
            if corners.iter().all(|corner| window.shows(*corner)) {
                paths.push(window.to_page * path);
                continue;
            }
            let mut chords = Vec::new();
            let mut pen = None;
            kurbo::flatten(path.iter(), CHORD_MM, |element| {
                let end = element.end_point();
                if let (Some(from), Some(to)) = (pen, end) {
                    chords.push(Line::new(from, to));
                }
                pen = end.or(pen);
            });
            if let (Some(from), Some(kurbo::PathEl::MoveTo(to))) = (pen, path.elements().first()) {
                chords.push(Line::new(from, *to));
            }
            chords.retain(|chord| chord.p0 != chord.p1);
            let shown = strokes(&window.lines(&chords));
            if !shown.elements().is_empty() {
                paths.push(shown);
            }
        }
        let paths = paths
            .into_iter()
            .map(|path| (path.bounding_box(), path))
            .map(|(around, path)| (path, around));
        Self {
            paths: paths.collect(),
            scores: window.lines(&self.scores),
            hairline: self.hairline,
        }
    }

    /// Draws the stencil's paths on the cutter's layers.
    pub fn draw(&self, drawing: &mut Drawing) {
        let hairline = Stroke::solid(self.hairline);
        for &line in &self.scores {
            drawing.path(Layer::Score, strokes(&[line]), None, Some(hairline));
        }
        for (path, _) in &self.paths {
            drawing.path(Layer::Cut, path.clone(), None, Some(hairline));
        }
    }
}
