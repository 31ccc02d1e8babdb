//! What stands where on the page, at which scale; and what goes on to its back.

use std::{cell::RefCell, collections::BTreeMap};

use kurbo::Rect;

use super::{
    notes::{Extra, footnotes, sections},
    plan_view::plan_view,
    tables::{TableStyle, lays_columns, lays_table, marks_columns, marks_table},
};
use crate::{
    drawing::Drawing,
    page::{Fragment, SCALES, Scale, choose, largest},
    plan::FloorPlan,
};

/// Clear width between the two columns, mm.
const GUTTER: f64 = 5.0;
/// Clear height between two sections, mm; left-over height widens it up to the second figure.
const SECTION_GAP: f64 = 4.0;
const WIDEST_SECTION_GAP: f64 = 8.0;
/// The plan may take this fraction of the width and of the height when its scale is chosen; the
/// rest is for the numbers.
const PLAN_WIDTH: f64 = 0.62;
const PLAN_HEIGHT: f64 = 0.95;
/// Narrowest column that still holds readable text, mm.
const LEAST_COLUMN: f64 = 62.0;
/// A scale down to this fraction of the largest one is tried before a checklist is left to the steps.
const NEAR_SCALE: f64 = 0.7;
/// Heights of rows, mm, the airiest first; the last is the least to write in.
const ROWS: [f64; 4] = [6.0, 5.4, 4.8, 4.4];
/// Height of rows on the back, mm.
const BACK_ROW: f64 = 5.4;

/// A piece with the place of its upper left corner, mm from the body's upper left corner, down.
#[derive(Clone, Debug)]
struct Placed {
    piece: Fragment,
    left: f64,
    down: f64,
}

/// The bodies of a layout's pages.
#[derive(Debug)]
pub struct Body {
    /// Scale of the plan.
    pub scale: Scale,
    pages: Vec<Vec<Placed>>,
}

impl Body {
    /// How many pages: one, and more where a layout is too much for one.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.pages.len()
    }

    /// Draws a page's body into `space`.
    pub fn place(&self, index: usize, page: &mut Drawing, space: Rect) {
        for Placed { piece, left, down } in &self.pages[index] {
            piece.place(page, space.x0 + left, space.y1 - down);
        }
    }
}

/// Where the plan and the table of marks stand; the list of lays is at the right in any case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Setting {
    /// The plan at the left, the marks at the right above the lays.
    Beside,
    /// The plan at the left with the marks below it.
    Below,
    /// The plan across the whole width above the tables.
    Above,
}

impl Setting {
    const ALL: [Self; 3] = [Self::Beside, Self::Below, Self::Above];
}

/// One way to set the page.
#[derive(Clone, Copy, Debug)]
struct Attempt {
    scale: Scale,
    row_height: f64,
    setting: Setting,
    extras: &'static [Extra],
    clear_floor: bool,
}

/// Lays the body out in `width` × `height` mm. Lettering is never smaller than what is read at the bay: where a page has too little
/// room, first the notes are left to the steps, then the plan gets smaller, then the checklists are left to the steps too, and
/// what is still too much goes on to the back.
#[must_use]
pub fn arrange(plan: &FloorPlan, inches: bool, width: f64, height: f64) -> Body {
    let desk = Desk {
        plan,
        inches,
        width,
        height,
        views: RefCell::default(),
    };
    let home = choose(|scale| {
        desk.could_hold(scale) && {
            let view = desk.view(scale, false);
            view.width <= PLAN_WIDTH * width && view.height <= PLAN_HEIGHT * height
        }
    });
    let smallest = f64::from(SCALES[home].ratio) / NEAR_SCALE;
    let near = SCALES[home..]
        .iter()
        .take_while(|s| f64::from(s.ratio) <= smallest)
        .count();
    let (with_lists, bare) = Extra::CHOICES.split_at(Extra::WITH_LISTS);
    let (near, far) = SCALES[home..].split_at(near);
    desk.first_fit(near, with_lists)
        .or_else(|| desk.first_fit(near, bare))
        .or_else(|| desk.first_fit(far, with_lists))
        .or_else(|| desk.first_fit(far, bare))
        .unwrap_or_else(|| desk.with_back(&SCALES[home..]))
}

struct Desk<'a> {
    plan: &'a FloorPlan,
    inches: bool,
    width: f64,
    height: f64,
    /// Plans drawn so far, by scale and clear floor: every attempt at one scale shares one.
    views: RefCell<BTreeMap<(u32, bool), Fragment>>,
}

