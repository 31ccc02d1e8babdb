//! Where a frame has material.

use std::f64::consts::{PI, TAU};

use kurbo::{Line, ParamCurve, ParamCurveNearest, Point, Rect, Vec2};

use crate::{
    plan::{FloorPlan, MarkShape, corners},
    stencil::{
        CutOptions,
        edges::{Edges, edges_of},
        load_size::smallest_rectangle,
        outline::NOTCH_DEPTH_MM,
        shape::{Shape, united},
        strips::Strip,
    },
    units::{ROUND_OFF_MM, SAME_TAPED_MM},
};

/// How far the chords of a round edge of material may stray from the circle, mm.
const ROUND_MM: f64 = 0.2;

/// Hollows narrower than this many borders are not cut out: what is left beside them is narrow and saves little.
const LEAST_HOLLOW: f64 = 5.0;

/// Least width of a tie, mm: a narrower one bends under its own length, and leaves few places for tabs.
const LEAST_TIE_MM: f64 = 100.0;

/// Shortest side of the material, mm: more than the widest kerf, so that a tool's way along it does not cross itself.
const SHORTEST_SIDE_MM: f64 = 6.0;

/// A straight run of material of one width.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bar {
    /// Its middle line, floor mm, to the ends of the material.
    pub axis: Line,
    /// Its whole width, mm.
    pub width: f64,
}

/// The material of a frame before it is divided.
pub(in crate::stencil) struct Region {
    /// What hangs together; one shape unless there is nothing.
    pub shapes: Vec<Shape>,
    /// Its bars along strips and ties.
    pub(super) bars: Vec<Bar>,
}

/// Turn below which a corner of the material is one of a round edge, radians.
const SLIGHT_TURN: f64 = 0.3;

/// A part of the frame: its outline, and the line that it is built about.
struct Part {
    outline: Vec<Point>,
    spine: Line,
}

impl Region {
    /// Material as far around everything that is cut as the border says, tied together by the shortest bars.
    pub(in crate::stencil) fn about(
        plan: &FloorPlan,
        strips: &[Strip],
        options: &CutOptions,
    ) -> Self {
        let border = options.border;
        let mut bars: Vec<Bar> = strips
            .iter()
            .map(|strip| bar(strip.axis, strip.width, border))
            .collect();
        let of_bar = |bar: &Bar, spine: Line| Part {
            outline: bar.outline(),
            spine,
        };
        let mut parts: Vec<Part> = strips
            .iter()
            .zip(&bars)
            .map(|(strip, bar)| of_bar(bar, strip.axis))
            .collect();
        parts.extend(plan.marks.iter().map(|mark| {
            // No wider than the end of a strip at the mark, unless its windows and a notch need it.
            let least = MarkShape::FULL.arm + options.bridge + NOTCH_DEPTH_MM;
            let side = 2.0 * border.max(least);
            Part {
                outline: corners(Rect::from_center_size(mark.at, (side, side))).to_vec(),
                spine: Line::new(mark.at, mark.at),
            }
        }));
        for panel in &plan.panels {
            match edges_of(plan, panel) {
                Edges::Straight(edges) => parts.extend(
                    edges
                        .into_iter()
                        .map(|edge| of_bar(&bar(edge, options.pen(), border), edge)),
                ),
                Edges::Circle { centre, radius } => {
                    parts.extend(ring(centre, radius, options.pen() / 2.0 + border));
                }
            }
        }
        for tie in ties(&parts) {
            let of_tie = bar(tie, 0.0, border.max(LEAST_TIE_MM / 2.0));
            parts.push(of_bar(&of_tie, tie));
            bars.push(of_tie);
        }
        let mut shapes = together(&parts);
        for shape in &mut shapes {
            shape.holes.retain(|hole| is_worth_cutting(hole, border));
            shape.outer = without_short_sides(&shape.outer);
            shape.holes = shape
                .holes
                .iter()
                .map(|hole| without_short_sides(hole))
                .collect();
        }
        let bars = on_end(bars);
        Self { shapes, bars }
    }
}

