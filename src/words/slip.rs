//! Usual mistakes with a tape, in words.

use crate::survey::{Misread, Slip, UnitSlip};

/// What a slip is called; `name` gives the names of points.
pub(super) fn slip<'a>(slip: Slip, name: impl Fn(usize) -> &'a str) -> String {
    match slip {
        Slip::Misread(which) => misread(which).to_owned(),
        Slip::Unit(unit) => match unit {
            UnitSlip::MetresForMm => "metres written for mm",
            UnitSlip::CmForMm => "cm written for mm",
            UnitSlip::MmForCm => "mm written for cm",
            UnitSlip::InchesForMm => "inches written for mm",
            UnitSlip::InchesForCm => "inches read for cm",
        }
        .to_owned(),
        Slip::Digits { written, meant } => format!("two digits exchanged, {written} for {meant}"),
        Slip::OtherSide { from, to } => format!(
            "it fits {}\u{2013}{}: left and right exchanged",
            name(from),
            name(to)
        ),
        Slip::Small => {
            "small: a tape hooked from a worn end, a string or tape pushed off its line".to_owned()
        }
    }
}

/// What a misread length is called.
pub(super) fn misread(which: Misread) -> &'static str {
    match which {
        Misread::HundredMm => "100 mm misread",
        Misread::TenMm => "10 mm misread",
        Misread::Inch => "1 in misread",
        Misread::Metre => "a metre miscounted",
        Misread::Foot => "a foot miscounted",
        Misread::FiftyMm => "50 mm misread",
        Misread::TwoHundredMm => "200 mm misread",
    }
}
