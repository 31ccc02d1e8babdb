//! What both ways begin with: the vehicle's centreline, the zero point, stations along the line.

use super::{
    Instruction, ON_LINE_MM, Spot, TapedLength,
    course::Course,
    sections::{Section, middles, zero},
};

/// The centreline and the zero point.
pub(super) fn begin(course: &mut Course<'_>) {
    let plan = course.plan;
    let [front, rear] = middles(plan);
    let plumb = Instruction::PlumbMiddles {
        badge_off_centre: plan.vehicle.badge_offset.abs() > ON_LINE_MM,
    };
    let length = course.pull(&front, &rear);
    course.add_checked(plumb, Vec::new(), Vec::new(), vec![length]);
    course.add_checked(Instruction::SnapLine, Vec::new(), Vec::new(), Vec::new());
    let zero = zero();
    let pulls = [&front, &rear].map(|end| course.pull(&zero, end));
    let check: Vec<TapedLength> = pulls
        .into_iter()
        .filter(|pull| pull.distance() > ON_LINE_MM)
        .collect();
    let mark_zero = Instruction::MarkZero(plan.template.origin);
    course.add_checked(mark_zero, Vec::new(), Vec::new(), check);
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
    let foremost = ahead.last().map(|section| section.foot.clone());
    for (side, forward, from) in [(ahead, true, None), (behind, false, foremost)] {
        let Some(last) = side.last() else { continue };
        let tape: Vec<TapedLength> = side
            .iter()
            .map(|section| course.pull(&zero, &section.foot))
            .collect();
        let marks: Vec<usize> = side.iter().filter_map(|section| section.centre).collect();
        let check = station_check(course, &last.foot, from.as_ref(), &zero);
        let ends = middles(course.plan);
        let pairs = side
            .iter()
            .flat_map(|s| ends.iter().map(move |end| (&s.foot, end)));
        let onto = pairs
            .filter(|(foot, end)| foot.at.distance(end.at) < ON_LINE_MM)
            .map(|(foot, end)| [foot.name.clone(), end.name.clone()])
            .collect();
        let stations = Instruction::Stations {
            forward,
            count: side.len(),
            onto,
        };
        course.add_checked(stations, marks, tape, check.into_iter().collect());
    }
}

/// The outermost station against the foremost one, or against the vehicle's end on its side.
fn station_check(
    course: &Course<'_>,
    last: &Spot,
    foremost: Option<&Spot>,
    zero: &Spot,
) -> Option<TapedLength> {
    let [front, rear] = middles(course.plan);
    let end = if last.at.x > 0.0 { front } else { rear };
    let far = if end.at.distance(zero.at) > ON_LINE_MM {
        Some(&end)
    } else {
        None
    };
    let against = foremost
        .or(far)
        .filter(|against| against.at.distance(last.at) > ON_LINE_MM)?;
    Some(course.pull(against, last))
}
