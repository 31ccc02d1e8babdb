//! The setting-out steps on paper: one page for each way, more where a layout has very many marks.

mod checklists;
mod figures;
mod lays;
mod picture;
mod row;
#[cfg(test)]
mod tests;

use self::{
    checklists::checklist_rows,
    figures::figures,
    lays::lay_rows,
    picture::picture,
    row::{Columns, Style, headings, rows},
};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    effort::Takes,
    page::{Fragment, LEADING, largest, paragraph},
    paper::Paper,
    sheets::shared::{Context, Title, TitledSheet},
    survey::{SettingOutSteps, Way},
    words::CAUTIONS,
    words::printed::{lays as said, setting_out as said_of},
    words::takes as said_takes,
};

/// Clear space above the title block, above the caution and around the picture, mm.
const GAP: f64 = 2.5;
/// Most clear height that a step gets beyond what it needs, mm.
const MOST_AIR: f64 = 3.5;

/// Sizes to try until a way fits on as few pages as it needs: instructions, numbers, height of the picture, mm.
const SIZES: [Style; 3] = [
    Style {
        text: heights::TEXT,
        number: heights::HEADING,
        picture: 62.0,
    },
    Style {
        text: heights::TEXT,
        number: heights::HEADING,
        picture: 50.0,
    },
    Style {
        text: heights::TEXT,
        number: 3.0,
        picture: 46.0,
    },
];

/// The steps of both ways on upright sheets: a picture with the step that sets each mark, then for each step
/// a box to tick, what to do, what to tape, and the check that follows; then the check of the whole, lay by lay. Made for A4, Letter and larger.
#[must_use]
pub fn steps(
    context: &Context<'_>,
    steps: &SettingOutSteps,
    takes: &Takes,
    paper: &Paper,
) -> Vec<Drawing> {
    let sheet = TitledSheet::new(context, paper, "setting-out steps", GAP);
    let mut body = sheet.body;
    let caution = caution(body.width());
    body.y0 += caution.height + GAP;
    let ways = Way::ALL.into_iter().map(|way| {
        (
            way.to_string(),
            lay_out(context, (steps, takes), way, body.width(), body.height()),
        )
    });
    let check = (
        said::BOOKMARK.to_owned(),
        check_pages(context, body.width(), body.height()),
    );
    let bodies: Vec<(String, Vec<Fragment>)> = ways.chain([check]).collect();
    let of: usize = bodies.iter().map(|(_, pages)| pages.len()).sum();
    let pages = bodies
        .iter()
        .flat_map(|(what, pages)| pages.iter().map(move |page| (what, page)));
    pages
        .enumerate()
        .map(|(index, (what, content))| {
            let title = Title {
                unit: "",
                scale: "",
                sheet: &format!("{}/{of}", index + 1),
            };
            sheet.draw(&format!("Steps, {what}"), &title, |page| {
                content.place(page, body.x0, body.y1);
                caution.place(page, body.x0, sheet.body.y0 + caution.height);
            })
        })
        .collect()
}

fn caution(width: f64) -> Fragment {
    note(
        &format!("Caution: {}", CAUTIONS.join(" ")),
        width,
        heights::TEXT,
    )
}

/// Running text, with the clear height of a line below it.
fn note(text: &str, width: f64, lettering: f64) -> Fragment {
    let mut piece = paragraph(text, width, lettering);
    piece.height += lettering * (LEADING - 1.0);
    piece
}

/// What stands above the steps.
fn head(
    context: &Context<'_>,
    steps: &SettingOutSteps,
    way: Way,
    width: f64,
    continued: bool,
) -> Fragment {
    let mut piece = Fragment::new(width);
    let words = said_of::title(way, continued);
    let title = Text::new((0.0, -heights::TITLE), heights::TITLE, words).bold();
    let height = heights::TITLE * (width / title.width()).min(1.0);
    piece.canvas().text(Text { height, ..title });
    piece.height = heights::TITLE + GAP;
    if !continued {
        let plan = context.plan;
        let text = said_of::how_to_follow(plan, way, steps.floor_of(way), context.inches);
        piece.stack(&note(&text, width, heights::TEXT), 0.0);
    }
    piece
}

