//! Adjustment from several starts: Gauss–Newton finds the nearest minimum, and a mirrored or badly guessed layout has more
//! than one.

use kurbo::Point;
use nalgebra::DMatrix;

use super::{AdjustError, Adjustment, Geometry, Network};
use crate::survey::RigidFit;

/// Residuals this many times larger than expected, in the root mean square, are a reason to look for another start.
const DOUBTFUL: f64 = 10.0;

/// Distances of a point that are tried in pairs for where it lies; more would only agree with these.
const MOST_CIRCLES: usize = 12;

/// Rounds in which single points are put right after the best start.
const MOST_ROUNDS: usize = 10;

/// Another minimum is taken when it leaves less than this part of the squares: a mirrored network fits its distances just
/// as well, and is no better.
const MUCH_BETTER: f64 = 0.25;

impl Network {
    /// Adjusts from the given places and, where that does not settle or fits badly, from places worked out from the
    /// distances alone, and from the mirror images of both.
    ///
    /// # Errors
    /// As [`Network::adjust`].
    pub fn adjust_from_anywhere(&self) -> Result<Adjustment, AdjustError> {
        let first = self.adjust();
        let doubtful = DOUBTFUL.powi(2) * self.observations.len() as f64;
        match &first {
            Err(AdjustError::Unsettled) => {}
            Ok(found) if found.squares > doubtful => {}
            _ => return first,
        }
        let mut best = first;
        for start in self.other_starts() {
            let Some(found) = self.adjusted_at(start) else { continue };
            if best.as_ref().map_or(true, |best| found.squares < MUCH_BETTER * best.squares) {
                best = Ok(found);
            }
        }
        // Single points that came to lie on the wrong side of others are put where their distances meet, once the rest is
        // about right.
        for _ in 0..MOST_ROUNDS {
            let Ok(found) = best.as_ref() else { break };
            if found.squares <= doubtful {
                break;
            }
            let Some(next) = self.adjusted_at(self.resected(&found.places)) else { break };
            if next.squares >= found.squares {
                break;
            }
            best = Ok(next);
        }
        best
    }

    /// The adjustment from other starting places, laid near the given ones.
    fn adjusted_at(&self, start: Vec<Point>) -> Option<Adjustment> {
        let mut network = self.clone();
        for (point, place) in network.points.iter_mut().zip(start) {
            if !point.fixed {
                point.start = place;
            }
        }
        network.adjust().and_then(|found| found.laid_near(self, &self.starts())).ok()
    }

    /// The given places with each point put where most of its distances meet, the given places mirrored about the x axis,
    /// and those of the distances alone, both ways round.
    fn other_starts(&self) -> Vec<Vec<Point>> {
        let mirrored = |places: &[Point]| places.iter().map(|place| Point::new(place.x, -place.y)).collect::<Vec<_>>();
        let given: Vec<Point> = self.points.iter().map(|point| point.start).collect();
        let mut starts = vec![self.resected(&given), mirrored(&given)];
        if let Some(scaled) = self.scaled_from_distances() {
            for places in [mirrored(&scaled), scaled] {
                // Laid onto the fixed points where there are any, else onto all given places.
                let fixed = self.points.iter().any(|point| point.fixed);
                let pairs = places.iter().zip(&self.points).filter(|(_, point)| point.fixed || !fixed);
                let pairs: Vec<_> = pairs.map(|(place, point)| (*place, point.start)).collect();
                if let Some(fit) = RigidFit::of(&pairs) {
                    starts.push(places.iter().map(|place| fit.apply(*place)).collect());
                }
            }
        }
        starts
    }

