//! What is read on a strip of a roll: a page of metres, so the same things stand on it again and again, in
//! lettering for a person who stands over it.

use kurbo::{Point, Rect, Size};

use super::Tile;
use crate::{
    drawing::{Drawing, Layer, Stroke, Weight, heights, widths},
    page::{
        Block,
        labels::{Footprint, Wish},
    },
    sheets::shared::{PageNumber, ScaleBar},
    units::{inch_text, mm_text},
    words::printed::labels::strip_of,
};

/// Distance in mm along a strip after which its label stands again: about an arm's reach to both sides.
const LABEL_PITCH_MM: f64 = 1500.0;

/// Distance in mm along a strip after which a floor point is named again.
const TICK_PITCH_MM: f64 = 500.0;

/// How far, in mm, a repeated thing may stand from its wished place, so that the strip is not searched in vain.
const REACH_MM: f64 = 250.0;

/// Height in mm of a strip's label, from the series of ISO 3098.
const LABEL_MM: f64 = 20.0;

/// Heights in mm of a mark's name and numbers, with their price: large ones may lie on a band, not on a line.
const MARK_LETTERING: [(f64, f64, u64); 3] = [
    (heights::LABEL, heights::TITLE, 0),
    (heights::LARGE, heights::HEADING, 1200),
    (heights::HEADING, heights::TEXT, 3500),
];

/// How far, in mm, the large name of a mark may stand from it and still be taken for its own.
const MARK_NAME_REACH_MM: f64 = 80.0;

/// Lengths in mm of the arrow to the front with the height of its word.
const ARROWS_MM: [(f64, f64); 2] = [(60.0, heights::LARGE), (22.0, heights::HEADING)];

/// Lengths in mm that a dimension bar may have, with the distance of its strokes.
const BARS_MM: [(f64, f64); 3] = [(1000.0, 100.0), (500.0, 50.0), (200.0, 10.0)];

/// Distance in mm between the label and its frame, and between the frame and other things.
const FRAME_MM: Size = Size::new(3.8, 2.8);

/// Adds all lettering to a strip; what is most needed or hardest to place comes first.
pub(super) fn add(tile: &mut Tile, page: PageNumber) {
    let ticks = tile.running_ticks();
    tile.mark_names_in(&MARK_LETTERING, MARK_NAME_REACH_MM);
    tile.check_square();
    tile.neighbour_names();
    dimension_bar(tile);
    tile.inch_bar();
    for section in sections(tile.frame.inner, LABEL_PITCH_MM) {
        strip_label(tile, section);
        tile.front_arrow_near(section, Point::new(section.x1, section.y1), ARROWS_MM);
    }
    tile.notes_in(page, &[heights::TITLE, heights::HEADING, heights::TEXT]);
    for section in sections(tile.frame.inner, TICK_PITCH_MM) {
        tile.coordinate_tick_near(section, section.center(), heights::TITLE);
    }
    tile.registration_names();
    tile.scissors();
    tile.tick_numbers(&ticks, [heights::TITLE, heights::TEXT]);
}

/// A strip in parts of about a length, from the top.
fn sections(inner: Rect, pitch: f64) -> Vec<Rect> {
    let count = (inner.height() / pitch).round().max(1.0) as usize;
    let depth = inner.height() / count as f64;
    let part = |index: usize| Rect {
        y0: inner.y1 - depth * (index + 1) as f64,
        y1: inner.y1 - depth * index as f64,
        ..inner
    };
    (0..count).map(part).collect()
}

/// The longest bar that fits, along the strip if it can.
fn dimension_bar(tile: &mut Tile) {
    let inner = tile.frame.inner;
    for (length, step) in BARS_MM {
        let words = format!("{} mm", mm_text(length));
        let words = if tile.context.inches {
            format!("{words} ({} in)", inch_text(length))
        } else {
            words
        };
        let label = Block::line(words, heights::TITLE);
        let bar = ScaleBar::new(length, step, "").labelled(label);
        let [mut lying, mut upright] = bar.footprints(0);
        lying.penalty = 2000;
        upright.penalty = 0;
        // Along an edge, out of the way of the rest.
        let near = Point::new(inner.x0, inner.center().y);
        if let Some(place) = tile.room.place(
            &[lying, upright],
            Wish {
                within: inner,
                near,
                pull: 1.0,
            },
        ) {
            bar.draw(&mut tile.drawing, place.origin, place.option == 1);
            return;
        }
    }
}

/// The label with what strip it is and where it lies on the roll, near the section's upper left corner.
fn strip_label(tile: &mut Tile, section: Rect) {
    let sheet = tile.sheet();
    let length = strip_of(
        &sheet.label,
        tile.sheets.sheets.len(),
        &tile.sheets.format.paper.name,
        sheet.paper.height,
        tile.context.inches,
    );
    let blocks = [
        (LABEL_MM, heights::TITLE, 0),
        (heights::LABEL, heights::HEADING, 2000),
        (heights::LARGE, heights::TEXT, 6000),
    ]
    .map(|(height, small, penalty)| {
        let lines = [
            (sheet.label.clone(), height, Weight::Bold),
            (
                tile.context.plan.vehicle.name.clone(),
                small,
                Weight::Regular,
            ),
            (length.clone(), small, Weight::Regular),
        ];
        (Block::new(&lines), penalty)
    });
    let options = blocks
        .each_ref()
        .map(|(block, penalty)| Footprint::solid(block.size + FRAME_MM * 2.0, *penalty));
    let within = Rect {
        y0: (section.y1 - REACH_MM - LABEL_MM).max(section.y0),
        ..section
    };
    let near = Point::new(section.x0, section.y1);
    for within in [within, section] {
        if let Some(place) = tile.room.place(
            &options,
            Wish {
                within,
                near,
                pull: 3.0,
            },
        ) {
            return framed(&mut tile.drawing, &blocks[place.option].0, place.origin);
        }
    }
}

