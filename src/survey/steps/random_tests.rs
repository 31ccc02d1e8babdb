//! A second opinion on how well steps set their marks: by drawing the errors at random.

use kurbo::{Point, Vec2};

use super::tests::{plan, steps};
use crate::{
    plan::FloorPlan,
    survey::{
        Precision,
        laying_fixture::{Laying, sampled, scatters_as},
    },
};

/// A base mark taped along the chalk line, as hands do it.
fn base(laying: &mut Laying<'_>, at: Point) -> Point {
    let place = laying.set_out(at);
    laying.line * place
}

/// A distance taped from a mark: zero held on it and read at the other end.
fn swung(laying: &mut Laying<'_>, length: f64) -> f64 {
    laying.taped(length) + laying.dice.normal(laying.precision.reading)
}

/// Where two circles meet, on the side of the line through their middles where `near` lies.
fn meet(a: Point, b: Point, (from_a, from_b): (f64, f64), near: Point) -> Point {
    let apart = a.distance(b);
    let along = (apart * apart + from_a * from_a - from_b * from_b) / (2.0 * apart);
    let height = (from_a * from_a - along * along).sqrt();
    let direction = (b - a) / apart;
    let side = direction.cross(near - a).signum();
    a + direction * along + Vec2::new(-direction.y, direction.x) * (side * height)
}

#[test]
fn arcs_swung_with_random_errors_cross_as_propagated() {
    let precision = Precision::default();
    for (vehicle, template, id) in [
        ("delivery-van", "perimeter-lines", "1L"),
        ("delivery-van", "perimeter-lines", "3R"),
        ("city-car", "rear-corner-arcs", "P1L"),
        ("city-car", "rear-corner-arcs", "P3R"),
    ] {
        let plan = plan(vehicle, template);
        let mark = plan.marks.iter().position(|mark| mark.id == id).unwrap();
        let (at, [a, b]) = (
            plan.marks[mark].at,
            plan.tape_base.map(|base| plan.marks[base].at),
        );
        let found = steps(&plan).errors[mark].crossing.unwrap().covariance;
        let sample = sampled(&plan, precision, at, |laying| {
            let (from, to) = (base(laying, a), base(laying, b));
            let lengths = (swung(laying, a.distance(at)), swung(laying, b.distance(at)));
            meet(from, to, lengths, at) + laying.drawn() + laying.dice.normal2(precision.strip)
        });
        scatters_as(id, found, sample);
    }
}

/// The plumbed line, and the strings beside it, as hands make them. Pairs of sides have the left one first.
struct Beside {
    /// Plumbed rear middle, and the direction forward.
    line: (Point, Vec2),
    /// Rear end of each string and its direction forward.
    strings: [(Point, Vec2); 2],
}

fn turned(by: f64, direction: Vec2) -> Vec2 {
    direction + Vec2::new(-direction.y, direction.x) * by
}

fn to_the_left(direction: Vec2) -> Vec2 {
    Vec2::new(-direction.y, direction.x)
}

impl Beside {
    fn made(laying: &mut Laying<'_>, plan: &FloorPlan, strings: &super::Strings) -> Self {
        let precision = laying.precision;
        let [front, rear] = [plan.vehicle.front_x, plan.vehicle.rear_x]
            .map(|x| Point::new(x, laying.dice.normal(precision.plumb)));
        let forward = (front - rear).normalize();
        let mut end = |end: usize| {
            let foot = rear + forward * (strings.feet[end].at.x - rear.x);
            let turn = laying.dice.normal(precision.perpendicular / 1000.0);
            [1.0, -1.0].map(|side| {
                let wave = to_the_left(forward) * laying.dice.normal(precision.centreline);
                let off =
                    turned(turn, to_the_left(forward)) * (side * laying.taped(strings.offset));
                foot + wave + off + laying.drawn()
            })
        };
        let (fronts, rears) = (end(0), end(1));
        let string = |side: usize| (rears[side], (fronts[side] - rears[side]).normalize());
        Self {
            line: (rear, forward),
            strings: [string(0), string(1)],
        }
    }

