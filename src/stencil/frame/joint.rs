//! A joint between two pieces: dovetailed tabs in notches, and register holes on both sides.

use kurbo::{Line, ParamCurveNearest, Point, Vec2};

use super::codes::{Codes, Tab};
use crate::{
    stencil::{
        CutOptions, REGISTER_HOLE_MM,
        distance::left_over,
        keep_off::{KeepOff, Stretches},
        opening::Opening,
    },
    units::ROUND_OFF_MM,
};

/// Widest tab, at its tip, mm: board of 3 mm still holds it (common practice, no source).
const WIDEST_TAB_MM: f64 = 20.0;

/// Width of a tab at its foot and its length, as parts of its width at the tip: flanks slope as those of a joiner's dovetail
/// in soft board, about 1 in 4 (common practice, no source).
const FOOT: f64 = 0.7;
const LENGTH: f64 = 0.6;

/// Register holes stand at a multiple of this from their joint, mm, so that two of them are a round distance apart.
const REGISTER_STEP_MM: f64 = 5.0;

/// How far a joint's line is drawn beyond the material, mm, so that it divides it.
const BEYOND_MM: f64 = 0.5;

/// Least sine of the angle between a joint and what is cut across it.
const LEAST_SINE: f64 = 0.5;

/// A joint between two pieces.
#[derive(Clone, Debug)]
pub struct Joint {
    /// From one side of the material to the other, floor mm.
    pub line: Line,
    /// Its tabs.
    pub(super) tabs: Vec<Tab>,
    /// Where its register holes stand: two on each side of the line, one opposite the other, floor mm.
    pub register: Vec<[Point; 2]>,
    size: TabSize,
    /// How far from its line slots stop.
    clear: f64,
}

/// A tab's measures, mm.
#[derive(Clone, Copy, Debug)]
struct TabSize {
    tip: f64,
    foot: f64,
    length: f64,
}

impl TabSize {
    /// The tab that a border has room for.
    fn of(options: &CutOptions) -> Self {
        let tip = options.tab();
        Self {
            tip,
            foot: FOOT * tip,
            length: LENGTH * tip,
        }
    }
}

impl CutOptions {
    /// Width of a tab at its tip, mm: a bridge is left on both sides of it.
    pub(in crate::stencil) fn tab(&self) -> f64 {
        WIDEST_TAB_MM.min(self.border - 2.0 * self.bridge)
    }

    /// How far a tab reaches over its joint, mm.
    pub(in crate::stencil) fn tab_length(&self) -> f64 {
        LENGTH * self.tab()
    }

    /// Distance of register holes from their joint, mm.
    fn register_reach(&self) -> f64 {
        let least = self.tab_length() + self.bridge + REGISTER_HOLE_MM / 2.0;
        (least / REGISTER_STEP_MM).ceil() * REGISTER_STEP_MM
    }

    /// How far along a bar a joint takes room on each side, mm.
    pub(super) fn joint_reach(&self) -> f64 {
        self.register_reach() + REGISTER_HOLE_MM / 2.0 + self.bridge
    }
}

impl Joint {
    fn along(&self) -> Vec2 {
        (self.line.p1 - self.line.p0).normalize()
    }

    /// The run of points along which the joint divides the material.
    pub(super) fn profile(&self) -> Vec<Point> {
        let along = self.along();
        let ahead = Vec2::new(-along.y, along.x);
        let mut points = vec![self.line.p0 - along * BEYOND_MM];
        for tab in &self.tabs {
            let middle = self.line.midpoint() + along * tab.at;
            let tip = ahead
                * if tab.ahead {
                    self.size.length
                } else {
                    -self.size.length
                };
            let (foot, wide) = (
                along * (self.size.foot / 2.0),
                along * (self.size.tip / 2.0),
            );
            points.extend([
                middle - foot,
                middle - wide + tip,
                middle + wide + tip,
                middle + foot,
            ]);
        }
        points.push(self.line.p1 + along * BEYOND_MM);
        points
    }

    /// Two floor points beside it, beyond its tabs: on the pieces that it joins.
    pub(in crate::stencil) fn beside(&self) -> [Point; 2] {
        let along = self.along();
        let ahead = Vec2::new(-along.y, along.x) * (self.size.length + BEYOND_MM);
        let middle = self.line.midpoint();
        [middle - ahead, middle + ahead]
    }

    /// True where it holds by tabs.
    pub(in crate::stencil) const fn has_tabs(&self) -> bool {
        !self.tabs.is_empty()
    }

    /// Its register holes.
    pub(in crate::stencil) fn register_holes(&self) -> impl Iterator<Item = Opening> + '_ {
        let hole = |&at: &Point| Opening::Hole {
            at,
            diameter: REGISTER_HOLE_MM,
        };
        self.register.iter().flatten().map(hole)
    }
}

/// Makes joints, no two with tabs at the same places.
pub(in crate::stencil) struct Joining<'a> {
    options: &'a CutOptions,
    /// Middle lines and widths of what is cut.
    cuts: &'a [(Line, f64)],
    codes: Codes,
}

impl<'a> Joining<'a> {
    pub(in crate::stencil) fn new(options: &'a CutOptions, cuts: &'a [(Line, f64)]) -> Self {
        Self {
            options,
            cuts,
            codes: Codes::default(),
        }
    }

