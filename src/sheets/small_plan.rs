//! The layout as a small picture for a screen: what lies where about the vehicle, its front up, and the bay that it is to lie in.
//!
//! It has no measures; lines are as heavy as a picture of a few centimetres needs.

use kurbo::{Point, Rect, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    page::Scale,
    plan::{Bay, FloorPlan},
    sheets::shared::{draw_bands, draw_panels, draw_vehicle},
};

/// Largest width and height of what is drawn, mm.
const MOST_MM: (f64, f64) = (70.0, 105.0);
/// Blank edge, mm.
const EDGE_MM: f64 = 4.0;
/// Radius of a mark, mm.
const MARK_RADIUS_MM: f64 = 0.6;
/// What stands farther than this beside bay and layout is left out, mm on the floor.
const NEAR_MM: f64 = 2000.0;
/// Depth of a line of words, mm.
const WORDS_MM: f64 = 4.0;

/// Draws a layout; with a bay also the clear floor that is needed (dashed) against the bay (heavy) and what stands in it. The vehicle
/// can be moved within its bay, so that the bay is drawn about the middle of the needed floor.
#[must_use]
pub fn small_plan(plan: &FloorPlan, bay: Option<&Bay>) -> Drawing {
    let needed = plan.floor.needed;
    let about = plan.extent_with(plan.vehicle.body());
    let walls = bay.map(|bay| Rect::from_center_size(needed.center(), (bay.length, bay.width)));
    let shown = walls.map_or(about, |walls| about.union(walls).union(needed));
    let ratio = (shown.width() / MOST_MM.1)
        .max(shown.height() / MOST_MM.0)
        .ceil()
        .max(1.0);
    let scale = Scale {
        ratio: ratio as u32,
        standard: false,
    };
    let mut canvas = Drawing::new("", 0.0, 0.0);
    draw_panels(&mut canvas, plan, scale, Tone::PANEL);
    draw_bands(&mut canvas, plan, scale);
    draw_vehicle(&mut canvas, &plan.vehicle, scale);
    for mark in &plan.marks {
        let at = scale.front_up(mark.at);
        canvas.circle(Layer::Marks, at, MARK_RADIUS_MM, Some(Tone::BLACK), None);
    }
    let on_paper = |floor: Rect| {
        Rect::from_points(
            scale.front_up(Point::new(floor.x0, floor.y0)),
            scale.front_up(Point::new(floor.x1, floor.y1)),
        )
    };
    let mut frame = on_paper(shown);
    let mut depth = 0.0;
    if let (Some(bay), Some(walls)) = (bay, walls) {
        let dashed = Stroke::dashed(widths::THIN);
        canvas.rect(Layer::Labels, on_paper(needed), None, Some(dashed));
        let heavy = Stroke::solid(widths::FRAME);
        canvas.rect(Layer::Labels, on_paper(walls), None, Some(heavy));
        let near = shown.inflate(NEAR_MM, NEAR_MM);
        frame = frame.union(obstacles(&mut canvas, plan, bay, near, on_paper));
        depth = 2.0 * WORDS_MM;
        for (line, words) in ["heavy line: the bay", "dashed line: clear floor needed"]
            .into_iter()
            .enumerate()
        {
            let at = (frame.x0, frame.y0 - EDGE_MM - WORDS_MM * line as f64);
            canvas.text(Text::new(at, heights::TEXT, words));
        }
    }
    let frame = frame.inflate(EDGE_MM, EDGE_MM);
    let mut drawing = canvas.mapped(kurbo::Affine::translate(Vec2::new(
        -frame.x0,
        depth - frame.y0,
    )));
    drawing.width = frame.width();
    drawing.height = frame.height() + depth;
    drawing
}

/// What stands near the bay, by its place ahead of the front axle; gives the room that it takes with its names.
fn obstacles(
    canvas: &mut Drawing,
    plan: &FloorPlan,
    bay: &Bay,
    near: Rect,
    on_paper: impl Fn(Rect) -> Rect,
) -> Rect {
    let [left, right, ..] = plan.vehicle.wheels;
    let axle = Vec2::new(left.centre.midpoint(right.centre).x, 0.0);
    let mut room = on_paper(plan.floor.needed);
    for obstacle in &bay.obstacles {
        let footprint = obstacle.footprint + axle;
        if !near.overlaps(footprint) {
            continue;
        }
        let place = on_paper(footprint);
        let edge = Stroke::solid(widths::MEDIUM);
        canvas.rect(Layer::Labels, place, Some(Tone::QUIET), Some(edge));
        let below = Point::new(place.center().x, place.y0 - heights::TEXT - 1.0);
        let name = Text::new(below, heights::TEXT, obstacle.name.clone()).centred();
        let named = Rect::from_center_size(below, (name.width(), 2.0 * heights::TEXT));
        room = room.union(place).union(named);
        canvas.text(name);
    }
    room
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{drawing::Item, sheets::shared::overview_fixture::perimeter};

    #[test]
    fn a_bay_that_is_too_short_lies_within_the_needed_floor_and_its_posts_have_names() {
        let plan = perimeter(5550.0);
        let needed = plan.floor.needed;
        let bay = |length: f64| Bay {
            length,
            width: needed.height() + 500.0,
            obstacles: vec![crate::plan::Obstacle {
                name: "post".into(),
                footprint: Rect::from_center_size((-1700.0, 2000.0), (350.0, 350.0)),
            }],
        };
        let plain = small_plan(&plan, None);
        assert!(
            plain
                .items
                .iter()
                .all(|item| !matches!(item, Item::Text(_)))
        );
        let heights = [bay(needed.width() - 900.0), bay(needed.width() + 900.0)].map(|bay| {
            let drawing = small_plan(&plan, Some(&bay));
            let words = drawing.items.iter().filter_map(|item| match item {
                Item::Text(text) => Some(text.content.clone()),
                Item::Path(_) => None,
            });
            assert!(words.collect::<Vec<_>>().contains(&"post".to_owned()));
            for item in &drawing.items {
                if let Item::Path(path) = item {
                    let around = kurbo::Shape::bounding_box(&path.outline);
                    assert!(around.x0 >= 0.0 && around.x1 <= drawing.width, "{around:?}");
                    assert!(
                        around.y0 >= 0.0 && around.y1 <= drawing.height,
                        "{around:?}"
                    );
                }
            }
            drawing.height
        });
        assert!(heights.iter().all(|height| *height < MOST_MM.1 + 20.0));
    }
}
