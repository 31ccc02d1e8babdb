//! Which size of plan and lettering a page holds, and what stands where.

use std::{cell::RefCell, collections::BTreeMap};

use kurbo::Rect;

use super::{
    notes::{footnotes, sections},
    plan_view::plan_view,
    tables::{TableStyle, lays_table, marks_table},
};
use crate::{
    drawing::Drawing,
    page::{Fragment, LETTERING, SCALES, Scale, choose, largest},
    plan::FloorPlan,
};

/// Clear width between the two columns, mm.
const GUTTER: f64 = 5.0;
/// Clear height between two sections, mm; left-over height widens it up to the second figure.
const SECTION_GAP: f64 = 4.5;
const WIDEST_SECTION_GAP: f64 = 8.0;
/// The plan may take this fraction of the width and of the height when its scale is chosen; the
/// rest is for the numbers.
const PLAN_WIDTH: f64 = 0.56;
const PLAN_HEIGHT: f64 = 0.95;
/// Narrowest column that still holds readable text, mm.
const LEAST_COLUMN: f64 = 62.0;
/// A scale down to this fraction of the chosen one is tried before lettering goes below 2.2 mm.
const NEAR_SCALE: f64 = 0.6;
/// Heights of rows as multiples of the lettering, the airiest first.
const AIRINESS: [f64; 3] = [2.1, 1.85, 1.6];
/// Lettering of tables and of running text, mm, the largest first.
const PAIRS: [(f64, f64); 6] = {
    let [text, less, little, small] = LETTERING;
    [
        (text, text),
        (text, less),
        (text, little),
        (less, little),
        (little, small),
        (small, small),
    ]
};
/// Steps of [`PAIRS`] that go with the scale next to the chosen one first.
const COMFORTABLE: usize = 4;
/// Checks that stay when marks have to be left out as well, and entries of each checklist then.
const FEWEST_CHECKS: usize = 4;
const FEW_ENTRIES: usize = 6;

/// How far the content is cut when no size holds all of it.
#[derive(Clone, Copy, Debug)]
struct Cut {
    marks: usize,
    checks: usize,
    entries: usize,
}

impl Cut {
    const NONE: Self = Self {
        marks: usize::MAX,
        checks: usize::MAX,
        entries: usize::MAX,
    };
}

/// One way to draw the page.
#[derive(Clone, Copy, Debug)]
struct Attempt {
    scale: Scale,
    lettering: (f64, f64),
    airiness: f64,
    clear_floor: bool,
    cut: Cut,
}

/// A page's body, laid out.
#[derive(Debug)]
pub struct Body {
    /// Scale of the plan.
    pub scale: Scale,
    left: Column,
    right: Column,
    footnotes: Fragment,
}

#[derive(Debug, Default)]
struct Column {
    width: f64,
    parts: Vec<Fragment>,
}

impl Column {
    fn height(&self) -> f64 {
        let gaps = SECTION_GAP * self.parts.len().saturating_sub(1) as f64;
        self.parts.iter().map(|part| part.height).sum::<f64>() + gaps
    }
}

impl Body {
    /// Draws the body into `space`.
    pub fn place(&self, page: &mut Drawing, space: Rect) {
        let foot = space.y0 + self.footnotes.height;
        let left_edge = space.x0;
        let space = Rect {
            y0: space.y0 + self.footnotes.height + SECTION_GAP,
            ..space
        };
        for (column, left) in [
            (&self.left, space.x0),
            (&self.right, space.x1 - self.right.width),
        ] {
            let gaps = column.parts.len().saturating_sub(1).max(1) as f64;
            let spare = (space.height() - column.height()) / gaps;
            let gap = (SECTION_GAP + spare).clamp(SECTION_GAP, WIDEST_SECTION_GAP);
            let mut top = space.y1;
            for part in &column.parts {
                part.place(page, left + (column.width - part.width) / 2.0, top);
                top -= part.height + gap;
            }
        }
        // Last, as it is read: some readers go by the order of drawing.
        self.footnotes.place(page, left_edge, foot);
    }
}

/// Lays the body out in `width` × `height` mm, falling back in steps: smaller running text, smaller
/// table lettering and the next smaller scale down to 2.2 mm; then lettering down to 1.8 mm; then any
/// smaller scale; then fewer checks, fewer marks, fewer entries of the checklists.
#[must_use]
pub fn arrange(plan: &FloorPlan, inches: bool, width: f64, height: f64) -> Body {
    let footnotes = footnotes(plan, inches, width);
    let height = height - footnotes.height - SECTION_GAP;
    let desk = Desk {
        plan,
        inches,
        width,
        height,
        footnotes,
        views: RefCell::default(),
    };
    let home = choose(|scale| {
        if !desk.could_hold(scale) {
            return false;
        }
        let view = desk.view(scale, false);
        view.width <= PLAN_WIDTH * width && view.height <= PLAN_HEIGHT * height
    });
    let smallest = f64::from(SCALES[home].ratio) / NEAR_SCALE;
    let near = SCALES[home..]
        .iter()
        .take_while(|s| f64::from(s.ratio) <= smallest)
        .count();
    let (near, far) = SCALES[home..].split_at(near);
    let (comfortable, tight) = PAIRS.split_at(COMFORTABLE);
    let whole = desk
        .first_fit(near, comfortable, Cut::NONE)
        .or_else(|| desk.first_fit(near, tight, Cut::NONE))
        .or_else(|| {
            far.iter()
                .find_map(|&scale| desk.first_fit(&[scale], &PAIRS, Cut::NONE))
        });
    if let Some(body) = whole {
        return body;
    }
    let smallest = &PAIRS[PAIRS.len() - 1..];
    let cuts = cuts(plan);
    let fits = |cut: &Cut| {
        desk.first_fit(near, smallest, *cut)
            .or_else(|| desk.first_fit(far, smallest, *cut))
    };
    cuts.iter()
        .find_map(fits)
        .unwrap_or_else(|| desk.bare(SCALES[SCALES.len() - 1]))
}

