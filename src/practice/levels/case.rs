//! Points and heights of a sheet.

use kurbo::{Point, Rect};

use crate::{
    plan::FloorLimits,
    practice::{Draw, Level, Ruling, Setting, layout::rectangles},
    survey::{FloorAssessment, FloorQuantity, LevelPoint, Plane, Verdict, WheelStance},
    units::{MM_PER_INCH, ROUND_OFF_MM},
};

/// Sides of the floor are rounded up to whole half metres, in inches to whole feet.
const HALF_METRE_MM: f64 = 500.0;
pub(super) const FOOT_MM: f64 = 12.0 * MM_PER_INCH;

/// Slopes in inches are so many inches on ten feet: common practice, no source. Of a slope in mm per metre this part.
const ON_TEN_FEET: f64 = 0.12;

/// Greatest slope where a template states none, mm per metre: the demonstration value of the built-in ones.
const USUAL_SLOPE: f64 = 5.0;

/// Answers have two decimals; a value nearer than this part of the last one to the edge of rounding is not asked for.
const CLEAR: f64 = 0.02;

/// Slopes along and across are at least this, mm per metre, where there are any: less is lost in rounding.
const LEAST_SLOPE: f64 = 0.5;

/// The low corner lies lower than the next one by at least this, mm.
const LEAST_FALL_MM: f64 = 3.0;

/// Names of the corners of the floor; at level 4 with the middles of the long sides between.
const CORNERS: [&str; 4] = ["FL", "FR", "RL", "RR"];
const SIX: [&str; 6] = ["FL", "FR", "ML", "MR", "RL", "RR"];

/// A sound sheet.
pub(super) struct Case<'a> {
    pub setting: &'a Setting,
    pub level: Level,
    /// Points with their heights, mm, on graduations: by rows from the front, left before right.
    pub points: Vec<LevelPoint>,
    /// The staff's reading at a height of 0, where the sheet shows readings.
    pub staff: Option<f64>,
    /// The plane of all points, at level 4 of all but one.
    pub plane: Plane,
    /// At level 4: the point beside the plane and its height over it.
    pub bump: Option<(usize, f64)>,
    /// Most that the floor may slope, mm per metre.
    pub slope_limit: f64,
    /// At level 3: inside or outside.
    pub verdict: Option<Verdict>,
}

impl<'a> Case<'a> {
    /// Draws a sheet; `None` where an answer would not be sure.
    pub fn draw(setting: &'a Setting, level: Level, draw: &mut Draw) -> Option<Self> {
        let limits = setting.plan.floor.limits;
        let slope_limit = limits
            .and_then(|limits| limits.slope)
            .unwrap_or(USUAL_SLOPE);
        let ruling = setting.ruling();
        let mut points = places(setting, level);
        let bump = heights(&mut points, level, slope_limit, ruling, draw);
        let staff = (level.number() == 3).then(|| ruling.step() * staff_steps(ruling, draw));
        let plane = match bump {
            None => Plane::fit(&points).ok()?,
            Some((bump, _)) => plane_without(&points, bump)?,
        };
        let mut case = Self {
            setting,
            level,
            points,
            staff,
            plane,
            bump,
            slope_limit,
            verdict: None,
        };
        if level.number() == 3 {
            case.verdict = Some(case.judged(limits)?);
        }
        case.is_sound().then_some(case)
    }

    /// The verdict on the slope, and only where it is one.
    fn judged(&self, limits: Option<FloorLimits>) -> Option<Verdict> {
        let limits = FloorLimits {
            slope: Some(self.slope_limit),
            flatness: limits.and_then(|limits| limits.flatness),
            demonstration: limits.is_none_or(|limits| limits.demonstration),
        };
        let level = self.setting.precision.level;
        let floor = FloorAssessment::of(self.points.clone(), level, Some(limits)).ok()?;
        let of = |quantity| {
            let mut judgements = floor.judgements.iter();
            judgements
                .find(|one| one.quantity == quantity)
                .map(|one| one.verdict)
        };
        let even = of(FloorQuantity::Flatness).is_none_or(|verdict| verdict == Verdict::Inside);
        of(FloorQuantity::Slope).filter(|verdict| even && *verdict != Verdict::Undecided)
    }

