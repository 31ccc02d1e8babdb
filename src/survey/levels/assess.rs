//! Slope and evenness of a floor, and the verdicts on both.

use super::{
    super::{LevelPoint, Plane, PlaneError, Verdict, WheelStance},
    wheels::stances,
};
use crate::plan::FloorLimits;

/// Everything that heights tell of a floor.
#[derive(Clone, Debug)]
pub struct FloorAssessment {
    /// The points.
    pub points: Vec<LevelPoint>,
    /// The plane of all points.
    pub plane: Plane,
    /// Standard deviation of one height as given beforehand, mm.
    pub sigma: f64,
    /// The floor below the wheels of each vehicle that all four were read of, after the prefix of their names.
    pub wheels: Vec<(String, WheelStance)>,
    /// The template's limits, where a job was named and its template has any.
    pub limits: Option<FloorLimits>,
    /// The verdicts, one per limit and surface.
    pub judgements: Vec<Judgement>,
}

/// What was judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FloorQuantity {
    /// The greatest slope, mm per metre.
    Slope,
    /// The largest deviation of a point from the plane, mm.
    Flatness,
}

/// Which points make up the surface that was judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FloorSurface {
    /// All of them.
    Floor,
    /// The four wheels, by index into [`FloorAssessment::wheels`].
    Wheels(usize),
}

/// A value held against its limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judgement {
    /// What was judged.
    pub quantity: FloorQuantity,
    /// Of which surface.
    pub surface: FloorSurface,
    /// What was found: mm per metre or mm, not negative.
    pub value: f64,
    /// What it may be.
    pub limit: f64,
    /// Standard deviation of the value.
    pub sd: f64,
    /// The decision (JCGM 106, 8.3), never [`Verdict::Inside`] or outside without a check on the readings.
    pub verdict: Verdict,
}

impl FloorAssessment {
    /// Fits and judges. `sigma` is the standard deviation of one height, mm, and positive.
    ///
    /// # Errors
    /// When the points hold no plane.
    pub fn of(
        points: Vec<LevelPoint>,
        sigma: f64,
        limits: Option<FloorLimits>,
    ) -> Result<Self, PlaneError> {
        let plane = Plane::fit(&points)?;
        let wheels = stances(&points);
        let mut judgements = Vec::new();
        if let Some(limits) = limits {
            // Where deviations are larger than the readings explain, the floor is uneven, and its slope is the less
            // certain for it; a few small ones by chance do not make a level better than it is.
            let slope_sigma = plane.sigma0.map_or(sigma, |sigma0| sigma0.max(sigma));
            judge(
                &plane,
                FloorSurface::Floor,
                limits,
                (slope_sigma, sigma),
                &mut judgements,
            );
            for (index, (_, stance)) in wheels.iter().enumerate() {
                // The wheels stand on these very points: unevenness between them does not come in.
                judge(
                    &stance.plane,
                    FloorSurface::Wheels(index),
                    limits,
                    (sigma, sigma),
                    &mut judgements,
                );
            }
        }
        Ok(Self {
            points,
            plane,
            sigma,
            wheels,
            limits,
            judgements,
        })
    }

    /// The worst of all verdicts; `None` without limits.
    #[must_use]
    pub fn verdict(&self) -> Option<Verdict> {
        self.judgements
            .iter()
            .map(|judgement| judgement.verdict)
            .max()
    }

    /// Index of the point that was read lowest, the first of equals.
    #[must_use]
    pub fn lowest(&self) -> usize {
        let by_height =
            |a: &usize, b: &usize| self.points[*a].height.total_cmp(&self.points[*b].height);
        (0..self.points.len())
            .min_by(by_height)
            .expect("a plane has points")
    }

    /// Index of the point at which the plane is lowest, the first of equals.
    #[must_use]
    pub fn low_corner(&self) -> usize {
        let height = |index: &usize| self.plane.height_at(self.points[*index].at);
        (0..self.points.len())
            .min_by(|a, b| height(a).total_cmp(&height(b)))
            .expect("a plane has points")
    }
}

