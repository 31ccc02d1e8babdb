//! Seams of printed sheets, as slots see them that are cut by hand once the sheets are joined.
//!
//! A sheet lies on the one laid before it, whose paper goes on below it: the lap, which is glued. Where a seam crosses a
//! slot, the slot runs on open across the seam, and a bridge stands right beside the seam, on the upper sheet's side: whole
//! on the upper sheet, and whole on the lap below it. So both sheets hold that bridge, and no bridge hangs on a seam. Where
//! the lap is too shallow for that, a bridge stands on each side of the seam.
//!
//! A seam that runs along inside a slot cannot be kept out of its bridges. They are said in a note.

use kurbo::{Line, Point, Rect, Vec2};

use super::keep_off::{KeepOff, Stretches};
use crate::{
    cover::{Edge, Mode, PlacedSheet, SheetPlan},
    plan::MarkShape,
    units::{ROUND_OFF_MM, SAME_DRAWN_MM},
};

/// Clear distance in mm from a seam to a bridge: what a trimmed edge and a joint are off at most (common practice, no source).
pub(super) const SEAM_CLEARANCE_MM: f64 = 1.5;

/// Sine of the angle between a slot and a seam below which the seam runs along the slot: below some 17° it leaves the slot's
/// band only after three of its widths.
const ALONG_SEAM: f64 = 0.3;

/// Shortest slot across a seam that has a bridge on each side, mm: both ends are cut by a knife at a rule.
const OPEN_ACROSS_MM: f64 = 20.0;

/// Distance in mm from a knife line to where the print ends, so that the whole stroke is seen.
const PRINT_CLEARANCE_MM: f64 = 0.2;

/// Shortest window, mm: a sheet shows 9 mm of a mark's arm at least, its content and half of the smallest overlap.
const LEAST_WINDOW_MM: f64 = 1.5;

/// Steps in mm in which a window that runs out of the print is shortened.
const WINDOW_STEP_MM: f64 = 0.5;

/// Least lap, mm, that holds when it is glued: half of a usual overlap. A sheet may have been trimmed where it would go on, for
/// another sheet's sake.
const LEAST_LAP_MM: f64 = 4.0;

/// Shortest run in mm of a seam along a slot that is worth a note.
const NOTED_RUN_MM: f64 = 20.0;

/// The visible edge of a sheet that lies on another one.
#[derive(Clone, Copy, Debug)]
struct Seam {
    /// The edge, on the floor.
    line: Line,
    /// Square to the edge, towards the upper sheet's middle.
    inward: Vec2,
    /// The upper sheet's paper.
    over: Rect,
    /// The lower sheet's paper, which goes on under the upper one.
    under: Rect,
}

/// The seams of a plan of sheets.
#[derive(Clone, Debug, Default)]
pub(super) struct Seams {
    seams: Vec<Seam>,
    /// Paper and printed part of each sheet in the order of laying, on the floor.
    sheets: Vec<(Rect, Rect)>,
}

/// A stretch of a slot's line that stays open across seams, and where bridges stand beside it.
#[derive(Clone, Copy, Debug)]
struct Zone {
    from: f64,
    to: f64,
    before: bool,
    behind: bool,
}

impl Seams {
    /// The seams between the sheets of a plan; keys have none.
    pub(super) fn of(sheets: &SheetPlan) -> Self {
        if sheets.mode == Mode::Keys {
            return Self::default();
        }
        let papers = papers(sheets);
        let mut seams = Vec::new();
        for over in 0..papers.len() {
            // Papers that meet edge to edge may lie a rounding apart.
            let reach = papers[over].inflate(SAME_DRAWN_MM, SAME_DRAWN_MM);
            let near: Vec<(usize, Rect)> = papers
                .iter()
                .copied()
                .enumerate()
                .filter(|(_, paper)| reach.overlaps(*paper))
                .collect();
            for edge in Edge::ALL {
                seams.extend(visible(over, edge, &near));
            }
        }
        let windows = sheets.sheets.iter().map(PlacedSheet::floor_window);
        Self {
            seams,
            sheets: papers.into_iter().zip(windows).collect(),
        }
    }

