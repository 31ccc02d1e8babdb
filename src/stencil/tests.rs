//! Whole stencils: all that is built in, and layouts drawn by lot.

use kurbo::{ParamCurveNearest, Point, Rect, Shape};

use super::{
    CutBed, CutNote, CutOptions, CutPlan, Opening, cut, distance::between, shape::remaining,
    stroke_font::strokes,
};
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

fn options() -> [CutOptions; 6] {
    let good = CutOptions::default;
    let sheet = |width, height| Some(CutBed::Sheet(width, height));
    [
        good(),
        CutOptions {
            bed: sheet(1200.0, 800.0),
            kerf: 0.2,
            ..good()
        },
        CutOptions {
            bed: sheet(2500.0, 1250.0),
            bridge: 15.0,
            bridge_every: 200.0,
            kerf: 3.0,
            ..good()
        },
        CutOptions {
            bed: Some(CutBed::Roll(600.0)),
            bridge: 3.0,
            bridge_every: 100.0,
            corner: Some(3.0),
            border: 30.0,
            ..good()
        },
        CutOptions {
            field: true,
            ..good()
        },
        CutOptions {
            field: true,
            bed: sheet(600.0, 500.0),
            bridge: 3.0,
            bridge_every: 100.0,
            ..good()
        },
    ]
}

