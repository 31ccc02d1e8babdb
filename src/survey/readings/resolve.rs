//! The network that readings make with a layout.

use kurbo::{Point, Vec2};

use super::{GivenMark, Reading, ReadingFault, ReadingKind, Readings, names::Names, plausible};
use crate::{
    plan::FloorPlan,
    source::{Fault, Faults},
    survey::{
        Decision, Geometry, LayingPrior, Network, NetworkPoint, Observation, Precision,
        TapedLayout, wheel_marks,
    },
};

/// Least a-priori standard deviation that is calculated with, mm: a `[precision]` of nothing would be an
/// infinite weight.
const LEAST_SD_MM: f64 = 0.01;

/// How far from the middle of a vehicle's layout a mark given beside it may lie, mm: what is farther off is in another system
/// of coordinates.
const FARTHEST_BESIDE_MM: f64 = 1e8;

/// Most faults told: whoever has more has given the wrong job.
const MOST_FAULTS: usize = 100;

/// A taped layout as the readings make it.
#[derive(Clone, Debug)]
pub struct Survey {
    /// Points: the layout's marks in its order, then the marks given beside it, then the wheel marks that
    /// were taped. Observations: the readings in their order, then the wheel marks' own places. What could be
    /// taped besides (`further`) is left empty.
    pub taped: TapedLayout,
    /// Where each observation came from.
    pub origins: Vec<Origin>,
}

/// Where an observation came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Index into [`Readings::readings`].
    Reading(usize),
    /// A wheel mark's x or y, known from the vehicle's dimensions and plumbed to the floor.
    Vehicle,
}

impl Readings {
    /// Finds the marks that the readings name, among those of the layout, those that the file gives, and
    /// the vehicle's wheel marks (`WFL`; on a mat `A:WFL`), in that order. A reading without a standard deviation of its own gets one by `precision`.
    ///
    /// # Errors
    /// Faults for each unknown mark, each reading between a mark and itself, each line through one mark
    /// twice, and each given mark without a place.
    pub fn resolve(
        &self,
        plan: Option<&FloorPlan>,
        precision: &Precision,
    ) -> Result<Survey, Faults> {
        self.resolved(plan, precision, false)
    }

    /// The same for a layout that was laid by a known method. All wheel marks are kept, whether they were taped or not,
    /// since more may be asked of them.
    ///
    /// # Errors
    /// As [`Readings::resolve`].
    pub fn resolve_laid(
        &self,
        plan: &FloorPlan,
        precision: &Precision,
        prior: LayingPrior,
    ) -> Result<Survey, Faults> {
        let mut survey = self.resolved(Some(plan), precision, true)?;
        survey.taped.prior = Some(prior);
        Ok(survey)
    }

    fn resolved(
        &self,
        plan: Option<&FloorPlan>,
        precision: &Precision,
        all_wheels: bool,
    ) -> Result<Survey, Faults> {
        let mut faults = Vec::new();
        let mut points = Points {
            origin: self.middle(plan),
            ..Points::default()
        };
        for mark in plan.iter().flat_map(|plan| &plan.marks) {
            points.add(&mark.id, mark.at, Some(mark.at), Some(mark.tolerance));
        }
        let layout = points.points.len();
        for given in &self.marks {
            if let Err(fault) = points.give(given, layout) {
                faults.push(fault);
            }
        }
        faults.extend(points.refuse_fixed(&self.marks));
        let wheels_from = points.points.len();
        for (id, at) in plan.map(wheels).unwrap_or_default() {
            points.add(&id, at, None, None);
        }
        let design = |name: &str| {
            let index = points.names.find(name).ok()?;
            points.designs[index].or((index >= wheels_from).then(|| points.points[index].start))
        };
        plausible::refuse_another_layout(&self.readings, design)?;
        let observe = |reading: &Reading| match points.geometry(&reading.kind) {
            Ok(geometry) => Ok(Observation {
                geometry,
                value: reading.value,
                sd: deviation(reading, geometry, precision),
            }),
            Err(message) => Err(reading.place.fault(message)),
        };
        let mut observations = Vec::with_capacity(self.readings.len());
        for reading in &self.readings {
            match observe(reading) {
                Ok(observation) => observations.push(observation),
                Err(fault) => faults.push(fault),
            }
        }
        faults.truncate(MOST_FAULTS);
        Faults::none_in(faults)?;
        plausible::refuse_units(&self.readings, design)?;
        let mut survey = points.into_survey(wheels_from, observations, precision, all_wheels);
        for (observation, reading) in self.readings.iter().enumerate() {
            survey.taped.by_default[observation] = reading.sd.is_none();
            survey.taped.lays[observation] = reading.lay;
        }
        Ok(survey)
    }
}

