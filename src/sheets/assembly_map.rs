//! The assembly map: the floor seen from above, front up, with every sheet in its place.

mod pieces;

use kurbo::{Affine, Line, Point, Rect, Size, Vec2};

use self::pieces::{Cell, floor_cells, pieces_of, shows, whole_floor};
use crate::{
    cover::{Mode, SheetPlan},
    drawing::{Drawing, Layer, Stroke, Tone, Weight, heights, widths},
    page::{
        Block,
        clip::{areas, edges, intersection, line_outside, line_within},
        labels::{Footprint, Ground, Part, Room, Wish, crosses},
    },
    paper::Paper,
    plan::{Wheel, corners},
    sheets::shared::{Context, FloorArt, arrow, to_map, to_sheet},
    words::printed::{labels::map_caption, sheet_zero::outline},
};

/// Depth in mm above the map for the arrow to the front.
const ARROW_DEPTH_MM: f64 = 11.0;

/// Depth in mm below the map for its caption.
const CAPTION_DEPTH_MM: f64 = 10.0;

/// Free edge in mm about the floor, for the names of marks at its rim.
const RIM_MM: f64 = 6.0;

/// Gap in mm between the cells of two joined sheets, so that each shows its own outline.
const CELL_GAP_MM: f64 = 0.5;

/// Least side in mm of the area that leads to a sheet: a key's cell is a dot on the map.
const LEAST_PRESSED_MM: f64 = 4.0;

/// Distance in mm between a cell's edge and its label.
const LABEL_GAP_MM: f64 = 0.25;

/// Length in mm of the arms of a mark's cross on the map.
const MARK_ARM_MM: f64 = 1.1;

/// How far, in mm, a mark's name may stand from the mark; beyond the second one a thin line leads there.
const NAME_REACH_MM: f64 = 16.0;
const LEADER_FROM_MM: f64 = 5.5;

/// Clear distance in mm beside a name on a mat's map.
const NAME_GAP_MM: f64 = 0.7;

/// Prices of the ground for names; see `tile` for the idea.
const LINE_PRICE: u32 = 20;

/// Price of a place that is taken when there is no other.
const LAST_RESORT: u64 = 1_000_000;

/// Heights that a sheet's label may have on the map, mm.
const LABEL_HEIGHTS: [f64; 3] = [heights::HEADING, heights::TEXT, heights::SMALL];

/// Most pieces along and across that a map is divided into when its cells are too small to name.
/// Twelve metres of A5 sheets on A5 need three by two.
const MOST_PIECES: usize = 4;

/// Blank edge in mm of the map on a page of its own.
const PICTURE_EDGE_MM: f64 = 8.0;

/// Sizes of that page, as multiples of the paper's sides; the last holds twelve metres of A5 sheets.
const PICTURE_SIZES: [f64; 5] = [1.0, 1.5, 2.0, 3.0, 4.0];

/// A map, or a piece of one, fitted to a part of a page.
pub(super) struct AssemblyMap<'a> {
    context: &'a Context<'a>,
    art: &'a FloorArt,
    area: Rect,
    /// The floor that is shown, mm.
    floor: Rect,
    /// Floor mm to page mm, front up.
    to_page: Affine,
    /// A floor length divided by its length on the map.
    scale: f64,
    /// What is seen of the laid sheets, on the page.
    cells: Vec<Cell<'a>>,
    /// True when the sheets are keys.
    keys: bool,
    /// Which piece this is, from 1, and of how many.
    piece: (usize, usize),
}

/// The map on a page of its own, front up: of the office paper's shape, and as much larger as every label needs.
#[must_use]
pub fn assembly_map(
    context: &Context<'_>,
    art: &FloorArt,
    sheets: &SheetPlan,
    paper: &Paper,
) -> Drawing {
    let map_on = |times: f64| {
        let size = Size::new(paper.width, paper.height) * times;
        let area = Rect::from_origin_size(Point::ZERO, size).inset(-PICTURE_EDGE_MM);
        (size, AssemblyMap::whole(context, art, sheets, area))
    };
    let mut sizes = PICTURE_SIZES.map(map_on).into_iter();
    let largest = map_on(PICTURE_SIZES[PICTURE_SIZES.len() - 1]);
    let (size, map) = sizes.find(|(_, map)| map.is_legible()).unwrap_or(largest);
    let mut drawing = Drawing::new(outline::MAP, size.width, size.height);
    map.draw(&mut drawing);
    drawing
}

