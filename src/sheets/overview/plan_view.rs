//! The plan: the layout to scale with the vehicle's front up, names and dimension chains.

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::dimension::{Chain, Side, Stop, Taken};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    page::{
        Fragment, Scale,
        labels::{FORBIDDEN, NameWish, Named, Room},
    },
    plan::{FloorPlan, Lay, LayEnd, Mark},
    sheets::shared::{VehicleArt, draw_bands, draw_panels, draw_vehicle},
    survey::wheel_marks,
    units::{inch_text, mm_text},
};

/// Stations or offsets nearer to each other than this, mm, share one stop of a chain: a tape does
/// not show the difference.
const SAME_STOP_MM: f64 = 1.0;
/// Radius of a mark's ring on paper, mm, and reach of its cross.
const MARK_RADIUS: f64 = 0.9;
const MARK_REACH: f64 = 1.5;
/// With more marks the drawing is too crowded for the wheel marks' names; the words below the check list say where they are.
const MOST_BESIDE_WHEELS: usize = 40;
/// Radius of a wheel mark's dot on paper, mm.
const WHEEL_MARK_RADIUS: f64 = 0.6;
/// From a tyre's edge into it, mm on paper: no more than rounding.
const TOUCH: f64 = 1e-6;
/// Clear distance on paper between the layout and the first chain, and from chain to chain, mm.
const CHAIN_GAP: f64 = 2.5;
/// How far the centreline runs on past everything on it, mm on paper.
const CENTRELINE_OVERRUN: f64 = 3.0;
/// Costs of running a name over a line: the clear floor's, an edge, the centreline. The second is more than the longest leader.
const OVER_FLOOR: u64 = 400;
const OVER_EDGE: u64 = 4000;
const OVER_CENTRELINE: u64 = 4500;
/// Cost of a name that widens the drawing.
const OUT_OF_BOUNDS: u64 = 140;

/// Draws the plan at a scale. `clear_floor` adds the rectangle of the needed clear floor.
#[must_use]
pub fn plan_view(plan: &FloorPlan, scale: Scale, inches: bool, clear_floor: bool) -> Fragment {
    let mut view = View {
        plan,
        scale,
        inches,
        canvas: Drawing::new("", 0.0, 0.0),
        bounds: Rect::from_points(Point::ZERO, Point::ZERO),
        room: Room::default(),
    };
    view.bounds = view.rect(
        plan.vehicle.rear_x,
        plan.vehicle.front_x,
        plan.vehicle.half_width_over_mirrors,
    );
    view.panels();
    view.bands();
    view.vehicle();
    view.marks();
    let layout = view.bounds;
    view.centreline(layout);
    let floor = clear_floor.then(|| view.clear_floor());
    view.chains(layout, floor);
    view.names();
    view.wheel_names();
    view.remarks(floor);
    Fragment::around(&view.canvas, view.bounds)
}

struct View<'a> {
    plan: &'a FloorPlan,
    scale: Scale,
    inches: bool,
    canvas: Drawing,
    bounds: Rect,
    room: Room,
}