impl Desk<'_> {
    /// False where marks and vehicle alone are larger than the plan may be; spares drawing it.
    fn could_hold(&self, scale: Scale) -> bool {
        let body = self.plan.vehicle.body();
        let marks = self.plan.marks.iter();
        let extent = marks.fold(body, |r, mark| r.union_pt(mark.at));
        scale.on_paper(extent.height()) <= PLAN_WIDTH * self.width
            && scale.on_paper(extent.width()) <= PLAN_HEIGHT * self.height
    }

    fn view(&self, scale: Scale, clear_floor: bool) -> Fragment {
        let mut views = self.views.borrow_mut();
        let view = views
            .entry((scale.ratio, clear_floor))
            .or_insert_with(|| plan_view(self.plan, scale, self.inches, clear_floor));
        view.clone()
    }

    const fn style(&self, row_height: f64) -> TableStyle {
        TableStyle {
            row_height,
            inches: self.inches,
        }
    }

    fn first_fit(&self, scales: &[Scale], extras: &[&'static [Extra]]) -> Option<Body> {
        let ways = scales.iter().flat_map(|&scale| {
            extras.iter().flat_map(move |&extras| {
                ROWS.into_iter().flat_map(move |row_height| {
                    Setting::ALL.map(|setting| Attempt {
                        scale,
                        row_height,
                        setting,
                        extras,
                        clear_floor: false,
                    })
                })
            })
        });
        let (attempt, page) = largest(ways, |attempt| Some((attempt, self.page(attempt)?)))?;
        let with_floor = Attempt {
            clear_floor: true,
            ..attempt
        };
        Some(Body {
            scale: attempt.scale,
            pages: vec![self.page(with_floor).unwrap_or(page)],
        })
    }

    /// The whole page as an attempt has it, where that fits.
    fn page(&self, attempt: Attempt) -> Option<Vec<Placed>> {
        let view = self.view(attempt.scale, attempt.clear_floor);
        let foot = footnotes(self.plan, self.inches, self.width, attempt.extras);
        let height = self.height - foot.height - SECTION_GAP;
        let half = (self.width - GUTTER) / 2.0;
        let left_width = match attempt.setting {
            Setting::Beside => view.width.max(LEAST_COLUMN),
            Setting::Below => view.width.max(half),
            Setting::Above => half,
        };
        let right_width = self.width - GUTTER - left_width;
        if right_width < LEAST_COLUMN || view.width > self.width || view.height > height {
            return None;
        }
        let style = self.style(attempt.row_height);
        let checks = lays_table(self.plan, style, right_width)?;
        let marks = |width| marks_table(self.plan, style, width);
        let (top, left, right) = match attempt.setting {
            Setting::Beside => (0.0, vec![view.clone()], vec![marks(right_width)?, checks]),
            Setting::Below => (0.0, vec![view.clone(), marks(left_width)?], vec![checks]),
            Setting::Above => (
                view.height + SECTION_GAP,
                vec![marks(left_width)?],
                vec![checks],
            ),
        };
        let column = |width, parts| Column { width, parts };
        let mut columns = [column(left_width, left), column(right_width, right)];
        let room = height - top;
        self.distribute(&mut columns, attempt.extras, room)?;
        let mut placed = Vec::new();
        if attempt.setting == Setting::Above {
            placed.push(Placed {
                left: (self.width - view.width) / 2.0,
                down: 0.0,
                piece: view,
            });
        }
        let [left, right] = columns;
        // In the order of reading, which some readers of files take from that of drawing.
        left.place(&mut placed, 0.0, top, room);
        right.place(&mut placed, self.width - right.width, top, room);
        placed.push(Placed {
            left: 0.0,
            down: self.height - foot.height,
            piece: foot,
        });
        Some(placed)
    }

    /// Puts the sections below the columns, each column in reading order, so that both columns end as level as possible; `None`
    /// where they find no room.
    fn distribute(&self, columns: &mut [Column; 2], extras: &[Extra], room: f64) -> Option<()> {
        let rooms = columns.each_ref().map(|column| room - column.height());
        if rooms.iter().any(|room| *room < 0.0) {
            return None;
        }
        let of = |column: &Column| sections(self.plan, self.inches, extras, column.width);
        let [for_left, for_right] = [of(&columns[0]), of(&columns[1])];
        let heights: Vec<(f64, f64)> = for_left
            .iter()
            .zip(&for_right)
            .map(|(l, r)| (l.height + SECTION_GAP, r.height + SECTION_GAP))
            .collect();
        let best = (0..1_usize << heights.len())
            .filter_map(|choice| {
                let [mut l, mut r] = rooms;
                for (index, &(in_left, in_right)) in heights.iter().enumerate() {
                    if choice_is_left(choice, index) {
                        l -= in_left
                    } else {
                        r -= in_right
                    }
                }
                (l >= 0.0 && r >= 0.0)
                    .then_some((choice, (l - r).abs() + out_of_order(choice, heights.len())))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1))?
            .0;
        for (index, (in_left, in_right)) in for_left.into_iter().zip(for_right).enumerate() {
            if choice_is_left(best, index) {
                columns[0].parts.push(in_left)
            } else {
                columns[1].parts.push(in_right)
            }
        }
        Some(())
    }

    /// The plan with what has room beside it on the first page, the list of lays and what else has none on its back.
    fn with_back(&self, scales: &[Scale]) -> Body {
        let foot = footnotes(self.plan, self.inches, self.width, &[]);
        let height = self.height - foot.height - SECTION_GAP;
        let fitting = scales.iter().find_map(|&scale| {
            let view = self.view(scale, false);
            (view.width <= self.width && view.height <= height).then_some((scale, view))
        });
        let (scale, view) = fitting.unwrap_or_else(|| {
            let last = SCALES[SCALES.len() - 1];
            (last, self.view(last, false))
        });
        let beside = self.width - GUTTER - view.width;
        let style = self.style(BACK_ROW);
        let marks = marks_table(self.plan, style, beside).filter(|marks| marks.height <= height);
        let half = (self.width - GUTTER) / 2.0;
        let mut parts = Vec::new();
        if marks.is_none() {
            parts.extend(marks_columns(self.plan, style, half, self.height));
        }
        parts.extend(lays_columns(self.plan, style, half, self.height));
        let mut first = vec![Placed {
            left: if marks.is_some() {
                0.0
            } else {
                (self.width - view.width) / 2.0
            },
            down: 0.0,
            piece: view,
        }];
        first.extend(marks.map(|piece| Placed {
            left: self.width - piece.width,
            down: 0.0,
            piece,
        }));
        first.push(Placed {
            left: 0.0,
            down: self.height - foot.height,
            piece: foot,
        });
        let mut pages = vec![first];
        pages.extend(self.in_columns(parts, half));
        Body { scale, pages }
    }

    /// Pieces one below the other in two columns a page.
    fn in_columns(&self, parts: Vec<Fragment>, width: f64) -> Vec<Vec<Placed>> {
        let mut pages: Vec<Vec<Placed>> = Vec::new();
        let (mut column, mut down) = (0, f64::INFINITY);
        for piece in parts {
            if down + piece.height > self.height {
                if pages.is_empty() || column == 1 {
                    pages.push(Vec::new());
                    column = 0;
                } else {
                    column = 1;
                }
                down = 0.0;
            }
            let left = column as f64 * (width + GUTTER);
            let next = down + piece.height + SECTION_GAP;
            if let Some(page) = pages.last_mut() {
                page.push(Placed { piece, left, down });
            }
            down = next;
        }
        pages
    }
}