impl<'a> AssemblyMap<'a> {
    /// Fits the whole map to `area`, mm on the page; the scale is the largest 1 : whole number.
    pub fn whole(
        context: &'a Context<'a>,
        art: &'a FloorArt,
        sheets: &'a SheetPlan,
        area: Rect,
    ) -> Self {
        let map = Self::new(
            context,
            art,
            &floor_cells(sheets),
            whole_floor(context, art, sheets),
            area,
        );
        Self {
            keys: sheets.mode == Mode::Keys,
            ..map
        }
    }

    /// The map in as few pieces as make every label legible, each of them filling `area`.
    pub fn pieces(
        context: &'a Context<'a>,
        art: &'a FloorArt,
        sheets: &'a SheetPlan,
        area: Rect,
    ) -> Vec<Self> {
        let cells = floor_cells(sheets);
        let floor = whole_floor(context, art, sheets);
        let mut divisions: Vec<(usize, usize)> = (1..=MOST_PIECES)
            .flat_map(|along| (1..=MOST_PIECES).map(move |across| (along, across)))
            .collect();
        divisions.sort_by_key(|(along, across)| (along * across, *across));
        let mut maps = Vec::new();
        for (along, across) in divisions {
            maps = pieces_of(floor, (&cells, &art.marks), along, across)
                .into_iter()
                .map(|(part, cells)| Self::new(context, art, &cells, part, area))
                .collect::<Vec<_>>();
            if maps.iter().all(Self::is_legible) {
                break;
            }
        }
        let of = maps.len();
        for (index, map) in maps.iter_mut().enumerate() {
            map.piece = (index + 1, of);
            map.keys = sheets.mode == Mode::Keys;
        }
        maps
    }