fn framed(drawing: &mut Drawing, block: &Block, corner: Point) {
    let origin = corner + FRAME_MM.to_vec2();
    let frame = Rect::from_origin_size(origin, block.size)
        .inflate(FRAME_MM.width - 0.8, FRAME_MM.height - 0.8);
    drawing.rect(
        Layer::Labels,
        frame,
        None,
        Some(Stroke::solid(widths::MEDIUM)),
    );
    block.draw(drawing, Layer::Labels, origin, false);
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::{
        cover::{Content, Mode, SheetFormat, SheetPlan, cover_roll},
        job::Record,
        page::{labels::overlap, text_box},
        paper::{LONGEST_PAGE_MM, Roll},
        plan::FloorPlan,
        sheets::{
            shared::{FloorArt, fixture},
            tile,
        },
    };

    fn strips(plan: &FloorPlan, width: &str) -> (SheetPlan, Vec<Drawing>) {
        let roll = Roll::parse(width).unwrap();
        let format = SheetFormat {
            paper: roll.page(LONGEST_PAGE_MM),
            margins: Roll::MARGINS,
            ..fixture::format(fixture::A4)
        };
        let sheets = cover_roll(
            &Content::of(plan),
            &format,
            Content::widest_line(plan),
            Mode::Lines,
        )
        .unwrap();
        let record = Record::default();
        let context = fixture::context(plan, &record, true);
        let (art, of) = (FloorArt::of(plan), sheets.sheets.len());
        let pages = (0..of)
            .map(|index| {
                tile(
                    &context,
                    &art,
                    &sheets,
                    index,
                    PageNumber {
                        page: index + 1,
                        of,
                    },
                )
            })
            .collect();
        (sheets, pages)
    }

    #[test]
    fn every_strip_has_its_own_size_label_and_scale_and_no_lettering_on_lettering() {
        for (plan, width) in [
            (fixture::grid_plan(), "36in"),
            (fixture::panelled((0.0, 0.0), 100.0), "610 mm"),
        ] {
            let (sheets, pages) = strips(&plan, width);
            for (sheet, page) in sheets.sheets.iter().zip(&pages) {
                assert_eq!(
                    (page.width, page.height),
                    (sheet.paper.width, sheet.paper.height)
                );
                let texts = page.texts();
                for wanted in [
                    sheet.label.as_str(),
                    "FRONT",
                    "Print at 100 %",
                    "4 in",
                    "100 mm",
                ] {
                    assert!(
                        texts.iter().any(|text| text.content == wanted),
                        "{width} {}: no {wanted}",
                        sheet.label
                    );
                }
                let window = sheet.page_window();
                for (index, one) in texts.iter().enumerate() {
                    let ink = text_box(one).inset(-1e-3);
                    assert!(
                        window.contains_rect(ink),
                        "{width} {}: {one:?} leaves the window",
                        sheet.label
                    );
                    let others = texts[index + 1..].iter();
                    let under = others.filter(|other| overlap(ink, text_box(other))).count();
                    assert_eq!(
                        under, 0,
                        "{width} {}: {one:?} lies on other lettering",
                        sheet.label
                    );
                }
            }
        }
    }

    #[test]
    fn a_long_strip_names_itself_within_reach_and_carries_a_metre() {
        // A field that only long strips along the vehicle can cover without waste.
        let mut plan = fixture::crossing((0.0, 0.0), 60.0);
        plan.lines.retain(|line| line.from == 2);
        let (_, pages) = {
            let wide: Vec<(&str, f64, f64)> = vec![
                ("1L", 0.0, 0.0),
                ("2L", 4800.0, 0.0),
                ("1C", 0.0, -1.0),
                ("2C", 4800.0, -1.0),
            ];
            strips(&fixture::plan(&wide, &[(0, 1, 800.0)]), "36in")
        };
        assert_eq!(pages.len(), 1);
        let texts = pages[0].texts();
        let mut labels: Vec<f64> = texts
            .iter()
            .filter(|text| text.content == "1")
            .map(|text| text.at.y)
            .collect();
        labels.sort_by(f64::total_cmp);
        assert_eq!(labels.len(), 3);
        assert!(
            labels
                .windows(2)
                .all(|pair| pair[1] - pair[0] < LABEL_PITCH_MM + 2.0 * REACH_MM),
            "{labels:?}"
        );
        assert!(texts.iter().any(|text| text.content.starts_with("1000 mm")));
        let places = texts.iter().filter(|t| tile::tests::is_place(&t.content));
        assert!(
            places.count() >= 8 + 2,
            "a floor point every half metre, beside two marks"
        );
    }
}
