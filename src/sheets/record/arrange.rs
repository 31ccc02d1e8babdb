//! Which size of picture and lettering the middle of the page holds, and what stands where.

use std::{cell::RefCell, collections::BTreeMap};

use kurbo::Rect;

use super::{
    SECTION_GAP,
    input::RecordInput,
    picture::{Picture, picture},
    symbols::Standing,
    tables::{TableStyle, Written, marks_table, readings_table},
};
use crate::{
    drawing::{Drawing, heights},
    page::{Fragment, Scale, largest},
    plan::FloorPlan,
    sheets::shared::Context,
    survey::MarkFinding,
};

/// Scales of the picture, 1 : n. Nothing is measured off it, so that steps between those of ISO 5455 do no harm.
pub(super) const SCALES: [u32; 13] = [10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200, 500];
/// Clear height between the marks and the picture's legend below them, mm.
const LEGEND_GAP: f64 = 1.5;
/// Clear width between the two columns, mm.
const GUTTER: f64 = 5.0;
/// The picture may take this fraction of the width when its scale is chosen.
const PICTURE_WIDTH: f64 = 0.55;
/// Narrowest column that still holds the picture's legend, and narrowest that holds tables, mm.
const LEAST_PICTURE: f64 = 50.0;
const LEAST_TABLES: f64 = 62.0;
/// How many scales from the chosen one down are as good, and how much smaller a picture may become before rows
/// are rather left out.
const AS_GOOD: usize = 2;
const SMALLEST_PICTURE: u32 = 3;
/// Lettering of the tables, mm, the largest first. The first three, 8.5 points and more, are read with ease: for their
/// sake the picture becomes smaller first.
const LETTERING: [f64; 5] = [heights::TEXT, heights::CROWDED, 2.2, 2.0, heights::SMALL];
const EASY: usize = 3;
/// Heights of rows as multiples of the lettering, the airiest first; the last leaves descenders just clear of the next
/// row's capitals.
const AIRINESS: [f64; 3] = [1.85, 1.6, 1.45];
/// No page holds more rows than this, so that very long lists are not laid out over and over.
const MOST_ROWS: usize = 180;
/// Readings and marks that stay when both have to be left out.
const FEWEST_READINGS: usize = 6;
const FEWEST_MARKS: usize = 3;

/// The middle of the page, laid out.
#[derive(Debug)]
pub struct Body {
    /// Scale of the picture.
    pub scale: Scale,
    /// Pieces with their distance from the left edge and from the top.
    pieces: Vec<(f64, f64, Fragment)>,
}

impl Body {
    /// Draws the body into `space`, from its top.
    pub fn place(&self, page: &mut Drawing, space: Rect) {
        for (left, down, piece) in &self.pieces {
            piece.place(page, space.x0 + left, space.y1 - down);
        }
    }
}

/// One way to draw the middle of the page.
#[derive(Clone, Copy, Debug)]
struct Attempt {
    scale: Scale,
    lettering: f64,
    airiness: f64,
    written: Written,
    /// Readings below picture and marks instead of below the marks alone.
    readings_below: bool,
    marks: usize,
    readings: usize,
}

/// Lays the middle out in `width` × `height` mm, falling back in steps: the next scale, less large lettering, inches
/// alone, smaller pictures, small lettering, then fewer readings, then fewer marks.
#[must_use]
pub fn arrange(context: &Context<'_>, input: &RecordInput<'_>, width: f64, height: f64) -> Body {
    let marks: Vec<&MarkFinding> = input
        .assessment
        .marks
        .iter()
        .filter(|mark| mark.design.is_some() || mark.tolerance.is_some())
        .collect();
    let desk = Desk {
        plan: context.plan,
        input,
        marks,
        tied: input.tied(),
        width,
        height,
        views: RefCell::default(),
    };
    let scales = SCALES.map(|ratio| Scale {
        ratio,
        standard: true,
    });
    let home = scales
        .iter()
        .position(|&scale| desk.holds(scale))
        .unwrap_or(scales.len() - 1);
    let small = |scale: &&Scale| scale.ratio <= SMALLEST_PICTURE * scales[home].ratio;
    let near = &scales[home..home + scales[home..].iter().take_while(small).count()];
    let (good, smaller) = near.split_at(AS_GOOD.min(near.len()));
    let (easy, tight) = LETTERING.split_at(EASY);
    let units: &[Written] = if context.inches {
        &[Written::InchesAndMm, Written::Inches]
    } else {
        &[Written::Mm]
    };
    let (all_marks, all_readings) = (desk.marks.len(), input.readings.len());
    let whole = [easy, tight].into_iter().find_map(|lettering| {
        let fit = |scales| {
            units.iter().find_map(|&written| {
                desk.first_fit(scales, lettering, written, all_marks, all_readings)
            })
        };
        fit(good).or_else(|| fit(smaller))
    });
    if let Some(body) = whole {
        return body;
    }
    let shortest = units[units.len() - 1];
    let cuts = cuts(all_marks, all_readings);
    let cut = |scales, least| {
        let fit = |&(marks, readings): &(usize, usize)| {
            desk.first_fit(scales, least, shortest, marks, readings)
        };
        cuts.iter().find_map(fit)
    };
    cut(near, tight)
        .or_else(|| cut(&scales[home + near.len()..], tight))
        .unwrap_or_else(|| desk.bare(scales[scales.len() - 1], shortest))
}

