//! A point set out with plumb bob, chalk line and tape.
//!
//! One way is used throughout: station along the centreline and square offset from it. It holds for
//! marks on the centreline as well, where the intersection of two taped distances from the tape base
//! gives no sideways hold at all. The steps and their errors:
//!
//! - The middle of the vehicle is plumbed at its front and its rear end, each sideways with `plumb`,
//!   and the chalk line goes through both. At station x it lies off sideways by the straight line
//!   through the two errors, and its turn moves a point at offset y by −y times the turn along x.
//! - The frame's origin is plumbed along the vehicle, with `plumb`; the long tape lies along the chalk
//!   line with the origin at its own reading, set once with `reading`.
//! - The station is read from it. MI-008 bounds the error between two graduation marks, here the
//!   origin's and the station's, so the length that counts is |x|; the same tape gives the offset |y|.
//!   Its error is taken as one common cause of all lengths, with a correlation of +1: one tape is long
//!   or short everywhere.
//! - Setting the station and the offset each adds `reading`, the line itself `centreline` sideways, and
//!   the right angle moves the point by `perpendicular` times |y| along x.

use kurbo::{Point, Vec2};

use super::{Cause, Influence, Precision};
use crate::{plan::VehicleOnFloor, units::ROUND_OFF_MM};

/// mm in a metre, for inputs that are given per metre.
pub(super) const METRE_MM: f64 = 1000.0;

/// How a floor point is found from the vehicle.
#[derive(Clone, Copy, Debug)]
pub(super) struct SettingOut<'a> {
    /// The vehicle whose middle is plumbed at both ends.
    pub vehicle: &'a VehicleOnFloor,
    /// The inputs.
    pub precision: &'a Precision,
}

impl SettingOut<'_> {
    /// How many of the influences on a point, the first ones, are shared by all points of a layout: the datum's and the
    /// tape's.
    pub(super) const SHARED: usize = 5;

    /// The plumbed centreline and origin: the same for every point of a layout.
    pub(super) fn datum(&self, point: Point) -> [Influence; 4] {
        let (front, rear) = (self.vehicle.front_x, self.vehicle.rear_x);
        let (plumb, length) = (self.precision.plumb, front - rear);
        let turn = point.y * plumb / length;
        [
            Influence::new(Cause::Plumb, -turn, plumb * (point.x - rear) / length),
            Influence::new(Cause::Plumb, turn, plumb * (front - point.x) / length),
            Influence::new(Cause::Plumb, plumb, 0.0),
            Influence::new(Cause::Reading, self.precision.reading, 0.0),
        ]
    }

    /// The tape's own error: one cause for all points.
    pub(super) fn tape(&self, point: Point) -> Influence {
        let along = |length: f64| {
            self.precision
                .tape_class
                .standard_deviation(length)
                .copysign(length)
        };
        Influence::new(Cause::Tape, along(point.x), along(point.y))
    }

    /// What is done anew for every point, up to where the point is known on the floor: station read,
    /// offset read, line, right angle.
    pub(super) fn anew(&self, point: Point) -> [Influence; 4] {
        let Precision {
            reading,
            centreline,
            perpendicular,
            ..
        } = *self.precision;
        let offset = if point.y.abs() > ROUND_OFF_MM {
            reading
        } else {
            0.0
        };
        [
            Influence::new(Cause::Reading, reading, 0.0),
            Influence::new(Cause::Reading, 0.0, offset),
            Influence::new(Cause::Centreline, 0.0, centreline),
            Influence::new(
                Cause::Perpendicular,
                perpendicular * point.y / METRE_MM,
                0.0,
            ),
        ]
    }

    /// Drawing the point on the floor and laying the mark of something printed on it.
    pub(super) fn laid(&self) -> [Influence; 4] {
        let (marking, joint) = (self.precision.marking(), self.precision.joint);
        [
            Influence::new(Cause::MarkWidth, marking, 0.0),
            Influence::new(Cause::MarkWidth, 0.0, marking),
            Influence::new(Cause::Joint, joint, 0.0),
            Influence::new(Cause::Joint, 0.0, joint),
        ]
    }

    /// A point that is set out, without what is then put on it.
    pub(super) fn point(&self, point: Point) -> Vec<Influence> {
        let mut all = self.datum(point).to_vec();
        all.push(self.tape(point));
        all.extend(self.anew(point));
        all
    }

    /// A mark under the centre hole of a key stencil.
    pub(super) fn key_stencil(&self, mark: Point) -> Vec<Influence> {
        let mut all = self.point(mark);
        all.extend(self.laid());
        all
    }

    /// A mark made of tape strip alone.
    pub(super) fn tape_only(&self, mark: Point) -> Vec<Influence> {
        let (marking, strip) = (self.precision.marking(), self.precision.strip);
        let mut all = self.point(mark);
        all.extend([
            Influence::new(Cause::MarkWidth, marking, 0.0),
            Influence::new(Cause::MarkWidth, 0.0, marking),
            Influence::new(Cause::Strip, strip, 0.0),
            Influence::new(Cause::Strip, 0.0, strip),
        ]);
        all
    }

    /// A mark on a sheet that is laid by a tick at most `sheet_length` mm from it: as a key stencil,
    /// and the sheet's own scale from the tick to the mark. Which way the line runs does not matter,
    /// both directions get the whole length.
    pub(super) fn taped_sheet(&self, mark: Point, sheet_length: f64) -> Vec<Influence> {
        let mut all = self.key_stencil(mark);
        all.extend(self.scale(Vec2::new(sheet_length, sheet_length)));
        all
    }

    /// What printer and paper do over a distance on paper, mm along x and y. The two directions of a
    /// page are independent: the feed makes one, the line across the other, and paper moves across
    /// its grain. All lengths in one direction share the error, so it grows with the distance and not
    /// with its root.
    pub(super) fn scale(&self, distance: Vec2) -> [Influence; 4] {
        let Precision {
            printer_scale,
            paper,
            ..
        } = *self.precision;
        let metres = distance / METRE_MM;
        [
            Influence::new(Cause::PrinterScale, printer_scale * metres.x, 0.0),
            Influence::new(Cause::PrinterScale, 0.0, printer_scale * metres.y),
            Influence::new(Cause::Paper, paper * metres.x, 0.0),
            Influence::new(Cause::Paper, 0.0, paper * metres.y),
        ]
    }
}
