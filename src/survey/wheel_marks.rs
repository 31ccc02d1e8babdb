//! The floor points that tie a layout to the vehicle.

use kurbo::Point;

use crate::plan::{VehicleOnFloor, WHEEL_NAMES};

/// Floor points plumbed from the wheel centres, by name. The string of the plumb bob hangs at the tyre's outer face,
/// so a point lies below that face, half of the section width outside the wheel centre.
#[must_use]
pub fn wheel_marks(vehicle: &VehicleOnFloor) -> [(&'static str, Point); 4] {
    std::array::from_fn(|index| {
        let wheel = vehicle.wheels[index];
        let outward = (wheel.width / 2.0).copysign(wheel.centre.y);
        (
            WHEEL_NAMES[index],
            Point::new(wheel.centre.x, wheel.centre.y + outward),
        )
    })
}
