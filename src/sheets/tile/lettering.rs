//! Everything that is read on a full-scale sheet, each thing where the sheet leaves room for it.

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::Tile;
use crate::{
    cover::{Edge, PlacedSheet},
    drawing::{Layer, Stroke, Weight, heights, widths},
    page::{
        Block,
        labels::{Footprint, Place, Wish},
    },
    plan::MarkShape,
    sheets::shared::{CheckSquare, MarkArt, PageNumber, ScaleBar, arrow, notes, to_map},
    units::{inch_text, mm_text},
    words::{floor_place, printed::labels::sheet_of},
};

/// How far, in mm, a mark's name may stand from the mark.
const MARK_NAME_REACH_MM: f64 = 60.0;

/// What a mark's name costs more with its place in two lines.
pub(super) const NARROW_PRICE: u64 = 30;

/// Gap in mm between a mark's name and the leader to its mark.
const LEADER_GAP_MM: f64 = 0.4;

/// Side in mm of the squares that keep other lettering off a leader.
const LEADER_STEP_MM: f64 = 1.5;

/// Depth in mm of the strip along a seam in which a neighbour is named.
const NEIGHBOUR_STRIP_MM: f64 = 24.0;

/// Distance in mm that a block of lettering keeps from lines and other lettering.
const PADDING: Size = Size::new(0.8, 0.6);

/// Distance in mm between a sheet's label and the frame that tells it from a mark's name.
const LABEL_PADDING: Size = Size::new(2.0, 1.2);

/// Adds all lettering; what is most needed or hardest to place comes first.
pub(super) fn add(tile: &mut Tile, page: PageNumber) {
    let ticks = tile.running_ticks();
    tile.check_square();
    tile.mark_names();
    tile.neighbour_names();
    tile.registration_names();
    tile.sheet_label();
    tile.front_arrow();
    tile.inch_bar();
    tile.coordinate_tick();
    tile.notes(page);
    tile.scissors();
    tile.tick_numbers(&ticks, [heights::NUMBER, heights::TEXT]);
}

