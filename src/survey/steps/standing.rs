//! The perpendicular way with the vehicle standing there: along strings beside it.
//!
//! Nothing is taped below the body or through a wheel. One string runs below the body, from the plumbed front to the
//! plumbed rear; it is drawn through, nobody reaches below, and nothing is read on it there.

use kurbo::Point;

use super::{
    Instruction, ON_LINE_MM, Spot, Step, TapedLength,
    course::Course,
    right_angle::{Arcs, Foot, RightAngle},
    sections::{Section, middles, sections, spot},
    strings::{Start, Strings, mark_at},
};
use crate::{plan::FloorPlan, survey::LayingFloor};

/// On this floor all of it is done.
const FLOOR: LayingFloor = LayingFloor::VehicleStands;

/// The steps, and the points that are no marks.
pub(super) fn steps(plan: &FloorPlan, strings: &Strings, inches: bool) -> (Vec<Step>, Vec<Spot>) {
    let mut work = Work {
        course: Course::new(plan, FLOOR),
        help: middles(plan).to_vec(),
        strings,
        inches,
    };
    let sections = sections(plan);
    work.line();
    work.ends_of_strings();
    work.starts();
    work.stations(&sections);
    for section in in_order(plan, &sections) {
        work.across(section);
    }
    work.square_out(&sections);
    (work.course.steps, work.help)
}

/// Sections with the base marks first, then from the front.
fn in_order<'s>(plan: &FloorPlan, sections: &'s [Section]) -> Vec<&'s Section> {
    let mut order: Vec<&Section> = sections.iter().collect();
    let base = |section: &Section| {
        section
            .centre
            .is_some_and(|mark| plan.tape_base.contains(&mark))
    };
    order.sort_by_key(|section| !base(section));
    order
}

struct Work<'p> {
    course: Course<'p>,
    help: Vec<Spot>,
    strings: &'p Strings,
    inches: bool,
}