    /// A point of a side's string, counted from its plumbed wheel, and whether anything is set from it.
    fn point(
        &self,
        laying: &mut Laying<'_>,
        strings: &super::Strings,
        (side, x): (usize, f64),
        goes_on: bool,
    ) -> Point {
        let precision = laying.precision;
        let super::strings::Start::Wheels { plumbed, .. } = &strings.datum else {
            panic!("these layouts count from wheels");
        };
        let (rear, forward) = self.strings[side];
        let wheel = plumbed[side].at + Vec2::new(laying.dice.normal(precision.plumb), 0.0);
        let turn = laying.dice.normal(precision.perpendicular / 1000.0);
        let start = strings.starts[side].at;
        let mut along = (wheel - rear).dot(forward) + turn * plumbed[side].at.distance(start);
        let taped = x - start.x;
        if taped != 0.0 || goes_on {
            along += laying.drawn().x;
        }
        if taped != 0.0 {
            along += swung(laying, taped);
        }
        if taped != 0.0 && goes_on {
            along += laying.drawn().x;
        }
        rear + forward * along
    }
}

/// A mark set by the strings.
fn by_strings(
    laying: &mut Laying<'_>,
    plan: &FloorPlan,
    strings: &super::Strings,
    at: Point,
) -> Point {
    let precision = laying.precision;
    let beside = Beside::made(laying, plan, strings);
    let found = if strings.cross(&plan.vehicle, at) {
        let [left, right] = [0, 1].map(|side| beside.point(laying, strings, (side, at.x), true));
        let (rear, forward) = beside.line;
        let off = if at.y == 0.0 { 0.0 } else { laying.taped(at.y) };
        let off = off + laying.dice.normal(precision.centreline);
        let share = (at.y / strings.offset + 1.0) / 2.0;
        let x = right.lerp(left, share).x + laying.dice.normal(precision.centreline);
        let on_line = rear + forward * ((x - rear.x) / forward.x);
        Point::new(x, (on_line + to_the_left(forward) * off).y)
    } else {
        let side = super::Strings::side(at.y);
        let beyond = at.y.abs() - strings.offset;
        let goes_on = beyond.abs() > 1e-3;
        let point = beside.point(laying, strings, (side, at.x), goes_on);
        let (_, forward) = beside.strings[side];
        let wave = to_the_left(forward) * laying.dice.normal(precision.centreline);
        if goes_on {
            let turn = laying.dice.normal(precision.perpendicular / 1000.0);
            let out = turned(turn, to_the_left(forward)) * at.y.signum();
            point + wave + out * laying.taped(beyond)
        } else {
            point + wave
        }
    };
    found + laying.drawn() + laying.dice.normal2(precision.strip)
}

#[test]
fn marks_set_by_strings_with_random_errors_scatter_as_propagated() {
    let precision = Precision::default();
    for (vehicle, template, id) in [
        ("delivery-van", "perimeter-lines", "2L"),
        ("delivery-van", "perimeter-lines", "1R"),
        ("delivery-van", "perimeter-lines", "3R2"),
        ("delivery-van", "perimeter-lines", "4C"),
        ("city-car", "rear-corner-arcs", "P2R"),
        ("city-car", "target-line", "1L"),
    ] {
        let plan = plan(vehicle, template);
        let mark = plan.marks.iter().position(|mark| mark.id == id).unwrap();
        let at = plan.marks[mark].at;
        let strings = super::Strings::of(&plan, false);
        let found = steps(&plan).errors[mark].perpendicular;
        let sample = sampled(&plan, precision, at, |laying| {
            by_strings(laying, &plan, &strings, at)
        });
        scatters_as(id, found, sample);
    }
}
