//! One mat for several vehicles: their layouts by one template, joined on one floor.
//!
//! A mat is a [`FloorPlan`] like any other, so covers, stencils and writers need not know of it;
//! who uses what stands beside it in `FloorPlan::mat`, by index. Lines that run over each other are
//! cut at marks, where their users change. Its vehicle has the longest one's shape, which the
//! assembly map shows; `floor.svg` shows all. Each vehicle's own plan is kept under the mat's names
//! for its overview page.
//!
//! Names begin with the vehicle's letter and a colon (`A:1L`): a letter alone stands for a vehicle and for nothing else, no other
//! name has a colon, and it can be typed anywhere.

mod lines;

use kurbo::Rect;

use self::lines::join_lines;
use super::fault::PlanFault;
use super::lay::{Lay, LayEnd, LayReading, MarkProof, Proof};
use super::limits::refuse_more;
use super::mark_shape::MarkShape;
use super::mat::{Mat, MatVehicle};
use super::model::{BayVerdict, Check, FloorNeed, FloorPlan, Mark, Panel};
use super::vehicle::VehicleOnFloor;
use crate::source::{Fault, Faults, Place};

/// Marks of different vehicles this near to each other, mm, are one mark, and lines this near run on
/// one straight. No mark has a tolerance below half a millimetre and no tape is read finer, so
/// nobody could lay the two apart.
pub const SHARED_MM: f64 = 0.5;

/// Marks of different vehicles that are not shared lie at least this far apart, mm. From an arm's length along both
/// axes, 15 mm · √2 = 21.2 mm, on no arm of one mark crosses an arm of the other, which would look like a
/// third mark, and none reaches the other's hole (18 mm).
const LEAST_APART_MM: f64 = 22.0;

const _: () = assert!(
    LEAST_APART_MM > MarkShape::FULL.arm * std::f64::consts::SQRT_2
        && LEAST_APART_MM > MarkShape::FULL.arm + MarkShape::FULL.hole / 2.0
);

/// Most vehicles on one mat: as many line types as can be told apart at a glance.
pub const MOST_VEHICLES: usize = 4;

/// The vehicles' letters on paper, in the order of the job.
const LETTERS: [char; MOST_VEHICLES] = ['A', 'B', 'C', 'D'];

/// Layouts joined to a mat.
#[derive(Clone, Debug)]
pub struct JoinedPlans {
    /// Everything that lies on the floor. Its vehicle has the longest one's shape and the names of
    /// all; its two-tape distances start from the outermost marks on the centreline.
    pub whole: FloorPlan,
    /// Each vehicle's layout alone, in the order of the job, with the names of the mat.
    pub each: Vec<FloorPlan>,
}

/// Joins the layouts of two to four vehicles by one template with the same values.
///
/// Marks get their vehicle's letter before their name (`A:1L`); a mark on the same place for several
/// vehicles is one mark with all letters (`AB:1L`, or `A:2L=B:3L` where the names differ), at the first
/// vehicle's place. Lines that run over each other are cut at the marks where one of them begins or
/// ends, so that no stretch is there twice. Checks and lays are kept apart by vehicle (`A:D1`).
///
/// # Errors
/// A fault at `place` for each pair of vehicles with marks too near to be told apart: less than 22 mm, where arms of
/// their crosses would cross; or one for more marks than a floor may hold.
pub fn join(plans: Vec<FloorPlan>, place: &Place) -> Result<JoinedPlans, Faults> {
    Faults::none_in(too_near(&plans, place))?;
    let (marks, mark_users, index_of) = join_marks(&plans);
    let mut many = Vec::new();
    refuse_more(marks.len(), place, &mut many);
    Faults::none_in(many)?;
    let (lines, line_users) = join_lines(&plans, &marks, &index_of);
    let (panels, panel_users) = join_panels(&plans, &index_of);
    let vehicles: Vec<MatVehicle> = (0..plans.len())
        .map(|v| MatVehicle {
            letter: LETTERS[v],
            vehicle: plans[v].vehicle.clone(),
            tape_base: plans[v]
                .tape_base
                .map(|mark| marks[index_of[v][mark]].id.clone()),
        })
        .collect();
    let mut each: Vec<FloorPlan> = plans
        .into_iter()
        .enumerate()
        .map(|(v, plan)| renamed(plan, v, &index_of[v], (&marks, &mark_users), &vehicles))
        .collect();
    // One form holds the lays of all vehicles, so their numbers go on from one to the next.
    for (number, lay) in each.iter_mut().flat_map(|plan| &mut plan.lays).enumerate() {
        lay.number = number + 1;
    }
    let mut whole = FloorPlan {
        vehicle: longest(&vehicles),
        checks: joined_checks(&each, &index_of),
        lays: joined_lays(&each, &index_of),
        proofs: joined_proofs(&each, &index_of),
        tape_base: outermost_base(&each, &marks, &index_of),
        floor: joined_floor(&each),
        marks,
        lines,
        panels,
        mat: Some(Mat {
            vehicles,
            marks: mark_users,
            lines: line_users,
            panels: panel_users,
            checks: each
                .iter()
                .enumerate()
                .flat_map(|(v, plan)| vec![v; plan.checks.len()])
                .collect(),
            only: None,
        }),
        ..each[0].clone()
    };
    let base = whole.tape_base.map(|mark| whole.marks[mark].at);
    for mark in &mut whole.marks {
        mark.two_tape = base.map(|base| base.distance(mark.at));
    }
    Ok(JoinedPlans { whole, each })
}