/// The check that follows: what to lay and what to read, in the order of walking; then the checklists and the values.
fn check_pages(context: &Context<'_>, width: f64, height: f64) -> Vec<Fragment> {
    let plan = context.plan;
    let mut rows = lay_rows(plan, context.inches, width);
    let checked = !rows.is_empty();
    rows.extend(checklist_rows(plan, context.inches, width));
    if rows.is_empty() {
        return Vec::new();
    }
    let begin = |continued: bool| {
        let mut page = Fragment::new(width);
        let title = match (checked, continued) {
            (true, true) => said::TITLE_CONTINUED,
            (true, false) => said::TITLE,
            (false, _) => "Checklists",
        };
        page.canvas()
            .text(Text::new((0.0, -heights::TITLE), heights::TITLE, title).bold());
        page.height = heights::TITLE + GAP;
        if checked && !continued {
            let said = said::how_to_check(plan, context.inches);
            page.stack(&note(&said, width, heights::TEXT), 0.0);
            let open = plan
                .proofs
                .iter()
                .filter_map(|proof| said::not_proven(plan, proof, context.inches));
            open.for_each(|words| page.stack(&note(&words, width, heights::TEXT), GAP));
        }
        page
    };
    paged(&begin, rows, height)
}

/// The pages of one way, as few as the smallest size brings it to, in the largest size that needs no more.
fn lay_out(
    context: &Context<'_>,
    steps: (&SettingOutSteps, &Takes),
    way: Way,
    width: f64,
    height: f64,
) -> Vec<Fragment> {
    let flow = |style: Style| flow(context, steps, way, style, (width, height));
    let fewest = flow(SIZES[SIZES.len() - 1]).len();
    let as_few = |style| Some(flow(style)).filter(|pages| pages.len() == fewest);
    largest(SIZES, as_few).unwrap_or_default()
}

fn flow(
    context: &Context<'_>,
    (steps, takes): (&SettingOutSteps, &Takes),
    way: Way,
    style: Style,
    (width, height): (f64, f64),
) -> Vec<Fragment> {
    let columns = Columns::new(width, context.inches);
    let rows = rows(context, steps, way, style, &columns);
    let headings = headings(&columns);
    let begin = |first: bool| {
        let mut page = head(context, steps, way, width, !first);
        if first && way == Way::Perpendicular {
            // The other way takes the same, but for the strings.
            let takes = said_takes::section(takes, context.inches);
            for paragraph in &takes.paragraphs {
                page.stack(&note(paragraph, width, heights::TEXT), 0.0);
            }
        }
        if first {
            page.stack(
                &picture(
                    context.plan,
                    steps.way(way),
                    steps.help_of(way),
                    width,
                    style.picture,
                ),
                GAP,
            );
            if let Some(figures) = figures(steps.way(way), width) {
                page.stack(&figures, GAP);
            }
        }
        page.stack(&headings, GAP);
        page
    };
    paged(&|continued| begin(!continued), rows, height)
}

/// Rows over as many pages as they need, each begun as `begin` does, which is told whether it goes on.
fn paged(begin: &dyn Fn(bool) -> Fragment, rows: Vec<Fragment>, height: f64) -> Vec<Fragment> {
    let mut pages: Vec<(Fragment, Vec<Fragment>)> = vec![(begin(false), Vec::new())];
    let mut used = pages[0].0.height;
    for row in rows {
        let Some((_, last)) = pages.last_mut() else {
            break;
        };
        if used + row.height > height && !last.is_empty() {
            let page = begin(true);
            used = page.height + row.height;
            pages.push((page, vec![row]));
        } else {
            used += row.height;
            last.push(row);
        }
    }
    pages
        .into_iter()
        .map(|(page, rows)| spread(page, &rows, height))
        .collect()
}

/// Puts rows on a page, room that is left shared out between them, a thin line between one and the next.
fn spread(mut page: Fragment, rows: &[Fragment], height: f64) -> Fragment {
    let spare = height - page.height - rows.iter().map(|row| row.height).sum::<f64>();
    let air = (spare / rows.len().max(1) as f64).clamp(0.0, MOST_AIR);
    for row in rows {
        page.stack(row, air / 2.0);
        page.height += air / 2.0;
        let (y, width) = (-page.height, page.width);
        page.canvas().line(
            Layer::Labels,
            (0.0, y),
            (width, y),
            Stroke::solid(widths::FINE).toned(Tone::QUIET),
        );
    }
    page
}