/// Numbers of marks and readings from the mildest cut to the hardest: first fewer readings, then fewer marks,
/// then fewer of both. Counts fall by a tenth at a time, so that a long list is not tried a hundred times.
fn cuts(marks: usize, readings: usize) -> Vec<(usize, usize)> {
    let falling = |most: usize, least: usize| {
        let next = |&count: &usize| Some((count * 9 / 10).min(count.saturating_sub(1)));
        std::iter::successors(Some(most.min(MOST_ROWS)), next)
            .take_while(move |&count| count >= least)
    };
    let many_readings =
        falling(readings, FEWEST_READINGS * 3).map(|readings| (marks.min(MOST_ROWS), readings));
    let some = readings.min(FEWEST_READINGS * 3);
    let many_marks = falling(marks, FEWEST_MARKS * 4).map(|marks| (marks, some));
    let few = marks.min(FEWEST_MARKS * 4);
    let few_readings = falling(some, FEWEST_READINGS).map(|readings| (few, readings));
    let few_marks = falling(few, FEWEST_MARKS).map(|marks| (marks, readings.min(FEWEST_READINGS)));
    many_readings
        .chain(many_marks)
        .chain(few_readings)
        .chain(few_marks)
        .collect()
}

struct Desk<'a> {
    plan: &'a FloorPlan,
    input: &'a RecordInput<'a>,
    /// Marks of the table.
    marks: Vec<&'a MarkFinding>,
    /// True where marks are known against the vehicle.
    tied: bool,
    width: f64,
    height: f64,
    /// Pictures drawn so far, by scale.
    views: RefCell<BTreeMap<u32, Picture>>,
}

impl Desk<'_> {
    fn view(&self, scale: Scale) -> Picture {
        let mut views = self.views.borrow_mut();
        let view = views
            .entry(scale.ratio)
            .or_insert_with(|| picture(self.plan, self.input, self.tied, scale, LEAST_PICTURE));
        view.clone()
    }

    fn holds(&self, scale: Scale) -> bool {
        let body = self.plan.extent_with(self.plan.vehicle.body());
        // The cheap part first; spares drawing it.
        if scale.on_paper(body.height()) > PICTURE_WIDTH * self.width
            || scale.on_paper(body.width()) > self.height
        {
            return false;
        }
        let view = self.view(scale).view;
        view.width <= PICTURE_WIDTH * self.width && view.height <= self.height
    }

    fn first_fit(
        &self,
        scales: &[Scale],
        lettering: &[f64],
        written: Written,
        marks: usize,
        readings: usize,
    ) -> Option<Body> {
        let airy = |&lettering: &f64| AIRINESS.map(|airiness| (lettering, airiness));
        let sizes = scales.iter().flat_map(|&scale| {
            let sizes = lettering.iter().flat_map(airy);
            sizes.flat_map(move |(lettering, airiness)| {
                [false, true].map(|readings_below| Attempt {
                    scale,
                    lettering,
                    airiness,
                    written,
                    readings_below,
                    marks,
                    readings,
                })
            })
        });
        largest(sizes, |attempt| self.attempt(attempt))
    }

    fn attempt(&self, attempt: Attempt) -> Option<Body> {
        let Attempt {
            scale,
            readings_below,
            ..
        } = attempt;
        let picture = self.view(scale);
        let mut view = picture.view.clone();
        let left = view.width + GUTTER;
        let right = self.width - left;
        if right < LEAST_TABLES || view.height > self.height {
            return None;
        }
        let style = TableStyle {
            lettering: attempt.lettering,
            airiness: attempt.airiness,
            written: attempt.written,
        };
        // The cheap part first: rows alone say most of what cannot fit.
        if style.rows_height(self.marks.len().min(attempt.marks)) > self.height {
            return None;
        }
        let mut marks = marks_table(&self.marks, self.tied, style, right, attempt.marks)?;
        // What the picture's lines mean stands where the page is wide and nothing else stands.
        if readings_below {
            marks.stack(&picture.legend(right), LEGEND_GAP);
        } else {
            view.stack(&picture.legend(view.width), LEGEND_GAP);
        }
        let beside = marks.height + SECTION_GAP;
        let mut bottom = view.height.max(marks.height);
        let mut pieces = vec![(0.0, 0.0, view), (left, 0.0, marks)];
        if !self.input.readings.is_empty() {
            let (at, down, width, columns): (f64, f64, f64, &[usize]) = if readings_below {
                (0.0, bottom + SECTION_GAP, self.width, &[4, 3, 2])
            } else {
                (left, beside, right, &[2, 1])
            };
            let table =
                self.readings(attempt.readings, style, width, columns, self.height - down)?;
            bottom = bottom.max(down + table.height);
            pieces.push((at, down, table));
        }
        (bottom <= self.height).then_some(Body { scale, pieces })
    }

    /// The readings in one of these numbers of tables side by side, the first with which they are no higher than `room` mm.
    fn readings(
        &self,
        most: usize,
        style: TableStyle,
        width: f64,
        columns: &[usize],
        room: f64,
    ) -> Option<Fragment> {
        let rows = self.input.readings.len().min(most);
        columns.iter().find_map(|&columns| {
            if style.rows_height(rows.div_ceil(columns)) > room {
                return None;
            }
            readings_table(self.input.readings, style, width, columns, most)
                .filter(|table| table.height <= room)
        })
    }

    /// What is left where a page holds no table beside any picture: the worst marks alone.
    fn bare(&self, scale: Scale, written: Written) -> Body {
        let style = TableStyle {
            lettering: heights::SMALL,
            airiness: AIRINESS[2],
            written,
        };
        let worst = self
            .marks
            .iter()
            .filter(|mark| Standing::of(mark) != Standing::Inside)
            .count();
        let tries = (0..=worst.clamp(FEWEST_MARKS, MOST_ROWS)).rev();
        let table =
            tries.filter_map(|most| marks_table(&self.marks, self.tied, style, self.width, most));
        let table = table.into_iter().find(|table| table.height <= self.height);
        Body {
            scale,
            pieces: table.map(|table| (0.0, 0.0, table)).into_iter().collect(),
        }
    }
}
