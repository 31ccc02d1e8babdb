//! Ticks along the strips with the running distance from the strip's first mark, so that a sheet is
//! laid by the long tape and not by its neighbour.

use kurbo::{Line, Point, Rect, Vec2};

use super::Tile;
use crate::{
    drawing::{Layer, Stroke, widths},
    page::{Block, labels::Wish},
    units::{MM_PER_INCH, inch_text, mm_text},
};

/// Distance of the ticks along a strip, mm: 100 mm, and 4 in where the job is in inches.
const SPACING_MM: f64 = 100.0;
const SPACING_INCH_MM: f64 = 4.0 * MM_PER_INCH;

/// Length in mm of a tick on each side of the strip's middle.
const ARM_MM: f64 = 5.0;

/// A tick nearer to a mark than this, mm, would run into its cross.
const FROM_MARK_MM: f64 = 20.0;

/// How far a tick's number may stand from the tick, in heights of its lettering.
const REACH: f64 = 10.4;

/// Distance in mm that lettering keeps from a tick.
const CLEARANCE_MM: f64 = 0.4;

/// A tick on a page.
#[derive(Clone, Debug)]
pub(super) struct Tick {
    at: Point,
    stroke: Line,
    /// Running distance, mm.
    distance: f64,
    /// Name of the mark that it counts from.
    from: String,
}

impl Tile<'_> {
    /// Finds the ticks on this page, draws their strokes and keeps other lettering off them.
    pub(super) fn running_ticks(&mut self) -> Vec<Tick> {
        let plan = self.context.plan;
        let to_page = self.sheets.sheets[self.index].floor_to_page;
        let spacing = if self.context.inches {
            SPACING_INCH_MM
        } else {
            SPACING_MM
        };
        let mut ticks: Vec<Tick> = Vec::new();
        for line in &plan.lines {
            let along =
                (to_page * plan.marks[line.to].at - to_page * plan.marks[line.from].at).normalize();
            let across = Vec2::new(-along.y, along.x) * ARM_MM;
            for (distance, floor) in plan.along(line, spacing) {
                let at = to_page * floor;
                let stroke = Line::new(at - across, at + across);
                let shown = [stroke.p0, stroke.p1]
                    .iter()
                    .all(|end| self.frame.inner.contains(*end));
                if !shown {
                    continue;
                }
                let free = plan
                    .marks
                    .iter()
                    .all(|mark| mark.at.distance(floor) >= FROM_MARK_MM);
                if free && ticks.iter().all(|tick| tick.at.distance(at) > ARM_MM) {
                    let from = plan.marks[line.from].id.clone();
                    ticks.push(Tick {
                        at,
                        stroke,
                        distance,
                        from,
                    });
                }
            }
        }
        for tick in &ticks {
            self.drawing.line(
                Layer::Labels,
                tick.stroke.p0,
                tick.stroke.p1,
                Stroke::solid(widths::MEDIUM),
            );
            self.room
                .guard(Rect::from_points(tick.stroke.p0, tick.stroke.p1).inset(CLEARANCE_MM));
        }
        ticks
    }

    /// Writes the running distances beside their ticks, in lettering of two heights, the better one first.
    pub(super) fn tick_numbers(&mut self, ticks: &[Tick], [large, small]: [f64; 2]) {
        for tick in ticks {
            let (number, unit) = if self.context.inches {
                (inch_text(tick.distance), "in")
            } else {
                (mm_text(tick.distance), "mm")
            };
            let words = format!("{number} {unit} from {}", tick.from);
            let blocks = [
                (Block::line(words.clone(), large), 0),
                (Block::line(words, small), 200),
                (Block::line(number, large), 600),
            ];
            let reach = 2.0 * REACH * large;
            let within = self
                .frame
                .inner
                .intersect(Rect::from_center_size(tick.at, (reach, reach)));
            self.put(
                &blocks,
                Wish {
                    within,
                    near: tick.at,
                    pull: 12.0,
                },
                Layer::Labels,
                Some(100),
            );
        }
    }
}
