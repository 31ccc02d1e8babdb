//! The layout to scale with every displacement enlarged.

use kurbo::{Ellipse, Line, Point, Rect, Shape, Size, Vec2};

use super::{
    enlarge::{enlargement, example},
    input::RecordInput,
    symbols::Standing,
};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    page::{
        Fragment, HEADING_GAP, Scale, heading,
        labels::{FORBIDDEN, NameWish, Named, Room},
        paragraph,
    },
    plan::FloorPlan,
    sheets::shared::{VehicleArt, draw_bands, draw_panels, draw_vehicle},
    survey::{Covariance, MarkFinding},
    words::printed::record::{DASHED, SIGNS, meaning_of_lines},
};

/// What stands above the picture.
pub(super) const HEADING: &str = "Design and measured";
/// Half the size of a mark's sign on paper, mm, and reach of the cross in it.
const SIGN: f64 = 0.9;
const REACH: f64 = 1.5;
/// A displacement that comes out shorter than this, mm, would be hidden by the mark's sign and is left out.
const SHORTEST_ARROW: f64 = 1.2;
/// Length of an arrow's head, mm, and half its width.
const HEAD: f64 = 1.6;
const HEAD_HALF: f64 = 0.6;
/// An ellipse that comes out longer than this from its middle, mm, tells nothing but that little is known.
const LONGEST_ELLIPSE: f64 = 18.0;
/// Costs of running a name over what is drawn: the vehicle's and strips' edges, and circles and ellipses.
const OVER_EDGE: u64 = 800;
const OVER_CIRCLE: u64 = 300;
/// Cost of a name that widens the picture.
const OUT_OF_BOUNDS: u64 = 140;
/// How far the centreline runs on past everything on it, mm on paper.
const CENTRELINE_OVERRUN: f64 = 3.0;
/// Lettering of what lines and signs mean, mm.
const LEGEND: f64 = 2.0;
/// Curve accuracy on paper, mm.
const ACCURACY: f64 = 0.01;

/// The picture at one scale, and what its lines and signs mean.
#[derive(Clone, Debug)]
pub struct Picture {
    /// The picture below its heading.
    pub view: Fragment,
    meanings: Vec<String>,
}

impl Picture {
    /// What lines and signs mean, `width` mm wide.
    #[must_use]
    pub fn legend(&self, width: f64) -> Fragment {
        let mut piece = Fragment::new(width);
        for text in &self.meanings {
            piece.stack(&paragraph(text, width, LEGEND), HEADING_GAP);
        }
        piece
    }
}

/// Draws the picture at a scale, at least `least` mm wide with its heading.
#[must_use]
pub fn picture(
    plan: &FloorPlan,
    input: &RecordInput<'_>,
    tied: bool,
    scale: Scale,
    least: f64,
) -> Picture {
    View::drawn(plan, input, tied, scale).framed(tied, least)
}

/// Draws the picture at a scale, without its heading.
#[must_use]
pub fn bare_picture(
    plan: &FloorPlan,
    input: &RecordInput<'_>,
    tied: bool,
    scale: Scale,
) -> Picture {
    let view = View::drawn(plan, input, tied, scale);
    Picture {
        view: view.piece(),
        meanings: view.meanings(tied),
    }
}

/// A mark in the picture.
struct Spot<'a> {
    mark: &'a MarkFinding,
    standing: Standing,
    /// Designed place on paper.
    at: Point,
    /// Displacement on the floor, as paper has its axes: right and up, mm.
    off: Option<Vec2>,
    covariance: Covariance,
}

struct View<'a> {
    plan: &'a FloorPlan,
    input: &'a RecordInput<'a>,
    scale: Scale,
    /// Paper mm for a mm of displacement.
    factor: f64,
    spots: Vec<Spot<'a>>,
    canvas: Drawing,
    bounds: Rect,
    room: Room,
}

fn spots<'a>(input: &RecordInput<'a>, tied: bool, scale: Scale) -> Vec<Spot<'a>> {
    let spot = |mark: &'a MarkFinding| {
        let at = scale.front_up(mark.design?);
        let (off, covariance) = if tied {
            (mark.to_datum, mark.covariance)
        } else {
            (mark.moved, mark.moved_covariance)
        };
        let off = off.map(|off| Vec2::new(-off.y, off.x));
        Some(Spot {
            mark,
            standing: Standing::of(mark),
            at,
            off,
            covariance,
        })
    };
    input.assessment.marks.iter().filter_map(spot).collect()
}

