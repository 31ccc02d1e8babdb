//! A full-scale sheet of the layout.

mod coordinate_tick;
mod frame;
mod knife;
mod lettering;
mod strip;
#[cfg(test)]
mod tests;
mod ticks;

use kurbo::{Line, Point, Rect, Vec2};

use self::frame::Frame;
use crate::{
    cover::{Edge, RegistrationMark, SheetPlan},
    drawing::{Drawing, Layer, Stroke, Tone, Weight, heights, widths},
    page::{
        Block,
        clip::strokes,
        labels::{Footprint, Ground, Room, Wish},
    },
    sheets::shared::{Context, FloorArt, MarkArt, OwnArt, PageNumber, SheetArt, called, to_sheet},
    units::{inch_text, mm_exact},
    words::{floor_place, printed::labels},
};

/// Length in mm of each arm of a registration mark.
const REGISTRATION_ARM_MM: f64 = 4.0;

/// Radius in mm of a registration mark's circle.
const REGISTRATION_RADIUS_MM: f64 = 2.0;

/// How far, in mm, a registration mark's name may stand from the mark's centre; the second where
/// the first leaves no room.
const REGISTRATION_NAME_REACH_MM: [f64; 2] = [18.0, 32.0];

/// What a registration mark's name costs with its place in one line or in two, then without it, in two heights: that only where
/// there is no other room.
const NAME_PENALTIES: [u64; 4] = [0, 20, 0, 150];

/// Distance in mm that lettering keeps from the strokes of marks and seams.
const STROKE_CLEARANCE_MM: f64 = 0.5;

/// Prices of a square millimetre of ground for lettering. A line through lettering is what hurts
/// legibility; a pale band under it hardly does, a dark field a little more. Only their ratio
/// matters; a millimetre away from the wished place costs from 2 to 10.
mod price {
    /// Edges and middles of tape strips, edges of fields.
    pub const LINE: u32 = 60;
    /// A band's pale fill.
    pub const BAND: u32 = 1;
    /// A dark field.
    pub const DARK: u32 = 3;
    /// What is cut out: lettering there falls away with it.
    pub const WASTE: u32 = 6;
    /// A mark's cross: lettering never covers it, and the check square's sides only at need.
    pub const MARK: u32 = 1500;
}

/// One sheet being drawn.
pub(super) struct Tile<'a> {
    pub context: &'a Context<'a>,
    pub sheets: &'a SheetPlan,
    pub index: usize,
    pub frame: Frame,
    pub art: SheetArt,
    pub drawing: Drawing,
    pub room: Room,
}

/// Draws sheet `index` of `sheets` at full scale; `art` is prepared once for all sheets.
///
/// The page has exactly the size of the paper, nothing lies outside the printable part of it, and
/// the printer's correction is in it: everything is composed in true mm and mapped at the end.
#[must_use]
pub fn tile(
    context: &Context,
    art: &FloorArt,
    sheets: &SheetPlan,
    index: usize,
    page: PageNumber,
) -> Drawing {
    let sheet = &sheets.sheets[index];
    let frame = Frame::of(sheets, index);
    let art = art.on_sheet(sheet);
    let mut room = Room::over(&ground(&frame, &art));
    for line in drawn_lines(&art) {
        room.guard_line(line);
    }
    let what = sheets.roll.map_or("Sheet", |_| "Strip");
    let here = art.marks.iter().filter(|mark| mark.centred_here);
    let marks: Vec<&str> = here
        .map(|mark| context.plan.marks[mark.index].id.as_str())
        .collect();
    let title = called(what, &sheet.label, &marks);
    let mut drawing = Drawing::new(title, sheet.paper.width, sheet.paper.height);
    drawing.number.clone_from(&sheet.label);
    drawing.targets.push(to_sheet(&sheet.label));
    let mut tile = Tile {
        context,
        sheets,
        index,
        frame,
        art,
        drawing,
        room,
    };
    tile.art.draw(&mut tile.drawing);
    tile.marks();
    tile.registration();
    tile.seams();
    match sheets.roll {
        Some(_) => strip::add(&mut tile, page),
        None => lettering::add(&mut tile, page),
    }
    if let Some(cuts) = &tile.art.cuts {
        cuts.draw(&mut tile.drawing);
    }
    if let Some(knife) = &tile.art.knife {
        knife.draw(&mut tile.drawing);
    }
    tile.drawing.mapped(sheets.format.to_page())
}

