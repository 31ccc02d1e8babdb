//! A layout that was laid by a known method and taped by the lays of its own plan, for tests.

use std::sync::LazyLock;

use kurbo::{Point, Vec2};

use super::*;
use crate::{
    plan::{FloorPlan, LayEnd, LayKind},
    survey::{
        CheckChoice, DesignRow, Geometry, LayingPrior, Method, Network, NetworkPoint, Observation,
        Precision,
        fixture::{PERIMETER, SHEET_MM, VAN, plan, with_lays},
        wheel_marks,
    },
};

static PLAN: LazyLock<FloorPlan> =
    LazyLock::new(|| with_lays(&plan(VAN, PERIMETER), CheckChoice::Full, None));

/// A layout on the floor: true places of its marks, then of the four wheel marks.
#[derive(Clone)]
pub(super) struct Laid {
    pub places: Vec<Point>,
}

impl Laid {
    /// Laid exactly as designed.
    pub(super) fn as_designed() -> Self {
        let marks = PLAN.marks.iter().map(|mark| mark.at);
        Self {
            places: marks
                .chain(wheel_marks(&PLAN.vehicle).map(|(_, at)| at))
                .collect(),
        }
    }

    /// Number of marks.
    pub(super) fn marks() -> usize {
        PLAN.marks.len()
    }

    /// One mark moved.
    pub(super) fn moved(mut self, mark: usize, by: Vec2) -> Self {
        self.places[mark] += by;
        self
    }

    /// The whole grid moved, the wheel marks left.
    pub(super) fn grid(mut self, by: kurbo::Affine) -> Self {
        self.places[..Self::marks()]
            .iter_mut()
            .for_each(|place| *place = by * *place);
        self
    }

    /// Read without an error by all lays of the plan.
    pub(super) fn taped(&self) -> TapedLayout {
        self.taped_but(|_| true)
    }

    /// The same by those lays that `kept` says, by their place in the plan.
    pub(super) fn taped_but(&self, kept: impl Fn(usize) -> bool) -> TapedLayout {
        let (plan, precision, marks) = (&*PLAN, Precision::default(), Self::marks());
        let names = plan.marks.iter().map(|mark| mark.id.clone());
        let names: Vec<String> = names
            .chain(wheel_marks(&plan.vehicle).map(|(name, _)| name.to_owned()))
            .collect();
        let starts = Self::as_designed().places;
        let point = |(id, start): (String, Point)| NetworkPoint::free(id, start);
        let points: Vec<NetworkPoint> = names
            .into_iter()
            .zip(starts.iter().copied())
            .map(point)
            .collect();
        let (mut observations, mut lays, mut spare) = (Vec::new(), Vec::new(), Vec::new());
        for (index, lay) in plan.lays.iter().enumerate() {
            let end = |end| match end {
                LayEnd::Mark(mark) => mark,
                LayEnd::Wheel(wheel) => marks + wheel,
            };
            for reading in &lay.readings {
                let geometry = match lay.kind {
                    LayKind::Tape => Geometry::Distance {
                        from: end(lay.from),
                        to: reading.mark,
                    },
                    LayKind::String => Geometry::Offset {
                        mark: reading.mark,
                        line: [end(lay.from), end(lay.to)],
                    },
                };
                spare.push(Spare {
                    geometry,
                    minutes: 1.0,
                });
                if kept(index) {
                    let value = DesignRow::at(geometry, |point| self.places[point])
                        .unwrap()
                        .value;
                    observations.push(Observation::new(geometry, value, reading.sd));
                    lays.push(Some(lay.number as u32));
                }
            }
        }
        let between =
            (0..marks).flat_map(|to| (0..to).map(move |from| Geometry::Distance { from, to }));
        spare.extend(between.map(|geometry| Spare {
            geometry,
            minutes: 2.0,
        }));
        let taped = observations.len();
        for (point, wheel) in starts.iter().enumerate().skip(marks) {
            observations.push(Observation::new(
                Geometry::X { point },
                wheel.x,
                precision.plumb,
            ));
            observations.push(Observation::new(
                Geometry::Y { point },
                wheel.y,
                precision.plumb,
            ));
        }
        lays.resize(observations.len(), None);
        let designs = (0..points.len()).map(|point| (point < marks).then(|| starts[point]));
        let tolerances =
            (0..points.len()).map(|point| plan.marks.get(point).map(|mark| mark.tolerance));
        TapedLayout {
            designs: designs.collect(),
            tolerances: tolerances.collect(),
            wheels: (marks..points.len()).collect(),
            by_default: (0..observations.len()).map(|index| index < taped).collect(),
            network: Network {
                points,
                observations,
            },
            lays,
            spare,
            precision,
            prior: Some(LayingPrior::of(
                plan,
                &precision,
                Method::TapedSheets,
                SHEET_MM,
            )),
            ..TapedLayout::default()
        }
    }

    /// The layout with one more reading, as the floor gives it.
    pub(super) fn also(&self, layout: &mut TapedLayout, geometry: Geometry) {
        let value = DesignRow::at(geometry, |point| self.places[point])
            .unwrap()
            .value;
        layout
            .network
            .observations
            .push(Observation::new(geometry, value, 1.0));
        layout.lays.push(None);
        layout
            .by_default
            .push(matches!(geometry, Geometry::Distance { .. }));
    }

    /// Whether a lay of the plan has a wheel in it.
    pub(super) fn ties(lay: usize) -> bool {
        matches!(PLAN.lays[lay].from, LayEnd::Wheel(_))
    }

    /// Number of lays of the plan.
    pub(super) fn lays() -> usize {
        PLAN.lays.len()
    }
}

/// Indices of what was taped, without the promises of the wheel marks.
pub(super) fn readings(layout: &TapedLayout) -> std::ops::Range<usize> {
    0..layout.network.observations.len() - 2 * layout.wheels.len()
}
