//! The perpendicular way on the empty floor: station, right angle, offset.

use super::{
    Instruction, Spot, Step, TapedLength,
    course::Course,
    datum::{begin, drive_on, stations},
    right_angle::{Arcs, Foot, RightAngle},
    sections::{Section, sections, spot, zero},
    standing::triangles,
};
use crate::{plan::FloorPlan, survey::LayingFloor};

/// The steps, and the points that are no marks.
pub(super) fn steps(plan: &FloorPlan, inches: bool) -> (Vec<Step>, Vec<Spot>) {
    let mut course = Course::new(plan, LayingFloor::Empty);
    begin(&mut course);
    let sections = sections(plan);
    let all: Vec<&Section> = sections.iter().collect();
    stations(&mut course, &all);
    for index in order(plan, &sections) {
        let section = &sections[index];
        offsets(&mut course, section, section.sides.clone(), None, inches);
    }
    drive_on(&mut course);
    let help = std::iter::once(zero()).chain(feet(&all)).collect();
    (course.steps, help)
}

/// Feet of sections that are no marks.
pub(super) fn feet<'s>(sections: &'s [&Section]) -> impl Iterator<Item = Spot> + 's {
    let feet = sections
        .iter()
        .filter(|section| section.centre.is_none() && section.foot != zero());
    feet.map(|section| section.foot.clone())
}

/// The foremost station, the rearmost, those between from the front, stations of free marks last.
fn order(plan: &FloorPlan, sections: &[Section]) -> Vec<usize> {
    let free = |index: &usize| {
        sections[*index]
            .sides
            .iter()
            .all(|&mark| plan.marks[mark].station.is_none())
    };
    let with_sides = (0..sections.len()).filter(|&index| !sections[index].sides.is_empty());
    let (last, mut order): (Vec<usize>, Vec<usize>) = with_sides.partition(free);
    if order.len() > 2
        && let Some(rearmost) = order.pop()
    {
        order.insert(1, rearmost);
    }
    order.extend(last);
    order
}

/// Marks of a station, square to the line; `too_flat` is the angle at which two tapes would cross, where that is why.
pub(super) fn offsets(
    course: &mut Course<'_>,
    section: &Section,
    marks: Vec<usize>,
    too_flat: Option<f64>,
    inches: bool,
) {
    let plan = course.plan;
    let y = |mark: &usize| plan.marks[*mark].at.y;
    let offset = marks.iter().map(|mark| y(mark).abs()).fold(0.0, f64::max);
    let foot = Foot {
        at: section.foot.at,
        left: marks.iter().any(|mark| y(mark) > 0.0),
        right: marks.iter().any(|mark| y(mark) < 0.0),
    };
    let angle = RightAngle::at(plan, course.floor, &[foot], offset, inches);
    let arcs = Arcs::at(plan, course.floor, foot, offset, inches);
    let tape: Vec<TapedLength> = marks
        .iter()
        .map(|&mark| course.pull(&section.foot, &spot(plan, mark)))
        .collect();
    let instruction = Instruction::SquareOff {
        foot: section.foot.name.clone(),
        angle,
        arcs,
        left: foot.left,
        right: foot.right,
        too_flat,
        inches,
    };
    course.add(instruction, marks, tape);
    course.show(Vec::new(), triangles(angle, arcs, foot));
}