/// Cuts from the mildest to the hardest: first fewer checks, then fewer marks and shorter
/// checklists. Counts fall by a tenth at a time, so that a layout of hundreds of marks is not tried
/// hundreds of times.
fn cuts(plan: &FloorPlan) -> Vec<Cut> {
    let falling = |most: usize, least: usize| {
        std::iter::successors(Some(most), |&count| {
            Some((count * 9 / 10).min(count.saturating_sub(1)))
        })
        .take_while(move |&count| count >= least)
        .skip(1)
    };
    let readings = plan.lays.iter().map(|lay| lay.readings.len()).sum();
    let checks = falling(readings, FEWEST_CHECKS).map(|checks| Cut {
        checks,
        ..Cut::NONE
    });
    let few = Cut {
        checks: FEWEST_CHECKS,
        entries: FEW_ENTRIES,
        ..Cut::NONE
    };
    let marks = falling(plan.marks.len(), 1).map(|marks| Cut { marks, ..few });
    checks
        .chain([few])
        .chain(marks)
        .chain([Cut {
            marks: 1,
            checks: 1,
            entries: 1,
        }])
        .collect()
}

struct Desk<'a> {
    plan: &'a FloorPlan,
    inches: bool,
    width: f64,
    /// Height of the columns.
    height: f64,
    footnotes: Fragment,
    /// Plans drawn so far, by scale and clear floor: every attempt at one scale shares one.
    views: RefCell<BTreeMap<(u32, bool), Fragment>>,
}

impl Desk<'_> {
    /// False where marks and vehicle alone are larger than the plan may be; spares drawing it.
    fn could_hold(&self, scale: Scale) -> bool {
        let vehicle = &self.plan.vehicle;
        let extent = self
            .plan
            .marks
            .iter()
            .fold(vehicle.body(), |r, mark| r.union_pt(mark.at));
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

    fn first_fit(&self, scales: &[Scale], lettering: &[(f64, f64)], cut: Cut) -> Option<Body> {
        let sizes = lettering.iter().flat_map(|&lettering| {
            scales.iter().flat_map(move |&scale| {
                AIRINESS.map(|airiness| Attempt {
                    scale,
                    lettering,
                    airiness,
                    clear_floor: false,
                    cut,
                })
            })
        });
        let (attempt, body) = largest(sizes, |attempt| Some((attempt, self.attempt(attempt)?)))?;
        let clear_floor = true;
        self.attempt(Attempt {
            clear_floor,
            ..attempt
        })
        .or(Some(body))
    }

    fn attempt(&self, attempt: Attempt) -> Option<Body> {
        let view = self.view(attempt.scale, attempt.clear_floor);
        let left_width = view.width.max(LEAST_COLUMN);
        let right_width = self.width - GUTTER - left_width;
        if right_width < LEAST_COLUMN || view.height > self.height {
            return None;
        }
        let style = TableStyle {
            lettering: attempt.lettering.0,
            airiness: attempt.airiness,
            inches: self.inches,
        };
        let marks = marks_table(self.plan, style, right_width, attempt.cut.marks)?;
        let checks = lays_table(self.plan, style, right_width, attempt.cut.checks)?;
        let left = Column {
            width: left_width,
            parts: vec![view],
        };
        let right = Column {
            width: right_width,
            parts: vec![marks, checks],
        };
        if right.height() > self.height {
            return None;
        }
        self.distribute(attempt, left, right)
    }

    /// Puts the sections below the plan and below the tables, each column in reading order, so that
    /// both columns end as level as possible.
    fn distribute(&self, attempt: Attempt, left: Column, right: Column) -> Option<Body> {
        let at = |width: f64| {
            sections(
                self.plan,
                self.inches,
                attempt.lettering.1,
                width,
                attempt.cut.entries,
            )
        };
        let (for_left, for_right) = (at(left.width), at(right.width));
        let heights: Vec<(f64, f64)> = for_left
            .iter()
            .zip(&for_right)
            .map(|(l, r)| (l.height + SECTION_GAP, r.height + SECTION_GAP))
            .collect();
        let (room_left, room_right) = (self.height - left.height(), self.height - right.height());
        let best = (0..1_usize << heights.len())
            .filter_map(|choice| {
                let (mut l, mut r) = (room_left, room_right);
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
        let (mut left, mut right) = (left, right);
        for (index, (in_left, in_right)) in for_left.into_iter().zip(for_right).enumerate() {
            if choice_is_left(best, index) {
                left.parts.push(in_left)
            } else {
                right.parts.push(in_right)
            }
        }
        Some(Body {
            scale: attempt.scale,
            left,
            right,
            footnotes: self.footnotes.clone(),
        })
    }

    /// The plan alone: what is left when a page holds nothing else.
    fn bare(&self, scale: Scale) -> Body {
        let view = self.view(scale, false);
        let left = Column {
            width: self.width,
            parts: vec![view],
        };
        Body {
            scale,
            left,
            right: Column::default(),
            footnotes: self.footnotes.clone(),
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