/// Bars of one width that run on into each other as one: each by itself would have its joints beside the other's.
fn on_end(bars: Vec<Bar>) -> Vec<Bar> {
    let mut whole: Vec<Bar> = Vec::new();
    for mut bar in bars {
        while let Some(index) = whole.iter().position(|other| other.runs_on_into(&bar)) {
            bar = whole.swap_remove(index).with(&bar);
        }
        whole.push(bar);
    }
    whole
}

/// True for a hollow that is wide enough.
fn is_worth_cutting(hole: &[Point], border: f64) -> bool {
    let (_, rect) = smallest_rectangle(hole);
    rect.width().min(rect.height()) >= LEAST_HOLLOW * border
}

/// A contour without the short sides that a tool's way along it cannot follow: where an end of one hardly turns, that end
/// goes; where both turn into the material it is the bottom of a slit, which is filled.
fn without_short_sides(contour: &[Point]) -> Vec<Point> {
    let mut contour = contour.to_vec();
    let turn = |contour: &[Point], index: usize| {
        let count = contour.len();
        let at = |by: usize| contour[(index + by) % count];
        let (into, out) = (at(0) - at(count - 1), at(1) - at(0));
        into.cross(out).atan2(into.dot(out))
    };
    while contour.len() > 4 {
        let count = contour.len();
        let ends = |first: usize| [first, (first + 1) % count];
        let is_short =
            |[one, other]: [usize; 2]| contour[one].distance(contour[other]) < SHORTEST_SIDE_MM;
        let gone = (0..count)
            .map(ends)
            .filter(|ends| is_short(*ends))
            .find_map(|ends| {
                let turns = ends.map(|end| turn(&contour, end));
                if let Some(index) = turns.iter().position(|turn| turn.abs() < SLIGHT_TURN) {
                    return Some(vec![ends[index]]);
                }
                turns.iter().all(|turn| *turn < 0.0).then(|| ends.to_vec())
            });
        let Some(mut gone) = gone.filter(|gone| count - gone.len() > 3) else {
            break;
        };
        gone.sort_unstable();
        for index in gone.into_iter().rev() {
            contour.remove(index);
        }
    }
    contour
}

fn together(parts: &[Part]) -> Vec<Shape> {
    let outlines: Vec<Vec<Point>> = parts.iter().map(|part| part.outline.clone()).collect();
    united(&outlines)
}

/// The chords that stand for a circle.
pub(in crate::stencil) fn chords(centre: Point, radius: f64) -> Vec<Line> {
    ring(centre, radius, 0.0)
        .into_iter()
        .map(|sector| sector.spine)
        .collect()
}

/// The material about a circle, in sectors; those of a circle that leaves no hollow reach its middle.
fn ring(centre: Point, radius: f64, reach: f64) -> Vec<Part> {
    let outer = radius + reach;
    let inner = (radius - reach).max(0.0);
    let count = (PI / (1.0 - ROUND_MM / outer).acos()).ceil().max(8.0) as usize;
    let at = |index: usize, radius: f64| {
        centre + Vec2::from_angle(index as f64 * TAU / count as f64) * radius
    };
    let sector = |index| Part {
        outline: vec![
            at(index, inner),
            at(index, outer),
            at(index + 1, outer),
            at(index + 1, inner),
        ],
        spine: Line::new(at(index, radius), at(index + 1, radius)),
    };
    (0..count).map(sector).collect()
}

/// The shortest lines that tie together what would lie apart, from spine to spine (Prim's algorithm).
fn ties(parts: &[Part]) -> Vec<Line> {
    let shapes = together(parts);
    let home = |part: &Part| {
        let middle = part.spine.midpoint();
        shapes.iter().position(|shape| shape.holds(middle))
    };
    let homes: Vec<Option<usize>> = parts.iter().map(home).collect();
    let mut nearest: Vec<Option<(f64, Line)>> = vec![None; parts.len()];
    let mut tied = vec![false; shapes.len()];
    let mut ties = Vec::new();
    let mut next = homes.first().copied().flatten();
    while let Some(shape) = next {
        tied[shape] = true;
        for (part, _) in parts
            .iter()
            .zip(&homes)
            .filter(|(_, home)| **home == Some(shape))
        {
            for (index, other) in parts.iter().enumerate() {
                if homes[index].is_none_or(|home| tied[home]) {
                    continue;
                }
                let way = shortest(part.spine, other.spine);
                let length = (way.p1 - way.p0).hypot();
                if nearest[index].is_none_or(|(known, _)| length < known - ROUND_OFF_MM) {
                    nearest[index] = Some((length, way));
                }
            }
        }
        let open = (0..parts.len()).filter(|&index| homes[index].is_some_and(|home| !tied[home]));
        let found = open
            .filter_map(|index| Some((nearest[index]?, homes[index]?)))
            .min_by(|a, b| a.0.0.total_cmp(&b.0.0));
        next = found.map(|((_, way), home)| {
            ties.push(way);
            home
        });
    }
    ties
}

