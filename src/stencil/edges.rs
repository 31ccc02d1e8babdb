//! The edges of a layout's panel.

use kurbo::{Line, Point};

use super::distance::sides;
use crate::{
    plan::{FloorPlan, Panel},
    units::SAME_DRAWN_MM,
};

/// What is drawn around a panel and its fields.
pub(super) enum Edges {
    /// Straight edges, each once, also where two fields share it.
    Straight(Vec<Line>),
    /// One circle.
    Circle {
        /// Its middle on the floor.
        centre: Point,
        /// Its radius, mm.
        radius: f64,
    },
}

/// The edges of a panel and of its fields, on the floor.
pub(super) fn edges_of(plan: &FloorPlan, panel: &Panel) -> Edges {
    if let Some(radius) = panel.shape.radius() {
        return Edges::Circle {
            centre: plan.panel_middle(panel),
            radius,
        };
    }
    let mut edges: Vec<Line> = Vec::new();
    let fields = plan.panel_fields(panel);
    for edge in fields.iter().flat_map(|field| sides(&field.outline)) {
        let same = |p: Point, q: Point| p.distance(q) < SAME_DRAWN_MM;
        let is_known = edges.iter().any(|known| {
            (same(known.p0, edge.p0) && same(known.p1, edge.p1))
                || (same(known.p0, edge.p1) && same(known.p1, edge.p0))
        });
        if !is_known {
            edges.push(edge);
        }
    }
    Edges::Straight(edges)
}
