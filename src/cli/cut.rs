//! Flags of a stencil to cut, and what is said of it.

use super::{args::CutArgs, failure::Failure};
use crate::{
    kit::KitError,
    source::{Fault, Faults, Place},
    stencil::{CutOptions, CutPlan, Spot},
    units::parse_length,
};

/// The options that the flags ask for; all faults of their texts at once.
pub(super) fn cut_options(args: &CutArgs) -> Result<CutOptions, Failure> {
    let mut options = CutOptions::default();
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
    options.corner = (!corner.is_nan()).then_some(corner);
    if let Some(text) = &args.panel {
        match panel(text) {
            Ok(size) => options.panel = Some(size),
            Err(message) => faults.push(Place::whole("--panel").fault(message)),
        }
    }
    Faults::none_in(faults)?;
    if let Some(name) = &args.spot {
        options.spot = Spot::named(name).map_err(KitError::Cut)?;
    }
    Ok(options)
}

fn panel(text: &str) -> Result<(f64, f64), String> {
    let expected = |why: &str| {
        format!("\"{text}\" is no size of a panel{why}; write two lengths such as 1200mmx800mm")
    };
    let (one, other) = text
        .split_once(['x', 'X', '×'])
        .ok_or_else(|| expected(""))?;
    let side = |text: &str| parse_length(text).map_err(|error| expected(&format!(" ({error})")));
    Ok((side(one)?, side(other)?))
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
