//! Whether the vehicle stands where a layout is laid, and where a tape can lie then.
//!
//! Numbers are measured off the vehicle, so it stands there as long as nothing of the layout lies below it. What a mat for
//! several vehicles shows, or a mark or a strip below the body, is laid on the empty floor, and the vehicle is driven on.

use kurbo::Point;

use crate::{
    plan::FloorPlan,
    units::{ROUND_OFF_MM, SAME_WRITTEN_MM},
};

/// What stands on the floor while a layout is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayingFloor {
    /// The vehicle: nobody reaches below it, and no tape runs through a wheel or below the body.
    VehicleStands,
    /// Nothing.
    Empty,
}

impl LayingFloor {
    /// The floor on which a layout is laid.
    #[must_use]
    pub fn of(plan: &FloorPlan) -> Self {
        let below = |from: Point, to: Point| plan.vehicle.runs_below(from, to);
        let inner = plan.vehicle.body().inset(-SAME_WRITTEN_MM);
        let inside = |at: Point| inner.contains(at);
        let covered = plan.mat.is_some()
            || plan.marks.iter().any(|mark| inside(mark.at))
            || plan.lines.iter().any(|line| {
                let middle = plan.middle_line(line);
                below(middle.p0, middle.p1)
            })
            || plan
                .panels
                .iter()
                .any(|panel| inside(plan.panel_middle(panel)));
        if covered {
            Self::Empty
        } else {
            Self::VehicleStands
        }
    }

    /// True where a tape can lie straight between two floor points: not through a wheel, and not below the body.
    #[must_use]
    pub fn tape_lies(self, plan: &FloorPlan, from: Point, to: Point) -> bool {
        self == Self::Empty
            || !(plan.vehicle.through_wheel(from, to) || plan.vehicle.runs_below(from, to))
    }

    /// Of the marks that lie already, one or two from which a tape can lie straight to a place: both base marks where they
    /// serve, else the two whose tapes cross best.
    #[must_use]
    pub fn taped_from(self, plan: &FloorPlan, at: Point, lying: &[usize]) -> Vec<usize> {
        let from = |mark: usize| plan.marks[mark].at;
        let serves = |mark: &usize| {
            lying.contains(mark)
                && from(*mark).distance(at) > ROUND_OFF_MM
                && self.tape_lies(plan, from(*mark), at)
        };
        if plan.tape_base.iter().all(serves) {
            return plan.tape_base.to_vec();
        }
        let free: Vec<usize> = lying.iter().copied().filter(serves).collect();
        let sine = |a: usize, b: usize| {
            let [a, b] = [a, b].map(|mark| (from(mark) - at).normalize());
            a.cross(b).abs()
        };
        let pairs = free
            .iter()
            .enumerate()
            .flat_map(|(index, &a)| free[..index].iter().map(move |&b| [b, a]));
        let best = pairs.max_by(|a, b| sine(a[0], a[1]).total_cmp(&sine(b[0], b[1])));
        best.map_or(free.clone(), |pair| pair.to_vec())
    }
}
