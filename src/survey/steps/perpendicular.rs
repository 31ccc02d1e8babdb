//! The perpendicular way: station, right angle, offset.

use kurbo::Point;

use super::{
    Instruction, ON_LINE_MM, Spot, Step, TapedLength,
    course::Course,
    datum::{begin, stations},
    right_angle::{Arcs, RightAngle},
    sections::{Carried, Section, carriers, middles, sections, spot, zero},
};
use crate::plan::FloorPlan;

/// The steps, and the points that are no marks.
pub(super) fn steps(plan: &FloorPlan, carried: &[Carried], inches: bool) -> (Vec<Step>, Vec<Spot>) {
    let mut work = Work {
        course: Course::new(plan),
        help: middles(plan).to_vec(),
        strings: Vec::new(),
        inches,
    };
    work.help.push(zero());
    begin(&mut work.course);
    let sections = direct(plan, carried);
    let on_line: Vec<&Section> = sections.iter().collect();
    stations(&mut work.course, &on_line);
    for section in sections
        .iter()
        .filter(|section| section.centre.is_none() && section.foot.at != Point::ORIGIN)
    {
        work.help.push(section.foot.clone());
    }
    work.string_ends(carried);
    for index in order(plan, &sections) {
        work.offsets(&sections[index]);
    }
    work.ends_off_stations(&sections);
    work.strings(carried);
    (work.course.steps, work.help)
}

/// Sections with the marks that are taped from the line, those without any left out.
fn direct(plan: &FloorPlan, carried: &[Carried]) -> Vec<Section> {
    let mut sections = sections(plan);
    for section in &mut sections {
        section
            .sides
            .retain(|side| carried.iter().all(|carried| carried.mark != *side));
    }
    sections.retain(|section| section.centre.is_some() || !section.sides.is_empty());
    sections
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

struct Work<'p> {
    course: Course<'p>,
    help: Vec<Spot>,
    /// Ends of strings, by their distance left of the line: front and rear end.
    strings: Vec<(f64, [Spot; 2])>,
    inches: bool,
}

impl Work<'_> {
    /// Finds or names the ends of the strings that carried marks are set along.
    fn string_ends(&mut self, carried: &[Carried]) {
        let plan = self.course.plan;
        let mut helped = 0;
        for Carried { ends, .. } in carried {
            if self.string(ends[0].y).is_some() {
                continue;
            }
            let named = ends.map(|end| {
                let mark = plan
                    .marks
                    .iter()
                    .position(|mark| mark.at.distance(end) < ON_LINE_MM);
                mark.map_or_else(
                    || {
                        helped += 1;
                        let help = Spot {
                            name: format!("h{helped}"),
                            at: end,
                        };
                        self.help.push(help.clone());
                        help
                    },
                    |mark| spot(plan, mark),
                )
            });
            self.strings.push((ends[0].y, named));
        }
    }

    fn string(&self, y: f64) -> Option<&[Spot; 2]> {
        self.strings
            .iter()
            .find(|(known, _)| (known - y).abs() < ON_LINE_MM)
            .map(|(_, ends)| ends)
    }

    /// Help points of strings that are set from a foot.
    fn help_at(&self, foot: Point) -> Vec<Spot> {
        let ends = self.strings.iter().flat_map(|(_, ends)| ends);
        let help =
            ends.filter(|end| (end.at.x - foot.x).abs() < ON_LINE_MM && self.help.contains(end));
        help.cloned().collect()
    }

    /// The offsets of one station, left and right.
    fn offsets(&mut self, section: &Section) {
        let plan = self.course.plan;
        let marks = section.sides.clone();
        let help = self.help_at(section.foot.at);
        let ends: Vec<Spot> = marks
            .iter()
            .map(|&mark| spot(plan, mark))
            .chain(help)
            .collect();
        self.set_off(&section.foot, &ends, marks);
    }

    /// Help points where no station is: square to the vehicle's own ends.
    fn ends_off_stations(&mut self, sections: &[Section]) {
        for foot in carriers(self.course.plan) {
            let known = |section: &&Section| {
                (section.foot.at.x - foot.at.x).abs() < ON_LINE_MM && !section.sides.is_empty()
            };
            let help = self.help_at(foot.at);
            if !help.is_empty() && !sections.iter().any(|section| known(&section)) {
                self.set_off(&foot, &help, Vec::new());
            }
        }
    }

    fn set_off(&mut self, foot: &Spot, ends: &[Spot], marks: Vec<usize>) {
        let offset = ends.iter().map(|end| end.at.y.abs()).fold(0.0, f64::max);
        let angle = RightAngle::at(self.course.plan, foot.at, offset, self.inches);
        let on_side = |sign: f64| ends.iter().any(|end| sign * end.at.y > 0.0);
        let instruction = Instruction::SquareOff {
            foot: foot.name.clone(),
            angle,
            arcs: Arcs::at(self.course.plan, foot.at, offset, self.inches),
            left: on_side(1.0),
            right: on_side(-1.0),
            helps: ends.iter().any(|end| self.help.contains(end)),
            inches: self.inches,
        };
        let tape: Vec<TapedLength> = ends.iter().map(|end| self.course.pull(foot, end)).collect();
        if marks.is_empty() {
            self.course
                .add_checked(instruction, marks, tape, Vec::new());
        } else {
            self.course.add(instruction, marks, tape);
        }
        self.check_help(ends);
    }

    /// Help points are checked against each other, left against right.
    fn check_help(&mut self, ends: &[Spot]) {
        let help: Vec<&Spot> = ends.iter().filter(|end| self.help.contains(end)).collect();
        let mut checks = Vec::new();
        for left in help.iter().filter(|end| end.at.y > 0.0) {
            let mirrored = help
                .iter()
                .find(|right| (left.at.y + right.at.y).abs() < ON_LINE_MM);
            checks.extend(mirrored.map(|right| self.course.pull(left, right)));
        }
        if let Some(step) = self.course.steps.last_mut() {
            step.check.extend(checks);
        }
    }

    /// Marks beside wheels, along strings parallel to the line, left and right of it in one step.
    fn strings(&mut self, carried: &[Carried]) {
        let plan = self.course.plan;
        let mut offsets: Vec<f64> = carried
            .iter()
            .map(|carried| carried.ends[0].y.abs())
            .collect();
        offsets.sort_by(f64::total_cmp);
        offsets.dedup_by(|a, b| (*a - *b).abs() < ON_LINE_MM);
        for offset in offsets {
            let mut marks: Vec<usize> = carried
                .iter()
                .filter(|c| (c.ends[0].y.abs() - offset).abs() < ON_LINE_MM)
                .map(|c| c.mark)
                .collect();
            marks.sort_by(|&a, &b| {
                let (a, b) = (plan.marks[a].at, plan.marks[b].at);
                b.y.total_cmp(&a.y).then(b.x.total_cmp(&a.x))
            });
            let mut strings: Vec<[String; 2]> = Vec::new();
            let mut tape = Vec::new();
            for &mark in &marks {
                let Some([front, rear]) = self.string(plan.marks[mark].at.y) else {
                    continue;
                };
                let ends = [front, rear].map(|end| end.name.clone());
                if !strings.contains(&ends) {
                    strings.push(ends);
                }
                tape.push(self.course.pull(front, &spot(plan, mark)));
            }
            let instruction = Instruction::Strings {
                strings,
                offset,
                inches: self.inches,
            };
            self.course.add(instruction, marks, tape);
        }
    }
}
