//! What the steps end with: the checklists of the template, and its values.

use crate::{
    drawing::{Text, heights},
    page::{Fragment, HEADING_GAP, entries, paragraph},
    plan::FloorPlan,
    words::{
        printed::bay::{BEFORE_SETTING_OUT, BEFORE_TEARING_DOWN},
        values,
    },
};

/// Height of a heading, mm.
const HEADING: f64 = 3.0;
/// Clear height above a heading and below what follows it, mm.
const PADDING: f64 = 1.2;

/// Clear width between two checklists, mm.
const GUTTER: f64 = 5.0;

/// A row for the checklists, side by side, and one for the values; none where a template has neither.
pub(super) fn checklist_rows(plan: &FloorPlan, inches: bool, width: f64) -> Vec<Fragment> {
    let column = (width - GUTTER) / 2.0;
    let mut lists = Fragment::new(width);
    let mut left = 0.0;
    for (title, points) in [
        (BEFORE_SETTING_OUT, &plan.preparation),
        (BEFORE_TEARING_DOWN, &plan.closing),
    ] {
        if !points.is_empty() {
            let list = headed(title, &entries(points, column, heights::TEXT), column);
            list.place(lists.canvas(), left, 0.0);
            lists.height = lists.height.max(list.height);
            left += column + GUTTER;
        }
    }
    let used = values(&plan.template.values, inches);
    let used = (!used.is_empty()).then(|| {
        headed(
            "Values used",
            &paragraph(&used, width, heights::TEXT),
            width,
        )
    });
    let lists = (lists.height > 0.0).then_some(lists);
    lists.into_iter().chain(used).collect()
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
