//! From a layout to a stencil.

use kurbo::{Line, Point, Rect};

use super::{
    CutError, CutNote, CutOptions, CutPlan, Joint, Piece, REGISTER_HOLE_MM,
    bed::Bed,
    edges::{Edges, edges_of},
    frame::{self, Region},
    joints::Joints,
    keep_off::KeepOff,
    load_size::LoadSize,
    loss::losses,
    marks::cut_marks,
    names::{letter, pieces_label},
    nest::nest,
    opening::Opening,
    outline::{Notches, alignment_bites},
    pens::cut_panels,
    score::{scores, within},
    shape::{Shape, remaining},
    strips::{Strip, cut_strips, strips},
    whole,
};
use crate::plan::FloorPlan;

/// Material beyond everything that is cut out of a field, mm.
const RIM_MM: f64 = 50.0;

/// Material beyond everything that is cut, besides a bridge, mm: alignment notches and a mark's pad
/// find room in it.
const RIM_BESIDE_BRIDGE_MM: f64 = 30.0;

/// Pieces count as beside each other, left and right, whose middles lie no further apart than this along x, mm.
const ROW_MM: f64 = 300.0;

/// Pairs of register holes at a joint: two say also whether it is straight.
const REGISTER_PAIRS: usize = 2;

/// Makes the stencil of a layout: a frame about what is cut, or a mat over its extent and a rim, in pieces that fit the bed
/// and lie on its loads.
///
/// Slots have the tape strips' width and stop before marks and crossings, where the pad between
/// them holds the mark's centre hole. Bridges divide slots evenly, never further apart than asked.
/// What cannot be cut as wanted is told in [`CutPlan::notes`]; nothing is left out silently.
///
/// # Errors
/// [`CutError`] when options are out of range or do not go with the strips, when no joints can be
/// found, when a strip or a mark cannot be cut whole, or when a piece would not be one piece (which
/// the placing of openings excludes).
pub fn cut(plan: &FloorPlan, options: &CutOptions) -> Result<CutPlan, CutError> {
    let widths = plan.lines.iter().map(|line| line.width);
    options.check(widths.reduce(f64::min))?;
    if plan.marks.is_empty() {
        return Err(CutError::Nothing);
    }
    let strips = strips(plan);
    let Cut {
        shapes,
        joints,
        openings,
        scores,
        mut notes,
    } = if options.field {
        field(plan, &strips, options)?
    } else {
        frame(plan, &strips, options)?
    };
    let lost = losses(plan, &strips, openings.iter(), options);
    if !(options.partial || lost.is_empty()) {
        return Err(CutError::Partial(lost));
    }
    let mut pieces = pieces(shapes, &openings, &scores);
    pieces.iter().try_for_each(whole::check)?;
    for joint in &joints {
        let (from, to) = (joint.line.p0, joint.line.p1);
        if !joint.has_tabs() {
            notes.push(CutNote::JointWithoutNotch(from, to));
        } else if joint.register.len() < REGISTER_PAIRS {
            notes.push(CutNote::JointWithoutRegister(from, to));
        }
    }
    for (index, piece) in pieces.iter_mut().enumerate() {
        piece.label = pieces_label(index);
    }
    notes.extend(letter(plan, &strips, &joints, &mut pieces));
    let loads = nest(&pieces, options);
    Ok(CutPlan {
        pieces,
        joints,
        loads,
        options: options.clone(),
        notes,
    })
}

/// A stencil whose pieces have no names yet.
struct Cut {
    shapes: Vec<Shape>,
    joints: Vec<Joint>,
    openings: Vec<Opening>,
    scores: Vec<Line>,
    notes: Vec<CutNote>,
}

