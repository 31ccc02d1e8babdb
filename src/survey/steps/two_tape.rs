//! The two-tape way: where two distances from the base marks meet.

use super::{
    Instruction, MarkErrors, ON_LINE_MM, Step, TapedLength,
    course::Course,
    datum::{begin, stations},
    sections::{Section, sections, spot},
};
use crate::plan::FloorPlan;

/// The steps. Marks whose arcs cross too flat are referred to their step of the perpendicular way.
pub(super) fn steps(plan: &FloorPlan, errors: &[MarkErrors], perpendicular: &[Step]) -> Vec<Step> {
    let mut course = Course::new(plan);
    begin(&mut course);
    let sections = sections(plan);
    let on_line: Vec<&Section> = sections
        .iter()
        .filter(|section| section.centre.is_some())
        .collect();
    stations(&mut course, &on_line);
    let flat = |mark: &usize| {
        errors[*mark]
            .crossing
            .is_none_or(|crossing| crossing.is_flat())
    };
    let instead = |mark: usize| {
        perpendicular
            .iter()
            .find(|step| step.marks.contains(&mark))
            .map_or(0, |step| step.number)
    };
    for section in &sections {
        let good: Vec<usize> = section
            .sides
            .iter()
            .copied()
            .filter(|mark| !flat(mark))
            .collect();
        for marks in alike(plan, &good) {
            let step = instead(marks[0]);
            swing(&mut course, marks, step);
        }
    }
    let flat: Vec<usize> = sections
        .iter()
        .flat_map(|section| section.sides.iter().copied())
        .filter(flat)
        .collect();
    for (step, marks) in by_step(&flat, perpendicular) {
        refer(&mut course, step, marks, errors);
    }
    course.steps
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

/// Swings both tapes to marks that step `instead` of the perpendicular way sets as well.
fn swing(course: &mut Course<'_>, marks: Vec<usize>, instead: usize) {
    let plan = course.plan;
    let bases = plan.tape_base.map(|base| spot(plan, base));
    let mut tape: Vec<TapedLength> = Vec::new();
    for base in &bases {
        tape.extend(
            marks
                .iter()
                .map(|&mark| course.pull(base, &spot(plan, mark))),
        );
    }
    let instruction = Instruction::Swing {
        marks: marks
            .iter()
            .map(|&mark| (plan.marks[mark].id.clone(), plan.marks[mark].at.y > 0.0))
            .collect(),
        bases: bases.map(|base| base.name),
        instead: tape
            .iter()
            .any(|pull| pull.through_wheel)
            .then_some(instead),
    };
    course.add(instruction, marks, tape);
}

/// Marks by the step of the perpendicular way that sets them.
fn by_step(marks: &[usize], perpendicular: &[Step]) -> Vec<(usize, Vec<usize>)> {
    let steps = perpendicular.iter().map(|step| {
        let set = step
            .marks
            .iter()
            .copied()
            .filter(|mark| marks.contains(mark))
            .collect::<Vec<_>>();
        (step.number, set)
    });
    steps.filter(|(_, set)| !set.is_empty()).collect()
}

fn refer(course: &mut Course<'_>, step: usize, marks: Vec<usize>, errors: &[MarkErrors]) {
    let plan = course.plan;
    let crossings = || marks.iter().filter_map(|&mark| errors[mark].crossing);
    let flattest = crossings().reduce(|flat, next| {
        if next.flatness() < flat.flatness() {
            next
        } else {
            flat
        }
    });
    let instruction = Instruction::SetByWay1 {
        marks: marks
            .iter()
            .map(|&mark| plan.marks[mark].id.clone())
            .collect(),
        crossing: flattest.map(|flat| (flat.flatness(), flat.covariance.radius_95())),
        step,
    };
    course.add(instruction, marks, Vec::new());
}