fn factor(spots: &[Spot<'_>]) -> f64 {
    let longest = spots
        .iter()
        .filter_map(|spot| spot.off)
        .map(Vec2::hypot)
        .fold(0.0, f64::max);
    let widest = spots
        .iter()
        .filter_map(|spot| spot.mark.tolerance)
        .fold(0.0, f64::max);
    let mut nearest: Vec<f64> = spots
        .iter()
        .enumerate()
        .map(|(index, spot)| {
            let others = spots
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != index);
            others
                .map(|(_, other)| other.at.distance(spot.at))
                .fold(f64::INFINITY, f64::min)
        })
        .collect();
    nearest.sort_by(f64::total_cmp);
    let usual = nearest
        .get(nearest.len() / 2)
        .copied()
        .unwrap_or(f64::INFINITY);
    enlargement(longest, widest, usual)
}

impl<'a> View<'a> {
    /// Everything drawn at a scale.
    fn drawn(plan: &'a FloorPlan, input: &'a RecordInput<'a>, tied: bool, scale: Scale) -> Self {
        let vehicle = &plan.vehicle;
        let [left, right] = [
            vehicle.half_width_over_mirrors,
            -vehicle.half_width_over_mirrors,
        ];
        let corners = [
            Point::new(vehicle.rear_x, left),
            Point::new(vehicle.front_x, right),
        ]
        .map(|p| scale.front_up(p));
        let spots = spots(input, tied, scale);
        let mut view = Self {
            plan,
            input,
            scale,
            factor: factor(&spots),
            spots,
            canvas: Drawing::new("", 0.0, 0.0),
            bounds: Rect::from_points(corners[0], corners[1]),
            room: Room::default(),
        };
        view.ground();
        view.suspects();
        view.circles();
        view.arrows();
        view.signs();
        view.names();
        view
    }

    /// Panels, strips, vehicle and centreline: what the marks belong to.
    fn ground(&mut self) {
        for corners in draw_panels(&mut self.canvas, self.plan, self.scale, Tone::BAND) {
            self.bounds = corners.iter().fold(self.bounds, |r, &p| r.union_pt(p));
        }
        for corners in draw_bands(&mut self.canvas, self.plan, self.scale) {
            self.bounds = corners.iter().fold(self.bounds, |r, &p| r.union_pt(p));
            self.room.polygon(&corners, OVER_EDGE);
        }
        let VehicleArt {
            body,
            mirrors,
            tyres,
        } = draw_vehicle(&mut self.canvas, &self.plan.vehicle, self.scale);
        self.room.outline(body, OVER_EDGE);
        for part in mirrors.into_iter().chain(tyres) {
            self.room.block(part);
        }
        self.bounds = self
            .spots
            .iter()
            .fold(self.bounds, |r, spot| r.union_pt(spot.at));
        let (low, high) = (
            self.bounds.y0 - CENTRELINE_OVERRUN,
            self.bounds.y1 + CENTRELINE_OVERRUN,
        );
        let line = Line::new((0.0, low), (0.0, high));
        self.canvas.line(
            Layer::Vehicle,
            line.p0,
            line.p1,
            Stroke::chain(widths::FINE),
        );
        self.room.line(line, OVER_EDGE);
        self.bounds = self.bounds.union_pt(line.p0).union_pt(line.p1);
        self.front(body);
    }

    /// Which end is the front, where the body is wide enough for the word beside the centreline.
    fn front(&mut self, body: Rect) {
        let text = Text::new((1.2, body.y1 - 4.0), heights::SMALL, "front").bold();
        let space = Rect::new(
            text.at.x,
            text.at.y - 0.6,
            text.at.x + text.width(),
            text.at.y + heights::SMALL,
        );
        if space.x1 + 1.0 < body.x1 {
            self.canvas.text(text);
            self.room.block(space);
        }
    }

