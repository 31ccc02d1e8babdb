//! What both ways begin with on the empty floor: a line, the zero point, stations along the line; and how they end.

use super::{
    Instruction, ON_LINE_MM, Spot, TapedLength,
    course::Course,
    sections::{Section, zero},
};

/// The line and the zero point.
pub(super) fn begin(course: &mut Course<'_>) {
    let needed = course.plan.floor.needed;
    let line = Instruction::LineOnFloor {
        ahead: needed.x1,
        behind: -needed.x0,
    };
    for instruction in [line, Instruction::MarkZero(course.plan.template.origin)] {
        course.add_checked(instruction, Vec::new(), Vec::new(), Vec::new());
    }
}

/// The vehicle comes at the end.
pub(super) fn drive_on(course: &mut Course<'_>) {
    let drive_on = Instruction::DriveOn {
        origin: course.plan.template.origin,
        several: course.plan.mat.is_some(),
    };
    course.add_checked(drive_on, Vec::new(), Vec::new(), Vec::new());
}

/// Stations along the line, taped from zero in one go each way.
pub(super) fn stations(course: &mut Course<'_>, sections: &[&Section]) {
    let zero = zero();
    let here: Vec<usize> = sections
        .iter()
        .filter(|s| s.foot.at.x.abs() < ON_LINE_MM)
        .filter_map(|s| s.centre)
        .collect();
    if !here.is_empty() {
        course.add_checked(Instruction::DrawZero, here, Vec::new(), Vec::new());
    }
    let ahead: Vec<&Section> = sections
        .iter()
        .copied()
        .filter(|s| s.foot.at.x >= ON_LINE_MM)
        .rev()
        .collect();
    let behind: Vec<&Section> = sections
        .iter()
        .copied()
        .filter(|s| s.foot.at.x <= -ON_LINE_MM)
        .collect();
    let foremost: Option<Spot> = ahead.last().map(|section| section.foot.clone());
    for (side, forward, from) in [(ahead, true, None), (behind, false, foremost)] {
        let Some(last) = side.last() else { continue };
        let tape: Vec<TapedLength> = side
            .iter()
            .map(|section| course.pull(&zero, &section.foot))
            .collect();
        let marks: Vec<usize> = side.iter().filter_map(|section| section.centre).collect();
        let check = from
            .as_ref()
            .filter(|from| from.at.distance(last.foot.at) > ON_LINE_MM)
            .map(|from| course.pull(from, &last.foot));
        let stations = Instruction::Stations {
            forward,
            count: side.len(),
        };
        course.add_checked(stations, marks, tape, check.into_iter().collect());
    }
}
