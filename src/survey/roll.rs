//! Strips from a roll, laid by tape at both of their ends.
//!
//! Strips lie along the longer side of the layout, end to end, as few as possible and all of one
//! length. Each is laid on two drawn points, one at each end, on the line through the mark. A strip
//! cannot be stretched: where it is too long or too short it is laid so that both ends miss by the same,
//! so along the strip it takes the mean of the two points' errors, its own scale acts from the strip's
//! middle, and across it goes the straight line from one point to the other. That scale is better known than a sheet's: each
//! strip has a bar of its own length to be measured ([`Precision::strip_scale`]).

use kurbo::{Point, Rect, Vec2};

use super::{Influence, Precision, setting_out::SettingOut};
use crate::units::{LONGEST_PAGE_MM, ROUND_OFF};

/// Shortest strip, mm, for layouts that are shorter: a strip has two ends to lay it by, about a sheet's length apart.
const SHORTEST_STRIP_MM: f64 = 300.0;

/// The strips of a layout.
#[derive(Clone, Copy, Debug)]
pub(super) struct Roll {
    /// True where strips lie along x.
    lengthwise: bool,
    /// Where the first strip begins, mm along the strips.
    start: f64,
    /// Length of a strip, mm.
    length: f64,
    /// Number of strips end to end.
    count: usize,
}

impl Roll {
    /// Strips over `extent`.
    pub(super) fn over(extent: Rect) -> Self {
        let lengthwise = extent.width() >= extent.height();
        let (low, high) = if lengthwise {
            (extent.x0, extent.x1)
        } else {
            (extent.y0, extent.y1)
        };
        let span = (high - low).max(SHORTEST_STRIP_MM);
        let count = (span / LONGEST_PAGE_MM - ROUND_OFF).ceil().max(1.0) as usize;
        Self {
            lengthwise,
            start: f64::midpoint(low, high) - span / 2.0,
            length: span / count as f64,
            count,
        }
    }

    /// All influences on a mark.
    pub(super) fn influences(&self, setting_out: SettingOut<'_>, mark: Point) -> Vec<Influence> {
        let (ends, part) = self.strip_at(mark);
        let weights = [1.0 - part, part].map(|across| {
            if self.lengthwise {
                (0.5, across)
            } else {
                (across, 0.5)
            }
        });
        let weights = weights.map(Vec2::from);
        let mut all = Vec::new();
        let [first, second] = ends.map(|end| setting_out.datum(end));
        let shared = first
            .into_iter()
            .zip(second)
            .chain([(setting_out.tape(ends[0]), setting_out.tape(ends[1]))]);
        all.extend(
            shared
                .map(|(first, second)| first.weighted(weights[0]).and(second.weighted(weights[1]))),
        );
        for (end, weights) in ends.into_iter().zip(weights) {
            let anew = setting_out.anew(end).into_iter().chain(setting_out.laid());
            all.extend(anew.map(|influence| influence.weighted(weights)));
        }
        let strip = Precision {
            printer_scale: setting_out.precision.strip_scale(),
            ..*setting_out.precision
        };
        all.extend(
            SettingOut {
                precision: &strip,
                ..setting_out
            }
            .scale(mark - ends[0].midpoint(ends[1])),
        );
        all
    }

    /// The two ends of the strip that carries a mark, on the line through the mark, and how far along
    /// it the mark lies, from 0 to 1.
    fn strip_at(&self, mark: Point) -> ([Point; 2], f64) {
        let along = if self.lengthwise { mark.x } else { mark.y };
        let strips = (along - self.start) / self.length;
        let index = strips.floor().clamp(0.0, (self.count - 1) as f64);
        let ends = [index, index + 1.0].map(|index| {
            let place = self.start + index * self.length;
            if self.lengthwise {
                Point::new(place, mark.y)
            } else {
                Point::new(mark.x, place)
            }
        });
        (ends, strips - index)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strips_are_few_equal_and_no_longer_than_a_page_may_be() {
        for (span, count) in [
            (300.0, 1),
            (LONGEST_PAGE_MM, 1),
            (5081.0, 2),
            (10_160.0, 2),
            (12_000.0, 3),
        ] {
            for extent in [
                Rect::new(-span, -40.0, 0.0, 40.0),
                Rect::new(-40.0, -span, 40.0, 0.0),
            ] {
                let roll = Roll::over(extent);
                assert_eq!(roll.count, count, "{span}");
                assert!(
                    roll.length <= LONGEST_PAGE_MM + 1e-6
                        && (roll.length * count as f64 - span).abs() < 1e-9
                );
            }
        }
    }

    #[test]
    fn a_mark_lies_between_the_ends_of_its_strip_and_on_their_line() {
        let roll = Roll::over(Rect::new(-6000.0, -1300.0, 2000.0, 1300.0));
        for (x, ends, part) in [
            (-6000.0, (-6000.0, -2000.0), 0.0),
            (2000.0, (-2000.0, 2000.0), 1.0),
            (0.0, (-2000.0, 2000.0), 0.5),
        ] {
            let found = roll.strip_at(Point::new(x, 900.0));
            assert_eq!(
                found,
                ([Point::new(ends.0, 900.0), Point::new(ends.1, 900.0)], part)
            );
        }
    }

    #[test]
    fn a_layout_across_the_vehicle_gets_strips_across() {
        let roll = Roll::over(Rect::new(900.0, -1300.0, 1000.0, 1300.0));
        let (ends, part) = roll.strip_at(Point::new(950.0, 0.0));
        assert_eq!(
            (ends, part),
            ([Point::new(950.0, -1300.0), Point::new(950.0, 1300.0)], 0.5)
        );
    }
}