/// A mat over the layout's extent, divided along a grid.
fn field(plan: &FloorPlan, strips: &[Strip], options: &CutOptions) -> Result<Cut, CutError> {
    let rim = RIM_MM.max(options.bridge + RIM_BESIDE_BRIDGE_MM);
    let first = plan.marks[0].at;
    // The centreline is always on the mat: two marks lie on it.
    let mat = plan
        .extent_with(Rect::from_points(first, first))
        .inflate(rim, rim);
    let joints = Joints::divide(mat, plan, strips, options)?;
    let mut bed = Bed::new(options);
    let mut notes = fill(&mut bed, plan, strips, &joints, options);
    let scores = scores(mat, plan, &bed);
    let notches = Notches::set(mat, plan, &joints, &bed, &scores);
    notes.extend(notches.notes.iter().cloned());
    let shapes = joints
        .areas()
        .map(|area| Shape {
            outer: notches.outline(area),
            holes: Vec::new(),
        })
        .collect();
    Ok(Cut {
        shapes,
        joints: Vec::new(),
        openings: bed.into_openings(),
        scores,
        notes,
    })
}

/// Material about what is cut, in bars and corner pieces.
fn frame(plan: &FloorPlan, strips: &[Strip], options: &CutOptions) -> Result<Cut, CutError> {
    let mut region = Region::about(plan, strips, options);
    for shape in &mut region.shapes {
        let bites = alignment_bites(shape, plan);
        if let [bitten] = &remaining(shape, &bites)[..] {
            *shape = bitten.clone();
        }
    }
    let cuts = what_is_cut(plan, strips, options);
    let size = LoadSize::of(options);
    let mut divided = frame::divide(&region, plan, options, &size, &cuts)?;
    let mut bed = Bed::new(options);
    let clear = options.bridge + REGISTER_HOLE_MM / 2.0;
    for joint in &mut divided.joints {
        let has_room = |at: &Point| divided.shapes.iter().all(|shape| shape.keeps(*at, clear));
        joint.register.retain(|pair| pair.iter().all(has_room));
        for hole in joint.register_holes() {
            bed.place(hole, None);
        }
    }
    let notes = fill(&mut bed, plan, strips, &divided.joints, options);
    let extent = region
        .shapes
        .iter()
        .map(Shape::bounds)
        .reduce(|a, b| a.union(b));
    let scores = scores(extent.unwrap_or_default(), plan, &bed);
    Ok(Cut {
        shapes: divided.shapes,
        joints: divided.joints,
        openings: bed.into_openings(),
        scores,
        notes,
    })
}

/// Places all openings; what had no room.
fn fill(
    bed: &mut Bed,
    plan: &FloorPlan,
    strips: &[Strip],
    joints: &impl KeepOff,
    options: &CutOptions,
) -> Vec<CutNote> {
    let mut notes = cut_marks(bed, plan, options, joints);
    notes.extend(cut_strips(bed, strips, plan, joints, options));
    notes.extend(cut_panels(bed, plan, joints, options));
    notes
}

/// Middle lines and widths of everything long that is cut; circles as chords.
fn what_is_cut(plan: &FloorPlan, strips: &[Strip], options: &CutOptions) -> Vec<(Line, f64)> {
    let pens = plan
        .panels
        .iter()
        .flat_map(|panel| match edges_of(plan, panel) {
            Edges::Straight(edges) => edges,
            Edges::Circle { centre, radius } => frame::chords(centre, radius),
        });
    strips
        .iter()
        .map(|strip| (strip.axis, strip.width))
        .chain(pens.map(|edge| (edge, options.pen())))
        .collect()
}

/// Pieces with what lies on each, from the front to the rear, then from left to right.
fn pieces(mut shapes: Vec<Shape>, openings: &[Opening], scores: &[Line]) -> Vec<Piece> {
    let place = |shape: &Shape| -> (i64, i64) {
        let Point { x, y } = shape.bounds().center();
        ((-x / ROW_MM).round() as i64, (-y).round() as i64)
    };
    shapes.sort_by_key(place);
    let piece = |shape: Shape| Piece {
        label: String::new(),
        openings: openings
            .iter()
            .filter(|opening| shape.holds(opening.middle()))
            .cloned()
            .collect(),
        scores: scores
            .iter()
            .flat_map(|line| within(*line, &shape))
            .collect(),
        lettering: Vec::new(),
        shape,
    };
    shapes.into_iter().map(piece).collect()
}
