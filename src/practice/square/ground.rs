//! What is taped on a sheet: which marks, which distances.

use kurbo::Point;

use crate::{
    plan::{FloorPlan, Mark},
    practice::{Draw, Level, Ruling, Setting, layout::rectangles},
    survey::wheel_marks,
    units::SAME_DRAWN_MM,
};

/// The marks of a sheet and the distances between them.
pub(super) struct Ground {
    /// The layout with the sheet's marks alone, each at its place as printed.
    pub plan: FloorPlan,
    /// The distances in the order of the sheet.
    pub pulls: Vec<Pull>,
    /// What lengths are written in.
    pub ruling: Ruling,
    /// Front left, front right, rear left and rear right mark of the rectangle, where the sheet is about one.
    pub corners: Option<[usize; 4]>,
}

/// A distance to be taped.
#[derive(Clone)]
pub(super) struct Pull {
    /// Both ends.
    pub ends: [End; 2],
    /// What the tape should read, mm, on a graduation.
    pub should: f64,
}

/// An end of a distance.
#[derive(Clone)]
pub(super) struct End {
    /// Name of the mark or wheel mark.
    pub name: String,
    /// Where it should be.
    pub at: Point,
    /// Index of the mark; `None` for a wheel mark, which stays with the vehicle.
    pub mark: Option<usize>,
}

impl Pull {
    fn new(ends: [End; 2], ruling: Ruling) -> Self {
        let should = ruling.round(ends[0].at.distance(ends[1].at));
        Self { ends, should }
    }

    /// Both ends: "1L – 4R".
    pub fn name(&self) -> String {
        format!("{} – {}", self.ends[0].name, self.ends[1].name)
    }

    /// True when one of its ends is this mark.
    pub fn touches(&self, mark: usize) -> bool {
        self.ends.iter().any(|end| end.mark == Some(mark))
    }

    /// True when one of its ends is a wheel mark.
    pub fn has_wheel_end(&self) -> bool {
        self.ends.iter().any(|end| end.mark.is_none())
    }
}

impl Ground {
    /// What a sheet of this level is about.
    ///
    /// # Errors
    /// A sentence on what the layout lacks.
    pub fn of(setting: &Setting, level: Level, draw: &mut Draw) -> Result<Self, String> {
        let ruling = setting.ruling();
        match level.number() {
            1 => Self::rectangle(&setting.plan, false, ruling, draw),
            2 => Self::rectangle(&setting.plan, true, ruling, draw),
            number => Ok(Self::grid(setting, number == 4)),
        }
    }

    /// A rectangle of four marks, all six distances; with two marks on its sides in between, all fifteen.
    fn rectangle(
        plan: &FloorPlan,
        between: bool,
        ruling: Ruling,
        draw: &mut Draw,
    ) -> Result<Self, String> {
        let inner = |corners: &[usize; 4]| match between {
            true => pairs_between(plan, *corners),
            false => vec![Vec::new()],
        };
        let choices: Vec<Vec<usize>> = rectangles(&plan.marks)
            .iter()
            .flat_map(|corners| {
                inner(corners)
                    .into_iter()
                    .map(|inner| [&corners[..], &inner].concat())
            })
            .collect();
        let chosen = draw.choose(&choices).ok_or_else(|| {
            let what = if between {
                " with marks on its sides between the corners"
            } else {
                ""
            };
            format!("the layout has no rectangle of four marks{what}")
        })?;
        let plan = printed(plan, chosen, ruling);
        let all = (0..plan.marks.len()).flat_map(|to| (0..to).map(move |from| [from, to]));
        let mut pulls: Vec<Pull> = all
            .map(|pair| Pull::new(pair.map(|mark| end(&plan, mark)), ruling))
            .collect();
        // As people tape: along the sides, across the ends, then the diagonals.
        pulls.sort_by_key(|pull| {
            let way = pull.ends[1].at - pull.ends[0].at;
            let [along, across] = [way.x.abs() > SAME_DRAWN_MM, way.y.abs() > SAME_DRAWN_MM];
            (across, across && along, pull.name())
        });
        Ok(Self {
            plan,
            pulls,
            ruling,
            corners: Some([0, 1, 2, 3]),
        })
    }