    fn is_sound(&self) -> bool {
        let slope = &self.plane.slope;
        let parts = [slope.along.abs(), slope.across.abs()];
        let falls = if self.level.number() == 1 {
            parts.iter().any(|part| *part >= LEAST_SLOPE)
        } else {
            parts.iter().all(|part| *part >= LEAST_SLOPE) && self.fall_to_next() >= LEAST_FALL_MM
        };
        let slopes = [parts[0], parts[1], slope.steepest()].map(|slope| self.in_unit(slope));
        let values = slopes.into_iter().chain([slope.percent()]);
        falls && values.into_iter().all(is_clear) && self.bump_is_sure()
    }

    /// What lengths are written in.
    pub fn ruling(&self) -> Ruling {
        self.setting.ruling()
    }

    /// A slope in mm per metre in the sheet's unit.
    pub fn in_unit(&self, slope: f64) -> f64 {
        slope * self.ruling().pick(1.0, ON_TEN_FEET)
    }

    /// That unit, short and in words.
    pub fn slope_unit(&self) -> [&'static str; 2] {
        self.ruling().pick(
            ["mm/m", "mm per metre"],
            ["in per 10 ft", "inches per 10 ft"],
        )
    }

    /// By how much the lowest corner of the plane lies below the next one, mm.
    fn fall_to_next(&self) -> f64 {
        let points = self.points.iter();
        let mut heights: Vec<f64> = points.map(|point| self.plane.height_at(point.at)).collect();
        heights.sort_by(f64::total_cmp);
        heights[1] - heights[0]
    }

    /// True when the rest lies in a plane without the point, and without no other one.
    fn bump_is_sure(&self) -> bool {
        let Some((bump, over)) = self.bump else {
            return true;
        };
        let found = self.points[bump].height - self.plane.height_at(self.points[bump].at);
        let even = |without: usize| {
            plane_without(&self.points, without)
                .is_some_and(|plane| plane.largest_deviation().1.abs() < ROUND_OFF_MM)
        };
        (found - over).abs() < ROUND_OFF_MM
            && (0..self.points.len()).all(|index| even(index) == (index == bump))
    }

    /// Index of the corner at which the plane is lowest.
    pub fn low_corner(&self) -> usize {
        let height = |index: &usize| self.plane.height_at(self.points[*index].at);
        (0..self.points.len())
            .min_by(|a, b| height(a).total_cmp(&height(b)))
            .expect("there are points")
    }

    /// Length and width of the rectangle, mm.
    pub fn size(&self) -> (f64, f64) {
        let last = self.points.len() - 1;
        (
            self.points[0].at.x - self.points[last].at.x,
            self.points[0].at.y - self.points[1].at.y,
        )
    }

    /// By how much the diagonal from the left of `row` to the right of the next row of those given passes over the other one.
    pub fn twist(&self, rows: [usize; 2]) -> Option<f64> {
        let [front, rear] = rows.map(|row| 2 * row);
        let four = [front, front + 1, rear, rear + 1].map(|index| self.points[index].clone());
        WheelStance::of(four).ok().map(|stance| stance.twist)
    }

    /// What the sheet prints for a point, mm: its height, or what the staff reads there.
    pub fn printed(&self, index: usize) -> f64 {
        let height = self.points[index].height;
        self.staff.map_or(height, |staff| staff - height)
    }
}

/// The plane of all points but one.
fn plane_without(points: &[LevelPoint], one: usize) -> Option<Plane> {
    let mut rest = points.to_vec();
    rest.remove(one);
    Plane::fit(&rest).ok()
}

/// True when a value is not on the edge of rounding to two decimals.
fn is_clear(value: f64) -> bool {
    let cents = value * 100.0;
    ((cents - cents.floor()) - 0.5).abs() >= CLEAR
}