/// A fault for each pair of vehicles with marks that are neither shared nor far enough apart.
fn too_near(plans: &[FloorPlan], place: &Place) -> Vec<Fault> {
    let mut faults = Vec::new();
    for second in 0..plans.len() {
        for first in 0..second {
            let near: Vec<([String; 2], f64)> = pairs(&plans[first].marks, &plans[second].marks)
                .filter(|(_, _, distance)| (SHARED_MM..LEAST_APART_MM).contains(distance))
                .map(|(a, b, distance)| ([a.id.clone(), b.id.clone()], distance))
                .collect();
            if !near.is_empty() {
                faults.push(place.fault(PlanFault::TooNear {
                    vehicles: [first, second].map(|v| (LETTERS[v], plans[v].vehicle.name.clone())),
                    near,
                    shared: SHARED_MM,
                    least: LEAST_APART_MM,
                }));
            }
        }
    }
    faults
}

fn pairs<'m>(
    first: &'m [Mark],
    second: &'m [Mark],
) -> impl Iterator<Item = (&'m Mark, &'m Mark, f64)> {
    first
        .iter()
        .flat_map(move |a| second.iter().map(move |b| (a, b, a.at.distance(b.at))))
}

/// The marks of the mat, their users, and for each vehicle the mat's index of each of its marks.
fn join_marks(plans: &[FloorPlan]) -> (Vec<Mark>, Vec<Vec<usize>>, Vec<Vec<usize>>) {
    let mut marks: Vec<Mark> = Vec::new();
    // Who uses a mark, and by what name.
    let mut users: Vec<Vec<(usize, String)>> = Vec::new();
    let mut index_of = Vec::new();
    for (v, plan) in plans.iter().enumerate() {
        let mut indices = Vec::new();
        for mark in &plan.marks {
            let same = marks.iter().zip(&users).position(|(known, users)| {
                known.at.distance(mark.at) < SHARED_MM && users.iter().all(|(user, _)| *user != v)
            });
            let index = same.unwrap_or_else(|| {
                marks.push(mark.clone());
                users.push(Vec::new());
                marks.len() - 1
            });
            let joined = &mut marks[index];
            joined.tolerance = joined.tolerance.min(mark.tolerance);
            if joined.meaning != mark.meaning {
                joined.meaning = format!("{} / {}", joined.meaning, mark.meaning);
            }
            users[index].push((v, mark.id.clone()));
            indices.push(index);
        }
        index_of.push(indices);
    }
    for (mark, users) in marks.iter_mut().zip(&users) {
        mark.id = joined_name(users);
    }
    (
        marks,
        users
            .into_iter()
            .map(|users| users.into_iter().map(|(v, _)| v).collect())
            .collect(),
        index_of,
    )
}

/// `A:1L` for a mark of one vehicle, `AB:1L` for a shared one, `A:2L=B:3L` where the names differ.
fn joined_name(users: &[(usize, String)]) -> String {
    let mut names: Vec<(String, &str)> = Vec::new();
    for (v, name) in users {
        match names.iter_mut().find(|(_, known)| known == name) {
            Some((letters, _)) => letters.push(LETTERS[*v]),
            None => names.push((LETTERS[*v].to_string(), name)),
        }
    }
    names
        .into_iter()
        .map(|(letters, name)| format!("{letters}:{name}"))
        .collect::<Vec<_>>()
        .join("=")
}

fn join_panels(plans: &[FloorPlan], index_of: &[Vec<usize>]) -> (Vec<Panel>, Vec<Vec<usize>>) {
    let mut panels: Vec<Panel> = Vec::new();
    let mut users: Vec<Vec<usize>> = Vec::new();
    for (v, plan) in plans.iter().enumerate() {
        for panel in &plan.panels {
            let panel = Panel {
                mark: index_of[v][panel.mark],
                ..panel.clone()
            };
            match panels.iter().position(|known| *known == panel) {
                Some(known) => users[known].push(v),
                None => {
                    panels.push(panel);
                    users.push(vec![v]);
                }
            }
        }
    }
    (panels, users)
}

/// A vehicle's own plan with the names that marks and checks have on the mat.
fn renamed(
    mut plan: FloorPlan,
    v: usize,
    index_of: &[usize],
    (marks, users): (&[Mark], &[Vec<usize>]),
    vehicles: &[MatVehicle],
) -> FloorPlan {
    for (mark, &index) in plan.marks.iter_mut().zip(index_of) {
        mark.id.clone_from(&marks[index].id);
    }
    for check in &mut plan.checks {
        check.id = format!("{}:{}", LETTERS[v], check.id);
    }
    for lay in &mut plan.lays {
        lay.letter = Some(LETTERS[v]);
        for reading in &mut lay.readings {
            reading.id = format!("{}:{}", LETTERS[v], reading.id);
        }
    }
    for proof in &mut plan.proofs {
        proof.letter = Some(LETTERS[v]);
    }
    plan.mat = Some(Mat {
        vehicles: vehicles.to_vec(),
        marks: index_of.iter().map(|&index| users[index].clone()).collect(),
        lines: vec![vec![v]; plan.lines.len()],
        panels: vec![vec![v]; plan.panels.len()],
        checks: vec![v; plan.checks.len()],
        only: Some(v),
    });
    plan
}