/// Everything that must be true of any stencil.
fn is_sound(plan: &FloorPlan, cut: &CutPlan) {
    let options = &cut.options;
    for piece in &cut.pieces {
        let polygons: Vec<Vec<Point>> = piece.openings.iter().map(Opening::polygon).collect();
        let rest = remaining(&piece.shape, &polygons);
        assert_eq!(rest.len(), 1, "{} falls apart", piece.label);
        // Nothing reaches over an edge or a joint, and a bridge's width is left along it.
        let sides: Vec<Vec<Point>> = piece
            .shape
            .sides()
            .map(|side| vec![side.p0, side.p1])
            .collect();
        for (opening, part) in piece.openings.iter().flat_map(|opening| {
            opening
                .convex_parts()
                .into_iter()
                .map(move |p| (opening, p))
        }) {
            let near = sides
                .iter()
                .map(|side| between(side, &part))
                .fold(f64::INFINITY, f64::min);
            assert!(
                near >= options.bridge - 1e-6,
                "{opening:?} lies {near} mm from the edge of {}",
                piece.label
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
    lies_on_its_loads(cut);
}

/// Every piece lies on one load, whole, and none meets another.
fn lies_on_its_loads(cut: &CutPlan) {
    let mut laid: Vec<usize> = Vec::new();
    for load in &cut.loads {
        let mut areas: Vec<Rect> = Vec::new();
        for on in &load.pieces {
            let corners: Vec<Point> = cut.pieces[on.piece]
                .shape
                .outer
                .iter()
                .map(|corner| on.place * *corner)
                .collect();
            areas.push(bounds(&corners));
            laid.push(on.piece);
        }
        let sheet = Rect::from_origin_size((0.0, 0.0), load.size).inflate(1e-6, 1e-6);
        for (index, area) in areas.iter().enumerate() {
            assert_eq!(area.union(sheet), sheet, "{area:?} lies off its load");
            let others = &areas[index + 1..];
            assert!(
                others
                    .iter()
                    .all(|other| area.intersect(*other).area() == 0.0)
            );
        }
    }
    laid.sort_unstable();
    assert_eq!(laid, (0..cut.pieces.len()).collect::<Vec<_>>());
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
fn every_vehicle_with_every_template_stays_one_piece_per_piece_and_needs_no_excuse() {
    for vehicle in 0..VEHICLES.len() {
        for template in 0..TEMPLATES.len() {
            let plan = plan(vehicle, template);
            for options in options() {
                let cut = cut(&plan, &options).unwrap_or_else(|error| panic!("{error}"));
                is_sound(&plan, &cut);
                if options == CutOptions::default() {
                    assert_eq!(cut.notes, []);
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
fn layouts_drawn_by_lot_stay_one_piece_per_piece() {
    let template = plan(1, 0);
    let mut lot = Lot(1);
    let mut cut_count = 0;
    for _ in 0..12 {
        let plan = drawn_by_lot(&mut lot, &template);
        for options in options() {
            let options = CutOptions {
                partial: true,
                ..options
            };
            match cut(&plan, &options) {
                Ok(cut) => {
                    is_sound(&plan, &cut);
                    cut_count += 1;
                }
                // Small beds may find no straight joint between many marks.
                Err(error) => assert!(matches!(error, super::CutError::Joint { .. }), "{error}"),
            }
        }
    }
    assert!(cut_count > 60, "only {cut_count} of 72 could be cut");
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
    let slots = cut
        .pieces
        .iter()
        .flat_map(|piece| &piece.openings)
        .filter(|o| matches!(o, Opening::Slot { width, .. } if *width == 50.0));
    for slot in slots {
        assert!(
            bounds(&slot.polygon()).intersect(pad).area() == 0.0,
            "{slot:?} cuts the pad"
        );
    }
}

#[test]
fn the_demonstration_frame_is_light_and_fills_its_loads() {
    let cut = cut(&plan(4, 0), &CutOptions::default()).unwrap();
    let area: f64 = cut.area() / 1e6;
    assert!(area <= 3.6, "{area} m²");
    assert!(cut.loads.len() <= 5, "{} loads", cut.loads.len());
    let used: Vec<f64> = cut.loads.iter().map(|load| cut.used(load)).collect();
    let (_, full) = used.split_last().unwrap();
    assert!(full.iter().all(|used| *used >= 0.75), "{used:?}");
}

#[test]
fn a_crumb_beside_a_piece_that_has_room_for_it_is_one_with_it() {
    for vehicle in 0..VEHICLES.len() {
        for template in [2, 3] {
            let cut = cut(&plan(vehicle, template), &CutOptions::default()).unwrap();
            for piece in &cut.pieces {
                let around = piece.shape.bounds();
                let long = around.width().max(around.height());
                assert!(long > 135.0, "piece {} is {around:?}", piece.label);
            }
        }
    }
}

#[test]
fn ticks_count_from_the_first_mark_of_their_strip() {
    let plan = plan(4, 0);
    let cut = cut(&plan, &CutOptions::default()).unwrap();
    let first = plan.marks.iter().find(|mark| mark.id == "1L").unwrap().at;
    // Beside the left side line, 3 mm off its slot: short strokes square to it.
    let foot = first.y + 25.0 + 3.0;
    let ticks = cut
        .pieces
        .iter()
        .flat_map(|piece| &piece.lettering)
        .filter_map(|contour| match &contour.vertices[..] {
            [one, other] if (one.at.x - other.at.x).abs() < 1e-6 => Some((one.at, other.at)),
            _ => None,
        })
        .filter(|(one, other)| {
            (one.y - foot).abs() < 1e-6 && ((one.y - other.y).abs() - 6.0).abs() < 1e-6
        });
    let stations: Vec<f64> = ticks.map(|(one, _)| first.x - one.x).collect();
    assert!(stations.len() > 40, "{stations:?}");
    for station in stations {
        let off = (station / 100.0).round() * 100.0 - station;
        assert!(off.abs() < 1e-6, "{station}");
    }
}

#[test]
fn a_field_longer_than_a_pdf_page_is_divided_and_a_narrower_bed_divides_it_further() {
    let field = |bed| CutOptions {
        field: true,
        bed,
        ..CutOptions::default()
    };
    let pieces = |bed| cut(&plan(4, 0), &field(bed)).unwrap().pieces.len();
    assert_eq!(pieces(None), 2);
    assert!(pieces(Some(CutBed::Sheet(1200.0, 800.0))) >= 27);
}

#[test]
fn no_joint_touches_a_marks_cross() {
    for options in options().into_iter().filter(|options| !options.field) {
        let plan = plan(3, 0);
        let cut = cut(&plan, &options).unwrap();
        assert!(cut.joints.len() >= 16, "{} joints", cut.joints.len());
        for joint in &cut.joints {
            for mark in &plan.marks {
                let off = joint.line.nearest(mark.at, 1e-9).distance_sq.sqrt();
                assert!(off >= 15.0 + options.bridge, "{off} mm from {}", mark.id);
            }
        }
    }
}

#[test]
fn joined_pieces_have_the_same_edge_and_a_register_hole_at_the_same_distance_on_both_sides() {
    let cut = cut(&plan(3, 0), &CutOptions::default()).unwrap();
    let holes: Vec<Point> = holes(&cut).collect();
    for joint in &cut.joints {
        assert_eq!(joint.register.len(), 2);
        for [before, behind] in &joint.register {
            assert!((before.distance(*behind) - 50.0).abs() < 1e-9);
            assert!(holes.contains(before) && holes.contains(behind));
        }
        let ends_there = |piece: &&super::Piece| {
            [joint.line.p0, joint.line.p1].iter().all(|end| {
                let corners = piece.shape.outer.iter();
                corners.clone().any(|corner| corner.distance(*end) < 1e-6)
            })
        };
        assert_eq!(cut.pieces.iter().filter(ends_there).count(), 2);
    }
}

#[test]
fn every_piece_has_its_name_its_front_and_the_names_of_its_neighbours() {
    for template in 0..TEMPLATES.len() {
        let cut = cut(&plan(4, template), &CutOptions::default()).unwrap();
        let piece_at = |at: Point| cut.pieces.iter().position(|piece| piece.shape.holds(at));
        for (index, piece) in cut.pieces.iter().enumerate() {
            let others = cut.joints.iter().filter_map(|joint| {
                let [before, behind] = joint.beside().map(piece_at);
                match (before == Some(index), behind == Some(index)) {
                    (true, false) => behind,
                    (false, true) => before,
                    _ => None,
                }
            });
            let names = others.map(|other| format!("TO {}", cut.pieces[other].label));
            let texts = names.chain([piece.label.clone(), "FRONT".to_owned()]);
            // Of straights and arcs alike: so many strokes in any height, and the arrow's two.
            let wanted: usize = texts.map(|text| strokes(&text, 10.0).len()).sum::<usize>() + 2;
            assert!(
                piece.lettering.len() >= wanted,
                "{} lacks lettering",
                piece.label
            );
        }
    }
}

/// A strip A–B of 900 mm along x, and C–D from one x to another beside it.
fn two_strips((from, to): (f64, f64), beside: f64) -> FloorPlan {
    let mut plan = plan(0, 0);
    let at = |x: f64, y: f64, id: &str| Mark {
        id: id.to_owned(),
        at: Point::new(x, y),
        ..plan.marks[0].clone()
    };
    plan.marks = vec![
        at(0.0, 0.0, "A"),
        at(900.0, 0.0, "B"),
        at(from, beside, "C"),
        at(to, beside, "D"),
    ];
    plan.lines = vec![Line::new(0, 1, 50.0), Line::new(2, 3, 50.0)];
    plan.panels = vec![];
    plan
}

#[test]
fn two_strips_on_each_other_are_refused_and_partial_cuts_what_can_be_cut() {
    let plan = two_strips((-100.0, 1000.0), 20.0);
    let error = cut(&plan, &CutOptions::default()).unwrap_err();
    let super::CutError::Partial(losses) = &error else {
        panic!("{error}")
    };
    assert!(
        matches!(&losses[..], [super::Loss::Strip(name, part)] if name == "C–D" && *part < 0.9),
        "{losses:?}"
    );
    let partial = CutOptions {
        partial: true,
        ..CutOptions::default()
    };
    is_sound(&plan, &cut(&plan, &partial).unwrap());
}

#[test]
fn strips_too_near_to_each_other_are_told_and_not_cut_through() {
    let plan = two_strips((100.0, 800.0), 40.0);
    let partial = CutOptions {
        partial: true,
        ..CutOptions::default()
    };
    let cut = cut(&plan, &partial).unwrap();
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
                bed: Some(CutBed::Sheet(700.0, 500.0)),
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