impl Readings {
    /// What is taken off all places: the middle of those that the file gives, to whole mm, so that taking it off and adding it
    /// again lose nothing. Coordinates of a national grid have ten digits before the point, and a double holds them to
    /// about 2e-6 mm; what is worked out about their middle (squares, turns) would be held far less well about the
    /// grid's origin. Nothing where there is a layout: its places are about its vehicle.
    fn middle(&self, plan: Option<&FloorPlan>) -> Vec2 {
        let places: Vec<Vec2> = self
            .marks
            .iter()
            .filter_map(|mark| Some(mark.at?.to_vec2()))
            .collect();
        if plan.is_some() || places.is_empty() {
            return Vec2::ZERO;
        }
        (places.iter().copied().sum::<Vec2>() / places.len() as f64).round()
    }
}

/// Wheel marks of the plan's vehicle, or of all vehicles of its mat, by name.
pub(super) fn wheels(plan: &FloorPlan) -> Vec<(String, Point)> {
    let of = |vehicle, prefix: String| {
        wheel_marks(vehicle).map(|(name, at)| (format!("{prefix}{name}"), at))
    };
    match &plan.mat {
        None => of(&plan.vehicle, String::new()).to_vec(),
        Some(mat) => mat
            .vehicles
            .iter()
            .flat_map(|one| of(&one.vehicle, format!("{}:", one.letter)))
            .collect(),
    }
}

fn deviation(reading: &Reading, geometry: Geometry, precision: &Precision) -> f64 {
    let length = reading.value.abs();
    let by_tape = Observation {
        geometry,
        value: reading.value,
        sd: 0.0,
    }
    .read_on_tape();
    reading.sd.unwrap_or_else(|| {
        let expected = match reading.kind {
            ReadingKind::Distance { .. } => precision.distance(length),
            ReadingKind::Offset { .. } => precision.offset(length),
            // A mark that is taped from a string, not seen on it.
            ReadingKind::Inline { .. } if by_tape => precision.offset(length),
            ReadingKind::Inline { .. } => precision.inline(),
        };
        expected.max(LEAST_SD_MM)
    })
}

/// Points as they are gathered.
#[derive(Default)]
struct Points {
    names: Names,
    points: Vec<NetworkPoint>,
    designs: Vec<Option<Point>>,
    tolerances: Vec<Option<f64>>,
    /// What is taken off the places that the file gives, mm.
    origin: Vec2,
}

impl Points {
    /// Adds a point, unless one of this name is there already, and tells the index of the name.
    fn add(
        &mut self,
        id: &str,
        start: Point,
        design: Option<Point>,
        tolerance: Option<f64>,
    ) -> usize {
        let index = self.names.add(id);
        if index == self.points.len() {
            self.points.push(NetworkPoint {
                id: id.to_owned(),
                start,
                fixed: false,
            });
            self.designs.push(design);
            self.tolerances.push(tolerance);
        }
        index
    }

    /// Adds a given mark, or lays it over the mark of this name of the layout (the first `layout` points),
    /// which keeps its design.
    fn give(&mut self, given: &GivenMark, layout: usize) -> Result<(), Fault> {
        let known = self.names.known(&given.id);
        let at = given.at.map(|at| at - self.origin);
        if layout > 0 && at.is_some_and(|at| at.x.abs().max(at.y.abs()) > FARTHEST_BESIDE_MM) {
            return Err(given.place.fault(ReadingFault::FarAway(given.id.clone())));
        }
        let index = match (known, at) {
            (Some(index), at) if index < layout => {
                self.points[index].start = at.unwrap_or(self.points[index].start);
                self.tolerances[index] = given.tolerance.or(self.tolerances[index]);
                index
            }
            (_, Some(at)) => self.add(&given.id, at, given.tolerance.map(|_| at), given.tolerance),
            (_, None) => {
                let fault = match self.names.find(&given.id) {
                    Ok(_) => ReadingFault::NoPlace(given.id.clone()),
                    Err(fault) => ReadingFault::NoMarkNorPlace(Box::new(fault)),
                };
                return Err(given.place.fault(fault));
            }
        };
        self.points[index].fixed = given.fixed;
        Ok(())
    }

