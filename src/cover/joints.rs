//! Joints: which sheets are joined, where they are cut, and the registration marks between them.
//!
//! A sheet that is cut at an edge is cut along its cell there, half an overlap inside the window.
//! So whatever is cut, the cells still cover the layout; and every cut of a kit is the same.
//!
//! Rejected: cells that need not hold the outer half overlap of a strip. It saves two sheets of 78
//! now and then, but a cut beside a strip then takes part of it.
//!
//! Joints are found by geometry, whoever chose the cells. The sheet laid later lies on top and is
//! cut where it is joined, and where its blank margin would hide content. In `grid` and `full` the
//! order of laying is such that only right and bottom edges are cut. In `lines` sheets with
//! crossings come first, each laid by tape, and the sheets between them end on them: errors of
//! joints end there too.

use kurbo::{Line, Rect};

use super::{
    Content, Edge, Joint, PlacedSheet, RegistrationMark, SheetFormat, content::meets,
    registration::registration_marks,
};
use crate::units::SAME_DRAWN_MM;

/// Shortest seam, mm, on which two registration marks hold an angle.
const LEAST_SEAM_MM: f64 = 50.0;

/// Half the width in mm of the strip along a seam in which content counts as crossing it.
const CROSSING_MM: f64 = 0.5;

/// How much an overlap may lack, mm: cells that lie this far apart still count as touching.
const LACK_MM: f64 = 2.0 * SAME_DRAWN_MM;

/// Which neighbours are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Join {
    /// All that overlap along an edge: a mat.
    All,
    /// Those between which a part of the layout goes on.
    Content,
}

/// Joins the sheets, cuts them where they lie on others, and puts two registration marks on each seam.
pub(super) fn join(
    sheets: &mut [PlacedSheet],
    format: &SheetFormat,
    content: &Content,
    which: Join,
) -> (Vec<Joint>, Vec<RegistrationMark>) {
    let mut joints = Vec::new();
    for (under, over) in overlapping(sheets) {
        let seams = Edge::ALL.into_iter().filter_map(|edge| {
            let seam = seam(&sheets[over], &sheets[under], edge, format)?;
            (which == Join::All || crosses(content, seam)).then_some((edge, seam))
        });
        let longest = seams.max_by(|(_, a), (_, b)| length(*a).total_cmp(&length(*b)));
        if let Some((edge, seam)) = longest {
            sheets[over].cut[edge as usize] = true;
            joints.push(Joint {
                over,
                under,
                edge,
                seam,
                registration: [2 * joints.len(), 2 * joints.len() + 1],
            });
        }
    }
    uncover(sheets, format, content);
    let marks = registration_marks(&joints, sheets, format.cut_depth(), content);
    for joint in &joints {
        for sheet in [joint.under, joint.over] {
            sheets[sheet].registration.extend(joint.registration);
        }
    }
    (joints, marks)
}

/// Cuts sheets where their blank edges would hide content of sheets below them.
fn uncover(sheets: &mut [PlacedSheet], format: &SheetFormat, content: &Content) {
    for (under, over) in overlapping(sheets) {
        let shown = sheets[under].floor_window();
        for edge in Edge::ALL
            .into_iter()
            .filter(|edge| !sheets[over].is_cut(*edge))
            .collect::<Vec<_>>()
        {
            let (window, paper) = (
                sheets[over].page_window(),
                sheets[over].cut_paper(format.cut_depth()),
            );
            let blank = match edge {
                Edge::Left => Rect {
                    x1: window.x0,
                    ..paper
                },
                Edge::Right => Rect {
                    x0: window.x1,
                    ..paper
                },
                Edge::Top => Rect {
                    y0: window.y1,
                    ..paper
                },
                Edge::Bottom => Rect {
                    y1: window.y0,
                    ..paper
                },
            };
            let hidden = sheets[over]
                .floor_to_page
                .inverse()
                .transform_rect_bbox(blank)
                .intersect(shown);
            sheets[over].cut[edge as usize] =
                hidden.area() > 0.0 && content.regions.iter().any(|region| meets(region, hidden));
        }
    }
}

/// Pairs of sheets, (lower, upper), whose papers overlap, by the lower one's place and then the upper one's.
fn overlapping(sheets: &[PlacedSheet]) -> Vec<(usize, usize)> {
    let papers: Vec<Rect> = sheets
        .iter()
        .map(|sheet| {
            sheet
                .floor_to_page
                .inverse()
                .transform_rect_bbox(sheet.paper.to_rect())
        })
        .collect();
    let mut order: Vec<usize> = (0..sheets.len()).collect();
    order.sort_by(|&a, &b| papers[a].x0.total_cmp(&papers[b].x0));
    let mut pairs = Vec::new();
    for (position, &one) in order.iter().enumerate() {
        let reach = order[position + 1..]
            .iter()
            .take_while(|&&other| papers[other].x0 < papers[one].x1);
        for &other in reach.filter(|&&other| papers[other].intersect(papers[one]).area() > 0.0) {
            pairs.push((one.min(other), one.max(other)));
        }
    }
    pairs.sort_unstable();
    pairs
}

/// The part of a sheet's cut at an edge that lies on a sheet below it, on the floor. `None` when the
/// lower one does not show half an overlap on both sides of the cut, or too little of it.
fn seam(over: &PlacedSheet, under: &PlacedSheet, edge: Edge, format: &SheetFormat) -> Option<Line> {
    let depth = format.cut_depth();
    let cut = edge.of(over.page_window().inset(-depth));
    let below = (over.floor_to_page * under.floor_to_page.inverse())
        .transform_rect_bbox(under.page_window());
    let within =
        |low: f64, at: f64, high: f64| low + depth <= at + LACK_MM && at <= high - depth + LACK_MM;
    let shown = if edge.is_upright() {
        within(below.x0, cut.p0.x, below.x1)
    } else {
        within(below.y0, cut.p0.y, below.y1)
    };
    let kept = below.inset(-depth);
    let line = if edge.is_upright() {
        Line::new(
            (cut.p0.x, cut.p0.y.max(kept.y0)),
            (cut.p1.x, cut.p1.y.min(kept.y1)),
        )
    } else {
        Line::new(
            (cut.p0.x.max(kept.x0), cut.p0.y),
            (cut.p1.x.min(kept.x1), cut.p1.y),
        )
    };
    let span = line.p1 - line.p0;
    (shown && span.x + span.y >= LEAST_SEAM_MM).then(|| over.floor_to_page.inverse() * line)
}

fn length(line: Line) -> f64 {
    (line.p1 - line.p0).hypot()
}

fn crosses(content: &Content, seam: Line) -> bool {
    let strip = Rect::from_points(seam.p0, seam.p1).inset(CROSSING_MM);
    content.regions.iter().any(|region| meets(region, strip))
}