fn ground(frame: &Frame, art: &SheetArt) -> Ground {
    let mut ground = Ground::new(frame.window);
    for line in drawn_lines(art) {
        ground.line(line, price::LINE);
    }
    for &arm in art.marks.iter().flat_map(|mark| &mark.arms) {
        ground.line(arm, price::MARK);
    }
    ground.area(&art.bands, price::BAND);
    ground.area(&art.dark_fields, price::DARK);
    if let Some(knife) = &art.knife {
        ground.area(&knife.waste, price::WASTE);
    }
    ground
}

/// Edges and middles of strips, edges of fields, knife lines: figures may cross them, lettering may not.
fn drawn_lines(art: &SheetArt) -> impl Iterator<Item = Line> {
    let shared = [&art.band_edges, &art.centre_lines, &art.field_edges];
    let shared = shared.into_iter().flatten().copied();
    let knife = art
        .knife
        .iter()
        .flat_map(|knife| knife.edges.iter().copied());
    shared
        .chain(knife)
        .chain(art.own.iter().flat_map(OwnArt::lines))
}

impl Tile<'_> {
    fn marks(&mut self) {
        for MarkArt {
            at,
            arms,
            hole_radius,
            ..
        } in &self.art.marks
        {
            for arm in arms {
                self.room.guard(around(*arm));
            }
            let hole = hole_radius + STROKE_CLEARANCE_MM;
            self.room
                .guard(Rect::from_center_size(*at, (2.0 * hole, 2.0 * hole)));
        }
    }

    /// Registration marks.
    fn registration(&mut self) {
        let stroke = Stroke::solid(widths::THIN);
        for (at, _) in self.registration_marks() {
            let reach = Vec2::new(REGISTRATION_ARM_MM, REGISTRATION_ARM_MM);
            let extent = Rect::from_points(at - reach, at + reach).intersect(self.frame.window);
            let arms = [
                Line::new((extent.x0, at.y), (extent.x1, at.y)),
                Line::new((at.x, extent.y0), (at.x, extent.y1)),
            ];
            self.drawing
                .path(Layer::Registration, strokes(&arms), None, Some(stroke));
            let circle = Rect::from_center_size(
                at,
                (2.0 * REGISTRATION_RADIUS_MM, 2.0 * REGISTRATION_RADIUS_MM),
            );
            if self.frame.window.contains_rect(circle) {
                self.drawing.circle(
                    Layer::Registration,
                    at,
                    REGISTRATION_RADIUS_MM,
                    None,
                    Some(stroke),
                );
            }
            self.room.block(extent.inset(STROKE_CLEARANCE_MM));
        }
    }

    /// The registration marks of this sheet with their places on the page.
    fn registration_marks(&self) -> Vec<(Point, RegistrationMark)> {
        let sheet = &self.sheets.sheets[self.index];
        let marks = sheet
            .registration
            .iter()
            .map(|&index| &self.sheets.registration[index]);
        marks
            .map(|mark| (sheet.floor_to_page * mark.at, mark.clone()))
            .collect()
    }

    /// Their names with their floor coordinates, on the side of the seam that stays visible.
    pub(super) fn registration_names(&mut self) {
        for (at, mark) in self.registration_marks() {
            self.registration_name(at, &mark);
        }
    }

    fn registration_name(&mut self, at: Point, mark: &RegistrationMark) {
        let place = floor_place(mark.at, |mm| {
            if self.context.inches {
                format!("{} in", inch_text(mm))
            } else {
                mm_exact(mm, 1)
            }
        });
        let line = |text: String| (text, heights::TEXT, Weight::Regular);
        let id = line(mark.id.clone());
        let [along, across] = place.clone().map(line);
        let lines = [
            vec![id.clone(), line(place.join(", "))],
            vec![id.clone(), along, across],
            vec![id],
            vec![(mark.id.clone(), heights::SMALL, Weight::Regular)],
        ];
        let blocks = lines
            .iter()
            .map(|lines| Block::new(lines))
            .zip(NAME_PENALTIES)
            .collect::<Vec<_>>();
        let (placed, bare) = blocks.split_at(2);
        for blocks in [placed, bare] {
            let found = self.here_or_below(|tile, page| {
                REGISTRATION_NAME_REACH_MM.into_iter().find_map(|reach| {
                    let around = Rect::from_center_size(at, (2.0 * reach, 2.0 * reach));
                    let wish = Wish {
                        within: page.intersect(around),
                        near: at,
                        pull: 10.0,
                    };
                    tile.put(blocks, wish, Layer::Registration, Some(1))
                })
            });
            if found.is_some() {
                return;
            }
        }
    }

    /// Trim lines where this sheet is cut, and lines to lay other sheets' cut edges to.
    fn seams(&mut self) {
        for (edge, line) in self.frame.cuts.clone() {
            self.drawing.line(
                Layer::Registration,
                line.p0,
                line.p1,
                Stroke::dashed(widths::THIN),
            );
            self.room.guard(around(line));
            let joined = self
                .frame
                .seams
                .iter()
                .any(|seam| seam.over && seam.edge == edge);
            self.beyond_seam(
                edge,
                line,
                if joined {
                    labels::TRIM
                } else {
                    labels::TRIM_ALONE
                },
            );
        }
        let depth = self.sheets.format.cut_depth();
        for seam in self
            .frame
            .seams
            .clone()
            .into_iter()
            .filter(|seam| !seam.over)
        {
            let along = Rect::from_points(seam.line.p0, seam.line.p1);
            let reach = if seam.edge.is_upright() {
                (0.0, depth)
            } else {
                (depth, 0.0)
            };
            let line = along.inset(reach).intersect(self.frame.window);
            let line = Line::new(line.origin(), (line.x1, line.y1));
            let stroke = Stroke::solid(widths::FINE).toned(Tone::QUIET);
            self.drawing
                .line(Layer::Registration, line.p0, line.p1, stroke);
            self.room.guard(around(line));
            let words = labels::lay_edge_here(&self.sheets.sheets[seam.other].label);
            self.beyond_seam(seam.edge, line, &words);
        }
        for hidden in &self.frame.hidden {
            self.room.veil(*hidden);
        }
    }

    fn beyond_seam(&mut self, edge: Edge, line: Line, words: &str) {
        let strip = self.frame.beyond(edge, line);
        let block = Block::line(words, heights::TEXT);
        let turned = edge.is_upright();
        // Off the seam, and off the strips at the corners, where other seams run.
        let inner = self.frame.inner;
        let within = if turned {
            Rect {
                y0: strip.y0.max(inner.y0),
                y1: strip.y1.min(inner.y1),
                ..strip
            }
            .inset((-STROKE_CLEARANCE_MM, 0.0))
        } else {
            Rect {
                x0: strip.x0.max(inner.x0),
                x1: strip.x1.min(inner.x1),
                ..strip
            }
            .inset((0.0, -STROKE_CLEARANCE_MM))
        };
        let wish = Wish {
            within,
            near: line.midpoint(),
            pull: 12.0,
        };
        if let Some(place) = self
            .room
            .place(&[Footprint::solid(block.turned_size(turned), 0)], wish)
        {
            block.draw(&mut self.drawing, Layer::Registration, place.origin, turned);
        }
    }
}

fn around(line: Line) -> Rect {
    Rect::from_points(line.p0, line.p1).inset(STROKE_CLEARANCE_MM)
}
