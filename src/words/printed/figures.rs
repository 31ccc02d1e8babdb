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

/// A caption with the numbers of the steps that it belongs to, which rise.
#[must_use]
pub fn caption(steps: &[usize], words: &str) -> String {
    let runs = steps.chunk_by(|a, b| a + 1 == *b);
    let numbers: Vec<String> = runs
        .map(|run| match run {
            [first, _, .., last] => format!("{first} to {last}"),
            few => {
                let few: Vec<String> = few.iter().map(ToString::to_string).collect();
                few.join(", ")
            }
        })
        .collect();
    let noun = if steps.len() == 1 { "Step" } else { "Steps" };
    format!("{noun} {}: {words}", numbers.join(", "))
}

#[cfg(test)]
mod tests {
    use super::caption;

    #[test]
    fn steps_in_a_row_are_named_by_their_first_and_last() {
        assert_eq!(caption(&[4], "a"), "Step 4: a");
        assert_eq!(caption(&[4, 5, 12], "a"), "Steps 4, 5, 12: a");
        assert_eq!(caption(&[4, 5, 6, 9], "a"), "Steps 4 to 6, 9: a");
    }
}
