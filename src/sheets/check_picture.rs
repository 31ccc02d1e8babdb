//! What a check plan finds of every mark, as a page.

use kurbo::Rect;

use super::{
    Context,
    check_plot::{CheckPlot, check_plot},
    fragment::Fragment,
    frame::{drawing_space, frame},
    table::{Align, Cell, Column, Room, Row, Table},
    title_block::{Title, title_block},
    wrap::wrap,
};
use crate::{
    drawing::{Drawing, Text, Weight, heights},
    paper::Paper,
    plan::FloorPlan,
    survey::{CheckChoice, CheckPlan, Detectable},
    units::mm_exact,
};

/// Width of the column with table and text, mm.
const COLUMN: f64 = 60.0;
/// Clear space to the frame, and between columns, mm.
const INSET: f64 = 3.0;
/// Baseline to baseline as a multiple of the lettering.
const LEADING: f64 = 1.5;
/// Height of a row, mm.
const ROW: f64 = 4.4;
/// Clear height between two parts, mm.
const GAP: f64 = 3.0;

/// One upright page: the layout with its pulls, at each mark the ellipse of the smallest displacements that are found, and its
/// tolerance; beside it the same as a table, and what cannot be found.
#[must_use]
pub fn check_picture(context: &Context<'_>, checks: &CheckPlan, paper: &Paper) -> Drawing {
    let plan = context.plan;
    let mut page = Drawing::new(format!("Check plan {}", checks.choice.word()), paper.width, paper.height);
    let space = drawing_space(paper);
    let measured = title_block(context, &title("", ""), space.width());
    let body = Rect::new(space.x0 + INSET, space.y0 + measured.height + INSET, space.x1 - INSET, space.y1 - INSET);
    let plot = check_plot(plan, checks, body.width() - COLUMN - INSET, body.height());
    let picture = Fragment::around(&plot.drawing, Rect::new(0.0, 0.0, plot.size.0, plot.size.1));
    picture.place(&mut page, body.x0, body.y1);
    column(plan, checks, &plot, body.height()).place(&mut page, body.x1 - COLUMN, body.y1);
    let sheet = match checks.choice {
        CheckChoice::Quick => "1/2",
        CheckChoice::Full => "2/2",
    };
    let scale = format!("1:{}", mm_exact(plot.ratio, 0));
    let block = title_block(context, &title(&scale, sheet), space.width());
    block.place(&mut page, space.x0, space.y0 + block.height);
    frame(&mut page, paper);
    page
}

const fn title<'t>(scale: &'t str, sheet: &'t str) -> Title<'t> {
    Title { document_type: "what the checks find", scale, sheet }
}

fn column(plan: &FloorPlan, checks: &CheckPlan, plot: &CheckPlot, height: f64) -> Fragment {
    let heading = format!("Check plan {}", checks.choice.word());
    let mut piece = paragraph(&heading, heights::HEADING, Weight::Bold);
    piece.stack(&text(&summary(checks)), GAP);
    let mut below = text(&legend(plot));
    for line in findings(plan, checks) {
        below.stack(&text(&line), GAP / 2.0);
    }
    let room = height - piece.height - below.height - 2.0 * GAP;
    if let Some(table) = table(plan, checks, room) {
        piece.stack(&table, GAP);
    }
    piece.stack(&below, GAP);
    piece
}

fn summary(checks: &CheckPlan) -> String {
    let pulls = checks.reachable().count();
    let mut sentence = match checks.lower_bound {
        Some(least) => {
            format!("{pulls} distances of {} that a tape can reach; at least {least} are needed.", checks.candidates)
        }
        None => format!("{pulls} distances: sides, ends, diagonals, ties."),
    };
    if let through @ 1.. = checks.not_reachable() {
        sentence.push_str(&format!(" {through} more cannot be reached while the vehicle stands there."));
    }
    sentence
}

