//! What the shop chooses: material, tool and marking of the paths.

use super::{CutBy, CutError, Inks};
use crate::paper::LONGEST_PAGE_MM;

/// Largest side of a load, mm: what a plain PDF page has room for.
pub const LARGEST_LOAD_MM: f64 = LONGEST_PAGE_MM;

/// Smallest side of a bed, mm: room for the pad of a mark, a joint on each side of it and notches.
const SMALLEST_BED_MM: f64 = 300.0;

/// The bed where none is named, mm: among those of plotters and lasers in sign shops (common practice, no source).
const BED_MM: (f64, f64) = (1200.0, 800.0);

/// Diameter of register holes, mm: another than that of marks' holes.
pub const REGISTER_HOLE_MM: f64 = 4.0;

/// Narrowest tab of a joint, mm, and what must be left of it beside the kerf.
const NARROWEST_TAB_MM: f64 = 8.0;

/// Widest border, mm: more is a floor covering (`field`).
const WIDEST_BORDER_MM: f64 = 500.0;

/// Bridges narrower than this tear in paper board, wider ones leave more web than slot (common
/// practice, no source).
const BRIDGE_MM: (f64, f64) = (2.0, 50.0);

/// Width of bridges that are cut by hand, mm: a strip of tape or paint is continued by eye across it, and card of
/// 200 to 300 g/m² holds by it (common practice, no source).
const HAND_BRIDGE_MM: f64 = 6.0;

/// Longest distance from bridge to bridge, mm: a longer slot sags open (common practice, no source).
const LONGEST_SPACING_MM: f64 = 3000.0;

/// What must be left of two slots when a bridge comes to lie between them, mm.
const SLOTS_BESIDE_BRIDGE_MM: f64 = 20.0;

/// Widest kerf, mm: a centre hole of 6 mm is still cut with a tool of 5 mm.
const WIDEST_KERF_MM: f64 = 5.0;

/// Largest corner radius, mm.
const LARGEST_CORNER_MM: f64 = 25.0;

/// Width of a felt tip, mm: pen slots and windows are no narrower (common practice, no source).
const LEAST_PEN_MM: f64 = 2.0;

/// What a pen slot is wider than the kerf, mm: the tool's paths on both sides stay apart.
const BESIDE_KERF_MM: f64 = 1.0;

/// Corner radius where none is asked for, mm; less in a slot that is narrower than twice as much.
const CORNER_MM: f64 = 1.0;

/// Widths of the stroke that shows a path, mm. Cutters take strokes by colour or layer, whatever
/// their width; wider than this the drawing hides what it shows.
const HAIRLINE_MM: (f64, f64) = (0.01, 1.0);

/// One of the things that a shop chooses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutOption {
    /// Size of the material or of the bed.
    Bed,
    /// Material around what is cut.
    Border,
    /// Whether what cannot be cut whole is cut in part.
    Partial,
    /// Width of bridges.
    Bridge,
    /// Their spacing.
    Spacing,
    /// What the tool takes away.
    Kerf,
    /// Corner radius of slots.
    Corner,
    /// Width of the strokes in the files.
    Hairline,
    /// The names of the spot colours.
    Spot,
    /// The colours shown.
    Colour,
}

/// What the cutter takes at once, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CutBed {
    /// A sheet with these sides, either way round.
    Sheet(f64, f64),
    /// A roll of this width; loads are as long as needed, at most [`LARGEST_LOAD_MM`].
    Roll(f64),
}

/// How a stencil is cut. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOptions {
    /// What the cutter takes at once; `None` for a usual bed, and of a field for one piece as far as
    /// [`LARGEST_LOAD_MM`] goes.
    pub bed: Option<CutBed>,
    /// Material around strips, marks and panels.
    pub border: f64,
    /// A mat over the whole layout in place of a frame.
    pub field: bool,
    /// Makes the stencil also where a strip or a mark cannot be cut whole.
    pub partial: bool,
    /// Scores, names and ticks are drawn with a pen and not scored.
    pub pen_names: bool,
    /// Width of the webs that hold the stencil together.
    pub bridge: f64,
    /// Largest distance from the middle of a bridge to the middle of the next along a slot.
    pub bridge_every: f64,
    /// Width of what the tool takes away; 0 for a knife.
    pub kerf: f64,
    /// Radius of the corners of slots; `None` for 1 mm, or half of a slot narrower than 2 mm.
    pub corner: Option<f64>,
    /// Width of the strokes in the files.
    pub hairline: f64,
    /// How cuts and scores are told apart in the files.
    pub inks: Inks,
}

impl Default for CutOptions {
    fn default() -> Self {
        Self {
            bed: None,
            border: 60.0,
            field: false,
            partial: false,
            pen_names: false,
            bridge: 8.0,
            bridge_every: 300.0,
            kerf: 0.0,
            corner: None,
            hairline: 0.1,
            inks: Inks::default(),
        }
    }
}

impl CutOptions {
    /// What is usual for whoever cuts.
    #[must_use]
    pub fn usual(cut_by: CutBy) -> Self {
        let bridge = match cut_by {
            CutBy::Machine => Self::default().bridge,
            CutBy::Hand => HAND_BRIDGE_MM,
        };
        Self {
            bridge,
            ..Self::default()
        }
    }

    /// Width of pen slots and windows, mm: a felt tip of 2 mm, or what the tool can make with a
    /// path on both sides.
    #[must_use]
    pub fn pen(&self) -> f64 {
        (self.kerf + BESIDE_KERF_MM).max(LEAST_PEN_MM)
    }

