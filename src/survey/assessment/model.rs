//! What the readings say of a layout.

use kurbo::{Point, Vec2};

use crate::survey::{Covariance, Datum, Network, Verdict};

/// A layout with what was taped on it. The lists of points run as the network's.
#[derive(Clone, Debug, Default)]
pub struct TapedLayout {
    /// Points, started at their designed places, and readings.
    pub network: Network,
    /// What was taken off every place, mm, so that little is lost where coordinates are large: added to show a place.
    /// Nothing for a vehicle's layout.
    pub origin: Vec2,
    /// Where each point should be, mm; `None` for points that only help, such as wheel marks.
    pub designs: Vec<Option<Point>>,
    /// How far each point may be off, mm.
    pub tolerances: Vec<Option<f64>>,
    /// The vehicle's plumbed wheel marks.
    pub wheels: Vec<usize>,
    /// Distances that could be taped besides, best first: what advice on further pulls chooses from.
    pub further: Vec<[usize; 2]>,
}

/// The judgement on a taped layout. Lengths in mm, x forward and y left.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// What holds the adjusted network.
    pub datum: Datum,
    /// Degrees of freedom after suspected readings were set aside.
    pub dof: usize,
    /// Standard deviation a posteriori of an observation of weight 1; 1 where readings scatter as expected.
    pub sigma0: Option<f64>,
    /// Do the readings scatter as their a-priori deviations say? `None` without degrees of freedom.
    pub global_test: Option<GlobalTest>,
    /// The marks and other points, in the network's order.
    pub marks: Vec<MarkFinding>,
    /// The observations, in the network's order.
    pub readings: Vec<ReadingFinding>,
    /// True when more readings contradict each other than single mistakes explain.
    pub scattered: bool,
    /// How much too long all distances are by the same amount, mm, where that explains most of their differences from the
    /// design: then the tape is in doubt, and no mark is outside.
    pub constant_error: Option<f64>,
    /// Readings that contradict the others, worst first.
    pub suspects: Vec<Suspect>,
    /// How the grid as a whole lies: against the vehicle, or against fixed points.
    pub pose: Option<Pose>,
    /// Pairs of points to tape besides, so that everything is held and checked.
    pub pulls_to_add: Vec<[usize; 2]>,
    /// What to do, whole sentences, most urgent first.
    pub advice: Vec<String>,
    /// The whole layout; `None` where nothing has a tolerance to be judged by.
    pub verdict: Option<Verdict>,
}

/// The χ² test of the sum of squared residuals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlobalTest {
    /// vᵀPv.
    pub statistic: f64,
    /// Lower and upper bound that hold with 95 % where the a-priori deviations are right.
    pub bounds: [f64; 2],
    /// True while the statistic is not above the upper bound. Below the lower one the readings agree better than
    /// expected, which is no fault of the layout.
    pub passed: bool,
}

/// What was found of a point.
#[derive(Clone, Debug)]
pub struct MarkFinding {
    /// Its name.
    pub id: String,
    /// Where it should be.
    pub design: Option<Point>,
    /// How far it may be off.
    pub tolerance: Option<f64>,
    /// Adjusted place in the network's datum; `None` for a point that the readings do not fix.
    pub place: Option<Point>,
    /// Covariance a priori of that place, in that datum.
    pub covariance: Covariance,
    /// How far it lies from its designed place in the grid itself: after the best rigid fit of the marks that are not
    /// displaced to the design.
    pub moved: Option<Vec2>,
    /// Covariance a priori of `moved`.
    pub moved_covariance: Covariance,
    /// How far it lies from its designed place against the vehicle (or fixed points), where the readings tie it to them.
    pub to_datum: Option<Vec2>,
    /// True when the two-parameter test says that it is not where the other marks are.
    pub displaced: bool,
    /// True when a wrong reading could have moved it beyond its tolerance without being noticed.
    pub unchecked: bool,
    /// Inside, outside or undecided in the grid itself; `None` without a tolerance.
    pub verdict: Option<Verdict>,
    /// The same against the vehicle or fixed points, where the readings tie it to them.
    pub datum_verdict: Option<Verdict>,
}

/// What was found of an observation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingFinding {
    /// Adjusted minus observed, mm; for one that was set aside, as the others predict it.
    pub residual: f64,
    /// Redundancy number with all readings in.
    pub redundancy: f64,
    /// Normalised residual; `None` where nothing checks it.
    pub normalised: Option<f64>,
    /// Smallest detectable error, mm; `None` as above.
    pub smallest_error: Option<f64>,
    /// True for a reading that was set aside.
    pub suspect: bool,
    /// False for a reading of points that are not fixed, which could not be used.
    pub used: bool,
}

/// A reading that contradicts the others.
#[derive(Clone, Debug)]
pub struct Suspect {
    /// Index of the observation.
    pub observation: usize,
    /// How much too long it is, mm (negative: too short), as the others say.
    pub error: f64,
    /// Standard deviation of that estimate, mm.
    pub error_sd: f64,
    /// What usually makes such an error.
    pub cause: Option<String>,
    /// Other readings that could as well be the wrong one.
    pub or: Vec<usize>,
}

/// How the grid lies as a rigid body, at the layout's origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// How far it lies forward, mm.
    pub forward: f64,
    /// How far it lies to the left, mm.
    pub left: f64,
    /// How far it is turned counter-clockwise seen from above, degrees.
    pub turned: f64,
    /// Standard deviations a priori of the three, mm and degrees.
    pub sd: [f64; 3],
    /// Worst verdict of the marks against the vehicle.
    pub verdict: Option<Verdict>,
}