    /// True where what is printed is seen once the sheets are joined.
    fn shows(&self, point: Point) -> bool {
        let mut from_top = self.sheets.iter().rev();
        let top = from_top.find(|(paper, _)| paper.contains(point));
        top.is_some_and(|(_, window)| window.contains(point))
    }

    /// Stretches of a line at which seams run along inside the band `width` mm wide about it.
    fn runs(&self, line: Line, width: f64) -> impl Iterator<Item = (f64, f64)> {
        self.seams
            .iter()
            .filter_map(move |seam| seam.within(line, width))
            .filter(|(_, sine)| *sine < ALONG_SEAM)
            .map(|(stretch, _)| stretch)
    }

    /// True where a seam runs along inside a slot far enough to meet its bridges.
    pub(super) fn run_along(&self, line: Line, width: f64) -> bool {
        self.runs(line, width)
            .any(|(from, to)| to - from >= NOTED_RUN_MM)
    }

    /// True where a seam meets a slot's band without paper below it that could be glued.
    pub(super) fn lack_lap(&self, line: Line, width: f64) -> bool {
        let mut bare = self.seams.iter().filter(|seam| seam.lap() < LEAST_LAP_MM);
        bare.any(|seam| seam.within(line, width).is_some())
    }

    /// What stays open across seams, in order: seams too near to each other for a bridge between them count as one, with a
    /// bridge on each side.
    fn zones(&self, line: Line, width: f64, bridge: f64) -> Vec<Zone> {
        let mut zones: Vec<Zone> = self
            .seams
            .iter()
            .filter_map(|seam| seam.zone(line, width, bridge))
            .collect();
        zones.sort_by(|a, b| a.from.total_cmp(&b.from));
        let mut merged: Vec<Zone> = Vec::new();
        for zone in zones {
            match merged.last_mut() {
                Some(last) if zone.from - last.to < bridge => {
                    let same =
                        (zone.from - last.from).abs() + (zone.to - last.to).abs() < SAME_DRAWN_MM;
                    last.to = last.to.max(zone.to);
                    last.before |= zone.before || !same;
                    last.behind |= zone.behind || !same;
                }
                _ => merged.push(zone),
            }
        }
        merged
    }
}

impl KeepOff for Seams {
    /// A seam across what is taken, a mark's pad say, needs no bridge of its own, but a bridge's width of the pad on both
    /// sides.
    fn along(&self, line: Line, width: f64, bridge: f64, mut taken: Vec<(f64, f64)>) -> Stretches {
        let mut open = Vec::new();
        let pads = taken.clone();
        for Zone {
            from,
            to,
            before,
            behind,
        } in self.zones(line, width, bridge)
        {
            if pads.iter().any(|pad| pad.0 < to && from < pad.1) {
                taken.push((from - bridge, to + bridge));
                continue;
            }
            open.push((from, to));
            if before {
                taken.push((from - bridge, from));
            }
            if behind {
                taken.push((to, to + bridge));
            }
        }
        Stretches { taken, open }
    }

    /// A window ends where the print does: a cross at the layout's edge is printed in part.
    fn window_end(&self, mark: Point, arm: Vec2, width: f64) -> f64 {
        let across = Vec2::new(-arm.y, arm.x) * (width / 2.0 + PRINT_CLEARANCE_MM);
        let printed = |end: f64| {
            let at = mark + arm * (end + PRINT_CLEARANCE_MM);
            self.shows(at + across) && self.shows(at - across)
        };
        let most = MarkShape::FULL.arm;
        let least = MarkShape::WINDOW_FROM_MM + LEAST_WINDOW_MM;
        let steps = ((most - least) / WINDOW_STEP_MM) as usize;
        (0..=steps)
            .map(|step| most - step as f64 * WINDOW_STEP_MM)
            .find(|end| self.sheets.is_empty() || printed(*end))
            .unwrap_or(least)
    }

