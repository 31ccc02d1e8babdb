//! The lays of tape and string that prove a layout, and what they prove.
//!
//! Lays are data of the plan, but chosen by `survey` when a job is resolved, before plans are
//! joined to a mat, and only where they are asked for: `check` needs none.

use super::FloorPlan;
use crate::units::ROUND_OFF;

/// Names of the plumbed wheel marks in the order of [`super::VehicleOnFloor::wheels`]: W, front or rear, left or right.
pub const WHEEL_NAMES: [&str; 4] = ["WFL", "WFR", "WRL", "WRR"];

/// What is laid down once and then read at one mark or several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LayKind {
    /// The tape, its zero held on a mark or a wheel mark.
    Tape,
    /// A string over two marks, or along the tyres' outer faces over two wheel marks.
    String,
}

impl LayKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tape => "tape",
            Self::String => "string",
        }
    }
}

/// Where a lay begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LayEnd {
    /// A mark of the layout, by its index.
    Mark(usize),
    /// A plumbed wheel mark, by its place in [`WHEEL_NAMES`].
    Wheel(usize),
}

/// One lay of the tape or the string. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// Number from 1 in the order of walking; on a mat it goes on from vehicle to vehicle.
    pub number: usize,
    /// Letter of the vehicle on a mat.
    pub letter: Option<char>,
    /// Tape or string.
    pub kind: LayKind,
    /// Where the tape's zero is held, or where the string begins.
    pub from: LayEnd,
    /// Where it ends: at the last mark that is read, or where the string does.
    pub to: LayEnd,
    /// True where its line runs below the vehicle's body.
    pub below_body: bool,
    /// What is read, from its beginning on; at least one.
    pub readings: Vec<LayReading>,
}

/// A reading of a lay, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct LayReading {
    /// Number of the check, from 1; on a mat behind the vehicle's letter.
    pub id: String,
    /// Index of the mark at which it is read.
    pub mark: usize,
    /// What the tape should read: a distance, or square from a string along the tyres; 0 for a mark that lies on a string.
    pub should_be: f64,
    /// Difference beyond which something is to be done before anything is judged.
    pub limit: f64,
    /// Standard deviation of the reading, the tape's class left out.
    pub sd: f64,
}

impl Lay {
    /// The name of where it begins.
    #[must_use]
    pub fn start_name(&self, plan: &FloorPlan) -> String {
        self.name(self.from, plan)
    }

    /// The name of where it ends.
    #[must_use]
    pub fn to_name(&self, plan: &FloorPlan) -> String {
        self.name(self.to, plan)
    }

    /// A mark's name, or a wheel mark's with the vehicle's letter on a mat.
    fn name(&self, end: LayEnd, plan: &FloorPlan) -> String {
        match (end, self.letter) {
            (LayEnd::Mark(mark), _) => plan.marks[mark].id.clone(),
            (LayEnd::Wheel(wheel), None) => WHEEL_NAMES[wheel].to_owned(),
            (LayEnd::Wheel(wheel), Some(letter)) => format!("{letter}:{}", WHEEL_NAMES[wheel]),
        }
    }

    /// True for a string along the tyres, over two wheel marks: marks are taped square from it.
    #[must_use]
    pub const fn along_tyres(&self) -> bool {
        matches!((self.kind, self.from), (LayKind::String, LayEnd::Wheel(_)))
    }

    /// The word for its readings in a form: `distance`, `vehicle` from a wheel mark, `inline` for how far a mark lies to the left of
    /// a string.
    #[must_use]
    pub const fn reading_kind(&self) -> &'static str {
        match (self.kind, self.from) {
            (LayKind::String, _) => "inline",
            (LayKind::Tape, LayEnd::Wheel(_)) => "vehicle",
            (LayKind::Tape, LayEnd::Mark(_)) => "distance",
        }
    }

    /// The two ends of a reading as a form names them: where the tape begins and where it is read; for a string the mark and
    /// the line, as in `1L..4L`.
    #[must_use]
    pub fn ends(&self, plan: &FloorPlan, reading: &LayReading) -> [String; 2] {
        let mark = plan.marks[reading.mark].id.clone();
        match self.kind {
            LayKind::Tape => [self.start_name(plan), mark],
            LayKind::String => [
                mark,
                format!("{}..{}", self.start_name(plan), self.to_name(plan)),
            ],
        }
    }
}

/// What a vehicle's lays prove. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// Letter of the vehicle on a mat.
    pub letter: Option<char>,
    /// Minutes that two people need for all lays.
    pub minutes: f64,
    /// Number of lays.
    pub lays: usize,
    /// Number of readings.
    pub readings: usize,
    /// How many times its tolerance a mark may lie off before these lays have to find it: 1, or 2 for the quick plan.
    pub times_tolerance: f64,
    /// Each mark of the vehicle.
    pub marks: Vec<MarkProof>,
    /// The grid as a whole.
    pub grid: GridProof,
    /// What it would take to prove what is not proven; empty where all is.
    pub would_take: Vec<WouldTake>,
}

/// What is proven of a mark, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkProof {
    /// Index of the mark.
    pub mark: usize,
    /// How far it may be off.
    pub tolerance: f64,
    /// Circle about the estimated place that holds the mark with 95 %, against the vehicle.
    pub radius: f64,
    /// Tightest tolerance that is proven; infinite where nothing is.
    pub provable: f64,
}

impl MarkProof {
    /// True where the tolerance is proven.
    #[must_use]
    pub fn proven(&self) -> bool {
        self.provable <= self.tolerance * (1.0 + ROUND_OFF)
    }
}

/// What is proven of the grid as a whole against the vehicle: the smallest movements that do not pass, mm; infinite where
/// nothing shows them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GridProof {
    /// Forward or back.
    pub forward: f64,
    /// To the left or the right.
    pub left: f64,
    /// Turn about the grid's middle, at the mark that it moves most.
    pub turn: f64,
}

/// What would prove a tolerance that the lays do not prove.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WouldTake {
    /// A tape of class I.
    TapeClassI,
    /// Wheels and centreline plumbed to 0.5 mm: several times each, the middle taken.
    FinerPlumbing,
    /// Both of these.
    ClassIAndFinerPlumbing,
    /// Another instrument, such as a laser tracker or a total station.
    OtherInstrument,
    /// A job that takes the estimate as it is and accepts the risk.
    SimpleDecision,
}

impl WouldTake {
    /// The word for it in plan.json.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::TapeClassI => "tape_class_i",
            Self::FinerPlumbing => "finer_plumbing",
            Self::ClassIAndFinerPlumbing => "tape_class_i_and_finer_plumbing",
            Self::OtherInstrument => "other_instrument",
            Self::SimpleDecision => "decision_simple",
        }
    }
}

impl Proof {
    /// True where every mark's tolerance is proven.
    #[must_use]
    pub fn complete(&self) -> bool {
        self.marks
            .iter()
            .all(|mark| mark.provable <= self.times_tolerance * mark.tolerance * (1.0 + ROUND_OFF))
    }

    /// The tightest tolerance that is proven for all marks, mm.
    #[must_use]
    pub fn tightest(&self) -> f64 {
        self.marks
            .iter()
            .map(|mark| mark.provable)
            .fold(0.0, f64::max)
    }
}