/// Holds a surface against the limits; the standard deviations of one height are those for the slope and for
/// the flatness.
fn judge(
    plane: &Plane,
    surface: FloorSurface,
    limits: FloorLimits,
    (slope_sigma, sigma): (f64, f64),
    into: &mut Vec<Judgement>,
) {
    let verdict = |value: f64, limit: f64, sd: f64| match plane.dof {
        0 => Verdict::Undecided,
        _ => Verdict::of(value, limit, sd),
    };
    if let Some(limit) = limits.slope {
        let (value, sd) = (
            plane.slope.steepest(),
            plane.slope.deviation(slope_sigma).steepest,
        );
        into.push(Judgement {
            quantity: FloorQuantity::Slope,
            surface,
            value,
            limit,
            sd,
            verdict: verdict(value, limit, sd),
        });
    }
    if let Some(limit) = limits.flatness {
        let (point, deviation) = plane.largest_deviation();
        // A deviation's variance is its height's, times the redundancy number.
        let (value, sd) = (deviation.abs(), sigma * plane.redundancy[point].sqrt());
        into.push(Judgement {
            quantity: FloorQuantity::Flatness,
            surface,
            value,
            limit,
            sd,
            verdict: verdict(value, limit, sd),
        });
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::*;

    const LIMITS: FloorLimits = FloorLimits {
        slope: Some(5.0),
        flatness: Some(4.0),
        demonstration: false,
    };

    /// A field of 3 × 3 points over 6 m × 3 m.
    fn field(height: impl Fn(Point) -> f64) -> Vec<LevelPoint> {
        let place = |k: usize| Point::new(3000.0 * (k / 3) as f64, 1500.0 * (k % 3) as f64);
        (0..9)
            .map(|k| LevelPoint {
                name: format!("P{k}"),
                at: place(k),
                height: height(place(k)),
            })
            .collect()
    }

    fn verdicts(points: Vec<LevelPoint>, sigma: f64) -> Vec<Verdict> {
        let found = FloorAssessment::of(points, sigma, Some(LIMITS)).unwrap();
        found
            .judgements
            .iter()
            .map(|judgement| judgement.verdict)
            .collect()
    }

    #[test]
    fn slope_and_flatness_are_judged_each_against_its_limit() {
        use Verdict::{Inside, Outside, Undecided};
        assert_eq!(verdicts(field(|at| 0.003 * at.x), 0.5), [Inside, Inside]);
        assert_eq!(verdicts(field(|at| 0.006 * at.x), 0.5), [Outside, Inside]);
        assert_eq!(verdicts(field(|at| 0.005 * at.x), 0.5), [Undecided, Inside]);
        let middle = |height: f64| {
            field(move |at| {
                if at == Point::new(3000.0, 1500.0) {
                    height
                } else {
                    0.0
                }
            })
        };
        // The middle of nine keeps 8/9 of its height as deviation, and as redundancy.
        assert_eq!(verdicts(middle(7.0), 0.5), [Inside, Outside]);
        assert_eq!(verdicts(middle(-4.5), 0.5), [Inside, Undecided]);
        assert_eq!(verdicts(middle(3.0), 0.5), [Inside, Inside]);
        assert_eq!(
            verdicts(field(|_| 0.0), 20.0),
            [Undecided, Undecided],
            "a coarse level decides nothing"
        );
    }

    #[test]
    fn three_points_are_never_inside_nor_outside() {
        for slope in [0.0, 0.050] {
            let points: Vec<LevelPoint> = field(|at| slope * at.x)
                .into_iter()
                .step_by(3)
                .take(2)
                .chain(field(|at| slope * at.x).into_iter().skip(1).take(1))
                .collect();
            assert_eq!(points.len(), 3);
            assert_eq!(verdicts(points, 0.1), [Verdict::Undecided; 2]);
        }
    }

    #[test]
    fn an_uneven_floor_makes_its_slope_less_certain_and_never_more() {
        let sd = |points| {
            FloorAssessment::of(points, 0.5, Some(LIMITS))
                .unwrap()
                .judgements[0]
                .sd
        };
        let even = sd(field(|_| 0.0));
        let uneven = sd(field(|at| if at.x == 3000.0 { 3.0 } else { 0.0 }));
        // Σy² = 6 · 1.5² m²: the worst direction of an even field, 0.5 mm over its root.
        assert!((even - 0.5 / 13.5_f64.sqrt()).abs() < 1e-12, "{even}");
        assert!(uneven > 2.0 * even);
    }

    #[test]
    fn four_wheels_are_judged_by_themselves_also_with_a_vehicles_letter() {
        let mut points = field(|_| 0.0);
        for (point, name) in [(0, "B:WRR"), (2, "B:WRL"), (6, "B:WFR"), (8, "B:WFL")] {
            points[point].name = name.to_owned();
        }
        points[8].height = 20.0;
        let found = FloorAssessment::of(points, 0.5, Some(LIMITS)).unwrap();
        let (prefix, stance) = &found.wheels[0];
        assert_eq!((prefix.as_str(), found.wheels.len()), ("B:", 1));
        assert!((stance.stands_out(0) - 20.0).abs() < 1e-10);
        let wheels: Vec<_> = found
            .judgements
            .iter()
            .filter(|j| j.surface == FloorSurface::Wheels(0))
            .collect();
        assert_eq!(wheels.len(), 2);
        assert!((wheels[1].value - 5.0).abs() < 1e-10 && wheels[1].verdict == Verdict::Outside);
        assert_eq!(found.verdict(), Some(Verdict::Outside));
    }

    #[test]
    fn without_limits_nothing_is_judged() {
        let found = FloorAssessment::of(field(|at| at.x - at.y), 0.5, None).unwrap();
        assert_eq!(
            (found.verdict(), found.lowest(), found.low_corner()),
            (None, 2, 2)
        );
    }
}
