//! Sentences as they are read.

use kurbo::Vec2;

use super::*;

#[test]
fn movements_are_said_in_directions_and_never_with_a_sign() {
    let mm = Lengths { inches: false };
    assert_eq!(mm.movement(Vec2::new(-9.2, 3.4)), "9 mm rearward and 3 mm to the left");
    assert_eq!(mm.movement(Vec2::new(0.2, -5.0)), "5 mm to the right");
    assert_eq!(mm.movement(Vec2::new(0.1, 0.3)), "less than 1 mm");
    assert_eq!(off_in_words(Vec2::new(2.6, -0.1)), "3 forward");
    assert_eq!(Lengths { inches: true }.whole(25.4), "25 mm (1 in)");
}

#[test]
fn names_are_listed_with_an_and_before_the_last() {
    assert_eq!(listed(&["1L", "1R", "2L"]), "1L, 1R and 2L");
    assert_eq!(listed(&["1L"]), "1L");
}