    /// Each point that is not fixed where the most of its distances to the others, as these are given, agree: at its own
    /// place, or where two of the distances meet.
    fn resected(&self, given: &[Point]) -> Vec<Point> {
        let taped = |point: usize| {
            self.observations.iter().filter_map(move |one| match one.geometry {
                Geometry::Distance { from, to } if from == point => Some((to, one.value, one.sd)),
                Geometry::Distance { from, to } if to == point => Some((from, one.value, one.sd)),
                _ => None,
            })
        };
        let best = |point: usize| {
            let ways: Vec<(usize, f64, f64)> = taped(point).collect();
            let agreeing = |place: Point| {
                ways.iter()
                    .filter(|(other, value, sd)| (place.distance(given[*other]) - value).abs() < DOUBTFUL * sd)
                    .count()
            };
            let circles = &ways[..ways.len().min(MOST_CIRCLES)];
            let circle = |&(other, radius, _): &(usize, f64, f64)| (given[other], radius);
            let pairs = circles.iter().enumerate().flat_map(|(index, a)| circles[..index].iter().map(move |b| (a, b)));
            let meeting = pairs.flat_map(|(a, b)| intersections(circle(a), circle(b)));
            std::iter::once(given[point])
                .chain(meeting)
                .map(|place| (agreeing(place), place))
                .reduce(|best, one| if one.0 > best.0 { one } else { best })
                .map_or(given[point], |(_, place)| place)
        };
        (0..given.len()).map(|point| if self.points[point].fixed { given[point] } else { best(point) }).collect()
    }

    /// Places by classical multidimensional scaling (Torgerson 1952): distances that were not measured are taken along the
    /// shortest way over those that were; the squared distances, centred twice, have the coordinates as their two
    /// leading eigenvectors. `None` where the points do not hang together.
    fn scaled_from_distances(&self) -> Option<Vec<Point>> {
        let count = self.points.len();
        let mut ways = DMatrix::from_element(count, count, f64::INFINITY);
        ways.fill_diagonal(0.0);
        let fixed: Vec<usize> = (0..count).filter(|&point| self.points[point].fixed).collect();
        let known = fixed.iter().flat_map(|&i| fixed.iter().map(move |&j| (i, j)));
        let known = known.map(|(i, j)| (i, j, self.points[i].start.distance(self.points[j].start)));
        let taped = self.observations.iter().filter_map(|observation| match observation.geometry {
            Geometry::Distance { from, to } => Some((from, to, observation.value)),
            _ => None,
        });
        for (i, j, distance) in taped.chain(known) {
            let way = ways[(i, j)].min(distance);
            (ways[(i, j)], ways[(j, i)]) = (way, way);
        }
        for over in 0..count {
            for i in 0..count {
                for j in 0..count {
                    ways[(i, j)] = ways[(i, j)].min(ways[(i, over)] + ways[(over, j)]);
                }
            }
        }
        if ways.iter().any(|way| way.is_infinite()) {
            return None;
        }
        let centre = DMatrix::identity(count, count) - DMatrix::from_element(count, count, 1.0 / count as f64);
        let products = (&centre * ways.map(|way| way * way) * &centre) * -0.5;
        let eigen = products.symmetric_eigen();
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*b].total_cmp(&eigen.eigenvalues[*a]));
        let [first, second, ..] = order[..] else { return None };
        let coordinate =
            |point: usize, axis: usize| eigen.eigenvectors[(point, axis)] * eigen.eigenvalues[axis].max(0.0).sqrt();
        Some((0..count).map(|point| Point::new(coordinate(point, first), coordinate(point, second))).collect())
    }
}

/// Where two circles (centre, radius) meet: two points, or none.
fn intersections((a, r): (Point, f64), (b, s): (Point, f64)) -> Vec<Point> {
    let between = b - a;
    let distance = between.hypot();
    let along = (distance * distance + r * r - s * s) / (2.0 * distance);
    let across = (r * r - along * along).sqrt();
    if distance == 0.0 || across.is_nan() {
        return Vec::new();
    }
    let unit = between / distance;
    [across, -across].map(|across| a + unit * along + unit.turn_90() * across).to_vec()
}
