//! Whole stencils: all that is built in, and layouts drawn by lot.

use kurbo::{Point, Rect, Shape};

use super::{CutNote, CutOptions, CutPlan, Opening, cut, whole};
use crate::{
    job::{TEMPLATES, VEHICLES},
    plan::{FloorPlan, Line, Mark, Panel, PanelShape, bounds},
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

fn plan(vehicle: usize, template: usize) -> FloorPlan {
    let vehicle = VehicleSpec::read(&VEHICLES[vehicle].source()).unwrap();
    let template = TemplateSpec::read(&TEMPLATES[template].source()).unwrap();
    FloorPlan::resolve(&vehicle, &template, &[], None).unwrap()
}

fn options() -> [CutOptions; 4] {
    let good = CutOptions::default;
    [
        good(),
        CutOptions {
            panel: Some((1200.0, 800.0)),
            kerf: 0.2,
            ..good()
        },
        CutOptions {
            panel: Some((2500.0, 1250.0)),
            bridge: 15.0,
            bridge_every: 200.0,
            kerf: 3.0,
            ..good()
        },
        CutOptions {
            panel: Some((500.0, 400.0)),
            bridge: 3.0,
            bridge_every: 100.0,
            corner: Some(3.0),
            ..good()
        },
    ]
}

/// Everything that must be true of any stencil.
fn is_sound(plan: &FloorPlan, cut: &CutPlan) {
    let options = &cut.options;
    for piece in &cut.pieces {
        let polygons: Vec<Vec<Point>> = piece.openings.iter().map(Opening::polygon).collect();
        assert_eq!(
            whole::remaining(&piece.outline, &polygons).len(),
            1,
            "{} falls apart",
            piece.label
        );
        // Nothing reaches over a joint, and a rim of a bridge's width is left along it.
        let inner = piece.area.inset(-options.bridge + 1e-6);
        for polygon in &polygons {
            let around = bounds(polygon);
            assert!(
                inner.contains(around.origin()) && inner.union(around) == inner,
                "{around:?} in {inner:?}"
            );
        }
    }
    let holes: Vec<Point> = holes(cut).collect();
    for mark in &plan.marks {
        let told = cut
            .notes
            .iter()
            .any(|note| *note == CutNote::NoHole(mark.id.clone()));
        assert!(told || holes.contains(&mark.at), "no hole for {}", mark.id);
    }
    let area: f64 = cut.pieces.iter().map(|piece| piece.area.area()).sum();
    assert!(
        (area - cut.mat.area()).abs() < 1e-3,
        "pieces do not make the mat"
    );
}

fn holes(cut: &CutPlan) -> impl Iterator<Item = Point> + '_ {
    cut.pieces
        .iter()
        .flat_map(|piece| &piece.openings)
        .filter_map(|opening| match opening {
            Opening::Hole { at, .. } => Some(*at),
            _ => None,
        })
}

#[test]
fn every_vehicle_with_every_template_stays_one_piece_per_panel_and_needs_no_excuse() {
    for vehicle in 0..VEHICLES.len() {
        for template in 0..TEMPLATES.len() {
            let plan = plan(vehicle, template);
            for options in options() {
                let cut = cut(&plan, &options).unwrap_or_else(|error| panic!("{error}"));
                is_sound(&plan, &cut);
                if options == CutOptions::default() {
                    assert_eq!(cut.notes, []);
                }
                if let Some((one, other)) = options.panel {
                    for piece in &cut.pieces {
                        let (w, h) = (piece.area.width(), piece.area.height());
                        let fits = |w: f64, h: f64| w <= one + 1e-6 && h <= other + 1e-6;
                        assert!(fits(w, h) || fits(h, w), "{w} × {h}");
                    }
                }
            }
        }
    }
}

/// A small generator of numbers (Knuth's MMIX constants); the same every time.
struct Lot(u64);

impl Lot {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }

    fn from(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.below(10_000) as f64 / 10_000.0
    }
}

