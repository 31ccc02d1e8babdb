//! Why a stencil cannot be cut, and what of it could not be cut as wanted.

use std::fmt;

use crate::{
    stencil::{Arm, CutError, CutNote, CutOption, SPOT_NAMES},
    units::mm_exact,
};

/// `5070` or `0.2`.
fn mm(mm: f64) -> String {
    mm_exact(mm, 2)
}

const fn option(option: CutOption) -> &'static str {
    match option {
        CutOption::Panel => "a side of a panel",
        CutOption::Bridge => "the width of a bridge",
        CutOption::Spacing => "the spacing of bridges",
        CutOption::Kerf => "the kerf",
        CutOption::Corner => "the corner radius",
        CutOption::Hairline => "the width of the strokes",
        CutOption::Spot => "the spot colour",
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
            Self::Spot { ref text } => write!(
                f,
                "\"{text}\" is not a name for the spot colour of cuts; expected one of {}",
                SPOT_NAMES.join(", ")
            ),
            Self::Nothing => {
                f.write_str("the layout has nothing to cut: neither line nor panel nor mark")
            }
            Self::Joint { size: (one, other) } => write!(
                f,
                "no straight joints that keep off the marks divide the stencil into panels of {} × {} mm; take larger panels or narrower bridges",
                mm(one),
                mm(other)
            ),
            Self::Loose {
                ref label,
                parts,
                near,
            } => write!(
                f,
                "panel {label} of the stencil would fall into {parts} parts, one near x {} mm, y {} mm; take narrower bridges or move the lines apart",
                mm(near.x.round()),
                mm(near.y.round())
            ),
        }
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