    fn new(
        context: &'a Context<'a>,
        art: &'a FloorArt,
        cells: &[Cell<'a>],
        floor: Rect,
        area: Rect,
    ) -> Self {
        let room = Rect {
            y0: area.y0 + CAPTION_DEPTH_MM,
            y1: area.y1 - ARROW_DEPTH_MM,
            ..area
        }
        .inset(-RIM_MM);
        let scale = (floor.height() / room.width())
            .max(floor.width() / room.height())
            .ceil()
            .max(1.0);
        // Front up: floor x runs up the page, floor y to its left. The map hangs from the top.
        let up = Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]);
        let top_middle = Point::new(floor.x1, floor.center().y);
        let to_page = Affine::translate((room.center().x, room.y1))
            * Affine::scale(1.0 / scale)
            * up
            * Affine::translate(-top_middle.to_vec2());
        let cells = cells
            .iter()
            .map(|cell| Cell {
                area: to_page
                    .transform_rect_bbox(cell.area)
                    .inset(-CELL_GAP_MM / 2.0),
                ..*cell
            })
            .collect();
        Self {
            context,
            art,
            area,
            floor,
            to_page,
            scale,
            cells,
            keys: false,
            piece: (1, 1),
        }
    }

    /// The largest lettering, and whether it is turned, with which every label fits its cell.
    fn label_style(&self) -> Option<(f64, bool)> {
        let fits = |height: f64, turned: bool| {
            self.labelled().all(|cell| {
                let size = Block::line(cell.label, height).turned_size(turned);
                size.width + 2.0 * LABEL_GAP_MM <= cell.area.width()
                    && size.height + 2.0 * LABEL_GAP_MM <= cell.area.height()
            })
        };
        let styles = LABEL_HEIGHTS
            .iter()
            .flat_map(|&height| [(height, false), (height, true)]);
        styles
            .into_iter()
            .find(|&(height, turned)| fits(height, turned))
    }

    fn labelled(&self) -> impl Iterator<Item = &Cell<'a>> {
        self.cells.iter().filter(|cell| !cell.label.is_empty())
    }

    fn shows(&self, at: Point) -> bool {
        shows(self.floor, at)
    }

    /// True when every sheet's label fits its cell.
    pub fn is_legible(&self) -> bool {
        self.label_style().is_some()
    }

    /// Draws the map with its caption and the arrow to the front.
    pub fn draw(&self, drawing: &mut Drawing) {
        let mut ground = Ground::new(self.area);
        let vehicle = self.vehicle();
        for &line in &vehicle {
            ground.line(line, LINE_PRICE / 4);
        }
        self.bands(drawing, &mut ground);
        let mut room = self.cell_outlines(drawing, ground);
        let crosses = self.crosses(&mut room);
        let mut words = self.labels(drawing, &mut room);
        let leaders = self.mark_names(drawing, &mut room, &mut words);
        self.outlines(drawing, &words);
        // Lines break off where words stand: none runs through a label or a name.
        let words: Vec<Vec<Point>> = words.into_iter().map(|r| corners(r).to_vec()).collect();
        let quiet = Stroke::solid(widths::FINE).toned(Tone::QUIET);
        for (layer, stroke, lines) in [
            (Layer::Vehicle, quiet, vehicle),
            (Layer::Marks, Stroke::solid(widths::MEDIUM), crosses),
            (Layer::Marks, quiet, leaders),
        ] {
            for shown in lines
                .into_iter()
                .flat_map(|line| line_outside(line, &words))
            {
                drawing.line(layer, shown.p0, shown.p1, stroke);
            }
        }
        self.front(drawing);
        self.caption(drawing);
    }

    /// The outlines of body and wheels, as far as the map shows them.
    fn vehicle(&self) -> Vec<Line> {
        let vehicle = &self.context.plan.vehicle;
        let floor = [corners(self.floor).to_vec()];
        std::iter::once(vehicle.body())
            .chain(vehicle.wheels.iter().map(Wheel::footprint))
            .flat_map(|part| edges(&[corners(part).to_vec()]))
            .flat_map(|side| line_within(side, &floor))
            .map(|shown| self.to_page * shown)
            .collect()
    }

    fn bands(&self, drawing: &mut Drawing, ground: &mut Ground) {
        let on_page = |contours: &[Vec<Point>]| -> Vec<Vec<Point>> {
            let shown = intersection(contours, &[corners(self.floor).to_vec()]);
            shown
                .into_iter()
                .map(|contour| contour.into_iter().map(|p| self.to_page * p).collect())
                .collect()
        };
        let (bands, dark) = (on_page(&self.art.bands), on_page(&self.art.dark_fields));
        for (contours, layer, tone) in [
            (&dark, Layer::Panels, Tone::PANEL),
            (&bands, Layer::Lines, Tone::BAND),
        ] {
            if !contours.is_empty() {
                drawing.path(layer, areas(contours), Some(tone), None);
                ground.area(contours, 1);
            }
        }
    }

    /// The outlines of the cells; one that runs through the words of another breaks off there.
    fn outlines(&self, drawing: &mut Drawing, words: &[Rect]) {
        let stroke = Stroke::solid(widths::FINE);
        for &Cell { area, .. } in &self.cells {
            let sides = edges(&[corners(area).to_vec()]);
            let crossing: Vec<Vec<Point>> = words
                .iter()
                .filter(|words| sides.iter().any(|side| crosses(*side, **words)))
                .map(|words| corners(*words).to_vec())
                .collect();
            if crossing.is_empty() {
                drawing.rect(Layer::Registration, area, None, Some(stroke));
                continue;
            }
            for part in sides
                .into_iter()
                .flat_map(|side| line_outside(side, &crossing))
            {
                drawing.line(Layer::Registration, part.p0, part.p1, stroke);
            }
        }
    }

    fn cell_outlines(&self, drawing: &mut Drawing, mut ground: Ground) -> Room {
        for &Cell { area, sheet, .. } in &self.cells {
            let least = Rect::from_center_size(area.center(), (LEAST_PRESSED_MM, LEAST_PRESSED_MM));
            drawing.link(area.union(least), to_sheet(sheet));
            drawing.targets.push(to_map(sheet));
            for side in edges(&[corners(area).to_vec()]) {
                ground.line(side, LINE_PRICE);
            }
        }
        Room::over(&ground).finely()
    }

    /// The arms of the marks' crosses, which words keep off where they can.
    fn crosses(&self, room: &mut Room) -> Vec<Line> {
        let mut arms = Vec::new();
        for &mark in self.art.marks.iter().filter(|mark| self.shows(**mark)) {
            let at = self.to_page * mark;
            for arm in [Vec2::new(MARK_ARM_MM, 0.0), Vec2::new(0.0, MARK_ARM_MM)] {
                arms.push(Line::new(at - arm, at + arm));
            }
            room.guard(Rect::from_center_size(
                at,
                (2.0 * MARK_ARM_MM, 2.0 * MARK_ARM_MM),
            ));
        }
        arms
    }

    /// Labels the cells; gives the rectangles that the labels take.
    fn labels(&self, drawing: &mut Drawing, room: &mut Room) -> Vec<Rect> {
        let mut words = Vec::new();
        let (height, turned) = self.label_style().unwrap_or((heights::SMALL, false));
        // Smaller or turned beside a mark's cross; over the cross before not at all, since a cell
        // without its label is of no use.
        let styles: Vec<(f64, bool)> = std::iter::once((height, turned))
            .chain(
                LABEL_HEIGHTS
                    .into_iter()
                    .filter(|&h| h <= height)
                    .flat_map(|h| [(h, turned), (h, !turned)]),
            )
            .collect();
        for &Cell { area, label, .. } in self.labelled() {
            let wish = Wish {
                within: area.inset(-LABEL_GAP_MM),
                near: area.center(),
                pull: 10.0,
            };
            let mut options: Vec<Footprint> = Vec::new();
            for (rank, &(height, turned)) in styles.iter().enumerate() {
                options.push(Footprint::solid(
                    Block::line(label, height).turned_size(turned),
                    1000 * rank as u64,
                ));
            }
            let size = options[0].size;
            let parts = vec![(Part::Outline, Rect::from_origin_size(Point::ZERO, size))];
            options.push(Footprint {
                size,
                parts,
                penalty: LAST_RESORT,
            });
            if let Some(place) = room.place(&options, wish) {
                let (height, turned) = styles
                    .get(place.option)
                    .copied()
                    .unwrap_or((height, turned));
                let block = Block::line(label, height);
                block.draw(drawing, Layer::Labels, place.origin, turned);
                words.push(Rect::from_origin_size(
                    place.origin,
                    block.turned_size(turned),
                ));
            }
        }
        words
    }

    /// Names beside the cells where there is room, so that nobody takes a mark's name for a sheet's.
    /// Adds their rectangles to `all`, and gives the lines that lead to them.
    fn mark_names(&self, drawing: &mut Drawing, room: &mut Room, all: &mut Vec<Rect>) -> Vec<Line> {
        let mut leaders = Vec::new();
        // On a mat names crowd; touching, two would read as one.
        let gap = Size::new(
            if self.context.plan.mat.is_some() {
                NAME_GAP_MM
            } else {
                0.0
            },
            0.0,
        );
        let mut outside = room.clone();
        for cell in &self.cells {
            outside.block(cell.area);
        }
        for mark in self
            .context
            .plan
            .marks
            .iter()
            .filter(|mark| self.shows(mark.at))
        {
            let at = self.to_page * mark.at;
            let blocks = [
                Block::bold(mark.id.as_str(), heights::TEXT),
                Block::bold(mark.id.as_str(), heights::SMALL),
            ];
            let options = [
                Footprint::solid(blocks[0].size + gap * 2.0, 0),
                Footprint::solid(blocks[1].size + gap * 2.0, 40),
            ];
            let within = Rect::from_center_size(at, (2.0 * NAME_REACH_MM, 2.0 * NAME_REACH_MM))
                .intersect(self.area);
            let wish = Wish {
                within,
                near: at,
                pull: 30.0,
            };
            let Some(place) = outside
                .place(&options, wish)
                .or_else(|| room.place(&options, wish))
            else {
                continue;
            };
            let block = &blocks[place.option];
            let origin = place.origin + gap.to_vec2();
            block.draw(drawing, Layer::Marks, origin, false);
            let words = Rect::from_origin_size(origin, block.size);
            outside.block(words);
            room.block(words);
            let foot = Point::new(
                at.x.clamp(words.x0, words.x1),
                at.y.clamp(words.y0, words.y1),
            );
            if foot.distance(at) > LEADER_FROM_MM {
                leaders.push(Line::new(at, foot));
            }
            all.push(words);
        }
        leaders
    }

    fn front(&self, drawing: &mut Drawing) {
        let word = Block::bold("FRONT", heights::TEXT);
        let x = self.area.center().x;
        let y = self.area.y1 - ARROW_DEPTH_MM / 2.0;
        arrow(
            drawing,
            Point::new(x - word.size.width / 2.0 - 4.0, y),
            Vec2::new(0.0, 1.0),
            ARROW_DEPTH_MM - 1.0,
        );
        word.draw(
            drawing,
            Layer::Labels,
            Point::new(x - word.size.width / 2.0, y - word.size.height / 2.0),
            false,
        );
    }

    fn caption(&self, drawing: &mut Drawing) {
        let mat = self.context.plan.mat.is_some();
        let [title, legend] = map_caption(self.keys, &self.scale.to_string(), self.piece, mat);
        let lines = [
            (title, heights::TEXT, Weight::Regular),
            (legend, heights::SMALL, Weight::Regular),
        ];
        let block = Block::new(&lines);
        let bottom = (self.to_page * self.floor.origin()).y - RIM_MM;
        let y = (bottom - block.size.height).max(self.area.y0);
        let x = (self.area.center().x - block.size.width / 2.0).max(self.area.x0);
        block.draw(drawing, Layer::Labels, Point::new(x, y), false);
    }
}
