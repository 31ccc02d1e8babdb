//! What to expect of every mark, by way (JCGM 100:2008, 5.1.2 and 5.2.2).
//!
//! A point's error is kept as influences: first those common to every point of a layout, in one order (the
//! plumbed ends, the plumbed origin, its reading, the tape), then its own. Whatever is set from other points
//! takes their influences over with their sensitivities, so that what is common stays common.

use kurbo::{Point, Vec2};
use nalgebra::{Matrix2, Vector2};

use super::{
    ON_LINE_MM, Way,
    strings::{Start, Strings},
};
use crate::{
    plan::FloorPlan,
    survey::{
        Cause, Covariance, Influence, Precision,
        setting_out::{METRE_MM, SettingOut},
    },
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
    /// Covariance of its place when set by the perpendicular way, mm².
    pub perpendicular: Covariance,
    /// Covariance of its place when set by its station on a line and square to it, mm².
    pub from_line: Covariance,
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
    /// True for a mark beside the line that two tapes do not set well, or not at all.
    #[must_use]
    pub fn too_flat(&self) -> bool {
        !self.on_line && self.crossing.is_none_or(|crossing| crossing.is_flat())
    }

    /// Covariance by one way, mm², as its steps set the mark.
    #[must_use]
    pub fn covariance(&self, way: Way) -> Covariance {
        match (way, self.crossing) {
            (Way::TwoTape, Some(crossing)) if !self.too_flat() => crossing.covariance,
            (Way::TwoTape, _) => self.from_line,
            (Way::Perpendicular, _) => self.perpendicular,
        }
    }

    /// How far in mm the mark lies from its place at most in 95 % of cases, as set, see [`Covariance::radius_95`].
    #[must_use]
    pub fn radius_95(&self, way: Way) -> f64 {
        self.covariance(way).radius_95()
    }
}

