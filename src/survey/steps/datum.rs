//! What both ways begin with: the vehicle's centreline, the zero point, stations along the line.

use super::{
    ON_LINE_MM, Spot, TapedLength,
    course::Course,
    sections::{Section, middles, zero},
};

/// The centreline and the zero point.
pub(super) fn begin(course: &mut Course<'_>) {
    let plan = course.plan;
    let [front, rear] = middles(plan);
    let mut text =
        "Plumb the middle of the vehicle's front and of its rear to the floor: points front and rear.".to_owned();
    if plan.vehicle.badge_offset.abs() > ON_LINE_MM {
        text.push_str(" Do not plumb from the badge: it is off centre.");
    }
    let length = course.pull(&front, &rear);
    course.add_checked(text, Vec::new(), Vec::new(), vec![length]);
    course.add_checked(
        "Stretch a string through front and rear, on past all stations at both ends, and snap the line. It must still \
         run through both points.",
        Vec::new(),
        Vec::new(),
        Vec::new(),
    );
    let zero = zero();
    let origin = plan.template.origin;
    let pulls = [&front, &rear].map(|end| course.pull(&zero, end));
    let check: Vec<TapedLength> = pulls
        .into_iter()
        .filter(|pull| pull.distance() > ON_LINE_MM)
        .collect();
    let text = format!(
        "Mark zero on the line, {origin}: plumb it from the vehicle. Every station is taped from here."
    );
    course.add_checked(text, Vec::new(), Vec::new(), check);
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
        course.add_checked("Zero is a mark: draw it.", here, Vec::new(), Vec::new());
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
    for (side, word, from) in [(ahead, "forward", None), (behind, "rearward", foremost)] {
        let Some(last) = side.last() else { continue };
        let tape: Vec<TapedLength> = side
            .iter()
            .map(|section| course.pull(&zero, &section.foot))
            .collect();
        let marks: Vec<usize> = side.iter().filter_map(|section| section.centre).collect();
        let check = station_check(course, &last.foot, from.as_ref(), &zero);
        let what = if side.len() == 1 {
            "this station"
        } else {
            "these stations in one go, never from mark to mark"
        };
        let mut text =
            format!("Lay the tape {word} along the line, its zero on zero, and mark {what}.");
        for (section, end) in side
            .iter()
            .flat_map(|s| middles(course.plan).map(|end| (s, end)))
        {
            if section.foot.at.distance(end.at) < ON_LINE_MM {
                text.push_str(&format!(
                    " {} must fall on point {}.",
                    section.foot.name, end.name
                ));
            }
        }
        course.add_checked(text, marks, tape, check.into_iter().collect());
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
