//! Keys: a small stencil for each mark, several on a page, cut out and placed by tape.
//!
//! A key is a card with a window about its mark and a label beside the window. All cards are of one
//! size and lie on one raster, the rows from the top of the printable part and the columns from its
//! right; what a page needs for its check square, its bar and its notes stands at the lower left,
//! and the raster leaves out the cards that would reach into it.
//!
//! With cards of one size on this raster a page takes a fixed number of them, so that ⌈keys / cards
//! per page⌉ is at once the number of pages and its lower bound.
//!
//! Order: the two base marks, the centreline, the rest. Keys have no joints; `PlacedSheet::page`
//! says which share a page.

use kurbo::{Point, Rect, Size};

use super::{
    Content, CoverError, Heading, Mode, PlacedSheet, SheetFormat, SheetPlan, content::Key,
    error::refuse_many,
};
use crate::plan::corners;

/// The floor that a key shows about its mark, mm across and along the vehicle, whose front is up the
/// page: the 15 mm arms of the cross, both edges of a tape strip of 50 mm, and arms long enough to
/// turn the key to a string within half a degree (0.5 mm over the 70 mm is 0.4°).
const WINDOW_MM: Size = Size::new(54.0, 70.0);

/// Width in mm of the label at the right of a key's window: a name such as `12L2` in capitals of 7 mm.
const LABEL_MM: f64 = 32.0;

/// Distance in mm between two cards: the scissors' way.
const GAP_MM: f64 = 2.0;

/// What a page keeps at its lower left for a check square of 100 mm with the bar of 4 in below it, mm.
const PROOF_MM: Size = Size::new(103.0, 110.5);

/// The same on a page that would then hold no card: the bar stands at the left edge, this wide, …
const NARROW_BAR_MM: f64 = 9.5;

/// … and a check square of 50 mm with the notes takes the foot, this deep.
const LOW_FOOT_MM: f64 = 52.5;

/// The cards of a page, and what it keeps for the proof of its scale. mm from the page's lower left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct KeyRaster {
    /// Whole cards, from the top row down, within a row from the left.
    pub cards: Vec<Rect>,
    /// The printable part.
    pub printable: Rect,
    /// Side of the check square, mm: 100, or 50 on paper too small for it.
    pub square: f64,
}

impl KeyRaster {
    /// The raster on a sheet format that is large enough for any cover: at least one card.
    #[must_use]
    pub fn of(format: &SheetFormat) -> Self {
        let printable = format.printable();
        let proof = [Rect::from_origin_size(printable.origin(), PROOF_MM)];
        let narrow = [
            Rect {
                x1: printable.x0 + NARROW_BAR_MM,
                ..printable
            },
            Rect {
                y1: printable.y0 + LOW_FOOT_MM,
                ..printable
            },
        ];
        let cards = cards(printable, &proof);
        if cards.is_empty() {
            return Self {
                cards: self::cards(printable, &narrow),
                printable,
                square: 50.0,
            };
        }
        Self {
            cards,
            printable,
            square: 100.0,
        }
    }

    /// The part of a card at the right of the window, for the label.
    #[must_use]
    pub const fn label(card: Rect) -> Rect {
        Rect {
            x0: card.x1 - LABEL_MM,
            ..card
        }
    }

    /// The part of a card that shows the floor.
    const fn window(card: Rect) -> Rect {
        Rect {
            x1: card.x1 - LABEL_MM,
            ..card
        }
    }
}

/// All cards of the raster that keep clear of what is reserved.
fn cards(printable: Rect, reserved: &[Rect]) -> Vec<Rect> {
    let card = Size::new(WINDOW_MM.width + LABEL_MM, WINDOW_MM.height);
    let fitting = |room: f64, side: f64| ((room + GAP_MM) / (side + GAP_MM)).floor() as usize;
    let (columns, rows) = (
        fitting(printable.width(), card.width),
        fitting(printable.height(), card.height),
    );
    let places =
        (0..rows).flat_map(|row| (0..columns).rev().map(move |from_right| (row, from_right)));
    places
        .map(|(row, from_right)| {
            let right = printable.x1 - from_right as f64 * (card.width + GAP_MM);
            let top = printable.y1 - row as f64 * (card.height + GAP_MM);
            Rect::new(right - card.width, top - card.height, right, top)
        })
        .filter(|card| {
            reserved
                .iter()
                .all(|reserved| card.intersect(*reserved).area() <= 0.0)
        })
        .collect()
}