/// The shortest way between two segments that do not cross.
fn shortest(one: Line, other: Line) -> Line {
    let from = |segment: Line, point: Point| {
        let at = segment.nearest(point, ROUND_OFF_MM).t;
        Line::new(point, segment.eval(at))
    };
    let ways = [
        from(other, one.p0),
        from(other, one.p1),
        from(one, other.p0),
        from(one, other.p1),
    ];
    let shorter = |a: Line, b: Line| {
        let by = (b.p1 - b.p0).hypot() - (a.p1 - a.p0).hypot();
        if by < -ROUND_OFF_MM { b } else { a }
    };
    ways.into_iter().reduce(shorter).unwrap_or(one)
}

impl Bar {
    /// The stretch of another bar along this one, mm from its start.
    fn stretch_of(&self, other: &Self) -> (f64, f64) {
        let ends = [other.axis.p0, other.axis.p1].map(|end| self.along().dot(end - self.axis.p0));
        (ends[0].min(ends[1]), ends[0].max(ends[1]))
    }

    fn runs_on_into(&self, other: &Self) -> bool {
        let on_axis = |end: Point| self.along().cross(end - self.axis.p0).abs() < SAME_TAPED_MM;
        let (from, to) = self.stretch_of(other);
        (self.width - other.width).abs() < SAME_TAPED_MM
            && on_axis(other.axis.p0)
            && on_axis(other.axis.p1)
            && from <= self.length()
            && to >= 0.0
    }

    /// This bar as far as both reach.
    fn with(&self, other: &Self) -> Self {
        let (from, to) = self.stretch_of(other);
        let at = |station: f64| self.axis.p0 + self.along() * station;
        Self {
            axis: Line::new(at(from.min(0.0)), at(to.max(self.length()))),
            width: self.width,
        }
    }

    fn outline(&self) -> Vec<Point> {
        let along = self.along();
        let across = Vec2::new(-along.y, along.x) * (self.width / 2.0);
        let Line { p0, p1 } = self.axis;
        vec![p0 - across, p1 - across, p1 + across, p0 + across]
    }

    pub(super) fn along(&self) -> Vec2 {
        (self.axis.p1 - self.axis.p0).normalize()
    }

    pub(super) fn length(&self) -> f64 {
        (self.axis.p1 - self.axis.p0).hypot()
    }
}

fn bar(axis: Line, width: f64, border: f64) -> Bar {
    let along = (axis.p1 - axis.p0).normalize() * border;
    Bar {
        axis: Line::new(axis.p0 - along, axis.p1 + along),
        width: width + 2.0 * border,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stencil::shape::signed_area;

    fn points(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().copied().map(Point::from).collect()
    }

    #[test]
    fn a_slit_narrower_than_a_tool_is_filled_and_a_step_stays() {
        let with_slit = [
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 100.0),
            (102.0, 100.0),
            (102.0, 40.0),
            (100.0, 40.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        let filled = without_short_sides(&points(&with_slit));
        assert_eq!(signed_area(&filled), 20_000.0);
        let with_step = [
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 100.0),
            (100.0, 100.0),
            (100.0, 98.0),
            (0.0, 98.0),
        ];
        assert_eq!(without_short_sides(&points(&with_step)).len(), 6);
    }

    #[test]
    fn a_corner_of_a_round_edge_beside_a_sharp_corner_goes() {
        let round = [
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 100.0),
            (100.0, 100.0),
            (99.0, 100.1),
            (50.0, 108.0),
            (0.0, 120.0),
        ];
        let corners = without_short_sides(&points(&round));
        assert_eq!(corners.len(), 6);
    }
}
