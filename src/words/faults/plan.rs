//! What is wrong with a layout, and whether it fits the bay.

use std::fmt;

use crate::{
    plan::{BayVerdict, Length, MarkFault, OrderFault, PlanFault},
    units::{mm_exact, mm_text},
};

/// To a tenth.
fn mm(mm: f64) -> String {
    mm_exact(mm, 1)
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Tolerance => "a mark's tolerance",
            Self::StripWidth => "the tape strip's width",
            Self::StripPast => "how far the tape strip is carried past its mark",
            Self::Panel { shape, size } => return write!(f, "the {shape}'s {size}"),
            Self::ClearFloor => "the clear floor",
            Self::FloorSlope => "the floor's slope per metre",
            Self::Flatness => "the floor's flatness",
        })
    }
}

impl fmt::Display for PlanFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoMark(mark) => write!(
                f,
                "there is no mark `{mark}`; name a mark by station/rail (as in \"front_end/side\", with /left or /right where no `sides` is given) or by its point, and declare it in [[marks]] or [[points]]"
            ),
            Self::NotInTemplate { kind, name, known } => write!(
                f,
                "there is no {kind} `{name}`; this template has: {}",
                known.join(", ")
            ),
            Self::NotDeclared {
                kind,
                name,
                known,
                nearest,
            } => {
                let known = known.join(", ");
                write!(f, "there is no {kind} `{name}`; expected one of: {known}")?;
                match nearest {
                    Some(near) => write!(f, "; did you mean \"{near}\"?"),
                    None => Ok(()),
                }
            }
            Self::NoValue { name, known } => write!(
                f,
                "the template has no value `{name}`; it has: {}",
                known.join(", ")
            ),
            Self::Range { what, value, range } => write!(
                f,
                "{what} is {} mm; expected {} to {} mm",
                mm(*value),
                mm(*range.start()),
                mm(*range.end())
            ),
            Self::ManyMarks { count, most } => write!(
                f,
                "the layout has {count} marks; expected at most {most}: leave out stations, rails or points, or divide it into two templates"
            ),
            Self::ManyFields { count, most } => write!(
                f,
                "the panels have {count} cells up to here; expected at most {most} on one floor: take fewer or larger cells, or fewer panels"
            ),
            Self::FloorTooLarge {
                size: (length, width),
                most,
            } => write!(
                f,
                "the layout needs {} × {} m of floor; expected at most {} m each way: check its distances and the values set",
                mm(length / 1000.0),
                mm(width / 1000.0),
                mm_exact(most / 1000.0, 0)
            ),
            Self::TooNear {
                vehicles: [(a, first), (b, second)],
                near,
                shared,
                least,
            } => {
                let near: Vec<String> = near
                    .iter()
                    .map(|([one, other], apart)| {
                        format!("{a}:{one} and {b}:{other} lie {} mm apart", mm(*apart))
                    })
                    .collect();
                write!(
                    f,
                    "marks of {a} ({first}) and {b} ({second}) look alike on one mat: {}; expected one place (within {} mm) or at least {} mm between them: leave one of the two vehicles out, or set values that move the marks",
                    near.join(", "),
                    mm(*shared),
                    mm_exact(*least, 0)
                )
            }
        }
    }
}

impl fmt::Display for OrderFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CentreIsNoStation => f.write_str("\"centre\" is a rail, not a station"),
            Self::Circle { kind, name } => write!(
                f,
                "{kind} `{name}` is defined by itself in a circle; measure one {kind} of the circle from the vehicle"
            ),
            Self::StationAhead {
                station,
                by,
                before,
            } => write!(
                f,
                "station `{station}` lies {} mm ahead of `{before}`, which is declared before it; stations run from the front to the rear, so this layout would be mirrored or of no size: check their distances, or their order",
                mm(*by)
            ),
            Self::RailInward { rail, outward } => write!(
                f,
                "rail `{rail}` lies {} mm outward of the centreline, so left and right would be mirrored or fall together; increase its distance",
                mm(*outward)
            ),
            Self::RailsCross {
                rail: (rail, at),
                inner: (inner, beyond),
            } => write!(
                f,
                "rail `{rail}` lies {} mm from the centreline, not outward of `{inner}` ({} mm), which is declared before it; declare rails from the centreline outwards",
                mm(*at),
                mm(*beyond)
            ),
        }
    }
}

impl fmt::Display for MarkFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
        Self::PointAcross { point, by } => write!(
            f,
            "point `{point}` falls {} mm across the centreline, so left and right would be mirrored; check its bearing and distance",
            mm(*by)
        ),
        Self::PointDistance(distance) => write!(
            f,
            "a point's distance is {} mm; expected more than 1 mm",
            mm(*distance)
        ),
        Self::SameId(id) => write!(f, "two marks would be called {id}; rename the point"),
        Self::SamePlace([one, other]) => write!(
            f,
            "marks {one} and {other} fall on the same point; a layout of no size cannot be set out: move one, or declare it once"
        ),
        Self::FewOnCentreline => f.write_str(
            "the layout has fewer than two marks on the centreline, from which every other mark is taped; add \"centre\" to the rails of the foremost and the rearmost [[marks]]",
        ),
        Self::LineOfNoLength([from, to]) => write!(
            f,
            "the line from {from} to {to} has no length; join two different marks"
        ),
        Self::LineTwice([from, to]) => write!(
            f,
            "the line from {from} to {to} is declared twice; leave one out"
        ),
        Self::PanelTwice(mark) => write!(
            f,
            "the same panel lies on {mark} already; leave it out (on the centreline, leave `sides` out)"
        ),
        Self::PanelSize { shape, size, than } => write!(
            f,
            "the {shape}'s {size} is as wide as its {than}; make the {size} narrower"
        ),
    }
    }
}

/// "fits", or what is short by how much and what is hit.
impl fmt::Display for BayVerdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let short = [(self.short.0, "short"), (self.short.1, "narrow")]
            .into_iter()
            .filter(|(short, _)| *short > 0.0)
            .map(|(short, side)| format!("{} mm too {side}", mm_text(short.ceil())));
        let hit = self
            .hit
            .iter()
            .map(|name| format!("{name} stands in the needed floor"));
        let faults: Vec<String> = short.chain(hit).collect();
        if faults.is_empty() {
            f.write_str("fits")
        } else {
            f.write_str(&faults.join("; "))
        }
    }
}