/// Puts the keys on pages in the order of setting out.
pub(super) fn cover(content: &Content, format: &SheetFormat) -> Result<SheetPlan, CoverError> {
    let raster = KeyRaster::of(format);
    let each = raster.cards.len();
    if content.keys.is_empty() || each == 0 {
        return Err(CoverError::Nothing);
    }
    let pages = content.keys.len().div_ceil(each);
    refuse_many(pages)?;
    let sheets = content.keys.iter().enumerate();
    let sheets = sheets
        .map(|(place, key)| card(key, place, place / each, raster.cards[place % each], format));
    Ok(SheetPlan {
        format: format.clone(),
        mode: Mode::Keys,
        sheets: sheets.collect(),
        joints: Vec::new(),
        registration: Vec::new(),
        pages,
        lower_bound: pages,
        roll: None,
    })
}

fn card(key: &Key, laid: usize, page: usize, card: Rect, format: &SheetFormat) -> PlacedSheet {
    let heading = Heading::FrontUp;
    let window = KeyRaster::window(card);
    let floor = Rect::from_center_size(key.at, heading.on_floor(window.size()));
    let floor_to_page = heading.onto(floor, window.origin());
    let page_to_floor = floor_to_page.inverse();
    PlacedSheet {
        label: key.name.clone(),
        page,
        paper: Size::new(format.paper.width, format.paper.height),
        heading,
        floor_to_page,
        window: corners(window).map(|corner: Point| page_to_floor * corner),
        cut: [false; 4],
        laid,
        registration: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        cover::cover,
        paper::{Correction, Margins, Paper},
    };

    fn format(width: f64, height: f64) -> SheetFormat {
        let paper = Paper {
            name: "test".into(),
            width,
            height,
        };
        SheetFormat {
            paper,
            margins: Margins::default(),
            overlap: 10.0,
            correction: Correction::default(),
        }
    }

    fn keys(count: usize) -> Content {
        let keys = (0..count).map(|i| Key {
            name: format!("M{i}"),
            at: Point::new(900.0 * i as f64, -40.0),
        });
        Content {
            keys: keys.collect(),
            ..Content::default()
        }
    }

    #[test]
    fn five_keys_go_on_a_page_of_a4_or_letter() {
        // A4 210 × 297 (ISO 216), Letter 215.9 × 279.4 (ANSI/ASME Y14.1).
        for (width, height) in [(210.0, 297.0), (215.9, 279.4)] {
            for (count, pages) in [(5, 1), (6, 2), (14, 3)] {
                let plan = cover(&keys(count), &format(width, height), Mode::Keys).unwrap();
                assert_eq!(
                    (plan.pages, plan.lower_bound, plan.sheets.len()),
                    (pages, pages, count)
                );
            }
        }
    }

    #[test]
    fn cards_lie_apart_on_the_printable_part_beside_the_check_square_on_any_paper() {
        for (width, height) in [
            (210.0, 297.0),
            (215.9, 279.4),
            (148.0, 210.0),
            (297.0, 420.0),
            (148.0, 150.0),
        ] {
            let raster = KeyRaster::of(&format(width, height));
            assert!(!raster.cards.is_empty(), "{width} × {height}");
            let square =
                Rect::from_origin_size(raster.printable.origin(), (raster.square, raster.square));
            for (index, one) in raster.cards.iter().enumerate() {
                assert!(
                    raster.printable.contains_rect(*one),
                    "{width} × {height}: {one:?}"
                );
                assert!(raster.square < 100.0 || one.intersect(square).area() <= 0.0);
                assert!(
                    raster.cards[index + 1..]
                        .iter()
                        .all(|other| one.intersect(*other).area() <= 0.0)
                );
            }
        }
    }

    #[test]
    fn the_smallest_page_that_any_cover_takes_holds_a_key() {
        // 125 mm each way is the least printable part; see `CoverError::Printable`.
        let smallest = SheetFormat {
            margins: Margins {
                left: 0.0,
                right: 0.0,
                top: 0.0,
                bottom: 0.0,
            },
            ..format(125.0, 125.0)
        };
        assert_eq!(cover(&keys(3), &smallest, Mode::Keys).unwrap().pages, 3);
    }

    #[test]
    fn the_mark_is_the_middle_of_its_window_and_the_front_is_up() {
        let plan = cover(&keys(7), &format(210.0, 297.0), Mode::Keys).unwrap();
        for (index, sheet) in plan.sheets.iter().enumerate() {
            let mark = Point::new(900.0 * index as f64, -40.0);
            let at = sheet.floor_to_page * mark;
            assert!((at - sheet.page_window().center()).hypot() < 1e-9);
            let ahead = sheet.floor_to_page * (mark + kurbo::Vec2::new(10.0, 0.0));
            assert!((ahead - at - kurbo::Vec2::new(0.0, 10.0)).hypot() < 1e-9);
        }
    }

    #[test]
    fn a_layout_without_marks_has_no_keys() {
        assert_eq!(
            cover(&keys(0), &format(210.0, 297.0), Mode::Keys).unwrap_err(),
            CoverError::Nothing
        );
    }
}
