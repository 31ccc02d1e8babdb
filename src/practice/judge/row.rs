//! The rows of the form, and how a moved mark changes them.

use kurbo::{Point, Vec2};

use crate::{
    plan::{FloorPlan, Lay, LayEnd, LayKind},
    practice::Ruling,
    source::Place,
    survey::{Reading, ReadingKind, Verdict, guard_factor, wheel_marks},
};

/// A row of the short check plan. Lengths in mm.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Number of its lay.
    pub lay: usize,
    /// Where the tape is held, or the string with its ends.
    pub from: String,
    /// Where it is read.
    pub to: String,
    /// All names on the row: the ends of tape or string, and the mark that is read.
    pub names: Vec<String>,
    /// What it should read, on a graduation; 0 for a mark that lies on a string.
    pub plan: f64,
    /// True where the mark should lie on the string.
    pub on_string: bool,
    /// How far it may differ.
    pub limit: f64,
    /// Standard deviation of the reading.
    pub sd: f64,
    /// What the program is given to judge.
    kind: ReadingKind,
    ends: [LayEnd; 2],
    mark: usize,
    is_tape: bool,
    should_be: f64,
}

impl Row {
    /// The rows of a plan's lays in their order.
    pub fn all(plan: &FloorPlan, ruling: Ruling) -> Vec<Self> {
        let lays = plan.lays.iter();
        lays.flat_map(|lay| (0..lay.readings.len()).map(move |index| (lay, index)))
            .map(|(lay, index)| Self::of(plan, lay, index, ruling))
            .collect()
    }

    fn of(plan: &FloorPlan, lay: &Lay, index: usize, ruling: Ruling) -> Self {
        let reading = &lay.readings[index];
        let (start, end) = (lay.start_name(plan), lay.to_name(plan));
        let to = plan.marks[reading.mark].id.clone();
        let is_tape = lay.kind == LayKind::Tape;
        let (from, kind, names) = if is_tape {
            let kind = ReadingKind::Distance {
                from: start.clone(),
                to: to.clone(),
            };
            (start.clone(), kind, vec![start, to.clone()])
        } else {
            let kind = ReadingKind::Inline {
                mark: to.clone(),
                line: [start.clone(), end.clone()],
            };
            let names = vec![start.clone(), end.clone(), to.clone()];
            (format!("string {start}–{end}"), kind, names)
        };
        Self {
            lay: lay.number,
            from,
            to,
            names,
            plan: ruling.round(reading.should_be),
            on_string: !is_tape && !lay.along_tyres(),
            limit: reading.limit,
            sd: reading.sd,
            kind,
            ends: [lay.from, lay.to],
            mark: reading.mark,
            is_tape,
            should_be: reading.should_be,
        }
    }

    /// By how much longer it gets when a mark lies elsewhere by `by`.
    pub fn effect(&self, plan: &FloorPlan, mark: usize, by: Vec2) -> f64 {
        let at = |end: LayEnd| -> Point {
            match end {
                LayEnd::Mark(index) if index == mark => plan.marks[index].at + by,
                LayEnd::Mark(index) => plan.marks[index].at,
                LayEnd::Wheel(wheel) => wheel_marks(&plan.vehicle)[wheel].1,
            }
        };
        let (from, read) = (at(self.ends[0]), at(LayEnd::Mark(self.mark)));
        let length = if self.is_tape {
            (read - from).hypot()
        } else {
            let along = at(self.ends[1]) - from;
            along.cross(read - from) / along.hypot()
        };
        length - self.should_be
    }

    /// Inside, outside or undecided, for a reading that is off by so much.
    pub fn verdict(&self, difference: f64, guard: f64) -> Verdict {
        Verdict::of(difference, self.limit, guard / guard_factor())
    }

    /// The reading for the program.
    pub fn reading(&self, difference: f64) -> Reading {
        Reading {
            label: None,
            lay: u32::try_from(self.lay).ok(),
            kind: self.kind.clone(),
            value: self.plan + difference,
            sd: None,
            should_be: None,
            place: Place::whole("the sheet"),
        }
    }
}