    /// All marks with the distances of the full check plan; with `wheels` those of one that a page holds, and those from
    /// the wheel marks.
    fn grid(setting: &Setting, wheels: bool) -> Self {
        let all: Vec<usize> = (0..setting.plan.marks.len()).collect();
        let ruling = setting.ruling();
        let plan = printed(&setting.plan, &all, ruling);
        let chosen = if wheels {
            setting.few_checks()
        } else {
            setting.full_checks()
        };
        let ends = chosen
            .pulls
            .iter()
            .map(|pull| [pull.check.from, pull.check.to]);
        let pull = |ends: [usize; 2]| Pull::new(ends.map(|mark| end(&plan, mark)), ruling);
        let mut pulls: Vec<Pull> = ends.map(pull).collect();
        if wheels {
            pulls.extend(chosen.vehicle_checks.iter().map(|check| {
                let wheel = End {
                    name: check.wheel.clone(),
                    at: ruling.place(check.wheel_at),
                    mark: None,
                };
                Pull::new([wheel, end(&plan, check.mark)], ruling)
            }));
        }
        Self {
            plan,
            pulls,
            ruling,
            corners: None,
        }
    }

    /// The same marks without the readings from the wheel marks, which are the last ones.
    pub fn in_itself(&self) -> Self {
        let own = self.pulls.iter().filter(|pull| !pull.has_wheel_end());
        Self {
            plan: self.plan.clone(),
            pulls: own.cloned().collect(),
            ruling: self.ruling,
            corners: self.corners,
        }
    }

    /// True when readings from the wheel marks are among the distances.
    pub fn has_wheels(&self) -> bool {
        self.pulls.iter().any(Pull::has_wheel_end)
    }

    /// Wheel marks that are taped from, with their places as printed.
    pub fn wheels(&self) -> impl Iterator<Item = (&'static str, Point)> {
        let ruling = self.ruling;
        let ends = self.pulls.iter().flat_map(|pull| &pull.ends);
        let all = wheel_marks(&self.plan.vehicle).into_iter();
        let used = all.filter(move |(name, _)| ends.clone().any(|end| end.name == *name));
        used.map(move |(name, at)| (name, ruling.place(at)))
    }
}

fn end(plan: &FloorPlan, mark: usize) -> End {
    End {
        name: plan.marks[mark].id.clone(),
        at: plan.marks[mark].at,
        mark: Some(mark),
    }
}

/// The plan with some of its marks alone, at their places as printed, and nothing made of them.
fn printed(plan: &FloorPlan, marks: &[usize], ruling: Ruling) -> FloorPlan {
    let marks = marks.iter().map(|&mark| Mark {
        at: ruling.place(plan.marks[mark].at),
        ..plan.marks[mark].clone()
    });
    FloorPlan {
        marks: marks.collect(),
        lines: Vec::new(),
        panels: Vec::new(),
        tape_base: [0, 0],
        checks: Vec::new(),
        lays: Vec::new(),
        proofs: Vec::new(),
        ..plan.clone()
    }
}

/// Left and right marks of one station on the sides of a rectangle, between its corners.
fn pairs_between(plan: &FloorPlan, [front, right, rear, _]: [usize; 4]) -> Vec<Vec<usize>> {
    let marks = &plan.marks;
    let lies_on = |mark: &Mark, corner: usize| {
        (mark.at.y - marks[corner].at.y).abs() < SAME_DRAWN_MM
            && mark.at.x < marks[front].at.x
            && mark.at.x > marks[rear].at.x
    };
    let on = |corner: usize| (0..marks.len()).filter(move |&mark| lies_on(&marks[mark], corner));
    let one_station = |pair: &Vec<usize>| {
        let [left, right] = [pair[0], pair[1]].map(|mark| marks[mark].station);
        left.is_some() && left == right
    };
    let pairs = on(front).flat_map(|left| on(right).map(move |right| vec![left, right]));
    pairs.filter(one_station).collect()
}
