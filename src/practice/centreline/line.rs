//! A line through a badge that is off centre, carried on past the vehicle.

use crate::practice::{Draw, Ruling, layout::Drawn};

/// How far a badge is off, in graduations of 1 mm and of 1/16 in.
const LEAST_OFF: [i64; 2] = [6, 4];
const MOST_OFF: [i64; 2] = [30, 18];

/// The rearmost mark is asked about where it lies at least this part of the vehicle's length behind it; else the line is asked
/// about at the front wheel centres.
const LEAST_BEHIND: f64 = 1.0 / 15.0;

/// An answer is at least this part of a graduation away from being rounded the other way.
const CLEAR: f64 = 0.03;

/// A place where the line is off.
#[derive(Clone, Debug)]
pub(super) struct Place {
    /// "mark 1L".
    pub name: String,
    /// "mark 1L lies 750 mm ahead of the front bumper"; empty at the bumper itself.
    pub words: String,
    /// How far ahead of the rear bumper it lies, mm; negative behind it.
    pub ahead: f64,
}

/// Where the line is looked at.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// From the rear bumper to the front one, mm on a graduation.
    pub length: f64,
    /// At the front, and at the rear.
    pub places: [Place; 2],
}

impl Line {
    /// Of a layout, from numbers on graduations.
    pub fn of(drawn: &Drawn) -> Self {
        let (plan, ruling) = (&drawn.plan, drawn.ruling);
        let (front, rear) = (plan.vehicle.front_x, plan.vehicle.rear_x);
        let length = ruling.round(front - rear);
        let marks = || plan.marks.iter();
        let foremost = marks().max_by(|a, b| a.at.x.total_cmp(&b.at.x).then(b.id.cmp(&a.id)));
        let rearmost = marks().min_by(|a, b| a.at.x.total_cmp(&b.at.x).then(a.id.cmp(&b.id)));
        let gap = |at: Option<&crate::plan::Mark>, from: f64| {
            let id = at.map_or("", |mark| &mark.id).to_owned();
            (id, ruling.round(at.map_or(0.0, |mark| mark.at.x - from)))
        };
        let (first, ahead) = gap(foremost, front);
        let (last, behind) = gap(rearmost, rear);
        let at_front = if ahead > 0.0 {
            Place {
                name: format!("mark {first}"),
                words: format!(
                    "mark {first} lies {} ahead of the front bumper",
                    ruling.length(ahead)
                ),
                ahead: length + ahead,
            }
        } else {
            Place {
                name: "front bumper".to_owned(),
                words: String::new(),
                ahead: length,
            }
        };
        let at_rear = if -behind >= length * LEAST_BEHIND {
            Place {
                name: format!("mark {last}"),
                words: format!(
                    "mark {last} lies {} behind the rear bumper",
                    ruling.length(-behind)
                ),
                ahead: behind,
            }
        } else {
            let overhang = ruling.round(drawn.vehicle.front_overhang);
            Place {
                name: "front wheels".to_owned(),
                words: format!(
                    "the front wheel centres lie {} behind the front bumper",
                    ruling.length(overhang)
                ),
                ahead: length - overhang,
            }
        };
        Self {
            length,
            places: [at_front, at_rear],
        }
    }

    /// How far beside the centreline the line runs at a place, mm, where the badge is `off` mm to one side: to the same
    /// side positive, to the other one negative.
    pub fn off(&self, place: &Place, off: f64) -> f64 {
        off * place.ahead / self.length
    }

    /// Draws how far a badge is off, mm; where the line is asked for, so that no answer is near a half of a graduation or
    /// rounds to nothing.
    pub fn badge_off(&self, ruling: Ruling, asked: bool, draw: &mut Draw) -> f64 {
        let [least, most] = [LEAST_OFF, MOST_OFF].map(|of| ruling.pick(of[0], of[1]));
        let sure = |steps: &i64| {
            let off = *steps as f64 * ruling.step();
            self.places.iter().all(|place| {
                let steps = self.off(place, off).abs() / ruling.step();
                steps.round() >= 1.0 && (steps.fract() - 0.5).abs() > CLEAR
            })
        };
        let all: Vec<i64> = (least..=most).collect();
        let fit: Vec<i64> = all
            .iter()
            .copied()
            .filter(|steps| !asked || sure(steps))
            .collect();
        let among = if fit.is_empty() { &all } else { &fit };
        let steps = draw.choose(among).copied().unwrap_or(most);
        steps as f64 * ruling.step()
    }
}