#[derive(Debug)]
struct Column {
    width: f64,
    parts: Vec<Fragment>,
}

impl Column {
    fn height(&self) -> f64 {
        let gaps = SECTION_GAP * self.parts.len().saturating_sub(1) as f64;
        self.parts.iter().map(|part| part.height).sum::<f64>() + gaps
    }

    /// Places the parts from `top` mm on, with `room` mm of height to share out between them.
    fn place(&self, placed: &mut Vec<Placed>, left: f64, top: f64, room: f64) {
        let gaps = self.parts.len().saturating_sub(1).max(1) as f64;
        let spare = (room - self.height()) / gaps;
        let gap = (SECTION_GAP + spare).clamp(SECTION_GAP, WIDEST_SECTION_GAP);
        let mut down = top;
        for part in &self.parts {
            placed.push(Placed {
                left: left + (self.width - part.width) / 2.0,
                down,
                piece: part.clone(),
            });
            down += part.height + gap;
        }
    }
}

/// What it costs, in mm of unlevel columns, that a section stands to the right of a later one: a
/// reader takes the left column first.
fn out_of_order(choice: usize, sections: usize) -> f64 {
    const EACH: f64 = 15.0;
    let pairs = (0..sections).flat_map(|later| (0..later).map(move |earlier| (earlier, later)));
    let wrong = pairs
        .filter(|&(e, l)| !choice_is_left(choice, e) && choice_is_left(choice, l))
        .count();
    EACH * wrong as f64
}

const fn choice_is_left(choice: usize, index: usize) -> bool {
    choice >> index & 1 == 0
}
