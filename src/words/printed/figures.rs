//! What stands below the small pictures of the setting-out steps.

/// How the vehicle's middle is plumbed.
pub const MIDDLE: &str = "middle, plumbed half-way between two equal points";
/// How a right angle is taped.
pub const RIGHT_ANGLE: &str = "right angle by 3-4-5, open away from the vehicle";
/// How strings run past the wheels.
pub const STRINGS: &str = "strings past the wheels, equally far from the line";
/// How the point between two wheels is carried beside them.
pub const WHEELS: &str = "wheel centre, plumbed and carried square to the string";
/// Names a string in a picture.
pub const STRING: &str = "string";
/// Names the centreline in a picture.
pub const LINE: &str = "line";

/// A caption with the numbers of the steps that it belongs to.
#[must_use]
pub fn caption(steps: &[usize], words: &str) -> String {
    let numbers: Vec<String> = steps.iter().map(ToString::to_string).collect();
    let noun = if steps.len() == 1 { "Step" } else { "Steps" };
    format!("{noun} {}: {words}", numbers.join(", "))
}
