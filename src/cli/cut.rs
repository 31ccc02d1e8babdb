//! Flags of a stencil to cut, and what is said of it.

use super::args::CutArgs;
use crate::{
    job::parse_panel,
    source::{Fault, Place},
    stencil::{CutOptions, CutPlan, Spot},
    units::parse_length,
};

/// Lays the flags over a job's options; what is wrong with their texts.
pub(super) fn lay_over(options: &mut CutOptions, args: &CutArgs) -> Vec<Fault> {
    let mut faults: Vec<Fault> = Vec::new();
    let mut take = |flag: &str, text: &Option<String>, into: &mut f64| {
        let Some(text) = text else { return };
        match parse_length(text) {
            Ok(length) => *into = length,
            Err(error) => faults.push(Place::whole(flag).fault(error.to_string())),
        }
    };
    take("--bridge", &args.bridge, &mut options.bridge);
    take(
        "--bridge-every",
        &args.bridge_every,
        &mut options.bridge_every,
    );
    take("--kerf", &args.kerf, &mut options.kerf);
    take("--hairline", &args.hairline, &mut options.hairline);
    let mut corner = f64::NAN;
    take("--corner", &args.corner, &mut corner);
    if !corner.is_nan() {
        options.corner = Some(corner);
    }
    if let Some(text) = &args.panel {
        match parse_panel(text) {
            Ok(size) => options.panel = Some(size),
            Err(message) => faults.push(Place::whole("--panel").fault(message)),
        }
    }
    if let Some(name) = &args.spot {
        match Spot::named(name) {
            Ok(spot) => options.spot = spot,
            Err(error) => faults.push(Place::whole("--spot").fault(error)),
        }
    }
    faults
}

/// What there is to say of a stencil: its panels, and what could not be cut as wanted.
pub(super) fn remarks(stencil: &CutPlan) -> Vec<String> {
    let count = stencil.pieces.len();
    let mut remarks = Vec::new();
    if count > 1 {
        let blank = stencil
            .pieces
            .iter()
            .filter(|piece| piece.openings.is_empty())
            .count();
        let without = if blank > 0 {
            format!(", {blank} of them without openings")
        } else {
            String::new()
        };
        let why = if stencil.options.panel.is_none() {
            "; no panel is longer than a PDF page (--panel divides it otherwise)"
        } else {
            ""
        };
        remarks.push(format!(
            "the stencil to cut has {count} panels{without}{why}"
        ));
    }
    remarks.extend(
        stencil
            .notes
            .iter()
            .map(|note| format!("the stencil to cut: {note}")),
    );
    remarks
}