impl Tile<'_> {
    pub(super) fn sheet(&self) -> &PlacedSheet {
        &self.sheets.sheets[self.index]
    }

    fn mark_names(&mut self) {
        let lettering = [
            (heights::LARGE, heights::NUMBER, 0),
            (heights::TITLE, heights::NUMBER, 400),
            (heights::HEADING, heights::TEXT, 900),
            (heights::HEADING, heights::CROWDED, 1600),
        ];
        self.mark_names_in(&lettering, MARK_NAME_REACH_MM);
    }

    /// Names with coordinates, in lettering of these heights (name, numbers, price), up to `reach` mm from the mark.
    pub(super) fn mark_names_in(&mut self, lettering: &[(f64, f64, u64)], reach: f64) {
        let marks: Vec<MarkArt> = self
            .art
            .marks
            .iter()
            .filter(|mark| mark.centred_here)
            .cloned()
            .collect();
        for mark in marks {
            let blocks: Vec<(Block, u64)> = lettering
                .iter()
                .flat_map(|&(name, numbers, price)| {
                    let [wide, narrow] = self.mark_name(mark.index, name, numbers);
                    [(wide, price), (narrow, price + NARROW_PRICE)]
                })
                .collect();
            // Where a place beside it has no room, the name alone: no mark is without one.
            let name = &self.context.plan.marks[mark.index].id;
            let bare = [heights::HEADING, heights::TEXT, heights::SMALL]
                .map(|height| (Block::bold(name.clone(), height), 0));
            let reach = 2.0 * reach;
            let around = Rect::from_center_size(mark.at, (reach, reach));
            let place = [blocks.as_slice(), &bare].into_iter().find_map(|blocks| {
                self.here_or_below(|tile, page| {
                    let wish = Wish {
                        within: page.intersect(around),
                        near: mark.at,
                        pull: 8.0,
                    };
                    tile.put(blocks, wish, Layer::Marks, None)
                })
            });
            let crowded = self.context.plan.mat.is_some() || mark.reach < MarkShape::FULL.arm;
            if let Some(name) = place.filter(|_| crowded) {
                self.mark_leader(&mark, name);
            }
        }
    }

    /// A thin line from a mark's name to its hole: on a mat or on a model another mark may lie nearer.
    fn mark_leader(&mut self, mark: &MarkArt, name: Rect) {
        let foot = Point::new(
            mark.at.x.clamp(name.x0, name.x1),
            mark.at.y.clamp(name.y0, name.y1),
        );
        let length = foot.distance(mark.at);
        if length <= 2.0 * mark.hole_radius {
            return;
        }
        let along = (foot - mark.at) / length;
        let (start, end) = (
            mark.at + along * mark.hole_radius,
            foot - along * LEADER_GAP_MM,
        );
        for part in self.room.clear_parts(Line::new(start, end)) {
            self.drawing
                .line(Layer::Labels, part.p0, part.p1, Stroke::solid(widths::FINE));
        }
        let steps = (length / LEADER_STEP_MM).ceil();
        for step in 0..steps as usize {
            let at = start + (end - start) * ((step as f64 + 0.5) / steps);
            self.room
                .guard(Rect::from_center_size(at, (LEADER_STEP_MM, LEADER_STEP_MM)));
        }
    }

    /// A mark's name with its place in one line, and in two.
    fn mark_name(&self, index: usize, height: f64, numbers: f64) -> [Block; 2] {
        let mark = &self.context.plan.marks[index];
        self.place_lines(mark.at, numbers).map(|place| {
            let mut lines = vec![(mark.id.clone(), height, Weight::Bold)];
            lines.extend(place);
            Block::new(&lines)
        })
    }

    /// Where a floor point lies, in inches with mm below them where the job is in inches: along and across the vehicle
    /// in one line, and in two.
    pub(super) fn place_lines(&self, floor: Point, height: f64) -> [Vec<(String, f64, Weight)>; 2] {
        let words = |unit: &str, write: fn(f64) -> String| {
            floor_place(floor, |mm| format!("{} {unit}", write(mm)))
        };
        let mm = words("mm", mm_text);
        let (wide, narrow) = if self.context.inches {
            let inches = words("in", inch_text);
            let [along, across] = inches.clone();
            let both = vec![inches.join(", "), mm.join(", ")];
            let [mm_along, mm_across] = mm;
            (both, vec![along, across, mm_along, mm_across])
        } else {
            (vec![mm.join(", ")], mm.to_vec())
        };
        [wide, narrow].map(|lines| {
            let lines = lines.into_iter();
            lines.map(|text| (text, height, Weight::Regular)).collect()
        })
    }

    pub(super) fn check_square(&mut self) {
        let inner = self.frame.inner;
        // The smaller square is for paper below A5.
        for side in [100.0, 50.0] {
            let square = CheckSquare::new(side);
            // Room for the neighbours' names between the square and the seams, where there is any.
            let spare = (inner.size() - square.size()) / 2.0;
            let aside = Vec2::new(spare.width.min(14.0), spare.height.min(16.0));
            let near = inner.origin() + aside + square.size().to_vec2() / 2.0;
            if let Some(place) = self.proof_of_scale(
                &square.footprints(),
                Wish {
                    within: inner,
                    near,
                    pull: 4.0,
                },
            ) {
                square.draw(&mut self.drawing, place.origin, place.option);
                return;
            }
        }
    }

    pub(super) fn inch_bar(&mut self) {
        let bar = ScaleBar::four_inches();
        let inner = self.frame.inner;
        let wish = Wish {
            within: inner,
            near: Point::new(inner.center().x, inner.y0),
            pull: 2.0,
        };
        if let Some(place) = self.proof_of_scale(&bar.footprints(100), wish) {
            bar.draw(&mut self.drawing, place.origin, place.option == 1);
        }
    }

    /// Places something that is of use until other sheets come to lie on this one: within what stays
    /// visible if there is room, else anywhere on the sheet.
    pub(super) fn here_or_below<T>(
        &mut self,
        place: impl Fn(&mut Self, Rect) -> Option<T>,
    ) -> Option<T> {
        let (visible, all) = (self.frame.inner, self.frame.kept);
        place(self, visible).or_else(|| {
            let veils = self.room.unveil();
            let placed = place(self, all);
            veils.into_iter().for_each(|veil| self.room.veil(veil));
            placed
        })
    }

    /// The same for a figure that proves the page's scale.
    fn proof_of_scale(&mut self, options: &[Footprint], wish: Wish) -> Option<Place> {
        self.here_or_below(|tile, within| tile.room.place(options, Wish { within, ..wish }))
    }

    pub(super) fn neighbour_names(&mut self) {
        let inner = self.frame.inner;
        for seam in self.frame.seams.clone() {
            let label = &self.sheets.sheets[seam.other].label;
            let middle = seam.line.midpoint();
            let depth = NEIGHBOUR_STRIP_MM;
            let (words, near, within) = match seam.edge {
                Edge::Left => (
                    format!("◂ {label}"),
                    (inner.x0, middle.y),
                    Rect {
                        x1: inner.x0 + depth,
                        ..inner
                    },
                ),
                Edge::Right => (
                    format!("{label} ▸"),
                    (inner.x1, middle.y),
                    Rect {
                        x0: inner.x1 - depth,
                        ..inner
                    },
                ),
                Edge::Top => (
                    format!("▴ {label}"),
                    (middle.x, inner.y1),
                    Rect {
                        y0: inner.y1 - depth,
                        ..inner
                    },
                ),
                Edge::Bottom => (
                    format!("▾ {label}"),
                    (middle.x, inner.y0),
                    Rect {
                        y1: inner.y0 + depth,
                        ..inner
                    },
                ),
            };
            let blocks = [
                (Block::bold(words.clone(), heights::HEADING), 0),
                (Block::bold(words, heights::TEXT), 200),
            ];
            self.put(
                &blocks,
                Wish {
                    within,
                    near: near.into(),
                    pull: 6.0,
                },
                Layer::Labels,
                None,
            );
        }
    }

    fn sheet_label(&mut self) {
        let label = self.sheet().label.clone();
        let place = sheet_of(&label, self.sheets.sheets.len());
        let blocks = [(heights::LABEL, 0), (heights::LARGE, 3000)].map(|(height, penalty)| {
            let lines = [
                (label.clone(), height, Weight::Bold),
                (place.clone(), heights::TEXT, Weight::Regular),
            ];
            (Block::new(&lines), penalty)
        });
        let gap = LABEL_PADDING + PADDING;
        let options = blocks
            .each_ref()
            .map(|(block, price)| Footprint::solid(block.size + gap * 2.0, *price));
        let place = self.here_or_below(|tile, within| {
            let wish = Wish {
                within,
                near: Point::new(within.x0, within.y1),
                pull: 3.0,
            };
            tile.room.place(&options, wish)
        });
        if let Some(place) = place {
            let block = &blocks[place.option].0;
            let origin = place.origin + gap.to_vec2();
            let frame = Rect::from_origin_size(origin, block.size)
                .inset((LABEL_PADDING.width, LABEL_PADDING.height));
            self.drawing.rect(
                Layer::Labels,
                frame,
                None,
                Some(Stroke::solid(widths::MEDIUM)),
            );
            block.draw(&mut self.drawing, Layer::Labels, origin, false);
            self.drawing.link(frame, to_map(&label));
        }
    }

    fn front_arrow(&mut self) {
        let sizes = [(22.0, heights::HEADING), (14.0, heights::TEXT)];
        self.here_or_below(|tile, within| {
            tile.front_arrow_near(within, Point::new(within.x1, within.y1), sizes)
        });
    }

    /// The arrow in one of two sizes (its length, height of its word), the better one first; nothing where there is no room.
    pub(super) fn front_arrow_near(
        &mut self,
        within: Rect,
        near: Point,
        sizes: [(f64, f64); 2],
    ) -> Option<()> {
        let origin = self.sheet().floor_to_page * Point::ZERO;
        let along = (self.sheet().floor_to_page * Point::new(1.0, 0.0) - origin).normalize();
        let options = sizes.map(|(length, height)| {
            let word = Block::bold("FRONT", height);
            let shaft = Size::new(
                length * along.x.abs().max(0.3),
                length * along.y.abs().max(0.3),
            );
            let size = Size::new(
                shaft.width.max(word.size.width),
                shaft.height + 1.0 + word.size.height,
            );
            (length, word, size)
        });
        let footprints: Vec<_> = options
            .iter()
            .zip([0, 600])
            .map(|(o, cost)| Footprint::solid(o.2 + PADDING * 2.0, cost))
            .collect();
        let wish = Wish {
            within,
            near,
            pull: 3.0,
        };
        let place = self.room.place(&footprints, wish)?;
        let (length, word, size) = &options[place.option];
        let origin = place.origin + PADDING.to_vec2();
        let word_at = origin + Vec2::new((size.width - word.size.width) / 2.0, 0.0);
        word.draw(&mut self.drawing, Layer::Labels, word_at, false);
        let low = word.size.height + 1.0;
        let middle = origin + Vec2::new(size.width / 2.0, low + (size.height - low) / 2.0);
        arrow(&mut self.drawing, middle, along, *length);
        Some(())
    }

    /// How to print, what this is, and whose word goes first.
    fn notes(&mut self, page: PageNumber) {
        self.notes_in(page, &[heights::TEXT, heights::SMALL]);
    }

    /// The notes in lettering of one of these heights, the best first.
    pub(super) fn notes_in(&mut self, page: PageNumber, lettering: &[f64]) {
        let by_hand = self.art.knife.is_some();
        let mut blocks = Vec::new();
        for (rank, &height) in lettering.iter().enumerate() {
            // Widths in heights of the lettering.
            for (width, more) in [(32.0, 0), (24.0, 20), (44.0, 40), (18.0, 150)] {
                blocks.push((
                    notes(self.context, page, by_hand, height, width * height),
                    500 * rank as u64 + more,
                ));
            }
        }
        self.here_or_below(|tile, within| {
            let near = Point::new(within.x1, within.y0);
            tile.put(
                &blocks,
                Wish {
                    within,
                    near,
                    pull: 2.0,
                },
                Layer::Labels,
                Some(200),
            )
        });
    }

    /// Places the best of several blocks, each with its price; turned ones too when `turned`
    /// names a price for that. Returns the rectangle of the lettering.
    pub(super) fn put(
        &mut self,
        blocks: &[(Block, u64)],
        wish: Wish,
        layer: Layer,
        turned: Option<u64>,
    ) -> Option<Rect> {
        let mut options: Vec<(&Block, bool)> = Vec::new();
        let mut footprints = Vec::new();
        for (block, penalty) in blocks {
            for (turn, more) in [(false, Some(0)), (true, turned)] {
                if let Some(more) = more {
                    options.push((block, turn));
                    footprints.push(Footprint::solid(
                        block.turned_size(turn) + PADDING * 2.0,
                        penalty + more,
                    ));
                }
            }
        }
        let place = self.room.place(&footprints, wish)?;
        let (block, turn) = options[place.option];
        let origin = place.origin + PADDING.to_vec2();
        block.draw(&mut self.drawing, layer, origin, turn);
        Some(Rect::from_origin_size(origin, block.turned_size(turn)))
    }
}
