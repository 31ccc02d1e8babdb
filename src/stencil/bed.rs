//! The openings placed so far, and the room they leave for more.

use kurbo::{Line, Point, Rect, Vec2};

use super::{
    CutOptions,
    distance::{between, from_point, left_over, near_stretch},
    keep_off::{KeepOff, Stretches},
    opening::Opening,
};
use crate::{plan::bounds, units::ROUND_OFF_MM};

/// Lines half a bridge apart pass a corner at a quarter of a bridge at most: 1 − √(1 − 1/16) = 3.2 %
/// of the bridge can be missed between them.
const BETWEEN_LINES: f64 = 0.033;

/// Shortest slot worth cutting, mm.
const SHORTEST_SLOT_MM: f64 = 5.0;

/// Shortest way of the tool's middle within a slot, mm.
const SHORTEST_PATH_MM: f64 = 1.0;

/// Openings that keep a bridge's width from each other.
pub(super) struct Bed {
    bridge: f64,
    every: f64,
    shortest: f64,
    placed: Vec<Placed>,
}

struct Placed {
    opening: Opening,
    /// Convex parts, each with the rectangle about it.
    parts: Vec<(Vec<Point>, Rect)>,
    around: Rect,
    /// Openings of one group (a mark's hole and windows) may lie nearer to each other.
    group: Option<usize>,
}

/// What became of a line along which slots were wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Cut as planned.
    Cut,
    /// Cut, but ended early where it would have come too near to another opening.
    Shortened,
    /// Not cut at all: no stretch is long enough.
    Nothing,
}

impl Bed {
    pub(super) fn new(options: &CutOptions) -> Self {
        Self {
            bridge: options.bridge,
            every: options.bridge_every,
            shortest: SHORTEST_SLOT_MM.max(options.kerf + SHORTEST_PATH_MM),
            placed: Vec::new(),
        }
    }

    pub(super) fn into_openings(self) -> Vec<Opening> {
        self.placed
            .into_iter()
            .map(|placed| placed.opening)
            .collect()
    }

    /// Places an opening when it keeps a bridge's width from all others but those of its group.
    pub(super) fn place(&mut self, opening: Opening, group: Option<usize>) -> bool {
        let parts: Vec<(Vec<Point>, Rect)> = opening
            .convex_parts()
            .into_iter()
            .map(|part| {
                let around = bounds(&part);
                (part, around)
            })
            .collect();
        let around = parts
            .iter()
            .fold(parts[0].1, |around, part| around.union(part.1));
        let of_others = |other: &&Placed| group.is_none() || other.group != group;
        let clear = parts.iter().all(|part| {
            let near = self.parts_near(part.1, self.bridge, of_others);
            near.into_iter()
                .all(|other| between(&part.0, other) >= self.bridge - ROUND_OFF_MM)
        });
        if clear {
            self.placed.push(Placed {
                opening,
                parts,
                around,
                group,
            });
        }
        clear
    }

    /// True where a polygon keeps a bridge's width from all openings.
    pub(super) fn is_clear(&self, polygon: &[Point]) -> bool {
        let near = self.parts_near(bounds(polygon), self.bridge, |_| true);
        near.into_iter()
            .all(|part| between(polygon, part) >= self.bridge - ROUND_OFF_MM)
    }

    /// True where a point keeps `reach` mm from all openings.
    pub(super) fn is_clear_at(&self, point: Point, reach: f64) -> bool {
        let near = self.parts_near(Rect::from_points(point, point), reach, |_| true);
        near.into_iter()
            .all(|part| from_point(part, point) >= reach)
    }

    /// Stretches of a line, as distances from its start, that lie nearer than `reach` to openings.
    pub(super) fn near(&self, line: Line, reach: f64) -> Vec<(f64, f64)> {
        let near = self.parts_near(Rect::from_points(line.p0, line.p1), reach, |_| true);
        near.into_iter()
            .filter_map(|part| near_stretch(line, part, reach))
            .collect()
    }

    /// Stretches of a line at which a band of `width` about it comes nearer than a bridge to
    /// openings: the band is looked at as lines so close that between them no more than
    /// `BETWEEN_LINES` of a bridge is missed.
    fn near_band(&self, line: Line, width: f64) -> Vec<(f64, f64)> {
        let along = (line.p1 - line.p0).normalize();
        let left = Vec2::new(-along.y, along.x);
        let count = (width / (self.bridge / 2.0)).ceil() as usize;
        let offsets = (0..=count).map(|index| width * (index as f64 / count as f64 - 0.5));
        let lines =
            offsets.map(|offset| Line::new(line.p0 + left * offset, line.p1 + left * offset));
        lines
            .flat_map(|line| self.near(line, self.bridge * (1.0 + BETWEEN_LINES)))
            .collect()
    }

    /// Convex parts of openings of which the bounds come within `reach` of a rectangle.
    fn parts_near(&self, rect: Rect, reach: f64, of: impl Fn(&&Placed) -> bool) -> Vec<&[Point]> {
        let wide = rect.inflate(reach, reach);
        let near = self
            .placed
            .iter()
            .filter(of)
            .filter(|other| overlaps(wide, other.around));
        near.flat_map(|other| &other.parts)
            .filter(|(_, around)| overlaps(wide, *around))
            .map(|(part, _)| part.as_slice())
            .collect()
    }

