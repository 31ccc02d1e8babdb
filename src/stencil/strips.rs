//! Tape strips as the axes of slots: what lies on one straight becomes one strip, and ends early
//! where strips meet.

use kurbo::{Line, Point, Vec2};

use super::{
    CutNote, CutOptions,
    bed::{Bed, Outcome},
    keep_off::KeepOff,
};
use crate::{
    plan::{FloorPlan, MarkShape},
    units::SAME_TAPED_MM,
};

/// How far two unit directions may differ and still count as parallel: 0.1 mm over 10 m.
const SAME_DIRECTION: f64 = 1e-5;

/// A straight run of tape of one width.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    /// Its middle line, floor mm.
    pub axis: Line,
    /// Its width, mm.
    pub width: f64,
    /// The marks at the ends of the first line it was made from.
    pub name: String,
    /// From the first of these marks to the other, floor mm: what lies along the strip is counted from there.
    pub marks: Line,
}

/// A place on a strip where slots stop, and how far before and behind it.
struct Stop {
    at: f64,
    before: f64,
    behind: f64,
}

impl Strip {
    fn length(&self) -> f64 {
        (self.axis.p1 - self.axis.p0).hypot()
    }

    fn along(&self) -> Vec2 {
        (self.axis.p1 - self.axis.p0).normalize()
    }

    /// Distance of a point from the start, along the strip, when the point lies on it.
    fn station_of(&self, point: Point) -> Option<f64> {
        let from = point - self.axis.p0;
        let at = self.along().dot(from);
        let on = self.along().cross(from).abs() <= SAME_TAPED_MM;
        (on && (-SAME_TAPED_MM..=self.length() + SAME_TAPED_MM).contains(&at)).then_some(at)
    }

    /// Directions in which the strip leaves a point that lies on it.
    fn arms_at(&self, station: f64) -> Vec<Vec2> {
        let mut arms = Vec::new();
        if station > SAME_TAPED_MM {
            arms.push(-self.along());
        }
        if station < self.length() - SAME_TAPED_MM {
            arms.push(self.along());
        }
        arms
    }
}

/// The strips of a layout. Lines that overlap on one straight are one strip; where their widths
/// differ the wider one counts.
pub(super) fn strips(plan: &FloorPlan) -> Vec<Strip> {
    let mut straights: Vec<Vec<Strip>> = Vec::new();
    for line in &plan.lines {
        let [from, to] = [line.from, line.to].map(|mark| &plan.marks[mark].id);
        let name = format!("{from}–{to}");
        let strip = Strip {
            axis: plan.middle_line(line),
            width: line.width,
            name,
            marks: Line::new(plan.marks[line.from].at, plan.marks[line.to].at),
        };
        if strip.length() <= SAME_TAPED_MM {
            continue;
        }
        match straights
            .iter_mut()
            .find(|straight| shares_straight(&straight[0], &strip))
        {
            Some(straight) => straight.push(strip),
            None => straights.push(vec![strip]),
        }
    }
    straights
        .iter()
        .flat_map(|straight| joined(straight))
        .collect()
}

fn shares_straight(one: &Strip, other: &Strip) -> bool {
    one.along().cross(other.along()).abs() < SAME_DIRECTION
        && [other.axis.p0, other.axis.p1]
            .iter()
            .all(|&end| one.along().cross(end - one.axis.p0).abs() < SAME_TAPED_MM)
}

/// Strips on one straight, cut up where one begins or ends, and put together where the width stays.
fn joined(straight: &[Strip]) -> Vec<Strip> {
    let (start, along) = (straight[0].axis.p0, straight[0].along());
    let span = |strip: &Strip| {
        let ends = [strip.axis.p0, strip.axis.p1].map(|end| along.dot(end - start));
        (ends[0].min(ends[1]), ends[0].max(ends[1]))
    };
    let mut breaks: Vec<f64> = straight
        .iter()
        .map(span)
        .flat_map(|(from, to)| [from, to])
        .collect();
    breaks.sort_by(f64::total_cmp);
    breaks.dedup_by(|a, b| *a - *b <= SAME_TAPED_MM);
    let mut found: Vec<(f64, f64, &Strip)> = Vec::new();
    for pair in breaks.windows(2) {
        let middle = f64::midpoint(pair[0], pair[1]);
        let covers = |strip: &&Strip| (span(strip).0..=span(strip).1).contains(&middle);
        let Some(widest) = straight
            .iter()
            .filter(covers)
            .reduce(|a, b| if b.width > a.width { b } else { a })
        else {
            continue;
        };
        match found.last_mut() {
            Some((_, to, strip)) if *to == pair[0] && strip.width == widest.width => *to = pair[1],
            _ => found.push((pair[0], pair[1], widest)),
        }
    }
    let axis = |from: f64, to: f64| Line::new(start + along * from, start + along * to);
    let strip = |(from, to, strip): (f64, f64, &Strip)| Strip {
        axis: axis(from, to),
        ..strip.clone()
    };
    found.into_iter().map(strip).collect()
}

