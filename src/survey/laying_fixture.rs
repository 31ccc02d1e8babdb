//! Layouts laid with errors drawn at random, for the tests of this room.

use kurbo::{Affine, Point, Vec2};

use super::{Covariance, Joint, Precision, dice::Dice};
use crate::plan::FloorPlan;

/// Length of a sheet in the tests, mm.
pub(super) const SHEET_MM: f64 = 260.0;

/// Draws per comparison. The sampling error of a standard deviation is 1/√(2n) of it, 0.5 %.
const DRAWS: usize = 20_000;

/// Allowed difference from the sampled standard deviation: six of its sampling errors.
const SAMPLING: f64 = 0.03;

/// Where all tapes start.
pub(super) fn datum(plan: &FloorPlan) -> Point {
    plan.marks[plan.tape_base[0]].at
}

/// The stiff placement that takes two designed points as near as possible to where they were laid.
fn laid(designed: [Point; 2], laid: [Point; 2]) -> Affine {
    let turn = (laid[1] - laid[0]).atan2() - (designed[1] - designed[0]).atan2();
    Affine::translate(laid[0].midpoint(laid[1]).to_vec2())
        * Affine::rotate(turn)
        * Affine::translate(-designed[0].midpoint(designed[1]).to_vec2())
}

/// One layout laid with errors drawn at random, by what hands do and not by any formula of the room.
pub(super) struct Laying<'a> {
    plan: &'a FloorPlan,
    pub(super) precision: Precision,
    pub(super) dice: &'a mut Dice,
    /// From the frame of the plumbed and chalked line to the true frame.
    pub(super) line: Affine,
    /// The tape's error as a part of what is permitted.
    tape: f64,
    /// Scale of a page along x and y.
    scale: (f64, f64),
}

impl<'a> Laying<'a> {
    fn begin(plan: &'a FloorPlan, precision: Precision, dice: &'a mut Dice) -> Self {
        let vehicle = &plan.vehicle;
        let front = Point::new(vehicle.front_x, dice.normal(precision.plumb));
        let rear = Point::new(vehicle.rear_x, dice.normal(precision.plumb));
        let direction = (front - rear).normalize();
        let along = dice.normal(precision.plumb) + dice.normal(precision.reading);
        let origin = rear + direction * (along - vehicle.rear_x) / direction.x;
        let line = Affine::translate(origin.to_vec2()) * Affine::rotate(direction.atan2());
        let mut grow =
            || 1.0 + (dice.normal(precision.printer_scale) + dice.normal(precision.paper)) / 1000.0;
        let scale = (grow(), grow());
        let tape = dice.rectangular(1.0);
        Self {
            plan,
            precision,
            dice,
            line,
            tape,
            scale,
        }
    }

    pub(super) fn taped(&mut self, length: f64) -> f64 {
        let off = self.tape * self.precision.tape_class.permissible_error(length);
        length + off.copysign(length) + self.dice.normal(self.precision.reading)
    }

    pub(super) fn drawn(&mut self) -> Vec2 {
        let half = self.precision.mark_width / 2.0;
        Vec2::new(self.dice.rectangular(half), self.dice.rectangular(half))
    }

    /// A point set out by station and offset and drawn on the floor, in the line's frame.
    pub(super) fn set_out(&mut self, point: Point) -> Point {
        let turn = self.dice.normal(self.precision.perpendicular / 1000.0);
        let station = self.taped(point.x);
        let offset = if point.y == 0.0 {
            0.0
        } else {
            self.taped(point.y)
        };
        let wave = self.dice.normal(self.precision.centreline);
        Point::new(station, wave) + Vec2::new(-turn.sin(), turn.cos()) * offset + self.drawn()
    }

    fn printed(&mut self, point: Point) -> Point {
        let laid = self.dice.normal2(self.precision.joint);
        self.set_out(point) + laid
    }

    pub(super) fn key_stencil(&mut self, mark: Point) -> Point {
        let place = self.printed(mark);
        self.line * place
    }

    pub(super) fn taped_sheet(&mut self, mark: Point) -> Point {
        let tick = Vec2::new(SHEET_MM, SHEET_MM);
        let place = self.printed(mark);
        self.line
            * (place + Vec2::new(tick.x * (self.scale.0 - 1.0), tick.y * (self.scale.1 - 1.0)))
    }

    pub(super) fn tape_only(&mut self, mark: Point) -> Point {
        let hand = self.dice.normal2(self.precision.strip);
        let place = self.set_out(mark);
        self.line * (place + hand)
    }

    pub(super) fn roll_strip(&mut self, mark: Point) -> Point {
        let (low, high) = self
            .plan
            .marks
            .iter()
            .fold((f64::MAX, f64::MIN), |(low, high), mark| {
                (low.min(mark.at.x), high.max(mark.at.x))
            });
        let half = f64::midpoint(low, high);
        // The van's layout is longer than one strip and shorter than two.
        let ends = if mark.x < half {
            [low, half]
        } else {
            [half, high]
        };
        let ends = ends.map(|x| Point::new(x, mark.y));
        let places = [self.printed(ends[0]), self.printed(ends[1])];
        let middle = ends[0].midpoint(ends[1]);
        let printed = middle + (mark - middle) * self.scale.0;
        self.line * (laid(ends, places) * printed)
    }

    pub(super) fn chained(&mut self, mark: Point, path: &[Joint]) -> Point {
        let start = datum(self.plan);
        let scaled = |point: Point, scale: (f64, f64)| {
            start + Vec2::new((point.x - start.x) * scale.0, (point.y - start.y) * scale.1)
        };
        let points = [start, start - Vec2::new(SHEET_MM, 0.0)];
        let station = Vec2::new(self.taped(start.x) - start.x, 0.0);
        let places = points.map(|point| {
            let wave = Vec2::new(0.0, self.dice.normal(self.precision.centreline));
            point + station + wave + self.drawn() + self.dice.normal2(self.precision.joint)
        });
        let mut sheet = laid(points, places);
        for joint in path {
            let half = Vec2::new(0.0, joint.baseline() / 2.0);
            let marks =
                [joint.middle() + half, joint.middle() - half].map(|mark| scaled(mark, self.scale));
            let places = marks.map(|mark| sheet * mark + self.dice.normal2(self.precision.joint));
            sheet = laid(marks, places);
        }
        self.line * (sheet * scaled(mark, self.scale))
    }
}

/// Standard deviations along x and y, and the covariance over their product, about the true place.
pub(super) fn sampled(
    plan: &FloorPlan,
    precision: Precision,
    mark: Point,
    lay: impl Fn(&mut Laying<'_>) -> Point,
) -> [f64; 3] {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for _ in 0..DRAWS {
        let off = lay(&mut Laying::begin(plan, precision, &mut dice)) - mark;
        (xx, xy, yy) = (xx + off.x * off.x, xy + off.x * off.y, yy + off.y * off.y);
    }
    [
        (xx / DRAWS as f64).sqrt(),
        (yy / DRAWS as f64).sqrt(),
        xy / (xx * yy).sqrt(),
    ]
}

/// Holds a propagated covariance against what was sampled.
pub(super) fn scatters_as(what: &str, found: Covariance, sample: [f64; 3]) {
    let [sd_x, sd_y, correlation] = sample;
    let expected = found.xy / (found.sd_x() * found.sd_y());
    let both = (what, found, sample);
    assert!(
        (found.sd_x() / sd_x - 1.0).abs() < SAMPLING
            && (found.sd_y() / sd_y - 1.0).abs() < SAMPLING,
        "{both:?}"
    );
    assert!((expected - correlation).abs() < SAMPLING, "{both:?}");
}
