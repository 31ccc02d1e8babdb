//! Lines of several vehicles on one mat: which stretches are one vehicle's, which are shared, and how
//! each is drawn so that a black-and-white print tells them apart.
//!
//! Continuous, dotted, dashed spaced, dashed double-dotted; dashed is kept for trim edges and the
//! chain line for what is shared. Each vehicle's strip edges are drawn whole, also within another's
//! strip, for a strip's edge is what a camera sees.

use kurbo::Line;

use crate::{
    drawing::{LineType, Stroke, Tone, widths},
    page::clip::Straight,
    units::SAME_DRAWN_MM,
};

/// Line types of the vehicles of a mat, by their order. The chain line is kept for what is shared, and
/// the dashed line for trim edges.
const LINE_TYPES: [LineType; 4] = [
    LineType::Continuous,
    LineType::Dotted,
    LineType::DashedSpaced,
    LineType::DashedDoubleDotted,
];

/// The stroke of what one vehicle of a mat uses alone, `width` mm wide; dots are made wider, or a
/// laser printer would lose them.
#[must_use]
pub fn vehicle_stroke(vehicle: usize, width: f64) -> Stroke {
    let line_type = LINE_TYPES[vehicle % LINE_TYPES.len()];
    let width = if line_type == LineType::Dotted {
        width.max(widths::WIDE)
    } else {
        width
    };
    Stroke {
        width,
        line_type,
        tone: Tone::BLACK,
    }
}

/// The stroke of what the given vehicles of a mat use: the vehicle's own, or the chain line where
/// there are several.
#[must_use]
pub fn users_stroke(users: &[usize], width: f64) -> Stroke {
    match users {
        [vehicle] => vehicle_stroke(*vehicle, width),
        _ => Stroke::chain(width),
    }
}

/// Lines told apart by the vehicles that they belong to, each stretch once.
#[derive(Clone, Debug, Default)]
pub struct SharedOut {
    /// Stretches of two or more vehicles.
    pub shared: Vec<Line>,
    /// Stretches of one vehicle alone, by vehicle.
    pub own: Vec<Vec<Line>>,
}

/// Tells apart, of each vehicle's lines, what lies on another vehicle's lines and what does not.
#[must_use]
pub fn share_out(lines: &[Vec<Line>]) -> SharedOut {
    let mut straights: Vec<(Straight, Vec<Stretch>)> = Vec::new();
    for (vehicle, line) in lines
        .iter()
        .enumerate()
        .flat_map(|(v, lines)| lines.iter().map(move |line| (v, *line)))
    {
        if (line.p1 - line.p0).hypot() <= SAME_DRAWN_MM {
            continue;
        }
        let known = straights
            .iter()
            .position(|(straight, _)| straight.holds(line))
            .unwrap_or_else(|| {
                straights.push((Straight::through(line), Vec::new()));
                straights.len() - 1
            });
        let (straight, stretches) = &mut straights[known];
        let ends = [line.p0, line.p1].map(|end| straight.along.dot(end - straight.start));
        stretches.push(Stretch {
            from: ends[0].min(ends[1]),
            to: ends[0].max(ends[1]),
            vehicle,
        });
    }
    let mut out = SharedOut {
        shared: Vec::new(),
        own: vec![Vec::new(); lines.len()],
    };
    for (straight, stretches) in &straights {
        let at = |distance: f64| straight.start + straight.along * distance;
        for (from, to, owner) in owned(stretches) {
            let line = Line::new(at(from), at(to));
            match owner {
                Owner::Several => out.shared.push(line),
                Owner::One(vehicle) => out.own[vehicle].push(line),
            }
        }
    }
    out
}

/// A vehicle's stretch of a straight, as distances from its start.
struct Stretch {
    from: f64,
    to: f64,
    vehicle: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Owner {
    One(usize),
    Several,
}

/// The stretches of a straight cut where the owner changes.
fn owned(stretches: &[Stretch]) -> Vec<(f64, f64, Owner)> {
    let mut ends: Vec<f64> = stretches
        .iter()
        .flat_map(|stretch| [stretch.from, stretch.to])
        .collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|next, last| *next - *last < SAME_DRAWN_MM);
    let mut out: Vec<(f64, f64, Owner)> = Vec::new();
    for step in ends.windows(2) {
        let middle = f64::midpoint(step[0], step[1]);
        let mut vehicles: Vec<usize> = stretches
            .iter()
            .filter(|s| s.from < middle && middle < s.to)
            .map(|s| s.vehicle)
            .collect();
        vehicles.sort_unstable();
        vehicles.dedup();
        let owner = match vehicles[..] {
            [] => continue,
            [vehicle] => Owner::One(vehicle),
            _ => Owner::Several,
        };
        match out.last_mut() {
            Some(last) if last.2 == owner && step[0] - last.1 < SAME_DRAWN_MM => last.1 = step[1],
            _ => out.push((step[0], step[1], owner)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn along_x(lines: &[Line]) -> Vec<(f64, f64)> {
        lines.iter().map(|line| (line.p0.x, line.p1.x)).collect()
    }

    #[test]
    fn a_stretch_of_two_vehicles_is_there_once_and_is_neither_ones_own() {
        let line = |from: f64, to: f64| Line::new((from, 5.0), (to, 5.0));
        let out = share_out(&[
            vec![line(0.0, 100.0)],
            vec![line(160.0, 40.0)],
            vec![line(150.0, 160.0)],
        ]);
        assert_eq!(along_x(&out.shared), [(40.0, 100.0), (150.0, 160.0)]);
        assert_eq!(along_x(&out.own[0]), [(0.0, 40.0)]);
        assert_eq!(along_x(&out.own[1]), [(100.0, 150.0)]);
        assert!(out.own[2].is_empty());
    }

    #[test]
    fn parallel_lines_of_two_vehicles_stay_each_ones_own() {
        let line = |y: f64| Line::new((0.0, y), (100.0, y));
        let out = share_out(&[vec![line(0.0)], vec![line(1.0)]]);
        assert!(out.shared.is_empty());
        assert_eq!((out.own[0].len(), out.own[1].len()), (1, 1));
    }

    #[test]
    fn every_vehicle_and_what_is_shared_has_a_dash_pattern_of_its_own() {
        let strokes: Vec<Stroke> = (0..4)
            .map(|v| vehicle_stroke(v, widths::THIN))
            .chain([users_stroke(&[0, 2], widths::THIN)])
            .collect();
        let patterns: Vec<Vec<f64>> = strokes
            .iter()
            .map(|s| s.line_type.pattern(s.width))
            .collect();
        for (index, pattern) in patterns.iter().enumerate() {
            assert!(!patterns[..index].contains(pattern), "{pattern:?} twice");
        }
    }
}
