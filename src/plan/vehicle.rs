//! The vehicle as it stands on the floor.

use kurbo::{Point, Rect};

/// Footprint of the vehicle, for drawing and for what a tape can reach. Lengths in mm.
#[derive(Clone, Debug)]
pub struct VehicleOnFloor {
    /// Name as in the spec, e.g. "delivery van (demo)".
    pub name: String,
    /// Where its dimensions came from.
    pub source: String,
    /// Single dimensions that came from elsewhere: key and source.
    pub sources: Vec<(String, String)>,
    /// True of a built-in vehicle, and of a mat with one.
    pub demonstration: bool,
    /// x of the foremost point.
    pub front_x: f64,
    /// x of the rearmost point.
    pub rear_x: f64,
    /// Half of the overall width without mirrors.
    pub half_width: f64,
    /// Half of the width over mirrors.
    pub half_width_over_mirrors: f64,
    /// Footprints of the wheels: front left, front right, rear left, rear right.
    pub wheels: [Wheel; 4],
    /// y of the badge when it is not on the true centre (positive to the left), else 0.
    pub badge_offset: f64,
    /// The dimensions as they were checked, in the order of the spec: name and mm.
    pub dimensions: Vec<(String, f64)>,
    /// The size code that the tyre's width was worked out from, where it was not measured.
    pub tyre_code: Option<String>,
}

/// A wheel seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Floor point below the wheel centre.
    pub centre: Point,
    /// Tyre section width, mm.
    pub width: f64,
    /// Outer diameter, mm; for the drawing alone.
    pub diameter: f64,
}

impl VehicleOnFloor {
    /// The body without mirrors as a rectangle on the floor.
    #[must_use]
    pub fn body(&self) -> Rect {
        Rect::new(self.rear_x, -self.half_width, self.front_x, self.half_width)
    }
}

impl Wheel {
    /// The wheel as a rectangle on the floor.
    #[must_use]
    pub fn footprint(&self) -> Rect {
        Rect::from_center_size(self.centre, (self.diameter, self.width))
    }
}