impl Work<'_> {
    /// The vehicle's middle at both ends, and the line through both.
    fn line(&mut self) {
        let plan = self.course.plan;
        let plumb = Instruction::PlumbMiddles {
            badge_off_centre: plan.vehicle.badge_offset.abs() > ON_LINE_MM,
        };
        self.course
            .add_checked(plumb, Vec::new(), Vec::new(), Vec::new());
        let check = Vec::new();
        self.course
            .add_checked(Instruction::StringBelow, Vec::new(), Vec::new(), check);
        self.course.show(vec![middles(plan)], Vec::new());
    }

    /// Square to the line, ahead of the vehicle and behind it, to both sides; then the strings.
    fn ends_of_strings(&mut self) {
        let (plan, strings) = (self.course.plan, self.strings);
        let middles = middles(plan);
        let tape = [0, 1]
            .map(|end| self.course.pull(&middles[end], &strings.feet[end]))
            .to_vec();
        self.help.extend(strings.feet.iter().cloned());
        self.course
            .add_checked(Instruction::Feet, Vec::new(), tape, Vec::new());
        for end in [0, 1] {
            let ends = strings.ends.each_ref().map(|side| side[end].clone());
            self.square_off(&strings.feet[end], &ends);
            self.help.extend(ends);
        }
        let ends = strings.ends.each_ref().map(|side| side.clone());
        let stretch = Instruction::Strings {
            strings: ends
                .each_ref()
                .map(|side| side.each_ref().map(|end| end.name.clone())),
        };
        self.course
            .add_checked(stretch, Vec::new(), Vec::new(), Vec::new());
        self.course.show(ends.to_vec(), Vec::new());
    }

    /// Sets two points off square to the line, left and right, and checks one against the other.
    fn square_off(&mut self, foot: &Spot, ends: &[Spot; 2]) {
        let plan = self.course.plan;
        let offset = self.strings.offset;
        let at = Foot::both(foot.at);
        let angle = RightAngle::at(plan, FLOOR, &[at], offset, self.inches);
        let arcs = Arcs::at(plan, FLOOR, at, offset, self.inches);
        let tape = ends.iter().map(|end| self.course.pull(foot, end)).collect();
        let check = vec![self.course.pull(&ends[0], &ends[1])];
        let instruction = Instruction::SquareOff {
            foot: foot.name.clone(),
            angle,
            arcs,
            left: true,
            right: true,
            too_flat: None,
            inches: self.inches,
        };
        self.course
            .add_checked(instruction, Vec::new(), tape, check);
        self.course.show(Vec::new(), triangles(angle, arcs, at));
    }

    /// What stations count from: plumbed wheel centres carried square to the strings, or points square to the bumper's middle.
    fn starts(&mut self) {
        let (plan, strings) = (self.course.plan, self.strings);
        let marks: Vec<usize> = (0..plan.marks.len())
            .filter(|&mark| strings.starts.contains(&spot(plan, mark)))
            .collect();
        let new: Vec<Spot> = strings
            .starts
            .iter()
            .filter(|start| mark_at(plan, start.at).is_none())
            .cloned()
            .collect();
        match &strings.datum {
            Start::Wheels { front, plumbed } => {
                self.help.extend(plumbed.iter().cloned());
                let tape = [0, 1]
                    .map(|side| self.course.pull(&plumbed[side], &strings.starts[side]))
                    .to_vec();
                let carry = Instruction::CarryWheels {
                    front: *front,
                    wheels: plumbed.each_ref().map(|spot| spot.name.clone()),
                    starts: strings.starts.each_ref().map(|spot| spot.name.clone()),
                };
                // Equal where both wheel centres hang well and the ends of the strings lie square.
                let check = [0, 1]
                    .map(|side| {
                        self.course
                            .pull(&strings.starts[side], &strings.ends[side][0])
                    })
                    .to_vec();
                self.course.add_checked(carry, marks, tape, check);
            }
            Start::Bumper(end) => {
                self.square_off(end, &strings.starts);
                self.course.set(marks);
            }
        }
        self.help.extend(new);
    }

    /// All points on the strings, taped from the starts in one go each way.
    fn stations(&mut self, sections: &[Section]) {
        let strings = self.strings;
        let mut points: Vec<(usize, Spot)> = Vec::new();
        for section in sections {
            for side in self.sides(section) {
                let at = strings.at(section.foot.at.x, side);
                if at.distance(strings.starts[side].at) > ON_LINE_MM {
                    points.push((side, self.point(at)));
                }
            }
        }
        for forward in [true, false] {
            let mut here: Vec<&(usize, Spot)> = points
                .iter()
                .filter(|(side, spot)| (spot.at.x > strings.starts[*side].at.x) == forward)
                .collect();
            let from = |point: &&(usize, Spot)| strings.starts[point.0].at.distance(point.1.at);
            here.sort_by(|a, b| from(a).total_cmp(&from(b)));
            if here.is_empty() {
                continue;
            }
            let tape: Vec<TapedLength> = here
                .iter()
                .map(|(side, spot)| self.course.pull(&strings.starts[*side], spot))
                .collect();
            let along = Instruction::AlongStrings {
                forward,
                starts: strings.starts.each_ref().map(|start| start.name.clone()),
            };
            let marks = self.marks(here.iter().map(|(_, spot)| spot));
            self.course.add(along, marks, tape);
        }
    }

    /// Sides on whose string a section needs a point: both for a string across, ahead of the vehicle or behind it.
    fn sides(&self, section: &Section) -> Vec<usize> {
        if self.crosses(section) {
            return vec![0, 1];
        }
        let marks = section
            .sides
            .iter()
            .map(|&mark| self.course.plan.marks[mark].at.y);
        let mut sides: Vec<usize> = marks.map(Strings::side).collect();
        sides.sort_unstable();
        sides.dedup();
        sides
    }

    /// True where a section lies beyond the body and has marks that lie on no string.
    fn crosses(&self, section: &Section) -> bool {
        let plan = self.course.plan;
        let marks = section.sides.iter().chain(&section.centre);
        marks
            .map(|&mark| plan.marks[mark].at)
            .any(|at| self.strings.cross(&plan.vehicle, at))
    }

    /// A point on a string: a mark, or a point with a name of its own.
    fn point(&mut self, at: Point) -> Spot {
        if let Some(mark) = mark_at(self.course.plan, at) {
            return mark;
        }
        // The end of a string lies roughly in its place along it, and is no station.
        let same = |spot: &&Spot| {
            spot.at.distance(at) < ON_LINE_MM
                && !self.strings.ends.iter().flatten().any(|end| end == *spot)
        };
        if let Some(known) = self.help.iter().find(same) {
            return known.clone();
        }
        let count = self
            .help
            .iter()
            .filter(|spot| spot.name.starts_with('p'))
            .count();
        let spot = Spot {
            name: format!("p{}", count + 1),
            at,
        };
        self.help.push(spot.clone());
        spot
    }

    fn marks<'s>(&self, spots: impl Iterator<Item = &'s Spot>) -> Vec<usize> {
        let plan = self.course.plan;
        spots
            .filter_map(|spot| plan.marks.iter().position(|mark| mark.id == spot.name))
            .collect()
    }

    /// A string across from one side's to the other's, and what lies on it.
    fn across(&mut self, section: &Section) {
        if !self.crosses(section) {
            return;
        }
        let (plan, strings) = (self.course.plan, self.strings);
        let ends = [0, 1].map(|side| self.point(strings.at(section.foot.at.x, side)));
        if section.centre.is_none() {
            self.help.push(section.foot.clone());
        }
        let off: Vec<usize> = section
            .sides
            .iter()
            .copied()
            .filter(|&mark| !strings.carry(plan.marks[mark].at))
            .collect();
        let tape: Vec<TapedLength> = off
            .iter()
            .map(|&mark| self.course.pull(&section.foot, &spot(plan, mark)))
            .collect();
        let [front, rear] = middles(plan);
        let ahead = section.foot.at.x > (front.at.x + rear.at.x) / 2.0;
        let near = if ahead { front } else { rear };
        let same = near.at.distance(section.foot.at) < ON_LINE_MM;
        let instruction = Instruction::Across {
            ends: ends.each_ref().map(|end| end.name.clone()),
            foot: section.foot.name.clone(),
            onto: same.then(|| near.name.clone()),
            offsets: !off.is_empty(),
        };
        let marks = section.centre.into_iter().chain(off).collect();
        self.course.add(instruction, marks, tape);
        if !same {
            let check = self.course.pull(&near, &section.foot);
            self.course.check(check);
        }
        self.course.show(vec![ends], Vec::new());
    }

    /// Marks beside the body that lie on no string: square out from it, those of one distance in one step.
    fn square_out(&mut self, sections: &[Section]) {
        let (plan, strings) = (self.course.plan, self.strings);
        let beside = sections.iter().filter(|section| !self.crosses(section));
        let mut groups: Vec<(f64, Vec<usize>)> = Vec::new();
        for mark in beside.flat_map(|section| &section.sides) {
            let distance = plan.marks[*mark].at.y.abs() - strings.offset;
            if distance.abs() < ON_LINE_MM {
                continue;
            }
            match groups
                .iter_mut()
                .find(|(known, _)| (known - distance).abs() < ON_LINE_MM)
            {
                Some((_, marks)) => marks.push(*mark),
                None => groups.push((distance, vec![*mark])),
            }
        }
        for (distance, marks) in groups {
            self.square_out_by(distance, marks);
        }
    }

    fn square_out_by(&mut self, distance: f64, marks: Vec<usize>) {
        let plan = self.course.plan;
        let from: Vec<Spot> = marks
            .iter()
            .map(|&mark| {
                let at = plan.marks[mark].at;
                let on_string = self.strings.at(at.x, Strings::side(at.y));
                self.point(on_string)
            })
            .collect();
        let feet: Vec<Foot> = from
            .iter()
            .map(|spot| Foot {
                at: spot.at,
                left: spot.at.y > 0.0,
                right: spot.at.y < 0.0,
            })
            .collect();
        let angle = RightAngle::at(plan, FLOOR, &feet, distance.abs(), self.inches);
        let tape = from
            .iter()
            .zip(&marks)
            .map(|(from, &mark)| self.course.pull(from, &spot(plan, mark)))
            .collect();
        let instruction = Instruction::SquareOut {
            from: from.into_iter().map(|spot| spot.name).collect(),
            angle,
            outward: distance > 0.0,
            inches: self.inches,
        };
        self.course.add(instruction, marks, tape);
        let triangles = angle.map_or_else(Vec::new, |angle| angle.triangles(&feet));
        self.course.show(Vec::new(), triangles);
    }
}

/// All that is taped for a right angle, either way.
pub(super) fn triangles(
    angle: Option<RightAngle>,
    arcs: Option<Arcs>,
    foot: Foot,
) -> Vec<[Point; 3]> {
    let angle = angle.map_or_else(Vec::new, |angle| angle.triangles(&[foot]));
    let arcs = arcs.map_or_else(Vec::new, |arcs| arcs.triangles(foot));
    angle.into_iter().chain(arcs).collect()
}
