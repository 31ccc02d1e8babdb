//! Flags of a stencil to cut, and what is said of it.

use super::args::CutArgs;
use crate::{
    job::parse_bed,
    source::{Fault, Place},
    stencil::{Colour, CutOptions, CutPlan, Inks, Spot, Stencil},
    units::{mm_exact, parse_length},
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
    take("--border", &args.border, &mut options.border);
    take("--kerf", &args.kerf, &mut options.kerf);
    take("--hairline", &args.hairline, &mut options.hairline);
    let mut corner = f64::NAN;
    take("--corner", &args.corner, &mut corner);
    if !corner.is_nan() {
        options.corner = Some(corner);
    }
    if let Some(text) = &args.bed {
        match parse_bed(text) {
            Ok(bed) => options.bed = Some(bed),
            Err(message) => faults.push(Place::whole("--bed").fault(message)),
        }
    }
    options.field |= args.field;
    options.partial |= args.partial;
    options.pen_names |= args.pen_names;
    faults.extend(lay_over_inks(&mut options.inks, args));
    faults
}

/// Lays the flags for names and colours of paths over a job's.
fn lay_over_inks(inks: &mut Inks, args: &CutArgs) -> Vec<Fault> {
    let mut faults: Vec<Fault> = Vec::new();
    let mut name =
        |flag: &str, text: &Option<String>, into: &mut Spot| match text.as_deref().map(Spot::named)
        {
            Some(Ok(spot)) => *into = spot,
            Some(Err(error)) => faults.push(Place::whole(flag).fault(error)),
            None => {}
        };
    name("--spot", &args.spot, &mut inks.cut.spot);
    name("--score-spot", &args.score_spot, &mut inks.score.spot);
    let mut colour = |flag: &str, text: &Option<String>, into: &mut Colour| match text
        .as_deref()
        .map(Colour::read)
    {
        Some(Ok(colour)) => *into = colour,
        Some(Err(error)) => faults.push(Place::whole(flag).fault(error)),
        None => {}
    };
    colour("--cut-colour", &args.cut_colour, &mut inks.cut.colour);
    colour("--score-colour", &args.score_colour, &mut inks.score.colour);
    faults
}

/// Flags that a stencil cut by hand has no use for.
pub(super) fn for_machines(args: &CutArgs) -> Vec<Fault> {
    let flags = [
        ("--bed", &args.bed),
        ("--border", &args.border),
        ("--kerf", &args.kerf),
        ("--corner", &args.corner),
        ("--hairline", &args.hairline),
        ("--spot", &args.spot),
        ("--score-spot", &args.score_spot),
        ("--cut-colour", &args.cut_colour),
        ("--score-colour", &args.score_colour),
    ];
    let switches = [("--field", args.field), ("--pen-names", args.pen_names)];
    let texts = flags.into_iter().map(|(flag, text)| (flag, text.is_some()));
    let given = texts.chain(switches).filter(|(_, is_given)| *is_given);
    let fault = |flag| {
        Place::whole(flag).fault(
            "this is for a machine, and the sheets are cut by hand; leave it out, or cut by machine (--cut-by machine)",
        )
    };
    given.map(|(flag, _)| fault(flag)).collect()
}

/// What there is to say of a stencil, whoever cuts it.
pub(super) fn made_remarks(stencil: &Stencil) -> Vec<String> {
    match stencil {
        Stencil::Machine(cut) => remarks(cut),
        Stencil::Refused(error) => vec![format!("no files for a cutter: {error}")],
        Stencil::Hand(cut) => {
            let notes = cut.notes.iter();
            notes
                .map(|note| format!("the stencil to cut by hand: {note}"))
                .collect()
        }
    }
}

/// What there is to say of a stencil: its pieces and loads, and what could not be cut as wanted.
pub(super) fn remarks(stencil: &CutPlan) -> Vec<String> {
    let mut remarks = vec![summary(stencil)];
    remarks.extend(
        stencil
            .notes
            .iter()
            .map(|note| format!("the stencil to cut: {note}")),
    );
    remarks
}

/// How many pieces and loads there are, and how much material they take.
fn summary(stencil: &CutPlan) -> String {
    let (pieces, loads) = (stencil.pieces.len(), &stencil.loads);
    let used: Vec<String> = loads
        .iter()
        .map(|load| format!("{:.0} %", stencil.used(load) * 100.0))
        .collect();
    let kind = if stencil.options.field {
        "mat"
    } else {
        "frame"
    };
    let sizes = loads.iter().map(|load| {
        let (width, height) = load.size;
        format!("{} × {} mm", mm_exact(width, 0), mm_exact(height, 0))
    });
    let mut sizes: Vec<String> = sizes.collect();
    sizes.dedup();
    format!(
        "the stencil to cut: a {kind} of {pieces} {}, {:.2} m², on {} {} ({}; used {}; no nesting takes fewer than {})",
        if pieces == 1 { "piece" } else { "pieces" },
        stencil.area() / 1e6,
        loads.len(),
        if loads.len() == 1 { "load" } else { "loads" },
        sizes.join(", "),
        used.join(", "),
        stencil.least_loads(),
    )
}
