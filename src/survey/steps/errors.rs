//! What to expect of every mark, by way (JCGM 100:2008, 5.1.2 and 5.2.2).
//!
//! A point's error is kept as influences: first those common to every point of a layout, in one order (the
//! plumbed ends, the plumbed origin, its reading, the tape), then its own. Whatever is set from other points
//! takes their influences over with their sensitivities, so that what is common stays common.

use kurbo::{Point, Vec2};
use nalgebra::{Matrix2, Vector2};

use super::{Way, sections::Carried};
use crate::{
    plan::FloorPlan,
    survey::{Cause, Covariance, Influence, Precision, setting_out::SettingOut},
};

/// Arcs that cross at less, degrees, or at more than its supplement, are too flat: beyond, the error of a
/// taped distance at least doubles in the mark (1/sin 30° = 2; a usual rule of intersection in surveying, from
/// memory).
const FLAT_DEGREES: f64 = 30.0;

/// A mark nearer to the line through both base marks than this part of its distances has no crossing.
const LEAST_SINE: f64 = 1e-6;

/// Expected errors of one mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkErrors {
    /// Covariance of its place when set perpendicular to the line, mm².
    pub perpendicular: Covariance,
    /// True for a mark on the centreline, which both ways set by its station.
    pub on_line: bool,
    /// How the two tapes cross; `None` on the line through the base marks.
    pub crossing: Option<Crossing>,
}

/// How two taped distances meet at a mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Angle between the two tapes, degrees.
    pub angle: f64,
    /// Covariance of the mark's place, mm².
    pub covariance: Covariance,
}

impl Crossing {
    /// How far the tapes are from lying in one line, degrees: 90 is best, 0 has no crossing.
    #[must_use]
    pub fn flatness(&self) -> f64 {
        self.angle.min(180.0 - self.angle)
    }

    /// True where the perpendicular way is to be taken.
    #[must_use]
    pub fn is_flat(&self) -> bool {
        self.flatness() < FLAT_DEGREES
    }
}

impl MarkErrors {
    /// Covariance by one way, mm²; `None` where two tapes do not cross.
    #[must_use]
    pub fn covariance(&self, way: Way) -> Option<Covariance> {
        match way {
            Way::TwoTape if !self.on_line => self.crossing.map(|crossing| crossing.covariance),
            _ => Some(self.perpendicular),
        }
    }

    /// How far in mm the mark lies from its place at most in 95 % of cases, as set, see [`Covariance::radius_95`].
    #[must_use]
    pub fn radius_95(&self, way: Way) -> Option<f64> {
        self.covariance(way)
            .map(|covariance| covariance.radius_95())
    }
}

/// The errors of all marks, in the plan's order.
pub(super) fn errors(
    plan: &FloorPlan,
    precision: &Precision,
    carried: &[Carried],
) -> Vec<MarkErrors> {
    let by_hand = ByHand {
        setting_out: SettingOut {
            vehicle: &plan.vehicle,
            precision,
        },
    };
    let bases = plan.tape_base.map(|base| plan.marks[base].at);
    let mark = |index: usize| {
        let at = plan.marks[index].at;
        let on_line = at.y.abs() < super::ON_LINE_MM;
        let string = carried.iter().find(|carried| carried.mark == index);
        let perpendicular = match string {
            Some(string) => Covariance::of(&by_hand.along_string(string.ends, at)),
            None => Covariance::of(&by_hand.setting_out.tape_only(at)),
        };
        let crossing = if on_line {
            None
        } else {
            by_hand.crossing(bases, at)
        };
        MarkErrors {
            perpendicular,
            on_line,
            crossing,
        }
    };
    (0..plan.marks.len()).map(mark).collect()
}

/// Marks set from points that were set before.
struct ByHand<'a> {
    setting_out: SettingOut<'a>,
}

/// Influences of a point: common ones in one order, then its own.
struct Drawn {
    common: Vec<Influence>,
    own: Vec<Influence>,
}

