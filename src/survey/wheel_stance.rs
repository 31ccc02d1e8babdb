//! What a vehicle stands on: the heights below its four wheels.

use super::{LevelPoint, Plane, PlaneError};

/// The floor below four wheels, judged by itself.
#[derive(Clone, Debug)]
pub struct WheelStance {
    /// The plane nearest to the four.
    pub plane: Plane,
    /// Cross slope below the front wheels, mm per metre, positive when it rises to the left.
    pub front_across: f64,
    /// Cross slope below the rear wheels, likewise.
    pub rear_across: f64,
    /// Height in mm by which the diagonal front left – rear right passes over the other one where they cross.
    pub twist: f64,
    /// What each wheel's height adds to the twist.
    weights: [f64; 4],
}

impl WheelStance {
    /// Judges the heights of front left, front right, rear left and rear right wheel.
    ///
    /// # Errors
    /// When the wheels are in line, or their diagonals do not cross.
    pub fn of(wheels: [LevelPoint; 4]) -> Result<Self, PlaneError> {
        let plane = Plane::fit(&wheels)?;
        let [front_left, front_right, rear_left, rear_right] = &wheels;
        let (down, up) = (rear_right.at - front_left.at, rear_left.at - front_right.at);
        let gap = front_right.at - front_left.at;
        let area = down.cross(up);
        // Parts of both diagonals, from their front ends, at which they cross.
        let (s, t) = (gap.cross(up) / area, gap.cross(down) / area);
        if !(s > 0.0 && s < 1.0 && t > 0.0 && t < 1.0) {
            return Err(PlaneError::InLine { breadth: 0.0 });
        }
        let weights = [1.0 - s, -(1.0 - t), -t, s];
        let across = |left: &LevelPoint, right: &LevelPoint| {
            (left.height - right.height) / left.at.distance(right.at) * 1000.0
        };
        Ok(Self {
            front_across: across(front_left, front_right),
            rear_across: across(rear_left, rear_right),
            twist: wheels
                .iter()
                .zip(weights)
                .map(|(wheel, weight)| weight * wheel.height)
                .sum(),
            weights,
            plane,
        })
    }

    /// How far a wheel, by index, lies above the plane of the other three, mm. For equal tracks this is twice the
    /// twist, its sign alternating.
    #[must_use]
    pub fn stands_out(&self, wheel: usize) -> f64 {
        self.twist / self.weights[wheel]
    }

    /// Standard deviation of the twist in mm for heights with a standard deviation of `sd` mm.
    #[must_use]
    pub fn twist_deviation(&self, sd: f64) -> f64 {
        sd * self
            .weights
            .iter()
            .map(|weight| weight * weight)
            .sum::<f64>()
            .sqrt()
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::*;

    fn wheels(front_half: f64, rear_half: f64, height: impl Fn(Point) -> f64) -> [LevelPoint; 4] {
        let places = [
            (0.0, front_half),
            (0.0, -front_half),
            (-2700.0, rear_half),
            (-2700.0, -rear_half),
        ];
        places.map(|(x, y)| {
            let at = Point::new(x, y);
            LevelPoint {
                name: String::new(),
                at,
                height: height(at),
            }
        })
    }

    #[test]
    fn with_equal_tracks_twist_is_the_difference_of_the_diagonals_means() {
        let mut four = wheels(800.0, 800.0, |_| 0.0);
        for (wheel, height) in four.iter_mut().zip([3.0, 1.0, -2.0, 4.0]) {
            wheel.height = height;
        }
        let stance = WheelStance::of(four).unwrap();
        assert!((stance.twist - ((3.0 + 4.0) / 2.0 - (1.0 - 2.0) / 2.0)).abs() < 1e-12);
        assert!(
            (stance.stands_out(0) - 8.0).abs() < 1e-12
                && (stance.stands_out(1) + 8.0).abs() < 1e-12
        );
        assert!(
            (stance.front_across - 2.0 / 1.6).abs() < 1e-12
                && (stance.rear_across + 6.0 / 1.6).abs() < 1e-12
        );
        assert!(
            (stance.twist_deviation(0.5) - 0.5).abs() < 1e-12,
            "four halves"
        );
    }

    #[test]
    fn a_sloping_plane_has_no_twist_whatever_the_tracks() {
        let stance = WheelStance::of(wheels(760.0, 820.0, |at| {
            12.0 + 0.003 * at.x - 0.004 * at.y
        }))
        .unwrap();
        assert!(stance.twist.abs() < 1e-12, "{}", stance.twist);
        assert!((stance.front_across + 4.0).abs() < 1e-12);
    }

    #[test]
    fn a_wheel_stands_out_by_its_height_over_the_plane_of_the_other_three() {
        let stance = WheelStance::of(wheels(760.0, 820.0, |at| {
            0.001 * at.x + if at.y > 800.0 { 5.0 } else { 0.0 }
        }))
        .unwrap();
        assert!((stance.stands_out(2) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn wheels_on_the_wrong_sides_are_refused() {
        let mut four = wheels(760.0, 820.0, |_| 0.0);
        four.swap(0, 1);
        assert!(WheelStance::of(four).is_err());
    }
}