    /// A joint along a line across the material; `None` when all places of tabs are taken.
    pub(super) fn joint(&mut self, line: Line) -> Option<Joint> {
        let size = TabSize::of(self.options);
        let webs = self.webs(line, size.tip);
        let middle = (line.p1 - line.p0).hypot() / 2.0;
        let rooms: Vec<(f64, f64)> = webs
            .iter()
            .map(|(from, to)| (from - middle + size.tip / 2.0, to - middle - size.tip / 2.0))
            .collect();
        let beside = self.codes.next(&rooms);
        // Where the webs have no tabs left of their own, slots stop further off, and tabs stand wherever they like.
        let (tabs, clear) = match beside {
            Some(tabs) => (tabs, self.options.bridge),
            None => {
                let (edge, tip) = (middle - self.options.bridge - size.tip / 2.0, size.tip);
                let halves = [
                    (-edge, -(tip + self.options.bridge) / 2.0),
                    ((tip + self.options.bridge) / 2.0, edge),
                ];
                let clear = size.length + self.options.bridge;
                let of_two = self.codes.next(&halves);
                let tabs = of_two.or_else(|| self.codes.next(&[(-edge, edge)]))?;
                (tabs, clear)
            }
        };
        let along = (line.p1 - line.p0).normalize();
        let ahead = Vec2::new(-along.y, along.x) * self.options.register_reach();
        let pair = |(from, to): &(f64, f64)| {
            let at = line.p0 + along * f64::midpoint(*from, *to);
            [at - ahead, at + ahead]
        };
        Some(Joint {
            line,
            tabs,
            register: webs.iter().map(pair).collect(),
            size,
            clear,
        })
    }

    /// True where what is cut crosses a line steeply, so that webs are left for tabs.
    pub(super) fn is_crossed_steeply(&self, line: Line) -> bool {
        let along = (line.p1 - line.p0).normalize();
        let near = self.options.joint_reach();
        self.cuts.iter().all(|&(cut, width)| {
            let steep = along.cross((cut.p1 - cut.p0).normalize()).abs() >= LEAST_SINE;
            steep || self.taken(line, (cut, width), near).is_none()
        })
    }

    /// The stretch of a joint's line that something cut takes as far as `near` mm to both sides of it.
    fn taken(&self, line: Line, (cut, width): (Line, f64), near: f64) -> Option<(f64, f64)> {
        let along = (line.p1 - line.p0).normalize();
        let local = |point: Point| (along.dot(point - line.p0), along.cross(point - line.p0));
        let ((mut t0, n0), (mut t1, n1)) = (local(cut.p0), local(cut.p1));
        let sine = along.cross((cut.p1 - cut.p0).normalize()).abs();
        let near = near + width / 2.0 * (1.0 - sine * sine).max(0.0).sqrt();
        if n0.max(n1) < -near || n0.min(n1) > near {
            return None;
        }
        if (n1 - n0).abs() > f64::EPSILON {
            let at = |n: f64| t0 + (t1 - t0) * ((n.clamp(-near, near) - n0) / (n1 - n0));
            (t0, t1) = (at(n0), at(n1));
        }
        let half = width / 2.0 / sine.max(LEAST_SINE / 2.0) + self.options.bridge;
        let (from, to) = (t0.min(t1) - half, t0.max(t1) + half);
        let length = (line.p1 - line.p0).hypot();
        (to > 0.0 && from < length).then_some((from, to))
    }

    /// Where tabs find room along a joint: the outermost webs beside what is cut across it, one divided where it is alone.
    fn webs(&self, line: Line, tip: f64) -> Vec<(f64, f64)> {
        let (length, bridge) = ((line.p1 - line.p0).hypot(), self.options.bridge);
        let near = self.options.joint_reach();
        let taken = self
            .cuts
            .iter()
            .filter_map(|&cut| self.taken(line, cut, near));
        let mut webs = left_over((bridge, length - bridge), taken.collect());
        webs.retain(|(from, to)| to - from >= tip);
        match webs[..] {
            [(from, to)] if to - from >= 2.0 * tip + bridge => {
                let (middle, half) = (f64::midpoint(from, to), bridge / 2.0);
                vec![(from, middle - half), (middle + half, to)]
            }
            [first, .., last] => vec![first, last],
            _ => webs,
        }
    }
}

/// The joints of a frame, as slots see them.
impl KeepOff for Vec<Joint> {
    fn along(&self, line: Line, width: f64, bridge: f64, mut taken: Vec<(f64, f64)>) -> Stretches {
        let length = (line.p1 - line.p0).hypot();
        let direction = (line.p1 - line.p0) / length;
        for joint in self {
            let along = joint.along();
            let sine = along.cross(direction).abs();
            let Some(at) = line.crossing_point(joint.line) else {
                continue;
            };
            let station = direction.dot(at - line.p0);
            let across = along.dot(at - joint.line.p0);
            let beside = width / 2.0 * (1.0 - sine * sine).max(0.0).sqrt();
            let reach = (bridge.max(joint.clear) + beside) / sine;
            // A joint ends with the material: what is beyond it is not its business.
            let span = (joint.line.p1 - joint.line.p0).hypot();
            if (-width..=span + width).contains(&across) {
                taken.push((station - reach, station + reach));
            }
        }
        Stretches {
            taken,
            ..Stretches::default()
        }
    }

    fn is_near(&self, point: Point, width: f64, bridge: f64) -> bool {
        self.iter().any(|joint| {
            let reach = bridge.max(joint.clear) + width / 2.0;
            joint.line.nearest(point, ROUND_OFF_MM).distance_sq < reach * reach
        })
    }
}