fn legend(plot: &CheckPlot) -> String {
    format!(
        "Ellipse: smallest displacement that is found with 80 % (false alarm 0.1 %). Dashed circle: tolerance. Both enlarged: {} mm on paper for 1 mm on the floor. Straight thick line: found only far outside the tolerance, or not at all, that way. Thin lines: distances to tape.",
        mm_exact(plot.enlargement, 2)
    )
}

fn findings(plan: &FloorPlan, checks: &CheckPlan) -> Vec<String> {
    let names = |keep: &dyn Fn(&Detectable) -> bool| {
        let kept = plan.marks.iter().zip(&checks.marks).filter(|(_, found)| keep(found));
        kept.map(|(mark, _)| mark.id.as_str()).collect::<Vec<_>>().join(", ")
    };
    let loose = names(&|found| found.loose());
    let short = names(&|found| !found.loose() && !found.proven());
    let mut lines = Vec::new();
    if !loose.is_empty() {
        lines.push(format!("Cannot find: any displacement of {loose} along its thick line."));
    }
    if !short.is_empty() {
        lines.push(format!("Cannot find: displacements as small as the tolerance of {short}."));
    }
    if lines.is_empty() {
        lines.push("Cannot find: nothing; every displacement as large as a tolerance is found.".to_owned());
    }
    for advice in &checks.advice {
        let [from, to] = advice.string.map(|mark| plan.marks[mark].id.as_str());
        let (mark, read) = (&plan.marks[advice.mark].id, &plan.marks[advice.read].id);
        let worst = mm_exact(advice.worst, 1);
        lines.push(format!("For {mark}: a string over {from} and {to}, and how {read} lies to it: from {worst} mm."));
    }
    lines.push(
        "Finding a mark is not knowing a system calibrated: the vehicle maker's service information goes first."
            .to_owned(),
    );
    lines
}

fn table(plan: &FloorPlan, checks: &CheckPlan, height: f64) -> Option<Fragment> {
    let columns = vec![
        Column::new("mark", Align::Left, Room::Content),
        Column::new("±\nmm", Align::Right, Room::Content),
        Column::new("found\nfrom, mm", Align::Right, Room::Content),
        Column::new("worst", Align::Left, Room::Rest(14.0)),
    ];
    // Two lines of headings, and one of what is left out.
    let most = ((height - 3.0 * ROW) / ROW).max(1.0) as usize;
    let rows = plan.marks.iter().zip(&checks.marks).take(most).map(|(mark, found)| {
        let (from, way) = if found.loose() {
            ("–".to_owned(), format!("not held {}", found.direction_word()))
        } else {
            (format!("{:.1}", found.worst), found.direction_word().to_owned())
        };
        Row {
            cells: vec![
                Cell::Bold(mark.id.clone()),
                Cell::Text(mm_exact(mark.tolerance, 1)),
                Cell::Text(from),
                Cell::Text(way),
            ],
            starts_group: false,
        }
    });
    let table = Table { columns, rows: rows.collect(), lettering: heights::TEXT, row_height: ROW };
    let mut piece = table.lay_out(COLUMN)?;
    if let more @ 1.. = plan.marks.len().saturating_sub(most) {
        piece.stack(&text(&format!("… and {more} more in plan.json")), 1.0);
    }
    Some(piece)
}

fn text(content: &str) -> Fragment {
    paragraph(content, 2.0, Weight::Regular)
}

fn paragraph(content: &str, lettering: f64, weight: Weight) -> Fragment {
    let mut piece = Fragment::new(COLUMN);
    for (index, line) in wrap(content, COLUMN, lettering, weight).into_iter().enumerate() {
        let text = Text::new((0.0, -lettering - lettering * LEADING * index as f64), lettering, line);
        piece.canvas().text(if weight == Weight::Bold { text.bold() } else { text });
        piece.height = lettering + lettering * LEADING * index as f64;
    }
    piece
}