/// The points of a level, with heights of 0.
fn places(setting: &Setting, level: Level) -> Vec<LevelPoint> {
    if level.number() == 3
        && let Some(marks) = rectangle_of_marks(setting)
    {
        return marks;
    }
    let ruling = setting.ruling();
    let floor = round_floor(setting.plan.floor.needed, ruling);
    let names: &[&str] = if level.number() == 4 { &SIX } else { &CORNERS };
    let rows = names.len() / 2 - 1;
    let place = |(index, name): (usize, &&str)| {
        let x = floor.x1 - floor.width() * (index / 2) as f64 / rows as f64;
        let y = if index % 2 == 0 { floor.y1 } else { floor.y0 };
        LevelPoint {
            name: (*name).to_owned(),
            at: Point::new(x, y),
            height: 0.0,
        }
    };
    names.iter().enumerate().map(place).collect()
}

/// A floor about the same middle with sides of whole half metres or feet, along of an even number of them so that half of it
/// is round too.
fn round_floor(floor: Rect, ruling: Ruling) -> Rect {
    let up = |mm: f64, step: f64| (mm / step).ceil() * step;
    let step = ruling.pick(HALF_METRE_MM, FOOT_MM);
    let size = (up(floor.width(), 2.0 * step), up(floor.height(), step));
    let middle = floor.center();
    let middle = Point::new(ruling.round(middle.x), ruling.round(middle.y));
    Rect::from_center_size(middle, size)
}

/// Where the staff stands at a height of 0, in steps of the ruling: 1.3 to 1.6 m, 51 to 63 in.
fn staff_steps(ruling: Ruling, draw: &mut Draw) -> f64 {
    let (least, most) = ruling.pick((1300, 1600), (51 * 16, 63 * 16));
    draw.whole(least, most) as f64
}

/// The largest rectangle of marks of the layout, the foremost of several.
fn rectangle_of_marks(setting: &Setting) -> Option<Vec<LevelPoint>> {
    let (marks, ruling) = (&setting.plan.marks, setting.ruling());
    let area = |[front, _, rear, _]: &[usize; 4]| {
        (marks[*front].at.x - marks[*rear].at.x) * marks[*front].at.y
    };
    let all = rectangles(marks).into_iter();
    let corners = all.reduce(|best, next| {
        if area(&next) > area(&best) {
            next
        } else {
            best
        }
    })?;
    let point = |mark: usize| LevelPoint {
        name: marks[mark].id.clone(),
        at: ruling.place(marks[mark].at),
        height: 0.0,
    };
    Some(corners.map(point).to_vec())
}

/// Draws the heights, and at level 4 the point that lies beside the plane.
fn heights(
    points: &mut [LevelPoint],
    level: Level,
    limit: f64,
    ruling: Ruling,
    draw: &mut Draw,
) -> Option<(usize, f64)> {
    let step = ruling.step();
    let rows = points.len() / 2 - 1;
    let row_mm = (points[0].at.x - points[points.len() - 1].at.x) / rows as f64;
    let width_mm = points[0].at.y - points[1].at.y;
    // The greatest slope lies about the limit: at most one and a half times it in each direction.
    let most = |mm: f64| ((1.5 * limit * mm / 1000.0 / step) as i64).max(2);
    let mut along = draw.whole(-most(row_mm), most(row_mm)) as f64;
    let mut across = draw.whole(-most(width_mm), most(width_mm)) as f64;
    if level.number() == 1 {
        *(if draw.coin() { &mut along } else { &mut across }) = 0.0;
    }
    let base = draw.whole(0, 20) as f64;
    for (index, point) in points.iter_mut().enumerate() {
        let row = (index / 2) as f64;
        let beside = if level.number() == 3 {
            draw.whole(-1, 1) as f64
        } else {
            0.0
        };
        let left = if index % 2 == 0 { across } else { 0.0 };
        point.height = step * (base - along * row + left + beside);
    }
    let least = points
        .iter()
        .map(|point| point.height)
        .fold(f64::INFINITY, f64::min);
    let bump = (level.number() == 4).then(|| {
        let (least, most) = ruling.pick((6, 15), (4, 10));
        let over = step * draw.whole(least, most) as f64;
        (
            draw.whole(0, points.len() as i64 - 1) as usize,
            if draw.coin() { over } else { -over },
        )
    });
    for point in points.iter_mut() {
        // No height is negative: the lowest stands at the base, or above where a hollow comes off it.
        point.height += step * base - least;
    }
    let (index, over) = bump?;
    for point in points.iter_mut() {
        point.height += (-over).max(0.0);
    }
    points[index].height += over;
    Some((index, over))
}