/// A layout of lines and panels anywhere, some slanting, some overlapping.
fn drawn_by_lot(lot: &mut Lot, template: &FloorPlan) -> FloorPlan {
    let mut plan = template.clone();
    let count = 4 + lot.below(10) as usize;
    plan.marks = (0..count)
        .map(|index| Mark {
            id: format!("M{index}"),
            at: Point::new(
                lot.from(-3000.0, 3000.0).round(),
                lot.from(-1500.0, 1500.0).round(),
            ),
            ..template.marks[0].clone()
        })
        .collect();
    // Pairs of neighbours on a common x or y, as in real layouts.
    for index in 1..count {
        let before = plan.marks[index - 1].at;
        match lot.below(3) {
            0 => plan.marks[index].at.x = before.x,
            1 => plan.marks[index].at.y = before.y,
            _ => {}
        }
    }
    plan.lines = (1..count)
        .map(|index| Line::new(index - 1, index, lot.from(10.0, 80.0).round()))
        .chain([Line::new(0, count - 1, 25.0)])
        .collect();
    plan.panels = (0..lot.below(4) as usize)
        .map(|index| Panel {
            mark: index,
            shape: match lot.below(4) {
                0 => PanelShape::of("square", &[], &[lot.from(50.0, 600.0)]),
                1 => PanelShape::of("chequer", &[3, 4], &[lot.from(20.0, 200.0)]),
                2 => PanelShape::of("disc", &[], &[lot.from(30.0, 600.0)]),
                _ => PanelShape::of("cross", &[], &[300.0, lot.from(20.0, 90.0)]),
            },
            turn: lot.from(0.0, 90.0),
            shift: (lot.from(-200.0, 200.0), 0.0),
        })
        .collect();
    plan
}

#[test]
fn layouts_drawn_by_lot_stay_one_piece_per_panel() {
    let template = plan(1, 0);
    let mut lot = Lot(1);
    let mut cut_count = 0;
    for _ in 0..12 {
        let plan = drawn_by_lot(&mut lot, &template);
        for options in options() {
            match cut(&plan, &options) {
                Ok(cut) => {
                    is_sound(&plan, &cut);
                    cut_count += 1;
                }
                // Small panels may find no straight joint between many marks.
                Err(error) => assert!(matches!(error, super::CutError::Joint { .. }), "{error}"),
            }
        }
    }
    assert!(cut_count > 40, "only {cut_count} of 48 could be cut");
}

#[test]
fn a_pad_at_a_crossing_of_slots_holds_the_marks_hole() {
    let mut plan = plan(0, 0);
    let at = |x: f64, y: f64, id: &str| Mark {
        id: id.to_owned(),
        at: Point::new(x, y),
        ..plan.marks[0].clone()
    };
    plan.marks = vec![
        at(-500.0, 0.0, "A"),
        at(500.0, 0.0, "B"),
        at(0.0, -500.0, "C"),
        at(0.0, 500.0, "D"),
        at(0.0, 0.0, "E"),
    ];
    let line = |from, to| Line::new(from, to, 50.0);
    plan.lines = vec![line(0, 1), line(2, 3)];
    plan.panels = vec![];
    let cut = cut(&plan, &CutOptions::default()).unwrap();
    is_sound(&plan, &cut);
    let pad = Rect::from_center_size((0.0, 0.0), (61.0, 61.0));
    let slots = cut.pieces[0]
        .openings
        .iter()
        .filter(|o| matches!(o, Opening::Slot { width, .. } if *width == 50.0));
    for slot in slots {
        assert!(
            bounds(&slot.polygon()).intersect(pad).area() == 0.0,
            "{slot:?} cuts the pad"
        );
    }
}

#[test]
fn a_mat_longer_than_a_pdf_page_is_divided_and_a_shorter_one_is_not() {
    let long = cut(&plan(4, 0), &CutOptions::default()).unwrap();
    assert!(
        long.mat.width() > 7000.0 && long.grid == (1, 2),
        "{:?}",
        long.grid
    );
    let short = cut(
        &plan(0, 0),
        &CutOptions {
            panel: None,
            ..CutOptions::default()
        },
    )
    .unwrap();
    let pages = (short.mat.width() / super::LARGEST_PIECE_MM).ceil() as usize;
    assert_eq!(short.grid, (1, pages));
}

