//! How the sheets that begin a piece are laid by tape: what sheet 0 says of them, and its table.

use super::lays;
use crate::{
    cover::{Anchor, Beginning, SheetPlan},
    plan::FloorPlan,
    survey::LayingFloor,
    units::{inch_text, mm_text},
    words::floor_place,
};

/// Whether the vehicle stands there while sheets are laid.
#[must_use]
pub fn floor(plan: &FloorPlan) -> &'static str {
    match LayingFloor::of(plan) {
        LayingFloor::VehicleStands => {
            "The vehicle stands in its place, wheels chocked. Work beside it, ahead of it and behind it: nobody reaches below it, and no tape runs through a wheel or below the body."
        }
        LayingFloor::Empty => {
            "No vehicle stands here yet. Lay everything on the empty floor; the vehicle is driven on afterwards and set to the centreline and its marks."
        }
    }
}

/// What a page of the plan is called: a sheet, or a strip of a roll.
#[must_use]
pub const fn noun(sheets: &SheetPlan) -> &'static str {
    if sheets.roll.is_some() {
        "strip"
    } else {
        "sheet"
    }
}

/// How the rows of the table are followed.
#[must_use]
pub fn how(plan: &FloorPlan, sheets: &SheetPlan) -> String {
    let noun = noun(sheets);
    let around = match LayingFloor::of(plan) {
        LayingFloor::VehicleStands => {
            " Beside the vehicle, tape forward and rearward along the strings of steps.pdf, way 1, not along the centreline."
        }
        LayingFloor::Empty => "",
    };
    format!(
        "Lay the {noun}s of the table “Lay these by tape” first, row by row. Bring the first point to its place, then turn the {noun} until the second point is at its own. Forward and rearward count from 0, the floor point {}; left and right from the centreline.{around} Tape the check of a row before you go on.",
        plan.template.origin
    )
}

/// The table's title.
pub const TITLE: &str = "Lay these by tape, in this order";

/// Headings of the table.
#[must_use]
pub fn headings(sheets: &SheetPlan, inches: bool) -> [String; 8] {
    let unit = if inches { "in" } else { "mm" };
    let along = format!("along,\n{unit}");
    let across = format!("across,\n{unit}");
    [
        noun(sheets).to_owned(),
        "first\npoint".to_owned(),
        along.clone(),
        across.clone(),
        "second\npoint".to_owned(),
        along,
        across,
        format!("tape-check, {unit}"),
    ]
}

/// A row of the table for each sheet that begins a piece, cells as [`headings`] names them. The check is the longest distance
/// to a mark of an earlier row that a tape can lie along.
#[must_use]
pub fn rows(plan: &FloorPlan, sheets: &SheetPlan, inches: bool) -> Vec<[String; 8]> {
    let mut lying: Vec<usize> = Vec::new();
    let beginnings = sheets.beginnings(plan);
    let row = |beginning: &Beginning| {
        let [first, second] = [0, 1].map(|index| point(plan, sheets, beginning, index, inches));
        let check = match beginning.anchors.first() {
            Some(&Anchor::Mark(mark)) => {
                let check = check(plan, mark, &lying, inches);
                lying.push(mark);
                check
            }
            _ => String::new(),
        };
        let [name, x, y] = first;
        let [other, across_x, across_y] = second;
        let label = sheets.sheets[beginning.sheet].label.clone();
        [label, name, x, y, other, across_x, across_y, check]
    };
    beginnings.iter().map(row).collect()
}

/// A point's name and coordinates.
fn point(
    plan: &FloorPlan,
    sheets: &SheetPlan,
    beginning: &Beginning,
    index: usize,
    inches: bool,
) -> [String; 3] {
    let Some(&anchor) = beginning.anchors.get(index) else {
        // A sheet by itself may show one mark alone; its small tick has its place printed beside it.
        return ["tick", "see", "sheet"].map(str::to_owned);
    };
    let name = match anchor {
        Anchor::Mark(mark) => plan.marks[mark].id.clone(),
        Anchor::Registration(mark) => sheets.registration[mark].id.clone(),
    };
    let at = sheets.anchor_at(plan, anchor);
    let [along, across] = floor_place(at, |mm| length(mm, inches));
    [name, along, across]
}

/// The longest distance to a mark that lies, with its limit: that of the list of lays, else the mark's tolerance.
fn check(plan: &FloorPlan, mark: usize, lying: &[usize], inches: bool) -> String {
    let at = |mark: usize| plan.marks[mark].at;
    let floor = LayingFloor::of(plan);
    let free = lying
        .iter()
        .copied()
        .filter(|&other| floor.tape_lies(plan, at(other), at(mark)));
    let apart = |other: usize| at(other).distance(at(mark));
    let Some(other) = free.max_by(|a, b| apart(*a).total_cmp(&apart(*b))) else {
        return String::new();
    };
    let mut planned = plan.lays.iter().flat_map(|lay| {
        lay.readings
            .iter()
            .map(move |reading| (lay.ends(plan, reading), reading.limit))
    });
    let names = [other, mark].map(|mark| plan.marks[mark].id.clone());
    let same = |ends: &[String; 2]| *ends == names || (ends[0] == names[1] && ends[1] == names[0]);
    let limit = planned.find(|(ends, _)| same(ends)).map_or_else(
        || plan.marks[mark].tolerance.max(plan.marks[other].tolerance),
        |(_, limit)| limit,
    );
    format!(
        "{}–{} {} ± {}",
        names[0],
        names[1],
        length(apart(other), inches),
        lays::limit(limit, inches)
    )
}

fn length(mm: f64, inches: bool) -> String {
    if inches { inch_text(mm) } else { mm_text(mm) }
}