    /// Lines whose readings contradict the others.
    fn suspects(&mut self) {
        let place = |name: &str| {
            self.spots
                .iter()
                .find(|spot| spot.mark.id == name)
                .map(|spot| spot.at)
        };
        let suspects = self.input.readings.iter().filter(|reading| reading.suspect);
        let lines: Vec<Line> = suspects
            .filter_map(|r| Some(Line::new(place(&r.from)?, place(&r.to)?)))
            .collect();
        for line in lines {
            self.canvas
                .line(Layer::Lines, line.p0, line.p1, Stroke::dashed(widths::WIDE));
            self.room.line(line, OVER_EDGE);
        }
    }

    /// Tolerances about the designed places, ellipses about the measured ones.
    fn circles(&mut self) {
        let fine = Stroke::solid(widths::FINE);
        for spot in &self.spots {
            if let Some(tolerance) = spot.mark.tolerance {
                let radius = tolerance * self.factor;
                self.canvas.circle(
                    Layer::Marks,
                    spot.at,
                    radius,
                    None,
                    Some(fine.toned(Tone::QUIET)),
                );
                let space = Rect::from_center_size(spot.at, (2.0 * radius, 2.0 * radius));
                self.bounds = self.bounds.union(space);
                self.room.outline(space.inset(-0.15 * radius), OVER_CIRCLE);
            }
            let Some(off) = spot.off else { continue };
            let ellipse = spot.covariance.ellipse();
            let radii = Vec2::new(ellipse.minor, ellipse.major) * self.factor;
            // Without covariance nothing is known; a very long one would cover the picture.
            if !radii.y.is_finite() || radii.y <= 0.0 || radii.y > LONGEST_ELLIPSE {
                continue;
            }
            // Forward is up and left is left, so that the turn on the floor is the turn on paper.
            let tip = spot.at + off * self.factor;
            let outline = Ellipse::new(tip, radii, ellipse.bearing.to_radians()).to_path(ACCURACY);
            let space = outline.bounding_box();
            self.canvas.path(Layer::Marks, outline, None, Some(fine));
            self.bounds = self.bounds.union(space);
            self.room.outline(space, OVER_CIRCLE);
        }
    }

    /// From where each mark should be to where it lies: a filled head for an outside one, an open one else.
    fn arrows(&mut self) {
        for spot in &self.spots {
            let Some(off) = spot.off.map(|off| off * self.factor) else {
                continue;
            };
            let length = off.hypot();
            let tip = spot.at + off;
            self.bounds = self.bounds.union_pt(tip);
            if length < SHORTEST_ARROW {
                continue;
            }
            let outside = spot.standing == Standing::Outside;
            let stroke = Stroke::solid(if outside { widths::WIDE } else { widths::THIN });
            let along = off / length;
            let across = Vec2::new(-along.y, along.x) * HEAD_HALF;
            let neck = tip - along * HEAD;
            if outside {
                self.canvas.line(Layer::Marks, spot.at, neck, stroke);
                self.canvas.polygon(
                    Layer::Marks,
                    &[tip, neck + across, neck - across],
                    Some(Tone::BLACK),
                    None,
                );
            } else {
                self.canvas.line(Layer::Marks, spot.at, tip, stroke);
                self.canvas
                    .polyline(Layer::Marks, &[neck + across, tip, neck - across], stroke);
            }
            self.room.line(Line::new(spot.at, tip), FORBIDDEN);
        }
    }

    /// The marks at their designed places: a ring for inside, a square for undecided, a disc for outside, a
    /// bare cross for what is not fixed or not judged.
    fn signs(&mut self) {
        let thin = Stroke::solid(widths::THIN);
        for spot in &self.spots {
            let (at, space) = (
                spot.at,
                Rect::from_center_size(spot.at, (2.0 * SIGN, 2.0 * SIGN)),
            );
            match spot.standing {
                Standing::Outside => {
                    self.canvas
                        .circle(Layer::Marks, at, SIGN * 1.2, Some(Tone::BLACK), Some(thin))
                }
                Standing::Undecided => {
                    self.canvas
                        .rect(Layer::Marks, space, Some(Tone::WHITE), Some(thin))
                }
                Standing::Inside => {
                    self.canvas
                        .circle(Layer::Marks, at, SIGN, Some(Tone::WHITE), Some(thin))
                }
                Standing::Loose | Standing::Unjudged => {
                    for diagonal in
                        [Vec2::new(REACH, REACH), Vec2::new(REACH, -REACH)].map(|d| d * 0.8)
                    {
                        self.canvas
                            .line(Layer::Marks, at - diagonal, at + diagonal, thin);
                    }
                }
            }
            let reach = Rect::from_center_size(at, (2.0 * REACH, 2.0 * REACH));
            self.bounds = self.bounds.union(reach);
            self.room.block(reach);
        }
    }

