//! A floor's slope, and where its heights are read.

use std::fmt;

use crate::survey::{Fall, PlaceMeaning};

impl fmt::Display for Fall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Front => "forward",
            Self::FrontLeft => "to the front left",
            Self::Left => "to the left",
            Self::RearLeft => "to the rear left",
            Self::Rear => "to the rear",
            Self::RearRight => "to the rear right",
            Self::Right => "to the right",
            Self::FrontRight => "to the front right",
        })
    }
}

impl fmt::Display for PlaceMeaning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const WHEELS: [&str; 4] = [
            "front left wheel",
            "front right wheel",
            "rear left wheel",
            "rear right wheel",
        ];
        f.write_str(match self {
            Self::Mark(meaning) => meaning,
            Self::Wheel(number) => WHEELS[*number],
        })
    }
}
