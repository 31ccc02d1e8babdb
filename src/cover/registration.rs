//! Registration marks: two on every joint, as far apart as it allows.
//!
//! An angle is held the better the further its two marks stand apart. A seam reaches no further than
//! what is left of both sheets once they are cut; a mark whose room lies within it is therefore
//! whole on both. From each end of a seam the first place counts that is clear of sheets laid between
//! the two, of other registration marks, of the layout's marks and of the layout itself. Where
//! nothing is, the least of these faults counts, and then again the outermost place.

use kurbo::{Line, Point, Rect};

use super::{Content, Joint, PlacedSheet, RegistrationMark, content::meets};
use crate::{plan::bounds, units::ROUND_OFF_MM};

/// Half side in mm of the square that a registration mark needs for itself: its arms of 4 mm and a little.
const ROOM_MM: f64 = 5.0;

/// Least distance in mm from a mark of the layout and from another registration mark, so that nobody takes one for the other,
/// nor the name of one for the other's.
const FROM_MARK_MM: f64 = 22.0;

/// Step in mm in which places are tried from the end of a seam on: an angle gains nothing from a finer one.
const STEP_MM: f64 = 1.0;

/// How far from its end of the seam a mark may stand, as a part of the seam's length: it rather lies on the layout than
/// beside the other mark of its joint.
const FURTHEST_IN: f64 = 0.36;

/// The registration marks of all joints, two of each in the order of the joints. The sheets are cut as they are to be, by `depth` mm.
pub(super) fn registration_marks(
    joints: &[Joint],
    sheets: &[PlacedSheet],
    depth: f64,
    content: &Content,
) -> Vec<RegistrationMark> {
    let papers: Vec<Rect> = sheets
        .iter()
        .map(|sheet| laid_paper(sheet, depth))
        .collect();
    let regions: Vec<(&Vec<Point>, Rect)> = content
        .regions
        .iter()
        .map(|region| (region, bounds(region)))
        .collect();
    let mut marks: Vec<RegistrationMark> = Vec::with_capacity(2 * joints.len());
    for joint in joints {
        let Line { p0, p1 } = joint.seam;
        let around = room(p0).union(room(p1));
        let between = papers[joint.under + 1..joint.over].iter();
        let hiding: Vec<Rect> = between
            .map(|paper| paper.intersect(around))
            .filter(|hidden| hidden.area() > 0.0)
            .collect();
        // What is further off can crowd no place on this seam.
        let near = Rect::from_points(p0, p1).inflate(FROM_MARK_MM, FROM_MARK_MM);
        let touches = |other: Rect| {
            other.x0 <= near.x1 && near.x0 <= other.x1 && other.y0 <= near.y1 && near.y0 <= other.y1
        };
        let holds = |at: &Point| touches(Rect::from_points(*at, *at));
        let regions: Vec<&[Point]> = regions
            .iter()
            .filter(|(_, around)| touches(*around))
            .map(|(region, _)| region.as_slice())
            .collect();
        let layout_marks: Vec<Point> = content.marks.iter().copied().filter(holds).collect();
        let mut others: Vec<Point> = marks.iter().map(|mark| mark.at).filter(holds).collect();
        for (from, to) in [(p0, p1), (p1, p0)] {
            let ground = Ground {
                regions: &regions,
                marks: &layout_marks,
                hiding: &hiding,
                others: &others,
            };
            let at = ground.outermost(from, to);
            others.push(at);
            let id = format!("r{}", marks.len() + 1);
            marks.push(RegistrationMark { id, at });
        }
    }
    marks
}

/// What a sheet covers of the floor once it is cut and laid, its blank margins with it.
fn laid_paper(sheet: &PlacedSheet, depth: f64) -> Rect {
    sheet
        .floor_to_page
        .inverse()
        .transform_rect_bbox(sheet.cut_paper(depth))
}

fn room(at: Point) -> Rect {
    Rect::from_center_size(at, (2.0 * ROOM_MM, 2.0 * ROOM_MM))
}

/// What a seam's registration marks keep clear of.
struct Ground<'a> {
    /// Parts of the layout, and its marks.
    regions: &'a [&'a [Point]],
    marks: &'a [Point],
    /// Where sheets that are laid after the lower one of the joint and before the upper one cover the lower one.
    hiding: &'a [Rect],
    /// Marks of joints before it.
    others: &'a [Point],
}

impl Ground<'_> {
    /// The clear place on a seam that is nearest to `from`; the best of those that are not clear where none is.
    fn outermost(&self, from: Point, to: Point) -> Point {
        let length = from.distance(to);
        let steps = ((FURTHEST_IN * length - ROOM_MM) / STEP_MM)
            .floor()
            .max(0.0) as usize;
        let place = |step| from.lerp(to, (ROOM_MM + STEP_MM * step as f64) / length);
        // The first of equals is the outermost one.
        (0..=steps)
            .map(place)
            .min_by_key(|place| self.crowding(*place))
            .unwrap_or(from)
    }

    /// How badly a place is taken, 0 where it is clear: a mark that nobody sees is worst, then one that is taken for
    /// another one, then one on the layout.
    fn crowding(&self, at: Point) -> u8 {
        let room = room(at);
        let shared = |other: Rect| {
            let shared = room.intersect(other);
            shared.width().min(shared.height()) > ROUND_OFF_MM
        };
        let faults = [
            self.regions.iter().any(|region| meets(region, room)),
            self.others
                .iter()
                .any(|other| other.distance(at) <= FROM_MARK_MM),
            self.marks
                .iter()
                .any(|mark| mark.distance(at) <= FROM_MARK_MM),
            self.others.iter().any(|other| shared(self::room(*other))),
            self.hiding.iter().any(|hidden| shared(*hidden)),
        ];
        faults
            .into_iter()
            .enumerate()
            .map(|(rank, fault)| u8::from(fault) << rank)
            .sum()
    }
}

#[cfg(test)]
mod tests;