    /// Fixed marks that nothing can be adjusted by: two at one place, or all there are.
    fn refuse_fixed(&self, given: &[GivenMark]) -> Option<Fault> {
        let fixed: Vec<&NetworkPoint> = self.points.iter().filter(|point| point.fixed).collect();
        let last = given.iter().rfind(|mark| mark.fixed)?;
        if fixed.len() == self.points.len() {
            return Some(last.place.fault(ReadingFault::AllFixed));
        }
        let mut places: Vec<&NetworkPoint> = fixed;
        places.sort_by(|a, b| {
            a.start
                .x
                .total_cmp(&b.start.x)
                .then(a.start.y.total_cmp(&b.start.y))
        });
        let twice = places
            .windows(2)
            .find(|pair| pair[0].start == pair[1].start)?;
        Some(last.place.fault(ReadingFault::FixedTogether {
            marks: [twice[0], twice[1]].map(|mark| mark.id.clone()),
            at: twice[0].start + self.origin,
        }))
    }

    fn geometry(&self, kind: &ReadingKind) -> Result<Geometry, ReadingFault> {
        let all = |names: [&str; 3]| -> Result<[usize; 3], ReadingFault> {
            let [a, b, c] = names.map(|name| self.names.find(name));
            Ok([a?, b?, c?])
        };
        match kind {
            ReadingKind::Distance { from, to } => {
                let [from, to, _] = all([from, to, to])?;
                if from == to {
                    return Err(ReadingFault::ToItself(self.points[from].id.clone()));
                }
                Ok(Geometry::Distance { from, to })
            }
            ReadingKind::Offset {
                mark,
                line: [start, end],
            }
            | ReadingKind::Inline {
                mark,
                line: [start, end],
            } => {
                let [mark, start, end] = all([mark, start, end])?;
                if start == end || mark == start || mark == end {
                    let twice = if start == end { start } else { mark };
                    return Err(ReadingFault::TwiceOnLine(self.points[twice].id.clone()));
                }
                Ok(Geometry::Offset {
                    mark,
                    line: [start, end],
                })
            }
        }
    }

    /// The survey of these points, without the wheel marks (points from `wheels_from` on) that no
    /// observation names, unless `all_wheels` are wanted. Wheel marks get observations of their own places.
    fn into_survey(
        self,
        wheels_from: usize,
        mut observations: Vec<Observation>,
        precision: &Precision,
        all_wheels: bool,
    ) -> Survey {
        let plumb = precision.plumb.max(LEAST_SD_MM);
        let mut used = vec![false; self.points.len()];
        for index in observations
            .iter()
            .flat_map(|observation| observation.geometry.points())
        {
            used[index] = true;
        }
        let kept: Vec<usize> = (0..self.points.len())
            .filter(|index| *index < wheels_from || all_wheels || used[*index])
            .collect();
        let mut moved = vec![0; self.points.len()];
        for (new, old) in kept.iter().enumerate() {
            moved[*old] = new;
        }
        for observation in &mut observations {
            observation.geometry = renumbered(observation.geometry, &moved);
        }
        let mut origins: Vec<Origin> = (0..observations.len()).map(Origin::Reading).collect();
        let wheels: Vec<usize> = (wheels_from..kept.len()).collect();
        let points: Vec<NetworkPoint> = kept.iter().map(|old| self.points[*old].clone()).collect();
        for &point in &wheels {
            let at = points[point].start;
            observations.push(Observation {
                geometry: Geometry::X { point },
                value: at.x,
                sd: plumb,
            });
            observations.push(Observation {
                geometry: Geometry::Y { point },
                value: at.y,
                sd: plumb,
            });
            origins.extend([Origin::Vehicle; 2]);
        }
        let count = observations.len();
        Survey {
            taped: TapedLayout {
                network: Network {
                    points,
                    observations,
                },
                origin: self.origin,
                designs: kept.iter().map(|old| self.designs[*old]).collect(),
                tolerances: kept.iter().map(|old| self.tolerances[*old]).collect(),
                wheels,
                further: Vec::new(),
                spare: Vec::new(),
                lays: vec![None; count],
                by_default: vec![false; count],
                precision: *precision,
                prior: None,
                decision: Decision::default(),
            },
            origins,
        }
    }
}

fn renumbered(geometry: Geometry, moved: &[usize]) -> Geometry {
    match geometry {
        Geometry::Distance { from, to } => Geometry::Distance {
            from: moved[from],
            to: moved[to],
        },
        Geometry::Offset { mark, line } => Geometry::Offset {
            mark: moved[mark],
            line: line.map(|end| moved[end]),
        },
        Geometry::X { point } => Geometry::X {
            point: moved[point],
        },
        Geometry::Y { point } => Geometry::Y {
            point: moved[point],
        },
    }
}
