//! Why a stencil cannot be cut, and what of it could not be cut as wanted.

use std::fmt;

use crate::{
    stencil::{Arm, CutError, CutNote, CutOption, Loss},
    units::mm_exact,
};

/// `5070` or `0.2`.
fn mm(mm: f64) -> String {
    mm_exact(mm, 2)
}

const fn option(option: CutOption) -> &'static str {
    match option {
        CutOption::Bed => "a bed side",
        CutOption::Border => "the border",
        CutOption::Partial => "cutting in part",
        CutOption::Bridge => "a bridge width",
        CutOption::Spacing => "the spacing of bridges",
        CutOption::Kerf => "the kerf",
        CutOption::Corner => "the corner radius",
        CutOption::Hairline => "a stroke width",
        CutOption::Spot => "the spot colours",
        CutOption::Colour => "the colours of the paths",
    }
}

impl fmt::Display for CutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Range {
                option: of,
                value,
                least,
                most,
            } => write!(
                f,
                "{} of {} mm is out of range; expected {} to {} mm",
                option(of),
                mm(value),
                mm(least),
                mm(most)
            ),
            Self::Spacing {
                bridge,
                every,
                least,
            } => write!(
                f,
                "bridges of {} mm every {} mm leave too little slot between them; expected at least {} mm, or narrower bridges",
                mm(bridge),
                mm(every),
                mm(least)
            ),
            Self::Kerf { kerf, slot } => write!(
                f,
                "a kerf of {} mm does not fit into the narrowest slot of {} mm; expected less than the slot: take a finer tool or wider strips",
                mm(kerf),
                mm(slot)
            ),
            Self::Corner { corner, slot } => write!(
                f,
                "a corner radius of {} mm is more than half of the narrowest slot of {} mm; expected at most {} mm",
                mm(corner),
                mm(slot),
                mm(slot / 2.0)
            ),
            Self::Spot { ref text, most } => write!(
                f,
                "\"{text}\" cannot name a spot colour; expected 1 to {most} characters that can be printed, and neither All nor None, which PDF keeps for itself"
            ),
            Self::SameSpot { ref name } => write!(
                f,
                "cuts and scores have the same spot colour \"{name}\"; give each a name of its own"
            ),
            Self::Colour { ref text } => write!(
                f,
                "\"{text}\" is no colour; expected # and six digits 0 to 9 or a to f, as in #ff00ff"
            ),
            Self::SameColour { colour } => write!(
                f,
                "cuts and scores have the same colour {colour}; give each a colour of its own, since cutters go by it"
            ),
            Self::Nothing => {
                f.write_str("the layout has nothing to cut: neither line nor panel nor mark")
            }
            Self::Tab { kerf, tab } => write!(
                f,
                "a kerf of {} mm leaves too little of a joint's tab of {} mm; take a finer tool, a wider border or narrower bridges",
                mm(kerf),
                mm(tab)
            ),
            Self::Joint {
                size: (one, other),
                near,
            } => write!(
                f,
                "no straight joints that keep off the marks divide the stencil near x {} mm, y {} mm into pieces of {} × {} mm; take a larger bed, a narrower border or narrower bridges",
                mm(near.x.round()),
                mm(near.y.round()),
                mm(one.floor()),
                mm(other.floor())
            ),
            Self::Joints => f.write_str(
                "the frame has more joints than there are different places for their tabs; take a larger bed, a wider border, or --field",
            ),
            Self::Partial(ref losses) => write!(
                f,
                "the stencil cannot be cut whole: {}; change the template's values, cut a stencil for each vehicle, or add --partial to cut what can be cut",
                losses_text(losses)
            ),
            Self::LooseSheets {
                ref first,
                parts,
                near,
            } => write!(
                f,
                "the sheets that are joined to sheet {first} would fall into {parts} parts once they are cut by hand, one near x {} mm, y {} mm; take narrower bridges, larger paper (--paper), or another way to lay the sheets (--mode)",
                mm(near.x.round()),
                mm(near.y.round())
            ),
            Self::Loose {
                ref label,
                parts,
                near,
            } => write!(
                f,
                "piece {label} of the stencil would fall into {parts} parts, one near x {} mm, y {} mm; take narrower bridges or move the lines apart",
                mm(near.x.round()),
                mm(near.y.round())
            ),
        }
    }
}

/// Most losses that are named.
const NAMED: usize = 4;

fn losses_text(losses: &[Loss]) -> String {
    let mut texts: Vec<String> = losses.iter().take(NAMED).map(loss).collect();
    if losses.len() > NAMED {
        texts.push(format!("{} more", losses.len() - NAMED));
    }
    texts.join(", ")
}

fn loss(loss: &Loss) -> String {
    match loss {
        Loss::Strip(name, part) => {
            format!("only {:.0} % of strip {name} can be cut", part * 100.0)
        }
        Loss::Mark(name) => format!("mark {name} has no hole or no window along one of its lines"),
    }
}

impl fmt::Display for CutNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoHole(mark) => write!(
                f,
                "mark {mark} has no centre hole: another mark's hole is closer than a bridge"
            ),
            Self::NoWindow(mark, arms) => {
                let sides: Vec<&str> = arms.iter().map(|side| arm(*side)).collect();
                let sides = sides.join(", ");
                write!(
                    f,
                    "mark {mark} has no window {sides}: another mark is too near"
                )
            }
            Self::SlotShortened(strip) => write!(
                f,
                "strip {strip} has no slot where it would run closer than a bridge to another opening"
            ),
            Self::NoSlot(strip) => write!(
                f,
                "strip {strip} has no slot: between its marks, crossings and joints it is too short"
            ),
            Self::Panel {
                shape,
                mark,
                missing,
                edges,
            } => {
                write!(f, "the {} at {mark} ", shape.word())?;
                match missing {
                    0 => {
                        f.write_str("has gaps in its edges where marks, strips or joints are near")
                    }
                    _ if missing == edges => {
                        f.write_str("is not cut: it is too small, or others are too near")
                    }
                    _ => write!(
                        f,
                        "lacks {missing} of {edges} edges: they are too short, or others are too near"
                    ),
                }
            }
            Self::AxleBeyond { front } => {
                let axle = if *front { "front" } else { "rear" };
                write!(
                    f,
                    "the {axle} axle lies beyond the stencil, which has no notch for it"
                )
            }
            Self::JointWithoutRegister(from, to) => write!(
                f,
                "the joint from x {:.0}, y {:.0} to x {:.0}, y {:.0} mm has no room for two pairs of register holes: lay a straightedge along it",
                from.x, from.y, to.x, to.y
            ),
            Self::NoName(piece) => write!(
                f,
                "piece {piece} has no room for its name: write it on by hand from the map"
            ),
            Self::SeamAlong(strip) => write!(
                f,
                "a seam of the sheets runs along inside a slot of strip {strip}: glue a strip of card over each bridge there"
            ),
            Self::SeamWithoutLap(strip) => write!(
                f,
                "two sheets meet at strip {strip} with no paper to glue below the seam: glue a strip of card under it"
            ),
            Self::JointWithoutNotch(from, to) => write!(
                f,
                "the joint from x {:.0}, y {:.0} to x {:.0}, y {:.0} mm has no notch: openings leave no room",
                from.x, from.y, to.x, to.y
            ),
        }
    }
}

const fn arm(arm: Arm) -> &'static str {
    match arm {
        Arm::Ahead => "ahead",
        Arm::Rearward => "rearward",
        Arm::Left => "left",
        Arm::Right => "right",
    }
}