impl ByHand<'_> {
    /// A point set by station and offset, and drawn.
    fn drawn(&self, point: Point) -> Drawn {
        let setting_out = &self.setting_out;
        let mut common = setting_out.datum(point).to_vec();
        common.push(setting_out.tape(point));
        let mut own = setting_out.anew(point).to_vec();
        own.extend(self.marking());
        Drawn { common, own }
    }

    fn marking(&self) -> [Influence; 2] {
        both(Cause::MarkWidth, self.setting_out.precision.marking())
    }

    /// A mark made of tape strip at a point: drawn, and laid by hand.
    fn finish(&self, mut all: Vec<Influence>) -> Vec<Influence> {
        all.extend(self.marking());
        all.extend(both(Cause::Strip, self.setting_out.precision.strip));
        all
    }

    /// A mark taped from the front end of a string along it.
    fn along_string(&self, ends: [Point; 2], mark: Point) -> Vec<Influence> {
        let Precision {
            reading,
            centreline,
            tape_class,
            ..
        } = *self.setting_out.precision;
        let [front, rear] = ends.map(|end| self.drawn(end));
        let along = (ends[1] - ends[0]).normalize();
        let across = Vec2::new(-along.y, along.x);
        let taped = (mark - ends[0]).dot(along);
        let part = taped / ends[0].distance(ends[1]);
        let from_front = |e: Vec2| along * along.dot(e) + across * (across.dot(e) * (1.0 - part));
        let from_rear = |e: Vec2| across * (across.dot(e) * part);
        let tape = tape_class.standard_deviation(taped).copysign(taped);
        let mut all: Vec<Influence> = front
            .common
            .iter()
            .zip(&rear.common)
            .map(|(f, r)| {
                let scale = if f.cause == Cause::Tape {
                    along * tape
                } else {
                    Vec2::ZERO
                };
                Influence {
                    cause: f.cause,
                    effect: from_front(f.effect) + from_rear(r.effect) + scale,
                }
            })
            .collect();
        all.extend(front.own.iter().map(|i| Influence {
            effect: from_front(i.effect),
            ..*i
        }));
        all.extend(rear.own.iter().map(|i| Influence {
            effect: from_rear(i.effect),
            ..*i
        }));
        // Held at the front end and read at the mark; the string itself as a chalk line.
        let hand = [along * reading, along * reading];
        all.extend(hand.map(|effect| Influence {
            cause: Cause::Reading,
            effect,
        }));
        all.push(Influence {
            cause: Cause::Centreline,
            effect: across * centreline,
        });
        self.finish(all)
    }

    /// A mark where two taped distances from the base marks meet.
    ///
    /// With unit vectors a, b from the base marks to it, a · (δP − δA) = δd₁ and b · (δP − δB) = δd₂: the inverse
    /// of the matrix with rows a, b takes every influence on the right to the mark.
    fn crossing(&self, bases: [Point; 2], mark: Point) -> Option<Crossing> {
        let Precision {
            reading,
            tape_class,
            ..
        } = *self.setting_out.precision;
        let [a, b] = bases.map(|base| (mark - base).normalize());
        let sine = a.cross(b);
        // A mark that is a base mark itself has no direction, and its sine is no number.
        if sine.is_nan() || sine.abs() <= LEAST_SINE {
            return None;
        }
        let inverse = Matrix2::new(a.x, a.y, b.x, b.y).try_inverse()?;
        let moved = |first: f64, second: f64| {
            let by = inverse * Vector2::new(first, second);
            Vec2::new(by.x, by.y)
        };
        let [one, two] = bases.map(|base| self.drawn(base));
        let tape = bases.map(|base| tape_class.standard_deviation(base.distance(mark)));
        let mut all: Vec<Influence> = one
            .common
            .iter()
            .zip(&two.common)
            .map(|(f, s)| {
                let scale = if f.cause == Cause::Tape {
                    tape
                } else {
                    [0.0; 2]
                };
                Influence {
                    cause: f.cause,
                    effect: moved(a.dot(f.effect) + scale[0], b.dot(s.effect) + scale[1]),
                }
            })
            .collect();
        all.extend(one.own.iter().map(|i| Influence {
            effect: moved(a.dot(i.effect), 0.0),
            ..*i
        }));
        all.extend(two.own.iter().map(|i| Influence {
            effect: moved(0.0, b.dot(i.effect)),
            ..*i
        }));
        // Each tape is set on its base mark and read at the crossing.
        let hand = [
            moved(reading, 0.0),
            moved(reading, 0.0),
            moved(0.0, reading),
            moved(0.0, reading),
        ];
        all.extend(hand.map(|effect| Influence {
            cause: Cause::Reading,
            effect,
        }));
        let angle = sine.abs().atan2(a.dot(b)).to_degrees();
        Some(Crossing {
            angle,
            covariance: Covariance::of(&self.finish(all)),
        })
    }
}

fn both(cause: Cause, sd: f64) -> [Influence; 2] {
    [
        Influence::new(cause, sd, 0.0),
        Influence::new(cause, 0.0, sd),
    ]
}
