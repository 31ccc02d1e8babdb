//! The floor that a layout needs, against the bay it is to lie in.

use kurbo::{Rect, Vec2};

use super::model::BayVerdict;

/// A bay as the job describes it. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Bay {
    /// Clear length along the vehicle.
    pub length: f64,
    /// Clear width across the vehicle.
    pub width: f64,
    /// Things that stand in it, as the vehicle will stand.
    pub obstacles: Vec<Obstacle>,
}

/// Something on the floor that a layout cannot run through.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// What it is.
    pub name: String,
    /// Its footprint in mm, x ahead of the front axle and y left of the centreline.
    pub footprint: Rect,
}

impl Bay {
    /// Holds the bay against a needed rectangle of floor. The vehicle can be moved within the bay,
    /// so length and width are compared; obstacles are fixed to the vehicle. `origin_x` is the frame's
    /// origin, mm ahead of the front axle.
    pub(super) fn verdict(&self, needed: Rect, origin_x: f64) -> BayVerdict {
        let shift = Vec2::new(-origin_x, 0.0);
        let hit = self
            .obstacles
            .iter()
            .filter(|obstacle| overlaps(obstacle.footprint + shift, needed));
        BayVerdict {
            size: (self.length, self.width),
            short: (
                (needed.width() - self.length).max(0.0),
                (needed.height() - self.width).max(0.0),
            ),
            hit: hit.map(|obstacle| obstacle.name.clone()).collect(),
        }
    }
}

fn overlaps(a: Rect, b: Rect) -> bool {
    let both = a.intersect(b);
    both.width() > 0.0 && both.height() > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bay_answers_with_what_is_short_and_what_is_hit() {
        let needed = Rect::new(-4000.0, -2000.0, 2000.0, 2000.0);
        let post = |name: &str, x: f64| Obstacle {
            name: name.into(),
            footprint: Rect::from_center_size((x, 0.0), (200.0, 200.0)),
        };
        let bay = Bay {
            length: 5500.0,
            width: 4000.0,
            obstacles: vec![post("post", 1950.0), post("bench", 2100.0)],
        };
        let verdict = bay.verdict(needed, 0.0);
        assert_eq!(
            (verdict.short, verdict.hit.as_slice()),
            ((500.0, 0.0), &["post".to_owned()][..])
        );
        assert!(!verdict.fits());
        assert!(
            Bay {
                length: 6000.0,
                width: 4000.0,
                obstacles: vec![]
            }
            .verdict(needed, 0.0)
            .fits()
        );
    }
}
