//! Adjustment from several starts: Gauss–Newton finds the nearest minimum, and a mirrored or badly guessed layout has more
//! than one.

use kurbo::{Point, Vec2};
use nalgebra::DMatrix;

use super::{AdjustError, Adjustment, Geometry, Network, NetworkPoint, normal::Unknowns};
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

/// Squares that differ by less than this part of them, and by less than this, are alike: a mirror image differs by rounding.
const ALIKE: f64 = 1e-6;

/// Fixed points off a line by no more than this, mm, lie on it.
const ON_LINE_MM: f64 = 1e-3;

/// Most observations agree on places where less than this part of those of any point lies off.
const MOST_OFF: f64 = 0.5;

/// Rounds of lessening weights at most; from places within a decimetre a handful is enough.
const REWEIGHTED: usize = 24;

impl Network {
    /// Adjusts from the given places and, where that does not settle or fits badly, from places worked out from the
    /// distances alone, and from the mirror images of both.
    ///
    /// # Errors
    /// As [`Network::adjust`].
    pub fn adjust_from_anywhere(&self) -> Result<Adjustment, AdjustError> {
        let unknowns = Unknowns::of(self);
        let starts = self.starts();
        let first = self.settled(&unknowns, starts.clone());
        let doubtful = DOUBTFUL.powi(2) * self.observations.len() as f64;
        let mut best = match first {
            Err(AdjustError::Unsettled) => None,
            Ok(found) if found.squares > doubtful => Some(found),
            Ok(found) => return self.concluded(unknowns, found.places, &starts),
            Err(error) => return Err(error),
        };
        // Where most observations agree on places near the given ones, others are wrong, and no other start would mend them.
        let agreed = self
            .agreed_places()
            .and_then(|places| self.settled(&unknowns, places).ok());
        if let Some(found) =
            agreed.and_then(|found| self.concluded(unknowns.clone(), found.places, &starts).ok())
        {
            return Ok(found);
        }
        for start in self.other_starts() {
            let Ok(found) = self.settled(&unknowns, self.with_fixed(start)) else {
                continue;
            };
            if best
                .as_ref()
                .is_none_or(|best| found.squares < MUCH_BETTER * best.squares)
            {
                best = Some(found);
            }
        }
        let mut best = best.ok_or(AdjustError::Unsettled)?;
        // Single points that came to lie on the wrong side of others are put where their distances meet, once the rest is
        // about right.
        for _ in 0..MOST_ROUNDS {
            if best.squares <= doubtful {
                break;
            }
            match self.settled(&unknowns, self.resected(&best.places)) {
                Ok(next) if next.squares < best.squares => best = next,
                _ => break,
            }
        }
        self.concluded(unknowns, best.places, &starts)
    }

    /// Of an adjustment and its mirror image, where the readings fit both alike, the one that lies nearer to `given` places.
    #[must_use]
    pub fn nearer_image(&self, found: Adjustment, given: &[Point]) -> Adjustment {
        let Some(mirrored) = self.mirrored(&found.places, given) else {
            return found;
        };
        if away(&mirrored, given) >= away(&found.places, given) {
            return found;
        }
        let unknowns = Unknowns::of(self);
        let Ok(other) = self.settled(&unknowns, mirrored) else {
            return found;
        };
        if other.squares > found.squares * (1.0 + ALIKE) + ALIKE {
            return found;
        }
        self.concluded(unknowns, other.places, given)
            .unwrap_or(found)
    }

    /// Places mirrored about the line of the fixed points, or about any line and laid onto `given`; `None` where fixed points do
    /// not lie on one line.
    fn mirrored(&self, places: &[Point], given: &[Point]) -> Option<Vec<Point>> {
        let fixed: Vec<Point> = self
            .points
            .iter()
            .filter(|point| point.fixed)
            .map(|point| point.start)
            .collect();
        let pivot = fixed.first().copied().unwrap_or(Point::ORIGIN);
        let along = fixed
            .iter()
            .map(|point| *point - pivot)
            .find(|along| along.hypot() > 0.0);
        let axis = along.unwrap_or(Vec2::new(1.0, 0.0)).normalize();
        if fixed
            .iter()
            .any(|point| axis.cross(*point - pivot).abs() > ON_LINE_MM)
        {
            return None;
        }
        let mirror = |place: &Point| *place - axis.turn_90() * (2.0 * axis.cross(*place - pivot));
        let mirrored: Vec<Point> = places.iter().map(mirror).collect();
        if !fixed.is_empty() {
            return Some(mirrored);
        }
        let fit = RigidFit::of(
            &mirrored
                .iter()
                .copied()
                .zip(given.iter().copied())
                .collect::<Vec<_>>(),
        )?;
        Some(mirrored.into_iter().map(|place| fit.apply(place)).collect())
    }