/// Cuts the slots of all strips; says what could not be cut as wanted.
pub(super) fn cut_strips(
    bed: &mut Bed,
    strips: &[Strip],
    plan: &FloorPlan,
    joints: &impl KeepOff,
    options: &CutOptions,
) -> Vec<CutNote> {
    let nodes = nodes(strips, plan);
    let mut notes = Vec::new();
    for (index, strip) in strips.iter().enumerate() {
        let taken: Vec<(f64, f64)> = nodes
            .iter()
            .filter_map(|node| node.stop(strips, index, options.bridge))
            .map(|stop| (stop.at - stop.before, stop.at + stop.behind))
            .collect();
        match bed.cut_along(
            strip.axis,
            strip.width,
            options.corner_of(strip.width),
            taken,
            joints,
        ) {
            Outcome::Cut => {}
            Outcome::Shortened => notes.push(CutNote::SlotShortened(strip.name.clone())),
            Outcome::Nothing => notes.push(CutNote::NoSlot(strip.name.clone())),
        }
    }
    notes
}

/// A place where slots stop: a mark, or the crossing of two strips.
struct Node {
    at: Point,
    is_mark: bool,
}

/// All marks on strips, and all crossings of strips that are not marks.
fn nodes(strips: &[Strip], plan: &FloorPlan) -> Vec<Node> {
    let mut nodes: Vec<Node> = plan
        .marks
        .iter()
        .map(|mark| Node {
            at: mark.at,
            is_mark: true,
        })
        .collect();
    for (index, one) in strips.iter().enumerate() {
        for other in &strips[index + 1..] {
            if one.along().cross(other.along()).abs() < SAME_DIRECTION {
                continue;
            }
            let Some(at) = one.axis.crossing_point(other.axis) else {
                continue;
            };
            let shared = one.station_of(at).is_some() && other.station_of(at).is_some();
            if shared
                && nodes
                    .iter()
                    .all(|node| node.at.distance(at) > SAME_TAPED_MM)
            {
                nodes.push(Node { at, is_mark: false });
            }
        }
    }
    nodes
}

impl Node {
    /// Where slots of strip `index` stop at this node, if they meet it.
    ///
    /// Two arms of widths up to w that leave at an angle θ below 180° keep a bridge b between their
    /// corners when both begin at (b/2 + w/2 · cos θ/2) / sin θ/2: that is where a corner lies b/2
    /// from the line that halves the angle.
    fn stop(&self, strips: &[Strip], index: usize, bridge: f64) -> Option<Stop> {
        let strip = &strips[index];
        let at = strip.station_of(self.at)?;
        let least = if self.is_mark {
            MarkShape::FULL.arm + bridge
        } else {
            bridge / 2.0
        };
        let others: Vec<(Vec2, f64)> = strips
            .iter()
            .filter_map(|other| Some((other, other.station_of(self.at)?)))
            .flat_map(|(other, station)| {
                other
                    .arms_at(station)
                    .into_iter()
                    .map(|arm| (arm, other.width))
            })
            .collect();
        let reach = |arm: Vec2| {
            let beside = others
                .iter()
                .filter(|(other, _)| other.dot(arm) < 1.0 - SAME_DIRECTION * SAME_DIRECTION);
            beside
                .map(|&(other, width)| {
                    let half_angle = other.cross(arm).abs().atan2(other.dot(arm)) / 2.0;
                    (bridge / 2.0 + width.max(strip.width) / 2.0 * half_angle.cos())
                        / half_angle.sin()
                })
                .fold(least, f64::max)
        };
        Some(Stop {
            at,
            before: reach(-strip.along()),
            behind: reach(strip.along()),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(from: (f64, f64), to: (f64, f64), width: f64) -> Strip {
        Strip {
            axis: Line::new(from, to),
            width,
            name: "test".to_owned(),
            marks: Line::new(from, to),
        }
    }

    #[test]
    fn overlapping_lines_on_one_straight_become_one_strip_and_the_wider_counts() {
        let lines = [
            strip((0.0, 0.0), (100.0, 0.0), 50.0),
            strip((300.0, 0.0), (50.0, 0.0), 50.0),
            strip((200.0, 0.0), (400.0, 0.0), 25.0),
            strip((600.0, 0.0), (700.0, 0.0), 25.0),
        ];
        let found: Vec<(f64, f64, f64)> = joined(&lines)
            .iter()
            .map(|s| (s.axis.p0.x, s.axis.p1.x, s.width))
            .collect();
        assert_eq!(
            found,
            [
                (0.0, 300.0, 50.0),
                (300.0, 400.0, 25.0),
                (600.0, 700.0, 25.0)
            ]
        );
    }

    #[test]
    fn arms_at_a_right_angle_stop_so_that_their_corners_are_a_bridge_apart() {
        let strips = [
            strip((-100.0, 0.0), (100.0, 0.0), 50.0),
            strip((0.0, -100.0), (0.0, 100.0), 50.0),
        ];
        let stop = Node {
            at: Point::ZERO,
            is_mark: false,
        }
        .stop(&strips, 0, 8.0)
        .unwrap();
        // (4 + 25 cos 45°) / sin 45° = 25 + 4 √2
        assert!((stop.before - 30.656_854).abs() < 1e-5 && (stop.behind - 30.656_854).abs() < 1e-5);
        let (one, other) = (Point::new(stop.behind, 25.0), Point::new(25.0, stop.behind));
        assert!((one.distance(other) - 8.0).abs() < 1e-9);
    }

    #[test]
    fn a_strip_straight_through_a_mark_stops_for_the_marks_pad_alone() {
        let strips = [strip((-100.0, 0.0), (100.0, 0.0), 50.0)];
        let stop = Node {
            at: Point::ZERO,
            is_mark: true,
        }
        .stop(&strips, 0, 8.0)
        .unwrap();
        assert_eq!((stop.at, stop.before, stop.behind), (100.0, 23.0, 23.0));
    }
}