    fn has_bridge(&self, point: Point, width: f64, bridge: f64) -> bool {
        let depth = bridge + width;
        let beside = |seam: &Seam| {
            let Some(inside) = seam.depth_of(point) else {
                return false;
            };
            let deep = seam.lap() >= depth + 2.0 * SEAM_CLEARANCE_MM;
            let off = if deep { inside } else { inside.abs() };
            (SEAM_CLEARANCE_MM..=SEAM_CLEARANCE_MM + depth).contains(&off)
        };
        self.seams.iter().any(beside)
    }

    fn crosses_bridge(&self, point: Point, reach: f64) -> bool {
        let near = |inside: f64| inside.abs() < reach + SEAM_CLEARANCE_MM;
        self.seams
            .iter()
            .any(|seam| seam.depth_of(point).is_some_and(near))
    }
}

impl Seam {
    /// The stretch of a line within which the seam lies in the band `width` mm wide about it, and the sine of the angle
    /// between them.
    fn within(&self, line: Line, width: f64) -> Option<((f64, f64), f64)> {
        let length = (line.p1 - line.p0).hypot();
        let along = (line.p1 - line.p0) / length;
        let place = |point: Point| {
            let from = point - line.p0;
            (along.dot(from), along.cross(from))
        };
        let ((s0, t0), (s1, t1)) = (place(self.line.p0), place(self.line.p1));
        let (rise, half) = (t1 - t0, width / 2.0);
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        if rise.abs() < ROUND_OFF_MM {
            if t0.abs() >= half {
                return None;
            }
        } else {
            let (one, other) = ((-half - t0) / rise, (half - t0) / rise);
            first = first.max(one.min(other));
            last = last.min(one.max(other));
        }
        let at = |part: f64| s0 + (s1 - s0) * part;
        let (from, to) = (at(first).min(at(last)), at(first).max(at(last)));
        let (from, to) = (from.max(0.0), to.min(length));
        let sine = rise.abs() / (self.line.p1 - self.line.p0).hypot();
        (first < last && from <= to).then_some(((from, to), sine))
    }

    /// What stays open where the seam crosses a line's band, and on which side a bridge stands.
    fn zone(&self, line: Line, width: f64, bridge: f64) -> Option<Zone> {
        let ((from, to), sine) = self.within(line, width)?;
        if sine < ALONG_SEAM {
            return None;
        }
        let clearance = SEAM_CLEARANCE_MM / sine;
        let (from, to) = (from - clearance, to + clearance);
        let along = (line.p1 - line.p0).normalize();
        let behind = self.inward.dot(along) > 0.0;
        let (near, far) = if behind {
            (to, to + bridge)
        } else {
            (from, from - bridge)
        };
        let across = Vec2::new(-along.y, along.x) * (width / 2.0);
        let mut corners = [near, far]
            .into_iter()
            .flat_map(|at| [across, -across].map(|side| line.p0 + along * at + side));
        let glued = |corner: Point| {
            let held = |paper: Rect, edge: f64| {
                let inner = paper.inset(edge);
                inner.x0 <= corner.x
                    && corner.x <= inner.x1
                    && inner.y0 <= corner.y
                    && corner.y <= inner.y1
            };
            held(self.over, 0.0) && held(self.under, -SEAM_CLEARANCE_MM)
        };
        if corners.all(glued) {
            return Some(Zone {
                from,
                to,
                before: !behind,
                behind,
            });
        }
        let more = ((OPEN_ACROSS_MM - (to - from)) / 2.0).max(0.0);
        Some(Zone {
            from: from - more,
            to: to + more,
            before: true,
            behind: true,
        })
    }

    /// How deep a point lies on the upper sheet's side, negative on the other; `None` beyond the seam's ends.
    fn depth_of(&self, point: Point) -> Option<f64> {
        let along = self.line.p1 - self.line.p0;
        let from = point - self.line.p0;
        (0.0..=along.hypot2())
            .contains(&along.dot(from))
            .then(|| self.inward.dot(from))
    }