#[test]
fn no_joint_touches_a_marks_cross_or_an_alignment_notch() {
    let plan = plan(3, 0);
    let cut = cut(&plan, &options()[1]).unwrap();
    for piece in &cut.pieces {
        for mark in &plan.marks {
            for x in [piece.area.x0, piece.area.x1] {
                assert!((x - mark.at.x).abs() >= 23.0 - 1e-6);
            }
            for y in [piece.area.y0, piece.area.y1] {
                assert!((y - mark.at.y).abs() >= 23.0 - 1e-6);
            }
        }
    }
}

#[test]
fn neighbours_have_the_same_notches_on_their_joint() {
    let cut = cut(&plan(3, 0), &options()[1]).unwrap();
    let (rows, columns) = cut.grid;
    assert!(rows > 1 && columns > 1);
    let on = |piece: &super::Piece, x: f64| {
        let mut ys: Vec<f64> = piece
            .outline
            .iter()
            .filter(|p| (p.x - x).abs() < 1e-9)
            .map(|p| (p.y * 1e6).round())
            .collect();
        ys.sort_by(f64::total_cmp);
        ys
    };
    for (left, right) in cut
        .pieces
        .iter()
        .zip(&cut.pieces[1..])
        .filter(|(a, b)| a.cell.0 == b.cell.0)
    {
        let x = left.area.x1;
        assert_eq!(x, right.area.x0);
        assert_eq!(on(left, x), on(right, x));
        // Two corners and two notches of two corners each.
        assert_eq!(on(left, x).len(), 6, "{}", left.label);
    }
}

#[test]
fn strips_too_near_to_each_other_are_told_and_not_cut_through() {
    let mut plan = plan(0, 0);
    let at = |x: f64, y: f64, id: &str| Mark {
        id: id.to_owned(),
        at: Point::new(x, y),
        ..plan.marks[0].clone()
    };
    plan.marks = vec![
        at(0.0, 0.0, "A"),
        at(900.0, 0.0, "B"),
        at(100.0, 40.0, "C"),
        at(800.0, 40.0, "D"),
    ];
    plan.lines = vec![Line::new(0, 1, 50.0), Line::new(2, 3, 50.0)];
    plan.panels = vec![];
    let cut = cut(&plan, &CutOptions::default()).unwrap();
    is_sound(&plan, &cut);
    assert!(
        cut.notes.iter().any(|note| matches!(note, CutNote::SlotShortened(strip) | CutNote::NoSlot(strip) if strip == "C–D")),
        "{:?}",
        cut.notes
    );
}

#[test]
fn a_disc_is_held_on_four_sides_and_drawn_on_the_four_between() {
    let plan = plan(0, 3);
    let cut = cut(&plan, &CutOptions::default()).unwrap();
    let openings: Vec<&Opening> = cut
        .pieces
        .iter()
        .flat_map(|piece| &piece.openings)
        .collect();
    for panel in &plan.panels {
        let middle = plan.marks[panel.mark].at;
        let swept: Vec<f64> = openings
            .iter()
            .filter_map(|opening| match opening {
                Opening::Arc {
                    centre,
                    radius,
                    sweep,
                    ..
                } if centre.distance(middle) < 1e-6 => Some(sweep * radius),
                _ => None,
            })
            .collect();
        // A circle of 60 mm less four bridges of 8 mm and the caps of four slots, 2 mm each.
        let expected = std::f64::consts::TAU * 60.0 - 4.0 * 10.0;
        assert_eq!(swept.len(), 4);
        assert!(
            (swept.iter().sum::<f64>() - expected).abs() < 1.0,
            "{swept:?}"
        );
    }
}

#[test]
fn the_widest_tool_still_has_a_way_in_every_opening() {
    for template in 0..TEMPLATES.len() {
        let plan = plan(1, template);
        let cut = cut(
            &plan,
            &CutOptions {
                kerf: 5.0,
                panel: Some((700.0, 500.0)),
                ..CutOptions::default()
            },
        )
        .unwrap();
        is_sound(&plan, &cut);
        for opening in cut.pieces.iter().flat_map(|piece| &piece.openings) {
            let around = opening.path(cut.options.kerf / 2.0).bounding_box();
            assert!(around.width().max(around.height()) >= 0.99, "{opening:?}");
            assert!(
                around.is_finite() && around.width() > 0.0 && around.height() > 0.0,
                "{opening:?}"
            );
        }
    }
}