    /// Cuts slots along a line wherever nothing is `taken` (distances from its start) and seams or joints let it, with
    /// bridges between them.
    pub(super) fn cut_along(
        &mut self,
        line: Line,
        width: f64,
        corner: f64,
        taken: Vec<(f64, f64)>,
        seams: &impl KeepOff,
    ) -> Outcome {
        let length = (line.p1 - line.p0).hypot();
        let at = |distance: f64| line.p0.lerp(line.p1, distance / length);
        let least = self.shortest.max(2.0 * corner);
        let slot = |(from, to)| Opening::Slot {
            from: at(from),
            to: at(to),
            width,
            corner,
        };
        let (mut any, mut shortened) = (false, false);
        let Stretches { taken, open } = seams.along(line, width, self.bridge, taken);
        let free = left_over((0.0, length), taken);
        let wanted: Vec<(f64, f64)> = free
            .into_iter()
            .flat_map(|free| self.divided(free, least, &open))
            .collect();
        for (from, to) in wanted {
            if self.place(slot((from, to)), None) {
                any = true;
                continue;
            }
            shortened = true;
            let part = Line::new(at(from), at(to));
            let near = self.near_band(part, width);
            let near = seams.along(part, width, self.bridge, near).taken;
            for (start, end) in left_over((0.0, to - from), near) {
                any |= end - start >= least && self.place(slot((from + start, from + end)), None);
            }
        }
        match (any, shortened) {
            (true, false) => Outcome::Cut,
            (true, true) => Outcome::Shortened,
            (false, _) => Outcome::Nothing,
        }
    }

    /// Equal slots with bridges between them, as few as keep the bridges' spacing; none where the
    /// stretch is shorter than `least`. A bridge that would stand where slots stay `open` moves to the nearer end of that.
    fn divided(&self, (from, to): (f64, f64), least: f64, open: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let length = to - from;
        if length < least {
            return Vec::new();
        }
        let count = ((length + self.bridge) / self.every - ROUND_OFF_MM)
            .ceil()
            .max(1.0);
        let slot = (length - (count - 1.0) * self.bridge) / count;
        let start = |index: usize| from + index as f64 * (slot + self.bridge);
        let mut slots: Vec<(f64, f64)> = (0..count as usize)
            .map(|index| (start(index), start(index) + slot))
            .filter(|_| slot >= least)
            .collect();
        for index in 1..slots.len() {
            let (bridge, after) = (slots[index - 1].1, slots[index].0);
            let in_the_way = open.iter().find(|zone| zone.0 < after && bridge < zone.1);
            if let Some(&(zone, end)) = in_the_way {
                let moved = if after - zone < end - bridge {
                    (zone - self.bridge, zone)
                } else {
                    (end, end + self.bridge)
                };
                (slots[index - 1].1, slots[index].0) = moved;
            }
        }
        slots.retain(|(from, to)| to - from >= least);
        slots
    }
}

/// Not `Rect::overlaps`: lines along an axis have bounds without area.
fn overlaps(one: Rect, other: Rect) -> bool {
    one.x0 <= other.x1 && other.x0 <= one.x1 && one.y0 <= other.y1 && other.y0 <= one.y1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stencil::seams::Seams;

    fn bed() -> Bed {
        Bed::new(&CutOptions::default())
    }

    fn along(bed: &mut Bed, from: (f64, f64), to: (f64, f64)) -> Outcome {
        let seams = Seams::default();
        bed.cut_along(Line::new(from, to), 50.0, 1.0, vec![], &seams)
    }

    #[test]
    fn a_bridge_that_would_stand_on_a_seam_moves_beside_what_stays_open_there() {
        let slots = bed().divided((0.0, 592.0), 5.0, &[(290.0, 310.0)]);
        assert_eq!(slots, [(0.0, 282.0), (290.0, 592.0)]);
        let slots = bed().divided((0.0, 592.0), 5.0, &[(284.0, 300.0)]);
        assert_eq!(slots, [(0.0, 300.0), (308.0, 592.0)]);
    }

    #[test]
    fn slots_of_a_stretch_are_equal_and_bridges_no_further_apart_than_asked() {
        for length in [5.0, 100.0, 292.0, 292.1, 1000.0, 5780.0] {
            let slots = bed().divided((10.0, 10.0 + length), 5.0, &[]);
            assert!((slots.first().unwrap().0 - 10.0).abs() < 1e-9);
            assert!((slots.last().unwrap().1 - 10.0 - length).abs() < 1e-9);
            for pair in slots.windows(2) {
                assert!((pair[1].0 - pair[0].1 - 8.0).abs() < 1e-9);
                assert!(pair[1].0 - pair[0].0 <= 300.0 + 1e-6);
            }
            assert_eq!(
                slots.len(),
                ((length + 8.0) / 300.0).ceil() as usize,
                "{length}"
            );
        }
        assert_eq!(bed().divided((0.0, 4.9), 5.0, &[]), []);
    }

    #[test]
    fn a_slot_that_runs_too_near_to_another_is_shortened_and_keeps_a_bridge() {
        let mut bed = bed();
        assert_eq!(along(&mut bed, (0.0, -100.0), (0.0, 100.0)), Outcome::Cut);
        assert_eq!(
            along(&mut bed, (0.0, 0.0), (200.0, 0.0)),
            Outcome::Shortened
        );
        let openings = bed.into_openings();
        assert_eq!(openings.len(), 2);
        let gap = between(&openings[0].polygon(), &openings[1].polygon());
        assert!((8.0 - 1e-6..8.3).contains(&gap), "{gap}");
    }

    #[test]
    fn a_slot_within_another_is_not_cut_at_all() {
        let mut bed = bed();
        along(&mut bed, (0.0, 0.0), (200.0, 0.0));
        assert_eq!(
            along(&mut bed, (20.0, 10.0), (180.0, 10.0)),
            Outcome::Nothing
        );
    }
}