    /// Places near the given ones or their mirror image that most of the observations agree on.
    #[must_use]
    pub fn agreed_places(&self) -> Option<Vec<Point>> {
        let given = self.starts();
        let mirrored = self.mirrored(&given, &given);
        let images = [Some(given), mirrored].into_iter().flatten();
        let agreed = images
            .filter_map(|places| self.resistant_places(places))
            .map(|places| (self.off(&places), places));
        let (off, places) = agreed.reduce(|best, one| if one.0 < best.0 { one } else { best })?;
        (off < MOST_OFF).then_some(places)
    }

    /// Places that most of the observations agree on, whatever the others say: Gauss–Newton steps from `places`, in which each
    /// observation weighs the less the larger its residual (iteratively reweighted, which leads to the least sum of sizes; Huber
    /// 1981). `None` where the steps do not grow small.
    fn resistant_places(&self, mut places: Vec<Point>) -> Option<Vec<Point>> {
        let (unknowns, mut weighed) = (Unknowns::of(self), self.clone());
        let observations = self.observations.iter();
        let near = observations.map(|one| one.sd).fold(f64::INFINITY, f64::min);
        for _ in 0..REWEIGHTED {
            for (observation, given) in weighed.observations.iter_mut().zip(&self.observations) {
                let computed = given.geometry.linear_at(|point| places[point])?.value;
                let size = (given.value - computed).abs() / given.sd;
                observation.sd = given.sd * size.max(1.0).sqrt();
            }
            let longest = weighed.step(&unknowns, &mut places)?;
            if longest < near {
                return Some(places);
            }
        }
        None
    }

    /// What part of the observations lies grossly off some places, at the point where that part is largest: a single point that lies
    /// wrong has most of its own off.
    fn off(&self, places: &[Point]) -> f64 {
        let mut counts = vec![(0_u32, 0_u32); self.points.len()];
        for one in &self.observations {
            let computed = one.geometry.linear_at(|point| places[point]);
            let off = computed
                .is_none_or(|computed| (one.value - computed.value).abs() > DOUBTFUL * one.sd);
            for point in one.geometry.points() {
                counts[point].0 += u32::from(off);
                counts[point].1 += 1;
            }
        }
        counts
            .into_iter()
            .map(|(off, all)| f64::from(off) / f64::from(all.max(1)))
            .fold(0.0, f64::max)
    }

    /// Places with fixed points where they are given.
    fn with_fixed(&self, places: Vec<Point>) -> Vec<Point> {
        let place =
            |(place, point): (Point, &NetworkPoint)| if point.fixed { point.start } else { place };
        places.into_iter().zip(&self.points).map(place).collect()
    }

