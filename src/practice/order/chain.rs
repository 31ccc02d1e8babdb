//! Items of work in which each needs the one before.
//!
//! How that is known, item by item:
//!
//! - Codes are read before anything is touched, by the template's own words; chocking touches the vehicle.
//! - The floor is checked before points are plumbed or drawn on it.
//! - With the vehicle there the line runs through the plumbed points, strings are set off square to the line, wheel centres are
//!   carried to the strings, stations count from there, offsets start from stations.
//! - On the empty floor zero lies on the line, stations are taped from zero, two tapes start from base marks that are
//!   stations, and the vehicle comes onto what is laid.
//! - Checks are taped between finished marks, and nothing is laid on marks that are not checked.
//! - The vehicle maker's procedure needs what is laid; the codes read again tell of the procedure; what is cleared away
//!   cannot be checked any more.

use crate::{
    plan::FloorPlan,
    survey::{LayingFloor, SettingOutSteps, Way},
};

/// A mark nearer to the centreline than this, mm, lies on it: nobody plumbs finer.
const ON_LINE_MM: f64 = 0.5;

/// Wrong items with what is wrong about them.
pub const WRONG: [(&str, &str); 4] = [
    (
        "Tape each station from the one before it.",
        "wrong: errors add up from station to station; all are taped from one place in one go.",
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
    beside.peek().is_some() && beside.all(|mark| steps.errors[mark].crossing.is_some())
}

/// The whole chain of one way, in order.
pub fn chain(plan: &FloorPlan, steps: &SettingOutSteps, way: Way) -> Vec<Item> {
    let stands = steps.floor_of(way) == LayingFloor::VehicleStands;
    let mut chain = before(plan, stands);
    chain.extend(if stands {
        beside(plan)
    } else {
        on_the_floor(plan, way)
    });
    let off_line: Vec<&str> = plan
        .marks
        .iter()
        .filter(|mark| mark.at.y.abs() > ON_LINE_MM)
        .map(|mark| mark.id.as_str())
        .collect();
    if !off_line.is_empty() {
        chain.push(offsets(plan, way, stands, &off_line.join(", ")));
    }
    chain.extend(after(plan, stands));
    chain
}

/// The marks beside the line.
fn offsets(plan: &FloorPlan, way: Way, stands: bool, marks: &str) -> Item {
    let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
    match way {
        Way::Perpendicular => {
            let from = if stands { "strings" } else { "line" };
            Item::new(
                format!(
                    "Set off square from the {from} at the stations and draw the marks {marks}."
                ),
                "what is set off square starts from a station.",
            )
        }
        Way::TwoTape => Item::new(
            format!(
                "Swing one tape from {front}, one from {rear}, and draw the marks {marks} where they meet."
            ),
            format!("both tapes start from {front} and {rear}, which are there first."),
        ),
    }
}

/// Preparation.
fn before(plan: &FloorPlan, stands: bool) -> Vec<Item> {
    let codes = plan
        .preparation
        .iter()
        .find(|line| line.contains("before anything is touched"));
    let mut items: Vec<Item> = codes
        .map(|line| Item::new(format!("{line}."), "nothing comes before it."))
        .into_iter()
        .collect();
    let (text, reason) = match (stands, codes.is_some()) {
        (false, _) => (
            "Check that the empty floor is level and clean.",
            "the vehicle is driven onto this floor when all marks lie; its codes are saved first.",
        ),
        (true, true) => (
            "Chock the wheels; then check that the floor about the standing vehicle is level.",
            "chocking touches the vehicle, so the codes are saved first.",
        ),
        (true, false) => (
            "Chock the wheels; then check that the floor about the standing vehicle is level.",
            "everything after it is done beside a vehicle that must not roll.",
        ),
    };
    items.push(Item::new(text, reason));
    items
}

/// From the vehicle to the stations on the strings beside it.
fn beside(plan: &FloorPlan) -> Vec<Item> {
    vec![
        Item::new(
            "Plumb the middle of the vehicle's front and of its rear to the floor.",
            "points plumbed on a floor that is not fit, or from a vehicle that rolls, are plumbed for nothing.",
        ),
        Item::new(
            "Push a string through below the vehicle over both points, and snap the line at both ends.",
            "the line runs through the plumbed points.",
        ),
        Item::new(
            "Set off one distance square to the line at both ends and stretch strings past the wheels.",
            "the strings are set off from the line.",
        ),
        Item::new(
            format!(
                "Carry to the strings what stations count from, {}, plumbed from the vehicle.",
                plan.template.origin
            ),
            "it is carried to the strings, so they hang first.",
        ),
        Item::new(
            "Tape all stations along the strings in one go and mark them.",
            "stations count from what was carried to the strings.",
        ),
    ]
}

/// From a line on the empty floor to the stations on it.
fn on_the_floor(plan: &FloorPlan, way: Way) -> Vec<Item> {
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
            "Snap a straight line along the bay.",
            "a line on a floor that is not fit is drawn for nothing.",
        ),
        Item::new("Mark zero on the line.", "zero lies on the line."),
        Item::new(stations, "stations count from zero."),
    ]
}

/// From the marks to a clear floor.
fn after(plan: &FloorPlan, stands: bool) -> Vec<Item> {
    let what = match (plan.lines.is_empty(), plan.panels.is_empty()) {
        (false, true) => "the strips",
        (true, false) => "the panels",
        (false, false) => "strips and panels",
        (true, true) => "the targets",
    };
    let mut items = vec![
        Item::new(
            "Tape the check distances between the finished marks; every difference within its limit.",
            "a check is taped between marks, so they are there first.",
        ),
        Item::new(
            format!("Lay {what} on the checked marks."),
            "what lies on marks that are off lies wrong, so the checks come first.",
        ),
    ];
    if !stands {
        items.push(Item::new(
            "Drive the vehicle on, chock it, and plumb its middle and its wheels onto line and zero.",
            format!("a vehicle stands in the way of tapes and of {what}, so it comes after them."),
        ));
    }
    items.extend([
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
    ]);
    items
}
