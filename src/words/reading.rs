//! What a reading is called, and what is said of all of them.

use crate::survey::{Geometry, TapedLayout};

/// "1L–3C", "2C on the string 1C–4C", "the plumbed mark WFL".
pub(super) fn line(layout: &TapedLayout, geometry: Geometry) -> String {
    let name = |point: usize| layout.network.points[point].id.as_str();
    match geometry {
        Geometry::Distance { from, to } => format!("{}\u{2013}{}", name(from), name(to)),
        Geometry::Offset {
            mark,
            line: [start, end],
        } => {
            format!(
                "{} on the string {}\u{2013}{}",
                name(mark),
                name(start),
                name(end)
            )
        }
        Geometry::X { point } | Geometry::Y { point } => {
            format!("the plumbed mark {}", name(point))
        }
    }
}

/// Readings that scatter `factor` times as much as they may, none more than the others.
pub(super) fn scatter(factor: f64) -> String {
    format!(
        "The readings scatter {factor:.1} times as much as careful taping does, and no single one stands out: tape with more care, \
         or set [precision] to what the tape really is."
    )
}
