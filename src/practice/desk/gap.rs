//! Distances from the vehicle's outline to marks beside, ahead of and behind it.

use kurbo::Point;

use super::{Model, ruler};
use crate::practice::{Cell, Draw, Level, Question, WrongAnswer, asked::Asked};

/// Shorter than this on the desk, mm, a distance says little.
const LEAST_MM: f64 = 5.0;

/// A mark lies straight beside a wheel when it is no farther from the axle than this part of the wheel's diameter.
const BESIDE_WHEEL: f64 = 0.4;

/// What a distance is measured from. The order is that in which the levels take them up.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Origin {
    /// The body's side, straight out.
    Side,
    /// The outer face of a tyre, straight out; true for the front one.
    Tyre(bool),
    /// A corner of the body; true for the front one.
    Corner(bool),
}

/// A distance to be measured with the outline laid.
#[derive(Clone, Copy)]
struct Gap {
    from: Origin,
    mark: usize,
    /// Where it begins, mm on the desk.
    start: Point,
}

/// The distances that are asked for.
pub(super) struct Gaps<'a> {
    model: &'a Model,
    gaps: Vec<Gap>,
}

impl<'a> Gaps<'a> {
    /// Draws them: from the body's side at levels 1 and 2, one, from a tyre and another one above.
    pub fn drawn(model: &'a Model, level: Level, draw: &mut Draw) -> Self {
        let mut all = possible(model);
        draw.shuffle(&mut all);
        let first = |gap: &Gap| match level.number() {
            1 | 2 => gap.from,
            _ => match gap.from {
                Origin::Tyre(_) => Origin::Side,
                Origin::Side => Origin::Tyre(true),
                corner @ Origin::Corner(_) => corner,
            },
        };
        all.sort_by_key(|gap| match first(gap) {
            Origin::Side => 0,
            Origin::Tyre(_) => 1,
            Origin::Corner(_) => 2,
        });
        let count = level.of([1, 1, 2, 2]);
        let mut gaps: Vec<Gap> = Vec::new();
        for gap in all {
            // Two from the same place to the same mark would be one.
            let new = gaps.iter().all(|other| {
                std::mem::discriminant(&other.from) != std::mem::discriminant(&gap.from)
                    || (matches!(gap.from, Origin::Corner(_)) && other.from != gap.from)
            });
            if gaps.len() < count && new {
                gaps.push(gap);
            }
        }
        Self { model, gaps }
    }

    /// The question about them; none where no mark lies off the outline.
    pub fn question(&self) -> Option<Question> {
        if self.gaps.is_empty() {
            return None;
        }
        let (n, ruling) = (self.model.denominator, self.model.ruling);
        let mut asked = Asked::default();
        for (number, gap) in (1..).zip(&self.gaps) {
            let (floor, sum) = self.on_floor(gap);
            let desk = floor / f64::from(n);
            asked.worked.push(format!(
                "{number}, {} to {}: {sum} {unit} on the floor; {} / {n}, rounded {} on the desk",
                self.words_of(gap.from),
                self.model.name(gap.mark),
                ruling.exact(floor),
                ruler(desk, ruling),
                unit = ruling.unit()
            ));
            let cells = [
                Cell::given(number.to_string()),
                Cell::given(self.words_of(gap.from)),
                Cell::given(self.model.name(gap.mark)),
            ];
            let desk = asked.blank(
                format!("distance {number} on the desk"),
                ruler(desk, ruling),
            );
            let floor = asked.blank(
                format!("distance {number} on the floor"),
                ruling.answer(floor),
            );
            asked.row(cells.into_iter().chain([desk, floor]));
        }
        let square = self
            .gaps
            .iter()
            .any(|gap| !matches!(gap.from, Origin::Corner(_)));
        let how = if square {
            ", straight out from a side or a tyre"
        } else {
            ""
        };
        let text = format!(
            "Lay the half outline on the mat. Measure from it to the mark{how}. What is that on the floor, {n} × as much?"
        );
        let columns = [
            "no.".to_owned(),
            "from".to_owned(),
            "to mark".to_owned(),
            format!("on the desk, {}", ruling.unit()),
            format!("on the floor, {}", ruling.unit()),
        ];
        let (desk, floor) = self.model.bounds();
        Some(
            asked
                .question(text, columns)
                .right_within_each([(" on the floor", floor), (" on the desk", desk)]),
        )
    }

