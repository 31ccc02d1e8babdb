//! Registration marks of every built-in template, against all other places on their seams.

use kurbo::{Point, Rect};

use crate::{
    cover::{Content, Joint, Mode, SheetFormat, SheetPlan, cover, cover_roll},
    job::{TEMPLATES, VEHICLES},
    paper::{Correction, LONGEST_PAGE_MM, Margins, Paper, Roll},
    plan::FloorPlan,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// Arms of a registration mark as they are drawn, and the air about them, mm.
const ARM_MM: f64 = 4.0;
const AIR_MM: f64 = 1.0;

/// By how much a pair could stand further apart, mm: a step at either end.
const LACK_MM: f64 = 2.0;

fn contents() -> Vec<Content> {
    let vehicle = VehicleSpec::read(&VEHICLES[0].source()).unwrap();
    let resolved = TEMPLATES.iter().map(|template| {
        let template = TemplateSpec::read(&template.source()).unwrap();
        FloorPlan::resolve(&vehicle, &template, &[], None).unwrap()
    });
    resolved.map(|plan| Content::of(&plan)).collect()
}

fn format(paper: Paper, margins: Margins) -> SheetFormat {
    SheetFormat {
        paper,
        margins,
        overlap: 10.0,
        correction: Correction::default(),
    }
}

/// Each layout on A4 and Letter, by the fewest sheets and on the grid, and on a roll.
fn plans() -> Vec<(Content, SheetPlan)> {
    let sheet = |name: &str, width, height| {
        let name = name.to_owned();
        let paper = Paper {
            name,
            width,
            height,
        };
        format(paper, Margins::default())
    };
    let sheets = [sheet("A4", 210.0, 297.0), sheet("Letter", 215.9, 279.4)];
    let roll = Roll {
        name: "610 mm".into(),
        width: 610.0,
    };
    let roll = format(roll.page(LONGEST_PAGE_MM), Roll::MARGINS);
    let mut plans = Vec::new();
    for content in contents() {
        for (format, mode) in sheets
            .iter()
            .flat_map(|format| [Mode::Lines, Mode::Grid].map(|mode| (format, mode)))
        {
            plans.push((content.clone(), cover(&content, format, mode).unwrap()));
        }
        let strips = cover_roll(&content, &roll, 50.0, Mode::Lines).unwrap();
        plans.push((content, strips));
    }
    plans
}

/// The square that a mark's arms and the air about them take.
fn room(at: Point) -> Rect {
    let side = 2.0 * (ARM_MM + AIR_MM);
    Rect::from_center_size(at, (side, side))
}

/// What both sheets of a joint keep when they are cut along all their edges: no mark on the seam may reach out of it along
/// the seam.
fn kept(plan: &SheetPlan, joint: &Joint) -> Rect {
    let cells = [joint.over, joint.under].map(|sheet| {
        let sheet = &plan.sheets[sheet];
        sheet.floor_window().inset(-plan.format.cut_depth())
    });
    cells[0].intersect(cells[1]).inset(1e-6)
}

/// What speaks against a place for a mark of a joint, the worst first: hidden by a sheet laid between the two, in the room of
/// another registration mark, near a mark of the layout, on the layout.
fn against(plan: &SheetPlan, content: &Content, joint: &Joint, at: Point) -> [bool; 4] {
    let taken = room(at).inset(-1e-6);
    let meets = |rect: Rect| {
        let shared = rect.intersect(taken);
        shared.width() > 0.0 && shared.height() > 0.0
    };
    let between = &plan.sheets[joint.under + 1..joint.over];
    let others = plan.registration.iter().enumerate();
    let mut others = others.filter(|(index, _)| !joint.registration.contains(index));
    [
        between.iter().any(|sheet| {
            let paper = sheet.cut_paper(plan.format.cut_depth());
            meets(sheet.floor_to_page.inverse().transform_rect_bbox(paper))
        }),
        others.any(|(_, other)| meets(room(other.at))),
        content.marks.iter().any(|mark| mark.distance(at) < 22.0),
        content
            .regions
            .iter()
            .any(|region| super::meets(region, taken)),
    ]
}

/// Distance of the two places on a joint's seam that lie furthest apart with nothing more against them than what there is
/// against its marks; found on a lattice of 0.5 mm.
fn furthest(plan: &SheetPlan, content: &Content, joint: &Joint) -> f64 {
    let kept = kept(plan, joint);
    let along = joint.seam.p1 - joint.seam.p0;
    let half = along.normalize() * (ARM_MM + AIR_MM);
    let count = (along.hypot() / 0.5) as usize;
    let places: Vec<(Point, [bool; 4])> = (0..=count)
        .map(|step| joint.seam.p0 + along.normalize() * (0.5 * step as f64))
        .filter(|at| kept.contains(*at - half) && kept.contains(*at + half))
        .map(|at| (at, against(plan, content, joint, at)))
        .collect();
    let [first, second] = joint.registration.map(|mark| {
        let at = plan.registration[mark].at;
        against(plan, content, joint, at)
    });
    let first = places.iter().find(|(_, faults)| *faults <= first);
    let second = places.iter().rev().find(|(_, faults)| *faults <= second);
    first.unwrap().0.distance(second.unwrap().0)
}

#[test]
fn no_pair_of_registration_marks_could_stand_further_apart_on_its_seam() {
    let mut joints = 0;
    for (content, plan) in plans() {
        for joint in &plan.joints {
            let [one, other] = joint.registration.map(|mark| plan.registration[mark].at);
            let most = furthest(&plan, &content, joint);
            let apart = one.distance(other);
            assert!(
                apart + LACK_MM >= most,
                "{apart} of {most} mm on {:?}, {} on {}",
                joint.seam,
                joint.over,
                joint.under
            );
            joints += 1;
        }
    }
    assert!(joints > 500, "{joints} joints were looked at");
}

#[test]
fn registration_marks_are_whole_on_both_sheets_and_clear_of_each_other() {
    for (_, plan) in plans() {
        for joint in &plan.joints {
            for mark in joint.registration {
                let at = plan.registration[mark].at;
                let arms = Rect::from_center_size(at, (2.0 * ARM_MM, 2.0 * ARM_MM));
                for sheet in [joint.over, joint.under] {
                    let window = plan.sheets[sheet].floor_window().inset(1e-6);
                    assert_eq!(window.union(arms), window, "{at:?} in {window:?}");
                }
            }
        }
    }
}

/// Where sheets lie freely, what is below two of them at once may hide a whole third of a seam; a layout of wide panels fills
/// whole seams.
#[test]
fn no_registration_mark_is_taken_for_another_one_and_few_are_hidden_before_they_are_used() {
    let (mut marks, mut all_hidden) = (0, 0);
    for (content, plan) in plans() {
        for joint in &plan.joints {
            for mark in joint.registration {
                let at = plan.registration[mark].at;
                let [hidden, on_another, near_mark, _] = against(&plan, &content, joint, at);
                assert!(!on_another && !near_mark, "{at:?} on {:?}", joint.seam);
                marks += 1;
                all_hidden += usize::from(hidden);
            }
        }
    }
    assert!(
        all_hidden * 40 < marks,
        "{all_hidden} of {marks} are hidden"
    );
}
