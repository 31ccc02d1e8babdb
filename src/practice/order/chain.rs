//! Items of work in which each needs the one before.
//!
//! How that is known, item by item:
//!
//! - Codes are read before anything is touched, by the template's own words; chocking touches the vehicle.
//! - The floor is checked with the vehicle standing on it, and before points are plumbed on it.
//! - The chalk line runs through the plumbed points, zero lies on the line, stations are taped from zero, right angles
//!   stand at the stations' feet, offsets run along them, two tapes start from base marks that are stations.
//! - Checks are taped between finished marks, and nothing is laid on marks that are not checked.
//! - The vehicle maker's procedure needs what is laid; the codes read again tell of the procedure; what is cleared away
//!   cannot be checked any more.

use crate::{
    plan::FloorPlan,
    survey::{SettingOutSteps, Way},
};

/// A mark nearer to the centreline than this, mm, lies on it: nobody plumbs finer.
const ON_LINE_MM: f64 = 0.5;

/// Wrong items with what is wrong about them.
pub const WRONG: [(&str, &str); 4] = [
    (
        "Tape each station from the one before it.",
        "wrong: errors add up from station to station; all are taped from zero in one go.",
    ),
    (
        "Plumb the badge without asking whether it sits in the middle.",
        "wrong: a badge can sit off centre; the middle is half-way between equal points left and right.",
    ),
    (
        "Shift a mark until its check distance fits.",
        "wrong: a check that fails does not show which mark is off; the step is done again.",
    ),
    (
        "Clear the fault codes before they are read, so that the start is clean.",
        "wrong: nobody knows afterwards what was there before the work.",
    ),
];

/// An item and why it comes after the one before it in the whole chain.
pub struct Item {
    pub text: String,
    pub reason: String,
}

impl Item {
    fn new(text: impl Into<String>, reason: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            reason: reason.into(),
        }
    }
}

/// True when the plan has marks beside the line and two tapes can set all of them.
pub fn two_tape_sets_all(plan: &FloorPlan, steps: &SettingOutSteps) -> bool {
    let mut beside = (0..plan.marks.len())
        .filter(|&mark| plan.marks[mark].at.y.abs() > ON_LINE_MM)
        .peekable();
    beside.peek().is_some()
        && beside.all(|mark| steps.errors[mark].radius_95(Way::TwoTape).is_some())
}

/// The whole chain of one way, in order.
pub fn chain(plan: &FloorPlan, steps: &SettingOutSteps, way: Way) -> Vec<Item> {
    let mut chain = before(plan);
    chain.extend(datum(plan, steps, way));
    let beside: Vec<&str> = plan
        .marks
        .iter()
        .filter(|mark| mark.at.y.abs() > ON_LINE_MM)
        .map(|mark| mark.id.as_str())
        .collect();
    if !beside.is_empty() {
        let marks = beside.join(", ");
        match way {
            Way::Perpendicular => chain.extend([
                Item::new(
                    "Raise the right angles at the stations, left and right of the line.",
                    "a right angle stands at a station's point on the line.",
                ),
                Item::new(
                    format!("Tape the offsets along the right angles and draw the marks {marks}."),
                    "an offset is taped square to the line, so the right angle is there first.",
                ),
            ]),
            Way::TwoTape => {
                let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
                chain.push(Item::new(
                    format!(
                        "Swing one tape from {front}, one from {rear}, and draw the marks {marks} where they meet."
                    ),
                    format!("both tapes start from {front} and {rear}, which are there first."),
                ));
            }
        }
    }
    chain.extend(after(plan));
    chain
}

/// Preparation.
fn before(plan: &FloorPlan) -> Vec<Item> {
    let codes = plan
        .preparation
        .iter()
        .find(|line| line.contains("before anything is touched"));
    let mut items: Vec<Item> = codes
        .map(|line| Item::new(format!("{line}."), "nothing comes before it."))
        .into_iter()
        .collect();
    let reason = if codes.is_some() {
        "chocking touches the vehicle, so the codes are saved first."
    } else {
        "everything after it is done beside a vehicle that must not roll."
    };
    items.push(Item::new(
        "Chock the wheels; then check that the floor about the standing vehicle is level.",
        reason,
    ));
    items
}

/// From the vehicle to the stations on the line.
fn datum(plan: &FloorPlan, steps: &SettingOutSteps, way: Way) -> Vec<Item> {
    let own = |index: usize, or: &str| {
        steps
            .way(way)
            .get(index)
            .map_or_else(|| or.to_owned(), |step| step.instruction.to_string())
    };
    let stations = match way {
        Way::Perpendicular => {
            "Tape all stations along the line from zero in one go and mark them.".to_owned()
        }
        Way::TwoTape => {
            let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
            format!("Tape from zero along the line and draw the base marks {front} and {rear}.")
        }
    };
    vec![
        Item::new(
            own(
                0,
                "Plumb the middle of the vehicle's front and of its rear to the floor.",
            ),
            "points plumbed on a floor that is not fit, or under a vehicle that rolls, are plumbed for nothing.",
        ),
        Item::new(
            own(1, "Snap the line through front and rear."),
            "the line runs through the plumbed points.",
        ),
        Item::new(
            format!(
                "Mark zero on the line, {}, plumbed from the vehicle.",
                plan.template.origin
            ),
            "zero lies on the line.",
        ),
        Item::new(stations, "stations count from zero."),
    ]
}

/// From the marks to a clear floor.
fn after(plan: &FloorPlan) -> Vec<Item> {
    let what = match (plan.lines.is_empty(), plan.panels.is_empty()) {
        (false, true) => "the strips",
        (true, false) => "the panels",
        (false, false) => "strips and panels",
        (true, true) => "the targets",
    };
    vec![
        Item::new(
            "Tape the check distances between the finished marks; every difference within its limit.",
            "a check is taped between marks, so they are there first.",
        ),
        Item::new(
            format!("Lay {what} on the checked marks."),
            "what lies on marks that are off lies wrong, so the checks come first.",
        ),
        Item::new(
            "Do what the vehicle maker's procedure says, on the finished layout.",
            format!("the procedure looks at {what}, which lie there first."),
        ),
        Item::new(
            "Read the fault codes again, the procedure being done; save the records before and after.",
            "before the procedure is done the codes say nothing about it.",
        ),
        Item::new(
            "Clear everything away, the last records being in order.",
            "what is cleared away cannot be checked any more, and the procedure not be done again.",
        ),
    ]
}
