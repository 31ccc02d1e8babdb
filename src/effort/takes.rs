//! What to bring, and how much of it.

use kurbo::Size;

use super::Minutes;
use crate::{
    cover::{Mode, SheetPlan},
    plan::FloorPlan,
    stencil::Stencil,
    survey::{LayingFloor, Precision, SettingOutSteps, TapeClass, Way},
};

/// A pull longer than this, mm, takes two people: one holds the zero, one reads (common practice, no source).
const LONGEST_ALONE_MM: f64 = 3000.0;

/// Strips and strings are cut generously: so much more than the layout has (own estimate).
const SPARE: f64 = 1.1;

/// What a layout takes. Lengths in mm.
#[derive(Clone, Debug)]
pub struct Takes {
    /// True where the vehicle stands there meanwhile.
    pub vehicle_stands: bool,
    /// Class of the measuring tape that the figures are calculated for.
    pub tape_class: TapeClass,
    /// Longest distance that is taped.
    pub longest_pull: f64,
    /// String, spare length included.
    pub string: f64,
    /// Tape strip by width, the widest first.
    pub strips: Vec<StripTaken>,
    /// Number of panels.
    pub panels: usize,
    /// Print sheets, where the layout is laid by them.
    pub paper: Option<PaperTaken>,
    /// Length of the paths that a stencil is cut by, where one is.
    pub cut: Option<f64>,
    /// True where the sheets are cut by hand, from card.
    pub by_hand: bool,
    /// Clear floor along and across.
    pub floor: Size,
    /// People.
    pub people: usize,
    /// How long it takes them.
    pub minutes: Minutes,
}

/// Tape strip of one width, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripTaken {
    /// Its width.
    pub width: f64,
    /// Its length, spare length included.
    pub length: f64,
}

/// Print sheets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperTaken {
    /// Name of the paper.
    pub name: String,
    /// Sheets, keys or strips.
    pub sheets: usize,
    /// True for keys, several on a page.
    pub keys: bool,
    /// Pages that carry them.
    pub pages: usize,
    /// Length taken off a roll, whole mm.
    pub roll: Option<u64>,
}

impl Takes {
    /// For a layout set out by hand, the perpendicular way.
    #[must_use]
    pub fn by_hand(plan: &FloorPlan, precision: &Precision, steps: &SettingOutSteps) -> Self {
        let way = steps.way(Way::Perpendicular);
        let pulls = way
            .iter()
            .flat_map(|step| step.tape.iter().chain(&step.check));
        let lays = plan.lays.iter().flat_map(|lay| &lay.readings);
        let longest_pull = pulls
            .map(|pull| pull.distance())
            .chain(lays.map(|reading| reading.should_be))
            .fold(0.0, f64::max);
        let stretched = way.iter().flat_map(|step| &step.strings);
        let string: f64 = stretched.map(|[from, to]| from.at.distance(to.at)).sum();
        let strips = strips(plan);
        let metres = strips.iter().map(|strip| strip.length).sum::<f64>() / 1000.0;
        Self {
            vehicle_stands: steps.floor == LayingFloor::VehicleStands,
            tape_class: precision.tape_class,
            longest_pull,
            string: SPARE * string,
            strips,
            panels: plan.panels.len(),
            paper: None,
            cut: None,
            by_hand: false,
            floor: plan.floor.needed.size(),
            people: if longest_pull > LONGEST_ALONE_MM {
                2
            } else {
                1
            },
            minutes: Minutes::by_hand(plan, way, metres),
        }
    }

    /// The same with print sheets, and with the stencil to cut where there is one.
    #[must_use]
    pub fn with_sheets(
        self,
        steps: &SettingOutSteps,
        sheets: &SheetPlan,
        stencil: Option<&Stencil>,
    ) -> Self {
        let made = stencil.filter(|stencil| !matches!(stencil, Stencil::Refused(_)));
        let cut = made.map(Stencil::length);
        let by_hand = match stencil {
            Some(Stencil::Hand(by_hand)) => Some(by_hand),
            _ => None,
        };
        let minutes = self
            .minutes
            .with_sheets(steps.way(Way::Perpendicular), sheets);
        let minutes = match (by_hand, cut) {
            (Some(by_hand), Some(cut)) => {
                minutes.with_knife(by_hand.openings.len(), cut, sheets.joints.len())
            }
            _ => minutes,
        };
        Self {
            paper: Some(PaperTaken {
                name: sheets.format.paper.name.clone(),
                sheets: sheets.sheets.len(),
                keys: sheets.mode == Mode::Keys,
                pages: sheets.pages,
                roll: sheets.roll.map(|roll| roll.length.ceil() as u64),
            }),
            cut,
            by_hand: by_hand.is_some(),
            minutes,
            ..self
        }
    }
}

/// Tape strip of a layout by width.
fn strips(plan: &FloorPlan) -> Vec<StripTaken> {
    let mut strips: Vec<StripTaken> = Vec::new();
    for line in &plan.lines {
        let length = SPARE * plan.middle_line(line).length();
        match strips.iter_mut().find(|strip| strip.width == line.width) {
            Some(strip) => strip.length += length,
            None => strips.push(StripTaken {
                width: line.width,
                length,
            }),
        }
    }
    strips.sort_by(|a, b| b.width.total_cmp(&a.width));
    strips
}
