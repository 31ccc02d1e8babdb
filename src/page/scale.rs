//! The scale of the plan.

use kurbo::Point;

/// Scales, as 1 : n, from the largest to the smallest. 1:10, 1:20, 1:50, 1:100, 1:200 and 1:500 are
/// those of ISO 5455:1979, 5.1; 1:25, 1:30, 1:40, 1:60 and 1:75 are common practice outside the standard.
pub const SCALES: [Scale; 11] = [
    Scale {
        ratio: 10,
        standard: true,
    },
    Scale {
        ratio: 20,
        standard: true,
    },
    Scale {
        ratio: 25,
        standard: false,
    },
    Scale {
        ratio: 30,
        standard: false,
    },
    Scale {
        ratio: 40,
        standard: false,
    },
    Scale {
        ratio: 50,
        standard: true,
    },
    Scale {
        ratio: 60,
        standard: false,
    },
    Scale {
        ratio: 75,
        standard: false,
    },
    Scale {
        ratio: 100,
        standard: true,
    },
    Scale {
        ratio: 200,
        standard: true,
    },
    Scale {
        ratio: 500,
        standard: true,
    },
];

/// A scale outside the standard must enlarge the plan at least this much against the next standard
/// one: 1:40 against 1:50, which makes 1.56 times the area, is the least gain that counts.
const WORTH_LEAVING_THE_STANDARD: f64 = 1.25;

/// A scale 1 : `ratio`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Floor mm per paper mm.
    pub ratio: u32,
    /// True for a scale of ISO 5455.
    pub standard: bool,
}

impl Scale {
    /// The scale as it is written: `1:50`.
    #[must_use]
    pub fn text(self) -> String {
        format!("1:{}", self.ratio)
    }

    /// Paper mm of a length on the floor.
    #[must_use]
    pub fn on_paper(self, floor_mm: f64) -> f64 {
        floor_mm / f64::from(self.ratio)
    }

    /// A floor point on paper, the vehicle's front up: forward is up, left is left.
    #[must_use]
    pub fn front_up(self, p: Point) -> Point {
        Point::new(-self.on_paper(p.y), self.on_paper(p.x))
    }
}

/// Index into [`SCALES`] of the largest scale that fits, `fits` being asked from the largest down;
/// the smallest one when none does.
pub fn choose(mut fits: impl FnMut(Scale) -> bool) -> usize {
    let Some(first) = SCALES.iter().position(|&scale| fits(scale)) else {
        return SCALES.len() - 1;
    };
    if SCALES[first].standard {
        return first;
    }
    let next = SCALES
        .iter()
        .skip(first)
        .position(|s| s.standard)
        .map_or(first, |offset| first + offset);
    let gain = f64::from(SCALES[next].ratio) / f64::from(SCALES[first].ratio);
    if gain >= WORTH_LEAVING_THE_STANDARD {
        first
    } else {
        next
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chosen(length_mm: f64, room_mm: f64) -> String {
        SCALES[choose(|scale| scale.on_paper(length_mm) <= room_mm)].text()
    }

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        assert_eq!(chosen(1000.0, 100.0), "1:10");
        assert_eq!(chosen(7500.0, 160.0), "1:50");
        assert_eq!(chosen(7500.0, 149.0), "1:60");
        assert_eq!(chosen(7500.0, 99.0), "1:100");
        assert_eq!(chosen(30_000.0, 160.0), "1:200");
    }

    #[test]
    fn common_practice_scales_fill_the_gap_between_1_to_20_and_1_to_50() {
        assert_eq!(chosen(5000.0, 200.0), "1:25");
        assert_eq!(chosen(5000.0, 170.0), "1:30");
        assert_eq!(chosen(5000.0, 130.0), "1:40");
        assert_eq!(chosen(5000.0, 110.0), "1:50");
    }

    #[test]
    fn a_plan_too_large_for_every_scale_gets_the_smallest() {
        assert_eq!(chosen(1e6, 100.0), "1:500");
    }
}
