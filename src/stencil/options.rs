//! What the shop chooses: material, tool and marking of the paths.

use super::CutError;
use crate::paper::LONGEST_PAGE_MM;

/// How far the outline of a piece keeps from the edges of its page, mm: room for the kerf and the width of its stroke.
pub const PAGE_EDGE_MM: f64 = 5.0;

/// Largest side of a piece, mm: what a plain PDF page has room for.
pub const LARGEST_PIECE_MM: f64 = LONGEST_PAGE_MM - 2.0 * PAGE_EDGE_MM;

/// Smallest side of a piece, mm: room for the pad of a mark, a joint on each side of it and notches.
const SMALLEST_PIECE_MM: f64 = 300.0;

/// Bridges narrower than this tear in paper board, wider ones leave more web than slot (common
/// practice, no source).
const BRIDGE_MM: (f64, f64) = (2.0, 50.0);

/// Longest distance from bridge to bridge, mm: a longer slot sags open (common practice, no source).
const LONGEST_SPACING_MM: f64 = 3000.0;

/// What must be left of two slots when a bridge comes to lie between them, mm.
const SLOTS_BESIDE_BRIDGE_MM: f64 = 20.0;

/// Widest kerf, mm: a centre hole of 6 mm is still cut with a tool of 5 mm.
const WIDEST_KERF_MM: f64 = 5.0;

/// Largest corner radius, mm.
const LARGEST_CORNER_MM: f64 = 25.0;

/// Corner radius where none is asked for, mm; less in a slot that is narrower than twice as much.
const CORNER_MM: f64 = 1.0;

/// Widths of the stroke that shows a path, mm. Cutters take strokes by colour or layer, whatever
/// their width; wider than this the drawing hides what it shows.
const HAIRLINE_MM: (f64, f64) = (0.01, 1.0);

/// Names of the spot colour that marks a through cut: plain words for what the path is or what
/// tool follows it.
pub const SPOT_NAMES: [&str; 5] = ["Through", "Blade", "Laser", "Router", "Waterjet"];

/// The spot colour of through cuts, one of [`SPOT_NAMES`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot(&'static str);

impl Spot {
    /// The name of the spot colour of scores.
    pub const SCORE: &'static str = "Score";

    /// The spot colour of that name, in whatever case it is written.
    ///
    /// # Errors
    /// [`CutError::Spot`] when the name is none of [`SPOT_NAMES`].
    pub fn named(text: &str) -> Result<Self, CutError> {
        let wanted = text.trim();
        let found = SPOT_NAMES
            .into_iter()
            .find(|name| name.eq_ignore_ascii_case(wanted));
        found.map(Self).ok_or_else(|| CutError::Spot {
            text: text.to_owned(),
        })
    }

    /// The name as it is written into files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.0
    }
}

/// One of the things that a shop chooses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutOption {
    /// Size of the material.
    Panel,
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
    /// The spot colour of through cuts.
    Spot,
}

/// How a stencil is cut. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOptions {
    /// Two sides of the material or of the cutter's bed, either way round; `None` for one piece, as
    /// far as [`LARGEST_PIECE_MM`] goes.
    pub panel: Option<(f64, f64)>,
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
    /// Spot colour of through cuts in the PDF.
    pub spot: Spot,
}

impl Default for CutOptions {
    fn default() -> Self {
        Self {
            panel: None,
            bridge: 8.0,
            bridge_every: 300.0,
            kerf: 0.0,
            corner: None,
            hairline: 0.1,
            spot: Spot(SPOT_NAMES[0]),
        }
    }
}

impl CutOptions {
    /// Width of pen slots and windows, mm: a felt tip of 2 mm, or what the tool can make with a
    /// path on both sides.
    pub(super) fn pen(&self) -> f64 {
        (self.kerf + 1.0).max(2.0)
    }

    /// Corner radius of a slot `width` mm wide.
    pub(super) fn corner_of(&self, width: f64) -> f64 {
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
        if let Some((one, other)) = self.panel {
            for side in [one, other] {
                within(
                    CutOption::Panel,
                    side,
                    (SMALLEST_PIECE_MM, LARGEST_PIECE_MM),
                )?;
            }
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
        within(CutOption::Hairline, self.hairline, HAIRLINE_MM)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spot_name_is_found_in_any_case_and_an_unknown_one_is_told_with_the_known_ones() {
        assert_eq!(Spot::named(" laser ").map(Spot::name), Ok("Laser"));
        let message = Spot::named("Purple").unwrap_err().to_string();
        assert!(
            message.contains("\"Purple\"") && SPOT_NAMES.iter().all(|name| message.contains(name)),
            "{message}"
        );
    }

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
            (with(|o| o.panel = Some((200.0, 900.0))), CutOption::Panel),
            (with(|o| o.panel = Some((900.0, 6000.0))), CutOption::Panel),
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
