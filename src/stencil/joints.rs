//! Straight joints that divide the mat into pieces.

use kurbo::{Line, Point, Rect};

use super::{
    CutError, CutOptions,
    edges::{Edges, edges_of},
    keep_off::{KeepOff, Stretches},
    load_size::LoadSize,
    outline::NOTCH_KEEP_OFF_MM,
    strips::Strip,
};
use crate::{
    plan::{FloorPlan, MarkShape, bounds},
    units::{ROUND_OFF, ROUND_OFF_MM},
};

/// Narrowest piece, mm: anything narrower is no panel but a strip that bends.
const NARROWEST_MM: f64 = 100.0;

/// How many pieces more than the fewest are tried before giving up.
const MORE_PIECES: usize = 30;

/// Sine of the angle up to which a strip counts as running along a joint: below some 17° the
/// joint's bridge across a slot becomes longer than three widths.
const ALONG_JOINT: f64 = 0.3;

/// The mat and where it is divided.
#[derive(Clone, Debug)]
pub(super) struct Joints {
    /// x of the mat's ends and of the joints across, rising.
    pub xs: Vec<f64>,
    /// y of the mat's sides and of the joints along, rising.
    pub ys: Vec<f64>,
}

impl Joints {
    /// Divides the mat so that no piece is larger than the material, as few pieces as that takes,
    /// and of like size. Joints keep off marks and alignment notches, and where there is room they do
    /// not run along strips and panels' edges.
    ///
    /// # Errors
    /// [`CutError::Joint`] when there is no place for a joint.
    pub(super) fn divide(
        mat: Rect,
        plan: &FloorPlan,
        strips: &[Strip],
        options: &CutOptions,
    ) -> Result<Self, CutError> {
        let (one, other) = LoadSize::of(options).sides();
        let must = forbidden_by_marks(plan, options);
        let edges = plan
            .panels
            .iter()
            .flat_map(|panel| match edges_of(plan, panel) {
                Edges::Straight(lines) => lines,
                Edges::Circle { .. } => Vec::new(),
            });
        let lines: Vec<(Line, f64)> = strips
            .iter()
            .map(|strip| (strip.axis, strip.width))
            .chain(edges.map(|edge| (edge, options.pen())))
            .collect();
        let mut should = must.clone();
        for (line, width) in lines {
            let direction = (line.p1 - line.p0).normalize();
            let reach = width / 2.0 + options.bridge;
            let around = bounds(&[line.p0, line.p1]).inflate(reach, reach);
            if direction.x.abs() < ALONG_JOINT {
                should[0].push((around.x0, around.x1));
            }
            if direction.y.abs() < ALONG_JOINT {
                should[1].push((around.y0, around.y1));
            }
        }
        let spans = [(mat.x0, mat.x1), (mat.y0, mat.y1)];
        let divided = |axis: usize, most: f64| {
            divide(spans[axis], most, &should[axis])
                .or_else(|| divide(spans[axis], most, &must[axis]))
        };
        let ways = [(one, other), (other, one)]
            .into_iter()
            .filter_map(|(along, across)| {
                Some(Self {
                    xs: divided(0, along)?,
                    ys: divided(1, across)?,
                })
            });
        ways.reduce(|best, way| {
            if way.count() < best.count() {
                way
            } else {
                best
            }
        })
        .ok_or(CutError::Joint {
            size: (one, other),
            near: mat.center(),
        })
    }

    fn count(&self) -> usize {
        (self.xs.len() - 1) * (self.ys.len() - 1)
    }

    /// The areas of the pieces.
    pub(super) fn areas(&self) -> impl Iterator<Item = Rect> + '_ {
        let across = self.ys.windows(2);
        across.flat_map(|y| {
            let along = self.xs.windows(2);
            along.map(move |x| Rect::new(x[0], y[0], x[1], y[1]))
        })
    }

    fn inner(positions: &[f64]) -> &[f64] {
        positions.get(1..positions.len() - 1).unwrap_or_default()
    }
}

impl KeepOff for Joints {
    /// Slots end a bridge before a joint, with their whole width.
    fn along(&self, line: Line, width: f64, bridge: f64, mut taken: Vec<(f64, f64)>) -> Stretches {
        let length = (line.p1 - line.p0).hypot();
        let along = (line.p1 - line.p0) / length;
        let across = |start: f64, speed: f64, other: f64, joints: &[f64]| -> Vec<(f64, f64)> {
            let reach = bridge + width / 2.0 * other.abs();
            let stretch = |joint: &f64| {
                if speed.abs() * length < ROUND_OFF_MM {
                    return ((start - joint).abs() < reach).then_some((0.0, length));
                }
                let (middle, half) = ((joint - start) / speed, reach / speed.abs());
                Some((middle - half, middle + half))
            };
            joints.iter().filter_map(stretch).collect()
        };
        taken.extend(across(line.p0.x, along.x, along.y, Self::inner(&self.xs)));
        taken.extend(across(line.p0.y, along.y, along.x, Self::inner(&self.ys)));
        let open = Vec::new();
        Stretches { taken, open }
    }

