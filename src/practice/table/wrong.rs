//! Wrong answers that are often given.

use super::working::Builder;
use crate::practice::{Level, WrongAnswer, layout::whole};

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
            let right = answers
                .find(|(known, _)| *known == of)
                .map(|(_, right)| right.clone());
            let answer = format!("{} mm", whole(mm));
            let known = wrong.iter().any(|other| other.meaning == meaning);
            if right.is_some_and(|right| right != answer) && !known {
                wrong.push(WrongAnswer::new(format!("{of} {answer}"), meaning));
            }
        }
        wrong
    }

    fn station_slips(&self) -> Vec<(String, f64, String)> {
        let marks = self.placed.iter().flat_map(|&index| {
            let id = &self.drawn.plan.marks[index].id;
            let station = &self.relations.marks[index].station;
            let slip = |part: &str, factor, meaning: &str| {
                Some((
                    format!("{id} station"),
                    station.mistaken(part, factor)?,
                    meaning.to_owned(),
                ))
            };
            [
                slip(
                    "front overhang",
                    0.0,
                    "took the axle for the bumper: the front overhang is missing",
                ),
                slip(
                    "rear overhang",
                    0.0,
                    "took the axle for the bumper: the rear overhang is missing",
                ),
                slip(
                    "wheelbase",
                    -1.0,
                    "sign: stations behind the zero point are negative",
                ),
            ]
        });
        marks.flatten().collect()
    }

    fn offset_slips(&self) -> Vec<(String, f64, String)> {
        let vehicle = &self.drawn.vehicle;
        let marks = self.placed.iter().flat_map(|&index| {
            let id = &self.drawn.plan.marks[index].id;
            let offset = &self.relations.marks[index].offset;
            let slip = |part: &str, factor, meaning: &str| {
                Some((
                    format!("{id} offset"),
                    offset.mistaken(part, factor)?,
                    meaning.to_owned(),
                ))
            };
            let other = |name: &str, track: f64, other: f64| {
                slip(name, other / track, "took front and rear track as equal")
            };
            let (front, rear) = (vehicle.front_track, vehicle.rear_track);
            [
                slip(
                    "tyre width",
                    0.0,
                    "forgot half the tyre width: the track ends at the tyre's middle",
                ),
                slip("tyre width", 2.0, "took the whole tyre width for its half"),
                slip("track", 2.0, "took the whole track for its half"),
                slip("overall width", 2.0, "took the whole width for its half"),
                if front > rear {
                    other("front track", front, rear)
                } else {
                    other("rear track", rear, front)
                },
            ]
        });
        marks.flatten().collect()
    }

    fn distance_slips(&self) -> Vec<(String, f64, String)> {
        let plan = &self.drawn.plan;
        let mut slips = Vec::new();
        let base = &plan.marks[plan.tape_base[1]];
        if let Some(mark) = self.taped.first().map(|&index| &plan.marks[index]) {
            let legs = ((mark.at.x - base.at.x).abs(), mark.at.y.abs());
            let of = format!("{} from {}", mark.id, base.id);
            slips.push((
                of.clone(),
                legs.0 + legs.1,
                "added along and across: the straight way is √(along² + across²)".to_owned(),
            ));
            slips.push((of, legs.0, "took the way along alone".to_owned()));
        }
        if let Some(check) = self.diagonal.map(|index| &plan.checks[index]) {
            let (from, to) = (&plan.marks[check.from], &plan.marks[check.to]);
            let across = from.at.y.abs().max(to.at.y.abs());
            if (from.at.y - to.at.y).abs() > across {
                slips.push((
                    format!("{} \u{2013} {} distance", from.id, to.id),
                    (from.at.x - to.at.x).hypot(across),
                    "took the half width: a diagonal crosses from rail to rail".to_owned(),
                ));
            }
        }
        slips
    }
}
