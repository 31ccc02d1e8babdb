//! What the steps end with: the checklists of the template, and its values.

use crate::{
    drawing::{Text, heights},
    page::{Fragment, HEADING_GAP, entries, paragraph},
    plan::FloorPlan,
    words::values,
};

/// Height of a heading, mm.
const HEADING: f64 = 3.0;
/// Clear height above a heading and below what follows it, mm.
const PADDING: f64 = 1.2;

/// A row for each checklist and one for the values; none where a template has neither.
pub(super) fn checklist_rows(plan: &FloorPlan, inches: bool, width: f64) -> Vec<Fragment> {
    let lists = [
        ("Before setting out", &plan.preparation),
        ("Before tearing down", &plan.closing),
    ];
    let lists = lists
        .into_iter()
        .filter(|(_, points)| !points.is_empty())
        .map(|(title, points)| (title, entries(points, width, heights::TEXT)));
    let used = values(&plan.template.values, inches);
    let used = (!used.is_empty()).then(|| ("Values used", paragraph(&used, width, heights::TEXT)));
    lists
        .chain(used)
        .map(|(title, what)| headed(title, &what, width))
        .collect()
}

fn headed(title: &str, what: &Fragment, width: f64) -> Fragment {
    let mut row = Fragment::new(width);
    let title = Text::new((0.0, -PADDING - HEADING), HEADING, title).bold();
    row.canvas().text(title);
    row.height = PADDING + HEADING;
    row.stack(what, HEADING_GAP);
    row.height += PADDING;
    row
}