    /// Width and height of the material of a load.
    pub(super) fn load(&self) -> (f64, f64) {
        match (self.bed, self.field) {
            (Some(CutBed::Sheet(one, other)), _) => (one.max(other), one.min(other)),
            (Some(CutBed::Roll(width)), _) => (LARGEST_LOAD_MM, width),
            (None, true) => (LARGEST_LOAD_MM, LARGEST_LOAD_MM),
            (None, false) => BED_MM,
        }
    }

    /// True where a load ends with its last piece.
    pub(super) const fn is_cut_to_length(&self) -> bool {
        matches!(
            (self.bed, self.field),
            (Some(CutBed::Roll(_)), _) | (None, true)
        )
    }

    /// Corner radius of pen slots and windows: round ends, or sharper ones where asked for.
    pub(super) fn pen_corner(&self) -> f64 {
        let round = self.pen() / 2.0;
        self.corner.map_or(round, |corner| corner.min(round))
    }

    /// Corner radius of a slot `width` mm wide.
    #[must_use]
    pub fn corner_of(&self, width: f64) -> f64 {
        self.corner.unwrap_or(CORNER_MM).min(width / 2.0)
    }

    /// Checks the options against each other and against the narrowest slot, `None` without slots.
    pub(super) fn check(&self, narrowest: Option<f64>) -> Result<(), CutError> {
        let within = |option: CutOption, value: f64, (least, most): (f64, f64)| {
            if (least..=most).contains(&value) {
                Ok(())
            } else {
                Err(CutError::Range {
                    option,
                    value,
                    least,
                    most,
                })
            }
        };
        let sides = match self.bed {
            Some(CutBed::Sheet(one, other)) => vec![one, other],
            Some(CutBed::Roll(width)) => vec![width],
            None => vec![],
        };
        for side in sides {
            within(CutOption::Bed, side, (SMALLEST_BED_MM, LARGEST_LOAD_MM))?;
        }
        within(CutOption::Bridge, self.bridge, BRIDGE_MM)?;
        let least = 2.0 * self.bridge + SLOTS_BESIDE_BRIDGE_MM;
        if self.bridge_every < least {
            return Err(CutError::Spacing {
                bridge: self.bridge,
                every: self.bridge_every,
                least,
            });
        }
        within(
            CutOption::Spacing,
            self.bridge_every,
            (least, LONGEST_SPACING_MM),
        )?;
        if !self.field {
            let least = 2.0 * self.bridge + NARROWEST_TAB_MM;
            within(CutOption::Border, self.border, (least, WIDEST_BORDER_MM))?;
            if self.kerf + NARROWEST_TAB_MM / 2.0 > self.tab() && self.kerf <= WIDEST_KERF_MM {
                return Err(CutError::Tab {
                    kerf: self.kerf,
                    tab: self.tab(),
                });
            }
        }
        if let Some(slot) = narrowest.filter(|slot| self.kerf >= *slot) {
            return Err(CutError::Kerf {
                kerf: self.kerf,
                slot,
            });
        }
        within(CutOption::Kerf, self.kerf, (0.0, WIDEST_KERF_MM))?;
        let corner = self.corner.unwrap_or(0.0);
        if let Some(slot) = narrowest.filter(|slot| corner > slot / 2.0) {
            return Err(CutError::Corner { corner, slot });
        }
        within(CutOption::Corner, corner, (0.0, LARGEST_CORNER_MM))?;
        within(CutOption::Hairline, self.hairline, HAIRLINE_MM)?;
        self.inks.check()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_shop_can_cut_is_refused_by_its_name() {
        let good = CutOptions::default;
        let with = |change: fn(&mut CutOptions)| {
            let mut options = good();
            change(&mut options);
            options
        };
        for (options, option) in [
            (with(|o| o.kerf = 60.0), CutOption::Kerf),
            (with(|o| o.kerf = -1.0), CutOption::Kerf),
            (with(|o| o.kerf = f64::NAN), CutOption::Kerf),
            (with(|o| o.bridge = 350.0), CutOption::Bridge),
            (
                with(|o| (o.bridge, o.bridge_every) = (40.0, 60.0)),
                CutOption::Spacing,
            ),
            (
                with(|o| o.bed = Some(CutBed::Sheet(200.0, 900.0))),
                CutOption::Bed,
            ),
            (
                with(|o| o.bed = Some(CutBed::Sheet(900.0, 6000.0))),
                CutOption::Bed,
            ),
            (with(|o| o.bed = Some(CutBed::Roll(100.0))), CutOption::Bed),
            (with(|o| o.border = 7.0), CutOption::Border),
            (
                with(|o| (o.border, o.kerf) = (24.0, 4.5)),
                CutOption::Border,
            ),
            (with(|o| o.corner = Some(26.0)), CutOption::Corner),
            (with(|o| o.hairline = 0.0), CutOption::Hairline),
        ] {
            let found = options.check(Some(50.0)).map_err(|error| error.option());
            assert_eq!(found, Err(Some(option)), "{options:?}");
        }
        assert_eq!(good().check(Some(50.0)), Ok(()));
        assert_eq!(good().check(None), Ok(()));
    }

    #[test]
    fn a_narrow_slot_takes_a_smaller_corner_unless_one_was_asked_for() {
        assert_eq!(CutOptions::default().check(Some(1.0)), Ok(()));
        assert_eq!(CutOptions::default().corner_of(1.0), 0.5);
        let asked = CutOptions {
            corner: Some(1.0),
            ..CutOptions::default()
        };
        assert!(asked.check(Some(1.0)).is_err());
    }
}
