//! A frame divided into pieces that fit the bed.

use kurbo::{Line, ParamCurveNearest, Point, Vec2};

use super::{
    Joining, Joint, Region,
    bars::{joints_of, turns},
    rest::crossing,
};
use crate::{
    plan::{FloorPlan, MarkShape},
    stencil::{
        CutError, CutOptions,
        load_size::{LoadSize, smallest_rectangle},
        shape::{Shape, divided, joined},
    },
    units::ROUND_OFF_MM,
};

/// A piece is small whose long side, or whose short side, is below this, mm.
const SMALL_MM: (f64, f64) = (260.0, 80.0);

/// Part of its rectangle that a piece must fill to take in a small one: what fills less wastes more of the bed than a joint costs.
const FULL: f64 = 0.9;

/// The part of the bridge beside a tab at which material must be left beyond the tab's corner.
const TAB_MARGIN: f64 = 0.7;

/// A frame in pieces, with the joints between them.
pub(in crate::stencil) struct Pieces {
    pub shapes: Vec<Shape>,
    pub joints: Vec<Joint>,
}

/// Divides a frame: bars at their junctions and to the bed's length, and whatever is then too large straight across.
///
/// # Errors
/// [`CutError::Joint`] where a piece stays larger than the bed, [`CutError::Joints`] when no two tabs more can be told apart.
pub(in crate::stencil) fn divide(
    region: &Region,
    plan: &FloorPlan,
    options: &CutOptions,
    bed: &LoadSize,
    cuts: &[(Line, f64)],
) -> Result<Pieces, CutError> {
    let mut joining = Joining::new(options, cuts);
    let mut joints = Vec::new();
    let mut pieces = Vec::new();
    // Tabs may reach out at both ends.
    let most = bed.longest() - 2.0 * options.tab_length();
    for shape in &region.shapes {
        if bed.lays(&shape.outer).is_some() {
            pieces.push(shape.clone());
            continue;
        }
        let lines = region
            .bars
            .iter()
            .filter(|bar| bar.width <= bed.shortest())
            .flat_map(|bar| joints_of(bar, shape, plan, options, most));
        let of_bars = add(&mut joining, lines)?;
        pieces.extend(divided(shape, &profiles(&of_bars)));
        joints.extend(of_bars);
    }
    let mut done = Vec::new();
    while let Some(piece) = pieces.pop() {
        if bed.lays(&piece.outer).is_some() {
            done.push(piece);
            continue;
        }
        let keep_off = turns(&piece);
        let parts = crossing(&piece, bed, |line| {
            is_good(line, &keep_off, plan, options)
                && ends_squarely(line, &piece, options)
                && joining.is_crossed_steeply(line)
        });
        let Some(lines) = parts else {
            let (width, height) = bed.sides();
            return Err(CutError::Joint {
                size: (width, height),
                near: piece.bounds().center(),
            });
        };
        let across = add(&mut joining, lines.into_iter())?;
        let parts = divided(&piece, &profiles(&across));
        debug_assert!(parts.len() > 1);
        pieces.extend(parts);
        joints.extend(across);
    }
    let mut pieces = Pieces {
        shapes: done,
        joints,
    };
    pieces.take_in_small_ones(bed);
    Ok(pieces)
}

impl Pieces {
    /// Joins small pieces to a neighbour where both together fill their rectangle and fit the bed: a joint less, and nothing
    /// that gets lost.
    fn take_in_small_ones(&mut self, bed: &LoadSize) {
        let mut index = 0;
        while let Some(joint) = self.joints.get(index) {
            index += 1;
            let at = |point: Point| self.shapes.iter().position(|shape| shape.holds(point));
            let [Some(one), Some(other)] = joint.beside().map(at) else {
                continue;
            };
            let sides = [one, other].map(|piece| {
                let (_, rect) = smallest_rectangle(&self.shapes[piece].outer);
                (
                    rect.width().max(rect.height()),
                    rect.width().min(rect.height()),
                )
            });
            let is_small = sides
                .iter()
                .any(|(long, short)| *long < SMALL_MM.0 || *short < SMALL_MM.1);
            if one == other || !is_small {
                continue;
            }
            let Some(whole) = joined(&self.shapes[one], &self.shapes[other]) else {
                continue;
            };
            let Some((_, rect)) = bed.lays(&whole.outer) else {
                continue;
            };
            if whole.area() < FULL * rect.area() {
                continue;
            }
            self.shapes[one] = whole;
            self.shapes.swap_remove(other);
            // All joints between the two are inside now.
            let shapes = &self.shapes;
            let inside = |joint: &Joint| {
                let [before, behind] = joint.beside();
                shapes
                    .iter()
                    .any(|shape| shape.holds(before) && shape.holds(behind))
            };
            self.joints.retain(|joint| !inside(joint));
            index = 0;
        }
    }
}

fn add(
    joining: &mut Joining<'_>,
    lines: impl Iterator<Item = Line>,
) -> Result<Vec<Joint>, CutError> {
    let mut joints = Vec::new();
    for line in lines {
        joints.push(joining.joint(line).ok_or(CutError::Joints)?);
    }
    Ok(joints)
}

fn profiles(joints: &[Joint]) -> Vec<Vec<Point>> {
    joints.iter().map(Joint::profile).collect()
}

/// True where a joint keeps off corners of the material and marks.
fn is_good(line: Line, turns: &[Point], plan: &FloorPlan, options: &CutOptions) -> bool {
    let off = |point: Point| line.nearest(point, ROUND_OFF_MM).distance_sq.sqrt();
    let room = options.joint_reach();
    let least = options.tab() + 2.0 * options.bridge;
    (line.p1 - line.p0).hypot() >= least
        && turns
            .iter()
            .all(|turn| off(*turn) >= options.tab_length() + options.bridge)
        && plan
            .marks
            .iter()
            .all(|mark| off(mark.at) >= MarkShape::FULL.arm + room)
}

/// True where the material reaches beyond the corners of tabs at both ends of a joint: across a bend one would stand out of it.
fn ends_squarely(line: Line, piece: &Shape, options: &CutOptions) -> bool {
    let along = (line.p1 - line.p0).normalize();
    let ahead = left(along) * options.tab_length();
    [(line.p0, along), (line.p1, -along)]
        .into_iter()
        .all(|(end, inward)| {
            let corner = end + inward * (TAB_MARGIN * options.bridge);
            [ahead, -ahead]
                .into_iter()
                .all(|beside| piece.holds(corner + beside))
        })
}

/// A unit vector a quarter turn to the left.
pub(super) fn left(along: Vec2) -> Vec2 {
    Vec2::new(-along.y, along.x)
}
