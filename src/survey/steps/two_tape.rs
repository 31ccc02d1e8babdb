//! The two-tape way: where two distances from the base marks meet, on the empty floor. With a vehicle there the tapes would
//! run below it to nearly every mark.

use super::{
    Instruction, MarkErrors, ON_LINE_MM, Spot, Step,
    course::Course,
    datum::{begin, drive_on, stations},
    perpendicular::{feet, offsets},
    sections::{Section, sections, spot, zero},
};
use crate::{plan::FloorPlan, survey::LayingFloor};

/// The steps, and the points that are no marks. Marks whose arcs cross too flat are set square to the line.
pub(super) fn steps(
    plan: &FloorPlan,
    errors: &[MarkErrors],
    inches: bool,
) -> (Vec<Step>, Vec<Spot>) {
    let mut course = Course::new(plan, LayingFloor::Empty);
    begin(&mut course);
    let sections = sections(plan);
    let flat = |mark: &usize| errors[*mark].too_flat();
    let on_line: Vec<&Section> = sections
        .iter()
        .filter(|section| section.centre.is_some() || section.sides.iter().any(flat))
        .collect();
    stations(&mut course, &on_line);
    for section in &sections {
        let good: Vec<usize> = section
            .sides
            .iter()
            .copied()
            .filter(|mark| !flat(mark))
            .collect();
        for marks in alike(plan, &good) {
            swing(&mut course, marks);
        }
    }
    for section in &on_line {
        let marks: Vec<usize> = section.sides.iter().copied().filter(flat).collect();
        let crossings = marks.iter().filter_map(|&mark| errors[mark].crossing);
        let angle = crossings.map(|crossing| crossing.flatness());
        if !marks.is_empty() {
            let flattest = angle.reduce(f64::min).unwrap_or(0.0);
            offsets(&mut course, section, marks, Some(flattest), inches);
        }
    }
    drive_on(&mut course);
    let help = std::iter::once(zero()).chain(feet(&on_line)).collect();
    (course.steps, help)
}

/// Marks with the same two distances, left and right of the line.
fn alike(plan: &FloorPlan, marks: &[usize]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for &mark in marks {
        let at = plan.marks[mark].at;
        let same = |group: &&mut Vec<usize>| {
            (plan.marks[group[0]].at.y.abs() - at.y.abs()).abs() < ON_LINE_MM
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(mark),
            None => groups.push(vec![mark]),
        }
    }
    groups
}

/// Swings both tapes to marks.
fn swing(course: &mut Course<'_>, marks: Vec<usize>) {
    let plan = course.plan;
    let bases = plan.tape_base.map(|base| spot(plan, base));
    let pulls = bases.iter().flat_map(|base| {
        let to = marks.iter().map(|&mark| spot(plan, mark));
        to.map(|to| course.pull(base, &to)).collect::<Vec<_>>()
    });
    let tape = pulls.collect();
    let instruction = Instruction::Swing {
        marks: marks
            .iter()
            .map(|&mark| (plan.marks[mark].id.clone(), plan.marks[mark].at.y > 0.0))
            .collect(),
        bases: bases.each_ref().map(|base| base.name.clone()),
    };
    course.add(instruction, marks, tape);
}