fn joined_checks(each: &[FloorPlan], index_of: &[Vec<usize>]) -> Vec<Check> {
    let mapped = |(plan, index): (&FloorPlan, &Vec<usize>)| {
        let checks = plan.checks.iter();
        checks
            .map(|check| Check {
                from: index[check.from],
                to: index[check.to],
                ..check.clone()
            })
            .collect::<Vec<_>>()
    };
    each.iter().zip(index_of).flat_map(mapped).collect()
}

/// All lays one vehicle after the other, over the marks of the whole.
fn joined_lays(each: &[FloorPlan], index_of: &[Vec<usize>]) -> Vec<Lay> {
    let mapped = |(plan, index): (&FloorPlan, &Vec<usize>)| {
        let end = |end: LayEnd| match end {
            LayEnd::Mark(mark) => LayEnd::Mark(index[mark]),
            wheel @ LayEnd::Wheel(_) => wheel,
        };
        let moved = |lay: &Lay| Lay {
            from: end(lay.from),
            to: end(lay.to),
            readings: lay
                .readings
                .iter()
                .map(|one| LayReading {
                    mark: index[one.mark],
                    ..one.clone()
                })
                .collect(),
            ..lay.clone()
        };
        plan.lays.iter().map(moved).collect::<Vec<_>>()
    };
    each.iter().zip(index_of).flat_map(mapped).collect()
}

/// What the lays of each vehicle prove, over the marks of the whole.
fn joined_proofs(each: &[FloorPlan], index_of: &[Vec<usize>]) -> Vec<Proof> {
    let mapped = |(plan, index): (&FloorPlan, &Vec<usize>)| {
        let moved = |proof: &Proof| Proof {
            marks: proof
                .marks
                .iter()
                .map(|one| MarkProof {
                    mark: index[one.mark],
                    ..*one
                })
                .collect(),
            ..proof.clone()
        };
        plan.proofs.iter().map(moved).collect::<Vec<_>>()
    };
    each.iter().zip(index_of).flat_map(mapped).collect()
}

/// The foremost and the rearmost of all vehicles' base marks.
fn outermost_base(each: &[FloorPlan], marks: &[Mark], index_of: &[Vec<usize>]) -> [usize; 2] {
    let bases = || {
        each.iter()
            .zip(index_of)
            .flat_map(|(plan, index)| plan.tape_base.map(|mark| index[mark]))
    };
    let x = |mark: &usize| marks[*mark].at.x;
    let front = bases().max_by(|a, b| x(a).total_cmp(&x(b)));
    let rear = bases().min_by(|a, b| x(a).total_cmp(&x(b)));
    [front, rear].map(|mark| mark.expect("every layout has two base marks"))
}

/// The longest vehicle's shape with the names of all.
fn longest(vehicles: &[MatVehicle]) -> VehicleOnFloor {
    let length = |vehicle: &VehicleOnFloor| vehicle.front_x - vehicle.rear_x;
    let all = || vehicles.iter().map(|vehicle| &vehicle.vehicle);
    let longest = all()
        .max_by(|a, b| length(a).total_cmp(&length(b)))
        .expect("a mat has vehicles");
    let names: Vec<String> = vehicles
        .iter()
        .map(|v| format!("{}: {}", v.letter, v.vehicle.name))
        .collect();
    VehicleOnFloor {
        name: names.join(", "),
        demonstration: all().any(|vehicle| vehicle.demonstration),
        ..longest.clone()
    }
}

fn joined_floor(each: &[FloorPlan]) -> FloorNeed {
    let needed = each
        .iter()
        .map(|plan| plan.floor.needed)
        .reduce(|a, b| a.union(b))
        .unwrap_or(Rect::ZERO);
    let verdicts: Vec<&BayVerdict> = each
        .iter()
        .filter_map(|plan| plan.floor.bay.as_ref())
        .collect();
    let bay = verdicts.first().map(|first| {
        let mut hit: Vec<String> = Vec::new();
        for name in verdicts.iter().flat_map(|verdict| &verdict.hit) {
            if !hit.contains(name) {
                hit.push(name.clone());
            }
        }
        let (length, width) = first.size;
        let short = (
            (needed.width() - length).max(0.0),
            (needed.height() - width).max(0.0),
        );
        BayVerdict {
            size: first.size,
            short,
            hit,
        }
    });
    // One template and one job's values: the limits are the same for all.
    let limits = each.first().and_then(|plan| plan.floor.limits);
    FloorNeed {
        needed,
        bay,
        limits,
    }
}

#[cfg(test)]
#[path = "join_tests.rs"]
mod tests;
