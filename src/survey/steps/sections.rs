//! Marks by their station along the line, and how each is reached from it.

use kurbo::Point;

use super::{ON_LINE_MM, Spot};
use crate::{plan::FloorPlan, units::SAME_WRITTEN_MM};

/// Marks of one station.
#[derive(Clone, Debug)]
pub(super) struct Section {
    /// The point of the centreline that they are square to.
    pub foot: Spot,
    /// Index of the mark that lies on the centreline itself.
    pub centre: Option<usize>,
    /// The others, in the plan's order.
    pub sides: Vec<usize>,
}

/// The zero point of all stations.
pub(super) fn zero() -> Spot {
    Spot {
        name: "zero".to_owned(),
        at: Point::ORIGIN,
    }
}

/// The plumbed middle of the vehicle's front and rear.
pub(super) fn middles(plan: &FloorPlan) -> [Spot; 2] {
    [
        ("front", plan.vehicle.front_x),
        ("rear", plan.vehicle.rear_x),
    ]
    .map(|(name, x)| Spot {
        name: name.to_owned(),
        at: Point::new(x, 0.0),
    })
}

/// A mark as a spot.
pub(super) fn spot(plan: &FloorPlan, mark: usize) -> Spot {
    Spot {
        name: plan.marks[mark].id.clone(),
        at: plan.marks[mark].at,
    }
}

/// All marks, by station from the front.
pub(super) fn sections(plan: &FloorPlan) -> Vec<Section> {
    let mut order: Vec<usize> = (0..plan.marks.len()).collect();
    order.sort_by(|&a, &b| {
        plan.marks[b]
            .at
            .x
            .total_cmp(&plan.marks[a].at.x)
            .then(a.cmp(&b))
    });
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for mark in order {
        let x = plan.marks[mark].at.x;
        match groups.last_mut() {
            Some(group) if (plan.marks[group[0]].at.x - x).abs() < SAME_WRITTEN_MM => {
                group.push(mark)
            }
            _ => groups.push(vec![mark]),
        }
    }
    groups
        .iter()
        .map(|group| section(plan, group, &groups))
        .collect()
}

fn section(plan: &FloorPlan, group: &[usize], groups: &[Vec<usize>]) -> Section {
    let on_line = |mark: &usize| plan.marks[*mark].at.y.abs() < ON_LINE_MM;
    let centre = group.iter().copied().find(on_line);
    let mut sides: Vec<usize> = group
        .iter()
        .copied()
        .filter(|mark| !on_line(mark))
        .collect();
    sides.sort_unstable();
    let x = plan.marks[group[0]].at.x;
    let foot = match centre {
        Some(mark) => spot(plan, mark),
        None if x.abs() < SAME_WRITTEN_MM => zero(),
        None => Spot {
            name: foot_name(plan, &sides, groups),
            at: Point::new(x, 0.0),
        },
    };
    Section {
        foot,
        centre,
        sides,
    }
}

/// `foot 2` where all marks of station 2 share it, else by its first mark: `foot 2L`.
fn foot_name(plan: &FloorPlan, sides: &[usize], groups: &[Vec<usize>]) -> String {
    let station = |mark: &usize| plan.marks[*mark].station;
    let first = station(&sides[0]);
    let elsewhere = groups
        .iter()
        .filter(|group| group.iter().any(|mark| station(mark) == first))
        .count()
        > 1;
    match first {
        // On a mat every vehicle has a station 2 of its own.
        Some(number)
            if plan.mat.is_none()
                && !elsewhere
                && sides.iter().all(|mark| station(mark) == first) =>
        {
            format!("foot {number}")
        }
        _ => format!("foot {}", plan.marks[sides[0]].id),
    }
}