    /// The given places with each point put where most of its distances meet, the given places mirrored about the x axis,
    /// and those of the distances alone, both ways round.
    fn other_starts(&self) -> Vec<Vec<Point>> {
        let mirrored = |places: &[Point]| {
            places
                .iter()
                .map(|place| Point::new(place.x, -place.y))
                .collect::<Vec<_>>()
        };
        let given: Vec<Point> = self.points.iter().map(|point| point.start).collect();
        let mut starts = vec![self.resected(&given), mirrored(&given)];
        if let Some(scaled) = self.scaled_from_distances() {
            for places in [mirrored(&scaled), scaled] {
                // Laid onto the fixed points where there are any, else onto all given places.
                let fixed = self.points.iter().any(|point| point.fixed);
                let pairs = places
                    .iter()
                    .zip(&self.points)
                    .filter(|(_, point)| point.fixed || !fixed);
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
        let mut taped: Vec<Vec<(usize, f64, f64)>> = vec![Vec::new(); given.len()];
        for one in &self.observations {
            if let Geometry::Distance { from, to } = one.geometry {
                taped[from].push((to, one.value, one.sd));
                taped[to].push((from, one.value, one.sd));
            }
        }
        let best = |point: usize| {
            let ways = &taped[point];
            // Between which squares of its distance a place must lie for a reading to agree with it.
            let bounds = |&(other, value, sd): &(usize, f64, f64)| {
                let [least, most] = [value - DOUBTFUL * sd, value + DOUBTFUL * sd]
                    .map(|bound| bound.max(0.0).powi(2));
                (given[other], least, most)
            };
            let rings: Vec<(Point, f64, f64)> = ways.iter().map(bounds).collect();
            let agreeing = |place: Point| {
                let within = |(other, least, most): &&(Point, f64, f64)| {
                    let square = (place - *other).hypot2();
                    *least < square && square < *most
                };
                rings.iter().filter(within).count()
            };
            let circles = &ways[..ways.len().min(MOST_CIRCLES)];
            let circle = |&(other, radius, _): &(usize, f64, f64)| (given[other], radius);
            let pairs = circles
                .iter()
                .enumerate()
                .flat_map(|(index, a)| circles[..index].iter().map(move |b| (a, b)));
            let meeting = pairs.flat_map(|(a, b)| intersections(circle(a), circle(b)));
            std::iter::once(given[point])
                .chain(meeting)
                .map(|place| (agreeing(place), place))
                .reduce(|best, one| if one.0 > best.0 { one } else { best })
                .map_or(given[point], |(_, place)| place)
        };
        (0..given.len())
            .map(|point| {
                if self.points[point].fixed {
                    given[point]
                } else {
                    best(point)
                }
            })
            .collect()
    }

    /// Places by classical multidimensional scaling (Torgerson 1952): distances that were not measured are taken along the
    /// shortest way over those that were; the squared distances, centred twice, have the coordinates as their two
    /// leading eigenvectors. `None` where the points do not hang together.
    fn scaled_from_distances(&self) -> Option<Vec<Point>> {
        let count = self.points.len();
        let mut ways = DMatrix::from_element(count, count, f64::INFINITY);
        ways.fill_diagonal(0.0);
        let fixed: Vec<usize> = (0..count)
            .filter(|&point| self.points[point].fixed)
            .collect();
        let known = fixed
            .iter()
            .flat_map(|&i| fixed.iter().map(move |&j| (i, j)));
        let known = known.map(|(i, j)| (i, j, self.points[i].start.distance(self.points[j].start)));
        let taped = self
            .observations
            .iter()
            .filter_map(|observation| match observation.geometry {
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
        let centre = DMatrix::identity(count, count)
            - DMatrix::from_element(count, count, 1.0 / count as f64);
        let products = (&centre * ways.map(|way| way * way) * &centre) * -0.5;
        let eigen = products.symmetric_eigen();
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*b].total_cmp(&eigen.eigenvalues[*a]));
        let [first, second, ..] = order[..] else {
            return None;
        };
        let coordinate = |point: usize, axis: usize| {
            eigen.eigenvectors[(point, axis)] * eigen.eigenvalues[axis].max(0.0).sqrt()
        };
        Some(
            (0..count)
                .map(|point| Point::new(coordinate(point, first), coordinate(point, second)))
                .collect(),
        )
    }
}

/// Sum of squared distances between places and given ones, mm².
fn away(places: &[Point], given: &[Point]) -> f64 {
    places
        .iter()
        .zip(given)
        .map(|(place, given)| (*place - *given).hypot2())
        .sum()
}

/// Where two circles (centre, radius) meet: two points, or none.
fn intersections((a, r): (Point, f64), (b, s): (Point, f64)) -> impl Iterator<Item = Point> {
    let between = b - a;
    let distance = between.hypot();
    let along = (distance * distance + r * r - s * s) / (2.0 * distance);
    let across = (r * r - along * along).sqrt();
    let meet = distance > 0.0 && !across.is_nan();
    let unit = between / distance;
    let sides =
        meet.then(|| [across, -across].map(|across| a + unit * along + unit.turn_90() * across));
    sides.into_iter().flatten()
}