    fn names(&mut self) {
        self.room.bound_sides(self.bounds, OUT_OF_BOUNDS);
        let mut order: Vec<usize> = (0..self.spots.len()).collect();
        // What matters most chooses its place first.
        order.sort_by_key(|&index| std::cmp::Reverse(self.spots[index].standing));
        for index in order {
            let spot = &self.spots[index];
            let name = match spot.standing {
                Standing::Inside | Standing::Unjudged => spot.mark.id.clone(),
                // The table has the word; where all are undecided, it would crowd the picture.
                Standing::Undecided => format!("{} ?", spot.mark.id),
                standing => format!("{} {}", spot.mark.id, standing.word()),
            };
            let weight = if spot.standing == Standing::Inside {
                Weight::Regular
            } else {
                Weight::Bold
            };
            let height = if spot.standing == Standing::Inside {
                2.2
            } else {
                heights::TEXT
            };
            let size = Size::new(text_width(&name, height, weight), height);
            // Where marks crowd so that no place is left, the table alone names them.
            let Some(Named { space, leader }) = self.room.name(NameWish::new(spot.at, size)) else {
                continue;
            };
            if let Some(Line { p0, p1 }) = leader {
                self.canvas
                    .line(Layer::Labels, p0, p1, Stroke::solid(widths::FINE));
                self.bounds = self.bounds.union_pt(p0).union_pt(p1);
            }
            self.canvas.text(Text {
                weight,
                ..Text::new((space.x0, space.y0), height, name)
            });
            self.bounds = self.bounds.union(space);
        }
    }

    fn piece(&self) -> Fragment {
        // Descenders and the halves of strokes stand out of what was counted.
        Fragment::around(&self.canvas, self.bounds.inflate(0.3, 0.8))
    }

    /// The picture below its heading.
    fn framed(self, tied: bool, least: f64) -> Picture {
        let view = self.piece();
        let width = view.width.max(least);
        let mut piece = heading(HEADING, &self.scale.text(), width);
        let mut middle = Fragment::new(width);
        middle.height = view.height;
        view.place(middle.canvas(), (width - view.width) / 2.0, 0.0);
        piece.stack(&middle, HEADING_GAP);
        Picture {
            view: piece,
            meanings: self.meanings(tied),
        }
    }

    fn meanings(&self, tied: bool) -> Vec<String> {
        let meanings = [self.meaning_of_lines(tied), self.meaning_of_signs()];
        meanings
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect()
    }

    fn meaning_of_lines(&self, tied: bool) -> String {
        meaning_of_lines(tied.then_some(self.input.against), example(self.factor))
    }

    fn meaning_of_signs(&self) -> String {
        let signs = [
            Standing::Inside,
            Standing::Undecided,
            Standing::Outside,
            Standing::Loose,
        ];
        let used = signs.into_iter().zip(SIGNS);
        let used = used.filter(|(of, _)| self.spots.iter().any(|spot| spot.standing == *of));
        let mut signs: Vec<&str> = used.map(|(_, words)| words).collect();
        if self.input.readings.iter().any(|reading| reading.suspect) {
            signs.push(DASHED);
        }
        signs.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Affine;

    use super::*;

    #[test]
    fn an_ellipse_leans_on_paper_as_it_does_on_the_floor() {
        // Longer axis 30° counter-clockwise from forward: on paper from up towards left.
        let radii = Vec2::new(1.0, 5.0);
        let outline = Ellipse::new(Point::ZERO, radii, 30.0_f64.to_radians()).to_path(ACCURACY);
        let end = Affine::rotate(30.0_f64.to_radians()) * Point::new(0.0, 5.0);
        let forward_left =
            Vec2::new(30.0_f64.to_radians().cos(), 30.0_f64.to_radians().sin()) * 5.0;
        assert!((end - Point::new(-forward_left.y, forward_left.x)).hypot() < 1e-9);
        assert!((outline.bounding_box().y1 - (5.0_f64 * 0.75_f64.sqrt()).hypot(0.5)).abs() < 0.02);
    }
}
