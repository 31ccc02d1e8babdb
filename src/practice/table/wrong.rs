//! Wrong answers that are often given.

use super::working::Builder;
use crate::practice::{
    Level, WrongAnswer,
    layout::{Slant, Sum, WorkedOut},
};

/// What it is of, what comes out, mm, and what was done.
type Slip = (String, f64, &'static str);

impl Builder<'_> {
    /// The usual slips with the numbers that they give on this sheet; those that give a right answer are left out.
    pub(super) fn wrong(&self, level: Level) -> Vec<WrongAnswer> {
        let mut slips = Vec::new();
        if level.number() != 3 {
            slips.extend(self.station_slips());
            slips.extend(self.offset_slips());
        }
        slips.extend(self.distance_slips());
        let mut wrong: Vec<WrongAnswer> = Vec::new();
        for (of, mm, meaning) in slips {
            let mut answers = self.questions.iter().flat_map(|question| &question.answers);
            let answer = self.ruling.answer(mm);
            let asked = answers.any(|(known, right)| *known == of && *right != answer);
            let known = wrong.iter().any(|other| other.meaning == meaning);
            if asked && !known {
                wrong.push(WrongAnswer::number(of, answer, meaning));
            }
        }
        wrong
    }

    fn station_slips(&self) -> Vec<Slip> {
        let slips = [
            ("front overhang", 0.0),
            ("rear overhang", 0.0),
            ("wheelbase", -1.0),
        ];
        let meaning = |part: &str, _| match part {
            "front overhang" => "took the axle for the bumper: the front overhang is missing",
            "rear overhang" => "took the axle for the bumper: the rear overhang is missing",
            _ => "sign: stations behind the zero point are negative",
        };
        self.slips("station", &slips, |worked_out| &worked_out.station, meaning)
    }

    fn offset_slips(&self) -> Vec<Slip> {
        let vehicle = &self.drawn.vehicle;
        let (front, rear) = (vehicle.front_track, vehicle.rear_track);
        let slips = [
            ("tyre width", 0.0),
            ("tyre width", 2.0),
            ("track", 2.0),
            ("overall width", 2.0),
            match front > rear {
                true => ("front track", rear / front),
                false => ("rear track", front / rear),
            },
        ];
        let meaning = |part: &str, factor| match part {
            "tyre width" if factor == 0.0 => {
                "forgot half the tyre width: the track ends at the tyre's middle"
            }
            "tyre width" => "took the whole tyre width for its half",
            "track" => "took the whole track for its half",
            "overall width" => "took the whole width for its half",
            _ => "took front and rear track as equal",
        };
        self.slips("offset", &slips, |worked_out| &worked_out.offset, meaning)
    }

    /// What comes out at each mark where the given numbers named get these factors.
    fn slips(
        &self,
        what: &str,
        slips: &[(&str, f64)],
        sum: impl Fn(&WorkedOut) -> &Sum,
        meaning: impl Fn(&str, f64) -> &'static str,
    ) -> Vec<Slip> {
        let mut all = Vec::new();
        for &index in &self.placed {
            let sum = sum(&self.relations.marks[index]);
            for &(part, factor) in slips {
                let of = format!("{} {what}", self.drawn.plan.marks[index].id);
                let found = sum.mistaken(part, factor);
                all.extend(found.map(|mm| (of, mm, meaning(part, factor))));
            }
        }
        all
    }

    fn distance_slips(&self) -> Vec<Slip> {
        let plan = &self.drawn.plan;
        let mut slips = Vec::new();
        let base = &plan.marks[plan.tape_base[1]];
        if let Some(mark) = self.taped.first().map(|&index| &plan.marks[index]) {
            let (along, across) = ((mark.at.x - base.at.x).abs(), mark.at.y.abs());
            let of = format!("{} from {}", mark.id, base.id);
            let added = "added along and across: the straight way is √(along² + across²)";
            slips.push((of.clone(), along + across, added));
            slips.push((of, along, "took the way along alone"));
        }
        if let Some(check) = self.diagonal {
            let [from, to] = [check.from, check.to].map(|mark| plan.marks[mark].at);
            let (slant, half) = (Slant::of(plan, check), from.y.abs().max(to.y.abs()));
            if slant.across > half {
                let of = format!("{} distance", slant.name);
                let meaning = "took the half width: a diagonal crosses from rail to rail";
                slips.push((of, slant.along.hypot(half), meaning));
            }
        }
        slips
    }
}
