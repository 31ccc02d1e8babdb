//! Marks and distances that questions are about, each with one sure answer.

use kurbo::{Line, ParamCurve, Point};

use crate::{
    plan::{FloorPlan, Mark},
    practice::{
        Ruling,
        layout::{ON_CENTRELINE_MM, mirrors},
    },
    units::SAME_DRAWN_MM,
};

/// A distance that runs below the vehicle does so over at least this much, mm, and another one keeps so far off: in the
/// picture there is no doubt.
const BELOW_MM: f64 = 250.0;
const CLEAR_MM: f64 = 40.0;

/// Points along a distance that are looked at.
const STEPS: u32 = 400;

/// Two distances that are not equal differ by at least this much, mm.
const APART_MM: f64 = 40.0;

/// A slanting distance goes at least this far along and across, mm.
const SLANTING_MM: f64 = 100.0;

/// Shortest distance that is asked for, mm.
const LEAST_MM: f64 = 300.0;

/// x of the front and of the rear bumper, and how far the tyres' outer faces lie out, of the wider track, mm.
pub(super) fn lines(plan: &FloorPlan) -> [f64; 3] {
    let faces = plan.vehicle.wheels.iter();
    let faces = faces.map(|wheel| wheel.centre.y.abs() + wheel.width / 2.0);
    [
        plan.vehicle.front_x,
        plan.vehicle.rear_x,
        faces.fold(0.0, f64::max),
    ]
}

/// A mark's place in words: "front cross lines, left, outer rail".
pub(super) fn place(plan: &FloorPlan, mark: &Mark) -> String {
    let side = match mark.at.y {
        y if y > ON_CENTRELINE_MM => "left",
        y if y < -ON_CENTRELINE_MM => "right",
        _ => "on the centreline",
    };
    let mut alike = plan.marks.iter().filter(|other| {
        other.station == mark.station
            && other.meaning == mark.meaning
            && other.at.y * mark.at.y > 0.0
            && other.id != mark.id
    });
    let rail = match alike.next() {
        None => "",
        Some(other) if other.at.y.abs() > mark.at.y.abs() => ", inner rail",
        Some(_) => ", outer rail",
    };
    format!("{}, {side}{rail}", mark.meaning)
}

/// Marks whose place in words no other mark has.
pub(super) fn distinct(plan: &FloorPlan) -> Vec<usize> {
    let places: Vec<String> = plan.marks.iter().map(|mark| place(plan, mark)).collect();
    let alone = |index: &usize| places.iter().filter(|one| **one == places[*index]).count() == 1;
    (0..plan.marks.len()).filter(alone).collect()
}

/// All pairs of marks that lie far enough apart.
pub(super) fn pairs(plan: &FloorPlan) -> impl Iterator<Item = [usize; 2]> {
    let count = plan.marks.len();
    let all = (0..count).flat_map(move |one| (one + 1..count).map(move |other| [one, other]));
    all.filter(|&[one, other]| length(plan, [one, other]) >= LEAST_MM)
}

/// How far two marks lie apart, mm.
pub(super) fn length(plan: &FloorPlan, [one, other]: [usize; 2]) -> f64 {
    plan.marks[one].at.distance(plan.marks[other].at)
}

/// Both names: "1L – 4R".
pub(super) fn name(plan: &FloorPlan, [one, other]: [usize; 2]) -> String {
    format!("{} \u{2013} {}", plan.marks[one].id, plan.marks[other].id)
}

/// The pair that mirrors another one, where it is not that pair itself.
pub(super) fn mirrored(plan: &FloorPlan, pair: [usize; 2]) -> Option<[usize; 2]> {
    let image = |mark: usize| {
        let at = plan.marks[mark].at;
        (0..plan.marks.len()).find(|&other| mirrors(at, plan.marks[other].at, SAME_DRAWN_MM))
    };
    let mut found = [image(pair[0])?, image(pair[1])?];
    found.sort_unstable();
    let mut own = pair;
    own.sort_unstable();
    (found != own).then_some(found)
}

/// True of a distance that runs neither along nor across.
pub(super) fn slanting(plan: &FloorPlan, [one, other]: [usize; 2]) -> bool {
    let way = plan.marks[one].at - plan.marks[other].at;
    way.x.abs().min(way.y.abs()) >= SLANTING_MM
}

/// True when two distances differ by so much that nobody takes them for equal.
pub(super) fn differ(plan: &FloorPlan, one: [usize; 2], other: [usize; 2]) -> bool {
    (length(plan, one) - length(plan, other)).abs() >= APART_MM
}

/// Whether the straight line between two marks runs below the vehicle; `None` where the picture leaves a doubt.
pub(super) fn below(plan: &FloorPlan, [one, other]: [usize; 2]) -> Option<bool> {
    let line = Line::new(plan.marks[one].at, plan.marks[other].at);
    let body = plan.vehicle.body();
    let wide = body.inflate(CLEAR_MM, CLEAR_MM);
    let share = |inside: &dyn Fn(Point) -> bool| {
        let points = (0..=STEPS).map(|step| line.eval(f64::from(step) / f64::from(STEPS)));
        points.filter(|at| inside(*at)).count() as f64 / f64::from(STEPS)
            * line.p0.distance(line.p1)
    };
    let under = share(&|at| body.contains(at));
    // Wheels stand out of no body by much, but out of the tyres' faces they may.
    let wheels = share(&|at| {
        let mut wheels = plan.vehicle.wheels.iter();
        wheels.any(|wheel| wheel.footprint().inflate(CLEAR_MM, CLEAR_MM).contains(at))
    });
    if under >= BELOW_MM {
        return Some(true);
    }
    (share(&|at| wide.contains(at)) == 0.0 && wheels == 0.0).then_some(false)
}

/// True when both numbers of a mark, as printed, are no other mark's.
pub(super) fn alone(plan: &FloorPlan, mark: usize, ruling: Ruling) -> bool {
    let printed = |mark: &Mark| [mark.at.x, mark.at.y].map(|mm| ruling.whole(mm));
    let own = printed(&plan.marks[mark]);
    plan.marks
        .iter()
        .filter(|other| printed(other) == own)
        .count()
        == 1
}