    fn is_near(&self, point: Point, width: f64, bridge: f64) -> bool {
        let reach = bridge + width / 2.0;
        Self::inner(&self.xs)
            .iter()
            .any(|x| (point.x - x).abs() < reach)
            || Self::inner(&self.ys)
                .iter()
                .any(|y| (point.y - y).abs() < reach)
    }
}

/// What no joint may touch, along x and along y: the pads of marks, and the notches that align
/// the mat with the vehicle.
fn forbidden_by_marks(plan: &FloorPlan, options: &CutOptions) -> [Vec<(f64, f64)>; 2] {
    let pad = MarkShape::FULL.arm + options.bridge;
    let about = |middle: f64, reach: f64| (middle - reach, middle + reach);
    let mut forbidden = [
        plan.marks
            .iter()
            .map(|mark| about(mark.at.x, pad))
            .collect::<Vec<_>>(),
        plan.marks
            .iter()
            .map(|mark| about(mark.at.y, pad))
            .collect::<Vec<_>>(),
    ];
    forbidden[0].extend(
        plan.vehicle
            .wheels
            .iter()
            .map(|wheel| about(wheel.centre.x, NOTCH_KEEP_OFF_MM)),
    );
    forbidden[1].push(about(0.0, NOTCH_KEEP_OFF_MM));
    forbidden
}

/// Ends and joints of a span: pieces of at most `most`, the fewest that can be found, each joint at
/// the free place nearest to an equal division.
fn divide((from, to): (f64, f64), most: f64, forbidden: &[(f64, f64)]) -> Option<Vec<f64>> {
    let length = to - from;
    let fewest = (length / most - ROUND_OFF).ceil().max(1.0) as usize;
    (fewest..=fewest + MORE_PIECES).find_map(|count| {
        let mut ends = vec![from];
        for index in 1..count {
            let wanted = from + length * index as f64 / count as f64;
            ends.push(nearest_free(wanted, forbidden)?);
        }
        ends.push(to);
        let fits = |pair: &[f64]| {
            let side = pair[1] - pair[0];
            side <= most + ROUND_OFF_MM && (side >= NARROWEST_MM || count == 1)
        };
        ends.windows(2).all(fits).then_some(ends)
    })
}

/// The place nearest to `wanted` within no forbidden stretch; of two equally near the lower.
fn nearest_free(wanted: f64, forbidden: &[(f64, f64)]) -> Option<f64> {
    let is_free = |place: f64| {
        forbidden
            .iter()
            .all(|&(from, to)| place <= from || place >= to)
    };
    let ends = forbidden.iter().flat_map(|&(from, to)| [from, to]);
    std::iter::once(wanted)
        .chain(ends)
        .filter(|place| is_free(*place))
        .min_by(|a, b| {
            (a - wanted)
                .abs()
                .total_cmp(&(b - wanted).abs())
                .then(a.total_cmp(b))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_is_divided_evenly_and_joints_move_off_what_is_forbidden() {
        assert_eq!(divide((0.0, 1000.0), 1000.0, &[]), Some(vec![0.0, 1000.0]));
        assert_eq!(
            divide((0.0, 3000.0), 1200.0, &[(990.0, 1030.0)]),
            Some(vec![0.0, 990.0, 2000.0, 3000.0])
        );
    }

    #[test]
    fn a_joint_that_has_no_place_near_takes_one_piece_more() {
        // Halves of 500 would do, but the middle is forbidden and pieces must not exceed 500.
        let ends = divide((0.0, 1000.0), 500.0, &[(450.0, 550.0)]).unwrap();
        assert_eq!(ends.len(), 4);
        assert!(ends.windows(2).all(|pair| pair[1] - pair[0] <= 500.0));
    }

    #[test]
    fn a_span_without_a_free_place_is_not_divided() {
        assert_eq!(divide((0.0, 1000.0), 400.0, &[(50.0, 950.0)]), None);
    }

    #[test]
    fn a_slanting_strip_keeps_off_a_joint_with_its_whole_width() {
        let joints = Joints {
            xs: vec![0.0, 500.0, 1000.0],
            ys: vec![0.0, 1000.0],
        };
        let taken = joints
            .along(Line::new((0.0, 0.0), (1000.0, 1000.0)), 50.0, 8.0, vec![])
            .taken;
        // (8 + 25 sin 45°) / cos 45° either side of 500 √2.
        let half = 8.0 * 2.0_f64.sqrt() + 25.0;
        assert!(
            (taken[0].0 - (500.0 * 2.0_f64.sqrt() - half)).abs() < 1e-9,
            "{taken:?}"
        );
    }
}