    /// How far the lower sheet goes on under the upper one.
    fn lap(&self) -> f64 {
        let corners = crate::plan::corners(self.under);
        corners
            .into_iter()
            .map(|corner| self.inward.dot(corner - self.line.p0))
            .fold(0.0, f64::max)
    }
}

/// The papers of all sheets once they are trimmed, on the floor.
pub(super) fn papers(sheets: &SheetPlan) -> Vec<Rect> {
    let depth = sheets.format.cut_depth();
    let papers = sheets.sheets.iter().map(|sheet| {
        sheet
            .floor_to_page
            .inverse()
            .transform_rect_bbox(sheet.cut_paper(depth))
    });
    papers.collect()
}

/// The parts of an edge of paper `over` at which it ends visibly on another paper. `near` holds all papers that meet it, each
/// with its place in the order of laying.
fn visible(over: usize, edge: Edge, near: &[(usize, Rect)]) -> Vec<Seam> {
    let Some(&(_, paper)) = near.iter().find(|(index, _)| *index == over) else {
        return Vec::new();
    };
    let line = edge.of(paper);
    let length = (line.p1 - line.p0).hypot();
    let along = (line.p1 - line.p0) / length;
    let inward = match edge {
        Edge::Left => Vec2::new(1.0, 0.0),
        Edge::Right => Vec2::new(-1.0, 0.0),
        Edge::Bottom => Vec2::new(0.0, 1.0),
        Edge::Top => Vec2::new(0.0, -1.0),
    };
    let mut breaks: Vec<f64> = near
        .iter()
        .flat_map(|(_, other)| [other.origin(), Point::new(other.x1, other.y1)])
        .map(|corner| along.dot(corner - line.p0).clamp(0.0, length))
        .chain([0.0, length])
        .collect();
    breaks.sort_by(f64::total_cmp);
    breaks.dedup_by(|a, b| *a - *b < ROUND_OFF_MM);
    let top = |point: Point| near.iter().rev().find(|(_, other)| other.contains(point));
    let mut seams: Vec<(usize, Seam)> = Vec::new();
    for pair in breaks.windows(2) {
        let middle = line.p0 + along * f64::midpoint(pair[0], pair[1]);
        let shown = top(middle + inward * SAME_DRAWN_MM).is_some_and(|(index, _)| *index == over);
        let below = top(middle - inward * SAME_DRAWN_MM).filter(|(index, _)| *index < over);
        let (true, Some(&(index, under))) = (shown, below) else {
            continue;
        };
        let (from, to) = (line.p0 + along * pair[0], line.p0 + along * pair[1]);
        match seams.last_mut() {
            Some((last, seam)) if *last == index && seam.line.p1.distance(from) < ROUND_OFF_MM => {
                seam.line.p1 = to;
            }
            _ => seams.push((
                index,
                Seam {
                    line: Line::new(from, to),
                    inward,
                    over: paper,
                    under,
                },
            )),
        }
    }
    seams.into_iter().map(|(_, seam)| seam).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sheet that ends at x = 100 on one that begins at `from`.
    fn seam(from: f64) -> Seam {
        Seam {
            line: Line::new((100.0, -100.0), (100.0, 100.0)),
            inward: Vec2::new(-1.0, 0.0),
            over: Rect::new(-100.0, -100.0, 100.0, 100.0),
            under: Rect::new(from, -100.0, 300.0, 100.0),
        }
    }

    fn seams_of(seams: Vec<Seam>) -> Seams {
        Seams {
            seams,
            sheets: Vec::new(),
        }
    }

    fn along(seams: Vec<Seam>, taken: Vec<(f64, f64)>) -> Stretches {
        let line = Line::new((0.0, 0.0), (250.0, 0.0));
        seams_of(seams).along(line, 50.0, 6.0, taken)
    }

    #[test]
    fn a_slot_runs_on_across_a_seam_beside_a_bridge_of_the_upper_sheet_on_the_lap() {
        let found = along(vec![seam(85.0)], vec![]);
        assert_eq!(found.open, [(98.5, 101.5)]);
        assert_eq!(found.taken, [(92.5, 98.5)]);
    }

    #[test]
    fn a_lap_too_shallow_for_a_bridge_has_one_on_each_side_of_the_seam() {
        let found = along(vec![seam(92.0)], vec![]);
        assert_eq!(found.open, [(90.0, 110.0)]);
        assert_eq!(found.taken, [(84.0, 90.0), (110.0, 116.0)]);
    }

    #[test]
    fn a_seam_at_a_pads_edge_leaves_a_bridges_width_of_pad_on_both_sides() {
        for pad in [(80.0, 99.0), (101.0, 140.0), (90.0, 110.0)] {
            let found = along(vec![seam(85.0)], vec![pad]);
            assert_eq!(found.open, []);
            assert_eq!(found.taken, [pad, (92.5, 107.5)]);
        }
    }

    #[test]
    fn two_seams_too_near_for_a_bridge_between_them_count_as_one() {
        let other = Seam {
            line: Line::new((107.0, -100.0), (107.0, 100.0)),
            over: Rect::new(-100.0, -100.0, 107.0, 100.0),
            ..seam(85.0)
        };
        let found = along(vec![seam(85.0), other], vec![]);
        assert_eq!(found.open, [(98.5, 108.5)]);
        assert_eq!(found.taken, [(92.5, 98.5), (108.5, 114.5)]);
    }

    #[test]
    fn a_slanting_slot_stays_open_as_far_as_the_seam_runs_in_it() {
        let line = Line::new((0.0, 0.0), (150.0, 150.0));
        let seams = seams_of(vec![Seam {
            line: Line::new((100.0, -100.0), (100.0, 300.0)),
            over: Rect::new(-100.0, -100.0, 100.0, 300.0),
            under: Rect::new(40.0, -100.0, 300.0, 300.0),
            ..seam(40.0)
        }]);
        let found = seams.along(line, 50.0, 6.0, vec![]);
        // ± (25 + 1.5 √2) about 100 √2.
        let (middle, half) = (100.0 * 2.0_f64.sqrt(), 25.0 + 1.5 * 2.0_f64.sqrt());
        let [(from, to)] = found.open[..] else {
            panic!("{found:?}")
        };
        assert!((from - middle + half).abs() < 1e-9 && (to - middle - half).abs() < 1e-9);
        assert_eq!(found.taken, [(from - 6.0, from)]);
    }

    #[test]
    fn a_seam_along_a_slot_is_noted_and_leaves_its_bridges_where_they_are() {
        let seams = seams_of(vec![seam(85.0)]);
        let line = Line::new((90.0, -80.0), (90.0, 80.0));
        assert!(seams.run_along(line, 50.0) && !seams.run_along(line, 19.0));
        assert_eq!(seams.along(line, 50.0, 6.0, vec![]), Stretches::default());
    }

    #[test]
    fn an_edge_is_a_seam_only_where_it_shows_on_a_paper_below() {
        let paper = |x: f64, y: f64| Rect::new(x, y, x + 200.0, y + 100.0);
        let papers = [paper(0.0, 0.0), paper(0.0, 60.0), paper(150.0, 0.0)];
        let near: Vec<(usize, Rect)> = papers.into_iter().enumerate().collect();
        let ends = |over, edge| -> Vec<(Point, Point)> {
            let seams = visible(over, edge, &near).into_iter();
            seams.map(|seam| (seam.line.p0, seam.line.p1)).collect()
        };
        // The second lies on the first along its foot, as far as the third does not lie on both.
        let foot = (Point::new(0.0, 60.0), Point::new(150.0, 60.0));
        assert_eq!(ends(1, Edge::Bottom), [foot]);
        let left = Point::new(150.0, 0.0);
        assert_eq!(
            ends(2, Edge::Left),
            [
                (left, Point::new(150.0, 60.0)),
                (Point::new(150.0, 60.0), Point::new(150.0, 100.0))
            ]
        );
        assert_eq!(ends(0, Edge::Top), []);
    }
}
