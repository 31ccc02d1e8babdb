//! The whole floor at full scale on one page, with a foot that says what it is and proves its scale.

use kurbo::{Point, Rect, Vec2};

use super::floor_above;
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, heights, widths},
    paper::LONGEST_PAGE_MM,
    sheets::shared::{CheckSquare, Context, FloorArt, ScaleBar, arrow},
    words::{caution, printed::labels::OVERSIZE},
};

/// Depth in mm of the foot below the floor.
const FOOT_MM: f64 = 210.0;

/// Distance in mm from the page's edges.
const EDGE_MM: f64 = 20.0;

/// Height in mm of the warning: still legible where a reader shows the page at a tenth of its size.
const WARNING_MM: f64 = 20.0;

/// Distance of the foot's lines in mm.
const PITCH_MM: f64 = 34.0;

/// Length in mm of the arrow to the front.
const ARROW_MM: f64 = 160.0;

/// Side in mm of the check square, and where what stands right of it begins.
const SQUARE_MM: f64 = 100.0;
const BESIDE_MM: f64 = EDGE_MM + SQUARE_MM + 20.0;

/// Draws the floor at 1:1, the vehicle's front to the right, on a page of its own size. A page that is
/// longer than a plain PDF page may be carries a warning.
#[must_use]
pub fn single_page(context: &Context, art: &FloorArt) -> Drawing {
    let mut drawing = floor_above(context, art, FOOT_MM);
    let corner = Point::new(EDGE_MM, FOOT_MM - EDGE_MM - SQUARE_MM);
    CheckSquare::new(SQUARE_MM).draw(&mut drawing, corner, 0);
    ScaleBar::four_inches().draw(&mut drawing, Point::new(EDGE_MM, EDGE_MM), false);
    ScaleBar::new(1000.0, 100.0, "1000 mm").draw(
        &mut drawing,
        Point::new(BESIDE_MM, EDGE_MM),
        false,
    );
    let plan = context.plan;
    let mut lines = vec![format!(
        "{} · {} · print at 100 %",
        plan.vehicle.name, plan.template.name
    )];
    if is_oversize(&drawing) {
        lines.extend(OVERSIZE.map(str::to_owned));
    }
    lines.push(caution(plan).to_owned());
    let top = FOOT_MM - EDGE_MM - WARNING_MM;
    let room = drawing.width - BESIDE_MM - EDGE_MM;
    for (index, line) in lines.into_iter().enumerate() {
        let text = Text::new((BESIDE_MM, top - PITCH_MM * index as f64), WARNING_MM, line);
        let text = if index == 0 { text.bold() } else { text };
        // A short floor gets smaller lettering, so that no line is cut off.
        let height = WARNING_MM * (room / text.width()).min(1.0);
        drawing.text(Text {
            height: height.max(heights::SMALL),
            ..text
        });
    }
    let tip = Point::new(
        drawing.width - EDGE_MM - ARROW_MM / 2.0,
        EDGE_MM + WARNING_MM * 2.5,
    );
    arrow(&mut drawing, tip, Vec2::new(1.0, 0.0), ARROW_MM);
    drawing.text(
        Text::new((tip.x, EDGE_MM), WARNING_MM, "FRONT")
            .bold()
            .centred(),
    );
    let foot = Rect::new(0.0, 0.0, drawing.width, FOOT_MM);
    drawing.line(
        Layer::Labels,
        (EDGE_MM, foot.y1),
        (foot.x1 - EDGE_MM, foot.y1),
        Stroke::solid(widths::MEDIUM),
    );
    drawing
}

/// True when a drawing is too long for a page without `UserUnit`.
fn is_oversize(drawing: &Drawing) -> bool {
    drawing.width.max(drawing.height) > LONGEST_PAGE_MM
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::{
        drawing::Item,
        job::Record,
        page::{labels::overlap, text_box},
        sheets::shared::fixture,
    };

    fn words(page: &Drawing) -> Vec<&Text> {
        page.items
            .iter()
            .filter_map(|item| {
                if let Item::Text(text) = item {
                    Some(text)
                } else {
                    None
                }
            })
            .collect()
    }

    #[test]
    fn only_a_page_longer_than_5080_mm_warns_of_user_units() {
        let record = Record::default();
        let mut short = fixture::crossing((0.0, 0.0), 60.0);
        short.vehicle.rear_x = -1000.0;
        for wheel in &mut short.vehicle.wheels {
            wheel.centre.x = 0.0;
        }
        for (plan, warned) in [(fixture::grid_plan(), true), (short, false)] {
            let page = single_page(
                &fixture::context(&plan, &record, false),
                &FloorArt::of(&plan),
            );
            assert_eq!(page.width > LONGEST_PAGE_MM, warned);
            assert_eq!(
                words(&page)
                    .iter()
                    .any(|text| text.content.contains("UserUnit")),
                warned
            );
        }
    }

    #[test]
    fn nothing_lies_on_anything_else_or_off_the_page() {
        let (plan, record) = (fixture::grid_plan(), Record::default());
        let page = single_page(
            &fixture::context(&plan, &record, false),
            &FloorArt::of(&plan),
        );
        let whole = Rect::new(0.0, 0.0, page.width, page.height);
        let words = words(&page);
        for (index, one) in words.iter().enumerate() {
            assert!(whole.contains_rect(text_box(one)), "{one:?}");
            let under = words[index + 1..]
                .iter()
                .find(|other| overlap(text_box(one), text_box(other)));
            assert!(under.is_none(), "{one:?} lies on {under:?}");
        }
    }
}