/// The errors of all marks, in the plan's order; `strings` are those beside a vehicle that stands there.
pub(super) fn errors(
    plan: &FloorPlan,
    precision: &Precision,
    strings: Option<&Strings>,
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
        let on_line = at.y.abs() < ON_LINE_MM;
        let from_line = Covariance::of(&by_hand.setting_out.tape_only(at));
        let perpendicular = strings.map_or(from_line, |strings| {
            Covariance::of(&by_hand.by_strings(strings, at))
        });
        let crossing = if on_line {
            None
        } else {
            by_hand.crossing(bases, at)
        };
        MarkErrors {
            perpendicular,
            from_line,
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

    /// A mark set by the strings beside the vehicle.
    ///
    /// Beyond the vehicle a mark that lies on no string is on one stretched across: the two strings' stations share in its
    /// station by its place between them, and its offset is taped from the line. Any other mark has its station from its
    /// own side's string, and its offset is the string's with what is taped square from it.
    fn by_strings(&self, strings: &Strings, mark: Point) -> Vec<Influence> {
        let setting_out = &self.setting_out;
        let (precision, vehicle) = (setting_out.precision, setting_out.vehicle);
        let across = strings.cross(vehicle, mark);
        let shares = if across {
            let left = (mark.y / strings.offset + 1.0) / 2.0;
            [left, 1.0 - left]
        } else {
            [f64::from(mark.y > 0.0), f64::from(mark.y < 0.0)]
        };
        // The middle plumbed at both ends moves line and strings sideways, and what is square to them turns with them.
        let length = vehicle.front_x - vehicle.rear_x;
        let arm = match &strings.datum {
            Start::Wheels { plumbed, .. } if across => {
                shares[0] * (strings.starts[0].at.y - plumbed[0].at.y)
                    + shares[1] * (strings.starts[1].at.y - plumbed[1].at.y)
            }
            Start::Wheels { plumbed, .. } => mark.y - plumbed[Strings::side(mark.y)].at.y,
            Start::Bumper(_) => mark.y,
        };
        let (plumb, turn) = (precision.plumb, arm * precision.plumb / length);
        let front = plumb * (mark.x - vehicle.rear_x) / length;
        let mut all = vec![
            Influence::new(Cause::Plumb, -turn, front),
            Influence::new(Cause::Plumb, turn, plumb - front),
        ];
        let (along, tape_x) = self.stations(strings, mark, shares);
        let (sideways, tape_y) = if across {
            self.off_line(mark)
        } else {
            self.off_string(strings, mark, arm)
        };
        all.extend(along.into_iter().chain(sideways));
        // One tape is long or short everywhere.
        all.push(Influence::new(Cause::Tape, tape_x, tape_y.copysign(mark.y)));
        self.finish(all)
    }

    /// The station of a mark that the two strings share in, the left one first; the tape's own error apart, mm along x.
    fn stations(&self, strings: &Strings, mark: Point, shares: [f64; 2]) -> (Vec<Influence>, f64) {
        let precision = self.setting_out.precision;
        let per_metre = precision.perpendicular / METRE_MM;
        let mut all = Vec::new();
        let mut along = |cause, sd: f64| all.push(Influence::new(cause, sd, 0.0));
        if let Start::Bumper(_) = strings.datum {
            // One plumbed point and one right angle serve both sides.
            along(Cause::Plumb, precision.plumb);
            along(
                Cause::Perpendicular,
                per_metre * strings.offset * (shares[0] - shares[1]),
            );
        }
        let mut tape = 0.0;
        for (side, share) in shares.into_iter().enumerate() {
            let start = strings.starts[side].at;
            match &strings.datum {
                Start::Wheels { plumbed, .. } => {
                    along(Cause::Plumb, share * precision.plumb);
                    let carried = plumbed[side].at.distance(start);
                    along(Cause::Perpendicular, share * per_metre * carried);
                }
                Start::Bumper(_) => {}
            }
            let taped = mark.x - start.x;
            let (moves, goes_on) = (taped.abs() > ON_LINE_MM, !strings.carry(mark));
            // The start, and the point of the string that something is set from, are drawn; the mark itself is at the end.
            if moves || goes_on {
                along(Cause::MarkWidth, share * precision.marking());
            }
            if moves {
                along(Cause::Reading, share * precision.reading);
                along(Cause::Reading, share * precision.reading);
                tape += share * self.tape(taped);
            }
            if moves && goes_on {
                along(Cause::MarkWidth, share * precision.marking());
            }
        }
        (all, tape)
    }

    /// The tape's own error over a length, with its sign; none where nothing is taped.
    fn tape(&self, length: f64) -> f64 {
        let class = self.setting_out.precision.tape_class;
        if length.abs() > ON_LINE_MM {
            class.standard_deviation(length).copysign(length)
        } else {
            0.0
        }
    }

    /// The offset of a mark on a string across, taped from the line; the tape's own error apart, mm outward.
    fn off_line(&self, mark: Point) -> (Vec<Influence>, f64) {
        let precision = self.setting_out.precision;
        let line = precision.centreline;
        // The line sideways, the string across along it.
        let mut all = both(Cause::Centreline, line).to_vec();
        if mark.y.abs() > ON_LINE_MM {
            all.push(Influence::new(Cause::Reading, 0.0, precision.reading));
        }
        (all, self.tape(mark.y.abs()))
    }

    /// The offset of a mark on a string or square from it; the tape's own error apart, mm outward. What is set square over
    /// `arm` mm turns with the string.
    fn off_string(&self, strings: &Strings, mark: Point, arm: f64) -> (Vec<Influence>, f64) {
        let precision = self.setting_out.precision;
        let [front, rear] = strings.feet.each_ref().map(|foot| foot.at.x);
        let part = (mark.x - rear) / (front - rear);
        let mut all = Vec::new();
        // Each end is read off the line by itself, and drawn.
        let turn = arm / (front - rear);
        for (part, turn) in [(part, -turn), (1.0 - part, turn)] {
            for (cause, sd) in [
                (Cause::Centreline, precision.centreline),
                (Cause::Reading, precision.reading),
                (Cause::MarkWidth, precision.marking()),
            ] {
                all.push(Influence::new(cause, turn * sd, part * sd));
            }
        }
        all.push(Influence::new(Cause::Centreline, 0.0, precision.centreline));
        let beyond = mark.y.abs() - strings.offset;
        if beyond.abs() > ON_LINE_MM {
            let turned = precision.perpendicular / METRE_MM * beyond;
            all.extend([
                Influence::new(Cause::Reading, 0.0, precision.reading),
                Influence::new(Cause::Perpendicular, turned, 0.0),
            ]);
        }
        (all, self.tape(strings.offset) + self.tape(beyond))
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