impl View<'_> {
    /// A floor point on paper: forward is up, left is left.
    fn at(&self, p: Point) -> Point {
        self.scale.front_up(p)
    }

    /// A floor rectangle symmetric to the centreline on paper.
    fn rect(&self, rear: f64, front: f64, half_width: f64) -> Rect {
        Rect::from_points(
            self.at(Point::new(rear, half_width)),
            self.at(Point::new(front, -half_width)),
        )
    }

    fn panels(&mut self) {
        for corners in draw_panels(&mut self.canvas, self.plan, self.scale, Tone::PANEL) {
            self.bounds = corners.iter().fold(self.bounds, |r, &p| r.union_pt(p));
            let around = corners
                .iter()
                .fold(Rect::from_points(corners[0], corners[0]), |r, &p| {
                    r.union_pt(p)
                });
            self.room.outline(around, OVER_EDGE);
        }
    }

    fn bands(&mut self) {
        for corners in draw_bands(&mut self.canvas, self.plan, self.scale) {
            self.bounds = corners.iter().fold(self.bounds, |r, &p| r.union_pt(p));
            self.room.polygon(&corners, OVER_EDGE);
        }
    }

    fn vehicle(&mut self) {
        let VehicleArt {
            body,
            mirrors,
            tyres,
        } = draw_vehicle(&mut self.canvas, &self.plan.vehicle, self.scale);
        self.room.outline(body, OVER_EDGE);
        for mirror in mirrors {
            self.room.outline(mirror, OVER_EDGE);
        }
        for tyre in tyres {
            self.room.block(tyre);
        }
    }

    fn marks(&mut self) {
        let thin = Stroke::solid(widths::THIN);
        for mark in &self.plan.marks {
            let at = self.at(mark.at);
            self.canvas
                .circle(Layer::Marks, at, MARK_RADIUS, Some(Tone::WHITE), Some(thin));
            self.canvas.line(
                Layer::Marks,
                at + (-MARK_REACH, 0.0),
                at + (MARK_REACH, 0.0),
                thin,
            );
            self.canvas.line(
                Layer::Marks,
                at + (0.0, -MARK_REACH),
                at + (0.0, MARK_REACH),
                thin,
            );
            let space = Rect::from_center_size(at, (2.0 * MARK_REACH, 2.0 * MARK_REACH));
            self.bounds = self.bounds.union(space);
            self.room.block(space);
        }
    }

    fn centreline(&mut self, layout: Rect) {
        let line = Line::new(
            (0.0, layout.y0 - CENTRELINE_OVERRUN),
            (0.0, layout.y1 + CENTRELINE_OVERRUN),
        );
        self.canvas.line(
            Layer::Vehicle,
            line.p0,
            line.p1,
            Stroke::chain(widths::THIN),
        );
        self.room.line(line, OVER_CENTRELINE);
        self.bounds = self.bounds.union_pt(line.p0).union_pt(line.p1);
    }

    fn clear_floor(&mut self) -> Rect {
        let needed = self.plan.floor.needed;
        let (a, b) = (
            Point::new(needed.x0, needed.y0),
            Point::new(needed.x1, needed.y1),
        );
        let floor = Rect::from_points(self.at(a), self.at(b));
        let dashed = Stroke::dashed(widths::FINE);
        self.canvas.rect(Layer::Vehicle, floor, None, Some(dashed));
        self.room.outline(floor, OVER_FLOOR);
        self.bounds = self.bounds.union(floor);
        floor
    }

    /// Stations along the left, offsets across the end that the marks lie nearer to.
    fn chains(&mut self, layout: Rect, floor: Option<Rect>) {
        if self.plan.marks.is_empty() {
            return;
        }
        let stations = self.stops(Side::Left, layout);
        self.chain_with_overall(Side::Left, &stations, layout, floor);
        let reach = |line: f64, of: fn(&Mark) -> f64| -> f64 {
            self.plan
                .marks
                .iter()
                .map(|mark| (line - of(mark)).abs())
                .sum()
        };
        let (front, rear) = (self.plan.vehicle.front_x, self.plan.vehicle.rear_x);
        let side = if reach(front, |m| m.at.x) <= reach(rear, |m| m.at.x) {
            Side::Above
        } else {
            Side::Below
        };
        let offsets = self.stops(side, layout);
        self.chain_with_overall(side, &offsets, layout, floor);
    }

    /// The chain of all steps and, where there are several, the overall length beyond it.
    fn chain_with_overall(
        &mut self,
        side: Side,
        stops: &[(f64, Stop)],
        layout: Rect,
        floor: Option<Rect>,
    ) {
        let mut stops = stops.to_vec();
        let mut chain = self.chain(side, &stops);
        while !chain.has_room() && stops.len() > 2 {
            drop_crowded(&mut stops);
            chain = self.chain(side, &stops);
        }
        if stops.len() < 2 {
            return;
        }
        let near = match side {
            Side::Left => layout.x0 - CHAIN_GAP,
            Side::Above => layout.y1 + CENTRELINE_OVERRUN,
            Side::Below => layout.y0 - CENTRELINE_OVERRUN,
        };
        let mut trial = Drawing::new("", 0.0, 0.0);
        let outer = self.draw_pair(&mut trial, side, &stops, near).outer;
        let start = floor.map_or(near, |floor| past_floor(side, near, outer, floor));
        let mut canvas = std::mem::replace(&mut self.canvas, Drawing::new("", 0.0, 0.0));
        let taken = self.draw_pair(&mut canvas, side, &stops, start);
        self.canvas = canvas;
        self.bounds = taken.boxes.iter().fold(self.bounds, |r, b| r.union(*b));
        for line in &taken.lines {
            self.bounds = self.bounds.union_pt(line.p0).union_pt(line.p1);
        }
        for space in taken.boxes {
            self.room.block(space);
        }
        for line in taken.lines {
            self.room.line(line, FORBIDDEN);
        }
    }

    fn draw_pair(
        &self,
        canvas: &mut Drawing,
        side: Side,
        stops: &[(f64, Stop)],
        near: f64,
    ) -> Taken {
        let outward = if side == Side::Above { 1.0 } else { -1.0 };
        let chain = self.chain(side, stops);
        let line = near + outward * (chain.reach_inward() + 0.8);
        let mut taken = chain.draw(canvas, line);
        if let ([first, .., last], true) = (stops, stops.len() > 2) {
            let mut ends = [*first, *last];
            for (_, stop) in &mut ends {
                stop.from = line;
            }
            let overall = self.chain(side, &ends);
            let line = taken.outer + outward * (overall.reach_inward() + 1.0);
            let more = overall.draw(canvas, line);
            taken.boxes.extend(more.boxes);
            taken.lines.extend(more.lines);
            taken.outer = more.outer;
        }
        taken
    }

    fn chain(&self, side: Side, stops: &[(f64, Stop)]) -> Chain {
        let numbers = stops
            .windows(2)
            .map(|pair| {
                let length = (pair[1].0 - pair[0].0).abs();
                self.length(length)
            })
            .collect();
        Chain {
            side,
            stops: stops.iter().map(|(_, stop)| *stop).collect(),
            numbers,
        }
    }

    fn length(&self, mm: f64) -> String {
        if self.inches {
            inch_text(mm)
        } else {
            mm_text(mm)
        }
    }

    /// Distinct stations (or offsets) of the marks with their stops, in rising order on paper.
    fn stops(&self, side: Side, layout: Rect) -> Vec<(f64, Stop)> {
        let clear = MARK_REACH + 0.7;
        let mut all: Vec<(f64, Stop)> = self
            .plan
            .marks
            .iter()
            .map(|mark| {
                let at = self.at(mark.at);
                // An offset on the centreline starts beyond it, so that the two lines do not run together.
                let central = at.x.abs() < self.scale.on_paper(SAME_STOP_MM);
                match side {
                    Side::Left => (
                        mark.at.x,
                        Stop {
                            along: at.y,
                            from: at.x - clear,
                        },
                    ),
                    Side::Above if central => (
                        -mark.at.y,
                        Stop {
                            along: at.x,
                            from: layout.y1 + CENTRELINE_OVERRUN,
                        },
                    ),
                    Side::Above => (
                        -mark.at.y,
                        Stop {
                            along: at.x,
                            from: at.y + clear,
                        },
                    ),
                    Side::Below if central => (
                        -mark.at.y,
                        Stop {
                            along: at.x,
                            from: layout.y0 - CENTRELINE_OVERRUN,
                        },
                    ),
                    Side::Below => (
                        -mark.at.y,
                        Stop {
                            along: at.x,
                            from: at.y - clear,
                        },
                    ),
                }
            })
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut stops: Vec<(f64, Stop)> = Vec::new();
        for (place, stop) in all {
            match stops.last_mut() {
                Some((known, kept)) if place - *known < SAME_STOP_MM => {
                    kept.from = if side == Side::Above {
                        kept.from.max(stop.from)
                    } else {
                        kept.from.min(stop.from)
                    };
                }
                _ => stops.push((place, stop)),
            }
        }
        stops
    }

    fn names(&mut self) {
        let [a, b] = self.plan.tape_base;
        self.room.bound_sides(self.bounds, OUT_OF_BOUNDS);
        // The base marks stand on the centreline, where a name finds a place the hardest, so they choose first.
        let mut order: Vec<usize> = (0..self.plan.marks.len()).collect();
        order.sort_by_key(|index| *index != a && *index != b);
        for index in order {
            let mark = &self.plan.marks[index];
            // Where marks crowd so that no place is left, the table alone names them.
            self.name(self.at(mark.at), &mark.id);
        }
    }

    /// Writes a name beside what it names; false where no place is left.
    ///
    /// In smaller lettering rather than across an edge, and across an edge rather than not at all.
    fn name(&mut self, at: Point, name: &str) -> bool {
        let sizes = [heights::TEXT, heights::CROWDED, heights::SMALL];
        let clear = sizes.map(|height| (height, OVER_EDGE));
        let crossing = sizes.map(|height| (height, FORBIDDEN));
        let found = clear
            .into_iter()
            .chain(crossing)
            .find_map(|(height, most)| {
                let size = Size::new(text_width(name, height, Weight::Bold), height);
                let wish = NameWish {
                    most,
                    ..NameWish::new(at, size)
                };
                Some((height, self.room.name(wish)?))
            });
        let Some((height, Named { space, leader })) = found else {
            return false;
        };
        if let Some(Line { p0, p1 }) = leader {
            self.canvas
                .line(Layer::Labels, p0, p1, Stroke::solid(widths::FINE));
            self.bounds = self.bounds.union_pt(p0).union_pt(p1);
        }
        self.canvas
            .text(Text::new((space.x0, space.y0), height, name).bold());
        self.bounds = self.bounds.union(space);
        true
    }

    /// The wheel marks that the check list uses, as dots at the tyres' outer faces with their names.
    fn wheel_names(&mut self) {
        let of_wheels = |lay: &&Lay| matches!(lay.from, LayEnd::Wheel(_));
        let Some(lay) = self
            .plan
            .lays
            .iter()
            .find(of_wheels)
            .filter(|_| self.plan.marks.len() <= MOST_BESIDE_WHEELS)
        else {
            return;
        };
        let letter = lay
            .letter
            .map_or_else(String::new, |letter| format!("{letter}:"));
        for (name, at) in wheel_marks(&self.plan.vehicle) {
            let at = self.at(at);
            self.canvas
                .circle(Layer::Marks, at, WHEEL_MARK_RADIUS, Some(Tone::BLACK), None);
            // Just within the tyre, which the leader may then cross.
            let within = at + Vec2::new((-at.x).signum() * TOUCH, 0.0);
            let name = format!("{letter}{name}");
            self.name(within, &name);
        }
    }

    /// What may be left out: which end is the front, and what the dashed rectangle is.
    fn remarks(&mut self, floor: Option<Rect>) {
        let vehicle = &self.plan.vehicle;
        let nose = self.at(Point::new(vehicle.front_x, 0.0));
        let half = self.scale.on_paper(vehicle.half_width);
        let front = "↑ front";
        let places = [
            (0.5, 6.0),
            (-0.5, 6.0),
            (0.5, 9.0),
            (-0.5, 9.0),
            (0.5, 12.0),
            (-0.5, 12.0),
            (0.5, 20.0),
        ];
        let places = places.map(|(across, behind)| nose + (across * half, -behind));
        if !self.remark(front, &places, true) {
            // Above everything, where nothing can lie.
            let above = Point::new(0.0, self.bounds.y1 + CHAIN_GAP);
            self.remark(front, &[above], true);
        }
        if let Some(floor) = floor {
            let text = format!(
                "clear floor {} × {}",
                self.length(self.plan.floor.needed.width()),
                self.length(self.plan.floor.needed.height())
            );
            let half = text_width(&text, heights::TEXT, Weight::Regular) / 2.0;
            let xs = [floor.x0 + half + 1.5, floor.x1 - half - 1.5];
            let ys = [
                floor.y0 + 1.4,
                floor.y0 - 3.9,
                floor.y1 - 3.9,
                floor.y1 + 1.4,
            ];
            let places: Vec<Point> = ys
                .iter()
                .flat_map(|&y| xs.iter().map(move |&x| Point::new(x, y)))
                .collect();
            self.remark(&text, &places, false);
        }
    }

    /// Writes text at the first of the places (middles of the baseline) where nothing lies; false where there is none.
    fn remark(&mut self, text: &str, places: &[Point], bold: bool) -> bool {
        let weight = if bold { Weight::Bold } else { Weight::Regular };
        let half = text_width(text, heights::TEXT, weight) / 2.0;
        let space = |at: Point| Rect::new(at.x - half, at.y, at.x + half, at.y + heights::TEXT);
        let clear = places.iter().find(|at| self.room.is_clear(space(**at)));
        let Some((at, space)) = clear.map(|&at| (at, space(at))) else {
            return false;
        };
        let text = Text::new(at, heights::TEXT, text).centred();
        self.canvas.text(if bold { text.bold() } else { text });
        self.room.block(space);
        self.bounds = self.bounds.union(space);
        true
    }
}

/// Where chains begin when the clear floor is drawn: within it when they have room there, else
/// beyond it.
fn past_floor(side: Side, near: f64, outer: f64, floor: Rect) -> f64 {
    match side {
        Side::Left if outer - 1.0 < floor.x0 => near.min(floor.x0 - 1.0),
        Side::Above if outer + 1.0 > floor.y1 => near.max(floor.y1 + 1.0),
        Side::Below if outer - 1.0 < floor.y0 => near.min(floor.y0 - 1.0),
        _ => near,
    }
}

/// Drops the inner stop that stands closest to its neighbours.
fn drop_crowded(stops: &mut Vec<(f64, Stop)>) {
    let room = |index: usize| stops[index + 1].0 - stops[index - 1].0;
    let inner = 1..stops.len() - 1;
    if let Some(index) = inner.min_by(|&a, &b| room(a).total_cmp(&room(b))) {
        stops.remove(index);
    }
}