    /// A wrong answer that is often given.
    pub fn wrong(&self) -> Option<WrongAnswer> {
        let gap = self
            .gaps
            .iter()
            .find(|gap| matches!(gap.from, Origin::Tyre(_)))?;
        let half_width = self.model.plan.vehicle.half_width;
        let from_side = self.model.plan.marks[gap.mark].at.y.abs() - half_width;
        let floor = self
            .model
            .ruling
            .answer(from_side * f64::from(self.model.denominator));
        Some(WrongAnswer::new(
            format!("{floor} from the tyre to {}", self.model.name(gap.mark)),
            "Measured from the body's side, not from the tyre's outer face.",
        ))
    }

    fn words_of(&self, from: Origin) -> String {
        let side = self.model.half.side();
        let end = |front: bool| if front { "front" } else { "rear" };
        match from {
            Origin::Side => format!("{side} side of the body"),
            Origin::Tyre(front) => {
                format!("outer face of the {} {side} tyre", end(front))
            }
            Origin::Corner(front) => format!("{} {side} corner of the body", end(front)),
        }
    }

    /// The distance on the floor, mm, on a graduation, and how it is worked out from whole numbers of the plan.
    fn on_floor(&self, gap: &Gap) -> (f64, String) {
        let (n, ruling) = (f64::from(self.model.denominator), self.model.ruling);
        let at = self.model.plan.marks[gap.mark].at;
        let whole = |desk: f64| ruling.round(desk.abs() * n);
        let words = |mm: f64| ruling.whole(mm);
        match gap.from {
            Origin::Side | Origin::Tyre(_) => {
                let (out, from) = (whole(at.y), whole(gap.start.y));
                let sum = format!(
                    "from the centreline {} less {}, that is {}",
                    words(out),
                    words(from),
                    words(out - from)
                );
                (out - from, sum)
            }
            Origin::Corner(_) => {
                let (along, across) = (whole(at.x - gap.start.x), whole(at.y - gap.start.y));
                let floor = ruling.round(along.hypot(across));
                let sum = format!(
                    "{} along and {} across, √({}² + {}²), rounded {}",
                    words(along),
                    words(across),
                    ruling.exact(along),
                    ruling.exact(across),
                    words(floor)
                );
                (floor, sum)
            }
        }
    }
}

/// All distances of a half that a ruler can measure.
fn possible(model: &Model) -> Vec<Gap> {
    let vehicle = &model.plan.vehicle;
    let side = if model.half.left { 1.0 } else { -1.0 };
    let mut all = Vec::new();
    for (mark, at) in model.plan.marks.iter().map(|mark| mark.at).enumerate() {
        if at.y * side <= 0.0 {
            continue;
        }
        let mut add = |from, start: Point| {
            if start.distance(at) >= LEAST_MM {
                all.push(Gap { from, mark, start });
            }
        };
        let is_out = at.y * side > vehicle.half_width;
        if is_out && (vehicle.rear_x..=vehicle.front_x).contains(&at.x) {
            add(Origin::Side, Point::new(at.x, side * vehicle.half_width));
        }
        let own = vehicle.wheels.iter().enumerate();
        for (index, wheel) in own.filter(|(_, wheel)| wheel.centre.y * side > 0.0) {
            let face = wheel.centre.y * side + wheel.width / 2.0;
            let beside = (at.x - wheel.centre.x).abs() <= BESIDE_WHEEL * wheel.diameter;
            if is_out && beside && at.y * side > face {
                add(Origin::Tyre(index < 2), Point::new(at.x, side * face));
            }
        }
        for (front, x) in [(true, vehicle.front_x), (false, vehicle.rear_x)] {
            let beyond = if front { at.x > x } else { at.x < x };
            if is_out || beyond {
                add(
                    Origin::Corner(front),
                    Point::new(x, side * vehicle.half_width),
                );
            }
        }
    }
    all
}
