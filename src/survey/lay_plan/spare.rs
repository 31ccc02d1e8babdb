//! What could be taped besides what was: the readings that a check of a taped layout may ask for.

use super::figures::{BODY_EDGE_MM, CRAWL_MINUTES, LAY_MINUTES, SHORTEST_MM};
use crate::{
    plan::{FloorPlan, Lay, LayKind, LayReading},
    survey::{Geometry, Spare, TapedLayout},
};

/// The readings of the layout's own plan, then every distance that a tape can reach between marks and from the wheels.
/// The layout's points are the plan's marks, then others, the wheel marks among them.
#[must_use]
pub fn spare(plan: &FloorPlan, layout: &TapedLayout) -> Vec<Spare> {
    let points = &layout.network.points;
    let marks = plan.marks.len();
    let pairs = (0..points.len()).flat_map(|to| (0..to).map(move |from| [from, to]));
    let useful =
        pairs.filter(|&[from, to]| from < marks && (to < marks || layout.wheels.contains(&to)));
    let reachable = useful.filter(|&[from, to]| {
        let (a, b) = (points[from].start, points[to].start);
        let wheel = layout.wheels.iter().position(|&wheel| wheel == to);
        let blocked = match wheel {
            Some(wheel) => plan.vehicle.through_wheel_from(wheel % 4, b, a),
            None => plan.vehicle.through_wheel(a, b),
        };
        a.distance(b) >= SHORTEST_MM && !blocked
    });
    let mut all = planned(plan, layout);
    all.extend(reachable.map(|[from, to]| {
        let below = plan
            .vehicle
            .below_body(points[from].start, points[to].start, BODY_EDGE_MM);
        Spare {
            geometry: Geometry::Distance { from, to },
            minutes: minutes(below),
        }
    }));
    all
}

/// The readings of the layout's own plan: their places are on the form, and several come with one lay.
fn planned(plan: &FloorPlan, layout: &TapedLayout) -> Vec<Spare> {
    let point = |name: &str| {
        layout
            .network
            .points
            .iter()
            .position(|point| point.id == name)
    };
    let of = |lay: &Lay, reading: &LayReading| {
        let geometry = match lay.kind {
            LayKind::Tape => Geometry::Distance {
                from: point(&lay.start_name(plan))?,
                to: reading.mark,
            },
            LayKind::String => Geometry::Offset {
                mark: reading.mark,
                line: [point(&lay.start_name(plan))?, point(&lay.to_name(plan))?],
            },
        };
        Some(Spare {
            geometry,
            minutes: minutes(lay.below_body) / lay.readings.len() as f64,
        })
    };
    plan.lays
        .iter()
        .flat_map(|lay| {
            lay.readings
                .iter()
                .filter_map(move |reading| of(lay, reading))
        })
        .collect()
}

/// Minutes for one lay.
const fn minutes(below_body: bool) -> f64 {
    LAY_MINUTES + if below_body { CRAWL_MINUTES } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{
        CheckChoice, Network, NetworkPoint,
        fixture::{PERIMETER, VAN, plan, with_lays},
        wheel_marks,
    };

    /// The demonstration layout with its lays, and nothing taped on it.
    fn laid() -> (FloorPlan, TapedLayout) {
        let plan = with_lays(&plan(VAN, PERIMETER), CheckChoice::Full, None);
        let marks = plan.marks.iter().map(|mark| (mark.id.clone(), mark.at));
        let wheels = wheel_marks(&plan.vehicle).map(|(name, at)| (name.to_owned(), at));
        let points: Vec<NetworkPoint> = marks
            .chain(wheels)
            .map(|(id, start)| NetworkPoint::free(id, start))
            .collect();
        let wheels = (plan.marks.len()..points.len()).collect();
        let layout = TapedLayout {
            network: Network {
                points,
                observations: Vec::new(),
            },
            wheels,
            ..TapedLayout::default()
        };
        (plan, layout)
    }

    #[test]
    fn the_plans_own_readings_come_first_and_share_the_minutes_of_their_lay() {
        let (plan, layout) = laid();
        let found = spare(&plan, &layout);
        let mut next = found.iter();
        for lay in &plan.lays {
            let own: Vec<&Spare> = next.by_ref().take(lay.readings.len()).collect();
            assert!(
                own.iter()
                    .zip(&lay.readings)
                    .all(|(spare, reading)| spare.geometry.points().contains(&reading.mark))
            );
            assert!(
                own.iter()
                    .all(|spare| matches!(spare.geometry, Geometry::Offset { .. })
                        == (lay.kind == LayKind::String))
            );
            let whole: f64 = own.iter().map(|spare| spare.minutes).sum();
            assert!(
                (whole - minutes(lay.below_body)).abs() < 1e-12,
                "{lay:?}: {whole}"
            );
        }
    }

    #[test]
    fn no_pull_goes_through_a_wheel_or_from_wheel_to_wheel_or_is_too_short_and_below_the_body_it_takes_longer()
     {
        let (plan, layout) = laid();
        let (marks, points) = (plan.marks.len(), &layout.network.points);
        let planned: usize = plan.lays.iter().map(|lay| lay.readings.len()).sum();
        let pulls = &spare(&plan, &layout)[planned..];
        let ends = |spare: &Spare| match spare.geometry {
            Geometry::Distance { from, to } => [from, to],
            other => panic!("{other:?}"),
        };
        let between = |names: [&str; 2]| {
            let of = names.map(|name| points.iter().position(|point| point.id == name).unwrap());
            pulls.iter().find(|spare| {
                let [from, to] = ends(spare);
                [from, to] == of || [to, from] == of
            })
        };
        for pull in pulls {
            let [from, to] = ends(pull);
            let (a, b) = (points[from].start, points[to].start);
            assert!(from < marks && a.distance(b) >= SHORTEST_MM, "{pull:?}");
            assert!(to >= marks || !plan.vehicle.through_wheel(a, b), "{pull:?}");
        }
        // Across the vehicle at an axle both wheels stand in the way; from a wheel to the mark beside it nothing does.
        assert!(between(["2L", "2R"]).is_none() && between(["WFL", "2R"]).is_none());
        assert_eq!(
            between(["2L", "WFL"]).map(|pull| pull.minutes),
            Some(LAY_MINUTES)
        );
        // Along a side one stands, below the body from end to end one crawls.
        assert_eq!(
            between(["1L", "4L"]).map(|pull| pull.minutes),
            Some(LAY_MINUTES)
        );
        assert_eq!(
            between(["1C", "4C"]).map(|pull| pull.minutes),
            Some(LAY_MINUTES + CRAWL_MINUTES)
        );
    }
}
